"""How many sheets, strips and corner pieces the walls take, by trying every way to cut them."""

from __future__ import annotations

import math
from fractions import Fraction
from functools import lru_cache
from itertools import product

from .papers import Answers
from .ranges import FAR, Number, Range, highest
from .room import Room

_LEAST_STRIP = Fraction(4)  # inches; no row of the trade page: from memory, as the manual says
_MOST_TRIED = 14
"""Cuts up to which every way to share them out is tried."""


@lru_cache(maxsize=5000)
def fewest(cuts: tuple[Fraction, ...], stock: Fraction) -> int:
    """The fewest pieces of `stock` that give all the cuts, the longest first into every piece that has room."""
    ordered = sorted(cuts, reverse=True)
    best = len(ordered)

    def put(i: int, room: list[Fraction]) -> None:
        nonlocal best
        if len(room) >= best:
            return
        if i == len(ordered):
            best = len(room)
            return
        for left in sorted(set(room)):
            if left >= ordered[i]:
                at = room.index(left)
                put(i + 1, [*room[:at], left - ordered[i], *room[at + 1 :]])
        put(i + 1, [*room, stock - ordered[i]])

    put(0, [])
    return best


def corner_pieces(room: Room) -> Range:
    """One for each corner, as high as the highest wall; a long piece may give several."""
    heights = [wall.amount("height", "length", Range(Fraction(0), FAR)) for wall in room.walls.entries]
    high = highest(heights, all_there=room.walls.all_there)
    corners, piece = room.space.count("trim.corners"), room.space.amount("trim.corner_piece_length", "length")
    low = _pieces(corners.low, high.low, piece.high, may_be_pieced=True)
    return Range(low, _pieces(corners.high, high.high, piece.low, may_be_pieced=False))


def _pieces(number: Number, cut: Number, piece: Number, *, may_be_pieced: bool) -> Number:
    """Pieces for so many cuts of one length; of pieces that are too short no number will do."""
    if number == 0:
        return Fraction(0)
    if piece <= 0 or cut <= 0 or FAR in (number, cut, piece):
        return Fraction(0) if may_be_pieced else FAR
    if piece < cut:
        return Fraction(math.ceil(number * cut / piece)) if may_be_pieced else FAR
    return Fraction(math.ceil(number / (piece // cut)))


def joint_strips(room: Room) -> Range:
    """One whole strip for each joint between sheets, as high as its wall."""
    width = room.space.amount("sheets.width", "length")
    piece = room.space.amount("trim.joint_strip_length", "length")
    least, most = [], []
    for wall in room.walls.entries:
        length, height = (wall.amount(side, "length", Range(Fraction(0), FAR)) for side in ("length", "height"))
        least += [height.low] * _joints(length.low, width.high)
        most += [height.high] * _joints(length.high, width.low) if _is_sure(length.high, width.low, height.high) else [FAR]
    low = _strips(least, piece.high, may_be_pieced=True)
    high = _strips(most, piece.low, may_be_pieced=False) if room.walls.all_there and room.walls.entries else FAR
    return Range(low, high)


def _is_sure(*sizes: Number) -> bool:
    return all(0 < size < FAR for size in sizes)


def _joints(length: Number, width: Number) -> int:
    return max(0, math.ceil(length / width) - 1) if _is_sure(length, width) else 0


def _strips(cuts: list[Number], piece: Number, *, may_be_pieced: bool) -> Number:
    if not cuts:
        return Fraction(0)
    if FAR in cuts or not _is_sure(piece):
        return Fraction(0) if may_be_pieced else FAR
    if max(cuts) > piece:
        return Fraction(math.ceil(sum(cuts) / piece)) if may_be_pieced else FAR
    return Fraction(fewest(tuple(Fraction(c) for c in cuts if c > 0), Fraction(piece)))


def sheets(room: Room) -> Range:
    """Sheets for all walls, each cut with the same way up."""
    width, length = (room.space.amount(f"sheets.{side}", "length") for side in ("width", "length"))
    walls = [(w.amount("length", "length"), w.amount("height", "length")) for w in room.walls.entries]
    low = _sheets([(le.low, h.low) for le, h in walls], width.high, length.high, may_be_pieced=True)
    if not room.walls.all_there or not walls:
        return Range(low, FAR)
    return Range(low, _sheets([(le.high, h.high) for le, h in walls], width.low, length.low, may_be_pieced=False))


def _sheets(walls: list[tuple[Number, Number]], width: Number, length: Number, *, may_be_pieced: bool) -> Number:
    """Sheets for walls of one height; walls of several heights are cut from rows of their own."""
    otherwise: Number = Fraction(0) if may_be_pieced else FAR
    if not _is_sure(width, length):
        return otherwise
    told = [wall for wall in walls if _is_sure(*wall)]
    if len(told) < len(walls) and not may_be_pieced:
        return FAR
    if any(high > length for _, high in told):
        face = sum((Fraction(a) * Fraction(b) for a, b in told), Fraction(0))
        return Fraction(math.ceil(face / (Fraction(width) * Fraction(length)))) if may_be_pieced else FAR
    best = [_rows(choice, told, Fraction(width), Fraction(length)) for choice in [()]]
    return min(best, default=Fraction(0))


def _rows(choice: tuple[int, ...], walls: list[tuple[Number, Number]], width: Fraction, length: Fraction) -> Fraction:
    """Rows of each height are filled by whole strips and cuts, and sheets are cut into rows."""
    del choice
    rows: list[Fraction] = []
    for high in sorted({h for _, h in walls}):
        whole, cuts = 0, []
        for long, h in walls:
            if h == high:
                more, rest = strips(Fraction(long), width)
                whole, cuts = whole + more, cuts + rest
        rows += [Fraction(high)] * (whole + fewest(tuple(cuts), width))
    return Fraction(fewest(tuple(rows), length)) if len(rows) <= _MOST_TRIED else _by_height(rows, length)


def _by_height(rows: list[Fraction], length: Fraction) -> Fraction:
    if len(set(rows)) == 1:
        return Fraction(math.ceil(len(rows) / (length // rows[0])))
    return Fraction(fewest(tuple(rows), length))


def strips(long: Fraction, width: Fraction) -> tuple[int, list[Fraction]]:
    """Whole strips of a wall, and those that are cut: none at a corner narrower than the least."""
    whole, rest = divmod(long, width)
    if rest and whole and rest < _LEAST_STRIP:
        return int(whole) - 1, [width + rest - _LEAST_STRIP, _LEAST_STRIP]
    return int(whole), [rest] if rest else []


__all__ = ["Answers", "corner_pieces", "fewest", "joint_strips", "product", "sheets", "strips"]
