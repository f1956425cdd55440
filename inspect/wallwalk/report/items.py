"""Items of a report: each rule that has something to say, with the subjects it says it of, alike ones together."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from wallwalk.answers import NOT_ANSWERED
from wallwalk.report.photos import PhotoLine
from wallwalk.words import Words

WALLS_UPRIGHT = 6
"""The most walls side by side in a table on paper with heads that need not be turned on end."""

NAME_LONGEST = 32
"""The longest name of a wall that a head turned on end has room for."""


@dataclass(frozen=True, slots=True)
class Against:
    """One thing measured, and what is required of it."""

    fact: str
    measured: str
    required: str


@dataclass(frozen=True, slots=True)
class Line:
    """One subject of one item: its name, what is said of it, and what was measured against what.

    `clears` is when it clears, if ever; `waits` says that waiting alone does it.
    """

    subject: str
    says: str
    measured: str
    required: str
    clears: str
    waits: bool
    lacking: tuple[str, ...]
    against: tuple[Against, ...]


@dataclass(frozen=True, slots=True)
class Point:
    """The subjects of an item of which the very same is said; `brief` is where that is, as paper has room for it."""

    subjects: tuple[str, ...]
    where: str
    brief: str
    says: str
    against: tuple[Against, ...]
    clears: str
    waits: bool
    lacking: tuple[str, ...]
    photos: tuple[PhotoLine, ...] = ()


@dataclass(frozen=True, slots=True)
class Item:
    """One rule that has something to say, with a line for each subject it says it of.

    `heading` is what a caution is headed by: what is the matter, or what is not verified; never the opposite.
    `photos` are those that belong to no one point of it.
    """

    number: int
    rule: str
    theme: str
    title: str
    grade: str
    put_right: str
    by: str
    why: str
    basis: str
    lines: tuple[Line, ...]
    points: tuple[Point, ...]
    where: str
    brief: str
    heading: str
    photos: tuple[PhotoLine, ...] = ()

    @property
    def all_photos(self) -> tuple[PhotoLine, ...]:
        """Its photos, those of its points first."""
        return (*(photo for point in self.points for photo in point.photos), *self.photos)


@dataclass(frozen=True, slots=True)
class PartyList:
    """What one party must put right."""

    party: str
    title: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Around:
    """What stands around a finding: all walls written down, the place of each subject in the survey, the language."""

    walls: tuple[str, ...]
    places: Mapping[tuple[str, str], str]
    words: Words

    @property
    def by_number(self) -> bool:
        """Whether lists of walls are of their numbers: many walls, of names so long that no table has room for them."""
        return len(self.walls) > WALLS_UPRIGHT and max(map(len, self.walls)) > NAME_LONGEST


@dataclass(frozen=True, slots=True)
class Question:
    """One thing to write down. `about` says whether it is asked of each wall or once of the space."""

    what: str
    place: str
    about: str

    @property
    def shown(self) -> str:
        """What to write down and where, in one line."""
        return f"{self.what} ({self.place})" if self.place else self.what


def items_of(findings: Iterable[Any], first: int, around: Around) -> tuple[Item, ...]:
    """One item for each rule among the findings, numbered from `first`."""
    by_rule: dict[str, list[Any]] = {}
    for finding in findings:
        by_rule.setdefault(finding["rule"], []).append(finding)
    return tuple(_item(number, group, around) for number, group in enumerate(by_rule.values(), first))


def _item(number: int, group: list[Any], around: Around) -> Item:
    first = group[0]
    lines = tuple(_line(f, around.words) for f in group)
    shown = {f["subject"]: subject_title(f["about"], f["subject"], around.words) for f in group}
    points = tuple(_points(group, lines, around))
    said = [point.says for point in points if point.says]
    return Item(
        number=number,
        rule=first["rule"],
        theme=first["theme"],
        title=first["title"],
        grade=first["grade"],
        put_right=first["put_right"],
        by=first["by"],
        why=first["why"],
        basis=first["basis"],
        lines=lines,
        points=points,
        where=where_of(shown, around),
        brief=brief_of(shown, around),
        heading=said[0] if said else around.words.say("Not verified: {check}", check=first["title"]),
    )


def _points(group: list[Any], lines: Iterable[Line], around: Around) -> Iterable[Point]:
    alike: dict[tuple[Any, ...], dict[str, str]] = {}
    for finding, line in zip(group, lines, strict=True):
        lacking = tuple(q.shown for q in questions_of(finding, line, around)) if line.lacking else ()
        said = (line.says, line.against, line.clears, line.waits, lacking)
        alike.setdefault(said, {})[line.subject] = subject_title(finding["about"], line.subject, around.words)
    for (says, against, clears, waits, lacking), shown in alike.items():
        where, brief = where_of(shown, around), brief_of(shown, around)
        yield Point(tuple(shown.values()), where, brief, says, against, clears, waits, lacking)


def subject_title(about: str, name: str, words: Words) -> str:
    """How the name of a subject is shown."""
    return words.say("The space") if about == "space" else name


def where_of(shown: Mapping[str, str], around: Around) -> str:
    """The subjects in one line, in the order of the survey; `shown` gives how the name of each is shown."""
    walls = [name for name in around.walls if name in shown]
    others = [name for name in around.walls if name not in shown]
    if len(walls) != len(shown) or len(walls) < 3:
        return _listed(shown.values())
    if not others:
        return around.words.say("All {count} walls", count=len(walls))
    if 3 * len(others) <= len(walls):
        return around.words.say("All walls but {walls}", walls=_listed(others))
    return _listed(walls)


def brief_of(shown: Mapping[str, str], around: Around) -> str:
    """The same for paper, which lists the walls once by number where their names are too long to be told again."""
    numbers = [number for number, name in enumerate(around.walls, 1) if name in shown]
    if not around.by_number or len(numbers) != len(shown) or len(numbers) in (1, len(around.walls)):
        return where_of(shown, around)
    return around.words.say("walls {numbers}", numbers=", ".join(runs_of(numbers)))


def runs_of(numbers: Iterable[int]) -> Iterable[str]:
    """Numbers that rise, in words, with each three or more in a row as first and last."""
    for _, run in groupby(enumerate(numbers), lambda one: one[1] - one[0]):
        together = [number for _, number in run]
        yield from (f"{together[0]}–{together[-1]}",) if len(together) > 2 else map(str, together)


def _listed(names: Iterable[str]) -> str:
    together = tuple(names)
    return ("; " if any("," in name for name in together) else ", ").join(together)


def _line(finding: Any, words: Words) -> Line:  # noqa: ANN401 - a part of the record
    deciding = [c for c in finding["compared"] if c["verdict"] == finding["outcome"]]
    if finding["outcome"] == "hold":  # what made the rule apply is no part of what is wrong
        deciding = [c for c in deciding if not c["decides_applying"]]
    deciding = deciding or [c for c in finding["compared"] if c["verdict"] != "pass"]
    clears = finding["clears_at"]["shown"] if finding["clears_at"] and finding["waiting_clears_it"] else ""
    if finding["not_before"]:
        clears = words.say("not before {when}, and not by waiting alone", when=finding["not_before"]["shown"])
    return Line(
        subject=finding["subject"],
        says=finding["says"],
        measured="; ".join(f"{c['fact_title']}: {c['measured']}" for c in deciding),
        required="; ".join(c["required"] for c in deciding),
        clears=clears,
        waits=bool(clears) and not finding["not_before"],
        lacking=tuple(_lacking(finding, deciding, words)),
        against=tuple(Against(c["fact_title"], c["measured"], c["required"]) for c in deciding),
    )


def _too_wide(fact: str, measured: str, required: str, words: Words) -> str:
    return words.say(
        "{fact}: {measured} is too wide to tell; required: {required}", fact=fact, measured=measured, required=required
    )


def _lacking(finding: Any, deciding: list[Any], words: Words) -> Iterable[str]:  # noqa: ANN401
    if finding["outcome"] != "not verified":
        return
    for missing in finding["missing"]:
        lacking = "" if missing["lacking"] == words.tell(NOT_ANSWERED) else f": {missing['lacking']}"
        yield f"{as_statement(missing['title'])}{lacking} ({missing['place']})"
    if not finding["missing"]:
        for compared in deciding:
            yield _too_wide(compared["fact_title"], compared["measured"], compared["required"], words)


def as_statement(question: str) -> str:
    """A question without its marks, for what is said of it."""
    return question.removeprefix("¿").rstrip("?")


def questions_of(finding: Any, line: Line, around: Around) -> Iterable[Question]:  # noqa: ANN401
    """What to write and where. The number of the wall is left out, so that the same question of many walls is one."""
    about, own = finding["about"], around.places[finding["about"], line.subject]
    if not finding["missing"]:
        for against in line.against:
            yield Question(_too_wide(against.fact, against.measured, against.required, around.words), "", about)
    for missing in finding["missing"]:
        title, lacking, place = missing["title"], missing["lacking"], missing["place"]
        what = title if lacking == around.words.tell(NOT_ANSWERED) else f"{as_statement(title)}: {lacking}"
        if own and place.startswith(f"{own}."):
            yield Question(what, re.sub(r"\[\d+\]$", "[…]", own) + place.removeprefix(own), about)
        else:
            yield Question(what, place, "space")
