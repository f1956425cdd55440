"""Facts of one subject of one survey, measured when a rule first needs them, each with how it came about."""

from __future__ import annotations

from dataclasses import dataclass

from wallwalk.errors import quote
from wallwalk.measures import MEASURES, Kinded, blank
from wallwalk.questions import SPACE, Question
from wallwalk.rules import Expression, RuleSet
from wallwalk.survey import NO_ENTRIES, Answer, Answers, Entries, Subject, Survey
from wallwalk.values import Interval, Measured, Series


@dataclass(frozen=True, slots=True)
class Missing:
    """An answer that would be needed and is not there: where it belongs, what it is called, and what is lacking."""

    place: str
    title: str
    lacking: str = "not answered"


@dataclass(frozen=True, slots=True)
class Fact:
    """A measured fact, the answers it came from and the answers it lacked."""

    name: str
    title: str
    kinded: Kinded
    value: Measured
    sources: tuple[Answer, ...] = ()
    missing: tuple[Missing, ...] = ()


class Trail:
    """Collects the answers that a measure meets, and the ones it misses, each once and in order."""

    def __init__(self) -> None:
        self.sources: dict[Answer, None] = {}
        self.missing: dict[Missing, None] = {}


class Facts:
    """The facts of one subject, by name; each is measured once, when first asked for."""

    def __init__(self, rule_set: RuleSet, survey: Survey, subject: Subject) -> None:
        self._rule_set = rule_set
        self._survey = survey
        self._subject = subject
        self._measured: dict[str, Fact] = {}

    def __getitem__(self, name: str) -> Fact:
        fact = self._measured.get(name)
        if fact is None:
            declared = self._rule_set.facts[name]
            trail = Trail()
            value = self.measure(declared.expression, trail)
            fact = Fact(name, declared.title, declared.kinded, value, tuple(trail.sources), tuple(trail.missing))
            self._measured[name] = fact
        return fact

    def measure(self, expression: Expression, trail: Trail) -> Measured:
        """The value of `expression` for this subject; what it met and missed is added to `trail`."""
        if expression.question is not None:
            return self._answer(expression.question, expression.kinded, trail)
        operands = tuple(self.measure(o, trail) for o in expression.operands)
        if expression.scale:
            self._note_other_scales(expression, trail)
        value = MEASURES[expression.word].run(operands, expression.scale)
        if isinstance(value, Series) and not value.items:
            return Series(expression.kinded.kind, (), value.complete, value.most)
        if isinstance(value, Interval) and not value.kind:
            return blank(expression.kinded)
        return value

    def _note_other_scales(self, expression: Expression, trail: Trail) -> None:
        """A reading on another scale lacks one on this: say so, for it would look answered."""
        inner = Trail()
        for operand in expression.operands:
            self.measure(operand, inner)
        for source in inner.sources:
            value = source.value
            if isinstance(value, Interval) and value.kind != expression.kinded.kind:
                lacking = f"{value.written} was read; this limit is on the scale {expression.scale}"
                trail.missing[Missing(source.place, "Reading on another scale", lacking)] = None

    def _owner(self, question: Question) -> Subject:
        return self._subject if question.about == self._subject.about else self._survey.space

    def _answer(self, question: Question, kinded: Kinded, trail: Trail) -> Measured:
        owner = self._owner(question)
        if question.roll:
            return self._series(question, kinded, owner, trail)
        found = owner.answers.get(question.path)
        if found is None:
            trail.missing[Missing(_place(owner, question.path), question.title)] = None
            return blank(kinded)
        trail.sources[found] = None
        return found.value

    def _series(self, question: Question, kinded: Kinded, owner: Subject, trail: Trail) -> Series:
        entries = owner.rolls.get(question.roll, NO_ENTRIES)
        key = question.path.removeprefix(f"{question.roll}.")
        items = []
        for i, answers in enumerate(entries.entries):
            found = answers.get(key)
            if found is None:
                trail.missing[self._missing_in(f"{entries.place}[{i}]", key, question, answers)] = None
                items.append(blank(kinded))
            else:
                trail.sources[found] = None
                items.append(found.value)
        self._note_unlisted(question, owner, entries, trail)
        return Series(kinded.kind, tuple(items), entries.complete, entries.most)

    def _missing_in(self, place: str, key: str, question: Question, answers: Answers) -> Missing:
        """What an entry lacks: its own answer, or that of the entry of another list which it names."""
        through, _, asked = key.rpartition(".")
        if through in answers:  # asked of what this entry names, such as the instrument of a reading
            named = answers.get(f"{through}.name")
            if named is None:
                lacking = f"{quote(answers[through].value.written)} is not in the list of {through}s"
                return Missing(f"{place}.{through}", question.title, lacking)
            return Missing(f"{named.place.removesuffix('.name')}.{asked}", question.title)
        return Missing(f"{place}.{key}", question.title)

    def _note_unlisted(self, question: Question, owner: Subject, entries: Entries, trail: Trail) -> None:
        roll = self._rule_set.questions.rolls[question.about, question.roll]
        if not entries.complete:
            place = _place(owner, roll.counted_by)
            asked = self._rule_set.questions.questions.get((question.about, roll.counted_by))
            title = asked.title if asked else roll.title
            count = len(entries.entries)
            lacking = "not answered" if entries.most is None else f"{entries.most} taken, {count} written down"
            trail.missing[Missing(place, title, lacking)] = None
        elif not entries.entries:
            trail.missing[Missing(_place(owner, roll.path), roll.title, "none taken")] = None


def _place(owner: Subject, path: str) -> str:
    return path if owner.about == SPACE else f"{owner.place}.{path}"
