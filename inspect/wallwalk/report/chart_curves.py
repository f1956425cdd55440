"""What a log saw, cut where it saw nothing, and the pieces of it that lie outside the allowed band."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

Point = Sequence[float]
"""When, in seconds since 1970, and between which readings."""


def runs_of(points: Sequence[Point], holes: Sequence[Sequence[int]]) -> Iterator[list[Point]]:
    """The points in stretches that no hole cuts."""
    run = list(points[:1])
    for before, after in pairwise(points):
        if any(first < after[0] and last > before[0] for first, last in holes):
            yield run
            run = []
        run.append(after)
    if run:
        yield run


def piece_of(run: Sequence[Point], first: int, last: int) -> list[Point]:
    """The piece of a run from `first` to `last`, cut between points where need be."""
    first, last = max(first, int(run[0][0])), min(last, int(run[-1][0]))
    if first > last:
        return []
    return [_point_at(run, first), *(p for p in run if first < p[0] < last), _point_at(run, last)]


def beyond_band(piece: Sequence[Point], band: Mapping[str, Any] | None) -> Iterator[list[Point]]:
    """What of a piece lies below the band, and what above it."""
    if band is None:
        return
    if band["low"] is not None and any(low < band["low"] for _, low, _ in piece):
        yield [(at, min(low, band["low"]), min(high, band["low"])) for at, low, high in piece]
    if band["high"] is not None and any(high > band["high"] for _, _, high in piece):
        yield [(at, max(low, band["high"]), max(high, band["high"])) for at, low, high in piece]


def _point_at(run: Sequence[Point], at: int) -> Point:
    for (t0, low0, high0), (t1, low1, high1) in pairwise(run):
        if t0 <= at <= t1 and t0 < t1:
            share = (at - t0) / (t1 - t0)
            return at, low0 + share * (low1 - low0), high0 + share * (high1 - high0)
    return run[0]
