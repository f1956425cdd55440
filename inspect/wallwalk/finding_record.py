"""What a record says of one finding: the sentence, what was measured against what, and what is lacking."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

from wallwalk.answers import NOT_ANSWERED
from wallwalk.facts import Fact
from wallwalk.judging import Compared, Finding, Outcome
from wallwalk.limits import AnyLimit
from wallwalk.moments import iso_moment, show_moment
from wallwalk.rules import PLACEHOLDER, RuleSet
from wallwalk.survey import Subject, Survey
from wallwalk.timing import AT_ONCE, NEVER, clears_within, window_of
from wallwalk.values import Bound, Interval, Measured, OneOf, Verdict
from wallwalk.wording import (
    show_basis,
    show_limit,
    show_margin,
    show_requirement,
    show_value,
    told_check,
    told_limit,
    told_value,
)
from wallwalk.words import IN_ENGLISH, Words, fixed, words_in

Part = Mapping[str, Any]

UNLISTED = (fixed("walls not written down"),)
"""What the survey reader calls those that nobody wrote down."""


def moment_record(
    seconds: Bound | None, zone: ZoneInfo | None, words: Words = IN_ENGLISH, *, down: bool = False
) -> Part | None:
    """A moment for machines and for people; part seconds go up, or `down` where the moment is a last one."""
    if seconds is None or seconds in (AT_ONCE, NEVER):
        return None
    moment = Fraction(seconds) // 1 if down else seconds
    return {"at": iso_moment(moment, zone), "shown": show_moment(moment, zone, words)}


def subject_name(subject: Subject, words: Words) -> str:
    """What a record calls a subject: by its own name where it is written down."""
    return subject.name if subject.listed else words.tell(subject.name)


def finding_record(rule_set: RuleSet, survey: Survey, finding: Finding) -> Part:
    """All that a record says of `finding` by itself."""
    rule, words = finding.rule, words_in(rule_set.language)
    window = window_of(rule_set, finding)
    clears = clears_within(window, survey)
    opens = window.opens if finding.outcome is Outcome.HOLD and clears == NEVER else NEVER
    return {
        "rule": rule.name,
        "theme": rule.theme,
        "grade": rule.grade,
        "about": finding.subject.about,
        "subject": subject_name(finding.subject, words),
        "listed": finding.subject.listed,
        "title": rule.title,
        "outcome": finding.outcome.value,
        "says": says_of(rule_set, survey, finding),
        "put_right": rule.put_right,
        "by": rule.by,
        "why": rule.why,
        "basis": show_basis(rule.basis, words),
        "clears_at": moment_record(clears, survey.zone, words),
        "waiting_clears_it": clears != NEVER,
        "not_before": moment_record(opens, survey.zone, words),
        "compared": [_compared(rule_set, survey, c, finding.facts[c.check.fact]) for c in finding.compared],
        "missing": missing_of(finding, words),
    }


def says_of(rule_set: RuleSet, survey: Survey, finding: Finding) -> str:
    """The rule's own sentence, filled in, where something is wrong; what decided, where the rule does not apply."""
    words = words_in(rule_set.language)
    if finding.outcome is Outcome.HOLD:
        beside: dict[str, list[AnyLimit]] = {}  # every limit of a fact, so that it stays on its own side of each
        for c in finding.compared:
            beside.setdefault(c.check.fact, []).extend(_named(rule_set, c))
        beside |= {name: [] for name in finding.rule.shows}
        shown = {
            name: show_value(_told(rule_set, finding.facts[name]), near, survey.zone, words)
            for name, near in beside.items()
        }
        limits = {name: told_limit(limit, rule_set, words).written for name, limit in rule_set.limits.items()} | {
            limit.name: show_limit(limit, finding.facts[c.check.fact].value, words)
            for c in finding.compared
            for limit in _named(rule_set, c)
        }
        return PLACEHOLDER.sub(lambda found: {**limits, **shown}.get(found[1], found[0]), finding.rule.hold)
    if finding.outcome is Outcome.DOES_NOT_APPLY:
        return "; ".join(
            f"{finding.facts[c.check.fact].title}: {_measured(rule_set, survey.zone, c, finding.facts[c.check.fact])}"
            for c in finding.compared
            if c.verdict is Verdict.HOLD
        )
    return ""


def near_limit_record(rule_set: RuleSet, survey: Survey, finding: Finding, guarded: Finding | None) -> Iterator[Part]:
    """What lies nearer its limit than its uncertainty, and was decided all the same."""
    if guarded is None or finding.outcome in (Outcome.NOT_VERIFIED, Outcome.DOES_NOT_APPLY):
        return
    for simple, wide in zip(finding.compared, guarded.compared, strict=True):
        if wide.verdict is Verdict.NOT_VERIFIED and simple.verdict is not Verdict.NOT_VERIFIED:
            yield _compared(rule_set, survey, wide, guarded.facts[wide.check.fact])


def missing_of(finding: Finding, words: Words) -> list[Part]:
    """The answers that keep `finding` from being verified; none where it is."""
    if finding.outcome is not Outcome.NOT_VERIFIED:
        return []
    wanting = {c.check.fact: None for c in finding.compared if c.verdict is Verdict.NOT_VERIFIED}
    missing = {m: None for name in wanting for m in finding.facts[name].missing}
    not_answered = words.tell(NOT_ANSWERED)
    return [
        {"place": m.place, "title": m.title, "lacking": not_answered if m.lacking == NOT_ANSWERED else m.lacking}
        for m in missing
    ]


def _compared(rule_set: RuleSet, survey: Survey, compared: Compared, fact: Fact) -> Part:
    words = words_in(rule_set.language)
    check = told_check(compared.check, fact.kinded, rule_set, words)
    limits = _named(rule_set, compared)
    shown = show_value(_told(rule_set, fact), limits, survey.zone, words)
    read_at = _read_at(rule_set, survey, fact)
    return {
        "fact": fact.name,
        "fact_title": fact.title,
        "comparison": check.word,
        "measured": f"{shown} ({read_at})" if read_at else shown,
        "required": show_requirement(check, limits, fact.value, words),
        "limits": list(check.limits),
        "margin": show_margin(check, limits, fact.value, words),
        "verdict": compared.verdict.value,
        "decides_applying": compared.decides_applying,
        "value": _value(fact.value),
        "sources": [{"place": s.place, "line": s.line, "written": s.value.written} for s in fact.sources],
    }


def _read_at(rule_set: RuleSet, survey: Survey, fact: Fact) -> str:
    """Where the lowest or the highest of some readings was read; empty where it is of no one place."""
    value = fact.value
    if rule_set.facts[fact.name].expression.word not in {"lowest", "highest"} or not isinstance(value, Interval):
        return ""
    for source in fact.sources:
        if value.written and value.written.split(" ± ")[0] == source.value.written.split(" ± ")[0]:
            return survey.read_at(source)
    return ""


def _named(rule_set: RuleSet, compared: Compared) -> list[AnyLimit]:
    words = words_in(rule_set.language)
    return [told_limit(rule_set.limits[name], rule_set, words) for name in compared.check.limits]


def _told(rule_set: RuleSet, fact: Fact) -> Measured:
    return told_value(fact.value, fact.kinded, rule_set, words_in(rule_set.language))


def _measured(rule_set: RuleSet, zone: ZoneInfo | None, compared: Compared, fact: Fact) -> str:
    return show_value(_told(rule_set, fact), _named(rule_set, compared), zone, words_in(rule_set.language))


def _value(value: Measured) -> Part:
    """The value exactly: ends as fractions in base units, null where there is no end."""
    if isinstance(value, Interval):
        low, high = (None if isinstance(b, float) else str(b) for b in (value.low, value.high))
        return {"kind": value.kind, "low": low, "high": high}
    if isinstance(value, OneOf):
        return {"kind": "words", "possible": None if value.possible is None else sorted(value.possible)}
    return {
        "kind": f"list of {value.kind}",
        "complete": value.complete,
        "items": [_value(item) for item in value.items],
    }
