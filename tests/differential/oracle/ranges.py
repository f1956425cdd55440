"""A number that is known as well as it is: every number from `low` to `high` may be the true one."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import NamedTuple

from .truth import Truth

FAR = math.inf
Number = Fraction | float
"""A fraction, or one of the two ends that are no number."""


class Range(NamedTuple):
    """From `low` to `high`, both of them in it."""

    low: Number
    high: Number


UNKNOWN = Range(-FAR, FAR)
SOME = Range(Fraction(0), FAR)
"""A size that nobody told: nothing or more."""


def exactly(number: Fraction | int) -> Range:
    """One number."""
    return Range(Fraction(number), Fraction(number))


def is_told(value: Range) -> bool:
    """Whether anything is known at both ends."""
    return value.low > -FAR and value.high < FAR


def reaches(value: Range, least: Fraction) -> Truth:
    """Whether the value is `least` or more."""
    if value.low >= least:
        return True
    return False if value.high < least else None


def keeps_to(value: Range, most: Fraction) -> Truth:
    """Whether the value is `most` or less."""
    if value.high <= most:
        return True
    return False if value.low > most else None


def plus(one: Range, other: Range) -> Range:
    """The sum."""
    return Range(one.low + other.low, one.high + other.high)


def minus(one: Range, other: Range) -> Range:
    """The difference."""
    return Range(one.low - other.high, one.high - other.low)


def times(one: Range, other: Range) -> Range:
    """The product; nothing of an endless amount is nothing."""
    ends = [_by(a, b) for a in one for b in other]
    return Range(min(ends), max(ends))


def _by(one: Number, other: Number) -> Number:
    return Fraction(0) if 0 in (one, other) else one * other


def over(one: Range, other: Range) -> Range:
    """The quotient. By what may be nothing, nothing is told (as the program's own tests say)."""
    if other.low <= 0:
        return UNKNOWN
    return times(one, Range(_one_over(other.high), _one_over(other.low)))


def _one_over(number: Number) -> Number:
    return Fraction(0) if number == FAR else 1 / number


def together(parts: list[Range], *, all_there: bool) -> Range:
    """The sum of a list. Of one that lacks entries, or has none, nothing is known (as the program's own tests say)."""
    if not parts or not all_there:
        return UNKNOWN
    return Range(sum((p.low for p in parts), Fraction(0)), sum((p.high for p in parts), Fraction(0)))


def lowest(parts: list[Range], *, all_there: bool) -> Range:
    """The lowest: one that was left out may be lower still."""
    if not parts:
        return UNKNOWN
    return Range(min(p.low for p in parts) if all_there else -FAR, min(p.high for p in parts))


def highest(parts: list[Range], *, all_there: bool) -> Range:
    """The highest: one that was left out may be higher still."""
    if not parts:
        return UNKNOWN
    return Range(max(p.low for p in parts), max(p.high for p in parts) if all_there else FAR)
