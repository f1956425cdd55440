"""Trade page 5, climate, as it was read on the walk."""

from __future__ import annotations

from fractions import Fraction

from .kinds import read_with_a_meter
from .moist_air import dew_point
from .papers import Answers, Listing
from .ranges import Range, keeps_to, minus, reaches
from .readings import close_to_the_walk, each_told, highest_read, lowest_read
from .room import Room
from .truth import Truth, every, only_where, say

BAND = (Fraction(60), Fraction(80))  # row "60 to 80 °F"
USUAL = (Fraction(30), Fraction(60))  # row "30 to 60 % is usual"
OVER_DEW = Fraction(27, 5)  # row "at least 3 °C"; as a difference 5.4 °F
_EVEN = Fraction(5)  # trade page 5, hot spots noted; 5 °F is from memory


def _air(room: Room, path: str) -> list[Range]:
    return [room.case.read(entry, path, path) for entry in room.air.entries]


def _in_band(room: Room, path: str, band: tuple[Fraction, Fraction]) -> Truth:
    values = _air(room, path)
    return every([reaches(lowest_read(room.air, values), band[0]), keeps_to(highest_read(room.air, values), band[1])])


def air_in_band(room: Room) -> str:
    """Row "Air temperature now, and at each reading"."""
    return say(_in_band(room, "temperature", BAND))


def humidity_usual(room: Room) -> str:
    """Row "Relative humidity"."""
    return say(_in_band(room, "humidity", USUAL))


def _recent(room: Room, readings: Listing) -> Truth:
    """Read close to the walk, and nothing of it after the start."""
    for entry in readings.entries:
        room.waited(entry.moment("at"), Fraction(0))
    latest = highest_read(readings, [entry.moment("at") for entry in readings.entries])
    return every([close_to_the_walk(readings, room.walk), reaches(room.since(latest), Fraction(0))])


def air_readings_recent(room: Room) -> str:
    """Row "Readings recent: taken within 4 h of the walk"."""
    return say(_recent(room, room.air))


def moisture_readings_recent(room: Room, wall: Answers) -> str:
    """The same of the meter."""
    return only_where(read_with_a_meter(wall), _recent(room, wall.listing("moisture", "moisture_taken")))


def surface_readings_recent(room: Room, wall: Answers) -> str:
    """The same of the thermometer on the wall."""
    return say(_recent(room, wall.listing("surface", "surface_taken")))


def _faces(room: Room, wall: Answers) -> tuple[Listing, list[Range]]:
    faces = wall.listing("surface", "surface_taken")
    return faces, [room.case.read(entry, "temperature", "temperature") for entry in faces.entries]


def surface_above_dew_point(room: Room, wall: Answers) -> str:
    """Row "Surface temperature above dew point at installation": the coldest face, in the dampest air that was read."""
    faces, values = _faces(room, wall)
    dews = [dew_point(t, h) for t, h in zip(_air(room, "temperature"), _air(room, "humidity"), strict=True)]
    return say(reaches(minus(lowest_read(faces, values), highest_read(room.air, dews)), OVER_DEW))


def surface_readings_complete(room: Room, wall: Answers) -> str:
    """Trade page 9 "Readings carry time, place, unit, scale and instrument"."""
    del room
    return say(each_told(wall.listing("surface", "surface_taken"), "at", "place", "instrument"))


def no_air_or_sun_on_wall(room: Room) -> str:
    """Row "No supply air or sun straight on the wall"."""
    return say(room.space.no("building.air_or_sun_on_wall"))


def wall_evenly_warm(room: Room, wall: Answers) -> str:
    """The same row, "heater and pipe hot spots noted": where the face was read in two places or more."""
    faces, values = _faces(room, wall)
    apart = minus(highest_read(faces, values), lowest_read(faces, values))
    return only_where(reaches(faces.number, Fraction(2)), keeps_to(apart, _EVEN))


SPACE_HOLDS = (air_in_band, air_readings_recent)
SPACE_CAUTIONS = (humidity_usual, no_air_or_sun_on_wall)
WALL_HOLDS = (
    moisture_readings_recent,
    surface_above_dew_point,
    surface_readings_complete,
    surface_readings_recent,
)
WALL_CAUTIONS = (wall_evenly_warm,)
