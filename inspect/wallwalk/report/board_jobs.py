"""The jobs of each party of a board in words, and the days ahead."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from wallwalk.board_spaces import READY, day_of
from wallwalk.board_todo import PUT_RIGHT
from wallwalk.report.board_words import Part, level_key, level_numbers, some
from wallwalk.words import Words


@dataclass(frozen=True, slots=True)
class Room:
    """One room of a job, with its walls; `level` is the short name of its level."""

    says: str
    level: str


@dataclass(frozen=True, slots=True)
class Rooms:
    """Some rooms, and how many they are."""

    rooms: tuple[Room, ...]
    count: str


@dataclass(frozen=True, slots=True)
class Job:
    """One thing to do. `unblocks` says what comes of it, `ready` in which rooms it is the last thing, `others` where
    something else is open too; `keys` are what the page filters it by.
    """

    title: str
    rules: str
    do: tuple[str, ...]
    waiting: str
    unblocks: str
    ready: Rooms
    others: Rooms
    keys: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Party:
    """One party with its jobs, and what comes of all of them."""

    title: str
    sums: str
    jobs: tuple[Job, ...]
    key: str


@dataclass(frozen=True, slots=True)
class Day:
    """One of the days ahead, with the spaces that become ready, that do not, and whose walk lapses, by time."""

    shown: str
    ready: tuple[str, ...]
    open_besides: tuple[str, ...]
    lapses: tuple[str, ...]
    count: str
    count_besides: str


def parties_of(board: Part, labels: Mapping[int, str], words: Words) -> Iterator[Party]:
    """Every party that has something to do."""
    spaces, levels = {space["number"]: space for space in board["spaces"]}, level_numbers(board)
    for party in board["to_do"]:
        sums = words.say_many("Open in {count} room.", "Open in {count} rooms.", len(party["rooms"]))
        if party["makes_ready"]:
            all_done = words.say_many(
                "All of it done makes {count} room ready.",
                "All of it done makes {count} rooms ready.",
                party["makes_ready"],
            )
            sums = f"{sums} {all_done}"
        jobs = tuple(_job(job, spaces, labels, levels, words) for job in party["jobs"])
        yield Party(party["party"], sums, jobs, party["by"])


def _job(
    job: Part, spaces: Mapping[int, Part], labels: Mapping[int, str], levels: Mapping[str, str], words: Words
) -> Job:
    rooms = sorted(job["rooms"], key=lambda room: room["left"])
    checks = tuple(job["checks"])
    waiting = ""
    level_of = {room["space"]: levels[level_key(spaces[room["space"]])] for room in rooms}
    if job["kind"] == PUT_RIGHT:
        title, do = words.say("Required: {check}", check=checks[0]), tuple(job["do"])
    elif job["find_out"]:
        title, do = words.say("Find out and write down: {what}", what="; ".join(job["find_out"])), ()
        waiting = words.say("Waiting for it: {checks}", checks=some(checks, 3, words))
    else:
        title = words.say("Not verified: {check}", check=checks[0])
        do = (words.say("Read it again, so that it is surely one or the other."),)
    return Job(
        title=title,
        rules=", ".join(job["rules"]) if job["kind"] == PUT_RIGHT else "",
        do=do,
        waiting=waiting,
        unblocks=_unblocks(job, words),
        ready=_rooms([_room(room, labels, level_of) for room in rooms if room["ready"]], words),
        others=_rooms([_room(room, labels, level_of) for room in rooms if not room["ready"]], words),
        keys={
            "party": job["by"],
            "theme": "|".join(job["themes"]),
            "level": "|".join(dict.fromkeys(level_of.values())),
            "state": "|".join(dict.fromkeys(spaces[room["space"]]["state"] for room in rooms)),
        },
    )


def _rooms(rooms: Sequence[Room], words: Words) -> Rooms:
    return Rooms(tuple(rooms), words.say_many("{count} room", "{count} rooms", len(rooms)))


def _room(room: Part, labels: Mapping[int, str], levels: Mapping[int, str]) -> Room:
    walls, label = ", ".join(room["walls"]), labels[room["space"]]
    return Room(f"{label} ({walls})" if walls else label, levels[room["space"]])


def _unblocks(job: Part, words: Words) -> str:
    told = [words.say_many("Open in {count} room.", "Open in {count} rooms.", len(job["rooms"]))]
    if job["makes_ready"] and job["kind"] == PUT_RIGHT:
        told += [words.say_many("Makes {count} room ready.", "Makes {count} rooms ready.", job["makes_ready"])]
    elif job["makes_ready"]:
        count = job["makes_ready"]
        told += [words.say_many("The last thing in {count} room.", "The last thing in {count} rooms.", count)]
    if job["leaves_one"]:
        count = job["leaves_one"]
        told += [
            words.say_many(
                "Leaves {count} room with one thing more.", "Leaves {count} rooms with one thing more.", count
            )
        ]
    return " ".join(told)


def days_of(board: Part, labels: Mapping[int, str], words: Words) -> Iterator[Day]:
    """The days ahead on which something happens."""
    for day in board["days"]:
        if day["ready"] or day["open_besides"] or day["lapses"]:
            ready, besides = len(day["ready"]), len(day["open_besides"])
            yield Day(
                shown=day["shown"],
                ready=tuple(_by_time(day["ready"], labels)),
                open_besides=tuple(labels[one["space"]] for one in day["open_besides"]),
                lapses=tuple(_by_time(day["lapses"], labels)),
                count=words.say_many("{count} space", "{count} spaces", ready),
                count_besides=words.say_many("{count} space", "{count} spaces", besides),
            )


def _by_time(parts: Iterable[Part], labels: Mapping[int, str]) -> Iterator[str]:
    times: dict[str, list[str]] = {}
    for one in parts:
        times.setdefault(one["at"]["at"][11:19].removesuffix(":00"), []).append(labels[one["space"]])
    for time, names in sorted(times.items()):
        yield f"{time} {', '.join(names)}"


def ready_already(board: Part, labels: Mapping[int, str], words: Words) -> str:
    """The spaces that pass, and whose clocks have run before today."""
    today = board["today"]["at"]
    now = [
        labels[space["number"]]
        for space in board["spaces"]
        if space["state"] == READY and (not space["earliest"]["at"] or day_of(space["earliest"]["at"]) < today)
    ]
    return (
        words.say("Ready already: {spaces}.", spaces=", ".join(now)) if now else words.say("No space is ready already.")
    )


def by_clock_alone(board: Part, words: Words) -> str:
    """What the list of days does not say."""
    said = words.say("By the clock alone: a space with something else open does not become ready, whatever the day.")
    if any(day["ready"] for day in board["days"]):
        return said
    return " ".join((said, words.say("No space becomes ready in these two weeks by waiting.")))
