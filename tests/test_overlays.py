"""Overlays: what a project lays over a rule set, which way each change goes, and that it moves nothing else.

`bad/overlays/sound/overlay.yaml` is an overlay without fault over the sound rule set of `bad/rule_sets/`; each file
beside that folder changes one passage of it and holds the whole message.
"""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import subprocess
from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import permutations, product
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_strategies import surveys
from surveys import EXAMPLES, ROOT, example, example_document, example_rules, rigid_sheet, survey_of
from test_bad import SOUND, wallwalk
from test_law import QUIET
from wallwalk.checking import check, load_rule_set
from wallwalk.climate_reader import read_climate
from wallwalk.comparisons import COMPARISONS
from wallwalk.errors import InputError
from wallwalk.fact_proving import example_value, expected_value, is_as, show_example_value
from wallwalk.filing import Filing
from wallwalk.judging import Finding, Outcome, judge, outcome_of, verdict_of
from wallwalk.limit_reader import read_limit
from wallwalk.limits import AnyLimit, Limit, WordLimit
from wallwalk.moments import parse_moment
from wallwalk.overlay_reader import read_overlay
from wallwalk.overlaying import lay_over, way_of
from wallwalk.proving import proof_faults, rule_faults, try_example
from wallwalk.record import Record
from wallwalk.refusal import RefusedError
from wallwalk.report.html import render_html
from wallwalk.report.pdf import render_pdf
from wallwalk.report.terminal import render_terminal
from wallwalk.rules import Check, Condition, OverlayUsed, Override, Rule, RuleSet, checks
from wallwalk.survey import Survey
from wallwalk.units import in_unit, show_number, with_unit
from wallwalk.values import Interval, Measured, OneOf, Verdict

FOLDER = ROOT / "examples" / "overlays"
NESSUVAL, ORRELANE, QUILLEN = (
    FOLDER / f"{name}.yaml" for name in ("nessuval-2026", "orrelane-2026", "quillen-ferry-specification")
)
ALL = (NESSUVAL, ORRELANE, QUILLEN)
BAD = Path(__file__).parent / "bad" / "overlays"
MISTAKES = tuple(sorted(path.stem for path in BAD.glob("*.yaml")))
CORRIDOR, TREATMENT_ROOM = "110-link-corridor", "204-treatment-room"

Told = dict[tuple[str, str], Any]


# -- overlays made in a test ----------------------------------------------------------------------------------------


def laid(base: RuleSet, *overlays: Path | Mapping[str, Any]) -> RuleSet:
    """`base` with each overlay laid over it: a file, or the sections of one."""
    with TemporaryDirectory() as folder:
        for i, overlay in enumerate(overlays):
            path = overlay if isinstance(overlay, Path) else written(overlay, Path(folder) / f"{i}.yaml", base.name)
            base = lay_over(base, read_overlay(path, base, path.name))
    return base


def written(sections: Mapping[str, Any], path: Path, over: str = "rigid-sheet") -> Path:
    """The file of an overlay that holds these sections."""
    head = {"overlay": f"Overlay {path.stem}", "for": over, "revision": "2026-03-01"}
    path.write_text(yaml.safe_dump({**head, **sections}, allow_unicode=True, sort_keys=False), encoding="utf-8")
    return path


def refusal_of(base: RuleSet, *overlays: Path | Mapping[str, Any]) -> list[str]:
    """The lines with which the last overlay is refused."""
    with pytest.raises(InputError) as refused:
        laid(base, *overlays)
    return str(refused.value).splitlines()


def changing(base: RuleSet, name: str, to: str | list[str]) -> dict[str, Any]:
    """The sections of an overlay that gives one limit another value or other words, with the flips that follow."""
    part: dict[str, Any] = {"words" if isinstance(to, list) else "value": to}
    moved = replace(base, limits={**base.limits, name: limit_moved(base, name, to)})
    flips: dict[str, dict[str, str]] = {}
    for rule in base.rules.values():
        for example_ in rule.examples:
            outcome = try_example(moved, rule, example_).value
            if outcome != example_.expect:
                flips.setdefault(rule.name, {})[example_.name] = outcome
    for fact in base.facts.values():
        for fact_example in fact.examples if name in fact.limits else ():
            value = example_value(moved, fact, fact_example)
            if not is_as(value, expected_value(fact, fact_example)):
                flips.setdefault(fact.name, {})[fact_example.name] = show_example_value(value)
    because = {"because": "For a test.", "basis": base.limits[name].basis}
    return {"limits": {name: {**part, **because, **({"flips": flips} if flips else {})}}}


def limit_moved(base: RuleSet, name: str, to: str | list[str]) -> AnyLimit:
    """The limit of that name with another value or other words."""
    limit = base.limits[name]
    if isinstance(limit, WordLimit):
        return replace(limit, words=tuple(to))
    part = {"value": to, "step": limit.step_written, "kind": limit.kind, "basis": limit.basis}
    return read_limit(name, part, (name,))


def rule_about(require: Condition, applies_when: Condition | None = None, base: RuleSet | None = None) -> RuleSet:
    """A rule set of one rule, that requires and applies as given."""
    base = base or sound()
    rule = replace(base.rules["wall-dry-enough"], require=require, applies_when=applies_when)
    return replace(base, rules={rule.name: rule}, facts={f.name: f for f in base.facts.values() if not f.limits})


@cache
def sound() -> RuleSet:
    """The small rule set of the tests, proven."""
    return load_rule_set(str(SOUND))


def by(rule_set: RuleSet, survey: Survey) -> Survey:
    """A survey whose climate logs are read for the limits of `rule_set`."""
    return read_climate(survey, rule_set, ROOT / "examples")


def outcomes(rule_set: RuleSet, survey: Survey) -> dict[tuple[str, str], str]:
    """What each rule comes to for each subject."""
    return {(f.rule.name, f.subject.name): f.outcome.value for f in judge(rule_set, by(rule_set, survey))}


def told(findings: Iterable[Finding]) -> Told:
    """Everything that findings say, but for the rule's own examples."""
    return {
        (f.rule.name, f.subject.name): (f.outcome, f.compared, dict(f.facts), f.rule.require, f.rule.applies_when)
        for f in findings
    }


def moved(before: dict[tuple[str, str], str], after: dict[tuple[str, str], str]) -> dict[tuple[str, str], str]:
    """Each finding that comes out otherwise, as `pass to hold`; one that came or went has nothing on that side."""
    keys = (*before, *(key for key in after if key not in before))
    return {
        key: f"{before.get(key, 'nothing')} to {after.get(key, 'nothing')}"
        for key in keys
        if before.get(key) != after.get(key)
    }


# -- the example overlays -------------------------------------------------------------------------------------------

LABEL, LEAFLET, CLINIC = (
    "Nessuval sheet and adhesive, instruction sheet of February 2026",
    "Orrelane wall sheet system, installation leaflet of January 2026",
    "Quillen Ferry Clinic, project specification, section on wall sheet",
)
DWELL_36 = Override(
    "limit",
    "primer_dwell_min",
    "Least time the primer dries",
    "24 h",
    "36 h",
    "tighter",
    "The label asks for a day and a half under a vapour-tight sheet.",
    "published: Nessuval instruction sheet, February 2026, section 3",
    LABEL,
)
SHEETS_48 = Override(
    "limit",
    "sheet_acclimation_min",
    "Least time the sheets are in the room",
    "24 h",
    "48 h",
    "tighter",
    "Their sheet is thicker than most, and takes two days to come to the room's temperature.",
    "published: Nessuval instruction sheet, February 2026, section 2",
    LABEL,
)
DWELL_12 = Override(
    "limit",
    "primer_dwell_min",
    "Least time the primer dries",
    "24 h",
    "12 h",
    "looser",
    "Their primer is quick, and their leaflet allows the sheet after half a day at room temperature.",
    "published: Orrelane installation leaflet, January 2026, page 4",
    LEAFLET,
)
DAMP_65 = Override(
    "limit",
    "air_humidity_max",
    "Highest usual humidity of the air",
    "60 %RH",
    "65 %RH",
    "either",  # a fact of the log is made with it
    "Their adhesive was tried up to that humidity.",
    "published: Orrelane installation leaflet, January 2026, page 2",
    LEAFLET,
)
HUMIDITY_DROPPED = Override(
    "rule dropped",
    "humidity-usual",
    "Humidity is as usual at every reading",
    "asked",
    "not asked",
    "looser",
    "The clinic holds its own band of humidity, and its officer reads it daily.",
    "published: Quillen Ferry Clinic project specification, clause 4.5",
    CLINIC,
)
THREE_PLACES = Override(
    "rule added",
    "air-read-in-three-places",
    "Air was read in as many places as the specification asks",
    "not asked",
    "asked",
    "tighter",
    "The infection control officer asks for three readings in every room.",
    "published: Quillen Ferry Clinic project specification, clause 4.2",
    CLINIC,
)
STACKS: dict[tuple[Path, ...], tuple[Override, ...]] = {
    (NESSUVAL,): (DWELL_36, SHEETS_48),
    (ORRELANE,): (DWELL_12, DAMP_65),
    (QUILLEN,): (HUMIDITY_DROPPED, THREE_PLACES),
    (NESSUVAL, QUILLEN): (HUMIDITY_DROPPED, DWELL_36, SHEETS_48, THREE_PLACES),
    (QUILLEN, NESSUVAL): (HUMIDITY_DROPPED, THREE_PLACES, DWELL_36, SHEETS_48),
    (ORRELANE, QUILLEN): (DWELL_12, HUMIDITY_DROPPED, DAMP_65, THREE_PLACES),
}
USED = {
    NESSUVAL: (LABEL, "nessuval-2026.yaml", "2026-02-16"),
    ORRELANE: (LEAFLET, "orrelane-2026.yaml", "2026-01-12"),
    QUILLEN: (CLINIC, "quillen-ferry-specification.yaml", "2026-02-20"),
}
STACK_NAMES = ["+".join(path.stem.split("-")[0] for path in stack) for stack in STACKS]


def used(stack: Iterable[Path]) -> list[OverlayUsed]:
    """The overlays of a stack as a rule set names them, digests and all."""
    return [OverlayUsed(*USED[path], hashlib.sha256(path.read_bytes()).hexdigest()) for path in stack]


def test_there_are_three_example_overlays() -> None:
    """Each file in the folder of example overlays is tried here."""
    assert sorted(FOLDER.glob("*")) == sorted(ALL)


@pytest.mark.parametrize("stack", STACKS, ids=STACK_NAMES)
def test_overrides_of_the_examples_are_those_written_by_hand(stack: tuple[Path, ...]) -> None:
    """Every change with both values, its way, reason, basis and overlay; what is looser comes first."""
    rule_set = laid(rigid_sheet(), *stack)
    assert rule_set.overrides == STACKS[stack]
    assert list(rule_set.overlays) == used(stack)


@pytest.mark.parametrize("stack", STACKS, ids=STACK_NAMES)
def test_examples_change_what_they_name_and_nothing_else(stack: tuple[Path, ...]) -> None:
    """Limits, facts and rules that no overlay names are those of the base; the rule set is still that rule set."""
    base, rule_set = rigid_sheet(), laid(rigid_sheet(), *stack)
    changed = {o.name for o in STACKS[stack]} | {"air_reading_places_min", "air_readings_written_down"}
    flipped = {"primer-has-dwelled", "sheets-acclimated", "sheets-acclimated-by-the-log", "humidity-usual"}
    assert {n: v for n, v in rule_set.limits.items() if n not in changed} == {
        n: v for n, v in base.limits.items() if n not in changed
    }
    assert {n: f.expression for n, f in rule_set.facts.items() if n not in changed} == {
        n: f.expression for n, f in base.facts.items()
    }
    other = {n for n, f in base.facts.items() if f != rule_set.facts[n]}
    assert other == ({"humidity_excursion"} if ORRELANE in stack else set())  # one of its examples flips
    assert {n: r for n, r in rule_set.rules.items() if n not in changed | flipped} == {
        n: r for n, r in base.rules.items() if n not in changed | flipped
    }
    assert {n: p for n, p in rule_set.places.items() if n not in changed} == {
        n: p for n, p in base.places.items() if n not in changed
    }
    kept = {"limits", "facts", "rules", "overlays", "overrides", "themes", "places"}
    same = [name for name in RuleSet.__dataclass_fields__ if name not in kept]
    assert [getattr(rule_set, name) for name in same] == [getattr(base, name) for name in same]


def test_a_changed_limit_keeps_what_it_was_and_why() -> None:
    """The number, its step, its basis, and the base's value with the reason for leaving it."""
    limit = laid(rigid_sheet(), NESSUVAL).limits["primer_dwell_min"]
    assert isinstance(limit, Limit)
    assert limit == Limit(
        name="primer_dwell_min",
        kind="duration",
        amount=limit.amount,
        step=limit.step,
        unit="h",
        written="36 h",
        basis="published: Nessuval instruction sheet, February 2026, section 3",
        step_written="0.1 h",
        history=(
            f"24 h (common practice), until {LABEL}: The label asks for a day and a half under a vapour-tight sheet.",
        ),
        title="Least time the primer dries",
    )
    assert [in_unit(a, "duration", "h") for a in (limit.amount, limit.step)] == [36, Fraction(1, 10)]


def test_what_an_overlay_adds_is_read_as_a_rule_set_is() -> None:
    """The specification's own limit, fact and rule stand in the rule set; the rule it drops does not."""
    base, rule_set = rigid_sheet(), laid(rigid_sheet(), QUILLEN)
    assert rule_set.limits.keys() - base.limits.keys() == {"air_reading_places_min"}
    limit = rule_set.limits["air_reading_places_min"]
    assert isinstance(limit, Limit)
    assert (limit.kind, limit.amount, limit.step, limit.history) == ("number", Fraction(3), Fraction(1), ())
    assert limit.title == "Fewest places where the air is read"
    assert rule_set.facts.keys() - base.facts.keys() == {"air_readings_written_down"}
    assert rule_set.facts["air_readings_written_down"].title == "Air readings written down"
    assert rule_set.rules.keys() - base.rules.keys() == {"air-read-in-three-places"}
    assert base.rules.keys() - rule_set.rules.keys() == {"humidity-usual"}
    rule = rule_set.rules["air-read-in-three-places"]
    assert (rule.require, rule.theme, rule_set.themes[rule.theme]) == (
        Check("at_least", "air_readings_written_down", limits=("air_reading_places_min",)),
        CLINIC,
        CLINIC,
    )
    assert list(rule_set.themes) == [*base.themes, CLINIC]


@pytest.mark.parametrize("stack", STACKS, ids=STACK_NAMES)
def test_the_record_says_what_was_laid_over_and_what_it_changed(stack: tuple[Path, ...]) -> None:
    """`rule_set.overlays` and `rule_set.overrides` hold both, and the digest of the rule set is still its own."""
    rule_set = laid(rigid_sheet(), *stack)
    record = check(by(rule_set, example(CORRIDOR)), rule_set)["rule_set"]
    assert record["sha256"] == rigid_sheet().sha256
    assert record["overlays"] == [
        {"title": o.title, "file": o.file, "revision": o.revision, "sha256": o.sha256} for o in used(stack)
    ]
    assert record["overrides"] == [
        {field: getattr(o, field) for field in Override.__dataclass_fields__} for o in STACKS[stack]
    ]


@pytest.mark.slow
@pytest.mark.parametrize("stack", STACKS, ids=STACK_NAMES)
def test_a_rule_set_with_overlays_over_it_still_proves_its_examples(stack: tuple[Path, ...]) -> None:
    """With the flips written in, no example of a rule or a fact comes to another outcome than it expects."""
    assert [fault for fault in proof_faults(laid(rigid_sheet(), *stack)) if "which expects" in fault.found] == []


STACKED_AGAINST: dict[tuple[Path, ...], str] = {
    (NESSUVAL, ORRELANE): "orrelane-2026.yaml:6: limits.primer_dwell_min changes what primer-has-dwelled comes to on "
    '"exactly at the limit", to pass; write it below flips: primer-has-dwelled: {exactly at the limit: pass}',
    (ORRELANE, NESSUVAL): "nessuval-2026.yaml:6: limits.primer_dwell_min changes what primer-has-dwelled comes to on "
    '"one step under", to hold; write it below flips: primer-has-dwelled: {one step under: hold}',
}


@pytest.mark.parametrize("stack", STACKED_AGAINST, ids=["nessuval+orrelane", "orrelane+nessuval"])
def test_an_overlay_is_held_to_what_the_one_before_it_made(stack: tuple[Path, ...]) -> None:
    """Both change the primer's time: the later one lists what flips by it in the rule set alone, and is refused."""
    assert refusal_of(rigid_sheet(), *stack) == [STACKED_AGAINST[stack]]


def test_an_overlay_may_not_list_flips_of_a_rule_dropped_before_it() -> None:
    """The leaflet names an example of the rule that the specification took out."""
    (line,) = refusal_of(rigid_sheet(), QUILLEN, ORRELANE)
    assert line.startswith("orrelane-2026.yaml:18: limits.air_humidity_max.flips.humidity-usual is no rule or fact of ")


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


# -- what the examples come to --------------------------------------------------------------------------------------


def test_a_looser_primer_turns_holds_of_the_corridor_into_passes() -> None:
    """South has 23 h of dwell and West end 21 h 15 min: too short for 24 h, long enough for 12 h. Nothing else moves.

    The air of one place is too dry, not too damp, so the other humidity changes nothing.
    """
    rule_set, survey = laid(rigid_sheet(), ORRELANE), example(CORRIDOR)
    assert moved(outcomes(rigid_sheet(), survey), outcomes(rule_set, survey)) == {
        ("primer-has-dwelled", "South"): "hold to pass",
        ("primer-has-dwelled", "West end"): "hold to pass",
    }


def test_a_tighter_label_turns_passes_of_the_treatment_room_into_holds() -> None:
    """For a start early on Sunday: primer of 31 h 45 min to 34 h, sheets of 38 h 40 min, and a log of 38 h 30 min.

    All of it is over 24 h, the primer is under 36 h and the sheets under 48 h. What the air was before the log began
    on Friday at 09:40 nobody knows, so of 48 h in the band the log says neither yes nor no.
    """
    survey = example(TREATMENT_ROOM)
    start = parse_moment("2026-03-08 00:10", survey.zone)
    rule_set, survey = laid(rigid_sheet(), NESSUVAL), survey.starting(start)
    assert moved(outcomes(rigid_sheet(), survey), outcomes(rule_set, survey)) == {
        ("primer-has-dwelled", "North"): "pass to hold",
        ("primer-has-dwelled", "East"): "pass to hold",
        ("patch-primer-has-dwelled", "South"): "pass to hold",
        ("sheets-acclimated", "space"): "pass to hold",
        ("sheets-acclimated-by-the-log", "space"): "pass to not verified",
    }


def test_a_specification_adds_its_own_finding_and_takes_one_away() -> None:
    """The corridor's air was read in three places; its dry air is a caution that the specification does not ask for."""
    rule_set, survey = laid(rigid_sheet(), QUILLEN), example(CORRIDOR)
    assert moved(outcomes(rigid_sheet(), survey), outcomes(rule_set, survey)) == {
        ("humidity-usual", "space"): "hold to nothing",
        ("air-read-in-three-places", "space"): "nothing to pass",
    }


def test_a_rule_that_an_overlay_adds_can_hold_the_work() -> None:
    """With two air readings where the specification asks for three, the treatment room holds by that rule."""
    data: Any = example_document(TREATMENT_ROOM).data
    survey = survey_of({**data, "air": data["air"][:2], "air_taken": "2"})
    assert outcomes(laid(rigid_sheet(), QUILLEN), survey)["air-read-in-three-places", "space"] == "hold"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("start", "to", "way", "verdicts"),
    [
        # The adhesive came on Monday at 07:15: 24 h 45 min before a start at 08:00, 23 h 45 min before one at 07:00.
        ("2026-03-10 08:00", "25 h", "tighter", ("pass", "hold")),
        ("2026-03-10 07:00", "23 h", "looser", ("hold", "pass")),
        ("2026-03-10 07:00", "23.75 h", "looser", ("hold", "pass")),
        ("2026-03-10 07:00", "23.76 h", "looser", ("hold", "hold")),
        ("2026-03-10 08:00", "1440 min", "same", ("pass", "pass")),
    ],
)
def test_one_limit_turns_the_whole_room_and_the_report_says_so(
    start: str, to: str, way: str, verdicts: tuple[str, str]
) -> None:
    """The verdict goes as the limit does, and the summary names the change with both values before anything else."""
    name = "adhesive_acclimation_min"
    rule_set = laid(rigid_sheet(), changing(rigid_sheet(), name, to))
    survey = by(rule_set, example(TREATMENT_ROOM))
    moment = parse_moment(start, survey.zone)
    before, after = (check(survey, rules, moment) for rules in (rigid_sheet(), rule_set))
    assert (before["verdict"], after["verdict"]) == verdicts
    said = {"same": "SAME VALUE"}.get(way, way.upper())
    lines = render_terminal(after).splitlines()
    (head,) = [i for i, line in enumerate(lines) if line.startswith("CHANGED BY OVERLAYS")]
    assert lines[0].startswith(f"{verdicts[1].upper()} | 204 Treatment room")
    assert lines[head + 2] == f"{said}: Least time the adhesive is in the room: 24 h, now {to}"
    assert not any(line.startswith(("HOLDS THE WORK", "NOT VERIFIED", "CAUTIONS")) for line in lines[:head])
    assert [(o["way"], o["was"], o["now"]) for o in after["rule_set"]["overrides"]] == [(way, "24 h", to)]


def in_order(text: str, *parts: str) -> bool:
    """Whether the parts stand in the text one after another; line breaks do not matter."""
    joined = "".join(text.split())
    at = 0
    for part in ("".join(p.split()) for p in parts):
        at = joined.find(part, at)
        if at < 0:
            return False
        at += len(part)
    return True


@cache
def corridor_record() -> Record:
    """The corridor under the leaflet and the specification: looser limits, a dropped rule, an added one."""
    rule_set = laid(rigid_sheet(), ORRELANE, QUILLEN)
    return check(by(rule_set, example(CORRIDOR)), rule_set)


def test_the_summary_shows_every_change_ahead_of_the_holds() -> None:
    """Looser first, each with both values, its overlay, reason and basis; after the verdict, before any hold."""
    text = render_terminal(corridor_record())
    assert text.startswith("HOLD | 110 Link corridor")
    assert text[text.index("CHANGED BY") : text.index("\n\nHOLDS THE WORK")] == (
        """\
CHANGED BY OVERLAYS - what was relaxed comes first
--------------------------------------------------
LOOSER: Least time the primer dries: 24 h, now 12 h
    Orrelane wall sheet system, installation leaflet of January 2026: Their
    primer is quick, and their leaflet allows the sheet after half a day at room
    temperature. (published: Orrelane installation leaflet, January 2026, page
    4)
LOOSER: Rule dropped: Humidity is as usual at every reading: asked, now not
    asked
    Quillen Ferry Clinic, project specification, section on wall sheet: The
    clinic holds its own band of humidity, and its officer reads it daily.
    (published: Quillen Ferry Clinic project specification, clause 4.5)
MAY BE LOOSER: Highest usual humidity of the air: 60 %RH, now 65 %RH
    Orrelane wall sheet system, installation leaflet of January 2026: Their
    adhesive was tried up to that humidity. (published: Orrelane installation
    leaflet, January 2026, page 2)
TIGHTER: Rule added: Air was read in as many places as the specification asks:
    not asked, now asked
    Quillen Ferry Clinic, project specification, section on wall sheet: The
    infection control officer asks for three readings in every room. (published:
    Quillen Ferry Clinic project specification, clause 4.2)"""
    )


SHOWN_ON_PAPER = (
    "Changed by overlays",
    "looser Least time the primer dries 24 h 12 h Their primer is quick, and their leaflet allows the sheet after",
    "looser Rule dropped: Humidity is as usual at every reading asked not asked The clinic holds its own band",
    "may be looser Highest usual humidity of the air 60 %RH 65 %RH Their adhesive was tried up to that humidity.",
    "tighter Rule added: Air was read in as many places as the specification asks not asked asked The infection",
    "Put right before the work starts",
)


def test_the_page_shows_every_change_ahead_of_the_holds() -> None:
    """The same in HTML, and the list of limits says what each was before, and until when."""
    text = re.sub(
        r"<[^>]*>", " ", re.sub(r"<(style|script|svg)\b.*?</\1>", " ", render_html(corridor_record()), flags=re.S)
    )
    text = text.replace("&#39;", "'")
    assert in_order(text.lower(), *(part.lower() for part in SHOWN_ON_PAPER))
    assert in_order(text, "Changed:", f"24 h (common practice), until {LEAFLET}: Their primer is quick")


@cache
def corridor_printed() -> str:
    """The text of the corridor's PDF, as a reader of it finds it."""
    document = render_pdf(Filing(corridor_record(), ()))
    done = subprocess.run(["pdftotext", "-raw", "-", "-"], input=document, capture_output=True, check=True)
    return done.stdout.decode()


@pytest.mark.slow
def test_the_printed_report_shows_every_change_ahead_of_the_holds() -> None:
    """The same in the text of the PDF; what is looser stands there in capitals."""
    assert in_order(corridor_printed().lower(), *(part.lower() for part in SHOWN_ON_PAPER))
    assert in_order(corridor_printed(), "Changed by overlays", "LOOSER", "LOOSER", "may be looser", "tighter")


@pytest.mark.slow
@pytest.mark.parametrize("whole", ["Change What", "LOOSER", "Here", "not asked asked"])
def test_no_word_of_the_printed_changes_is_broken(whole: str) -> None:
    """No heading and no value is cut in two at the edge of its column."""
    table = corridor_printed().split("Changed by overlays")[1].split("Put right before")[0]
    assert whole in " ".join(table.split())


def test_a_report_without_overlays_says_nothing_of_them() -> None:
    """No heading and no table where nothing was laid over the rule set."""
    record = check(example(CORRIDOR), rigid_sheet())
    assert record["rule_set"]["overlays"] == record["rule_set"]["overrides"] == []
    assert "overlay" not in render_terminal(record).lower()
    assert "Changed by overlays" not in render_html(record)


# -- the command line, and overlays that a survey names -------------------------------------------------------------


def project(folder: Path, named: Any = None, survey: str = CORRIDOR) -> Path:  # noqa: ANN401
    """A folder with one example survey, its log and every example overlay; the survey names overlays if given."""
    for path in (*ALL, ROOT / "examples" / f"{survey}.csv"):
        shutil.copy(path, folder)
    text = (ROOT / "examples" / f"{survey}.yaml").read_text(encoding="utf-8")
    more = "" if named is None else f"overlays: {json.dumps(named)}\n"
    (folder / "room.yaml").write_text(text + more, encoding="utf-8")
    return folder


def overlays_in(record: Path) -> list[str]:
    """The files of the overlays that a written record names."""
    return [o["file"] for o in json.loads(record.read_text(encoding="utf-8"))["record"]["rule_set"]["overlays"]]


@pytest.mark.slow
def test_check_takes_overlays_on_the_command_line(tmp_path: Path) -> None:
    """Each is laid over the rule set in the order given; the summary and the record name both."""
    given_ = ("--overlay", ORRELANE.name, "--overlay", QUILLEN.name)
    done = wallwalk("check", "room.yaml", *given_, "-o", "room.json", folder=project(tmp_path))
    assert (done.returncode, done.stderr) == (1, "")
    assert done.stdout.count("LOOSER: ") == 3  # one of them: may be looser
    assert overlays_in(tmp_path / "room.json") == [ORRELANE.name, QUILLEN.name]


@pytest.mark.slow
def test_overlays_that_a_survey_names_come_before_those_of_the_command_line(tmp_path: Path) -> None:
    """Those of the survey in the order written, then those of the command line; the last one to change a limit wins."""
    hours = {"a": "23.91 h", "b": "23.92 h", "c": "23.93 h", "d": "23.94 h"}
    project(tmp_path, [{"file": "b.yaml"}, {"file": "a.yaml"}])
    for name, value in hours.items():
        part = {"value": value, "because": "A test.", "basis": "from memory"}
        written({"limits": {"primer_dwell_min": part}}, tmp_path / f"{name}.yaml")
    more = ("--overlay", "d.yaml", "--overlay", "c.yaml")
    done = wallwalk("check", "room.yaml", *more, "-o", "room.json", folder=tmp_path)
    assert (done.returncode, done.stderr) == (1, "")
    assert overlays_in(tmp_path / "room.json") == ["b.yaml", "a.yaml", "d.yaml", "c.yaml"]
    limits = json.loads((tmp_path / "room.json").read_text(encoding="utf-8"))["record"]["limits"]
    (dwell,) = [limit for limit in limits if limit["name"] == "primer_dwell_min"]
    assert dwell["written"] == "23.93 h"
    assert [h.split(" (")[0] for h in dwell["history"]] == ["24 h", "23.92 h", "23.91 h", "23.94 h"]


@pytest.mark.slow
def test_a_survey_is_judged_by_the_overlays_it_names(tmp_path: Path) -> None:
    """Named in the survey, the looser leaflet lets the primer pass, without a word on the command line."""
    project(tmp_path, [{"file": ORRELANE.name}])
    out = wallwalk("explain", "primer-has-dwelled", "room.yaml", folder=tmp_path).stdout
    assert "South: pass\n" in out
    assert "West end: pass\n" in out
    (tmp_path / "below").mkdir()
    shutil.move(tmp_path / ORRELANE.name, tmp_path / "below")
    project(tmp_path, [{"file": f"below/{ORRELANE.name}"}])
    assert wallwalk("explain", "primer-has-dwelled", "room.yaml", folder=tmp_path).stdout == out


BESIDE = "put the file beside the survey, and write its name"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("named", "says"),
    [
        (
            "../outside.yaml",
            f'overlays[0].file is "../outside.yaml", which is not in the folder of the survey; {BESIDE}',
        ),
        ("link.yaml", f'overlays[0].file is "link.yaml", which is not in the folder of the survey; {BESIDE}'),
        ("a\0b.yaml", None),
        ("nowhere.yaml", None),
        ("below", None),
        ("room.yaml", None),
        (f"{CORRIDOR}.csv", None),
    ],
)
def test_an_overlay_that_a_survey_cannot_have_is_one_refusal(named: str, says: str | None, tmp_path: Path) -> None:
    """Outside its folder, by a link too, not there, a folder, another file: exit code 2, no verdict, no traceback."""
    folder = tmp_path / "project"
    (folder / "below").mkdir(parents=True)
    shutil.copy(ORRELANE, tmp_path / "outside.yaml")
    (folder / "link.yaml").symlink_to(tmp_path / "outside.yaml")
    project(folder, [{"file": named}])
    done = wallwalk("check", "room.yaml", folder=folder)
    assert (done.returncode, done.stdout) == (2, "")
    assert "Traceback" not in done.stderr
    assert done.stderr.count("; ") >= done.stderr.count("\n") > 0
    if says is not None:
        line = (folder / "room.yaml").read_text(encoding="utf-8").count("\n")
        assert done.stderr == f"room.yaml:{line}: {says}\n"


@pytest.mark.parametrize(("named", "found"), [("nowhere.yaml", "is not there"), ("below", "is a folder")])
def test_an_overlay_that_is_not_there_is_told_where_it_was_named(named: str, found: str, tmp_path: Path) -> None:
    """The writer of the survey hears which line of it to mend, and of no path of this machine."""
    (tmp_path / "below").mkdir()
    done = wallwalk("check", "room.yaml", folder=project(tmp_path, [{"file": named}]))
    assert done.returncode == 2
    assert done.stderr.startswith("room.yaml:")
    assert found in done.stderr
    assert str(tmp_path) not in done.stderr


@pytest.mark.parametrize("named", ["unknown", None])
def test_overlays_that_nobody_knows_are_refused(named: str | None, tmp_path: Path) -> None:
    """A survey that does not know what is laid over its rule set, or breaks off at the word, is not judged without."""
    project(tmp_path, survey=TREATMENT_ROOM)
    with (tmp_path / "room.yaml").open("a", encoding="utf-8") as file:
        file.write(f"overlays: {named or ''}\n")
    done = wallwalk("check", "room.yaml", folder=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("check", "room.yaml"), "nowhere.yaml: is not there; give the path of a YAML file"),
        (("plan", "room.yaml"), "nowhere.yaml: is not there; give the path of a YAML file"),
        (("explain", "primer-has-dwelled"), "nowhere.yaml: is not there; give the path of a YAML file"),
        (("rules", "show"), "nowhere.yaml: is not there; give the path of a YAML file"),
        (("rules", "test"), "nowhere.yaml: is not there; give the path of a YAML file"),
    ],
)
def test_an_overlay_of_the_command_line_that_is_not_there_is_one_message(
    arguments: tuple[str, ...], says: str, tmp_path: Path
) -> None:
    """Each command that takes an overlay refuses in one line, with exit code 2 and nothing on standard output."""
    done = wallwalk(*arguments, "--overlay", "nowhere.yaml", folder=project(tmp_path))
    assert (done.returncode, done.stdout, done.stderr) == (2, "", f"{says}\n")


@pytest.mark.slow
def test_explain_plan_show_and_test_go_by_the_overlay(tmp_path: Path) -> None:
    """The rule explained asks 36 h, the plan counts back 36 h, the list of limits holds it, and the overlay proves."""
    project(tmp_path, survey=TREATMENT_ROOM)
    over = ("--overlay", NESSUVAL.name)
    explained = wallwalk("explain", "primer-has-dwelled", *over, folder=tmp_path)
    assert "Asks: Primer dwell: at least 36 h.\n" in explained.stdout
    planned = wallwalk("plan", "room.yaml", *over, folder=tmp_path)
    assert planned.returncode == 0
    # 36 h before Tuesday 08:00 is Sunday 20:00.
    assert "by Sun 8 Mar 2026 20:00: When the last coat of primer was finished (North)\n" in planned.stdout
    shown = wallwalk("rules", "show", *over, folder=tmp_path)
    assert "\nLeast time the primer dries [primer_dwell_min]: 36 h, step 0.1 h; published:\n" in shown.stdout
    tested = wallwalk("rules", "test", *over, folder=tmp_path)
    assert (tested.returncode, tested.stderr) == (0, "")
    assert re.search(rf"(?m)^in all +{len(rigid_sheet().rules)} +{len(rigid_sheet().limits)} +[0-9]+$", tested.stdout)


@pytest.mark.slow
def test_show_and_test_take_in_what_an_overlay_adds_and_drops(tmp_path: Path) -> None:
    """The added rule stands under the overlay's own title, the dropped one nowhere, and both are counted."""
    project(tmp_path)
    shown = wallwalk("rules", "show", "--overlay", QUILLEN.name, folder=tmp_path).stdout
    assert f"\n{CLINIC}\n" in shown
    assert "     [air-read-in-three-places]\n" in shown
    assert "     [humidity-usual]\n" not in shown
    tested = wallwalk("rules", "test", "--overlay", QUILLEN.name, folder=tmp_path).stdout
    base = rigid_sheet()
    examples = [len(part.examples) for parts in (base.rules, base.facts) for part in parts.values()]
    tried = sum(examples) - len(base.rules["humidity-usual"].examples) + 3
    assert re.search(rf"(?m)^in all +{len(base.rules)} +{len(base.limits) + 1} +{tried}$", tested)


@pytest.mark.slow
def test_rules_test_refuses_an_overlay_with_a_mistake(tmp_path: Path) -> None:
    """Exit code 2, the message on standard error, and no word that anything was proven."""
    project(tmp_path)
    path = tmp_path / NESSUVAL.name
    path.write_text(path.read_text(encoding="utf-8").replace("value: 36 h", "value: 24 h"), encoding="utf-8")
    done = wallwalk("rules", "test", "--overlay", path.name, folder=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        'nessuval-2026.yaml:12: limits.primer_dwell_min.flips.primer-has-dwelled["exactly\n'
        '  at the limit"] comes to the same as before\n'
        "  next      take it out, or mend the limit\n\n"
        "Nessuval sheet and adhesive, instruction sheet of February 2026: 1 to put right\n"
    )


# -- which way a change goes ----------------------------------------------------------------------------------------

BOARD, OTHERS = ["plaster", "concrete"], ["metal", "tile"]


@pytest.mark.parametrize(
    ("name", "to", "way"),
    [
        ("dwell_min", "36 h", "tighter"),
        ("dwell_min", "23 h 59 min", "looser"),
        ("dwell_min", "1440 min", "same"),
        ("dwell_min", "1 d", "same"),
        ("damp_max", "11 %MC", "tighter"),
        ("damp_max", "13 %MC", "looser"),
        ("air_min", "19 °C", "tighter"),
        ("air_min", "17 °C", "looser"),
        ("air_min", "64.4 °F", "same"),
        ("air_max", "29 °C", "tighter"),
        ("air_max", "31 °C", "looser"),
        ("air_max", "86 °F", "same"),
        ("swing_max", "9 °F", "same"),
        ("swing_max", "9.1 °F", "looser"),
        ("thirsty", ["plaster", "concrete", "plywood"], "tighter"),
        ("thirsty", ["plaster"], "looser"),
        ("thirsty", ["plaster", "plywood"], "either"),
        ("thirsty", ["concrete", "plaster"], "same"),
        ("band_min", "14 °C", "either"),
        ("band_min", "16 °C", "either"),
        ("band_min", "59 °F", "same"),
        ("forgiven", "2 h", "either"),
    ],
)
def test_the_way_of_a_change_is_told_from_the_rules_that_use_the_limit(name: str, to: Any, way: str) -> None:  # noqa: ANN401
    """Every side of the sound rule set: least, most, both ends of a band, words that make a rule apply, facts."""
    assert way_of(sound(), sound().limits[name], limit_moved(sound(), name, to)) == way
    (override,) = laid(sound(), changing(sound(), name, to)).overrides
    assert (override.way, override.was, override.now) == (
        way,
        sound().limits[name].written,
        ", ".join(to) if isinstance(to, list) else to,
    )


ALWAYS = Check("is", "dry_to_touch", words=("yes",))
OF_NUMBER = {"at_least": ("damp_max",), "at_most": ("damp_max",)}


@pytest.mark.parametrize(("word", "raised"), [("at_least", "tighter"), ("at_most", "looser")])
def test_a_limit_that_makes_a_rule_apply_goes_the_other_way(word: str, raised: str) -> None:
    """A value that more facts satisfy lets more pass where it is required, and makes more apply where it decides."""
    check_ = Check(word, "damp", limits=("damp_max",))
    was = sound().limits["damp_max"]
    up, down = (limit_moved(sound(), "damp_max", to) for to in ("13 %MC", "11 %MC"))
    other = {"tighter": "looser", "looser": "tighter"}
    for rules, raised_ in ((rule_about(check_), raised), (rule_about(ALWAYS, check_), other[raised])):
        assert [way_of(rules, was, now) for now in (up, down, was)] == [raised_, other[raised_], "same"]


@pytest.mark.parametrize(("word", "more"), [("is_one_of", "looser"), ("is_none_of", "tighter")])
def test_words_go_either_way_too(word: str, more: str) -> None:
    """A word more lets more pass by `is_one_of`, less by `is_none_of`; the reverse where it makes a rule apply."""
    check_ = Check(word, "substrate", limits=("thirsty",))
    was = sound().limits["thirsty"]
    now = [limit_moved(sound(), "thirsty", to) for to in ([*BOARD, "metal"], BOARD[:1], OTHERS, [*reversed(BOARD)])]
    other = {"tighter": "looser", "looser": "tighter"}
    for rules, way in ((rule_about(check_), more), (rule_about(ALWAYS, check_), other[more])):
        assert [way_of(rules, was, limit) for limit in now] == [way, other[way], "either", "same"]


@pytest.mark.parametrize(
    ("require", "applies", "raised"),
    [
        ("at_least", "at_least", "either"),
        ("at_most", "at_most", "either"),
        ("at_least", "at_most", "tighter"),
        ("at_most", "at_least", "looser"),
    ],
)
def test_a_limit_used_in_both_places_goes_one_way_only_if_both_do(require: str, applies: str, raised: str) -> None:
    """Where a rule both asks for the limit and applies by it, two ways that differ are *may be looser*."""
    asked, applying = (Check(word, "damp", limits=("damp_max",)) for word in (require, applies))
    rules = rule_about(asked, applying)
    was, now = sound().limits["damp_max"], limit_moved(sound(), "damp_max", "13 %MC")
    assert way_of(rules, was, now) == raised
    assert way_of(rules, now, was) == {"tighter": "looser", "looser": "tighter"}.get(raised, raised)


def test_a_limit_that_no_rule_uses_any_more_may_go_either_way() -> None:
    """Where the only rule that asked for it was dropped, nothing tells which way a change of the limit goes."""
    dropped = laid(sound(), {"drop": {"wall-dry-enough": {"because": "A test.", "basis": "from memory"}}})
    assert way_of(dropped, dropped.limits["damp_max"], limit_moved(dropped, "damp_max", "13 %MC")) == "either"


def held(rules: RuleSet, limits: Mapping[str, AnyLimit], damps: Iterable[Interval], walls: Iterable[OneOf]) -> set[int]:
    """Which of all pairs of a damp and a wall the one rule holds."""
    (rule,) = rules.rules.values()
    facts: list[dict[str, Measured]] = [
        {"damp": d, "substrate": w, "dry_to_touch": OneOf(frozenset({"no"}), "no")} for d, w in product(damps, walls)
    ]
    return {i for i, values in enumerate(facts) if outcome_of(rule, limits, values.__getitem__)[0] is Outcome.HOLD}


NUMBERED = [Check(word, "damp", limits=names) for word, names in OF_NUMBER.items()]
BANDS = [Check("between", "damp", limits=("damp_max", "wet")), Check("between", "damp", limits=("dry", "damp_max"))]
WORDED = [Check(word, "substrate", limits=("thirsty",)) for word in ("is_one_of", "is_none_of")]


@pytest.mark.parametrize("applying", [False, True])
@pytest.mark.parametrize("compared", [*NUMBERED, *BANDS, *WORDED], ids=lambda c: f"{c.word}-{'-'.join(c.limits)}")
def test_the_way_of_a_change_is_what_it_does_to_every_fact(compared: Check, *, applying: bool) -> None:
    """Over all damps and walls: looser holds fewer of them, tighter more, same the same; by trying, not by table."""
    percent = [Interval("moisture %MC", Fraction(n, 2), Fraction(n, 2)) for n in range(40)]
    words = [OneOf(frozenset({w}), w) for w in (*BOARD, *OTHERS, "plywood")]
    rules = rule_about(ALWAYS, compared) if applying else rule_about(compared)
    dry, wet = (
        replace(limit_moved(sound(), "damp_max", to), name=n) for n, to in (("dry", "4 %MC"), ("wet", "16 %MC"))
    )
    limits = {**sound().limits, "dry": dry, "wet": wet}
    name = "thirsty" if compared in WORDED else "damp_max"
    values: list[Any] = ["10 %MC", "14 %MC", "12 %MC"]
    if compared in WORDED:
        values = [[*BOARD, "metal"], BOARD[:1], [*reversed(BOARD)]]
    before = held(rules, limits, percent, words)
    seen = []
    for to in values:
        now = limit_moved(sound(), name, to)
        after = held(rules, {**limits, name: now}, percent, words)
        way = "same" if after == before else "looser" if after < before else "tighter" if after > before else "either"
        assert way_of(replace(rules, limits=limits), limits[name], now) == way
        seen.append(way)
    assert sorted(seen) == ["looser", "same", "tighter"]


def test_a_limit_at_both_ends_of_a_band_may_go_either_way() -> None:
    """`between: [damp, x, x]` asks for exactly x; another x lets other facts pass, neither more nor fewer."""
    rules = rule_about(Check("between", "damp", limits=("damp_max", "damp_max")))
    assert way_of(rules, sound().limits["damp_max"], limit_moved(sound(), "damp_max", "13 %MC")) == "either"


def test_every_side_of_every_comparison_is_tried_above() -> None:
    """A comparison with a limit that is added to the table wants its way told too."""
    with_limits = {word for word, c in COMPARISONS.items() if c.sides or word in {"is_one_of", "is_none_of"}}
    assert with_limits == {"at_least", "at_most", "between", "is_one_of", "is_none_of"}
    assert with_limits == {c.word for c in (*NUMBERED, *BANDS, *WORDED)}


# -- what an overlay does to findings -------------------------------------------------------------------------------


def required_only() -> dict[str, str]:
    """Limits that hold-grade rules compare with in what they require, and nothing else uses; min or max by name."""
    base = rigid_sheet()
    in_facts = {name for fact in base.facts.values() for name in fact.limits}
    applying = {n for r in base.rules.values() for c in checks(r.applies_when) for n in c.limits}
    cautions = {n for r in base.rules.values() if r.grade != "hold" for c in checks(r.require) for n in c.limits}
    return {
        limit.name: limit.name[-3:]
        for limit in base.limits.values()
        if isinstance(limit, Limit) and limit.name not in in_facts | applying | cautions
    }


STEPS = (-40, -7, -2, -1, Fraction(-1, 2), Fraction(1, 2), 1, 2, 7, 40)


@cache
def stepped(name: str, steps: Fraction | int) -> RuleSet | None:
    """Rigid sheet with an overlay that moves one limit by that many of its steps; None where it cannot go there."""
    limit = rigid_sheet().limits[name]
    assert isinstance(limit, Limit)
    amount = in_unit(limit.amount + steps * limit.step, limit.kind, limit.unit)
    try:
        return laid(rigid_sheet(), changing(rigid_sheet(), name, with_unit(show_number(amount, 9), limit.unit)))
    except RefusedError:  # a length under nothing, a humidity over 100 %RH
        return None


def users_of(name: str) -> set[str]:
    """The rules of rigid sheet that compare with the limit."""
    return {
        r.name
        for r in rigid_sheet().rules.values()
        for condition in (r.require, r.applies_when)
        for c in checks(condition)
        if name in c.limits
    }


def test_there_are_limits_to_tighten_and_to_loosen() -> None:
    """Enough of them that a property over them says something, each named by its side."""
    names = required_only()
    assert len(names) >= 25
    assert set(names.values()) == {"min", "max"}
    assert {stepped(name, s) is None for name in ("air_humidity_max", "flatness_gap_max") for s in (-40, 40)} == {
        True,
        False,
    }


@pytest.mark.slow
def test_the_way_is_as_the_limit_is_named_and_no_example_flips_against_it() -> None:
    """A min moved up and a max moved down are tighter and flip no hold to pass; the reverse is looser."""
    seen = 0
    for name, side in required_only().items():
        for steps in STEPS:
            rule_set = stepped(name, steps)
            if rule_set is None:
                continue
            (override,) = rule_set.overrides
            tighter = (steps > 0) == (side == "min")
            assert (override.name, override.way) == (name, "tighter" if tighter else "looser")
            flipped = {
                (was.expect, now.expect)
                for rule in rigid_sheet().rules.values()
                for was, now in zip(rule.examples, rule_set.rules[rule.name].examples, strict=True)
                if was.expect != now.expect
            }
            worse = {("pass", "not verified"), ("pass", "hold"), ("not verified", "hold")}
            assert flipped <= (worse if tighter else {(b, a) for a, b in worse})
            seen += bool(flipped)
    assert seen > 100


def assert_goes(name: str, steps: Fraction | int, data: Any) -> None:  # noqa: ANN401
    """Moving a limit moves findings of its own rules only, and those in its own direction only."""
    rule_set = stepped(name, steps)
    if rule_set is None:
        return
    survey = survey_of(data)
    before, after = judge(rigid_sheet(), survey), judge(rule_set, survey)
    was, now = told(before), told(after)
    assert was.keys() == now.keys()
    changed = {key for key in was if was[key] != now[key]}
    assert {rule for rule, _ in changed} <= users_of(name)
    tighter = (steps > 0) == (required_only()[name] == "min")
    first, last = (now, was) if tighter else (was, now)  # the stricter of the two first
    for key in changed:
        strict, lax = first[key][0], last[key][0]
        assert strict is not Outcome.PASS or lax is Outcome.PASS
        assert lax is not Outcome.HOLD or strict is Outcome.HOLD
        assert (strict is Outcome.DOES_NOT_APPLY) == (lax is Outcome.DOES_NOT_APPLY)
    strict_verdict, lax_verdict = (
        (verdict_of(after), verdict_of(before)) if tighter else map(verdict_of, (before, after))
    )
    assert strict_verdict is not Verdict.PASS or lax_verdict is Verdict.PASS


@pytest.mark.slow
@pytest.mark.parametrize("example_name", [path.stem for path in EXAMPLES if example_rules(path.stem) is rigid_sheet()])
@pytest.mark.parametrize("name", sorted(required_only()))
def test_every_limit_moves_findings_of_the_examples_its_own_way_only(name: str, example_name: str) -> None:
    """Over the example surveys with their logs, for each limit, a step and forty of them either way."""
    for steps in (-40, -1, 1, 40):
        assert_goes(name, steps, example_document(example_name).data)


@pytest.mark.slow
@settings(max_examples=200, deadline=None, suppress_health_check=QUIET)
@given(name=st.sampled_from(sorted(required_only())), steps=st.sampled_from(STEPS), data=surveys())
def test_a_tighter_limit_lets_nothing_more_pass_and_a_looser_one_holds_nothing_more(
    name: str,
    steps: Fraction | int,
    data: Any,  # noqa: ANN401
) -> None:
    """Over random surveys: tightening never turns a hold into a pass, loosening never a pass into a hold."""
    assert_goes(name, steps, data)


@cache
def without_word(name: str, word: str) -> RuleSet:
    """Rigid sheet with an overlay that takes one word out of a list."""
    limit = rigid_sheet().limits[name]
    assert isinstance(limit, WordLimit)
    return laid(rigid_sheet(), changing(rigid_sheet(), name, [w for w in limit.words if w != word]))


def words_to_lose() -> list[tuple[str, str]]:
    """Every word of every list of more than one word."""
    lists = [limit for limit in rigid_sheet().limits.values() if isinstance(limit, WordLimit)]
    return [(limit.name, word) for limit in lists if len(limit.words) > 1 for word in limit.words]


@pytest.mark.parametrize(
    ("name", "word", "way"),
    [
        ("known_substrates", "tile", "tighter"),  # asked of every wall
        ("climate_control_that_will_do", "permanent system", "tighter"),  # asked of the space
        ("metered_substrates", "plaster", "looser"),  # walls whose moisture is to be read
        ("board_substrates", "veneer plaster", "looser"),  # walls whose finish is to be sanded
    ],
)
def test_a_list_of_words_goes_the_way_it_is_used(name: str, word: str, way: str) -> None:
    """A word less in what is asked is tighter; in what makes a rule apply it is looser."""
    assert [(o.name, o.way) for o in without_word(name, word).overrides] == [(name, way)]


@pytest.mark.slow
@settings(max_examples=25, deadline=None, suppress_health_check=QUIET)
@given(lost=st.sampled_from(words_to_lose()), data=surveys())
def test_a_word_less_goes_one_way_only(lost: tuple[str, str], data: Any) -> None:  # noqa: ANN401
    """A list told to be tighter lets nothing more pass, one told to be looser holds nothing more."""
    rule_set, survey = without_word(*lost), survey_of(data)
    changed = moved(outcomes(rigid_sheet(), survey), outcomes(rule_set, survey))
    assert {rule for rule, _ in changed} <= users_of(lost[0])
    (way,) = [o.way for o in rule_set.overrides]
    more_pass, more_hold = {"hold to pass", "not verified to pass"}, {"pass to hold", "not verified to hold"}
    against = {"tighter": more_pass, "looser": more_hold}.get(way, set())
    assert not against & set(changed.values())


@pytest.mark.slow
@settings(max_examples=15, deadline=None, suppress_health_check=QUIET)
@given(
    names=st.lists(st.sampled_from(sorted(rigid_sheet().limits)), min_size=1, max_size=6, unique=True), data=surveys()
)
def test_an_overlay_that_says_what_the_base_says_moves_nothing(names: list[str], data: Any) -> None:  # noqa: ANN401
    """Same values, same basis: the record is the same but for the overlay, what it says it did, and the history."""
    same: dict[str, Any] = {}
    for name in names:
        limit = rigid_sheet().limits[name]
        value = {"value": limit.written} if isinstance(limit, Limit) else {"words": list(reversed(limit.words))}
        same[name] = {**value, "because": "It is so.", "basis": limit.basis}
    rule_set, survey = laid(rigid_sheet(), {"limits": same}), survey_of(data)
    assert {o.way for o in rule_set.overrides} == {"same"}
    before, after = (dict(check(survey, rules)) for rules in (rigid_sheet(), rule_set))
    histories = {limit["name"]: limit["history"] for limit in after["limits"]}
    assert {name for name, history in histories.items() if history} == set(names) & histories.keys()
    assert bare(before) == bare(after)


def bare(record: Record) -> dict[str, Any]:
    """A record without what it says of overlays; lists of words in order of the alphabet."""
    rule_set = {k: v for k, v in record["rule_set"].items() if k not in {"overlays", "overrides"}}
    limits = [{**x, "history": [], "words": sorted(x["words"]), "written": ""} for x in record["limits"]]
    findings = [
        {
            **f,
            "says": "",
            "compared": [{**c, "required": ""} if "words" in c["value"]["kind"] else c for c in f["compared"]],
        }
        for f in record["findings"]
    ]
    return {**record, "rule_set": rule_set, "limits": limits, "findings": findings}


@cache
def dropping(*names: str) -> RuleSet:
    """Rigid sheet with an overlay that drops these rules."""
    return laid(rigid_sheet(), {"drop": {n: {"because": "A test.", "basis": "from memory"} for n in names}})


@pytest.mark.slow
@settings(max_examples=25, deadline=None, suppress_health_check=QUIET)
@given(
    names=st.lists(st.sampled_from(sorted(rigid_sheet().rules)), min_size=1, max_size=5, unique=True), data=surveys()
)
def test_dropping_rules_takes_away_their_findings_only(names: list[str], data: Any) -> None:  # noqa: ANN401
    """Every other finding is there still, word for word; each dropped rule is told as looser."""
    survey, rule_set = survey_of(data), dropping(*names)
    was, now = (told(judge(rules, survey)) for rules in (rigid_sheet(), rule_set))
    assert now == {key: value for key, value in was.items() if key[0] not in names}
    assert [(o.what, o.name, o.way) for o in rule_set.overrides] == [("rule dropped", n, "looser") for n in names]


def test_dropping_every_rule_is_no_pass() -> None:
    """Nothing asked is nothing passed: the room that passes holds when no rule is left."""
    rule_set = dropping(*rigid_sheet().rules)
    assert check(example(TREATMENT_ROOM), rule_set)["verdict"] == "hold"
    assert len(rule_set.overrides) == len(rigid_sheet().rules)


@cache
def with_specification() -> RuleSet:
    """Rigid sheet with the specification's rule added, and none dropped."""
    sections = yaml.safe_load(QUILLEN.read_text(encoding="utf-8"))
    return laid(rigid_sheet(), {name: sections[name] for name in ("limits", "facts", "rules")})


@pytest.mark.slow
@settings(max_examples=25, deadline=None, suppress_health_check=QUIET)
@given(data=surveys())
def test_adding_a_rule_changes_no_other_finding(data: Any) -> None:  # noqa: ANN401
    """All findings there were are there still, word for word, and one more; a hold stays a hold."""
    survey = survey_of(data)
    before, after = (judge(rules, survey) for rules in (rigid_sheet(), with_specification()))
    was, now = told(before), told(after)
    assert {key: value for key, value in now.items() if key in was} == was
    assert now.keys() - was.keys() == {("air-read-in-three-places", "space")}
    assert verdict_of(after) is not Verdict.PASS or verdict_of(before) is Verdict.PASS


@pytest.mark.slow
@settings(max_examples=25, deadline=None, suppress_health_check=QUIET)
@given(data=surveys(), other=surveys(walls=1), stack=st.sampled_from([(), *STACKS]))
def test_one_wall_more_takes_no_finding_of_another_away(data: Any, other: Any, stack: tuple[Path, ...]) -> None:  # noqa: ANN401
    """With any overlays over the rule set: all findings of the space and of other walls are there still, the same.

    What the space needs for all its walls passes by one wall more only where it passed without it.
    """
    rule_set = stacked(stack)
    more = [*data["walls"], {**other["walls"][0], "name": "One more"}]
    before, after = (
        told(judge(rule_set, survey_of(d))) for d in (data, {**data, "walls": more, "walls_in_scope": str(len(more))})
    )
    of_all = {rule.name for rule in rule_set.rules.values() if looks_at_every_wall(rule_set, rule)}
    kept = {key: value[0] for key, value in after.items() if key in before}
    worse = {key: outcome for key, outcome in kept.items() if key[0] in of_all}
    assert {key: outcome for key, outcome in kept.items() if key not in worse} == {
        key: value[0] for key, value in before.items() if key not in worse
    }
    assert of_all == {name for name, _ in worse}
    assert [key for key, out in worse.items() if out is Outcome.PASS and before[key][0] is not Outcome.PASS] == []
    assert {subject for _, subject in after.keys() - before.keys()} == {"One more"}


def looks_at_every_wall(rule_set: RuleSet, rule: Rule) -> bool:
    """Whether a rule about the space is judged by the lengths or heights of all walls."""
    facts = [rule_set.facts[c.fact] for c in (*checks(rule.applies_when), *checks(rule.require))]
    parts = [part.question for fact in facts for part in fact.expression.parts() if part.question is not None]
    return any(question.roll == "walls" for question in parts)


@cache
def stacked(stack: tuple[Path, ...]) -> RuleSet:
    """Rigid sheet with a stack of example overlays over it."""
    return laid(rigid_sheet(), *stack)


# -- what an overlay may not say ------------------------------------------------------------------------------------


def mistake(name: str) -> dict[str, str]:
    """One bad overlay: the passage it stands `instead_of`, what to `write`, what it `says`."""
    read: dict[str, str] = yaml.safe_load((BAD / f"{name}.yaml").read_text(encoding="utf-8"))
    return read


def spoilt(into: Path, instead_of: str, write: str) -> Path:
    """The sound overlay with one passage changed, in the folder `into`."""
    text = (BAD / "sound" / "overlay.yaml").read_text(encoding="utf-8")
    assert text.count(instead_of) == 1
    path = into / "overlay.yaml"
    path.write_text(text.replace(instead_of, write), encoding="utf-8")
    return path


def test_there_are_as_many_bad_overlays_as_were_thought_of() -> None:
    """A glob that finds nothing would test nothing."""
    assert len(MISTAKES) == 78


def test_the_sound_overlay_is_sound() -> None:
    """What the bad overlays are made from has no fault, so that each fault comes from the passage changed."""
    rule_set = laid(sound(), BAD / "sound" / "overlay.yaml")
    assert [(o.what, o.name, o.way) for o in rule_set.overrides] == [
        ("rule dropped", "air-steady", "looser"),
        ("limit", "band_min", "either"),
        ("limit", "dwell_min", "tighter"),
        ("limit", "thirsty", "tighter"),
        ("rule added", "wall-dry-at-best", "tighter"),
        ("rule added", "swing-over-the-usual", "tighter"),
    ]


@pytest.mark.parametrize("name", MISTAKES)
def test_a_bad_overlay_is_refused_with_its_whole_message(name: str, tmp_path: Path) -> None:
    """The message is the expected one to the letter."""
    change = mistake(name)
    path = spoilt(tmp_path, change["instead_of"], change["write"])
    assert refusal_of(sound(), path) == change["says"].splitlines()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "overlay.yaml: is empty; fill it in and save it"),
        ("- a\n", "overlay.yaml:1: is a list; write entries, each with a colon, such as overlay:"),
        ("tight\n", 'overlay.yaml:1: is "tight"; write entries, each with a colon, such as overlay:'),
    ],
)
def test_a_file_that_is_no_overlay_is_refused(text: str, says: str, tmp_path: Path) -> None:
    """Nothing at all, a list, a word: one message each."""
    path = tmp_path / "overlay.yaml"
    path.write_text(text, encoding="utf-8")
    assert refusal_of(sound(), path) == [says]


def test_an_overlay_may_lay_nothing_over() -> None:
    """Empty sections, or none, change nothing but that the record names the overlay."""
    nothing: tuple[dict[str, Any], ...] = ({}, {"limits": {}, "facts": {}, "drop": {}})
    for sections in nothing:
        rule_set = laid(sound(), sections)
        assert replace(rule_set, overlays=()) == sound()
        assert len(rule_set.overlays) == 1


def test_all_mistakes_of_an_overlay_are_told_in_one_run(tmp_path: Path) -> None:
    """A value, a fact, a rule, a drop and a flip that cannot be read: five lines, in the order of the file."""
    path = BAD / "sound" / "overlay.yaml"
    text = path.read_text(encoding="utf-8")
    for name in (
        "value-in-words",
        "flip-of-no-example",
        "added-fact-not-asked",
        "added-rule-by-nobody",
        "drop-of-no-rule",
    ):
        change = mistake(name)
        text = text.replace(change["instead_of"], change["write"])
    (tmp_path / "overlay.yaml").write_text(text, encoding="utf-8")
    assert refusal_of(sound(), tmp_path / "overlay.yaml") == [
        mistake(name)["says"]
        for name in (
            "value-in-words",
            "flip-of-no-example",
            "added-fact-not-asked",
            "added-rule-by-nobody",
            "drop-of-no-rule",
        )
    ]


def test_every_flip_of_a_band_is_asked_for() -> None:
    """The air a degree warmer: examples of a rule and of five facts of the log come out otherwise, each told."""
    part = {"value": "61 °F", "because": "A test.", "basis": "from memory"}
    lines = refusal_of(rigid_sheet(), {"limits": {"air_temperature_min": part}})
    assert (
        'limits.air_temperature_min changes what air-in-band comes to on "exactly at both ends", to hold; '
        "write it below flips: air-in-band: {exactly at both ends: hold}"
    ) in lines[0]
    facts = {match[1] for line in lines if (match := re.search(r"changes what (\S+) comes to", line))}
    assert facts == {
        "air-in-band",
        "band_held",
        "excursion_count",
        "longest_excursion",
        "furthest_excursion",
        "excursion_degree_hours",
    }
    flips = changing(rigid_sheet(), "air_temperature_min", "61 °F")["limits"]["air_temperature_min"]["flips"]
    assert len(lines) == sum(map(len, flips.values()))
    assert laid(rigid_sheet(), changing(rigid_sheet(), "air_temperature_min", "61 °F")).overrides[0].way == "either"


def test_a_flip_of_a_fact_may_be_written_in_any_unit(tmp_path: Path) -> None:
    """6 h or more is 360 min or more."""
    path = spoilt(tmp_path, "6 h or more", "360 min or more")
    assert laid(sound(), path).facts["kept"].examples[1].expect == "360 min or more"


def test_once_laid_over_its_examples_expect_what_they_come_to() -> None:
    """The flips are written into the examples: a second overlay is held to them, and the rules prove themselves."""
    rule_set = laid(sound(), BAD / "sound" / "overlay.yaml")
    expects = {e.name: e.expect for e in rule_set.rules["primer-has-dried"].examples}
    assert (expects["at the limit"], expects["plywood"], expects["one step under"]) == ("hold", "not verified", "hold")
    wrong = [f for f in rule_faults(rule_set) if "which expects" in f.found]
    assert wrong == []


# -- what was once let by -------------------------------------------------------------------------------------------

PART = {"because": "A test.", "basis": "from memory"}


def named_rule() -> dict[str, Any]:
    """A rule over the sound rule set, sound in itself."""
    facts = [({"kept": "4 h"}, "pass"), ({"kept": "3.5 h"}, "hold"), ({}, "not verified")]
    return {
        **PART,
        "about": "space",
        "grade": "hold",
        "title": "The log shows it again",
        "require": {"at_least": ["kept", "kept_min"]},
        "hold": "The air kept for {kept}.",
        "put_right": "Wait.",
        "by": "installer",
        "why": "A test wants one.",
        "examples": [{"name": f"example {i}", "facts": f, "expect": e} for i, (f, e) in enumerate(facts)],
    }


def test_a_rule_with_the_name_of_a_limit_is_refused_or_judged() -> None:
    """A rule that a project wrote is never left out in silence."""
    try:
        rule_set = laid(sound(), {"rules": {"forgiven": named_rule()}})
    except InputError:
        return
    assert "forgiven" in rule_set.rules


@pytest.mark.parametrize("words", [["plaster", "concrete", "plywod"], ["plaster", "concret"]])
def test_a_word_that_no_answer_can_be_is_refused(words: list[str]) -> None:
    """Misspelt, it would quietly stand for nothing: a rule that applies to concret holds no concrete wall."""
    assert len(refusal_of(sound(), changing(sound(), "thirsty", words))) == 1


def test_a_flip_below_an_added_limit_is_refused_in_words() -> None:
    """Nothing that the base has was changed, so nothing of it flips; nobody sees a traceback."""
    limit = {"value": "4 h", "step": "0.5 h", **PART, "flips": {"kept-in-band": {"at the limit": "hold"}}}
    rule = {**named_rule(), "require": {"at_least": ["kept", "kept_again_min"]}}
    assert len(refusal_of(sound(), {"limits": {"kept_again_min": limit}, "rules": {"kept-again": rule}})) == 1


@pytest.mark.parametrize("listed", ["banana", "9 °C", "hold"])
def test_a_flip_of_a_fact_to_no_value_of_it_is_refused_in_words(listed: str) -> None:
    """A duration is no word and no temperature; the message says what it comes to, and nobody sees a traceback."""
    flips = {"kept": {"a step too cold": listed}}
    assert len(refusal_of(sound(), {"limits": {"band_min": {"value": "14.5 °C", **PART, "flips": flips}}})) == 1


def test_a_limit_of_nothing_is_refused_in_words() -> None:
    """A number of tests for every 0 ft² is a mistake of the writer, and nobody sees a traceback."""
    assert refusal_of(rigid_sheet(), {"limits": {"alkalinity_tests_area": {"value": "0 ft²", **PART}}})


@pytest.mark.parametrize("part", [{**PART, "because": ""}, {**PART, "because": " "}])
def test_a_reason_is_not_empty(part: dict[str, str]) -> None:
    """What a project relaxes it gives a reason for; a report with two quotes there has none."""
    assert len(refusal_of(sound(), {"limits": {"dwell_min": {"value": "24 h", **part}}})) == 1


def test_two_listings_of_one_flip_that_differ_are_refused() -> None:
    """Of two outcomes for one example at least one is wrong."""
    limits = {
        "kept_min": {"value": "3.5 h", **PART, "flips": {"kept-in-band": {"one step short": "hold"}}},
        "dwell_min": {"value": "24 h", **PART, "flips": {"kept-in-band": {"one step short": "pass"}}},
    }
    assert len(refusal_of(sound(), {"limits": limits})) == 1


def test_a_flip_that_is_not_listed_is_told_of_the_limit_that_makes_it(tmp_path: Path) -> None:
    """Plywood flips by the words, not by the hours: the writer is sent to the right limit."""
    path = spoilt(tmp_path, "    flips:\n      primer-has-dried: {plywood: not verified}\n", "")
    (line,) = refusal_of(sound(), path)
    assert "limits.thirsty changes what primer-has-dried comes to" in line


def test_the_advice_for_a_flip_can_be_pasted() -> None:
    """An example whose name has a comma in it is quoted in the advice, which is then YAML as it stands."""
    part = {"value": "61 °F", **PART}
    for line in refusal_of(rigid_sheet(), {"limits": {"air_temperature_min": part}}):
        flips = yaml.safe_load(line.split("write it below flips: ")[1])
        (outcomes_,) = flips.values()
        assert len(outcomes_) == 1
        assert None not in outcomes_.values()


def test_an_overlay_with_the_title_of_a_theme_leaves_the_theme_its_own() -> None:
    """The theme `drying` is still called Drying."""
    with TemporaryDirectory() as folder:
        path = written({"rules": {"kept-again": named_rule()}}, Path(folder) / "overlay.yaml", "sound")
        path.write_text(path.read_text(encoding="utf-8").replace("Overlay overlay", "drying"), encoding="utf-8")
        assert laid(sound(), path).themes["drying"] == "Drying"


def test_a_flip_of_a_fact_is_told_of_the_limit_that_makes_it() -> None:
    """The row at 14.5 °C flips by the low end of the band; the high end, moved by less than a step, flips nothing."""
    limits = {"band_max": {"value": "25.4 °C", **PART}, "band_min": {"value": "14.5 °C", **PART}}
    (line,) = refusal_of(sound(), {"limits": limits})
    assert "limits.band_min changes what kept comes to" in line


def test_a_flip_that_does_not_come_about_is_told_where_it_is_listed() -> None:
    """Listed below the hours, of a rule that no hours are in: the writer is sent to the line to take out."""
    flips = {"wall-dry-enough": {"at the limit": "hold"}}
    limits = {"band_max": {"value": "25.4 °C", **PART}, "dwell_min": {"value": "23.9 h", **PART, "flips": flips}}
    (line,) = refusal_of(sound(), {"limits": limits})
    assert "limits.dwell_min" in line


def test_a_flip_that_is_no_round_number_stays_as_it_is_under_the_next_overlay() -> None:
    """2 tests of 1.5 are four thirds: a second overlay, that alone flips nothing, flips nothing here either."""
    first = changing(rigid_sheet(), "alkalinity_tests", "1.5")
    assert first["limits"]["alkalinity_tests"]["flips"]["alkalinity_share"]["as many"] == "4/3"
    second = {"limits": {"alkalinity_tests_area": {"value": "500.01 ft²", **PART}}}
    laid(rigid_sheet(), second)
    laid(rigid_sheet(), first, second)


@pytest.mark.parametrize("title", ["", " "])
def test_an_overlay_has_a_title(title: str, tmp_path: Path) -> None:
    """Every report calls a change by the overlay it is from."""
    path = spoilt(tmp_path, "overlay: The mill project", f'overlay: "{title}"')
    assert len(refusal_of(sound(), path)) == 1


def test_no_order_of_three_sections_of_one_overlay_matters() -> None:
    """Limits, rules and drops may stand in any order: the rule set that comes of them is the same."""
    sections = yaml.safe_load(QUILLEN.read_text(encoding="utf-8"))
    names = ("limits", "facts", "rules", "drop")
    made = [laid(rigid_sheet(), {name: sections[name] for name in order}) for order in permutations(names)]
    for one in made[1:]:
        assert one.limits == made[0].limits
        assert one.overrides == made[0].overrides
        assert {n: (r.require, r.examples[0].expect) for n, r in one.rules.items()} == {
            n: (r.require, r.examples[0].expect) for n, r in made[0].rules.items()
        }
