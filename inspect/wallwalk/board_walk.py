"""One walk as a board counts it: judged from a survey, or as it was filed, in one and the same form."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from typing import Any

from wallwalk.filing import Entry, Filing
from wallwalk.finding_record import missing_of, moment_record, says_of, subject_name
from wallwalk.judging import Finding, Outcome, verdict_of
from wallwalk.moments import find_zone, show_moment
from wallwalk.questions import survey_questions
from wallwalk.record import Record, heading_of, laid_over
from wallwalk.rules import HOLD_GRADE, RuleSet
from wallwalk.signing import open_holds, releases_in_force
from wallwalk.spaces_reader import Place
from wallwalk.survey import START, Survey
from wallwalk.timing import NEVER, OPEN, EarliestStart, clears_at
from wallwalk.values import Bound, Interval
from wallwalk.words import Words, words_in

Part = Mapping[str, Any]

_SOME_TIME = (-math.inf, math.inf)
"""When a walk was, where nobody says: some time."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One answer that is lacking: what is to be found out, and whether of a wall or of the space."""

    title: str
    of_wall: bool


@dataclass(frozen=True, slots=True)
class Open:
    """One check that keeps a space from being ready. `rules` is the rule set that asks for it; `where` the wall, empty
    for the space; `find_out` what to find out and write down; `clears` when waiting alone clears it, else None;
    `released` who released it over, else None.
    """

    rules: str
    rule: str
    title: str
    theme: str
    theme_title: str
    by: str
    party: str
    outcome: str
    where: str
    says: str
    do: str
    find_out: tuple[Asked, ...] = ()
    clears: Part | None = None
    released: Part | None = None


@dataclass(frozen=True, slots=True)
class Walk:
    """One walk of one space. `at` is when it was, from first to last possible moment (endless where nobody says).

    `survey_sha256`: the survey it was made from. `entries`: what was signed on it, None where it is no filed record.
    `earliest`: `at`, from when, and `until`, up to when the clocks allow a start; what `lapses` then; and whether
    nothing but time is wanting (`by_waiting`).
    """

    file: str
    survey_sha256: str
    place: Place
    at: tuple[Bound, Bound]
    walked: str
    walked_by: str
    start: Part | None
    verdict: str
    earliest: Part
    open: tuple[Open, ...]
    rules: Part
    entries: tuple[Entry, ...] | None = None


def walk_of_survey(
    survey: Survey, rule_set: RuleSet, findings: tuple[Finding, ...], earliest: EarliestStart, file: str
) -> Walk:
    """The walk that `survey` tells of, as `findings` judge it. `file` is where it lies in the board's folder."""
    words, head = words_in(rule_set.language), heading_of(rule_set, survey)
    walked, start = survey.answer("walk.at"), survey.answer(START)
    until = earliest.until
    return Walk(
        file=file,
        survey_sha256=survey.sha256,
        place=place_of(head),
        at=(walked.value.low, walked.value.high) if walked and isinstance(walked.value, Interval) else _SOME_TIME,
        walked=head["walked_at"],
        walked_by=head["walked_by"],
        start=moment_record(start.value.low, survey.zone, words)
        if start is not None and isinstance(start.value, Interval)
        else None,
        verdict=verdict_of(findings).value,
        earliest={
            "at": moment_record(earliest.at, survey.zone, words),
            "until": moment_record(Fraction(until) // 1 if isinstance(until, Fraction) else None, survey.zone, words),
            "lapses": earliest.lapses.rule.title if earliest.lapses else "",
            "by_waiting": earliest.by_waiting and not earliest.open_then,
        },
        open=tuple(_open_of(rule_set, survey, f, words) for f in findings if _is_open(f)),
        rules={
            "name": rule_set.name,
            "title": rule_set.title,
            "revision": rule_set.revision,
            "sha256": rule_set.sha256,
            **laid_over(rule_set),
        },
    )


def walk_of_filing(filing: Filing, file: str) -> Walk:
    """The walk that a filed record tells of, as it was filed, with the releases that are signed on it."""
    record, rules = filing.record, filing.record["rule_set"]
    released = {(f["rule"], f["subject"]): _release(record, e) for f, e in releases_in_force(record, filing.entries)}
    start, walk, earliest = record["evaluated_for"], record["walk"], record["earliest_start"]
    return Walk(
        file=file,
        survey_sha256=record["survey"]["sha256"],
        place=place_of(record["heading"]),
        at=(_seconds(walk["from"]), _seconds(walk["to"])) if walk else _SOME_TIME,
        walked=record["heading"]["walked_at"],
        walked_by=record["heading"]["walked_by"],
        start={"at": start["from"], "shown": start["shown"]} if start else None,
        verdict=record["verdict"],
        earliest={
            "at": earliest["at"],
            "until": earliest["until"],
            "lapses": earliest["lapses"]["title"] if earliest["lapses"] else "",
            "by_waiting": earliest["by_waiting"] and not earliest["open_then"],
        },
        open=tuple(_filed_open(record, f, released.get((f["rule"], f["subject"]))) for f in open_holds(record)),
        rules={
            **{key: rules[key] for key in ("name", "title", "revision", "sha256", "overlays", "overrides")},
        },
        entries=filing.entries,
    )


def place_of(head: Record) -> Place:
    """The place that the heading of a record names."""
    return Place(head["project"], head["space"], head["level"], head["area_covered"])


def _is_open(finding: Finding) -> bool:
    return finding.rule.grade == HOLD_GRADE and finding.outcome in OPEN


def _open_of(rule_set: RuleSet, survey: Survey, finding: Finding, words: Words) -> Open:
    rule, subject = finding.rule, finding.subject
    clears = clears_at(rule_set, survey, finding) if finding.outcome is Outcome.HOLD else NEVER
    return Open(
        rules=rule_set.name,
        rule=rule.name,
        title=rule.title,
        theme=rule.theme,
        theme_title=rule_set.themes[rule.theme],
        by=rule.by,
        party=rule_set.parties[rule.by],
        outcome=finding.outcome.value,
        where="" if subject.about == "space" else subject_name(subject, words),
        says=says_of(rule_set, survey, finding),
        do=rule.put_right,
        find_out=_asked(missing_of(finding, words), subject.place),
        clears=moment_record(clears, survey.zone, words),
    )


def _filed_open(record: Record, finding: Part, released: Part | None) -> Open:
    rules = record["rule_set"]
    return Open(
        rules=rules["name"],
        rule=finding["rule"],
        title=finding["title"],
        theme=finding["theme"],
        theme_title=rules["themes"].get(finding["theme"], finding["theme"]),
        by=finding["by"],
        party=rules["parties"].get(finding["by"], finding["by"]),
        outcome=finding["outcome"],
        where="" if finding["about"] == "space" else finding["subject"],
        says=finding["says"],
        do=finding["put_right"],
        find_out=_asked(finding["missing"], _place_of_subject(record, finding)),
        clears=finding["clears_at"] if finding["waiting_clears_it"] and finding["outcome"] == "hold" else None,
        released=released,
    )


def _asked(missing: Iterable[Part], place: str) -> tuple[Asked, ...]:
    return tuple(dict.fromkeys(Asked(one["title"], bool(place) and one["place"].startswith(place)) for one in missing))


def _place_of_subject(record: Record, finding: Part) -> str:
    named = (finding["about"], finding["subject"])
    return next((str(s["place"]) for s in record["subjects"] if (s["about"], s["name"]) == named), "")


def _release(record: Record, entry: Entry) -> Part:
    """Who released a hold over, in which role, when and why."""
    words = words_in(record["language"])
    zone = find_zone(record["heading"]["time_zone"])
    return {
        "name": entry["name"],
        "role": survey_questions(record["language"]).words.get(entry["role"], entry["role"]),
        "at": entry["at"],
        "shown": show_moment(_seconds(entry["at"]), zone, words),
        "remark": entry["remark"],
    }


def _seconds(moment: str) -> Fraction:
    return Fraction(int(datetime.fromisoformat(moment).timestamp()))


def alike(opened: tuple[Open, ...]) -> Iterator[tuple[Open, tuple[str, ...]]]:
    """Checks of which the same is said, once each, with the walls they are said of; the space is no wall."""
    together: dict[tuple[object, ...], tuple[Open, list[str]]] = {}
    for one in opened:
        clears, released = (part["at"] if part else "" for part in (one.clears, one.released))
        key = (one.rules, one.rule, one.outcome, one.says, one.find_out, clears, released)
        together.setdefault(key, (one, []))[1].append(one.where)
    for one, where in together.values():
        yield one, tuple(filter(None, where))
