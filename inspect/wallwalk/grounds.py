"""On what grounds a check that held is right on a later walk: fewer readings, or another word on their instrument."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

Part = Mapping[str, Any]

_NUMBER = re.compile(r"\[\d+\]")
_OF_INSTRUMENTS = "instruments[]."

FEWER, INSTRUMENT = "fewer entries", "instrument"
"""The two grounds."""


def weaker_grounds(pairs: Iterable[tuple[Part, Part]], own: tuple[str, str]) -> Iterator[Part]:
    """Why evidence that changed may be no better than it was, of each of `pairs`: one comparison on both walks.

    `own` is the place of the subject in each survey. Fewer entries of a list behind a fact, or the very same answers
    where only what is written of the instrument differs.
    """
    for was, now in pairs:
        before, after = (_written(c, place) for c, place in zip((was, now), own, strict=True))
        said = {"fact": now["fact_title"], "was": was["measured"], "now": now["measured"]}
        lists = [
            (_entries(before, place), _entries(after, place))
            for place in dict.fromkeys(p for p, _ in (*before, *after))
        ]
        fewer = [(then, left) for then, left in lists if then > left]
        if fewer:
            yield {"why": FEWER, **said, "counts": list(max(fewer))}
        elif before != after and _answers(before) == _answers(after):
            yield {"why": INSTRUMENT, **said, "counts": []}


def _written(compared: Part, own: str) -> Counter[tuple[str, str]]:
    """What was used, by its place without numbers in lists, which move when another entry is put in."""
    return Counter((_NUMBER.sub("[]", s["place"].removeprefix(own)), s["written"]) for s in compared["sources"])


def _entries(written: Counter[tuple[str, str]], place: str) -> int:
    """How many entries of a list stand at `place`; one answer that is no list's counts as none."""
    if "[]" not in place or place.startswith(_OF_INSTRUMENTS):
        return 0
    return sum(times for (at, _), times in written.items() if at == place)


def _answers(written: Counter[tuple[str, str]]) -> Counter[tuple[str, str]]:
    return Counter({key: times for key, times in written.items() if not key[0].startswith(_OF_INSTRUMENTS)})
