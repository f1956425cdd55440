"""The shape of a document, checked by JSON Schema, every fault said in the project's own words."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from wallwalk.errors import Fault, quote
from wallwalk.units import KINDS
from wallwalk.yamlio import Document, Node, Path_, read_yaml

if TYPE_CHECKING:
    from jsonschema import ValidationError

_NUMBER_WORDS = {
    *("minItems", "maxItems", "minProperties", "minimum", "maximum", "minLength", "minContains", "maxContains"),
}

KIND_ADVICE = {
    "truth": "write yes, no or unknown, without quotes",
    "moment": "write it as year-month-day hour:minute, such as 2026-03-09 08:30",
    "last day": "write it as year-month-day, such as 2026-09-30",
    "clock": "write site, an IANA name such as America/Chicago, or an offset such as -06:00",
    "zone": "write an IANA name such as America/Chicago",
    "count": "write one whole number",
    "level": "write one number",
    "year": "write a year in four digits",
    "moisture": "write a number with its scale, such as 9.5 %MC",
    **{name: f"write a number with its unit, such as {kind.example}" for name, kind in KINDS.items()},
}
"""By kind of question, what to write where its answer is no text at all."""


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


MOST_FAULTS = 1_000
"""So many faults of shape are told of one document; who has more has another kind of file in hand."""


def shape_faults(document: Document, data: Node, schema: Mapping[str, Any]) -> Iterator[Fault]:
    """Every way in which `data` (of `document`) is not of the shape of `schema`; `MOST_FAULTS` at most."""
    for i, fault in enumerate(_all_faults(document, data, schema)):
        if i == MOST_FAULTS:
            found = f"has over {MOST_FAULTS:,} places that are not as asked"
            yield Fault(document.file, 0, "", found, "see that it is the right file, and put these right first")
            return
        yield fault


def _all_faults(document: Document, data: Node, schema: Mapping[str, Any]) -> Iterator[Fault]:
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
            yield document.fault(path, f"has no {key}", missing_advice(key, part.get("properties", {}).get(key, {})))
    elif error.validator == "enum":
        yield document.fault(path, f"is {show(found)}", choice_advice(found, [str(a) for a in asked]))
    elif error.validator == "type":
        yield document.fault(path, f"is {show(found)}", _type_advice(part, found, path))
    elif error.validator == "pattern" and "propertyNames" in error.absolute_schema_path:
        yield document.fault((*path, found), "has a name of another form than its neighbours", part["advice"])
    elif error.validator == "pattern":
        yield document.fault(path, f"is {show(found)}", part.get("advice", f"write it as {part['pattern']}"))
    elif error.validator in {"minItems", "minProperties"}:
        yield document.fault(path, "is empty", part.get("advice", "write at least one"))
    else:
        yield document.fault(
            path, f"is {show(found)}", part.get("advice", f"write it as the schema says ({error.validator})")
        )


def closest(
    key: str,
    known: Iterable[str],
    otherwise: str = "take it out",
    where: str = "look for its name in the questions of the survey",
) -> str:
    """Advice for a name that is not known: the known one most like it, or all of them when they are few.

    `otherwise` is what else can be done about it, `where` says where all the names stand when they are many.
    """
    names = list(known)
    near = difflib.get_close_matches(key, names, 1, 0.6)
    if near:
        return f"write {near[0]}, or {otherwise}" if otherwise else f"write {near[0]}"
    if 0 < len(names) <= 12:
        return f"write one of: {', '.join(names)}"
    return ", or ".join(part for part in (otherwise, where if names else "") if part)


def undeclared(name: str, known: Iterable[str], section: str) -> str:
    """Advice for the name of a limit or fact that no `section` of a rule set declares."""
    declare = f"declare it below {section}:"
    advice = closest(name, known, declare, "look for its name there")
    return advice if declare in advice else f"{advice}, or {declare}"


def choice_advice(found: object, choices: list[str]) -> str:
    """The choice most like what was found first, where one is like it; all of them in any case."""
    word = str(found).lower()
    near = [c for c in choices if c.lower() == word or (len(word) > 2 and word in c.lower())]
    near = near or difflib.get_close_matches(word, choices, 1, 0.6)
    return f"write {near[0]}, or one of: {', '.join(choices)}" if near else f"write one of: {', '.join(choices)}"


def missing_advice(key: str, asked: Mapping[str, Any]) -> str:
    """Advice for a group that lacks `key`, which is asked as the schema's part `asked` says."""
    if "enum" in asked:
        return f"write {key}: and one of: {', '.join(map(str, asked['enum']))}"
    if "advice" in asked:
        return f"write {key}: {asked['advice'].removeprefix('write ')}"
    return f"write {key}: and what it is"


def _type_advice(part: Mapping[str, Any], found: object, path: Path_) -> str:
    if part.get("type") == "object" and "advice" in part:
        return str(part["advice"])
    if part.get("type") == "object":
        first = next(iter(part.get("required", ())), next(iter(part.get("properties", ())), ""))
        where = " below it, indented" if path else ""
        return f"write entries{where}, each with a colon" + (f", such as {first}:" if first else "")
    if part.get("type") == "array":
        return 'write a list, each entry starting with "- "'
    if "enum" in part:
        return f"write one of: {', '.join(map(str, part['enum']))}"
    if part.get("kind", "text") != "text":
        return str(KIND_ADVICE[part["kind"]])
    return "write it in quotes, so that it stays text" if isinstance(found, bool) else "write one text"


def show(found: object) -> str:
    """What stands in a document, in words: `yes`, `"12,5"`, `empty`, `a list`, `a group of entries`."""
    if found is None:
        return "empty"
    if isinstance(found, bool):
        return "yes" if found else "no"
    if isinstance(found, dict):
        return "a group of entries"
    return "a list" if isinstance(found, list) else quote(found)
