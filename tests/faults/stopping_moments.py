"""Stops long commands at random moments, by SIGKILL, SIGINT and SIGTERM, and looks after each at what is there."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import time
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from random import Random

from faulty import environment, furnish
from walkers import NOW, setting_in
from wallwalk.interview.draft import render_draft
from wallwalk.interview.talk import begin, reply
from wallwalk.writing import LEFT_OVER

SEED = 20261126
EARLIER = b"an earlier report\n"
ANSWERS = ("America/Chicago", "Quillen Ferry Clinic", "204 Treatment room", "2", "", "all of it", "Ana Ruiz")
"""What is typed in the walk that is stopped: whatever is asked, each line is answered or refused the same way."""


@dataclass(frozen=True)
class Long:
    """A command that takes a while: its words, the files it writes, and whether they were there before."""

    words: tuple[str, ...]
    files: tuple[str, ...]
    there: bool
    typed: str = ""

    @property
    def name(self) -> str:
        """The command as one types it."""
        return " ".join(("wallwalk", *self.words))


LONG = (
    Long(("check", "room.yaml", "-o", "a.json", "-o", "a.html", "--overwrite"), ("a.json", "a.html"), there=True),
    Long(("check", "rooms", "-o", "a.jsonl"), ("a.jsonl",), there=False),
    Long(("check", "rooms", "--jobs", "2", "-o", "a.jsonl", "--overwrite"), ("a.jsonl",), there=True),
    Long(("board", "rooms", "--today", "2026-03-09", "-o", "b.json", "-o", "b.csv", "-o", "b.html"),
         ("b.json", "b.csv", "b.html"), there=False),
    Long(("walk", "draft.yaml"), ("draft.yaml",), there=False, typed="\n".join((*ANSWERS, ""))),
)  # fmt: skip


def trials(stops: int, folder: Path, seed: int = SEED) -> Iterator[tuple[str, list[str]]]:
    """Stop commands `stops` times in turn; what was stopped and how, and everything that was amiss after it."""
    chance = Random(seed)  # noqa: S311 - test data, not a secret
    usual = {long: _undisturbed(long, folder / f"whole-{number}") for number, long in enumerate(LONG)}
    for number in range(stops):
        long = LONG[number % len(LONG)]
        how = (signal.SIGKILL, signal.SIGINT, signal.SIGTERM)[number // len(LONG) % 3]
        whole = usual[long]
        after = chance.uniform(0, 1.1 * whole.seconds)
        name = f"{long.name}, {how.name} after {after:.2f} s"
        yield name, list(_amiss(long, how, after, _furnished(long, folder / str(number)), whole))


def _furnished(long: Long, folder: Path) -> Path:
    furnish(folder)
    rooms = folder / "rooms"
    rooms.mkdir()
    for name in ("a.yaml", "b.yaml", "c.yaml"):
        (rooms / name).write_bytes((folder / "kitchen.yaml").read_bytes())
    for name in long.files if long.there else ():
        (folder / name).write_bytes(EARLIER)
    return folder


@dataclass(frozen=True)
class Whole:
    """A command that nobody stops: what each file may hold, its exit code, what it prints, and how long it takes."""

    files: dict[str, set[bytes]]
    code: int
    out: str
    seconds: float


def _undisturbed(long: Long, folder: Path) -> Whole:
    _furnished(long, folder)
    begun = time.monotonic()
    started = _started(long, folder)
    out, _ = started.communicate(long.typed.encode())
    whole = {name: {(folder / name).read_bytes()} for name in long.files}
    if long.typed:
        whole = {name: content | _drafts() for name, content in whole.items()}
    return Whole(whole, started.returncode, out.decode(), time.monotonic() - begun)


@cache
def _drafts() -> set[bytes]:
    """The draft after each answer of a walk."""
    state = begin(setting_in("en"), {}).state
    drafts = set()
    for line in ANSWERS:
        state = reply(state, line, NOW).state
        drafts.add(render_draft(state.kept, state.setting.rule_set.questions.schema))
    return drafts


def _started(long: Long, folder: Path) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        ["wallwalk", *long.words], cwd=folder, env=environment(), start_new_session=True,
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip


def _amiss(long: Long, how: signal.Signals, after: float, folder: Path, whole: Whole) -> Iterator[str]:
    before = {path.name for path in folder.iterdir()}
    started = _started(long, folder)
    if started.stdin is not None and long.typed:
        started.stdin.write(long.typed.encode())
        started.stdin.flush()
    time.sleep(after)
    started.send_signal(how)
    out, err = started.communicate()
    yield from _files_amiss(long, how, folder, whole.files, before)
    yield from _ending_amiss(long, how, started.returncode, whole, out.decode(), err.decode())
    if long.typed and b"Nothing was answered" in out and (folder / long.files[0]).exists():
        yield "said that there is no file where there is one"
    if not _alone(started.pid):
        yield "left a process that works on"


def _files_amiss(
    long: Long, how: signal.Signals, folder: Path, whole: dict[str, set[bytes]], before: set[str]
) -> Iterator[str]:
    for name in long.files:
        content = (folder / name).read_bytes() if (folder / name).exists() else None
        if content is None and long.there:
            yield f"lost {name}"
        elif content is not None and content not in whole[name] and not (long.there and content == EARLIER):
            yield f"left {name} in part"
    new = {path.name for path in folder.iterdir()} - before - set(long.files)
    scraps = {name for name in new if LEFT_OVER.fullmatch(name)}
    if new - scraps or (scraps and how != signal.SIGKILL):
        yield f"left {', '.join(sorted(new))}"


def _ending_amiss(long: Long, how: signal.Signals, came: int, whole: Whole, out: str, err: str) -> Iterator[str]:
    """To be finished all the same, to be stopped in order, or to die of the signal before or after all that."""
    finished = came == whole.code and not re.search("Traceback|stopped", err)
    if how == signal.SIGKILL:
        in_order = came == -how
    elif came == -how:
        in_order = out in {"", whole.out}  # Python came up, or went down; what it says of that is not ours
    elif long.words[0] == "walk":
        in_order = came == 1 or (came == 2 and err == "stopped\n")
    else:
        in_order = came == 2 and err == "stopped\n"
    if not finished and not in_order:
        yield f"ended with {came} and said {err[-300:]!r}"


def _alone(group: int) -> bool:
    """Whether nothing of a process group is left, at the latest after ten seconds."""
    until = time.monotonic() + 10
    with suppress(ProcessLookupError):
        while time.monotonic() < until:
            os.killpg(group, 0)
            time.sleep(0.05)
        return False
    return True
