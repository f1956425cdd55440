"""How many sheets some walls take when every sheet keeps its top: strips side by side, offcuts used without turning.

Each wall is covered from one end by whole sheets standing upright; the last strip is what is left of the run. Where
that would be narrower than the least strip, the strip before it gives way, so that no joint comes nearer to a corner.
A strip cut short in width leaves an offcut beside it, one cut short in height leaves one above or below; both keep
their top.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from wallwalk.packing import MOST_SETS, fewest, fewest_cut_through

_MOST_ROWS = 500
"""More rows than that are not stacked one by one: no room has so many."""


@dataclass(frozen=True, slots=True)
class Run:
    """One wall to be covered: its length and the height, in metres."""

    length: Fraction
    height: Fraction


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet as it came, standing upright: width and length in metres, and the least strip beside a corner."""

    width: Fraction
    length: Fraction
    least_strip: Fraction


def strips(run: Run, sheet: Sheet) -> tuple[int, tuple[Fraction, ...]]:
    """One wall from end to end: how many whole sheets stand side by side, and the widths of the strips cut beside them.

    Where the least strip is over half a sheet, the strip that gives way may come out narrower.
    """
    whole, rest = divmod(run.length, sheet.width)
    if rest == 0 or whole == 0 or rest >= sheet.least_strip:
        return int(whole), (rest,) * (rest > 0)
    return int(whole) - 1, (sheet.width + rest - sheet.least_strip, sheet.least_strip)


def sheets_at_least(runs: Sequence[Run], sheet: Sheet) -> int:
    """No fewer sheets than this cover `runs`, however they are cut; never less for longer or higher runs."""
    area = sum((run.length * run.height for run in runs), Fraction(0))
    rows = (-(-_rows_at_least(part, sheet) // each) for part, each in _levels(runs, sheet))
    return max(-(-area // (sheet.width * sheet.length)), *rows, 0)


def sheets_without_offcuts(runs: Sequence[Run], sheet: Sheet) -> int | None:
    """So many are surely enough, no offcut used beside another strip. None where a wall is higher than a sheet."""
    tallest = max((run.height for run in runs), default=Fraction(0))
    if tallest > sheet.length or 2 * sheet.least_strip > sheet.width:
        return None
    rows = sum(-(-run.length // sheet.width) for run in runs)
    return -(-rows // (sheet.length // tallest)) if tallest else 0


def sheets_planned(runs: Sequence[Run], sheet: Sheet) -> tuple[int, int] | None:
    """The fewest sheets cut so: no fewer than the first, no more than the second. None where no number will do."""
    enough = sheets_without_offcuts(runs, sheet)
    if enough is None:
        return None
    low, high = sheets_at_least(runs, sheet), enough
    for part, each in _levels(runs, sheet):
        whole, cut = _cut(part, sheet)
        least, most = fewest(cut, sheet.width)
        low = max(low, -(-(whole + least) // each))
        if len(part) == len(runs):  # all of them, each row as high as the tallest
            high = min(high, -(-(whole + most) // (sheet.length // max(run.height for run in runs))))
    high = min(high, _stacked(runs, sheet, high))
    exact = _tried(runs, sheet) if low < high else None
    return (low, high) if exact is None else (exact, exact)


def _tried(runs: Sequence[Run], sheet: Sheet) -> int | None:
    """The fewest sheets of all ways to cut the strips of walls that are not alike in height; None for too many."""
    found = [(run.height, *strips(run, sheet)) for run in runs if run.height > 0 and run.length > 0]
    if sum(whole + len(cut) for _, whole, cut in found) > MOST_SETS:  # never so many that are all alike
        return None
    pieces = [(w, height) for height, whole, cut in found for w in (*[sheet.width] * whole, *cut)]
    return fewest_cut_through(pieces, (sheet.width, sheet.length))


def _levels(runs: Sequence[Run], sheet: Sheet) -> Iterator[tuple[list[Run], int]]:
    """For each height, the runs at least as high, and how many rows of that height one sheet gives."""
    for height in sorted({run.height for run in runs if run.height > 0 and run.length > 0}):
        yield [run for run in runs if run.height >= height], max(1, sheet.length // height)


def _cut(runs: Sequence[Run], sheet: Sheet) -> tuple[int, list[Fraction]]:
    """Whole sheets' widths on all `runs`, and the strips cut beside them."""
    found = [strips(run, sheet) for run in runs]
    return sum(whole for whole, _ in found), [width for _, cut in found for width in cut]


def _rows_at_least(runs: Sequence[Run], sheet: Sheet) -> int:
    return -(-sum((run.length for run in runs), Fraction(0)) // sheet.width)


def _stacked(runs: Sequence[Run], sheet: Sheet, otherwise: int) -> int:
    """So many are enough: strips, the highest first, side by side in rows; the rows one above the other in sheets."""
    if len({run.height for run in runs}) == 1 or _rows_at_least(runs, sheet) > _MOST_ROWS:
        return otherwise
    rows = [run.height for run in runs for _ in range(strips(run, sheet)[0])]
    cut: list[tuple[Fraction, Fraction]] = []  # height of the row, and width left in it
    for height, width in sorted(((r.height, w) for r in runs for w in strips(r, sheet)[1]), reverse=True):
        for i, (high, left) in enumerate(cut):
            if width <= left:
                cut[i] = (high, left - width)
                break
        else:
            cut.append((height, sheet.width - width))
    return fewest([*rows, *(height for height, _ in cut)], sheet.length)[1]
