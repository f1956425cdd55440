"""How an answer looks in its place on a form: a cross in a box, or words in a size that fits; as PDF drawings."""

from __future__ import annotations

import textwrap

import pydyf

_MOST_PT, _LEAST_PT = 9.0, 6.0
_NARROW, _WIDE = frozenset("ijlftrI.,;:!|'()[]/- "), frozenset("mwMW@%")
_ROOM_PT = 1.5


def crossed(width: float, height: float) -> pydyf.Stream:
    """A cross from corner to corner of a box of so many points."""
    low, right, high = _ROOM_PT, width - _ROOM_PT, height - _ROOM_PT
    cross = f"q 1.3 w 1 J {low} {low} m {right:.2f} {high:.2f} l {low} {high:.2f} m {right:.2f} {low} l S Q"
    return _drawing([cross], width, height)


def off(width: float, height: float) -> pydyf.Stream:
    """An empty box; its edge is drawn on the page."""
    return _drawing([], width, height)


def written(
    text: str, width: float, height: float, font: str, resources: pydyf.Dictionary
) -> tuple[pydyf.Stream | None, bool]:
    """Words in a field of so many points, and whether it takes more lines than one.

    No drawing where the font lacks a letter.
    """
    is_long = height > 2 * _MOST_PT or _width_em(text) * _LEAST_PT > width - 2 * _ROOM_PT
    try:
        text.encode("cp1252")
    except UnicodeEncodeError:
        return None, is_long
    if not text:
        return _drawing(["/Tx BMC EMC"], width, height), is_long
    size, lines = _set_in(text, width - 2 * _ROOM_PT, height, is_long=is_long)
    below = height - 1.05 * size if len(lines) > 1 else (height - 0.7 * size) / 2
    parts = [f"/Tx BMC q BT /{font} {size:.2f} Tf 0 g {1.15 * size:.2f} TL {_ROOM_PT} {below:.2f} Td"]
    parts += [f"({_escaped(line)}) Tj T*" for line in lines]
    look = _drawing([*parts, "ET Q EMC"], width, height)
    look.extra["Resources"] = resources
    return look, is_long


def _set_in(text: str, width: float, height: float, *, is_long: bool) -> tuple[float, list[str]]:
    """The largest size in points, of a few, at which the text fits, and its lines."""
    if not is_long:
        return max(_LEAST_PT, min(_MOST_PT, 0.72 * height, width / max(_width_em(text), 0.01))), [text]
    size = min(_MOST_PT, 0.72 * height)
    while size > 3:
        lines = textwrap.wrap(text, max(1, int(width / (0.53 * size))))
        if len(lines) * 1.15 * size <= height and all(_width_em(line) * size <= width for line in lines):
            break
        size -= 0.25
    return size, lines


def _width_em(text: str) -> float:
    """How wide Helvetica sets it, or a little less wide than that says."""
    return sum(0.34 if c in _NARROW else 0.95 if c in _WIDE else 0.75 if c.isupper() else 0.56 for c in text)


def _escaped(line: str) -> str:
    """A line as octal codes and plain signs, which a PDF string may hold."""
    return "".join(chr(b) if 32 <= b < 127 and chr(b) not in "()\\" else f"\\{b:03o}" for b in line.encode("cp1252"))


def _drawing(parts: list[str], width: float, height: float) -> pydyf.Stream:
    extra = {"Type": "/XObject", "Subtype": "/Form", "BBox": pydyf.Array([0, 0, round(width, 2), round(height, 2)])}
    return pydyf.Stream([part.encode() for part in parts], extra)
