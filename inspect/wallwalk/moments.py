"""Moments: RFC 3339, or a local date and time in an IANA zone, as seconds since 1970-01-01T00:00Z.

A date without a time is an honest wide answer: some moment of that day. A local time that a clock change skips
or repeats is not guessed at; the message names both moments it could be.
"""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta, timezone
from fractions import Fraction
from functools import cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from wallwalk.errors import MissingPartError, quote
from wallwalk.quantities import UnitError
from wallwalk.values import Interval
from wallwalk.words import IN_ENGLISH, Words

FIRST_YEAR, LAST_YEAR = 1900, 2199

_FORM = re.compile(
    r"(?P<date>(?P<year>\d{4})-(?P<month>\d\d)-(?P<day>\d\d))"
    r"(?:[ Tt](?P<hour>\d\d):(?P<minute>\d\d)(?::(?P<second>\d\d)(?P<part>\.\d{1,9})?)?"
    r" ?(?P<offset>[Zz]|[+-]\d\d:\d\d)?)?",
    re.ASCII,
)
_CAMERA = re.compile(r"(\d{4}):(\d\d):(\d\d) (\d\d):(\d\d):(\d\d)", re.ASCII)
_ADVICE = "write it as year-month-day hour:minute, such as 2026-03-09 08:30"
_DATE_ADVICE = "write it as year-month-day, such as 2026-09-30"


class NeedsZoneError(UnitError):
    """A local time where no zone is known to read it in."""


_NO_PLACES = {"localtime", "Factory", "posixrules"}
"""Names in the zone database that are no place: what they mean depends on the machine, or is nothing."""


NO_ZONES = (
    "the table of the world's time zones is not on this machine, and no time is read without it; "
    "run: python -m pip install tzdata"
)


@cache
def find_zone(name: str) -> ZoneInfo | None:
    """The IANA zone called `name`, or None. Raises `MissingPartError` on a machine that knows no zone at all."""
    if name in _NO_PLACES or not re.fullmatch(r"[A-Za-z][A-Za-z0-9_+-]*(?:/[A-Za-z0-9_+-]+)*", name):
        return None
    found = _zone(name)
    if found is None and _zone("America/Chicago") is None:  # a zone that every table has
        raise MissingPartError(NO_ZONES)
    return found


def _zone(name: str) -> ZoneInfo | None:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return None


def parse_moment(text: str, zone: ZoneInfo | None) -> Interval:
    """Read `text` as a moment; a date alone gives the interval of that day. Raises `UnitError`."""
    clean = " ".join(text.split())
    form = _match(clean, _ADVICE)
    if form["hour"] is None:
        start, end = _day(_date(form, _ADVICE), zone)
        return Interval("moment", start, end, "", clean)
    if form["hour"] == "24":
        raise UnitError("write midnight as 00:00 of the next day")
    try:
        local = datetime(
            int(form["year"]),
            int(form["month"]),
            int(form["day"]),
            int(form["hour"]),
            int(form["minute"]),
            int(form["second"] or 0),
        )
    except ValueError as error:
        raise UnitError(f"there is no such date and time; {_ADVICE}") from error
    if form["offset"]:
        seconds = _seconds(local.replace(tzinfo=_offset(form["offset"])))
    else:
        seconds = _local_seconds(local, _known(zone))
    seconds += Fraction(form["part"] or 0)
    return Interval("moment", seconds, seconds, "", clean)


def parse_offset(text: str) -> timezone | None:
    """The fixed offset from UTC that `text` writes (`-05:00`, `Z`), or None where it writes none."""
    if not re.fullmatch(r"[Zz]|[+-]\d\d:\d\d", text, re.ASCII):
        return None
    try:
        return _offset(text)
    except UnitError:
        return None


def parse_last_day(text: str, zone: ZoneInfo | None) -> Interval:
    """Read `text` as the last day that something covers: the moment at which that day ends. Raises `UnitError`."""
    clean = text.strip()
    form = _match(clean, _DATE_ADVICE)
    if form["hour"] is not None:
        raise UnitError(_DATE_ADVICE)
    _, end = _day(_date(form, _DATE_ADVICE), zone)
    return Interval("moment", end, end, "", clean)


def parse_camera_time(clock: str, offset: str, zone: ZoneInfo | None) -> Interval | None:
    """The moment that a camera wrote into its picture (Exif: `2026:03:09 13:22:10`), in `zone` where `offset` is empty.

    From the first to the second, where a clock change leaves two; None where it is no moment, or on no known clock.
    """
    form = _CAMERA.fullmatch(clock)
    known = parse_offset(offset) or zone
    if form is None or known is None or not FIRST_YEAR <= int(form[1]) <= LAST_YEAR:
        return None
    try:
        local = datetime.strptime(clock, "%Y:%m:%d %H:%M:%S").replace(tzinfo=known)
    except ValueError:
        return None
    ends = [_seconds(local.replace(fold=fold)) for fold in (0, 1)]
    return Interval("moment", min(ends), max(ends), "", " ".join(filter(None, (clock, offset))))


def show_moment(seconds: Fraction | float, zone: ZoneInfo | None, words: Words = IN_ENGLISH) -> str:
    """A moment for people: `Tue 10 Mar 2026 08:00`, with seconds where it has some; UTC where no zone is known."""
    at = _from_seconds(seconds).astimezone(zone or UTC)
    form = "%H:%M:%S" if at.second else "%H:%M"
    shown = f"{words.show_day(at)} {at:{form}}"
    return shown if zone is not None else f"{shown} UTC"


def show_moments(
    first: Fraction | float, last: Fraction | float, zone: ZoneInfo | None, words: Words = IN_ENGLISH
) -> str:
    """From one moment to another for people; the one where they are shown alike."""
    begins, ends = (show_moment(at, zone, words) for at in (first, last))
    return begins if begins == ends else words.say("{low} to {high}", low=begins, high=ends)


def iso_moment(seconds: Fraction | float, zone: ZoneInfo | None) -> str:
    """A moment for machines: RFC 3339 with the offset of the site, to the second."""
    return _from_seconds(seconds).astimezone(zone or UTC).isoformat(timespec="seconds")


def _from_seconds(seconds: Fraction | float) -> datetime:
    # Part seconds round up: an earliest start must never be shown before the moment it is.
    return datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=-(-Fraction(seconds) // 1))


def _match(text: str, advice: str) -> re.Match[str]:
    form = _FORM.fullmatch(text)
    if form is None:
        raise UnitError(advice)
    if not FIRST_YEAR <= int(form["year"]) <= LAST_YEAR:
        raise UnitError(f"write a year from {FIRST_YEAR} to {LAST_YEAR}")
    return form


def _date(form: re.Match[str], advice: str) -> date:
    try:
        return date.fromisoformat(form["date"])
    except ValueError as error:
        raise UnitError(f"there is no such date; {advice}") from error


def _known(zone: ZoneInfo | None) -> ZoneInfo:
    if zone is None:
        raise NeedsZoneError("write the offset behind the time, such as 2026-03-09T08:30-05:00")
    return zone


def _day(day: date, zone: ZoneInfo | None) -> tuple[Fraction, Fraction]:
    midnight = datetime(day.year, day.month, day.day, tzinfo=_known(zone))
    # A midnight that a clock change skips is the moment of the change, one that comes twice is the first of the two.
    return _seconds(midnight), _seconds(midnight + timedelta(days=1))


def _local_seconds(local: datetime, zone: ZoneInfo) -> Fraction:
    early, late = (local.replace(tzinfo=zone, fold=fold) for fold in (0, 1))
    first, second = early.utcoffset(), late.utcoffset()
    if first == second:
        return _seconds(early)
    both = sorted((_seconds(early), _seconds(late)))
    choices = " or ".join(iso_moment(s, zone) for s in both)
    written = quote(local.strftime("%Y-%m-%d %H:%M"))
    if first is not None and second is not None and first > second:
        raise UnitError(f"the clock change makes {written} come twice in {zone.key}; write {choices}")
    raise UnitError(f"the clock change skips {written} in {zone.key}; write {choices}")


def _offset(text: str) -> timezone:
    if text.upper() == "Z":
        return UTC
    hours, minutes = int(text[1:3]), int(text[4:])
    if hours > 23 or minutes > 59:
        raise UnitError("write an offset from -23:59 to +23:59, such as -06:00")
    step = timedelta(hours=hours, minutes=minutes)
    return timezone(-step if text[0] == "-" else step)


def _seconds(at: datetime) -> Fraction:
    return Fraction((at - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(seconds=1))
