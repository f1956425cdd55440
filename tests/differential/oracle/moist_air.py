"""Dew point, by the Magnus form over water with the constants of the WMO guide (17.62 and 243.12 °C)."""

from __future__ import annotations

import math
from fractions import Fraction

from .ranges import FAR, Number, Range

_A, _B = 17.62, 243.12


def dew_point(temperature: Range, humidity: Range) -> Range:
    """Between the driest of the coolest and the dampest of the warmest that the air may be. In °F.

    Air of which nobody read the humidity holds no more than all the water it can: its dew point is not over its own
    temperature.
    """
    humidity = Range(max(humidity.low, Fraction(0)), min(humidity.high, Fraction(100)))
    return Range(_dew(temperature.low, humidity.low, -FAR), _dew(temperature.high, humidity.high, FAR))


def _dew(fahrenheit: Number, percent: Number, otherwise: float) -> Number:
    if not math.isfinite(fahrenheit) or not math.isfinite(percent):
        return otherwise
    if percent <= 0:
        return -FAR
    celsius = float((fahrenheit - 32) / Fraction(9, 5))
    share = math.log(float(percent) / 100) + _A * celsius / (_B + celsius)
    return Fraction(_B * share / (_A - share)) * Fraction(9, 5) + 32
