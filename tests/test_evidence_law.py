"""The law at its root: what climate logs show takes in the truth, and knowing less of them only widens every fact.

Logs, windows and what is forgiven are drawn at random on a grid of seconds; a row is due every 10 s.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, fields, replace
from fractions import Fraction
from functools import partial
from itertools import pairwise

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from logs_by_hand import HIGH, LOW, Log, duration, moment
from wallwalk.evidence import (
    Evidence,
    combine,
    degree_hours,
    excursions,
    furthest_out,
    held,
    longest_excursion,
    time_in_band,
)
from wallwalk.values import NO_HIGH, Interval

F = Fraction
STEP = 4


@dataclass(frozen=True)
class Known:
    """All that is known when a fact is worked out."""

    logs: tuple[Log, ...]
    complete: bool
    begin: Interval
    end: Interval
    until: Interval
    forgiving: Interval

    @property
    def seen(self) -> Evidence:
        """What the logs show."""
        return combine("temperature", [one.runs() for one in self.logs], complete=self.complete)


FACTS: dict[str, Callable[[Known], Interval]] = {
    "held": lambda known: held(known.seen, known.until, known.forgiving),
    "time in band": lambda known: time_in_band(known.seen, known.begin, known.end),
    "longest excursion": lambda known: longest_excursion(known.seen, known.begin, known.end),
    "excursions": lambda known: excursions(known.seen, known.begin, known.end),
    "furthest out": lambda known: furthest_out(known.seen, known.begin, known.end),
    "degree hours": lambda known: degree_hours(known.seen, known.begin, known.end),
}

# Joined, further apart than the logger writes but joined, a hole, and a long one. Never nearer than 7.5 s, as a log
# in which rows come faster than that is refused: so two rows are never joined again when the one between them is lost.
gaps = st.sampled_from([8, 8, 12, 12, 16, 24, 40])
amounts = st.sampled_from([12, 17, 18, 19, 20, 21, 25, 25, 25, 26, 29, 30, 31, 32, 35])
slack = st.sampled_from([0, 0, 0, 4, 16])


@st.composite
def logs(draw: st.DrawFn) -> Log:
    """A log of a few rows, which began before its first and ended after its last, known exactly or not."""
    at = draw(st.integers(0, 15)) * STEP
    spread = F(draw(st.sampled_from([0, 0, 1, 2])))
    began = at - draw(slack)
    rows = {}
    for _ in range(draw(st.integers(0, 9))):
        rows[at] = (F(draw(amounts)), spread)
        last, at = at, at + draw(gaps)
    ended = (last if rows else at) + draw(slack)
    return Log(rows, (F(began - draw(slack)), F(began)), (F(ended), F(max(ended, began) + draw(slack) + STEP)))


@st.composite
def intervals(draw: st.DrawFn, least: int, most: int) -> tuple[Fraction, Fraction]:
    """Two ends on the grid; often the same."""
    low = draw(st.integers(least, most)) * STEP
    return F(low), F(low + draw(slack) * draw(st.integers(0, 2)))


@st.composite
def knowledge(draw: st.DrawFn, most_logs: int = 3) -> Known:
    """A few logs, and a window of some length, a moment to count back from and what is forgiven."""
    count = draw(st.integers(0, most_logs))
    begin, until = draw(intervals(-4, 24)), draw(intervals(-4, 36))
    length = draw(st.integers(1, 24)) * STEP
    forgiven = draw(st.one_of(st.just((F(0), F(0))), intervals(0, 12)))
    return Known(
        tuple(draw(logs()) for _ in range(count)),
        draw(st.sampled_from([True, True, True, False])),
        moment(*begin),
        moment(begin[1] + length, begin[1] + length + draw(slack)),
        moment(*until),
        duration(*forgiven),
    )


@st.composite
def less(draw: st.DrawFn, known: Known) -> Known:
    """The same with something less known: a row, how well it was read, when a log stood there, a moment, and so on."""
    ways: list[Callable[[], Known]] = [lambda: replace(known, complete=False)]
    ways += [partial(_wider, draw, known, name) for name in ("begin", "end", "until", "forgiving")]
    for i, one in enumerate(known.logs):
        of_rows = (_row_lost, _row_lost, _row_lost, _read_less_well) if one.rows else ()
        ways += [partial(_with_log, known, i, draw, way) for way in (_standing_less_known, *of_rows)]
    return draw(st.sampled_from(ways))()


def _with_log(known: Known, i: int, draw: st.DrawFn, way: Callable[[st.DrawFn, Log], Log]) -> Known:
    event("a log is known less well")
    return replace(known, logs=(*known.logs[:i], way(draw, known.logs[i]), *known.logs[i + 1 :]))


def _wider(draw: st.DrawFn, known: Known, name: str) -> Known:
    value: Interval = getattr(known, name)
    low, high = value.low - draw(slack), value.high + draw(slack)
    wide = replace(value, low=max(F(0), low) if name == "forgiving" else low, high=high)
    return Known(**{**{field.name: getattr(known, field.name) for field in fields(Known)}, name: wide})


def _row_lost(draw: st.DrawFn, one: Log) -> Log:
    return one.without(draw(st.sampled_from(sorted(one.rows))))


def _standing_less_known(draw: st.DrawFn, one: Log) -> Log:
    (began, by), (ended, at) = one.began, one.ended
    return replace(one, began=(began - draw(slack), by + draw(slack)), ended=(ended - draw(slack), at + draw(slack)))


def _read_less_well(draw: st.DrawFn, one: Log) -> Log:
    worse = F(draw(st.integers(1, 9)))
    at = set(draw(st.sampled_from([[row] for row in sorted(one.rows)] + [sorted(one.rows)])))
    return replace(one, rows={t: (amount, u + worse if t in at else u) for t, (amount, u) in one.rows.items()})


@pytest.mark.slow
@settings(max_examples=400)
@given(data=st.data())
@pytest.mark.parametrize("fact", FACTS)
def test_knowing_less_only_widens_a_fact(fact: str, data: st.DataObject) -> None:
    """A row lost or read less well, a stay known less well, a list not known to be whole, moments not known exactly."""
    known = data.draw(knowledge())
    lacking = data.draw(less(known))
    event("more than nothing was known" if FACTS[fact](known).high != NO_HIGH else "no end was known")
    assert FACTS[fact](lacking).includes(FACTS[fact](known))


# -- the truth ------------------------------------------------------------------------------------------------------

Knot = tuple[Fraction, Fraction]
"""A moment, and the air at it in °C; between two of them it changes evenly."""


@dataclass(frozen=True)
class Excursion:
    """A stretch of air outside the band: how far it got, and °C times seconds."""

    begins: Fraction
    ends: Fraction
    furthest: Fraction
    outside: Fraction

    def lasts(self, begin: Fraction, end: Fraction) -> Fraction:
        """How long of it lies in the window."""
        return max(F(0), min(self.ends, end) - max(self.begins, begin))


def how_far_out(amount: Fraction) -> Fraction:
    """How far outside the band some air is."""
    return max(F(0), LOW - amount, amount - HIGH)


def crossed(air: Iterable[Knot]) -> Iterable[Knot]:
    """The knots, and a knot wherever the air passes an end of the band between two of them."""
    for (at, amount), (then, other) in pairwise(air):
        yield at, amount
        ends = [end for end in (LOW, HIGH) if min(amount, other) < end < max(amount, other)]
        for end in sorted(ends, reverse=other < amount):
            yield at + (end - amount) / (other - amount) * (then - at), end


def excursions_of(air: list[Knot]) -> list[Excursion]:
    """Every stretch of the air that is outside, measured exactly."""
    found: list[Excursion] = []
    for (at, amount), (then, other) in pairwise([*crossed(air), air[-1]]):
        near, far = sorted((how_far_out(amount), how_far_out(other)))
        if far == 0:
            continue
        now = Excursion(at, then, far, (near + far) / 2 * (then - at))
        if found and found[-1].ends == at and how_far_out(amount) > 0:
            last = found.pop()
            now = Excursion(last.begins, then, max(last.furthest, far), last.outside + now.outside)
        found.append(now)
    return found


def kept_since(broken: list[Excursion], until: Fraction, forgiven: Fraction) -> Fraction | None:
    """The end of the last of them that is not forgiven; None where all are."""
    used = F(0)
    for one in reversed(broken):
        used += one.lasts(one.begins, until)
        if used > forgiven:
            return min(one.ends, until)
    return None


@st.composite
def air_and_log(draw: st.DrawFn) -> tuple[list[Knot], Log]:
    """Air from -100 to 400 s that never gets to both sides of the band, and a log that wrote down some of it.

    Where rows are joined, the air changes evenly from one to the next; where they are not, it does what it likes.
    """
    side = draw(st.sampled_from([range(12, 31), range(20, 38)]))
    some = st.sampled_from([*side, *side[::-1][:8], *side[:8]]).map(Fraction)
    spread = draw(st.sampled_from([0, 0, 1, 2]))
    at = draw(st.integers(0, 10)) * STEP
    air: list[Knot] = [(F(-100), draw(some)), (F(at - 5), draw(some))]
    rows: dict[int, tuple[Fraction, Fraction]] = {}
    for _ in range(draw(st.integers(1, 10))):
        amount = draw(some)
        air.append((F(at), amount))
        rows[at] = (amount + spread * draw(st.sampled_from([-1, 0, 1])), F(spread))
        gap = draw(gaps)
        if gap > 15:
            air.append((F(at + draw(st.integers(1, gap - 1))), draw(some)))
        at += gap
    first, last = min(rows), max(rows)
    air += [(F(last + 5), draw(some)), (F(400), draw(some))] if air[-1][0] <= last else [(F(400), draw(some))]
    return air, Log(rows, (F(first - 3), F(first)), (F(last), F(last + 3)))


@pytest.mark.slow
@settings(max_examples=600)
@given(made=air_and_log(), begin=st.integers(-5, 40), lasts=st.integers(1, 40), forgiven=st.integers(0, 60))
def test_every_fact_takes_in_the_truth(made: tuple[list[Knot], Log], begin: int, lasts: int, forgiven: int) -> None:
    """Air whose every moment is known: its own facts, worked out exactly, lie in what its log shows of them.

    Of the furthest and of degree hours, the excursions that reach into the window count whole: the sum of trapezoids.
    """
    air, kept = made
    start, end = F(begin * STEP), F((begin + lasts) * STEP)
    out = excursions_of(air)
    reaching = [one for one in out if one.lasts(start, end) > 0]
    lengths = [one.lasts(start, end) for one in reaching]
    since = kept_since([one for one in out if one.begins < end], end, F(forgiven))
    truth = {
        "held": NO_HIGH if since is None else end - since,
        "time in band": end - start - sum(lengths),
        "longest excursion": max(lengths, default=F(0)),
        "excursions": F(len(reaching)),
        "furthest out": max((one.furthest for one in reaching), default=F(0)),
        "degree hours": sum((one.outside for one in reaching), F(0)) / 3600,
    }
    known = Known((kept,), True, moment(start), moment(end), moment(end), duration(forgiven))
    found = {name: fact(known) for name, fact in FACTS.items()}
    event("all was seen" if found["excursions"].high != NO_HIGH else "something was not seen")
    assert {
        name: (value, truth[name]) for name, value in found.items() if not value.low <= truth[name] <= value.high
    } == {}
