"""A comparison, laid out for reading: what was relaxed first, then what holds, what is open and what is cleared."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from wallwalk import comparing
from wallwalk.record import Record
from wallwalk.report.comparison_groups import CAUTIONS, DOUBTFUL, HOLDS, RELAXED, Drawing, Group, Reading
from wallwalk.report.comparison_words import can_hold, first_notices, group_of, is_open_ever, notices, summary_of
from wallwalk.report.items import Around
from wallwalk.report.overrides import WAYS
from wallwalk.report.view import VERDICTS, place_of, running_of, start_line
from wallwalk.rules import LAXER
from wallwalk.words import Words, words_in

Part = Any
"""A part of a comparison."""


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two walks: its verdict, who walked when, which start it was checked for, and what it was made from."""

    verdict: str
    walked: str
    start: str
    earliest: str
    rules: str
    survey: str
    survey_sha256: str
    tool: str


@dataclass(frozen=True, slots=True)
class LimitRow:
    """One limit that was changed, and which way; `lax` says that it lets more pass, or may."""

    title: str
    way: str
    lax: bool
    was: str
    was_basis: str
    now: str
    now_basis: str
    because: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ComparisonView:
    """Everything that is shown of a comparison, in order."""

    words: Words
    project: str
    place: str
    running: tuple[str, str]
    rules: str
    passes: bool
    headline: str
    first: tuple[str, ...]
    relaxed: tuple[Group, ...]
    doubtful: tuple[Group, ...]
    notices: tuple[str, ...]
    then: Side
    now: Side
    tally: tuple[tuple[str, str], ...]
    groups: tuple[Group, ...]
    cautions: tuple[Group, ...]
    limits: tuple[LimitRow, ...]
    readings: tuple[Reading, ...]
    steady: tuple[str, ...]


def lay_out_comparison(comparison: Record) -> ComparisonView:
    """Lay out a comparison for reading, in the language of the later record."""
    then, now, findings = comparison["then"], comparison["now"], comparison["findings"]
    words = words_in(now["language"])
    drawing = Drawing(comparison, {"then": _around(then, words), "now": _around(now, words)}, words)
    relaxed = [f for f in findings if f["relaxed"]]
    others = [f for f in findings if not f["relaxed"] and f["subject"] is not None and is_open_ever(f)]
    return ComparisonView(
        words=words,
        project=now["heading"]["project"] or words.say("Project not stated"),
        place=place_of(now["heading"], words),
        running=running_of(now["heading"], words),
        rules=now["rule_set"]["title"],
        passes=now["verdict"] == "pass",
        headline=_headline(comparison, words),
        first=tuple(first_notices(comparison, words)),
        relaxed=tuple(drawing.groups((RELAXED,), relaxed)),
        doubtful=tuple(
            drawing.groups(DOUBTFUL, [f for f in others if can_hold(f) and group_of(f) != comparing.CLEARED])
        ),
        notices=tuple(notices(comparison, words)),
        then=_side(then, words),
        now=_side(now, words),
        tally=tuple(summary_of(findings, words)),
        groups=tuple(drawing.groups(HOLDS, [f for f in others if can_hold(f) and not f["weaker"]])),
        cautions=tuple(drawing.groups(CAUTIONS, [f for f in others if not can_hold(f)])),
        limits=tuple(_limit_rows(comparison, words)),
        readings=tuple(drawing.readings(f for f in findings if f["change"] == comparing.NEVER_HELD)),
        steady=tuple(_steady(findings, words)),
    )


def _around(record: Record, words: Words) -> Around:
    walls = tuple(s["name"] for s in record["subjects"] if s["listed"] and s["about"] != "space")
    return Around(walls, {(s["about"], s["name"]): s["place"] for s in record["subjects"]}, words)


def _headline(comparison: Record, words: Words) -> str:
    if comparing.is_unchanged(comparison):
        return words.say("Nothing changed between the two.")
    was, now = (words.tell(VERDICTS[comparison[side]["verdict"]]).upper() for side in ("then", "now"))
    return words.say("{was} on the earlier walk, {now} on the later one.", was=was, now=now)


def _steady(findings: Iterable[Part], words: Words) -> Iterator[str]:
    """What there is nothing to say of: checks that hold on neither walk, cautions that stand on both."""
    never = cautions = 0
    for finding in findings:
        never += not (is_open_ever(finding) and can_hold(finding))
        cautions += not can_hold(finding) and finding["change"] in (comparing.STILL_HOLDS, comparing.STILL_OPEN)
    yield words.say_many(
        "{count} check holds the work on neither walk.", "{count} checks hold the work on neither walk.", never
    )
    if cautions:
        yield words.say_many("{count} caution stands as before.", "{count} cautions stand as before.", cautions)


def _side(record: Record, words: Words) -> Side:
    head, rule_set = record["heading"], record["rule_set"]
    walked = words.say(
        "Walked {when} by {whom}",
        when=head["walked_at"] or words.say("at a time not stated"),
        whom=head["walked_by"] or words.say("a person not named"),
    )
    rules = {key: rule_set[key] for key in ("title", "name", "revision")}
    return Side(
        verdict=words.tell(VERDICTS[record["verdict"]]).upper(),
        walked=f"{walked}.",
        start=start_line(record, words),
        earliest=_earliest(record, words),
        rules=words.say("{title} ({name}), revision {revision}", **rules),
        survey=record["survey"]["file"],
        survey_sha256=record["survey"]["sha256"],
        tool=f"{record['tool']['name']} {record['tool']['version']}",
    )


def _earliest(record: Record, words: Words) -> str:
    earliest = record["earliest_start"]
    at = earliest["at"]["shown"] if earliest["at"] else ""
    if record["verdict"] == "pass":
        return words.say("Start no earlier than {when}.", when=at) if at else words.say("No clock holds the start.")
    if earliest["by_waiting"] and at:
        return words.say("Earliest honest start: {when}. Only time is wanting.", when=at)
    if at:
        return words.say("Not before {when}, and not before what holds is put right.", when=at)
    return words.say("No start can be named: waiting does not cure what holds.")


def _limit_rows(comparison: Record, words: Words) -> Iterator[LimitRow]:
    for limit in comparison["limits"]:
        yield LimitRow(
            title=limit["title"],
            way=words.tell(WAYS[limit["way"]]),
            lax=limit["way"] in LAXER,
            was=limit["was"]["written"],
            was_basis=limit["was"]["basis"],
            now=limit["now"]["written"],
            now_basis=limit["now"]["basis"],
            because=tuple(limit["because"]),
        )
