"""The record of one check: plain data that says everything a report shows, and is all that a report is drawn from."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from fractions import Fraction
from itertools import zip_longest
from pathlib import PurePath
from typing import Any
from zoneinfo import ZoneInfo

import wallwalk
from wallwalk.climate_record import climate_record, clocks_record
from wallwalk.facts import Fact
from wallwalk.judging import Compared, Finding, Outcome, verdict_of
from wallwalk.limits import AnyLimit, Limit, WordLimit
from wallwalk.moments import iso_moment, show_moment
from wallwalk.rules import PLACEHOLDER, RuleSet
from wallwalk.steps import plan_steps
from wallwalk.survey import START, Survey
from wallwalk.timing import AT_ONCE, NEVER, EarliestStart, clears_at, earliest_start, window_of
from wallwalk.values import Bound, Interval, Measured, OneOf, Verdict
from wallwalk.wording import show_limit, show_margin, show_requirement, show_value

FORM = 1
"""The number of the record's form; it goes up when a field changes its meaning."""

Record = Mapping[str, Any]


def build_record(
    rule_set: RuleSet,
    survey: Survey,
    findings: tuple[Finding, ...],
    start_given: str,
    guarded: tuple[Finding, ...] = (),
) -> Record:
    """The record of `findings`. `start_given` says where the start came from: `survey` or `command line`.

    `guarded`: the same findings as a guarded decision comes to, where `findings` are of a simple one.
    """
    zone = survey.zone
    earliest = earliest_start(rule_set, survey, findings)
    start = survey.answer(START)
    planned = start.value if start is not None and isinstance(start.value, Interval) else None
    steps = () if planned is None else plan_steps(rule_set, survey, findings, planned)
    return {
        "form": FORM,
        "tool": {"name": "wallwalk", "version": wallwalk.__version__},
        "survey": {"file": file_name(survey.file), "sha256": survey.sha256},
        "rule_set": _rule_set(rule_set),
        "heading": heading_of(survey),
        "evaluated_for": _evaluated_for(survey, start_given),
        "verdict": verdict_of(findings).value,
        "earliest_start": _earliest(earliest, zone),
        "subjects": [
            {
                "about": s.about,
                "name": s.name,
                "place": s.place,
                "listed": s.listed,
                "declared": s.declared,
                "counted_by": s.counted_by,
            }
            for s in (survey.space, *survey.others)
        ],
        "limits": list(_limits(rule_set, findings)),
        "climate": climate_record(rule_set, survey, steps),
        "clocks": clocks_record(steps, zone),
        "findings": [
            {**_finding(rule_set, survey, f), "near_limit": list(_near_limit(rule_set, survey, f, other))}
            for f, other in zip_longest(findings, guarded)
        ],
    }


def file_name(file: str) -> str:
    """The file's own name, as text: a byte of it that is no UTF-8 is shown by its number."""
    return PurePath(file).name.encode("utf-8", "backslashreplace").decode("utf-8")


def render_json(record: Record) -> str:
    """The record as JSON text: keys in order, the same bytes for the same record."""
    return json.dumps(record, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def _rule_set(rule_set: RuleSet) -> Record:
    return {
        "name": rule_set.name,
        "title": rule_set.title,
        "made_for": rule_set.made_for,
        "revision": rule_set.revision,
        "decision": rule_set.decision,
        "uncalibrated": rule_set.uncalibrated,
        "sha256": rule_set.sha256,
        "parties": dict(rule_set.parties),
        "party_order": list(rule_set.parties),
        "themes": dict(rule_set.themes),
        "theme_order": list(rule_set.themes),
        "overlays": [
            {"title": o.title, "file": file_name(o.file), "revision": o.revision, "sha256": o.sha256}
            for o in rule_set.overlays
        ],
        "overrides": [asdict(o) for o in rule_set.overrides],
        "changes": [{"date": c.date, "what": c.what, "why": c.why, "basis": c.basis} for c in rule_set.changes],
    }


def heading_of(survey: Survey) -> Record:
    """What a record says of the project, the space and the walk; empty where the survey does not."""
    walked = survey.answer("walk.at")
    return {
        "project": survey.text("project.name"),
        "project_number": survey.text("project.number"),
        "address": survey.text("project.address"),
        "general_contractor": survey.text("project.general_contractor"),
        "owner": survey.text("project.owner"),
        "space": survey.text("space.name"),
        "level": survey.text("space.level"),
        "area_covered": survey.text("space.area_covered"),
        "notes": survey.text("space.notes"),
        "walked_at": show_value(walked.value, (), survey.zone) if walked else "",
        "walked_by": survey.text("walk.by"),
        "walked_as": survey.text("walk.role"),
        "company": survey.text("walk.company"),
        "time_zone": survey.text("time_zone"),
    }


def _evaluated_for(survey: Survey, start_given: str) -> Record | None:
    start = survey.answer(START)
    if start is None or not isinstance(start.value, Interval):
        return None
    return {
        "from": iso_moment(start.value.low, survey.zone),
        "to": iso_moment(start.value.high, survey.zone),
        "shown": show_value(start.value, (), survey.zone),
        "given_by": start_given,
    }


def _earliest(earliest: EarliestStart, zone: ZoneInfo | None) -> Record:
    return {
        "at": _moment(earliest.at, zone),
        "until": _moment(earliest.until, zone, down=True),
        "lapses": earliest.lapses and _named_finding(earliest.lapses),
        "by_waiting": earliest.by_waiting,
        "open_then": [_named_finding(f) for f in earliest.open_then],
    }


def _named_finding(finding: Finding) -> Record:
    return {
        "rule": finding.rule.name,
        "title": finding.rule.title,
        "subject": finding.subject.name,
        "outcome": finding.outcome.value,
    }


def _moment(seconds: Bound | None, zone: ZoneInfo | None, *, down: bool = False) -> Record | None:
    """A moment for machines and for people; part seconds go up, or `down` where the moment is a last one."""
    if seconds is None or seconds in (AT_ONCE, NEVER):
        return None
    shown = Fraction(seconds) // 1 if down else seconds
    return {"at": iso_moment(seconds, zone), "shown": show_moment(shown, zone)}


def _limits(rule_set: RuleSet, findings: tuple[Finding, ...]) -> Iterator[Record]:
    users: dict[str, dict[str, None]] = {}
    for finding in findings:
        for compared in finding.compared:
            for name in compared.check.limits:
                users.setdefault(name, {})[finding.rule.name] = None
    for limit in rule_set.limits.values():
        if limit.name in users:
            yield {
                "name": limit.name,
                "written": limit.written,
                "kind": limit.kind if isinstance(limit, Limit) else "words",
                "words": list(limit.words) if isinstance(limit, WordLimit) else [],
                "basis": limit.basis,
                "history": list(limit.history),
                "used_by": list(users[limit.name]),
            }


def _finding(rule_set: RuleSet, survey: Survey, finding: Finding) -> Record:
    rule = finding.rule
    clears = clears_at(rule_set, survey, finding)
    opens = window_of(rule_set, survey, finding).opens if finding.outcome is Outcome.HOLD and clears == NEVER else NEVER
    return {
        "rule": rule.name,
        "theme": rule.theme,
        "grade": rule.grade,
        "about": finding.subject.about,
        "subject": finding.subject.name,
        "listed": finding.subject.listed,
        "title": rule.title,
        "outcome": finding.outcome.value,
        "says": _says(rule_set, survey, finding),
        "put_right": rule.put_right,
        "by": rule.by,
        "why": rule.why,
        "basis": rule.basis,
        "clears_at": _moment(clears, survey.zone),
        "waiting_clears_it": clears != NEVER,
        "not_before": _moment(opens, survey.zone),
        "compared": [_compared(rule_set, survey, c, finding.facts[c.check.fact]) for c in finding.compared],
        "missing": _missing(finding),
    }


def _says(rule_set: RuleSet, survey: Survey, finding: Finding) -> str:
    """The rule's own sentence, filled in, where something is wrong; what decided, where the rule does not apply."""
    if finding.outcome is Outcome.HOLD:
        beside: dict[str, list[AnyLimit]] = {}  # every limit of a fact, so that it stays on its own side of each
        for c in finding.compared:
            beside.setdefault(c.check.fact, []).extend(_named(rule_set, c))
        beside |= {name: [] for name in finding.rule.shows}
        shown = {name: show_value(finding.facts[name].value, near, survey.zone) for name, near in beside.items()}
        limits = {name: limit.written for name, limit in rule_set.limits.items()} | {
            limit.name: show_limit(limit, finding.facts[c.check.fact].value)
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


def _near_limit(rule_set: RuleSet, survey: Survey, finding: Finding, guarded: Finding | None) -> Iterator[Record]:
    """What lies nearer its limit than its uncertainty, and was decided all the same."""
    if guarded is None or finding.outcome in (Outcome.NOT_VERIFIED, Outcome.DOES_NOT_APPLY):
        return
    for simple, wide in zip(finding.compared, guarded.compared, strict=True):
        if wide.verdict is Verdict.NOT_VERIFIED and simple.verdict is not Verdict.NOT_VERIFIED:
            yield _compared(rule_set, survey, wide, guarded.facts[wide.check.fact])


def _missing(finding: Finding) -> list[Record]:
    if finding.outcome is not Outcome.NOT_VERIFIED:
        return []
    wanting = {c.check.fact: None for c in finding.compared if c.verdict is Verdict.NOT_VERIFIED}
    missing = {m: None for name in wanting for m in finding.facts[name].missing}
    return [{"place": m.place, "title": m.title, "lacking": m.lacking} for m in missing]


def _compared(rule_set: RuleSet, survey: Survey, compared: Compared, fact: Fact) -> Record:
    check = compared.check
    limits = _named(rule_set, compared)
    shown, read_at = show_value(fact.value, limits, survey.zone), _read_at(rule_set, survey, fact)
    return {
        "fact": fact.name,
        "fact_title": fact.title,
        "comparison": check.word,
        "measured": f"{shown} ({read_at})" if read_at else shown,
        "required": show_requirement(check, limits, fact.value),
        "limits": list(check.limits),
        "margin": show_margin(check, limits, fact.value),
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
    return [rule_set.limits[name] for name in compared.check.limits]


def _measured(rule_set: RuleSet, zone: ZoneInfo | None, compared: Compared, fact: Fact) -> str:
    return show_value(fact.value, _named(rule_set, compared), zone)


def _value(value: Measured) -> Record:
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
