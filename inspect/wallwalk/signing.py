"""Signing a filed record: an entry says who decided what, when and why, and goes on from the digest of the one before.

Signing never changes the record, nor its verdict. A name in an entry is a name as it was given: it proves nobody.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from wallwalk.answer_reader import TEXT_MAX
from wallwalk.errors import Fault, InputError, quote, visible
from wallwalk.filing import Entry, Filing
from wallwalk.moments import find_zone, iso_moment, parse_moment
from wallwalk.quantities import UnitError
from wallwalk.questions import ROLE, SPACE, survey_questions
from wallwalk.record import Record
from wallwalk.rules import HOLD_GRADE
from wallwalk.shape import closest

RELEASED, HELD, NOTED = "released", "held", "noted"
DECISIONS = (RELEASED, HELD, NOTED)
HOLDS, NOT_VERIFIED = "hold", "not verified"

Refusal = tuple[str, str, str]
"""The part of an entry that is refused, what was found there, and what to do instead."""


@dataclass(frozen=True, slots=True)
class Signing:
    """What somebody signs, as it was given. `hold` is RULE or RULE:SUBJECT, empty for the record as a whole."""

    role: str
    name: str
    decision: str
    at: str
    hold: str = ""
    remark: str = ""


def sign(filing: Filing, signing: Signing) -> Filing:
    """The filing with one more entry. Raises `InputError` with everything that keeps it from being signed so."""
    record = filing.record
    at, hold, refusals = "", None, []
    try:
        at = _moment(signing.at, record)
    except UnitError as error:
        refusals.append(("at", f"is {quote(signing.at)}", error.instead))
    try:
        hold = _named_hold(record, signing.hold)
    except _RefusedHoldError as refused:
        refusals.append(("hold", refused.found, refused.instead))
    entry = {
        "number": len(filing.entries) + 1,
        "at": at,
        "role": signing.role,
        "name": " ".join(signing.name.split()),
        "decision": signing.decision,
        "hold": hold,
        "remark": " ".join(signing.remark.split()),
        "previous": filing.end,
    }
    if not refusals:
        refusals = [*refusals_of(record, filing.entries, entry)]
    if refusals:
        raise InputError(Fault(f"--{part}", 0, "", found, instead) for part, found, instead in refusals)
    return replace(filing, entries=(*filing.entries, entry), said=None)


def refusals_of(record: Record, before: tuple[Entry, ...], entry: Entry) -> Iterator[Refusal]:
    """Why `entry`, of the right shape, may not follow the entries `before` it under `record`; nothing where it may."""
    roles = survey_questions().questions[SPACE, ROLE].choices
    if entry["role"] not in roles:
        yield "role", f"is {quote(entry['role'])}", f"write one of: {', '.join(roles)}"
        return
    yield from _refused_texts(entry)
    if entry["decision"] not in DECISIONS:
        yield "decision", f"is {quote(entry['decision'])}", f"write one of: {', '.join(DECISIONS)}"
    yield from _refused_moment(record, before, entry)
    held = tuple(_signed_for(record, entry["hold"]))
    if entry["hold"] is not None and not held:
        found = f"is {quote(entry['hold']['rule'])} of {quote(entry['hold']['subject'])}, which does not hold the work"
        yield "hold", found, "name a check that holds"
    elif entry["decision"] == RELEASED:
        yield from _refused_release(record, entry, held)


def open_holds(record: Record) -> Iterator[Mapping[str, Any]]:
    """The findings that hold the work: those of hold grade that came out as a hold or as not verified."""
    for finding in record["findings"]:
        if finding["grade"] == HOLD_GRADE and finding["outcome"] in (HOLDS, NOT_VERIFIED):
            yield finding


def releases_in_force(record: Record, entries: tuple[Entry, ...]) -> Iterator[tuple[Mapping[str, Any], Entry]]:
    """Each hold of the record that is released over, with the last entry that did; a later `held` undoes it.

    What nobody may sign releases nothing, however it came into the file.
    """
    counting = [
        (entry, [*_signed_for(record, entry["hold"])])
        for i, entry in enumerate(entries)
        if entry["decision"] == HELD
        or (entry["decision"] == RELEASED and not any(refusals_of(record, entries[:i], entry)))
    ]
    for finding in open_holds(record):
        last = next((entry for entry, held in reversed(counting) if finding in held), None)
        if last is not None and last["decision"] == RELEASED:
            yield finding, last


def is_over_hold(record: Record, entry: Entry) -> bool:
    """Whether what `entry` is about holds the work."""
    return any(True for _ in _signed_for(record, entry["hold"]))


def _signed_for(record: Record, hold: Mapping[str, str] | None) -> Iterator[Mapping[str, Any]]:
    """What holds the work of that which an entry is about."""
    for finding in open_holds(record):
        if hold is None or (hold["rule"], hold["subject"]) == (finding["rule"], finding["subject"]):
            yield finding


def _refused_texts(entry: Entry) -> Iterator[Refusal]:
    if not entry["name"].strip():
        yield "name", "is empty", "write the name of who signs"
    for part in ("name", "remark"):
        text = entry[part]
        if not text.isprintable() or visible(text) != text:
            yield part, f"is {quote(text)}, which has a character that cannot be printed", "write it in plain text"
        elif text.strip() and not any(c.isalnum() for c in text):
            yield part, f"is {quote(text)}, which has no letter and no digit", "write it in words"
        if len(text) > TEXT_MAX:
            yield part, f"has {len(text):,} characters", f"write it in {TEXT_MAX:,} or less"


def _refused_moment(record: Record, before: tuple[Entry, ...], entry: Entry) -> Iterator[Refusal]:
    """Why `entry` may not be signed when it says: surely before the walk, or before the entry that it goes on from.

    A walk of which only the day is known, or nothing, may have been at any moment that it may have been.
    """
    at, instead = _instant(entry["at"]), "write when it is signed"
    if at is None:
        yield "at", f"is {quote(entry['at'])}, which is no time", instead
        return
    walked = _instant(record["walk"]["from"]) if record["walk"] else None
    if walked is not None and at < walked:
        yield "at", f"is {entry['at']}, before the walk that it signs ({record['walk']['from']})", instead
    signed = _instant(before[-1]["at"]) if before else None
    if signed is not None and at < signed:
        yield "at", f"is {entry['at']}, before entry {len(before)} was signed ({before[-1]['at']})", instead


def _instant(text: str) -> datetime | None:
    """The moment that a filed text of its shape names; None where there is no such day or hour."""
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        return None


def _refused_release(record: Record, entry: Entry, held: tuple[Mapping[str, Any], ...]) -> Iterator[Refusal]:
    """Why `entry` may not release `held`: what is not verified, then whose the holds are, then the reason."""
    releases, role = record["rule_set"]["releases"], entry["role"]
    if role not in releases:
        may = (
            f"let one of these sign: {', '.join(releases)}; or walk again"
            if releases
            else "put it right and walk again"
        )
        yield "role", f"is {quote(role)}, who may release nothing by the rule set {record['rule_set']['name']}", may
        return
    unknown = [named(f) for f in held if f["outcome"] == NOT_VERIFIED]
    if unknown:
        found = f"is not verified, and what is not verified is not released by a signature: {_some(unknown)}"
        yield "hold", found, "find it out, write it down and check again"
    for party in dict.fromkeys(f["by"] for f in held if f["outcome"] == HOLDS and f["by"] not in releases[role]):
        who = [other for other, parties in releases.items() if party in parties]
        may = f"let one of these sign: {', '.join(who)}; or walk again" if who else "put it right and walk again"
        holds = _some([named(f) for f in held if f["by"] == party and f["outcome"] == HOLDS])
        yield "role", f"is {quote(role)}, who may not release a hold of {party}: {holds}", may
    if held and not entry["remark"].strip():
        yield "remark", "is empty", "write the reason for going on over a hold"


def _some(names: list[str]) -> str:
    """The first of some names, and how many more there are."""
    return f"{', '.join(names[:3])} and {len(names) - 3} more" if len(names) > 3 else ", ".join(names)


def named(finding: Mapping[str, Any]) -> str:
    """A finding as `--hold` names it."""
    return f"{finding['rule']}:{finding['subject']}"


class _RefusedHoldError(ValueError):
    def __init__(self, found: str, instead: str) -> None:
        super().__init__(found)
        self.found = found
        self.instead = instead


def _named_hold(record: Record, written: str) -> dict[str, str] | None:
    """The rule and the subject that RULE or RULE:SUBJECT names; a rule alone where it holds one subject only."""
    rule, _, subject = (part.strip() for part in written.partition(":"))
    if not rule:
        if subject:
            raise _RefusedHoldError(f"is {quote(written)}", "write RULE or RULE:SUBJECT")
        return None
    of_rule = [f for f in record["findings"] if f["rule"] == rule]
    if not of_rule:
        advice = closest(
            rule,
            dict.fromkeys(f["rule"] for f in open_holds(record)),
            "",
            "the report names each hold in small letters",
        )
        raise _RefusedHoldError(f"is {quote(rule)}, and the record has no such rule", advice)
    holding = [f for f in open_holds(record) if f["rule"] == rule]
    if not holding:
        what = "only warns" if of_rule[0]["grade"] != HOLD_GRADE else "does not hold the work"
        raise _RefusedHoldError(f"is {quote(rule)}, which {what}", "name a check that holds, or take --hold out")
    names = [f["subject"] for f in holding]
    if subject in names or (not subject and len(names) == 1):
        return {"rule": rule, "subject": subject or names[0]}
    found = (
        f"names {quote(subject)}, where it does not hold"
        if subject
        else f"is {quote(rule)}, which holds {len(names)} times"
    )
    choice = "write" if len(names) == 1 else "write one of:"
    raise _RefusedHoldError(found, f"{choice} {', '.join(map(named, holding))}")


def _moment(written: str, record: Record) -> str:
    """RFC 3339 with the offset of the record's time zone. Raises `UnitError`, also for a day without a time."""
    zone = find_zone(record["heading"]["time_zone"])
    moment = parse_moment(written, zone)
    if moment.low != moment.high:
        raise UnitError("write the time as well, such as 2026-03-09 08:30")
    return iso_moment(moment.low, zone)
