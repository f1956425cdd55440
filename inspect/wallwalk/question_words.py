"""What is said of a question wherever it is asked: what may be written, and when it is asked at all."""

from __future__ import annotations

import re
from collections.abc import Mapping

from wallwalk.questions import Question, Questions
from wallwalk.units import KINDS, MOISTURE
from wallwalk.words import Words, fixed

_FORMS: Mapping[str, str] = {
    "truth": fixed("yes or no"),
    "moment": fixed("date and time, such as 2026-03-09 08:30"),
    "last day": fixed("a date, such as 2026-09-30"),
    "zone": fixed("a name such as America/Chicago"),
    "clock": fixed("site, an offset such as -06:00, or a name such as America/Chicago"),
    "count": fixed("a whole number"),
    "level": fixed("a number"),
    "year": fixed("four figures"),
}
_QUANTITY = fixed("a number with its unit, such as {example}")
_READING = fixed("a number with its scale, such as {example}")
_SHOWN_BY_HELP = {"moment", "last day", "zone", "clock", "level", "moisture", *KINDS}
"""Kinds whose help says what to write wherever it holds a figure."""


def show_choice_to_write(word: str, questions: Questions) -> str:
    """A choice as a survey writes it, with what the language of `questions` calls it behind it in brackets."""
    called = questions.words.get(word, word)
    return word if called == word else f"{word} ({called})"


def show_form(question: Question, questions: Questions, words: Words) -> str:
    """What may be written: the choices, or an example; empty where any text will do or its help shows it."""
    if question.choices:
        return words.say("one of: {choices}", choices=" | ".join(_choices(question, questions)))
    if question.kind in _SHOWN_BY_HELP and re.search(r"\d", question.help):
        return ""
    if question.kind in KINDS:
        return words.tell(_QUANTITY, example=_either(KINDS[question.kind].example, words))
    if question.kind == "moisture":
        return words.tell(_READING, example=_either(" or ".join(KINDS[kind].example for kind in MOISTURE), words))
    form = _FORMS.get(question.kind, "")
    return words.tell(form) if form else ""


def _either(example: str, words: Words) -> str:
    return example.replace(" or ", words.say(" or "))


def _choices(question: Question, questions: Questions) -> tuple[str, ...]:
    return tuple(show_choice_to_write(choice, questions) for choice in question.choices)


def show_follows(question: Question, questions: Questions, words: Words) -> str:
    """When the question is asked; empty where it always is."""
    lead = questions.questions.get((question.about, question.follows))
    if lead is None:
        return ""
    if lead.kind == "truth":
        return words.say("Only where the answer is yes: {question}", question=lead.title)
    return words.say("Only where the answer is not none: {question}", question=lead.title)
