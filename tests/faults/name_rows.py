"""Rows of the table: files with odd names, in odd places."""

from __future__ import annotations

from faulty import HOLDS, PASSES, Row

_CHECK = "wallwalk check room.yaml"
_NFD = "n\\xcc\\x83"
_NAMES = (
    ("a b.yaml", "a b.yaml"),
    (f"{_NFD}.yaml", "n\u0303.yaml"),
    ("a\\nPASS | b.yaml", "a\\nPASS | b.yaml"),
    ("-a.yaml", "-a.yaml"),
    ("a\\xff.yaml", "a\\udcff.yaml"),
    ("a\\x1b[2J.yaml", "a\\x1b[2J.yaml"),
)
"""A name as `printf` writes it, and as it is shown."""


def _named(written: str) -> str:
    return f"\"$(printf '%b' '{written}')\""


_PLAIN = "4 hold, 178 not verified | not before Thu 12 Mar 2026 15:30"
_NEWLINE, _NO_UTF8 = _named("a\\n.yaml"), _named("a\\xff.yaml")

NAMES = (
    *(
        Row(
            "odd name of a survey",
            f"wallwalk check -o a.json -- {_named(written)}",
            1,
            "",
            HOLDS,
            left=("a.json",),
            before=f"cp kitchen.yaml ./{_named(written)}",
        )
        for written, _ in _NAMES[:2]
    ),
    *(
        Row(
            "odd name in a folder",
            f"wallwalk check -- {_named(written)}",
            1,
            "",
            f"HOLD | {shown}/{shown} | {_PLAIN}",
            before=f"mkdir ./{_named(written)}; cp kitchen.yaml ./{_named(written)}/{_named(written)}",
        )
        for written, shown in _NAMES[2:]
    ),
    *(
        Row(
            "odd name of no survey",
            f"wallwalk check -- {_named(written)}",
            2,
            f"{shown}: is not there; give the path of a YAML file",
        )
        for written, shown in _NAMES
    ),
    Row("odd name of an output", f"wallwalk blank -o {_NEWLINE}", 0, "", "Wrote a\\n.yaml", left=("a\n.yaml",)),
    Row("odd name of an output", f"wallwalk blank -o {_NO_UTF8}", 0, "", "Wrote a\\udcff.yaml", left=("a\\xff.yaml",)),
    Row(
        "odd name of an output that is there",
        f"wallwalk blank -o {_NEWLINE}",
        2,
        "a\\n.yaml: is there already; give another name, or add --overwrite",
        before=f"touch {_NEWLINE}",
    ),
    Row(
        "odd names, on a board",
        "wallwalk board . --today 2026-03-09 -o a.json -o a.csv -o a.html -o a.ics",
        1,
        "",
        "1 of 2 spaces ready | Quillen Ferry Clinic, refit and link",
        left=("a.csv", "a.html", "a.ics", "a.json"),
        before="; ".join(f"cp kitchen.yaml ./{_named(written)}" for written, _ in _NAMES),
    ),
)
"""A name is shown on one line, whatever it holds, and the file under it is the one that was meant."""

_DEEP = "$(printf 'd%.0s' {1..5000})"
PLACES = (
    Row(
        "path too long",
        f"wallwalk check {_DEEP}.yaml",
        2,
        f"stopped: [Errno 36] File name too long: '{'d' * 5000}.yaml'; give a shorter name",
    ),
    Row(
        "path too long",
        f"wallwalk check kitchen.yaml -o {_DEEP}.json",
        2,
        f"{'d' * 5000}.json: cannot be written (File name too long); give a shorter name",
        HOLDS,
    ),
    Row(
        "path too long",
        f"wallwalk verify {_DEEP}",
        2,
        f"{'d' * 5000}: cannot be read (File name too long); give the path of a filed record that you may read",
    ),
    Row(
        "part of the path is a file",
        "wallwalk check room.yaml/x.yaml",
        2,
        "room.yaml/x.yaml: is not there; give the path of a YAML file",
    ),
    Row(
        "part of the path is a file",
        "wallwalk check kitchen.yaml -o room.yaml/x.json",
        2,
        "room.yaml/x.json: cannot be written (Not a directory); give a folder that is there and that you may write to",
        HOLDS,
    ),
    Row(
        "part of the path is a file",
        "wallwalk walk room.yaml/x.yaml",
        2,
        "room.yaml/x.yaml: cannot be written (Not a directory); give a folder that is there and that you may write to",
    ),
    Row(
        "part of the path is a file",
        "wallwalk board room.yaml/x",
        2,
        "room.yaml/x: is not there; give the folder that the surveys are in",
    ),
    Row(
        "part of the path is a file",
        "wallwalk rules new mine --in room.yaml",
        2,
        "room.yaml: is no folder; give --in a folder that is there",
    ),
    Row(
        "the folder one stands in is gone",
        "cd sub && rmdir ../sub && wallwalk check $OLDPWD/room.yaml",
        0,
        "",
        PASSES,
        before="mkdir sub",
    ),
    Row(
        "the folder one stands in is gone",
        "cd sub && rmdir ../sub && wallwalk check room.yaml",
        2,
        "room.yaml: is not there; give the path of a YAML file",
        before="mkdir sub",
    ),
    Row(
        "survey in the place of its log",
        _CHECK,
        2,
        'room.yaml:103: climate_log[0].file is "204-treatment-room.csv", which is no file; '
        "name the CSV file that the logger wrote",
        before="rm *.csv; mkdir 204-treatment-room.csv",
    ),
    Row(
        "log gone",
        _CHECK,
        2,
        'room.yaml:103: climate_log[0].file is "204-treatment-room.csv", which cannot be read '
        "(No such file or directory); put the logger's file there, or write its name",
        before="rm *.csv",
    ),
)
"""A path that leads nowhere is said with the path."""
