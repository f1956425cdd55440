"""All that the phone form knows, as one JSON object: its questions, its rules, its words, and what it shows of them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import asdict
from pathlib import Path
from typing import Any

from wallwalk.asking import JOB, PHOTOS, Asked, Section, always_asked, asks, sections
from wallwalk.facts import LOGS
from wallwalk.form_questions import form_questions
from wallwalk.form_rules import form_rules
from wallwalk.languages import in_language
from wallwalk.questions import SPACE, Question, Roll
from wallwalk.record import laid_over
from wallwalk.report.overrides import override_lines
from wallwalk.resources import DEFAULT_RULE_SET, rule_set_names
from wallwalk.rules import RuleSet
from wallwalk.units import KINDS, MOISTURE, UNITS
from wallwalk.words import Words, words_in

Json = dict[str, Any]

_SAID = re.compile(r'\bsay\("((?:[^"\\]|\\.)*)"')
_SAID_MANY = re.compile(r'\bsayMany\("((?:[^"\\]|\\.)*)", "((?:[^"\\]|\\.)*)"')
_US_UNITS = {"°F", "ft", "in", "mil", "ft²", "gal", "qt", "ft²/gal", "ft²/h", "fc", "in/in/°F"}
_COPIED = ("truth", "choice", "text", "count", "moment", "last day", "temperature", "humidity", "volume", "spread")
"""The kinds of answer that a copied wall takes along: what holds of a job. What is measured on one wall stays there."""


def form_data(rule_set: RuleSet, script: str) -> Json:
    """The data of the form for `rule_set`, with every text that its `script` says, in the language of the rule set."""
    words = words_in(rule_set.language)
    return {
        "survey": form_questions(rule_set.language),
        "rules": form_rules(rule_set),
        "asked": [_section(section, rule_set) for section in sections(rule_set)],
        "asks": {name: asks(rule_set, name) for name in rule_set.facts},
        "job": always_asked(rule_set.questions),
        "words": script_words(script, words),
        "form": _form(rule_set, words),
    }


def script_words(script: str, words: Words) -> dict[str, str]:
    """Each text that a script says by `say` or `sayMany`, with what it is in the language of `words`."""
    said = {text: words.tell(text) for text in map(_unescaped, _SAID.findall(script))}
    for one, many in _SAID_MANY.findall(script):
        told = words.translations
        said[one] = said.get(one) or told.ngettext(one, many, 1)
        said[many] = told.ngettext(one, many, 2)
    return said


def _unescaped(text: str) -> str:
    return text.replace('\\"', '"')


def _form(rule_set: RuleSet, words: Words) -> Json:
    installed = rule_set.name in rule_set_names()
    overlays = [{"file": Path(overlay.file).name} for overlay in rule_set.overlays]
    return {
        "locale": words.locale.replace("_", "-") or "en-US",
        "choices": dict(rule_set.questions.words),
        "kinds": {name: _unit_names(name) for name in (*KINDS, "moisture")},
        "subjects": {roll.subject: _subject(roll, rule_set) for roll in _subjects(rule_set)},
        "copied": _COPIED,
        "logs": LOGS,
        "lists": {"job": JOB, "photos": PHOTOS},
        "rulesUnnamed": DEFAULT_RULE_SET if installed else rule_set.name,  # of a survey that names none
        "blank": {
            **({"rules": rule_set.name} if installed and rule_set.name != DEFAULT_RULE_SET else {}),
            **({"overlays": overlays} if overlays else {}),
        },
        "overrides": [asdict(line) for line in override_lines(laid_over(rule_set), words)],
    }


def _subjects(rule_set: RuleSet) -> Iterable[Roll]:
    return (roll for roll in rule_set.questions.rolls.values() if roll.subject)


def _subject(roll: Roll, rule_set: RuleSet) -> Json:
    counted = rule_set.questions.questions[SPACE, roll.counted_by]
    return {
        "about": roll.subject,
        "path": roll.path,
        "title": roll.title,
        "countedBy": roll.counted_by,
        "counted": _question(counted),
        "entryTitle": _entry_title(rule_set, roll.about, roll.path),
    }


def _section(section: Section, rule_set: RuleSet) -> Json:
    return {
        "name": section.name,
        "title": section.title,
        "asked": [_asked(asked, rule_set) for asked in section.asked],
    }


def _asked(asked: Asked, rule_set: RuleSet) -> Json:
    """One thing asked. `reads`: the list of instruments, where each entry is a reading taken with one of them."""
    told = {"about": asked.about, "path": asked.path, "title": asked.title, "countedBy": asked.counted_by}
    if asked.question is not None:
        return {**told, "question": _question(asked.question), "entry": ()}
    counted = rule_set.questions.questions.get((asked.about, asked.counted_by))
    return {
        **told,
        "question": None,
        "entry": [_question(question) for question in asked.entry],
        "entryTitle": _entry_title(rule_set, asked.about, asked.path),
        "counted": counted and _question(counted),
        "reads": next(
            (q.refers_to for q in asked.entry if any(r.measured_with for r in asked.entry) and q.refers_to), ""
        ),
    }


def _question(question: Question) -> Json:
    return {
        "path": question.path,
        "title": question.title,
        "help": question.help,
        "kind": question.kind,
        "choices": question.choices,
        "refersTo": question.refers_to,
        "identity": question.path.rpartition(".")[2] == "name" and bool(question.roll or question.about != SPACE),
        "units": _units_at_first(question) if question.kind in {*KINDS, "moisture"} else {},
        "spreads": question.kind not in {"adhesion", "number"} and ".uncertainty." not in f".{question.path}",
    }


def _unit_names(kind: str) -> list[str]:
    """The units of a kind as a survey writes them, each by its first spelling."""
    names = MOISTURE if kind == "moisture" else (kind,)
    return [unit.spellings[0] for name in names for unit in KINDS[name].units]


def _units_at_first(question: Question) -> Json:
    """The unit offered first, by system of units: the one that its help (`fits`) or its kind shows by example."""
    if question.kind == "moisture":  # the scale is part of the reading, and nobody's guess
        return {"us": "", "metric": "", "fits": True, "scale": True}
    kinds = (question.kind,)
    spelled = {s: unit.spellings[0] for kind in kinds for s, unit in UNITS[kind].items() if s}
    if not spelled:
        return {"us": "", "metric": "", "fits": True}
    longest = sorted(spelled, key=len, reverse=True)
    sign = re.compile(rf"[0-9]\s*({'|'.join(map(re.escape, longest))})(?!\w)")
    by_help = [spelled[unit] for unit in sign.findall(question.help)]
    units = by_help or [spelled[unit] for kind in kinds for unit in sign.findall(KINDS[kind].example)]
    us = next((unit for unit in units if unit in _US_UNITS), units[0])
    metric = next((unit for unit in units if unit not in _US_UNITS), "mm" if us == "in" else units[0])
    return {"us": us, "metric": metric, "fits": bool(by_help)}


def _entry_title(rule_set: RuleSet, about: str, path: str) -> str:
    """What one entry of a list is called."""
    properties = rule_set.questions.schema["properties"]
    if about != SPACE:
        home = next(roll.path for roll in _subjects(rule_set) if roll.subject == about)
        properties = properties[home]["items"]["properties"]
    return str(in_language(properties[path]["items"], rule_set.language)["title"])
