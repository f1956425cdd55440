"""The terminal summary: plain text in 80 columns, complete without colour and through a pipe."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from wallwalk.filing import Entry
from wallwalk.matching import Match
from wallwalk.record import Record
from wallwalk.report.paper import ToWrite
from wallwalk.report.view import Item, Line, View, lay_out

WIDTH = 80


def render_terminal(record: Record, entries: tuple[Entry, ...] = ()) -> str:
    """The summary of a record and of what was signed on it, verdict first, ending in a newline."""
    view = lay_out(record, entries)
    return "\n".join(line.rstrip() for line in _lines(view)) + "\n"


def render_sign_off(record: Record, entries: tuple[Entry, ...]) -> str:
    """The verdict, which signing does not change, and what was signed, ending in a newline."""
    view = lay_out(record, entries)
    lines = [*wrap(f"{view.verdict} | {view.place}", 0, 7), *_signed(view)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def render_matches(matches: tuple[Match, ...]) -> str:
    """What a check of a filed record found, a line for each thing, ending in a newline."""
    wrong = [one for one in matches if one.matches is False]
    lines = [line for one in matches for line in wrap(f"{_MARKS[one.matches]:4}{one.says}", 0, 4)]
    things = "1 thing does" if len(wrong) == 1 else f"{len(wrong)} things do"
    last = (
        f"DOES NOT MATCH: {things} not match. The first: {wrong[0].says}"
        if wrong
        else "MATCHES: it is what was checked."
    )
    return "\n".join([*lines, "", *wrap(last, 0, 4)]) + "\n"


_MARKS = {True: "ok", False: "NOT", None: "-"}


def wrap(text: str, indent: int = 0, hanging: int | None = None) -> list[str]:
    """`text` in lines of at most 80 columns, indented; later lines by `hanging` where it differs."""
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=" " * indent,
        subsequent_indent=" " * (indent if hanging is None else hanging),
        break_on_hyphens=False,
    ) or [""]


def heading(title: str) -> list[str]:
    """A section heading with a blank line before it."""
    return ["", title, "-" * min(len(title), WIDTH)]


def _lines(view: View) -> Iterator[str]:
    yield from _top(view)
    yield from _overrides(view)
    for party in view.holds:
        yield from heading(f"HOLDS THE WORK - {party.title}")
        for item in party.items:
            yield from _hold(item)
    if view.not_verified or view.unlisted:
        yield from heading("NOT VERIFIED - find out and write down")
        for notice in view.unlisted:
            yield from wrap(f"!   {notice}", 0, 4)
        for asked in view.to_write:
            yield from _asked(asked)
        yield from heading("These checks wait for it")
        for item in view.not_verified:
            yield from wrap(f"{item.number:2}. {item.title} [{item.rule}]", 0, 4)
    if view.cautions:
        yield from heading("CAUTIONS - local code and licensed practice decide")
        for item in view.cautions:
            yield from _caution(item)
    yield from _near(view)
    yield from _materials(view)
    yield from _logs(view)
    yield from _signed(view)
    yield from _bottom(view)


def _top(view: View) -> Iterator[str]:
    head = view.record["heading"]
    yield from wrap(f"{view.verdict} | {view.place} | {head['project'] or 'project not named'}", 0, 7)
    yield from wrap(view.headline, 7)
    walked = f"Walked {head['walked_at'] or 'at a time not stated'} by {head['walked_by'] or 'a person not named'}"
    yield from wrap(walked + (f" ({head['walked_as']})." if head["walked_as"] else "."), 7)
    yield from wrap(view.start_line, 7)
    yield from wrap(view.earliest_line, 7)
    for lapsed in view.open_then:
        yield from wrap(f"by then again open: {lapsed}", 9, 11)
    for one in view.released:
        yield from wrap(f"Required: {one.title} · {one.where}: {one.says}", 7, 9)


def _hold(item: Item) -> Iterator[str]:
    yield from wrap(f"{item.number:2}. Required: {item.title} [{item.rule}]", 0, 4)
    for says, subjects in _same(item.lines, lambda line: line.says):
        yield from wrap(f"{_names(subjects)}{says}", 4, 6)
    yield from wrap(f"Do: {item.put_right}", 4, 8)
    for clears, subjects in _same(item.lines, lambda line: line.clears):
        if clears:
            what = "It clears" if clears.startswith("not before") else "Waiting clears it"
            yield from wrap(f"{what} {clears}{_on(subjects, item)}.", 4, 6)


def _same(lines: Iterable[Line], key: object) -> list[tuple[str, list[str]]]:
    if not callable(key):
        raise TypeError("lines are grouped by a function")
    groups: dict[str, list[str]] = {}
    for line in lines:
        groups.setdefault(key(line), []).append(line.subject)
    return list(groups.items())


def _names(subjects: list[str]) -> str:
    return "" if subjects == ["space"] else f"{', '.join(subjects)}: "


def _on(subjects: list[str], item: Item) -> str:
    return "" if len(subjects) == len(item.lines) else f" on {', '.join(subjects)}"


def _asked(asked: ToWrite) -> Iterator[str]:
    whom = "" if asked.where == "The space" else f"{asked.where}: "
    place = f" ({asked.place})" if asked.place else ""
    settles = ", ".join(str(item.number) for item in asked.settles)
    yield from wrap(f"-   {whom}{asked.what}{place}. Settles {settles}.", 0, 4)


def _caution(item: Item) -> Iterator[str]:
    said = [line for line in item.lines if line.says]
    for says, subjects in _same(said, lambda line: line.says):
        yield from wrap(f"!   {_names(subjects)}{says}", 0, 4)
    for point in item.points:
        if not point.says:
            whom = "" if point.where == "The space" else f" ({point.where})"
            yield from wrap(f"?   Not verified: {item.title}{whom}. Write down: {'; '.join(point.lacking)}", 0, 4)
    yield from wrap(item.put_right, 4)


def _overrides(view: View) -> Iterator[str]:
    if view.overrides:
        yield from heading("CHANGED BY OVERLAYS - what was relaxed comes first")
    for one in view.overrides:
        yield from wrap(f"{one.way.upper()}: {one.what}: {one.was}, now {one.here}", 0, 4)
        yield from wrap(f"{one.overlay}: {one.because} ({one.basis})", 4)


def _near(view: View) -> Iterator[str]:
    if view.near:
        yield from heading("NEAR THE LIMIT - decided as read, though the instrument cannot tell")
    for near in view.near:
        yield from wrap(f"!   {near.where}: {near.title}. {near.measured}; required: {near.required}", 0, 4)


def _materials(view: View) -> Iterator[str]:
    if view.record["materials"]:
        yield from heading("MATERIALS - needed and here")
    for row in view.record["materials"]:
        proof = {"exact": " (exact)", "bounds": " (between proven bounds)"}.get(row["proof"], "")
        lots = "; ".join(f"{one['lot']}: {one['amount']}" for one in row["lots"])
        here = row["here"] + (f" ({lots})" if lots else "")
        offcuts = f", left as offcuts {row['offcuts']}" if row["offcuts"] else ""
        yield from wrap(f"{row['title']}: needed {row['needed']}{proof}, here {here}{offcuts}", 0, 4)


def _logs(view: View) -> Iterator[str]:
    if view.logs:
        yield from heading("CLIMATE LOGS")
    for log in view.logs:
        yield from wrap(f"{log.file}: {log.about}.", 0, 4)
        for note in log.notes:
            yield from wrap(note, 4)


def _signed(view: View) -> Iterator[str]:
    if view.signed:
        yield from heading("SIGNED - the verdict stays what it was")
    for one in view.signed:
        yield from wrap(f"{one.number:2}. {one.about}: {one.says}", 0, 4)


def _bottom(view: View) -> Iterator[str]:
    rule_set = view.record["rule_set"]
    yield from heading(f"PASSED {view.passed} of {view.judged} checks that can hold the work")
    survey = view.record["survey"]
    yield from wrap(
        f"Rules: {rule_set['title']} ({rule_set['name']}), revision {rule_set['revision']}. "
        f"Survey: {survey['file']}, SHA-256 {survey['sha256'][:16]}."
    )
    if view.changes:
        count = f"{len(view.changes)} change{'' if len(view.changes) == 1 else 's'}"
        yield from wrap(f"Rules last changed {view.changes[0]['date']} ({count}, listed in the HTML and PDF reports).")
    yield from wrap(f"Decision rule: {view.decision}.")
    yield ""
    yield from wrap(f"{view.verdict}. {view.earliest_line}", 0, 0)
