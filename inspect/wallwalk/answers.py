"""Answers of a survey, as written and as read, and what is said of the ones that are not there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wallwalk.values import Value
from wallwalk.words import fixed

NOT_ANSWERED = fixed("not answered")


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer as written, with its value, its place in the document (`walls[0].primer.finished`) and line."""

    place: str
    line: int
    value: Value = field(hash=False)  # place and line tell answers apart, and exact numbers are slow to hash


Answers = Mapping[str, Answer]


@dataclass(frozen=True, slots=True)
class Missing:
    """An answer that would be needed and is not there: where it belongs, what it is called, and what is lacking."""

    place: str
    title: str
    lacking: str = NOT_ANSWERED


@dataclass(frozen=True, slots=True)
class Entries:
    """The entries of one list. `complete`: the list holds every one there is; `most`: how many there can be."""

    place: str
    entries: tuple[Answers, ...]
    complete: bool
    most: int | None


NO_ENTRIES = Entries("", (), complete=False, most=None)
