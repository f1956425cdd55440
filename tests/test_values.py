"""Values: an interval holds a number, and what is wider includes what is narrower."""

from __future__ import annotations

from fractions import Fraction

import pytest

from wallwalk.values import ANY_WORD, NO_HIGH, NO_LOW, Bound, Interval, OneOf, unknown_interval

F = Fraction


def test_an_interval_that_holds_no_number_is_refused() -> None:
    """From 2 to 1 there is no number; from 2 to 2 there is one."""
    assert Interval("length", F(2), F(2)).low == F(2)
    with pytest.raises(ValueError, match=r"^an interval of length from 2 to 1 holds no number$"):
        Interval("length", F(2), F(1))


@pytest.mark.parametrize(
    ("low", "high", "known"),
    [(F(1), F(1), True), (F(1), F(2), True), (NO_LOW, F(2), False), (F(1), NO_HIGH, False), (NO_LOW, NO_HIGH, False)],
)
def test_a_quantity_is_known_when_it_ends_on_both_sides(low: Bound, high: Bound, known: bool) -> None:
    """One end without bound is enough for it not to be known."""
    assert Interval("length", low, high).is_known is known


@pytest.mark.parametrize(
    ("other", "included"),
    [
        ((F(1), F(3)), True),
        ((F(1), F(1)), True),
        ((F(3), F(3)), True),
        ((F(0), F(3)), False),
        ((F(1), F(4)), False),
        ((F(0), F(4)), False),
        ((F(4), F(5)), False),
        ((NO_LOW, F(2)), False),
        ((F(2), NO_HIGH), False),
    ],
)
def test_one_to_three_includes_what_lies_in_it(other: tuple[Bound, Bound], included: bool) -> None:
    """Its ends are its own; one number more on either side is not (table made by hand)."""
    assert Interval("number", F(1), F(3)).includes(Interval("number", *other)) is included


def words(*possible: str) -> OneOf:
    """An answer that may be any of these words."""
    return OneOf(frozenset(possible))


@pytest.mark.parametrize(
    ("wide", "narrow", "included"),
    [
        (ANY_WORD, ANY_WORD, True),
        (ANY_WORD, words("a"), True),
        (words("a", "b"), ANY_WORD, False),
        (words("a", "b"), words("a"), True),
        (words("a", "b"), words("a", "b"), True),
        (words("a"), words("a", "b"), False),
        (words("a"), words("b"), False),
    ],
)
def test_an_answer_includes_those_with_fewer_words_left(wide: OneOf, narrow: OneOf, included: bool) -> None:
    """Any word includes every answer; else no word may be left over (table made by hand)."""
    assert wide.includes(narrow) is included


@pytest.mark.parametrize(("answer", "known"), [(words("a"), True), (words("a", "b"), False), (ANY_WORD, False)])
def test_an_answer_is_known_when_one_word_is_left(answer: OneOf, known: bool) -> None:
    """Two words left, or any at all, is not known."""
    assert answer.is_known is known


def test_of_the_unknown_interval_nothing_is_known_but_its_kind() -> None:
    """It has no end, is written in no unit unless one is given, and comes from no text."""
    assert unknown_interval("length") == Interval("length", NO_LOW, NO_HIGH, "", "")
    assert unknown_interval("length", "ft") == Interval("length", NO_LOW, NO_HIGH, "ft", "")
