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
from wallwalk.report.items import Around, Item, Line, PartyList, items_of, subject_title
from wallwalk.report.logs import DECISIONS, LogLine, NearLine, log_lines, near_lines
from wallwalk.report.overrides import OverrideLine, override_lines
from wallwalk.report.paper import Apart, LimitLine, ToWrite, apart_of, limit_lines, to_write
from wallwalk.report.photos import PhotoLine, by_wall, photo_lines
from wallwalk.report.placing import place_photos
from wallwalk.report.signatures import Released, Signer, SignLine, released_lines, sign_lines, signer_lines
from wallwalk.report.tables import Sheet, ThemeTable, sheets_of, theme_tables
from wallwalk.words import Words, fixed, words_in

__all__ = ["Item", "Line", "View", "lay_out"]

NOT_STATED = fixed("not stated")

_HEADING = {
    "project": fixed("Project"),
    "project_number": fixed("Project number"),
    "address": fixed("Address"),
    "general_contractor": fixed("General contractor"),
    "owner": fixed("Owner"),
    "space": fixed("Space"),
    "level": fixed("Level"),
    "area_covered": fixed("Area covered"),
    "walked_at": fixed("Walked"),
    "walked_by": fixed("Walked by"),
    "walked_as": fixed("As"),
    "company": fixed("Company"),
    "time_zone": fixed("Time zone"),
    "notes": fixed("Notes"),
}

VERDICTS = {"pass": fixed("pass"), "hold": fixed("hold")}


@dataclass(frozen=True, slots=True)
class View:
    """Everything a report shows, in the order it is shown.

    `wall_numbers`: the number of each wall, where lists of walls are of those; else nothing.
    """

    record: Record
    words: Words
    verdict: str
    place: str
    headline: str
    walked_line: str
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
    wall_numbers: Mapping[str, int]
    apart: tuple[Apart, ...]
    limits: tuple[LimitLine, ...]
    decision: str
    overrides: tuple[OverrideLine, ...]
    near: tuple[NearLine, ...]
    logs: tuple[LogLine, ...]
    photos: tuple[PhotoLine, ...]
    photos_apart: tuple[tuple[str, tuple[PhotoLine, ...]], ...]
    signers: tuple[Signer, ...]
    signed: tuple[SignLine, ...]
    released: tuple[Released, ...]
    changes: tuple[Record, ...]


def lay_out(record: Record, entries: tuple[Entry, ...] = ()) -> View:
    """Lay out a record, and the entries signed on it, for reading."""
    findings, words = record["findings"], words_in(record["language"])
    titles = {name: record["rule_set"]["parties"][name] for name in record["rule_set"]["party_order"]}
    around = Around(
        tuple(s["name"] for s in record["subjects"] if s["listed"] and s["about"] != "space"),
        {(s["about"], s["name"]): s["place"] for s in record["subjects"]},
        words,
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
    photos = photo_lines(record, words)
    holds, left = place_photos(holds, photos)
    not_verified, left = place_photos(not_verified, left)
    cautions, left = place_photos(cautions, left)
    columns = [s["name"] for s in record["subjects"] if s["listed"]]
    heads = tuple(subject_title(s["about"], s["name"], words) for s in record["subjects"] if s["listed"])
    tables = tuple(theme_tables(record, listed))
    passed = sum(f["outcome"] == "pass" for f in of_hold)
    judged = sum(f["outcome"] != "does not apply" for f in of_hold)
    parties = tuple(_parties(holds, titles))
    not_applying = items_of((f for f in listed if f["outcome"] == "does not apply"), 1, around)
    return View(
        record=record,
        words=words,
        verdict=words.tell(VERDICTS[record["verdict"]]).upper(),
        place=place_of(record["heading"], words),
        headline=_headline(record, words),
        walked_line=_walked_line(record, words),
        start_line=start_line(record, words),
        earliest_line=_earliest_line(record, words),
        open_then=_open_then(record),
        holds=parties,
        not_verified=not_verified,
        unlisted=tuple(_unlisted(record, words)),
        cautions=cautions,
        columns=tuple(columns),
        tables=tables,
        passed=passed,
        judged=judged,
        not_applying=not_applying,
        heading=tuple(
            (words.tell(title), record["heading"][name] or words.tell(NOT_STATED)) for name, title in _HEADING.items()
        ),
        running=running_of(record["heading"], words),
        tally=_tally(len(holds), len(not_verified), cautions, passed, judged, words),
        to_write=tuple(to_write(not_verified, record, around)),
        sheets=tuple(sheets_of(heads, tables, words, by_number=around.by_number)),
        wall_numbers={name: i for i, name in enumerate(around.walls, 1)} if around.by_number else {},
        apart=tuple(apart_of(not_applying)),
        limits=tuple(limit_lines(record)),
        decision=words.tell(DECISIONS[record["rule_set"]["decision"]]),
        overrides=override_lines(record["rule_set"], words),
        near=tuple(near_lines(record)),
        logs=tuple(log_lines(record)),
        photos=photos,
        photos_apart=by_wall(left, around.walls),
        signers=tuple(signer_lines(record, parties)),
        signed=tuple(sign_lines(record, entries)),
        released=tuple(released_lines(record, entries)),
        changes=newest_first(record["rule_set"]["changes"], lambda change: str(change["date"])),
    )


def _parties(items: tuple[Item, ...], titles: dict[str, str]) -> Iterable[PartyList]:
    for party, title in titles.items():
        own = tuple(item for item in items if item.by == party)
        if own:
            yield PartyList(party, title, own)


def _headline(record: Record, words: Words) -> str:
    if record["verdict"] == "pass":
        return words.say("The work may start, as long as the space stays as it was on the walk.")
    return words.say("Do not start the work.")


def _walked_line(record: Record, words: Words) -> str:
    head = record["heading"]
    walked = words.say(
        "Walked {when} by {whom}",
        when=head["walked_at"] or words.say("at a time not stated"),
        whom=head["walked_by"] or words.say("a person not named"),
    )
    return walked + (f" ({head['walked_as']})." if head["walked_as"] else ".")


def place_of(heading: Mapping[str, str], words: Words) -> str:
    """The space and its level."""
    return ", ".join(filter(None, (heading["space"] or words.say("Space not stated"), heading["level"])))


def start_line(record: Record, words: Words) -> str:
    """Which start was checked for."""
    start = record["evaluated_for"]
    if start is None:
        return words.say("No planned start was given; nothing that runs to the start can be verified.")
    if start["given_by"] == "command line":
        line = words.say("Checked for a start on {when} (start given on the command line).", when=start["shown"])
    else:
        line = words.say("Checked for a start on {when}.", when=start["shown"])
    if start["from"] == start["to"]:
        return line
    return line + " " + words.say("No hour was given: a whole day is too wide to judge by.")


def _earliest_line(record: Record, words: Words) -> str:
    earliest = record["earliest_start"]
    at = earliest["at"]["shown"] if earliest["at"] else ""
    until = earliest["until"]
    lapses_first = bool(until and earliest["at"]) and _moment(until) < _moment(earliest["at"])
    ends = ""
    if until and not lapses_first:
        lapses = {"when": until["shown"], "check": earliest["lapses"]["title"]}
        ends = " " + words.say("After {when} this lapses: {check}.", **lapses)
    if record["verdict"] == "pass":
        opens = words.say("Start no earlier than {when}.", when=at) if at else words.say("No clock holds the start.")
        return f"{opens}{ends}"
    if earliest["by_waiting"] and earliest["open_then"]:
        return words.say("Earliest honest start: {when}, with what has lapsed by then done again.", when=at)
    if earliest["by_waiting"] and record["evaluated_for"] is None:
        return words.say("Give a planned start, no earlier than {when}.", when=at) + ends
    if earliest["by_waiting"] and at:
        return words.say("Earliest honest start: {when}. Only time is wanting.", when=at) + ends
    if at:
        return words.say("Not before {when}, and not before everything below is put right.", when=at) + ends
    return words.say("No start can be named: waiting does not cure what holds. Put it right and walk again.")


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


def _unlisted(record: Record, words: Words) -> Iterable[str]:
    for subject in record["subjects"]:
        if subject["listed"]:
            continue
        about, declared = subject["about"], subject["declared"]
        listed = sum(s["about"] == about and s["listed"] for s in record["subjects"])
        rules = sum(f["subject"] == subject["name"] and not f["listed"] for f in record["findings"])
        if declared is None:
            yield words.say_many(
                "{count} wall written down, and nobody said how many there are ({place}).",
                "{count} walls written down, and nobody said how many there are ({place}).",
                listed,
                place=subject["counted_by"],
            )
        else:
            yield words.say_many(
                "{declared} in scope, {count} wall written down: {missing} missing ({place}).",
                "{declared} in scope, {count} walls written down: {missing} missing ({place}).",
                listed,
                declared=declared,
                missing=declared - listed,
                place=subject["place"],
            )
        yield words.say("For every wall that is not written down, {count} rules are not verified.", count=rules)


def _tally(
    holds: int, open_items: int, cautions: tuple[Item, ...], passed: int, judged: int, words: Words
) -> tuple[tuple[str, str], ...]:
    unanswered = sum(not line.says for item in cautions for line in item.lines[:1])
    count = words.say_many("caution", "cautions", len(cautions))
    some = words.say("{cautions}, {count} of them not answered", cautions=count, count=unanswered)
    return (
        (str(holds), words.say("to put right")),
        (str(open_items), words.say("not verified")),
        (str(len(cautions)), some if unanswered else count),
        (words.say("{count} of {all}", count=passed, all=judged), words.say("checks pass")),
    )


def running_of(heading: Mapping[str, str], words: Words) -> tuple[str, str]:
    """Project and space as they stand on every page, cut so that they fit."""
    project = heading["project"] or words.say("Project not stated")
    return _cut(project, 56), _cut(heading["space"] or words.say("Space not stated"), 32)


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else f"{text[: most - 1].rstrip()}…"
