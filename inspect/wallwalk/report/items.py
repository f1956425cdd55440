"""Items of a report: each rule that has something to say, with the subjects it says it of, alike ones together."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Against:
    """One thing measured, and what is required of it."""

    fact: str
    measured: str
    required: str


@dataclass(frozen=True, slots=True)
class Line:
    """One subject of one item: its name, what is said of it, and what was measured against what."""

    subject: str
    says: str
    measured: str
    required: str
    clears: str
    lacking: tuple[str, ...]
    against: tuple[Against, ...]


@dataclass(frozen=True, slots=True)
class Point:
    """The subjects of an item of which the very same is said."""

    subjects: tuple[str, ...]
    where: str
    says: str
    against: tuple[Against, ...]
    clears: str
    lacking: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Item:
    """One rule that has something to say, with a line for each subject it says it of."""

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

    @property
    def heading(self) -> str:
        """What a caution is headed by: what is the matter, or what is not verified; never the opposite."""
        said = [point.says for point in self.points if point.says]
        return said[0] if said else f"Not verified: {self.title}"


@dataclass(frozen=True, slots=True)
class Around:
    """What stands around a finding: all walls written down, and the place of each subject in the survey."""

    walls: tuple[str, ...]
    places: Mapping[tuple[str, str], str]


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
    lines = tuple(_line(f) for f in group)
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
        points=tuple(_points(group, lines, around)),
        where=where_of({f["subject"]: subject_title(f["about"], f["subject"]) for f in group}, around),
    )


def _points(group: list[Any], lines: Iterable[Line], around: Around) -> Iterable[Point]:
    alike: dict[tuple[Any, ...], dict[str, str]] = {}
    for finding, line in zip(group, lines, strict=True):
        lacking = tuple(q.shown for q in questions_of(finding, line, around)) if line.lacking else ()
        said = (line.says, line.against, line.clears, lacking)
        alike.setdefault(said, {})[line.subject] = subject_title(finding["about"], line.subject)
    for (says, against, clears, lacking), shown in alike.items():
        yield Point(tuple(shown.values()), where_of(shown, around), says, against, clears, lacking)


def subject_title(about: str, name: str) -> str:
    """How the name of a subject is shown."""
    return "The space" if about == "space" else name


def where_of(shown: Mapping[str, str], around: Around) -> str:
    """The subjects in one line, in the order of the survey; `shown` gives how the name of each is shown."""
    walls = [name for name in around.walls if name in shown]
    others = [name for name in around.walls if name not in shown]
    if len(walls) != len(shown) or len(walls) < 3:
        return _listed(shown.values())
    if not others:
        return f"All {len(walls)} walls"
    if 3 * len(others) <= len(walls):
        return f"All walls but {_listed(others)}"
    return _listed(walls)


def _listed(names: Iterable[str]) -> str:
    together = tuple(names)
    return ("; " if any("," in name for name in together) else ", ").join(together)


def _line(finding: Any) -> Line:  # noqa: ANN401 - a part of the record
    deciding = [c for c in finding["compared"] if c["verdict"] == finding["outcome"]]
    if finding["outcome"] == "hold":  # what made the rule apply is no part of what is wrong
        deciding = [c for c in deciding if not c["decides_applying"]]
    deciding = deciding or [c for c in finding["compared"] if c["verdict"] != "pass"]
    clears = finding["clears_at"]["shown"] if finding["clears_at"] and finding["waiting_clears_it"] else ""
    if finding["not_before"]:
        clears = f"not before {finding['not_before']['shown']}, and not by waiting alone"
    return Line(
        subject=finding["subject"],
        says=finding["says"],
        measured="; ".join(f"{c['fact_title']}: {c['measured']}" for c in deciding),
        required="; ".join(c["required"] for c in deciding),
        clears=clears,
        lacking=tuple(_lacking(finding, deciding)),
        against=tuple(Against(c["fact_title"], c["measured"], c["required"]) for c in deciding),
    )


def _too_wide(fact: str, measured: str, required: str) -> str:
    return f"{fact}: {measured} is too wide to tell; required: {required}"


def _lacking(finding: Any, deciding: list[Any]) -> Iterable[str]:  # noqa: ANN401
    if finding["outcome"] != "not verified":
        return
    for missing in finding["missing"]:
        lacking = "" if missing["lacking"] == "not answered" else f": {missing['lacking']}"
        yield f"{missing['title'].rstrip('?')}{lacking} ({missing['place']})"
    if not finding["missing"]:
        for compared in deciding:
            yield _too_wide(compared["fact_title"], compared["measured"], compared["required"])


def questions_of(finding: Any, line: Line, around: Around) -> Iterable[Question]:  # noqa: ANN401
    """What to write and where. The number of the wall is left out, so that the same question of many walls is one."""
    about, own = finding["about"], around.places[finding["about"], line.subject]
    if not finding["missing"]:
        for against in line.against:
            yield Question(_too_wide(against.fact, against.measured, against.required), "", about)
    for missing in finding["missing"]:
        title, lacking, place = missing["title"], missing["lacking"], missing["place"]
        what = title if lacking == "not answered" else f"{title.rstrip('?')}: {lacking}"
        if own and place.startswith(f"{own}."):
            yield Question(what, re.sub(r"\[\d+\]$", "[…]", own) + place.removeprefix(own), about)
        else:
            yield Question(what, place, "space")
