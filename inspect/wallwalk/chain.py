"""The chain of a filed record: each entry holds the digest of what it goes on from, the file that of the last.

A change breaks the link behind what was changed. Changing what an entry goes on from breaks the link before it too.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from wallwalk.errors import quote
from wallwalk.filing import Filing, digest
from wallwalk.matching import ENTRY, FILE, RECORD, Match


def match_chain(filing: Filing) -> Iterator[Match]:
    """A line for the record and for each entry, whose shape is right; one only where entries are missing or moved."""
    entries = filing.entries
    digests = [digest(part) for part in (filing.record, *entries)]
    moved = _moved(filing, digests)
    if moved:
        yield Match(ENTRY, False, moved)
        return
    links = _links(filing, digests)
    blamed = set(_blamed(links))
    for i in range(len(links)):
        of, name = (RECORD, "the record") if i == 0 else (ENTRY, entry_name(entries[i - 1]))
        if i not in blamed:
            yield Match(of, True, f"{name}: as it was when {_next(i, entries)}")
        elif i == len(entries) and filing.said is not None:
            yield Match(
                of, False, f"{name}: changed since the file was written, or the digest at the end of the file was"
            )
        else:
            yield Match(of, False, f"{name}: changed since {_next(i, entries)}")
    if filing.said is None:
        yield Match(FILE, None, "it does not say where it ends: an entry taken off the end would not be seen")


def entry_name(entry: Mapping[str, Any]) -> str:
    """An entry in a few words: `entry 2 (released by A. Person, inspector)`."""
    return (
        f"entry {entry['number']} ({entry['decision']} by {quote(entry['name'])[1:-1]}, {quote(entry['role'])[1:-1]})"
    )


def _next(i: int, entries: tuple[Mapping[str, Any], ...]) -> str:
    return f"entry {entries[i]['number']} was signed" if i < len(entries) else "the file was written"


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


def _moved(filing: Filing, digests: list[str]) -> str:
    """What is wrong with the order or the number of the entries; empty where nothing is."""
    for place, (entry, before) in enumerate(zip(filing.entries, digests, strict=False), 1):
        if entry["number"] != place and entry["previous"] != before:
            found = f"entries: number {entry['number']} stands where number {place} belongs"
            return f"{found}; entries were taken out, added or moved"
    if filing.said is not None and filing.said.count != len(filing.entries):
        return (
            f"entries: {filing.said.count} were signed when the file was written, and {len(filing.entries)} are in it"
        )
    return ""
