"""Values in words, with digits enough that what is printed tells the same story as the verdict."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from zoneinfo import ZoneInfo

from wallwalk.comparisons import COMPARISONS
from wallwalk.limits import AnyLimit, Limit
from wallwalk.moments import show_moment
from wallwalk.rules import Check
from wallwalk.units import BASE, in_unit, show_number, with_unit
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval, Measured, OneOf, Series

NOT_KNOWN = "not known"
_MOST_DIGITS = 9
_SMALLER = {"ft": "in", "m": "mm"}
_WELL_UNDER = Fraction(1, 2)
_FINER = {"h": ("min", 60), "d": ("h", 24)}


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
        return _show_span(value, lambda bound: show_moment(bound, zone), ("or earlier", "or later"))
    beside = [limit for limit in limits if isinstance(limit, Limit) and limit.kind == value.kind]
    unit = beside[0].unit if beside else _fitting_unit(value)
    return _show_span(value, lambda bound: show_amount(bound, value.kind, unit, beside))


def _fitting_unit(value: Interval) -> str:
    """The unit a value came in; for lengths well under one of it, the smaller one beside it."""
    unit = value.unit or BASE[value.kind]
    ends = [abs(Fraction(in_unit(e, value.kind, unit))) for e in (value.low, value.high) if isinstance(e, Fraction)]
    small = value.kind == "length" and unit in _SMALLER and ends and max(ends) < _WELL_UNDER
    return _SMALLER[unit] if small else unit


def _show_series(series: Series, zone: ZoneInfo | None) -> str:
    shown = "; ".join(show_value(item, (), zone) for item in series.items)
    return shown or NOT_KNOWN


def _show_span(value: Interval, show: object, further: tuple[str, str] = ("or less", "or more")) -> str:
    if not callable(show):
        raise TypeError("a span is shown by a function")
    if value.low == value.high:
        return str(show(value.low))
    if value.high == NO_HIGH:
        return f"{show(value.low)} {further[1]}"
    if value.low == NO_LOW:
        return f"{show(value.high)} {further[0]}"
    return f"{show(value.low)} to {show(value.high)}"


def show_amount(bound: Bound, kind: str, unit: str, beside: Iterable[Limit] = ()) -> str:
    """A number with its unit, to as many digits as keep it on its own side of every limit beside it.

    Where no number of at most nine decimals does, it is told from that limit: `just under 24 h`.
    """
    exact = in_unit(bound, kind, unit)
    if kind == "duration" and unit in _FINER and (shown := _in_two_units(exact, unit)):
        return shown
    marks = [(in_unit(limit.amount, kind, unit), limit) for limit in beside]
    digits = 2
    while crossed := _crossed(exact, round(Fraction(exact), digits), marks):
        digits += 1
        if digits > _MOST_DIGITS:
            mark, limit = crossed
            side = "" if exact == mark else "just under " if exact < mark else "just over "
            return side + limit.written
    return with_unit(show_number(exact, digits), unit)


def _in_two_units(exact: Bound, unit: str) -> str:
    """A duration as people say it, `3 h 20 min`, where that is exact; else nothing."""
    finer, parts = _FINER[unit]
    count = Fraction(exact) * parts
    if count.denominator != 1:
        return ""
    whole, rest = divmod(abs(count.numerator), parts)
    shown = " ".join(f"{number} {name}" for number, name in ((whole, unit), (rest, finer)) if number)
    return f"{'-' if count < 0 else ''}{shown or f'0 {unit}'}"


def _crossed(exact: Bound, rounded: Bound, marks: Iterable[tuple[Bound, Limit]]) -> tuple[Bound, Limit] | None:
    """The first of `marks` that `rounded` does not stand to as `exact` does."""
    return next((m for m in marks if (exact < m[0], exact == m[0]) != (rounded < m[0], rounded == m[0])), None)


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
    ends = _ends(value)
    other = [show_amount(limit.amount, limit.kind, value.unit, ends) for limit in numbers if value.written]
    return f"{shown} ({' to '.join(other)})" if other else shown


def show_limit(limit: AnyLimit, value: Measured) -> str:
    """A limit as written; with the unit of the fact beside it in brackets where the fact is written in another."""
    if not isinstance(limit, Limit) or not isinstance(value, Interval) or not value.written:
        return limit.written
    if value.unit in {"", limit.unit} or value.kind != limit.kind:
        return limit.written
    return f"{limit.written} ({show_amount(limit.amount, limit.kind, value.unit, _ends(value))})"


def _ends(value: Interval) -> list[Limit]:
    """The ends of a fact as marks, so that a limit shown in the fact's unit keeps to its own side of them."""
    return [
        Limit(
            "",
            value.kind,
            end,
            Fraction(1),
            value.unit,
            value.written if value.low == value.high else show_amount(end, value.kind, value.unit),
            "",
        )
        for end in (value.low, value.high)
        if isinstance(end, Fraction)
    ]


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
    unit = numbers[0].unit if kind != "adhesion" else "B"
    zero = Limit("", kind, Fraction(0), Fraction(1), unit, with_unit("0", unit), "")
    shown = show_amount(least, kind, unit, [zero])
    return f"+{shown}" if least > 0 and shown[0].isdigit() else shown
