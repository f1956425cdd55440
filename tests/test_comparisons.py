"""Comparisons judge the whole of a fact, and a fact less well known can only move the answer to *not verified*."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wallwalk.comparisons import COMPARISONS, all_of, any_of
from wallwalk.quantities import parse_quantity
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval, Measured, OneOf, Series, Verdict

PASS, HOLD, NOT_VERIFIED = Verdict.PASS, Verdict.HOLD, Verdict.NOT_VERIFIED
F = Fraction


def judged(word: str, fact: Measured, *limits: Fraction | int, words: str = "") -> Verdict:
    """The verdict of one comparison; `words` are parted by spaces."""
    return COMPARISONS[word].run(fact, tuple(map(F, limits)), frozenset(words.split()))


def span(low: Bound | int, high: Bound | int) -> Interval:
    """A number from `low` to `high`."""
    return Interval("number", F(low) if isinstance(low, int) else low, F(high) if isinstance(high, int) else high)


def word_of(*words: str) -> OneOf:
    """An answer that may be any of `words`."""
    return OneOf(frozenset(words))


ANY = OneOf(None)


@pytest.mark.parametrize(
    ("low", "high", "at_least", "at_most"),
    [
        (10, 10, PASS, PASS),
        (F(10) - F(1, 10**30), F(10) - F(1, 10**30), HOLD, PASS),
        (F(10) + F(1, 10**30), F(10) + F(1, 10**30), PASS, HOLD),
        (9, 11, NOT_VERIFIED, NOT_VERIFIED),
        (10, 11, PASS, NOT_VERIFIED),
        (9, 10, NOT_VERIFIED, PASS),
        (11, NO_HIGH, PASS, HOLD),
        (10, NO_HIGH, PASS, NOT_VERIFIED),
        (9, NO_HIGH, NOT_VERIFIED, NOT_VERIFIED),
        (NO_LOW, 9, HOLD, PASS),
        (NO_LOW, 10, NOT_VERIFIED, PASS),
        (NO_LOW, 11, NOT_VERIFIED, NOT_VERIFIED),
        (NO_LOW, NO_HIGH, NOT_VERIFIED, NOT_VERIFIED),
    ],
)
def test_at_least_and_at_most_ten(low: Bound | int, high: Bound | int, at_least: Verdict, at_most: Verdict) -> None:
    """The limit itself satisfies both; a fact that lies on both sides is not verified (table made by hand)."""
    assert judged("at_least", span(low, high), 10) is at_least
    assert judged("at_most", span(low, high), 10) is at_most


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        (10, 10, PASS),
        (20, 20, PASS),
        (10, 20, PASS),
        (F(10) - F(1, 10**30), F(10) - F(1, 10**30), HOLD),
        (F(20) + F(1, 10**30), F(20) + F(1, 10**30), HOLD),
        (9, 15, NOT_VERIFIED),
        (15, 21, NOT_VERIFIED),
        (5, 25, NOT_VERIFIED),
        (9, 10, NOT_VERIFIED),
        (20, 21, NOT_VERIFIED),
        (NO_LOW, 9, HOLD),
        (NO_LOW, 10, NOT_VERIFIED),
        (21, NO_HIGH, HOLD),
        (20, NO_HIGH, NOT_VERIFIED),
        (NO_LOW, NO_HIGH, NOT_VERIFIED),
    ],
)
def test_between_ten_and_twenty(low: Bound | int, high: Bound | int, expected: Verdict) -> None:
    """Both limits are within; a fact that straddles either is not verified (table made by hand)."""
    assert judged("between", span(low, high), 10, 20) is expected


@pytest.mark.parametrize(
    ("fact", "words", "is_one", "is_none"),
    [
        (word_of("yes"), "yes", PASS, HOLD),
        (word_of("no"), "yes", HOLD, PASS),
        (word_of("yes", "no"), "yes", NOT_VERIFIED, NOT_VERIFIED),
        (ANY, "yes", NOT_VERIFIED, NOT_VERIFIED),
        (OneOf(frozenset()), "yes", NOT_VERIFIED, NOT_VERIFIED),
        (word_of("tile"), "tile metal", PASS, HOLD),
        (word_of("tile", "metal"), "tile metal", PASS, HOLD),
        (word_of("tile", "brick"), "tile metal", NOT_VERIFIED, NOT_VERIFIED),
        (word_of("brick", "wood"), "tile metal", HOLD, PASS),
    ],
)
def test_words(fact: OneOf, words: str, is_one: Verdict, is_none: Verdict) -> None:
    """Every word still possible must satisfy, and none of them for a hold; `is_not` is no way to pass on silence."""
    assert judged("is", fact, words=words) is judged("is_one_of", fact, words=words) is is_one
    assert judged("is_not", fact, words=words) is judged("is_none_of", fact, words=words) is is_none


@pytest.mark.parametrize(
    ("fact", "expected"),
    [
        (span(3, 3), PASS),
        (span(3, 5), PASS),
        (span(3, NO_HIGH), NOT_VERIFIED),
        (span(NO_LOW, 3), NOT_VERIFIED),
        (span(NO_LOW, NO_HIGH), NOT_VERIFIED),
        (word_of("no"), PASS),
        (word_of("yes", "no"), NOT_VERIFIED),
        (OneOf(frozenset()), NOT_VERIFIED),
        (ANY, NOT_VERIFIED),
        (Series("number", (span(3, 3), span(4, 4)), complete=True), PASS),
        (Series("number", (span(3, 3), span(4, NO_HIGH)), complete=True), NOT_VERIFIED),
        (Series("number", (span(3, 3),), complete=False, most=1), NOT_VERIFIED),
        (Series("number", (), complete=True), NOT_VERIFIED),
        (Series("choice", (word_of("a"), ANY), complete=True), NOT_VERIFIED),
    ],
)
def test_stated(fact: Measured, expected: Verdict) -> None:
    """What is written down passes, what is not is not verified, and nothing holds; an empty list states nothing."""
    assert judged("stated", fact) is expected


def test_every_word_has_a_truth_table_above() -> None:
    """A new comparison fails here until its table is written; only `stated` cannot hold."""
    tested = {"at_least", "at_most", "between", "is", "is_not", "is_one_of", "is_none_of", "stated"}
    assert set(COMPARISONS) == tested
    assert {word for word, row in COMPARISONS.items() if not row.can_hold} == {"stated"}


@pytest.mark.parametrize(
    ("reading", "expected"),
    [
        # JCGM 106:2012 section 8.3, guarded acceptance with a guard band of U (k = 2), limits 60 to 80 °F.
        ("62 ± 2 °F", PASS),
        ("78 ± 2 °F", PASS),
        ("70 ± 10 °F", PASS),
        ("61.9 ± 2 °F", NOT_VERIFIED),
        ("78.1 ± 2 °F", NOT_VERIFIED),
        ("60 ± 2 °F", NOT_VERIFIED),
        ("58 ± 2 °F", NOT_VERIFIED),
        ("82 ± 2 °F", NOT_VERIFIED),
        ("57.9 ± 2 °F", HOLD),
        ("82.1 ± 2 °F", HOLD),
    ],
)
def test_guarded_acceptance(reading: str, expected: Verdict) -> None:
    """y ± U wholly inside the limits passes, wholly outside holds, and nearer a limit than U is not verified."""
    limits = [Fraction(parse_quantity(t, "temperature").low) for t in ("60 °F", "80 °F")]
    assert judged("between", parse_quantity(reading, "temperature"), *limits) is expected


def test_the_worked_example_of_jcgm_106_is_not_verified() -> None:
    """JCGM 106:2012 section 7.4: y = 13.6, u = 1.8 (U = 3.6), limits 12.5 to 16.3: probability 0.66, no acceptance."""
    assert judged("between", parse_quantity("13.6 ± 3.6", "number"), F("12.5"), F("16.3")) is NOT_VERIFIED


@pytest.mark.parametrize("word", ["at_least", "at_most", "between"])
@pytest.mark.parametrize("fact", [word_of("yes"), ANY, Series("number", (span(3, 3),), complete=True)])
def test_a_number_is_never_compared_with_what_is_none(word: str, fact: Measured) -> None:
    """A wrong type is no verdict of any kind."""
    with pytest.raises(TypeError, match=r"^a comparison with a number needs a quantity$"):
        judged(word, fact, 1, 2)


@pytest.mark.parametrize("word", ["is", "is_not", "is_one_of", "is_none_of"])
@pytest.mark.parametrize("fact", [span(3, 3), Series("choice", (word_of("a"),), complete=True)])
def test_a_word_is_never_compared_with_what_is_none(word: str, fact: Measured) -> None:
    """A wrong type is no verdict of any kind."""
    with pytest.raises(TypeError, match=r"^a comparison with a word needs an answer in words$"):
        judged(word, fact, words="a")


# -- the law ----------------------------------------------------------------------------------------------------------

numbers = st.fractions(-4, 4, max_denominator=3)
WORDS = ("a", "b", "c", "d")
word_sets = st.frozensets(st.sampled_from(WORDS), min_size=1)


@st.composite
def spans(draw: st.DrawFn) -> tuple[Interval, Interval]:
    """An interval, and one that includes it."""
    low, high = sorted((draw(numbers), draw(numbers)))
    if draw(st.booleans()):
        high = low
    less, more = draw(st.fractions(0, 4, max_denominator=3)), draw(st.fractions(0, 4, max_denominator=3))
    lows: list[Bound] = [low, low - less, NO_LOW]
    highs: list[Bound] = [high, high + more, NO_HIGH]
    wide_low, wide_high = draw(st.sampled_from(lows)), draw(st.sampled_from(highs))
    return Interval("number", low, high), Interval("number", wide_low, wide_high)


@st.composite
def answers(draw: st.DrawFn) -> tuple[OneOf, OneOf]:
    """A set of words, and one that includes it."""
    narrow = draw(word_sets)
    return OneOf(narrow), draw(st.sampled_from([OneOf(None), OneOf(narrow | draw(word_sets)), OneOf(narrow)]))


@pytest.mark.slow
@given(st.sampled_from(["at_least", "at_most", "between", "stated"]), spans(), numbers, numbers)
def test_a_wider_quantity_has_the_same_verdict_or_none(
    word: str, facts: tuple[Interval, Interval], first: Fraction, second: Fraction
) -> None:
    """Also where an overlay has turned two limits round: no widening makes a pass of a hold, or a hold of a pass."""
    narrow, wide = facts
    assert judged(word, wide, first, second) in {judged(word, narrow, first, second), NOT_VERIFIED}


@given(st.sampled_from(["is", "is_not", "is_one_of", "is_none_of", "stated"]), answers(), word_sets)
def test_a_wider_answer_has_the_same_verdict_or_none(
    word: str, facts: tuple[OneOf, OneOf], words: frozenset[str]
) -> None:
    """More words possible never make a pass of a hold, or a hold of a pass."""
    narrow, wide = facts
    run = COMPARISONS[word].run
    assert run(wide, (), words) in {run(narrow, (), words), NOT_VERIFIED}


@pytest.mark.slow
@given(st.lists(spans(), max_size=4), st.booleans(), st.booleans(), st.booleans())
def test_a_list_known_less_well_is_stated_no_better(
    pairs: list[tuple[Interval, Interval]], complete: bool, still_complete: bool, loses: bool
) -> None:
    """Entries widened or forgotten, or a list no longer known to be whole: the same verdict or none."""
    narrow = Series("number", tuple(n for n, _ in pairs), complete)
    loses = loses and bool(pairs)
    wide = Series("number", tuple(w for _, w in pairs[loses:]), complete and still_complete and not loses)
    assert judged("stated", wide) in {judged("stated", narrow), NOT_VERIFIED}


@given(spans(), numbers, numbers)
def test_a_verdict_is_true_of_every_number_the_fact_may_be(
    facts: tuple[Interval, Interval], limit: Fraction, within: Fraction
) -> None:
    """Where the whole fact passes (or holds), so does each number in it, by plain comparison."""
    _, fact = facts
    number = min(max(within, fact.low), fact.high)
    assert judged("at_least", fact, limit) in {PASS if number >= limit else HOLD, NOT_VERIFIED}
    assert judged("at_most", fact, limit) in {PASS if number <= limit else HOLD, NOT_VERIFIED}


@given(numbers, numbers, numbers)
def test_an_exact_fact_always_has_a_verdict(number: Fraction, first: Fraction, second: Fraction) -> None:
    """*Not verified* is for what is not known: one number passes or holds, by plain comparison."""
    fact, low, high = Interval("number", number, number), min(first, second), max(first, second)
    assert judged("at_least", fact, first) is (PASS if number >= first else HOLD)
    assert judged("at_most", fact, first) is (PASS if number <= first else HOLD)
    assert judged("between", fact, low, high) is (PASS if low <= number <= high else HOLD)


# -- combining --------------------------------------------------------------------------------------------------------

# Kleene's strong three-valued logic (Introduction to Metamathematics, 1952, section 64): conjunction, disjunction.
KLEENE = [
    (PASS, PASS, PASS, PASS),
    (PASS, NOT_VERIFIED, NOT_VERIFIED, PASS),
    (PASS, HOLD, HOLD, PASS),
    (NOT_VERIFIED, PASS, NOT_VERIFIED, PASS),
    (NOT_VERIFIED, NOT_VERIFIED, NOT_VERIFIED, NOT_VERIFIED),
    (NOT_VERIFIED, HOLD, HOLD, NOT_VERIFIED),
    (HOLD, PASS, HOLD, PASS),
    (HOLD, NOT_VERIFIED, HOLD, NOT_VERIFIED),
    (HOLD, HOLD, HOLD, HOLD),
]


@pytest.mark.parametrize(("first", "second", "both", "either"), KLEENE)
def test_two_verdicts_combine_as_kleene_has_them(
    first: Verdict, second: Verdict, both: Verdict, either: Verdict
) -> None:
    """all_of: hold over not verified over pass; any_of: pass over not verified over hold."""
    assert all_of((first, second)) is both
    assert any_of((first, second)) is either


def test_the_table_of_kleene_is_whole() -> None:
    """Every pair of verdicts is in it."""
    assert {(a, b) for a, b, _, _ in KLEENE} == set(product(Verdict, repeat=2))


@pytest.mark.parametrize("verdicts", list(product(Verdict, repeat=3)))
def test_many_verdicts_combine_as_two_at_a_time(verdicts: tuple[Verdict, Verdict, Verdict]) -> None:
    """Order and grouping change nothing; one alone is itself."""
    first, second, third = verdicts
    for combine in (all_of, any_of):
        assert combine(verdicts) is combine((first, combine((second, third))))
        assert combine(verdicts) is combine((third, first, second))
        assert combine((first,)) is first


@pytest.mark.parametrize("verdicts", list(product(Verdict, repeat=3)))
def test_a_part_not_verified_never_turns_the_whole_round(verdicts: tuple[Verdict, Verdict, Verdict]) -> None:
    """Replace any part by *not verified*: the whole stays, or is not verified."""
    for combine in (all_of, any_of):
        for place in range(3):
            known_less = (*verdicts[:place], NOT_VERIFIED, *verdicts[place + 1 :])
            assert combine(known_less) in {combine(verdicts), NOT_VERIFIED}


def test_nothing_has_no_verdict() -> None:
    """An empty list is no way to a pass, nor to anything else."""
    with pytest.raises(ValueError, match=r"^all_of of nothing has no verdict$"):
        all_of(())
    with pytest.raises(ValueError, match=r"^any_of of nothing has no verdict$"):
        any_of(())
