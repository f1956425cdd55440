"""Measures give what a hand would work out, and knowing less never makes one say more."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from wallwalk.measures import MEASURES, SCALES, Kinded, MeasureError, blank
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


def measured(word: str, *operands: Measured, scale: str = "") -> Measured:
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

THREE = listed(*(q(f"{t} °F", "temperature") for t in ("61", "70 to 72", "68")))

BY_HAND: list[tuple[str, tuple[Measured, ...], tuple[str, Bound, Bound]]] = [
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
]


@pytest.mark.parametrize(("word", "operands", "expected"), BY_HAND)
def test_values_worked_by_hand(word: str, operands: tuple[Measured, ...], expected: tuple[str, Bound, Bound]) -> None:
    """Each measure on exact inputs, ranges, and what is not known; expected values worked by hand."""
    assert ends(measured(word, *operands)) == expected


def test_every_word_is_worked_by_hand() -> None:
    """No measure is without a value above (a reading's scale is tested below, dew points in test_psychrometrics)."""
    assert {word for word, _, _ in BY_HAND} | {"on_scale", "dew_point"} == set(MEASURES)


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


@pytest.mark.parametrize(
    ("word", "operands"),
    [(word, (q("3", "number"),)) for word in ("lowest", "highest", "count", "total")],
)
def test_what_needs_a_list_never_takes_one_value_for_one(word: str, operands: tuple[Measured, ...]) -> None:
    """One value is not a complete list of one."""
    with pytest.raises(TypeError, match=r"^this measure works on a list of readings$"):
        measured(word, *operands)


# -- what a rule set may write --------------------------------------------------------------------------------------


TWO_ALIKE = "needs two quantities of one kind and scale, not"
READINGS = "needs a list of readings that have a quantity, on one scale"


def kinds(*names: str, series: bool = False) -> tuple[Kinded, ...]:
    """Operands known by their kind alone."""
    return tuple(Kinded(name, is_series=series) for name in names)


@pytest.mark.parametrize(
    ("word", "operands", "gives"),
    [
        ("elapsed", kinds("moment", "moment"), Kinded("duration")),
        ("difference", kinds("moment", "moment"), Kinded("duration")),
        (
            "difference",
            kinds("temperature", "temperature", series=True),
            Kinded("temperature difference", is_series=True),
        ),
        ("difference", kinds("moisture %MC", "moisture %MC"), Kinded("moisture %MC")),
        ("product", kinds("number", "length", "length"), Kinded("area")),
        ("product", kinds("spread", "volume"), Kinded("area")),
        ("ratio", kinds("area", "volume"), Kinded("spread")),
        ("ratio", kinds("area", "area"), Kinded("number")),
        ("lowest", kinds("moment", series=True), Kinded("moment")),
        ("total", kinds("volume", series=True), Kinded("volume")),
        ("count", kinds("text", series=True), Kinded("number")),
        ("on_scale", kinds("moisture", series=True), Kinded("", is_series=True)),
    ],
)
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
        ("product", kinds("length"), "product does not know how to multiply length"),
        ("product", kinds("number", "moment"), "product does not know how to multiply number by moment"),
        ("product", kinds("moisture", "number"), "product does not know how to multiply moisture by number"),
        ("product", kinds("number", "text"), "product does not know how to multiply number by text"),
        ("ratio", kinds("length", "area"), "ratio does not know how to divide length by area"),
        ("ratio", kinds("moment", "number"), "ratio does not know how to divide moment by number"),
        ("ratio", kinds("moment", "moment"), "ratio does not know how to divide moment by moment"),
        ("ratio", kinds("moisture", "moisture"), "ratio does not know how to divide moisture by moisture"),
        ("ratio", kinds("choice", "choice"), "ratio does not know how to divide choice by choice"),
        ("lowest", kinds("length"), f"lowest {READINGS}"),
        ("highest", kinds("moisture", series=True), f"highest {READINGS}"),
        ("lowest", kinds("truth", series=True), f"lowest {READINGS}"),
        ("total", kinds("moment", series=True), "total needs a list of quantities, not moments"),
        ("total", kinds("text", series=True), f"total {READINGS}"),
        ("count", kinds("text"), "count needs a list of readings"),
        ("on_scale", kinds("length"), "on_scale needs a moisture reading"),
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


@given(st.data(), st.sampled_from(sorted(MEASURES)))
def test_what_the_reader_allows_can_be_measured_of_nothing(data: st.DataObject, word: str) -> None:
    """Whatever kinds a rule set may combine, a survey with no answer at all gives the unknown of the kind foretold."""
    measure = MEASURES[word]
    count = len(measure.parts) or data.draw(st.integers(2, 3))
    operands = tuple(
        Kinded(data.draw(st.sampled_from(ALL_KINDS)), is_series=data.draw(st.booleans())) for _ in range(count)
    )
    try:
        foretold = measure.kind(operands, word)
    except MeasureError:
        return
    nothing: tuple[Measured, ...] = tuple(
        Series(o.kind, (blank(o),), complete=False) if o.is_series else blank(o) for o in operands
    )
    value = measure.run(nothing, "%MC" if measure.takes_scale else "")
    assert isinstance(value, Series) == foretold.is_series
    for item in value.items if isinstance(value, Series) else (value,):
        assert item.kind == (foretold.kind or "moisture %MC")  # type: ignore[union-attr]
        assert word == "count" or not item.is_known


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
    "difference": [("temperature", "temperature"), ("moment", "moment"), ("number", "number")],
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


@given(st.data(), st.sampled_from(["lowest", "highest", "count", "total"]))
def test_forgetting_an_entry_or_the_count_never_gives_a_narrower_fact(data: st.DataObject, word: str) -> None:
    """Widen entries, lose one, or no longer know that the list is whole: what could be before can still be."""
    narrow = data.draw(lists("volume"))
    wide = data.draw(series_known_less(narrow))
    assert includes(measured(word, wide), measured(word, narrow))


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
        for reduced in ("lowest", "highest", "count"):
            assert includes(measured(reduced, after), measured(reduced, before))


@given(st.data(), st.sampled_from(MOISTURE), st.sampled_from(SCALES))
def test_a_scale_never_makes_a_reading_narrower(data: st.DataObject, kind: str, scale: str) -> None:
    """On its own scale a reading stays as wide as it is; on another it is unknown, however well it is known."""
    narrow = data.draw(intervals(kind))
    wide = data.draw(wider(narrow))
    assert includes(measured("on_scale", wide, scale=scale), measured("on_scale", narrow, scale=scale))
    series, wide_series = listed(narrow), listed(wide, complete=False)
    assert includes(measured("on_scale", wide_series, scale=scale), measured("on_scale", series, scale=scale))


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
