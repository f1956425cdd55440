"""The steps that a start times: the latest moment of each thing that a clock runs from, and whether it was kept."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from wallwalk.comparisons import COMPARISONS
from wallwalk.evidence import held
from wallwalk.facts import Facts, Trail
from wallwalk.judging import Finding, Outcome
from wallwalk.limits import Limit
from wallwalk.rules import HOLD_GRADE, Check, FactRule, RuleSet, checks
from wallwalk.survey import Subject, Survey
from wallwalk.timing import is_start
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval, unknown_interval

KEPT, MISSED, OPEN = "in time", "missed", "not known"


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that has to happen, or to hold good, at a time told by the start. `needs` is the limit as written.

    `no_earlier` and `no_later` are seconds since 1970, NO_LOW or NO_HIGH where that side is free. `was` is when it
    happened, as far as the survey says. `kept` is KEPT, MISSED or OPEN. `lasts` is how many seconds a clock that begins
    then has to run, 0 where it is none; `from_log` says that a climate log is what tells.
    """

    rule: str
    title: str
    subject: Subject
    what: str
    needs: str
    no_earlier: Bound
    no_later: Bound
    was: Interval
    kept: str
    lasts: Bound
    from_log: bool

    @property
    def through(self) -> Interval:
        """When a clock that began as this did is through."""
        return Interval("moment", self.was.low + self.lasts, self.was.high + self.lasts)


def plan_steps(rule_set: RuleSet, survey: Survey, findings: Iterable[Finding], start: Interval) -> tuple[Step, ...]:
    """Every step of the work that a hold-grade rule times by the start, soonest last moment first."""
    steps: dict[tuple[str, str], Step] = {}
    for finding in findings:
        if finding.rule.grade == HOLD_GRADE and finding.outcome is not Outcome.DOES_NOT_APPLY:
            for check in checks(finding.rule.require):
                for step in _steps(rule_set, survey, finding, check, start):
                    key = (step.what, step.subject.place)
                    steps[key] = _both(steps[key], step) if key in steps else step
    return tuple(sorted(steps.values(), key=lambda s: (s.no_later, s.no_earlier, s.rule, s.subject.place)))


def _both(one: Step, other: Step) -> Step:
    """One step that two limits time: both hold, so the tighter end of each side counts."""
    earliest, latest = max(one.no_earlier, other.no_earlier), min(one.no_later, other.no_later)
    kept = next(k for k in (MISSED, OPEN, KEPT) if k in {one.kept, other.kept, _kept(one.was, earliest, latest)})
    longer = max(one, other, key=lambda step: step.lasts)
    return replace(longer, no_earlier=earliest, no_later=latest, kept=kept)


@dataclass(frozen=True, slots=True)
class _Counted:
    """What a fact counts from to the start, or to from the start: what it is, whose, and when it was."""

    what: str
    subject: Subject
    was: Interval
    to_start: bool
    lasted: Interval | None = None


def _steps(rule_set: RuleSet, survey: Survey, finding: Finding, check: Check, start: Interval) -> Iterator[Step]:
    """A step for each limit of a comparison of time that ends, or begins, at the start."""
    counted = _counted(rule_set, survey, finding, check.fact, start)
    if counted is None:
        return
    for side, name in zip(COMPARISONS[check.word].sides, check.limits, strict=True):
        limit = rule_set.limits[name]
        if isinstance(limit, Limit):
            earliest, latest = _span(side, limit, start, to_start=counted.to_start)
            kept = _kept(counted.was, earliest, latest)
            if kept == KEPT and counted.lasted is not None and counted.lasted.low < limit.amount:
                kept = OPEN  # in time as far as the log goes, which is not to the start
            yield Step(
                rule=finding.rule.name,
                title=finding.rule.title,
                subject=counted.subject,
                what=counted.what,
                needs=limit.written,
                no_earlier=earliest,
                no_later=latest,
                was=counted.was,
                kept=kept,
                lasts=limit.amount if counted.to_start and side == "min" else 0,
                from_log=counted.lasted is not None,
            )


def _counted(rule_set: RuleSet, survey: Survey, finding: Finding, fact_name: str, start: Interval) -> _Counted | None:
    fact = rule_set.facts[fact_name]
    facts = finding.measured
    if fact.expression.word == "held" and is_start(fact.expression.operands[2]):
        return _counted_by_log(fact, facts, survey.space, start)
    if fact.expression.word != "elapsed":
        return None
    begins, ends = fact.expression.operands
    other = begins if is_start(ends) else ends
    if is_start(begins) == is_start(ends) or other.question is None:
        return None
    was = facts.measure(other, Trail())
    subject = finding.subject if other.question.about == finding.subject.about else survey.space
    return _Counted(other.question.title, subject, was, is_start(ends)) if isinstance(was, Interval) else None


def _counted_by_log(fact: FactRule, facts: Facts, space: Subject, start: Interval) -> _Counted | None:
    """Since when the air has kept to its band, as far as the log goes; and how much of that is sure at the start."""
    forgiving = facts.measure(fact.expression.operands[3], Trail())
    if not isinstance(forgiving, Interval):
        return None
    seen = facts.evidence(fact.expression)
    was = unknown_interval("moment")
    if seen.inside:
        last = min(start.low, seen.inside[-1][1])
        lasted = held(seen, Interval("moment", last, last), forgiving)
        was = Interval("moment", last - lasted.high, last - lasted.low)
    return _Counted(fact.title, space, was, to_start=True, lasted=held(seen, start, forgiving))


def _span(side: str, limit: Limit, start: Interval, *, to_start: bool) -> tuple[Bound, Bound]:
    """When the other end of an elapsed time has to lie, for every moment that the start may be."""
    if to_start:
        return (NO_LOW, start.low - limit.amount) if side == "min" else (start.high - limit.amount, NO_HIGH)
    return (start.high + limit.amount, NO_HIGH) if side == "min" else (NO_LOW, start.low + limit.amount)


def _kept(was: Interval, earliest: Bound, latest: Bound) -> str:
    if earliest <= was.low and was.high <= latest:
        return KEPT
    return MISSED if was.high < earliest or was.low > latest else OPEN
