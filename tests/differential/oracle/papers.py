"""A survey as it was filled in: what is answered, and what is not."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any, NamedTuple

from .amounts import read_amount
from .clocks import end_of_day, read_moment
from .ranges import SOME, UNKNOWN, Range, exactly
from .truth import Truth

_NOT_ANSWERED = (None, "", "unknown")
_YES_OR_NO = {"yes": True, "no": False, True: True, False: False}


class Listing(NamedTuple):
    """The entries of a list, and whether somebody counted them and came to the same number.

    `number`: how many there are: those written down at the least, as many as were counted at the most.
    """

    entries: list[Answers]
    all_there: bool
    number: Range


class Answers:
    """One part of a survey: the space, a wall, a reading. A wall that nobody wrote down has no answers at all."""

    def __init__(self, given: Mapping[str, Any], zone: str | None) -> None:
        """`given` as the document has it; `zone` the site's time zone."""
        self._given = given
        self._zone = zone

    def answer(self, path: str) -> object:
        """What stands there, or None."""
        here: object = self._given
        for step in path.split("."):
            here = here.get(step) if isinstance(here, Mapping) else None
        return None if isinstance(here, str | None) and (here or "").strip() in ("", "unknown") else here

    def word(self, path: str) -> str | None:
        """A choice or a text, None where it is not answered."""
        there = self.answer(path)
        return None if there in _NOT_ANSWERED else str(there)

    def yes(self, path: str) -> Truth:
        """Yes or no."""
        there = self.answer(path)
        return _YES_OR_NO[there] if isinstance(there, bool | str) else None

    def no(self, path: str) -> Truth:
        """The other way round: whether it is answered with no."""
        there = self.yes(path)
        return None if there is None else not there

    def told(self, path: str) -> Truth:
        """Whether it is written down. What is not may still be known to somebody, so the other answer is not no."""
        return True if self.word(path) is not None else None

    def is_a(self, path: str, *words: str) -> Truth:
        """Whether the answer is one of these words."""
        there = self.word(path)
        return None if there is None else there in words

    def amount(self, path: str, kind: str, otherwise: Range = UNKNOWN) -> Range:
        """An amount, or `otherwise`."""
        there = self.word(path)
        return otherwise if there is None else read_amount(there, kind)

    def count(self, path: str, otherwise: Range = SOME) -> Range:
        """A whole number."""
        return self.amount(path, "bare", otherwise)

    def moment(self, path: str) -> Range:
        """A moment, in hours."""
        there = self.word(path)
        return UNKNOWN if there is None else read_moment(there, self._zone)

    def day_over(self, path: str) -> Range:
        """The end of the last day that is meant."""
        there = self.word(path)
        return UNKNOWN if there is None else exactly(end_of_day(there, self._zone))

    def listing(self, path: str, counted: str) -> Listing:
        """The entries of a list, known to be all of them only where the count beside it says so."""
        entries = self.entries(path)
        told = self.count(counted)
        return Listing(entries, told == exactly(len(entries)), Range(Fraction(len(entries)), told.high))

    def entries(self, path: str) -> list[Answers]:
        """What is written down of a list."""
        there = self.answer(path)
        return [Answers(entry, self._zone) for entry in there] if isinstance(there, list) else []
