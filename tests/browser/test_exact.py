"""The form's exact numbers are Python's."""

from __future__ import annotations

import random
from fractions import Fraction
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser

from pages import page_of

FORM = Path(__file__).parents[2] / "templates" / "form"

CALLED = """pairs => pairs.map(([a, b]) => {
  const [x, y] = [fractionOf(a), fractionOf(b)];
  const told = f => `${f.n}/${f.d}`;
  return [added(x, y), subtracted(x, y), times(x, y), y.n ? divided(x, y) : ZERO].map(told)
    .concat([compared(x, y), String(floored(x)), String(ceiled(x)), toNumber(x)]);
})"""


def told(value: Fraction) -> str:
    """A fraction as the page writes it."""
    return f"{value.numerator}/{value.denominator}"


def by_hand(a: Fraction, b: Fraction) -> list[Any]:
    """The same of two numbers by Python's fractions."""
    made = [a + b, a - b, a * b, a / b if b else Fraction(0)]
    compared = (a > b) - (a < b)
    return [*map(told, made), compared, str(a.numerator // a.denominator), str(-(-a.numerator // a.denominator))]


def test_sums_products_and_order_are_those_of_python(browser: Browser) -> None:
    """Over 400 seeded pairs, with whole numbers, noughts and equal ones among them."""
    drawn = random.Random(7)  # noqa: S311 - test data, not a secret
    numbers = [Fraction(drawn.randint(-999, 999), drawn.choice((1, 2, 8, 64, 360, 10**9))) for _ in range(400)]
    pairs = [*zip(numbers, numbers[1:] + numbers[:1], strict=True), (Fraction(0), Fraction(0)), (numbers[0],) * 2]
    page = browser.new_page()
    page.goto(page_of([FORM / "exact.js"]).as_uri())
    found = page.evaluate(CALLED, [[str(a), str(b)] for a, b in pairs])
    assert [row[:7] for row in found] == [by_hand(a, b) for a, b in pairs]
    assert all(
        abs(row[7] - float(a)) <= 1e-15 * max(1.0, abs(float(a))) for row, (a, _) in zip(found, pairs, strict=True)
    )
