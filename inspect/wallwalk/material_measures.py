"""The measures of materials: sheets and trim to cut, adhesive from the trowel's notch."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from itertools import chain

from wallwalk.measure import Kinded, Measure, MeasureError, Operand, each
from wallwalk.packing import fewest
from wallwalk.sheets import Run, Sheet, sheets_at_least, sheets_planned, sheets_without_offcuts
from wallwalk.units import unit_beside
from wallwalk.values import NO_HIGH, Bound, Interval, Measured, Series, unknown_interval

_LITRES = 1000
"""In a cubic metre."""


def _single_kinds(gives: str, *wanted: str) -> Callable[[tuple[Kinded, ...], str], Kinded]:
    """The check of a measure that works entry by entry: one operand of each kind wanted."""

    def kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
        if tuple(k.kind for k in kinds) != wanted:
            raise MeasureError(f"{word} needs {_listed(wanted)}, not {_listed([k.kind for k in kinds])}")
        return Kinded(gives, is_series=any(k.is_series for k in kinds))

    return kind


def _listed(kinds: Sequence[str]) -> str:
    return f"{', '.join(kinds[:-1])} and {kinds[-1]}" if len(kinds) > 1 else kinds[0]


# -- adhesive from the notch ------------------------------------------------------------------------------------------


def _notch_film(width: Interval, depth: Interval, pitch: Interval) -> Interval:
    """Mean film that a V-notch leaves: the triangle of each notch, width x depth / 2, spread over its pitch."""
    if pitch.low <= 0:
        return unknown_interval("length", width.unit)
    low = _over(width.low, depth.low, pitch.high)
    return Interval("length", low, _over(width.high, depth.high, pitch.low), pitch.unit)


def _over(width: Bound, depth: Bound, pitch: Bound) -> Bound:
    width, depth = max(width, Fraction(0)), max(depth, Fraction(0))  # an unknown low end is no film without end
    if isinstance(width, float) or isinstance(depth, float):
        return NO_HIGH
    return Fraction(0) if isinstance(pitch, float) else width * depth / (2 * pitch)


def _spread_rate(film: Interval) -> Interval:
    """Area that a volume covers at a wet film: 1 over the film, 1604.17 ft² a gallon at 1 mil."""
    low, high = (_rate(film.high), _rate(film.low)) if film.low >= 0 else (Fraction(0), NO_HIGH)
    return Interval("spread", low, high, unit_beside("spread", (film.unit,)))


def _rate(film: Bound) -> Bound:
    return Fraction(0) if isinstance(film, float) else NO_HIGH if film == 0 else 1 / (_LITRES * film)


# -- sheets and trim --------------------------------------------------------------------------------------------------


def _joints(run: Interval, width: Interval) -> Interval:
    """Joints between the strips on one run: one less than the strips."""
    if width.low <= 0:
        return unknown_interval("number")
    return Interval("number", _between_strips(run.low, width.high), _between_strips(run.high, width.low))


def _between_strips(run: Bound, width: Bound) -> Bound:
    if isinstance(run, float):
        return NO_HIGH if run > 0 else Fraction(0)
    return Fraction(0) if isinstance(width, float) or run <= 0 else -(-run // width) - 1


def _sheets_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    walls = [k.is_series for k in kinds]
    if any(k.kind != "length" for k in kinds) or walls != [True, True, False, False, False]:
        raise MeasureError(f"{word} needs the lengths and heights of a list of walls, and three lengths of a sheet")
    return Kinded("number")


def _sheets_needed(operands: tuple[Operand, ...], _: str) -> Measured:
    """From the fewest sheets there is a proof for to the fewest there is a plan for; one number where they are one."""
    lengths, heights, *sheet = operands
    width, length, least_strip = (_interval(part) for part in sheet)
    if not (isinstance(lengths, Series) and isinstance(heights, Series)):
        raise TypeError("sheets_needed works on a list of walls")
    walls = [(_interval(a), _interval(b)) for a, b in zip(lengths.items, heights.items, strict=True)]
    if not width.low > 0 or not length.low > 0 or not (width.is_known and length.is_known):
        return Interval("number", Fraction(0), NO_HIGH)
    largest = Sheet(_end(width.high), _end(length.high), _end(least_strip.low))
    low = sheets_at_least([Run(_end(max(a.low, 0)), _end(max(b.low, 0))) for a, b in walls], largest)
    ends = [*chain(*walls), width, length, least_strip]
    if not (lengths.complete and walls and all(end.is_known for end in ends)):
        return Interval("number", Fraction(low), NO_HIGH)
    runs = [Run(_end(max(a.high, 0)), _end(max(b.high, 0))) for a, b in walls]
    smallest = Sheet(_end(width.low), _end(length.low), _end(least_strip.high))
    if all(end.low == end.high for end in ends) and (planned := sheets_planned(runs, smallest)):
        return Interval("number", Fraction(planned[0]), Fraction(planned[1]))
    enough = sheets_without_offcuts(runs, smallest)
    return Interval("number", Fraction(low), NO_HIGH if enough is None else Fraction(enough))


def _pieces_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    if [k.kind for k in kinds] != ["length", "number", "length"] or kinds[2].is_series:
        raise MeasureError(f"{word} needs a length or a list of them, how many of each, and the length of a piece")
    if kinds[1].is_series and not kinds[0].is_series:
        raise MeasureError(f"{word} needs a list of lengths where it has a list of numbers")
    return Kinded("number")


def _pieces_needed(operands: tuple[Operand, ...], _: str) -> Measured:
    """The fewest pieces of trim from which so many of each length can be cut whole; none is put together of two."""
    of, counts, piece = operands
    lengths = of if isinstance(of, Series) else Series("length", (_interval(of),), complete=True, most=1)
    numbers = counts.items if isinstance(counts, Series) else (counts,) * len(lengths.items)
    stock, cuts = _interval(piece), [_interval(cut) for cut in lengths.items]
    many = [_interval(number) for number in numbers]
    if not stock.low > 0:
        return Interval("number", Fraction(0), NO_HIGH)
    fewest_whole = _whole(((a.low, n.low) for a, n in zip(cuts, many, strict=True)), stock.high)
    ends = [*cuts, *many, stock]
    if not (lengths.complete and cuts and all(end.is_known for end in ends)):
        return Interval("number", fewest_whole, NO_HIGH)
    if any(cut.high > stock.low and n.high > 0 for cut, n in zip(cuts, many, strict=True)):
        return Interval("number", fewest_whole, NO_HIGH)
    if all(end.low == end.high for end in ends):
        every = [_end(cut.low) for cut, n in zip(cuts, many, strict=True) for _ in range(min(int(n.low), _MOST_CUTS))]
        if len(every) < _MOST_CUTS:
            low, high = fewest(every, _end(stock.low))
            return Interval("number", Fraction(low), Fraction(high))
    return Interval("number", fewest_whole, sum((_end(n.high) for n in many), Fraction(0)))


_MOST_CUTS = 2000
"""More cuts than one room has joints; with so many, every cut is counted a piece of its own."""


def _whole(cuts: object, stock: Bound) -> Fraction:
    """So many pieces at least, by the length of all cuts."""
    total = sum((_end(max(a, 0)) * _end(max(n, 0)) for a, n in cuts), Fraction(0))  # type: ignore[attr-defined]
    return Fraction(0) if isinstance(stock, float) else Fraction(-(-total // stock))


def _interval(operand: object) -> Interval:
    if not isinstance(operand, Interval):
        raise TypeError("this measure works on quantities")
    return operand


def _end(bound: Bound) -> Fraction:
    """An end that is known to be there; an end that is not counts as nothing of it."""
    return Fraction(0) if isinstance(bound, float) else bound


MATERIAL_MEASURES: Mapping[str, Measure] = {
    "notch_film": Measure(
        ("width", "depth", "pitch"), _single_kinds("length", "length", "length", "length"), each(_notch_film)
    ),
    "spread_rate": Measure(("film",), _single_kinds("spread", "length"), each(_spread_rate)),
    "joints": Measure(("run", "width"), _single_kinds("number", "length", "length"), each(_joints)),
    "sheets_needed": Measure(("run", "height", "width", "length", "least_strip"), _sheets_kind, _sheets_needed),
    "pieces_needed": Measure(("of", "times", "piece"), _pieces_kind, _pieces_needed),
}
