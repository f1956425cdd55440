"""The fewest stock pieces that given cuts can be taken from: exact for few cuts, between two proven bounds for many.

Textbooks call this bin packing. Cuts and stock are lengths in one unit; the blade takes nothing off. Of sheets, the
pieces are upright and none is turned; a cut goes from edge to edge of what is in hand, along or across. What is cut so
comes apart by halves, side by side or one above the other: each set of pieces has a few smallest boxes that it fills,
made of the boxes of its two halves.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import product
from math import lcm, prod

EXACT_CUTS = 10
"""Up to so many cuts shorter than the stock are packed in every way there is."""
MOST_SETS = 200
"""So many sets of pieces, alike ones counted once, are tried: seven pieces that all differ, or more of a kind."""

Size = tuple[int, int]
"""Width and length."""


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


# -- sheets -----------------------------------------------------------------------------------------------------------


def fewest_cut_through(pieces: Sequence[tuple[Fraction, Fraction]], sheet: tuple[Fraction, Fraction]) -> int | None:
    """The fewest of `sheet` for `pieces`, each a width and a length no more than its; None where they are too many."""
    whole = lcm(*(side.denominator for size in (sheet, *pieces) for side in size))
    (width, length), *sizes = (tuple(int(side * whole) for side in size) for size in (sheet, *pieces))
    return _fewest(tuple(sorted(Counter(sizes).items(), reverse=True)), (width, length))


@lru_cache(maxsize=64)  # several facts of one room ask for the same
def _fewest(counted: tuple[tuple[Size, int], ...], sheet: Size) -> int | None:
    sizes = [size for size, _ in counted if size != sheet]
    counts = [count for size, count in counted if size != sheet]
    if prod(count + 1 for count in counts) > MOST_SETS:
        return None
    boxes: dict[tuple[int, ...], list[Size]] = {}
    needed: dict[tuple[int, ...], int] = {}
    for pieces in product(*(range(count + 1) for count in counts)):
        boxes[pieces] = _boxes(pieces, sizes, boxes, sheet)
        needed[pieces] = 0 if not any(pieces) else 1 if boxes[pieces] else _shared(pieces, boxes, needed)
    return sum(count for size, count in counted if size == sheet) + needed[tuple(counts)]


def _parts(pieces: tuple[int, ...]) -> Iterator[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Every way to part a set in two; each way is met twice, once from either side."""
    for one in product(*(range(count + 1) for count in pieces)):
        other = tuple(count - taken for count, taken in zip(pieces, one, strict=True))
        if any(one) and any(other):
            yield one, other


def _boxes(
    pieces: tuple[int, ...], sizes: Sequence[Size], boxes: dict[tuple[int, ...], list[Size]], sheet: Size
) -> list[Size]:
    """The smallest boxes within a sheet that the pieces fill: none of them has room for another."""
    if sum(pieces) == 1:
        return [sizes[pieces.index(1)]]
    area = sum(count * width * length for count, (width, length) in zip(pieces, sizes, strict=True))
    if not any(pieces) or area > sheet[0] * sheet[1]:
        return []
    found: set[Size] = set()
    for one, other in _parts(pieces):
        for a, b in product(boxes[one], boxes[other]) if one <= other else ():
            beside, above = (a[0] + b[0], max(a[1], b[1])), (max(a[0], b[0]), a[1] + b[1])
            found |= {box for box in (beside, above) if box[0] <= sheet[0] and box[1] <= sheet[1]}
    return [a for a in found if not any(b != a and b[0] <= a[0] and b[1] <= a[1] for b in found)]


def _shared(
    pieces: tuple[int, ...], boxes: dict[tuple[int, ...], list[Size]], needed: dict[tuple[int, ...], int]
) -> int:
    """The fewest sheets where one is not enough: one of them is filled by some, the others by what is left."""
    return min(1 + needed[other] for one, other in _parts(pieces) if boxes[one])
