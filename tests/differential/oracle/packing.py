"""How many sheets, strips and corner pieces the walls take, by trying every way to cut them."""

from __future__ import annotations

import math
from fractions import Fraction
from functools import lru_cache

from .ranges import FAR, Number, Range, highest
from .room import Room

_LEAST_STRIP = Fraction(4)  # inches; no row of the trade page: from memory, as the manual says
_MOST_CUTS = 200
_MOST_TRIED = 20000
"""Ways to share cuts out that are tried before what was found so far has to do."""


@lru_cache(maxsize=5000)
def fewest(cuts: tuple[Fraction, ...], stock: Fraction) -> tuple[int, int]:
    """The fewest pieces of `stock` that give all the cuts: at least, and at most. Every way is tried, within reason."""
    ordered = sorted(cuts, reverse=True)
    least = _at_least(ordered, stock)
    best = _first_that_fits(ordered, stock)
    tried = 0

    def put(i: int, room: list[Fraction]) -> None:
        nonlocal best, tried
        tried += 1
        if len(room) >= best or best == least or tried > _MOST_TRIED:
            return
        if i == len(ordered):
            best = len(room)
            return
        for left in sorted({r for r in room if r >= ordered[i]}):
            at = room.index(left)
            put(i + 1, [*room[:at], left - ordered[i], *room[at + 1 :]])
        put(i + 1, [*room, stock - ordered[i]])

    if len(ordered) > _MOST_CUTS:
        return least, best
    put(0, [])
    return (least if tried > _MOST_TRIED else best), best


def _at_least(ordered: list[Fraction], stock: Fraction) -> int:
    """Pieces that no way of cutting does without: by length, and by how many cuts so long come from one piece."""
    by_length = math.ceil(sum(ordered, Fraction(0)) / stock)
    by_number = [math.ceil((i + 1) / (stock // cut)) for i, cut in enumerate(ordered)]
    return max([by_length, *by_number])


def _first_that_fits(ordered: list[Fraction], stock: Fraction) -> int:
    """The longest first, each into the first piece that has room."""
    room: list[Fraction] = []
    for cut in ordered:
        at = next((i for i, left in enumerate(room) if left >= cut), None)
        if at is None:
            room.append(stock - cut)
        else:
            room[at] -= cut
    return len(room)


def is_rough(room: Room, *sizes: str) -> bool:
    """Whether the cuts are of several heights, of unsure sizes, not all known, or too long for their stock."""
    stock = [room.space.amount(size, "length") for size in sizes]
    heights = [wall.amount("height", "length") for wall in room.walls.entries]
    lengths = [wall.amount("length", "length") for wall in room.walls.entries]
    if room.space.count("trim.corners").low == 0 or not room.walls.all_there:
        return True
    unsure = any(size.low < size.high for size in (*stock, *heights, *lengths))
    return unsure or len(set(heights)) > 1 or any(high.high > stock[-1].low for high in heights)


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
    least: list[Number] = []
    most: list[Number] = []
    for wall in room.walls.entries:
        length, height = (wall.amount(side, "length", Range(Fraction(0), FAR)) for side in ("length", "height"))
        least += [height.low] * _joints(length.low, width.high)
        most += (
            [height.high] * _joints(length.high, width.low) if _is_sure(length.high, width.low, height.high) else [FAR]
        )
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
    return Fraction(fewest(tuple(Fraction(c) for c in cuts if c > 0), Fraction(piece))[0 if may_be_pieced else 1])


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
    end = 0 if may_be_pieced else 1
    return Fraction(_rows(told, Fraction(width), Fraction(length))[end])


def _rows(walls: list[tuple[Number, Number]], width: Fraction, length: Fraction) -> tuple[int, int]:
    """Rows of each height are filled by whole strips and cuts, and sheets are cut into rows."""
    least: list[Fraction] = []
    most: list[Fraction] = []
    for high in sorted({Fraction(h) for _, h in walls}):
        parts = [strips(Fraction(long), width) for long, h in walls if h == high]
        whole = sum(n for n, _ in parts)
        from_cuts = fewest(tuple(cut for _, cuts in parts for cut in cuts), width)
        least += [high] * (whole + from_cuts[0])
        most += [high] * (whole + from_cuts[1])
    return fewest(tuple(least), length)[0], fewest(tuple(most), length)[1]


def strips(long: Fraction, width: Fraction) -> tuple[int, list[Fraction]]:
    """Whole strips of a wall, and those that are cut: none at a corner narrower than the least."""
    whole, rest = divmod(long, width)
    if rest and whole and rest < _LEAST_STRIP < width:
        return int(whole) - 1, [width + rest - _LEAST_STRIP, _LEAST_STRIP]
    return int(whole), [rest] if rest else []
