"""Values in words, with digits enough that what is printed tells the same story as the verdict."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from zoneinfo import ZoneInfo

from wallwalk.comparisons import COMPARISONS
from wallwalk.limits import AnyLimit, Limit
from wallwalk.moments import show_moment
from wallwalk.rules import Check
from wallwalk.units import BASE, in_unit, show_number
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval, Measured, OneOf, Series

NOT_KNOWN = "not known"
_MOST_DIGITS = 9


def show_value(value: Measured, limits: Iterable[AnyLimit] = (), zone: ZoneInfo | None = None) -> str:
    """A fact for people: as written where it was written, else in the unit of the limits it is compared with."""
    if isinstance(value, Series):
        return _show_series(value, zone)
    if isinstance(value, OneOf):
        return " or ".join(sorted(value.possible)) if value.possible else NOT_KNOWN
    if value.written and value.kind != "moment":
        return value.written
    if not value.is_known and value.low == NO_LOW and value.high == NO_HIGH:
        return NOT_KNOWN
    if value.kind == "moment":
        return _show_span(value, lambda bound: show_moment(bound, zone))
    beside = [limit for limit in limits if isinstance(limit, Limit) and limit.kind == value.kind]
    unit = beside[0].unit if beside else value.unit or BASE[value.kind]
    return _show_span(value, lambda bound: show_amount(bound, value.kind, unit, beside))


def _show_series(series: Series, zone: ZoneInfo | None) -> str:
    shown = "; ".join(show_value(item, (), zone) for item in series.items)
    return shown or NOT_KNOWN


def _show_span(value: Interval, show: object) -> str:
    if not callable(show):
        raise TypeError("a span is shown by a function")
    if value.low == value.high:
        return str(show(value.low))
    if value.high == NO_HIGH:
        return f"{show(value.low)} or more"
    if value.low == NO_LOW:
        return f"{show(value.high)} or less"
    return f"{show(value.low)} to {show(value.high)}"


def show_amount(bound: Bound, kind: str, unit: str, beside: Iterable[Limit] = ()) -> str:
    """A number with its unit, to as many digits as keep it on its own side of every limit beside it."""
    exact = in_unit(bound, kind, unit)
    marks = [in_unit(limit.amount, kind, unit) for limit in beside]
    digits = 2
    while digits < _MOST_DIGITS and not _same_story(exact, round(Fraction(exact), digits), marks):
        digits += 1
    number = show_number(exact, digits)
    return f"{number} {unit}".rstrip() if kind != "adhesion" else f"{number}{unit}"


def _same_story(exact: Bound, rounded: Bound, marks: Iterable[Bound]) -> bool:
    return all((exact < m, exact == m) == (rounded < m, rounded == m) for m in marks)


def show_requirement(check: Check, limits: Iterable[AnyLimit], value: Measured) -> str:
    """What a comparison asks for: `at least 24 h`; with the fact's own unit in brackets where it has another."""
    comparison = COMPARISONS[check.word]
    named = list(limits)
    if comparison.compares == "words":
        return comparison.phrase.format(", ".join(check.words) or named[0].written)
    shown = comparison.phrase.format(*(limit.written for limit in named))
    if not isinstance(value, Interval) or value.unit in {
        "",
        *(limit.unit for limit in named if isinstance(limit, Limit)),
    }:
        return shown
    numbers = [limit for limit in named if isinstance(limit, Limit)]
    other = [show_amount(limit.amount, limit.kind, value.unit) for limit in numbers if value.written]
    return f"{shown} ({' to '.join(other)})" if other else shown


def show_margin(check: Check, limits: Iterable[AnyLimit], value: Measured) -> str:
    """How far inside (+) or outside (-) its limit the nearest end of a fact lies; empty where that has no number."""
    numbers = [limit for limit in limits if isinstance(limit, Limit)]
    sides = COMPARISONS[check.word].sides
    if not isinstance(value, Interval) or len(numbers) != len(sides) or not sides:
        return ""
    room = [
        value.low - n.amount if side == "min" else n.amount - value.high for n, side in zip(numbers, sides, strict=True)
    ]
    least = min(room)
    if isinstance(least, float):
        return ""
    kind = "temperature difference" if value.kind == "temperature" else value.kind
    sign = "+" if least > 0 else ""
    zero = Limit("", kind, Fraction(0), Fraction(1), numbers[0].unit, "", "")
    return sign + show_amount(least, kind, numbers[0].unit if kind != "adhesion" else "B", [zero])
