"""What a report says of climate logs, and of readings nearer their limit than their own uncertainty."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from wallwalk.record import Record
from wallwalk.report.items import subject_title
from wallwalk.words import Words, fixed, words_in

DECISIONS = {
    "guarded": fixed("guarded: a reading nearer its limit than its own uncertainty is not a pass"),
    "simple": fixed(
        "simple: a reading is taken as read; nearer its limit than its own uncertainty, it gives a caution"
    ),
}
"""What each decision rule says of readings (JCGM 106:2012 clause 8)."""

QUANTITIES = (fixed("temperature"), fixed("humidity"))
"""What logs measure, as a record names it."""


@dataclass(frozen=True, slots=True)
class LogLine:
    """One climate log: its file, what it is, what of it is not used, and its digest."""

    file: str
    about: str
    notes: tuple[str, ...]
    sha256: str


@dataclass(frozen=True, slots=True)
class NearLine:
    """One reading that was decided though it lies nearer its limit than its uncertainty."""

    where: str
    title: str
    measured: str
    required: str


def log_lines(record: Record) -> Iterable[LogLine]:
    """Every climate log of the record, in the order of the survey."""
    words = words_in(record["language"])
    for log in record["climate"]["logs"] if record["climate"] else ():
        yield LogLine(log["file"] or log["place"], _about(log, words), tuple(_notes(log, words)), log["sha256"])


def near_lines(record: Record) -> Iterable[NearLine]:
    """Every reading that a simple decision took as read, and a guarded one would not have decided."""
    for finding in record["findings"]:
        for near in finding["near_limit"]:
            where = subject_title(finding["about"], finding["subject"], words_in(record["language"]))
            yield NearLine(where, finding["title"], f"{near['fact_title']}: {near['measured']}", near["required"])


def _about(log: Any, words: Words) -> str:  # noqa: ANN401 - a part of the record
    parts = [
        log["stood"],
        log["instrument"],
        words.say("a row every {time}", time=log["every"]) if log["every"] else "",
    ]
    parts += [
        words.say("{quantity} from its column {name}", quantity=words.tell(quantity), name=name)
        for quantity, name in sorted(log["columns"].items())
    ]
    if log["rows"]:
        span = {end: log[end]["shown"] for end in ("first", "last")}
        many = words.show_count(log["rows"])
        parts.append(
            words.say_many(
                "{many} row used, {first} to {last}",
                "{many} rows used, {first} to {last}",
                log["rows"],
                many=many,
                **span,
            )
        )
    else:
        parts.append(words.say("no row used"))
    return "; ".join(filter(None, parts))


def _notes(log: Any, words: Words) -> Iterable[str]:  # noqa: ANN401
    for note in log["notes"]:
        lines, more = ", ".join(map(str, note["lines"])), note["count"] - len(note["lines"])
        some = words.say("{lines} and {more} more", lines=lines, more=words.show_count(more)) if more else lines
        yield words.say_many(
            "Line {lines}: {what}.", "Lines {lines}: {what}.", note["count"], lines=some, what=note["what"]
        )
