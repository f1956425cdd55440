"""The part of the editors' schema that is about facts: every question and measure, by what a fact is about.

With it, what the other parts share: a group of one word, and help beside each key.
"""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from typing import Any

from wallwalk.measure import Measure
from wallwalk.measures import MEASURES, PICKS
from wallwalk.questions import SPACE, Questions
from wallwalk.units import KINDS

Schema = dict[str, Any]

SCALAR: Schema = {"type": ["string", "number", "boolean"]}
QUANTITY: Schema = {"type": ["string", "number"], "examples": [kind.example for kind in KINDS.values()]}
NAMES: Schema = {"type": "string"}


def any_fact(questions: Questions) -> Schema:
    """A fact, which has the shape of those about the same."""
    return {
        "type": "object",
        "required": ["about"],
        "properties": {"about": {"enum": list(questions.subjects)}},
        "allOf": [
            {
                "if": {"properties": {"about": {"const": subject}}, "required": ["about"]},
                "then": {"$ref": f"#/$defs/fact-{subject}"},
            }
            for subject in questions.subjects
        ],
    }


def facts_about(shapes: Schema, questions: Questions, subject: str, helps: Mapping[str, Any]) -> Schema:
    """The questions a fact about `subject` sees, the measures over them, and the fact itself."""
    seen = {path: q for (about, path), q in questions.questions.items() if about in {SPACE, subject}}
    seen |= {path: q for (about, path), q in questions.questions.items() if about == subject}
    told = [f"{q.title} {q.help}".strip() + (f" ({', '.join(q.choices)})" if q.choices else "") for q in seen.values()]
    measured = {"$ref": f"#/$defs/measured-{subject}"}
    words: Schema = {"answer": {"$ref": f"#/$defs/question-{subject}"}}
    words |= {word: _operands(measure, word, measured) for word, measure in MEASURES.items()}
    words = {word: {"description": helps["measures"].get(word, ""), **part} for word, part in words.items()}
    fact = _fact_of(shapes, subject, words, dict(zip(seen, told, strict=True)))
    return {
        f"question-{subject}": {"type": "string", "enum": list(seen), "enumDescriptions": told},
        f"measured-{subject}": {
            "type": ["string", "object"],
            "if": {"type": "string"},
            "then": {"$ref": f"#/$defs/question-{subject}"},
            "else": one_of(words),
        },
        f"fact-{subject}": explained(fact, helps["keys"]),
    }


def _operands(measure: Measure, word: str, measured: Schema) -> Schema:
    if word == "limit":
        return {"type": ["string", "array"], "items": NAMES, "minItems": 1, "maxItems": 2}
    if not measure.parts:
        return {"type": "array", "minItems": 2, "items": measured}
    parts: Schema = dict.fromkeys(measure.parts, measured)
    if measure.picks:
        parts = {measure.picks: {"enum": list(PICKS[measure.picks])}, **parts}
    named = {"type": "object", "additionalProperties": False, "required": list(parts), "properties": parts}
    return {"anyOf": [measured, named]} if len(parts) == 1 else named


def _fact_of(shapes: Schema, subject: str, words: Schema, told: Mapping[str, str]) -> Schema:
    own = deepcopy(shapes["theme"]["properties"]["facts"]["additionalProperties"]["properties"])
    answer = {"anyOf": [SCALAR, {"type": "array", "items": SCALAR}]}
    example = own["examples"]["items"]["properties"]
    example["given"] = {
        "type": "object",
        "additionalProperties": False,
        "properties": {path: {"description": text, **answer} for path, text in told.items()},
    }
    example["expect"] = {**QUANTITY}
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["about"],
        "properties": {"about": {"const": subject}, **own, **words},
        "oneOf": [{"required": [word]} for word in words],
    }


def one_of(words: Schema) -> Schema:
    """A group with one of `words` in it; said by `oneOf`, since editors offer nothing under `maxProperties: 1`."""
    return {
        "type": "object",
        "additionalProperties": False,
        "properties": words,
        "oneOf": [{"required": [word]} for word in words],
    }


def explained(part: Any, helps: Mapping[str, str]) -> Any:  # noqa: ANN401 - a schema is any JSON value
    """The same schema, each key with its line of help, and our advice where editors look for it."""
    if isinstance(part, list):
        return [explained(one, helps) for one in part]
    if not isinstance(part, dict):
        return part
    told: Schema = {}
    for key, inside in part.items():
        if key == "advice":
            told["patternErrorMessage"] = inside
        elif key == "properties":
            told[key] = {name: _with_help(explained(one, helps), helps.get(name)) for name, one in inside.items()}
        else:
            told[key] = explained(inside, helps)
    return told


def _with_help(part: Any, text: str | None) -> Any:  # noqa: ANN401
    return {"description": text, **part} if isinstance(part, dict) and text else part
