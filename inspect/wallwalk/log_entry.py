"""One climate log as the survey names it: its answers, and what they say of its file."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timezone, tzinfo
from fractions import Fraction
from pathlib import Path
from zoneinfo import ZoneInfo

from wallwalk.answers import Answers
from wallwalk.log_clock import SITE, AnswerWantedError, find_clock, parse_named_offset
from wallwalk.log_rows import LogFaultError
from wallwalk.log_runs import Stay
from wallwalk.log_table import Asked, Columns
from wallwalk.units import UNITS, Unit
from wallwalk.values import Interval
from wallwalk.words import fixed


@dataclass(frozen=True, slots=True)
class LogEntry:
    """One log as the survey names it: where it stands there, its answers, and its file."""

    place: str
    answers: Answers
    path: Path

    def text(self, key: str) -> str | None:
        """The answer to `key` as written, or None."""
        found = self.answers.get(key)
        return found.value.written if found else None

    def interval(self, key: str) -> Interval | None:
        """The answer to `key` as a quantity, or None."""
        found = self.answers.get(key)
        return found.value if found is not None and isinstance(found.value, Interval) else None

    def form(self) -> Asked:
        """What the survey says of the form of its file."""
        decimal_comma = self.text("decimal_comma") == "yes"
        at, temperature, humidity = (self.text(f"columns.{name}") for name in ("at", "temperature", "humidity"))
        return Asked(self.text("separator"), decimal_comma, at, temperature, humidity, self.text("temperature_unit"))

    def unit(self, kind: str, columns: Columns) -> Unit | None:
        """The unit of a quantity's column: humidity has one only; of a temperature, header or survey says it."""
        if kind not in columns.quantities:
            return None
        if kind == "humidity":
            return UNITS[kind]["%RH"]
        said = self.text("temperature_unit")
        if columns.unit and said and columns.unit != said:
            found = f"is not what the header says, {columns.unit}"
            raise LogFaultError(0, found, "put it right, or take it out", "temperature_unit")
        name = said or columns.unit
        return UNITS[kind][name] if name else None

    def stay(self) -> Stay:
        """When it stood in the space, and how often it wrote. Raises `LogFaultError`."""
        every, began, ended = (self.interval(key) for key in ("every", "began", "ended"))
        if every is None or began is None or ended is None:
            raise TypeError("a log is read only where these are answered")
        if every.low <= 0:
            raise LogFaultError(0, "is no time between two rows", "write a time over nothing, such as 5 min", "every")
        if began.low >= ended.high:
            raise LogFaultError(0, f"is not after it began, {began.written}", "put began: and ended: right", "ended")
        return Stay(began, ended, Fraction(every.low), every.written)

    def clock(self, site: ZoneInfo | None, columns: Columns) -> tzinfo | None:
        """The clock it keeps, None where nobody says. Raises `LogFaultError` where its header names another."""
        name = self.text("clock")
        if name is not None and name.lower() == SITE and site is None:
            raise AnswerWantedError("clock", fixed("it keeps the site's clock, and time_zone is not given"))
        clock = None if name is None else find_clock(name, site)
        if clock is None or columns.offset is None:
            return clock
        now = datetime(1970, 1, 1)  # a clock without changes is the same on any day
        never_changes = isinstance(clock, timezone) or str(clock) in {"UTC", "Etc/UTC"}
        if not never_changes or clock.utcoffset(now) != parse_named_offset(columns.offset).utcoffset(now):
            found = f"is not the clock that the header names, {columns.offset.strip()}"
            raise LogFaultError(0, found, "write that offset, such as -05:00 or UTC", "clock")
        return clock
