"""The law: knowing less may only turn an answer into *not verified*, never a pass into a hold or a hold into a pass.

Held over whole surveys and every rule set that comes with the program: the examples and random surveys, with answers,
groups, readings, instruments and walls taken out, said to be unknown, or known less well.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from survey_strategies import LESS, may_be_lost, places, surveys, without
from surveys import EXAMPLES, example_document, rules_of, survey_of
from wallwalk.judging import Finding, Outcome, judge, verdict_of
from wallwalk.resources import rule_set_names
from wallwalk.rules import RuleSet
from wallwalk.values import Verdict

NAMES = tuple(path.stem for path in EXAMPLES)
SETS = rule_set_names()
QUIET = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.large_base_example]


def findings_of(data: Any) -> tuple[Finding, ...]:  # noqa: ANN401
    """The findings of a survey given as plain data."""
    return judge(rules_of(data), survey_of(data))


def broken(
    before: tuple[Finding, ...], after: tuple[Finding, ...], rule_set: RuleSet
) -> list[tuple[str, str, str, str]]:
    """Every finding that moved anywhere but to *not verified*.

    Walls that nobody wrote down are a subject of their own, of which no comparison of a wall's fact is ever settled.
    """
    was = {(f.rule.name, f.subject.name): f.outcome for f in before}
    moved = [
        (f.rule.name, f.subject.name, was[f.rule.name, f.subject.name].value, f.outcome.value)
        for f in after
        if f.subject.listed and f.outcome not in (was[f.rule.name, f.subject.name], Outcome.NOT_VERIFIED)
    ]
    settled = [
        (f.rule.name, f.subject.name, c.check.fact, c.verdict.value)
        for f in after
        if not f.subject.listed
        for c in f.compared
        if rule_set.facts[c.check.fact].about == f.subject.about and c.verdict is not Verdict.NOT_VERIFIED
    ]
    return moved + settled


def assert_law(data: Any, less: Any) -> None:  # noqa: ANN401
    """`less` says no more than `data`, so it finds nothing that `data` did not find, and never passes where it held."""
    before, after = findings_of(data), findings_of(less)
    assert broken(before, after, rules_of(data)) == []
    if verdict_of(after) is Verdict.PASS:
        assert verdict_of(before) is Verdict.PASS
    open_before, open_after = (sum(f.outcome is Outcome.NOT_VERIFIED for f in fs) for fs in (before, after))
    event(f"some finding moved: {open_after > open_before}")


def draw_less(data: st.DataObject, survey: Any) -> Any:  # noqa: ANN401
    """The survey with one to four places known less well."""
    less = survey
    for _ in range(data.draw(st.integers(1, 4))):
        where = [p for p in places(less) if may_be_lost(p)]
        if data.draw(st.booleans()):  # readings, walls and instruments are few beside the answers, so pick them more
            where = [p for p in where if any(isinstance(key, int) for key in p[-2:])]
        if where:
            place = data.draw(st.sampled_from(where))
            less = data.draw(st.sampled_from(LESS))(less, place)
    return less


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
@settings(max_examples=12, deadline=None, suppress_health_check=QUIET)
@given(data=st.data())
def test_the_law_holds_for_the_examples(name: str, data: st.DataObject) -> None:
    """Any few answers of any example lost or widened: findings move to *not verified* or not at all."""
    survey = example_document(name).data
    assert_law(survey, draw_less(data, survey))


@pytest.mark.slow
@pytest.mark.parametrize("rules", SETS)
@settings(max_examples=25, deadline=None, suppress_health_check=QUIET)
@given(survey=surveys(), data=st.data())
def test_the_law_holds_for_random_surveys(rules: str, survey: Any, data: st.DataObject) -> None:  # noqa: ANN401
    """The same for surveys drawn from the schema, with values on and beside the limits."""
    survey = {**survey, "rules": rules}
    assert_law(survey, draw_less(data, survey))


@pytest.mark.slow
@pytest.mark.parametrize("rules", SETS)
@settings(max_examples=300, deadline=None, suppress_health_check=QUIET)
@given(survey=surveys(), data=st.data())
def test_the_law_holds_for_many_random_surveys(rules: str, survey: Any, data: st.DataObject) -> None:  # noqa: ANN401
    """The same, many times."""
    survey = {**survey, "rules": rules}
    assert_law(survey, draw_less(data, survey))


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_each_single_answer_of_each_example_may_be_lost(name: str) -> None:
    """Every place of every example taken out, one at a time: the law holds for each."""
    survey = example_document(name).data
    before = findings_of(survey)
    where = [p for p in places(survey) if may_be_lost(p)]
    assert len(where) > 60
    assert {p: b for p in where if (b := broken(before, findings_of(without(survey, p)), rules_of(survey)))} == {}


@pytest.mark.slow
def test_no_answer_that_a_hold_rule_needs_can_be_left_out_of_a_pass() -> None:
    """The passing example passes only whole: whatever a hold-grade rule was judged on, taking it out ends the pass."""
    survey = example_document("204-treatment-room").data
    needed = {
        answer.place
        for f in findings_of(survey)
        if f.rule.grade == "hold"
        for c in f.compared
        if not c.decides_applying
        for answer in f.facts[c.check.fact].sources
    }
    still_passing = [
        place
        for place in places(survey)
        if may_be_lost(place)
        and _shown(place) in needed
        and verdict_of(findings_of(without(survey, place))) is Verdict.PASS
    ]
    # `any_of` needs only one of its sides; where both were answered, one may go.
    either = {"tape_quantity", "wipe_clean", "stains_bleeding", "stains_blocked", "live_boxes"}
    assert {p[-1] for p in still_passing} <= either


def _shown(place: tuple[str | int, ...]) -> str:
    return "".join(f"[{p}]" if isinstance(p, int) else f".{p}" for p in place).lstrip(".")


@pytest.mark.parametrize("rules", SETS)
def test_a_survey_with_nothing_in_it_verifies_nothing(rules: str) -> None:
    """Absence leads to no pass: every rule that can hold the work is not verified on an empty survey."""
    findings = findings_of({"rules": rules})
    assert {(f.rule.name, f.outcome) for f in findings if f.outcome is not Outcome.NOT_VERIFIED} == set()
    assert verdict_of(findings) is Verdict.HOLD


def test_the_law_test_can_fail() -> None:
    """A pass that comes from losing an answer is seen: two findings compared the wrong way round are broken."""
    survey = example_document("204-treatment-room").data
    whole, less = findings_of(survey), findings_of(without(survey, ("building",)))
    assert broken(whole, less, rules_of(survey)) == []
    assert ("space-closed-in", "space", "not verified", "pass") in broken(less, whole, rules_of(survey))
