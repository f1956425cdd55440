"""The fewest sheets that upright pieces can be cut from by straight cuts through, every way tried: for few pieces only.

A cut goes from edge to edge of what is in hand, along or across, as one is made on a bench; no piece is turned. Pieces
that lie so in a sheet are cut apart by halves: those side by side, or one above the other. So each set of pieces has a
few smallest boxes that it fills, made of the boxes of its two halves.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import product
from math import lcm, prod

MOST_SETS = 200
"""So many sets of pieces, alike ones counted once, are tried: seven pieces that all differ, or more of a kind."""

Size = tuple[int, int]
"""Width and length."""


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
