"""What a row of the table of faults is, and how it is tried: a shell command in a folder of its own."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from surveys import ROOT
from wallwalk.checking import check
from wallwalk.filed_json import write_filed_json
from wallwalk.filing import file_record
from wallwalk.inputs import read_inputs

PLAIN, FULL, SMALL = "plain", "full", "small"
"""Where a row is tried: on the machine as it is, or beside the folder `full` with no room in it, or very little."""

_ROOM = "204-treatment-room"
_KITCHEN = "031-staff-kitchen"
PASSES = "PASS | 204 Treatment room, 2 | Quillen Ferry Clinic, refit and link"
HOLDS = "HOLD | 031 Staff kitchen | Quillen Ferry Clinic, refit and link"
NO_SPACE, TOO_LARGE = "No space left on device", "File too large"

_FILLED = {FULL: "64K", SMALL: "40K"}
_LIMIT = {FULL: "ulimit -f 0; ", SMALL: "ulimit -f 8; "}

LESS_THAN_ROOT = "setpriv --bounding-set=-dac_override,-dac_read_search" if os.geteuid() == 0 else ""
"""Before a command: the modes of files hold for it too, also where root runs the tests."""


@dataclass(frozen=True)
class Row:
    """One fault met by one command, and what has to come of it.

    `err` is the whole of standard error, in which `{space}` stands for what the system says of a full disk
    and `{here}` for the folder it is tried in; `out` the
    first line of standard output. `same` is a command that has to print the very same. `left` names every file that is
    new afterwards; one that was there and is another now ends in ` (changed)`. `before` makes what the fault needs.
    """

    fault: str
    command: str
    code: int
    err: str = ""
    out: str = ""
    same: str = ""
    left: tuple[str, ...] = ()
    before: str = ":"
    where: str = PLAIN

    @property
    def name(self) -> str:
        """A short name, for a list of tests."""
        return f"{self.fault}: {self.command}"[:100].encode("ascii", "backslashreplace").decode()


@dataclass(frozen=True)
class Seen:
    """What came of a row."""

    code: int
    err: str
    out: str
    left: tuple[str, ...]


def wanted(row: Row, folder: Path) -> Seen:
    """What has to come of `row` on this machine, tried in `folder`."""
    first = _plain_output(row.same) if row.same else row.out
    space = NO_SPACE if can_mount() else TOO_LARGE
    return Seen(
        row.code, row.err.replace("{space}", space).replace("{here}", str(folder)), first, tuple(sorted(row.left))
    )


def seen(row: Row, folder: Path) -> Seen:
    """Try `row` in `folder`, which is new."""
    furnish(folder)
    reader, writer = os.pipe()
    look = f"find . -type f -exec sha256sum -z {{}} + >&{writer}"
    narrow = row.where != PLAIN
    inside = _LIMIT[row.where] if narrow and not can_mount() else ""
    script = (
        f"{_full(row.where) if narrow else ':'}\n( {row.before}\n)\n{look}\nprintf '=\\0' >&{writer}\n"
        f"( {inside}exec {writer}>&-\n{row.command}\n)\ncode=$?\n{look}\nexit $code"
    )
    bash = [*(_mounting() if narrow and can_mount() else ()), "bash", "-c", script]
    with os.fdopen(reader, "rb") as listing:
        started = subprocess.Popen(
            bash, cwd=folder, env=environment(), stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE, stderr=subprocess.PIPE, pass_fds=(writer,),
        )  # fmt: skip
        os.close(writer)
        out, err = started.communicate(timeout=120)
        before, _, after = listing.read().rpartition(b"=\0")
    then, now = _files(before), _files(after)
    left = [
        name if name not in then else f"{name} (changed)" for name, digest in now.items() if then.get(name) != digest
    ]
    left += [f"{name} (gone)" for name in then.keys() - now.keys()]
    text = _text(out)
    # Where the path of the checkout has a space, pip starts a command by a shell, which says this first.
    said = _text(err).removeprefix("sh: 0: getcwd() failed: No such file or directory\n")
    return Seen(
        started.returncode, said.rstrip("\n"), text if row.same else text.partition("\n")[0], tuple(sorted(left))
    )


def furnish(folder: Path) -> None:
    """Put what the commands read into `folder`: a room that passes with its log, one that holds, a filed record."""
    folder.mkdir(exist_ok=True)
    for source, name in (
        (f"{_ROOM}.yaml", "room.yaml"),
        (f"{_ROOM}.csv", f"{_ROOM}.csv"),
        (f"{_KITCHEN}.yaml", "kitchen.yaml"),
    ):
        shutil.copy(ROOT / "examples" / source, folder / name)
    (folder / "record.json").write_bytes(_record())


@cache
def _record() -> bytes:
    """What `check room.yaml -o record.json` files."""
    folder = ROOT / "examples"
    survey, rule_set = read_inputs(folder / f"{_ROOM}.yaml")
    survey = replace(survey, file="room.yaml")
    return write_filed_json(file_record(check(survey, rule_set), survey, rule_set, folder))


def environment(**more: str) -> dict[str, str]:
    """The environment in which a fault is tried: that of the tests, in one language and without a terminal."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("LC_", "LANG", "COLUMNS", "PYTHONIOENCODING"))}
    ours = {"LANG": "C.UTF-8", "TREE": str(ROOT / "inspect"), "PYTHONDONTWRITEBYTECODE": "1"}
    return {**kept, **ours, **more}


@cache
def _plain_output(command: str) -> str:
    with tempfile.TemporaryDirectory() as name:
        furnish(Path(name))
        done = subprocess.run(
            ["bash", "-c", command],
            cwd=name,
            env=environment(),
            capture_output=True,
            stdin=subprocess.DEVNULL,
            check=False,
        )
    return _text(done.stdout)


def _files(listing: bytes) -> dict[str, bytes]:
    lines = [line for line in listing.split(b"\0") if line]
    return {_text(line[66:]).removeprefix("./"): line[:64] for line in lines}


def _text(said: bytes) -> str:
    return said.decode("utf-8", "backslashreplace")


def _full(where: str) -> str:
    """Makes the folder `full`: a small file system with nothing free, or 24 kB; else a folder, and a limit on files."""
    if not can_mount():
        return "mkdir full"
    fill = f"head -c {_FILLED[where]} /dev/zero > full/filler"
    return f"mkdir full && mount -t tmpfs -o size=64k tmpfs full && {fill}"


def _mounting() -> tuple[str, ...]:
    return ("unshare", "-m") if os.geteuid() == 0 else ("unshare", "-rm")


@cache
def can_mount() -> bool:
    """Whether whoever runs this may mount a small file system of its own."""
    if shutil.which("unshare") is None:
        return False
    try_it = [*_mounting(), "mount", "-t", "tmpfs", "tmpfs", "/mnt"]
    return subprocess.run(try_it, capture_output=True, check=False).returncode == 0
