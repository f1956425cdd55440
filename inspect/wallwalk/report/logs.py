"""What a report says of climate logs, and of readings nearer their limit than their own uncertainty."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from wallwalk.record import Record
from wallwalk.report.items import subject_title

DECISIONS = {
    "guarded": "a reading nearer its limit than its own uncertainty is not a pass",
    "simple": "a reading is taken as read; nearer its limit than its own uncertainty, it gives a caution",
}
"""What each decision rule says of readings (JCGM 106:2012 clause 8)."""


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
    for log in record["climate"]["logs"] if record["climate"] else ():
        yield LogLine(log["file"] or log["place"], _about(log), tuple(_notes(log)), log["sha256"])


def near_lines(record: Record) -> Iterable[NearLine]:
    """Every reading that a simple decision took as read, and a guarded one would not have decided."""
    for finding in record["findings"]:
        for near in finding["near_limit"]:
            where = subject_title(finding["about"], finding["subject"])
            yield NearLine(where, finding["title"], f"{near['fact_title']}: {near['measured']}", near["required"])


def _about(log: Any) -> str:  # noqa: ANN401 - a part of the record
    parts = [log["stood"], log["instrument"], f"a row every {log['every']}" if log["every"] else ""]
    parts += [f"{quantity} from its column {name}" for quantity, name in sorted(log["columns"].items())]
    if log["rows"]:
        rows = f"{log['rows']:,} row{'s' if log['rows'] > 1 else ''}"
        parts.append(f"{rows} used, {log['first']['shown']} to {log['last']['shown']}")
    else:
        parts.append("no row used")
    return "; ".join(filter(None, parts))


def _notes(log: Any) -> Iterable[str]:  # noqa: ANN401
    for note in log["notes"]:
        lines, more = ", ".join(map(str, note["lines"])), note["count"] - len(note["lines"])
        some = f"{lines} and {more:,} more" if more else lines
        yield f"{'Line' if note['count'] == 1 else 'Lines'} {some}: {note['what']}."
