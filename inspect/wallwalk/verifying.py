"""Is a filed record what was checked? Digests, the chain of entries, and the same check once more from its inputs.

A digest shows that something changed, not by whom; whoever makes a whole file anew, with all its digests, is not seen.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import wallwalk
from wallwalk.chain import entry_name, match_chain
from wallwalk.differences import changed_answer, changed_limit, first_difference
from wallwalk.errors import Fault, InputError, quote
from wallwalk.filing import RULE_SET, SURVEY, Filing
from wallwalk.input_matching import match_inputs, match_packing
from wallwalk.matching import ENTRY, FILE, RECORD, SHAPE, TOOL, Match
from wallwalk.record import Record
from wallwalk.resources import data_folder
from wallwalk.shape import read_schema, shape_faults
from wallwalk.signing import refusals_of
from wallwalk.yamlio import Document


@dataclass(frozen=True, slots=True)
class Again:
    """The same check once more: the record it gives, and what keeps the rule set from proving itself."""

    record: Record
    faults: tuple[Fault, ...] = ()


@cache
def record_schema() -> Mapping[str, Any]:
    """The schema of a filed record."""
    found: Mapping[str, Any] = read_schema(data_folder("rules") / "record.schema.yaml")
    return found


def verify(filing: Filing, again: Again | InputError) -> tuple[Match, ...]:
    """Every line on `filing`; `again` is its check once more, or why that cannot be done. Sound if none is False."""
    shape = tuple(_match_shape(filing))
    if shape[0].matches is False:
        compared = () if isinstance(again, InputError) else tuple(_match_record(filing, again))
        return (*_match_form(filing), *shape, *compared)
    inputs = tuple(_explained(one, filing, again) for one in match_inputs(filing))
    checked = (_unrepeatable(again),) if isinstance(again, InputError) else tuple(_match_again(filing, again))
    return (*_match_form(filing), *shape, *inputs, *match_packing(filing), *checked, *match_seals(filing))


def match_seals(filing: Filing) -> Iterator[Match]:
    """The chain, and whether each entry is one that may be signed; the shape of `filing` is right."""
    chain = tuple(match_chain(filing))
    yield from chain
    if any(one.of == RECORD and one.matches is False for one in chain):
        return  # what may be signed is not asked of a record that was changed
    for i, entry in enumerate(filing.entries):
        for part, found, _ in refusals_of(filing.record, filing.entries[:i], entry):
            yield Match(ENTRY, False, f"{entry_name(entry)}: {part} {found}")


def match_quickly(filing: Filing) -> tuple[Match, ...]:
    """All that is seen without checking once more: what is signed has to be what was filed."""
    shape = tuple(_match_shape(filing))
    if shape[0].matches is False:
        return (*_match_form(filing), *shape)
    return (*_match_form(filing), *shape, *match_inputs(filing), *match_seals(filing))


def _match_form(filing: Filing) -> Iterator[Match]:
    if filing.said is not None and not filing.said.canonical:
        yield Match(
            FILE, False, "the file: was written anew by something else; a filed record has one way to be written"
        )
    elif filing.said is not None:
        yield Match(FILE, True, "the file: written as a filed record is")


def _match_shape(filing: Filing) -> Iterator[Match]:
    """One line, or one for each place of another shape."""
    parts: tuple[tuple[str, str, Any], ...] = (
        ("record", "record", filing.record),
        *(("entry", f"entries[{i}]", entry) for i, entry in enumerate(filing.entries)),
    )
    found = [
        f"{name}{'' if not fault.path or fault.path.startswith('[') else '.'}{fault.path} {fault.found}"
        for part, name, content in parts
        for fault in sorted(shape_faults(Document("", content, {}, ""), content, _schema_of(part)))
    ]
    for one in found:
        yield Match(SHAPE, False, f"{one}, which no filed record has")
    if not found:
        yield Match(SHAPE, True, "its shape: that of a filed record (rules/record.schema.yaml)")


def _schema_of(part: str) -> Mapping[str, Any]:
    return {"$ref": f"#/$defs/{part}", "$defs": record_schema()["$defs"]}


def _explained(one: Match, filing: Filing, again: Again | InputError) -> Match:
    """A survey or a rule set that changed, with the first answer or limit that is another one now."""
    if one.matches is not False or isinstance(again, InputError):
        return one
    changed = {SURVEY: changed_answer, RULE_SET: changed_limit}.get(one.of)
    said = changed(filing.record, again.record) if changed else ""
    return Match(one.of, False, f"{one.says}; {said}") if said else one


def _match_again(filing: Filing, again: Again) -> Iterator[Match]:
    yield from _match_record(filing, again)
    for fault in again.faults:
        yield Match(RULE_SET, False, f"the rule set does not prove itself: {fault}")
    made, here = filing.record["tool"]["version"], wallwalk.__version__
    other = "" if made == here else "; another version may say things otherwise"
    yield Match(TOOL, None, f"checked with wallwalk {quote(made)[1:-1]}, and once more with {here}{other}")


def _match_record(filing: Filing, again: Again) -> Iterator[Match]:
    said = first_difference(filing.record, again.record)
    if said:
        yield Match(RECORD, False, f"checked once more, it comes out otherwise: {said}")
    else:
        findings = len(again.record["findings"])
        verdict = str(again.record["verdict"]).upper()
        yield Match(
            RECORD, True, f"checked once more from its own files: {verdict} again, and the same {findings} findings"
        )


def _unrepeatable(error: InputError) -> Match:
    more = f" (and {len(error.faults) - 1} more)" if len(error.faults) > 1 else ""
    return Match(RECORD, False, f"cannot be checked once more: {error.faults[0]}{more}")
