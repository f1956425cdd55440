"""How an answer looks in its place on a form: a cross in a box, or words in a size that fits; as PDF drawings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import pydyf

_MOST_PT, _LEAST_PT, _STEP_PT = 9.0, 6.0, 0.25
_LEADING = 1.15
_ROOM_PT = 1.5
_LACKING = (0, 0.6)


@dataclass(frozen=True, slots=True)
class Typeface:
    """A font that lies whole in a PDF: its name there, its object, and each letter's number and width in ems."""

    name: str
    reference: bytes
    letters: Mapping[str, tuple[int, float]]

    def width_em(self, text: str) -> float:
        """How wide it sets `text`, in ems."""
        return sum(self.letters.get(letter, _LACKING)[1] for letter in text)

    def codes(self, text: str) -> str:
        """`text` as the font's own numbers of its letters; one that it lacks is an empty box."""
        return "".join(f"{self.letters.get(letter, _LACKING)[0]:04x}" for letter in text)


def crossed(width: float, height: float) -> pydyf.Stream:
    """A cross from corner to corner of a box of so many points."""
    low, right, high = _ROOM_PT, width - _ROOM_PT, height - _ROOM_PT
    cross = f"q 1.3 w 1 J {low} {low} m {right:.2f} {high:.2f} l {low} {high:.2f} m {right:.2f} {low} l S Q"
    return _drawing([cross], width, height)


def off(width: float, height: float) -> pydyf.Stream:
    """An empty box; its edge is drawn on the page."""
    return _drawing([], width, height)


def written(text: str, width: float, height: float, face: Typeface) -> tuple[pydyf.Stream, bool]:
    """Words in a field of so many points, and whether it takes more lines than one."""
    room = width - 2 * _ROOM_PT
    is_long = height > 2 * _MOST_PT or face.width_em(text) * _LEAST_PT > room
    size, lines = _set_in(text, room, height, face, is_long=is_long)
    below = height - 1.02 * size if is_long else (height - 0.7 * size) / 2
    parts = ["/Tx BMC"]
    if text:
        parts += [f"q BT /{face.name} {size:.2f} Tf 0 g {_LEADING * size:.2f} TL {_ROOM_PT} {below:.2f} Td"]
        parts += [f"<{face.codes(line)}> Tj T*" for line in lines]
        parts += ["ET Q"]
    look = _drawing([*parts, "EMC"], width, height)
    look.extra["Resources"] = pydyf.Dictionary({"Font": pydyf.Dictionary({face.name: face.reference})})
    return look, is_long


def _set_in(text: str, width: float, height: float, face: Typeface, *, is_long: bool) -> tuple[float, list[str]]:
    """The largest size in points, of a few, at which the text fits, and its lines."""
    size = min(_MOST_PT, 0.72 * height)
    if not is_long:
        return min(size, width / max(face.width_em(text), 0.01)), [text]
    lines = _broken(text, width / size, face)
    while size > 2 * _STEP_PT and len(lines) * _LEADING * size > height:
        size -= _STEP_PT
        lines = _broken(text, width / size, face)
    return size, lines


def _broken(text: str, width_em: float, face: Typeface) -> list[str]:
    """The text in lines of at most `width_em`; a word that is longer is broken."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if face.width_em(longer) <= width_em:
            lines[-1] = longer
            continue
        lines += [""] if lines[-1] else []
        for letter in word:
            lines += [""] if lines[-1] and face.width_em(lines[-1] + letter) > width_em else []
            lines[-1] += letter
    return lines


def _drawing(parts: list[str], width: float, height: float) -> pydyf.Stream:
    extra = {"Type": "/XObject", "Subtype": "/Form", "BBox": pydyf.Array([0, 0, round(width, 2), round(height, 2)])}
    return pydyf.Stream([part.encode() for part in parts], extra)
