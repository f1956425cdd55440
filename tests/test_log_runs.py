"""What rows show: runs against a band with all they hold, the air at one moment, and a trace that stays small."""

from __future__ import annotations

from fractions import Fraction

import pytest

from logs_by_hand import BAND, moment
from wallwalk import log_runs
from wallwalk.climate import Instant, Trace
from wallwalk.evidence import ABOVE, BELOW, INSIDE, UNSURE, LogRuns, Run
from wallwalk.log_runs import AtInstant, BandRuns, Stay, Tracing, whole
from wallwalk.values import NO_HIGH, NO_LOW, Interval

F = Fraction
STAY = Stay(moment(0), moment(100), F(10))
Cell = tuple[Fraction, Fraction] | None


def read(cell: str) -> Cell:
    """`20` as it stands, `18/22` as a range, anything else as nothing; counts on no rounding."""
    ends = [F(part) for part in cell.split("/")] if cell[:1].isdigit() else []
    return (ends[0], ends[-1]) if ends else None


def runs(*rows: tuple[int, str], stay: Stay = STAY) -> LogRuns:
    """What rows show of the band of 20 to 30."""
    gathered = BandRuns(BAND, read, stay)
    for seconds, cell in rows:
        gathered.add(seconds, cell)
    return gathered.finish()


def run(
    begins: int,
    ends: int,
    says: str,
    reach: tuple[int, int],
    furthest: tuple[int, int] = (0, 0),
    degree_seconds: tuple[int, int] = (0, 0),
) -> Run:
    """A run of whole numbers."""
    return Run(
        begins, ends, says, reach, (F(furthest[0]), F(furthest[1])), (F(degree_seconds[0]), F(degree_seconds[1]))
    )


def test_a_run_holds_where_it_lies_how_far_out_it_is_and_how_long() -> None:
    """In, two below, one above, in: each run reaches to the rows beside it.

    What lies between two rows that differ is of the run that is out, and of the later one where both are: nothing of it
    at the least, and at the most ten seconds as far out as the worse of the two.
    """
    found = runs((0, "20"), (10, "18"), (20, "15"), (30, "33"), (40, "30"))
    assert found.runs == (
        run(0, 0, INSIDE, (0, 10)),
        run(10, 20, BELOW, (0, 30), (5, 5), (20, 20 + 50)),
        run(30, 30, ABOVE, (20, 40), (3, 3), (0, 50 + 30)),
        run(40, 40, INSIDE, (30, 40)),
    )


def test_a_reading_that_may_be_in_or_out_says_neither() -> None:
    """At its least it is not out at all, at its most by two."""
    found = runs((0, "18/22"), (10, "18/22"), (20, "31/32"))
    assert found.runs == (
        run(0, 10, UNSURE, (0, 20), (0, 2), (0, 20)),
        run(20, 20, ABOVE, (10, 20), (1, 2), (0, 20)),
    )


@pytest.mark.parametrize(
    ("cell", "says", "furthest"),
    [
        ("20", INSIDE, (0, 0)),
        ("30", INSIDE, (0, 0)),
        ("20/30", INSIDE, (0, 0)),
        ("19/20", UNSURE, (0, 1)),
        ("30/32", UNSURE, (0, 2)),
        ("10/40", UNSURE, (0, 10)),
        ("15/19", BELOW, (1, 5)),
        ("31/34", ABOVE, (1, 4)),
    ],
)
def test_a_reading_is_held_against_both_ends_of_the_band(cell: str, says: str, furthest: tuple[int, int]) -> None:
    """The ends are in it."""
    assert runs((0, cell)).runs == (run(0, 0, says, (0, 0), furthest),)


def test_after_a_hole_a_run_begins_anew() -> None:
    """Rows one and a half times the interval apart are joined, a second more and nothing between them was seen."""
    joined, apart = runs((0, "25"), (15, "25")), runs((0, "25"), (16, "25"), (26, "15"))
    assert joined.runs == (run(0, 15, INSIDE, (0, 15)),)
    assert apart.runs == (
        run(0, 0, INSIDE, (0, 0)),
        run(16, 16, INSIDE, (16, 26)),
        run(26, 26, BELOW, (16, 26), (5, 5), (0, 50)),
    )
    assert apart.unseen == ((0, 0), (0, 16), (26, 100))


def test_a_cell_that_says_nothing_is_no_row() -> None:
    """Where it leaves a gap there is a hole."""
    assert runs((0, "25"), (10, "--"), (20, "25")).runs == (run(0, 0, INSIDE, (0, 0)), run(20, 20, INSIDE, (20, 20)))
    assert runs((0, "--")).runs == runs().runs == ()


def test_what_was_unseen_and_when_it_did_not_stand_there() -> None:
    """Before it was surely set down and after it was taken away it did not stand there; holes lie between."""
    stay = Stay(moment(0, 5), moment(90, 100), F(10))
    found = runs((10, "25"), (20, "25"), (50, "25"), (60, "25"), stay=stay)
    assert found.absent == ((NO_LOW, 0), (100, NO_HIGH))
    assert found.unseen == ((0, 10), (20, 50), (60, 100))
    nothing = runs(stay=stay)
    assert (nothing.runs, nothing.unseen, nothing.absent) == ((), ((0, 100),), found.absent)


@pytest.mark.parametrize(("last", "gone"), [(92, 100), (93, 93), (100, 100)])
def test_the_last_row_is_the_end_where_none_can_be_missing_behind_it(last: int, gone: int) -> None:
    """Up to three quarters of the interval before it was taken away."""
    stay = Stay(moment(0), moment(100), F(10))
    found = runs((0, "25"), (10, "25"), (last, "25"), stay=stay)
    assert found.absent == ((NO_LOW, 0), (gone, NO_HIGH))
    behind = ((last, 100),) if last < gone else ()
    assert found.unseen == ((0, 0), (10, last), *behind)


def test_what_is_remembered_of_cells_is_bounded() -> None:
    """Forgetting changes nothing, neither of runs nor of a trace."""
    rows = [(10 * i, str(20 + i % 5)) for i in range(11)]
    kept = runs(*rows), traced(*rows)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(log_runs, "MOST_CELLS", 2)
        gathered, trace = BandRuns(BAND, read, STAY), Tracing("temperature", "°C", read, STAY)
        for seconds, cell in rows:
            gathered.add(seconds, cell)
            trace.add(seconds, cell)
            assert max(len(gathered._cells), len(trace._cells)) <= 2
    assert (gathered.finish(), trace.finish()) == kept


def at_instant(begins: int, ends: int, *rows: tuple[int, str]) -> tuple[Fraction, Fraction] | None:
    """The least and the most of the air at a moment, or None."""
    gathered = AtInstant(Instant("temperature", begins, ends, guarded=True), read, STAY)
    for seconds, cell in rows:
        gathered.add(seconds, cell)
    found = gathered.finish()
    assert found is None or isinstance(found, Interval)
    return None if found is None else (F(found.low), F(found.high))


@pytest.mark.parametrize(
    ("begins", "ends", "rows", "air"),
    [
        (20, 20, [(20, "25")], (25, 25)),
        (20, 20, [(10, "21"), (20, "25"), (30, "29")], (25, 25)),
        (25, 25, [(10, "21"), (20, "25"), (30, "24/29"), (40, "40")], (24, 29)),
        (25, 35, [(20, "25"), (30, "27"), (40, "22")], (22, 27)),
        (20, 30, [(20, "25"), (30, "27"), (40, "22")], (25, 27)),
        (25, 25, [(15, "25"), (30, "27")], (25, 27)),
        (25, 25, [(14, "25"), (30, "27")], None),
        (25, 50, [(20, "25"), (30, "27"), (46, "26"), (56, "26")], None),
        (25, 25, [(20, "25")], None),
        (25, 25, [(30, "25")], None),
        (25, 25, [], None),
        (25, 25, [(20, "25"), (25, "--"), (30, "27")], (25, 27)),
        (25, 25, [(20, "--"), (30, "27")], None),
        (20, 20, [(10, "21"), (15, "--"), (20, "25"), (21, "--")], (25, 25)),
    ],
)
def test_the_air_at_a_moment_is_that_of_the_rows_around_it(
    begins: int, ends: int, rows: list[tuple[int, str]], air: tuple[int, int] | None
) -> None:
    """From the last row before it to the first after it, the least and the most; None over a hole or an end."""
    assert at_instant(begins, ends, *rows) == (None if air is None else (F(air[0]), F(air[1])))


def traced(*rows: tuple[int | Fraction, str], unit: str = "°C", every: Fraction = STAY.every) -> Trace | None:
    """What is drawn of rows."""
    gathered = Tracing("temperature", unit, read, Stay(moment(0), moment(100), every))
    for seconds, cell in rows:
        gathered.add(seconds, cell)
    return gathered.finish()


def test_a_trace_is_of_what_is_written_in_its_own_unit() -> None:
    """A point for each row, at its least; its lowest and highest; nothing of cells that say nothing."""
    assert traced((0, "20"), (10, "--"), (20, "25/27"), (30, "15")) == Trace(
        "temperature", "°C", ((0, F(20), F(20)), (20, F(25), F(25)), (30, F(15), F(15))), F(15), F(25)
    )
    assert traced((5, "20"), unit="°F") == Trace("temperature", "°F", ((5, F(68), F(68)),), F(68), F(68))
    assert traced((0, "--")) is traced() is None


def test_rows_of_one_short_time_are_one_point() -> None:
    """Its first moment, its least and its most, in whatever order they come."""
    for order in (("20", "18", "25", "19"), ("25", "20", "18"), ("18", "25")):
        rows = [(20 + i, cell) for i, cell in enumerate(order)]
        assert traced(*rows) == Trace("temperature", "°C", ((20, F(18), F(25)),), F(18), F(25))
    half = traced((0, "20"), (F(5, 2), "21"), (5, "22"), every=F(5, 2))
    assert half is not None
    assert half.points == ((0, F(20), F(20)), (F(5, 2), F(21), F(21)), (5, F(22), F(22)))


def test_a_trace_of_many_rows_stays_small_and_loses_no_end() -> None:
    """Short times grow by twice; the first moment of each, its least and its most stay."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(log_runs, "_MOST_POINTS", 4)
        five = traced(*((10 * i, str(20 + i)) for i in range(5)))
        nine = traced(*((10 * i, str(30 - i)) for i in range(9)))
        four = traced(*((10 * i, str(20 + i)) for i in range(4)))
    assert four is not None
    assert five is not None
    assert nine is not None
    assert four.points == tuple((10 * i, F(20 + i), F(20 + i)) for i in range(4))
    assert five.points == ((0, F(20), F(21)), (20, F(22), F(23)), (40, F(24), F(24)))
    assert nine.points == ((0, F(27), F(30)), (40, F(23), F(26)), (80, F(22), F(22)))
    assert (nine.lowest, nine.highest) == (F(22), F(30))


def test_a_whole_number_is_compared_as_one() -> None:
    """It is the same number; one with a part, and no end, stay as they are."""
    assert [(type(whole(n)), whole(n)) for n in (F(4, 2), F(1, 2))] == [(int, 2), (Fraction, F(1, 2))]
    assert whole(NO_HIGH) == NO_HIGH
