"""A survey, once read: the answers of its space and of its walls, all frozen."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass, field
from zoneinfo import ZoneInfo

from wallwalk.answers import Answer, Answers, Entries
from wallwalk.climate import NO_CLIMATE, Climate
from wallwalk.photos import Photo
from wallwalk.questions import SPACE, Questions
from wallwalk.values import Interval

START = "planned_start"


@dataclass(frozen=True, slots=True)
class Subject:
    """What a rule is judged for: the space, or one wall. `place` is where it stands in the document.

    A subject that is not `listed` stands for every wall that nobody wrote down: nothing of it is known.
    `declared` is then how many there are by the question `counted_by`, or None where nobody said.
    """

    about: str
    name: str
    place: str
    answers: Answers
    rolls: Mapping[str, Entries]
    listed: bool = True
    declared: int | None = None
    counted_by: str = ""


@dataclass(frozen=True, slots=True)
class Survey:
    """One survey: the space, its walls, the zone of its clock, and the digest of the file it was read from.

    `climate` is what its logger files say, `photos` what the files of its photos show; both are empty until those are
    read. `content` is the file as it was.
    """

    file: str
    sha256: str
    zone: ZoneInfo | None
    space: Subject
    others: tuple[Subject, ...]
    questions: Questions = field(repr=False)
    climate: Climate = NO_CLIMATE
    photos: tuple[Photo, ...] = ()
    content: bytes = field(default=b"", repr=False, compare=False)

    def subjects(self, about: str) -> tuple[Subject, ...]:
        """Every subject of one kind, in the order written."""
        return (self.space,) if about == SPACE else tuple(s for s in self.others if s.about == about)

    def answer(self, path: str) -> Answer | None:
        """The space's answer to the question at `path`."""
        return self.space.answers.get(path)

    def text(self, path: str) -> str:
        """The space's answer at `path` as written; empty when not known."""
        found = self.answer(path)
        return found.value.written if found else ""

    def read_at(self, answer: Answer) -> str:
        """The place that the reading which `answer` belongs to gives for itself; empty where it gives none."""
        for subject in (self.space, *self.others):
            for entries in subject.rolls.values():
                for entry in entries.entries if answer.place.startswith(f"{entries.place}[") else ():
                    if answer in entry.values() and "place" in entry:
                        return entry["place"].value.written
        return ""

    def starting(self, moment: Interval) -> Survey:
        """This survey with another planned start."""
        answers = {**self.space.answers, START: Answer(START, 0, moment)}
        return dataclasses.replace(self, space=dataclasses.replace(self.space, answers=answers))
