"""What each party has to do over all rooms, in the order of how many rooms it makes ready.

A job is one rule that holds, or what is to be found out. One answer that is lacking keeps many checks from being
verified; it is one job, so that a room that waits for it alone is one that it makes ready.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from wallwalk.board_spaces import Space, natural
from wallwalk.board_walk import Open

Part = Mapping[str, Any]

PUT_RIGHT, FIND_OUT = "put right", "find out"
"""The kinds of job."""

Key = tuple[str, ...]
"""What a job is told by, over all rooms: its kind, and the rule set and rule, or what is to be found out."""


@dataclass(frozen=True, slots=True)
class _InRoom:
    """One job in one room: the checks it settles there, and the walls it is to be done on."""

    key: Key
    checks: tuple[Open, ...]
    walls: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Room:
    """One room: its number, its jobs, and whether it `can` be ready once they are done."""

    number: int
    jobs: tuple[_InRoom, ...]
    can: bool


def to_do(spaces: Sequence[Space], numbers: Mapping[int, int]) -> list[Part]:
    """Each party with what it has to do, those first that make most rooms ready. `numbers`: by id of a space."""
    rooms = [_Room(numbers[id(space)], tuple(_jobs(space.to_do)), _can_be_ready(space)) for space in spaces]
    by_key: dict[Key, list[tuple[_Room, _InRoom]]] = {}
    for room in rooms:
        for job in room.jobs:
            by_key.setdefault(job.key, []).append((room, job))
    whose = {key: _party_of([check for _, job in found for check in job.checks]) for key, found in by_key.items()}
    parties: dict[str, list[Part]] = {}
    for key, found in by_key.items():
        parties.setdefault(whose[key][0], []).append(_entry(key, whose[key], found))
    told = [_party(by, jobs, rooms, whose) for by, jobs in parties.items()]
    return sorted(told, key=lambda party: (-party["makes_ready"], -len(party["rooms"]), natural(party["party"])))


def _jobs(opened: Sequence[Open]) -> Iterator[_InRoom]:
    """What is to be done in one room: the rules that hold, then what is to be found out."""
    holds: dict[Key, list[Open]] = {}
    unsure: list[Open] = []
    for one in opened:
        if one.outcome == "hold":
            holds.setdefault((PUT_RIGHT, one.rules, one.rule), []).append(one)
        elif one.find_out:
            unsure.append(one)
        else:
            holds.setdefault((FIND_OUT, one.rules, one.rule), []).append(one)
    for key, checks in holds.items():
        yield _InRoom(key, tuple(checks), tuple(filter(None, (one.where for one in checks))))
    yield from _questions(unsure)


def _questions(unsure: Sequence[Open]) -> Iterator[_InRoom]:
    """What is to be found out in one room: answers that the very same checks wait for are one job."""
    waiting: dict[str, dict[tuple[str, str], None]] = {}
    walls: dict[str, dict[str, None]] = {}
    for one in unsure:
        for asked in one.find_out:
            waiting.setdefault(asked.title, {})[one.rules, one.rule] = None
            walls.setdefault(asked.title, {}).update({one.where: None} if asked.of_wall and one.where else {})
    together: dict[tuple[tuple[str, str], ...], list[str]] = {}
    for title, asking in waiting.items():
        together.setdefault(tuple(asking), []).append(title)
    for rules, titles in together.items():
        checks = tuple(one for one in unsure if (one.rules, one.rule) in rules)
        on = dict.fromkeys(wall for title in titles for wall in walls[title])
        yield _InRoom((FIND_OUT, "", *sorted(titles)), checks, tuple(on))


def _can_be_ready(space: Space) -> bool:
    """Whether doing what is to be done leaves nothing open but time; what is released over stays open."""
    unsure = space.unread or space.for_another_start
    return not unsure and not any(one.released for one in (space.walk.open if space.walk else ()))


def _party_of(checks: Sequence[Open]) -> tuple[str, str]:
    """Whose job it is: the party that most of the checks name, the first of them where some are even."""
    return Counter((one.by, one.party) for one in checks).most_common(1)[0][0]


def _entry(key: Key, whose: tuple[str, str], found: Sequence[tuple[_Room, _InRoom]]) -> Part:
    checks = [check for _, job in found for check in job.checks]
    asked = list(key[2:]) if key[0] == FIND_OUT and not key[1] else []
    ready = [room.can and len(room.jobs) == 1 for room, _ in found]
    return {
        "kind": key[0],
        "by": whose[0],
        "party": whose[1],
        "checks": list(dict.fromkeys(one.title for one in checks)),
        "rules": list(dict.fromkeys(one.rule for one in checks)),
        "themes": list(dict.fromkeys(one.theme for one in checks)),
        "do": list(dict.fromkeys(one.do for one in checks)) if key[0] == PUT_RIGHT else [],
        "find_out": asked,
        "makes_ready": sum(ready),
        "leaves_one": sum(room.can and len(room.jobs) == 2 for room, _ in found),
        "rooms": [
            {"space": room.number, "walls": list(job.walls), "left": len(room.jobs) - 1, "ready": makes}
            for (room, job), makes in zip(found, ready, strict=True)
        ],
    }


def _party(by: str, jobs: Sequence[Part], rooms: Sequence[_Room], whose: Mapping[Key, tuple[str, str]]) -> Part:
    own = [room for room in rooms if any(whose[job.key][0] == by for job in room.jobs)]
    ready = [room for room in own if room.can and all(whose[job.key][0] == by for job in room.jobs)]
    return {
        "by": by,
        "party": jobs[0]["party"],
        "rooms": [room.number for room in own],
        "makes_ready": len(ready),
        "jobs": sorted(jobs, key=_rank),
    }


def _rank(job: Part) -> tuple[object, ...]:
    """What makes most rooms ready first, then what leaves most with one thing, then what is open in most places."""
    places = sum(len(room["walls"]) or 1 for room in job["rooms"])
    said = natural((job["find_out"] or job["checks"])[0])
    return (-job["makes_ready"], -job["leaves_one"], -len(job["rooms"]), -places, job["kind"] == FIND_OUT, said)
