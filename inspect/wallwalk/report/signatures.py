"""What was signed on a record, in words: every entry in its order, and each hold that is released over."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from wallwalk.filing import Entry
from wallwalk.moments import find_zone, show_moment
from wallwalk.record import Record
from wallwalk.report.items import subject_title
from wallwalk.signing import HELD, RELEASED, is_over_hold, releases_in_force


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


def sign_lines(record: Record, entries: tuple[Entry, ...]) -> Iterator[SignLine]:
    """A line for each entry, in the order they were signed."""
    for entry in entries:
        yield SignLine(entry["number"], _about(record, entry), _says(record, entry))


def released_lines(record: Record, entries: tuple[Entry, ...]) -> Iterator[Released]:
    """A line for each hold that is released over, in the order of the record."""
    for finding, entry in releases_in_force(record, entries):
        where = subject_title(finding["about"], finding["subject"])
        yield Released(finding["rule"], finding["title"], where, _says(record, entry))


def _about(record: Record, entry: Entry) -> str:
    if entry["hold"] is None:
        return "The whole record"
    rule, subject = entry["hold"]["rule"], entry["hold"]["subject"]
    for finding in record["findings"]:
        if (finding["rule"], finding["subject"]) == (rule, subject):
            return f"Required: {finding['title']} · {subject_title(finding['about'], subject)}"
    return f"{rule} · {subject}"


def _says(record: Record, entry: Entry) -> str:
    who: Mapping[str, Any] = {"name": entry["name"], "role": entry["role"], "at": _shown(record, entry["at"])}
    said = _DECIDED[_decided(record, entry)].format(**who)
    return f"{said}: {entry['remark']}" if entry["remark"] else said


_DECIDED = {
    "released over hold": "released over hold by {name} ({role}), {at}",
    RELEASED: "released by {name} ({role}), {at}",
    HELD: "held by {name} ({role}), {at}",
    "noted": "noted by {name} ({role}), {at}",
}


def _decided(record: Record, entry: Entry) -> str:
    return "released over hold" if entry["decision"] == RELEASED and is_over_hold(record, entry) else entry["decision"]


def _shown(record: Record, at: str) -> str:
    return show_moment(datetime.fromisoformat(at).timestamp(), find_zone(record["heading"]["time_zone"]))
