"""How a survey stands so far: its verdict in one line, and what holds by who must act."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from wallwalk.asking import wanted
from wallwalk.judging import Finding, Outcome, judge, verdict_of
from wallwalk.moments import show_moment
from wallwalk.rules import HOLD_GRADE, RuleSet
from wallwalk.survey import Survey
from wallwalk.timing import EarliestStart, earliest_start
from wallwalk.values import Verdict
from wallwalk.words import Words, fixed

_VERDICTS = {Verdict.PASS: fixed("pass"), Verdict.HOLD: fixed("hold")}


@dataclass(frozen=True, slots=True)
class Standing:
    """A survey once judged: its findings, its earliest start, and what is to be asked as things stand."""

    survey: Survey
    findings: tuple[Finding, ...]
    earliest: EarliestStart
    wanted: Mapping[str, frozenset[str]]

    @property
    def passes(self) -> bool:
        """Whether the work may start."""
        return verdict_of(self.findings) is Verdict.PASS

    @property
    def holds(self) -> tuple[str, ...]:
        """The rules that hold the work."""
        return tuple(dict.fromkeys(f.rule.name for f in self.findings if _holds(f, Outcome.HOLD)))

    @property
    def not_verified(self) -> tuple[str, ...]:
        """The rules that could hold the work and are not verified for something that is written down."""
        own = (f for f in self.findings if f.subject.listed and _holds(f, Outcome.NOT_VERIFIED))
        return tuple(dict.fromkeys(f.rule.name for f in own))


def _holds(finding: Finding, outcome: Outcome) -> bool:
    return finding.rule.grade == HOLD_GRADE and finding.outcome is outcome


def stand(rule_set: RuleSet, survey: Survey) -> Standing:
    """Judge `survey`, its logs and photos read already, by `rule_set`."""
    findings = judge(rule_set, survey)
    return Standing(survey, findings, earliest_start(rule_set, survey, findings), wanted(rule_set, survey, findings))


def show_counts(standing: Standing, left: int, words: Words) -> str:
    """The verdict in one line; `left` is how many questions are still to be asked."""
    verdict = words.tell(_VERDICTS[verdict_of(standing.findings)]).upper()
    parts = (
        words.say("put right {count}", count=len(standing.holds)),
        words.say("not verified {count}", count=len(standing.not_verified)),
        words.say("to ask {count}", count=left),
    )
    return " | ".join((verdict, *parts))


def show_earliest(standing: Standing, words: Words) -> str:
    """Before when no start can be, as far as is known; empty where no clock runs."""
    if standing.earliest.at is None:
        return ""
    return words.say("Not before {when}.", when=show_moment(standing.earliest.at, standing.survey.zone, words))


def show_new_holds(before: Standing, after: Standing, words: Words) -> Iterator[str]:
    """What holds the work now and did not before: the check, and where it does not hold."""
    new = [f for f in after.findings if _holds(f, Outcome.HOLD) and f.rule.name not in before.holds]
    for rule in {f.rule.name: f.rule for f in new}.values():
        yield _required(rule.title, [f for f in new if f.rule is rule], words)


def show_holds(standing: Standing, rule_set: RuleSet, words: Words) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Each party with something to put right, and what: the check, and where it does not hold."""
    held = [f for f in standing.findings if _holds(f, Outcome.HOLD)]
    for party, title in rule_set.parties.items():
        own = [f for f in held if f.rule.by == party]
        rules = {f.rule.name: f.rule for f in own}
        if rules:
            yield (
                title,
                tuple(_required(rule.title, [f for f in own if f.rule is rule], words) for rule in rules.values()),
            )


def _required(title: str, findings: list[Finding], words: Words) -> str:
    where = ", ".join(f.subject.name for f in findings if f.subject.place)
    required = words.say("Required: {check}", check=title)
    return f"{required} ({where})" if where else required
