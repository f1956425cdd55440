"""The board as a calendar (RFC 5545): when each space becomes ready by the clock alone, and when its walk lapses."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from datetime import UTC, date, datetime

from wallwalk.board_spaces import LAPSED, READY, WAITING
from wallwalk.board_todo import Part
from wallwalk.errors import on_one_line
from wallwalk.report.board_words import labels_of
from wallwalk.words import words_in


def render_board_calendar(board: Part) -> bytes:
    """An event for each earliest start and each lapse that is still to come, and today for each walk that lapsed."""
    from icalendar import Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", f"-//wallwalk//readiness board//{board['language'].upper()}")
    calendar.add("version", "2.0")
    made = datetime.combine(date.fromisoformat(board["today"]["at"]), datetime.min.time(), UTC)
    for key, summary, about, at in _events(board):
        event = Event()
        event.add("uid", f"{hashlib.sha256(chr(0).join((*key, str(at))).encode()).hexdigest()[:32]}@wallwalk")
        event.add("dtstamp", made)
        event.add("dtstart", at)
        event.add("summary", on_one_line(summary))
        event.add("description", on_one_line(about))
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def _events(board: Part) -> Iterator[tuple[tuple[str, ...], str, str, datetime | date]]:
    words, labels, today = words_in(board["language"]), labels_of(board), board["today"]["at"]
    for space in board["spaces"]:
        if space["state"] not in (READY, WAITING, LAPSED):
            continue
        name = labels[space["number"]]
        place = (space["project"], space["name"], space["level"], space["area"], *space["files"])
        at, until = space["earliest"]["at"], space["earliest"]["until"]
        if space["state"] == LAPSED:
            again = words.say("{space}: walk again", space=name)
            lapsed = words.say(
                "The walk lapsed {when}: {check}.", when=until["shown"], check=space["earliest"]["lapses"]
            )
            yield ("again", *place), again, lapsed, date.fromisoformat(today)
            continue
        if at is not None and at["at"][:10] >= today:
            about = words.say("Earliest start, by the clock alone. Check again before it.")
            yield ("start", *place), words.say("{space}: may start", space=name), about, _utc(at)
        if until is not None:
            last = words.say("{space}: walk lapses, walk again", space=name)
            about = words.say("Last moment to start on this walk: {check}.", check=space["earliest"]["lapses"])
            yield ("lapses", *place), last, about, _utc(until)


def _utc(moment: Part) -> datetime:
    return datetime.fromisoformat(moment["at"]).astimezone(UTC)
