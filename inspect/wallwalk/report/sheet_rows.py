"""The rows of a walk sheet: questions with the condition under which they are asked, and a place to answer each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from wallwalk.answers import Answers
from wallwalk.asking import Asked, Key, asks
from wallwalk.limits import WordLimit
from wallwalk.question_words import show_follows
from wallwalk.questions import Question
from wallwalk.report.sheet_fields import LONG, Field, Tick, field_of, show_units
from wallwalk.rules import Check, Condition, Group, RuleSet, checks
from wallwalk.survey import Subject
from wallwalk.wording import show_choice
from wallwalk.words import Words

_FEW_WORDS = 2
"""So many words of a condition are told on the sheet; a longer list is `where it applies`."""
_NO_THING = frozenset({"none", "other"})
"""Choices that name nothing by themselves."""


@dataclass(frozen=True, slots=True)
class Row:
    """One question, asked once for the space or once a wall.

    `lead` heads it where it follows a question that does not stand right above; `depth` is how far it is set in below
    one that does. `mark` is the condition that the rules put, if any; `group` that of the survey in which it stands.
    """

    title: str
    kind: str
    group: str
    mark: str
    lead: str
    depth: int
    units: str
    ticks: tuple[Tick, ...]
    fields: tuple[Field, ...]

    @property
    def is_written(self) -> bool:
        """Whether it needs room for a pen."""
        return not self.ticks

    @property
    def is_long(self) -> bool:
        """Whether a sentence may stand there."""
        return self.fields[0].form == LONG

    @property
    def is_numbered(self) -> bool:
        """Whether its words are told once, with numbers, and the numbers are ticked."""
        return bool(self.ticks) and not self.fields[0].is_short


@dataclass(frozen=True, slots=True)
class Place:
    """Where a question is answered: for the space, or for the wall of a `number`. `subject` is what is known of it."""

    prefix: str
    subject: Subject | None
    number: int = 0

    @property
    def title(self) -> str:
        """Which wall it is; nothing for the space."""
        return f"{self.number} {self.subject.name if self.subject else ''}".strip() if self.number else ""

    @property
    def answers(self) -> Answers:
        """What is known of it, by question."""
        return self.subject.answers if self.subject else {}


def rows_of(asked: Iterable[Question], places: tuple[Place, ...], rule_set: RuleSet, words: Words) -> Iterator[Row]:
    """One row for each question, in order, with a field for each of `places`."""
    marks = _marks(rule_set, words)
    open_leads: list[str] = []
    headed = ""
    for question in asked:
        while open_leads and open_leads[-1] != question.follows:
            open_leads.pop()
        astray = bool(question.follows) and not open_leads
        lead = show_follows(question, rule_set.questions, words) if astray and question.follows != headed else ""
        headed = question.follows if astray else ""
        depth = len(open_leads) or int(astray)
        open_leads.append(question.path)
        fields = tuple(_field(question, place, rule_set, words) for place in places)
        mark = "" if astray else marks.get((question.about, question.path), "")
        if len(open_leads) > 1:
            mark = _when(question, rule_set, words)
        kind, group = question.kind.replace(" ", "-"), question.path.rpartition(".")[0]
        yield Row(question.title, kind, group, mark, lead, depth, show_units(question, words), fields[0].ticks, fields)


def _field(question: Question, place: Place, rule_set: RuleSet, words: Words) -> Field:
    return field_of(question, place.prefix + question.path, place.answers, question.path, rule_set, words)


def _when(question: Question, rule_set: RuleSet, words: Words) -> str:
    """What stands before a question that is asked only by what the one above it says."""
    lead = rule_set.questions.questions[question.about, question.follows]
    return words.say("if yes:") if lead.kind == "truth" else words.say("unless none:")


def _marks(rule_set: RuleSet, words: Words) -> Mapping[Key, str]:
    """The condition of each question that no rule needs unless it applies, in few words."""
    asking: dict[Key, list[tuple[str, ...]]] = {}
    always: set[Key] = set()
    for rule in rule_set.rules.values():
        for fact in dict.fromkeys(c.fact for c in checks(rule.require)):
            for key in asks(rule_set, fact):
                asking.setdefault(key, []).append(_few_words(rule.applies_when, rule_set))
                always |= set() if rule.applies_when else {key}
        for fact, told in _deciding(rule.applies_when, (), rule_set):
            for key in asks(rule_set, fact):
                asking.setdefault(key, []).append(told)
                always |= set() if told else {key}
    return {key: _condition(told, rule_set, words) for key, told in asking.items() if key not in always}


def _deciding(
    condition: Condition | None, told: tuple[str, ...], rule_set: RuleSet
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Each fact that decides whether a rule applies, with the words of which a choice beside it has to be one."""
    if isinstance(condition, Check):
        yield condition.fact, told
    elif condition is not None:
        for part in condition.parts:
            others = (p for p in condition.parts if p is not part) if condition.word == "all_of" else ()
            beside = next(filter(None, (_few_words(other, rule_set) for other in others)), ())
            yield from _deciding(part, beside or told, rule_set)


def _condition(asked_of: list[tuple[str, ...]], rule_set: RuleSet, words: Words) -> str:
    told = set(asked_of)
    chosen = told.pop() if len(told) == 1 else ()
    if not chosen:
        return words.say("where it applies")
    return words.say("{what} only", what=", ".join(show_choice(word, rule_set, words) for word in chosen))


def _few_words(condition: Condition | None, rule_set: RuleSet) -> tuple[str, ...]:
    """The words of which a choice has to be one, or a rule never applies; none where it has many, or no such choice."""
    if isinstance(condition, Group) and condition.word == "all_of":
        return next(filter(None, (_few_words(part, rule_set) for part in condition.parts)), ())
    if not isinstance(condition, Check) or condition.word not in {"is", "is_one_of"}:
        return ()
    limits = (rule_set.limits[name] for name in condition.limits)
    listed = (*condition.words, *(word for limit in limits if isinstance(limit, WordLimit) for word in limit.words))
    is_choice = rule_set.facts[condition.fact].kinded.kind == "choice"
    return listed if is_choice and len(listed) <= _FEW_WORDS and not _NO_THING & {*listed} else ()


def asked_once(asked: Iterable[Asked]) -> tuple[Question, ...]:
    """The questions among what is asked, without the lists."""
    return tuple(one.question for one in asked if one.question is not None)
