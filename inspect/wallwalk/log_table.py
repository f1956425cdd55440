"""The columns of a logger's file: its separator, its header, its time, its quantities and their units."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from wallwalk.errors import quote
from wallwalk.log_clock import AnswerWantedError
from wallwalk.words import fixed

SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t"}
HEADER_WITHIN = 50
"""Loggers write a few lines about themselves first; the header is looked for in this many."""

_UNIT = re.compile(
    r"[°º�]\s*([CF])\b|[(\[]([CF])[)\]]|\bdeg(?:rees)?\.?\s*([CF])\b|\btemp(?:erature)?[\s,_]+([CF])$"
    r"|\b(c)elsius\b|\b(f)ahrenheit\b",
    re.IGNORECASE,
)
_OFFSET = re.compile(r"\b(?:UTC|GMT|Z)\b\s*(?:[+-]\s?\d{1,2}(?::?\d\d)?)?", re.IGNORECASE)
"""The clock that a header names beside its time."""

_TIME = re.compile(r"^(?!.*elapsed).*time", re.IGNORECASE)
_TEMPERATURE = re.compile(r"temp|[°º�]\s*[CF]\b", re.IGNORECASE)
_HUMIDITY = re.compile(r"humid|\brh\b|%\s*rh", re.IGNORECASE)
_OTHER = re.compile(
    r"^(?:|#|no\.?|nr\.?|n[º°o]\.?|number|row|record|id|index|events?|marks?|notes?|status|alarms?)$"
    r"|date|time|light|lux|co2|pressure|battery|volt|signal|occupancy|dew|ratio|absolute|specific|wet.?bulb|heat.?index",
    re.IGNORECASE,
)
"""Names of columns that are plainly neither. With any other beside it, no column is plainly the temperature."""

_PLAIN_WORDS = {
    "temp", "temperature", "t", "air", "room", "ambient", "sensor", "probe", "relative", "humidity", "rh", "r", "h",
    "hr", "rel", "deg", "degc", "degf", "degrees", "celsius", "fahrenheit", "c", "f", "in", "lgr", "sen", "s", "n",
}  # fmt: skip
"""The words that a name may hold to be plainly the air's temperature or humidity; with any other it has to be named."""


_NO_TIMES = fixed("no line names one column of times; the longest of the first lines: {names}")
_NO_TIMES_AT_ALL = fixed("no line names one column of times; the longest of the first lines: nothing")
_NO_COLUMN = fixed("no line names one column {name}; the longest of the first lines: {names}")
_NO_COLUMN_AT_ALL = fixed("no line names one column {name}; the longest of the first lines: nothing")
_NOT_NAMED = fixed("the file has no one column {name}; its columns: {names}")
_NOT_PLAIN = {
    "temperature": fixed("the file has no one column that is plainly temperature; its columns: {names}"),
    "humidity": fixed("the file has no one column that is plainly humidity; its columns: {names}"),
}


@dataclass(frozen=True, slots=True)
class Asked:
    """What the survey says of a log's form; None where it says nothing, and the file has to."""

    separator: str | None
    decimal_comma: bool
    at: str | None
    temperature: str | None
    humidity: str | None
    temperature_unit: str | None


@dataclass(frozen=True, slots=True)
class Columns:
    """Where a file keeps what: positions of its fields, with the number of names in its header.

    `at` is one position, or those of the date and of the time of day. `unit` is °C or °F, None where nothing says;
    `offset` is the clock that the header names, as it names it.
    `wanting` names the answers that would be needed to read a quantity, with what is lacking.
    """

    separator: str
    header_line: int
    count: int
    at: tuple[int, ...]
    quantities: dict[str, int]
    names: dict[str, str]
    unit: str | None
    offset: str | None
    wanting: dict[str, AnswerWantedError]


def find_columns(lines: Iterable[str], asked: Asked) -> Columns:
    """Find the header among the first lines of a file. Raises `AnswerWantedError`."""
    first = [line for _, line in zip(range(HEADER_WITHIN), lines, strict=False)]
    separators = (asked.separator,) if asked.separator else tuple(SEPARATORS)
    rows = [(n, s, split(line, s)) for n, line in enumerate(first, 1) for s in separators]
    rows.sort(key=lambda row: (row[0], -len(row[2])))  # in each line, first the separator that parts it most
    timed = [(n, s, names, at) for n, s, names in rows if _names(names) and (at := _time_columns(names, asked))]
    for number, separator, names, at in timed:
        if any(set(places) - set(at) for places in _quantities(names, asked).values()):
            return _columns(names, separator, number, at, asked)
    for number, separator, names, at in timed:  # no quantity is plain; say so of the line that names its columns
        if len(names) > len(at):
            return _columns(names, separator, number, at, asked)
    longest = max((names for _, _, names in rows), key=len, default=[])
    named = _listed(longest[:12])
    if asked.at is not None:
        raise AnswerWantedError(
            "columns.at", _NO_COLUMN if named else _NO_COLUMN_AT_ALL, name=quote(asked.at), names=named
        )
    raise AnswerWantedError("columns.at", _NO_TIMES if named else _NO_TIMES_AT_ALL, names=named)


def _names(fields: list[str]) -> bool:
    """Whether fields may be names of columns; a line with a value in it is none of names."""
    return not any(field[:1].isdecimal() for field in fields)


def say_csv(error: csv.Error) -> str:
    """What the CSV reader complains of, with nothing in it that does not show."""
    return str(error).replace("'\t'", "a tab")


def split(line: str, separator: str) -> list[str]:
    """The fields of one line, without the space around them."""
    return [field.strip() for field in next(csv.reader([line], delimiter=SEPARATORS[separator]), [])]


def _columns(names: list[str], separator: str, line: int, at: tuple[int, ...], asked: Asked) -> Columns:
    named = {i for name in (asked.temperature, asked.humidity) if name is not None for i in _called(names, name)}
    strange = any(i not in named and _is_strange(name) for i, name in enumerate(names))
    if asked.at is None and strange:  # one of them may be the time, too
        lacking = fixed("not every column is plain, so the time has to be named; the columns: {names}")
        wanting = {
            q: AnswerWantedError("columns.at", lacking, names=_listed(names)) for q in ("temperature", "humidity")
        }
        wanting |= {q: _wanted(q, names, asked) for q in wanting if getattr(asked, q) is None}
        return Columns(separator, line, len(names), at, {}, {}, None, None, wanting)
    found = {quantity: places for quantity, places in _quantities(names, asked).items() if len(places) == 1}
    quantities = {quantity: places[0] for quantity, places in found.items()}
    wanting = {
        quantity: _wanted(quantity, names, asked)
        for quantity in ("temperature", "humidity")
        if quantity not in quantities
    }
    unit = _unit_of(names[quantities["temperature"]]) if "temperature" in quantities else None
    called = {quantity: names[place] for quantity, place in quantities.items()}
    offset = next((clock[0] for place in at if (clock := _OFFSET.search(names[place]))), None)
    return Columns(separator, line, len(names), at, quantities, called, unit, offset, wanting)


def _is_plain(name: str) -> bool:
    """Whether a name says nothing but that it is the air's: no setpoint, no outdoors, no highest."""
    return all(word in _PLAIN_WORDS for word in re.findall(r"[^\W\d_]+", name.lower().replace("º", "°")))


def _is_strange(name: str) -> bool:
    """Whether nobody can tell from a name what its column is."""
    plainly = (_TEMPERATURE.search(name) or _HUMIDITY.search(name)) and _is_plain(name)
    return not plainly and not _OTHER.search(name)


def _wanted(quantity: str, names: list[str], asked: Asked) -> AnswerWantedError:
    named: str | None = getattr(asked, quantity)
    where, listed = f"columns.{quantity}", _listed(names)
    if named is not None:
        return AnswerWantedError(where, _NOT_NAMED, name=quote(named), names=listed)
    return AnswerWantedError(where, _NOT_PLAIN[quantity], names=listed)


def _listed(names: list[str]) -> str:
    return ", ".join(quote(name, 30) for name in names)


def _time_columns(names: list[str], asked: Asked) -> tuple[int, ...]:
    if asked.at is not None:
        called = _called(names, asked.at)
        return called if len(called) == 1 else ()
    dates = [i for i, name in enumerate(names) if "date" in name.lower() and len(name) <= 40]
    times = [i for i, name in enumerate(names) if _TIME.search(name) and len(name) <= 40]
    both = sorted({*dates, *times})
    if len(both) == 1:
        return (both[0],)
    if len(dates) == len(times) == 1:
        return (dates[0], times[0])
    return ()


def _quantities(names: list[str], asked: Asked) -> dict[str, tuple[int, ...]]:
    recognised: tuple[tuple[str, str | None, Callable[[str], object]], ...] = (
        ("temperature", asked.temperature, _TEMPERATURE.search),
        ("humidity", asked.humidity, _HUMIDITY.search),
    )
    named_ones = {i for _, named, _ in recognised if named is not None for i in _called(names, named)}
    named_ones |= set(_called(names, asked.at)) if asked.at is not None else set()
    found = {}
    plainly = {
        i: quantity
        for quantity, _, is_plainly in recognised
        for i, name in enumerate(names)
        if is_plainly(name) and _is_plain(name)
    }
    strange = any(i not in named_ones and _is_strange(name) for i, name in enumerate(names))
    for quantity, named, _ in recognised:
        plain = () if strange else tuple(i for i, of in plainly.items() if of == quantity)
        places = _called(names, named) if named is not None else plain
        if places:
            found[quantity] = places
    return found


def _called(names: list[str], named: str) -> tuple[int, ...]:
    wanted = " ".join(named.lower().split())
    return tuple(i for i, name in enumerate(names) if " ".join(name.lower().split()) == wanted)


def _unit_of(name: str) -> str | None:
    found = _UNIT.search(name)
    return None if found is None else f"°{next(filter(None, found.groups())).upper()}"
