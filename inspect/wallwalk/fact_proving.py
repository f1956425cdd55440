"""Proves the facts that a rule set makes with limits: each comes to what its examples say, and each limit is pinned.

An example gives answers by question, and the rows of a climate log where the fact is read from one. Its readings are
taken as read; what an instrument knows is no matter of the fact.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from functools import partial
from typing import Protocol

from wallwalk.answer_reader import read_answer
from wallwalk.answers import Answer, Entries
from wallwalk.climate import Band, Climate, Instant
from wallwalk.climate_reader import asked_of_logs
from wallwalk.errors import Fault, quote
from wallwalk.evidence import combine
from wallwalk.facts import LOGS, Facts
from wallwalk.log_measures import LOGGED
from wallwalk.log_runs import AtInstant, BandRuns, Stay
from wallwalk.moments import find_zone, parse_moment
from wallwalk.quantities import UnitError, parse_quantity
from wallwalk.questions import SPACE, Question
from wallwalk.rules import AS_READ, SIMPLE, FactExample, FactRule, RuleSet
from wallwalk.shape import closest
from wallwalk.survey import Subject, Survey
from wallwalk.units import BASE, in_unit, show_number, with_unit
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval, unknown_interval
from wallwalk.wording import NOT_KNOWN, show_value

_ZONE = find_zone("UTC")
_MORE, _LESS = " or more", " or less"


class Mends(Protocol):
    """A limit moved a step: what it says of itself, and the rule set with it in place."""

    def __call__(self, rule_set: RuleSet, name: str) -> Iterator[tuple[str, RuleSet]]:
        """Each way to move the limit called `name`."""


def fact_faults(rule_set: RuleSet, moves: Mends) -> Iterator[Fault]:
    """Everything that keeps the facts of a rule set from proving themselves."""
    for fact in rule_set.facts.values():
        found = list(_wrong_examples(rule_set, fact))
        yield from found
        for name in fact.limits if not found else ():
            for says, moved in moves(rule_set, name):
                if all(is_as(example_value(moved, fact, e), expected_value(fact, e)) for e in fact.examples):
                    says_so = f"has no example that notices when {says}"
                    yield Fault(fact.file, fact.line, f"facts.{fact.name}", says_so, "add one that comes out otherwise")


def _wrong_examples(rule_set: RuleSet, fact: FactRule) -> Iterator[Fault]:
    for example in fact.examples:
        fault = partial(Fault, fact.file, example.line, f"facts.{fact.name}")
        try:
            found, expected = example_value(rule_set, fact, example), expected_value(fact, example)
        except BadExampleError as error:
            yield fault(f"in {quote(example.name)} {error.found}", error.instead)
            continue
        if not is_as(found, expected):
            shown = show_example_value(dataclasses.replace(found, unit=expected.unit or found.unit))
            says = f"comes to {shown} on {quote(example.name)}, which expects {example.expect}"
            yield fault(says, "mend the example or the fact")


class BadExampleError(ValueError):
    """An example that cannot be tried; what was found, and what to write instead."""

    def __init__(self, found: str, instead: str) -> None:
        super().__init__(found)
        self.found = found
        self.instead = instead


def example_value(rule_set: RuleSet, fact: FactRule, example: FactExample) -> Interval:
    """What `fact` comes to on an example, whose readings are taken as read."""
    rule_set = dataclasses.replace(rule_set, decision=SIMPLE, uncalibrated=AS_READ, facts={fact.name: fact})
    subject, space = _subjects(rule_set, fact, example)
    others = () if subject is space else (subject,)
    survey = Survey("", "", _ZONE, space, others, rule_set.questions)
    survey = dataclasses.replace(survey, climate=_climate(rule_set, survey, example))
    value = Facts(rule_set, survey, subject)[fact.name].value
    if not isinstance(value, Interval):
        raise BadExampleError("is no quantity", "take the examples out; only a quantity is made with limits")
    return value


def expected_value(fact: FactRule, example: FactExample) -> Interval:
    """What an example expects: a quantity, `A or more`, `A or less`, or `not known`."""
    text, kind = example.expect, fact.kinded.kind
    if text == NOT_KNOWN:
        return unknown_interval(kind)
    try:
        value = _read(kind, text.removesuffix(_MORE).removesuffix(_LESS))
    except UnitError as error:
        raise BadExampleError(f"expects {quote(text)}", error.instead) from error
    low = NO_LOW if text.endswith(_LESS) else value.low
    return Interval(kind, low, NO_HIGH if text.endswith(_MORE) else value.high, value.unit)


def is_as(found: Interval, expected: Interval) -> bool:
    """Whether a value is the one expected, whatever units they are written in."""
    return (found.low, found.high) == (expected.low, expected.high)


def show_example_value(value: Interval) -> str:
    """A fact's value as an example expects it: exactly, and so that it can be written there."""
    if value.kind == "moment" or not (isinstance(value.low, Fraction) or isinstance(value.high, Fraction)):
        return show_value(dataclasses.replace(value, written=""), (), _ZONE)
    unit = value.unit or BASE[value.kind]
    ends = [_exactly(end, value.kind, unit) for end in (value.low, value.high)]
    if value.low == value.high:
        return with_unit(ends[0], unit)
    if value.low == NO_LOW:
        return with_unit(ends[1], unit) + _LESS
    return with_unit(ends[0], unit) + _MORE if value.high == NO_HIGH else with_unit(f"{ends[0]} to {ends[1]}", unit)


def _exactly(end: Bound, kind: str, unit: str) -> str:
    """A number as a decimal where it is one of few digits, else as a fraction."""
    exact = Fraction(in_unit(end, kind, unit)) if isinstance(end, Fraction) else None
    if exact is None:
        return ""
    return show_number(exact, 6) if round(exact, 6) == exact else f"{exact.numerator}/{exact.denominator}"


def _read(kind: str, text: str) -> Interval:
    return parse_moment(text, _ZONE) if kind == "moment" else parse_quantity(text, kind, is_difference=True)


def _subjects(rule_set: RuleSet, fact: FactRule, example: FactExample) -> tuple[Subject, Subject]:
    """What the fact is about, and the space, with the answers that the example gives to each."""
    answers: dict[str, dict[str, Answer]] = {SPACE: {}, fact.about: {}}
    listed: dict[str, dict[str, list[dict[str, Answer]]]] = {SPACE: {}, fact.about: {}}
    for path, given in example.given.items():
        question = _question(rule_set, fact.about, path)
        if bool(question.roll) != isinstance(given, tuple):
            instead = "write a list, one answer for each entry" if question.roll else "write one answer"
            raise BadExampleError(f"gives {quote(path)} in another form than the survey asks it", instead)
        read = [_answer(question, text) for text in (given if isinstance(given, tuple) else (given,))]
        if not question.roll:
            answers[question.about][path] = read[0]
            continue
        entries = listed[question.about].setdefault(question.roll, [])
        entries.extend({} for _ in range(len(read) - len(entries)))
        for entry, answer in zip(entries, read, strict=False):
            entry[path.removeprefix(f"{question.roll}.")] = answer
    if example.log is not None:
        listed[SPACE][LOGS] = [{}]
    rolls = {
        about: {roll: Entries(roll, tuple(entries), complete=True, most=len(entries)) for roll, entries in own.items()}
        for about, own in listed.items()
    }
    space = Subject(SPACE, SPACE, "", answers[SPACE], rolls[SPACE])
    if fact.about == SPACE:
        return space, space
    return Subject(fact.about, fact.about, fact.about, answers[fact.about], rolls[fact.about]), space


def _question(rule_set: RuleSet, about: str, path: str) -> Question:
    question = rule_set.questions.find(about, path)
    if question is None:
        known = [p for a, p in rule_set.questions.questions if a in {about, SPACE}]
        raise BadExampleError(f"gives {quote(path)}, which the survey does not ask", closest(path, known))
    return question


def _answer(question: Question, text: str) -> Answer:
    try:
        value = read_answer(question, text, _ZONE)
    except UnitError as error:
        raise BadExampleError(f"gives {quote(question.path)} as {quote(text)}", error.instead) from error
    if value is None:
        instead = f"write one of: {', '.join(question.choices) or 'yes, no'}"
        raise BadExampleError(f"gives {quote(question.path)} as {quote(text)}", instead)
    return Answer(question.path, 0, value)


def _climate(rule_set: RuleSet, survey: Survey, example: FactExample) -> Climate:
    """The example's rows as the only log of the space, which stood there as long as they last."""
    bands, instants = asked_of_logs(survey, rule_set)
    if example.log is None:
        return Climate()
    begins, every = (_one(example.log, key, kind) for key, kind in (("begins", "moment"), ("every", "duration")))
    if begins.low != begins.high or every.low != every.high or every.low <= 0:
        found = f"has a log that begins {quote(example.log['begins'])} and writes every {quote(example.log['every'])}"
        raise BadExampleError(found, "write one moment, and one time over nothing")
    columns = {kind: _column(example.log, kind) for kind in LOGGED}
    count = max(map(len, columns.values()))
    last = begins.low + every.low * max(0, count - 1)
    stay = Stay(begins, Interval("moment", last, last), Fraction(every.low))
    band_runs = {b: BandRuns(b, partial(_cell, b.kind), stay) for b in bands}
    at_instants = {i: AtInstant(i, partial(_cell, i.kind), stay) for i in instants}
    gatherers: tuple[tuple[str, Callable[[Fraction | int, str], None]], ...] = (
        *((b.kind, gatherer.add) for b, gatherer in band_runs.items()),
        *((i.kind, at.add) for i, at in at_instants.items()),
    )
    for row in range(count):
        for kind, add in gatherers:
            if row < len(columns[kind]) and columns[kind][row] != NOT_KNOWN:
                add(Fraction(begins.low) + Fraction(every.low) * row, columns[kind][row])
    shown: dict[Instant, Interval] = {i: at for i, g in at_instants.items() if (at := g.finish()) is not None}
    evidence: dict[Band, object] = {b: combine(b.kind, [g.finish()], complete=True) for b, g in band_runs.items()}
    return Climate(bands=evidence, instants=shown)  # type: ignore[arg-type]


def _one(log: Mapping[str, str | tuple[str, ...]], key: str, kind: str) -> Interval:
    text = log[key]
    try:
        return _read(kind, text if isinstance(text, str) else "")
    except UnitError as error:
        raise BadExampleError(f"has a log whose {key} is {quote(text)}", error.instead) from error


def _column(log: Mapping[str, str | tuple[str, ...]], kind: str) -> tuple[str, ...]:
    column = log.get(kind, ())
    texts = column if isinstance(column, tuple) else (column,)
    for text in texts:
        if text != NOT_KNOWN and _cell(kind, text) is None:
            raise BadExampleError(f"has a log with the {kind} {quote(text)}", "write one quantity, or not known")
    return texts


def _cell(kind: str, text: str) -> tuple[Fraction, Fraction] | None:
    try:
        value = parse_quantity(text, kind)
    except UnitError:
        return None
    if isinstance(value.low, float) or isinstance(value.high, float):
        return None
    return value.low, value.high
