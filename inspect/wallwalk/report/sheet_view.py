"""A walk sheet laid out once: what the walk itself asks, then what papers, labels and counts answer afterwards."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from wallwalk.answers import NO_ENTRIES
from wallwalk.asking import JOB, Asked, Section, sections
from wallwalk.languages import in_language
from wallwalk.questions import SPACE, Question
from wallwalk.report.sheet_fields import Field, field_of, show_units
from wallwalk.report.sheet_rows import Place, Row, asked_once, rows_of
from wallwalk.rules import RuleSet
from wallwalk.survey import Survey
from wallwalk.words import Words, words_in

WALLS = 4
"""Walls side by side on one page; so many a blank sheet has."""
_NAME = "name"
_SAFETY = "safety"
"""The theme whose rules are told in the box of cautions, where a rule set has one."""
_FEWEST = {"instruments": 5, "air": 4}
_FEW, _A_WALL = 3, 2
"""Empty rows of a list of the space, and of a list of each wall."""
_FEW_COLUMNS = 3
"""Lists of so few columns stand side by side."""
_MOST_COLUMNS = 10
"""A list whose entries have more answers than that is written downwards, an entry a column."""


@dataclass(frozen=True, slots=True)
class Part:
    """The rows under one title."""

    title: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """What one column of a list asks; `group` is the title over it and its neighbours, if any."""

    title: str
    group: str
    kind: str
    units: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Line:
    """One entry of a list to be written down. The first of a wall names it in `wall`, and has all their number."""

    wall: str
    span: int
    fields: tuple[Field, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A list to be written down. `counts` asks how many entries there are, of the space or of each wall."""

    title: str
    counts: tuple[Row, ...]
    columns: tuple[Column, ...]
    lines: tuple[Line, ...]
    is_wide: bool

    @property
    def is_narrow(self) -> bool:
        """Whether two such lists fit side by side."""
        return self.is_of_walls or len(self.columns) <= _FEW_COLUMNS

    @property
    def is_of_walls(self) -> bool:
        """Whether each entry is of one wall."""
        return any(line.wall for line in self.lines)

    @property
    def groups(self) -> tuple[tuple[str, int], ...]:
        """The titles over its columns, each with how many it stands over; an empty one over each of the others."""
        told = (tuple(some) for _, some in groupby(self.columns, key=lambda c: c.group))
        named = ([(some[0].group, len(some))] if some[0].group else [("", 1) for _ in some] for some in told)
        return tuple(one for some in named for one in some)

    @property
    def has_groups(self) -> bool:
        """Whether a title stands over some of its columns."""
        return any(column.group for column in self.columns)


@dataclass(frozen=True, slots=True)
class Walls:
    """Some walls side by side: their numbers and names, the rows about them, and those that take a line each."""

    first: int
    names: tuple[Field, ...]
    parts: tuple[Part, ...]
    notes: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Half:
    """The walk itself, or what comes after it."""

    parts: tuple[Part, ...]
    tables: tuple[Table, ...]
    readings: tuple[Table, ...]
    walls: tuple[Walls, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """The whole sheet, in the language of its rule set."""

    rule_set: RuleSet
    words: Words
    job: tuple[Row, ...]
    walk: Half
    after: Half
    cautions: tuple[tuple[str, str], ...]

    def fields(self) -> Iterator[Field]:
        """Every field on it."""
        rows = [*self.job]
        for half in (self.walk, self.after):
            rows += [row for part in half.parts for row in part.rows]
            rows += [row for walls in half.walls for part in walls.parts for row in part.rows]
            rows += [row for walls in half.walls for row in walls.notes]
            for table in (*half.tables, *half.readings):
                rows += table.counts
                yield from (field for line in table.lines for field in line.fields)
        yield from (name for walls in self.walk.walls for name in walls.names)
        yield from (field for row in rows for field in row.fields)


def lay_out_sheet(rule_set: RuleSet, survey: Survey | None, walls: int) -> Sheet:
    """Everything that `rule_set` asks, with what `survey` says already, for that many `walls` or all it lists."""
    return _Layout(rule_set, survey, walls).sheet()


class _Layout:
    """One sheet being laid out."""

    def __init__(self, rule_set: RuleSet, survey: Survey | None, walls: int) -> None:
        self.rule_set = rule_set
        self.questions = rule_set.questions
        self.words = words_in(rule_set.language)
        self.space = Place("", survey.space if survey else None)
        self.asked: tuple[Section, ...] = sections(rule_set)
        self.roll = next(r for r in self.questions.rolls.values() if r.subject)
        known = survey.subjects(self.roll.subject) if survey else ()
        listed = [wall for wall in known if wall.listed]
        count = max(walls, len(listed))
        subjects = (*listed, *(None for _ in range(count - len(listed))))
        self.walls = tuple(Place(f"{self.roll.path}[{i}].", wall) for i, wall in enumerate(subjects))

    def sheet(self) -> Sheet:
        """The sheet."""
        job = [one for section in self.asked if section.name == JOB for one in section.asked]
        heads = [q for q in asked_once(job) if q.about == SPACE and not q.later]
        return Sheet(
            self.rule_set,
            self.words,
            self._rows(heads, (self.space,)),
            self._half(later=False),
            self._half(later=True),
            tuple((r.title, r.put_right) for r in self.rule_set.rules.values() if r.theme == _SAFETY),
        )

    def _half(self, *, later: bool) -> Half:
        lists = [one for section in self.asked for one in section.asked if one.question is None]
        lists = [one for one in lists if self.questions.rolls[one.about, one.path].later is later]
        return Half(
            tuple(self._parts(SPACE, (self.space,), later=later)),
            tuple(self._table(one) for one in lists if one.about == SPACE),
            tuple(self._readings(one) for one in lists if one.about != SPACE),
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
            yield Part(self._group_title(about, group) if group else title, tuple(some))

    def _rows(self, asked: Iterable[Question], places: tuple[Place, ...]) -> tuple[Row, ...]:
        return tuple(rows_of(asked, places, self.rule_set, self.words))

    def _side_by_side(self, *, later: bool) -> Iterator[Walls]:
        for first in range(0, len(self.walls), WALLS):
            some = self.walls[first : first + WALLS]
            parts = tuple(self._parts(self.roll.subject, some, later=later))
            notes = tuple(row for part in parts for row in part.rows if row.is_long)
            parts = tuple(Part(p.title, tuple(row for row in p.rows if not row.is_long)) for p in parts)
            if any(part.rows for part in parts) or notes:
                names = tuple(self._name(wall) for wall in some)
                yield Walls(first + 1, names, tuple(part for part in parts if part.rows), notes)

    def _name(self, wall: Place) -> Field:
        question = self.questions.questions[self.roll.subject, _NAME]
        answers = wall.subject.answers if wall.subject else {}
        return field_of(question, f"{wall.prefix}{_NAME}", answers, _NAME, self.rule_set, self.words)

    # lists

    def _table(self, one: Asked) -> Table:
        lines = self._lines(one, self.space, _FEWEST.get(one.path, _FEW), "")
        counts, is_wide = self._counts(one, (self.space,)), len(one.entry) > _MOST_COLUMNS
        return Table(one.title, counts, self._columns(one), tuple(lines), is_wide)

    def _readings(self, one: Asked) -> Table:
        lines = []
        for number, wall in enumerate(self.walls, 1):
            named = wall.subject.name if wall.subject else ""
            lines += self._lines(one, wall, _A_WALL, f"{number} {named}".strip())
        return Table(one.title, self._counts(one, self.walls), self._columns(one), tuple(lines), is_wide=False)

    def _counts(self, one: Asked, places: tuple[Place, ...]) -> tuple[Row, ...]:
        counted = self.questions.questions.get((one.about, one.counted_by))
        return self._rows([counted], places) if counted else ()

    def _lines(self, one: Asked, place: Place, fewest: int, wall: str) -> Iterator[Line]:
        entries = (place.subject.rolls.get(one.path, NO_ENTRIES) if place.subject else NO_ENTRIES).entries
        for i in range(max(fewest, len(entries))):
            answers = entries[i] if i < len(entries) else {}
            keys = [(q, q.path.removeprefix(f"{one.path}.")) for q in one.entry]
            prefix = f"{place.prefix}{one.path}[{i}]."
            fields = (field_of(q, prefix + key, answers, key, self.rule_set, self.words) for q, key in keys)
            yield Line("" if i else wall, 0 if i else max(fewest, len(entries)), tuple(fields))

    def _columns(self, one: Asked) -> tuple[Column, ...]:
        columns = []
        for question in one.entry:
            group = question.path.removeprefix(f"{one.path}.").rpartition(".")[0]
            told = tuple(self.questions.words.get(word, word) for word in question.choices)
            title = self._group_title(one.about, f"{one.path}.{group}") if group else ""
            columns.append(Column(question.title, title, question.kind.replace(" ", "-"), show_units(question, self.words), told))
        return tuple(columns)

    def _group_title(self, about: str, path: str) -> str:
        """What the survey calls a group of questions, such as `primer`, or `instruments.uncertainty`."""
        part = self.questions.schema if about == SPACE else self.questions.schema["properties"][self.roll.path]["items"]
        for name in path.split("."):
            part = (part["items"] if "items" in part else part)["properties"][name]
        return str(in_language(part, self.rule_set.language)["title"])
