"""The cells of a log's rows: what each says, what no room can be, and what two rows of one moment say together."""

from __future__ import annotations

from fractions import Fraction

import pytest

from logs_by_hand import moment
from wallwalk import log_cells
from wallwalk.log_cells import NOTHING, Cells, Gathered, gather
from wallwalk.log_rows import LogFaultError, Notes, Row
from wallwalk.log_runs import Stay
from wallwalk.units import UNITS
from wallwalk.values import Interval

F = Fraction
HALF = F(1, 2)
CELSIUS, FAHRENHEIT = UNITS["temperature"]["°C"], UNITS["temperature"]["°F"]
RELATIVE = UNITS["humidity"]["%RH"]


def cells(kind: str = "temperature", *, comma: bool = False, spread: Fraction | None = HALF) -> Cells:
    """The cells of one quantity, in °C or %RH, of an instrument that knows it so well."""
    known = None if spread is None else Interval("difference", spread, spread)
    return Cells(kind, CELSIUS if kind == "temperature" else RELATIVE, known, comma=comma)


@pytest.mark.parametrize(
    ("cell", "amount"),
    [
        ("20", F(20)),
        ("+20.50", F("20.5")),
        ("-7.25", F("-7.25")),
        ("20.", F(20)),
        ("-50", F(-50)),
        ("100", F(100)),
        ("-50.01", None),
        ("100.01", None),
        ("", None),
        (".5", None),
        ("20,5", None),
        ("20 °C", None),
        ("1e1", None),
        ("--", None),
        ("NaN", None),
        ("٢٠", None),
        ("0000000020", None),
        (f"20.{'0' * 30}", F(20)),
        (f"20.{'0' * 31}", None),
    ],
)
def test_a_cell_is_a_plain_number_that_the_air_of_a_room_can_be(cell: str, amount: Fraction | None) -> None:
    """Both ends of what a room can be are in it; what is none says nothing."""
    one = cells()
    assert one.read(cell) == (None if amount is None else (amount, amount))
    assert [one.is_good(cell) for _ in range(2)] == [amount is not None] * 2
    assert one.read_guarded(cell) == (None if amount is None else (amount - F(1, 2), amount + F(1, 2)))


def test_the_unit_and_the_comma_are_those_that_are_told() -> None:
    """A comma is a point only where that is told; without a unit nothing is read."""
    fahrenheit = Cells("temperature", FAHRENHEIT, None, comma=False)
    assert fahrenheit.read("68") == (F(20), F(20))
    assert fahrenheit.read("212") == (F(100), F(100))
    assert fahrenheit.read("213") is None
    assert cells(comma=True).read("20,5") == cells(comma=True).read("20.5") == (F("20.5"), F("20.5"))
    humid = cells("humidity")
    assert [humid.read(cell) is not None for cell in ("0", "100", "-0.1", "100.1")] == [True, True, False, False]
    without = Cells("temperature", None, None, comma=False)
    assert (without.read("20"), without.is_good("20"), without.read_guarded("20")) == (None, False, None)


def test_of_an_instrument_that_nobody_knows_a_cell_says_nothing_for_a_guarded_decision() -> None:
    """Taken as read it says what is written; the most that it may be off is what counts of a range."""
    assert cells(spread=None).read_guarded("20") is None
    assert cells(spread=None).read("20") == (F(20), F(20))
    between = Cells("temperature", CELSIUS, Interval("difference", F(1), F(2)), comma=False)
    assert between.read_guarded("20") == (F(18), F(22))


def test_what_is_remembered_of_cells_is_bounded() -> None:
    """Forgetting changes nothing."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(log_cells, "MOST_CELLS", 3)
        one = cells()
        for cell in ("1", "2", "x", "3", "4", "1", "x"):
            assert one.is_good(cell) is (cell != "x")
            assert len(one._good) <= 3


STAY = Stay(moment(100), moment(1000), F(60), "1 min")
Taken = list[tuple[str, Fraction | int, str]]


def gathered(*rows: Row, until: int = 1000, humidity: bool = True) -> tuple[Gathered, Taken, dict[str, list[int]]]:
    """What comes of these rows: how many, what each taker took, and what was noted of which lines."""
    taken: Taken = []
    notes = Notes()
    columns = (cells(), cells("humidity") if humidity else Cells("humidity", None, None, comma=False))
    takers = {
        kind: [lambda seconds, cell, name=name: taken.append((name, seconds, cell)) for name in names]
        for kind, names in (("temperature", ("t1", "t2")), ("humidity", ("h",)))
    }
    found = gather(STAY, until, rows, notes, columns, takers)
    assert {what: len(lines) for what, lines in notes.lines.items()} == notes.counts
    return found, taken, notes.lines


def test_each_row_is_taken_past_everyone_in_order() -> None:
    """Each quantity past its own takers; how many rows, and when the first and the last of them were."""
    found, taken, notes = gathered((100, ("20", "40"), 2), (160, ("21", "41"), 3), (F(441, 2), ("22", "42"), 4))
    assert (found, notes) == (Gathered(3, 100, F(441, 2)), {})
    assert taken == [
        (name, seconds, cell)
        for seconds, t, h in ((100, "20", "40"), (160, "21", "41"), (F(441, 2), "22", "42"))
        for name, cell in (("t1", t), ("t2", t), ("h", h))
    ]
    assert gathered() == (NOTHING, [], {})


def test_a_quantity_without_a_unit_is_passed_over() -> None:
    """Nobody takes it, and nothing is said of its cells."""
    found, taken, notes = gathered((100, ("20", "no"), 2), humidity=False)
    assert (found, taken, notes) == (Gathered(1, 100, 100), [("t1", 100, "20"), ("t2", 100, "20")], {})


def test_rows_from_before_and_after_its_stay_and_marks_are_noted() -> None:
    """Its first and its last moment belong to the stay."""
    outside = "not from the time it stood here with its calibration good; not used"
    found, taken, notes = gathered(
        (99, ("20", ""), 2),
        (100, ("20", ""), 3),
        (200, ("", ""), 4),
        (500, ("21", ""), 5),
        (501, ("22", ""), 6),
        until=500,
    )
    assert (found, [seconds for name, seconds, _ in taken if name == "t1"]) == (Gathered(2, 100, 500), [100, 500])
    assert notes == {outside: [2, 6], "nothing measured; not used": [4], "no humidity of a room; not used": [3, 5]}


def test_a_bad_cell_is_noted_and_the_other_is_taken() -> None:
    """What no temperature and no humidity of a room can be."""
    found, taken, notes = gathered((100, ("200", "40"), 2), (160, ("20", "140"), 3))
    assert (found, taken) == (Gathered(2, 100, 160), [("h", 100, "40"), ("t1", 160, "20"), ("t2", 160, "20")])
    assert notes == {"no temperature of a room; not used": [2], "no humidity of a room; not used": [3]}


def test_rows_of_one_moment_say_together_what_each_says() -> None:
    """What is written again is used once; what one lacks the other fills; a bad cell gives way to a good one."""
    again = "written before; used once"
    found, taken, notes = gathered((100, ("20", "40"), 2), (100, ("20", "40"), 3), (100, ("20.0", ""), 4))
    assert (found, len(taken), notes) == (Gathered(1, 100, 100), 3, {again: [3, 4]})
    found, taken, notes = gathered((100, ("20", ""), 2), (100, ("", "40"), 3), (160, ("21", "41"), 4))
    assert found == Gathered(3, 100, 160)
    assert [(seconds, cell) for name, seconds, cell in taken if name == "h"] == [(100, "40"), (160, "41")]
    found, taken, notes = gathered((100, ("--", "40"), 2), (100, ("20", "--"), 3))
    assert [(name, cell) for name, _, cell in taken if name != "t2"] == [("h", "40"), ("t1", "20")]
    assert notes == {"no temperature of a room; not used": [2], "no humidity of a room; not used": [3]}


@pytest.mark.parametrize(
    ("rows", "line", "found", "instead"),
    [
        (
            [(100, ("20", "40"), 2), (100, ("20.5", "40"), 3)],
            3,
            'says "20.5" where line 2 says "20" of the same moment',
            "give the file as the logger wrote it; only one of the two can be true",
        ),
        (
            [(100, ("20", ""), 2), (100, ("", "40"), 3), (100, ("", "41"), 4)],
            4,
            'says "41" where line 3 says "40" of the same moment',
            "give the file as the logger wrote it; only one of the two can be true",
        ),
        (
            [(100, ("20", "40"), 2), (145, ("20", "40"), 3)],
            3,
            "comes 45 s after the row before it, and this log writes every 1 min",
            "write every: as often as it really writes, or give the file as it wrote it",
        ),
        (
            [(100, ("20", "40"), 2), (F(201, 2), ("20", "40"), 3)],
            3,
            "comes 0.5 s after the row before it, and this log writes every 1 min",
            "write every: as often as it really writes, or give the file as it wrote it",
        ),
    ],
)
def test_rows_that_contradict_each_other_or_come_too_soon_are_refused(
    rows: list[Row], line: int, found: str, instead: str
) -> None:
    """Up to three quarters of the interval is too soon, since a row taken out would not leave a hole."""
    with pytest.raises(LogFaultError) as refused:
        gathered(*rows)
    fault = refused.value
    assert (fault.line, fault.found, fault.instead, fault.key) == (line, found, instead, "file")


def test_a_row_a_little_late_or_early_is_in_order() -> None:
    """Just over three quarters of the interval."""
    assert gathered((100, ("20", "40"), 2), (F(1451, 10), ("20", "40"), 3))[0].rows == 2
