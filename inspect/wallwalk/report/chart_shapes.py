"""What a picture is made of: shapes, labels, and how much room words take.

Lengths are units of the picture's own; a page is `WIDTH` of them across, which is about a pixel each.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

WIDTH = 700.0
SIZE = 11.0
"""The size of the letters."""

_NARROW, _WIDE = frozenset(" ijlI.,:;'|!()[]·"), frozenset("mwMW@%—")


@dataclass(frozen=True, slots=True)
class Shape:
    """A path, and the word for what it is, by which the template knows how to draw it."""

    kind: str
    d: str


@dataclass(frozen=True, slots=True)
class Label:
    """A line of text on its baseline at `y`; `anchor` is `start`, `middle` or `end`."""

    x: float
    y: float
    text: str
    anchor: str = "start"
    kind: str = "plain"

    @property
    def left(self) -> float:
        """Where the text begins."""
        return self.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor] * self.width

    @property
    def width(self) -> float:
        """How much room the text takes at most."""
        return text_width(self.text, strong=self.kind == "strong")


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes, the later over the earlier, and labels over all of them."""

    shapes: tuple[Shape, ...] = ()
    labels: tuple[Label, ...] = ()

    def __add__(self, over: Drawing) -> Drawing:
        return Drawing(self.shapes + over.shapes, self.labels + over.labels)


@dataclass(frozen=True, slots=True)
class Chart:
    """A picture, ready to draw, and what it says in words.

    `name` is its own within a page. `key` tells the kinds of shapes apart. `says` is everything the picture shows, in
    words; `caption` stands below it. `listed` are numbers that stand in the picture, with what they mean.
    """

    name: str
    title: str
    about: str
    says: str
    caption: tuple[str, ...]
    listed: tuple[tuple[str, str], ...]
    height: float
    drawing: Drawing
    key: Drawing
    width: float = WIDTH
    size: float = SIZE


def text_width(text: str, *, strong: bool = False) -> float:
    """At most how wide `text` is, in any of the fonts a page may find."""
    ems = sum(_ems(letter) for letter in text)
    return ems * SIZE * (1.09 if strong else 1.0)


def _ems(letter: str) -> float:
    if letter in _NARROW:
        return 0.36
    if letter in _WIDE or ord(letter) >= 0x2E80:
        return 1.0
    return 0.7 if letter.isupper() else 0.62


def wrap_text(text: str, width: float, *, strong: bool = False) -> tuple[str, ...]:
    """`text` in lines no wider than `width`; a word that is wider by itself is broken."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}".strip()
        if text_width(longer, strong=strong) <= width:
            line = longer
            continue
        lines += [line] if line else []
        line = word
        while text_width(line, strong=strong) > width and len(line) > 1:
            most = next(
                n for n in range(len(line) - 1, 0, -1) if n == 1 or text_width(line[:n], strong=strong) <= width
            )
            lines.append(line[:most])
            line = line[most:]
    return tuple([*lines, line] if line else lines)


def number(value: float) -> str:
    """A length as a path has it: to a tenth."""
    return f"{value:.1f}".removesuffix(".0")


def polyline(points: Iterable[tuple[float, float]], *, closed: bool = False) -> str:
    """A path through `points`."""
    return "M" + " L".join(f"{number(x)} {number(y)}" for x, y in points) + (" Z" if closed else "")


def box(left: float, top: float, right: float, bottom: float) -> str:
    """A rectangle as a path."""
    return polyline([(left, top), (right, top), (right, bottom), (left, bottom)], closed=True)


def hatch(left: float, top: float, right: float, bottom: float, step: float) -> str:
    """Slanting lines that fill a rectangle, each cut at its edges."""
    first = math.ceil((left + top) / step)
    last = math.floor((right + bottom) / step)
    lines: list[Sequence[tuple[float, float]]] = []
    for n in range(first, last + 1):
        total = n * step  # along one line, x + y
        low, high = max(left, total - bottom), min(right, total - top)
        if high > low:
            lines.append(((low, total - low), (high, total - high)))
    return " ".join(polyline(line) for line in lines)


def draw_key(samples: Sequence[tuple[str, str]], top: float) -> tuple[Drawing, float]:
    """What each kind of shape in `samples` means, in as many rows as it takes; and where the last of them ends."""
    drawn = Drawing()
    x, row = 0.0, 0
    for kind, words in samples:
        wide = _SWATCH + 5 + text_width(words)
        if x and x + wide > WIDTH:
            x, row = 0.0, row + 1
        y = top + row * _KEY_ROW
        drawn += Drawing(_swatch(kind, x, y), (Label(x + _SWATCH + 5, y + 9, words),))
        x += wide + 18
    return drawn, top + (row + 1) * _KEY_ROW


_SWATCH, _KEY_ROW = 26.0, 16.0
_HATCHED, _LINES = {"hole": 7.0, "unsure": 4.0}, {"edge", "unknown"}


def _swatch(kind: str, x: float, y: float) -> tuple[Shape, ...]:
    if kind in _LINES:
        return (Shape(kind, polyline([(x, y + 5), (x + _SWATCH, y + 5)])),)
    if kind == "dot":
        return (Shape(kind, polyline([(x + _SWATCH / 2, y + 3), (x + _SWATCH / 2, y + 7)])),)
    if kind == "earlier":
        return (Shape(kind, polyline([(x + 16, y), (x + 9, y + 5), (x + 16, y + 10)], closed=True)),)
    area = (x, y, x + _SWATCH, y + 10)
    return hatched(kind, *area, _HATCHED[kind]) if kind in _HATCHED else (Shape(kind, box(*area)),)


def hatched(kind: str, left: float, top: float, right: float, bottom: float, step: float) -> tuple[Shape, ...]:
    """A rectangle filled with slanting lines."""
    area = (left, top, right, bottom)
    return Shape(kind, box(*area)), Shape("hatch", hatch(*area, step))
