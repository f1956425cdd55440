"""Each measure and comparison of the form gives what the desk's gives, for amounts that no survey may ever hold."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Browser

from pages import page_of
from test_one_engine import ENGINE, TOLD, told_bound, told_value
from wallwalk.comparisons import COMPARISONS
from wallwalk.evidence import no_evidence
from wallwalk.log_measures import LOG_MEASURES
from wallwalk.measure import DIFFERENCE
from wallwalk.measures import MEASURES, product_kind, ratio_kind
from wallwalk.units import BASE
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval, Measured, OneOf, Series

pytestmark = pytest.mark.slow

Operands = tuple[Any, ...]
Case = tuple[str, Operands]
"""The kind that a measure gives, and what it is given; of climate logs the first is what they show."""

INCH = Fraction("0.0254")
EACH = 400

READ = """
const boundTold = (text) => (text.endsWith("Infinity") ? Number(text) : fractionOf(text));
const valueTold = (v) => v.length === 2 ? { words: v[0] && new Set(v[0]), written: v[1] }
  : typeof v[1] === "string" ? { kind: v[0], low: boundTold(v[1]), high: boundTold(v[2]), unit: v[3], written: v[4] }
  : { kind: v[0], items: v[1].map(valueTold), complete: v[2], most: v[3] };
"""
"""Makes of what a test tells the values that the engine works on."""

MEASURED = """([word, cases]) => cases.map(
  ([made, operands]) => toldValue(MEASURES[word](made, operands.map(valueTold)))
)"""

COMPARED = """([word, cases]) => cases.map(
  ([fact, limits, words]) => COMPARISONS[word].run(valueTold(fact), limits.map(boundTold), new Set(words))
)"""


def amount(chance: Random) -> Fraction:
    """A number that often meets another: whole, of an inch, under zero now and then."""
    drawn = chance.choice((Fraction(0), Fraction(1), Fraction(8), Fraction(chance.randint(0, 99), 7)))
    return drawn if chance.random() < 0.8 else chance.randint(-400, 400) * INCH


def interval(chance: Random, kind: str, unit: str = "") -> Interval:
    """An interval of any sort: exact, wide, without one end, without both."""
    low, high = sorted((amount(chance), amount(chance)))
    one: Bound = low if chance.random() < 0.8 else NO_LOW
    other: Bound = high if chance.random() < 0.8 else NO_HIGH
    exact = chance.random() < 0.4
    return Interval(kind, low if exact else one, low if exact else other, unit or chance.choice(units(kind)))


def not_under(chance: Random, kind: str) -> Interval:
    """One that is nothing or more."""
    low, high = sorted((abs(amount(chance)), abs(amount(chance))))
    return Interval(kind, low, high if chance.random() < 0.8 else NO_HIGH, units(kind)[0])


def units(kind: str) -> tuple[str, ...]:
    """Units that such a kind comes in."""
    many = {"length": ("m", "ft", "in", ""), "temperature": ("°C", "°F", "K", ""), "area": ("m²", "ft²")}
    return many.get(kind, (BASE.get(kind, ""),))


def series(chance: Random, kind: str, count: int) -> Series:
    """A list of them, whole or not."""
    most = chance.choice((None, count, count + 2))
    items = tuple(interval(chance, kind) for _ in range(count))
    return Series(kind, items, most == count, most)


def either(chance: Random, *kinds: str) -> Operands:
    """One of each kind, some of them lists of the same length."""
    count, lists = chance.randint(1, 4), chance.random() < 0.3
    return tuple(series(chance, k, count) if lists and chance.random() < 0.7 else interval(chance, k) for k in kinds)


def two_alike(chance: Random) -> Case:
    """Two of one kind, to be taken from one another."""
    kind = chance.choice(("length", "temperature", "moment", "duration", "humidity"))
    return DIFFERENCE.get(kind, kind), either(chance, kind, kind)


def factors(chance: Random) -> Case:
    """Two that the table knows how to multiply."""
    kinds = chance.choice((("length", "length"), ("number", "length"), ("spread", "volume"), ("area", "number")))
    return product_kind(*kinds) or "", either(chance, *kinds)


def parts(chance: Random) -> Case:
    """Two that the table knows how to divide."""
    kinds = chance.choice((("area", "volume"), ("area", "spread"), ("area", "length"), ("length", "length")))
    return ratio_kind(*kinds) or "", either(chance, *kinds)


def listed(chance: Random) -> Case:
    """A list of readings, empty now and then."""
    kind = chance.choice(("temperature", "length"))
    return kind, (series(chance, kind, chance.randint(0, 4)),)


def scattered(chance: Random) -> Case:
    """The same, of which the spread is asked."""
    kind, operands = listed(chance)
    return DIFFERENCE.get(kind, kind), operands


def table(chance: Random) -> Case:
    """A place, and points of a table with two at one place now and then."""
    points = [Interval("length", x, x, "m") for x in (amount(chance) for _ in range(2 * chance.randint(2, 4)))]
    return "length", (interval(chance, "length"), *points)


def air(chance: Random) -> Case:
    """Air of a temperature and a humidity within their natural ends."""
    t = sorted(Fraction(chance.randint(-500, 1000), chance.choice((10, 9, 7))) for _ in range(2))
    h = sorted(Fraction(chance.randint(0, 1000), 10) for _ in range(2))
    known = [chance.random() < 0.8 for _ in range(4)]
    temperature = Interval("temperature", t[0] if known[0] else NO_LOW, t[1] if known[1] else NO_HIGH, "°F")
    return "temperature", (
        temperature,
        Interval("humidity", h[0] if known[2] else NO_LOW, h[1] if known[3] else NO_HIGH, "%RH"),
    )


def inches(chance: Random, least: int, most: int) -> Interval:
    """A length in whole inches, mostly exact."""
    low = chance.randint(least, most)
    high = low if chance.random() < 0.98 else low + chance.randint(1, 9)
    return Interval("length", low * INCH, high * INCH, "in")


def room(chance: Random) -> Case:
    """Walls and a sheet: a wall without end now and then, one higher than the sheet, a hall, or many short walls."""
    many = chance.random() < 0.2
    count = chance.randint(11, 30) if many else chance.randint(0, 7)
    least, most = (13, 26) if many else (0, chance.choice((60, 150, 700)))
    heights = [
        inches(chance, 40, 40) if many or chance.random() < 0.2 else inches(chance, 0, 100) for _ in range(count)
    ]
    lengths = [inches(chance, least, 36000 if chance.random() < 0.01 else most) for _ in range(count)]
    if count and chance.random() < 0.1:
        lengths[0] = interval(chance, "length")
    complete, listed = chance.random() < 0.9, chance.choice((None, count))
    walls = (Series("length", tuple(items), complete, listed) for items in (lengths, heights))
    sheet = (inches(chance, 30, 60), inches(chance, 60, 100), inches(chance, 0, 26))
    return "number", (*walls, *(interval(chance, "length") if chance.random() < 0.03 else part for part in sheet))


def trim(chance: Random) -> Case:
    """Cuts of trim, up to more than are packed, and a piece, now and then shorter than a cut."""
    count = chance.randint(0, 5)
    cuts: Measured = Series("length", tuple(inches(chance, 1, 96) for _ in range(count)), chance.random() < 0.9, count)
    if chance.random() < 0.2:
        cuts = inches(chance, 1, 96)
    many = [Fraction(chance.choice((0, 1, 1, 2, 3, 900))) for _ in range(count)]
    numbers = tuple(interval(chance, "number") if chance.random() < 0.05 else Interval("number", n, n) for n in many)
    counts: Measured = Series("number", numbers, complete=True, most=count)
    if isinstance(cuts, Interval) or chance.random() < 0.3:
        counts = Interval("number", Fraction(3), Fraction(3))
    return "number", (cuts, counts, inches(chance, 90, 120))


def logged(gives: str, *kinds: str) -> Callable[[Random], Case]:
    """A band of temperature or humidity, and what comes after it."""

    def made(chance: Random) -> Case:
        kind = "temperature" if gives == "degree hours" else chance.choice(("temperature", "humidity"))
        low, high = interval(chance, kind), interval(chance, kind)
        given = {"": kind, "difference": DIFFERENCE.get(kind, kind)}.get(gives, gives)
        band = (low, high) if kinds else ()
        return given, (no_evidence(kind), *band, *(interval(chance, other) for other in kinds or ("moment",)))

    return made


def given(gives: str, *kinds: str) -> Callable[[Random], Case]:
    """So many of these kinds, some of them lists."""
    return lambda chance: (gives, either(chance, *kinds))


CASES: dict[str, Callable[[Random], Case]] = {
    "elapsed": given("duration", "moment", "moment"),
    "difference": two_alike,
    "product": factors,
    "ratio": parts,
    "lowest": listed,
    "highest": listed,
    "count": lambda chance: ("number", listed(chance)[1]),
    "total": lambda chance: ("length", (series(chance, "length", chance.randint(0, 4)),)),
    "spread": scattered,
    "dew_point": air,
    "limit": lambda chance: ("length", tuple(interval(chance, "length") for _ in range(chance.choice((1, 2))))),
    "tests_needed": lambda c: ("number", tuple(not_under(c, k) for k in ("area", "number", "area", "number", "area"))),
    "interpolated": table,
    "on_scale": lambda c: ("moisture %MC", (interval(c, c.choice(("moisture %MC", "moisture %WME"))),)),
    "held": logged("duration", "moment", "duration"),
    "time_in_band": logged("duration", "moment", "moment"),
    "excursions": logged("number", "moment", "moment"),
    "longest_excursion": logged("duration", "moment", "moment"),
    "furthest_out": logged("difference", "moment", "moment"),
    "degree_hours": logged("degree hours", "moment", "moment"),
    "logged_at": logged(""),
    "notch_film": given("length", "length", "length", "length"),
    "spread_rate": given("spread", "length"),
    "joints": given("number", "length", "length"),
    "sheets_needed": room,
    "pieces_needed": trim,
}


def by_the_desk(word: str, operands: Operands) -> list[Any]:
    """What the desk's measure gives; what a log shows of a moment is the unknown of its kind."""
    if word == "logged_at":
        operands = (Interval(operands[0].kind, NO_LOW, NO_HIGH), *operands[1:])
    return told_value(MEASURES[word].run(operands, "%MC"))


def asked(browser: Browser, called: str, word: str, cases: list[Any]) -> Any:  # noqa: ANN401 - JSON
    """What the page answers for these cases of a word."""
    page = browser.new_page()
    page.goto(page_of(ENGINE).as_uri())
    page.add_script_tag(content=TOLD + READ)
    found = page.evaluate(called, [word, cases])
    page.close()
    return found


@pytest.mark.parametrize("word", MEASURES)
def test_a_measure_gives_what_the_desk_s_gives(browser: Browser, word: str) -> None:
    """Over 400 seeded cases of each."""
    chance = Random(word)  # noqa: S311 - test data, not a secret
    cases = [CASES[word](chance) for _ in range(EACH)]
    skipped = 1 if word in LOG_MEASURES else 0
    told = [
        [{"kind": gives, "base": BASE.get(gives, "")}, [told_value(operand) for operand in operands[skipped:]]]
        for gives, operands in cases
    ]
    found = asked(browser, MEASURED, word, told)
    expected = [by_the_desk(word, operands) for _, operands in cases]
    assert [(c, f, e) for (_, c), f, e in zip(told, found, expected, strict=True) if f != e] == []
    assert len({str(one) for one in expected}) > (1 if word in LOG_MEASURES else 10)


WORDS = ("yes", "no", "painted", "bare")


def fact(chance: Random, compares: str) -> Measured:
    """A fact that such a comparison may be made on."""
    if compares == "words" or (compares == "anything" and chance.random() < 0.4):
        return OneOf(None if chance.random() < 0.2 else frozenset(chance.sample(WORDS, chance.randint(0, 3))))
    if compares == "anything" and chance.random() < 0.6:
        return series(chance, "length", chance.randint(0, 3))
    return interval(chance, "length")


@pytest.mark.parametrize("word", COMPARISONS)
def test_a_comparison_says_what_the_desk_s_says(browser: Browser, word: str) -> None:
    """Over 400 seeded cases of each, with facts at their limits among them."""
    chance, comparison = Random(word), COMPARISONS[word]  # noqa: S311 - test data, not a secret
    limits = [sorted(amount(chance) for _ in comparison.sides) for _ in range(EACH)]
    words = [frozenset(chance.sample(WORDS, chance.randint(1, 3))) for _ in range(EACH)]
    cases = list(zip((fact(chance, comparison.compares) for _ in range(EACH)), limits, words, strict=True))
    told = [[told_value(of), [told_bound(limit) for limit in ends], sorted(listed)] for of, ends, listed in cases]
    expected = [comparison.run(of, tuple(ends), listed).value for of, ends, listed in cases]
    assert asked(browser, COMPARED, word, told) == expected
    assert set(expected) == {"pass", "not verified", *(["hold"] if comparison.can_hold else [])}


@pytest.mark.parametrize(("table", "words"), [("MEASURES", MEASURES), ("COMPARISONS", COMPARISONS)])
def test_the_tables_have_the_same_words(browser: Browser, table: str, words: Mapping[str, Any]) -> None:
    """No word more and none less."""
    assert sorted(asked(browser, f"() => Object.keys({table})", "", [])) == sorted(words)
