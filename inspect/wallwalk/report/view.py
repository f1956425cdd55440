"""A record, laid out for reading: what every form of report shows, grouped and in order, computed once here.

Everything is drawn from the record alone; no form adds arithmetic or a verdict of its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from wallwalk.filing import Entry
from wallwalk.record import Record
from wallwalk.report.changes import newest_first
from wallwalk.report.items import Around, Item, Line, items_of, subject_title
from wallwalk.report.logs import DECISIONS, LogLine, NearLine, log_lines, near_lines
from wallwalk.report.overrides import OverrideLine, override_lines
from wallwalk.report.paper import Apart, LimitLine, ToWrite, apart_of, limit_lines, to_write
from wallwalk.report.signatures import Released, SignLine, released_lines, sign_lines
from wallwalk.report.tables import Sheet, ThemeTable, sheets_of, theme_tables

__all__ = ["Item", "Line", "View", "lay_out"]

NOT_STATED = "not stated"

_HEADING = {
    "project": "Project",
    "project_number": "Project number",
    "address": "Address",
    "general_contractor": "General contractor",
    "owner": "Owner",
    "space": "Space",
    "level": "Level",
    "area_covered": "Area covered",
    "walked_at": "Walked",
    "walked_by": "Walked by",
    "walked_as": "As",
    "company": "Company",
    "time_zone": "Time zone",
    "notes": "Notes",
}


@dataclass(frozen=True, slots=True)
class PartyList:
    """What one party must put right."""

    party: str
    title: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class View:
    """Everything a report shows, in the order it is shown."""

    record: Record
    verdict: str
    place: str
    headline: str
    start_line: str
    earliest_line: str
    open_then: tuple[str, ...]
    holds: tuple[PartyList, ...]
    not_verified: tuple[Item, ...]
    unlisted: tuple[str, ...]
    cautions: tuple[Item, ...]
    columns: tuple[str, ...]
    tables: tuple[ThemeTable, ...]
    passed: int
    judged: int
    not_applying: tuple[Item, ...]
    heading: tuple[tuple[str, str], ...]
    running: tuple[str, str]
    tally: tuple[tuple[str, str], ...]
    to_write: tuple[ToWrite, ...]
    sheets: tuple[Sheet, ...]
    apart: tuple[Apart, ...]
    limits: tuple[LimitLine, ...]
    decision: str
    overrides: tuple[OverrideLine, ...]
    near: tuple[NearLine, ...]
    logs: tuple[LogLine, ...]
    signed: tuple[SignLine, ...]
    released: tuple[Released, ...]
    changes: tuple[Record, ...]


def lay_out(record: Record, entries: tuple[Entry, ...] = ()) -> View:
    """Lay out a record, and the entries signed on it, for reading."""
    findings = record["findings"]
    titles = {name: record["rule_set"]["parties"][name] for name in record["rule_set"]["party_order"]}
    around = Around(
        tuple(s["name"] for s in record["subjects"] if s["listed"] and s["about"] != "space"),
        {(s["about"], s["name"]): s["place"] for s in record["subjects"]},
    )
    of_hold = [f for f in findings if f["grade"] == "hold"]
    # Numbered as they are read: by party, then in the order of the rule set.
    held = sorted((f for f in of_hold if f["outcome"] == "hold"), key=lambda f: list(titles).index(f["by"]))
    holds = items_of(held, 1, around)
    listed = [f for f in findings if f["listed"]]
    hold_listed = [f for f in listed if f["grade"] == "hold"]
    not_verified = items_of((f for f in hold_listed if f["outcome"] == "not verified"), len(holds) + 1, around)
    cautions = items_of(
        (f for f in listed if f["grade"] == "caution" and f["outcome"] in ("hold", "not verified")), 1, around
    )
    columns = [s["name"] for s in record["subjects"] if s["listed"]]
    heads = tuple(subject_title(s["about"], s["name"]) for s in record["subjects"] if s["listed"])
    tables = tuple(theme_tables(record, listed))
    passed = sum(f["outcome"] == "pass" for f in of_hold)
    judged = sum(f["outcome"] != "does not apply" for f in of_hold)
    not_applying = items_of((f for f in listed if f["outcome"] == "does not apply"), 1, around)
    return View(
        record=record,
        verdict=record["verdict"].upper(),
        place=", ".join(
            filter(None, (record["heading"]["space"] or f"Space {NOT_STATED}", record["heading"]["level"]))
        ),
        headline=_headline(record),
        start_line=_start_line(record),
        earliest_line=_earliest_line(record),
        open_then=_open_then(record),
        holds=tuple(_parties(holds, titles)),
        not_verified=not_verified,
        unlisted=tuple(_unlisted(record)),
        cautions=cautions,
        columns=tuple(columns),
        tables=tables,
        passed=passed,
        judged=judged,
        not_applying=not_applying,
        heading=tuple((title, record["heading"][name] or NOT_STATED) for name, title in _HEADING.items()),
        running=_running(record["heading"]),
        tally=_tally(len(holds), len(not_verified), cautions, passed, judged),
        to_write=tuple(to_write(not_verified, record, around)),
        sheets=tuple(sheets_of(heads, tables)),
        apart=tuple(apart_of(not_applying)),
        limits=tuple(limit_lines(record)),
        decision=f"{record['rule_set']['decision']}: {DECISIONS[record['rule_set']['decision']]}",
        overrides=tuple(override_lines(record)),
        near=tuple(near_lines(record)),
        logs=tuple(log_lines(record)),
        signed=tuple(sign_lines(record, entries)),
        released=tuple(released_lines(record, entries)),
        changes=newest_first(record["rule_set"]["changes"], lambda change: str(change["date"])),
    )


def _parties(items: tuple[Item, ...], titles: dict[str, str]) -> Iterable[PartyList]:
    for party, title in titles.items():
        own = tuple(item for item in items if item.by == party)
        if own:
            yield PartyList(party, title, own)


def _headline(record: Record) -> str:
    if record["verdict"] == "pass":
        return "The first sheet may go up, as long as the space stays as it was on the walk."
    return "Do not open adhesive."


def _start_line(record: Record) -> str:
    start = record["evaluated_for"]
    if start is None:
        return "No planned start was given; nothing that runs to the start can be verified."
    given = " (start given on the command line)" if start["given_by"] == "command line" else ""
    hour = "" if start["from"] == start["to"] else " No hour was given: a whole day is too wide to judge by."
    return f"Checked for a start on {start['shown']}{given}.{hour}"


def _earliest_line(record: Record) -> str:
    earliest = record["earliest_start"]
    at = earliest["at"]["shown"] if earliest["at"] else ""
    until = earliest["until"]
    lapses_first = bool(until and earliest["at"]) and _moment(until) < _moment(earliest["at"])
    ends = f" After {until['shown']} this lapses: {earliest['lapses']['title']}." if until and not lapses_first else ""
    if record["verdict"] == "pass":
        opens = f"Start no earlier than {at}." if at else "No clock holds the start."
        return f"{opens}{ends}"
    if earliest["by_waiting"] and earliest["open_then"]:
        return f"Earliest honest start: {at}, with what has lapsed by then done again."
    if earliest["by_waiting"] and record["evaluated_for"] is None:
        return f"Give a planned start, no earlier than {at}.{ends}"
    if earliest["by_waiting"] and at:
        return f"Earliest honest start: {at}. Only time is wanting.{ends}"
    if at:
        return f"Not before {at}, and not before everything below is put right.{ends}"
    return "No start can be named: waiting does not cure what holds. Put it right and walk again."


def _moment(moment: Record) -> datetime:
    return datetime.fromisoformat(moment["at"])


def _open_then(record: Record) -> tuple[str, ...]:
    """What has lapsed by the earliest start, where only time is wanting; elsewhere the holds say it already."""
    earliest = record["earliest_start"]
    if not earliest["by_waiting"]:
        return ()
    return tuple(
        dict.fromkeys(
            o["title"] if o["subject"] == "space" else f"{o['title']} · {o['subject']}" for o in earliest["open_then"]
        )
    )


def _unlisted(record: Record) -> Iterable[str]:
    for subject in record["subjects"]:
        if subject["listed"]:
            continue
        about, declared = subject["about"], subject["declared"]
        listed = sum(s["about"] == about and s["listed"] for s in record["subjects"])
        rules = sum(f["subject"] == subject["name"] and not f["listed"] for f in record["findings"])
        many = f"{about}{'s' if listed != 1 else ''}"
        if declared is None:
            yield f"{listed} {many} written down, and nobody said how many there are ({subject['counted_by']})."
        else:
            missing = f"{declared - listed} missing ({subject['place']})"
            yield f"{declared} in scope, {listed} {many} written down: {missing}."
        yield f"For every {about} that is not written down, {rules} rules are not verified."


def _tally(
    holds: int, open_items: int, cautions: tuple[Item, ...], passed: int, judged: int
) -> tuple[tuple[str, str], ...]:
    unanswered = sum(not line.says for item in cautions for line in item.lines[:1])
    count = "caution" if len(cautions) == 1 else "cautions"
    return (
        (str(holds), "to put right"),
        (str(open_items), "not verified"),
        (str(len(cautions)), f"{count}, {unanswered} of them not answered" if unanswered else count),
        (f"{passed} of {judged}", "checks pass"),
    )


def _running(heading: Mapping[str, str]) -> tuple[str, str]:
    """Project and space as they stand on every page, cut so that they fit."""
    return _cut(heading["project"] or f"Project {NOT_STATED}", 56), _cut(heading["space"] or f"Space {NOT_STATED}", 32)


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else f"{text[: most - 1].rstrip()}…"
