"""The time of a log's row: every form that loggers write, and each that says no moment, refused in its own words."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest

from wallwalk.log_clock import (
    AnswerWantedError,
    RowClock,
    RowTimeError,
    SkippedTimeError,
    find_clock,
    parse_named_offset,
)

CHICAGO, LORD_HOWE = ZoneInfo("America/Chicago"), ZoneInfo("Australia/Lord_Howe")
YEAR_FIRST, MONTH_FIRST, DAY_FIRST = "year-month-day", "month-day-year", "day-month-year"


def at(text: str) -> int:
    """Seconds since 1970 of a moment with its offset, by the standard library."""
    return int(datetime.fromisoformat(text).timestamp())


ONE = at("2026-03-09T01:00:00-05:00")


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("2026-03-09 01:00", ONE),
        ("2026-03-09 1:00", ONE),
        ("2026/3/9 01:00", ONE),
        ("2026.03.09T01:00", ONE),
        ("2026-03-09T 01:00", ONE),
        ("2026-03-09,  01:00", ONE),
        (" 2026-03-09 01:00", ONE),
        ("2026-03-09 01:00:00", ONE),
        ("2026-03-09 01:59:59", ONE + 3599),
        ("2026-03-09 01:02:03.5", ONE + 123 + Fraction(1, 2)),
        ("2026-03-09 01:02:03,250000000", ONE + 123 + Fraction(1, 4)),
        ("2026-03-09 01:02:03.000", ONE + 123),
        ("2026-03-09 12:00 AM", ONE - 3600),
        ("2026-03-09 1:00 am", ONE),
        ("2026-03-09 1:00AM", ONE),
        ("2026-03-09 1:00 a.m.", ONE),
        ("2026-03-09 11:00 am", ONE + 10 * 3600),
        ("2026-03-09 12:00 PM", ONE + 11 * 3600),
        ("2026-03-09 1:00:30 p.m.", ONE + 12 * 3600 + 30),
        ("2026-03-09 11:00 P", None),
        ("2026-03-09T01:00-05:00", ONE),
        ("2026-03-09T01:00-0500", ONE),
        ("2026-03-09 08:00 +02:00", ONE),
        ("2026-03-09 08:00 +0200", ONE),
        ("2026-03-09T06:00Z", ONE),
        ("2026-03-09 06:00 z", ONE),
        ("2026-03-09 11:30+05:30", ONE),
    ],
)
def test_every_way_of_writing_a_moment_is_that_moment(text: str, seconds: Fraction | int | None) -> None:
    """On the clock of the logger, unless the row has an offset of its own; what is no form of these is none."""
    clock = RowClock(CHICAGO, YEAR_FIRST)
    if seconds is None:
        with pytest.raises(RowTimeError, match=r"^no date and time$"):
            clock.seconds(text)
        return
    assert clock.seconds(text) == seconds
    assert clock.seconds(text) == seconds  # counted on from the hour that is known now


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("03/09/2026 01:00", MONTH_FIRST),
        ("3-9-26 01:00", MONTH_FIRST),
        ("09.03.2026 01:00", DAY_FIRST),
        ("9/3/26 01:00", DAY_FIRST),
        ("2026-03-09 01:00", DAY_FIRST),
        ("2026-03-09 01:00", None),
    ],
)
def test_the_order_of_a_date_is_the_one_that_is_told(text: str, order: str | None) -> None:
    """A year of four digits in front needs no order; one of two digits is of this century."""
    assert RowClock(CHICAGO, order).seconds(text) == ONE


@pytest.mark.parametrize(
    ("text", "order", "said"),
    [
        ("", YEAR_FIRST, "no date and time"),
        ("soon", YEAR_FIRST, "no date and time"),
        ("2026-03-09", YEAR_FIRST, "no date and time"),
        ("2026-03-09 01:0", YEAR_FIRST, "no date and time"),
        ("on 2026-03-09 01:00", YEAR_FIRST, "no date and time"),
        ("2026-03-09 01:00 h", YEAR_FIRST, "no date and time"),
        ("2026-03-09 01:60", YEAR_FIRST, "no such time of day"),
        ("2026-03-09 01:59:60", YEAR_FIRST, "no such time of day"),
        ("2026-03-09 0:00 AM", YEAR_FIRST, "no such time of day"),
        ("2026-03-09 13:00 PM", YEAR_FIRST, "no such time of day"),
        ("2026-03-09 24:00", YEAR_FIRST, "no such date or time of day"),
        ("2026-02-29 01:00", YEAR_FIRST, "no such date or time of day"),
        ("2026-13-01 01:00", YEAR_FIRST, "no such date or time of day"),
        ("13/09/2026 01:00", MONTH_FIRST, "no such date or time of day"),
        ("2026-03-09 01:00+99:00", YEAR_FIRST, "no such offset"),
        ("2026-03-09 01:00+9900", YEAR_FIRST, "no such offset"),
        ("1899-12-31 01:00", YEAR_FIRST, "no year from 1900 to 2199"),
        ("2200-01-01 01:00", YEAR_FIRST, "no year from 1900 to 2199"),
        ("03/09/199 01:00", MONTH_FIRST, "no year from 1900 to 2199"),
        ("03/09/2026 01:00", YEAR_FIRST, "no year first, as date_order says"),
    ],
)
def test_what_says_no_moment_says_why(text: str, order: str, said: str) -> None:
    """Each in the words that the list of rows not used has."""
    with pytest.raises(RowTimeError) as refused:
        RowClock(CHICAGO, order).seconds(text)
    assert (str(refused.value), type(refused.value)) == (said, RowTimeError)


def test_the_first_and_the_last_year_are_read() -> None:
    """From 1900 to 2199."""
    for text in ("1900-01-01T00:00:00+00:00", "2199-12-31T23:00:00+00:00"):
        assert RowClock(UTC, YEAR_FIRST).seconds(text[:16].replace("T", " ")) == at(text)


def test_what_cannot_be_known_is_asked_for() -> None:
    """The clock, where neither the row nor anyone says it; the order of a date, with the date."""
    with pytest.raises(AnswerWantedError) as wanted:
        RowClock(None, YEAR_FIRST).seconds("2026-03-09 01:00")
    assert (wanted.value.wants, wanted.value.parts) == ("clock", {})
    assert str(wanted.value) == "the file's times carry no offset, and nothing says what clock they are by"
    with pytest.raises(AnswerWantedError) as wanted:
        RowClock(CHICAGO, None).seconds("3-9-26 01:00")
    assert (wanted.value.wants, wanted.value.parts) == ("date_order", {"date": "3/9/26"})
    assert wanted.value.lacking == "nothing says which number is the month in dates like {date}"
    assert str(wanted.value) == "nothing says which number is the month in dates like 3/9/26"
    assert RowClock(None, YEAR_FIRST).seconds("2026-03-09 01:00-05:00") == ONE


TWICE = "comes twice on the day of the clock change, so it says no one moment"
SKIPPED = "is skipped by the clock change"


@pytest.mark.parametrize(
    ("zone", "text", "comes_to"),
    [
        (CHICAGO, "2026-03-08 01:59:59", "2026-03-08T01:59:59-06:00"),
        (CHICAGO, "2026-03-08 02:00", SKIPPED),
        (CHICAGO, "2026-03-08 02:59:59", SKIPPED),
        (CHICAGO, "2026-03-08 03:00", "2026-03-08T03:00:00-05:00"),
        (CHICAGO, "2026-11-01 00:59:59", "2026-11-01T00:59:59-05:00"),
        (CHICAGO, "2026-11-01 01:00", TWICE),
        (CHICAGO, "2026-11-01 01:59:59.5", TWICE),
        (CHICAGO, "2026-11-01 02:00", "2026-11-01T02:00:00-06:00"),
        (CHICAGO, "2026-11-01 01:30-05:00", "2026-11-01T01:30:00-05:00"),
        (LORD_HOWE, "2026-04-05 01:29:59", "2026-04-05T01:29:59+11:00"),
        (LORD_HOWE, "2026-04-05 01:30", TWICE),
        (LORD_HOWE, "2026-04-05 01:59", TWICE),
        (LORD_HOWE, "2026-04-05 02:00", "2026-04-05T02:00:00+10:30"),
        (LORD_HOWE, "2026-10-04 01:59", "2026-10-04T01:59:00+10:30"),
        (LORD_HOWE, "2026-10-04 02:00", SKIPPED),
        (LORD_HOWE, "2026-10-04 02:29:59", SKIPPED),
        (LORD_HOWE, "2026-10-04 02:30", "2026-10-04T02:30:00+11:00"),
    ],
)
def test_around_a_clock_change_each_minute_is_told_apart(zone: ZoneInfo, text: str, comes_to: str) -> None:
    """Also where the clock moves by half an hour; what the clock never showed is an error of another kind."""
    clock = RowClock(zone, YEAR_FIRST)
    for _ in range(2):
        if comes_to in (TWICE, SKIPPED):
            with pytest.raises(RowTimeError) as refused:
                clock.seconds(text)
            kind = SkippedTimeError if comes_to == SKIPPED else RowTimeError
            assert (str(refused.value), type(refused.value)) == (comes_to, kind)
        else:
            assert clock.seconds(text) == at(comes_to)


def test_a_long_log_is_read_as_a_short_one() -> None:
    """What is remembered of hours is bounded, and forgetting it changes nothing."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(RowClock, "_MOST_HOURS", 3)
        clock = RowClock(CHICAGO, YEAR_FIRST)
        for hour in (0, 1, 2, 3, 4, 0, 1):
            assert clock.seconds(f"2026-03-09 {hour:02}:30") == ONE + (hour - 1) * 3600 + 1800
            assert len(clock._hours) <= 3


def test_a_clock_is_the_site_s_a_place_s_or_an_offset() -> None:
    """What is none of them is no clock."""
    assert find_clock("site", CHICAGO) is CHICAGO
    assert find_clock("Site", None) is None
    assert find_clock("Australia/Lord_Howe", CHICAGO) == LORD_HOWE
    assert find_clock("-06:00", CHICAGO) == timezone(timedelta(hours=-6))
    assert find_clock("nowhere", CHICAGO) is None


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("UTC", 0),
        ("GMT-05:00", -300),
        ("GMT-5", -300),
        ("GMT + 5", 300),
        ("UTC+05:30", 330),
        ("UTC-0330", -210),
        ("UTC+10", 600),
    ],
)
def test_the_offset_that_a_header_names_is_hours_and_minutes(text: str, minutes: int) -> None:
    """With its sign; without a number it is UTC."""
    assert parse_named_offset(text) == timezone(timedelta(minutes=minutes))
