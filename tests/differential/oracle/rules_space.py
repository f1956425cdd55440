"""Trade page 1, space and enclosure."""

from __future__ import annotations

from fractions import Fraction

from .ranges import keeps_to, reaches
from .room import Room
from .truth import any_one, every, no, only_where, say

_LEAST_LIGHT = Fraction(5)  # row "general construction minimum: 5 fc"
_CLASS_A, _CLASS_B, _CLASS_C = (
    Fraction(25),
    Fraction(75),
    Fraction(200),
)  # row "ASTM E84 class A 0-25, B 26-75, C 76-200"
_MOST_SMOKE = Fraction(450)  # row "smoke 450 or less"


def space_closed_in(room: Room) -> str:
    """Row "Space closed in and weathertight"."""
    return say(room.space.yes("building.closed_in"))


def no_damp_signs(room: Room) -> str:
    """Row "no active leak, stain, efflorescence, mould"."""
    return say(room.space.no("building.damp_signs"))


def wet_work_finished(room: Room) -> str:
    """Row "Wet work in and beside the space finished"."""
    return say(room.space.yes("building.wet_work_finished"))


def climate_control_running(room: Room) -> str:
    """Row "Permanent climate control running": temporary heat will do, unvented combustion will not."""
    return say(
        room.space.is_a(
            "building.climate_control", "permanent system", "temporary electric heat", "temporary heat with vent"
        )
    )


def climate_control_permanent(room: Room) -> str:
    """Row "temporary heat is a caution"."""
    return say(room.space.is_a("building.climate_control", "permanent system"))


def band_kept_afterwards(room: Room) -> str:
    """Row "Building kept in the temperature band from now on"."""
    kept = room.space.yes("building.kept_in_band_afterwards")
    return say(every([kept, room.space.told("building.kept_in_band_promised_by")]))


def rough_ins_finished(room: Room) -> str:
    """Row "Rough-ins, blocking and inspections"."""
    return say(room.space.yes("building.rough_ins_finished"))


def openings_framed(room: Room) -> str:
    """Row "Door and window frames, ceiling and base"."""
    return say(room.space.yes("building.openings_framed"))


def space_clear(room: Room) -> str:
    """Row "Space clear, floor protected"."""
    return say(room.space.yes("building.space_clear"))


def light_on_walls(room: Room) -> str:
    """Row "Permanent or equal lighting"."""
    return say(room.space.yes("building.light_on_walls"))


def measured_light_enough(room: Room) -> str:
    """The same in numbers, where somebody measured."""
    enough = reaches(room.space.amount("building.light", "light"), _LEAST_LIGHT)
    return only_where(room.space.yes("building.light_measured"), enough)


def submittals_on_file(room: Room) -> str:
    """Row "Submittals ... on file where asked for"."""
    return only_where(room.space.yes("paper.submittals_asked_for"), room.space.yes("paper.submittals_on_file"))


def mock_up_approved(room: Room) -> str:
    """Row "mock-up ... where asked for"."""
    return only_where(room.space.yes("paper.mock_up_asked_for"), room.space.yes("paper.mock_up_approved"))


def _class_asked(room: Room) -> bool | None:
    return no(room.space.is_a("paper.fire_class_asked_for", "none"))


def fire_paper_on_file(room: Room) -> str:
    """Row "fire-performance paper on file where asked for"."""
    return only_where(_class_asked(room), room.space.yes("paper.fire_paper_on_file"))


def flame_spread_in_class(room: Room) -> str:
    """A sheet of a better class will do for a worse one, never the other way round."""
    index = room.space.count("paper.flame_spread")
    in_class = any_one(
        [
            keeps_to(index, _CLASS_A),
            every([no(room.space.is_a("paper.fire_class_asked_for", "A")), keeps_to(index, _CLASS_B)]),
            every([room.space.is_a("paper.fire_class_asked_for", "C"), keeps_to(index, _CLASS_C)]),
        ]
    )
    return only_where(_class_asked(room), in_class)


def smoke_developed_in_class(room: Room) -> str:
    """One limit for every class."""
    return only_where(_class_asked(room), keeps_to(room.space.count("paper.smoke_developed"), _MOST_SMOKE))


SPACE_HOLDS = (
    space_closed_in,
    no_damp_signs,
    wet_work_finished,
    climate_control_running,
    band_kept_afterwards,
    rough_ins_finished,
    openings_framed,
    space_clear,
    light_on_walls,
    measured_light_enough,
    submittals_on_file,
    mock_up_approved,
    fire_paper_on_file,
    flame_spread_in_class,
    smoke_developed_in_class,
)
SPACE_CAUTIONS = (climate_control_permanent,)
WALL_HOLDS = ()
WALL_CAUTIONS = ()
