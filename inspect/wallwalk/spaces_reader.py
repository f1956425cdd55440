"""Reads a list of the spaces of a project, so that one that nobody walked is missed: YAML, or CSV with a head."""

from __future__ import annotations

import csv
import hashlib
import io
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from wallwalk.errors import Fault, InputError, quote
from wallwalk.log_table import say_csv
from wallwalk.resources import data_folder
from wallwalk.shape import closest, read_schema, shape_faults
from wallwalk.yamlio import MOST_BYTES, Document, Node, Path_, parse_yaml, read_bytes, read_text

COLUMNS = ("name", "level", "project", "area")
_DELIMITERS = (",", ";", "\t")
COLUMNS_MAX = 50
"""So many cells a row may have; a list has four columns."""
SPACES_MAX = 20_000
"""So many spaces one list may name; all of them stand on the board."""


_TOO_MANY = (f"is one more than {SPACES_MAX:,} spaces", "split the list")


@dataclass(frozen=True, slots=True)
class Place:
    """What tells one space from another, as it is written; empty where it is not."""

    project: str
    name: str
    level: str
    area: str

    @property
    def key(self) -> tuple[str, str, str, str]:
        """The same for two ways to write one place: capitals and spaces between words say nothing."""
        project, name, level, area = (
            " ".join(part.split()).casefold() for part in (self.project, self.name, self.level, self.area)
        )
        return project, name, level, area

    def covers(self, other: Place) -> bool:
        """Whether `other` is the place that this entry of a list names: what the entry leaves out may be any."""
        return all(not mine or mine == its for mine, its in zip(self.key, other.key, strict=True))


@dataclass(frozen=True, slots=True)
class SpacesList:
    """The spaces that a project has, as listed, and the file's own name and digest."""

    file: str
    sha256: str
    places: tuple[Place, ...]


def read_spaces(path: Path) -> SpacesList:
    """The list at `path`; `.csv` is read as CSV, anything else as YAML. Raises `InputError` with every fault."""
    raw = read_bytes(path, str(path), "a list of spaces (YAML or CSV)")
    document = _from_csv(raw, str(path)) if path.suffix.lower() == ".csv" else parse_yaml(raw, str(path))
    data: Any = document.data
    listed = data.get("spaces") if isinstance(data, dict) else None
    if isinstance(listed, list) and len(listed) > SPACES_MAX:
        raise InputError([document.fault(("spaces", SPACES_MAX), *_TOO_MANY)])
    faults = list(shape_faults(document, data, _schema()))
    if not faults:
        faults += _repeated(document)
    if faults:
        raise InputError(faults)
    return SpacesList(path.name, document.sha256, tuple(_places(document)))


@cache
def _schema() -> Any:  # noqa: ANN401 - a schema is any JSON value
    return read_schema(data_folder("rules") / "spaces.schema.yaml")


def _places(document: Document) -> Iterator[Place]:
    data: Any = document.data
    for entry in data["spaces"]:
        yield Place(*(entry.get(part, "") for part in ("project", "name", "level", "area")))


def _repeated(document: Document) -> Iterator[Fault]:
    """Each entry that names the very place that one before it names."""
    first: dict[tuple[str, ...], int] = {}
    for i, place in enumerate(_places(document)):
        here = ("spaces", i)
        if not place.key[1]:
            yield document.fault((*here, "name"), f"is {quote(place.name)}", "write the name of a space")
        elif place.key in first:
            line = document.line(("spaces", first[place.key]))
            yield document.fault(
                here, f"is {quote(place.name)} once more (first on line {line})", "keep one of the two"
            )
        first.setdefault(place.key, i)


def _from_csv(raw: bytes, file: str) -> Document:
    """The rows as the document that YAML would give; an empty cell says nothing."""
    if len(raw) > MOST_BYTES:
        raise InputError(
            [Fault(file, 0, "", f"is over {MOST_BYTES:,} bytes", "split it or take out what is not asked")]
        )
    text = read_text(raw, file)
    if not text.strip():
        raise InputError([Fault(file, 0, "", "is empty", "fill it in and save it")])
    head = text.lstrip("\r\n").splitlines()[0]
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=max(_DELIMITERS, key=head.count), strict=True)
    try:
        return _of_rows(rows, raw, file)
    except csv.Error as error:
        found = f"is no CSV that can be read ({say_csv(error)})"
        raise InputError([Fault(file, rows.line_num, "", found, "put text with quotes in it in quotes")]) from error


def _of_rows(rows: Any, raw: bytes, file: str) -> Document:  # noqa: ANN401 - a csv reader has no public type
    columns: list[str] = []
    entries: list[Node] = []
    lines: dict[Path_, int] = {}
    faults: list[Fault] = []
    for row in rows:
        if len(row) > COLUMNS_MAX:
            advice = f"give a table of at most {COLUMNS_MAX} columns"
            raise InputError([*faults, Fault(file, rows.line_num, "", f"has {len(row):,} cells", advice)])
        cells = [cell.strip() for cell in row]
        if not any(cells):
            continue
        if not columns:
            columns = [cell.lower() for cell in cells]
            faults += _column_faults(columns, file, rows.line_num)
        elif len(cells) > len(columns):
            found = f"has {len(cells)} cells, and its head has {len(columns)} columns"
            faults.append(Fault(file, rows.line_num, "", found, "put a text with the delimiter in it in quotes"))
        elif len(entries) == SPACES_MAX:
            raise InputError([Fault(file, rows.line_num, f"spaces[{SPACES_MAX}]", *_TOO_MANY)])
        else:
            lines[("spaces", len(entries))] = rows.line_num
            entries.append({name: cell for name, cell in zip(columns, cells, strict=False) if cell})
    if not faults and not entries:
        faults.append(Fault(file, 0, "", "has a head and no spaces", "write a line for each space"))
    if faults:
        raise InputError(faults)
    return Document(file, {"spaces": entries}, lines, hashlib.sha256(raw).hexdigest(), raw)


def _column_faults(columns: list[str], file: str, line: int) -> Iterator[Fault]:
    if "name" not in columns:
        yield Fault(file, line, "", "has no column name", f"begin with a line such as {','.join(COLUMNS)}")
        return
    for i, column in enumerate(columns):
        if column not in COLUMNS:
            advice = closest(column, COLUMNS, "", f"use the columns {', '.join(COLUMNS)}")
            yield Fault(file, line, "", f"has the column {quote(column)}, which is not asked for", advice)
        elif column in columns[:i]:
            yield Fault(file, line, "", f"has the column {quote(column)} twice", "keep one of the two")
