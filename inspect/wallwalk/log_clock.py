"""The time of a log's row: as its logger wrote it, read by the clock that the logger keeps."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from fractions import Fraction
from zoneinfo import ZoneInfo

from wallwalk.moments import FIRST_YEAR, LAST_YEAR, find_zone, parse_offset
from wallwalk.words import fixed

SITE = "site"
"""What a survey writes for a logger that keeps the clock of the site, clock changes and all."""

_ROW = re.compile(
    r"(.*?\d):(\d\d)(?::(\d\d)(?:[.,](\d{1,6})0*)?)?"
    r"(?: ?([AaPp])\.?[Mm]\.?)?( ?(?:[Zz]|[+-]\d\d:?\d\d))?",
    re.ASCII,
)
_HOUR = re.compile(r"(\d{1,4})[-/.](\d{1,2})[-/.](\d{1,4})(?:[T,]? +|T)(\d{1,2})", re.ASCII)


_NO_YEAR = fixed("no year from 1900 to 2199")


class RowTimeError(ValueError):
    """A time that says no moment; the message says why, for the list of rows that are not used."""


class SkippedTimeError(RowTimeError):
    """A time that the declared clock never showed: it is not the clock that the logger keeps."""


class AnswerWantedError(ValueError):
    """A log that cannot be read without an answer the survey does not give: `wants` names the question.

    `lacking` are fixed words with places for `parts`.
    """

    def __init__(self, wants: str, lacking: str, **parts: str) -> None:
        super().__init__(lacking.format(**parts))
        self.wants = wants
        self.lacking = lacking
        self.parts = parts


def find_clock(name: str, site: ZoneInfo | None) -> tzinfo | None:
    """The clock called `name`: the site's own, an IANA zone, or a fixed offset; None if there is none."""
    if name.lower() == SITE:
        return site
    return parse_offset(name) or find_zone(name)


def parse_named_offset(text: str) -> tzinfo:
    """The offset that a header names: `UTC`, `GMT-05:00`, `GMT-5`."""
    found = re.search(r"([+-])\s?(\d{1,2})(?::?(\d\d))?", text)
    if found is None:
        return UTC
    step = timedelta(hours=int(found[2]), minutes=int(found[3] or 0))
    return timezone(-step if found[1] == "-" else step)


class RowClock:
    """Reads the times of one log. Each hour is worked out once; the rows in it are counted on from there."""

    _MOST_HOURS = 2048

    def __init__(self, clock: tzinfo | None, date_order: str | None) -> None:
        self._clock = clock
        self._date_order = date_order
        self._hours: dict[tuple[str, str | None, str | None], int | str] = {}

    def seconds(self, text: str) -> Fraction | int:
        """Seconds since 1970 of a row's time. Raises `RowTimeError` or `AnswerWantedError`."""
        row = _ROW.fullmatch(text)
        if row is None:
            raise RowTimeError(fixed("no date and time"))
        day_hour, minute, second, part, half, offset = row.groups()
        key = (day_hour, half, offset)
        hour = self._hours.get(key)
        if hour is None:
            if len(self._hours) >= self._MOST_HOURS:
                self._hours.clear()
            hour = self._hours[key] = self._hour(day_hour, half, offset)
        into = int(minute) * 60 + int(second or 0)
        if int(minute) > 59 or int(second or 0) > 59:
            raise RowTimeError(fixed("no such time of day"))
        # Where a clock change lies in the hour, it is told minute by minute.
        seconds = self._by_the_minute(hour, into) if isinstance(hour, str) else hour + into
        return seconds + Fraction(f"0.{part}") if part else seconds

    def _hour(self, day_hour: str, half: str | None, offset: str | None) -> int | str:
        """When that hour begins; or, where the clock changes in it, its local beginning as text."""
        form = _HOUR.fullmatch(day_hour.strip())
        if form is None:
            raise RowTimeError(fixed("no date and time"))
        year, month, day = self._ordered(form[1], form[2], form[3])
        hour = int(form[4])
        if half is not None:
            if not 1 <= hour <= 12:
                raise RowTimeError(fixed("no such time of day"))
            hour = hour % 12 + (12 if half in "Pp" else 0)
        try:
            local = datetime(year, month, day, hour)
        except ValueError as error:
            raise RowTimeError(fixed("no such date or time of day")) from error
        clock = self._clock
        if offset is not None:
            clean = offset.strip()
            clock = parse_offset(clean if ":" in clean or clean in "Zz" else f"{clean[:3]}:{clean[3:]}")
            if clock is None:
                raise RowTimeError(fixed("no such offset"))
        if clock is None:
            lacking = fixed("the file's times carry no offset, and nothing says what clock they are by")
            raise AnswerWantedError("clock", lacking)
        if not _is_even(local, clock):
            return local.isoformat()
        return _epoch(local.replace(tzinfo=clock))

    def _ordered(self, first: str, second: str, third: str) -> tuple[int, int, int]:
        if len(first) == 4:
            year, month, day = int(first), int(second), int(third)
        else:
            if self._date_order == "year-month-day":
                raise RowTimeError(fixed("no year first, as date_order says"))
            if self._date_order is None:
                shown = f"{first}/{second}/{third}"
                lacking = fixed("nothing says which number is the month in dates like {date}")
                raise AnswerWantedError("date_order", lacking, date=shown)
            by_month = self._date_order == "month-day-year"
            month, day = (int(first), int(second)) if by_month else (int(second), int(first))
            year = int(third) + (2000 if len(third) == 2 else 0)
        if not FIRST_YEAR <= year <= LAST_YEAR:
            raise RowTimeError(_NO_YEAR)
        return year, month, day

    def _by_the_minute(self, hour: str, into: int) -> int:
        local = datetime.fromisoformat(hour) + timedelta(seconds=into)
        early, late = (local.replace(tzinfo=self._clock, fold=fold) for fold in (0, 1))
        if early.utcoffset() == late.utcoffset():
            return _epoch(early)
        if (early.utcoffset() or timedelta()) > (late.utcoffset() or timedelta()):
            raise RowTimeError(fixed("comes twice on the day of the clock change, so it says no one moment"))
        raise SkippedTimeError("is skipped by the clock change")


def _is_even(local: datetime, clock: tzinfo) -> bool:
    """Whether the clock runs through that whole hour without a change, and before and after folds alike."""
    ends = [local, local + timedelta(minutes=59, seconds=59)]
    return len({at.replace(tzinfo=clock, fold=fold).utcoffset() for at in ends for fold in (0, 1)}) == 1


def _epoch(at: datetime) -> int:
    return (at - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(seconds=1)
