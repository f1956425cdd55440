"""Trade page 5 and 6, by the logs: what somebody wrote down by hand is not what the room was."""

from __future__ import annotations

from fractions import Fraction

from .kinds import primer_matters
from .moist_air import dew_point
from .papers import Answers
from .ranges import FAR, Range, highest, is_told, keeps_to, lowest, minus, reaches
from .readings import each_told
from .room import Room
from .rules_climate import BAND, OVER_DEW, USUAL
from .truth import Truth, every, only_where, say
from .watch import Band, Watch, logged_at

_DAY = Fraction(24)  # row "Logged temperature for the 24 h before the start stays in the band"
_HOUR = Fraction(1)  # row "no gap over 1 h"


def _kept(room: Room) -> Truth:
    return reaches(room.space.listing("climate_log", "climate_logs_kept").number, Fraction(1))


def climate_was_logged(room: Room) -> str:
    """A logger stood in the room."""
    return say(_kept(room))


def _watch(room: Room, quantity: str, band: Band) -> Watch | None:
    """The log that is written down, if it was read; there may be others. (Several at once are not made up here.)"""
    there = room.space.listing("climate_log", "climate_logs_kept")
    log = room.logs[0] if room.logs and len(there.entries) == 1 else None
    if quantity not in room.watches:
        room.watches[quantity] = None if log is None else Watch(log, quantity, band, alone=there.all_there)
    return room.watches[quantity]


def _held_a_day(room: Room) -> str:
    """Row "Logged temperature for the 24 h before the start"."""
    watch = _watch(room, "temperature", BAND)
    held = Range(Fraction(0), FAR)
    if watch is not None and is_told(room.start) and room.start.low == room.start.high:
        held = watch.held(Fraction(room.start.low))
    room.opens = None if watch is None else watch.opens()
    return only_where(_kept(room), reaches(held, _DAY))


def band_held_before_start(room: Room) -> str:
    """The work: a day in the band before it."""
    return _held_a_day(room)


def sheets_acclimated_by_the_log(room: Room) -> str:
    """The sheets: the same day (trap "a night with the heat off starts the clock again")."""
    return _held_a_day(room)


def adhesive_acclimated_by_the_log(room: Room) -> str:
    """And the adhesive."""
    return _held_a_day(room)


def _in_the_time_before(room: Room, quantity: str, band: Band) -> tuple[Watch, Fraction, Fraction] | None:
    """The day before the start but for its last hour, since a log may be read that much before."""
    watch = _watch(room, quantity, band)
    if watch is None or room.start.low != room.start.high or not is_told(room.start):
        return None
    start = Fraction(room.start.low)
    return watch, start - _DAY, start - _HOUR


def no_excursion_before_start(room: Room) -> str:
    """Trap "A door opened to the cold for deliveries shows in the log as an excursion"."""
    seen = _in_the_time_before(room, "temperature", BAND)
    none: Truth = None
    if seen is not None:
        watch, since, until = seen
        none = False if watch.left_its_band(since, until) else (None if watch.gaps(since, until) else True)
    return only_where(_kept(room), none)


def humidity_usual_by_the_log(room: Room) -> str:
    """Row "Relative humidity": out of what is usual for an hour at most."""
    seen = _in_the_time_before(room, "humidity", USUAL)
    longest = Range(Fraction(0), FAR) if seen is None else seen[0].longest(*seen[1:])
    return only_where(_kept(room), keeps_to(longest, _HOUR))


def log_is_close_enough(room: Room) -> str:
    """Row "no gap over 1 h": rows no further apart than that."""
    logs = room.space.listing("climate_log", "climate_logs_kept")
    apart = highest([log.amount("every", "time") for log in logs.entries], all_there=logs.all_there)
    return only_where(_kept(room), keeps_to(apart, _HOUR))


def logger_calibrated(room: Room) -> str:
    """Trade page 9, "calibration in date", to the end of the log."""
    logs = room.space.listing("climate_log", "climate_logs_kept")
    left = [minus(room.case.of(log).day_over("calibration_due"), log.moment("ended")) for log in logs.entries]
    return only_where(_kept(room), reaches(lowest(left, all_there=logs.all_there), Fraction(0)))


def logger_placed_where_stated(room: Room) -> str:
    """Trade page 9, "Readings carry time, place ..."."""
    return only_where(_kept(room), each_told(room.space.listing("climate_log", "climate_logs_kept"), "place"))


def primed_above_dew_point_by_the_log(room: Room, wall: Answers) -> str:
    """Trade page 4, "surface above the dew point", in the air that the logger saw."""
    there, finished = room.space.listing("climate_log", "climate_logs_kept"), wall.moment("primer.finished")
    log = room.logs[0] if room.logs and len(there.entries) == 1 and there.all_there else None
    over: Truth = None
    if log is not None and is_told(finished):
        dew = dew_point(*(logged_at(log, quantity, finished) for quantity in ("temperature", "humidity")))
        over = reaches(minus(wall.amount("primer.surface_temperature", "temperature"), dew), OVER_DEW)
    return only_where(every([_kept(room), primer_matters(wall)]), over)


SPACE_HOLDS = (
    band_held_before_start,
    sheets_acclimated_by_the_log,
    adhesive_acclimated_by_the_log,
    log_is_close_enough,
    logger_calibrated,
    logger_placed_where_stated,
)
SPACE_CAUTIONS = (climate_was_logged, no_excursion_before_start, humidity_usual_by_the_log)
WALL_HOLDS = (primed_above_dew_point_by_the_log,)
WALL_CAUTIONS = ()
