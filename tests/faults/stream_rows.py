"""Rows of the table: streams that are shut or full, and the language and letters of the terminal."""

from __future__ import annotations

from faulty import HOLDS, PASSES, Row

_CHECK = "wallwalk check room.yaml"
_SHUT = "standard output is closed; let it go to a terminal, a file or /dev/null"
_FULL = "stopped: [Errno 28] No space left on device; give other files, or make room"
_END = "| tail -1; exit ${PIPESTATUS[0]}"

STREAMS = (
    *(
        Row("standard output full", f"wallwalk {c} >/dev/full", 2, _FULL)
        for c in (
            "check room.yaml -o a.json",
            "check . -o a.jsonl",
            "blank",
            "--help",
            "walk a.yaml",
        )
    ),
    *(
        Row("standard output closed", f"wallwalk {c} >&-", 2, _SHUT)
        for c in ("check room.yaml -o a.json", "--help", "--version", "walk a.yaml")
    ),
    *(
        Row("standard output is a pipe that nobody reads", f"wallwalk {c} | true; exit ${{PIPESTATUS[0]}}", 2)
        for c in ("check room.yaml -o a.json", "rules show", "--help")
    ),
    Row("standard error closed", "wallwalk check none.yaml 2>&-", 2),
    Row("standard error full", "wallwalk check none.yaml 2>/dev/full", 2),
    Row("standard error full", "wallwalk check --none 2>/dev/full", 2),
    Row("standard error closed, of many", "wallwalk check none.yaml room.yaml 2>&-", 2, "", "NOT CHECKED | none.yaml"),
    Row("every stream closed", f"{_CHECK} -o a.json <&- >&- 2>&-", 2),
    Row(
        "input and error closed",
        f"{_CHECK} -o a.json <&- 2>&- && cmp a.json record.json",
        0,
        "",
        PASSES,
        left=("a.json",),
    ),
    Row("input closed", f"wallwalk walk a.yaml <&- {_END}", 1, "", "Nothing was answered, so there is no file."),
    Row("input ends at once", f"wallwalk walk a.yaml {_END}", 1, "", "Nothing was answered, so there is no file."),
    Row(
        "input ends in a line",
        f"wallwalk walk a.yaml < typed {_END}",
        1,
        "",
        "Every answer is in a.yaml. The report: wallwalk check a.yaml",
        left=("a.yaml",),
        before="printf 'America/Chicago\\nQuill' > typed",
    ),
)
"""A verdict that cannot be said is none; nothing that is written gets the number of a closed stream."""

_OLD = "LC_ALL=C PYTHONUTF8=0 PYTHONCOERCECLOCALE=0"
TERMINAL = (
    *(
        Row(f"language of the machine: {said}", f"env {said} {_CHECK}", 0, same=_CHECK)
        for said in (
            "LC_ALL=nonsense",
            "LC_ALL=tr_TR.UTF-8 LANG=tr_TR",
            _OLD,
            "-u TERM -u LANG",
            "COLUMNS=20",
            "COLUMNS=0",
        )
    ),
    *(
        Row(
            f"letters of the terminal: {letters}",
            f"PYTHONIOENCODING={letters} wallwalk check kitchen.yaml",
            1,
            "",
            HOLDS,
        )
        for letters in ("ascii",)
    ),
    Row(
        "letters of the terminal: latin-1",
        f"PYTHONIOENCODING=latin-1 {_CHECK} | iconv -f latin1 | grep -o 'Ib.*ld.n'",
        0,
        "",
        "Ibáñez Roldán",
    ),
    Row(
        "letters of the terminal: cp1251", f"PYTHONIOENCODING=cp1251 {_CHECK} | grep -o 'Luc.*xeda'", 0, "", "Luc\\xeda"
    ),
    Row(
        f"letters of the terminal: {_OLD}",
        f"{_OLD} {_CHECK} -o a.json && cmp a.json record.json",
        0,
        "",
        PASSES,
        left=("a.json",),
    ),
    Row(
        "typed letters that are none",
        "wallwalk walk a.yaml < typed | grep -o 'signs that are no text'; exit ${PIPESTATUS[0]}",
        1,
        "",
        "signs that are no text",
        left=("a.yaml",),
        before="printf 'America/Chicago\\n\\xff\\xfe\\n' > typed",
    ),
    Row("COLUMNS=1", "COLUMNS=1 wallwalk --help", 0, "", "Usage: wallwalk [OPTIONS] COMMAND [ARGS]..."),
)
"""What is judged is the same in every language of the machine, and letters that it lacks end nothing."""

HOME = tuple(
    Row(f"HOME {what}", f"env -u WALLWALK_CACHE -u XDG_CACHE_HOME {said} {_CHECK}", 0, same=_CHECK)
    for what, said in (
        ("not set", "-u HOME"),
        ("not writable", "HOME=/proc"),
    )
)
"""Nothing is kept then, and nothing else is amiss."""
