"""Trade page 6, row "Enough sheets for the runs", and 7, open time: what is worked out from the walls."""

from __future__ import annotations

from fractions import Fraction

from .kinds import is_porous
from .packing import corner_pieces, is_rough, joint_strips, sheets
from .papers import Answers
from .ranges import FAR, SOME, UNKNOWN, Range, highest, minus, over, reaches, times, together
from .room import Room
from .rules_damp import area
from .truth import every, only_where, say

_NOTHING = Fraction(0)


def sheets_as_long_as_wall_is_high(room: Room, wall: Answers) -> str:
    """No joint runs level: a sheet reaches from floor to ceiling."""
    return say(reaches(minus(room.space.amount("sheets.length", "length"), wall.amount("height", "length")), _NOTHING))


def _lots(room: Room) -> tuple[list[Range], bool]:
    lots = room.space.listing("sheet_lots", "sheet_lots_here")
    return [lot.count("count", UNKNOWN) for lot in lots.entries], lots.all_there


def sheets_enough(room: Room) -> str:
    """Row "Enough sheets for the runs, with the same way up"."""
    room.rough = is_rough(room, "sheets.width", "sheets.length")
    counts, all_there = _lots(room)
    return say(reaches(minus(together(counts, all_there=all_there), sheets(room)), _NOTHING))


def sheets_of_one_lot(room: Room) -> str:
    """Row "Right colour, texture and lot": the largest lot alone does."""
    room.rough = is_rough(room, "sheets.width", "sheets.length")
    counts, all_there = _lots(room)
    return say(reaches(minus(highest(counts, all_there=all_there), sheets(room)), _NOTHING))


def joint_strips_enough(room: Room) -> str:
    """Row "trim, corners, sealant on hand", in numbers."""
    room.rough = is_rough(room, "sheets.width", "trim.joint_strip_length")
    spare = minus(room.space.count("trim.joint_strips"), joint_strips(room))
    return only_where(room.space.yes("trim.joints_covered"), reaches(spare, _NOTHING))


def corner_pieces_enough(room: Room) -> str:
    """The same of corners; where corners get pieces there is a corner."""
    room.rough = is_rough(room, "trim.corner_piece_length")
    spare = minus(room.space.count("trim.corner_pieces"), corner_pieces(room))
    some = reaches(room.space.count("trim.corners"), Fraction(1))
    return only_where(room.space.yes("trim.corners_covered"), every([reaches(spare, _NOTHING), some]))


def _by_the_notch(room: Room) -> Range:
    """Trade page 7: 1604.17 ft²/gal over mil, that is 231 in³ a gallon; film of a V-notch w · d ÷ (2 · pitch)."""
    sizes = [room.space.amount(f"adhesive.trowel_{part}", "length", SOME) for part in ("width", "notch", "pitch")]
    width, depth, pitch = sizes
    film = over(times(width, depth), times(Range(Fraction(2), Fraction(2)), pitch))
    return over(Range(Fraction(231, 144), Fraction(231, 144)), film)


def adhesive_enough(room: Room) -> str:
    """Row "enough primer and adhesive for the area at the trowel's spread rate": by the label and by the notch."""
    lots = room.space.listing("adhesive_lots", "adhesive_lots_here")
    here = together([lot.amount("quantity", "volume") for lot in lots.entries], all_there=lots.all_there)
    face = together([area(wall) for wall in room.walls.entries], all_there=room.walls.all_there)
    rates = (room.space.amount("adhesive.label_spread", "spread", SOME), _by_the_notch(room))
    return say(every([reaches(minus(here, over(face, rate)), _NOTHING) for rate in rates]))


def primer_enough_for_bare_wall(room: Room, wall: Answers) -> str:
    """The same row, primer: for a porous wall that has none yet, and for all such walls together."""
    here, spread = (
        room.space.amount(f"primer_here.{p}", k, SOME) for p, k in (("quantity", "volume"), ("label_spread", "spread"))
    )
    faces = (area(wall), room.space.amount("primer_here.area", "area", Range(_NOTHING, FAR)))
    needed = [over(times(face, room.space.count("primer_here.coats")), spread) for face in faces]
    bare = every([is_porous(wall), wall.is_a("primer.kind", "none")])
    return only_where(bare, every([reaches(minus(here, one), _NOTHING) for one in needed]))


def spread_fits_open_time(room: Room) -> str:
    """Trade page 7, row "Spread no more than the crew can hang inside it"."""
    window = times(room.space.amount("crew.rate", "pace", SOME), room.space.amount("adhesive.open_time", "time", SOME))
    return say(reaches(minus(window, room.space.amount("crew.spread_at_once", "area", Range(_NOTHING, FAR))), _NOTHING))


SPACE_HOLDS = (sheets_enough, joint_strips_enough, corner_pieces_enough, adhesive_enough)
SPACE_CAUTIONS = (sheets_of_one_lot, spread_fits_open_time)
WALL_HOLDS = (sheets_as_long_as_wall_is_high,)
WALL_CAUTIONS = (primer_enough_for_bare_wall,)
