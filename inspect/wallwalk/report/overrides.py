"""What a report says of overlays: every value a project changed, the looser ones first, with both values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wallwalk.record import Record
from wallwalk.rules import LAXER
from wallwalk.words import Words, fixed

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


def override_lines(rule_set: Record, words: Words) -> tuple[OverrideLine, ...]:
    """Every change of `rule_set`, as a record keeps it, in its order, which puts the looser ones first."""
    laid = {overlay["title"]: at for at, overlay in enumerate(rule_set["overlays"])}
    last: dict[str, int] = {}
    for change in rule_set["overrides"]:
        last[change["name"]] = max(last.get(change["name"], 0), laid.get(change["overlay"], 0))
    return tuple(
        _told(change, words, again=laid.get(change["overlay"], 0) < last[change["name"]])
        for change in rule_set["overrides"]
    )


def relaxed_lines(rule_set: Record, words: Words) -> tuple[str, ...]:
    """Each change that lets more pass, or may, in one line with both values and the overlay."""
    told = zip(rule_set["overrides"], override_lines(rule_set, words), strict=True)
    return tuple(in_one_line(line, words) for change, line in told if change["way"] in LAXER)


def in_one_line(line: OverrideLine, words: Words) -> str:
    """`LOOSER: Least time the primer dries: 24 h, now 12 h (the overlay's title)`."""
    return f"{line.way.upper()}: {both_values(line, words)} ({line.overlay})"


def both_values(line: OverrideLine, words: Words) -> str:
    """What was changed, what it was and what it is."""
    return words.say("{what}: {was}, now {now}", what=line.what, was=line.was, now=line.here)


def _told(change: Mapping[str, str], words: Words, *, again: bool) -> OverrideLine:
    """One change as a record keeps it, in words; `again`: a later overlay changed the same once more."""
    return OverrideLine(
        words.tell(WAYS[change["way"]]),
        change["title"] if change["what"] == "limit" else words.tell(_RULES[change["what"]], rule=change["title"]),
        change["was"],
        words.say("{value}, until changed again", value=change["now"]) if again else change["now"],
        change["because"],
        change["basis"],
        change["overlay"],
    )
