"""Pictures of the climate: what a log saw over time, the allowed band, when it was out of it, and what was not seen.

One picture for each place of a log, with a panel for each quantity, one below the other over the same time. Everything
is worked out here; the template only draws. Shapes tell themselves apart without colour.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from wallwalk.moments import find_zone
from wallwalk.report.chart_clocks import clock_charts
from wallwalk.report.chart_curves import Point, beyond_band, piece_of, runs_of
from wallwalk.report.chart_marks import draw_flags, place_flags
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
)
from wallwalk.report.chart_time import TimeAxis, axis_over, draw_ticks
from wallwalk.report.chart_words import band_edges, say_climate, say_marks, show_quantities
from wallwalk.words import IN_ENGLISH, Words, fixed

__all__ = ["Chart", "climate_charts", "clock_charts"]

Picture = Mapping[str, Any]
_LEFT, _HEAD, _LANE, _BETWEEN = 46.0, 22.0, 19.0, 7.0
_HEIGHTS = {"temperature": 150.0, "humidity": 105.0}
_MOST_LEVELS = 6
_HOLE_HATCH, _NOT_SEEN = 7.0, fixed("not seen")
_KEY = {
    "seen": fixed("measured, lowest to highest"),
    "dot": fixed("one reading"),
    "edge": fixed("edge of the allowed band"),
    "out": fixed("out of the band"),
    "hole": _NOT_SEEN,
}


@dataclass(frozen=True, slots=True)
class Panel:
    """Where the readings of one quantity are drawn: over time to the right, and up from `foot` to `top`."""

    time: TimeAxis
    levels: tuple[float, ...]
    top: float
    foot: float

    def y(self, level: float) -> float:
        """How far down a reading lies."""
        low, high = self.levels[0], self.levels[-1]
        return self.foot - (level - low) / (high - low) * (self.foot - self.top)


def climate_charts(climate: Mapping[str, Any], zone: str, words: Words = IN_ENGLISH) -> tuple[Chart, ...]:
    """The pictures of a record's `climate`, times as clocks show them in `zone`, an IANA name or empty for UTC."""
    places: dict[tuple[str, str], list[Picture]] = {}
    for picture in climate["pictures"]:
        places.setdefault((picture["log"], picture["place"]), []).append(picture)
    return tuple(
        _chart(f"climate-{n}", pictures, climate["marks"], zone, words) for n, pictures in enumerate(places.values(), 1)
    )


def choose_levels(low: float, high: float) -> tuple[float, ...]:
    """Round numbers, evenly apart, that reach past both `low` and `high`."""
    room = max((high - low) * 0.04, 0.25)
    for step in (float(digit * 10**power) for power in range(12) for digit in (1, 2, 5)):
        first, last = math.floor((low - room) / step), math.ceil((high + room) / step)
        if last - first <= _MOST_LEVELS:
            return tuple(n * step for n in range(first, last + 1))
    raise ValueError(f"no steps over {low} to {high}")


def _chart(
    name: str, pictures: Sequence[Picture], marks: Sequence[Mapping[str, Any]], zone: str, words: Words
) -> Chart:
    where = find_zone(zone)
    time = _time_axis(pictures, marks, words)
    flags = place_flags(marks, time)
    panels = _panels(pictures, time, _HEAD + flags.height, words)
    foot = panels[-1].foot + (_LANE if pictures[-1]["out"] else 0)
    drawing, titles = Drawing(), []
    for picture, panel, head in zip(pictures, panels, (_HEAD, *(p.top for p in panels[1:])), strict=True):
        title = f"{words.tell(picture['quantity']).capitalize()}, {picture['unit']}"
        drawing += _draw(picture, panel, words)
        titles.append((head, title))
    drawing += draw_ticks(time, where, foot, words)
    drawing += Drawing(tuple(_bracket(marks, panels[0]))) + draw_flags(flags, panels[0].top - 2, foot)
    for head, title in titles:  # after the lines of the marks, which must not run through it
        ground = Shape("ground", box(0, head - 21, text_width(title, strong=True) + 4, head - 4))
        drawing += Drawing((ground,), (Label(0, head - 9, title, "start", "strong"),))
    kinds = {shape.kind for shape in drawing.shapes}
    key, height = draw_key([(kind, words.tell(text)) for kind, text in _KEY.items() if kind in kinds], foot + 44)
    said = [say_climate(picture, where, words) for picture in pictures]
    shown = [m for m in marks if time.first <= m["at"] <= time.last]
    marked = say_marks(words.say("Marked"), shown)
    beside = say_marks(words.say("Not in the picture"), (m for m in marks if m not in shown))
    return Chart(
        name,
        ", ".join(filter(None, (show_quantities(pictures, words), pictures[0]["place"]))),
        words.say("{log}, times in {zone}", log=pictures[0]["log"], zone=zone if where else "UTC"),
        " ".join(filter(None, (*said, marked, beside))),
        tuple(filter(None, (*said, "" if flags.listed else marked, beside))),
        flags.listed,
        height,
        drawing,
        key,
    )


def _time_axis(pictures: Sequence[Picture], marks: Sequence[Mapping[str, Any]], words: Words) -> TimeAxis:
    """Over the log and the planned start; other marks widen it while the log still takes half of it or more."""
    seen = [int(at) for p in pictures for at in (*(q[0] for q in p["points"]), *(s for h in p["holes"] for s in h))]
    firm = seen + [m["at"] for m in marks if m["kind"] in ("start", "window")] or [m["at"] for m in marks]
    reach = (max(firm) - min(firm)) / 2 if firm else 0
    near = [m["at"] for m in marks if firm and min(firm) - reach <= m["at"] <= max(firm) + reach]
    edge = max((text_width(label) for p in pictures for _, label in band_edges(p, words)), default=0)
    return axis_over([*firm, *near], _LEFT, WIDTH - max(edge + 6, 24))


def _panels(pictures: Sequence[Picture], time: TimeAxis, top: float, words: Words) -> list[Panel]:
    panels = []
    for picture in pictures:
        foot = top + _HEIGHTS[picture["quantity"]]
        panels.append(Panel(time, _levels(picture, words), top, foot))
        top = foot + (_LANE if picture["out"] else 0) + _BETWEEN + _HEAD
    return panels


def _levels(picture: Picture, words: Words) -> tuple[float, ...]:
    reached = [level for _, low, high in picture["points"] for level in (low, high)]
    reached += [edge for edge, _ in band_edges(picture, words)]
    if not reached:
        return (0.0, 100.0)
    levels = choose_levels(min(reached), max(reached))
    if picture["quantity"] == "humidity" and min(reached) >= 0 and max(reached) <= 100:
        return tuple(level for level in levels if 0 <= level <= 100)
    return levels


def _draw(picture: Picture, panel: Panel, words: Words) -> Drawing:
    left, right = panel.time.left, panel.time.right
    drawing = Drawing((*_band(picture, panel), *_grid(picture, panel, words), *_holes(picture, panel)))
    drawing += Drawing((*_curves(picture, panel), *_out(picture, panel)))
    drawing += Drawing((Shape("frame", box(left, panel.top, right, panel.foot)),))
    return drawing + Drawing(*_words(picture, panel, words))


def _grid(picture: Picture, panel: Panel, words: Words) -> Iterator[Shape]:
    across = (panel.time.left, panel.time.right)
    for level in panel.levels:
        yield Shape("grid", polyline((x, panel.y(level)) for x in across))
    for edge, _ in band_edges(picture, words):
        yield Shape("edge", polyline((x, panel.y(edge)) for x in across))


def _band(picture: Picture, panel: Panel) -> Iterator[Shape]:
    band = picture["band"]
    if band is not None:
        top = panel.top if band["high"] is None else panel.y(band["high"])
        foot = panel.foot if band["low"] is None else panel.y(band["low"])
        yield Shape("band", box(panel.time.left, top, panel.time.right, foot))


def _holes(picture: Picture, panel: Panel) -> Iterator[Shape]:
    for left, right in _columns(picture["holes"], panel.time, 2):
        yield from hatched("hole", left, panel.top, right, panel.foot, _HOLE_HATCH)


def _out(picture: Picture, panel: Panel) -> Iterator[Shape]:
    for left, right in _columns(picture["out"], panel.time, 3):
        yield Shape("out", box(left, panel.foot + 7, right, panel.foot + 15))


def _columns(spans: Iterable[Sequence[int]], time: TimeAxis, least: float) -> Iterator[tuple[float, float]]:
    """Where stretches of time lie, each wide enough to see."""
    for first, last in spans:
        left, right = time.x(first), time.x(last)
        more = max(least - (right - left), 0) / 2
        yield left - more, right + more


def _curves(picture: Picture, panel: Panel) -> Iterator[Shape]:
    runs = list(runs_of(picture["points"], picture["holes"]))
    for run in runs:
        yield _curve("seen" if len(run) > 1 else "dot", run, panel)
    for first, last in picture["out"]:
        for run in runs:
            yield from (
                _curve("beyond", part, panel) for part in beyond_band(piece_of(run, first, last), picture["band"])
            )


def _curve(kind: str, run: Sequence[Point], panel: Panel) -> Shape:
    """From lowest to highest at each moment, as one outline; a run of one point as an upright line."""
    lows = [(panel.time.x(at), panel.y(low)) for at, low, _ in run]
    highs = [(panel.time.x(at), panel.y(high)) for at, _, high in run]
    return Shape(kind, polyline([*highs, *reversed(lows)], closed=True))


def _bracket(marks: Iterable[Mapping[str, Any]], panel: Panel) -> Iterator[Shape]:
    """A bar along the top from when the time in the band has to begin to the planned start."""
    ends = [[panel.time.x(m["at"]) for m in marks if m["kind"] == kind] for kind in ("window", "start")]
    if all(ends):
        yield Shape("bracket", polyline([(ends[0][0], panel.top), (ends[1][0], panel.top)]))


def _words(picture: Picture, panel: Panel, words: Words) -> tuple[tuple[Shape, ...], tuple[Label, ...]]:
    """The labels of a panel, and the ground under those that lie on a hatch."""
    time, middle = panel.time, (panel.top + panel.foot) / 2
    levels = panel.levels if picture["points"] or picture["band"] else ()
    labels = [Label(time.left - 6, panel.y(level) + 4, words.show_numeral(f"{level:g}"), "end") for level in levels]
    edges = [(panel.y(level) + 4, label) for level, label in band_edges(picture, words)]
    if len(edges) == 2 and edges[0][0] - edges[1][0] < 13:
        centre = (edges[0][0] + edges[1][0]) / 2
        edges = [(centre + 6.5, edges[0][1]), (centre - 6.5, edges[1][1])]
    labels += [Label(time.right + 5, y, label) for y, label in edges]
    if picture["out"]:
        labels.append(Label(time.left - 6, panel.foot + 16, words.say("out"), "end", "strong"))
    not_seen = words.tell(_NOT_SEEN)
    wide = text_width(not_seen)
    seen = [
        ((left + right) / 2, not_seen) for left, right in _columns(picture["holes"], time, 2) if right - left > wide + 8
    ]
    if not picture["points"]:
        seen.append(((time.left + time.right) / 2, words.say("no readings")))
    grounds = [
        Shape("ground", box(x - text_width(text) / 2 - 2, middle - 8, x + text_width(text) / 2 + 2, middle + 6))
        for x, text in seen
    ]
    return tuple(grounds), (*labels, *(Label(x, middle + 3, text, "middle") for x, text in seen))
