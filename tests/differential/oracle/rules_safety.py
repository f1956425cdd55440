"""Trade page 8, safety cautions, and section 1 where people may be hurt."""

from __future__ import annotations

from fractions import Fraction

from .papers import Answers
from .ranges import reaches
from .room import Room
from .truth import any_one, say

_FIRST_YEAR_WITHOUT_LEAD = Fraction(1978)  # row "Built before 1978 and paint will be disturbed"
_FIRST_YEAR_WITHOUT_ASBESTOS = Fraction(1981)  # row "Built in or before 1980, plaster or textured surface disturbed"


def old_paint_not_disturbed(room: Room, wall: Answers) -> str:
    """Either the building is young enough, or nobody touches the paint."""
    young = reaches(room.space.count("building.year_built"), _FIRST_YEAR_WITHOUT_LEAD)
    return say(any_one([young, wall.no("paint_to_be_disturbed")]))


def old_plaster_not_disturbed(room: Room, wall: Answers) -> str:
    """Either the building is young enough, or nobody touches plaster and texture."""
    young = reaches(room.space.count("building.year_built"), _FIRST_YEAR_WITHOUT_ASBESTOS)
    return say(any_one([young, wall.no("plaster_or_texture_to_be_disturbed")]))


def no_silica_dust(room: Room) -> str:
    """Row "Sanding or grinding"."""
    return say(room.space.no("safety.sanding_silica"))


def no_fuel_heater(room: Room) -> str:
    """Row "Fuel-burning heater indoors"."""
    return say(room.space.no("safety.fuel_heater"))


def data_sheets_on_site(room: Room) -> str:
    """Row "Adhesive, primer, cleaners"."""
    return say(room.space.yes("safety.data_sheets"))


def nobody_off_the_floor(room: Room) -> str:
    """Row "Full-height work"."""
    return say(room.space.no("safety.off_the_floor"))


def no_cutting(room: Room) -> str:
    """Row "Rotary cutters, shears, knives"."""
    return say(room.space.no("safety.cutting"))


def no_live_boxes(room: Room) -> str:
    """Row "cutting at boxes": there are none, or they are locked out."""
    return say(any_one([room.space.no("safety.live_boxes"), room.space.yes("layout.boxes_made_safe")]))


def no_mould_or_sewage(room: Room) -> str:
    """Row "Mould, sewage, unknown stains": stop."""
    return say(room.space.no("safety.mould_or_sewage"))


SPACE_HOLDS = (no_live_boxes, no_mould_or_sewage)
SPACE_CAUTIONS = (no_silica_dust, no_fuel_heater, data_sheets_on_site, nobody_off_the_floor, no_cutting)
WALL_HOLDS = ()
WALL_CAUTIONS = (old_paint_not_disturbed, old_plaster_not_disturbed)
