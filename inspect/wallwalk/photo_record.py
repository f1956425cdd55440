"""What a record says of photos: whose they are, when they were taken beside the walk, and the picture made small."""

from __future__ import annotations

import base64
from datetime import UTC, date, datetime
from fractions import Fraction
from zoneinfo import ZoneInfo

from wallwalk.errors import quote
from wallwalk.finding_record import Part
from wallwalk.moments import iso_moment, parse_camera_time, show_moments
from wallwalk.photos import Photo
from wallwalk.survey import Survey
from wallwalk.values import Interval
from wallwalk.words import Words

WALK = "walk.at"
_NOT_SET = "0: "
"""What cameras write, and nothing else, where their clock was never set (Exif 2.32: blanks; in practice noughts)."""
_CLOCK_MOST = 24
_MINUTE, _DAY = 60, 86_400


def photos_record(survey: Survey, words: Words) -> list[Part]:
    """Every photo in the order of the survey, each with its small picture in base64.

    It is kept here because another Pillow may make it small in other bytes, and a saved record draws the same for good.
    """
    walked = survey.answer(WALK)
    walk = walked.value if walked is not None and isinstance(walked.value, Interval) else None
    return [_photo(photo, walk, survey.zone, words) for photo in survey.photos]


def _photo(photo: Photo, walk: Interval | None, zone: ZoneInfo | None, words: Words) -> Part:
    return {
        "file": photo.file,
        "of": photo.of,
        "rule": photo.rule,
        "note": photo.note,
        "sha256": photo.sha256,
        "width": photo.width,
        "height": photo.height,
        "taken": None if photo.taken is None else _taken(photo.taken, zone, words),
        "caution": _caution(photo, walk, zone, words),
        "shown": base64.b64encode(photo.shown).decode(),
    }


def _taken(taken: Interval, zone: ZoneInfo | None, words: Words) -> Part:
    first, last = (Fraction(at) // _MINUTE * _MINUTE for at in (taken.low, taken.high))
    return {"at": iso_moment(taken.low, zone), "shown": show_moments(first, last, zone, words)}


def _caution(photo: Photo, walk: Interval | None, zone: ZoneInfo | None, words: Words) -> str:
    """What of its time an inspector has to know; empty where it was taken on the day of the walk."""
    taken = photo.taken
    if taken is None and not photo.clock.strip(_NOT_SET):
        return ""
    if taken is None and parse_camera_time(photo.clock, "Z", None) is None:
        clock = quote(photo.clock, _CLOCK_MOST)
        return words.say("the time in the file is none that can be read ({clock})", clock=clock)
    if taken is None:
        return words.say("its time is on a clock that the survey does not name ({time_zone})", time_zone="time_zone")
    if walk is None:
        return ""
    days = _days_between(taken, walk, zone)
    if days < 0:
        return words.say_many("taken the day before the walk", "taken {count} days before the walk", -days)
    if days > 0:
        return words.say_many("taken the day after the walk", "taken {count} days after the walk", days)
    return ""


def _days_between(taken: Interval, walk: Interval, zone: ZoneInfo | None) -> int:
    """By how many days of the site's calendar a photo is surely later than the walk, less than 0 where earlier.

    Where the site's clock is not known, days are spans of 24 hours.
    """
    whole = walk.high - 1 if walk.high > walk.low else walk.high  # a day ends before the next one begins
    if zone is None:
        later, earlier = (taken.low - whole) // _DAY, (walk.low - taken.high) // _DAY
    else:
        later = (_day(taken.low, zone) - _day(whole, zone)).days
        earlier = (_day(walk.low, zone) - _day(taken.high, zone)).days
    return int(later) if later > 0 else -int(earlier) if earlier > 0 else 0


def _day(seconds: Fraction | float, zone: ZoneInfo) -> date:
    return datetime.fromtimestamp(int(seconds // 1), UTC).astimezone(zone).date()
