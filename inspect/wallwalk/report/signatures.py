"""What was signed on a record, in words: every entry in its order, and each hold that is released over."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from wallwalk.filing import Entry
from wallwalk.moments import find_zone, show_moment
from wallwalk.questions import survey_questions
from wallwalk.record import Record
from wallwalk.report.items import PartyList, subject_title
from wallwalk.signing import HELD, NOTED, RELEASED, is_over_hold, releases_in_force
from wallwalk.words import fixed, words_in


@dataclass(frozen=True, slots=True)
class SignLine:
    """One entry: its number, what it is about, and who decided what, when and why, in one sentence."""

    number: int
    about: str
    says: str


@dataclass(frozen=True, slots=True)
class Released:
    """One hold that is released over: its rule, what is required where, and by whom, when and why it is released."""

    rule: str
    title: str
    where: str
    says: str


@dataclass(frozen=True, slots=True)
class Signer:
    """One line for a pen: who signs there, and the numbers of the holds that are theirs to put right, such as `3–5`."""

    title: str
    numbers: str


def signer_lines(record: Record, holds: tuple[PartyList, ...]) -> Iterator[Signer]:
    """Who signs on paper: the installer, each party that has something to put right, and those who may release it."""
    words = words_in(record["language"])
    numbers = {party.party: _numbers(party) for party in holds}
    ahead, behind = {"installer": fixed("Installer")}, {"general contractor": fixed("General contractor")}
    if "owner" in numbers or "owner" in record["rule_set"]["releases"]:
        behind["owner"] = fixed("Owner")
    behind["inspector"] = fixed("Inspector")
    others = {party.party: party.title for party in holds if party.party not in {*ahead, *behind}}
    for party, title in {**ahead, **others, **behind}.items():
        yield Signer(title if party in others else words.tell(title), numbers.get(party, ""))


def _numbers(party: PartyList) -> str:
    """Those of its holds, which follow one another, since holds are numbered party by party."""
    first, last = party.items[0].number, party.items[-1].number
    return str(first) if first == last else f"{first}–{last}"


def sign_lines(record: Record, entries: tuple[Entry, ...]) -> Iterator[SignLine]:
    """A line for each entry, in the order they were signed."""
    for entry in entries:
        yield SignLine(entry["number"], _about(record, entry), _says(record, entry))


def released_lines(record: Record, entries: tuple[Entry, ...]) -> Iterator[Released]:
    """A line for each hold that is released over, in the order of the record."""
    words = words_in(record["language"])
    for finding, entry in releases_in_force(record, entries):
        where = subject_title(finding["about"], finding["subject"], words)
        yield Released(finding["rule"], finding["title"], where, _says(record, entry))


def _about(record: Record, entry: Entry) -> str:
    words, hold = words_in(record["language"]), entry["hold"]
    if hold is None:
        return words.say("The whole record")
    for finding in record["findings"]:
        if (finding["rule"], finding["subject"]) == (hold["rule"], hold["subject"]):
            where = subject_title(finding["about"], finding["subject"], words)
            return f"{words.say('Required: {check}', check=finding['title'])} · {where}"
    return f"{hold['rule']} · {hold['subject']}"


def _says(record: Record, entry: Entry) -> str:
    words = words_in(record["language"])
    at = datetime.fromisoformat(entry["at"]).timestamp()
    said = words.tell(
        _DECIDED[_decided(record, entry)],
        name=entry["name"],
        role=survey_questions(record["language"]).words.get(entry["role"], entry["role"]),
        when=show_moment(at, find_zone(record["heading"]["time_zone"]), words),
    )
    return f"{said}: {entry['remark']}" if entry["remark"] else said


_OVER = "over a hold"
_DECIDED = {
    _OVER: fixed("released over hold by {name} ({role}), {when}"),
    RELEASED: fixed("released by {name} ({role}), {when}"),
    HELD: fixed("held by {name} ({role}), {when}"),
    NOTED: fixed("noted by {name} ({role}), {when}"),
}


def _decided(record: Record, entry: Entry) -> str:
    decision: str = entry["decision"]
    return _OVER if decision == RELEASED and is_over_hold(record, entry) else decision
