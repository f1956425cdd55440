"""The whole judgement: every rule for every subject, the verdict, and the earliest start by trying."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from typing import Any, NamedTuple

from . import (
    rules_board,
    rules_climate,
    rules_coatings,
    rules_damp,
    rules_face,
    rules_log,
    rules_material,
    rules_primer,
    rules_quantities,
    rules_record,
    rules_safety,
    rules_space,
)
from .clocks import read_moment
from .logbook import Log
from .papers import Answers
from .ranges import FAR, exactly
from .room import Room
from .truth import APART, PASS, Truth

THEMES = (
    rules_safety,
    rules_record,
    rules_space,
    rules_board,
    rules_damp,
    rules_face,
    rules_coatings,
    rules_primer,
    rules_climate,
    rules_log,
    rules_material,
    rules_quantities,
)
WAITS = (0, 24, 28 * 24)
"""Hours that any rule waits: till the walk, a day, 28 days."""
SPACE = "space"

Found = tuple[tuple[str, str], str, list[Truth]]
"""A rule and a subject, the outcome, and the answers of all that it waits for."""
Asked = tuple[Callable[..., str], str, tuple[Answers, ...]]
"""A rule, the name of a subject, and the wall where it is one."""
Findings = dict[tuple[str, str], str]
"""The outcome of each rule for each subject, by the names of both."""


class Judgement(NamedTuple):
    """What is said of a room: the earliest start in hours since 1970, None where no clock is known.

    `rough`: the findings that a judge who cuts less cleverly may leave not verified.
    """

    verdict: str
    findings: Findings
    earliest: Fraction | None
    rough: frozenset[tuple[str, str]] = frozenset()


def judge(document: Mapping[str, Any], logs: list[Log | None] | None = None) -> Judgement:
    """Judge a survey, its document as plain data; `logs` is what its logger files show."""
    room = Room(document, logs=logs)
    findings, rough = {}, set()
    for key, outcome, _ in _each(room):
        findings[key] = outcome
        rough |= {key} if room.rough else set()
    hold = {name_of(rule) for rule, _, holds in rules() if holds}
    stands = any(rule in hold and outcome not in (PASS, APART) for (rule, _), outcome in findings.items())
    return Judgement("hold" if stands else "pass", findings, earliest_start(document, logs), frozenset(rough))


def name_of(rule: Callable[..., str]) -> str:
    """A rule is called as its function is."""
    return rule.__name__.replace("_", "-")


def rules() -> Iterator[tuple[Callable[..., str], str, bool]]:
    """Every rule, what it is about, and whether it holds the work."""
    for theme in THEMES:
        yield from ((rule, SPACE, True) for rule in theme.SPACE_HOLDS)
        yield from ((rule, SPACE, False) for rule in theme.SPACE_CAUTIONS)
        yield from ((rule, "wall", True) for rule in theme.WALL_HOLDS)
        yield from ((rule, "wall", False) for rule in theme.WALL_CAUTIONS)


def _each(room: Room) -> Iterator[Found]:
    """Every finding, with the answers of what it waits for."""
    for rule, about, _ in rules():
        for name, wall in _subjects(room, about):
            yield _one(room, rule, name, wall)


def _one(room: Room, rule: Callable[..., str], subject: str, wall: tuple[Answers, ...]) -> Found:
    room.waits, room.rough, room.opens = [], False, None
    outcome = rule(room, *wall)
    room.opens = None if outcome == APART else room.opens
    return (name_of(rule), subject), outcome, room.waits


def earliest_start(document: Mapping[str, Any], logs: list[Log | None] | None = None) -> Fraction | None:
    """The first moment by which every wait that ever ends has ended: each candidate is tried, one after another."""
    room = Room(document, logs=logs)
    by_log = [_one(room, *asked) and room.opens for asked in _waiting(room, BY_LOG)]
    found = [moment for moment in by_log if moment is not None]
    pending, ended = list(_waiting(room, BY_CLOCK)), dict[tuple[tuple[str, str], int], Fraction]()
    for moment in _candidates(document):
        room.start = exactly(moment)
        for asked in pending.copy():
            key, outcome, waits = _one(room, *asked)
            for number, answer in enumerate(waits):
                if answer and outcome != APART:
                    ended.setdefault((key, number), moment)
            if outcome == APART or all(waits):
                pending.remove(asked)
    return max([*found, *ended.values()], default=None)


def _waiting(room: Room, names: tuple[str, ...]) -> Iterator[Asked]:
    """Only the rules that wait, and hold the work while they do."""
    for rule, about, holds in rules():
        if holds and name_of(rule) in names:
            for name, wall in _subjects(room, about):
                yield rule, name, wall


def _subjects(room: Room, about: str) -> Iterator[tuple[str, tuple[Answers, ...]]]:
    if about == SPACE:
        yield SPACE, ()
    else:
        yield from ((name, (wall,)) for name, wall in room.subjects.items())


BY_CLOCK = (
    "walk-is-fresh",
    "cement-work-cured",
    "primer-has-dwelled",
    "patch-primer-has-dwelled",
    "air-readings-recent",
    "moisture-readings-recent",
    "surface-readings-recent",
    "sheets-acclimated",
    "adhesive-acclimated",
)
BY_LOG = ("band-held-before-start", "sheets-acclimated-by-the-log", "adhesive-acclimated-by-the-log")


def _candidates(document: Mapping[str, Any]) -> list[Fraction]:
    room = Room(document)
    found = {end + wait for text in _moments(document) for end in read_moment(text, room.zone) for wait in WAITS}
    return sorted(Fraction(end) for end in found if -FAR < end < FAR)


def _moments(node: object) -> Iterator[str]:
    """All that looks like a moment, anywhere in the document."""
    if isinstance(node, Mapping):
        node = list(node.values())
    if isinstance(node, list):
        for part in node:
            yield from _moments(part)
    elif isinstance(node, str) and len(node) >= 10 and node[4:5] == "-" and node[7:8] == "-" and node[:4].isdigit():
        yield node
