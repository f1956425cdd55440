"""The JSON Schema of rule files for editors: their shape, and every word, unit and question that they can be made of.

It is drawn from `rules/rules.schema.yaml`, the two closed tables, the kinds of quantity and the survey's questions.
Names that an author makes up (limits, facts, parties) are left open: only the reader can resolve those.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from copy import deepcopy
from typing import Any

from wallwalk.comparisons import COMPARISONS, Comparison
from wallwalk.measure import Measure
from wallwalk.measures import MEASURES, PICKS
from wallwalk.questions import SPACE, Questions, survey_questions
from wallwalk.resources import data_folder
from wallwalk.rule_reader import rule_schema
from wallwalk.shape import read_schema
from wallwalk.units import KINDS

Schema = dict[str, Any]

_SCALAR: Schema = {"type": ["string", "number", "boolean"]}
_QUANTITY: Schema = {"type": ["string", "number"], "examples": [kind.example for kind in KINDS.values()]}
_NAMES = {"type": "string"}


def render_editor_schema() -> str:
    """The schema as JSON text, the same bytes each time."""
    return json.dumps(editor_schema(), ensure_ascii=False, indent=1) + "\n"


def editor_schema() -> Schema:
    """One schema for about, theme, overlay and conditions files, told apart by the keys that only one of them has."""
    shapes, fact_shapes = (deepcopy(dict(rule_schema())) for _ in range(2))
    questions = survey_questions()
    helps = dict(read_schema(data_folder("rules") / "vocabulary.yaml"))
    limit, rule = _limit(shapes), _rule(shapes, questions)
    theme, overlay = shapes["theme"], shapes["overlay"]
    theme["properties"]["limits"]["additionalProperties"] = {**limit, **_VALUE_OR_WORDS}
    theme["properties"]["facts"]["additionalProperties"] = {"$ref": "#/$defs/fact"}
    theme["properties"]["rules"]["additionalProperties"] = rule
    _lay_reasons(overlay, limit, rule, theme["properties"]["facts"])
    kinds_of_file = {name: _explained(shapes[name], helps["keys"]) for name in shapes}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "wallwalk rule files",
        "type": "object",
        **_told_apart(
            ("overlay", ("overlay", "drop")), ("about", _only_in(shapes)), ("conditions", ("sections", "own"))
        ),
        "$defs": {
            **kinds_of_file,
            "condition": _condition(helps["comparisons"]),
            "fact": _explained(_fact(questions), helps["keys"]),
            **{
                name: part
                for subject in questions.subjects
                for name, part in _of_subject(fact_shapes, questions, subject, helps).items()
            },
        },
    }


def _only_in(shapes: Schema) -> tuple[str, ...]:
    """The keys of an about file that no other file has."""
    others = {key for name, shape in shapes.items() if name != "about" for key in shape["properties"]}
    return tuple(key for key in shapes["about"]["properties"] if key not in others)


def _told_apart(*files: tuple[str, tuple[str, ...]]) -> Schema:
    """A theme, unless a key stands there that only another file has."""
    told: Schema = {"$ref": "#/$defs/theme"}
    for name, keys in reversed(files):
        told = {
            "if": {"anyOf": [{"required": [key]} for key in keys]},
            "then": {"$ref": f"#/$defs/{name}"},
            "else": told,
        }
    return told


# -- limits, rules, overlays -----------------------------------------------------------------------------------------

_VALUE_OR_WORDS: Schema = {
    "if": {"required": ["words"]},
    "then": {"properties": dict.fromkeys(("value", "step", "kind"), False)},
    "else": {"required": ["value", "step"]},
}


def _limit(shapes: Schema) -> Schema:
    limit: Schema = shapes["theme"]["properties"]["limits"]["additionalProperties"]
    told = [f"{name}, such as {kind.example}" for name, kind in KINDS.items()]
    limit["properties"] |= {
        "value": {**_QUANTITY},
        "step": {**_QUANTITY},
        "kind": {"enum": list(KINDS), "enumDescriptions": told},
    }
    return limit


def _rule(shapes: Schema, questions: Questions) -> Schema:
    rule: Schema = shapes["theme"]["properties"]["rules"]["additionalProperties"]
    rule["properties"]["about"] = {"enum": list(questions.subjects)}
    for part in ("require", "applies_when"):
        rule["properties"][part] = {"$ref": "#/$defs/condition"}
    rule["properties"]["examples"]["items"]["properties"]["facts"]["additionalProperties"] = {**_SCALAR}
    return rule


def _lay_reasons(overlay: Schema, limit: Schema, rule: Schema, facts: Schema) -> None:
    """An overlay's limits and rules: as a theme's, with their reasons; a limit of the base keeps its step and kind."""
    properties = overlay["properties"]
    for section, part in (("limits", limit), ("rules", rule)):
        own = properties[section]["additionalProperties"]
        both = {**part["properties"], **own["properties"]}
        required = list(dict.fromkeys((*part["required"], *own["required"])))
        properties[section]["additionalProperties"] = {**part, "properties": both, "required": required}
    properties["facts"] = facts


# -- comparisons -----------------------------------------------------------------------------------------------------


def _condition(helps: Mapping[str, str]) -> Schema:
    inside = {"type": "array", "minItems": 1, "items": {"$ref": "#/$defs/condition"}}
    words = dict.fromkeys(("all_of", "any_of"), inside)
    words |= {word: _compared(comparison) for word, comparison in COMPARISONS.items()}
    return _one_of({word: {"description": helps.get(word, ""), **part} for word, part in words.items()})


def _compared(comparison: Comparison) -> Schema:
    if comparison.compares == "anything":
        return {"type": ["string", "array"], "items": {"type": "string"}, "minItems": 1, "maxItems": 1}
    count = 1 + (len(comparison.sides) or 1)
    return {"type": "array", "items": _SCALAR if comparison.compares == "words" else _NAMES} | {
        "minItems": count,
        "maxItems": count,
    }


# -- facts, by what they are about -----------------------------------------------------------------------------------


def _fact(questions: Questions) -> Schema:
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


def _of_subject(shapes: Schema, questions: Questions, subject: str, helps: Mapping[str, Any]) -> Schema:
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
            "else": _one_of(words),
        },
        f"fact-{subject}": _explained(fact, helps["keys"]),
    }


def _operands(measure: Measure, word: str, measured: Schema) -> Schema:
    if word == "limit":
        return {"type": ["string", "array"], "items": _NAMES, "minItems": 1, "maxItems": 2}
    if not measure.parts:
        return {"type": "array", "minItems": 2, "items": measured}
    parts: Schema = dict.fromkeys(measure.parts, measured)
    if measure.picks:
        parts = {measure.picks: {"enum": list(PICKS[measure.picks])}, **parts}
    named = {"type": "object", "additionalProperties": False, "required": list(parts), "properties": parts}
    return {"anyOf": [measured, named]} if len(parts) == 1 else named


def _fact_of(shapes: Schema, subject: str, words: Schema, told: Mapping[str, str]) -> Schema:
    own = deepcopy(shapes["theme"]["properties"]["facts"]["additionalProperties"]["properties"])
    answer = {"anyOf": [_SCALAR, {"type": "array", "items": _SCALAR}]}
    example = own["examples"]["items"]["properties"]
    example["given"] = {
        "type": "object",
        "additionalProperties": False,
        "properties": {path: {"description": text, **answer} for path, text in told.items()},
    }
    example["expect"] = {**_QUANTITY}
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["about"],
        "properties": {"about": {"const": subject}, **own, **words},
        "oneOf": [{"required": [word]} for word in words],
    }


# -- help ------------------------------------------------------------------------------------------------------------


def _one_of(words: Schema) -> Schema:
    """A group with one of `words` in it."""
    return {
        "type": "object",
        "additionalProperties": False,
        "minProperties": 1,
        "maxProperties": 1,
        "properties": words,
    }


def _explained(part: Any, helps: Mapping[str, str]) -> Any:  # noqa: ANN401 - a schema is any JSON value
    """The same schema, each key with its line of help, and our advice where editors look for it."""
    if isinstance(part, list):
        return [_explained(one, helps) for one in part]
    if not isinstance(part, dict):
        return part
    told: Schema = {}
    for key, inside in part.items():
        if key == "advice":
            told["patternErrorMessage"] = inside
        elif key == "properties":
            told[key] = {name: _with_help(_explained(one, helps), helps.get(name)) for name, one in inside.items()}
        else:
            told[key] = _explained(inside, helps)
    return told


def _with_help(part: Any, text: str | None) -> Any:  # noqa: ANN401
    return {"description": text, **part} if isinstance(part, dict) and text else part
