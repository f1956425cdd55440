"""What one line says of a survey that was checked among many: the verdict, how much holds it, when it may start."""

from __future__ import annotations

from dataclasses import dataclass

from wallwalk.finding_record import moment_record
from wallwalk.judging import Finding, Outcome, verdict_of
from wallwalk.record import Record, laid_over
from wallwalk.rules import HOLD_GRADE, RuleSet
from wallwalk.survey import Survey
from wallwalk.timing import earliest_start
from wallwalk.values import Verdict
from wallwalk.words import words_in


@dataclass(frozen=True, slots=True)
class Summary:
    """One check in brief. Only rules that can hold the work are counted, once for each subject.

    `at` is the earliest start as shown, empty where no clock runs. `only_time`: nothing but time is wanting until then,
    and nothing lapses by it. `laid`: the overlays and what they changed, as `laid_over` tells it.
    """

    verdict: Verdict
    holds: int
    not_verified: int
    at: str
    only_time: bool
    laid: Record


def summarize(rule_set: RuleSet, survey: Survey, findings: tuple[Finding, ...]) -> Summary:
    """The findings of `survey` in brief, without making the record of them."""
    outcomes = [f.outcome for f in findings if f.rule.grade == HOLD_GRADE]
    earliest = earliest_start(rule_set, survey, findings)
    at = moment_record(earliest.at, survey.zone, words_in(rule_set.language))
    return Summary(
        verdict_of(findings),
        outcomes.count(Outcome.HOLD),
        outcomes.count(Outcome.NOT_VERIFIED),
        at["shown"] if at else "",
        earliest.by_waiting and not earliest.open_then,
        laid_over(rule_set),
    )


def summary_of(record: Record) -> Summary:
    """A record in brief: the same as `summarize` gives of its findings."""
    outcomes = [f["outcome"] for f in record["findings"] if f["grade"] == HOLD_GRADE]
    earliest = record["earliest_start"]
    return Summary(
        Verdict(record["verdict"]),
        outcomes.count(Outcome.HOLD),
        outcomes.count(Outcome.NOT_VERIFIED),
        earliest["at"]["shown"] if earliest["at"] else "",
        earliest["by_waiting"] and not earliest["open_then"],
        {part: record["rule_set"][part] for part in ("overlays", "overrides")},
    )
