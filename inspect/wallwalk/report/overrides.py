"""What a report says of overlays: every value a project changed, the looser ones first, with both values."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from wallwalk.record import Record

WAYS = {
    "looser": "looser",
    "either": "may be looser",
    "tighter": "tighter",
    "same": "same value",
}


@dataclass(frozen=True, slots=True)
class OverrideLine:
    """One thing an overlay changed: which way it goes, what it is, both values, and the reason."""

    way: str
    what: str
    was: str
    here: str
    because: str
    basis: str
    overlay: str


def override_lines(record: Record) -> Iterable[OverrideLine]:
    """Every change, in the order of the record, which puts the looser ones first."""
    for change in record["rule_set"]["overrides"]:
        yield OverrideLine(
            WAYS[change["way"]],
            change["title"] if change["what"] == "limit" else f"{change['what'].capitalize()}: {change['title']}",
            change["was"],
            change["now"],
            change["because"],
            change["basis"],
            change["overlay"],
        )
