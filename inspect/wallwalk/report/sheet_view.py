"""A walk sheet laid out once: what the walk itself asks, then what material, papers, labels and rarer tests answer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from wallwalk.asking import JOB, Section, sections
from wallwalk.questions import SPACE, Question
from wallwalk.report.sheet_fields import Field, field_of
from wallwalk.report.sheet_rows import Place, Row, asked_once, rows_of
from wallwalk.report.sheet_tables import Table, table_of
from wallwalk.rules import RuleSet
from wallwalk.survey import Survey
from wallwalk.words import Words, words_in

WALLS = 4
"""Walls side by side on one page; so many a blank sheet has."""
_LONG_NAME, _LONG_LINE = 20, 48
"""Letters that a wall's head, and a line at the head of the sheet, can still show in one or two lines."""
_NAME = "name"
_SAFETY = "safety"
"""The theme whose rules are told in the box of cautions, where a rule set has one."""


@dataclass(frozen=True, slots=True)
class Part:
    """The rows under one title."""

    title: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Walls:
    """Some walls side by side: their numbers and names, the rows about them, and those that take a line each."""

    first: int
    names: tuple[Field, ...]
    parts: tuple[Part, ...]
    notes: tuple[Row, ...]

    @property
    def has_long_names(self) -> bool:
        """Whether a name needs more than the line of a pen."""
        return any(len(name.value) > _LONG_NAME for name in self.names)


@dataclass(frozen=True, slots=True)
class Half:
    """The walk itself, or what comes after it."""

    parts: tuple[Part, ...]
    tables: tuple[Table, ...]
    readings: tuple[Table, ...]
    walls: tuple[Walls, ...]

    def fields(self) -> Iterator[Field]:
        """Every field of it but the names of walls."""
        parts = [*self.parts, *(part for walls in self.walls for part in walls.parts)]
        rows = [row for part in parts for row in part.rows]
        rows += [row for walls in self.walls for row in walls.notes]
        rows += [row for table in (*self.tables, *self.readings) for row in table.counts]
        yield from (field for row in rows for field in row.fields)
        yield from (f for table in (*self.tables, *self.readings) for line in table.lines for f in line.fields)


@dataclass(frozen=True, slots=True)
class Sheet:
    """The whole sheet, in the language of its rule set. `cautions`: what has to be so, and what to do if it is not."""

    rule_set: RuleSet
    words: Words
    job: tuple[Row, ...]
    walk: Half
    after: Half
    cautions: tuple[tuple[str, str], ...]

    @property
    def is_roomy(self) -> bool:
        """Whether a name at its head is too long for a quarter of the page."""
        written = (field for row in self.job for field in row.fields if row.is_written and not row.is_long)
        return any(len(field.value) > _LONG_LINE for field in written)

    def fields(self) -> Iterator[Field]:
        """Every field on it, once."""
        yield from (field for row in self.job for field in row.fields)
        yield from (name for walls in self.walk.walls for name in walls.names)
        yield from (*self.walk.fields(), *self.after.fields())


def lay_out_sheet(rule_set: RuleSet, survey: Survey | None = None, walls: int | None = None) -> Sheet:
    """Everything that `rule_set` asks, with what `survey` says already, for that many `walls` and all it lists."""
    return _Layout(rule_set, survey, walls).sheet()


class _Layout:
    """One sheet being laid out."""

    def __init__(self, rule_set: RuleSet, survey: Survey | None, walls: int | None) -> None:
        self.rule_set = rule_set
        self.words = words_in(rule_set.language)
        self.space = Place("", survey.space if survey else None)
        self.asked: tuple[Section, ...] = sections(rule_set)
        self.roll = next(r for r in rule_set.questions.rolls.values() if r.subject)
        known = survey.subjects(self.roll.subject) if survey else ()
        listed = [wall for wall in known if wall.listed]
        count = max(walls or (0 if listed else WALLS), len(listed))
        subjects = (*listed, *(None for _ in range(count - len(listed))))
        self.walls = tuple(Place(f"{self.roll.path}[{i}].", wall, i + 1) for i, wall in enumerate(subjects))

    def sheet(self) -> Sheet:
        """The sheet."""
        job = [one for section in self.asked if section.name == JOB for one in section.asked]
        heads = self._rows((q for q in asked_once(job) if q.about == SPACE and not q.later), (self.space,))
        cautions = tuple((r.title, r.put_right) for r in self.rule_set.rules.values() if r.theme == _SAFETY)
        halves = self._half(later=False), self._half(later=True)
        return Sheet(self.rule_set, self.words, heads, *halves, cautions)

    def _half(self, *, later: bool) -> Half:
        lists = [one for section in self.asked for one in section.asked if one.question is None]
        lists = [one for one in lists if self.rule_set.questions.rolls[one.about, one.path].later is later]
        return Half(
            tuple(self._parts(SPACE, (self.space,), later=later)),
            tuple(table_of(o, (self.space,), self.rule_set, self.words) for o in lists if o.about == SPACE),
            tuple(table_of(o, self.walls, self.rule_set, self.words) for o in lists if o.about != SPACE),
            tuple(self._side_by_side(later=later)),
        )

    def _parts(self, about: str, places: tuple[Place, ...], *, later: bool) -> Iterator[Part]:
        for section in self.asked:
            asked = [q for q in asked_once(section.asked) if q.about == about and q.later is later]
            if section.name != JOB or later:
                yield from self._under_titles(section.title, self._rows(asked, places), about, later=later)
            elif about != SPACE:  # the name stands at the head of the column, and the rest needs no title
                yield Part("", self._rows((q for q in asked if q.path != _NAME), places))

    def _under_titles(self, title: str, rows: tuple[Row, ...], about: str, *, later: bool) -> Iterator[Part]:
        """One part for the walk; of what comes later one for each group, since titles there speak of what it is."""
        if not later:
            yield from (Part(title, rows),) if rows else ()
            return
        for group, some in groupby(rows, key=lambda row: row.group):
            yield Part(self.rule_set.questions.groups.get((about, group), title), tuple(some))

    def _rows(self, asked: Iterable[Question], places: tuple[Place, ...]) -> tuple[Row, ...]:
        return tuple(rows_of(asked, places, self.rule_set, self.words))

    def _side_by_side(self, *, later: bool) -> Iterator[Walls]:
        for first in range(0, len(self.walls), WALLS):
            some = self.walls[first : first + WALLS]
            parts = tuple(self._parts(self.roll.subject, some, later=later))
            notes = tuple(row for part in parts for row in part.rows if row.is_long)
            parts = tuple(Part(p.title, tuple(row for row in p.rows if not row.is_long)) for p in parts)
            names = tuple(self._name(wall) for wall in some)
            yield Walls(first + 1, names, tuple(part for part in parts if part.rows), notes)

    def _name(self, wall: Place) -> Field:
        question = self.rule_set.questions.questions[self.roll.subject, _NAME]
        return field_of(question, f"{wall.prefix}{_NAME}", wall.answers, _NAME, self.rule_set, self.words)
