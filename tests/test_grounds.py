"""On what grounds a check that held is right later, written as plain comparisons by hand."""

from __future__ import annotations

from typing import Any

import pytest

from wallwalk.grounds import weaker_grounds

Source = tuple[str, str]
METER = ("instruments[1].uncertainty.moisture", "0.2")
FINER = ("instruments[1].uncertainty.moisture", "0.05")
OTHER_PLACE = ("instruments[0].uncertainty.moisture", "0.2")


def compared(measured: str, *sources: Source) -> dict[str, Any]:
    """One comparison of a finding, as a record has it."""
    return {
        "fact_title": "Moisture",
        "measured": measured,
        "sources": [{"line": n, "place": place, "written": written} for n, (place, written) in enumerate(sources)],
    }


def readings(wall: int, *values: str) -> list[Source]:
    """Readings of one wall."""
    return [(f"walls[{wall}].moisture[{n}].value", value) for n, value in enumerate(values)]


def grounds(was: list[Source], now: list[Source], own: tuple[str, str] = ("walls[0]", "walls[0]")) -> list[Any]:
    """What is said of one comparison that was on `was`, and is on `now`."""
    return list(weaker_grounds([(compared("1.4", *was), compared("0.5", *now))], own))


def said(why: str, *counts: int) -> list[Any]:
    """One ground."""
    return [{"why": why, "fact": "Moisture", "was": "1.4", "now": "0.5", "counts": list(counts)}]


@pytest.mark.parametrize(
    ("was", "now", "want"),
    [
        (readings(0, "1.4", "0.5"), readings(0, "0.5"), said("fewer entries", 2, 1)),
        (readings(0, "1.4", "0.5"), readings(0, "0.3"), said("fewer entries", 2, 1)),
        ([*readings(0, "1.4"), METER], [METER], said("fewer entries", 1, 0)),
        (readings(0, "1.4", "0.5"), readings(0, "0.5", "0.5"), []),
        (readings(0, "1.4"), readings(0, "0.5", "0.5"), []),
        ([("walls[0].primer.finished", "12:00")], [("walls[0].primer.finished", "08:00")], []),
        ([("walls[0].primer.finished", "12:00"), ("walls[0].x", "1")], [("walls[0].primer.finished", "12:00")], []),
        ([*readings(0, "0.9"), METER], [*readings(0, "0.9"), FINER], said("instrument")),
        ([*readings(0, "0.9"), METER], readings(0, "0.9"), said("instrument")),
        ([*readings(0, "0.9"), METER], [*readings(0, "0.8"), FINER], []),
        ([*readings(0, "0.9"), METER], [*readings(0, "0.9"), OTHER_PLACE], []),
        ([*readings(0, "0.9"), METER, ("instruments[2].x", "1")], [*readings(0, "0.9"), METER], said("instrument")),
        (readings(0, "0.5", "0.9"), readings(0, "0.9", "0.5"), []),
    ],
)
def test_fewer_entries_or_another_word_on_the_instrument(was: list[Source], now: list[Source], want: list[Any]) -> None:
    """Entries of lists are counted, by their place and not by what they say; an instrument is no entry."""
    assert grounds(was, now) == want


def test_a_wall_that_moved_in_its_list_is_the_same_wall() -> None:
    """Its own place is left out of every place; a list of walls behind a fact of the space is a list."""
    moved = readings(3, "0.9", "0.5")
    assert grounds(readings(0, "0.9", "0.5"), moved, ("walls[0]", "walls[3]")) == []
    assert grounds(readings(0, "0.9", "1.4"), moved[:1], ("walls[0]", "walls[3]")) == said("fewer entries", 2, 1)
    walls = [(f"walls[{n}].length", "10 ft") for n in range(4)]
    assert grounds(walls, walls[:3], ("", "")) == said("fewer entries", 4, 3)


def test_of_two_lists_that_shrank_the_longer_is_told() -> None:
    """One line for one comparison, and one for each comparison."""
    short, long = readings(0, "1", "2"), [(f"walls[0].surface[{n}].temperature", "60") for n in range(5)]
    assert grounds([*short, *long], [*short[:1], *long[:4]]) == said("fewer entries", 5, 4)
    pair = (compared("1.4", *short), compared("0.5", *short[:1]))
    assert list(weaker_grounds([pair, pair], ("walls[0]", "walls[0]"))) == said("fewer entries", 2, 1) * 2
