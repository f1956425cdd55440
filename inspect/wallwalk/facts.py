"""Facts of one subject of one survey, measured when a rule first needs them, each with how it came about."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from wallwalk.answers import NO_ENTRIES, NOT_ANSWERED, Answer, Answers, Entries, Missing
from wallwalk.climate import Band, Instant
from wallwalk.errors import quote
from wallwalk.evidence import Evidence, no_evidence
from wallwalk.limits import Limit
from wallwalk.measure import Kinded, Operand, blank
from wallwalk.measures import MEASURES
from wallwalk.moments import show_moments
from wallwalk.quantities import states_uncertainty, widened
from wallwalk.questions import SPACE, Question
from wallwalk.rules import GUARDED, UNKNOWN, Expression, RuleSet
from wallwalk.spans import Span, length, within
from wallwalk.survey import Subject, Survey
from wallwalk.units import MOISTURE
from wallwalk.values import Interval, Measured, Series, Value, unknown_interval
from wallwalk.words import fixed, words_in

LOGS = "climate_log"
"""The list of a survey that names its climate logs."""

_LOOKED_BACK = 48 * 3600
_HIDDEN_NAMED = 3
_HIDDEN, _PARTLY_HIDDEN = fixed("no log shows {when}"), fixed("no log shows all of {when}")


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

    def meet(self, answer: Answer) -> None:
        """Notes an answer that a measure took."""
        self.sources.setdefault(answer)

    def miss(self, missing: Missing) -> None:
        """Notes an answer that a measure lacked."""
        self.missing.setdefault(missing)


class Facts:
    """The facts of one subject, by name; each is measured once, when first asked for."""

    def __init__(self, rule_set: RuleSet, survey: Survey, subject: Subject) -> None:
        self._rule_set = rule_set
        self._survey = survey
        self._subject = subject
        self._measured: dict[str, Fact] = {}
        self._words = words_in(rule_set.language)

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
        if expression.limits:
            limits = [self._rule_set.limits[name] for name in expression.limits]
            return MEASURES[expression.word].run(tuple(x.value for x in limits if isinstance(x, Limit)), "")
        operands: tuple[Operand, ...] = tuple(self.measure(o, trail) for o in expression.operands)
        if expression.is_logged:
            operands = self._with_logged(expression, operands, trail)
        elif expression.picked:
            self._note_other_scales(expression, trail)
        value = MEASURES[expression.word].run(operands, expression.picked)
        if isinstance(value, Series) and not value.items:
            return Series(expression.kinded.kind, (), value.complete, value.most)
        return value

    def logged_by(self, expression: Expression) -> Band | Instant | None:
        """What `expression` asks of the climate logs; None where the band or the moment is not known."""
        first, second, *_ = (*(self.measure(o, Trail()) for o in expression.operands), None)
        guarded = self._rule_set.decision == GUARDED
        if expression.word == "logged_at":
            if not (isinstance(first, Interval) and first.is_known):
                return None
            return Instant(expression.picked, first.low, first.high, guarded)
        ends = [o.low for o in (first, second) if isinstance(o, Interval) and o.low == o.high]
        return Band(expression.picked, ends[0], ends[1], guarded) if len(ends) == 2 else None

    def evidence(self, expression: Expression) -> Evidence:
        """What the climate logs show of the band that `expression` asks about."""
        asked = self.logged_by(expression)
        climate = self._survey.climate
        return climate.of_band(asked) if isinstance(asked, Band) else no_evidence(expression.picked)

    def _with_logged(self, expression: Expression, operands: tuple[Operand, ...], trail: Trail) -> tuple[Operand, ...]:
        """The operands, with what the logs show put before them; where the logs lack something, it is noted."""
        asked, climate = self.logged_by(expression), self._survey.climate
        self._note_logs(expression.picked, trail)
        if expression.word == "logged_at":
            at = climate.at_instant(asked) if isinstance(asked, Instant) else unknown_interval(expression.picked)
            if isinstance(asked, Instant) and climate.logs and not at.is_known:
                some = _PARTLY_HIDDEN if asked.begins < asked.ends else _HIDDEN
                self._note_hidden(((asked.begins, asked.ends),), some, trail)
            return (at, *operands)
        seen = self.evidence(expression)
        self._note_unseen(seen, [o for o in operands if isinstance(o, Interval) and o.kind == "moment"], trail)
        return (seen, *operands)

    def _note_logs(self, kind: str, trail: Trail) -> None:
        entries = self._survey.space.rolls.get(LOGS, NO_ENTRIES)
        for answers in entries.entries:
            trail.sources.update({answers[key]: None for key in ("file",) if key in answers})
        trail.missing.update(dict.fromkeys(self._survey.climate.missing.get(kind, ())))
        file = self._rule_set.questions.find(SPACE, f"{LOGS}.file")
        if file is not None:
            self._note_unlisted(file, self._survey.space, entries, trail)

    def _note_unseen(self, seen: Evidence, moments: list[Interval], trail: Trail) -> None:
        """The last few stretches that no log shows, up to the last of `moments`."""
        if not self._survey.climate.logs or not all(m.is_known for m in moments):
            return
        ends = max(m.high for m in moments)
        begins = min(m.low for m in moments) if len(moments) > 1 else ends - _LOOKED_BACK
        hidden = [span for span in within(seen.unseen, begins, ends) if length(span) > 0]
        self._note_hidden(hidden[-_HIDDEN_NAMED:], _HIDDEN, trail)

    def _note_hidden(self, hidden: Iterable[Span], lacking: str, trail: Trail) -> None:
        for span in hidden:
            shown = show_moments(*span, self._survey.zone, self._words)
            said = self._words.tell(lacking, when=shown)
            trail.miss(Missing(LOGS, self._words.say("Climate logs"), said))

    def _note_other_scales(self, expression: Expression, trail: Trail) -> None:
        """A reading on another scale lacks one on this: say so, for it would look answered."""
        inner = Trail()
        for operand in expression.operands:
            self.measure(operand, inner)
        for source in inner.sources:
            value = source.value
            if not isinstance(value, Interval) or value.kind not in MOISTURE or ".uncertainty." in source.place:
                continue
            if value.kind != expression.kinded.kind:
                lacking = self._words.say(
                    "{reading} was read; this limit is on the scale {scale}",
                    reading=value.written,
                    scale=expression.picked,
                )
                title = self._words.say("Reading on another scale")
                trail.miss(Missing(source.place, title, lacking))

    def _owner(self, question: Question) -> Subject:
        return self._subject if question.about == self._subject.about else self._survey.space

    def _answer(self, question: Question, kinded: Kinded, trail: Trail) -> Measured:
        owner = self._owner(question)
        if question.roll:
            return self._series(question, kinded, owner, trail)
        found = owner.answers.get(question.path)
        if found is None:
            trail.miss(Missing(_place(owner, question.path), question.title))
            return blank(kinded)
        trail.meet(found)
        return found.value

    def _series(self, question: Question, kinded: Kinded, owner: Subject, trail: Trail) -> Series:
        entries = owner.rolls.get(question.roll, NO_ENTRIES)
        key = question.path.removeprefix(f"{question.roll}.")
        items = []
        for i, answers in enumerate(entries.entries):
            found = answers.get(key)
            if found is None:
                trail.miss(self._missing_in(f"{entries.place}[{i}]", key, question, answers))
                items.append(blank(kinded))
            else:
                trail.meet(found)
                value = found.value
                if question.measured_with and isinstance(value, Interval):
                    value = self._as_measured(value, question, answers, f"{entries.place}[{i}]", trail)
                items.append(value)
        self._note_unlisted(question, owner, entries, trail)
        return Series(kinded.kind, tuple(items), entries.complete, entries.most)

    def _as_measured(self, value: Interval, question: Question, answers: Answers, place: str, trail: Trail) -> Interval:
        """A reading as well as its instrument knows it, by the decision of the rule set."""
        read_with = question.measured_with
        if self._rule_set.uncalibrated == UNKNOWN:
            due, at = answers.get(f"{read_with}.calibration_due"), answers.get("at")
            if due is None or at is None:
                asked = self._rule_set.questions.find(question.about, f"{question.roll}.{read_with}.calibration_due")
                if due is None and asked is not None:
                    trail.miss(self._missing_in(place, f"{read_with}.calibration_due", asked, answers))
                if at is None:
                    trail.miss(Missing(f"{place}.at", self._words.say("When it was read")))
                return unknown_interval(value.kind)
            trail.meet(due)
            if not _is_before(at.value, due.value):
                lacking = self._words.say(
                    "the calibration of {instrument} is not known to have been good then",
                    instrument=answers[read_with].value.written,
                )
                trail.miss(Missing(f"{place}.{read_with}", question.title, lacking))
                return unknown_interval(value.kind)
        if self._rule_set.decision != GUARDED or states_uncertainty(value.written):
            return value
        by = f"{read_with}.uncertainty.{value.kind.replace('%', '').replace(' ', '_').lower()}"
        stated = answers.get(by)
        if stated is None:
            asked = self._rule_set.questions.find(question.about, f"{question.roll}.{by}")
            if asked is not None:
                trail.miss(self._missing_in(place, by, asked, answers))
            return unknown_interval(value.kind)
        trail.meet(stated)
        if not isinstance(stated.value, Interval):
            raise TypeError("an uncertainty is a quantity")
        return widened(value, stated.value)

    def _missing_in(self, place: str, key: str, question: Question, answers: Answers) -> Missing:
        """What an entry lacks: its own answer, or that of the entry of another list which it names."""
        through, _, asked = key.partition(".")
        if asked and through in answers:  # asked of what this entry names, such as the instrument of a reading
            named = answers.get(f"{through}.name")
            if named is None:
                lacking = self._words.say(
                    "{name} is not in the list of {list}",
                    name=quote(answers[through].value.written),
                    list=self._words.tell(f"{through}s"),
                )
                return Missing(f"{place}.{through}", question.title, lacking)
            return Missing(f"{named.place.removesuffix('.name')}.{asked}", question.title)
        return Missing(f"{place}.{key}", question.title)

    def _note_unlisted(self, question: Question, owner: Subject, entries: Entries, trail: Trail) -> None:
        roll = self._rule_set.questions.rolls[question.about, question.roll]
        if not entries.complete:
            place = _place(owner, roll.counted_by or roll.path)
            asked = self._rule_set.questions.questions.get((question.about, roll.counted_by))
            title = asked.title if asked else roll.title
            count = len(entries.entries)
            lacking = NOT_ANSWERED
            if entries.most is not None:
                lacking = self._words.say("{most} taken, {count} written down", most=entries.most, count=count)
            trail.miss(Missing(place, title, lacking))
        elif not entries.entries:
            trail.miss(Missing(_place(owner, roll.path), roll.title, self._words.say("none taken")))


def _is_before(one: Value, other: Value) -> bool:
    return isinstance(one, Interval) and isinstance(other, Interval) and one.high <= other.low


def _place(owner: Subject, path: str) -> str:
    return path if owner.about == SPACE else f"{owner.place}.{path}"
