"""Reads conditions.yaml, a rule set's table of what the trade asks for; every rule stands in it, and no other name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from wallwalk.errors import Fault, InputError, quote
from wallwalk.languages import in_language, untranslated
from wallwalk.shape import closest
from wallwalk.trade import TradeRow, TradeSection, TradeTable
from wallwalk.yamlio import Document, Path_

CONDITIONS = "conditions"
"""The name of the file, without .yaml; no theme may have it."""


def read_trade_table(
    document: Document, rules: Mapping[str, object], language: str, languages: Iterable[str]
) -> TradeTable:
    """The table in `document`, of the shape asked for, over `rules`. Raises `InputError` with every fault found."""
    content: Any = document.data
    faults = [
        *_language_faults(document, tuple(languages)),
        *_row_faults(document, rules),
        *_own_faults(document, rules),
    ]
    if faults:
        raise InputError(faults)
    return TradeTable(
        title=in_language(content, language)["title"],
        sections=tuple(_section(section, language) for section in content["sections"]),
        own={name: in_language(part, language)["because"] for name, part in content.get("own", {}).items()},
    )


def _section(section: Mapping[str, Any], language: str) -> TradeSection:
    rows = (in_language(row, language) for row in section["rows"])
    return TradeSection(
        in_language(section, language)["title"],
        tuple(TradeRow(row["condition"], tuple(row.get("rules", ())), row.get("left", "")) for row in rows),
    )


def _rows(document: Document) -> Iterator[tuple[Path_, Mapping[str, Any]]]:
    content: Any = document.data
    for i, section in enumerate(content["sections"]):
        for j, row in enumerate(section["rows"]):
            yield ("sections", i, "rows", j), row


def _row_faults(document: Document, rules: Mapping[str, object]) -> Iterator[Fault]:
    """Each row has its rules or a reason, one of the two, and names no rule that is not there."""
    for path, row in _rows(document):
        if "rules" not in row and "left" not in row:
            advice = "write rules: and the rules that ask for it, or left: and why none does"
            yield document.fault(path, "has no rules, and no reason why", advice)
        if "rules" in row and "left" in row:
            yield document.fault(
                (*path, "left"), "says why no rule asks for it, beside its rules", "keep one of the two"
            )
        for i, name in enumerate(row.get("rules", ())):
            if name not in rules:
                found = f"is {quote(name)}, which is no rule of this rule set"
                yield document.fault((*path, "rules", i), found, closest(name, rules, where="look for its name there"))


def _own_faults(document: Document, rules: Mapping[str, object]) -> Iterator[Fault]:
    """Each rule stands in a row or is our own, one of the two."""
    content: Any = document.data
    own = content.get("own", {})
    in_rows = {name: path for path, row in reversed(list(_rows(document))) for name in row.get("rules", ())}
    for name in own:
        if name not in rules:
            advice = closest(name, rules, where="look for its name there")
            yield document.fault(("own", name), "is no rule of this rule set", advice)
        elif name in in_rows:
            found = f"stands in a row too (line {document.line(in_rows[name])})"
            yield document.fault(("own", name), found, "take it out here or there")
    for name in rules:
        if name not in own and name not in in_rows:
            advice = "write it into rules: of a row, or below own: with the reason"
            yield document.fault((), f"names the rule {name} nowhere", advice)


def _language_faults(document: Document, languages: tuple[str, ...]) -> Iterator[Fault]:
    content: Any = document.data
    parts: list[tuple[Path_, Any]] = [((), content)]
    parts += [(("sections", i), section) for i, section in enumerate(content["sections"])]
    parts += [*_rows(document), *((("own", name), part) for name, part in content.get("own", {}).items())]
    for path, part in parts:
        for language, text in untranslated(part, ("title", "condition", "left", "because"), languages):
            yield document.fault(path, f"has no {text} in {language}", f"write {language}: and {text}: below it")
