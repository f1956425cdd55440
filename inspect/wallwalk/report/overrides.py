"""What a report says of overlays: every value a project changed, the looser ones first, with both values."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wallwalk.record import Record
from wallwalk.words import Words, fixed, words_in

WAYS = {
    "looser": fixed("looser"),
    "either": fixed("may be looser"),
    "tighter": fixed("tighter"),
    "same": fixed("same value"),
}

_RULES = {"rule dropped": fixed("Rule dropped: {rule}"), "rule added": fixed("Rule added: {rule}")}


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
    words = words_in(record["language"])
    return (told_override(change, words) for change in record["rule_set"]["overrides"])


def told_override(change: Mapping[str, str], words: Words) -> OverrideLine:
    """One change as a record keeps it, in words."""
    return OverrideLine(
        words.tell(WAYS[change["way"]]),
        change["title"] if change["what"] == "limit" else words.tell(_RULES[change["what"]], rule=change["title"]),
        change["was"],
        change["now"],
        change["because"],
        change["basis"],
        change["overlay"],
    )
