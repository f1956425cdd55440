"""The chain of a filed record: each entry holds the digest of what it goes on from, the file that of the last.

A change breaks the link behind what was changed. Changing what an entry goes on from breaks the link before it too.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from wallwalk.errors import quote
from wallwalk.filing import Filing, digest
from wallwalk.matching import ENTRY, FILE, RECORD, Match
from wallwalk.words import IN_ENGLISH, Words, fixed

_DECISIONS = {
    "released": fixed("entry {number} (released by {name}, {role})"),
    "held": fixed("entry {number} (held by {name}, {role})"),
    "noted": fixed("entry {number} (noted by {name}, {role})"),
}


def match_chain(filing: Filing, words: Words = IN_ENGLISH) -> Iterator[Match]:
    """A line for the record and for each entry, whose shape is right; one only where entries are missing or moved."""
    entries = filing.entries
    digests = [digest(part) for part in (filing.record, *entries)]
    links = _links(filing, digests)
    blamed = set(_blamed(links))
    moved = _moved(filing, digests, blamed, words)
    if moved:
        yield Match(ENTRY, False, moved)
        return
    for i in range(len(links)):
        of, name = (RECORD, words.say("the record")) if i == 0 else (ENTRY, entry_name(entries[i - 1], words))
        then, said = _next(i, entries, words), filing.said is not None
        if i not in blamed:
            yield Match(of, True, words.say("{name}: as it was when {then}", name=name, then=then))
        elif i == len(entries) and said:
            text = words.say(
                "{name}: changed since the file was written, or the digest at the end of the file was", name=name
            )
            yield Match(of, False, text)
        else:
            yield Match(of, False, words.say("{name}: changed since {then}", name=name, then=then))
    if filing.said is None:
        unseen = words.say("it does not say where it ends: an entry taken off the end would not be seen")
        yield Match(FILE, None, unseen)


def entry_name(entry: Mapping[str, Any], words: Words = IN_ENGLISH) -> str:
    """An entry in a few words: `entry 2 (released by A. Person, inspector)`."""
    who = {part: quote(entry[part])[1:-1] for part in ("name", "role")}
    return words.tell(_DECISIONS[entry["decision"]], number=entry["number"], **who)


def _next(i: int, entries: tuple[Mapping[str, Any], ...], words: Words) -> str:
    if i == len(entries):
        return words.say("the file was written")
    return words.say("entry {number} was signed", number=entries[i]["number"])


def _links(filing: Filing, digests: list[str]) -> list[bool]:
    """Whether each of the record and the entries is what the next one goes on from, or the file ends with."""
    named = [entry["previous"] for entry in filing.entries]
    named.append(filing.said.end if filing.said else digests[-1])
    return [found == wanted for found, wanted in zip(digests, named, strict=True)]


def _blamed(links: list[bool]) -> Iterator[int]:
    """Which of them was changed: where two links break in a row, what the one between goes on from was."""
    i = 0
    while i < len(links):
        if not links[i]:
            i += i + 1 < len(links) and not links[i + 1]
            yield i
        i += 1


def _moved(filing: Filing, digests: list[str], blamed: set[int], words: Words) -> str:
    """What is wrong with the order or the number of the entries; empty where nothing is.

    A number that is another one, and nothing else, is a change of that entry where its digest tells.
    """
    for place, (entry, before) in enumerate(zip(filing.entries, digests, strict=False), 1):
        if entry["number"] != place and (entry["previous"] != before or place not in blamed):
            return words.say(
                "entries: number {number} stands where number {place} belongs; entries were taken out, added or moved",
                number=entry["number"],
                place=place,
            )
    if filing.said is not None and filing.said.count != len(filing.entries):
        counts = {"signed": filing.said.count, "there": len(filing.entries)}
        return words.say("entries: {signed} were signed when the file was written, and {there} are in it", **counts)
    return ""
