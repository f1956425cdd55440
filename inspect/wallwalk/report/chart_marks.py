"""Moments marked on a picture: each a line with its label above it, so that no label touches another or hides a line.

Labels stand in a few rows. Where they would take too many, numbers stand in one row, each led to its line, and a list
says what they mean.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, product
from typing import Any

from wallwalk.report.chart_shapes import WIDTH, Drawing, Label, Shape, box, polyline, text_width
from wallwalk.report.chart_time import TimeAxis

_ROW, _FALL, _OFF = 15.0, 4.0, 3.0
"""The height of a row, how far letters hang below their line, and how far a label stands beside its mark."""

_MOST_ROWS, _MOST_NAMED, _MOST_NUMBERS = 3, 7, 16
_LEAD, _APART = 14.0, 7.0
"""How tall the row of leads from numbers to marks is, and how far apart the numbers stand."""

_NEARS = (0.0, 4.0, 9.0, 20.0, 45.0)
"""Marks nearer than this share a number: the first of these distances that leaves room for all."""


@dataclass(frozen=True, slots=True)
class Flag:
    """A label from `left` to `right` in a row counted from the plot upwards, and the lines that it stands for."""

    lines: tuple[float, ...]
    text: str
    kind: str
    left: float
    right: float
    row: int
    anchor: str


@dataclass(frozen=True, slots=True)
class Flags:
    """The flags of a picture, how much room they take above the plot, and what numbers mean where they are numbers."""

    flags: tuple[Flag, ...]
    height: float
    listed: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class _Moment:
    x: float
    what: str
    shown: str
    kind: str


def place_flags(marks: Iterable[Mapping[str, Any]], axis: TimeAxis) -> Flags:
    """Flags for the marks that lie on the axis; what happened at the same moment shares one."""
    on = sorted((m for m in marks if axis.first <= m["at"] <= axis.last), key=lambda m: int(m["at"]))
    moments = [_moment(axis.x(at), list(same)) for at, same in groupby(on, key=lambda m: int(m["at"]))]
    named = _named(moments)
    if named is not None:
        return Flags(named, max((f.row + 1 for f in named), default=0) * _ROW, ())
    listed = tuple((str(n), f"{m.shown}: {m.what}") for n, m in enumerate(moments, 1))
    return Flags(_numbered(moments), _ROW + _LEAD, listed)


def draw_flags(flags: Flags, top: float, foot: float) -> Drawing:
    """The flags above a plot from `top` to `foot`, and their lines through it."""
    shapes: list[Shape] = []
    grounds: list[Shape] = []
    labels: list[Label] = []
    lead = _LEAD if flags.listed else 0
    for flag in flags.flags:
        base = top - _FALL - lead - flag.row * _ROW
        x = {"start": flag.left, "middle": (flag.left + flag.right) / 2, "end": flag.right}[flag.anchor]
        grounds.append(Shape("ground", box(flag.left, base - _ROW + _FALL + 1, flag.right, base + _FALL - 1)))
        labels.append(Label(x, base, flag.text, flag.anchor, "strong"))
        for line in flag.lines:
            rise = top if lead else base - _ROW + _FALL + 2
            shapes += [Shape("lead", polyline([(x, base + _FALL), (line, top)]))] if lead else []
            shapes.append(Shape(flag.kind, polyline([(line, rise), (line, foot)])))
    return Drawing((*shapes, *grounds), tuple(labels))


def _moment(x: float, same: Sequence[Mapping[str, Any]]) -> _Moment:
    kind = "start" if any(m["kind"] == "start" for m in same) else "mark"
    return _Moment(x, "; ".join(dict.fromkeys(str(m["what"]) for m in same)), str(same[0]["shown"]), kind)


def _named(moments: Sequence[_Moment]) -> tuple[Flag, ...] | None:
    """Flags with what the marks are, in as few rows as can be; None where they have no room or are too many."""
    if len(moments) > _MOST_NAMED:
        return None
    placed = (_in_rows(moments, sides) for sides in product((True, False), repeat=len(moments)))
    return min((p for p in placed if p is not None), key=lambda p: max((f.row for f in p), default=0), default=None)


def _in_rows(moments: Sequence[_Moment], to_the_right: Sequence[bool]) -> tuple[Flag, ...] | None:
    """Each label on its given side of its line, in the lowest row where it is free; None where one finds no row."""
    placed: list[Flag] = []
    sided = list(zip(moments, to_the_right, strict=True))
    # Labels that read away from their line never lie under the lines of those that come after them in this order.
    for moment, right in [*reversed([s for s in sided if s[1]]), *(s for s in sided if not s[1])]:
        width = text_width(moment.what, strong=True)
        left, side = (moment.x + _OFF, "start") if right else (moment.x - _OFF - width, "end")
        tries = (
            Flag((moment.x,), moment.what, moment.kind, left, left + width, row, side) for row in range(_MOST_ROWS)
        )
        flag = next((one for one in tries if not any(_disturb(one, o) or _disturb(o, one) for o in placed)), None)
        if flag is None or flag.left < 0 or flag.right > WIDTH:
            return None
        placed.append(flag)
    return tuple(sorted(placed, key=lambda f: f.lines))


def _disturb(one: Flag, other: Flag) -> bool:
    """Whether the label of `one` touches that of `other`, or hides its line, which runs up to its own row."""
    touches = one.row == other.row and one.left < other.right + _APART and other.left < one.right + _APART
    return touches or (other.row >= one.row and one.left - 2 < other.lines[0] < one.right + 2)


def _numbered(moments: Sequence[_Moment]) -> tuple[Flag, ...]:
    """Flags with numbers, each as near to its line as the others let it."""
    for near in _NEARS:
        groups = _near_groups(moments, near)
        texts = [str(g[0]) if len(g) == 1 else f"{g[0]}–{g[-1]}" for g in groups]
        widths = [text_width(text, strong=True) for text in texts]
        if len(groups) <= _MOST_NUMBERS and sum(widths) + _APART * len(widths) <= WIDTH:
            break
    places = [moments[group[0] - 1].x - width / 2 for group, width in zip(groups, widths, strict=True)]
    for n in range(1, len(places)):
        places[n] = max(places[n], places[n - 1] + widths[n - 1] + _APART)
    right = WIDTH
    for n in reversed(range(len(places))):
        places[n] = min(places[n], right - widths[n])
        right = places[n] - _APART
    return tuple(
        Flag(tuple(moments[n - 1].x for n in group), text, moments[group[0] - 1].kind, left, left + width, 0, "middle")
        for group, text, left, width in zip(groups, texts, places, widths, strict=True)
    )


def _near_groups(moments: Sequence[_Moment], near: float) -> list[list[int]]:
    """The numbers of the marks, from 1, those together that share a label; the planned start has its own."""
    groups: list[list[int]] = []
    for n, moment in enumerate(moments, 1):
        before = moments[groups[-1][0] - 1] if groups else None
        if before is not None and moment.x - before.x < near and "start" not in (moment.kind, before.kind):
            groups[-1].append(n)
        else:
            groups.append([n])
    return groups
