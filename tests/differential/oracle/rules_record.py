"""Trade page 9, the record itself: who walked, when, with what, and how fresh all of it is."""

from __future__ import annotations

from fractions import Fraction

from .kinds import read_with_a_meter
from .papers import Answers
from .ranges import keeps_to, minus, reaches
from .readings import each_told, in_calibration
from .room import Room
from .truth import every, no, only_where, say

_FRESH_FOR = Fraction(24)  # row "Walk is fresh: start within 24 h of it"
_NOTHING = Fraction(0)


def walk_stated(room: Room) -> str:
    """Row "Who walked, for whom, when, which area"."""
    paths = ("walk.at", "walk.by", "walk.role", "project.name", "space.name")
    return say(every(room.space.told(path) for path in paths))


def room_clocks_seen_running(room: Room) -> str:
    """Trap "Acclimation in the loading dock": what the clocks count from was so when the room was walked."""
    paths = ("sheets.in_room_since", "adhesive.in_room_since", "sheets.room_at_temperature_since")
    return say(every(reaches(minus(room.walk, room.space.moment(path)), _NOTHING) for path in paths))


def primer_seen_on_the_wall(room: Room, wall: Answers) -> str:
    """A primer was finished when the wall was walked."""
    seen = reaches(minus(room.walk, wall.moment("primer.finished")), _NOTHING)
    return only_where(no(wall.is_a("primer.kind", "none")), seen)


def walk_is_fresh(room: Room) -> str:
    """Row "Walk is fresh": not older than that, and not still to come."""
    return say(every([keeps_to(room.since(room.walk), _FRESH_FOR), room.waited(room.walk, _NOTHING)]))


def air_readings_complete(room: Room) -> str:
    """Row "Readings carry time, place, unit, scale and instrument", and at least one was taken."""
    taken = reaches(room.air.number, Fraction(1))
    return say(
        every([taken, each_told(room.air, "at"), each_told(room.air, "place"), each_told(room.air, "instrument")])
    )


def moisture_readings_complete(room: Room, wall: Answers) -> str:
    """The same of the meter on the wall."""
    del room
    return only_where(
        read_with_a_meter(wall), each_told(wall.listing("moisture", "moisture_taken"), "at", "place", "instrument")
    )


def air_instruments_in_calibration(room: Room) -> str:
    """Row "Instruments named, calibration in date on the day of the reading"."""
    return say(in_calibration(room.case, room.air))


def moisture_instruments_in_calibration(room: Room, wall: Answers) -> str:
    """The same of the meter on the wall."""
    return only_where(read_with_a_meter(wall), in_calibration(room.case, wall.listing("moisture", "moisture_taken")))


def surface_instruments_in_calibration(room: Room, wall: Answers) -> str:
    """The same of the thermometer on the wall."""
    return say(in_calibration(room.case, wall.listing("surface", "surface_taken")))


SPACE_HOLDS = (
    walk_stated,
    room_clocks_seen_running,
    walk_is_fresh,
    air_readings_complete,
    air_instruments_in_calibration,
)
SPACE_CAUTIONS = ()
WALL_HOLDS = (
    primer_seen_on_the_wall,
    moisture_readings_complete,
    moisture_instruments_in_calibration,
    surface_instruments_in_calibration,
)
WALL_CAUTIONS = ()
