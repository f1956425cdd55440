"""What climate logs show of a band: each fact worked by hand at its boundaries, and the law at its root.

The band is 20 to 30 °C and a row is due every 10 s, so that rows up to 15 s apart are joined and others have a hole
between them.
"""

from __future__ import annotations

import pytest
from logs_by_hand import Ends, Log, duration, every_row, log, moment

from wallwalk.evidence import (
    Evidence,
    combine,
    degree_hours,
    excursions,
    furthest_out,
    held,
    longest_excursion,
    no_evidence,
    time_in_band,
)
from wallwalk.spans import EVER, Spans
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval, unknown_interval


def seen(*logs: Log, complete: bool = True) -> Evidence:
    """What the logs show together."""
    return combine("temperature", [one.runs() for one in logs], complete=complete)


def ends(interval: Interval) -> Ends:
    """The two ends of a fact."""
    return interval.low, interval.high


def kept(evidence: Evidence, until: int | Interval, forgiving: int | Interval) -> Ends:
    """How long the band was held, in seconds."""
    at = moment(until) if isinstance(until, int) else until
    return ends(held(evidence, at, duration(forgiving) if isinstance(forgiving, int) else forgiving))


# -- what the logs show ---------------------------------------------------------------------------------------------


def test_between_rows_that_differ_the_air_is_neither_in_nor_out() -> None:
    """In, in, below, below, in, and then nothing to the end: where it is surely in, out, unseen and doubtful."""
    found = seen(log(every_row(25, 25, 15, 15, 25), ended=60))
    assert (found.inside, found.outside) == (((0, 10), (40, 40)), ((20, 30),))
    assert found.unseen == found.doubtful == ((NO_LOW, 0), (40, NO_HIGH))


def test_rows_at_either_end_of_the_band_are_in_it_and_a_row_on_its_own_counts() -> None:
    """20 and 30 °C are in the band. A row that no other is joined to shows its own moment."""
    found = seen(log({0: 20, 10: 30, 40: 31, 70: 20}, ended=70))
    assert (found.inside, found.outside) == (((0, 10), (70, 70)), ((40, 40),))
    assert found.unseen == ((NO_LOW, 0), (10, NO_HIGH))


@pytest.mark.parametrize(("at", "inside", "unseen"), [(25, ((0, 35),), ()), (26, ((0, 10), (26, 36)), ((10, 26),))])
def test_a_hole_is_longer_than_one_and_a_half_times_what_the_logger_writes(
    at: int, inside: Spans, unseen: Spans
) -> None:
    """Rows exactly 15 s apart are joined; a second more, and nothing between them was seen."""
    found = seen(log({0: 25, 10: 25, at: 25, at + 10: 25}, ended=at + 10))
    assert (found.inside, found.unseen) == (inside, ((NO_LOW, 0), *unseen, (at + 10, NO_HIGH)))


@pytest.mark.parametrize(
    ("amount", "inside", "outside", "doubtful"),
    [
        (22, ((0, 40),), (), ()),  # 20 to 24
        (21, ((0, 10), (30, 40)), (), ((10, 30),)),  # 19 to 23
        (18, ((0, 10), (30, 40)), (), ((10, 30),)),  # 16 to 20
        (17, ((0, 10), (30, 40)), ((20, 20),), ()),  # 15 to 19
        (28, ((0, 40),), (), ()),  # 26 to 30
        (32, ((0, 10), (30, 40)), (), ((10, 30),)),  # 30 to 34
        (33, ((0, 10), (30, 40)), ((20, 20),), ()),  # 31 to 35
    ],
)
def test_a_row_nearer_to_an_end_than_its_uncertainty_is_neither(
    amount: int, inside: Spans, outside: Spans, doubtful: Spans
) -> None:
    """± 2 °C: all of it in the band is in, all of it beyond one end is out, and what touches an end is in doubt."""
    found = seen(log(every_row(25, 25, amount, 25, 25), ended=40, spread=2))
    assert (found.inside, found.outside) == (inside, outside)
    assert (found.unseen, found.doubtful) == (((NO_LOW, 0), (40, NO_HIGH)), ((NO_LOW, 0), *doubtful, (40, NO_HIGH)))


def test_from_below_to_above_the_air_is_in_the_band_at_some_moment_nobody_saw() -> None:
    """Out on one side and then on the other: two stretches surely out, and neither between them."""
    found = seen(log(every_row(15, 15, 35, 35), ended=30))
    assert (found.inside, found.outside) == ((), ((0, 10), (20, 30)))


def test_one_log_that_says_otherwise_is_enough() -> None:
    """The air is in where no log says otherwise, and out where any does."""
    found = seen(log(every_row(25, 25, 25, 25)), log(every_row(25, 25, 15, 15)))
    assert (found.inside, found.outside) == (((0, 10),), ((20, 30),))


def test_a_log_says_nothing_of_the_time_when_it_did_not_stand_there() -> None:
    """One for all of the time, and one from 20 s that has no row until 30 s: in but for those ten seconds."""
    found = seen(log(every_row(25, 25, 25, 25, 25), ended=40), log({30: 25, 40: 25}, began=20, ended=40))
    assert (found.inside, found.unseen) == (((0, 20), (30, 40)), ((NO_LOW, 0), (20, 30), (40, NO_HIGH)))


def test_where_no_log_stood_nothing_is_seen() -> None:
    """One taken away at 20 s and one set down at 40 s: each is absent then, and both together show nothing."""
    found = seen(log(every_row(25, 25, 25), ended=20), log(every_row(25, 25, 25, begins=40), began=40, ended=60))
    assert (found.inside, found.unseen) == (((0, 20), (40, 60)), ((NO_LOW, 0), (20, 40), (60, NO_HIGH)))


def test_a_log_may_have_stood_there_from_the_first_moment_it_may_have_begun_to_the_last_it_may_have_ended() -> None:
    """Set down at some time from 10 to 20 s, taken away from 30 to 45 s: rows count from 20 to 30 s, absence does not."""
    other = log(every_row(25, 25, 25, 25, 25, 25), ended=50)
    found = seen(other, log(every_row(25, 25, 25, 15, 15), began=(10, 20), ended=(30, 45)))
    assert (found.inside, found.outside) == (((0, 10), (20, 20), (45, 50)), ((30, 30),))
    assert found.unseen == ((NO_LOW, 0), (10, 20), (30, 45), (50, NO_HIGH))


def test_another_log_that_nobody_wrote_down_may_say_otherwise_but_takes_nothing_back() -> None:
    """An incomplete list shows the air outside and nowhere inside."""
    found = seen(log(every_row(25, 25, 15, 15), ended=30), complete=False)
    assert (found.inside, found.outside, found.unseen) == ((), ((20, 30),), EVER)


def test_no_log_is_no_evidence() -> None:
    """Whether or not there are said to be any."""
    assert seen() == seen(complete=False) == no_evidence("temperature")
    assert (no_evidence("temperature").inside, no_evidence("temperature").unseen) == ((), EVER)


# -- held -----------------------------------------------------------------------------------------------------------

ONE_BREAK = log(every_row(25, 25, 15, 15, 15, 25, 25, 25), ended=70)
"""In to 10 s, out from 20 to 40 s, in again from 50 s: a break of at least 20 s and at most 40 s."""


@pytest.mark.parametrize(
    ("forgiving", "low", "high"),
    [(0, 20, 30), (19, 20, 30), (20, 20, NO_HIGH), (39, 20, NO_HIGH), (40, 70, NO_HIGH), (50, 70, NO_HIGH)],
)
def test_a_break_of_exactly_what_is_forgiven_is_forgiven(forgiving: int, low: Bound, high: Bound) -> None:
    """Counted back from 70 s. The break ends the count at 50 s for the least and at 40 s for the most, or not at all.

    What lies before the first row was never seen and so is not counted in the least; the most has no end there.
    """
    assert kept(seen(ONE_BREAK), 70, forgiving) == (low, high)


TWO_BREAKS = log(every_row(25, 15, 15, 25, 25, 35, 25, 25), ended=70)
"""Breaks of 10 to 30 s and of 0 to 20 s, the second a single row at 50 s."""


@pytest.mark.parametrize(
    ("forgiving", "low", "high"),
    [(0, 10, 20), (1, 10, 50), (9, 10, 50), (10, 10, NO_HIGH), (19, 10, NO_HIGH), (20, 40, NO_HIGH), (49, 40, NO_HIGH)]
    + [(50, 70, NO_HIGH)],
)
def test_breaks_are_forgiven_as_long_as_they_sum_to_no_more(forgiving: int, low: Bound, high: Bound) -> None:
    """Back from 70 s. For the least the second takes 20 s and both 50 s; for the most none, and both 10 s.

    A row alone outside is a break for the most too, where nothing is forgiven.
    """
    assert kept(seen(TWO_BREAKS), 70, forgiving) == (low, high)


@pytest.mark.parametrize(
    ("until", "forgiving", "low", "high"),
    [
        (20, 0, 0, 0),  # out from this moment on, and surely not in for the ten seconds before
        (30, 0, 0, 0),
        (30, 10, 0, NO_HIGH),  # ten of the seconds out are forgiven for the most, twenty not in are not for the least
        (30, 20, 30, NO_HIGH),
        (45, 20, 0, NO_HIGH),
        (50, 0, 0, 10),
        (50, 40, 50, NO_HIGH),
        (60, 0, 10, 20),
    ],
)
def test_a_break_counts_as_far_as_it_has_got(until: int, forgiving: int, low: Bound, high: Bound) -> None:
    """Counted back from a moment in the break of 10 to 50 s, from its end and from after it."""
    assert kept(seen(ONE_BREAK), until, forgiving) == (low, high)


@pytest.mark.parametrize(("until", "low"), [(70, 70), (80, 80), (81, 0)])
def test_what_was_not_seen_since_the_last_row_is_a_break_for_the_least(until: int, low: Bound) -> None:
    """The last row is at 70 s, and 10 s are forgiven: at 80 s it still counts from the first row, later no more."""
    assert kept(seen(log(every_row(*[25] * 8), ended=200)), until, 10) == (low, NO_HIGH)


def test_before_the_first_row_nothing_is_held_for_sure() -> None:
    """Before it, nothing was seen, and there is no telling for how long."""
    assert kept(seen(log(every_row(25, 25), ended=10)), -5, 1000) == (0, NO_HIGH)


def test_a_row_in_doubt_is_a_break_for_the_least_and_none_for_the_most() -> None:
    """21 ± 2 °C between rows of 25: not inside for 20 s, and not outside."""
    doubted = log(every_row(25, 25, 21, 25, 25), ended=40, spread=2)
    assert [kept(seen(doubted), 40, forgiving) for forgiving in (0, 19, 20)] == [
        (10, NO_HIGH),
        (10, NO_HIGH),
        (40, NO_HIGH),
    ]


def test_held_says_nothing_without_a_moment_and_what_is_forgiven() -> None:
    """Until some time, or forgiving nobody knows how much: unknown."""
    nothing = unknown_interval("duration", "h")
    assert held(seen(ONE_BREAK), moment(NO_LOW, 70), duration(0)) == nothing
    assert held(seen(ONE_BREAK), moment(70), duration(0, NO_HIGH)) == nothing


def test_held_takes_the_least_that_may_be_forgiven_for_the_least_and_the_most_for_the_most() -> None:
    """Forgiving 39 to 40 s, and 19 to 20 s."""
    assert kept(seen(ONE_BREAK), 70, duration(39, 40)) == (20, NO_HIGH)
    assert kept(seen(ONE_BREAK), 70, duration(10, 19)) == (20, 30)


@pytest.mark.parametrize(
    ("until", "forgiving", "low", "high"),
    [
        ((60, 70), 0, 10, 30),
        ((45, 70), 0, 0, 30),  # at 50 s the count has just begun again
        ((0, 70), 0, 0, NO_HIGH),  # at 10 s nothing had been out yet
        ((5, 15), 10, 5, NO_HIGH),
        ((5, 10), 0, 5, NO_HIGH),
    ],
)
def test_until_some_time_held_is_the_least_and_the_most_of_all_of_it(
    until: tuple[int, int], forgiving: int, low: Bound, high: Bound
) -> None:
    """The start may be at any of these moments."""
    assert kept(seen(ONE_BREAK), moment(*until), forgiving) == (low, high)
