"""A record, laid out for reading: what every form of report shows, grouped and in order, computed once here.

Everything is drawn from the record alone; no form adds arithmetic or a verdict of its own.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from wallwalk.record import Record

MARKS = {"pass": "yes", "hold": "HOLD", "not verified": "?", "does not apply": "–"}
"""What stands in a cell of the wall-by-rule table for each outcome; words and signs, never colour alone."""


NOT_STATED = "not stated"
WALLS_ACROSS = 12
WALLS_UPRIGHT = 6
"""The most walls side by side in a table on paper: at all, and with heads that need not be turned on end."""

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
class Against:
    """One thing measured, and what is required of it."""

    fact: str
    measured: str
    required: str


@dataclass(frozen=True, slots=True)
class Line:
    """One subject of one item: its name, what is said of it, and what was measured against what."""

    subject: str
    says: str
    measured: str
    required: str
    clears: str
    lacking: tuple[str, ...]
    against: tuple[Against, ...]


@dataclass(frozen=True, slots=True)
class Point:
    """The subjects of an item of which the very same is said."""

    subjects: tuple[str, ...]
    where: str
    says: str
    against: tuple[Against, ...]
    clears: str
    lacking: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Item:
    """One rule that has something to say, with a line for each subject it says it of."""

    number: int
    rule: str
    theme: str
    title: str
    grade: str
    put_right: str
    by: str
    why: str
    basis: str
    lines: tuple[Line, ...]
    only_time: bool
    points: tuple[Point, ...]
    where: str


@dataclass(frozen=True, slots=True)
class ToWrite:
    """One question that the survey leaves open: what to write down, where, for whom, and the items that wait for it."""

    what: str
    place: str
    where: str
    settles: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class PartyList:
    """What one party must put right."""

    party: str
    title: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """One rule in the table of all rules: its title and a mark for each subject, None where it is not about it."""

    title: str
    rule: str
    grade: str
    cells: tuple[str | None, ...]


@dataclass(frozen=True, slots=True)
class ThemeTable:
    """All rules of one theme."""

    title: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Apart:
    """Rules that do not apply in one place, for one reason."""

    where: str
    because: str
    titles: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """As many columns of the table of all rules as fit side by side, without the rows that say nothing in them.

    `turned`: so many that their heads stand on end.
    """

    title: str
    columns: tuple[str, ...]
    turned: bool
    themes: tuple[ThemeTable, ...]

    @property
    def across(self) -> int:
        """How many columns it has, the one of the titles counted in."""
        return 1 + len(self.columns)


@dataclass(frozen=True, slots=True)
class LimitLine:
    """One limit that was used, with the rules that used it."""

    title: str
    written: str
    basis: str
    history: tuple[str, ...]
    used_by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class View:
    """Everything a report shows, in the order it is shown."""

    record: Record
    verdict: str
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


@dataclass(frozen=True, slots=True)
class _Around:
    """What stands around a finding: all walls written down, and the place of each subject in the survey."""

    walls: tuple[str, ...]
    places: Mapping[tuple[str, str], str]


def lay_out(record: Record) -> View:
    """Lay out a record for reading."""
    findings = record["findings"]
    titles = {name: record["rule_set"]["parties"][name] for name in record["rule_set"]["party_order"]}
    around = _Around(
        tuple(s["name"] for s in record["subjects"] if s["listed"] and s["about"] != "space"),
        {(s["about"], s["name"]): s["place"] for s in record["subjects"]},
    )
    of_hold = [f for f in findings if f["grade"] == "hold"]
    # Numbered as they are read: by party, then in the order of the rule set.
    held = sorted((f for f in of_hold if f["outcome"] == "hold"), key=lambda f: list(titles).index(f["by"]))
    holds = _items(held, 1, around)
    listed = [f for f in findings if f["listed"]]
    hold_listed = [f for f in listed if f["grade"] == "hold"]
    not_verified = _items((f for f in hold_listed if f["outcome"] == "not verified"), len(holds) + 1, around)
    cautions = _items(
        (f for f in listed if f["grade"] == "caution" and f["outcome"] in ("hold", "not verified")), 1, around
    )
    columns = [s["name"] for s in record["subjects"] if s["listed"]]
    heads = tuple(_subject(s["about"], s["name"]) for s in record["subjects"] if s["listed"])
    tables = tuple(_tables(record, listed))
    passed = sum(f["outcome"] == "pass" for f in of_hold)
    judged = sum(f["outcome"] != "does not apply" for f in of_hold)
    not_applying = _items((f for f in listed if f["outcome"] == "does not apply"), 1, around)
    return View(
        record=record,
        verdict=record["verdict"].upper(),
        headline="The first sheet may go up." if record["verdict"] == "pass" else "Do not open adhesive.",
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
        tally=_tally(len(holds), len(not_verified), len(cautions), passed, judged),
        to_write=tuple(_to_write(not_verified, record, around)),
        sheets=tuple(_sheets(heads, tables)),
        apart=tuple(_apart(not_applying)),
        limits=tuple(_limits(record)),
    )


def _items(findings: Iterable[Any], first: int, around: _Around) -> tuple[Item, ...]:
    by_rule: dict[str, list[Any]] = {}
    for finding in findings:
        by_rule.setdefault(finding["rule"], []).append(finding)
    return tuple(_item(number, group, around) for number, group in enumerate(by_rule.values(), first))


def _item(number: int, group: list[Any], around: _Around) -> Item:
    first = group[0]
    lines = tuple(_line(f) for f in group)
    return Item(
        number=number,
        rule=first["rule"],
        theme=first["theme"],
        title=first["title"],
        grade=first["grade"],
        put_right=first["put_right"],
        by=first["by"],
        why=first["why"],
        basis=first["basis"],
        lines=lines,
        only_time=all(f["waiting_clears_it"] for f in group),
        points=tuple(_points(group, lines, around)),
        where=_where({f["subject"]: _subject(f["about"], f["subject"]) for f in group}, around),
    )


def _points(group: list[Any], lines: Iterable[Line], around: _Around) -> Iterable[Point]:
    alike: dict[tuple[Any, ...], dict[str, str]] = {}
    for finding, line in zip(group, lines, strict=True):
        lacking = tuple(q.shown for q in _questions(finding, line, around)) if line.lacking else ()
        said = (line.says, line.against, line.clears, lacking)
        alike.setdefault(said, {})[line.subject] = _subject(finding["about"], line.subject)
    for (says, against, clears, lacking), shown in alike.items():
        yield Point(tuple(shown.values()), _where(shown, around), says, against, clears, lacking)


def _subject(about: str, name: str) -> str:
    return "The space" if about == "space" else name


def _where(shown: Mapping[str, str], around: _Around) -> str:
    """The subjects in one line, in the order of the survey; `shown` gives how the name of each is shown."""
    walls = [name for name in around.walls if name in shown]
    others = [name for name in around.walls if name not in shown]
    if len(walls) != len(shown) or len(walls) < 3:
        return _listed(shown.values())
    if not others:
        return f"All {len(walls)} walls"
    if 3 * len(others) <= len(walls):
        return f"All walls but {_listed(others)}"
    return _listed(walls)


def _listed(names: Iterable[str]) -> str:
    together = tuple(names)
    return ("; " if any("," in name for name in together) else ", ").join(together)


def _line(finding: Any) -> Line:  # noqa: ANN401 - a part of the record
    deciding = [c for c in finding["compared"] if c["verdict"] == finding["outcome"]] or [
        c for c in finding["compared"] if c["verdict"] != "pass"
    ]
    clears = finding["clears_at"]["shown"] if finding["clears_at"] and finding["waiting_clears_it"] else ""
    return Line(
        subject=finding["subject"],
        says=finding["says"],
        measured="; ".join(f"{c['fact_title']}: {c['measured']}" for c in deciding),
        required="; ".join(c["required"] for c in deciding),
        clears=clears,
        lacking=tuple(_lacking(finding, deciding)),
        against=tuple(Against(c["fact_title"], c["measured"], c["required"]) for c in deciding),
    )


def _lacking(finding: Any, deciding: list[Any]) -> Iterable[str]:  # noqa: ANN401
    if finding["outcome"] != "not verified":
        return
    for missing in finding["missing"]:
        lacking = "" if missing["lacking"] == "not answered" else f": {missing['lacking']}"
        yield f"{missing['title'].rstrip('?')}{lacking} ({missing['place']})"
    if not finding["missing"]:
        for compared in deciding:
            yield f"{compared['fact_title']}: {compared['measured']} does not settle {compared['required']}"


def _parties(items: tuple[Item, ...], titles: dict[str, str]) -> Iterable[PartyList]:
    for party, title in titles.items():
        own = tuple(item for item in items if item.by == party)
        if own:
            yield PartyList(party, title, own)


def _start_line(record: Record) -> str:
    start = record["evaluated_for"]
    if start is None:
        return "No planned start was given; nothing that runs to the start can be verified."
    given = " (start given on the command line)" if start["given_by"] == "command line" else ""
    return f"Checked for a start on {start['shown']}{given}."


def _earliest_line(record: Record) -> str:
    earliest = record["earliest_start"]
    at = earliest["at"]["shown"] if earliest["at"] else ""
    if record["verdict"] == "pass":
        return f"The clocks allow a start from {at}." if at else "No clock holds the start."
    if earliest["by_waiting"] and not earliest["open_then"]:
        return f"Earliest honest start: {at}. Only time is wanting."
    if earliest["by_waiting"]:
        return f"Earliest honest start: {at}, with what has lapsed by then done again."
    if at:
        return f"Not before {at}, and not before everything below is put right. Waiting alone will not do it."
    return "No start can be named: waiting does not cure what holds. Put it right and walk again."


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
        if not subject["listed"]:
            about = subject["about"]
            listed = sum(s["about"] == about and s["listed"] for s in record["subjects"])
            rules = sum(f["subject"] == subject["name"] and not f["listed"] for f in record["findings"])
            yield (
                f"{listed} {about}{'s' if listed != 1 else ''} written down; nothing shows that this is all. "
                f"For any other, none of the {rules} {about} rules is verified ({subject['place']})."
            )


def _tables(record: Record, listed: list[Any]) -> Iterable[ThemeTable]:
    subjects = [(s["about"], s["name"]) for s in record["subjects"] if s["listed"]]
    for theme in record["rule_set"]["theme_order"]:
        rules: dict[str, list[Any]] = {}
        for finding in listed:
            if finding["theme"] == theme:
                rules.setdefault(finding["rule"], []).append(finding)
        rows = []
        for name, group in rules.items():
            marks = {(f["about"], f["subject"]): MARKS[f["outcome"]] for f in group}
            caution = group[0]["grade"] == "caution"
            cells = (marks.get(subject) for subject in subjects)
            rows.append(
                Row(
                    group[0]["title"],
                    name,
                    group[0]["grade"],
                    tuple("note" if caution and c == "HOLD" else c for c in cells),
                )
            )
        if rows:
            yield ThemeTable(record["rule_set"]["themes"][theme], tuple(rows))


def _sheets(columns: tuple[str, ...], tables: tuple[ThemeTable, ...]) -> Iterable[Sheet]:
    """The table of all rules in parts: first the space, then the walls, in parts of about equal width."""
    walls = len(columns) - 1
    parts = -(-walls // WALLS_ACROSS)
    cuts = [0, *(1 + walls * part // parts for part in range(parts)), len(columns)]
    for start, end in pairwise(cuts):
        themes = tuple(t for t in (_slice(table, start, end) for table in tables) if t.rows)
        if themes:
            yield Sheet(_sheet_title(start, end, walls), columns[start:end], end - start > WALLS_UPRIGHT, themes)


def _slice(table: ThemeTable, start: int, end: int) -> ThemeTable:
    rows = (Row(row.title, row.rule, row.grade, row.cells[start:end]) for row in table.rows)
    return ThemeTable(table.title, tuple(row for row in rows if any(row.cells)))


def _sheet_title(start: int, end: int, walls: int) -> str:
    if start == 0:
        return "The space"
    return f"Walls {start} to {end - 1} of {walls}" if end - start < walls else "The walls"


def _apart(items: Iterable[Item]) -> Iterable[Apart]:
    alike: dict[tuple[str, str], list[str]] = {}
    for item in items:
        for point in item.points:
            alike.setdefault((point.where, point.says), []).append(item.title)
    for (where, because), titles in alike.items():
        yield Apart(where, because, tuple(titles))


def _tally(holds: int, open_items: int, cautions: int, passed: int, judged: int) -> tuple[tuple[str, str], ...]:
    return (
        (str(holds), "to put right"),
        (str(open_items), "not verified"),
        (str(cautions), "caution" if cautions == 1 else "cautions"),
        (f"{passed} of {judged}", "checks pass"),
    )


def _running(heading: Mapping[str, str]) -> tuple[str, str]:
    """Project and space as they stand on every page, cut so that they fit."""
    return _cut(heading["project"] or f"Project {NOT_STATED}", 56), _cut(heading["space"] or f"Space {NOT_STATED}", 32)


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else f"{text[: most - 1].rstrip()}…"


def _limits(record: Record) -> Iterable[LimitLine]:
    titles = {f["rule"]: f["title"] for f in record["findings"]}
    for limit in record["limits"]:
        yield LimitLine(
            title=limit["name"].replace("_", " ").capitalize(),
            written=limit["written"],
            basis=limit["basis"],
            history=tuple(limit["history"]),
            used_by=tuple(titles[rule] for rule in limit["used_by"]),
        )


@dataclass(frozen=True, slots=True)
class _Question:
    """One thing to write down. `about` says whether it is asked of each wall or once of the space."""

    what: str
    place: str
    about: str

    @property
    def shown(self) -> str:
        return f"{self.what} ({self.place})" if self.place else self.what


def _to_write(items: tuple[Item, ...], record: Record, around: _Around) -> Iterable[ToWrite]:
    """What the not verified items wait for, each question once, in the order of the first item that asks it."""
    findings = {(f["rule"], f["subject"]): f for f in record["findings"]}
    whose: dict[_Question, dict[str, str]] = {}
    settles: dict[_Question, dict[int, Item]] = {}
    for item in items:
        for line in item.lines:
            for asked in _questions(findings[item.rule, line.subject], line, around):
                name = "space" if asked.about == "space" else line.subject
                whose.setdefault(asked, {})[name] = _subject(asked.about, line.subject)
                settles.setdefault(asked, {})[item.number] = item
    for asked, shown in whose.items():
        yield ToWrite(asked.what, asked.place, _where(shown, around), tuple(settles[asked].values()))


def _questions(finding: Any, line: Line, around: _Around) -> Iterable[_Question]:  # noqa: ANN401
    """What to write and where. The number of the wall is left out, so that the same question of many walls is one."""
    about, own = finding["about"], around.places[finding["about"], line.subject]
    if not finding["missing"]:
        for against in line.against:
            yield _Question(f"{against.fact}: {against.measured} does not settle {against.required}", "", about)
    for missing in finding["missing"]:
        title, lacking, place = missing["title"], missing["lacking"], missing["place"]
        what = title if lacking == "not answered" else f"{title.rstrip('?')}: {lacking}"
        if own and place.startswith(f"{own}."):
            yield _Question(what, re.sub(r"\[\d+\]$", "[…]", own) + place.removeprefix(own), about)
        else:
            yield _Question(what, place, "space")
