"""Where an interview can stand: every question and list, in the order in which a room is walked.

The space comes first, theme by theme; then each wall, theme by theme, so that each is gone to once; then what names
walls, such as photos.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from wallwalk.asking import Asked, Section, sections
from wallwalk.interview.draft import Data, entries_at, value_at
from wallwalk.questions import SPACE, Question, Questions, Roll
from wallwalk.rules import RuleSet
from wallwalk.yamlio import Node, Path_, show_path

Wanted = Mapping[str, frozenset[str]]
"""By the place of each subject, the paths that are to be asked of it as things stand."""


@dataclass(frozen=True, slots=True)
class Spot:
    """One question or list of one subject, or one question of one `entry` of a list.

    `base` is the subject's place (nothing for the space), `section` the title it is asked under.
    """

    base: Path_
    section: str
    asked: Asked
    question: Question | None
    entry: int | None = None

    @property
    def roll(self) -> Path_:
        """The place of the list."""
        return (*self.base, self.asked.path)

    @property
    def path(self) -> Path_:
        """The place of what is asked."""
        if self.question is None:
            return self.roll
        if self.entry is None:
            return (*self.base, *self.question.path.split("."))
        inside = self.question.path.removeprefix(f"{self.asked.path}.").split(".")
        return (*self.roll, self.entry, *inside)

    @property
    def place(self) -> str:
        """The place in words, by which an answer is named in messages."""
        return show_path(self.path)

    @property
    def is_list(self) -> bool:
        """Whether it is a list as a whole."""
        return self.question is None


@dataclass(frozen=True, slots=True)
class Route:
    """What a rule set asks, in the order of a walk: of the space, of `each` subject of a list, and `last`."""

    questions: Questions
    space: tuple[Spot, ...]
    each: tuple[tuple[Roll, tuple[Spot, ...]], ...]
    last: tuple[Spot, ...]

    def spots(self, data: Data) -> Iterator[Spot]:
        """Every spot there is for a survey so far."""
        yield from self.space
        for roll, own in self.each:
            for i in range(len(entries_at(data, (roll.path,)))):
                yield from (Spot((roll.path, i), s.section, s.asked, s.question) for s in own)
            yield self.of_subjects(roll)
        yield from self.last

    def of_subjects(self, roll: Roll) -> Spot:
        """The spot of a list of subjects, such as the walls."""
        name = self.questions.questions[roll.subject, "name"]
        return Spot((), roll.title, Asked(SPACE, roll.path, roll.title, None, (name,), roll.counted_by), None)

    def lists(self, data: Data) -> Iterator[Spot]:
        """Every list there is for a survey so far."""
        return (spot for spot in self.spots(data) if spot.is_list)


def plan_route(rule_set: RuleSet) -> Route:
    """The route through everything that `rule_set` asks."""
    questions = rule_set.questions
    subjects = [roll for roll in questions.rolls.values() if roll.subject]
    counts = {roll.counted_by for roll in subjects}
    found = sections(rule_set)
    space = [s for s in _spots(found, SPACE) if s.asked.path not in counts]
    space.sort(key=lambda s: s.question is None or s.question.kind != "zone")  # by it every moment is read
    names = {roll.path for roll in subjects}
    last = [s for s in space if any(q.refers_to in names for q in s.asked.entry)]
    each = tuple((roll, tuple(_spots(found, roll.subject))) for roll in subjects)
    return Route(questions, tuple(s for s in space if s not in last), each, tuple(last))


def _spots(found: Iterable[Section], about: str) -> Iterator[Spot]:
    for section in found:
        for asked in section.asked:
            if asked.about == about:
                yield Spot((), section.title, asked, asked.question)


def is_wanted(spot: Spot, wanted: Wanted) -> bool:
    """Whether `spot` matters as things stand."""
    paths = wanted.get(show_path(spot.base), frozenset())
    return spot.asked.path in paths or bool(spot.is_list and spot.asked.counted_by in paths)


def is_answered(spot: Spot, data: Data) -> bool:
    """Whether there is nothing left to ask at `spot`: a list is known with its count."""
    found = value_at(dict(data), spot.path)
    if not spot.is_list:
        return is_known(found)
    entries = entries_at(data, spot.roll)
    if not spot.asked.counted_by:
        return bool(entries)
    return value_at(dict(data), (*spot.base, spot.asked.counted_by)) == str(len(entries))


def is_known(node: Node) -> bool:
    """Whether an answer stands there: neither empty nor `unknown`."""
    return node is not None and not (isinstance(node, str) and node.strip().lower() in {"", "unknown"})


def entry_spots(spot: Spot, index: int) -> tuple[Spot, ...]:
    """The questions of one entry of the list at `spot`; of a subject, its name alone."""
    return tuple(Spot(spot.base, spot.section, spot.asked, question, index) for question in spot.asked.entry)


def followers(questions: Questions, about: str, path: str) -> Iterator[str]:
    """The questions that are asked only where the one at `path` is answered yes, with those that follow them."""
    for question in questions.questions.values():
        if question.about == about and question.follows == path and not question.roll:
            yield question.path
            yield from followers(questions, about, question.path)
