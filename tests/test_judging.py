"""Judging whole surveys: every rule once for each subject, the same whatever the units, the order or the machine."""

from __future__ import annotations

import copy
import os
import subprocess
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from survey_strategies import kinds_at, places, surveys
from surveys import EXAMPLES, ROOT, example_document, example_rules, rigid_sheet, rules_of, survey_of
from wallwalk.checking import check
from wallwalk.judging import Compared, Outcome, judge, outcome_of, verdict_of
from wallwalk.quantities import UnitError, parse_quantity, states_uncertainty
from wallwalk.rules import Check, Group
from wallwalk.units import in_unit
from wallwalk.values import ANY_WORD, NO, YES, Interval, Verdict

NAMES = tuple(path.stem for path in EXAMPLES)
OTHER = {"°C": "°F", "°F": "°C", "m": "ft", "ft": "m", "mm": "in", "in": "mm", "L": "gal", "gal": "L", "qt": "L"} | {
    "m²/L": "ft²/gal",
    "ft²/gal": "m²/L",
    "min": "h",
}


def outcomes(data: Any) -> dict[tuple[str, str], str]:  # noqa: ANN401
    """Every outcome by rule and subject; a rule that came twice for a subject would be an error."""
    found: dict[tuple[str, str], str] = {}
    for finding in judge(rules_of(data), survey_of(data)):
        key = (finding.rule.name, finding.subject.name)
        assert key not in found
        found[key] = finding.outcome.value
    return found


def in_other_units(data: Any) -> tuple[Any, int]:  # noqa: ANN401
    """The survey with every quantity that has another unit written in it, exactly, as a fraction; and how many."""
    changed, count = copy.deepcopy(data), 0
    for place in places(data):
        parent = changed
        for key in place[:-1]:
            parent = parent[key]
        text = parent[place[-1]]
        for kind in kinds_at(place) if isinstance(text, str) else ():
            try:
                value = parse_quantity(text, kind)
            except UnitError:
                continue
            if value.unit in OTHER and str(place[-1]) not in {"name", "place", "serial"}:
                parent[place[-1]] = _written(value, OTHER[value.unit])
                count += 1
    return changed, count


def uncertainties(data: Any) -> list[str]:  # noqa: ANN401
    """How well its instruments know a temperature, each as written."""
    return [u["temperature"] for i in data["instruments"] if "temperature" in (u := i.get("uncertainty") or {})]


def _written(value: Interval, unit: str) -> str:
    low, high = (Fraction(in_unit(b, value.kind, unit)) for b in (value.low, value.high))
    if states_uncertainty(value.written):
        middle, half = (low + high) / 2, (high - low) / 2
        return f"{middle.numerator}/{middle.denominator} {unit} ± {half.numerator}/{half.denominator} {unit}"
    ends = [f"{b.numerator}/{b.denominator} {unit}" for b in (low, high)]
    return ends[0] if low == high else " to ".join(ends)


@pytest.mark.parametrize("name", NAMES)
def test_the_units_of_the_survey_change_no_finding(name: str) -> None:
    """Celsius or Fahrenheit, feet or metres, gallons or litres, of readings and of their ±: no finding differs."""
    data = example_document(name).data
    other, count = in_other_units(data)
    assert count >= 4
    assert [a for a, b in zip(uncertainties(data), uncertainties(other), strict=True) if a == b] == []
    assert other != data
    assert outcomes(other) == outcomes(data)


@pytest.mark.slow
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=surveys())
def test_units_and_the_order_of_lists_change_no_finding(data: Any) -> None:  # noqa: ANN401
    """The same for random surveys on and beside the limits; and walls and readings may come in any order."""
    other, _ = in_other_units(data)
    readings = ("moisture", "surface", "alkalinity")
    for roll in (
        other["instruments"],
        other["walls"],
        other.get("air", []),
        *(wall.get(name, []) for wall in other["walls"] for name in readings),
    ):
        roll.reverse()
    assert outcomes(other) == outcomes(data)


@pytest.mark.parametrize("name", NAMES)
def test_every_rule_is_judged_once_for_each_subject_it_is_about(name: str) -> None:
    """Nothing is skipped: rules times subjects is the number of findings."""
    survey = survey_of(example_document(name).data)
    rules = example_rules(name).rules.values()
    want = {(r.name, s.name) for r in rules for s in survey.subjects(r.about)}
    assert set(outcomes(example_document(name).data)) == want
    assert len(want) > 100


def test_a_finding_stands_on_the_facts_compared_and_when_it_holds_on_those_its_sentence_shows() -> None:
    """No fact too few to see why, and none that nobody compared or says; both ways come up in the examples."""
    shown = {True: 0, False: 0}
    for name in NAMES:
        for found in judge(example_rules(name), survey_of(example_document(name).data)):
            holds, compared = found.outcome is Outcome.HOLD, {c.check.fact for c in found.compared}
            assert set(found.facts) == compared | set(found.rule.shows if holds else ())
            shown[holds] += bool(set(found.rule.shows) - compared)
    assert min(shown.values()) > 0


def test_some_rules_alone_come_out_as_among_all() -> None:
    """Judged again for two of its rules, a room has their findings and no other, in the order asked for."""
    survey, rule_set = survey_of(example_document("014-old-dispensary").data), rigid_sheet()
    every = judge(rule_set, survey)
    chosen = [rule_set.rules["wall-flat"], rule_set.rules["no-loose-paint"]]
    want = tuple(f for rule in chosen for f in every if f.rule is rule)
    assert len(want) >= 4
    assert judge(rule_set, survey, chosen) == want


PASS, HOLD, NOT_VERIFIED, APART = Outcome.PASS, Outcome.HOLD, Outcome.NOT_VERIFIED, Outcome.DOES_NOT_APPLY


@pytest.mark.parametrize(
    ("asked", "outcomes"),
    [(YES, (PASS, HOLD, NOT_VERIFIED)), (NO, (APART,) * 3), (ANY_WORD, (NOT_VERIFIED,) * 3)],
    ids=["it applies", "it does not", "not known"],
)
def test_unknown_whether_a_rule_applies_is_never_a_pass_nor_a_hold(asked: Any, outcomes: tuple[Outcome, ...]) -> None:  # noqa: ANN401
    """Three ways to apply by three answers to what is required (table made by hand); each comparison tells its side."""
    applies, required = Check("is", "asked", words=("yes",)), Check("is", "done", words=("yes",))
    rule = replace(rigid_sheet().rules["wall-flat"], applies_when=Group("all_of", (applies,)), require=required)
    for done, outcome in zip((YES, NO, ANY_WORD), outcomes, strict=True):
        found, compared = outcome_of(rule, {}, {"asked": asked, "done": done}.__getitem__)
        assert found is outcome
        of = {id(YES): Verdict.PASS, id(NO): Verdict.HOLD, id(ANY_WORD): Verdict.NOT_VERIFIED}
        both = (Compared(applies, of[id(asked)], True), Compared(required, of[id(done)], False))
        assert compared == (both if outcome is not APART else both[:1])


def test_a_caution_never_holds_the_work() -> None:
    """The passing room has cautions that fail, and passes."""
    findings = judge(rigid_sheet(), survey_of(example_document("204-treatment-room").data))
    failing = {f.rule.name for f in findings if f.rule.grade == "caution" and f.outcome is Outcome.HOLD}
    assert failing == {"nobody-off-the-floor", "no-cutting", "outside-wall-looked-at", "no-excursion-before-start"}
    assert verdict_of(findings) is Verdict.PASS


def test_no_findings_are_no_pass() -> None:
    """Where no rule that can hold the work was judged, or none applied, nothing has passed."""
    assert verdict_of(()) is Verdict.HOLD


@pytest.mark.slow
def test_the_same_inputs_give_the_same_bytes_anywhere(tmp_path: Path) -> None:
    """Another hash seed, another time zone of the machine, another language: the record is the same, byte for byte."""
    records = []
    for i, (seed, zone, language) in enumerate([("1", "UTC", "C"), ("2", "Asia/Tokyo", "en_US.UTF-8")]):
        target = tmp_path / f"{i}.json"
        env = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": language}
        command = ["wallwalk", "check", "examples/014-old-dispensary.yaml", "-o", str(target)]
        assert subprocess.run(command, cwd=ROOT, env=env, capture_output=True, check=False).returncode == 1
        records.append(target.read_bytes())
    assert records[0] == records[1]
    assert len(records[0]) > 100_000


def test_a_hold_says_what_is_wrong_with_its_own_figures() -> None:
    """The sentences of three holds, whole: a reading, a date that is only shown, a limit in the reader's unit too."""
    record = check(survey_of(example_document("014-old-dispensary").data), rigid_sheet())
    says = {(f["rule"], f["subject"]): f["says"] for f in record["findings"]}
    assert says["wall-evenly-warm", "North"] == (
        "From its coldest to its warmest place the face of the wall differs by 33.2 °F to 36.8 °F; "
        "5 °F is usual at most."
    )
    assert says["moisture-instruments-in-calibration", "West"] == (
        "An instrument that read the moisture was out of calibration then: "
        "the first to run out was good until Sat 7 Mar 2026 00:00."
    )
    assert says["wall-flat", "North"] == (
        "The largest gap under the straightedge is 5 mm; it may be 1/8 in (3.18 mm) at most."
    )
