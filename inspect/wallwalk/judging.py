"""Judging: every rule, once for every subject it is about, gives one finding.

Knowing less may only ever turn an answer into *not verified*. There is no default here, and no way round a check.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from wallwalk.comparisons import COMPARISONS, all_of, any_of
from wallwalk.facts import Fact, Facts
from wallwalk.limits import AnyLimit, Limit, WordLimit
from wallwalk.rules import HOLD_GRADE, Check, Condition, Rule, RuleSet
from wallwalk.survey import Subject, Survey
from wallwalk.values import Measured, Verdict


class Outcome(StrEnum):
    """What a rule comes to for a subject: one of the three verdicts, or that the rule does not apply to it."""

    PASS = "pass"  # noqa: S105 - a verdict, not a password
    HOLD = "hold"
    NOT_VERIFIED = "not verified"
    DOES_NOT_APPLY = "does not apply"


@dataclass(frozen=True, slots=True)
class Compared:
    """One comparison as it came out. `decides_applying`: it belongs to `applies_when`, not to what is required."""

    check: Check
    verdict: Verdict
    decides_applying: bool


@dataclass(frozen=True, slots=True)
class Finding:
    """What one rule came to for one subject, with every comparison made and every fact it was made on.

    `measured` are all facts of the subject, so that what else is asked of them is not measured once more.
    """

    rule: Rule
    subject: Subject
    outcome: Outcome
    compared: tuple[Compared, ...]
    facts: Mapping[str, Fact]
    measured: Facts = field(repr=False, compare=False)

    def verdict_on(self, check: Check) -> Verdict:
        """What one of the comparisons of its rule came to."""
        return next(c.verdict for c in self.compared if c.check is check)


def judge(rule_set: RuleSet, survey: Survey, rules: Iterable[Rule] | None = None) -> tuple[Finding, ...]:
    """Every rule of `rule_set` for every subject of `survey` it is about, in the order of the rule set.

    `rules`: some of them only, in their order.
    """
    measured = {id(subject): Facts(rule_set, survey, subject) for subject in (survey.space, *survey.others)}
    return tuple(
        _finding(rule, subject, rule_set.limits, measured[id(subject)])
        for rule in (rule_set.rules.values() if rules is None else rules)
        for subject in survey.subjects(rule.about)
    )


def verdict_of(findings: tuple[Finding, ...]) -> Verdict:
    """PASS when every hold-grade rule that applies passes, and at least one does; HOLD otherwise."""
    outcomes = {f.outcome for f in findings if f.rule.grade == HOLD_GRADE} - {Outcome.DOES_NOT_APPLY}
    return Verdict.PASS if outcomes == {Outcome.PASS} else Verdict.HOLD


def outcome_of(
    rule: Rule, limits: Mapping[str, AnyLimit], value_of: Callable[[str], Measured]
) -> tuple[Outcome, tuple[Compared, ...]]:
    """What `rule` comes to where `value_of` gives the value of each fact by name."""
    compared: list[Compared] = []
    applies = Verdict.PASS
    if rule.applies_when is not None:
        applies = _evaluate(rule.applies_when, limits, value_of, compared, decides_applying=True)
    if applies is Verdict.HOLD:
        return Outcome.DOES_NOT_APPLY, tuple(compared)
    required = _evaluate(rule.require, limits, value_of, compared, decides_applying=False)
    outcome = Outcome.NOT_VERIFIED if applies is Verdict.NOT_VERIFIED else Outcome(required.value)
    return outcome, tuple(compared)


def truth_of(condition: Condition, limits: Mapping[str, AnyLimit], facts: Mapping[str, Fact]) -> Verdict:
    """The verdict of a condition on facts already measured."""
    return _evaluate(condition, limits, lambda name: facts[name].value, [], decides_applying=True)


def _finding(rule: Rule, subject: Subject, limits: Mapping[str, AnyLimit], facts: Facts) -> Finding:
    outcome, compared = outcome_of(rule, limits, lambda name: facts[name].value)
    shown = rule.shows if outcome is Outcome.HOLD else ()
    used = {name: facts[name] for name in (*(c.check.fact for c in compared), *shown)}
    return Finding(rule, subject, outcome, compared, used, facts)


def _evaluate(
    condition: Condition,
    limits: Mapping[str, AnyLimit],
    value_of: Callable[[str], Measured],
    compared: list[Compared],
    *,
    decides_applying: bool,
) -> Verdict:
    """The verdict of a condition; every comparison in it is made and kept, whatever the others came to."""
    if isinstance(condition, Check):
        verdict = compare(condition, limits, value_of(condition.fact))
        compared.append(Compared(condition, verdict, decides_applying))
        return verdict
    verdicts = tuple(
        _evaluate(part, limits, value_of, compared, decides_applying=decides_applying) for part in condition.parts
    )
    return all_of(verdicts) if condition.word == "all_of" else any_of(verdicts)


def compare(check: Check, limits: Mapping[str, AnyLimit], value: Measured) -> Verdict:
    """One comparison, by its row of the table."""
    run = COMPARISONS[check.word].run
    if not check.limits:
        return run(value, (), frozenset(check.words))
    named = [limits[name] for name in check.limits]
    amounts = tuple(limit.amount for limit in named if isinstance(limit, Limit))
    words = frozenset(check.words).union(*(limit.words for limit in named if isinstance(limit, WordLimit)))
    return run(value, amounts, words)
