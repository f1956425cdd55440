"""Kills writers with SIGKILL in the folder that it is given, and looks after each what is there.

200 at random moments that put new files there, 200 that write over one; and one of each as every step begins. Run by
`test_writing.py` as a program of its own, since it forks. Prints one line of JSON: in which step each was killed, what
was there afterwards, and everything that was amiss.
"""

from __future__ import annotations

import hashlib
import json
import mmap
import os
import re
import signal
import stat
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from itertools import count
from pathlib import Path
from random import Random
from typing import Any

from wallwalk.writing import LEFT_OVER, write_whole

KILLS = 200
PER_WRITER = 1_000_000
KEPT = b"an earlier report\n"

BETWEEN, STEPS = (
    "between two writes",
    ("opens", "writes", "flushes", "puts in place", "flushes the folder", "takes away"),
)
"""Where a writer may be: in none of its writes, or in this step of one; at `opens` nothing is there yet."""
MIDDLE = STEPS[1:]
BYTES = {name: number for number, name in enumerate((BETWEEN, *STEPS))}


def version(number: int) -> bytes:
    """200 kB that say their number and end in their own digest."""
    body = f"{number}\n".encode() + b"x" * 200_000
    return body + hashlib.sha256(body).hexdigest().encode()


def number_of(content: bytes) -> int | None:
    """The number of a version that is whole; None of one that is not."""
    body, said = content[:-64], content[-64:]
    return int(body.split(b"\n")[0]) if hashlib.sha256(body).hexdigest().encode() == said else None


def watch(reach: Callable[[str], None]) -> None:
    """From now on, in this process, every step of a write tells `reach` its name as it begins."""
    flush = os.fsync

    def telling(real: Any, step: str) -> Any:  # noqa: ANN401 - any function of the system
        def told(*args: Any, **more: Any) -> Any:  # noqa: ANN401
            reach(step)
            return real(*args, **more)

        return told

    def flushing(handle: Any) -> None:  # noqa: ANN401
        reach("flushes the folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "flushes")
        flush(handle)

    tempfile.mkstemp = telling(tempfile.mkstemp, "opens")
    os.fsync = flushing  # type: ignore[assignment]
    for name, step in (("open", "writes"), ("hardlink_to", STEPS[3]), ("replace", STEPS[3]), ("unlink", STEPS[5])):
        setattr(Path, name, telling(getattr(Path, name), step))


def put_new(folder: Path, number: int) -> None:
    """A file of a name that is not there."""
    write_whole(folder / f"new-{number}.bin", version(number), overwrite=False)


def put_over(folder: Path, number: int) -> None:
    """A further version over the same file."""
    write_whole(folder / "same.bin", version(number), overwrite=True)


WAYS: dict[str, Callable[[Path, int], None]] = {"new": put_new, "over": put_over}


class Looker:
    """Looks at a folder after each kill; whatever is amiss goes into `amiss`."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.amiss: list[str] = []
        self.same = self.moved = 0
        self.new: dict[str, tuple[int, ...]] = {}
        (folder / "kept.bin").write_bytes(KEPT)

    def look(self, who: str) -> None:
        """No file in part, none lost, none put back, none of another name."""
        names = {p.name for p in self.folder.iterdir() if not LEFT_OVER.fullmatch(p.name)}
        self.amiss += [f"{who} left {n}" for n in names if not re.fullmatch(r"kept\.bin|same\.bin|new-\d+\.bin", n)]
        self.amiss += [f"{who} lost {name}" for name in {*self.new, "kept.bin"} - names]
        if (self.folder / "kept.bin").read_bytes() != KEPT:
            self.amiss.append(f"{who} changed kept.bin")
        for name in sorted(n for n in names if n.startswith("new-")):
            status = (self.folder / name).stat()
            seen = (status.st_ino, status.st_size, status.st_mtime_ns)
            if self.new.setdefault(name, seen) != seen:
                self.amiss.append(f"{who} wrote over {name}")
            elif number_of((self.folder / name).read_bytes()) != int(name[4:-4]):
                self.amiss.append(f"{who} left a part of {name}")
        if "same.bin" in names:
            self._look_at_same(who)

    def _look_at_same(self, who: str) -> None:
        now = number_of((self.folder / "same.bin").read_bytes())
        if now is None:
            self.amiss.append(f"{who} left a part of same.bin")
        elif now < self.same:
            self.amiss.append(f"{who} put back version {now} for {self.same}")
        else:
            self.moved += now > self.same
            self.same = now

    def forget_new(self) -> None:
        """Take away the new files that were looked at, so that the next look is short."""
        for name in self.new:
            (self.folder / name).unlink()
        self.new = {}

    @property
    def left(self) -> int:
        """How many temporary files lie there."""
        return sum(bool(LEFT_OVER.fullmatch(p.name)) for p in self.folder.iterdir())


def seconds_of_a_write(folder: Path) -> float:
    """How long one takes here and now: on a busy machine, ten times as long as on an idle one."""
    begun = time.perf_counter()
    for number in range(5):
        write_whole(folder / "timed.bin", version(number), overwrite=True)
    (folder / "timed.bin").unlink()
    return (time.perf_counter() - begun) / 5


def kill_at_random(way: str, looker: Looker, chance: Random, first: int) -> Counter[str]:
    """Kill as many writers at random moments of their first few writes; gives in which step each was."""
    usual, where = seconds_of_a_write(looker.folder), mmap.mmap(-1, 1)
    steps = dict(zip(BYTES.values(), BYTES, strict=True))
    found: Counter[str] = Counter()
    begun, says_begun = os.pipe()
    for writer in range(first, first + KILLS):
        where[0] = BYTES[BETWEEN]
        child = os.fork()
        if child == 0:
            watch(lambda step: where.__setitem__(0, BYTES[step]))
            os.write(says_begun, b".")
            for number in count(writer * PER_WRITER):
                WAYS[way](looker.folder, number)
                where[0] = BYTES[BETWEEN]
        os.read(begun, 1)  # on a busy machine a writer waits for its turn
        time.sleep(chance.uniform(0, max(0.02, 4 * usual)))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        found[steps[where[0]]] += 1
        looker.look(f"writer {writer}, killed as it {steps[where[0]]},")
        if way == "new" and len(looker.new) > 50:
            looker.forget_new()
    return found


def kill_at_every_step(way: str, looker: Looker, first: int) -> list[str]:
    """A writer that is killed as each step begins, for each in turn; gives the steps that were met."""
    met = []
    for number, step in enumerate(STEPS, first):
        child = os.fork()
        if child == 0:
            watch(lambda at, step=step: os.kill(os.getpid(), signal.SIGKILL) if at == step else None)  # type: ignore[misc]
            WAYS[way](looker.folder, number)
            os._exit(0)
        _, ended = os.waitpid(child, 0)
        met += [step] if os.WIFSIGNALED(ended) else []
        looker.look(f"writer {number}, killed before it {step},")
    return met


def main(folder: Path) -> None:
    """All of it."""
    chance, looker = Random(20261125), Looker(folder)  # noqa: S311 - test data, not a secret
    killed = {way: kill_at_random(way, looker, chance, 1 + n * KILLS) for n, way in enumerate(WAYS)}
    left, moved, new = looker.left, looker.moved, len(looker.new)
    steps = {way: kill_at_every_step(way, looker, 10**9 + n * 10**6) for n, way in enumerate(WAYS)}
    print(  # noqa: T201 - its answer
        json.dumps({"killed": killed, "steps": steps, "left": left, "moved": moved, "new": new, "amiss": looker.amiss})
    )


if __name__ == "__main__":
    main(Path(sys.argv[1]))
