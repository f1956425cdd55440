"""Each measure of the form gives what the desk's gives, for amounts that no survey of the other tests may hold."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Browser

from pages import page_of
from test_one_engine import ENGINE, told_value
from wallwalk.evidence import no_evidence
from wallwalk.log_measures import LOG_MEASURES
from wallwalk.measure import DIFFERENCE
from wallwalk.measures import MEASURES, product_kind, ratio_kind
from wallwalk.units import BASE
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval, Measured, Series

Operands = tuple[Any, ...]
Case = tuple[str, Operands]
"""The kind that a measure gives, and what it is given; of climate logs the first is what they show."""

INCH = Fraction("0.0254")
EACH = 400

CALLED = """([word, cases]) => cases.map(([made, picked, operands]) => {
  const bound = (text) => (text.endsWith("Infinity") ? Number(text) : fractionOf(text));
  const value = (v) => typeof v[1] === "string"
    ? { kind: v[0], low: bound(v[1]), high: bound(v[2]), unit: v[3], written: v[4] }
    : { kind: v[0], items: v[1].map(value), complete: v[2], most: v[3] };
  const told = (b) => (isEnd(b) ? String(b) : `${b.n}/${b.d}`);
  const toldValue = (v) => isSeries(v)
    ? [v.kind, v.items.map(toldValue), v.complete, v.most] : [v.kind, told(v.low), told(v.high), v.unit, v.written];
  return toldValue(MEASURES[word]({ ...made, picked }, operands.map(value)));
})"""


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
    high = low if chance.random() < 0.95 else low + chance.randint(1, 9)
    return Interval("length", low * INCH, high * INCH, "in")


def room(chance: Random) -> Case:
    """Walls and a sheet; now and then a wall without end, one higher than the sheet, or a hall of 3000 feet."""
    count, few = chance.randint(0, 7), chance.choice((60, 150, 700))
    heights = [inches(chance, 0, 100) if chance.random() < 0.8 else inches(chance, 40, 40) for _ in range(count)]
    lengths = [inches(chance, 0, 36000 if chance.random() < 0.02 else few) for _ in range(count)]
    if count and chance.random() < 0.1:
        lengths[0] = interval(chance, "length")
    complete, most = chance.random() < 0.9, chance.choice((None, count))
    walls = (Series("length", tuple(items), complete, most) for items in (lengths, heights))
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


@pytest.mark.parametrize("word", MEASURES)
def test_a_measure_gives_what_the_desk_s_gives(browser: Browser, word: str) -> None:
    """Over 400 seeded cases of each."""
    chance = Random(word)  # noqa: S311 - test data, not a secret
    cases = [CASES[word](chance) for _ in range(EACH)]
    skipped = 1 if word in LOG_MEASURES else 0
    told = [
        [{"kind": gives, "base": BASE.get(gives, "")}, "%MC", [told_value(o) for o in operands[skipped:]]]
        for gives, operands in cases
    ]
    page = browser.new_page()
    page.goto(page_of(ENGINE).as_uri())
    found = page.evaluate(CALLED, [word, told])
    page.close()
    expected = [by_the_desk(word, operands) for _, operands in cases]
    assert [(c, f, e) for (_, c), f, e in zip(cases, found, expected, strict=True) if f != e] == []
    assert len({str(one) for one in expected}) > (1 if word in LOG_MEASURES else 10)
