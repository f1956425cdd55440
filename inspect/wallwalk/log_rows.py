"""The rows of a logger's file, one at a time and in order of time, with what keeps some from being used.

Memory does not grow with the file: a file that is out of order is sorted on disk, by SQLite.
"""

from __future__ import annotations

import codecs
import csv
import os
import stat
from collections.abc import Iterable, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import TextIO

from wallwalk.errors import MissingPartError, on_one_line, quote
from wallwalk.log_clock import RowClock, RowTimeError, SkippedTimeError
from wallwalk.log_table import SEPARATORS, Asked, Columns, find_columns, say_csv
from wallwalk.words import fixed

LONGEST_LINE = 1 << 16
MOST_LINES_NAMED = 5

NOT_USED = fixed("not used")

Row = tuple[Fraction | int, tuple[str, str], int]
"""Seconds since 1970, temperature and humidity as written (empty where there is none), and the line."""


class LogFaultError(ValueError):
    """A file that cannot be read as a log, or contradicts what the survey says; `line` is 0 for the file as a whole.

    `key` is the answer of the survey that it is about, where it is about one.
    """

    def __init__(self, line: int, found: str, instead: str, key: str = "file") -> None:
        super().__init__(found)
        self.key = key
        self.line = line
        self.found = found
        self.instead = instead


class OutOfOrderError(ValueError):
    """A row earlier than the one before it: the file has to be sorted first."""


@dataclass(slots=True)
class Notes:
    """Rows that are not used as they stand, by what is the matter with them: the first lines, and how many."""

    lines: dict[str, list[int]] = field(default_factory=dict)
    counts: dict[str, int] = field(default_factory=dict)

    def add(self, matter: str, done: str, line: int) -> None:
        """One more row of that kind: what is the matter with it, and what was done with it."""
        what = f"{matter}; {done}"
        self.counts[what] = self.counts.get(what, 0) + 1
        if self.counts[what] <= MOST_LINES_NAMED:
            self.lines.setdefault(what, []).append(line)


def open_log(path: Path) -> TextIO:
    """Open a log as text, whatever of UTF-8, UTF-16 or an older code page it is in. Raises `LogFaultError`."""
    try:
        handle = os.open(path, os.O_RDONLY | os.O_NONBLOCK | os.O_CLOEXEC)  # a pipe must not keep us waiting
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            os.close(handle)
            raise LogFaultError(0, "is no file", "name the CSV file that the logger wrote")
        start = os.pread(handle, 2, 0)
        wide = start in (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
        # What is no UTF-8 can only be the degree sign of an older code page; it becomes �, which the header allows.
        return os.fdopen(handle, encoding="utf-16" if wide else "utf-8-sig", errors="replace", newline="")
    except OSError as error:
        reason = error.strerror or str(error)
        advice = "put the logger's file there, or write its name"
        raise LogFaultError(0, f"cannot be read ({reason})", advice) from error


def _lines(text: TextIO) -> Iterator[str]:
    while line := text.readline(LONGEST_LINE):
        if len(line) == LONGEST_LINE:
            raise LogFaultError(0, f"has a line of over {LONGEST_LINE:,} characters", "name the logger's CSV file")
        yield line


def columns_of(path: Path, asked: Asked) -> Columns:
    """The columns of the log at `path`. Raises `LogFaultError` or `AnswerWantedError`."""
    with open_log(path) as text:
        try:
            return find_columns(_lines(text), asked)
        except csv.Error as error:
            found = f"is no table ({say_csv(error)})"
            raise LogFaultError(0, found, "name the CSV file that the logger wrote") from error


def rows_as_written(path: Path, columns: Columns, clock: RowClock, notes: Notes) -> Iterator[Row]:
    """Every row that has a time, in the order of the file; those without are noted.

    Raises `OutOfOrderError` at a row that is earlier than one before it, `LogFaultError` and `AnswerWantedError`.
    """
    latest: Fraction | int | None = None
    for row in _rows(path, columns, clock, notes):
        if latest is not None and row[0] < latest:
            raise OutOfOrderError
        latest = row[0]
        yield row


def rows_sorted(path: Path, columns: Columns, clock: RowClock, notes: Notes) -> Iterator[Row]:
    """The same for a file that is out of order: sorted by time, each row that goes back in time noted."""
    import sqlite3  # only for a file that needs it

    try:
        with closing(sqlite3.connect("")) as disk:  # no name: a file of its own, gone when it is closed
            disk.execute("CREATE TABLE row (microseconds INTEGER, temperature TEXT, humidity TEXT, line INTEGER)")
            disk.executemany(
                "INSERT INTO row VALUES (?, ?, ?, ?)", _for_disk(_rows(path, columns, clock, notes), notes)
            )
            for microseconds, temperature, humidity, line in disk.execute("SELECT * FROM row ORDER BY 1, 4"):
                whole, part = divmod(microseconds, 1_000_000)
                yield Fraction(microseconds, 1_000_000) if part else whole, (temperature, humidity), line
    except sqlite3.OperationalError as error:
        advice = "make room in the folder for temporary files, or let TMPDIR name another"
        raise MissingPartError(f"{on_one_line(path.name)}: cannot be sorted by time ({error}); {advice}") from error


def _for_disk(rows: Iterable[Row], notes: Notes) -> Iterator[tuple[int, str, str, int]]:
    before: Fraction | int | None = None
    for seconds, (temperature, humidity), line in rows:
        if before is not None and seconds < before:
            notes.add(fixed("earlier than the row before it"), fixed("sorted by time"), line)
        before = seconds
        yield int(seconds * 1_000_000), temperature, humidity, line


def _rows(path: Path, columns: Columns, clock: RowClock, notes: Notes) -> Iterator[Row]:
    at, count, header = columns.at, columns.count, columns.header_line
    date, time = at[0], at[-1]
    temperature, humidity = columns.quantities.get("temperature", -1), columns.quantities.get("humidity", -1)
    needed = max(*at, temperature, humidity)
    with open_log(path) as text:
        lines = _lines(text)
        for _ in range(header):
            next(lines)
        reader = csv.reader(lines, delimiter=SEPARATORS[columns.separator], strict=True)
        try:
            for fields in reader:
                if len(fields) == count + 1 and 0 in at and fields[0].strip().isdecimal():
                    del fields[0]  # some loggers number their rows and give that column no name, before the time
                if len(fields) > count and any(fields[count:]):
                    notes.add(fixed("more fields than the header names"), NOT_USED, header + reader.line_num)
                    continue
                if len(fields) <= needed:
                    if any(fields):
                        notes.add(fixed("too few fields"), NOT_USED, header + reader.line_num)
                    continue
                written = fields[time].strip()
                if date != time:
                    written = f"{fields[date].strip()} {written}"
                seconds = _seconds(clock, written, header + reader.line_num, notes)
                if seconds is None:
                    continue
                yield (
                    seconds,
                    (
                        fields[temperature].strip() if temperature >= 0 else "",
                        fields[humidity].strip() if humidity >= 0 else "",
                    ),
                    header + reader.line_num,
                )
        except csv.Error as error:
            found = f"is no row of a table ({say_csv(error)})"
            raise LogFaultError(header + reader.line_num, found, "give the file as the logger wrote it") from error


def _seconds(clock: RowClock, written: str, line: int, notes: Notes) -> Fraction | int | None:
    """The moment of a row; None where it says none, which is noted."""
    try:
        return clock.seconds(written)
    except SkippedTimeError as error:
        found = f"has the time {quote(written)}, which its clock skipped that night"
        instead = "write clock: and the offset that the logger keeps, such as -06:00"
        raise LogFaultError(line, found, instead) from error
    except RowTimeError as error:
        notes.add(str(error), NOT_USED, line)
        return None
