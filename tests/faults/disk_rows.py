"""Rows of the table: disks that are full, folders that may only be read, and what is kept between runs."""

from __future__ import annotations

import hashlib

from faulty import FULL, LESS_THAN_ROOT, PASSES, SMALL, Row, can_mount
from wallwalk.resources import data_folder

_NO_ROOM = "cannot be written ({space}); make room there, or give another folder"
_NO_FOLDER = "cannot be written (Permission denied); give a folder that is there and that you may write to"
_SIGN = "wallwalk sign record.json --role inspector --name Ana --decision noted --at '2026-03-10 07:00'"
_ANSWERS = "printf 'America/Chicago\\n'"
_PLAN = "PLAN | 204 Treatment room | Quillen Ferry Clinic, refit and link"
_SHUT = "mkdir shut && chmod 555 shut"


def _full(command: str, file: str, out: str = "", code: int = 2) -> Row:
    return Row("disk full", command, code, f"{file}: {_NO_ROOM}", out, where=FULL)


FULL_DISK = (
    _full("wallwalk check room.yaml -o full/a.html", "full/a.html", PASSES),
    _full("wallwalk check room.yaml -o full/a.json", "full/a.json", PASSES),
    _full("wallwalk plan room.yaml -o full/a.pdf", "full/a.pdf", _PLAN),
    # A limit on files, where nothing can be mounted, is one for files anywhere.
    _full("wallwalk check room.yaml -o ok.json -o full/a.html", "full/a.html" if can_mount() else "ok.json", PASSES),
    _full(
        "wallwalk check kitchen.yaml room.yaml -o full/a.jsonl",
        "full/a.jsonl",
        "HOLD | kitchen.yaml | 4 hold, 178 not verified | not before Thu 12 Mar 2026 15:30",
    ),
    _full(
        "wallwalk plan room.yaml -o full/a.ics",
        "full/a.ics",
        _PLAN,
    ),
    _full(
        "wallwalk board . --today 2026-03-09 -o full/a.csv",
        "full/a.csv",
        "1 of 2 spaces ready | Quillen Ferry Clinic, refit and link",
    ),
    _full("wallwalk blank -o full/a.yaml", "full/a.yaml"),
    _full("wallwalk blank -o full/a.html", "full/a.html"),
    _full("wallwalk rules schema -o full/a.json", "full/a.json"),
    _full(f"{_SIGN} -o full/a.json", "full/a.json", "PASS | 204 Treatment room, 2"),
    _full("wallwalk compare record.json record.json -o full/a.html", "full/a.html", PASSES),
    Row(
        "disk full",
        "wallwalk rules new mine --in full",
        2,
        "full/mine: cannot be made ({space}); give --in a folder that you may write to",
        where=FULL,
    ),
    Row(
        "disk full at a walk's first answer",
        f"{_ANSWERS} | wallwalk walk full/a.yaml >/dev/null",
        2,
        f"full/a.yaml: {_NO_ROOM}",
        where=FULL,
    ),
    Row(
        "disk full over a report that is there",
        "wallwalk check room.yaml -o full/filler.json --overwrite",
        2,
        f"full/filler.json: {_NO_ROOM}",
        PASSES,
        before="mv full/filler full/filler.json 2>&- || true > full/filler.json",
        where=FULL,
    ),
    Row(
        "folder for temporary files full",
        "TMPDIR=$PWD/full wallwalk check room.yaml",
        0,
        same="wallwalk check room.yaml",
        where=FULL,
    ),
    Row(
        "folder for temporary files all but full",
        "TMPDIR=$PWD/full wallwalk verify record.json",
        2,
        "{here}/full: cannot be written ({space}); make room there, or let TMPDIR name another folder",
        where=SMALL,
    ),
    Row(
        "folder of kept rule sets full",
        "WALLWALK_CACHE=$PWD/full wallwalk check room.yaml",
        0,
        same="wallwalk check room.yaml",
        where=FULL,
    ),
)
"""Nothing is put where there is no room, and the verdict is said all the same."""

READ_ONLY = (
    Row(
        "folder read-only, not root",
        f"{LESS_THAN_ROOT} wallwalk check room.yaml -o shut/a.json",
        2,
        f"shut/a.json: {_NO_FOLDER}",
        PASSES,
        before=_SHUT,
    ),
    Row(
        "folder read-only, not root",
        f"{LESS_THAN_ROOT} wallwalk board . --today 2026-03-09 -o shut/a.csv",
        2,
        f"shut/a.csv: {_NO_FOLDER}",
        "1 of 2 spaces ready | Quillen Ferry Clinic, refit and link",
        before=_SHUT,
    ),
    Row(
        "folder read-only, not root",
        f"{_ANSWERS} | {LESS_THAN_ROOT} wallwalk walk shut/a.yaml >/dev/null",
        2,
        f"shut/a.yaml: {_NO_FOLDER}",
        before=_SHUT,
    ),
    Row(
        "folder read-only, not root",
        f"{LESS_THAN_ROOT} wallwalk rules new mine --in shut",
        2,
        "shut/mine: cannot be made (Permission denied); give --in a folder that you may write to",
        before=_SHUT,
    ),
    Row(
        "survey not to be read, not root",
        f"{LESS_THAN_ROOT} wallwalk check room.yaml",
        2,
        "Usage: wallwalk check [OPTIONS] SURVEY...\nTry 'wallwalk check --help' for help.\n\n"
        "Error: Invalid value for 'SURVEY...': Path 'room.yaml' is not readable.",
        before="chmod 000 room.yaml",
    ),
    Row(
        "log not to be read, not root",
        f"{LESS_THAN_ROOT} wallwalk check room.yaml",
        2,
        'room.yaml:103: climate_log[0].file is "204-treatment-room.csv", which cannot be read (Permission denied); '
        "put the logger's file there, or write its name",
        before="chmod 000 *.csv",
    ),
    Row(
        "folder in a folder not to be read, not root",
        f"{LESS_THAN_ROOT} wallwalk check sub",
        2,
        "sub/deep: cannot be looked at (Permission denied); give folders that you may read",
        "NOT CHECKED | sub/deep",
        before="mkdir -p sub/deep && chmod 000 sub/deep",
    ),
)
"""Root without the right to pass over modes stands in for any other user."""

_KEPT = "mkdir -m 700 kept && WALLWALK_CACHE=$PWD/kept wallwalk check room.yaml >/dev/null"
_FROM_KEPT = "WALLWALK_CACHE=$PWD/kept wallwalk check room.yaml"


def _kept(fault: str, then: str, command: str = _FROM_KEPT, left: tuple[str, ...] = ()) -> Row:
    return Row(fault, command, 0, same="wallwalk check room.yaml", before=f"{_KEPT} && {then}", left=left)


_MADE_FROM = f"{data_folder('rules') / 'rigid-sheet'} en"  # of another checkout, another name
_PLACE = f"kept/{hashlib.sha256(_MADE_FROM.encode()).hexdigest()[:24]}.kept"
CACHE = (
    _kept("kept rule set is noise", "head -c 100000 /dev/urandom > kept/*.kept", left=(f"{_PLACE} (changed)",)),
    _kept("kept rule set from the year 2099", "touch -d 2099-01-01 kept/*"),
    _kept(
        "folder of kept rule sets read-only, not root",
        "rm kept/* && chmod 500 kept",
        f"{LESS_THAN_ROOT} env {_FROM_KEPT}",
    ),
    Row(
        "folder of kept rule sets is a file",
        "WALLWALK_CACHE=$PWD/kitchen.yaml wallwalk check room.yaml",
        0,
        same="wallwalk check room.yaml",
    ),
    Row(
        "two fill the folder of kept rule sets at once",
        "export WALLWALK_CACHE=$PWD/kept; wallwalk check room.yaml >/dev/null & wallwalk check room.yaml; x=$?; wait; "
        "exit $x",
        0,
        same="wallwalk check room.yaml",
        left=(_PLACE,),
    ),
)
"""What is kept between runs never decides."""
