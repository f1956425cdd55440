"""The JSON Schema of a survey for editors: what may stand where, with help in a language.

It is wider than what is read strictly: every answer may be left empty or be `unknown`, and `yes` may be text or truth.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from wallwalk.languages import in_language
from wallwalk.question_words import show_form
from wallwalk.questions import SPACE, Questions, survey_questions
from wallwalk.words import Words, words_in

SCHEMA_FILE = "survey.schema.json"
"""The file that the first line of a blank survey names; it lies beside it."""

_UNKNOWN = ("unknown", None)
_TRUTHS = ("yes", "no", True, False)

Schema = Mapping[str, Any]


def render_survey_schema(language: str) -> str:
    """The schema as JSON text, the same bytes each time; titles and help in `language`."""
    questions, words = survey_questions(language), words_in(language)
    schema = questions.schema
    told = in_language(schema, language)
    whole = {
        "$schema": schema["$schema"],
        "title": told["title"],
        "description": told["description"],
        **_group(schema, SPACE, "", questions, words),
    }
    return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"


def _group(part: Schema, about: str, prefix: str, questions: Questions, words: Words) -> dict[str, Any]:
    inside = {
        name: _part(inner, about, f"{prefix}{name}", questions, words) for name, inner in part["properties"].items()
    }
    required = {"required": part["required"]} if "required" in part else {}
    return {"type": ["object", "null"], "additionalProperties": False, "properties": inside, **required}


def _part(part: Schema, about: str, path: str, questions: Questions, words: Words) -> dict[str, Any]:
    told = in_language(part, words.language)
    said = {key: told[key] for key in ("title", "description") if key in told}
    if part["type"] == "object":
        return {**said, **_group(part, about, f"{path}.", questions, words)}
    if part["type"] == "array":
        subject = part.get("subject", "")
        asked, prefix = (subject, "") if subject else (about, f"{path}.")
        return {**said, "type": ["array", "null"], "items": _group(part["items"], asked, prefix, questions, words)}
    question = questions.questions[about, path]
    form = show_form(question, questions, words)
    said["description"] = " ".join(filter(None, (question.help, form))) or question.title
    if question.kind == "truth":
        return {**said, "enum": [*_TRUTHS, *_UNKNOWN]}
    if question.choices:
        return {**said, "enum": [*question.choices, *_UNKNOWN]}
    return {**said, "type": ["string", "number", "null"]}
