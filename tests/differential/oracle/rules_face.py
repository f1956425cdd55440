"""Trade page 2, the face of the wall: what it is, flat, plumb, patched, and the joints that move."""

from __future__ import annotations

from fractions import Fraction

from .kinds import POROUS, TIGHT
from .papers import Answers
from .ranges import UNKNOWN, Range, keeps_to, minus, reaches
from .room import Room
from .truth import only_where, say

_FLAT = Fraction(1, 8)  # row "Flat: 1/8 in in 10 ft"
_PLUMB = Fraction(1, 4)  # row "Plumb: 1/4 in in 10 ft"
_SPANS = (Fraction(1, 10), Fraction(1), Fraction(4), Fraction(10), Fraction(15))  # metres, DIN 18202 table 3
_ROW_6, _ROW_7 = (3, 5, 10, 20, 25), (2, 3, 8, 15, 20)  # mm over those spans
_INCHES_IN_A_METRE = Fraction(10000, 254)


def substrate_is_known(room: Room, wall: Answers) -> str:
    """Row "Substrate is one the rule set knows"."""
    del room
    return say(wall.is_a("substrate", *POROUS, "painted wall", *TIGHT))


def wall_flat(room: Room, wall: Answers) -> str:
    """Row "Flat: gap under a straightedge"."""
    del room
    return say(keeps_to(wall.amount("gap_under_straightedge", "length"), _FLAT))


def wall_plumb(room: Room, wall: Answers) -> str:
    """Row "Plumb"."""
    del room
    return say(keeps_to(wall.amount("out_of_plumb", "length"), _PLUMB))


def patches_primed(room: Room, wall: Answers) -> str:
    """Row "patches feathered and primed"."""
    del room
    return only_where(wall.yes("patched"), wall.yes("patches_primed"))


def joints_not_bridged(room: Room, wall: Answers) -> str:
    """Row "Control and expansion joints located; the sheet must not bridge them"."""
    del room
    return say(wall.no("joints_bridged"))


def outside_wall_looked_at(room: Room, wall: Answers) -> str:
    """Row "Wall outside or below grade"."""
    del room
    return say(wall.no("outside_or_below_grade"))


def wall_flat_by_din_18202_row_6(room: Room, wall: Answers) -> str:
    """Row "or DIN 18202 Table 3 row 6/7 by span"."""
    return only_where(room.space.is_a("paper.flatness_asked_for", "DIN 18202 row 6"), _flat_by(wall, _ROW_6))


def wall_flat_by_din_18202_row_7(room: Room, wall: Answers) -> str:
    """The stricter row."""
    return only_where(room.space.is_a("paper.flatness_asked_for", "DIN 18202 row 7"), _flat_by(wall, _ROW_7))


def _flat_by(wall: Answers, row: tuple[int, ...]) -> bool | None:
    span = wall.amount("table_span", "length")
    return reaches(minus(_allowed(span, row), wall.amount("table_gap", "length")), Fraction(0))


def _allowed(span: Range, row: tuple[int, ...]) -> Range:
    """Inches of gap over that span, on straight lines between the points; beyond the table nothing is said."""
    first, last = (_SPANS[end] * _INCHES_IN_A_METRE for end in (0, -1))
    if span.low < first or span.high > last:
        return UNKNOWN
    points = [*span, *(s * _INCHES_IN_A_METRE for s in _SPANS if span.low < s * _INCHES_IN_A_METRE < span.high)]
    gaps = [_on_the_line(Fraction(at) / _INCHES_IN_A_METRE, row) for at in points]
    return Range(min(gaps), max(gaps))


def _on_the_line(metres: Fraction, row: tuple[int, ...]) -> Fraction:
    for i in range(len(_SPANS) - 1):
        near, far = _SPANS[i], _SPANS[i + 1]
        if near <= metres <= far:
            millimetres = row[i] + (row[i + 1] - row[i]) * (metres - near) / (far - near)
            return millimetres / 1000 * _INCHES_IN_A_METRE
    raise ValueError("beyond the table")


SPACE_HOLDS = ()
SPACE_CAUTIONS = ()
WALL_HOLDS = (
    substrate_is_known,
    wall_flat,
    wall_plumb,
    patches_primed,
    joints_not_bridged,
    wall_flat_by_din_18202_row_6,
    wall_flat_by_din_18202_row_7,
)
WALL_CAUTIONS = (outside_wall_looked_at,)
