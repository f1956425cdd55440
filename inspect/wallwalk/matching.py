"""What a check of a filed record comes to: one line for each thing that was looked at."""

from __future__ import annotations

from dataclasses import dataclass

FILE, SHAPE, RECORD, ENTRY, TOOL = "file", "shape", "record", "entry", "tool"
"""What a line is about, beside the roles of inputs."""


@dataclass(frozen=True, slots=True)
class Match:
    """One thing that was looked at: what it is, whether it matches (None: that is not asked), and one line of it."""

    of: str
    matches: bool | None
    says: str


def is_sound(matches: tuple[Match, ...]) -> bool:
    """Whether nothing was found that does not match; never of nothing at all."""
    return bool(matches) and all(one.matches is not False for one in matches)
