"""Measures give what a hand would work out, and knowing less never makes one say more."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from wallwalk.climate import Band
from wallwalk.evidence import Evidence, combine, no_evidence
from wallwalk.limits import Limit
from wallwalk.log_runs import BandRuns, Stay
from wallwalk.measure import Kinded, MeasureError, Operand, blank
from wallwalk.measures import MEASURES, SCALES
from wallwalk.quantities import parse_quantity
from wallwalk.units import BASE, MOISTURE
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval, Measured, OneOf, Series, Value, unknown_interval

F = Fraction


def q(text: str, kind: str) -> Interval:
    """A quantity as written, without the words it was written in."""
    return replace(parse_quantity(text, kind), written="")


def span(kind: str, low: Bound, high: Bound, unit: str = "") -> Interval:
    """An interval in base units."""
    return Interval(kind, low, high, unit)


def listed(*items: Value, complete: bool = True, most: int | None = None) -> Series:
    """A series, complete unless told otherwise."""
    return Series(items[0].kind if items and isinstance(items[0], Interval) else "", items, complete, most)


def measured(word: str, *operands: Operand, scale: str = "") -> Measured:
    """What the measure called `word` makes of its operands."""
    return MEASURES[word].run(operands, scale)


def ends(value: Measured) -> tuple[str, Bound, Bound]:
    """Kind and ends of an interval."""
    assert isinstance(value, Interval)
    return value.kind, value.low, value.high


# -- every word, by hand --------------------------------------------------------------------------------------------

HOUR = F(3600)
EARLY = span("moment", F(0), HOUR)  # some moment of the first hour
LATE = span("moment", 24 * HOUR, 24 * HOUR)
WET = q("12.5 %MC", "moisture %MC")
DAMP = q("14 %WME", "moisture %WME")

# 3 for the first 1000 ft² and 1 for each further 1000 ft² or part (ASTM F2170, trade.md).
COUNTED_BY_F2170 = (q("3", "number"), q("1000 ft²", "area"), q("1", "number"), q("1000 ft²", "area"))
F2170 = [
    ("0 ft²", 3, 3), ("1 ft²", 3, 3), ("1000 ft²", 3, 3), ("1000.01 ft²", 4, 4), ("2000 ft²", 4, 4),
    ("2000.01 ft²", 5, 5), ("10000 ft²", 12, 12), ("999 to 1001 ft²", 3, 4), ("92.90304 m²", 3, 3), ("93 m²", 4, 4),
]  # fmt: skip
# 2 for each 500 ft² or part (ASTM D4262, trade.md): 2 over the first 500 ft², and 2 for each further 500 ft² or part.
COUNTED_BY_D4262 = (q("2", "number"), q("500 ft²", "area"), q("2", "number"), q("500 ft²", "area"))
D4262 = [
    ("1 ft²", 2, 2), ("500 ft²", 2, 2), ("500.5 ft²", 4, 4), ("1000 ft²", 4, 4), ("1001 ft²", 6, 6),
    ("499 to 1100 ft²", 2, 6),
]  # fmt: skip


def counted(*parts: str) -> tuple[Interval, ...]:
    """Areas, and numbers without a unit."""
    return tuple(q(part, "area" if part.endswith("m²") else "number") for part in parts)


THREE = listed(*(q(f"{t} °F", "temperature") for t in ("61", "70 to 72", "68")))


def logged(*rows: str | None, until: int | None = None, kind: str = "temperature", spread: str = "0") -> Evidence:
    """What an hourly log shows of the band of 20 to 30 °C, or 20 to 30 %RH, its first row at the first second.

    A row may be missing. The log stood there until that hour, or until its last row.
    """
    band = Band(kind, F(20), F(30), guarded=True)
    last = (len(rows) - 1 if until is None else until) * HOUR
    runs = BandRuns(
        band, lambda cell: (F(cell) - F(spread), F(cell) + F(spread)), Stay(at(0), span("moment", last, last), HOUR)
    )
    for hour, row in enumerate(rows):
        if row is not None:
            runs.add(hour * HOUR, row)
    return combine(kind, [runs.finish()], complete=True)


def at(hour: float, latest: float | None = None) -> Interval:
    """A moment, in hours from the first second, or any from one to another."""
    return span("moment", F(hour) * HOUR, F(hour if latest is None else latest) * HOUR)


BANDS = {
    "temperature": (q("20 °C", "temperature"), q("30 °C", "temperature")),
    "humidity": (q("20 %RH", "humidity"), q("30 %RH", "humidity")),
}
BAND_ENDS = BANDS["temperature"]
BAND_IN_F = (q("68 °F", "temperature"), q("86 °F", "temperature"))  # the same
# Twelve hours: inside, but for two rows below, of 18 and 15 °C, and one above, of 31 °C.
DAY = logged("22", "22", "22", "18", "15", "22", "22", "22", "31", "22", "22", "22", "22")
# The same with the row of 6 h missing, so that nothing is known from 5 h to 7 h.
HOLED = logged("22", "22", "22", "18", "15", "22", None, "22", "31", "22", "22", "22", "22")

BY_HAND: list[tuple[str, tuple[Operand, ...], tuple[str, Bound, Bound]]] = [
    # 24 h after a moment within 0 to 1 h is 23 to 24 h later; the other way round it is 24 to 23 h before.
    ("elapsed", (EARLY, LATE), ("duration", 23 * HOUR, 24 * HOUR)),
    ("elapsed", (LATE, EARLY), ("duration", -24 * HOUR, -23 * HOUR)),
    ("elapsed", (unknown_interval("moment"), LATE), ("duration", NO_LOW, NO_HIGH)),
    # 22 °C less 19 °C is a difference of 3 °C; 20..22 less 18..19 is 1..4.
    ("difference", (q("22 °C", "temperature"), q("19 °C", "temperature")), ("temperature difference", F(3), F(3))),
    (
        "difference",
        (q("20 to 22 °C", "temperature"), q("18 to 19 °C", "temperature")),
        ("temperature difference", F(1), F(4)),
    ),
    ("difference", (q("72 °F", "temperature"), q("63 °F", "temperature")), ("temperature difference", F(5), F(5))),
    ("difference", (q("5 ft", "length"), q("8 in", "length")), ("length", F("1.3208"), F("1.3208"))),
    ("difference", (q("3", "number"), q("5", "number")), ("number", F(-2), F(-2))),
    ("difference", (LATE, EARLY), ("duration", 23 * HOUR, 24 * HOUR)),
    # 12 ft by 10 ft is 120 ft²: 120 × 0.09290304 m² (1 ft² exactly, from 0.3048²).
    ("product", (q("12 ft", "length"), q("10 ft", "length")), ("area", F("11.1483648"), F("11.1483648"))),
    ("product", (q("3 to 4 m", "length"), q("2 m", "length")), ("area", F(6), F(8))),
    ("product", (q("7.5 m²/L", "spread"), q("2 L", "volume")), ("area", F(15), F(15))),
    ("product", (q("2 L", "volume"), q("7.5 m²/L", "spread")), ("area", F(15), F(15))),
    ("product", (q("2", "number"), q("3 m", "length"), q("4 m", "length")), ("area", F(24), F(24))),
    ("product", (span("number", F(-2), F(3)), span("number", F(-5), F(4))), ("number", F(-15), F(12))),
    ("product", (span("number", F(0), F(0)), unknown_interval("number")), ("number", F(0), F(0))),
    ("product", (span("number", F(2), F(3)), span("number", F(1), NO_HIGH)), ("number", F(2), NO_HIGH)),
    # 600 ft² on 2 gal is 300 ft²/gal.
    ("ratio", (q("600 ft²", "area"), q("2 gal", "volume")), ends(q("300 ft²/gal", "spread"))),
    ("ratio", (q("600 ft²", "area"), q("300 ft²/gal", "spread")), ends(q("2 gal", "volume"))),
    ("ratio", (q("12 m²", "area"), q("4 m", "length")), ("length", F(3), F(3))),
    ("ratio", (q("1 h", "duration"), q("20 min", "duration")), ("number", F(3), F(3))),
    ("ratio", (q("10 to 12 m", "length"), q("2 to 4", "number")), ("length", F(5, 2), F(6))),
    ("ratio", (span("number", F(-6), F(4)), span("number", F(-2), F(-1))), ("number", F(-4), F(6))),
    ("ratio", (q("6", "number"), q("0 to 2", "number")), ("number", NO_LOW, NO_HIGH)),
    ("ratio", (q("6", "number"), q("0", "number")), ("number", NO_LOW, NO_HIGH)),
    ("ratio", (q("6", "number"), span("number", F(2), NO_HIGH)), ("number", F(0), F(3))),
    ("ratio", (span("number", F(6), NO_HIGH), span("number", F(2), NO_HIGH)), ("number", F(0), NO_HIGH)),
    # Of 61 °F, 70..72 °F and 68 °F the lowest is 61 °F and the highest somewhere in 70..72 °F.
    ("lowest", (THREE,), ends(q("61 °F", "temperature"))),
    ("highest", (THREE,), ends(q("70 to 72 °F", "temperature"))),
    ("lowest", (listed(q("2 to 5", "number"), q("3 to 4", "number")),), ("number", F(2), F(4))),
    ("highest", (listed(q("2 to 5", "number"), q("3 to 4", "number")),), ("number", F(3), F(5))),
    # A reading not listed may be lower, or higher, than all that are.
    ("lowest", (listed(q("3", "number"), q("4", "number"), complete=False),), ("number", NO_LOW, F(3))),
    ("highest", (listed(q("3", "number"), q("4", "number"), complete=False),), ("number", F(4), NO_HIGH)),
    # Nothing listed says nothing, also where the list is complete.
    ("lowest", (Series("number", (), complete=True),), ("number", NO_LOW, NO_HIGH)),
    ("highest", (Series("number", (), complete=True),), ("number", NO_LOW, NO_HIGH)),
    ("count", (listed(q("3", "number"), q("4", "number")),), ("number", F(2), F(2))),
    ("count", (listed(OneOf(None), OneOf(None), OneOf(None)),), ("number", F(3), F(3))),
    ("count", (listed(q("3", "number"), complete=False, most=5),), ("number", F(1), F(5))),
    ("count", (listed(q("3", "number"), complete=False),), ("number", F(1), NO_HIGH)),
    ("count", (Series("number", (), complete=True),), ("number", F(0), F(0))),
    ("total", (listed(q("2 to 3 gal", "volume"), q("1 gal", "volume")),), ends(q("3 to 4 gal", "volume"))),
    ("total", (listed(q("2 L", "volume"), unknown_interval("volume")),), ("volume", NO_LOW, NO_HIGH)),
    ("total", (listed(q("2 L", "volume"), complete=False, most=2),), ("volume", NO_LOW, NO_HIGH)),
    ("total", (Series("volume", (), complete=True),), ("volume", NO_LOW, NO_HIGH)),
    # A moment less a duration is an earlier moment: 24 h less 1 to 2 h is 22 to 23 h.
    ("difference", (LATE, q("1 to 2 h", "duration")), ("moment", 22 * HOUR, 23 * HOUR)),
    ("difference", (EARLY, q("1 h", "duration")), ("moment", -HOUR, F(0))),
    ("difference", (unknown_interval("moment"), q("1 h", "duration")), ("moment", NO_LOW, NO_HIGH)),
    # Of 61 °F, 70..72 °F and 68 °F the highest is 9 to 11 °F over the lowest.
    ("spread", (THREE,), ends(q("9 to 11 °F", "temperature difference"))),
    ("spread", (listed(q("3", "number")),), ("number", F(0), F(0))),
    ("spread", (listed(q("2 to 5", "number"), q("3 to 4", "number")),), ("number", F(0), F(3))),
    # A reading not listed can only be further out; nothing listed says nothing.
    ("spread", (listed(q("3", "number"), q("8", "number"), complete=False),), ("number", F(5), NO_HIGH)),
    ("spread", (listed(q("3", "number"), unknown_interval("number")),), ("number", F(0), NO_HIGH)),
    ("spread", (Series("temperature", (), complete=True),), ("temperature difference", NO_LOW, NO_HIGH)),
    ("spread", (listed(EARLY, LATE),), ("duration", 23 * HOUR, 24 * HOUR)),
    # One limit as it stands, or all from one to the other, whichever comes first.
    ("limit", (q("60 °F", "temperature"),), ends(q("60 °F", "temperature"))),
    ("limit", (q("60 °F", "temperature"), q("80 °F", "temperature")), ends(q("60 to 80 °F", "temperature"))),
    ("limit", (q("4 h", "duration"), q("-4 h", "duration")), ("duration", -4 * HOUR, 4 * HOUR)),
    *(("tests_needed", (q(area, "area"), *COUNTED_BY_F2170), ("number", F(low), F(high))) for area, low, high in F2170),
    *(("tests_needed", (q(area, "area"), *COUNTED_BY_D4262), ("number", F(low), F(high))) for area, low, high in D4262),
    ("tests_needed", (unknown_interval("area"), *COUNTED_BY_F2170), ("number", F(3), NO_HIGH)),
    ("tests_needed", (span("area", F(0), NO_HIGH), *COUNTED_BY_D4262), ("number", F(2), NO_HIGH)),
    # 12 m² with 3 for the first 10 m² and one for each further 0.5 m²: 4 more; of 11 m², one for the square metre over.
    ("tests_needed", counted("12 m²", "3", "10 m²", "1", "0.5 m²"), ("number", F(7), F(7))),
    ("tests_needed", counted("11 m²", "3", "10 m²", "1", "5 m²"), ("number", F(4), F(4))),
    # Where no further area needs any, it is 3 of whatever area; of further areas that may be of no size, nobody knows.
    ("tests_needed", (unknown_interval("area"), *counted("3", "10 m²", "0", "5 m²")), ("number", F(3), F(3))),
    ("tests_needed", counted("12 m²", "3", "10 m²", "1", "0 to 5 m²"), ("number", NO_LOW, NO_HIGH)),
    # The air left the band after the row of 2 h and was back in it by that of 5 h (3 h), and from 7 h to 9 h (2 h).
    ("held", (DAY, *BAND_ENDS, at(12), q("0 h", "duration")), ("duration", 3 * HOUR, 4 * HOUR)),
    ("held", (DAY, *BAND_ENDS, at(12), q("1 h", "duration")), ("duration", 3 * HOUR, NO_HIGH)),
    ("held", (DAY, *BAND_ENDS, at(12), q("2 h", "duration")), ("duration", 7 * HOUR, NO_HIGH)),
    ("held", (DAY, *BAND_ENDS, at(12), q("5 h", "duration")), ("duration", 12 * HOUR, NO_HIGH)),
    ("held", (DAY, *BAND_ENDS, at(13), q("0 h", "duration")), ("duration", F(0), 5 * HOUR)),
    ("held", (DAY, *BAND_ENDS, at(4), q("0 h", "duration")), ("duration", F(0), F(0))),
    ("held", (HOLED, *BAND_ENDS, at(7), q("1 h", "duration")), ("duration", F(0), NO_HIGH)),
    ("held", (DAY, *BAND_ENDS, unknown_interval("moment"), q("0 h", "duration")), ("duration", NO_LOW, NO_HIGH)),
    ("held", (no_evidence("temperature"), *BAND_ENDS, at(12), q("1 h", "duration")), ("duration", F(0), NO_HIGH)),
    # Rows in the band one beside the other: 0 to 2 h, 5 to 7 h, 9 to 12 h, 7 h in all; surely out from 3 to 4 h.
    ("time_in_band", (DAY, *BAND_ENDS, at(0), at(12)), ("duration", 7 * HOUR, 11 * HOUR)),
    ("time_in_band", (HOLED, *BAND_ENDS, at(0), at(12)), ("duration", 5 * HOUR, 11 * HOUR)),
    ("time_in_band", (DAY, *BAND_ENDS, at(0, 1), at(11, 12)), ("duration", 5 * HOUR, 11 * HOUR)),
    ("time_in_band", (DAY, *BAND_ENDS, at(0), unknown_interval("moment")), ("duration", F(0), NO_HIGH)),
    ("excursions", (DAY, *BAND_ENDS, at(0), at(12)), ("number", F(2), F(2))),
    ("excursions", (HOLED, *BAND_ENDS, at(0), at(12)), ("number", F(2), NO_HIGH)),
    ("excursions", (DAY, *BAND_ENDS, at(5), at(7)), ("number", F(0), F(0))),
    ("excursions", (DAY, *BAND_ENDS, at(0), at(5, 12)), ("number", F(1), F(2))),
    ("excursions", (DAY, *BAND_ENDS, at(0), at(13)), ("number", F(2), NO_HIGH)),
    # The longest is surely the hour from 3 to 4 h, and at most the three from 2 to 5 h.
    ("longest_excursion", (DAY, *BAND_ENDS, at(0), at(12)), ("duration", HOUR, 3 * HOUR)),
    ("longest_excursion", (DAY, *BAND_ENDS, at(5), at(12)), ("duration", F(0), 2 * HOUR)),
    # The row of 5 h was in the band, on its own: no time out of it goes on over it.
    ("longest_excursion", (HOLED, *BAND_ENDS, at(4), at(12)), ("duration", F(0), 2 * HOUR)),
    # 15 °C is 5 °C under the band, 31 °C is 1 °C over it.
    ("furthest_out", (DAY, *BAND_ENDS, at(0), at(12)), ("temperature difference", F(5), F(5))),
    ("furthest_out", (DAY, *BAND_ENDS, at(6), at(12)), ("temperature difference", F(1), F(1))),
    ("furthest_out", (HOLED, *BAND_ENDS, at(0), at(12)), ("temperature difference", F(5), NO_HIGH)),
    (
        "furthest_out",
        (logged("22", "33", "22", spread="1"), *BAND_ENDS, at(0), at(2)),
        ("temperature difference", F(2), F(4)),
    ),
    (
        "furthest_out",
        (logged("22", "33", "22", kind="humidity"), *BANDS["humidity"], at(0), at(2)),
        ("humidity", F(3), F(3)),
    ),
    # Surely 2 °C for the hour from 3 to 4 h. At most 2 °C over the hour before it, 5 °C over it and the hour after it,
    # and 1 °C over the hour before and the hour after 8 h: 2 + 5 + 5 + 1 + 1 = 14.
    ("degree_hours", (DAY, *BAND_ENDS, at(0), at(12)), ("degree hours", F(2), F(14))),
    ("degree_hours", (DAY, *BAND_ENDS, at(6), at(12)), ("degree hours", F(0), F(2))),
    ("degree_hours", (HOLED, *BAND_ENDS, at(0), at(12)), ("degree hours", F(2), NO_HIGH)),
    ("degree_hours", (logged("22", "22"), *BAND_ENDS, at(0), at(1)), ("degree hours", F(0), F(0))),
    # What was logged at a moment is looked up before; the measure gives it as it is.
    ("logged_at", (q("18 to 19 °C", "temperature"), at(3)), ends(q("18 to 19 °C", "temperature"))),
]


@pytest.mark.parametrize(("word", "operands", "expected"), BY_HAND)
def test_values_worked_by_hand(word: str, operands: tuple[Operand, ...], expected: tuple[str, Bound, Bound]) -> None:
    """Each measure on exact inputs, ranges, and what is not known; expected values worked by hand."""
    assert ends(measured(word, *operands)) == expected


@pytest.mark.parametrize(
    ("word", "expected"),
    [("furthest_out", ("temperature difference", F(1), F(1))), ("degree_hours", ("degree hours", F(0), F(2)))],
)
def test_an_excursion_that_comes_after_is_none_of_the_time_asked_about(
    word: str, expected: tuple[str, Bound, Bound]
) -> None:
    """Out by 1 °C at 1 h, in the band at 2 h, out by 5 °C at 3 h: asked up to 1 h, only the first reaches in."""
    seen = logged("22", "19", "22", "15", "22")
    assert ends(measured(word, seen, *BAND_ENDS, at(0), at(1))) == expected


OF_MATERIALS = {"notch_film", "spread_rate", "joints", "sheets_needed", "pieces_needed", "interpolated"}
"""Worked out, with their kinds, in test_material_measures."""


def test_every_word_is_worked_by_hand() -> None:
    """No measure is without a value above (a reading's scale is tested below, dew points in test_psychrometrics)."""
    assert {word for word, _, _ in BY_HAND} | {"on_scale", "dew_point"} | OF_MATERIALS == set(MEASURES)


def test_a_reading_on_another_scale_says_nothing_on_this_one() -> None:
    """14 %WME is no %MC at all (trade.md: never compare across scales), and does not shorten the list."""
    assert measured("on_scale", WET, scale="%MC") == WET
    assert measured("on_scale", DAMP, scale="%MC") == unknown_interval("moisture %MC", "%MC")
    series = Series("moisture", (WET, DAMP), complete=False, most=3)
    assert measured("on_scale", series, scale="%WME") == Series(
        "moisture %WME", (unknown_interval("moisture %WME", "%WME"), DAMP), complete=False, most=3
    )


def test_a_list_is_measured_entry_by_entry() -> None:
    """Surface less dew point for each reading, then the lowest of them: 20-17=3 and 19-17=2, so 2 (by hand)."""
    surface = listed(q("20 °C", "temperature"), q("19 °C", "temperature"), complete=False, most=4)
    margin = measured("difference", surface, q("17 °C", "temperature"))
    assert margin == Series(
        "temperature difference",
        (Interval("temperature difference", F(3), F(3), "°C"), Interval("temperature difference", F(2), F(2), "°C")),
        complete=False,
        most=4,
    )
    assert ends(measured("lowest", margin)) == ("temperature difference", NO_LOW, F(2))


def test_the_reading_that_decides_is_shown_as_it_was_written() -> None:
    """The lowest of a list keeps the words and the unit of the reading that it is."""
    cold, warm = parse_quantity("61 °F", "temperature"), parse_quantity("20 °C", "temperature")
    assert measured("lowest", listed(warm, cold)) == cold
    assert measured("highest", listed(cold, warm)) == warm


FEET, METRES = q("2 ft", "length"), q("1 m", "length")
SHOWN: list[tuple[str, tuple[Operand, ...], Interval]] = [
    # A fact is shown in the unit of the first reading, or of the reading that it is; where there is none, in the base.
    ("total", (listed(FEET, METRES),), Interval("length", F("1.6096"), F("1.6096"), "ft")),
    ("total", (listed(FEET, METRES, complete=False),), Interval("length", NO_LOW, NO_HIGH, "m")),
    ("total", (Series("length", (), complete=True),), Interval("length", NO_LOW, NO_HIGH, "m")),
    ("spread", (listed(FEET, METRES),), Interval("length", F("0.3904"), F("0.3904"), "ft")),
    ("spread", (Series("temperature", (), complete=True),), Interval("temperature difference", NO_LOW, NO_HIGH, "°C")),
    ("lowest", (Series("length", (), complete=True),), Interval("length", NO_LOW, NO_HIGH, "m")),
    ("highest", (Series("moment", (), complete=True),), Interval("moment", NO_LOW, NO_HIGH, "")),
    ("highest", (listed(FEET, METRES),), METRES),
    ("highest", (listed(METRES, FEET, complete=False),), Interval("length", F(1), NO_HIGH, "m")),
    ("lowest", (listed(METRES, FEET, complete=False),), Interval("length", NO_LOW, F("0.6096"), "m")),
    ("lowest", (listed(METRES, FEET),), FEET),
    ("elapsed", (EARLY, LATE), Interval("duration", 23 * HOUR, 24 * HOUR, "h")),
    ("difference", (FEET, METRES), Interval("length", F("-0.3904"), F("-0.3904"), "ft")),
    ("product", (FEET, METRES), Interval("area", F("0.6096"), F("0.6096"), "ft²")),
    ("ratio", (METRES, q("2", "number")), Interval("length", F("0.5"), F("0.5"), "m")),
    ("product", (q("2", "number"), q("3 in", "length")), Interval("length", F("0.1524"), F("0.1524"), "in")),
    ("product", (q("3 in", "length"), q("2", "number")), Interval("length", F("0.1524"), F("0.1524"), "in")),
    ("ratio", (METRES, q("0 to 2", "number")), Interval("length", NO_LOW, NO_HIGH, "m")),
    # What no table knows, and no rule set may ask for, has no kind (a volume is kept in litres).
    ("product", (METRES, q("1 L", "volume")), Interval("", F(1), F(1), "")),
    ("ratio", (METRES, q("2 m²", "area")), Interval("", F("0.5"), F("0.5"), "")),
    # Further areas of 1 m² or anything over it: 2 more for the 2 m² over, or none where they have no end.
    (
        "tests_needed",
        (*counted("12 m²", "3", "10 m²", "1"), span("area", F(1), NO_HIGH)),
        Interval("number", F(3), F(5), ""),
    ),
    # What logs show: hours; out of a band in °F, so many °F, or °F·h; of a humidity, in what it is kept in.
    ("held", (DAY, *BAND_IN_F, at(12), q("0 h", "duration")), Interval("duration", 3 * HOUR, 4 * HOUR, "h")),
    ("time_in_band", (DAY, *BAND_IN_F, at(0), at(12)), Interval("duration", 7 * HOUR, 11 * HOUR, "h")),
    ("longest_excursion", (DAY, *BAND_IN_F, at(0), at(12)), Interval("duration", HOUR, 3 * HOUR, "h")),
    ("excursions", (DAY, *BAND_IN_F, at(0), at(12)), Interval("number", F(2), F(2), "")),
    ("furthest_out", (DAY, *BAND_IN_F, at(0), at(12)), Interval("temperature difference", F(5), F(5), "°F")),
    ("furthest_out", (DAY, *BAND_ENDS, at(0), at(12)), Interval("temperature difference", F(5), F(5), "°C")),
    ("degree_hours", (DAY, *BAND_IN_F, at(0), at(12)), Interval("degree hours", F(2), F(14), "°F·h")),
    ("degree_hours", (DAY, *BAND_ENDS, at(0), at(12)), Interval("degree hours", F(2), F(14), "°C·h")),
    (
        "furthest_out",
        (logged("22", "33", "22", kind="humidity"), *BANDS["humidity"], at(0), at(2)),
        Interval("humidity", F(3), F(3), ""),
    ),
    # Without end by without end: as little as one likes, or as much.
    ("ratio", (span("area", F(1), NO_HIGH), span("length", F(1), NO_HIGH)), Interval("length", F(0), NO_HIGH, "m")),
    ("ratio", (span("area", F(1), NO_HIGH), span("length", NO_LOW, F(-1))), Interval("length", NO_LOW, F(0), "m")),
]


@pytest.mark.parametrize(("word", "operands", "whole"), SHOWN)
def test_a_fact_has_its_unit_too(word: str, operands: tuple[Operand, ...], whole: Interval) -> None:
    """Kind, both ends, unit and words, worked by hand: 1 ft is 0.3048 m. An end is exact, or there is none."""
    found = measured(word, *operands)
    assert found == whole
    assert isinstance(found, Interval)
    assert [end for end in (found.low, found.high) if not isinstance(end, Fraction) and not math.isinf(end)] == []


def test_a_limit_as_a_fact_is_what_was_written() -> None:
    """Amount, unit and words of the limit; a range from one to another has the words of neither."""
    low = Limit("low", "temperature", F(20), F(1), "°C", "20 °C", "common practice")
    high = Limit("high", "temperature", F(30), F(1), "°C", "30 °C", "common practice")
    assert low.value == Interval("temperature", F(20), F(20), "°C", "20 °C")
    assert measured("limit", low.value) == low.value
    assert measured("limit", low.value, high.value) == Interval("temperature", F(20), F(30), "°C", "")


def test_of_a_kind_alone_nothing_is_known() -> None:
    """Any word, or no end on either side, in the unit that the kind is kept in."""
    assert blank(Kinded("truth")) == OneOf(None)
    assert blank(Kinded("length")) == Interval("length", NO_LOW, NO_HIGH, "m", "")
    assert blank(Kinded("moment")) == Interval("moment", NO_LOW, NO_HIGH, "", "")


def test_lists_are_measured_entry_by_entry_only_where_they_are_as_long() -> None:
    """Of no entries nothing comes, of one entry one; two lists that differ in length are no pairs."""
    none, one = Series("length", (), complete=True), listed(METRES)
    assert measured("difference", none, FEET) == Series("", (), complete=True)
    assert measured("difference", one, METRES) == listed(Interval("length", F(0), F(0), "m"))
    with pytest.raises(ValueError, match="shorter"):
        measured("difference", listed(METRES, METRES), one)


def test_a_reading_between_others_keeps_its_own_words_only_where_it_is_the_extreme() -> None:
    """61 to 70 °F and 65 °F: the lowest is somewhere from 61 to 65 °F, which nobody wrote."""
    wide, sure = parse_quantity("61 to 70 °F", "temperature"), parse_quantity("65 °F", "temperature")
    lowest = measured("lowest", listed(sure, wide))
    assert lowest == Interval("temperature", wide.low, sure.high, "°F", "")


@pytest.mark.parametrize(
    ("word", "operands"),
    [(word, (q("3", "number"),)) for word in ("lowest", "highest", "count", "total")],
)
def test_what_needs_a_list_never_takes_one_value_for_one(word: str, operands: tuple[Measured, ...]) -> None:
    """One value is not a complete list of one."""
    with pytest.raises(TypeError, match=r"^this measure works on a list of readings$"):
        measured(word, *operands)


def test_what_was_logged_at_a_moment_is_a_quantity_and_no_evidence() -> None:
    """A band's evidence in its place is a fault of the program, and says so."""
    with pytest.raises(TypeError, match=r"^what was logged at a moment is a quantity$"):
        measured("logged_at", DAY, at(3))


# -- what a rule set may write --------------------------------------------------------------------------------------


TWO_ALIKE = "needs two quantities of one kind and scale, not"
ONE_OR_TWO = "needs one limit, or the low and the high one of a range"
NEEDED = "needs an area, a number over a first area, and a number for each further area"
ONE = "needs a list of readings, and this is one; write answer: for one as it stands"
OF_WORDS = "needs a list of quantities, not of words"


def kinds(*names: str, series: bool = False) -> tuple[Kinded, ...]:
    """Operands known by their kind alone."""
    return tuple(Kinded(name, is_series=series) for name in names)


FORETOLD: list[tuple[str, tuple[Kinded, ...], Kinded]] = [
    ("elapsed", kinds("moment", "moment"), Kinded("duration")),
    ("difference", kinds("moment", "moment"), Kinded("duration")),
    (
        "difference",
        kinds("temperature", "temperature", series=True),
        Kinded("temperature difference", is_series=True),
    ),
    ("difference", kinds("moisture %MC", "moisture %MC"), Kinded("moisture %MC")),
    ("difference", kinds("moment", "duration", series=True), Kinded("moment", is_series=True)),
    ("difference", (Kinded("moment", is_series=True), Kinded("duration")), Kinded("moment", is_series=True)),
    ("difference", (Kinded("moment"), Kinded("duration", is_series=True)), Kinded("moment", is_series=True)),
    ("difference", (Kinded("length", is_series=True), Kinded("length")), Kinded("length", is_series=True)),
    ("difference", (Kinded("length"), Kinded("length", is_series=True)), Kinded("length", is_series=True)),
    ("elapsed", (Kinded("moment", is_series=True), Kinded("moment")), Kinded("duration", is_series=True)),
    ("elapsed", (Kinded("moment"), Kinded("moment", is_series=True)), Kinded("duration", is_series=True)),
    ("product", (Kinded("length"), Kinded("length", is_series=True)), Kinded("area", is_series=True)),
    ("ratio", (Kinded("area"), Kinded("length", is_series=True)), Kinded("length", is_series=True)),
    ("dew_point", kinds("temperature", "humidity"), Kinded("temperature")),
    ("dew_point", (Kinded("temperature"), Kinded("humidity", is_series=True)), Kinded("temperature", is_series=True)),
    ("product", kinds("number", "length", "length"), Kinded("area")),
    ("product", kinds("spread", "volume"), Kinded("area")),
    ("ratio", kinds("area", "volume"), Kinded("spread")),
    ("ratio", kinds("area", "area"), Kinded("number")),
    ("lowest", kinds("moment", series=True), Kinded("moment")),
    ("total", kinds("volume", series=True), Kinded("volume")),
    ("count", kinds("text", series=True), Kinded("number")),
    ("on_scale", kinds("moisture", series=True), Kinded("", is_series=True)),
    ("difference", kinds("moment", "duration"), Kinded("moment")),
    ("product", kinds("expansion", "temperature difference", "length"), Kinded("length")),
    ("spread", kinds("temperature", series=True), Kinded("temperature difference")),
    ("spread", kinds("length", series=True), Kinded("length")),
    ("limit", kinds("temperature"), Kinded("temperature")),
    ("limit", kinds("humidity", "humidity"), Kinded("humidity")),
    ("tests_needed", kinds("area", "number", "area", "number", "area"), Kinded("number")),
    ("held", kinds("temperature", "temperature", "temperature", "moment", "duration"), Kinded("duration")),
    ("held", kinds("humidity", "humidity", "humidity", "moment", "duration"), Kinded("duration")),
    ("time_in_band", kinds("humidity", "humidity", "humidity", "moment", "moment"), Kinded("duration")),
    ("excursions", kinds("temperature", "temperature", "temperature", "moment", "moment"), Kinded("number")),
    ("longest_excursion", kinds("humidity", "humidity", "humidity", "moment", "moment"), Kinded("duration")),
    (
        "furthest_out",
        kinds("temperature", "temperature", "temperature", "moment", "moment"),
        Kinded("temperature difference"),
    ),
    ("furthest_out", kinds("humidity", "humidity", "humidity", "moment", "moment"), Kinded("humidity")),
    (
        "degree_hours",
        kinds("temperature", "temperature", "temperature", "moment", "moment"),
        Kinded("degree hours"),
    ),
    ("logged_at", kinds("humidity", "moment"), Kinded("humidity")),
]


@pytest.mark.parametrize(("word", "operands", "gives"), FORETOLD)
def test_kinds_are_known_before_any_survey_is_read(word: str, operands: tuple[Kinded, ...], gives: Kinded) -> None:
    """The kind of a fact follows from the kinds it is made of."""
    assert MEASURES[word].kind(operands, word) == gives


@pytest.mark.parametrize(
    ("word", "operands", "message"),
    [
        ("elapsed", kinds("moment", "duration"), "elapsed needs two moments, not moment and duration"),
        ("difference", kinds("length", "area"), f"difference {TWO_ALIKE} length and area"),
        ("difference", kinds("truth", "truth"), f"difference {TWO_ALIKE} truth and truth"),
        ("difference", kinds("moisture", "moisture"), f"difference {TWO_ALIKE} moisture and moisture"),
        ("product", kinds("length", "volume"), "product does not know how to multiply length by volume"),
        ("product", (), "product does not know how to multiply "),
        ("product", kinds("length"), "product does not know how to multiply length"),
        ("product", kinds("number", "moment"), "product does not know how to multiply number by moment"),
        ("product", kinds("moisture", "number"), "product does not know how to multiply moisture by number"),
        ("product", kinds("number", "text"), "product does not know how to multiply number by text"),
        ("ratio", kinds("length", "area"), "ratio does not know how to divide length by area"),
        ("ratio", kinds("moment", "number"), "ratio does not know how to divide moment by number"),
        ("ratio", kinds("moment", "moment"), "ratio does not know how to divide moment by moment"),
        ("ratio", kinds("moisture", "moisture"), "ratio does not know how to divide moisture by moisture"),
        ("ratio", kinds("choice", "choice"), "ratio does not know how to divide choice by choice"),
        (
            "dew_point",
            kinds("humidity", "temperature"),
            "dew_point needs a temperature and a humidity, not humidity and temperature",
        ),
        ("lowest", kinds("length"), f"lowest {ONE}"),
        (
            "highest",
            kinds("moisture", series=True),
            "highest needs readings on one scale; write highest: {on_scale: {of: …, scale: …}}",
        ),
        ("lowest", kinds("truth", series=True), f"lowest {OF_WORDS}"),
        ("total", kinds("moment", series=True), "total needs a list of quantities, not moments"),
        ("total", kinds("text", series=True), f"total {OF_WORDS}"),
        ("count", kinds("text"), "count needs a list of readings"),
        ("on_scale", kinds("length"), "on_scale needs a moisture reading"),
        ("difference", kinds("duration", "moment"), f"difference {TWO_ALIKE} duration and moment"),
        ("spread", kinds("length"), f"spread {ONE}"),
        (
            "spread",
            kinds("moisture", series=True),
            "spread needs readings on one scale; write spread: {on_scale: {of: …, scale: …}}",
        ),
        ("spread", kinds("choice", series=True), f"spread {OF_WORDS}"),
        ("spread", kinds("moment", series=True), "spread needs a list of quantities, not moments"),
        ("limit", kinds("length", "duration"), f"limit {ONE_OR_TWO}"),
        ("limit", kinds("length", "length", "length"), f"limit {ONE_OR_TWO}"),
        ("tests_needed", kinds("length", "number", "area", "number", "area"), f"tests_needed {NEEDED}"),
        ("tests_needed", kinds("area", "number", "area", "number", "area", series=True), f"tests_needed {NEEDED}"),
        (
            "held",
            kinds("temperature", "humidity", "temperature", "moment", "duration"),
            "held of logged temperature needs temperature, temperature, moment and duration",
        ),
        (
            "held",
            kinds("humidity", "humidity", "humidity", "moment", "moment"),
            "held of logged humidity needs humidity, humidity, moment and duration",
        ),
        (
            "held",
            (*kinds("temperature", "temperature", "temperature"), Kinded("moment", is_series=True), Kinded("duration")),
            "held of logged temperature needs temperature, temperature, moment and duration",
        ),
        (
            "excursions",
            kinds("temperature", "temperature", "temperature", "moment", "duration"),
            "excursions of logged temperature needs temperature, temperature, moment and moment",
        ),
        (
            "degree_hours",
            kinds("humidity", "humidity", "humidity", "moment", "moment"),
            "degree_hours needs a logged temperature",
        ),
        (
            "degree_hours",
            kinds("temperature", "temperature", "temperature difference", "moment", "moment"),
            "degree_hours of logged temperature needs temperature, temperature, moment and moment",
        ),
        (
            "degree_hours",
            kinds("temperature", "humidity", "temperature", "moment", "moment"),
            "degree_hours of logged temperature needs temperature, temperature, moment and moment",
        ),
        ("logged_at", kinds("humidity", "duration"), "logged_at needs one moment"),
        ("logged_at", (Kinded("humidity"), Kinded("moment", is_series=True)), "logged_at needs one moment"),
    ],
)
def test_what_makes_no_sense_is_refused_when_the_rule_set_is_read(
    word: str, operands: tuple[Kinded, ...], message: str
) -> None:
    """Never while a survey is judged, and never by comparing across scales."""
    with pytest.raises(MeasureError) as refusal:
        MEASURES[word].kind(operands, word)
    assert str(refusal.value) == message


QUANTITIES = [*BASE, "moment"]
ALL_KINDS = [*QUANTITIES, "moisture", "truth", "choice", "text"]


FROM_LOGS = sorted(word for word, measure in MEASURES.items() if measure.picks == "logged")


@given(st.data(), st.sampled_from(sorted(set(MEASURES) - set(FROM_LOGS))))
def test_what_the_reader_allows_can_be_measured_of_nothing(data: st.DataObject, word: str) -> None:
    """Whatever kinds a rule set may combine, a survey with no answer at all gives the unknown of the kind foretold."""
    measure = MEASURES[word]
    count = len(measure.parts) or data.draw(st.integers(2, 3))
    limits = word == "limit"  # which are quantities, and no lists
    operands = tuple(
        Kinded(
            data.draw(st.sampled_from(QUANTITIES if limits else ALL_KINDS)),
            is_series=not limits and data.draw(st.booleans()),
        )
        for _ in range(count)
    )
    try:
        foretold = measure.kind(operands, word)
    except MeasureError:
        return
    nothing: tuple[Measured, ...] = tuple(
        Series(o.kind, (blank(o),), complete=False) if o.is_series else blank(o) for o in operands
    )
    value = measure.run(nothing, "%MC" if measure.picks == "scale" else "")
    assert isinstance(value, Series) == foretold.is_series
    for item in value.items if isinstance(value, Series) else (value,):
        assert item.kind == (foretold.kind or "moisture %MC")  # type: ignore[union-attr]
        assert word == "count" or not item.is_known


@pytest.mark.parametrize(
    ("word", "operands"), [(word, operands) for word, operands, _ in FORETOLD if word in FROM_LOGS]
)
def test_what_logs_would_show_can_be_measured_of_nothing(word: str, operands: tuple[Kinded, ...]) -> None:
    """No log and no answer gives the unknown of the kind foretold, or what any log would leave possible."""
    logged_kind, *others = operands
    seen = blank(logged_kind) if word == "logged_at" else no_evidence(logged_kind.kind)
    value = MEASURES[word].run((seen, *(blank(other) for other in others)), logged_kind.kind)
    assert isinstance(value, Interval)
    assert value.kind == MEASURES[word].kind(operands, word).kind
    assert (value.low, value.high) in {(NO_LOW, NO_HIGH), (0, NO_HIGH)}


def test_kinds_are_foretold_for_every_word_above() -> None:
    """Every measure has a row in the table of kinds; dew points have theirs in test_psychrometrics."""
    assert {word for word, _, _ in FORETOLD} | {"dew_point", "highest"} | OF_MATERIALS == set(MEASURES)


# -- the law: knowing less never makes a fact narrower ----------------------------------------------------------------

numbers = st.fractions(-5, 5, max_denominator=4)
lows, highs = numbers | st.just(NO_LOW), numbers | st.just(NO_HIGH)


@st.composite
def intervals(draw: st.DrawFn, kind: str) -> Interval:
    """Any interval of `kind`, exact ones and unbounded ones among them."""
    low, high = draw(lows), draw(highs)
    if draw(st.booleans()) and not isinstance(low, float):
        high = low
    if low > high:
        low, high = high, low
    return Interval(kind, low, high, BASE.get(kind, ""))


@st.composite
def wider(draw: st.DrawFn, value: Value) -> Value:
    """The same value, known less well at either end, or as well."""
    if not isinstance(value, Interval):
        return OneOf(None)
    low = draw(st.sampled_from([value.low, value.low, value.low - draw(st.fractions(0, 9, max_denominator=4)), NO_LOW]))
    high = draw(
        st.sampled_from([value.high, value.high, value.high + draw(st.fractions(0, 9, max_denominator=4)), NO_HIGH])
    )
    return Interval(value.kind, low, high, value.unit)


@st.composite
def series_known_less(draw: st.DrawFn, series: Series, *, may_lose: bool = True) -> Series:
    """The same list with entries widened, no longer known to be complete, or with one entry forgotten.

    `most`, where a count was answered, stays or is forgotten too: the count of what there is has not changed.
    """
    items = tuple(draw(wider(item)) for item in series.items)
    complete, most = series.complete, series.most
    if draw(st.booleans()):
        complete = False
        if may_lose and items and draw(st.booleans()):
            lost = draw(st.integers(0, len(items) - 1))
            items = items[:lost] + items[lost + 1 :]
        most = draw(st.sampled_from([most, None]))
    return Series(series.kind, items, complete, most)


def includes(wide: Measured, narrow: Measured) -> bool:
    """Whether all that `narrow` may be, `wide` may be; for lists, entry by entry and with the count."""
    if isinstance(wide, Series) and isinstance(narrow, Series):
        return (wide.complete <= narrow.complete) and all(
            includes(w, n) for w, n in zip(wide.items, narrow.items, strict=True)
        )
    if isinstance(wide, Interval) and isinstance(narrow, Interval):
        return wide.kind == narrow.kind and wide.includes(narrow)
    return isinstance(wide, OneOf) and isinstance(narrow, OneOf) and wide.includes(narrow)


PAIRS = {
    "elapsed": [("moment", "moment")],
    "difference": [("temperature", "temperature"), ("moment", "moment"), ("number", "number"), ("moment", "duration")],
    "product": [("length", "length"), ("spread", "volume"), ("number", "number"), ("number", "length")],
    "ratio": [("area", "volume"), ("area", "spread"), ("area", "area"), ("length", "number")],
}


@given(st.data(), st.sampled_from([(word, pair) for word, pairs in PAIRS.items() for pair in pairs]))
def test_a_wider_input_never_gives_a_narrower_fact(data: st.DataObject, row: tuple[str, tuple[str, str]]) -> None:
    """Widen either operand of a measure of two: what could be before can still be."""
    word, pair = row
    narrow = tuple(data.draw(intervals(kind)) for kind in pair)
    wide = tuple(data.draw(wider(value)) for value in narrow)
    assert includes(measured(word, *wide), measured(word, *narrow))


@pytest.mark.slow
@given(st.data())
def test_a_product_of_three_is_monotone_too(data: st.DataObject) -> None:
    """Corners of corners are still the ends."""
    narrow = tuple(data.draw(intervals(kind)) for kind in ("number", "length", "length"))
    wide = tuple(data.draw(wider(value)) for value in narrow)
    assert includes(measured("product", *wide), measured("product", *narrow))


WORKED: dict[str, Callable[[Fraction, Fraction], Fraction]] = {
    "elapsed": lambda a, b: b - a,
    "difference": lambda a, b: a - b,
    "product": lambda a, b: a * b,
    "ratio": lambda a, b: a / b,
}


@given(st.data(), st.sampled_from([(word, pair) for word, pairs in PAIRS.items() for pair in pairs]))
def test_a_fact_holds_every_value_that_its_inputs_can_make(
    data: st.DataObject, row: tuple[str, tuple[str, str]]
) -> None:
    """Pick one number within each input: plain arithmetic on them lies within the measure of the whole inputs."""
    word, pair = row
    points = [data.draw(numbers) for _ in pair]
    assume(word != "ratio" or points[1] != 0)
    wide = [data.draw(wider(Interval(kind, p, p))) for kind, p in zip(pair, points, strict=True)]
    value = measured(word, *wide)
    exact = WORKED[word](*points)
    assert isinstance(value, Interval)
    assert value.low <= exact <= value.high
    narrow = measured(word, *(Interval(kind, p, p) for kind, p in zip(pair, points, strict=True)))
    assert ends(narrow)[1:] == (exact, exact)


@st.composite
def lists(draw: st.DrawFn, kind: str) -> Series:
    """A list of readings; complete ones whose count was answered have it as their `most`."""
    items = tuple(draw(st.lists(intervals(kind), max_size=4)))
    complete = draw(st.booleans())
    more = 0 if complete else draw(st.integers(0, 3))
    return Series(kind, items, complete, len(items) + more if complete or draw(st.booleans()) else None)


@pytest.mark.slow
@given(st.data(), st.sampled_from(["lowest", "highest", "count", "total", "spread"]))
def test_forgetting_an_entry_or_the_count_never_gives_a_narrower_fact(data: st.DataObject, word: str) -> None:
    """Widen entries, lose one, or no longer know that the list is whole: what could be before can still be."""
    narrow = data.draw(lists("volume"))
    wide = data.draw(series_known_less(narrow))
    assert includes(measured(word, wide), measured(word, narrow))


@pytest.mark.slow
@given(st.data(), st.sampled_from([(word, pair) for word, pairs in PAIRS.items() for pair in pairs]))
def test_a_list_measured_entry_by_entry_is_monotone(data: st.DataObject, row: tuple[str, tuple[str, str]]) -> None:
    """A list against one value, and what is made of the list after, when entries are forgotten."""
    word, (kind, other_kind) = row
    narrow, other = data.draw(lists(kind)), data.draw(intervals(other_kind))
    wide, wide_other = data.draw(series_known_less(narrow)), data.draw(wider(other))
    before, after = measured(word, narrow, other), measured(word, wide, wide_other)
    assert isinstance(before, Series)
    assert isinstance(after, Series)
    assert (after.complete, after.most) == (wide.complete, wide.most)
    if len(after.items) == len(before.items):
        assert includes(after, before)
    if before.items and after.items:
        for reduced in ("lowest", "highest", "count", "spread"):
            assert includes(measured(reduced, after), measured(reduced, before))


@given(st.data(), st.sampled_from(MOISTURE), st.sampled_from(SCALES))
def test_a_scale_never_makes_a_reading_narrower(data: st.DataObject, kind: str, scale: str) -> None:
    """On its own scale a reading stays as wide as it is; on another it is unknown, however well it is known."""
    narrow = data.draw(intervals(kind))
    wide = data.draw(wider(narrow))
    assert includes(measured("on_scale", wide, scale=scale), measured("on_scale", narrow, scale=scale))
    series, wide_series = listed(narrow), listed(wide, complete=False)
    assert includes(measured("on_scale", wide_series, scale=scale), measured("on_scale", series, scale=scale))


areas = st.fractions(0, 400, max_denominator=4)


@given(st.data(), st.sampled_from([COUNTED_BY_F2170, COUNTED_BY_D4262]))
def test_more_area_never_needs_fewer_tests(data: st.DataObject, counted: tuple[Interval, ...]) -> None:
    """Of an area known less well no fewer numbers of tests are possible, and each size within it needs one of those."""
    small, big = sorted((data.draw(areas), data.draw(areas)))
    inside = data.draw(st.fractions(small, big, max_denominator=8))
    wide = measured("tests_needed", span("area", small, big), *counted)
    one = measured("tests_needed", span("area", inside, inside), *counted)
    assert includes(wide, one)
    assert includes(measured("tests_needed", data.draw(wider(span("area", small, big))), *counted), wide)


@pytest.mark.parametrize("part", [0, 1, 2, 3])
def test_a_count_over_a_number_known_less_well_is_known_less_well(part: int) -> None:
    """`first`, `over`, `then` and `each` may be answers too: unknown, they leave the count open."""
    exact = measured("tests_needed", q("1500 ft²", "area"), *COUNTED_BY_F2170)
    kind = COUNTED_BY_F2170[part].kind
    parts = tuple(unknown_interval(kind) if i == part else p for i, p in enumerate(COUNTED_BY_F2170))
    assert includes(measured("tests_needed", q("1500 ft²", "area"), *parts), exact)


@given(st.lists(st.sampled_from(["60 °F", "4 °C", "80 °F"]), min_size=1, max_size=2))
def test_a_limit_holds_each_end_of_it(written: list[str]) -> None:
    """Whatever stands first."""
    found = [q(text, "temperature") for text in written]
    assert all(includes(measured("limit", *found), one) for one in found)


ROWS = st.lists(st.sampled_from(["22", "22", "20", "25", "19", "15", "31", "40", None]), min_size=2, max_size=14)
SPREADS = st.sampled_from(["0", "0", "1", "3"])
OF_A_WINDOW = ["time_in_band", "excursions", "longest_excursion", "furthest_out", "degree_hours"]


def hours(data: st.DataObject, count: int = 14) -> Interval:
    """A moment, or any of some hours."""
    first, second = (data.draw(st.fractions(-1, count + 1, max_denominator=2)) for _ in range(2))
    return at(float(min(first, second)), float(max(first, second if data.draw(st.booleans()) else first)))


def wider_moment(data: st.DataObject, moment: Interval) -> Interval:
    """The same moment, known less well by up to a few hours at either end."""
    before, after = (data.draw(st.integers(0, 5)) * HOUR / 2 for _ in range(2))
    return span("moment", moment.low - before, moment.high + after)


def window(data: st.DataObject) -> tuple[Interval, Interval]:
    """A moment and one that may lie after it."""
    begin, end = hours(data), hours(data)
    assume(begin.low < end.high or end.low < begin.high)
    return (begin, end) if begin.low < end.high else (end, begin)


@pytest.mark.slow
@settings(max_examples=200)
@given(st.data(), st.sampled_from(OF_A_WINDOW), ROWS, SPREADS)
def test_a_window_known_less_well_never_gives_a_narrower_fact(
    data: st.DataObject, word: str, rows: list[str | None], spread: str
) -> None:
    """Widen either end of the time asked about: what logged air could have been before it can still have been."""
    seen = logged(*rows, spread=spread)
    begin, end = window(data)
    wide = (wider_moment(data, begin), wider_moment(data, end))
    before, after = (measured(word, seen, *BAND_ENDS, *ends_) for ends_ in ((begin, end), wide))
    assert includes(after, before)


@pytest.mark.slow
@settings(max_examples=200)
@given(st.data(), st.sampled_from(["held", *OF_A_WINDOW[:3]]), ROWS, SPREADS)
def test_rows_lost_or_known_less_well_never_give_a_narrower_fact(
    data: st.DataObject, word: str, rows: list[str | None], spread: str
) -> None:
    """Take rows out, or give the logger a larger uncertainty: the same."""
    less = [None if data.draw(st.integers(0, 3)) == 0 else row for row in rows]
    more = str(int(spread) + data.draw(st.sampled_from([0, 0, 1, 4])))
    others = (hours(data), q(f"{data.draw(st.integers(0, 5))} h", "duration")) if word == "held" else window(data)
    before = measured(word, logged(*rows, spread=spread), *BAND_ENDS, *others)
    assert includes(measured(word, logged(*less, spread=more), *BAND_ENDS, *others), before)


@pytest.mark.slow
@settings(max_examples=200)
@given(st.data(), ROWS, SPREADS)
def test_what_is_forgiven_known_less_well_never_gives_a_narrower_fact(
    data: st.DataObject, rows: list[str | None], spread: str
) -> None:
    """And what is forgiven at one end of it lies within what is held."""
    seen, until = logged(*rows, spread=spread), hours(data)
    least, most = sorted(data.draw(st.integers(0, 8)) for _ in range(2))
    narrow = q(f"{data.draw(st.integers(least, most))} h", "duration")
    wide = measured("held", seen, *BAND_ENDS, until, q(f"{least} to {most} h", "duration"))
    assert includes(wide, measured("held", seen, *BAND_ENDS, until, narrow))


@pytest.mark.slow
@settings(max_examples=200)
@given(st.data(), ROWS, SPREADS)
def test_held_until_some_moment_is_never_narrower(data: st.DataObject, rows: list[str | None], spread: str) -> None:
    """Widen the moment up to which the band is to be held: what could be before can still be."""
    seen, until = logged(*rows, spread=spread), hours(data)
    forgiving = q(f"{data.draw(st.integers(1, 5))} h", "duration")
    wide = measured("held", seen, *BAND_ENDS, wider_moment(data, until), forgiving)
    assert includes(wide, measured("held", seen, *BAND_ENDS, until, forgiving))


def test_held_with_nothing_forgiven_is_most_just_before_a_break() -> None:
    """Rows out of the band at 0 h and at 3 h: up to 2 h it may have been held 2 h; from 1 to 3 h too."""
    seen, nothing = logged("19", "22", "22", "19"), q("0 h", "duration")
    exact = measured("held", seen, *BAND_ENDS, at(2), nothing)
    assert ends(exact) == ("duration", HOUR, 2 * HOUR)
    assert includes(measured("held", seen, *BAND_ENDS, at(1, 3), nothing), exact)


def test_held_until_a_moment_within_a_break_is_no_longer_than_it_was() -> None:
    """Breaks from 0 to 2 h and from 4 to 7 h, of which 3 h are forgiven in all: the first no longer after 5 h.

    At 5 1/2 h it is out, which is not forgiven while it goes on; and neither is it at some moment from 4 h to 7 h.
    """
    seen, forgiving = logged("22", "15", "22", "22", "22", "15", "15", "22", "22"), q("3 h", "duration")
    exact = measured("held", seen, *BAND_ENDS, at(5.5), forgiving)
    assert ends(exact)[1] == 0
    assert includes(measured("held", seen, *BAND_ENDS, at(4, 7), forgiving), exact)


@pytest.mark.parametrize("word", ["furthest_out", "degree_hours"])
def test_rows_lost_never_make_an_excursion_smaller(word: str) -> None:
    """Out from 1 to 4 h, 5 °C at first; asked from 3 1/2 h on. Without the row of 2 h that may have been another."""
    whole, less = logged("22", "15", "19", "19", "19", "22"), logged("22", "15", None, "19", "19", "22")
    before, after = (measured(word, seen, *BAND_ENDS, at(3.5), at(5)) for seen in (whole, less))
    assert includes(after, before)


def test_widening_in_these_tests_does_widen() -> None:
    """The tests above would prove nothing if `includes` were always true."""
    small, big = span("number", F(0), F(1)), span("number", F(0), F(2))
    assert includes(big, small)
    assert not includes(small, big)
    assert not includes(listed(small), listed(big))
    assert not includes(listed(big), listed(small, complete=False))
    assert not includes(span("number", F(0), math.inf), span("length", F(0), F(1)))
    anything: Any = OneOf(None)
    assert not includes(OneOf(frozenset({"yes"})), anything)
