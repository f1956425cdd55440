"""The closed table of measures: how survey answers become facts.

A measure is written in a rule set as one word and what it works on, such as
`elapsed: {from: primer.finished, to: planned_start}`. What it works on is the path of a question, or another measure
written in its place. Each word is one row of `MEASURES`: what kind it gives for the kinds it is given (at load), and
the value it gives (at judging). Every row is monotone: a wider input never gives a narrower fact.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product as pairs
from typing import Any

from wallwalk.evidence import (
    Evidence,
    degree_hours,
    excursions,
    furthest_out,
    held,
    longest_excursion,
    time_in_band,
)
from wallwalk.psychrometrics import dew_point
from wallwalk.units import BASE, MOISTURE, UNITS
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval, Measured, OneOf, Series, Value, unknown_interval

WORDS = ("truth", "choice", "text")
"""The kinds whose values are words."""


Operand = Measured | Evidence
"""What a measure works on: a value, a list of values, or what the climate logs show of a band."""


class MeasureError(ValueError):
    """A measure that cannot be made of these kinds; the message says what it works on."""


@dataclass(frozen=True, slots=True)
class Kinded:
    """What is known of a measure before any survey is read: its kind, its possible words, whether it is a series."""

    kind: str
    choices: tuple[str, ...] = ()
    is_series: bool = False


@dataclass(frozen=True, slots=True)
class Measure:
    """One word of the table. `parts` names its operands; none means any number of them, in a list.

    `picks` names a part that is no operand but a word: a moisture `scale`, or what is `logged`.
    """

    parts: tuple[str, ...]
    kind: Callable[[tuple[Kinded, ...], str], Kinded]
    run: Callable[[tuple[Any, ...], str], Measured]
    picks: str = ""


def blank(kinded: Kinded) -> Value:
    """The value of that kind of which nothing is known."""
    return OneOf(None) if kinded.kind in WORDS else unknown_interval(kinded.kind, BASE.get(kinded.kind, ""))


def _each(run: Callable[..., Interval]) -> Callable[[tuple[Measured, ...], str], Measured]:
    """Makes a measure of single values work entry by entry on a series."""

    def over(operands: tuple[Measured, ...], _: str) -> Measured:
        series = [o for o in operands if isinstance(o, Series)]
        if not series:
            return run(*operands)
        count = len(series[0].items)
        rows = zip(*(o.items if isinstance(o, Series) else (o,) * count for o in operands), strict=True)
        items = tuple(run(*row) for row in rows)
        kind = items[0].kind if items else ""
        return Series(kind, items, all(s.complete for s in series), series[0].most)

    return over


# -- differences, products, ratios ----------------------------------------------------------------------------------

_DIFFERENCE = {"temperature": "temperature difference", "moment": "duration"}
_PRODUCT = {
    ("length", "length"): "area",
    ("spread", "volume"): "area",
    ("volume", "spread"): "area",
    ("expansion", "temperature difference"): "number",
    ("temperature difference", "expansion"): "number",
}
_RATIO = {("area", "volume"): "spread", ("area", "spread"): "volume", ("area", "length"): "length"}


def _difference(a: Interval, b: Interval) -> Interval:
    kind = a.kind if a.kind != b.kind else _DIFFERENCE.get(a.kind, a.kind)
    unit = "h" if kind == "duration" else a.unit
    return Interval(kind, a.low - b.high, a.high - b.low, unit)


def _difference_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    first, second = kinds
    if (first.kind, second.kind) == ("moment", "duration"):
        return Kinded("moment", is_series=first.is_series or second.is_series)
    if first.kind != second.kind or first.kind not in {*BASE, "moment"}:
        raise MeasureError(f"{word} needs two quantities of one kind and scale, not {first.kind} and {second.kind}")
    return Kinded(_DIFFERENCE.get(first.kind, first.kind), is_series=first.is_series or second.is_series)


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
        unit = next((f.unit for f in (factor, result) if f.kind == kind and f.unit), BASE[kind])
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
    if b.low <= 0 <= b.high:
        return unknown_interval(kind, BASE[kind])
    corners = [_over(x, y) for x, y in pairs((a.low, a.high), (b.low, b.high))]
    return Interval(kind, min(corners), max(corners), BASE[kind])


def _over(a: Bound, b: Bound) -> Bound:
    if isinstance(b, float):  # a divided by something without end
        return Fraction(0) if not isinstance(a, float) else (NO_HIGH if (a > 0) == (b > 0) else NO_LOW)
    return a / b


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
    kind = _DIFFERENCE.get(series.kind, series.kind)
    if not items:
        return unknown_interval(kind, BASE[kind])
    low = max(Fraction(0), max(i.low for i in items) - min(i.high for i in items))
    high = max(i.high for i in items) - min(i.low for i in items) if series.complete else NO_HIGH
    return Interval(kind, low, high, items[0].unit)


def _spread_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    kind = _total_kind(kinds, word).kind
    return Kinded(_DIFFERENCE.get(kind, kind))


def _series(operands: tuple[Measured, ...]) -> Series:
    (series,) = operands
    if not isinstance(series, Series):
        raise TypeError("this measure works on a list of readings")
    return series


def _reduced_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    (only,) = kinds
    if not only.is_series or only.kind in WORDS or only.kind == "moisture":
        raise MeasureError(f"{word} needs a list of readings that have a quantity, on one scale")
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


# -- limits, and how many tests an area needs ------------------------------------------------------------------------


def _limit(operands: tuple[Measured, ...], _: str) -> Measured:
    """One limit as it stands, or everything from one limit to another."""
    ends = [operand for operand in operands if isinstance(operand, Interval)]
    low, high = min(end.low for end in ends), max(end.high for end in ends)
    return Interval(ends[0].kind, low, high, ends[0].unit, ends[0].written if len(ends) == 1 else "")


def _limit_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    if len({k.kind for k in kinds}) != 1 or len(kinds) > 2:
        raise MeasureError(f"{word} needs one limit, or the low and the high one of a range")
    return kinds[0]


def _tests_needed(area: Interval, first: Interval, over: Interval, then: Interval, each: Interval) -> Interval:
    if each.low <= 0:
        return unknown_interval("number")
    least = _needed(area.low, first.low, over.high, then.low, each.high)
    return Interval("number", least, _needed(area.high, first.high, over.low, then.high, each.low))


def _needed(area: Bound, first: Bound, over: Bound, then: Bound, each: Bound) -> Bound:
    """So many for the first area, and so many again for each further one or part of it."""
    further = max(Fraction(0), area - over)
    if further == 0 or then == 0:
        return first
    if isinstance(further, float):
        return NO_HIGH
    return first + then * (Fraction(0) if isinstance(each, float) else -(-further / each // 1))


def _tests_needed_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    if [k.kind for k in kinds] != ["area", "number", "area", "number", "area"] or any(k.is_series for k in kinds):
        raise MeasureError(f"{word} needs an area, a number over a first area, and a number for each further area")
    return Kinded("number")


# -- climate logs ----------------------------------------------------------------------------------------------------

LOGGED = ("temperature", "humidity")
"""What a climate log may hold."""


_UNIT_OUT = {
    **{("temperature difference", unit): unit for unit in UNITS["temperature difference"]},
    **{("degree hours", unit): f"{unit}·h" for unit in ("°C", "°F")},
}
"""The unit in which excursions are shown, by that of the band they left."""


def _logs(run: Callable[..., Interval]) -> Callable[[tuple[Operand, ...], str], Measured]:
    """Makes a measure of the evidence of one band and what comes after the band's ends."""

    def over(operands: tuple[Operand, ...], _: str) -> Measured:
        seen, low, _high, *others = operands
        found = run(seen, *others)
        unit = low.unit if isinstance(low, Interval) else ""
        return replace(found, unit=found.unit or _UNIT_OUT.get((found.kind, unit), ""))

    return over


def _band_kind(gives: str, *others: str) -> Callable[[tuple[Kinded, ...], str], Kinded]:
    def kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
        logged, *rest = kinds
        wanted = [logged.kind, logged.kind, *others]
        if [k.kind for k in rest] != wanted or any(k.is_series for k in rest):
            raise MeasureError(f"{word} of logged {logged.kind} needs {', '.join(wanted[:-1])} and {wanted[-1]}")
        return Kinded(_DIFFERENCE.get(logged.kind, logged.kind) if gives == "difference" else gives)

    return kind


def _degree_hours_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    if kinds[0].kind != "temperature":
        raise MeasureError(f"{word} needs a logged temperature")
    return _band_kind("degree hours", "moment", "moment")(kinds, word)


def _logged_at(operands: tuple[Operand, ...], _: str) -> Measured:
    logged, *_moment = operands
    if isinstance(logged, Evidence):
        raise TypeError("what was logged at a moment is a quantity")
    return logged


def _logged_at_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    logged, at = kinds
    if at.kind != "moment" or at.is_series:
        raise MeasureError(f"{word} needs one moment")
    return Kinded(logged.kind)


_BAND = ("at_least", "at_most")
_WINDOW = (*_BAND, "from", "to")

MEASURES: Mapping[str, Measure] = {
    "elapsed": Measure(("from", "to"), _elapsed_kind, _each(_elapsed)),
    "difference": Measure(("of", "less"), _difference_kind, _each(_difference)),
    "product": Measure((), _product_kind, _each(_product)),
    "ratio": Measure(("of", "to"), _ratio_kind, _each(_ratio)),
    "lowest": Measure(("of",), _reduced_kind, _extreme(min, highest=False)),
    "highest": Measure(("of",), _reduced_kind, _extreme(max, highest=True)),
    "count": Measure(("of",), _count_kind, _count),
    "total": Measure(("of",), _total_kind, _total),
    "dew_point": Measure(("temperature", "humidity"), _dew_point_kind, _each(dew_point)),
    "spread": Measure(("of",), _spread_kind, _spread),
    "limit": Measure((), _limit_kind, _limit),
    "tests_needed": Measure(("area", "first", "over", "then", "each"), _tests_needed_kind, _each(_tests_needed)),
    "held": Measure(
        (*_BAND, "until", "forgiving"), _band_kind("duration", "moment", "duration"), _logs(held), picks="logged"
    ),
    "time_in_band": Measure(_WINDOW, _band_kind("duration", "moment", "moment"), _logs(time_in_band), picks="logged"),
    "excursions": Measure(_WINDOW, _band_kind("number", "moment", "moment"), _logs(excursions), picks="logged"),
    "longest_excursion": Measure(
        _WINDOW, _band_kind("duration", "moment", "moment"), _logs(longest_excursion), picks="logged"
    ),
    "furthest_out": Measure(_WINDOW, _band_kind("difference", "moment", "moment"), _logs(furthest_out), picks="logged"),
    "degree_hours": Measure(_WINDOW, _degree_hours_kind, _logs(degree_hours), picks="logged"),
    "logged_at": Measure(("at",), _logged_at_kind, _logged_at, picks="logged"),
    "on_scale": Measure(("of",), _on_scale_kind, _on_scale, picks="scale"),
}
"""Every measure. `answer`, an answer as it stands, is the one word that is not made from others."""

SCALES = tuple(kind.removeprefix("moisture ") for kind in MOISTURE)
PICKS = {"scale": SCALES, "logged": LOGGED}
"""The words that a measure may pick by, under each part that takes one."""
