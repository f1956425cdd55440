"""The time axis of a picture: which local moments are ticks, so that no label touches another.

Ticks stand at whole minutes, hours, midnights, Mondays and firsts of the month as the site's clocks show them, so over
a clock change they are not evenly far apart. Moments are seconds since 1970-01-01T00:00Z.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from wallwalk.moments import show_moment
from wallwalk.report.chart_shapes import Drawing, Label, Shape, polyline, text_width
from wallwalk.words import IN_ENGLISH, Words

_GAP = 17.6
"""The least room between two labels of one row."""

_LEAST_SPAN = 600
"""An axis runs over ten minutes at the least."""

_MOST_TICKS = 60
"""More ticks than this fit no picture; such a step is not even tried."""


@dataclass(frozen=True, slots=True)
class TimeAxis:
    """A stretch of time laid along a picture, from `left` to `right`."""

    first: int
    last: int
    left: float
    right: float

    def x(self, seconds: float) -> float:
        """Where a moment lies; one outside the stretch lies at its end."""
        share = (min(max(seconds, self.first), self.last) - self.first) / max(self.last - self.first, 1)
        return self.left + share * (self.right - self.left)


def axis_over(moments: Sequence[int], left: float, right: float) -> TimeAxis:
    """An axis over all of `moments`, with a little room at both ends; over no time at all where there are none."""
    if not moments:
        return TimeAxis(0, 0, left, right)
    first, last = min(moments), max(moments)
    room = max((last - first) // 50, (_LEAST_SPAN - (last - first)) // 2)
    return TimeAxis(first - room, last + room, left, right)


@dataclass(frozen=True, slots=True)
class Tick:
    """A moment with its label: `06:00`, `Sun 8`, `Mar` or `2026`."""

    at: int
    label: str


@dataclass(frozen=True, slots=True)
class Ticks:
    """The ticks of an axis, and below them, where each begins, the day, the month or the year."""

    ticks: tuple[Tick, ...]
    under: tuple[Tick, ...]


@dataclass(frozen=True, slots=True)
class _Step:
    """One way to set ticks: on which days, every how many minutes of them, and which words say it."""

    seconds: int
    on: Callable[[date], bool]
    minutes: int
    label: slice
    under: slice


_DAY = 24 * 60
_CLOCK, _WEEKDAY, _MONTH, _YEAR, _NOTHING = slice(4, 5), slice(0, 2), slice(2, 3), slice(3, 4), slice(0, 0)
"""Parts of `Sun 8 Mar 2026 06:00`."""


def _steps() -> Iterator[_Step]:
    for minutes in (1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720):
        yield _Step(minutes * 60, lambda _: True, minutes, _CLOCK, slice(0, 3))
    yield _Step(86400, lambda _: True, _DAY, _WEEKDAY, slice(2, 4))
    for days in (2, 3, 7, 14):
        yield _Step(days * 86400, _every(days), _DAY, _WEEKDAY, slice(2, 4))
    for months in (1, 2, 3, 6):
        yield _Step(months * 28 * 86400, _first_of_every(months), _DAY, _MONTH, _YEAR)
    for years in (1, 2, 5, 10, 50):
        yield _Step(years * 365 * 86400, _first_of_every(years * 12), _DAY, _YEAR, _NOTHING)


def _every(days: int) -> Callable[[date], bool]:
    # The first day of the calendar's first year is a Monday, so every seventh after it is one too.
    return lambda day: day.toordinal() % days == 1


def _first_of_every(months: int) -> Callable[[date], bool]:
    return lambda day: day.day == 1 and (day.year * 12 + day.month - 1) % months == 0


def choose_ticks(axis: TimeAxis, zone: ZoneInfo | None, words: Words = IN_ENGLISH) -> Ticks:
    """The closest ticks whose labels keep apart; UTC where no zone is known."""
    chosen = Ticks((), ())
    if axis.first == axis.last:
        return chosen
    for step in _steps():
        if (axis.last - axis.first) / step.seconds <= _MOST_TICKS:
            chosen = _ticks(step, axis, zone, words)
            if _keep_apart(chosen, axis):
                break
    return chosen


def draw_ticks(axis: TimeAxis, zone: ZoneInfo | None, foot: float, words: Words) -> Drawing:
    """The ticks below a plot that ends at `foot`; their labels take two rows."""
    ticks = choose_ticks(axis, zone, words)
    return Drawing(
        tuple(Shape("tick", polyline([(axis.x(t.at), foot), (axis.x(t.at), foot + 4)])) for t in ticks.ticks),
        (
            *(Label(axis.x(t.at), foot + 15, t.label, "middle") for t in ticks.ticks),
            *(Label(axis.x(t.at), foot + 29, t.label) for t in ticks.under),
        ),
    )


def _ticks(step: _Step, axis: TimeAxis, zone: ZoneInfo | None, words: Words) -> Ticks:
    moments = [at for at in _moments(step, axis, zone) if axis.first <= at <= axis.last]
    ticks = tuple(Tick(at, _words(at, step.label, zone, words)) for at in moments)
    places = [Tick(at, _words(at, step.under, zone, words)) for at in (axis.first, *moments)]
    changes = [new for old, new in pairwise(places) if new.label != old.label]
    # What holds at the left end is said there, unless the next one leaves it no room.
    if not changes or axis.x(changes[0].at) - axis.left > text_width(places[0].label) + _GAP:
        changes.insert(0, places[0])
    return Ticks(ticks, tuple(one for one in changes if one.label))


def _words(at: int, part: slice, zone: ZoneInfo | None, words: Words) -> str:
    return " ".join(show_moment(at, zone, words).split()[part])


def _keep_apart(ticks: Ticks, axis: TimeAxis) -> bool:
    def room(row: tuple[Tick, ...], share: float) -> bool:
        """Whether labels fit that stand with `share` of their width to the left of their moment."""
        return all(
            axis.x(b.at) - axis.x(a.at) >= (1 - share) * text_width(a.label) + share * text_width(b.label) + _GAP
            for a, b in pairwise(row)
        )

    return room(ticks.ticks, 0.5) and room(ticks.under, 0)


def _moments(step: _Step, axis: TimeAxis, zone: ZoneInfo | None) -> Iterator[int]:
    day = _local(axis.first, zone).date()
    last = _local(axis.last, zone).date()
    while day <= last:
        if step.on(day):
            found = [at for minute in range(0, _DAY, step.minutes) for at in _at(day, minute, zone)]
            yield from sorted(set(found)) if step.minutes < _DAY else found[:1]
        day += timedelta(days=1)


def _at(day: date, minute: int, zone: ZoneInfo | None) -> Iterator[int]:
    """When the site's clocks show that minute of that day: once, or twice or never where they change."""
    wall = datetime(day.year, day.month, day.day, minute // 60, minute % 60, tzinfo=zone or UTC)
    for fold in (0, 1):
        at = int(wall.replace(fold=fold).timestamp())
        # A midnight that is skipped is the moment of the change: the day begins all the same.
        if _local(at, zone).replace(tzinfo=None) == wall.replace(tzinfo=None) or (minute == 0 and fold == 0):
            yield at


def _local(seconds: int, zone: ZoneInfo | None) -> datetime:
    return datetime.fromtimestamp(seconds, zone or UTC)
