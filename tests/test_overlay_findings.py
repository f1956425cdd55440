"""Overlays: what they do to findings over random surveys: theirs only, the way they say, and nothing else."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from overlays_laid import (
    QUILLEN,
    TREATMENT_ROOM,
    changing,
    laid,
    moved,
    outcomes,
    told,
)
from survey_strategies import surveys
from surveys import EXAMPLES, example, example_document, example_rules, rigid_sheet, rule_set_called, survey_of
from test_law import QUIET
from test_overlays import STACKS
from wallwalk.checking import check
from wallwalk.judging import Outcome, judge, verdict_of
from wallwalk.limits import Limit, WordLimit
from wallwalk.record import Record
from wallwalk.refusal import RefusedError
from wallwalk.resources import rule_set_names
from wallwalk.rules import Rule, RuleSet, checks
from wallwalk.units import in_unit, show_number, with_unit
from wallwalk.values import Verdict


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


def every_number() -> list[str]:
    """Every limit of rigid sheet that is no list of words, wherever it is used."""
    return sorted(limit.name for limit in rigid_sheet().limits.values() if isinstance(limit, Limit))


def deciding(name: str) -> set[str]:
    """The rules that apply by the limit."""
    return {r.name for r in rigid_sheet().rules.values() for c in checks(r.applies_when) if name in c.limits}


def measured_with(name: str) -> set[str]:
    """The rules that look at a fact made with the limit."""
    facts = {fact.name for fact in rigid_sheet().facts.values() if name in fact.limits}
    rules = rigid_sheet().rules.values()
    return {r.name for r in rules for part in (r.require, r.applies_when) for c in checks(part) if c.fact in facts}


def assert_goes_as_told(rule_set: RuleSet, data: Any) -> None:  # noqa: ANN401
    """One limit is changed: only rules that use it come out otherwise, and only the way that the report says.

    What makes a rule apply to more may let it pass where nobody knew whether it applied; it never takes a hold away.
    """
    (override,) = rule_set.overrides
    survey = survey_of(data)
    before, after = (outcomes(rules, survey) for rules in (rigid_sheet(), rule_set))
    assert before.keys() == after.keys()
    changed = {key: (was, after[key]) for key, was in before.items() if was != after[key]}
    assert {rule for rule, _ in changed} <= users_of(override.name) | measured_with(override.name)
    hold, passes, open_ = "hold", "pass", "not verified"
    against = {
        "tighter": {(hold, passes), (hold, open_), (hold, "does not apply"), (passes, "does not apply")},
        "looser": {(passes, hold), (passes, open_), ("does not apply", hold), ("does not apply", passes)},
        "same": {(was, now) for was in (hold, passes, open_) for now in (hold, passes, open_)},
    }.get(override.way, set())
    assert {key: how for key, how in changed.items() if how in against} == {}
    required = {key: how for key, how in changed.items() if key[0] not in deciding(override.name)}
    if override.way in ("tighter", "looser"):
        never = (open_, passes) if override.way == "tighter" else (open_, hold)
        assert never not in required.values()


def test_limits_are_used_in_every_place_there_is() -> None:
    """In what is required, in what makes a rule apply, in facts; so that the property below says something of each."""
    names = every_number()
    assert len(names) > 80
    kinds = [(bool(users_of(n) - deciding(n)), bool(deciding(n)), bool(measured_with(n))) for n in names]
    assert {(True, False, False), (False, False, True)} <= set(kinds)
    assert sum(applies for _, applies, _ in kinds) >= 3


@pytest.mark.slow
@settings(max_examples=150, deadline=None, suppress_health_check=QUIET)
@given(name=st.sampled_from(every_number()), steps=st.sampled_from(STEPS), data=surveys())
def test_every_limit_goes_the_way_that_the_report_says(name: str, steps: Fraction | int, data: Any) -> None:  # noqa: ANN401
    """Over random surveys, wherever the limit is used: what is told as tighter never takes a hold away."""
    rule_set = stepped(name, steps)
    if rule_set is not None:
        assert_goes_as_told(rule_set, data)


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


@pytest.mark.parametrize("name", rule_set_names())
def test_an_overlay_of_every_limit_as_it_is_leaves_the_rule_set_as_it_is(name: str) -> None:
    """All limits at once, each with its own value and basis: nothing but histories, and that there is an overlay."""
    base = rule_set_called(name)
    same = {
        limit.name: {
            **({"value": limit.written} if isinstance(limit, Limit) else {"words": list(limit.words)}),
            "because": "It is so.",
            "basis": limit.basis,
        }
        for limit in base.limits.values()
    }
    rule_set = laid(base, {"limits": same})
    assert {(o.name, o.way) for o in rule_set.overrides} == {(limit, "same") for limit in base.limits}
    assert {name for name, limit in rule_set.limits.items() if limit.history} == base.limits.keys()
    limits = {name: replace(limit, history=()) for name, limit in rule_set.limits.items()}
    assert replace(rule_set, limits=limits, overlays=(), overrides=(), bare=None) == base


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
