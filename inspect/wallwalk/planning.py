"""The work-back plan as plain data: for a start, the latest moment of each step, and whether it was kept."""

from __future__ import annotations

from wallwalk.climate_record import clocks_record
from wallwalk.finding_record import subject_name
from wallwalk.judging import Finding
from wallwalk.moments import iso_moment, show_moment
from wallwalk.record import Record, file_name, heading_of, laid_over
from wallwalk.rules import RuleSet
from wallwalk.steps import plan_steps
from wallwalk.survey import Survey
from wallwalk.timing import earliest_start
from wallwalk.values import Bound, Interval
from wallwalk.wording import show_value
from wallwalk.words import words_in


def build_plan(rule_set: RuleSet, survey: Survey, findings: tuple[Finding, ...], start: Interval) -> Record:
    """The plan for `start` as plain data: all that a plan's page, calendar or summary is drawn from."""
    earliest = earliest_start(rule_set, survey, findings)
    steps = plan_steps(rule_set, survey, findings, start)
    zone, words = survey.zone, words_in(rule_set.language)

    def moment(seconds: Bound | None) -> Record | None:
        if seconds is None or isinstance(seconds, float):
            return None
        return {"at": iso_moment(seconds, zone), "shown": show_moment(seconds, zone, words)}

    return {
        "language": rule_set.language,
        "heading": heading_of(rule_set, survey),
        "survey": {"file": file_name(survey.file), "sha256": survey.sha256},
        "rule_set": {
            "name": rule_set.name,
            "title": rule_set.title,
            "revision": rule_set.revision,
            **laid_over(rule_set),
        },
        "start": {"from": moment(start.low), "to": moment(start.high)},
        "earliest": moment(earliest.at),
        "clocks": clocks_record(steps, zone, words),
        "steps": [
            {
                "rule": step.rule,
                "title": step.title,
                "subject": subject_name(step.subject, words),
                "listed": step.subject.listed,
                "about": step.subject.about,
                "what": step.what,
                "no_earlier": moment(step.no_earlier),
                "no_later": moment(step.no_later),
                "was": show_value(step.was, (), zone, words),
                "kept": step.kept,
                "from_log": step.from_log,
            }
            for step in steps
        ],
    }
