"""The record of one check: plain data that says everything a report shows, and is all that a report is drawn from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from itertools import zip_longest
from pathlib import PurePath
from typing import Any
from zoneinfo import ZoneInfo

import wallwalk
from wallwalk.climate_record import climate_record, clocks_record
from wallwalk.finding_record import finding_record, moment_record, near_limit_record, subject_name
from wallwalk.judging import Finding, verdict_of
from wallwalk.limits import Limit, WordLimit
from wallwalk.materials_record import materials_record
from wallwalk.moments import iso_moment
from wallwalk.photo_record import photos_record
from wallwalk.rules import RuleSet
from wallwalk.steps import plan_steps
from wallwalk.survey import START, Survey
from wallwalk.timing import EarliestStart, earliest_start
from wallwalk.values import Interval
from wallwalk.wording import show_basis, show_choice, show_value, told_limit
from wallwalk.words import Words, words_in

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
    zone, words = survey.zone, words_in(rule_set.language)
    earliest = earliest_start(rule_set, survey, findings)
    start = survey.answer(START)
    planned = start.value if start is not None and isinstance(start.value, Interval) else None
    steps = () if planned is None else plan_steps(rule_set, survey, findings, planned)
    return {
        "form": FORM,
        "language": rule_set.language,
        "tool": {"name": "wallwalk", "version": wallwalk.__version__},
        "survey": {"file": file_name(survey.file), "sha256": survey.sha256},
        "rule_set": _rule_set(rule_set),
        "heading": heading_of(rule_set, survey),
        "walk": _walk(survey),
        "evaluated_for": _evaluated_for(survey, start_given, words),
        "verdict": verdict_of(findings).value,
        "earliest_start": _earliest(earliest, zone, words),
        "subjects": [
            {
                "about": s.about,
                "name": subject_name(s, words),
                "place": s.place,
                "listed": s.listed,
                "declared": s.declared,
                "counted_by": s.counted_by,
            }
            for s in (survey.space, *survey.others)
        ],
        "limits": list(_limits(rule_set, findings)),
        "climate": climate_record(rule_set, survey, steps),
        "clocks": clocks_record(steps, zone, words),
        "materials": list(materials_record(rule_set, survey)),
        "photos": photos_record(survey, words),
        "findings": [
            {**finding_record(rule_set, survey, f), "near_limit": list(near_limit_record(rule_set, survey, f, other))}
            for f, other in zip_longest(findings, guarded)
        ],
    }


def file_name(file: str) -> str:
    """The file's own name, as text: a byte of it that is no UTF-8 is shown by its number."""
    return PurePath(file).name.encode("utf-8", "backslashreplace").decode("utf-8")


def laid_over(rule_set: RuleSet) -> Record:
    """`overlays` that lie over a rule set, in order, and the `overrides` they made, the looser ones first."""
    words = words_in(rule_set.language)
    return {
        "overlays": [
            {"title": o.title, "file": file_name(o.file), "revision": o.revision, "sha256": o.sha256}
            for o in rule_set.overlays
        ],
        "overrides": [{**asdict(o), "basis": show_basis(o.basis, words)} for o in rule_set.overrides],
    }


def _rule_set(rule_set: RuleSet) -> Record:
    words = words_in(rule_set.language)
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
        "releases": {role: list(parties) for role, parties in rule_set.releases.items()},
        "themes": dict(rule_set.themes),
        "theme_order": list(rule_set.themes),
        **laid_over(rule_set),
        "changes": [
            {"date": c.date, "what": c.what, "why": c.why, "basis": show_basis(c.basis, words)}
            for c in rule_set.changes
        ],
    }


def heading_of(rule_set: RuleSet, survey: Survey) -> Record:
    """What a record says of the project, the space and the walk; empty where the survey does not."""
    walked, words = survey.answer("walk.at"), words_in(rule_set.language)
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
        "walked_at": show_value(walked.value, (), survey.zone, words) if walked else "",
        "walked_by": survey.text("walk.by"),
        "walked_as": show_choice(survey.text("walk.role"), rule_set, words),
        "company": survey.text("walk.company"),
        "time_zone": survey.text("time_zone"),
    }


def _walk(survey: Survey) -> Record | None:
    """When the walk was, first and last moment; None where the survey does not say."""
    walked = survey.answer("walk.at")
    if walked is None or not isinstance(walked.value, Interval):
        return None
    return {"from": iso_moment(walked.value.low, survey.zone), "to": iso_moment(walked.value.high, survey.zone)}


def _evaluated_for(survey: Survey, start_given: str, words: Words) -> Record | None:
    start = survey.answer(START)
    if start is None or not isinstance(start.value, Interval):
        return None
    return {
        "from": iso_moment(start.value.low, survey.zone),
        "to": iso_moment(start.value.high, survey.zone),
        "shown": show_value(start.value, (), survey.zone, words),
        "given_by": start_given,
        "written": start.value.written,
    }


def _earliest(earliest: EarliestStart, zone: ZoneInfo | None, words: Words) -> Record:
    return {
        "at": moment_record(earliest.at, zone, words),
        "until": moment_record(earliest.until, zone, words, down=True),
        "lapses": earliest.lapses and _named_finding(earliest.lapses, words),
        "by_waiting": earliest.by_waiting,
        "open_then": [_named_finding(f, words) for f in earliest.open_then],
    }


def _named_finding(finding: Finding, words: Words) -> Record:
    return {
        "rule": finding.rule.name,
        "title": finding.rule.title,
        "subject": subject_name(finding.subject, words),
        "outcome": finding.outcome.value,
    }


def _limits(rule_set: RuleSet, findings: tuple[Finding, ...]) -> Iterator[Record]:
    users: dict[str, dict[str, None]] = {}
    words = words_in(rule_set.language)
    measured_with = {name for f in findings for c in f.compared for name in rule_set.facts[c.check.fact].limits}
    for finding in findings:
        for compared in finding.compared:
            for name in (*compared.check.limits, *rule_set.facts[compared.check.fact].limits):
                users.setdefault(name, {})[finding.rule.name] = None
    for limit in rule_set.limits.values():
        if limit.name in users:
            yield {
                "name": limit.name,
                "title": limit.title,
                "written": told_limit(limit, rule_set, words).written,
                "kind": limit.kind if isinstance(limit, Limit) else "words",
                "words": list(limit.words) if isinstance(limit, WordLimit) else [],
                "basis": show_basis(limit.basis, words),
                "history": list(limit.history),
                "used_by": list(users[limit.name]),
                "in_measures": limit.name in measured_with,
            }
