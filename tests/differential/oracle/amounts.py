"""Amounts as people write them: `72 ± 1 °F`, `4 ft 6 in`, `1/16 in`, `3B to 4B`; each in one unit of ours.

Lengths come in inches, areas in square feet, volumes in US gallons, temperatures in °F, times in hours, light in
foot-candles. An inch is 25.4 mm, a gallon 231 cubic inches, both exact.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache

from .ranges import Number, Range

_F = Fraction
_M = _F(10000, 254)  # inches in a metre
_SQUARE_M = (_M / 12) ** 2  # square feet in a square metre
_LITRE = _F(1000000, 16387064) * 1000 / 231  # US gallons in a litre: 16.387064 cm³ to the cubic inch

_LENGTH = {"in": _F(1), '"': _F(1), "ft": _F(12), "'": _F(12), "mm": _M / 1000, "cm": _M / 100, "m": _M}
_AREA = {"ft²": _F(1), "m²": _SQUARE_M}
_VOLUME = {"gal": _F(1), "qt": _F(1, 4), "L": _LITRE, "mL": _LITRE / 1000}
_TIME = {"h": _F(1), "min": _F(1, 60), "d": _F(24), "s": _F(1, 3600)}

SIZES = {
    "length": _LENGTH,
    "area": _AREA,
    "volume": _VOLUME,
    "time": _TIME,
    "spread": {"ft²/gal": _F(1), "m²/L": _SQUARE_M / _LITRE},
    "pace": {"ft²/h": _F(1), "m²/h": _SQUARE_M},
    "light": {"fc": _F(1), "lx": 1 / _SQUARE_M},
    "humidity": {"%RH": _F(1), "%": _F(1)},
    "gypsum": {"gypsum": _F(1)},
    "mc": {"%MC": _F(1)},
    "wme": {"%WME": _F(1)},
    "ph": {"pH": _F(1)},
    "degrees": {"°F": _F(1), "°C": _F(9, 5), "K": _F(9, 5)},
    "bare": {"": _F(1)},
}
TOP = {"humidity": _F(100), "ph": _F(14)}

_PART = re.compile(r"([+-]?)\s*(\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)\s*([^\d\s+±-]*)")


class NoAmountError(ValueError):
    """What stands there is no amount of that kind."""


@lru_cache(maxsize=20000)
def read_amount(text: str, kind: str) -> Range:
    """The amount that `text` is. Raises `NoAmountError`."""
    text = " ".join(text.split()).replace("+/-", "±")
    if " to " in text:
        first, last = text.split(" to ")
        unit = _unit_at_the_end(last)
        ends = (_one(first, kind, unit), _one(last, kind, unit))
        return Range(min(ends), max(ends))
    if "±" in text:
        middle, spread = text.split("±")
        unit = _unit_at_the_end(middle) or _unit_at_the_end(spread)
        around = _one(middle, kind, unit)
        off = _spread(spread, kind, unit)
        return _within(kind, around - off, around + off)
    only = _one(text, kind, "")
    return Range(only, only)


def scale_of(text: str) -> str:
    """Which of the three moisture scales a reading is on: a scale is part of the reading."""
    return next(kind for kind, sign in (("gypsum", "gypsum"), ("mc", "%MC"), ("wme", "%WME")) if text.endswith(sign))


def widened(value: Range, off: Range, kind: str) -> Range:
    """A reading give or take what its instrument may be off."""
    return _within(kind, value.low - off.high, value.high + off.high)


def _within(kind: str, low: Number, high: Number) -> Range:
    """Nothing is less than nothing, but for temperatures, and air holds no more than all its water."""
    if kind == "temperature":
        return Range(low, high)
    return Range(max(low, _F(0)), min(high, TOP.get(kind, high)))


def _unit_at_the_end(text: str) -> str:
    return re.split(r"[\d.]+", text.strip())[-1].strip() if "/" not in text else _after_the_number(text)


def _after_the_number(text: str) -> str:
    return str(_PART.findall(text)[-1][2])


def _spread(text: str, kind: str, unit: str) -> Fraction:
    own = "degrees" if kind == "temperature" else kind
    return _one(text, own, unit)


def _one(text: str, kind: str, unit: str) -> Fraction:
    """One number with its unit, or with `unit` where it has none of its own; feet and inches are added up."""
    text = text.strip()
    if kind == "class":
        return _tape_class(text, unit)
    parts = _PART.findall(text)
    if not parts or _PART.sub("", text).strip(" -"):
        raise NoAmountError(text)
    sign = -1 if parts[0][0] == "-" else 1
    if kind == "temperature":
        return _fahrenheit(sign * _number(parts[0][1]), parts[0][2] or unit)
    try:
        return sign * sum((_number(n) * SIZES[kind][u or unit] for _, n, u in parts), _F(0))
    except KeyError as error:
        raise NoAmountError(text) from error


def _number(text: str) -> Fraction:
    return sum((_F(part) for part in text.split()), _F(0))


def _fahrenheit(number: Fraction, unit: str) -> Fraction:
    if unit == "°F":
        return number
    if unit == "°C":
        return number * _F(9, 5) + 32
    raise NoAmountError(unit)


def _tape_class(text: str, unit: str) -> Fraction:
    """ISO 2409 counts damage up from 0, ASTM D3359 method B down from 5: class n of one is 5 - n of the other."""
    number = re.match(r"\d", text)
    if number is None:
        raise NoAmountError(text)
    kind = text[1:].strip() or unit
    return 5 - _F(number[0]) if kind == "ISO" else _F(number[0])
