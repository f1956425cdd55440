"""The lists of a walk sheet: readings, instruments, lots, with empty lines for what is still to be written down."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from wallwalk.answers import NO_ENTRIES
from wallwalk.asking import Asked
from wallwalk.report.sheet_fields import Field, field_of, show_units
from wallwalk.report.sheet_rows import Place, Row, rows_of
from wallwalk.rules import RuleSet
from wallwalk.words import Words

_FEWEST = {"instruments": 5, "air": 4}
_FEW, _A_WALL = 3, 2
"""Lines of a list of the space, and of a list of each wall, at least."""
_NARROW = 3
"""Lists of so few columns stand side by side."""
_MOST_COLUMNS = 10
"""A list whose entries have more answers than that is written downwards, an entry a column."""


@dataclass(frozen=True, slots=True)
class Column:
    """What one column of a list asks; `group` is the title over it and its neighbours, `words` what may be chosen."""

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

    @property
    def is_wide(self) -> bool:
        """Whether it is written downwards, an entry a column."""
        return len(self.columns) > _MOST_COLUMNS

    @property
    def is_of_walls(self) -> bool:
        """Whether each entry is of one wall."""
        return any(line.wall for line in self.lines)

    @property
    def is_narrow(self) -> bool:
        """Whether two such lists fit side by side."""
        return self.is_of_walls or len(self.columns) <= _NARROW

    @property
    def groups(self) -> tuple[tuple[str, int], ...]:
        """The titles over its columns, each with how many it stands over, and an empty one over each other column.

        Empty where there are none.
        """
        told = (tuple(some) for _, some in groupby(self.columns, key=lambda column: column.group))
        named = ([(some[0].group, len(some))] if some[0].group else [("", 1) for _ in some] for some in told)
        return tuple(one for some in named for one in some) if any(c.group for c in self.columns) else ()


def table_of(one: Asked, places: tuple[Place, ...], rule_set: RuleSet, words: Words) -> Table:
    """The list `one`, kept by the space or by each of some walls."""
    counted = rule_set.questions.questions.get((one.about, one.counted_by))
    counts = tuple(rows_of([counted], places, rule_set, words)) if counted else ()
    lines = tuple(line for place in places for line in _lines(one, place, rule_set, words))
    return Table(one.title, counts, tuple(_columns(one, rule_set, words)), lines)


def _lines(one: Asked, place: Place, rule_set: RuleSet, words: Words) -> Iterator[Line]:
    entries = (place.subject.rolls.get(one.path, NO_ENTRIES) if place.subject else NO_ENTRIES).entries
    count = max(_A_WALL if place.number else _FEWEST.get(one.path, _FEW), len(entries))
    for i in range(count):
        answers = entries[i] if i < len(entries) else {}
        keys = [(asked, asked.path.removeprefix(f"{one.path}.")) for asked in one.entry]
        prefix = f"{place.prefix}{one.path}[{i}]."
        fields = (field_of(asked, prefix + key, answers, key, rule_set, words) for asked, key in keys)
        yield Line("" if i else place.title, 0 if i else count, tuple(fields))


def _columns(one: Asked, rule_set: RuleSet, words: Words) -> Iterator[Column]:
    for asked in one.entry:
        group = asked.path.removeprefix(f"{one.path}.").rpartition(".")[0]
        title = rule_set.questions.groups.get((one.about, f"{one.path}.{group}"), "")
        told = tuple(rule_set.questions.words.get(word, word) for word in asked.choices)
        yield Column(asked.title, title, asked.kind.replace(" ", "-"), show_units(asked, words), told)
