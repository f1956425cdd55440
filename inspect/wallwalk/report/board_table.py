"""The board as a table (CSV, RFC 4180): a row for each thing open in a space, one row for a space with nothing open.

It is read by spreadsheets, which run a cell that begins like a formula: such a cell gets an apostrophe before it.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator

from wallwalk.board_todo import Part
from wallwalk.errors import on_one_line
from wallwalk.report.board_words import STATE_WORDS, release_says
from wallwalk.words import words_in

COLUMNS = (
    "project",
    "level",
    "space",
    "area",
    "state",
    "walked",
    "planned start",
    "earliest start",
    "walk lapses",
    "party",
    "theme",
    "check",
    "walls",
    "outcome",
    "says",
    "do",
    "file",
)

_FORMULA = re.compile(r"(^[\s'\"]*|[;\t\r\n]\s*\"?)(?=[=+\-@\uff0b\uff0d\uff1d\uff20])")
"""Where a spreadsheet would begin a formula: at the start of a cell, or behind what it may part cells by."""
_NOT_FIRST = ("\t", "\r", "\n")
"""What spreadsheets pass over before they look for a formula."""


def render_board_table(board: Part) -> bytes:
    """The board as CSV in UTF-8 with the mark that spreadsheets know it by; moments are RFC 3339."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    writer.writerows([harmless(on_one_line(cell)) for cell in row] for row in _rows(board))
    return text.getvalue().encode("utf-8-sig")


def harmless(cell: str) -> str:
    """`cell` so that no spreadsheet takes it for a formula: an apostrophe stands before what it would begin with."""
    told = _FORMULA.sub(lambda found: f"{found[1]}'", cell)
    return f"'{told}" if told[:1] in _NOT_FIRST else told


def _rows(board: Part) -> Iterator[list[str]]:
    words = words_in(board["language"])
    for space in board["spaces"]:
        earliest = space["earliest"] or {"at": None, "until": None}
        moments = (space["start"], earliest["at"], earliest["until"])
        head = [
            *(space[part] for part in ("project", "level", "name", "area")),
            words.tell(STATE_WORDS[space["state"]]),
            space["walked"],
            *(moment["at"] if moment else "" for moment in moments),
        ]
        files = "; ".join((*space["files"], *(one["file"] for one in space["unread"])))
        for one in space["open"]:
            says = (
                release_says(one["released"], words) if one["released"] else one["says"] or "; ".join(one["find_out"])
            )
            do = "" if one["released"] or one["clears"] else one["do"]
            yield [
                *head,
                one["party"],
                one["theme_title"],
                one["title"],
                ", ".join(one["where"]),
                one["outcome"],
                says,
                do,
                files,
            ]
        if not space["open"]:
            says = " ".join(said for one in space["unread"] for said in one["says"])
            yield [*head, "", "", "", "", "", says, "", files]
    for one in board["unread"]:
        yield ["", "", "", "", words.tell(STATE_WORDS["not known"]), *[""] * 9, " ".join(one["says"]), "", one["file"]]
