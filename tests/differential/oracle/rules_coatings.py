"""Trade page 3, existing coatings and cleanliness."""

from __future__ import annotations

from fractions import Fraction

from .kinds import POROUS, TIGHT, has_paint, has_primer
from .papers import Answers
from .ranges import keeps_to, reaches
from .room import Room
from .truth import any_one, every, no, only_where, say

_TAPE = Fraction(4)  # row "class 4B or better (... ISO 2409 class 1 or better)"
_CHALK = Fraction(8)  # row "rating 8 or better"
_DUST = Fraction(2)  # row "dust tape quantity 2 or less"


def no_loose_paint(room: Room, wall: Answers) -> str:
    """Row "No loose, flaking, blistered or chalking paint"."""
    del room
    return only_where(has_paint(wall), wall.no("coatings.loose"))


def paint_holds(room: Room, wall: Answers) -> str:
    """Row "Existing paint holds: cross-cut tape test"."""
    del room
    return only_where(has_paint(wall), reaches(wall.amount("coatings.tape_test", "class"), _TAPE))


def paint_not_chalking(room: Room, wall: Answers) -> str:
    """Row "Chalk: cloth method"."""
    del room
    return only_where(has_paint(wall), reaches(wall.count("coatings.chalk_rating"), _CHALK))


def slick_paint_dulled(room: Room, wall: Answers) -> str:
    """Row "Gloss or slick paint dulled and wiped"."""
    del room
    return only_where(every([has_paint(wall), wall.yes("coatings.slick")]), wall.yes("coatings.dulled"))


def no_dust(room: Room, wall: Answers) -> str:
    """Row "cloth wipe clean, or dust tape quantity 2 or less": where a tape was pressed on, no cloth overrules it."""
    del room
    by_cloth = every([wall.no("dust.tape_made"), wall.yes("dust.wipe_clean")])
    by_tape = every([wall.yes("dust.tape_made"), keeps_to(wall.count("dust.tape_quantity"), _DUST)])
    return say(any_one([by_cloth, by_tape]))


def no_oil_or_wax(room: Room, wall: Answers) -> str:
    """Row "No oil, grease, wax, silicone, release agent, curing compound"."""
    del room
    return say(wall.no("coatings.oil_or_wax"))


def water_film_stays_whole(room: Room, wall: Answers) -> str:
    """Row "Water-break test, where used ... Only on sealed or painted faces"."""
    del room
    tight = any_one([no(wall.is_a("substrate", *POROUS)), wall.yes("coatings.painted"), has_primer(wall)])
    return only_where(every([wall.yes("coatings.water_break_made"), tight]), wall.yes("coatings.water_film_whole"))


def no_old_covering_or_paste(room: Room, wall: Answers) -> str:
    """Row "Old wallcovering, paste and adhesive residue gone"."""
    del room
    return say(wall.no("coatings.old_covering_or_paste"))


def stains_blocked(room: Room, wall: Answers) -> str:
    """Row "Bleed-through stains blocked": there are none, or they are blocked."""
    del room
    return say(any_one([wall.no("coatings.stains_bleeding"), wall.yes("coatings.stains_blocked")]))


def no_pva_primer(room: Room, wall: Answers) -> str:
    """Trade page 4, row "No polyvinyl-acetate primer ... Unknown history is not no"."""
    del room
    return say(every([wall.no("coatings.pva_primer"), no(wall.is_a("primer.kind", "PVA"))]))


def no_pva_compound(room: Room, wall: Answers) -> str:
    """The same row, "or PVA-based joint compound": there is none on metal or tile, unless in a patch."""
    del room
    has_joints = any_one([no(wall.is_a("substrate", *TIGHT)), wall.yes("patched")])
    return only_where(has_joints, wall.no("coatings.pva_compound"))


SPACE_HOLDS = ()
SPACE_CAUTIONS = ()
WALL_HOLDS = (
    no_loose_paint,
    paint_holds,
    paint_not_chalking,
    slick_paint_dulled,
    no_dust,
    no_oil_or_wax,
    water_film_stays_whole,
    no_old_covering_or_paste,
    stains_blocked,
    no_pva_primer,
    no_pva_compound,
)
WALL_CAUTIONS = ()
