"""The survey side of the phone form: questions, lists, units and the survey's shape, as plain JSON data."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from wallwalk.languages import ENGLISH
from wallwalk.lookalikes import LETTERS
from wallwalk.questions import Question, Roll, survey_questions
from wallwalk.shape import KIND_ADVICE, missing_advice
from wallwalk.survey_reader import RESERVED_NAMES
from wallwalk.units import KINDS, Kind
from wallwalk.values import Bound

Json = dict[str, Any]

_TRUTH, _TEXT = "boolean", {"string", "number", "integer"}
_READ = {
    *(
        "$schema",
        "title",
        "description",
        "es",
        "type",
        "properties",
        "additionalProperties",
        "required",
        "items",
        "enum",
    ),
    *("minimum", "maximum", "kind", "counted_by", "refers_to", "subject", "identity", "follows", "measured_with"),
    *("over_zero", "advice", "later"),
}
"""The words of the survey schema that the form reads by; by another one the desk might refuse what the form takes."""


def form_questions(language: str = ENGLISH) -> Json:
    """What the form needs to ask a survey in `language`, and to read one as `survey_reader` does.

    `questions` and `rolls` have the fields of `Question` and `Roll`, in camelCase; `units` is the table of
    `units.KINDS` with exact numbers as "n/d" and null for no end; `shape` is a tree of `{group, required, first}`,
    `{list}`, `{truth}` and `{text, choices}`; `advice` is what to write for a kind; `reserved` are names that no wall
    may have, `alike` the signs that look like others; `words` are the choices in `language`, empty for English. Raises
    `ValueError` where the schema has a word or a type that the form does not read.
    """
    asked = survey_questions(language)
    return {
        "questions": [_camel(question) for question in asked.questions.values()],
        "rolls": [_camel(roll) for roll in asked.rolls.values()],
        "units": {name: _kind(kind) for name, kind in KINDS.items()},
        "shape": _shape(asked.schema),
        "advice": dict(KIND_ADVICE),
        "reserved": sorted(RESERVED_NAMES),
        "alike": [list(pair) for pair in LETTERS],
        "words": dict(asked.words),
    }


def _camel(asked: Question | Roll) -> Json:
    return {_camel_case(field.name): getattr(asked, field.name) for field in dataclasses.fields(asked)}


def _camel_case(name: str) -> str:
    first, *others = name.split("_")
    return first + "".join(other.title() for other in others)


def _kind(kind: Kind) -> Json:
    units = [{"scale": _exact(u.scale), "offset": _exact(u.offset), "spellings": u.spellings} for u in kind.units]
    ends = {"low": _exact(kind.low), "high": _exact(kind.high)}
    return {"units": units, "example": kind.example, **ends, "compound": kind.compound}


def _exact(bound: Bound) -> str | None:
    return f"{bound.numerator}/{bound.denominator}" if isinstance(bound, Fraction) else None


def _shape(part: Mapping[str, Any]) -> Json:
    """One place of the schema, with no word left out that decides what may stand there."""
    if not set(part) <= _READ:
        raise ValueError(f"the form does not read {', '.join(sorted(set(part) - _READ))}")
    if part["type"] == "object":
        return _group(part)
    if part["type"] == "array":
        return {"list": _shape(part["items"])}
    if part["type"] == _TRUTH:
        return {"truth": True}
    types = {part["type"]} if isinstance(part["type"], str) else set(part["type"])
    if not types <= _TEXT:
        raise ValueError(f"the form reads no {part['kind']} that is a {part['type']}")
    return {"text": part["kind"], "choices": tuple(part.get("enum", ()))}


def _group(part: Mapping[str, Any]) -> Json:
    if part.get("additionalProperties") is not False:
        raise ValueError("the form reads no group of entries with names of their own")
    inside = part["properties"]
    required = tuple(part.get("required", ()))
    return {
        "group": {name: _shape(below) for name, below in inside.items()},
        "required": {name: missing_advice(name, inside[name]) for name in required},
        "first": next(iter((*required, *inside))),
    }
