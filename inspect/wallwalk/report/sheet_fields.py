"""One place to write on a walk sheet: what is asked there, how it is answered, in which units, and what is known."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wallwalk.answers import Answers
from wallwalk.questions import Question
from wallwalk.rules import RuleSet
from wallwalk.units import KINDS, MOISTURE, UNITS
from wallwalk.wording import show_choice
from wallwalk.words import Words, fixed

TICKS, WRITTEN, LONG = "ticks", "written", "long"
"""How a question is answered: by ticking one of some words, or by writing; long where a sentence may be needed."""

_TRUTHS = ("yes", "no")
_LONG = "notes"
_MOMENTS: Mapping[str, str] = {"moment": fixed("date, time"), "last day": fixed("date")}
_METRIC = {"in": "mm", "ft": "m", "°F": "°C", "ft²": "m²", "gal": "L", "ft²/gal": "m²/L", "ft²/h": "m²/h", "fc": "lx"}
"""The metric unit that people use where others use the US one."""


@dataclass(frozen=True, slots=True)
class Tick:
    """One word that may be ticked: as the survey writes it, as it is told, and its number in the list."""

    word: str
    told: str
    number: int


@dataclass(frozen=True, slots=True)
class Field:
    """One answer on the sheet. `path` is where the survey keeps it; `tip` is what is said aloud; `value` is known."""

    path: str
    form: str
    tip: str
    ticks: tuple[Tick, ...]
    value: str

    @property
    def is_short(self) -> bool:
        """Whether its words stand in one row by themselves."""
        return len(self.ticks) <= len(_TRUTHS)


def field_of(question: Question, place: str, answers: Answers, key: str, rule_set: RuleSet, words: Words) -> Field:
    """The field for `question`, which the survey keeps at `place`; what is known of it stands in `answers` at `key`."""
    known = answers.get(key)
    offered = _TRUTHS if question.kind == "truth" else question.choices
    ticks = tuple(Tick(word, show_choice(word, rule_set, words), i) for i, word in enumerate(offered, 1))
    form = TICKS if ticks else LONG if question.path.rpartition(".")[2] == _LONG else WRITTEN
    tip = " ".join(filter(None, (question.title, question.help)))
    return Field(place, form, tip, ticks, known.value.written if known else "")


def show_units(question: Question, words: Words) -> str:
    """What to write with or in place of a number: `ft in or m`, `date, time`, `0 to 5`; empty where nothing is."""
    if question.kind in _MOMENTS:
        return words.tell(_MOMENTS[question.kind])
    if question.minimum is not None and question.kind == "level":
        return words.say("{low} to {high}", low=question.minimum, high=question.maximum)
    if question.kind == "moisture":
        return _one_of([unit for scale in MOISTURE for unit in _named(KINDS[scale].example, scale)], words)
    return _one_of(_pairs(question), words) if question.kind in KINDS else ""


def _one_of(units: Sequence[str], words: Words) -> str:
    *others, last = units
    return words.say(" or ").join(filter(None, (", ".join(others), last)))


def _pairs(question: Question) -> tuple[str, ...]:
    """US units as the help or the kind's example has them, and the metric one beside them."""
    told = _named(question.help, question.kind)
    found = told or _named(KINDS[question.kind].example, question.kind)
    us, others = [u for u in found if u in _METRIC], [u for u in found if u not in _METRIC]
    us = us if told else us[:1]
    metric = others[:1] or [_METRIC[us[-1]]] if us else others
    return (" ".join(us), *metric) if us else tuple(metric)


def _named(text: str, kind: str) -> tuple[str, ...]:
    """The units of a kind that stand behind a number in `text`, each once."""
    units = "|".join(re.escape(u) for u in sorted(UNITS[kind], key=len, reverse=True) if u)
    found = re.findall(rf"[0-9] ?({units})(?![\w²/])", text) if units else []
    return tuple(dict.fromkeys(found))
