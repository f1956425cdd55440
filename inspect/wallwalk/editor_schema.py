"""The JSON Schema of rule files for editors: their shape, and every word, unit and question that they can be made of.

It is drawn from `rules/rules.schema.yaml`, the two closed tables, the kinds of quantity and the survey's questions.
Names that an author makes up (limits, facts, parties) are left open: only the reader can resolve those.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from copy import deepcopy

from wallwalk.comparisons import COMPARISONS, Comparison
from wallwalk.editor_facts import NAMES, QUANTITY, SCALAR, Schema, any_fact, explained, facts_about, one_of
from wallwalk.questions import Questions, survey_questions
from wallwalk.resources import data_folder
from wallwalk.rule_reader import rule_schema
from wallwalk.shape import read_schema
from wallwalk.units import KINDS


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
    kinds_of_file = {name: explained(shapes[name], helps["keys"]) for name in shapes}
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
            "fact": explained(any_fact(questions), helps["keys"]),
            **{
                name: part
                for subject in questions.subjects
                for name, part in facts_about(fact_shapes, questions, subject, helps).items()
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
        "value": {**QUANTITY},
        "step": {**QUANTITY},
        "kind": {"enum": list(KINDS), "enumDescriptions": told},
    }
    return limit


def _rule(shapes: Schema, questions: Questions) -> Schema:
    rule: Schema = shapes["theme"]["properties"]["rules"]["additionalProperties"]
    rule["properties"]["about"] = {"enum": list(questions.subjects)}
    for part in ("require", "applies_when"):
        rule["properties"][part] = {"$ref": "#/$defs/condition"}
    rule["properties"]["examples"]["items"]["properties"]["facts"]["additionalProperties"] = {**SCALAR}
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
    return one_of({word: {"description": helps.get(word, ""), **part} for word, part in words.items()})


def _compared(comparison: Comparison) -> Schema:
    if comparison.compares == "anything":
        return {"type": ["string", "array"], "items": {"type": "string"}, "minItems": 1, "maxItems": 1}
    count = 1 + (len(comparison.sides) or 1)
    return {"type": "array", "items": SCALAR if comparison.compares == "words" else NAMES} | {
        "minItems": count,
        "maxItems": count,
    }
