"""The readiness board as plain data: every space of a folder, what is open in it, and who unblocks most."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import wallwalk
from wallwalk.board_days import DAYS_AHEAD, days_ahead, show_day
from wallwalk.board_spaces import NOT_KNOWN, READY, STATES, Space, Unread, history, open_parts, spaces_of
from wallwalk.board_todo import Part, to_do
from wallwalk.board_walk import Walk
from wallwalk.rules import LAXER
from wallwalk.spaces_reader import SpacesList
from wallwalk.words import words_in

FORM = 1
"""The number of the board's form; it goes up when a field changes its meaning."""


@dataclass(frozen=True, slots=True)
class Passed:
    """A file that is no walk and none that might be one: what it is."""

    file: str
    what: str


@dataclass(frozen=True, slots=True)
class Asked:
    """What a board is made for: the folder by name, the day it looks from, and the language.

    `start`: the start given for all instead of each survey's own, as written; empty where none is. `starts`: that start
    by file, as an ISO moment in the zone of the file's site.
    """

    folder: str
    today: date
    language: str
    start: str
    starts: Mapping[str, str]


def build_board(
    walks: Sequence[Walk],
    unread: Sequence[Unread],
    passed: Iterable[Passed],
    listed: SpacesList | None,
    asked: Asked,
) -> Part:
    """The board: all that any form of it is drawn from. Everything in it is text, a whole number or a truth."""
    words = words_in(asked.language)
    spaces = spaces_of(walks, unread, listed.places if listed else None, asked.starts)
    numbers = {id(space): i for i, space in enumerate(spaces, 1)}
    today = asked.today.isoformat()
    shown = [_space(space, numbers[id(space)], today) for space in spaces]
    placed = {one.file for space in spaces for one in space.unread}
    return {
        "board": FORM,
        "language": asked.language,
        "tool": {"name": "wallwalk", "version": wallwalk.__version__},
        "folder": asked.folder,
        "today": {
            "at": today,
            "shown": show_day(asked.today, words),
        },
        "days_ahead": DAYS_AHEAD,
        "start": asked.start,
        "projects": list(dict.fromkeys(space["project"] for space in shown)),
        "rule_sets": _rule_sets(spaces),
        "counts": {state: sum(1 for space in shown if space["state"] == state) for state in STATES},
        "spaces": shown,
        "to_do": to_do(spaces, numbers),
        "days": days_ahead(spaces, numbers, asked.today, words),
        "unread": [_faults(one) for one in sorted(unread, key=lambda one: one.file) if one.file not in placed],
        "passed_over": [{"file": one.file, "what": one.what} for one in sorted(passed, key=lambda one: one.file)],
        "list": {"file": listed.file, "sha256": listed.sha256, "entries": len(listed.places)} if listed else None,
    }


def is_ready(board: Part) -> bool:
    """Whether every space of the board is ready, and no file might hold another."""
    return not board["unread"] and all(space["state"] == READY for space in board["spaces"])


def _space(space: Space, number: int, today: str) -> Part:
    walk, place = space.walk, space.place
    state = space.state(today)
    return {
        "number": number,
        "project": place.project,
        "name": place.name,
        "level": place.level,
        "area": place.area,
        "listed": space.listed,
        "state": state,
        "verdict": walk.verdict if walk and state != NOT_KNOWN else "",
        "relaxed": any(one["way"] in LAXER for one in walk.rules["overrides"]) if walk else False,
        "walked": walk.walked if walk else "",
        "walked_by": walk.walked_by if walk else "",
        "start": walk.start if walk else None,
        "earliest": walk.earliest if walk else None,
        "lapsed": space.has_lapsed(today),
        "files": list(space.files),
        "filed": bool(walk and walk.entries is not None),
        "differs": space.differs,
        "for_another_start": space.for_another_start,
        "open": list(open_parts(walk)),
        "same_time": list(history(space.tied)),
        "earlier": list(history(space.earlier)),
        "unread": [_faults(one) for one in space.unread],
    }


def _faults(unread: Unread) -> Part:
    return {"file": unread.file, "says": [str(fault) for fault in unread.faults.faults]}


def _rule_sets(spaces: Iterable[Space]) -> list[Part]:
    """Each rule set that a space is judged by, with what is laid over it, and in how many spaces."""
    found: dict[tuple[object, ...], Part] = {}
    count: dict[tuple[object, ...], int] = {}
    for space in spaces:
        if space.walk is not None:
            rules = space.walk.rules
            key = (rules["name"], rules["sha256"], *(overlay["sha256"] for overlay in rules["overlays"]))
            found.setdefault(key, rules)
            count[key] = count.get(key, 0) + 1
    return [{**rules, "spaces": count[key]} for key, rules in sorted(found.items(), key=lambda one: one[0])]
