"""Rows of the table: inputs in other line ends and other letters."""

from __future__ import annotations

from faulty import PASSES, Row

_AS_WINDOWS = "for f in {files}; do sed -i 's/$/\\r/; 1s/^/\\xef\\xbb\\xbf/' $f; done"
_RULES = 'cp -r "$TREE/../rules/rigid-sheet" mine'
_OVERLAY = 'cp "$TREE/../examples/overlays/nessuval-2026.yaml" over.yaml'
_SPACES = "printf 'name,level\\n204 Treatment room,2\\nVault,1\\n' > spaces.csv"
_SPACES_YAML = "printf 'spaces:\\n  - {name: 204 Treatment room}\\n  - {name: Vault}\\n' > spaces.yaml"
_CHECK = "wallwalk check room.yaml"
_SPACE_BOARD = "wallwalk board . --today 2026-03-09 --spaces"

WINDOWS = (
    Row("Windows line ends and a BOM: survey", _CHECK, 0, "", PASSES, before=_AS_WINDOWS.format(files="room.yaml")),
    Row("Windows line ends and a BOM: log", _CHECK, 0, "", PASSES, before=_AS_WINDOWS.format(files="*.csv")),
    Row(
        "Windows line ends and a BOM: overlay",
        f"{_CHECK} --overlay over.yaml",
        0,
        "",
        PASSES,
        before=f"{_OVERLAY}; {_AS_WINDOWS.format(files='over.yaml')}",
    ),
    Row(
        "Windows line ends and a BOM: rule set",
        f"{_CHECK} --rules mine",
        0,
        "",
        PASSES,
        before=f"{_RULES}; {_AS_WINDOWS.format(files='mine/*.yaml')}",
    ),
    Row(
        "Windows line ends and a BOM: list of spaces",
        f"{_SPACE_BOARD} spaces.csv | grep -c Vault",
        0,
        "",
        "1",
        before=f"{_SPACES}; {_AS_WINDOWS.format(files='spaces.csv')}",
    ),
    Row(
        "Windows line ends and a BOM: list of spaces",
        f"{_SPACE_BOARD} spaces.yaml | grep -c Vault",
        0,
        "",
        "1",
        before=f"{_SPACES_YAML}; {_AS_WINDOWS.format(files='spaces.yaml')}",
    ),
    Row(
        "Windows line ends and a BOM: survey that is walked on",
        "wallwalk walk kitchen.yaml | tail -1; exit ${PIPESTATUS[0]}",
        1,
        "",
        "Every answer is in kitchen.yaml. The report: wallwalk check kitchen.yaml",
        before=_AS_WINDOWS.format(files="kitchen.yaml"),
    ),
    Row(
        "Windows line ends and a BOM: record",
        "wallwalk compare record.json record.json",
        2,
        "record.json: the file: was written anew by something else; a filed record has one way to be written; "
        "compare the record as it was filed; wallwalk verify says more",
        before=_AS_WINDOWS.format(files="record.json"),
    ),
    Row(
        "old line ends (CR alone): survey",
        _CHECK,
        0,
        "",
        PASSES,
        before="tr '\\n' '\\r' < room.yaml > x; mv x room.yaml",
    ),
)
"""Such files are read as the others; a record is not what was filed, once its bytes are others."""

_UTF16 = "iconv -f utf8 -t utf16 {file} > x; mv x {file}"
_CP1252 = "iconv -c -f utf8 -t cp1252 {file} > x; mv x {file}"
LETTERS = (
    Row(
        "UTF-16: survey",
        _CHECK,
        2,
        "room.yaml: is written in UTF-16; save it as UTF-8 text",
        before=_UTF16.format(file="room.yaml"),
    ),
    Row("UTF-16: log", _CHECK, 0, "", PASSES, before="iconv -f utf8 -t utf16 *.csv > x; mv x 204-treatment-room.csv"),
    Row(
        "UTF-16: overlay",
        f"{_CHECK} --overlay over.yaml",
        2,
        "over.yaml: is written in UTF-16; save it as UTF-8 text",
        before=f"{_OVERLAY}; {_UTF16.format(file='over.yaml')}",
    ),
    Row(
        "UTF-16: rule set",
        f"{_CHECK} --rules mine",
        2,
        "mine/wall.yaml: is written in UTF-16; save it as UTF-8 text",
        before=f"wallwalk rules new mine >/dev/null; {_UTF16.format(file='mine/wall.yaml')}",
    ),
    Row(
        "UTF-16: list of spaces",
        f"{_SPACE_BOARD} spaces.csv",
        2,
        "spaces.csv: is written in UTF-16; save it as UTF-8 text",
        before=f"{_SPACES}; {_UTF16.format(file='spaces.csv')}",
    ),
    Row(
        "Windows-1252: survey",
        _CHECK,
        2,
        "room.yaml:19: has the byte 0xed, which is not UTF-8 text; save the file as UTF-8",
        before=_CP1252.format(file="room.yaml"),
    ),
    Row(
        "Windows-1252: log",
        _CHECK,
        0,
        "",
        PASSES,
        before="iconv -f utf8 -t cp1252 *.csv > x; mv x 204-treatment-room.csv",
    ),
    Row(
        "Windows-1252: list of spaces",
        f"{_SPACE_BOARD} spaces.csv",
        2,
        "spaces.csv:2: has the byte 0xf1, which is not UTF-8 text; save the file as UTF-8",
        before="printf 'name\\nBa\\xf1o\\n' > spaces.csv",
    ),
    Row(
        "Windows-1252: record",
        "wallwalk verify record.json",
        2,
        "record.json: is no JSON that can be read; give a file that wallwalk check or wallwalk sign wrote",
        before=_CP1252.format(file="record.json"),
    ),
)
"""One message; a log in other letters is read, since its figures are the same in each."""
