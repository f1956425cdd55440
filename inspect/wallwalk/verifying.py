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
from wallwalk.languages import LANGUAGES
from wallwalk.matching import ENTRY, FILE, RECORD, SHAPE, TOOL, Match
from wallwalk.record import Record
from wallwalk.resources import data_folder
from wallwalk.shape import read_schema, shape_faults
from wallwalk.signing import refusals_of
from wallwalk.words import IN_ENGLISH, Words, fixed, words_in
from wallwalk.yamlio import Document


@dataclass(frozen=True, slots=True)
class Again:
    """The same check once more: the record it gives, and what keeps the rule set from proving itself."""

    record: Record
    faults: tuple[Fault, ...] = ()


VERDICTS = {"pass": fixed("pass"), "hold": fixed("hold")}
"""The verdicts of a record."""


@cache
def record_schema() -> Mapping[str, Any]:
    """The schema of a filed record."""
    found: Mapping[str, Any] = read_schema(data_folder("rules") / "record.schema.yaml")
    return found


def words_of(record: Record) -> Words:
    """The words of the language that a record is written in; English where it names none of ours."""
    named: Any = record.get("language")
    return words_in(named) if named in LANGUAGES else IN_ENGLISH


def verify(filing: Filing, again: Again | InputError, words: Words = IN_ENGLISH) -> tuple[Match, ...]:
    """Every line on `filing`; `again` is its check once more, or why that cannot be done. Sound if none is False.

    The lines are said in the language of `words`, but for what a reader says of a fault.
    """
    form, shape = tuple(_match_form(filing, words)), tuple(_match_shape(filing, words))
    if shape[0].matches is False:
        compared = () if isinstance(again, InputError) else tuple(_match_record(filing, again, words))
        return (*form, *shape, *compared)
    inputs = tuple(_explained(one, filing, again, words) for one in match_inputs(filing, words))
    if isinstance(again, InputError):
        checked: tuple[Match, ...] = (_unrepeatable(again, words),)
    else:
        checked = tuple(_match_again(filing, again, words))
    return (*form, *shape, *inputs, *match_packing(filing, words), *checked, *match_seals(filing, words))


def match_seals(filing: Filing, words: Words = IN_ENGLISH) -> Iterator[Match]:
    """The chain, and whether each entry is one that may be signed; the shape of `filing` is right."""
    chain = tuple(match_chain(filing, words))
    yield from chain
    if any(one.of == RECORD and one.matches is False for one in chain):
        return  # what may be signed is not asked of a record that was changed
    for i, entry in enumerate(filing.entries):
        for part, found, _ in refusals_of(filing.record, filing.entries[:i], entry):
            yield Match(ENTRY, False, f"{entry_name(entry, words)}: {part} {found}")


def match_quickly(filing: Filing) -> tuple[Match, ...]:
    """All that is seen without checking once more: what is signed has to be what was filed."""
    form, shape = tuple(_match_form(filing, IN_ENGLISH)), tuple(_match_shape(filing, IN_ENGLISH))
    if shape[0].matches is False:
        return (*form, *shape)
    return (*form, *shape, *match_inputs(filing), *match_seals(filing))


def _match_form(filing: Filing, words: Words) -> Iterator[Match]:
    if filing.said is not None and not filing.said.canonical:
        anew = words.say("the file: was written anew by something else; a filed record has one way to be written")
        yield Match(FILE, False, anew)
    elif filing.said is not None:
        yield Match(FILE, True, words.say("the file: written as a filed record is"))


def _match_shape(filing: Filing, words: Words) -> Iterator[Match]:
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
        yield Match(SHAPE, False, words.say("{found}, which no filed record has", found=one))
    if not found:
        yield Match(SHAPE, True, words.say("its shape: that of a filed record (rules/record.schema.yaml)"))


def _schema_of(part: str) -> Mapping[str, Any]:
    return {"$ref": f"#/$defs/{part}", "$defs": record_schema()["$defs"]}


def _explained(one: Match, filing: Filing, again: Again | InputError, words: Words) -> Match:
    """A survey or a rule set that changed, with the first answer or limit that is another one now."""
    if one.matches is not False or isinstance(again, InputError):
        return one
    changed = {SURVEY: changed_answer, RULE_SET: changed_limit}.get(one.of)
    said = changed(filing.record, again.record, words) if changed else ""
    return Match(one.of, False, f"{one.says}; {said}") if said else one


def _match_again(filing: Filing, again: Again, words: Words) -> Iterator[Match]:
    yield from _match_record(filing, again, words)
    for fault in again.faults:
        yield Match(RULE_SET, False, words.say("the rule set does not prove itself: {fault}", fault=fault))
    made, here = filing.record["tool"]["version"], wallwalk.__version__
    said = words.say("checked with wallwalk {then}, and once more with {now}", then=quote(made)[1:-1], now=here)
    other = "" if made == here else words.say("; another version may say things otherwise")
    yield Match(TOOL, None, f"{said}{other}")


def _match_record(filing: Filing, again: Again, words: Words) -> Iterator[Match]:
    said = first_difference(filing.record, again.record, words)
    if said:
        otherwise = words.say("checked once more, it comes out otherwise: {difference}", difference=said)
        yield Match(RECORD, False, otherwise)
    else:
        counts = {
            "verdict": words.tell(VERDICTS[str(again.record["verdict"])]).upper(),
            "count": len(again.record["findings"]),
        }
        alike = words.say(
            "checked once more from its own files: {verdict} again, and the same {count} findings", **counts
        )
        yield Match(RECORD, True, alike)


def _unrepeatable(error: InputError, words: Words) -> Match:
    more = words.say(" (and {count} more)", count=len(error.faults) - 1) if len(error.faults) > 1 else ""
    said = words.say("cannot be checked once more: {fault}", fault=error.faults[0])
    return Match(RECORD, False, f"{said}{more}")
