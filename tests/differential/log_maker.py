"""Logger files out of a hat: a room that keeps to its band, and nights, doors and holes that spoil it."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from random import Random
from typing import NamedTuple

_EVERY = (10, 15, 30, 60, 60, 61, 90)


class Header(NamedTuple):
    """What the survey says of a log: its clock, how often it writes, when it was set down and read."""

    clock: str
    every: str
    began: datetime
    ended: datetime


def make_log(chance: Random, start: datetime, edgy: float) -> tuple[Header, str]:
    """A log up to about the start, and the text of its file."""
    minutes = chance.choice(_EVERY[: 5 if chance.random() > edgy else None])
    step = timedelta(minutes=minutes)
    last = start - timedelta(minutes=chance.choice((0, 0, 10, 30, 45, 59, 60, 61, 120)))
    count = int(timedelta(hours=chance.choice((26, 30, 40, 50))) / step)
    moments = [last - step * i for i in range(count, -1, -1)]
    degrees = [_text(chance, (("70.0", "68.4", "66.0"), ("61.0", "79.0"))) for _ in moments]
    damp = [_text(chance, (("45.0", "44.2"), ("33.0", "57.0"))) for _ in moments]
    for _ in range(chance.choice((0, 0, 0, 1, 1, 2, 3))):
        _spoil(chance, degrees, minutes, ("59.0", "58.9", "60.9", "61.0", "52.0", "79.1", "80.0", "81.1", "90.0", ""))
        _spoil(chance, damp, minutes, ("33.0", "32.9", "26.9", "57.1", "63.0", "63.1", "80.0", ""))
    rows = list(zip(moments, degrees, damp, strict=True))
    if chance.random() < edgy * 2:
        at = chance.randrange(len(rows))
        del rows[at : at + chance.choice((1, 2, 5))]
    offset = chance.choice((-6, -5, 0, 1, 2))
    clock = timezone(timedelta(hours=offset))
    lines = [f"{at.astimezone(clock):%Y-%m-%d %H:%M:%S},{t},{h}" for at, t, h in rows]
    read = last + timedelta(minutes=chance.choice((0, 0, 0, 1, minutes // 2, minutes, 2 * minutes, -30)))
    header = Header(f"{offset:+03d}:00", f"{minutes} min", moments[0] - timedelta(minutes=chance.choice((0, 5))), read)
    return header, "\n".join(["Date/Time,Temperature (°F),Relative humidity (%)", *lines]) + "\n"


def _text(chance: Random, offer: tuple[tuple[str, ...], tuple[str, ...]]) -> str:
    return chance.choice(offer[chance.random() < 0.05])


def _spoil(chance: Random, cells: list[str], minutes: int, values: tuple[str, ...]) -> None:
    """A stretch of some length, often the last of all, reads otherwise."""
    length = max(1, chance.choice((1, 30, 50, 60, 70, 120, 300)) // minutes)
    at = chance.choice((chance.randrange(len(cells)), max(0, len(cells) - chance.randint(1, 6))))
    value = chance.choice(values)
    for i in range(at, min(at + length, len(cells))):
        cells[i] = value
