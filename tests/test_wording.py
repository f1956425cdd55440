"""What is printed tells the same story as the verdict, however near its limit a fact lies."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from wallwalk.comparisons import COMPARISONS
from wallwalk.limits import Limit, WordLimit
from wallwalk.moments import find_zone, parse_moment
from wallwalk.quantities import parse_quantity
from wallwalk.rules import Check
from wallwalk.units import KINDS
from wallwalk.values import ANY_WORD, NO_HIGH, NO_LOW, YES, Bound, Interval, Measured, OneOf, Series, Verdict
from wallwalk.wording import show_amount, show_margin, show_requirement, show_value

F = Fraction


def limit_of(text: str, kind: str) -> Limit:
    """A limit as a rule set writes it."""
    value = parse_quantity(text, kind)
    return Limit("limit", kind, F(value.low), F(1), value.unit, value.written, "common practice")


def measured(kind: str, low: Bound, high: Bound | None = None, unit: str = "") -> Interval:
    """A fact that nobody wrote down as it is, in base units."""
    return Interval(kind, low, low if high is None else high, unit)


DWELL = limit_of("24 h", "duration")
COLD, HOT = limit_of("60 °F", "temperature"), limit_of("80 °F", "temperature")
GAP = limit_of("1/3 in", "length")

LIMITS = [
    DWELL,
    COLD,
    HOT,
    GAP,
    limit_of("1/16 in", "length"),
    limit_of("4 ft 6 in", "length"),
    limit_of("3 °C", "temperature difference"),
    limit_of("5.4 °F", "temperature difference"),
    limit_of("12 %MC", "moisture %MC"),
    limit_of("60 %RH", "humidity"),
    limit_of("300 ft²/gal", "spread"),
    limit_of("2/3 gal", "volume"),
    limit_of("4B", "adhesion"),
    limit_of("1 ISO", "adhesion"),
    limit_of("3", "number"),
    limit_of("0 mm", "length"),
]
LITTLE = F(1, 10**60)


def printed(text: str, kind: str) -> Fraction:
    """The number that a reader takes from a printed amount."""
    for words, way in (("just under ", -LITTLE), ("just over ", LITTLE), ("", F(0))):
        if text.startswith(words):
            sign = -1 if kind == "adhesion" and text.endswith("ISO") else 1
            return F(parse_quantity(text.removeprefix(words), kind).low) + way * sign
    raise AssertionError(text)


def printed_fact(text: str, kind: str) -> Interval:
    """The interval that a reader takes from a printed fact."""
    if text == "not known":
        return Interval(kind, NO_LOW, NO_HIGH)
    if text.endswith(" or more"):
        return Interval(kind, printed(text.removesuffix(" or more"), kind), NO_HIGH)
    if text.endswith(" or less"):
        return Interval(kind, NO_LOW, printed(text.removesuffix(" or less"), kind))
    first, _, last = text.partition(" to ")
    both = sorted((printed(first, kind), printed(last or first, kind)))
    return Interval(kind, both[0], both[1])


def side(amount: Fraction, limit: Fraction) -> int:
    """-1 under, 0 at, 1 over."""
    return (amount > limit) - (amount < limit)


# Distances from a limit, from 1e-18 to 1e-8 of it and nought.
nearness = st.builds(lambda n, power: F(n, 10**power), st.integers(-9, 9), st.integers(9, 18))


@given(st.sampled_from(LIMITS), nearness)
@example(DWELL, F(-1, 10**18))
@example(GAP, F(0))
@example(GAP, F(1, 10**12))
def test_a_printed_amount_is_on_its_own_side_of_the_limit(limit: Limit, near: Fraction) -> None:
    """Within a hundred-millionth of a limit, under stays under, at stays at, over stays over."""
    amount = limit.amount + near * (abs(limit.amount) or 1)
    if limit.amount == 0:
        amount = abs(amount)
    text = show_amount(amount, limit.kind, limit.unit, [limit])
    assert side(printed(text, limit.kind), limit.amount) == side(amount, limit.amount)


@pytest.mark.parametrize(
    ("amount", "limit", "shown"),
    [
        (F(86400), DWELL, "24 h"),
        (F(86040), DWELL, "23 h 54 min"),
        (F(86399), DWELL, "23.9997 h"),
        (86400 - F("0.0000036"), DWELL, "23.999999999 h"),
        (86400 - F("0.0000017"), DWELL, "just under 24 h"),
        (86400 + F("0.0000017"), DWELL, "just over 24 h"),
        (86400 - F(1, 10**30), DWELL, "just under 24 h"),
        (F(20), COLD, "68 °F"),
        (F("26.67"), HOT, "80.01 °F"),
        (GAP.amount, GAP, "1/3 in"),
        (GAP.amount + F(1, 10**30), GAP, "just over 1/3 in"),
        (F(7, 3), limit_of("4B", "adhesion"), "2.33B"),
        (F(4) - F(1, 10**30), limit_of("4B", "adhesion"), "just under 4B"),
    ],
)
def test_as_many_digits_as_the_story_needs_and_words_beyond_nine(amount: Fraction, limit: Limit, shown: str) -> None:
    """Two decimals, then up to nine, then *just under* and *just over* (worked by hand)."""
    assert show_amount(amount, limit.kind, limit.unit, [limit]) == shown


def test_without_a_limit_two_decimals_do() -> None:
    """A number that nothing depends on is short."""
    assert show_amount(F(86399), "duration", "h") == "24 h"
    assert show_amount(F(80, 3), "temperature", "°C") == "26.67 °C"


BANDS = [
    (COLD, HOT),
    (limit_of("16 °C", "temperature"), HOT),
    (GAP, limit_of("2/3 in", "length")),
    (limit_of("1/16 in", "length"), limit_of("3 mm", "length")),
    (DWELL, limit_of("28 d", "duration")),
    (limit_of("30 %RH", "humidity"), limit_of("60 %RH", "humidity")),
    (limit_of("2B", "adhesion"), limit_of("4B", "adhesion")),
]


@given(
    st.sampled_from(BANDS),
    st.sampled_from(["at_least", "at_most", "between"]),
    st.tuples(st.sampled_from([0, 1, None]), nearness),
    st.tuples(st.sampled_from([0, 1, None]), nearness),
)
def test_judged_again_from_what_is_printed_the_verdict_is_the_same(
    band: tuple[Limit, Limit], word: str, one: tuple[int | None, Fraction], other: tuple[int | None, Fraction]
) -> None:
    """Either end near either limit, or without bound: whoever reads the paper comes to the verdict of the program."""
    kind = band[0].kind
    known = [band[i].amount * (1 + near) for i, near in (one, other) if i is not None]
    low: Bound = min(known) if one[0] is not None and known else NO_LOW
    high: Bound = max(known) if other[0] is not None and known else NO_HIGH
    limits = list(band) if word == "between" else [band[0]]
    amounts = tuple(limit.amount for limit in limits)
    text = show_value(Interval(kind, low, high), limits)
    run = COMPARISONS[word].run
    assert run(printed_fact(text, kind), amounts, frozenset()) is run(Interval(kind, low, high), amounts, frozenset())


@pytest.mark.parametrize(
    ("value", "limits", "shown"),
    [
        (parse_quantity("4 ft  6 in", "length"), [GAP], "4 ft 6 in"),
        (measured("duration", F(86400)), [DWELL], "24 h"),
        (measured("duration", F(82800), F(86400) - LITTLE), [DWELL], "23 h to just under 24 h"),
        (measured("duration", F(82800), NO_HIGH), [DWELL], "23 h or more"),
        (measured("duration", NO_LOW, F(82800)), [DWELL], "23 h or less"),
        (measured("duration", NO_LOW, NO_HIGH), [DWELL], "not known"),
        (measured("duration", F(90)), [COLD], "90 s"),
        (measured("duration", F(90), unit="min"), [], "1.5 min"),
        (measured("number", F(7, 2)), [], "3.5"),
        (measured("adhesion", F(4)), [limit_of("1 ISO", "adhesion")], "1 ISO"),
        (ANY_WORD, [], "not known"),
        (OneOf(frozenset()), [], "not known"),
        (YES, [], "yes"),
        (OneOf(frozenset({"tile", "metal"})), [], "metal or tile"),
        (Series("truth", (YES, ANY_WORD), complete=True), [], "yes; not known"),
        (Series("truth", (), complete=True), [], "not known"),
    ],
)
def test_facts_in_words(value: Measured, limits: list[Limit], shown: str) -> None:
    """As written where it was written, in the unit of its limit where it was not, and never a blank."""
    assert show_value(value, limits) == shown


def test_moments_are_shown_in_the_zone_of_the_site() -> None:
    """A moment as written is not enough: a date is a whole day, and the zone decides which."""
    zone = find_zone("America/Chicago")
    assert show_value(parse_moment("2026-03-09T14:00Z", zone), zone=zone) == "Mon 9 Mar 2026 09:00"
    assert show_value(parse_moment("2026-03-09", zone), zone=zone) == "Mon 9 Mar 2026 00:00 to Tue 10 Mar 2026 00:00"
    assert show_value(measured("moment", NO_LOW, NO_HIGH), zone=zone) == "not known"


BETWEEN = Check("between", "air", ("cold", "hot"))


@pytest.mark.parametrize(
    ("check", "limits", "value", "shown"),
    [
        (Check("at_least", "dwell", ("limit",)), [DWELL], measured("duration", F(3600)), "at least 24 h"),
        (
            Check("at_least", "dwell", ("limit",)),
            [DWELL],
            parse_quantity("90 min", "duration"),
            "at least 24 h (1440 min)",
        ),
        (BETWEEN, [COLD, HOT], parse_quantity("72 °F", "temperature"), "60 °F to 80 °F"),
        (BETWEEN, [COLD, HOT], parse_quantity("22 °C", "temperature"), "60 °F to 80 °F (15.56 °C to 26.67 °C)"),
        # The trap of trade.md: 26.67 °C is over 80 °F, so the limit in brackets must not read 26.67 °C.
        (BETWEEN, [COLD, HOT], parse_quantity("26.67 °C", "temperature"), "60 °F to 80 °F (15.56 °C to 26.667 °C)"),
        (BETWEEN, [COLD, HOT], parse_quantity("26 2/3 °C", "temperature"), "60 °F to 80 °F (15.56 °C to 26 2/3 °C)"),
        (
            BETWEEN,
            [COLD, HOT],
            parse_quantity("20 to 26.67 °C", "temperature"),
            "60 °F to 80 °F (15.56 °C to 26.667 °C)",
        ),
        (Check("is", "primer", words=("water",)), [], YES, "water"),
        (Check("is_not", "primer", words=("pva",)), [], YES, "not pva"),
        (
            Check("is_one_of", "wall", ("known",)),
            [WordLimit("known", ("tile", "metal"), "practice")],
            YES,
            "one of: tile, metal",
        ),
        (Check("stated", "walker"), [], YES, "stated"),
    ],
)
def test_requirements_in_words(check: Check, limits: list[Limit | WordLimit], value: Measured, shown: str) -> None:
    """The limit as the rule set writes it; in brackets in the unit that the reading was written in."""
    assert show_requirement(check, limits, value) == shown


@given(st.integers(-(10**6), 10**6), st.integers(2, 15))
def test_a_limit_in_brackets_keeps_to_its_side_of_the_reading(n: int, places: int) -> None:
    """A reading in °C beside 80 °F (26 2/3 °C): the number in brackets is over, or under, as the limit itself is."""
    digits = f"{2666666666666666667 + n * 10 ** (16 - places):019d}"
    value = parse_quantity(f"{digits[:2]}.{digits[2:17]} °C", "temperature")
    text = show_requirement(Check("at_most", "air", ("limit",)), [HOT], value)
    assert text.startswith("at most 80 °F (")
    inside = printed(text.removeprefix("at most 80 °F (").removesuffix(")"), "temperature")
    assert side(F(value.low), inside) == side(F(value.low), HOT.amount)


@pytest.mark.parametrize(
    ("word", "limits", "value", "shown"),
    [
        ("at_least", [DWELL], measured("duration", F(86040)), "-6 min"),
        ("at_least", [DWELL], measured("duration", F(86400)), "0 h"),
        ("at_least", [DWELL], measured("duration", F(90000)), "+1 h"),
        ("at_least", [DWELL], measured("duration", F(86400) - LITTLE), "just under 0 h"),
        ("at_least", [DWELL], measured("duration", F(86400) + LITTLE), "just over 0 h"),
        ("at_least", [DWELL], measured("duration", F(86399)), "-0.0003 h"),
        ("at_least", [DWELL], measured("duration", NO_LOW, F(86400)), ""),
        # A margin in temperature is a difference: 61 °F is 1 °F inside 60 °F, not -16 °C.
        ("at_least", [COLD], parse_quantity("61 °F", "temperature"), "+1 °F"),
        ("between", [COLD, HOT], parse_quantity("62 to 75 °F", "temperature"), "+2 °F"),
        ("between", [COLD, HOT], parse_quantity("27 °C", "temperature"), "-0.6 °F"),
        ("at_most", [limit_of("300 K", "temperature")], parse_quantity("299 K", "temperature"), "+1 K"),
        ("at_least", [limit_of("4B", "adhesion")], parse_quantity("3B", "adhesion"), "-1B"),
        ("at_least", [limit_of("1 ISO", "adhesion")], parse_quantity("0 ISO", "adhesion"), "+1B"),
        ("at_least", [limit_of("3", "number")], parse_quantity("2", "number"), "-1"),
        ("is", [], YES, ""),
        ("stated", [], measured("number", F(3)), ""),
    ],
)
def test_margins(word: str, limits: list[Limit], value: Measured, shown: str) -> None:
    """How far the nearest end lies inside or outside, in the unit of the limit (worked by hand)."""
    assert show_margin(Check(word, "fact", tuple(limit.name for limit in limits)), limits, value) == shown


@given(
    st.sampled_from([limit for limit in LIMITS if limit.amount > 0]), nearness, st.sampled_from(["at_least", "at_most"])
)
def test_a_margin_has_the_sign_of_its_verdict(limit: Limit, near: Fraction, word: str) -> None:
    """Plus or nought where the rule passes, minus (or just under nought) where it holds."""
    value = measured(limit.kind, limit.amount * (1 + near))
    text = show_margin(Check(word, "fact", ("limit",)), [limit], value)
    passes = COMPARISONS[word].run(value, (limit.amount,), frozenset()) is Verdict.PASS
    assert text.startswith(("-", "just under ")) is not passes
    assert text.startswith(("+", "just over ")) is (near != 0 and passes)


def test_every_kind_can_be_shown_in_every_unit() -> None:
    """No unit of the table is without a printed form that reads back as the same amount."""
    for kind, row in KINDS.items():
        for unit in row.units:
            amount = F(2) * unit.scale + unit.offset
            assert printed(show_amount(amount, kind, unit.spellings[0]), kind) == amount
