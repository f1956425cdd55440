"""The days ahead of a board: what becomes ready each day by the clock alone, what does not, and whose walk lapses."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any

from wallwalk.board_spaces import HELD, NOT_KNOWN, READY, RELEASED, WAITING, Space, day_of
from wallwalk.words import Words

Part = Mapping[str, Any]

DAYS_AHEAD = 14
"""How many days a board looks ahead, today among them."""


def show_day(day: date, words: Words) -> str:
    """A day for people: `Tue 10 Mar 2026`."""
    return words.show_day(datetime(day.year, day.month, day.day))


def days_ahead(spaces: Sequence[Space], numbers: Mapping[int, int], today: date, words: Words) -> list[Part]:
    """Each of the days from `today`. A day is one of the site's own, also where the clocks change on it."""
    states = {id(space): space.state(today.isoformat()) for space in spaces}

    def on(day: str, end: str, wanted: tuple[str, ...]) -> Iterator[Part]:
        """The spaces in one of the states `wanted` of whose walk the `end`, at or until, lies on `day`."""
        for space in spaces:
            moment = space.walk.earliest[end] if space.walk else None
            if moment is not None and day_of(moment) == day and states[id(space)] in wanted:
                yield {"space": numbers[id(space)], "at": moment}

    days = [today + timedelta(days=i) for i in range(DAYS_AHEAD)]
    return [
        {
            "date": day.isoformat(),
            "shown": show_day(day, words),
            "ready": list(on(day.isoformat(), "at", (READY, WAITING))),
            "open_besides": list(on(day.isoformat(), "at", (HELD, RELEASED, NOT_KNOWN))),
            "lapses": list(on(day.isoformat(), "until", (READY, WAITING))),
        }
        for day in days
    ]
