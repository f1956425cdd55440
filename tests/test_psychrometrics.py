"""The dew point, held against a published table and another library, and widened honestly."""

from __future__ import annotations

import csv
import os
from fractions import Fraction
from pathlib import Path

import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wallwalk.psychrometrics import dew_point, dew_point_c
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval

F = Fraction
REFERENCE = os.environ.get("WALLWALK_REFERENCE", "")


def air(low: Bound, high: Bound | None = None) -> Interval:
    """A temperature in °C."""
    return Interval("temperature", low, low if high is None else high, "°C")


def damp(low: Bound, high: Bound | None = None) -> Interval:
    """A relative humidity in %."""
    return Interval("humidity", low, low if high is None else high, "%RH")


@pytest.mark.skipif(not REFERENCE, reason="WALLWALK_REFERENCE is not set, so the published dew points are not at hand")
def test_every_cell_of_the_published_table_is_met() -> None:
    """German dew-point table in the manner of DIN 4108, printed to 0.1 °C: all 74 cells within 0.15 °C."""
    with (Path(REFERENCE) / "dew-point.csv").open() as file:
        cells = [{k: F(v) for k, v in row.items()} for row in csv.DictReader(file)]
    off: list[tuple[F, F]] = [
        (c["temperature_c"], c["humidity_percent"])
        for c in cells
        if abs(F(dew_point_c(c["temperature_c"], c["humidity_percent"])) - c["dew_point_c"]) > F("0.15")
    ]
    assert (len(cells), off) == (74, [])


def test_another_library_agrees_within_a_tenth_of_a_degree() -> None:
    """psychrolib 2 (ASHRAE Fundamentals 2017, chapter 1), over 0 to 50 °C and 5 to 100 %, above freezing."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    compared = 0
    for t in range(51):
        for rh in range(5, 101, 5):
            theirs = psychrolib.GetTDewPointFromRelHum(t, rh / 100)
            if theirs >= 0:  # below freezing they give the frost point, over ice
                assert abs(float(dew_point_c(F(t), F(rh))) - theirs) < 0.1, (t, rh)
                compared += 1
    assert compared > 700


def test_air_that_holds_all_the_water_it_can_is_at_its_dew_point() -> None:
    """By definition; and air without water has none."""
    assert [dew_point_c(F(t), F(100)) for t in (-10, 0, 20, 35)] == [-10, 0, 20, 35]
    assert dew_point_c(F(20), F(0)) == NO_LOW


def test_an_unknown_humidity_still_bounds_the_dew_point_from_above() -> None:
    """Air never holds more than all the water it can, so the dew point is at most the temperature; nothing below."""
    found = dew_point(air(F(20)), damp(NO_LOW, NO_HIGH))
    assert (found.low, found.high) == (NO_LOW, F(20))
    assert dew_point(air(NO_LOW, NO_HIGH), damp(F(50))) == air(NO_LOW, NO_HIGH)


degrees = st.integers(-100, 200).map(lambda n: F(n, 2))
percents = st.integers(0, 200).map(lambda n: F(n, 2))


@given(t=st.tuples(degrees, degrees), rh=st.tuples(percents, percents), at=st.tuples(degrees, percents))
def test_the_interval_holds_every_dew_point_inside_it(t: tuple[F, F], rh: tuple[F, F], at: tuple[F, F]) -> None:
    """Any air within the intervals has a dew point within the interval that comes out."""
    temperature, humidity = air(min(t), max(t)), damp(min(rh), max(rh))
    inside: tuple[F, F] = min(max(at[0], min(t)), max(t)), min(max(at[1], min(rh)), max(rh))
    found = dew_point(temperature, humidity)
    if -40 <= inside[0] <= 90 and inside[1] >= F(1, 100):
        assert found.low <= dew_point_c(*inside) <= found.high
