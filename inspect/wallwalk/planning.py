"""The work-back plan: for a start, the latest moment of each step that a clock runs from, and whether it was kept."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from wallwalk.comparisons import COMPARISONS
from wallwalk.facts import Facts, Trail
from wallwalk.judging import Finding, Outcome
from wallwalk.limits import Limit
from wallwalk.moments import iso_moment, show_moment
from wallwalk.record import Record, file_name, heading_of
from wallwalk.rules import HOLD_GRADE, Check, RuleSet, checks
from wallwalk.survey import Subject, Survey
from wallwalk.timing import earliest_start, is_start
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval
from wallwalk.wording import show_value

KEPT, MISSED, OPEN = "in time", "missed", "not known"


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that has to happen, or to hold good, at a time told by the start.

    `no_earlier` and `no_later` are seconds since 1970, NO_LOW or NO_HIGH where that side is free. `was` is when it
    happened, as far as the survey says. `kept` is KEPT, MISSED or OPEN.
    """

    rule: str
    title: str
    subject: Subject
    what: str
    no_earlier: Bound
    no_later: Bound
    was: Interval
    kept: str


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


def build_plan(rule_set: RuleSet, survey: Survey, findings: tuple[Finding, ...], start: Interval) -> Record:
    """The plan for `start` as plain data: all that a plan's page, calendar or summary is drawn from."""
    earliest = earliest_start(rule_set, survey, findings)
    zone = survey.zone

    def moment(seconds: Bound | None) -> Record | None:
        if seconds is None or isinstance(seconds, float):
            return None
        return {"at": iso_moment(seconds, zone), "shown": show_moment(seconds, zone)}

    return {
        "heading": heading_of(survey),
        "survey": {"file": file_name(survey.file), "sha256": survey.sha256},
        "rule_set": {"name": rule_set.name, "title": rule_set.title, "revision": rule_set.revision},
        "start": {"from": moment(start.low), "to": moment(start.high)},
        "earliest": moment(earliest.at),
        "steps": [
            {
                "rule": step.rule,
                "title": step.title,
                "subject": step.subject.name,
                "listed": step.subject.listed,
                "about": step.subject.about,
                "what": step.what,
                "no_earlier": moment(step.no_earlier),
                "no_later": moment(step.no_later),
                "was": show_value(step.was, (), zone),
                "kept": step.kept,
            }
            for step in plan_steps(rule_set, survey, findings, start)
        ],
    }


def _both(one: Step, other: Step) -> Step:
    """One step that two limits time: both hold, so the tighter end of each side counts."""
    earliest, latest = max(one.no_earlier, other.no_earlier), min(one.no_later, other.no_later)
    return replace(one, no_earlier=earliest, no_later=latest, kept=_kept(one.was, earliest, latest))


def _steps(rule_set: RuleSet, survey: Survey, finding: Finding, check: Check, start: Interval) -> Iterator[Step]:
    expression = rule_set.facts[check.fact].expression
    sides = COMPARISONS[check.word].sides
    if expression.word != "elapsed" or not sides:
        return
    begins, ends = expression.operands
    other = begins if is_start(ends) else ends
    if is_start(begins) == is_start(ends) or other.question is None:
        return
    was = Facts(rule_set, survey, finding.subject).measure(other, Trail())
    if not isinstance(was, Interval):
        return
    for side, name in zip(sides, check.limits, strict=True):
        limit = rule_set.limits[name]
        if isinstance(limit, Limit):
            earliest, latest = _span(side, limit, start, to_start=is_start(ends))
            subject = finding.subject if other.question.about == finding.subject.about else survey.space
            kept = _kept(was, earliest, latest)
            yield Step(
                finding.rule.name, finding.rule.title, subject, other.question.title, earliest, latest, was, kept
            )


def _span(side: str, limit: Limit, start: Interval, *, to_start: bool) -> tuple[Bound, Bound]:
    """When the other end of an elapsed time has to lie, for every moment that the start may be."""
    if to_start:
        return (NO_LOW, start.low - limit.amount) if side == "min" else (start.high - limit.amount, NO_HIGH)
    return (start.high + limit.amount, NO_HIGH) if side == "min" else (NO_LOW, start.low + limit.amount)


def _kept(was: Interval, earliest: Bound, latest: Bound) -> str:
    if earliest <= was.low and was.high <= latest:
        return KEPT
    return MISSED if was.high < earliest or was.low > latest else OPEN
