"""The closed table of comparisons: a whole fact against a limit gives pass, hold or not verified.

Each word is one row of `COMPARISONS`. All of the fact satisfies the limit: pass. None of it does: hold. Otherwise
not verified, so that a wider fact can only ever move the answer there.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from wallwalk.values import Bound, Interval, Measured, OneOf, Series, Verdict
from wallwalk.words import fixed

PASS, HOLD, NOT_VERIFIED = Verdict.PASS, Verdict.HOLD, Verdict.NOT_VERIFIED
Limits = tuple[Fraction, ...]
Words = frozenset[str]


@dataclass(frozen=True, slots=True)
class Comparison:
    """One word of the table.

    `compares`: quantity (with limits), words (with words or a limit of words), or anything (with nothing).
    `sides` says how each limit binds the fact, "min" or "max". `phrase` shows the requirement to people: a fixed word
    with a place for the `limit`, for `low` and `high`, or for the `words`.
    """

    compares: str
    sides: tuple[str, ...]
    phrase: str
    run: Callable[[Measured, Limits, Words], Verdict]
    can_hold: bool = True


def _at_least(fact: Measured, limits: Limits, _: Words) -> Verdict:
    low, high = _ends(fact)
    return PASS if low >= limits[0] else HOLD if high < limits[0] else NOT_VERIFIED


def _at_most(fact: Measured, limits: Limits, _: Words) -> Verdict:
    low, high = _ends(fact)
    return PASS if high <= limits[0] else HOLD if low > limits[0] else NOT_VERIFIED


def _between(fact: Measured, limits: Limits, _: Words) -> Verdict:
    low, high = _ends(fact)
    if low >= limits[0] and high <= limits[1]:
        return PASS
    return HOLD if high < limits[0] or low > limits[1] else NOT_VERIFIED


def _is(fact: Measured, _: Limits, words: Words) -> Verdict:
    possible = _possible(fact)
    if possible is None:
        return NOT_VERIFIED
    return PASS if possible <= words else HOLD if not possible & words else NOT_VERIFIED


def _is_not(fact: Measured, _: Limits, words: Words) -> Verdict:
    possible = _possible(fact)
    if possible is None:
        return NOT_VERIFIED
    return PASS if not possible & words else HOLD if possible <= words else NOT_VERIFIED


def _stated(fact: Measured, _: Limits, __: Words) -> Verdict:
    if isinstance(fact, Series):
        return PASS if fact.complete and fact.items and all(i.is_known for i in fact.items) else NOT_VERIFIED
    return PASS if fact.is_known else NOT_VERIFIED


def _ends(fact: Measured) -> tuple[Bound, Bound]:
    if not isinstance(fact, Interval):
        raise TypeError("a comparison with a number needs a quantity")
    return fact.low, fact.high


def _possible(fact: Measured) -> Words | None:
    if not isinstance(fact, OneOf):
        raise TypeError("a comparison with a word needs an answer in words")
    return fact.possible or None


COMPARISONS: Mapping[str, Comparison] = {
    "at_least": Comparison("quantity", ("min",), fixed("at least {limit}"), _at_least),
    "at_most": Comparison("quantity", ("max",), fixed("at most {limit}"), _at_most),
    "between": Comparison("quantity", ("min", "max"), fixed("{low} to {high}"), _between),
    "is": Comparison("words", (), "{words}", _is),
    "is_not": Comparison("words", (), fixed("not {words}"), _is_not),
    "is_one_of": Comparison("words", (), fixed("one of: {words}"), _is),
    "is_none_of": Comparison("words", (), fixed("none of: {words}"), _is_not),
    "stated": Comparison("anything", (), fixed("stated"), _stated, can_hold=False),
}


def all_of(verdicts: tuple[Verdict, ...]) -> Verdict:
    """Hold if any holds, else not verified if any is not verified, else pass. Never of nothing."""
    if not verdicts:
        raise ValueError("all_of of nothing has no verdict")
    return next((v for v in (HOLD, NOT_VERIFIED) if v in verdicts), PASS)


def any_of(verdicts: tuple[Verdict, ...]) -> Verdict:
    """Pass if any passes, else not verified if any is not verified, else hold. Never of nothing."""
    if not verdicts:
        raise ValueError("any_of of nothing has no verdict")
    return next((v for v in (PASS, NOT_VERIFIED) if v in verdicts), HOLD)
