"""Each space of a board in words: its state, from when it may start, what is open in it, and how it stood before."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from wallwalk.board_spaces import HELD, NEVER_WALKED, NOT_KNOWN, READY, RELEASED, WAITING, day_of
from wallwalk.report.board_words import STATE_WORDS, Part, release_says
from wallwalk.words import Words


@dataclass(frozen=True, slots=True)
class OpenLine:
    """One check that is open in a space: whose it is, where, and what is said of it."""

    party: str
    title: str
    where: str
    says: str


@dataclass(frozen=True, slots=True)
class Note:
    """Something to know of a space, with the lines that belong to it."""

    says: str
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Row:
    """One space. `label` is how it is called beside others; `keys` are what the page filters and sorts it by."""

    name: str
    label: str
    area: str
    level: str
    state: str
    word: str
    style: str
    says: tuple[str, ...]
    walked: str
    opened: tuple[OpenLine, ...]
    counted: str
    notes: tuple[Note, ...]
    keys: Mapping[str, str]


def row_of(space: Part, label: str, level: str, today: str, words: Words) -> Row:
    """One space in words, seen from the day `today`. `level` is the short name of its level."""
    return Row(
        name=space["name"] or label,
        label=label,
        area=space["area"],
        level=space["level"],
        state=space["state"],
        word=words.tell(STATE_WORDS[space["state"]]),
        style=f"is-{space['state'].replace(' ', '-')}",
        says=tuple(_says(space, today, words)),
        walked=_walked(space, words),
        opened=tuple(_open_line(one, words) for one in sorted(space["open"], key=_weight)),
        counted=_open_count(space, words),
        notes=tuple(_notes(space, words)),
        keys=_keys(space, level),
    )


def _keys(space: Part, level: str) -> Mapping[str, str]:
    earliest = space["earliest"] or {"at": None, "until": None}
    work = [one for one in space["open"] if not one["clears"] and not one["released"]]
    return {
        "party": "|".join(dict.fromkeys(one["by"] for one in work)),
        "theme": "|".join(dict.fromkeys(one["theme"] for one in space["open"])),
        "level": level,
        "state": space["state"],
        "order": str(list(STATE_WORDS).index(space["state"])),
        "at": earliest["at"]["at"] if earliest["at"] else "",
        "open": str(sum(len(one["where"]) or 1 for one in space["open"])),
    }


def _says(space: Part, today: str, words: Words) -> Iterator[str]:
    state = space["state"]
    if state == NOT_KNOWN:
        for one in space["unread"]:
            yield from one["says"]
        if space["for_another_start"]:
            yield words.say("Filed for another start than the one asked about. Check the survey again for that one.")
    elif state == NEVER_WALKED:
        yield words.say("On the list, and no walk of it is in the folder.")
    else:
        yield from _says_when(space, today, words)
        yield from _says_lapse(space, words)


def _says_when(space: Part, today: str, words: Words) -> Iterator[str]:
    state, at = space["state"], space["earliest"]["at"]
    if state == READY:
        start = space["start"]["shown"] if space["start"] else words.say("any start")
        yield words.say("Passes for {start}.", start=start)
        if at is not None and day_of(at) >= today:
            yield words.say("Not before {when}.", when=at["shown"])
    elif state == WAITING and day_of(at) < today:
        yield words.say("Its time was up {when}. Check again for a start now.", when=at["shown"])
    elif state == WAITING:
        yield words.say("Waiting alone makes it ready {when}.", when=at["shown"])
    elif state == RELEASED:
        yield words.say("Every hold is released over, which is no pass.")
    elif state == HELD and at is not None and day_of(at) >= today:
        yield words.say("Not before {when}, and not before what is open is put right.", when=at["shown"])


def _says_lapse(space: Part, words: Words) -> Iterator[str]:
    until, lapses = space["earliest"]["until"], space["earliest"]["lapses"]
    if until is not None and space["lapsed"]:
        yield words.say("The walk lapsed {when}: walk again ({check}).", when=until["shown"], check=lapses)
    elif until is not None and space["state"] in (READY, WAITING):
        yield words.say("The walk lapses {when} ({check}).", when=until["shown"], check=lapses)


def _weight(one: Part) -> int:
    """What is to be put right stands first, then what is released over, what time clears, what is not verified."""
    if one["outcome"] != "hold":
        return 3
    return 2 if one["clears"] else 1 if one["released"] else 0


def _open_line(one: Part, words: Words) -> OpenLine:
    says = one["says"]
    if one["released"]:
        says = release_says(one["released"], words)
    elif one["clears"]:
        says = " ".join((says, words.say("Waiting clears it {when}{on}.", when=one["clears"]["shown"], on="")))
    elif one["outcome"] != "hold" and one["find_out"]:
        says = words.say("Not verified. Write down: {what}", what="; ".join(one["find_out"]))
    elif one["outcome"] != "hold":
        says = words.say("Not verified: what is written down cannot tell.")
    return OpenLine(one["party"], one["title"], ", ".join(one["where"]), says)


def _open_count(space: Part, words: Words) -> str:
    count = {"hold": 0, "not verified": 0}
    for part in space["open"]:
        count[part["outcome"]] += len(part["where"]) or 1
    holds, unsure = count["hold"], count["not verified"]
    told = (
        words.say_many("{count} hold", "{count} holds", holds) if holds else "",
        words.say("{count} not verified", count=unsure) if unsure else "",
    )
    return ", ".join(filter(None, told))


def _walked(space: Part, words: Words) -> str:
    if not space["files"]:
        return ""
    when, whom = space["walked"] or words.say("at a time not stated"), space["walked_by"]
    return words.say("Walked {when} by {whom}", when=when, whom=whom or words.say("a person not named"))


def _notes(space: Part, words: Words) -> Iterator[Note]:
    if space["relaxed"]:
        yield Note(words.say("Judged by what an overlay made looser, or may have; it stands at the head of the board."))
    if space["unread"] and space["files"]:
        yield Note(
            words.say("A file of this space could not be read. It may be a later walk, so this one does not count.")
        )
    if space["same_time"]:
        said = words.say("Of walks that cannot be told apart in time the worse one counts. The others:")
        yield Note(said, tuple(_walk_lines(space["same_time"], words)))
    if space["differs"]:
        yield Note(words.say("Two files of this walk came out otherwise; the worse one counts."))
    if len(space["files"]) > 1:
        yield Note(words.say("Files of this walk: {files}", files=", ".join(space["files"])))
    elif space["filed"]:
        yield Note(words.say("As it was filed: {file}", file=space["files"][0]))
    if space["earlier"]:
        said = words.say_many("{count} earlier walk:", "{count} earlier walks:", len(space["earlier"]))
        yield Note(said, tuple(_walk_lines(space["earlier"], words)))


def _walk_lines(walks: Iterable[Part], words: Words) -> Iterator[str]:
    for one in walks:
        when = one["walked"] or words.say("at a time not stated")
        told = words.say("{when} passed", when=when)
        if one["verdict"] != "pass":
            told = words.say(
                "{when} held ({holds} hold, {unsure} not verified)",
                when=when,
                holds=one["holds"],
                unsure=one["not_verified"],
            )
        yield f"{told} · {one['file']}"
