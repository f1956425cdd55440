"""What each party has to do over all rooms, in the order of how many rooms it makes ready, and the days ahead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any

from wallwalk.board_spaces import HELD, NOT_KNOWN, READY, RELEASED, WAITING, Space, day_of, natural
from wallwalk.board_walk import Open
from wallwalk.words import Words

Part = Mapping[str, Any]
Job = tuple[str, str, str, str]
"""One thing to do in any number of rooms: party, rule set, rule, and outcome (a hold is put right, else found out)."""

DAYS_AHEAD = 14
"""How many days a board looks ahead, today among them."""


def _job_of(one: Open) -> Job:
    return one.by, one.rules, one.rule, one.outcome


def to_do(spaces: Sequence[Space], numbers: Mapping[int, int]) -> list[Part]:
    """Each party with what it has to do, those first that make most rooms ready. `numbers`: by id of a space."""
    rooms = [(numbers[id(space)], _jobs(space), _can_be_ready(space)) for space in spaces]
    parties: dict[str, dict[Job, Part]] = {}
    for number, jobs, can in rooms:
        for job, opened in jobs.items():
            entry = parties.setdefault(job[0], {}).setdefault(job, _entry(opened[0]))
            _add(entry, number, opened, left=len(jobs) - 1, can=can)
    told = [_party(list(entries.values()), rooms) for entries in parties.values()]
    return sorted(told, key=lambda p: (-p["makes_ready"], -len(p["rooms"]), natural(p["party"])))


def _jobs(space: Space) -> dict[Job, list[Open]]:
    jobs: dict[Job, list[Open]] = {}
    for one in space.to_do:
        jobs.setdefault(_job_of(one), []).append(one)
    return jobs


def _can_be_ready(space: Space) -> bool:
    """Whether doing what is to be done leaves nothing open but time; what is released over stays open."""
    return not space.unread and not any(one.released for one in (space.walk.open if space.walk else ()))


def _entry(one: Open) -> dict[str, Any]:
    return {
        "by": one.by,
        "party": one.party,
        "rules": one.rules,
        "rule": one.rule,
        "title": one.title,
        "theme": one.theme,
        "theme_title": one.theme_title,
        "outcome": one.outcome,
        "do": [],
        "find_out": [],
        "rooms": [],
        "makes_ready": 0,
        "leaves_one": 0,
    }


def _add(entry: Part, number: int, opened: list[Open], *, left: int, can: bool) -> None:
    entry["rooms"].append({"space": number, "where": [one.where for one in opened if one.where], "left": left})
    for one in opened:
        entry["do"].extend([] if one.do in entry["do"] else [one.do])
        entry["find_out"].extend(text for text in one.find_out if text not in entry["find_out"])
    if isinstance(entry, dict) and can:
        entry["makes_ready"] += left == 0
        entry["leaves_one"] += left == 1


def _party(entries: list[Part], rooms: list[tuple[int, dict[Job, list[Open]], bool]]) -> Part:
    by = entries[0]["by"]
    own = [number for number, jobs, _ in rooms if any(job[0] == by for job in jobs)]
    ready = [number for number, jobs, can in rooms if can and jobs and all(job[0] == by for job in jobs)]
    ordered = sorted(
        entries,
        key=lambda e: (-e["makes_ready"], -e["leaves_one"], -len(e["rooms"]), -_walls(e), natural(e["title"]), e["outcome"]),
    )
    return {"by": by, "party": entries[0]["party"], "rooms": own, "makes_ready": len(ready), "jobs": ordered}


def _walls(entry: Part) -> int:
    return sum(len(room["where"]) or 1 for room in entry["rooms"])


def days_ahead(spaces: Sequence[Space], numbers: Mapping[int, int], today: date, words: Words) -> list[Part]:
    """Each of the days from `today`: what becomes ready by the clock alone, what else does not, what lapses."""
    told = []
    for i in range(DAYS_AHEAD):
        day = today + timedelta(days=i)
        told.append(
            {
                "date": day.isoformat(),
                "shown": words.show_day(datetime(day.year, day.month, day.day)),
                "ready": [*_starting(spaces, numbers, today, day, (READY, WAITING))],
                "open_besides": [*_starting(spaces, numbers, today, day, (HELD, RELEASED, NOT_KNOWN))],
                "lapses": [*_lapsing(spaces, numbers, today, day)],
            }
        )
    return told


def _starting(
    spaces: Sequence[Space], numbers: Mapping[int, int], today: date, day: date, states: tuple[str, ...]
) -> Iterator[Part]:
    """The spaces in one of some states whose clocks allow a start from that day on."""
    for space in spaces:
        at = space.walk.earliest["at"] if space.walk else None
        if at is not None and day_of(at) == day.isoformat() and space.state(today.isoformat()) in states:
            yield {"space": numbers[id(space)], "at": at}


def _lapsing(spaces: Sequence[Space], numbers: Mapping[int, int], today: date, day: date) -> Iterator[Part]:
    for space in spaces:
        until = space.walk.earliest["until"] if space.walk else None
        if until is not None and day_of(until) == day.isoformat() and space.state(today.isoformat()) in (READY, WAITING):
            yield {"space": numbers[id(space)], "at": until}
