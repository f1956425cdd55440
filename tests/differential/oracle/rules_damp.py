"""Trade page 2, substrate: water in the wall, and young cement."""

from __future__ import annotations

import math
from fractions import Fraction

from .kinds import CAST, IN_PERCENT, TIGHT, has_primer, is_or_hides, on_fresh_mortar, read_with_a_meter
from .papers import Answers
from .ranges import FAR, UNKNOWN, Number, Range, is_told, keeps_to, minus, reaches, times
from .readings import each_told, highest_read
from .room import Room
from .truth import Truth, any_one, every, no, only_where

_GYPSUM, _PERCENT = Fraction(1), Fraction(12)  # rows "gypsum scale: at most 1" and "%MC: at most 12"
_SIDE, _TIME = Fraction(18), Fraction(16)  # row "plastic sheet test 18 × 18 in, 16 h or more"
_CURED = Fraction(28 * 24)  # row "cured before coating (28 days ...)"
_TESTED_AREA = 1000  # row "3 for the first 1000 ft², 1 for each further 1000 ft² or part"
_RINSED_AREA = 500  # row "2 for each 500 ft² or part"


def _by_meter(room: Room, wall: Answers, scale: str, most: Fraction) -> Truth:
    readings = wall.listing("moisture", "moisture_taken")
    return keeps_to(highest_read(readings, [room.case.moisture(one, scale) for one in readings.entries]), most)


def gypsum_moisture_low(room: Room, wall: Answers) -> str:
    """Row "gypsum board by meter"."""
    return only_where(wall.is_a("substrate", "gypsum board"), _by_meter(room, wall, "gypsum", _GYPSUM))


def masonry_and_wood_moisture_low(room: Room, wall: Answers) -> str:
    """Row "concrete, masonry, plaster and wood by meter", and tile on fresh mortar."""
    holds_water = any_one([wall.is_a("substrate", *IN_PERCENT), on_fresh_mortar(wall)])
    return only_where(holds_water, _by_meter(room, wall, "mc", _PERCENT))


def painted_wall_moisture_low(room: Room, wall: Answers) -> str:
    """Under paint, what is under it decides on the scale; metal and tile hold no water."""
    dry = any_one(
        [
            every([wall.is_a("under_paint", "gypsum board"), _by_meter(room, wall, "gypsum", _GYPSUM)]),
            every([wall.is_a("under_paint", *IN_PERCENT), _by_meter(room, wall, "mc", _PERCENT)]),
        ]
    )
    return only_where(every([wall.is_a("substrate", "painted wall"), no(wall.is_a("under_paint", *TIGHT))]), dry)


def moisture_read_at_the_base(room: Room, wall: Answers) -> str:
    """Trap "One meter reading in the middle of the wall says nothing of the base"."""
    del room
    return only_where(read_with_a_meter(wall), wall.yes("moisture_read_at_base"))


def _sheet_taped(wall: Answers) -> Truth:
    return every([is_or_hides(wall, *CAST), wall.yes("plastic_sheet.made")])


def plastic_sheet_shows_no_damp(room: Room, wall: Answers) -> str:
    """Row "visible damp fails it"."""
    del room
    return only_where(_sheet_taped(wall), wall.no("plastic_sheet.damp"))


def plastic_sheet_test_done_in_full(room: Room, wall: Answers) -> str:
    """Large enough, and on for long enough."""
    del room
    on = minus(wall.moment("plastic_sheet.lifted"), wall.moment("plastic_sheet.laid"))
    large = reaches(wall.amount("plastic_sheet.shortest_side", "length"), _SIDE)
    return only_where(_sheet_taped(wall), every([large, reaches(on, _TIME)]))


def area(wall: Answers) -> Range:
    """Square feet of the wall that are covered."""
    sides = [wall.amount(side, "length") for side in ("length", "height")]
    inches = times(*sides) if all(is_told(side) for side in sides) else UNKNOWN
    return Range(inches.low / 144, inches.high / 144)


def _enough(taken: Range, least: Number, most: Number) -> Truth:
    """Whether as many were taken as the area asks for, whatever the area is from least to most."""
    if taken.low >= most:
        return True
    return False if taken.high < least else None


def _parts(size: Number, each: int) -> Number:
    return size if abs(size) == FAR else Fraction(math.ceil(size / each))


def wall_humidity_tested_often_enough(room: Room, wall: Answers) -> str:
    """Row "In-situ relative humidity tests, where used: number"."""
    tests = wall.listing("wall_humidity", "wall_humidity_taken")
    needed = [2 + max(1, _parts(size, _TESTED_AREA)) for size in area(wall)]
    values = [room.case.read(entry, "value", "humidity") for entry in tests.entries]
    read = True if tests.all_there and values and all(v.low > -FAR for v in values) else None
    asked = every([_enough(tests.number, *needed), read, each_told(tests, "at", "place", "instrument")])
    return only_where(every([wall.is_a("substrate", "concrete"), reaches(tests.number, Fraction(1))]), asked)


def _fresh(wall: Answers) -> Truth:
    """Concrete, mortar or plaster that is young; a metal face has none in it."""
    return every([no(wall.is_a("substrate", "metal")), wall.yes("fresh_cement_work")])


def cement_work_cured(room: Room, wall: Answers) -> str:
    """Row "New concrete, masonry and plaster cured before coating"."""
    return only_where(_fresh(wall), room.waited(wall.moment("cast_or_plastered"), _CURED))


def cement_work_cured_before_primer(room: Room, wall: Answers) -> str:
    """The same on the day of the primer."""
    del room
    age = minus(wall.moment("primer.finished"), wall.moment("cast_or_plastered"))
    return only_where(every([_fresh(wall), has_primer(wall)]), reaches(age, _CURED))


def alkalinity_read_often_enough(room: Room, wall: Answers) -> str:
    """Row "Alkalinity of concrete/masonry after rinse: number of readings"."""
    readings = wall.listing("alkalinity", "alkalinity_taken")
    needed = [2 * max(1, _parts(size, _RINSED_AREA)) for size in area(wall)]
    values = [room.case.read(entry, "value", "ph") for entry in readings.entries]
    read = True if readings.all_there and values and all(v.low > -FAR for v in values) else None
    asked = every([_enough(readings.number, *needed), read])
    return only_where(wall.is_a("substrate", *CAST), asked)


def alkalinity_readings_complete(room: Room, wall: Answers) -> str:
    """Trade page 9 "Readings carry time, place, unit, scale and instrument"."""
    del room
    told = each_told(wall.listing("alkalinity", "alkalinity_taken"), "at", "place", "instrument")
    return only_where(wall.is_a("substrate", *CAST), told)


SPACE_HOLDS = ()
SPACE_CAUTIONS = ()
WALL_HOLDS = (
    gypsum_moisture_low,
    masonry_and_wood_moisture_low,
    painted_wall_moisture_low,
    moisture_read_at_the_base,
    plastic_sheet_shows_no_damp,
    plastic_sheet_test_done_in_full,
    wall_humidity_tested_often_enough,
    cement_work_cured,
    cement_work_cured_before_primer,
    alkalinity_read_often_enough,
    alkalinity_readings_complete,
)
WALL_CAUTIONS = ()
