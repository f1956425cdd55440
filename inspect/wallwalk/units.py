"""The kinds of quantity and their units: one table in exact fractions, with no import cost.

DEVELOPERS.md says why no units library stands here; tests/test_units.py checks the table against `pint`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from wallwalk.values import Bound

F = Fraction
ZERO = Fraction(0)
INCH = F("0.0254")
FOOT = 12 * INCH
GALLON = 231 * INCH**3 * 1000  # litres: 231 cubic inches, the US gallon (NIST Handbook 44, Appendix C)


@dataclass(frozen=True, slots=True)
class Unit:
    """`base = written * scale + offset`, and the spellings that name the unit (the first is the one shown)."""

    scale: Fraction
    spellings: tuple[str, ...]
    offset: Fraction = ZERO


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of quantity: its units (the first is the base), its natural ends in base units, an example."""

    units: tuple[Unit, ...]
    example: str
    low: Bound = ZERO
    high: Bound = math.inf
    compound: bool = False


_NUMBER = (Unit(F(1), ("",)),)

KINDS: dict[str, Kind] = {
    "temperature": Kind(
        (
            Unit(F(1), ("°C", "C", "degC", "ºC")),
            Unit(F(5, 9), ("°F", "F", "degF", "ºF"), F(-160, 9)),
            Unit(F(1), ("K",), F("-273.15")),
        ),
        "72 °F or 22 °C",
        low=F("-273.15"),
    ),
    "temperature difference": Kind(
        (
            Unit(F(1), ("°C", "C", "degC", "ºC")),
            Unit(F(5, 9), ("°F", "F", "degF", "ºF")),
            Unit(F(1), ("K",)),
        ),
        "3 °C or 5.4 °F",
        low=-math.inf,
    ),
    "length": Kind(
        (
            Unit(F(1), ("m",)),
            Unit(F(1, 1000), ("mm",)),
            Unit(F(1, 100), ("cm",)),
            Unit(FOOT, ("ft", "feet", "foot", "'", "′")),
            Unit(INCH, ("in", "inch", "inches", '"', "″")),
            Unit(INCH / 1000, ("mil", "mils")),
        ),
        "1/16 in, 4 ft 6 in or 2 mm",
        compound=True,
    ),
    "area": Kind(
        (
            Unit(F(1), ("m²", "m2", "m^2", "sq m")),
            Unit(FOOT**2, ("ft²", "ft2", "ft^2", "sq ft")),
        ),
        "120 ft² or 11 m²",
    ),
    "volume": Kind(
        (
            Unit(F(1), ("L", "l")),
            Unit(F(1, 1000), ("mL", "ml")),
            Unit(GALLON, ("gal", "gallon", "gallons")),
            Unit(GALLON / 4, ("qt", "quart", "quarts")),
        ),
        "1.5 gal or 6 L",
    ),
    "duration": Kind(
        (
            Unit(F(1), ("s",)),
            Unit(F(60), ("min",)),
            Unit(F(3600), ("h", "hr", "hrs", "hour", "hours")),
            Unit(F(86400), ("d", "day", "days")),
        ),
        "24 h or 30 min",
        low=-math.inf,
        compound=True,
    ),
    "humidity": Kind((Unit(F(1), ("%RH", "% RH", "%", "%rh")),), "45 %RH", high=F(100)),
    "moisture %MC": Kind((Unit(F(1), ("%MC", "% MC")),), "9.5 %MC"),
    "moisture %WME": Kind((Unit(F(1), ("%WME", "% WME")),), "14 %WME"),
    "moisture gypsum": Kind((Unit(F(1), ("gypsum", "gypsum scale")),), "0.6 gypsum"),
    "adhesion": Kind(
        # ASTM D3359 method B counts up to 5B, ISO 2409 counts up from 0: the same six classes, the other way round.
        (Unit(F(1), ("B",)), Unit(F(-1), ("ISO",), F(5))),
        "4B or 1 ISO",
        high=F(5),
    ),
    "spread": Kind(
        (
            Unit(F(1), ("m²/L", "m2/L", "m2/l")),
            Unit(FOOT**2 / GALLON, ("ft²/gal", "ft2/gal", "sq ft/gal")),
        ),
        "300 ft²/gal or 7.4 m²/L",
    ),
    "work rate": Kind(
        (
            Unit(F(1), ("m²/s",)),
            Unit(F(1, 3600), ("m²/h", "m2/h")),
            Unit(FOOT**2 / 3600, ("ft²/h", "ft2/h", "sq ft/h")),
        ),
        "60 ft²/h or 5.5 m²/h",
    ),
    "illuminance": Kind(
        (Unit(F(1), ("lx", "lux")), Unit(1 / FOOT**2, ("fc", "footcandles"))),  # one lumen on a square foot
        "20 fc or 215 lx",
    ),
    "expansion": Kind(
        (
            Unit(F(1), ("m/m/°C",)),
            Unit(F(1, 1000), ("mm/m/°C",)),
            Unit(F(1, 10**6), ("µm/m/°C", "um/m/°C")),
            Unit(F(9, 5), ("in/in/°F",)),
        ),
        "0.07 mm/m/°C",
    ),
    "alkalinity": Kind((Unit(F(1), ("pH",)),), "8.5 pH", high=F(14)),
    "degree hours": Kind((Unit(F(1), ("°C·h",)), Unit(F(5, 9), ("°F·h",))), "4 °F·h"),
    "number": Kind(_NUMBER, "4"),
}
"""Every kind of quantity. Moments and words are kinds too, but have no units: see `moments` and `survey`."""

MOISTURE = ("moisture %MC", "moisture %WME", "moisture gypsum")
BASE = {name: kind.units[0].spellings[0] for name, kind in KINDS.items()}
UNITS = {name: {s: unit for unit in kind.units for s in unit.spellings} for name, kind in KINDS.items()}


_US = {"length": "ft", "area": "ft²", "volume": "gal", "spread": "ft²/gal", "work rate": "ft²/h"}
_US_UNITS = {"ft", "in", "mil", "ft²", "gal", "qt", "ft²/gal", "ft²/h"}


def unit_beside(kind: str, units: Iterable[str]) -> str:
    """The unit for what is worked out from amounts in `units`: of the same family as the first that has one."""
    first = next((unit for unit in units if unit), "")
    return _US[kind] if kind in _US and first in _US_UNITS else BASE.get(kind, "")


def in_unit(amount: Bound, kind: str, unit: str) -> Bound:
    """`amount` of base units, as a number of `unit`."""
    if isinstance(amount, float):
        return amount
    found = UNITS[kind][unit]
    return (amount - found.offset) / found.scale


def with_unit(number: str, unit: str) -> str:
    """A number and its unit as people write them: `24 h`, `4B`, and `3` where there is none."""
    return number + unit if unit == "B" else f"{number} {unit}".rstrip()


def show_number(amount: Bound, digits: int = 2) -> str:
    """`amount` to at most `digits` decimals, halves to even, without trailing noughts."""
    if isinstance(amount, float):
        return "no end" if amount > 0 else "no start"
    rounded = round(amount, digits)
    text = f"{rounded.numerator * 10**digits // rounded.denominator:+0{digits + 2}d}"
    whole, part = (text[:-digits], text[-digits:].rstrip("0")) if digits else (text, "")
    return (whole + ("." + part if part else "")).removeprefix("+")
