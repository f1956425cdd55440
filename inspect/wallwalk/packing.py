"""The fewest stock pieces that given cuts can be taken from: exact for few cuts, between two proven bounds for many.

Textbooks call this one-dimensional bin packing. Cuts and stock are lengths in one unit; the blade takes nothing off.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

EXACT_CUTS = 10
"""Up to so many cuts shorter than the stock are packed in every way there is."""


def fewest(cuts: Sequence[Fraction], stock: Fraction) -> tuple[int, int]:
    """The fewest pieces of `stock` for `cuts`, none longer than it: no fewer than the first, no more than the second.

    The two are the same where it is proven; that is always so for up to `EXACT_CUTS` cuts shorter than the stock.
    """
    whole = sum(1 for cut in cuts if cut == stock)
    parts = sorted((cut for cut in cuts if 0 < cut < stock), reverse=True)
    low, high = _at_least(parts, stock), _first_fit(parts, stock)
    if low < high and len(parts) <= EXACT_CUTS:
        low = high = _searched(parts, stock, high)
    return whole + low, whole + high


def _at_least(parts: Sequence[Fraction], stock: Fraction) -> int:
    """The length of all parts asks for so many, and so do those of which no two fit in one piece."""
    long = sum(1 for part in parts if 2 * part > stock)
    return max(long, -(-sum(parts, Fraction(0)) // stock))


def _first_fit(parts: Sequence[Fraction], stock: Fraction) -> int:
    """The longest first, each from the first piece that has room for it: so many are surely enough."""
    room: list[Fraction] = []
    for part in parts:
        for i, left in enumerate(room):
            if part <= left:
                room[i] = left - part
                break
        else:
            room.append(stock - part)
    return len(room)


def _searched(parts: Sequence[Fraction], stock: Fraction, best: int) -> int:
    """The fewest of all ways to take `parts`, which no more than `best` pieces are known to do."""

    def place(at: int, room: tuple[Fraction, ...], best: int) -> int:
        if len(room) >= best:
            return best
        if at == len(parts):
            return len(room)
        part = parts[at]
        for i, left in enumerate(room):
            if part <= left and left not in room[:i]:  # pieces with the same room left are one choice
                best = place(at + 1, (*room[:i], left - part, *room[i + 1 :]), best)
        return place(at + 1, (*room, stock - part), best)

    return place(0, (), best)
