"""The closed table of measures: how survey answers become facts.

A measure is written in a rule set as one word and what it works on, such as
`elapsed: {from: primer.finished, to: planned_start}`. What it works on is the path of a question, or another measure
written in its place. Each word is one row of `MEASURES`: what kind it gives for the kinds it is given (at load), and
the value it gives (at judging). Every row is monotone: a wider input never gives a narrower fact.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from itertools import product as pairs

from wallwalk.limit_measures import LIMIT_MEASURES
from wallwalk.log_measures import LOG_MEASURES, LOGGED
from wallwalk.material_measures import MATERIAL_MEASURES
from wallwalk.measure import DIFFERENCE, WORDS, Kinded, Measure, MeasureError, each
from wallwalk.psychrometrics import dew_point
from wallwalk.units import BASE, MOISTURE, unit_beside
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval, Measured, Series, Value, unknown_interval

# -- differences, products, ratios ----------------------------------------------------------------------------------

_PRODUCT = {
    ("length", "length"): "area",
    ("spread", "volume"): "area",
    ("volume", "spread"): "area",
    ("work rate", "duration"): "area",
    ("duration", "work rate"): "area",
    ("expansion", "temperature difference"): "number",
    ("temperature difference", "expansion"): "number",
}
_RATIO = {("area", "volume"): "spread", ("area", "spread"): "volume", ("area", "length"): "length"}


def _difference(a: Interval, b: Interval) -> Interval:
    kind = a.kind if a.kind != b.kind else DIFFERENCE.get(a.kind, a.kind)
    unit = "h" if kind == "duration" else a.unit
    return Interval(kind, a.low - b.high, a.high - b.low, unit)


def _difference_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    first, second = kinds
    if (first.kind, second.kind) == ("moment", "duration"):
        return Kinded("moment", is_series=first.is_series or second.is_series)
    if first.kind != second.kind or first.kind not in {*BASE, "moment"}:
        raise MeasureError(f"{word} needs two quantities of one kind and scale, not {first.kind} and {second.kind}")
    return Kinded(DIFFERENCE.get(first.kind, first.kind), is_series=first.is_series or second.is_series)


def _elapsed(start: Interval, end: Interval) -> Interval:
    return _difference(end, start)


def _elapsed_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    if any(k.kind != "moment" for k in kinds):
        raise MeasureError(f"{word} needs two moments, not {' and '.join(k.kind for k in kinds)}")
    return Kinded("duration", is_series=any(k.is_series for k in kinds))


def _times(a: Bound, b: Bound) -> Bound:
    return Fraction(0) if a == 0 or b == 0 else a * b


def product_kind(a: str, b: str) -> str | None:
    """The kind of a product, or None where the table knows none."""
    if "number" in (a, b):
        return b if a == "number" else a
    return _PRODUCT.get((a, b))


def ratio_kind(a: str, b: str) -> str | None:
    """The kind of a ratio, or None where the table knows none."""
    return "number" if a == b else a if b == "number" else _RATIO.get((a, b))


def _product(*factors: Interval) -> Interval:
    result = factors[0]
    for factor in factors[1:]:
        corners = [_times(a, b) for a, b in pairs((result.low, result.high), (factor.low, factor.high))]
        kind = product_kind(result.kind, factor.kind) or ""
        same = next((f.unit for f in (factor, result) if f.kind == kind and f.unit), "")
        unit = same or unit_beside(kind, (f.unit for f in (result, factor)))
        result = Interval(kind, min(corners), max(corners), unit)
    return result


def _product_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    kind: str | None = kinds[0].kind if kinds else None
    for factor in kinds[1:]:
        kind = product_kind(kind, factor.kind) if kind else None
    if kind not in BASE or len(kinds) < 2:
        raise MeasureError(f"{word} does not know how to multiply {' by '.join(k.kind for k in kinds)}")
    return Kinded(kind, is_series=any(k.is_series for k in kinds))


def _ratio(a: Interval, b: Interval) -> Interval:
    kind = ratio_kind(a.kind, b.kind) or ""
    unit = unit_beside(kind, (a.unit, b.unit))
    if b.low <= 0 <= b.high:
        return unknown_interval(kind, unit)
    corners = [_over(x, y) for x, y in pairs((a.low, a.high), (b.low, b.high))]
    return Interval(kind, min(corners), max(corners), unit)


def _over(a: Bound, b: Bound) -> Bound:
    return Fraction(0) if isinstance(b, float) else a / b  # what has no end makes of `a` as little as one likes


def _ratio_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    first, second = kinds
    kind = ratio_kind(first.kind, second.kind)
    if kind not in BASE or first.kind not in BASE:
        raise MeasureError(f"{word} does not know how to divide {first.kind} by {second.kind}")
    return Kinded(kind, is_series=first.is_series or second.is_series)


# -- one fact out of many readings ----------------------------------------------------------------------------------


def _extreme(
    pick: Callable[[Iterable[Bound]], Bound], *, highest: bool
) -> Callable[[tuple[Measured, ...], str], Measured]:
    def over(operands: tuple[Measured, ...], _: str) -> Measured:
        series = _series(operands)
        items = [i for i in series.items if isinstance(i, Interval)]
        if not items:
            return unknown_interval(series.kind, BASE.get(series.kind, ""))
        low, high = pick(i.low for i in items), pick(i.high for i in items)
        if not series.complete:
            low, high = (low, NO_HIGH) if highest else (NO_LOW, high)
        source = next((i for i in items if (i.low, i.high) == (low, high)), None)
        return Interval(series.kind, low, high, (source or items[0]).unit, source.written if source else "")

    return over


def _count(operands: tuple[Measured, ...], _: str) -> Measured:
    series = _series(operands)
    listed = Fraction(len(series.items))
    most: Bound = listed if series.complete else NO_HIGH if series.most is None else Fraction(series.most)
    return Interval("number", listed, most)


def _total(operands: tuple[Measured, ...], _: str) -> Measured:
    series = _series(operands)
    items = [i for i in series.items if isinstance(i, Interval)]
    if not (series.complete and items):
        return unknown_interval(series.kind, BASE[series.kind])
    low = sum((i.low for i in items), Fraction(0))
    return Interval(series.kind, low, sum((i.high for i in items), Fraction(0)), items[0].unit)


def _spread(operands: tuple[Measured, ...], _: str) -> Measured:
    """The highest less the lowest, which another reading can only raise."""
    series = _series(operands)
    items = [i for i in series.items if isinstance(i, Interval)]
    kind = DIFFERENCE.get(series.kind, series.kind)
    if not items:
        return unknown_interval(kind, BASE[kind])
    low = max(Fraction(0), max(i.low for i in items) - min(i.high for i in items))
    high = max(i.high for i in items) - min(i.low for i in items) if series.complete else NO_HIGH
    return Interval(kind, low, high, items[0].unit)


def _spread_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    kind = _total_kind(kinds, word).kind
    return Kinded(DIFFERENCE.get(kind, kind))


def _series(operands: tuple[Measured, ...]) -> Series:
    (series,) = operands
    if not isinstance(series, Series):
        raise TypeError("this measure works on a list of readings")
    return series


def _reduced_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    (only,) = kinds
    if not only.is_series:
        raise MeasureError(f"{word} needs a list of readings, and this is one; write answer: for one as it stands")
    if only.kind in WORDS:
        raise MeasureError(f"{word} needs a list of quantities, not of words")
    if only.kind == "moisture":
        raise MeasureError(f"{word} needs readings on one scale; write {word}: {{on_scale: {{of: …, scale: …}}}}")
    return Kinded(only.kind)


def _total_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    if kinds[0].kind == "moment":
        raise MeasureError(f"{word} needs a list of quantities, not moments")
    return _reduced_kind(kinds, word)


def _count_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    if not kinds[0].is_series:
        raise MeasureError(f"{word} needs a list of readings")
    return Kinded("number")


# -- moist air -----------------------------------------------------------------------------------------------------


def _dew_point_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    if [k.kind for k in kinds] != ["temperature", "humidity"]:
        raise MeasureError(f"{word} needs a temperature and a humidity, not {' and '.join(k.kind for k in kinds)}")
    return Kinded("temperature", is_series=any(k.is_series for k in kinds))


# -- moisture scales ------------------------------------------------------------------------------------------------


def _on_scale(operands: tuple[Measured, ...], scale: str) -> Measured:
    """A reading on another scale says nothing on this one."""
    (of,) = operands
    kind = f"moisture {scale}"

    def read(item: Value) -> Value:
        return item if isinstance(item, Interval) and item.kind == kind else unknown_interval(kind, BASE[kind])

    if isinstance(of, Series):
        return Series(kind, tuple(read(i) for i in of.items), of.complete, of.most)
    return read(of)


def _on_scale_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    if kinds[0].kind != "moisture":
        raise MeasureError(f"{word} needs a moisture reading")
    return Kinded("", is_series=kinds[0].is_series)


MEASURES: Mapping[str, Measure] = {
    "elapsed": Measure(("from", "to"), _elapsed_kind, each(_elapsed)),
    "difference": Measure(("of", "less"), _difference_kind, each(_difference)),
    "product": Measure((), _product_kind, each(_product)),
    "ratio": Measure(("of", "to"), _ratio_kind, each(_ratio)),
    "lowest": Measure(("of",), _reduced_kind, _extreme(min, highest=False)),
    "highest": Measure(("of",), _reduced_kind, _extreme(max, highest=True)),
    "count": Measure(("of",), _count_kind, _count),
    "total": Measure(("of",), _total_kind, _total),
    "dew_point": Measure(("temperature", "humidity"), _dew_point_kind, each(dew_point)),
    "spread": Measure(("of",), _spread_kind, _spread),
    **LIMIT_MEASURES,
    **LOG_MEASURES,
    **MATERIAL_MEASURES,
    "on_scale": Measure(("of",), _on_scale_kind, _on_scale, picks="scale"),
}
"""Every measure. `answer`, an answer as it stands, is the one word that is not made from others."""

SCALES = tuple(kind.removeprefix("moisture ") for kind in MOISTURE)
PICKS = {"scale": SCALES, "logged": LOGGED}
"""The words that a measure may pick by, under each part that takes one."""
