"""What the rows of one log show, gathered row by row: runs against a band, the air at a moment, a trace to draw.

Each gatherer keeps what it found and not the rows, so that memory grows with what happened and not with the file.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from wallwalk.climate import Band, Instant, Trace
from wallwalk.evidence import ABOVE, BELOW, INSIDE, UNSURE, LogRuns, Run
from wallwalk.spans import Spans, rest, union, within
from wallwalk.units import in_unit
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval

Seconds = Fraction | int
Read = Callable[[str], tuple[Fraction, Fraction] | None]
"""Reads a cell: the least and the most it says, in base units; None where it says nothing."""

HOLE = Fraction(3, 2)
"""Rows further apart than this many times the logger's interval have a hole between them: a row is missing there."""

TOO_SOON = HOLE / 2
"""Rows nearer than this many times the interval come faster than the logger is said to write.

A log in which no two rows are nearer has a hole wherever a row was taken out, so that no row can be lost unseen.
"""

ZERO = Fraction(0)
MOST_CELLS = 1 << 16
"""The most different cells that are remembered; loggers write far fewer."""

_MOST_POINTS = 480


def whole(amount: Bound) -> Bound | int:
    """`amount` as a whole number where it is one: a row is compared with it many times faster."""
    return amount.numerator if isinstance(amount, Fraction) and amount.denominator == 1 else amount


@dataclass(frozen=True, slots=True)
class Stay:
    """When a log stood in the space, and how often it wrote: the ends are moments not known exactly."""

    began: Interval
    ended: Interval
    every: Fraction
    written: str = ""


@dataclass(slots=True)
class _Open:
    """A run still growing."""

    begins: Seconds
    ends: Seconds
    says: str
    reach_from: Seconds
    furthest: tuple[Bound, Bound]
    low: Fraction
    high: Bound


class BandRuns:
    """Gathers the runs of one log against one band."""

    def __init__(self, band: Band, read: Read, stay: Stay) -> None:
        self._band = band
        self._read = read
        self._stay = stay
        self._gap = whole(stay.every * HOLE)
        self._cells: dict[str, tuple[str, Fraction, Fraction] | None] = {}
        self._runs: list[Run] = []
        self._seen: list[tuple[Bound, Bound]] = []
        self._open: _Open | None = None
        self._chain_from: Seconds = 0
        self._near: Fraction = ZERO
        self._far: Fraction = ZERO

    def add(self, seconds: Seconds, cell: str) -> None:
        """One more row, later than the one before."""
        judged = self._cells[cell] if cell in self._cells else self._judge(cell)
        if judged is None:
            return
        says, near, far = judged
        now = self._open
        if now is not None and seconds - now.ends <= self._gap:
            if says == now.says:
                if says != INSIDE:
                    lasted = seconds - now.ends
                    now.low += lasted * min(self._near, near)
                    now.high += lasted * max(self._far, far)
                    now.furthest = (max(now.furthest[0], near), max(now.furthest[1], far))
                now.ends = seconds
            else:
                joint = (seconds - now.ends) * max(self._far, far)
                before = now.ends
                if says == INSIDE:
                    now.high += joint
                self._close(now, seconds)
                high: Bound = ZERO if says == INSIDE else joint
                self._open = _Open(seconds, seconds, says, before, (near, far), ZERO, high)
        else:
            if now is not None:
                self._close(now, now.ends)
                self._seen.append((self._chain_from, now.ends))
            self._chain_from = seconds
            self._open = _Open(seconds, seconds, says, seconds, (near, far), ZERO, ZERO)
        self._near, self._far = near, far

    def finish(self) -> LogRuns:
        """What was gathered, when no more rows come."""
        if self._open is not None:
            self._close(self._open, self._open.ends)
            self._seen.append((self._chain_from, self._open.ends))
            self._open = None
        began, ended = self._stay.began, self._stay.ended
        last = self._seen[-1][1] if self._seen else ended.high
        # The last row and the end belong together where no row can be missing between them.
        gone = last if last < ended.high and ended.high - last <= self._stay.every * TOO_SOON else ended.high
        absent: Spans = ((NO_LOW, began.low), (gone, NO_HIGH))
        return LogRuns(tuple(self._runs), within(rest(union(self._seen)), began.low, gone), absent)

    def _close(self, run: _Open, reach_to: Seconds) -> None:
        self._runs.append(
            Run(run.begins, run.ends, run.says, (run.reach_from, reach_to), run.furthest, (run.low, run.high))
        )

    def _judge(self, cell: str) -> tuple[str, Fraction, Fraction] | None:
        read = self._read(cell)
        judged = None if read is None else self._against_band(*read)
        if len(self._cells) >= MOST_CELLS:
            self._cells.clear()
        self._cells[cell] = judged
        return judged

    def _against_band(self, low: Fraction, high: Fraction) -> tuple[str, Fraction, Fraction]:
        """What a reading says of the band, and how far outside it is, at the least and at the most."""
        below, above = Fraction(self._band.low), Fraction(self._band.high)
        near = max(ZERO, below - high, low - above)
        far = max(ZERO, below - low, high - above)
        says = INSIDE if far == 0 else BELOW if high < below else ABOVE if low > above else UNSURE
        return says, near, far


class AtInstant:
    """Gathers what one log says of the air at one moment: of the rows around it, if no hole lies between them."""

    def __init__(self, instant: Instant, read: Read, stay: Stay) -> None:
        self._instant = instant
        self._read = read
        self._gap = whole(stay.every * HOLE)
        self._last: Seconds | None = None
        self._low: Fraction = ZERO
        self._high: Fraction = ZERO
        self._known = False

    def add(self, seconds: Seconds, cell: str) -> None:
        """One more row, later than the one before."""
        if self._last is not None and self._last >= self._instant.ends:
            return
        read = self._read(cell)
        if read is None:
            return
        low, high = read
        if seconds <= self._instant.begins:
            self._low, self._high, self._known = low, high, True
        else:
            self._known = self._known and self._last is not None and seconds - self._last <= self._gap
            self._low, self._high = min(self._low, low), max(self._high, high)
        self._last = seconds

    def finish(self) -> Interval | None:
        """The air at that moment; None where the log did not see it."""
        seen = self._known and self._last is not None and self._last >= self._instant.ends
        return Interval(self._instant.kind, self._low, self._high) if seen else None


class Tracing:
    """Gathers what is drawn: the least and the most in each short time, which grows as the log does."""

    def __init__(self, kind: str, unit: str, read: Read, stay: Stay) -> None:
        self._kind = kind
        self._unit = unit
        self._read = read
        self._width: Seconds = stay.every.numerator if stay.every.denominator == 1 else stay.every
        self._points: dict[int, tuple[Seconds, Fraction, Fraction]] = {}
        self._cells: dict[str, Fraction | None] = {}

    def add(self, seconds: Seconds, cell: str) -> None:
        """One more row, later than the one before."""
        if cell in self._cells:
            amount = self._cells[cell]
        else:
            read = self._read(cell)
            amount = None if read is None else Fraction(in_unit(read[0], self._kind, self._unit))
            if len(self._cells) >= MOST_CELLS:
                self._cells.clear()
            self._cells[cell] = amount
        if amount is None:
            return
        place = int(seconds // self._width)
        point = self._points.get(place)
        if point is None:
            self._points[place] = (seconds, amount, amount)
            if len(self._points) > _MOST_POINTS:
                self._halve()
        elif amount < point[1]:
            self._points[place] = (point[0], amount, point[2])
        elif amount > point[2]:
            self._points[place] = (point[0], point[1], amount)

    def finish(self) -> Trace | None:
        """What was gathered; None where no row said anything."""
        points = tuple(self._points.values())
        if not points:
            return None
        return Trace(self._kind, self._unit, points, min(p[1] for p in points), max(p[2] for p in points))

    def _halve(self) -> None:
        self._width *= 2
        points: dict[int, tuple[Seconds, Fraction, Fraction]] = {}
        for seconds, low, high in self._points.values():
            place = int(seconds // self._width)
            first, least, most = points.get(place, (seconds, low, high))
            points[place] = (first, min(least, low), max(most, high))
        self._points = points
