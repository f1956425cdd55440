"""A picture of the clocks: one row each, from when it began to when it is through, against the planned start.

Rows are in the order given. What a clock counts stands above the rows that count the same; many rows make several
pictures, each of which fits a page.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from wallwalk.moments import find_zone, show_moments
from wallwalk.report.chart_shapes import (
    WIDTH,
    Chart,
    Drawing,
    Label,
    Shape,
    box,
    draw_key,
    hatched,
    polyline,
    text_width,
    wrap_text,
)
from wallwalk.report.chart_time import TimeAxis, axis_over, draw_ticks
from wallwalk.report.chart_words import count_clocks, say_clock, show_short, show_subject, show_through
from wallwalk.words import IN_ENGLISH, Words, fixed

Clock = Mapping[str, Any]

_LEFT, _RIGHT = 140.0, 508.0
_SUBJECT, _END = _LEFT - 10, _RIGHT + 9
_LINE, _BETWEEN, _BAR = 13.0, 3.0, 12.0
_TOP, _FOOT = 20.0, 44.0
_WHOLE, _PART = 400.0, 315.0
"""How tall the rows of one picture may be, and about how tall where they make several: two of these fit a page."""

_UNSURE_HATCH = 4.0
_KINDS = {"in time": "kept", "missed": "missed", "not known": "open"}
_KEY = {
    "kept": fixed("runs, through in time"),
    "missed": fixed("runs, missed"),
    "open": fixed("runs, not known if in time"),
    "unsure": fixed("may run or not"),
    "earlier": fixed("earlier than the picture"),
    "unknown": fixed("not known"),
}


@dataclass(frozen=True, slots=True)
class _Row:
    """A clock with how tall it is drawn: `head` stands above it where it counts something new."""

    clock: Clock
    head: tuple[str, ...]
    subject: tuple[str, ...]

    @property
    def height(self) -> float:
        return len(self.head) * _LINE + (4 if self.head else 0) + max(len(self.subject), 2) * _LINE + _BETWEEN


def clock_charts(
    clocks: Sequence[Clock], start: tuple[int, int] | None, zone: str, words: Words = IN_ENGLISH
) -> tuple[Chart, ...]:
    """The pictures of a record's clocks; `start` is the planned start, from and to, in seconds since 1970.

    Times are as clocks show them in `zone`, an IANA name or empty for UTC.
    """
    axis, where = _time_axis(clocks, start), find_zone(zone)
    planned = words.say("no planned start")
    if start:
        planned = words.say("planned start {when}", when=show_moments(*start, where, words))
    caption = f"{count_clocks(clocks, words)}; {planned}."
    pieces = list(_pieces(clocks, words))
    charts, first = [], 1
    for n, rows in enumerate(pieces, 1):
        drawing, key, height = _draw(rows, axis, start, where, words)
        last = first + len(rows) - 1
        title = words.say("Clocks that run to the start")
        if len(pieces) > 1:
            part = {"first": first, "last": last, "count": len(clocks)}
            title = words.say("Clocks that run to the start, {first} to {last} of {count}", **part)
        first = last + 1
        says = " ".join((caption, *(say_clock(row.clock, where, words) for row in rows)))
        below = (caption,) if n == len(pieces) else ()
        about = words.say("times in {zone}", zone=zone if where else "UTC")
        charts.append(Chart(f"clocks-{n}", title, about, says, below, (), height, drawing, key))
    return tuple(charts)


def _time_axis(clocks: Sequence[Clock], start: tuple[int, int] | None) -> TimeAxis:
    """Over the start and every clock that is not in time; further back four times as long as the longest of those runs.

    Where all are in time, the shortest counts: one that runs for weeks must not squeeze those that run for a day.
    """
    running = [(c, *c["began"], *c["through"]) for c in clocks if _is_known(c)]
    moments = [int(at) for _, *times in running for at in times]
    if start:
        lasting = [(c["kept"] == "in time", soonest - first) for c, first, _, soonest, _ in running]
        late = [lasts for in_time, lasts in lasting if not in_time]
        lasts = max(late) if late else min((lasts for _, lasts in lasting), default=0)
        floor = min([start[0] - 4 * lasts, *(first for c, first, *_ in running if c["kept"] != "in time")])
        moments = [*(max(at, floor) for at in moments), *start]
    return axis_over(moments, _LEFT, _RIGHT)


def _is_known(clock: Clock) -> bool:
    return clock["began"] is not None and clock["through"] is not None


def _pieces(clocks: Sequence[Clock], words: Words) -> Iterator[list[_Row]]:
    """The rows in pieces about as tall as each other; each begins with what its first clock counts."""
    total = sum(_row(c, before, words).height for before, c in zip((None, *clocks), clocks, strict=False))
    most = total if total <= _WHOLE else total / math.ceil(total / _PART)
    piece: list[_Row] = []
    for clock in clocks:
        row = _row(clock, piece[-1].clock if piece else None, words)
        if piece and sum(r.height for r in piece) + row.height / 2 > most:
            yield piece
            piece, row = [], _row(clock, None, words)
        piece.append(row)
    if piece:
        yield piece


def _row(clock: Clock, before: Clock | None, words: Words) -> _Row:
    same = before is not None and (before["what"], before["needs"]) == (clock["what"], clock["needs"])
    asked = words.say("{what}: needs {needs}", what=clock["what"], needs=clock["needs"])
    head = () if same else wrap_text(asked, WIDTH, strong=True)
    return _Row(clock, head, wrap_text(show_subject(clock, words), _SUBJECT))


def _draw(
    rows: Sequence[_Row], axis: TimeAxis, start: tuple[int, int] | None, zone: ZoneInfo | None, words: Words
) -> tuple[Drawing, Drawing, float]:
    """The rows over their axis, the key, and where that ends."""
    drawing, grounds, top = Drawing(), [], _TOP
    for row in rows:
        drawing += _draw_row(row, axis, top, zone, words)
        # The line of the start, which comes after, must not run through the words above a row.
        for n, line in enumerate(row.head):
            above = top + n * _LINE
            grounds.append(Shape("ground", box(0, above + 1, text_width(line, strong=True), above + _LINE + 3)))
        top += row.height
    drawing += draw_ticks(axis, zone, top, words)
    drawing += Drawing((Shape("axis", polyline([(_LEFT, top), (_RIGHT, top)])),))
    kinds = {shape.kind for shape in drawing.shapes}
    drawing += _draw_start(start, axis, top, zone, words) if start else Drawing()
    key, height = draw_key([(kind, words.tell(text)) for kind, text in _KEY.items() if kind in kinds], top + _FOOT)
    return drawing + Drawing(tuple(grounds)), key, height


def _draw_start(start: tuple[int, int], axis: TimeAxis, foot: float, zone: ZoneInfo | None, words: Words) -> Drawing:
    begins, ends = (show_short(at, zone, words) for at in start)
    when = begins if begins == ends else words.say("{low} to {high}", low=begins, high=ends)
    planned = words.say("planned start {when}", when=when)
    half = text_width(planned, strong=True) / 2
    x = min(max((axis.x(start[0]) + axis.x(start[1])) / 2, half), WIDTH - half)
    lines = [polyline([(axis.x(at), _TOP - 4), (axis.x(at), foot)]) for at in dict.fromkeys(start)]
    shapes = [Shape(kind, line) for kind in ("halo", "start") for line in lines]
    return Drawing(tuple(shapes), (Label(x, _TOP - 9, planned, "middle", "strong"),))


def _draw_row(row: _Row, axis: TimeAxis, top: float, zone: ZoneInfo | None, words: Words) -> Drawing:
    shapes = [Shape("rule", polyline([(0, top), (WIDTH, top)]))]
    labels = [Label(0, top + n * _LINE + 12, line, "start", "strong") for n, line in enumerate(row.head)]
    top += len(row.head) * _LINE + (4 if row.head else 0)
    labels += [Label(0, top + n * _LINE + 13, line) for n, line in enumerate(row.subject)]
    kept = row.clock["kept"]
    labels.append(Label(_END, top + 12, words.tell(kept), "start", "plain" if kept == "in time" else "strong"))
    if _is_known(row.clock):
        shapes += _bar(row.clock, axis, top + 4)
        labels.append(Label(_END, top + 12 + _LINE, show_through(row.clock, zone, words)))
    else:
        shapes.append(Shape("unknown", polyline([(_LEFT, top + 10), (_RIGHT, top + 10)])))
    return Drawing(tuple(shapes), tuple(labels))


def _bar(clock: Clock, axis: TimeAxis, top: float) -> Iterator[Shape]:
    """Where the clock surely runs, and hatched where it may: while it may not have begun, or may be through."""
    (began, begun), (soonest, latest) = clock["began"], clock["through"]
    foot = top + _BAR
    if began < axis.first:
        yield Shape("earlier", polyline([(_LEFT, top), (_LEFT - 7, (top + foot) / 2), (_LEFT, foot)], closed=True))
    if latest < axis.first:
        return
    unsure = [(began, begun), (soonest, latest)] if begun < soonest else [(began, latest)]
    for first, last in unsure:
        if axis.x(first) < axis.x(last):
            yield from hatched("unsure", axis.x(first), top, axis.x(last), foot, _UNSURE_HATCH)
    if begun < soonest:
        right = max(axis.x(soonest), axis.x(begun) + 2)
        yield Shape(_KINDS[clock["kept"]], box(axis.x(begun), top, right, foot))
