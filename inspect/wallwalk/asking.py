"""Asking only what matters: what a rule set asks, theme by theme, and which of it still counts for a survey so far.

Nothing is judged here. A rule that does not apply asks nothing more; one of which that is open asks that first; of
`any_of`, what comes after a part that passes is not asked.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import takewhile

from wallwalk.comparisons import all_of, any_of
from wallwalk.facts import LOGS
from wallwalk.judging import Compared, Finding, Outcome
from wallwalk.questions import SPACE, Question, Questions
from wallwalk.rules import Check, Condition, Expression, RuleSet, checks
from wallwalk.survey import START, Subject, Survey
from wallwalk.values import Verdict
from wallwalk.words import words_in

JOB, PHOTOS = "job", "photos"
_JOB_GROUPS = ("project", "space", "walk", "time_zone", START)
"""What stands at the head of every survey, whether a rule reads it or not."""

Key = tuple[str, str]
"""The kind of subject, and the path of a question or of a list."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One thing to ask of a space or of each wall: a `question`, or a list of which each entry has those of `entry`.

    Paths inside a list begin with that of the list. `counted_by`: the question that says how many entries there are.
    """

    about: str
    path: str
    title: str
    question: Question | None
    entry: tuple[Question, ...] = ()
    counted_by: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """What is asked together, under a theme's title: `job`, a theme of the rule set, or `photos`."""

    name: str
    title: str
    asked: tuple[Asked, ...]


def sections(rule_set: RuleSet) -> tuple[Section, ...]:
    """Everything the rule set asks, each thing once, in the schema's order below its theme.

    What the survey keeps in one group is asked together, under the theme whose rules need most of it.
    """
    words, questions = words_in(rule_set.language), rule_set.questions
    titles = {JOB: words.say("The job and the walk"), **rule_set.themes, PHOTOS: words.say("Photos")}
    themes = {**_themes(rule_set), **dict.fromkeys(_job(questions), JOB), (SPACE, PHOTOS): PHOTOS}
    placed = [(key, themes[key]) for key in _schema_order(questions) if key in themes]
    found = {name: tuple(_asked(questions, key) for key, theme in placed if theme == name) for name in titles}
    return tuple(Section(name, titles[name], asked) for name, asked in found.items() if asked)


def _themes(rule_set: RuleSet) -> dict[Key, str]:
    """The theme under which each thing that any rule needs is asked."""
    needs: dict[Key, Counter[str]] = defaultdict(Counter)
    asked: dict[Key, None] = {}
    for rule in rule_set.rules.values():
        compared = ({c.fact: None for c in checks(condition)} for condition in (rule.require, rule.applies_when))
        for facts, weight in zip((*compared, rule.shows), (1000, 1, 1), strict=True):
            for fact in facts:
                for key in asks(rule_set, fact):
                    asked[key] = None
                    needs[_group(key)][rule.theme] += weight
    return {key: _most(needs[_group(key)], rule_set) for key in asked}


def _most(counted: Counter[str], rule_set: RuleSet) -> str:
    return max(rule_set.themes, key=counted.__getitem__)  # the first of equals


def _group(key: Key) -> Key:
    about, path = key
    return about, path.partition(".")[0]


def asks(rule_set: RuleSet, fact: str) -> tuple[Key, ...]:
    """The questions and lists that a fact is measured from, each once, with those that they follow or refer to."""
    found: dict[Key, None] = {}
    for part in rule_set.facts[fact].expression.parts():
        found.update(dict.fromkeys(_asked_by(rule_set.questions, part)))
    return tuple(found)


def wanted(rule_set: RuleSet, survey: Survey, findings: Iterable[Finding]) -> Mapping[str, frozenset[str]]:
    """By the place of each subject (empty for the space), the paths of what is to be asked of it as things stand."""
    found: dict[str, set[str]] = {
        "": {path for about, path in _job(rule_set.questions) if about == SPACE} | {PHOTOS},
        **{s.place: {path for about, path in _job(rule_set.questions) if about == s.about} for s in _listed(survey)},
    }
    for finding in findings:
        for fact in _facts_open(finding):
            for about, path in asks(rule_set, fact):
                for subject in _owners(survey, finding.subject, about):
                    if _is_open(rule_set.questions, subject, path):
                        found[subject.place if subject.about != SPACE else ""].add(path)
        if not finding.subject.listed:
            found[""].add(finding.subject.counted_by)
    return {place: frozenset(paths) for place, paths in found.items()}


def _listed(survey: Survey) -> Iterator[Subject]:
    return (s for s in survey.others if s.listed)


def _owners(survey: Survey, subject: Subject, about: str) -> Iterator[Subject]:
    """Whom a question about `about` is put to, when a rule about `subject` needs it."""
    if about == SPACE:
        yield survey.space
    elif subject.about == about:
        yield from (subject,) if subject.listed else ()
    else:
        yield from (s for s in _listed(survey) if s.about == about)


def _is_open(questions: Questions, subject: Subject, path: str) -> bool:
    """Whether a question may still be asked: what it follows, if anything, has not been answered with no."""
    question = questions.questions.get((subject.about, path))
    if question is None or not question.follows:
        return True
    lead = subject.answers.get(question.follows)
    return lead is None or lead.value.written not in {"no", "none"}


# -- which facts of a finding are still to be asked for ---------------------------------------------------------------


def _facts_open(finding: Finding) -> Iterator[str]:
    compared = iter(finding.compared)
    if finding.rule.applies_when is not None:
        applies, facts = _walk(finding.rule.applies_when, compared, short=True)
        yield from facts
        if applies is not Verdict.PASS:
            return
    yield from _walk(finding.rule.require, compared, short=False)[1]
    if finding.outcome is Outcome.HOLD:  # what its sentence shows
        yield from finding.rule.shows


def _walk(condition: Condition, compared: Iterator[Compared], *, short: bool) -> tuple[Verdict, list[str]]:
    """The verdict of a condition, and the facts it asks for. `short`: after a part that fails, no further one."""
    if isinstance(condition, Check):
        return next(compared).verdict, [condition.fact]
    parts = [_walk(part, compared, short=short) for part in condition.parts]
    if condition.word == "any_of":
        settles, verdict = Verdict.PASS, any_of(tuple(v for v, _ in parts))
    else:
        settles, verdict = Verdict.HOLD, all_of(tuple(v for v, _ in parts))
    before = len(list(takewhile(lambda part: part[0] is not settles, parts)))
    counts = parts[: before + 1] if short or condition.word == "any_of" else parts
    return verdict, [fact for _, facts in counts for fact in facts]


# -- from measures to questions ---------------------------------------------------------------------------------------


def _asked_by(questions: Questions, part: Expression) -> Iterator[Key]:
    if part.is_logged:
        yield SPACE, LOGS
    if part.question is not None:
        yield from _with_support(questions, part.question)


def _with_support(questions: Questions, question: Question) -> Iterator[Key]:
    """The question as the survey asks it: of each wall where it is seen from the space, the list where it is in one."""
    roll = questions.rolls.get((question.about, question.roll))
    if roll is not None and roll.subject:
        asked = questions.questions[roll.subject, question.path.removeprefix(f"{roll.path}.")]
        yield from _with_support(questions, asked)
    elif roll is not None:
        yield question.about, roll.path
        entry = _entry(questions, question.about, roll.path)
        yield from {(SPACE, asked.refers_to): None for asked in entry if asked.refers_to}
    else:
        if question.follows:
            yield from _with_support(questions, questions.questions[question.about, question.follows])
        yield question.about, question.path


def _entry(questions: Questions, about: str, roll: str) -> tuple[Question, ...]:
    """What one entry of a list is asked, without what is only seen through another list."""
    asked = [q for q in questions.questions.values() if (q.about, q.roll) == (about, roll)]
    borrowed = tuple(f"{q.path}." for q in asked if q.refers_to)
    return tuple(q for q in asked if not q.path.startswith(borrowed))


def _asked(questions: Questions, key: Key) -> Asked:
    roll = questions.rolls.get(key)
    if roll is not None:
        return Asked(*key, roll.title, None, _entry(questions, *key), roll.counted_by)
    question = questions.questions[key]
    return Asked(*key, question.title, question)


def always_asked(questions: Questions) -> tuple[Key, ...]:
    """What is asked of any survey, whatever it says: the job, and the photos."""
    return (*_job(questions), (SPACE, PHOTOS))


def _job(questions: Questions) -> tuple[Key, ...]:
    """Who, what, where and when; the instruments, that readings name; the name, size and notes of each wall."""
    counts = ((r.about, r.counted_by) for r in questions.rolls.values() if r.subject)
    heads = ((q.about, q.path) for q in questions.questions.values() if not q.roll and _is_head(q))
    lists = {(SPACE, q.refers_to) for q in questions.questions.values() if q.refers_to}
    named = sorted(key for key in lists if not questions.rolls[key].subject)
    return (*heads, *counts, *named)


def _is_head(question: Question) -> bool:
    if question.about == SPACE:
        return question.path.partition(".")[0] in _JOB_GROUPS
    return question.over_zero or (question.kind == "text" and "." not in question.path)


def _schema_order(questions: Questions) -> Iterator[Key]:
    """Every question and list, in the order of the schema: the space first, then what is asked of each wall."""
    for about in questions.subjects:
        yield from _ordered(questions, questions.schema["properties"], about)


def _ordered(questions: Questions, properties: Mapping[str, Mapping[str, object]], about: str) -> Iterator[Key]:
    if about != SPACE:
        roll = next(r for r in questions.rolls.values() if r.subject == about)
        properties = properties[roll.path]["items"]["properties"]  # type: ignore[index]
    yield from _in_order(properties, about, "")


def _in_order(properties: Mapping[str, Mapping[str, object]], about: str, prefix: str) -> Iterator[Key]:
    for name, part in properties.items():
        if part["type"] == "object":
            yield from _in_order(part["properties"], about, f"{prefix}{name}.")  # type: ignore[arg-type]
        else:
            yield about, f"{prefix}{name}"
