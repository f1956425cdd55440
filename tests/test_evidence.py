"""What climate logs show of a band: each fact worked by hand at its boundaries, and the law at its root.

The band is 20 to 30 °C and a row is due every 10 s, so that rows up to 15 s apart are joined and others have a hole
between them.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

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

Fact = Callable[[Evidence, Interval, Interval], Interval]
"""A fact of a window."""


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


def test_at_the_very_moment_a_log_comes_or_goes_its_row_may_be_lost() -> None:
    """In at 30 s alone; another log goes then with its last row at 20 s, or comes then with its first at 40 s."""
    alone = log({20: 15, 30: 25, 40: 15}, began=20, ended=50)
    assert seen(alone, log(every_row(25, 25, 25), ended=30)).inside == ((0, 20),)
    assert seen(alone, log(every_row(25, 25, 25, begins=40), began=30, ended=60)).inside == ((50, 60),)


def test_where_no_log_stood_nothing_is_seen() -> None:
    """One taken away at 20 s and one set down at 40 s: each is absent then, and both together show nothing."""
    found = seen(log(every_row(25, 25, 25), ended=20), log(every_row(25, 25, 25, begins=40), began=40, ended=60))
    assert (found.inside, found.unseen) == (((0, 20), (40, 60)), ((NO_LOW, 0), (20, 40), (60, NO_HIGH)))


def test_a_log_may_have_stood_there_from_the_first_moment_it_may_have_begun_to_the_last_it_may_have_ended() -> None:
    """Set down at some time from 10 to 20 s, taken away from 30 to 45 s: rows count from 20 to 30 s only."""
    other = log(every_row(25, 25, 25, 25, 25, 25), ended=50)
    found = seen(other, log(every_row(25, 25, 25, 15, 15), began=(10, 20), ended=(30, 45)))
    assert (found.inside, found.outside) == (((0, 10), (20, 20), (45, 50)), ((30, 30),))
    assert found.unseen == ((NO_LOW, 0), (10, 20), (30, 45), (50, NO_HIGH))


def test_another_log_that_nobody_wrote_down_may_say_otherwise_but_takes_nothing_back() -> None:
    """An incomplete list shows the air outside and nowhere inside."""
    found = seen(log(every_row(25, 25, 15, 15), ended=30), complete=False)
    assert (found.inside, found.outside, found.unseen, found.absent) == ((), ((20, 30),), EVER, ())


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
    [
        (0, 10, 20),
        (1, 10, 50),
        (9, 10, 50),
        (10, 10, NO_HIGH),
        (19, 10, NO_HIGH),
        (20, 40, NO_HIGH),
        (49, 40, NO_HIGH),
        (50, 70, NO_HIGH),
    ],
)
def test_breaks_are_forgiven_as_long_as_they_sum_to_no_more(forgiving: int, low: Bound, high: Bound) -> None:
    """Back from 70 s. For the least the second takes 20 s and both 50 s; for the most none, and both 10 s.

    A row alone outside is a break for the most too, where nothing is forgiven.
    """
    assert kept(seen(TWO_BREAKS), 70, forgiving) == (low, high)


@pytest.mark.parametrize(
    ("until", "forgiving", "low", "high"),
    [
        (30, 0, 0, 0),
        (30, 10, 0, NO_HIGH),  # ten of the seconds out are forgiven for the most, twenty not in are not for the least
        (30, 20, 0, NO_HIGH),  # what goes on is not forgiven on the hope that it is soon over
        (45, 20, 0, NO_HIGH),
        (50, 0, 0, 10),
        (50, 40, 50, NO_HIGH),
        (60, 0, 10, 20),
    ],
)
def test_a_break_counts_as_far_as_it_has_got(until: int, forgiving: int, low: Bound, high: Bound) -> None:
    """Counted back from a moment in the break of 10 to 50 s, from its end and from after it."""
    assert kept(seen(ONE_BREAK), until, forgiving) == (low, high)


@pytest.mark.parametrize(
    ("until", "ended", "low"), [(70, 70, 70), (80, 70, 80), (81, 70, 0), (80, 78, 0), (80, 200, 0)]
)
def test_what_was_not_seen_since_the_last_row_is_a_break_for_the_least(until: int, ended: int, low: Bound) -> None:
    """The last row is at 70 s, and 10 s are forgiven: read then, it counts from the first row up to 80 s, not later.

    Where it stood there on, a row is missing, and what it would have said is not forgiven.
    """
    assert kept(seen(log(every_row(*[25] * 8), ended=ended)), until, 10) == (low, NO_HIGH)


def test_what_the_time_after_the_log_uses_up_is_told_of_the_worst_moment() -> None:
    """Not in from 10 to 50 s, read at 70 s, 45 s forgiven: 5 s later they are used up, and the count is from 50 s."""
    assert kept(seen(ONE_BREAK), moment(70, 100), 45) == (25, NO_HIGH)


@pytest.mark.parametrize(
    ("until", "forgiving", "low"),
    [
        ((75, 100), 45, 25),  # used up at the first of these moments, and over them a moment later
        ((70, 75), 45, 70),  # used up at the last of them, and no more than that
        ((70, 100), 40, 20),  # used up by the break of 10 to 50 s alone, and over them just after 70 s
        ((50, 70), 40, 50),  # used up as that break ends: after it nothing more is used
    ],
)
def test_what_is_used_up_counts_from_the_moment_after(until: tuple[int, int], forgiving: int, low: Bound) -> None:
    """Not in for 40 s up to 50 s, and not from 70 s on, when the log was read: the least over all these moments."""
    assert kept(seen(ONE_BREAK), moment(*until), forgiving) == (low, NO_HIGH)


def test_a_time_when_no_log_stood_is_forgiven_to_its_last_second() -> None:
    """In to 20 s by one log and from 40 s by another: from 30 to 50 s never more than the 20 s between are used."""
    found = seen(log(every_row(25, 25, 25), ended=20), log(every_row(25, 25, 25, begins=40), began=40, ended=60))
    assert kept(found, moment(30, 50), 20) == (30, NO_HIGH)


def test_breaks_are_summed_one_by_one() -> None:
    """Out three times for 10 s: of 25 s the third is more. Back from 100 s the first one ended at 20 s."""
    thrice = log(every_row(25, 15, 15, 25, 15, 15, 25, 15, 15, 25, 25))
    assert kept(seen(thrice), 100, 25) == (10, 80)


def test_just_before_a_break_the_count_is_at_its_most() -> None:
    """Until some moment from 60 to 100 s, out from 90 s on: since 40 s, or since the row alone at 50 s."""
    lasting = log(every_row(25, 25, 15, 15, 15, 25, 25, 25, 25, 15, 15))
    assert kept(seen(lasting), moment(60, 100), 0) == (0, 50)
    alone = log(every_row(25, 25, 25, 25, 25, 15, 25, 25, 25, 15, 15))
    assert kept(seen(alone), moment(60, 100), 0) == (0, 40)


def test_a_second_that_is_forgiven_is_counted_too() -> None:
    """Out to 30 s and from 60 s on: at 61 s one second is used up, and the count is 31 s."""
    twice = log(every_row(15, 15, 15, 15, 25, 25, 15, 15, 15, 15))
    assert kept(seen(twice), moment(60, 90), 1) == (0, 31)


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
        ((5, 15), 10, 0, NO_HIGH),
        ((5, 10), 0, 5, NO_HIGH),
    ],
)
def test_until_some_time_held_is_the_least_and_the_most_of_all_of_it(
    until: tuple[int, int], forgiving: int, low: Bound, high: Bound
) -> None:
    """The start may be at any of these moments."""
    assert kept(seen(ONE_BREAK), moment(*until), forgiving) == (low, high)


def test_until_some_time_in_a_break_what_is_forgiven_is_used_up_on_the_way() -> None:
    """Not in for 30 s and then from 40 s on: what goes on at some of these moments leaves nothing that is sure.

    Out to 30 s and then from 60 s on: 10 s are used up at 70 s, and until then the count has grown to 40 s.
    """
    assert kept(seen(TWO_BREAKS), moment(45, 70), 40) == (0, NO_HIGH)
    twice = log(every_row(15, 15, 15, 15, 25, 25, 15, 15, 15, 15, 25))
    assert kept(seen(twice), moment(65, 90), 10) == (0, 40)


# -- the facts of a window ------------------------------------------------------------------------------------------

TWO_OUT = log(every_row(25, 25, 15, 15, 15, 25, 25, 33, 25, 25), ended=90)
"""In to 10 s, out at 15 °C from 20 to 40 s, in from 50 to 60 s, at 33 °C at 70 s, in from 80 to 90 s."""


def window(begin: int | Ends, end: int | Ends) -> tuple[Interval, Interval]:
    """From one moment to another, each known exactly or not."""
    begins, finishes = (moment(*at) if isinstance(at, tuple) else moment(at) for at in (begin, end))
    return begins, finishes


@pytest.mark.parametrize(
    ("begin", "end", "low", "high"),
    [
        (0, 90, 30, 70),
        (0, 10, 10, 10),
        (0, 20, 10, 20),
        (20, 40, 0, 0),
        (25, 35, 0, 0),
        (15, 45, 0, 10),
        (55, 65, 5, 10),
        (70, 70, 0, 0),
        (90, 100, 0, 10),  # nothing was seen after the last row
        (-20, 0, 0, 20),
        (50, 40, 0, 0),  # ends before it begins
        ((0, 5), (10, 15), 5, 15),
        ((NO_LOW, 0), 10, 10, NO_HIGH),
    ],
)
def test_time_in_band_is_what_was_surely_in_to_what_was_not_surely_out(
    begin: int | Ends, end: int | Ends, low: Bound, high: Bound
) -> None:
    """Each end of the window on a row, between rows, in a break and where nothing was seen; and not known exactly."""
    assert ends(time_in_band(seen(TWO_OUT), *window(begin, end))) == (low, high)


@pytest.mark.parametrize(
    ("begin", "end", "low", "high"),
    [
        (0, 90, 20, 40),
        (0, 15, 0, 5),
        (30, 45, 10, 15),
        (55, 90, 0, 20),
        (50, 60, 0, 0),
        (80, 120, 0, 30),
        (50, 40, 0, 0),
        ((0, 30), (35, 90), 5, 40),
        (0, (60, NO_HIGH), 20, NO_HIGH),
    ],
)
def test_the_longest_excursion_was_surely_out_at_the_least_and_not_surely_in_at_the_most(
    begin: int | Ends, end: int | Ends, low: Bound, high: Bound
) -> None:
    """Only what of an excursion lies in the window counts; what was not seen may have been one."""
    assert ends(longest_excursion(seen(TWO_OUT), *window(begin, end))) == (low, high)


@pytest.mark.parametrize(
    ("begin", "end", "low", "high"),
    [
        (0, 90, 2, 2),
        (0, 10, 0, 0),
        (0, 15, 0, 1),
        (25, 35, 1, 1),
        (0, 20, 1, 1),  # out by the last row of it, and on the way out before
        (40, 60, 1, 1),
        (30, 30, 1, 1),
        (45, 50, 0, 1),
        (50, 60, 0, 0),
        (30, 90, 2, 2),
        (-1, 90, 2, NO_HIGH),
        (0, 91, 2, NO_HIGH),
        (50, 40, 0, 0),
        ((0, 30), (75, 90), 2, 2),
        ((0, 55), (65, 90), 0, 2),
    ],
)
def test_excursions_are_counted_where_all_was_seen(begin: int | Ends, end: int | Ends, low: Bound, high: Bound) -> None:
    """Out on one row is one; between a row in and a row out there may be one; where nothing was seen, any number."""
    assert ends(excursions(seen(TWO_OUT), *window(begin, end))) == (low, high)


def test_a_row_alone_at_the_begin_of_the_window_is_none_of_it() -> None:
    """Out at 40 s with holes on both sides: from 40 s on nobody saw it out, and it may have been, many times."""
    alone = log({0: 25, 10: 25, 40: 15, 70: 25, 80: 25}, ended=80)
    assert ends(excursions(seen(alone), *window(40, 80))) == (0, NO_HIGH)


def test_a_log_that_begins_inside_as_another_ends_outside_parts_nothing_before() -> None:
    """Out to 10 s, a hole, out at 40 s as that log is taken away; in by another from 40 s: there may have been one."""
    before = log({0: 15, 10: 15, 40: 15}, ended=40)
    after = log(every_row(25, 25, 25, begins=40), began=40, ended=60)
    assert ends(excursions(seen(before, after), *window(0, 60))) == (1, NO_HIGH)


@pytest.mark.parametrize("fact", [furthest_out, degree_hours])
def test_a_second_that_nobody_saw_may_have_been_anything(fact: Fact) -> None:
    """In up to 50 s by one log and from 51 s by another."""
    found = seen(log(every_row(*[25] * 6), ended=50), log(every_row(*[25] * 5, begins=51), began=51, ended=91))
    assert ends(fact(found, *window(0, 91))) == (0, NO_HIGH)


def test_excursions_with_no_row_inside_between_them_may_be_one() -> None:
    """15, 21 and 15, each ± 2 °C: one excursion at the least, and nobody knows how many. So too across a hole."""
    doubted = log(every_row(25, 25, 15, 21, 15, 25, 25), ended=60, spread=2)
    holed = log(every_row(25, 25, 15, None, 15, 25, 25), ended=60)
    assert [ends(excursions(seen(one), *window(0, 60))) for one in (doubted, holed)] == [(1, NO_HIGH)] * 2


@pytest.mark.parametrize(
    ("begin", "end", "spread", "low", "high"),
    [
        (0, 90, 0, 5, 5),
        (0, 90, 1, 4, 6),
        (55, 90, 0, 3, 3),
        (50, 60, 0, 0, 0),
        (0, 15, 0, 0, 5),  # the excursion may have begun by then
        (30, 35, 0, 5, 5),
        (0, 95, 0, 5, NO_HIGH),
        (-5, 90, 0, 5, NO_HIGH),
        (50, 40, 0, 0, 0),
        ((0, 15), (18, 25), 0, 0, 5),
    ],
)
def test_the_furthest_is_of_every_excursion_that_reaches_into_the_window(
    begin: int | Ends, end: int | Ends, spread: int, low: Bound, high: Bound
) -> None:
    """15 °C is 5 under the band and 33 °C is 3 over it, each give or take `spread`."""
    given = log({at: int(amount) for at, (amount, _) in TWO_OUT.rows.items()}, ended=90, spread=spread)
    found = furthest_out(seen(given), *window(begin, end))
    assert (found.kind, *ends(found)) == ("temperature difference", low, high)


def test_what_was_not_seen_of_an_excursion_may_have_been_further_out() -> None:
    """Out from 10 s to 40 s but for a row lost at 20 s, asked of what came after: it may have been any amount."""
    holed = log(every_row(25, 15, None, 16, 16, 25), ended=50)
    assert ends(furthest_out(seen(holed), *window(35, 50))) == (4, NO_HIGH)
    assert ends(degree_hours(seen(holed), *window(35, 50))) == (Fraction(4 * 10, 3600), NO_HIGH)


@pytest.mark.parametrize(
    ("begin", "end", "spread", "low", "high"),
    [
        (0, 90, 0, 100, 260),  # 20 s at 5; ten seconds on either side of that, and of the row at 33 °C
        (0, 90, 1, 80, 240 + 80),
        (30, 35, 0, 100, 200),  # the whole of it
        (55, 90, 0, 0, 60),
        (50, 60, 0, 0, 0),
        (0, 95, 0, 100, NO_HIGH),
        (50, 40, 0, 0, 0),
    ],
)
def test_degree_hours_are_of_every_excursion_that_reaches_into_the_window(
    begin: int, end: int, spread: int, low: Bound, high: Bound
) -> None:
    """In °C times seconds here: between two rows out, at the least the nearer and at the most the further."""
    given = log({at: int(amount) for at, (amount, _) in TWO_OUT.rows.items()}, ended=90, spread=spread)
    found = degree_hours(seen(given), *window(begin, end))
    assert (found.kind, found.low * 3600, found.high * 3600) == ("degree hours", low, high)


def test_without_any_log_every_fact_may_be_anything() -> None:
    """None of the time, all of it, and everything between."""
    nothing, whole = no_evidence("humidity"), window(0, 90)
    assert kept(nothing, 90, 10) == (0, NO_HIGH)
    assert [ends(fact(nothing, *whole)) for fact in (time_in_band, longest_excursion)] == [(0, 90), (0, 90)]
    unbounded = [fact(nothing, *whole) for fact in (excursions, furthest_out, degree_hours)]
    assert [ends(fact) for fact in unbounded] == [(0, NO_HIGH)] * 3
    assert [fact.kind for fact in unbounded] == ["number", "humidity", "degree hours"]


# -- where several logs meet in one moment --------------------------------------------------------------------------

IN = log(every_row(*[25] * 11))
"""In from 0 to 100 s."""

OUT_UNTIL_30 = log(every_row(25, 15, 15, 15), ended=30)
OUT_FROM_30 = log(every_row(15, 15, 15, 25, begins=30), began=30, ended=60)
"""One log taken away as another is set down, and out on both sides of that moment, from 10 s to 50 s."""


def test_an_excursion_goes_on_from_the_log_that_ends_to_the_one_that_begins() -> None:
    """Beside a log that is in throughout: not surely in from 0 to 60 s, and surely out for 40 s of that."""
    found = seen(IN, OUT_UNTIL_30, OUT_FROM_30)
    assert (found.inside, found.outside) == (((0, 0), (60, 100)), ((10, 50),))
    assert ends(longest_excursion(found, *window(0, 100))) == (40, 60)
    assert kept(found, 100, 45) == (40, NO_HIGH)


def test_a_log_that_begins_outside_at_the_very_moment_asked_about() -> None:
    """One log in until 30 s, another out from 30 s on: until 30 s the band was held, whatever was out from then on."""
    found = seen(log(every_row(25, 25, 25, 25), ended=30), log(every_row(15, 15, begins=30), began=30, ended=40))
    assert kept(found, 30, 0) == (30, NO_HIGH)


def test_a_log_that_ends_inside_as_another_begins_outside_parts_no_excursion() -> None:
    """In until 30 s, and then out by another log from 30 s to 60 s: one excursion, with a row lost or not."""
    before, after = log(every_row(25, 25, 25, 25), ended=30), log(every_row(*[15] * 4, begins=30), began=30, ended=60)
    counts = [excursions(seen(before, one), *window(0, 60)) for one in (after, after.without(40))]
    assert [ends(count) for count in counts] == [(1, 1), (1, NO_HIGH)]


@pytest.mark.parametrize("fact", [excursions, furthest_out, degree_hours])
def test_a_row_at_the_end_of_the_window_and_the_start_of_its_log_may_be_lost(fact: Fact) -> None:
    """A log that begins outside as the window ends: with or without that row, nothing of it is in the window."""
    out = log(every_row(15, 15, 25, begins=50), began=50, ended=70)
    assert fact(seen(IN, out.without(50)), *window(0, 50)).includes(fact(seen(IN, out), *window(0, 50)))


@pytest.mark.parametrize("fact", [excursions, furthest_out, degree_hours])
def test_a_row_at_the_only_moment_asked_about_may_be_lost(fact: Fact) -> None:
    """From 30 s to 30 s, in the middle of an excursion: without its row the air may have been anything."""
    out = log(every_row(25, 25, 15, 15, 15, 25))
    assert fact(seen(out.without(30)), *window(30, 30)).includes(fact(seen(out), *window(30, 30)))


@pytest.mark.parametrize("fact", [excursions, furthest_out, degree_hours])
def test_nothing_reaches_into_a_time_that_ends_before_it_begins(fact: Fact) -> None:
    """From 35 to 25 s, in the middle of an excursion."""
    assert ends(fact(seen(log(every_row(25, 25, 15, 15, 15, 25))), *window(35, 25))) == (0, 0)
    assert ends(fact(no_evidence("temperature"), *window(35, 25))) == (0, 0)
