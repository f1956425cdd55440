"""Moments are read in the zone of the site, by the real clock, and a clock change is never guessed at."""

from __future__ import annotations

import os
import time
import zoneinfo
from collections.abc import Callable
from datetime import UTC, datetime, timedelta, timezone
from fractions import Fraction
from functools import cache
from itertools import pairwise
from typing import NamedTuple
from unittest.mock import patch
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wallwalk.errors import MissingPartError
from wallwalk.measures import MEASURES
from wallwalk.moments import (
    NO_ZONES,
    find_zone,
    iso_moment,
    parse_camera_time,
    parse_last_day,
    parse_moment,
    parse_offset,
    show_moment,
    show_moments,
)
from wallwalk.quantities import UnitError
from wallwalk.values import Interval, Measured
from wallwalk.words import words_in

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
MINUTE = timedelta(minutes=1)
ADVICE = "write it as year-month-day hour:minute, such as 2026-03-09 08:30"
DATE_ADVICE = "write it as year-month-day, such as 2026-09-30"

# Names in the database that are no place: what they mean depends on the machine, or is nothing.
PLACES = zoneinfo.available_timezones() - {"localtime", "Factory", "posixrules"}


def zone_of(name: str) -> ZoneInfo:
    """The zone of that name, which is there."""
    zone = find_zone(name)
    assert zone is not None
    return zone


def seconds_of(text: str, zone: str = "UTC") -> Fraction:
    """The one moment that `text` is."""
    value = parse_moment(text, zone_of(zone))
    assert value.low == value.high
    return Fraction(value.low)


def hours(value: Interval) -> Fraction:
    """How long an interval of moments is."""
    return (Fraction(value.high) - Fraction(value.low)) / 3600


def elapsed_from(first: str, last: str, zone: str) -> Measured:
    """What the measure of that name makes of two moments of a site."""
    return MEASURES["elapsed"].run((parse_moment(first, zone_of(zone)), parse_moment(last, zone_of(zone))), "")


def duration(low: str, high: str) -> Interval:
    """A duration between two numbers of hours."""
    return Interval("duration", Fraction(low) * 3600, Fraction(high) * 3600, "h")


def refused(text: str, zone: str | None, read: Callable[[str, ZoneInfo | None], Interval] = parse_moment) -> str:
    """The advice with which `text` is refused."""
    with pytest.raises(UnitError) as refusal:
        read(text, zone and zone_of(zone))  # type: ignore[arg-type]
    return refusal.value.instead


class ClockChange(NamedTuple):
    """A moment at which a zone's offset from UTC changes."""

    zone: str
    at: datetime
    before: timedelta
    after: timedelta

    @property
    def wall(self) -> tuple[datetime, datetime]:
        """The local times, without zone, between which it skips (or comes twice): the first in, the first out."""
        was, becomes = (self.at.replace(tzinfo=None) + offset for offset in (self.before, self.after))
        return min(was, becomes), max(was, becomes)


def offset_at(zone: ZoneInfo, at: datetime) -> timedelta:
    """The offset of `zone` at a moment of UTC, which is never in doubt."""
    offset = at.astimezone(zone).utcoffset()
    assert offset is not None
    return offset


@cache
def clock_changes_2026() -> tuple[ClockChange, ...]:
    """Every clock change of 2026 of every IANA zone, found by walking along UTC and halving, with no local time."""
    start = datetime(2026, 1, 1, tzinfo=UTC)
    steps = [start + timedelta(hours=12 * i) for i in range(365 * 2 + 1)]
    found = []
    for name in sorted(PLACES):
        zone = ZoneInfo(name)
        for low, high in pairwise(steps):
            if offset_at(zone, low) == offset_at(zone, high):
                continue
            last, first = low, high
            while first - last > timedelta(seconds=1):
                middle = last + (first - last) // 2
                middle -= timedelta(microseconds=middle.microsecond)
                last, first = (middle, first) if offset_at(zone, middle) == offset_at(zone, low) else (last, middle)
            found.append(ClockChange(name, first, offset_at(zone, last), offset_at(zone, first)))
    return tuple(found)


def iso(at: datetime, offset: timedelta) -> str:
    """A moment of UTC as RFC 3339 writes it with that offset; worked out here, not by the code tested."""
    minutes = int(offset / MINUTE)
    sign = "-" if minutes < 0 else "+"
    local = (at + offset).replace(tzinfo=None)
    return f"{local:%Y-%m-%dT%H:%M:%S}{sign}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


@pytest.mark.parametrize(
    ("text", "same"),
    [
        # RFC 3339 section 5.8, the examples, from memory (no copy of the RFC at hand), with what it says of each.
        ("1985-04-12T23:20:50.52Z", "1985-04-12T23:20:50.520000000+00:00"),
        ("1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57Z"),
        ("1937-01-01T12:00:27.87+00:20", "1937-01-01T11:40:27.87Z"),
        # Section 5.6, the notes: T and Z may be lower case, and a space may stand for T. From memory.
        ("1985-04-12t23:20:50z", "1985-04-12 23:20:50Z"),
        # Section 4.3: -00:00 is UTC too. From memory.
        ("1985-04-12T23:20:50-00:00", "1985-04-12T23:20:50Z"),
    ],
)
def test_examples_of_rfc_3339(text: str, same: str) -> None:
    """What the RFC says is one moment is one moment, whatever zone the site is in."""
    assert seconds_of(text, "America/Chicago") == seconds_of(same, "Asia/Tokyo")


def test_a_moment_keeps_its_words() -> None:
    """What is shown later is what was written, spaces put right; a moment has no unit."""
    read = seconds_of("2026-03-09T08:30Z")
    spaced = parse_moment(" 2026-03-09   08:30 ", zone_of("UTC"))
    assert spaced == Interval("moment", read, read, "", "2026-03-09 08:30")
    day = seconds_of("2026-03-09T00:00Z")
    assert parse_moment(" 2026-03-09 ", zone_of("UTC")) == Interval("moment", day, day + 86400, "", "2026-03-09")
    assert parse_last_day(" 2026-03-09 ", zone_of("UTC")).written == "2026-03-09"


def test_the_zone_of_the_machine_says_nothing() -> None:
    """In Tokyo a moment is shown as it is anywhere."""
    with patch.dict(os.environ, {"TZ": "Asia/Tokyo"}):
        time.tzset()
        shown = show_moment(Fraction(10**9), None), iso_moment(Fraction(10**9), zone_of("America/New_York"))
    time.tzset()
    assert shown == ("Sun 9 Sep 2001 01:46:40 UTC", "2001-09-08T21:46:40-04:00")


def test_seconds_are_counted_from_1970() -> None:
    """POSIX: 2001-09-09T01:46:40Z is second 1,000,000,000; parts of a second stay exact."""
    assert seconds_of("1970-01-01T00:00Z") == 0
    assert seconds_of("2001-09-09T01:46:40Z") == 10**9
    assert seconds_of("2001-09-09T01:46:40.123456789Z") == 10**9 + Fraction(123456789, 10**9)


def test_a_leap_second_is_no_time_of_this_clock() -> None:
    """RFC 3339 section 5.8 has 1990-12-31T23:59:60Z; POSIX seconds have no such moment, so it is refused, not moved."""
    assert refused("1990-12-31T23:59:60Z", "UTC") == f"there is no such date and time; {ADVICE}"


@pytest.mark.parametrize(
    ("zone", "first", "last", "elapsed"),
    [
        # IANA tz database: United States 8 March and 1 November 2026, European Union 29 March and 25 October 2026.
        ("America/New_York", "2026-03-07 12:00", "2026-03-08 12:00", "23"),
        ("America/New_York", "2026-10-31 12:00", "2026-11-01 12:00", "25"),
        ("America/New_York", "2026-03-08 12:00", "2026-03-09 12:00", "24"),
        ("America/Chicago", "2026-03-07 12:00", "2026-03-08 12:00", "23"),
        ("Europe/Berlin", "2026-03-28 12:00", "2026-03-29 12:00", "23"),
        ("Europe/Berlin", "2026-10-24 12:00", "2026-10-25 12:00", "25"),
        ("Europe/Madrid", "2026-03-28 12:00", "2026-03-29 12:00", "23"),
        ("Europe/Madrid", "2026-10-24 12:00", "2026-10-25 12:00", "25"),
        ("Europe/London", "2026-03-28 12:00", "2026-03-29 12:00", "23"),
        ("Europe/London", "2026-10-24 12:00", "2026-10-25 12:00", "25"),
        # Lord Howe Island moves its clocks by half an hour: 5 April and 4 October 2026.
        ("Australia/Lord_Howe", "2026-04-04 12:00", "2026-04-05 12:00", "24.5"),
        ("Australia/Lord_Howe", "2026-10-03 12:00", "2026-10-04 12:00", "23.5"),
        # Arizona keeps one time all year.
        ("America/Phoenix", "2026-03-07 12:00", "2026-03-08 12:00", "24"),
        ("America/Phoenix", "2026-10-31 12:00", "2026-11-01 12:00", "24"),
    ],
)
def test_noon_to_noon_is_as_long_as_the_clocks_make_it(zone: str, first: str, last: str, elapsed: str) -> None:
    """Elapsed time is real hours: a primer dwell from noon to noon over the spring change is 23 h."""
    assert (seconds_of(last, zone) - seconds_of(first, zone)) / 3600 == Fraction(elapsed)
    assert elapsed_from(first, last, zone) == duration(elapsed, elapsed)


@pytest.mark.parametrize(
    ("zone", "first", "last", "low", "high"),
    [
        # Worked by hand from the changes above: at least from the midnight after the day, at most from the one before.
        ("America/New_York", "2026-03-07", "2026-03-08 12:00", "11", "35"),
        ("America/New_York", "2026-10-31", "2026-11-01 12:00", "13", "37"),
        ("America/New_York", "2026-03-08", "2026-03-09 12:00", "12", "35"),
        ("Europe/Madrid", "2026-10-25", "2026-10-26 12:00", "12", "37"),
        ("Australia/Lord_Howe", "2026-04-04", "2026-04-05 12:00", "12.5", "36.5"),
        ("Australia/Lord_Howe", "2026-10-03", "2026-10-04 12:00", "11.5", "35.5"),
        ("America/Phoenix", "2026-03-07", "2026-03-08 12:00", "12", "36"),
    ],
)
def test_elapsed_since_a_date_alone_counts_the_clock_change(
    zone: str, first: str, last: str, low: str, high: str
) -> None:
    """Primed some time on the day before a change, or of it: the hours since are real hours at both ends."""
    assert elapsed_from(first, last, zone) == duration(low, high)


def test_a_skipped_local_time_is_refused_with_both_moments() -> None:
    """02:30 on 8 March 2026 is on no clock in New York; the advice can be pasted back and is understood."""
    instead = refused("2026-03-08 02:30", "America/New_York")
    assert instead == (
        'the clock change skips "2026-03-08 02:30" in America/New_York; '
        "write 2026-03-08T01:30:00-05:00 or 2026-03-08T03:30:00-04:00"
    )
    early, late = instead.split("write ")[1].split(" or ")
    assert seconds_of(late) - seconds_of(early) == 3600


def test_a_doubled_local_time_is_refused_with_both_moments() -> None:
    """01:30 on 1 November 2026 comes twice in New York."""
    assert refused("2026-11-01 01:30:15", "America/New_York") == (
        'the clock change makes "2026-11-01 01:30" come twice in America/New_York; '
        "write 2026-11-01T01:30:15-04:00 or 2026-11-01T01:30:15-05:00"
    )


@pytest.mark.parametrize("text", ["2026-03-08T02:30:00-05:00", "2026-11-01T01:30:00-04:00", "2026-11-01 01:30 -05:00"])
def test_with_its_offset_a_moment_is_never_in_doubt(text: str) -> None:
    """What the advice tells people to write is read as written."""
    assert iso_moment(seconds_of(text, "America/New_York"), None) == iso_moment(seconds_of(text, "UTC"), None)
    expected = datetime.fromisoformat(text.replace(" -", "-")) - EPOCH
    assert seconds_of(text, "America/New_York") == expected.total_seconds()


def test_there_are_clock_changes_to_test() -> None:
    """The walk along UTC finds those that the tz database is known to hold for 2026."""
    changes = clock_changes_2026()
    known = {(c.zone, f"{c.at:%m-%d %H:%M}") for c in changes}
    assert known >= {
        ("America/New_York", "03-08 07:00"),
        ("America/New_York", "11-01 06:00"),
        ("Europe/Berlin", "03-29 01:00"),
        ("Europe/Berlin", "10-25 01:00"),
        ("Australia/Lord_Howe", "04-04 15:00"),
        ("Australia/Lord_Howe", "10-03 15:30"),
    }
    assert len(changes) > 300
    assert "America/Phoenix" not in {c.zone for c in changes}


@pytest.mark.slow
def test_in_every_zone_of_the_world_each_doubtful_minute_is_refused_with_both_moments() -> None:
    """Every local minute that a clock change of 2026 skips or repeats, in every IANA zone, names its two moments."""
    tried = 0
    for change in clock_changes_2026():
        local, end = change.wall
        skips = change.after > change.before
        while local < end:
            in_utc = local.replace(tzinfo=UTC)
            with_before, with_after = in_utc - change.before, in_utc - change.after
            # Of a skipped time, each reading falls on the other side of the change, and has the offset of that side.
            choices = (
                (iso(with_after, change.before), iso(with_before, change.after))
                if skips
                else (iso(with_before, change.before), iso(with_after, change.after))
            )
            text = f"{local:%Y-%m-%d %H:%M}"
            what = f'skips "{text}"' if skips else f'makes "{text}" come twice'
            expected = f"the clock change {what} in {change.zone}; write {choices[0]} or {choices[1]}"
            assert refused(text, change.zone) == expected
            local += MINUTE
            tried += 1
    assert tried > 300 * 30


@pytest.mark.slow
def test_in_every_zone_of_the_world_the_minutes_just_outside_are_read_right() -> None:
    """The last sure minute before a clock change and the first after it are the moments that UTC says they are."""
    for change in clock_changes_2026():
        first, end = change.wall
        sides = ((first - MINUTE, change.before), (end, change.after))
        for local, offset in sides:
            expected = (local.replace(tzinfo=UTC) - offset - EPOCH).total_seconds()
            assert seconds_of(f"{local:%Y-%m-%d %H:%M}", change.zone) == expected, (change, local)


@pytest.mark.slow
def test_in_every_zone_of_the_world_a_date_is_the_whole_of_that_day() -> None:
    """The days around each clock change begin where the one before ends, at the first moment that has their date.

    Also where midnight itself is skipped (Havana, Cairo, Beirut, Santiago) or comes twice (Havana).
    """
    for change in clock_changes_2026():
        zone = ZoneInfo(change.zone)
        around = (change.at + change.before).date()
        for day in (around + timedelta(days=n) for n in (-1, 0, 1, 2)):
            value = parse_moment(f"{day}", zone_of(change.zone))
            first, end = (EPOCH + timedelta(seconds=int(Fraction(bound))) for bound in (value.low, value.high))
            assert first.astimezone(zone).date() == day, change
            assert (first - timedelta(seconds=1)).astimezone(zone).date() == day - timedelta(days=1), change
            assert end.astimezone(zone).date() == day + timedelta(days=1), change
            assert (end - timedelta(seconds=1)).astimezone(zone).date() == day, change
            assert parse_last_day(f"{day}", zone_of(change.zone)).low == value.high


@pytest.mark.parametrize(
    ("zone", "day", "length"),
    [
        ("America/New_York", "2026-03-08", "23"),
        ("America/New_York", "2026-03-09", "24"),
        ("America/New_York", "2026-11-01", "25"),
        ("Europe/Berlin", "2026-03-29", "23"),
        ("Europe/Berlin", "2026-10-25", "25"),
        ("Australia/Lord_Howe", "2026-10-04", "23.5"),
        ("America/Phoenix", "2026-03-08", "24"),
        # Cuba moves its clocks at midnight itself: the day before is whole.
        ("America/Havana", "2026-03-07", "24"),
        ("America/Havana", "2026-03-08", "23"),
        ("America/Havana", "2026-10-31", "24"),
        ("America/Havana", "2026-11-01", "25"),
    ],
)
def test_a_date_alone_is_some_moment_of_that_day(zone: str, day: str, length: str) -> None:
    """A date without a time is the interval of the whole day, as long as that day is there."""
    value = parse_moment(day, zone_of(zone))
    assert hours(value) == Fraction(length)
    assert value.written == day


def test_the_last_day_is_covered_to_its_end() -> None:
    """Calibrated to 30 September means until midnight that ends it, local time: 04:00 UTC in New York."""
    value = parse_last_day("2026-09-30", zone_of("America/New_York"))
    expected = seconds_of("2026-10-01T04:00Z")
    assert value == Interval("moment", expected, expected, "", "2026-09-30")
    assert value.low == parse_moment("2026-09-30", zone_of("America/New_York")).high


@pytest.mark.parametrize(
    ("text", "zone", "instead"),
    [
        ("yesterday noon", "UTC", ADVICE),
        ("", "UTC", ADVICE),
        ("2026-3-9 8:30", "UTC", ADVICE),
        ("03/09/2026 08:30", "UTC", ADVICE),
        ("2026-03-09 08:30 PM", "UTC", ADVICE),
        ("2026-03-09T08", "UTC", ADVICE),
        ("2026-03-09 08:30 -6", "UTC", ADVICE),
        ("2026-03-09Z", "UTC", ADVICE),
        ("٢٠٢٦-03-09 08:30", "UTC", ADVICE),
        ("2026-02-30", "UTC", f"there is no such date; {ADVICE}"),
        ("2026-02-29 08:30", "UTC", f"there is no such date and time; {ADVICE}"),
        ("2026-03-09 08:60", "UTC", f"there is no such date and time; {ADVICE}"),
        ("2026-03-09 25:00", "UTC", f"there is no such date and time; {ADVICE}"),
        ("2026-03-09 24:00", "UTC", "write midnight as 00:00 of the next day"),
        ("1899-12-31 08:30", "UTC", "write a year from 1900 to 2199"),
        ("2200-01-01", "UTC", "write a year from 1900 to 2199"),
        ("2026-03-09T08:30+24:00", "UTC", "write an offset from -23:59 to +23:59, such as -06:00"),
        ("2026-03-09T08:30+05:60", "UTC", "write an offset from -23:59 to +23:59, such as -06:00"),
        (
            "2026-03-09 08:30",
            None,
            "write the offset behind the time, such as 2026-03-09T08:30-05:00",
        ),
        (
            "2026-03-09",
            None,
            "write the offset behind the time, such as 2026-03-09T08:30-05:00",
        ),
    ],
)
def test_advice_says_what_to_write_instead(text: str, zone: str | None, instead: str) -> None:
    """A text that is no moment is refused with one that is."""
    assert refused(text, zone) == instead


@pytest.mark.parametrize(
    ("text", "instead"),
    [
        ("2026-09-30 12:00", DATE_ADVICE),
        ("end of September", DATE_ADVICE),
        ("2026-09-31", f"there is no such date; {DATE_ADVICE}"),
    ],
)
def test_a_last_day_is_a_date(text: str, instead: str) -> None:
    """A time of day is no last day."""
    assert refused(text, "UTC", parse_last_day) == instead


@pytest.mark.parametrize(
    "name", ["", "Chicago", "America", "america/chicago ", "../UTC", "/etc/localtime", "zone.tab", "A\0B", "UTC\n"]
)
def test_what_is_no_zone_is_none(name: str) -> None:
    """A folder, a path, another file or a slip of the pen is no zone, and reads no file outside the database."""
    assert find_zone(name) is None


def test_every_iana_zone_is_found() -> None:
    """Whatever the tz database names can be written as time_zone."""
    names = PLACES
    assert len(names) > 400
    assert {name for name in names if (zone := find_zone(name)) is None or zone.key != name} == set()


def test_moments_are_shown_in_the_zone_of_the_site_and_never_early() -> None:
    """Seconds are shown where there are any, and part seconds go up: an earliest start is never shown too early."""
    noon = seconds_of("2026-03-10T13:00Z")
    zone = zone_of("America/New_York")
    assert show_moment(noon, zone) == "Tue 10 Mar 2026 09:00"
    assert show_moment(noon + Fraction(1, 1000), zone) == "Tue 10 Mar 2026 09:00:01"
    assert show_moment(noon, None) == "Tue 10 Mar 2026 13:00 UTC"
    assert iso_moment(noon, zone) == "2026-03-10T09:00:00-04:00"
    assert iso_moment(noon + Fraction(1, 1000), None) == "2026-03-10T13:00:01+00:00"


def test_from_one_moment_to_another_is_one_where_they_are_shown_alike() -> None:
    """Two parts of the same second are both shown as the second after."""
    noon = seconds_of("2026-03-10T13:00Z")
    zone = zone_of("America/New_York")
    assert show_moments(noon, noon + 3600, zone) == "Tue 10 Mar 2026 09:00 to Tue 10 Mar 2026 10:00"
    assert show_moments(noon + Fraction(1, 5), noon + Fraction(4, 5), zone) == "Tue 10 Mar 2026 09:00:01"
    assert show_moments(noon, noon, None) == "Tue 10 Mar 2026 13:00 UTC"
    in_spanish = show_moments(noon, noon + 3600, zone, words_in("es"))
    assert in_spanish == "mar 10 mar 2026 09:00 a mar 10 mar 2026 10:00"


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("Z", 0),
        ("z", 0),
        ("+00:00", 0),
        ("-05:00", -300),
        ("+05:30", 330),
        ("-09:30", -570),
        ("+23:59", 1439),
        ("-23:59", -1439),
        ("+24:00", None),
        ("+05:60", None),
        ("", None),
        ("-5:00", None),
        ("05:00", None),
        ("+05:00 ", None),
        ("+٠٥:00", None),
        ("UTC", None),
    ],
)
def test_a_fixed_offset_is_hours_and_minutes_with_their_sign(text: str, minutes: int | None) -> None:
    """RFC 3339 section 5.6, from memory; what is written in another way is none."""
    assert parse_offset(text) == (None if minutes is None else timezone(timedelta(minutes=minutes)))


def at_utc(text: str) -> Fraction:
    """A moment with its offset, by the standard library."""
    return Fraction((datetime.fromisoformat(text) - EPOCH) // timedelta(seconds=1))


@pytest.mark.parametrize(
    ("clock", "offset", "zone", "first", "last"),
    [
        ("2026:03:09 13:22:10", "", "America/New_York", "2026-03-09T13:22:10-04:00", "2026-03-09T13:22:10-04:00"),
        ("2026:03:09 13:22:10", "+01:00", "America/New_York", "2026-03-09T12:22:10Z", "2026-03-09T12:22:10Z"),
        ("2026:03:09 13:22:10", "-03:30", None, "2026-03-09T16:52:10Z", "2026-03-09T16:52:10Z"),
        ("2026:03:09 13:22:10", "+99:00", "UTC", "2026-03-09T13:22:10Z", "2026-03-09T13:22:10Z"),
        # 1 November comes twice in New York at 01:30, 8 March has no 02:30 there: from one reading to the other.
        ("2026:11:01 01:30:00", "", "America/New_York", "2026-11-01T05:30:00Z", "2026-11-01T06:30:00Z"),
        ("2026:03:08 02:30:00", "", "America/New_York", "2026-03-08T06:30:00Z", "2026-03-08T07:30:00Z"),
        ("1900:01:01 00:00:00", "Z", None, "1900-01-01T00:00:00Z", "1900-01-01T00:00:00Z"),
        ("2199:12:31 23:59:59", "Z", None, "2199-12-31T23:59:59Z", "2199-12-31T23:59:59Z"),
    ],
)
def test_the_time_in_a_picture_is_that_of_its_offset_or_of_the_site(
    clock: str, offset: str, zone: str | None, first: str, last: str
) -> None:
    """Exif writes a local time, and beside it an offset or none (from memory); the words are what it wrote."""
    written = f"{clock} {offset}" if offset else clock
    expected = Interval("moment", at_utc(first), at_utc(last), "", written)
    assert parse_camera_time(clock, offset, zone_of(zone) if zone else None) == expected


@pytest.mark.parametrize(
    ("clock", "offset", "zone"),
    [
        ("2026:03:09 13:22:10", "", None),
        ("2026:03:09 13:22:10", "here", None),
        ("2026:02:30 13:22:10", "Z", "UTC"),
        ("2026:03:09 24:00:00", "Z", "UTC"),
        ("2026-03-09 13:22:10", "Z", "UTC"),
        ("2026:03:09 13:22:10 ", "Z", "UTC"),
        ("1899:12:31 23:59:59", "Z", "UTC"),
        ("2200:01:01 00:00:00", "Z", "UTC"),
        ("0000:00:00 00:00:00", "Z", "UTC"),
        ("", "", "UTC"),
    ],
)
def test_a_picture_with_no_moment_in_it_has_none(clock: str, offset: str, zone: str | None) -> None:
    """No clock that is known, no such day or hour, another form, or a camera that was never set."""
    assert parse_camera_time(clock, offset, zone_of(zone) if zone else None) is None


def test_on_a_machine_that_knows_no_zone_none_is_called_unknown() -> None:
    """Where not even Chicago is there, it is the table that is lacking; what can be no zone is still none."""
    with patch("wallwalk.moments._zone", return_value=None):
        with pytest.raises(MissingPartError) as lacking:
            find_zone("Europe/On_No_Machine")
        assert (find_zone("Factory"), find_zone("no zone")) == (None, None)
    assert str(lacking.value) == NO_ZONES


@pytest.mark.parametrize("name", ["localtime", "Factory", "posixrules"])
def test_a_name_that_is_no_place_is_no_zone(name: str) -> None:
    """What it means depends on the machine, or is nothing."""
    assert find_zone(name) is None


moments = st.datetimes(datetime(1900, 1, 2), datetime(2199, 12, 30), timezones=st.just(UTC))
zones = st.sampled_from(sorted(PLACES))


@given(moments, zones)
def test_what_is_written_for_machines_is_read_back(at: datetime, zone: str) -> None:
    """Any moment in any zone, written with whole minutes of offset, is the same moment when read."""
    seconds = Fraction((at - EPOCH) // timedelta(seconds=1))
    text = iso_moment(seconds, zone_of(zone))
    if len(text) == len("2026-03-10T09:00:00-04:00"):  # before standard time, offsets had seconds
        assert seconds_of(text) == seconds
    assert seconds_of(f"{at:%Y-%m-%d %H:%M:%S}Z", zone) == seconds


@given(moments, zones)
def test_a_local_time_is_the_moment_of_that_clock_or_an_error(at: datetime, zone: str) -> None:
    """What a clock on the wall showed at a moment is read as that moment, unless that clock showed it twice."""
    zone_info = zone_of(zone)
    whole = at.replace(microsecond=0)
    text = f"{whole.astimezone(zone_info):%Y-%m-%d %H:%M:%S}"
    try:
        value = parse_moment(text, zone_info)
    except UnitError as error:
        assert "come twice" in error.instead  # noqa: PT017 - either outcome is right, each in its own words
    else:
        assert value.low == value.high == Fraction((whole - EPOCH) // timedelta(seconds=1))


LIKELY = "0123456789-:+TtZz. /apm"


@pytest.mark.slow
@given(st.text() | st.text(alphabet=LIKELY, max_size=30), st.sampled_from(["America/Havana", "UTC", ""]))
def test_any_text_is_a_moment_or_a_unit_error(text: str, zone: str) -> None:
    """No text whatever makes the readers fail in another way."""
    for read in (parse_moment, parse_last_day):
        try:
            value = read(text, find_zone(zone))
        except UnitError:
            continue
        assert value.kind == "moment"


numbers = st.integers(0, 99).map(lambda n: f"{n:02d}")


@given(
    st.sampled_from(["0000", "1899", "1900", "2026", "2199", "9999"]),
    st.lists(numbers, min_size=7, max_size=7),
    st.sampled_from(["", "Z", "+", "-"]),
)
def test_any_numbers_in_the_right_places_are_a_moment_or_a_unit_error(year: str, n: list[str], sign: str) -> None:
    """The same, on text that is nearly right, with month 0, hour 99 and offset +99:99."""
    offset = f"{sign}{n[5]}:{n[6]}" if sign in {"+", "-"} else sign
    for text in (f"{year}-{n[0]}-{n[1]}", f"{year}-{n[0]}-{n[1]}T{n[2]}:{n[3]}:{n[4]}{offset}"):
        try:
            value = parse_moment(text, zone_of("Pacific/Apia"))
        except UnitError:
            continue
        assert value.low <= value.high


def test_the_first_and_last_days_that_can_be_written_are_read_in_every_zone() -> None:
    """The ends of the years allowed are inside what the clock can count."""
    for zone in PLACES:
        for day in ("1900-01-01", "2199-12-31"):
            assert 22 <= hours(parse_moment(day, zone_of(zone))) <= 26, (zone, day)
