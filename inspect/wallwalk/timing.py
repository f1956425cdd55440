"""Time: when each hold clears by waiting, and the earliest honest start.

Only one thing is cured by waiting: elapsed time, up to the planned start, that is still under its least.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wallwalk.facts import Facts, Trail
from wallwalk.judging import Finding, Outcome, compare, judge
from wallwalk.limits import AnyLimit, Limit
from wallwalk.rules import HOLD_GRADE, Check, Condition, RuleSet
from wallwalk.survey import START, Survey
from wallwalk.values import Bound, Interval, Verdict

AT_ONCE = -math.inf
NEVER = math.inf


@dataclass(frozen=True, slots=True)
class EarliestStart:
    """The earliest start that the clocks allow.

    `at`: seconds since 1970, or None where no clock runs or one cannot be read. `by_waiting`: nothing but time is
    wanting. `open_then`: what would still hold at `at`, or by then would hold again (a walk grown stale, say).
    """

    at: Bound | None
    by_waiting: bool
    open_then: tuple[Finding, ...]


def clears_at(rule_set: RuleSet, survey: Survey, finding: Finding) -> Bound:
    """When waiting alone turns `finding` into a pass: a moment, AT_ONCE (it needs no waiting) or NEVER."""
    if finding.outcome is Outcome.DOES_NOT_APPLY:
        return AT_ONCE
    if any(c.decides_applying for c in finding.compared) and not _surely_applies(rule_set, finding):
        return NEVER
    facts = Facts(rule_set, survey, finding.subject)
    return _clears(finding.rule.require, rule_set, facts)


def earliest_start(rule_set: RuleSet, survey: Survey, findings: Iterable[Finding]) -> EarliestStart:
    """The earliest start over all findings that can hold the work, judged again at that very moment."""
    clears = [clears_at(rule_set, survey, f) for f in findings if f.rule.grade == HOLD_GRADE]
    moments = [c for c in clears if c not in (AT_ONCE, NEVER)]
    by_waiting = NEVER not in clears
    if not moments:
        return EarliestStart(None, by_waiting, ())
    at = max(moments)
    later = survey.starting(Interval("moment", at, at))
    still = tuple(
        f
        for f in judge(rule_set, later)
        if f.rule.grade == HOLD_GRADE and f.outcome in (Outcome.HOLD, Outcome.NOT_VERIFIED)
    )
    return EarliestStart(at, by_waiting, still)


def runs_to_start(rule_set: RuleSet, check: Check) -> bool:
    """Whether `check` asks for at least so much time up to the planned start."""
    expression = rule_set.facts[check.fact].expression
    if check.word != "at_least" or expression.word != "elapsed":
        return False
    start, end = expression.operands
    return end.question is not None and end.question.path == START and not start.kinded.is_series


def _surely_applies(rule_set: RuleSet, finding: Finding) -> bool:
    if finding.outcome is not Outcome.NOT_VERIFIED or finding.rule.applies_when is None:
        return True
    return _truth(finding.rule.applies_when, rule_set.limits, finding) is Verdict.PASS


def _truth(condition: Condition, limits: Mapping[str, AnyLimit], finding: Finding) -> Verdict:
    from wallwalk.comparisons import all_of, any_of

    if isinstance(condition, Check):
        return compare(condition, limits, finding.facts[condition.fact].value)
    parts = tuple(_truth(part, limits, finding) for part in condition.parts)
    return all_of(parts) if condition.word == "all_of" else any_of(parts)


def _clears(condition: Condition, rule_set: RuleSet, facts: Facts) -> Bound:
    if not isinstance(condition, Check):
        parts = [_clears(part, rule_set, facts) for part in condition.parts]
        return max(parts) if condition.word == "all_of" else min(parts)
    if runs_to_start(rule_set, condition):
        began = facts.measure(rule_set.facts[condition.fact].expression.operands[0], Trail())
        limit = rule_set.limits[condition.limits[0]]
        if isinstance(began, Interval) and isinstance(limit, Limit):
            return began.high + limit.amount
    verdict = compare(condition, rule_set.limits, facts[condition.fact].value)
    return AT_ONCE if verdict is Verdict.PASS else NEVER
