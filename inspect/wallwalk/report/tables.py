"""The table of all rules: a row a rule, a column a subject, a mark a finding, in parts that fit a page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from wallwalk.record import Record
from wallwalk.report.items import WALLS_UPRIGHT
from wallwalk.words import Words, fixed

MARKS = {"pass": fixed("yes"), "hold": fixed("HOLD"), "not verified": "?", "does not apply": "–"}
NOTE = fixed("note")
"""What stands in a cell for each outcome, and for a caution; words and signs, never colour alone."""

SPOKEN = (MARKS["pass"], MARKS["hold"], NOTE)
"""The marks that are words."""

WALLS_ACROSS = 12
"""The most walls side by side in a table on paper."""


@dataclass(frozen=True, slots=True)
class Row:
    """One rule in the table of all rules: its title and a mark for each subject, None where it is not about it."""

    title: str
    rule: str
    grade: str
    cells: tuple[str | None, ...]


@dataclass(frozen=True, slots=True)
class ThemeTable:
    """All rules of one theme."""

    title: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """As many columns of the table of all rules as fit side by side, without the rows that say nothing in them.

    `turned`: so many that their heads stand on end.
    """

    title: str
    columns: tuple[str, ...]
    turned: bool
    themes: tuple[ThemeTable, ...]

    @property
    def across(self) -> int:
        """How many columns it has, the one of the titles counted in."""
        return 1 + len(self.columns)


def theme_tables(record: Record, listed: list[Any]) -> Iterable[ThemeTable]:
    """All rules by theme, with a mark for every subject that is written down."""
    subjects = [(s["about"], s["name"]) for s in record["subjects"] if s["listed"]]
    for theme in record["rule_set"]["theme_order"]:
        rules: dict[str, list[Any]] = {}
        for finding in listed:
            if finding["theme"] == theme:
                rules.setdefault(finding["rule"], []).append(finding)
        rows = []
        for name, group in rules.items():
            marks = {(f["about"], f["subject"]): MARKS[f["outcome"]] for f in group}
            caution = group[0]["grade"] == "caution"
            cells = (marks.get(subject) for subject in subjects)
            rows.append(
                Row(
                    group[0]["title"],
                    name,
                    group[0]["grade"],
                    tuple(NOTE if caution and c == "HOLD" else c for c in cells),
                )
            )
        if rows:
            yield ThemeTable(record["rule_set"]["themes"][theme], tuple(rows))


def sheets_of(
    columns: tuple[str, ...], tables: tuple[ThemeTable, ...], words: Words, *, by_number: bool = False
) -> Iterable[Sheet]:
    """The table of all rules in parts: first the space, then the walls, in parts of about equal width.

    `by_number`: walls are headed by their numbers.
    """
    if by_number:
        columns = (*columns[:1], *map(str, range(1, len(columns))))
    walls = len(columns) - 1
    parts = -(-walls // WALLS_ACROSS)
    cuts = [0, *(1 + walls * part // parts for part in range(parts)), len(columns)]
    for start, end in pairwise(cuts):
        themes = tuple(t for t in (_slice(table, start, end) for table in tables) if t.rows)
        if themes:
            turned = end - start > WALLS_UPRIGHT and not by_number
            yield Sheet(_sheet_title(start, end, walls, words), columns[start:end], turned, themes)


def _slice(table: ThemeTable, start: int, end: int) -> ThemeTable:
    rows = (Row(row.title, row.rule, row.grade, row.cells[start:end]) for row in table.rows)
    return ThemeTable(table.title, tuple(row for row in rows if any(row.cells)))


def _sheet_title(start: int, end: int, walls: int, words: Words) -> str:
    if start == 0:
        return words.say("The space")
    if end - start == walls:
        return words.say("The walls")
    return words.say("Walls {first} to {last} of {count}", first=start, last=end - 1, count=walls)
