"""The measures made with limits: a limit as it stands, tests that an area needs, a value between those of a table."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import pairwise

from wallwalk.measure import Kinded, Measure, MeasureError, Operand, each
from wallwalk.units import BASE
from wallwalk.values import NO_HIGH, Bound, Interval, Measured, unknown_interval


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


def _interpolated(operands: tuple[Operand, ...], _: str) -> Measured:
    """The value at a place between the points of a table, on the straight line from each to the next; else unknown."""
    at, *ends = (operand for operand in operands if isinstance(operand, Interval))
    points = sorted((Fraction(x.low), Fraction(y.low)) for x, y in zip(ends[::2], ends[1::2], strict=True))
    kind, unit = ends[1].kind, ends[1].unit
    if isinstance(at.low, float) or isinstance(at.high, float) or at.low < points[0][0] or at.high > points[-1][0]:
        return unknown_interval(kind, unit)
    values = [y for x, y in points if at.low <= x <= at.high]
    values += [_on_line(points, end) for end in (at.low, at.high)]
    return Interval(kind, min(values), max(values), unit)


def _on_line(points: list[tuple[Fraction, Fraction]], at: Fraction) -> Fraction:
    (x0, y0), (x1, y1) = next((a, b) for a, b in pairwise(points) if a[0] <= at <= b[0])
    return y0 + (y1 - y0) * (at - x0) / (x1 - x0) if x1 != x0 else max(y0, y1)


def _interpolated_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    at, *points = kinds
    places, values = {k.kind for k in points[::2]}, {k.kind for k in points[1::2]}
    odd = len(points) < 4 or len(points) % 2 or any(k.is_series for k in kinds) or not values <= set(BASE)
    if odd or places != {at.kind} or len(values) != 1:
        raise MeasureError(f"{word} needs a place, and then two or more pairs of a place and the value there")
    return Kinded(points[1].kind)


LIMIT_MEASURES: Mapping[str, Measure] = {
    "limit": Measure((), _limit_kind, _limit),
    "tests_needed": Measure(("area", "first", "over", "then", "each"), _tests_needed_kind, each(_tests_needed)),
    "interpolated": Measure((), _interpolated_kind, _interpolated),
}
