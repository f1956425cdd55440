"""Trade page 6, material on site, and 7, layout: what somebody says yes or no to, and how long it has stood there."""

from __future__ import annotations

from fractions import Fraction

from .papers import Answers
from .ranges import Range, keeps_to, minus, over, reaches, times
from .readings import lowest_read
from .room import Room
from .rules_climate import BAND
from .truth import Truth, any_one, every, only_where, say

_ACCLIMATED = Fraction(24)  # row "Sheets acclimated in the room: at least 24 h", and adhesive with them
_NOTCH = (Fraction(3 * 10, 254), Fraction(1, 8))  # row "V-notch 1/8 in"; a 3 mm trowel is sold for it
_GAP = Fraction(1, 16)  # trade page 7, rows "Gap planned" and "Gap at sealed joints"
_GROWTH = Range(Fraction(50, 10**6), Fraction(100, 10**6))  # row "α about 50–100 × 10⁻⁶ /°C"
_CELSIUS = Fraction(5, 9)


def sheets_acclimated(room: Room) -> str:
    """Row "Sheets acclimated in the room at room temperature"."""
    paths = ("sheets.in_room_since", "sheets.room_at_temperature_since")
    return say(every([room.waited(room.space.moment(path), _ACCLIMATED) for path in paths]))


def adhesive_acclimated(room: Room) -> str:
    """Row "Adhesive ... acclimated with the sheets"."""
    paths = ("adhesive.in_room_since", "sheets.room_at_temperature_since")
    return say(every([room.waited(room.space.moment(path), _ACCLIMATED) for path in paths]))


def sheets_stored_right(room: Room) -> str:
    """Row "Stored flat, out of sun, wrapping opened, off a cold floor"."""
    return say(room.space.yes("sheets.stored_flat"))


def sheets_right_and_undamaged(room: Room) -> str:
    """Row "Right colour, texture and lot; undamaged"."""
    return say(room.space.yes("sheets.right_and_undamaged"))


def sheet_arrows_noted(room: Room) -> str:
    """Row "direction arrows noted"."""
    return say(room.space.yes("sheets.arrows_noted"))


def trim_and_sealant_on_hand(room: Room, wall: Answers) -> str:
    """Row "trim, corners, sealant on hand", where the wall gets any."""
    gets = any_one([wall.yes("gaps.trim_on_wall"), wall.yes("gaps.sealed_joints_on_wall")])
    return only_where(gets, room.space.yes("sheets.trim_and_sealant_on_hand"))


def adhesive_in_date(room: Room) -> str:
    """Row "Adhesive in date, never frozen": on the day of the start."""
    left = minus(room.space.day_over("adhesive.best_before"), room.start)
    return say(every([reaches(left, Fraction(0)), room.space.no("adhesive.ever_frozen")]))


def trowel_notch_as_asked(room: Room) -> str:
    """Row "Trowel notch as the adhesive asks": as deep and as wide, "1/8 × 1/8 in" on page 7."""
    sides = [room.space.amount(f"adhesive.trowel_{side}", "length") for side in ("notch", "width")]
    return say(every([every([reaches(side, _NOTCH[0]), keeps_to(side, _NOTCH[1])]) for side in sides]))


def level_line_struck(room: Room) -> str:
    """Trade page 7, row "Level line over the whole run"."""
    return say(room.space.yes("layout.level_line"))


def plumb_line_struck(room: Room) -> str:
    """Row "plumb line for the first sheet"."""
    return say(room.space.yes("layout.plumb_line"))


def full_spread_told(room: Room) -> str:
    """Row "Full-area spread: the whole wall face, never the sheet"."""
    return say(room.space.yes("layout.full_spread_told"))


def _gap(wall: Answers, where: str) -> Truth:
    return reaches(wall.amount(f"gaps.{where}", "length"), _GAP)


def gap_at_frames(room: Room, wall: Answers) -> str:
    """Row "Gap planned at door and window frames"."""
    del room
    return only_where(wall.yes("gaps.frames_on_wall"), _gap(wall, "at_frames"))


def gap_at_ceiling(room: Room, wall: Answers) -> str:
    """The same row, "ceiling"."""
    del room
    return only_where(wall.yes("gaps.meets_ceiling"), _gap(wall, "at_ceiling"))


def gap_at_base(room: Room, wall: Answers) -> str:
    """The same row, "base"."""
    del room
    return say(_gap(wall, "at_base"))


def gap_behind_trim(room: Room, wall: Answers) -> str:
    """The same row, "and behind trim"."""
    del room
    return only_where(wall.yes("gaps.trim_on_wall"), _gap(wall, "behind_trim"))


def gap_at_sealed_joints(room: Room, wall: Answers) -> str:
    """Row "Gap at sealed (caulked) joints between sheets"."""
    del room
    return only_where(wall.yes("gaps.sealed_joints_on_wall"), _gap(wall, "at_sealed_joints"))


def _grows_into(room: Room, wall: Answers, where: str) -> Truth:
    """Row "free growth = α · L · (T_max − T_install)" against the gap; hung at the coldest that was read."""
    hung = lowest_read(room.air, [room.case.read(e, "temperature", "temperature") for e in room.air.entries])
    warmer = times(minus(Range(BAND[1], BAND[1]), hung), Range(_CELSIUS, _CELSIUS))
    growth = times(times(_GROWTH, room.space.amount("layout.longest_sheet", "length")), warmer)
    return keeps_to(over(growth, wall.amount(f"gaps.{where}", "length")), Fraction(1))


def growth_fits_at_base(room: Room, wall: Answers) -> str:
    """Row "Is 1/16 in enough?" at the base."""
    return say(_grows_into(room, wall, "at_base"))


def growth_fits_at_ceiling(room: Room, wall: Answers) -> str:
    """The same at the ceiling."""
    return only_where(wall.yes("gaps.meets_ceiling"), _grows_into(room, wall, "at_ceiling"))


def growth_fits_at_sealed_joints(room: Room, wall: Answers) -> str:
    """The same between sheets."""
    return only_where(wall.yes("gaps.sealed_joints_on_wall"), _grows_into(room, wall, "at_sealed_joints"))


SPACE_HOLDS = (
    sheets_acclimated,
    adhesive_acclimated,
    sheets_stored_right,
    sheets_right_and_undamaged,
    sheet_arrows_noted,
    adhesive_in_date,
    trowel_notch_as_asked,
    level_line_struck,
    plumb_line_struck,
)
SPACE_CAUTIONS = (full_spread_told,)
WALL_HOLDS = (
    trim_and_sealant_on_hand,
    gap_at_frames,
    gap_at_ceiling,
    gap_at_base,
    gap_behind_trim,
    gap_at_sealed_joints,
)
WALL_CAUTIONS = (growth_fits_at_base, growth_fits_at_ceiling, growth_fits_at_sealed_joints)
