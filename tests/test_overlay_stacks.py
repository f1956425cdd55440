"""Overlays over overlays: what each lists, whose value wins, and the whole that comes of them."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from itertools import permutations
from pathlib import Path
from typing import Any

import pytest

from overlays_laid import (
    NESSUVAL,
    ORRELANE,
    QUILLEN,
    laid,
    refusal_of,
    sound,
)
from surveys import rigid_sheet
from test_overlays import LABEL, LEAFLET
from wallwalk.proving import proof_faults
from wallwalk.rules import Example, FactExample, OverlayUsed, Override, RuleSet

OF_DWELL = {
    NESSUVAL: "Nessuval instruction sheet, February 2026, section 3",
    ORRELANE: "Orrelane installation leaflet, January 2026, page 4",
}
DWELLS = {NESSUVAL: ("36 h", LABEL), ORRELANE: ("12 h", LEAFLET)}


@pytest.mark.parametrize("stack", [*permutations((NESSUVAL, ORRELANE))], ids=["nessuval+orrelane", "orrelane+nessuval"])
def test_two_overlays_of_one_limit_stack_as_they_are(stack: tuple[Path, ...]) -> None:
    """Each lists what flips in the rule set alone. The last one wins, its way is told from the value before it, and
    the examples come to what they do under both.
    """
    rule_set = laid(rigid_sheet(), *stack)
    (first, label), (last, other) = (DWELLS[path] for path in stack)
    limit = rule_set.limits["primer_dwell_min"]
    assert limit.written == last
    assert [told.rpartition(": ")[0] for told in limit.history] == [
        f"24 h (common practice), until {label}",
        f"{first} (published: {OF_DWELL[stack[0]]}), until {other}",
    ]
    ways = {"36 h": ("tighter", "looser"), "12 h": ("looser", "tighter")}[first]
    assert [(o.was, o.now, o.way) for o in rule_set.overrides if o.name == "primer_dwell_min"] == sorted(
        [("24 h", first, ways[0]), (first, last, ways[1])], key=lambda told: told[2]
    )
    expects = {e.name: e.expect for e in rule_set.rules["primer-has-dwelled"].examples}
    held = {"36 h": ("hold", "hold"), "12 h": ("pass", "pass")}[last]
    assert (expects["exactly at the limit"], expects["one step under"]) == held
    assert [fault for fault in proof_faults(rule_set) if "which expects" in fault.found] == []


def test_an_overlay_may_list_flips_of_a_rule_dropped_before_it() -> None:
    """The leaflet names an example of the rule that the specification took out: in either order the same is asked."""
    one, other = (laid(rigid_sheet(), *stack) for stack in ((QUILLEN, ORRELANE), (ORRELANE, QUILLEN)))
    assert {n: (r.require, r.examples) for n, r in one.rules.items()} == {
        n: (r.require, r.examples) for n, r in other.rules.items()
    }
    assert one.limits == other.limits
    assert {o.name: (o.was, o.now) for o in one.overrides} == {o.name: (o.was, o.now) for o in other.overrides}
    assert one.bare == other.bare == rigid_sheet()


def dwelling(**parts: Any) -> dict[str, Any]:  # noqa: ANN401
    """The sections of an overlay that lets the primer dwell 23.95 h."""
    return {"limits": {"primer_dwell_min": {"value": "23.95 h", "because": "Two.", "basis": "from memory", **parts}}}


def test_an_overlay_may_list_what_flips_over_those_below_it() -> None:
    """Over 36 h, 23.95 h lets one example pass again: a project lists that, or what flips without the maker's file."""
    listed = dwelling(flips={"primer-has-dwelled": {"exactly at the limit": "pass"}})
    for overlay in (dwelling(), listed):
        rule_set = laid(rigid_sheet(), NESSUVAL, overlay)
        assert [(o.was, o.now) for o in rule_set.overrides if o.way == "looser"] == [("36 h", "23.95 h")]
    place = 'limits.primer_dwell_min.flips.primer-has-dwelled["exactly at the limit"]'
    assert refusal_of(rigid_sheet(), listed) == [
        f"0.yaml:11: {place} comes to the same as before; take it out, or mend the limit"
    ]


def test_an_overlay_that_lists_neither_is_told_what_flips_over_the_rule_set_alone() -> None:
    """So that the file it mends is sound by itself, whatever lies below it."""
    part = {"value": "23 h", "because": "Three.", "basis": "from memory"}
    alone = refusal_of(rigid_sheet(), {"limits": {"primer_dwell_min": part}})
    stacked = refusal_of(rigid_sheet(), NESSUVAL, {"limits": {"primer_dwell_min": part}})
    assert [line.replace("1.yaml", "0.yaml") for line in stacked] == alone
    assert len(alone) == 1
    assert "to pass; write it below flips: primer-has-dwelled: {one step under: pass}" in alone[0]


def test_a_limit_that_an_overlay_added_flips_over_that_overlay() -> None:
    """The rule set alone knows nothing of it."""
    part = {"air_reading_places_min": {"value": "2", "because": "Less.", "basis": "from memory"}}
    (line,) = refusal_of(rigid_sheet(), QUILLEN, {"limits": part})
    assert "changes what air-read-in-three-places comes to on" in line


def test_stacked_changes_of_one_limit_keep_its_whole_history() -> None:
    """Oldest first: each value it had, its basis, the overlay that changed it and why; the last overlay wins."""
    first = {"primer_dwell_min": {"value": "23.95 h", "because": "One.", "basis": "from memory"}}
    second = {"primer_dwell_min": {"value": "23.98 h", "because": "Two.", "basis": "published: page 9"}}
    rule_set = laid(rigid_sheet(), {"limits": first}, {"limits": second})
    limit = rule_set.limits["primer_dwell_min"]
    assert (limit.written, limit.basis) == ("23.98 h", "published: page 9")
    assert limit.history == (
        "24 h (common practice), until Overlay 0: One.",
        "23.95 h (from memory), until Overlay 1: Two.",
    )
    assert [(o.was, o.now, o.way, o.overlay) for o in rule_set.overrides] == [
        ("24 h", "23.95 h", "looser", "Overlay 0"),
        ("23.95 h", "23.98 h", "tighter", "Overlay 1"),
    ]


def test_a_later_overlay_may_change_and_drop_what_an_earlier_one_added() -> None:
    """What an overlay added is part of the rule set that the next is laid over."""
    stricter = {"air_reading_places_min": {"value": "2.5", "because": "Less.", "basis": "from memory"}}
    rule_set = laid(rigid_sheet(), QUILLEN, {"limits": stricter})
    assert rule_set.limits["air_reading_places_min"].history == (
        "3 (published: Quillen Ferry Clinic project specification, clause 4.2), until Overlay 1: Less.",
    )
    assert [(o.name, o.way) for o in rule_set.overrides][:2] == [
        ("humidity-usual", "looser"),
        ("air_reading_places_min", "looser"),
    ]
    gone = {"air-read-in-three-places": {"because": "It was too much.", "basis": "from memory"}}
    dropped = laid(rigid_sheet(), QUILLEN, {"drop": gone})
    assert dropped.rules.keys() == rigid_sheet().rules.keys() - {"humidity-usual"}
    assert [(o.what, o.name) for o in dropped.overrides] == [
        ("rule dropped", "humidity-usual"),
        ("rule dropped", "air-read-in-three-places"),
        ("rule added", "air-read-in-three-places"),
    ]


# -- the whole that comes of one ---------------------------------------------------------------------------------------

SOUND_OVERLAY = Path(__file__).parent / "bad" / "overlays" / "sound" / "overlay.yaml"
MILL = "The mill project"
BOARD = "plaster, concrete"


def override(what: str, name: str, was: str, now: str, way: str, **told: str) -> Override:
    """What the sound overlay changes, as it is told."""
    title = told.get("title", name)
    return Override(what, name, title, was, now, way, told["because"], told["basis"], MILL)


def examples_of(rule_set: RuleSet) -> Iterator[tuple[str, Example | FactExample]]:
    """Every example of a rule or a fact, with the name of it."""
    yield from ((rule.name, e) for rule in rule_set.rules.values() for e in rule.examples)
    yield from ((fact.name, e) for fact in rule_set.facts.values() for e in fact.examples)


def test_everything_that_the_sound_overlay_makes_of_the_sound_rule_set() -> None:
    """Overrides, history, places, theme and examples, each whole; what it does not name is as it was."""
    base, made = sound(), laid(sound(), SOUND_OVERLAY)
    by_limit = {
        "band_min": ("15 °C", "14.5 °C", "either", "The mill is kept cool.", "from memory"),
        "dwell_min": ("24 h", "36 h", "tighter", "Their primer is slow.", DWELL_BASIS),
        "thirsty": (
            "plaster, concrete",
            "plaster, concrete, plywood",
            "tighter",
            "Plywood drinks too.",
            "common practice",
        ),
    }
    limits = [
        override("limit", name, was, now, way, title=base.limits[name].title, because=because, basis=basis)
        for name, (was, now, way, because, basis) in by_limit.items()
    ]
    river, yard = ("The mill stands by a river.", "from memory"), ("The mill has doors to the yard.", "common practice")
    added = [
        override("rule added", name, "not asked", "asked", "tighter", title=title, because=why[0], basis=why[1])
        for name, title, why in (
            ("wall-dry-at-best", "The driest place of the wall is dry", river),
            ("swing-over-the-usual", "The air swings no more than the mill allows", yard),
        )
    ]
    dropped = override(
        "rule dropped", "air-steady", "asked", "not asked", "looser",
        title=base.rules["air-steady"].title, because="The mill asks for its own.", basis="from memory",
    )  # fmt: skip
    assert made.overrides == (dropped, *limits, *added)
    assert {name: limit.history for name, limit in made.limits.items() if limit.history} == {
        name: (f"{was} ({base.limits[name].basis}), until {MILL}: {because}",)
        for name, (was, _, _, because, _) in by_limit.items()
    }
    assert made.rules.keys() - base.rules.keys() == {"wall-dry-at-best", "swing-over-the-usual"}
    assert base.rules.keys() - made.rules.keys() == {"air-steady"}
    assert made.facts.keys() - base.facts.keys() == {"damp_at_best", "swing_over"}
    assert made.limits.keys() - base.limits.keys() == {"damp_at_best_max"}
    lines = SOUND_OVERLAY.read_text(encoding="utf-8").splitlines()
    assert {name: place for name, place in made.places.items() if name not in base.places} == {
        name: (SOUND_OVERLAY.name, 1 + next(i for i, line in enumerate(lines) if line.strip().startswith(f"{name}:")))
        for name in ("damp_at_best_max", "damp_at_best", "swing_over", "wall-dry-at-best", "swing-over-the-usual")
    }
    assert made.themes == {**base.themes, MILL: MILL}
    was, now = ({(n, e.name): e.expect for n, e in examples_of(rules)} for rules in (base, made))
    flipped = {key: expect for key, expect in now.items() if expect != was.get(key, expect)}
    assert flipped == {
        ("primer-has-dried", "at the limit"): "hold",
        ("primer-has-dried", "plywood"): "not verified",
        ("kept", "a step too cold"): "6 h or more",
    }
    digest = hashlib.sha256(SOUND_OVERLAY.read_bytes()).hexdigest()
    assert made.overlays == (OverlayUsed(MILL, SOUND_OVERLAY.name, "2026-12-01", digest, SOUND_OVERLAY.read_bytes()),)
    assert made.bare is base


DWELL_BASIS = "published: the mill's own specification, clause 2"
