"""What a record says of climate logs and clocks: the files, what of them was not used, and what is drawn of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from zoneinfo import ZoneInfo

from wallwalk.climate import ClimateLog, Trace
from wallwalk.finding_record import Part, moment_record, subject_name
from wallwalk.limits import Limit
from wallwalk.moments import show_moment, show_moments
from wallwalk.rules import Expression, RuleSet
from wallwalk.steps import Step
from wallwalk.survey import START, Survey
from wallwalk.units import in_unit
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval
from wallwalk.words import Words, words_in

_PLACES = 3
"""Decimals of what is drawn; no verdict hangs on them."""


def climate_record(rule_set: RuleSet, survey: Survey, steps: Iterable[Step]) -> Part | None:
    """The logs, their pictures and the moments marked in them; None where the survey names no log."""
    logs, words = survey.climate.logs, words_in(rule_set.language)
    if not logs:
        return None
    return {
        "logs": [_log(log, survey.zone, words) for log in logs],
        "pictures": [_picture(rule_set, log, trace) for log in logs for trace in log.traces.values()],
        "marks": list(_marks(survey, steps, words)),
    }


def clocks_record(steps: Iterable[Step], zone: ZoneInfo | None, words: Words) -> list[Part]:
    """Each clock that has to be through by the start: when it began, when it is through, and whether in time."""
    return [
        {
            "what": step.what,
            "subject": subject_name(step.subject, words),
            "needs": step.needs,
            "began": _ends(step.was),
            "began_shown": _shown(step.was, zone, words),
            "through": _ends(step.through),
            "through_shown": _shown(step.through, zone, words),
            "kept": step.kept,
        }
        for step in steps
        if step.lasts > 0 and step.subject.listed
    ]


def _log(log: ClimateLog, zone: ZoneInfo | None, words: Words) -> Part:
    return {
        "place": log.place,
        "file": log.file,
        "sha256": log.sha256,
        "stood": log.stood,
        "instrument": log.instrument,
        "every": log.every,
        "rows": log.rows,
        "first": moment_record(log.first, zone, words),
        "last": moment_record(log.last, zone, words),
        "columns": dict(log.columns),
        "notes": [
            {"what": "; ".join(map(words.tell, note.what.split("; "))), "lines": list(note.lines), "count": note.count}
            for note in log.notes
        ],
    }


def _picture(rule_set: RuleSet, log: ClimateLog, trace: Trace) -> Part:
    first, last = trace.points[0][0], trace.points[-1][0]
    return {
        "quantity": trace.kind,
        "log": log.file,
        "place": log.stood,
        "unit": trace.unit,
        "band": _band(rule_set, trace),
        "points": [[_second(at), _number(low), _number(high)] for at, low, high in trace.points],
        "holes": [
            _span(max(begin, first), min(end, last)) for begin, end in log.unseen if begin < last and end > first
        ],
        "out": [_span(begin, end) for begin, end in log.outside.get(trace.kind, ())],
    }


def _band(rule_set: RuleSet, trace: Trace) -> Part | None:
    """The band that the rule set holds this quantity of a log against."""
    for part in _bands(rule_set, trace.kind):
        low, high = (rule_set.limits[name] for operand in part.operands[:2] for name in operand.limits[:1])
        if isinstance(low, Limit) and isinstance(high, Limit):
            return {
                "low": _number(in_unit(low.amount, low.kind, trace.unit)),
                "high": _number(in_unit(high.amount, high.kind, trace.unit)),
                "low_written": low.written,
                "high_written": high.written,
            }
    return None


def _bands(rule_set: RuleSet, kind: str) -> Iterator[Expression]:
    for fact in rule_set.facts.values():
        for part in fact.expression.parts():
            if part.picked == kind and part.word != "logged_at" and all(o.limits for o in part.operands[:2]):
                yield part


def _marks(survey: Survey, steps: Iterable[Step], words: Words) -> Iterator[Part]:
    start, walked = survey.answer(START), survey.answer("walk.at")
    if start is not None and isinstance(start.value, Interval):
        yield _mark(start.value.low, words.say("Planned start"), "start", survey.zone, words)
    if walked is not None and isinstance(walked.value, Interval):
        yield _mark(walked.value.low, words.say("Walk"), "walk", survey.zone, words)
    for step in steps:
        if step.from_log and step.no_later < NO_HIGH:  # air that may not be held for longer has no such moment
            what = words.say("In band from here: {needs}", needs=step.needs)
            yield _mark(step.no_later, what, "window", survey.zone, words)
        elif step.lasts > 0 and step.was.low == step.was.high:
            whose = step.what if step.subject.about == "space" else f"{subject_name(step.subject, words)}: {step.what}"
            yield _mark(step.was.low, whose, "clock", survey.zone, words)


def _mark(at: Bound, what: str, kind: str, zone: ZoneInfo | None, words: Words) -> Part:
    return {"at": _second(at), "shown": show_moment(at, zone, words), "what": what, "kind": kind}


def _drawn(value: Interval) -> Interval:
    """What is drawn of a moment of which only the latest is known: that one."""
    return Interval("moment", value.high, value.high) if value.low == NO_LOW else value


def _ends(moment: Interval) -> list[int] | None:
    value = _drawn(moment)
    return _span(value.low, value.high) if value.is_known else None


def _shown(moment: Interval, zone: ZoneInfo | None, words: Words) -> str:
    value = _drawn(moment)
    if not value.is_known:
        return ""
    shown = show_moments(value.low, value.high, zone, words)
    return words.say("by {when}", when=shown) if moment.low == NO_LOW else shown


def _span(begin: Bound, end: Bound) -> list[int]:
    return [_second(begin), _second(end)]


def _second(at: Bound) -> int:
    return int(at // 1)


def _number(amount: Bound) -> float:
    return float(round(Fraction(amount), _PLACES))
