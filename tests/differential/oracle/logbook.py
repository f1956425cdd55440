"""A logger's file, row by row, as the survey says it is written; made up files and those of the examples alike."""

from __future__ import annotations

import csv
import re
from datetime import datetime, timedelta, timezone
from fractions import Fraction
from pathlib import Path
from typing import NamedTuple
from zoneinfo import ZoneInfo

from .amounts import widened
from .clocks import hours
from .papers import Answers
from .ranges import UNKNOWN, Range, exactly, is_told
from .readings import Case

_ORDERS = {
    "month-day-year": ("%m/%d/%Y", "%m.%d.%Y", "%m-%d-%Y"),
    "day-month-year": ("%d.%m.%Y", "%d/%m/%Y", "%d-%m-%Y"),
    "year-month-day": ("%Y-%m-%d",),
}
_TIMES = ("%H:%M:%S", "%H:%M", "%I:%M:%S %p", "%I:%M %p")
_SIGNS = {"comma": ",", "semicolon": ";", "tab": "\t"}


class Row(NamedTuple):
    """When a row was written, and what its air may have been; in hours, °F and %RH."""

    at: Fraction
    temperature: Range
    humidity: Range


class Log(NamedTuple):
    """The rows of one logger while it surely stood in the room; how often it writes; when it was read or taken away."""

    rows: list[Row]
    every: Fraction
    ended: Range


def read_logs(space: Answers, zone: str | None, folder: Path) -> list[Log | None]:
    """Each log of the survey, None where its header leaves open what its rows say."""
    return [_read(entry, Case(space), zone, folder) for entry in space.entries("climate_log")]


def _read(entry: Answers, case: Case, zone: str | None, folder: Path) -> Log | None:
    every, began, ended = entry.amount("every", "time"), entry.moment("began"), entry.moment("ended")
    name = entry.word("file")
    if name is None or not all(is_told(one) for one in (every, began, ended)):
        return None
    rows = [_judged(row, entry, case) for row in _rows(folder / name, entry, zone)]
    stood = [row for row in sorted(rows) if began.high <= row.at <= ended.low]
    return Log(stood, Fraction(every.low), ended)


def _judged(row: Row, entry: Answers, case: Case) -> Row:
    """A row is no better than its logger, and nothing once the calibration has run out."""
    good = case.of(entry).day_over("calibration_due").low >= row.at
    off = [case.off_by(entry, kind) for kind in ("temperature", "humidity")]
    cells = zip(("temperature", "humidity"), row[1:], off, strict=True)
    told = [widened(cell, u, kind) if good and is_told(u) and is_told(cell) else UNKNOWN for kind, cell, u in cells]
    return Row(row.at, *told)


def _rows(path: Path, entry: Answers, zone: str | None) -> list[Row]:
    """The rows as written. The header is the first line that names a temperature."""
    lines = path.read_text(encoding="utf-8-sig").splitlines()
    header = next(i for i, line in enumerate(lines) if re.search(r"temp|T \(|Lufttemp", line, re.IGNORECASE))
    sign = _SIGNS.get(entry.word("separator") or "") or max(_SIGNS.values(), key=lines[header].count)
    names = next(csv.reader([lines[header]], delimiter=sign))
    warm = _column(names, entry.word("columns.temperature"), r"temp|^T\b")
    damp = _column(names, entry.word("columns.humidity"), r"hum|RH|HR|feucht")
    when = _column(names, entry.word("columns.at"), r"date|fecha|time|zeit")
    then = when + 1 if "time" in names[when + 1].lower() else None
    fahrenheit = "°F" in names[warm] or entry.word("temperature_unit") == "°F"
    comma = entry.yes("decimal_comma") or sign == ";"
    found = []
    for cells in csv.reader(lines[header + 1 :], delimiter=sign):
        text = cells[when] if then is None else f"{cells[when]} {cells[then]}"
        degrees = _number(cells[warm], comma=bool(comma))
        if not fahrenheit and is_told(degrees):
            degrees = exactly(Fraction(degrees.low) * Fraction(9, 5) + 32)
        found.append(Row(_moment(text, entry, zone), degrees, _number(cells[damp], comma=bool(comma))))
    return found


def _column(names: list[str], said: str | None, looks_like: str) -> int:
    if said is not None:
        return names.index(said)
    return next(i for i, name in enumerate(names) if re.search(looks_like, name, re.IGNORECASE))


def _number(text: str, *, comma: bool) -> Range:
    text = text.strip().replace(",", ".") if comma else text.strip()
    return exactly(Fraction(text)) if re.fullmatch(r"-?\d+(\.\d+)?", text) else UNKNOWN


def _moment(text: str, entry: Answers, zone: str | None) -> Fraction:
    said = entry.word("date_order")
    days = _ORDERS[said] if said else _ORDERS["year-month-day"] + _ORDERS["day-month-year"]
    for form in (f"{day} {clock}" for day in days for clock in _TIMES):
        try:
            local = datetime.strptime(text.strip(), form)
        except ValueError:
            continue
        return hours(local.replace(tzinfo=_clock(entry.word("clock") or "site", zone)))
    raise ValueError(f"no moment: {text}")


def _clock(name: str, zone: str | None) -> ZoneInfo | timezone:
    fixed = re.fullmatch(r"([+-])(\d\d):(\d\d)", name)
    if fixed:
        passed = timedelta(hours=int(fixed[2]), minutes=int(fixed[3]))
        return timezone(-passed if fixed[1] == "-" else passed)
    return ZoneInfo(zone or "" if name == "site" else name)
