"""Moist air: how much water it can hold, and the temperature at which that settles on a surface.

Magnus form with the coefficients of Alduchov and Eskridge, Journal of Applied Meteorology 35 (1996) 601-609, over
water: e(t) = 6.1094 hPa * exp(17.625 t / (243.04 + t)). tests/test_psychrometrics.py holds it against published
tables, two other libraries and two logs of real rooms.
"""

from __future__ import annotations

import math
from fractions import Fraction

from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval

_AT_ZERO_KPA = 0.61094
_A, _B = 17.625, 243.04
_COLDEST_C, _HOTTEST_C = Fraction(-40), Fraction(90)
_DRIEST_PERCENT = Fraction(1, 100)
_DIGITS = 3


def saturation_pressure_kpa(temperature_c: float) -> float:
    """Pressure in kPa of the water vapour that air at `temperature_c` can hold at most, over water.

    Within 0.3 % of published tables from 0 to 50 °C; above that it rises too fast, by 2 % at 90 °C (psychrolib).
    """
    return _AT_ZERO_KPA * math.exp(_exponent(temperature_c))


def dew_point_c(temperature_c: Fraction, humidity_percent: Fraction) -> Bound:
    """Dew point in °C, to a thousandth, of air at `temperature_c` (-40 to 90 °C) and relative humidity 0 to 100 %.

    NO_LOW for air without any water. Rises with both, so the ends of intervals give the ends of the dew point.
    """
    if humidity_percent <= 0:
        return NO_LOW
    exponent = math.log(float(humidity_percent) / 100) + _exponent(float(temperature_c))
    return round(Fraction(_B * exponent / (_A - exponent)), _DIGITS)


def _exponent(temperature_c: float) -> float:
    """The logarithm of saturation pressure over that at 0 °C."""
    return _A * temperature_c / (_B + temperature_c)


def dew_point(temperature: Interval, humidity: Interval) -> Interval:
    """The dew points that air of that temperature and relative humidity may have; no bound where one is unknown."""
    return Interval(
        "temperature",
        _lowest(temperature.low, humidity.low),
        _highest(temperature.high, humidity.high),
        temperature.unit,
    )


def _lowest(temperature_c: Bound, humidity_percent: Bound) -> Bound:
    if temperature_c < _COLDEST_C or humidity_percent == NO_LOW:
        return NO_LOW
    return dew_point_c(Fraction(min(temperature_c, _HOTTEST_C)), Fraction(humidity_percent))


def _highest(temperature_c: Bound, humidity_percent: Bound) -> Bound:
    if temperature_c > _HOTTEST_C:
        return NO_HIGH
    # Air never holds more than all the water it can: at an unknown humidity the dew point is at most its temperature.
    humidity = Fraction(max(min(humidity_percent, Fraction(100)), _DRIEST_PERCENT))
    return dew_point_c(Fraction(max(temperature_c, _COLDEST_C)), humidity)
