"""The terminal summary: plain text in 80 columns, complete without colour and through a pipe."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from typing import Any

from wallwalk.filing import Entry
from wallwalk.matching import Match
from wallwalk.record import Record
from wallwalk.report.overrides import both_values
from wallwalk.report.paper import ToWrite
from wallwalk.report.view import Item, Line, View, lay_out
from wallwalk.words import Words, fixed

WIDTH = 80
_PROOFS = {"exact": fixed(" (exact)"), "bounds": fixed(" (between proven bounds)")}


def render_terminal(record: Record, entries: tuple[Entry, ...] = ()) -> str:
    """The summary of a record and of what was signed on it, verdict first, ending in a newline."""
    view = lay_out(record, entries)
    return "\n".join(line.rstrip() for line in _lines(view)) + "\n"


def render_sign_off(record: Record, entries: tuple[Entry, ...]) -> str:
    """The verdict, which signing does not change, and what was signed, ending in a newline."""
    view = lay_out(record, entries)
    lines = [*wrap(f"{view.verdict} | {view.place}", 0, 7), *_signed(view)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def render_matches(matches: tuple[Match, ...], words: Words) -> str:
    """What a check of a filed record found, a line for each thing, ending in a newline."""
    wrong = [one for one in matches if one.matches is False]
    lines = [line for one in matches for line in wrap(f"{words.tell(_MARKS[one.matches]):4}{one.says}", 0, 4)]
    last = words.say("MATCHES: it is what was checked.")
    if wrong:
        last = words.say_many(
            "DOES NOT MATCH: {count} thing does not match. The first: {first}",
            "DOES NOT MATCH: {count} things do not match. The first: {first}",
            len(wrong),
            first=wrong[0].says,
        )
    return "\n".join([*lines, "", *wrap(last, 0, 4)]) + "\n"


_MARKS = {True: fixed("ok"), False: fixed("NOT"), None: "-"}


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
    words = view.words
    yield from _top(view)
    yield from _overrides(view)
    for party in view.holds:
        yield from heading(words.say("HOLDS THE WORK - {party}", party=party.title))
        for item in party.items:
            yield from _hold(item, words)
    if view.not_verified or view.unlisted:
        yield from heading(words.say("NOT VERIFIED - find out and write down"))
        for notice in view.unlisted:
            yield from wrap(f"!   {notice}", 0, 4)
        for asked in view.to_write:
            yield from _asked(asked, words)
        yield from heading(words.say("These checks wait for it"))
        for item in view.not_verified:
            yield from wrap(f"{item.number:2}. {item.title} [{item.rule}]", 0, 4)
    if view.cautions:
        yield from heading(words.say("CAUTIONS - local code and licensed practice decide"))
        for item in view.cautions:
            yield from _caution(item, words)
    yield from _near(view)
    yield from _materials(view)
    yield from _logs(view)
    yield from _photos(view)
    yield from _signed(view)
    yield from _bottom(view)


def _top(view: View) -> Iterator[str]:
    head, words = view.record["heading"], view.words
    project = head["project"] or words.say("project not named")
    yield from wrap(f"{view.verdict} | {view.place} | {project}", 0, 7)
    yield from wrap(view.headline, 7)
    yield from wrap(view.walked_line, 7)
    yield from wrap(view.start_line, 7)
    yield from wrap(view.earliest_line, 7)
    for lapsed in view.open_then:
        yield from wrap(words.say("by then again open: {check}", check=lapsed), 9, 11)
    for one in view.released:
        required = words.say("Required: {check}", check=one.title)
        yield from wrap(f"{required} · {one.where}: {one.says}", 7, 9)


def _hold(item: Item, words: Words) -> Iterator[str]:
    required = words.say("Required: {check}", check=item.title)
    yield from wrap(f"{item.number:2}. {required} [{item.rule}]", 0, 4)
    for says, subjects in _same(item.lines, lambda line: line.says):
        yield from wrap(f"{_names(subjects)}{says}", 4, 6)
    yield from wrap(words.say("Do: {what}", what=item.put_right), 4, 8)
    for (clears, waits), subjects in _same(item.lines, lambda line: (line.clears, line.waits)):
        if clears:
            on = _on(subjects, item, words)
            said = words.say("Waiting clears it {when}{on}.", when=clears, on=on)
            yield from wrap(said if waits else words.say("It clears {when}{on}.", when=clears, on=on), 4, 6)


def _same(lines: Iterable[Line], key: object) -> list[tuple[Any, list[str]]]:
    if not callable(key):
        raise TypeError("lines are grouped by a function")
    groups: dict[Any, list[str]] = {}
    for line in lines:
        groups.setdefault(key(line), []).append(line.subject)
    return list(groups.items())


def _names(subjects: list[str]) -> str:
    return "" if subjects == ["space"] else f"{', '.join(subjects)}: "


def _on(subjects: list[str], item: Item, words: Words) -> str:
    return "" if len(subjects) == len(item.lines) else words.say(" on {walls}", walls=", ".join(subjects))


def _asked(asked: ToWrite, words: Words) -> Iterator[str]:
    whom = "" if asked.where == words.say("The space") else f"{asked.where}: "
    place = f" ({asked.place})" if asked.place else ""
    settles = words.say("Settles {numbers}.", numbers=", ".join(str(item.number) for item in asked.settles))
    yield from wrap(f"-   {whom}{asked.what}{place}. {settles}", 0, 4)


def _caution(item: Item, words: Words) -> Iterator[str]:
    said = [line for line in item.lines if line.says]
    for says, subjects in _same(said, lambda line: line.says):
        yield from wrap(f"!   {_names(subjects)}{says}", 0, 4)
    for point in item.points:
        if not point.says:
            whom = "" if point.where == words.say("The space") else f" ({point.where})"
            check, lacking = f"{item.title}{whom}", "; ".join(point.lacking)
            waits = words.say("Not verified: {check}. Write down: {lacking}", check=check, lacking=lacking)
            yield from wrap(f"?   {waits}", 0, 4)
    yield from wrap(item.put_right, 4)


def _overrides(view: View) -> Iterator[str]:
    if view.overrides:
        yield from heading(view.words.say("CHANGED BY OVERLAYS - what was relaxed comes first"))
    for one in view.overrides:
        yield from wrap(f"{one.way.upper()}: {both_values(one, view.words)}", 0, 4)
        yield from wrap(f"{one.overlay}: {one.because} ({one.basis})", 4)


def _near(view: View) -> Iterator[str]:
    if view.near:
        yield from heading(view.words.say("NEAR THE LIMIT - decided as read, though the instrument cannot tell"))
    for near in view.near:
        against = view.words.say("{measured}; required: {required}", measured=near.measured, required=near.required)
        yield from wrap(f"!   {near.where}: {near.title}. {against}", 0, 4)


def _materials(view: View) -> Iterator[str]:
    words = view.words
    if view.record["materials"]:
        yield from heading(words.say("MATERIALS - needed and here"))
    for row in view.record["materials"]:
        proof = words.tell(_PROOFS[row["proof"]]) if row["proof"] else ""
        lots = "; ".join(f"{one['lot']}: {one['amount']}" for one in row["lots"])
        here = row["here"] + (f" ({lots})" if lots else "")
        offcuts = words.say(", left as offcuts {amount}", amount=row["offcuts"]) if row["offcuts"] else ""
        said = words.say("needed {needed}, here {here}", needed=row["needed"] + proof, here=here)
        yield from wrap(f"{row['title']}: {said}{offcuts}", 0, 4)


def _logs(view: View) -> Iterator[str]:
    if view.logs:
        yield from heading(view.words.say("CLIMATE LOGS"))
    for log in view.logs:
        yield from wrap(f"{log.file}: {log.about}.", 0, 4)
        for note in log.notes:
            yield from wrap(note, 4)


def _photos(view: View) -> Iterator[str]:
    if view.photos:
        yield from heading(view.words.say("PHOTOS - they decide nothing"))
    for photo in view.photos:
        shows = f"{photo.where}: {photo.note}" if photo.note else photo.where
        yield from wrap(f"{photo.number:2}. {shows} ({photo.file}; {photo.taken})", 0, 4)


def _signed(view: View) -> Iterator[str]:
    if view.signed:
        yield from heading(view.words.say("SIGNED - the verdict stays what it was"))
    for one in view.signed:
        yield from wrap(f"{one.number:2}. {one.about}: {one.says}", 0, 4)


def _bottom(view: View) -> Iterator[str]:
    rule_set, words = view.record["rule_set"], view.words
    passed = words.say("PASSED {count} of {all} checks that can hold the work", count=view.passed, all=view.judged)
    yield from heading(passed)
    survey = view.record["survey"]
    yield from wrap(
        words.say(
            "Rules: {title} ({name}), revision {revision}. Survey: {file}, SHA-256 {digest}.",
            title=rule_set["title"],
            name=rule_set["name"],
            revision=rule_set["revision"],
            file=survey["file"],
            digest=survey["sha256"][:16],
        )
    )
    if view.changes:
        last = view.changes[0]["date"]
        yield from wrap(
            words.say_many(
                "Rules last changed {date} ({count} change, listed in the HTML and PDF reports).",
                "Rules last changed {date} ({count} changes, listed in the HTML and PDF reports).",
                len(view.changes),
                date=last,
            )
        )
    yield from wrap(words.say("Decision rule: {rule}.", rule=view.decision))
    yield ""
    yield from wrap(f"{view.verdict}. {view.earliest_line}", 0, 0)
