"""Moments, in hours since 1970: exact where a time was written, a whole day of the site where only the day was."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from fractions import Fraction
from functools import lru_cache
from zoneinfo import ZoneInfo

from .ranges import Range

_START_OF_1970 = datetime.fromisoformat("1970-01-01T00:00:00+00:00")


def hours(moment: datetime) -> Fraction:
    """Hours since 1970 of a moment that knows its offset."""
    passed = moment - _START_OF_1970
    return Fraction(passed.days * 24) + Fraction(passed.seconds, 3600)


def at_hours(passed: Fraction) -> datetime:
    """The moment, in UTC, so many hours after 1970."""
    return _START_OF_1970 + timedelta(seconds=int(passed * 3600))


@lru_cache(maxsize=20000)
def read_moment(text: str, zone: str | None) -> Range:
    """A date and time, or any time of a date. One without an offset is by the clock of the site."""
    text = text.strip().replace(" ", "T")
    if len(text) == len("2026-03-09"):
        return Range(_midnight(date.fromisoformat(text), zone), end_of_day(text, zone))
    moment = datetime.fromisoformat(text.replace("Z", "+00:00"))
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=_zone(zone))
    return Range(hours(moment), hours(moment))


def end_of_day(text: str, zone: str | None) -> Fraction:
    """When that day is over."""
    return _midnight(date.fromisoformat(text.strip()) + timedelta(days=1), zone)


def _midnight(day: date, zone: str | None) -> Fraction:
    """When the day begins; a clock that skips midnight begins it later, one that strikes it twice at the first."""
    return hours(datetime.combine(day, time(0), tzinfo=_zone(zone)))


def _zone(name: str | None) -> ZoneInfo:
    if name is None:
        raise ValueError("a time of the site's own clock, and no time zone")
    return ZoneInfo(name)
