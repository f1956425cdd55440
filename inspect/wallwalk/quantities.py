"""Quantities as people write them, read into exact intervals: `72 °F`, `4 ft 6 in`, `1/16 in`, `20 to 22 °C`."""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache

from wallwalk.units import KINDS, MOISTURE, UNITS, Unit, in_unit, show_number, with_unit
from wallwalk.values import Bound, Interval

_NUMERAL = r"(?:[0-9]{1,12} )?[0-9]{1,12}/[0-9]{1,12}|[0-9]{1,15}(?:\.[0-9]{1,15})?"


def _term(spellings: Iterable[str]) -> re.Pattern[str]:
    # A spelling before any that it begins with; a hyphen may join one term to the next, as in 4'-6".
    units = "|".join(re.escape(s) for s in sorted(spellings, reverse=True))
    return re.compile(rf"\s*({_NUMERAL})\s*({units})(?:$|\s*-?\s*(?=[0-9]))")


_TERMS = {name: _term(units) for name, units in UNITS.items()}


_SIGNS = ("±", "+/-")


class UnitError(ValueError):
    """A text that is not a quantity of its kind; `instead` says what to write."""

    def __init__(self, instead: str) -> None:
        super().__init__(instead)
        self.instead = instead


@lru_cache(maxsize=4096)
def parse_quantity(text: str, kind: str, *, is_difference: bool = False) -> Interval:
    """Read `text` as a quantity of `kind` ("moisture" reads any of the three scales); a difference may be under zero.

    Forms: `A unit`, `A to B unit`, `A ± U unit`; A may be a decimal, a fraction or a mixed number, and lengths
    and durations may be compound (`4 ft 6 in`). Raises `UnitError`.
    """
    clean = " ".join(text.replace("−", "-").replace("–", "-").split())
    kinds = MOISTURE if kind == "moisture" else (kind,)
    for name in kinds:
        found = _parse(clean, name)
        if found is not None:
            low, high, unit = found
            if not is_difference:
                _check_ends(low, high, name, unit)
            return Interval(name, low, high, unit, clean)
    raise UnitError(_advice(clean, kind))


def states_uncertainty(text: str) -> bool:
    """Whether a quantity was written with an uncertainty of its own."""
    return any(sign in text for sign in _SIGNS)


def widened(value: Interval, spread: Interval) -> Interval:
    """`value` ± the most of `spread`, within the natural ends of its kind."""
    natural = KINDS[value.kind]
    low, high = max(value.low - spread.high, natural.low), min(value.high + spread.high, natural.high)
    shown = spread.written
    if spread.unit != value.unit:
        shown = with_unit(show_number(in_unit(spread.high, spread.kind, value.unit)), value.unit)
    return Interval(value.kind, low, high, value.unit, f"{value.written} ± {shown}")


def _parse(text: str, kind: str) -> tuple[Bound, Bound, str] | None:
    if len(text) > 80 or " - " in text:  # a dash between two quantities may be meant as a range or as a sum
        return None
    if " to " in text:
        first, last = text.split(" to ", 1)
        end = _parse_one(last, kind)
        start = _parse_one(first, kind) or (end and _parse_one(f"{first} {end[1]}", kind))
        if not start or not end:
            return None
        if start[0] > end[0] and kind != "adhesion":
            after = first if _parse_one(first, kind) else f"{first} {end[1]}"
            raise UnitError(f"write the smaller one first: {last} to {after}")
        return min(start[0], end[0]), max(start[0], end[0]), end[1]
    for sign in _SIGNS:
        if sign in text:
            value, spread = text.split(sign, 1)
            return _parse_uncertain(value, spread, kind)
    one = _parse_one(text, kind)
    return one and (one[0], one[0], one[1])


def _parse_uncertain(value: str, spread: str, kind: str) -> tuple[Bound, Bound, str] | None:
    half_kind = "temperature difference" if kind == "temperature" else kind
    half = _parse_one(spread, half_kind)
    middle = _parse_one(value, kind) or (half and _parse_one(f"{value} {half[1]}", kind))
    if not middle or not half or kind == "adhesion":
        return None
    if half[0] < 0:
        raise UnitError("write the uncertainty as a plain number after ±")
    natural = KINDS[kind]
    _check_ends(middle[0] + half[0], middle[0] - half[0], kind, middle[1])  # some of it must lie within
    # What is measured cannot lie past the natural ends of its kind, whatever the instrument's uncertainty.
    return max(middle[0] - half[0], natural.low), min(middle[0] + half[0], natural.high), middle[1]


def _parse_one(text: str, kind: str) -> tuple[Fraction, str] | None:
    text = text.strip()
    is_minus = text.startswith("-")
    rest = text.removeprefix("-" if is_minus else "+")
    total, shown = Fraction(0), ""
    last: Unit | None = None
    while rest:
        term = _TERMS[kind].match(rest)
        if term is None:
            return None
        unit = UNITS[kind][term[2]]
        if last is not None and not (KINDS[kind].compound and unit.scale < last.scale):
            return None
        amount = _numeral(term[1])
        if amount is None:
            return None
        total += amount * unit.scale
        shown = shown or unit.spellings[0]
        last = unit
        rest = rest[term.end() :].strip()
    return None if last is None else ((-total if is_minus else total) + last.offset, shown)


def _numeral(text: str) -> Fraction | None:
    try:
        return sum((Fraction(part) for part in text.split()), Fraction(0))
    except ZeroDivisionError:
        return None


def _check_ends(low: Bound, high: Bound, kind: str, unit: str) -> None:
    natural = KINDS[kind]
    counts_down = UNITS[kind][unit].scale < 0
    if low < natural.low:
        raise UnitError(_end_advice(natural.low, kind, unit, "less" if counts_down else "more"))
    if high > natural.high:
        raise UnitError(_end_advice(natural.high, kind, unit, "more" if counts_down else "less"))


def _end_advice(end: Bound, kind: str, unit: str, way: str) -> str:
    return f"write {with_unit(show_number(in_unit(end, kind, unit)), unit)} or {way}"


def _advice(text: str, kind: str) -> str:
    if kind == "moisture":
        if "," in text:
            return "write a number with a point and its scale, such as 12.5 %MC"
        return "write a number with its scale, such as 12.5 %MC, 14 %WME or 0.6 gypsum"
    example = KINDS[kind].example
    if "," in text:
        return f"write a number with a point, not a comma, such as {example}"
    if kind == "number":
        return f"write a plain number, such as {example}"
    if re.fullmatch(rf"[+-]?\s*(?:{_NUMERAL})", text):
        return f"write the number with its unit, such as {example}"
    return f"write a number with its unit, such as {example}"


def kind_of_unit(text: str) -> str | None:
    """The first kind (temperature before temperature difference) in which `text` is a quantity, or None."""
    for kind in KINDS:
        try:
            parse_quantity(text, kind)
        except UnitError:
            continue
        return kind
    return None


def parse_step(text: str, kind: str) -> Fraction:
    """Read `text` as a step between two quantities of `kind`, in base units. Raises `UnitError`."""
    step_kind = "temperature difference" if kind == "temperature" else kind
    step = parse_quantity(text, step_kind)
    if step.low != step.high:
        raise UnitError("write one quantity over zero")
    unit = UNITS[step_kind][step.unit]
    size = abs(Fraction(step.low) - unit.offset)  # a step has a size only: 1 ISO is as much as 1B
    if size == 0 or step.low < 0:
        raise UnitError("write one quantity over zero")
    return size
