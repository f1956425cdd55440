"""Stretches of time, joined and cut: worked by hand, and held against sets of single moments."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wallwalk.spans import EVER, Spans, intersection, length, longest, rest, total, union, within
from wallwalk.values import NO_HIGH, NO_LOW, Bound

F = Fraction


@pytest.mark.parametrize(
    ("many", "joined"),
    [
        ([], ()),
        ([()], ()),
        ([((0, 5),)], ((0, 5),)),
        ([((0, 5), (7, 9))], ((0, 5), (7, 9))),
        ([((0, 5),), ((5, 9),)], ((0, 9),)),  # they meet
        ([((0, 9),), ((2, 3),)], ((0, 9),)),  # one lies in the other
        ([((7, 9),), ((0, 5),), ((4, 8),)], ((0, 9),)),  # one bridges two, and none is in order
        ([((5, 5),), ((5, 5),)], ((5, 5),)),  # one moment, twice
        ([((0, 5),), ((5, 5),)], ((0, 5),)),
        ([((0, 5),), ((6, 6),)], ((0, 5), (6, 6))),
        ([((NO_LOW, 0),), ((0, 4),), ((6, NO_HIGH),)], ((NO_LOW, 4), (6, NO_HIGH))),
    ],
)
def test_a_union_is_every_moment_of_any(many: list[Spans], joined: Spans) -> None:
    """Spans that meet or overlap become one, those apart stay apart, and single moments count."""
    assert union(*many) == joined


@pytest.mark.parametrize(
    ("first", "second", "both"),
    [
        ((), ((0, 5),), ()),
        (((0, 5),), ((6, 9),), ()),
        (((0, 5),), ((5, 9),), ((5, 5),)),  # they meet in one moment
        (((0, 5),), ((3, 9),), ((3, 5),)),
        (((0, 9),), ((2, 3), (4, 5)), ((2, 3), (4, 5))),
        (((0, 3), (6, 9)), ((2, 7),), ((2, 3), (6, 7))),
        (((0, 5),), ((0, 5),), ((0, 5),)),
        (((4, 4),), ((0, 5),), ((4, 4),)),
        (((4, 4),), ((4, 4),), ((4, 4),)),
        (EVER, ((0, 5), (7, NO_HIGH)), ((0, 5), (7, NO_HIGH))),
    ],
)
def test_an_intersection_is_every_moment_of_both(first: Spans, second: Spans, both: Spans) -> None:
    """Whichever of the two comes first; where spans only meet, that one moment is in both."""
    assert intersection(first, second) == intersection(second, first) == both


@pytest.mark.parametrize(
    ("begins", "ends", "left"),
    [
        (0, 9, ((0, 3), (6, 6), (8, 9))),
        (1, 8, ((1, 3), (6, 6), (8, 8))),
        (3, 6, ((3, 3), (6, 6))),
        (4, 5, ()),
        (6, 6, ((6, 6),)),
        (5, 4, ()),  # no span at all
        (NO_LOW, NO_HIGH, ((0, 3), (6, 6), (8, 9))),
    ],
)
def test_within_cuts_at_both_ends_and_keeps_them(begins: Bound, ends: Bound, left: Spans) -> None:
    """Both ends are in the window; a window that ends before it begins holds nothing."""
    assert within(((0, 3), (6, 6), (8, 9)), begins, ends) == left


@pytest.mark.parametrize(
    ("spans", "others"),
    [
        ((), EVER),
        (EVER, ()),
        (((0, 5),), ((NO_LOW, 0), (5, NO_HIGH))),
        (((0, 5), (7, 9)), ((NO_LOW, 0), (5, 7), (9, NO_HIGH))),
        (((5, 5),), ((NO_LOW, 5), (5, NO_HIGH))),  # a single moment parts what lies about it
        (((NO_LOW, 0), (5, NO_HIGH)), ((0, 5),)),
    ],
)
def test_the_rest_lies_before_between_and_after(spans: Spans, others: Spans) -> None:
    """Every stretch that has a length and is not in them; the ends are shared, and no single moment is left over."""
    assert rest(spans) == others


def test_lengths_are_exact_and_a_moment_has_none() -> None:
    """Seconds from begin to end; of the moment without begin or end too, and of nothing."""
    third = F(1, 3)
    assert [length((0, third)), length((4, 4)), length((NO_LOW, 4)), length((NO_HIGH, NO_HIGH))] == [
        third,
        0,
        NO_HIGH,
        0,
    ]
    assert [total(()), total(((0, third), (1, 2), (5, 5))), total(((0, 1), (5, NO_HIGH)))] == [0, F(4, 3), NO_HIGH]
    assert [longest(()), longest(((0, third), (1, 2), (5, 5))), longest(((5, 5),))] == [0, 1, 0]


def moments(spans: Spans) -> set[int]:
    """Every whole moment of `spans`, from -1 to 31."""
    return {m for begins, ends in spans for m in range(-1, 32) if begins <= m <= ends}


# Even ends, so that the odd moments lie between them and none can hide.
ends = st.integers(0, 15).map(lambda n: F(2 * n))
loose = st.lists(st.tuples(ends, ends).map(lambda two: (min(two), max(two))), max_size=6)
apart = loose.map(union)


@given(many=st.lists(loose, max_size=4))
def test_a_union_has_the_moments_of_any_in_order_and_apart(many: list[list[tuple[F, F]]]) -> None:
    """Moment by moment, of spans in any order; and no two of the result meet."""
    joined = union(*many)
    assert moments(joined) == {m for spans in many for m in moments(tuple(spans))}
    assert all(one[1] < other[0] for one, other in pairwise(joined))
    assert union(joined) == joined


@given(first=apart, second=apart)
def test_an_intersection_has_the_moments_of_both(first: Spans, second: Spans) -> None:
    """Moment by moment; and cutting what was cut changes nothing."""
    both = intersection(first, second)
    assert moments(both) == moments(first) & moments(second)
    assert intersection(both, first) == intersection(first, second)


@given(spans=apart)
def test_spans_and_their_rest_fill_all_time_and_share_only_ends(spans: Spans) -> None:
    """The odd moments, which no end is at, lie in one of the two; and together they last for all of a window."""
    others = rest(spans)
    assert moments(union(spans, others)) == moments(EVER)
    assert moments(spans) & moments(others) == {m for m in moments(spans) & moments(others) if m % 2 == 0}
    assert total(within(spans, F(0), F(30))) + total(within(others, F(0), F(30))) == 30
    assert longest(spans) == max((total((span,)) for span in spans), default=0)
