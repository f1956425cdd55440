"""What a record says of each photo, and of its time beside the walk: worked by hand from the calendar of Chicago."""

from __future__ import annotations

import base64
from dataclasses import replace
from typing import Any

import pytest

from surveys import survey_of
from wallwalk.moments import find_zone, parse_camera_time
from wallwalk.photo_record import photos_record
from wallwalk.photos import Photo
from wallwalk.words import words_in

CHICAGO = "America/Chicago"
BEFORE, DAYS_BEFORE = "taken the day before the walk", "taken {} days before the walk"
AFTER, DAYS_AFTER = "taken the day after the walk", "taken {} days after the walk"
NO_CLOCK = "its time is on a clock that the survey does not name (time_zone)"


def photo(clock: str, offset: str = "", zone: str = CHICAGO) -> Photo:
    """A photo of that time by its camera, as the reader of photos gives it."""
    return Photo(
        place="photos[0]",
        line=3,
        file="a.jpg",
        of="North",
        rule="stains-blocked",
        note="Ring",
        sha256="5" * 64,
        width=400,
        height=300,
        clock=clock,
        taken=parse_camera_time(clock, offset, find_zone(zone) if zone else None),
        shown=b"\xff\xd8small",
    )


def told(one: Photo, walk: str = "2026-03-09 13:20", zone: str = CHICAGO, language: str = "en") -> Any:  # noqa: ANN401 - plain data
    """What the record of a survey with that walk, at a site of that zone, says of it."""
    data: dict[str, Any] = {"walk": {"at": walk}, **({"time_zone": zone} if zone else {})}
    survey = replace(survey_of(data), photos=(one,))
    (said,) = photos_record(survey, words_in(language))
    return said


def test_all_of_it_is_told() -> None:
    """Every part, the moment with the site's offset, and the small picture in base64."""
    assert told(photo("2026:03:09 13:22:10")) == {
        "file": "a.jpg",
        "of": "North",
        "rule": "stains-blocked",
        "note": "Ring",
        "sha256": "5" * 64,
        "width": 400,
        "height": 300,
        "taken": {"at": "2026-03-09T13:22:10-05:00", "shown": "Mon 9 Mar 2026 13:22"},
        "caution": "",
        "shown": base64.b64encode(b"\xff\xd8small").decode(),
    }


@pytest.mark.parametrize(
    ("clock", "at", "shown"),
    [
        ("2026:03:09 13:22:59", "2026-03-09T13:22:59-05:00", "Mon 9 Mar 2026 13:22"),
        ("2026:11:01 01:30:10", "2026-11-01T01:30:10-05:00", "Sun 1 Nov 2026 01:30"),  # comes twice
        ("2026:03:08 02:30:10", "2026-03-08T01:30:10-06:00", "Sun 8 Mar 2026 01:30 to Sun 8 Mar 2026 03:30"),
    ],
)
def test_a_time_is_shown_to_the_minute_and_both_where_a_clock_change_leaves_two(
    clock: str, at: str, shown: str
) -> None:
    """The first of the two is the moment for machines."""
    assert told(photo(clock))["taken"] == {"at": at, "shown": shown}


@pytest.mark.parametrize(
    ("clock", "offset", "walk", "caution"),
    [
        # One day of the site's calendar, from its first second to its last.
        ("2026:03:09 00:00:00", "", "2026-03-09 13:20", ""),
        ("2026:03:09 23:59:59", "", "2026-03-09 13:20", ""),
        ("2026:03:08 23:59:59", "", "2026-03-09 13:20", BEFORE),
        ("2026:03:10 00:00:00", "", "2026-03-09 13:20", AFTER),
        ("2026:03:07 23:59:59", "", "2026-03-09 13:20", DAYS_BEFORE.format(2)),
        ("2026:03:11 00:00:00", "", "2026-03-09 13:20", DAYS_AFTER.format(2)),
        # A walk of some time of a day: its last moment is of that day, and so is its first.
        ("2026:03:09 00:00:00", "", "2026-03-09", ""),
        ("2026:03:09 23:59:59", "", "2026-03-09", ""),
        ("2026:03:10 00:00:00", "", "2026-03-09", AFTER),
        ("2026:03:08 23:59:59", "", "2026-03-09", BEFORE),
        # A walk at midnight is of the day that begins.
        ("2026:03:09 00:00:01", "", "2026-03-09 00:00", ""),
        ("2026:03:08 23:59:59", "", "2026-03-09 00:00", BEFORE),
        # The day of 23 hours and that of 25: still one day of the calendar, before and after the change.
        ("2026:03:08 00:30:00", "", "2026-03-08 23:30", ""),
        ("2026:11:01 00:30:00", "", "2026-11-01 23:30", ""),
        ("2026:10:31 23:30:00", "", "2026-11-01 00:30", BEFORE),
        ("2026:11:01 01:30:00", "", "2026-11-02", BEFORE),
        # An offset in the file says when that was on the site's clock.
        ("2026:03:10 05:59:59", "+01:00", "2026-03-09 13:20", ""),
        ("2026:03:10 06:00:00", "+01:00", "2026-03-09 13:20", AFTER),
        # Nothing to hold it against.
        ("2026:03:10 06:00:00", "", "unknown", ""),
        ("", "", "2026-03-09 13:20", ""),
        ("0000:00:00 00:00:00", "", "2026-03-09 13:20", ""),
        ("    :  :     :  :  ", "", "2026-03-09 13:20", ""),
    ],
)
def test_another_day_than_the_walk_s_is_a_caution(clock: str, offset: str, walk: str, caution: str) -> None:
    """By the site's calendar, whatever the hours between."""
    assert told(photo(clock, offset), walk)["caution"] == caution


@pytest.mark.parametrize(
    ("clock", "offset", "caution"),
    [
        ("2026:03:09 13:20:00", "", NO_CLOCK),
        ("2026:03:10 13:19:59", "-05:00", ""),
        ("2026:03:10 13:20:00", "-05:00", AFTER),
        ("2026:03:08 13:20:01", "-05:00", ""),
        ("2026:03:08 13:20:00", "-05:00", BEFORE),
        ("2026:03:06 13:20:01", "-05:00", DAYS_BEFORE.format(2)),
        ("0000:00:00 00:00:00", "", ""),
        ("2026:02:30 13:20:00", "", 'the time in the file is none that can be read ("2026:02:30 13:20:00")'),
    ],
)
def test_without_the_site_s_zone_a_day_is_24_hours(clock: str, offset: str, caution: str) -> None:
    """And a bare time is on no clock that is known."""
    assert told(photo(clock, offset, ""), "2026-03-09T13:20-05:00", "")["caution"] == caution


def test_a_part_of_a_second_before_1970_is_of_the_day_that_ends() -> None:
    """Moments are counted from there, and those before it are negative."""
    one = photo("1969:12:31 10:00:00", "", "Etc/UTC")
    assert told(one, "1969-12-31T23:59:59.5Z", "Etc/UTC")["caution"] == ""
    assert told(one, "1970-01-01T00:00:00.5Z", "Etc/UTC")["caution"] == BEFORE


@pytest.mark.parametrize(
    ("clock", "shown"),
    [
        ("0000:00:00 13:22:10", "0000:00:00 13:22:10"),
        ("2026:03:09 24:00:00", "2026:03:09 24:00:00"),
        ("x" * 24, "x" * 24),
        ("y" * 25, "y" * 24 + "…"),
    ],
)
def test_a_time_that_cannot_be_read_is_said_as_it_stands(clock: str, shown: str) -> None:
    """Up to 24 signs of it, with a walk and without; it has no moment."""
    for walk in ("2026-03-09 13:20", "unknown"):
        said = told(photo(clock), walk)
        caution = f'the time in the file is none that can be read ("{shown}")'
        assert (said["caution"], said["taken"]) == (caution, None)


def test_it_is_said_in_the_language_of_the_record() -> None:
    """Day and caution both."""
    said = told(photo("2026:03:06 08:00:00"), language="es")
    assert said["caution"] == "tomada 3 días antes del recorrido"
    assert said["taken"]["shown"] == "vie 6 mar 2026 08:00"
