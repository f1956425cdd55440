"""The shape of a document, checked by JSON Schema, every fault said in the project's own words."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from wallwalk.errors import Fault, quote
from wallwalk.yamlio import Document, Node, Path_, read_yaml

if TYPE_CHECKING:
    from jsonschema import ValidationError

_NUMBER_WORDS = {"minItems", "minProperties", "minimum", "maximum"}

_KIND_ADVICE = {
    "truth": "write yes or no",
    "moment": "write it as year-month-day hour:minute, such as 2026-03-09 08:30",
    "text": "write it in quotes, so that it stays text",
}


def read_schema(path: Path) -> Any:  # noqa: ANN401 - a schema is any JSON value
    """The JSON Schema in a YAML file of this installation; the numbers of its keywords are numbers."""
    return _with_numbers(read_yaml(path).data)


def _with_numbers(node: Node) -> Any:  # noqa: ANN401
    if isinstance(node, dict):
        return {
            key: int(part) if key in _NUMBER_WORDS and isinstance(part, str) else _with_numbers(part)
            for key, part in node.items()
        }
    return [_with_numbers(part) for part in node] if isinstance(node, list) else node


def shape_faults(document: Document, data: Node, schema: Mapping[str, Any]) -> Iterator[Fault]:
    """Every way in which `data` (of `document`) is not of the shape of `schema`."""
    from jsonschema import Draft202012Validator

    for error in Draft202012Validator(schema).iter_errors(data):
        path: Path_ = tuple(error.absolute_path)
        yield from _faults(document, path, error)


def _faults(document: Document, path: Path_, error: ValidationError) -> Iterator[Fault]:
    part: Any = error.schema
    found: Any = error.instance
    asked: Any = error.validator_value
    if error.validator == "additionalProperties":
        for key in (k for k in found if k not in part.get("properties", {})):
            yield document.fault((*path, key), "is not asked here", closest(key, part["properties"]))
    elif error.validator == "required":
        for key in (k for k in asked if k not in found and quote(k)[1:-1] in error.message):
            yield document.fault(path, f"has no {key}", f"write {key}: and what it is")
    elif error.validator == "enum":
        yield document.fault(path, f"is {_show(found)}", f"write one of: {', '.join(map(str, asked))}")
    elif error.validator == "type":
        yield document.fault(path, f"is {_show(found)}", _type_advice(part))
    elif error.validator == "pattern":
        yield document.fault(path, f"is {_show(found)}", part.get("advice", f"write it as {part['pattern']}"))
    elif error.validator in {"minItems", "minProperties"}:
        yield document.fault(path, "is empty", part.get("advice", "write at least one"))
    else:
        yield document.fault(
            path, f"is {_show(found)}", part.get("advice", f"write it as the schema says ({error.validator})")
        )


def closest(key: str, known: Iterable[str]) -> str:
    """Advice for a key that nobody asked for: the known one most like it, or the whole list when it is short."""
    names = list(known)
    near = difflib.get_close_matches(key, names, 1, 0.6)
    if near:
        return f"write {near[0]}, or take it out"
    return (
        f"write one of: {', '.join(names)}"
        if len(names) <= 12
        else "take it out, or look for its name in the blank survey"
    )


def _type_advice(part: Mapping[str, Any]) -> str:
    if part.get("type") == "object":
        return "write its answers below it, indented, each with a colon"
    if part.get("type") == "array":
        return 'write a list, each entry starting with "- "'
    if "enum" in part:
        return f"write one of: {', '.join(map(str, part['enum']))}"
    if part.get("kind") in _KIND_ADVICE:
        return _KIND_ADVICE[part["kind"]]
    return "write a plain value"


def _show(found: object) -> str:
    if isinstance(found, bool):
        return "yes" if found else "no"
    if isinstance(found, dict):
        return "a group of answers"
    return "a list" if isinstance(found, list) else quote(found)
