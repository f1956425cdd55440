"""The photos of a survey once read: what each shows, when it was taken, and the picture of it that reports draw."""

from __future__ import annotations

from dataclasses import dataclass, field

from wallwalk.values import Interval

PHOTOS = "photos"
"""Where a survey lists them."""


@dataclass(frozen=True, slots=True)
class Photo:
    """One photo. It decides nothing: no fact is measured on it.

    `of` names a wall, or is empty for the space; `rule` names the rule it belongs to, or is empty. `width` and `height`
    are pixels of the file, seen the right way up. `clock` is the time in the file as its camera wrote it, empty where
    there is none; `taken` is the moment that is, None where it cannot be told. `shown` is the picture made small, a
    JPEG that holds nothing but the picture.
    """

    place: str
    line: int
    file: str
    of: str
    rule: str
    note: str
    sha256: str
    width: int
    height: int
    clock: str
    taken: Interval | None
    shown: bytes = field(repr=False)
