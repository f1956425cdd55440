"""The questions of a survey, drawn from the one survey schema in `rules/survey.schema.yaml`."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Any

from wallwalk.languages import ENGLISH, in_language
from wallwalk.resources import data_folder
from wallwalk.shape import read_schema

SPACE = "space"
ROLE = "walk.role"
"""The question whose choices are the roles that people have: who walked, and who may sign."""


@dataclass(frozen=True, slots=True)
class Question:
    """One thing a survey asks.

    `path` is dotted and relative to its subject (`primer.finished`); `roll` names the list it is asked for each
    entry of, or is empty. `kind` is a key of `units.KINDS` or moment, last day, zone, count, level, year, choice,
    truth, moisture, clock, text. `measured_with` is the question beside it that names its instrument.
    `over_zero`: nothing is no answer. `later`: on paper it stands behind what is asked on the walk itself.
    """

    path: str
    about: str
    roll: str
    title: str
    help: str
    kind: str
    choices: tuple[str, ...]
    minimum: int | None
    maximum: int | None
    refers_to: str
    follows: str
    measured_with: str
    over_zero: bool = False
    later: bool = False


@dataclass(frozen=True, slots=True)
class Roll:
    """A list the survey keeps: readings, instruments or walls, and the question that says how many there are."""

    path: str
    about: str
    title: str
    counted_by: str
    subject: str
    later: bool = False


@dataclass(frozen=True, slots=True)
class Questions:
    """Every question and every list of the survey schema, each by subject and path.

    `words` is what the choices are called in the language of the titles, where that is not what the survey writes.
    `groups` are the titles of what is kept together, by subject and path: `primer`, `instruments.uncertainty`.
    `lists` are the questions once more, by subject and list.
    """

    schema: Mapping[str, Any]
    questions: Mapping[tuple[str, str], Question]
    rolls: Mapping[tuple[str, str], Roll]
    words: Mapping[str, str]
    groups: Mapping[tuple[str, str], str]
    lists: Mapping[tuple[str, str], tuple[Question, ...]] = field(repr=False, compare=False)

    def asked(self, about: str, roll: str = "") -> tuple[Question, ...]:
        """What is asked of each entry of one list of a subject, or, where `roll` is empty, of the subject itself."""
        return self.lists.get((about, roll), ())

    def find(self, about: str, path: str) -> Question | None:
        """The question at `path` that a fact about `about` sees: the subject's own, else the space's."""
        return self.questions.get((about, path)) or self.questions.get((SPACE, path))

    @property
    def subjects(self) -> tuple[str, ...]:
        """The kinds of subject that rules can be about: the space, and each kind that a list holds."""
        return (SPACE, *(roll.subject for roll in self.rolls.values() if roll.subject))


@cache
def survey_questions(language: str = ENGLISH) -> Questions:
    """The questions of the installed survey schema, with their titles and help in `language`."""
    schema = (
        survey_questions().schema if language != ENGLISH else read_schema(data_folder("rules") / "survey.schema.yaml")
    )
    rolls = {(r.about, r.path): r for r in _rolls(schema["properties"], SPACE, language)}
    questions = {(q.about, q.path): q for q in _questions(schema["properties"], SPACE, "", "", language)}
    for question in tuple(questions.values()):
        if question.refers_to:
            for borrowed in tuple(_borrowed(question, questions)):
                questions[borrowed.about, borrowed.path] = borrowed
    for seen in tuple(_seen_from_space(rolls.values(), questions.values())):
        questions[seen.about, seen.path] = seen
    lists: dict[tuple[str, str], list[Question]] = {}
    for question in questions.values():
        lists.setdefault((question.about, question.roll), []).append(question)
    words = schema.get(language, {}).get("words", {})
    groups = dict(_groups(schema["properties"], SPACE, "", language))
    return Questions(schema, questions, rolls, words, groups, {key: tuple(asked) for key, asked in lists.items()})


def _seen_from_space(rolls: Iterable[Roll], questions: Iterable[Question]) -> Iterator[Question]:
    """The answers of every wall, as a fact about the space sees them: `walls.length`."""
    for roll in rolls:
        for asked in questions if roll.subject else ():
            if asked.about == roll.subject and not asked.roll:
                path = f"{roll.path}.{asked.path}"
                yield replace(asked, path=path, about=roll.about, roll=roll.path, follows="")


def _borrowed(question: Question, questions: Mapping[tuple[str, str], Question]) -> Iterator[Question]:
    """The answers of the entry that `question` names, seen through it: `air.instrument.calibration_due`."""
    for asked in questions.values():
        if asked.roll == question.refers_to:
            path = f"{question.path}.{asked.path.removeprefix(asked.roll + '.')}"
            seen = replace(asked, path=path, about=question.about, roll=question.roll)
            yield replace(seen, refers_to="", follows="", measured_with="")


def _groups(
    properties: Mapping[str, Any], about: str, prefix: str, language: str
) -> Iterator[tuple[tuple[str, str], str]]:
    for name, part in properties.items():
        path = f"{prefix}{name}"
        if part["type"] == "object":
            yield (about, path), in_language(part, language)["title"]
            yield from _groups(part["properties"], about, f"{path}.", language)
        elif part["type"] == "array":
            subject = part.get("subject", "")
            yield from _groups(part["items"]["properties"], subject or about, "" if subject else f"{path}.", language)


def _rolls(properties: Mapping[str, Any], about: str, language: str) -> Iterator[Roll]:
    for name, part in properties.items():
        if part["type"] == "array":
            subject = part.get("subject", "")
            title, counted_by = in_language(part, language)["title"], part.get("counted_by", "")
            yield Roll(name, about, title, counted_by, subject, bool(part.get("later", False)))
            if subject:
                yield from _rolls(part["items"]["properties"], subject, language)


def _questions(
    properties: Mapping[str, Any], about: str, prefix: str, roll: str, language: str, *, later: bool = False
) -> Iterator[Question]:
    for name, part in properties.items():
        path = f"{prefix}{name}"
        is_later = later or bool(part.get("later", False))
        if part["type"] == "array":
            subject = part.get("subject", "")
            deeper = (subject, "", "", language) if subject else (about, f"{path}.", path, language)
            yield from _questions(part["items"]["properties"], *deeper, later=is_later)
        elif part["type"] == "object":
            yield from _questions(part["properties"], about, f"{path}.", roll, language, later=is_later)
        else:
            told = in_language(part, language)
            yield Question(
                path,
                about,
                roll,
                told["title"],
                told.get("description", ""),
                part["kind"],
                tuple(part.get("enum", ())),
                part.get("minimum"),
                part.get("maximum"),
                part.get("refers_to", ""),
                part.get("follows", ""),
                part.get("measured_with", ""),
                bool(part.get("over_zero", False)),
                is_later,
            )
