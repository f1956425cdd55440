"""Values a fact can have: an interval of numbers, or the set of words that are still possible.

Unknown is not a third kind of value: it is the interval without bounds, or the set of every word. Widening a
value can therefore always be said with the same two classes, and *the law* is a statement about inclusion.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

Bound = Fraction | float
"""An exact number, or -inf or +inf (the only floats that are ever put in an interval's bounds)."""

NO_LOW = -math.inf
NO_HIGH = math.inf


class Verdict(StrEnum):
    """What a comparison says of a fact; the three words of the whole program."""

    PASS = "pass"  # noqa: S105 - a verdict, not a password
    HOLD = "hold"
    NOT_VERIFIED = "not verified"


@dataclass(frozen=True, slots=True)
class Interval:
    """Every number from `low` to `high`, both included, in the base unit of `kind` (see `units.BASE`).

    `unit` is the unit it was written in and is shown in; `written` is the text it came from, if it came from one.
    """

    kind: str
    low: Bound
    high: Bound
    unit: str = ""
    written: str = ""

    def __post_init__(self) -> None:
        if not self.low <= self.high:
            raise ValueError(f"an interval of {self.kind} from {self.low} to {self.high} holds no number")

    @property
    def is_known(self) -> bool:
        """Whether both ends are bounded."""
        return self.low != NO_LOW and self.high != NO_HIGH

    def includes(self, other: Interval) -> bool:
        """Whether every number of `other` is one of this interval's."""
        return self.low <= other.low and other.high <= self.high


@dataclass(frozen=True, slots=True)
class OneOf:
    """The words (or truths) that an answer may still be; `possible` is None when it may be any at all."""

    possible: frozenset[str] | None
    written: str = ""

    @property
    def is_known(self) -> bool:
        """Whether exactly one word is left."""
        return self.possible is not None and len(self.possible) == 1

    def includes(self, other: OneOf) -> bool:
        """Whether every word that `other` may be is one that this may be."""
        if self.possible is None:
            return True
        return other.possible is not None and other.possible <= self.possible


Value = Interval | OneOf

ANY_WORD = OneOf(None)
YES = OneOf(frozenset({"yes"}), "yes")
NO = OneOf(frozenset({"no"}), "no")


def unknown_interval(kind: str, unit: str = "") -> Interval:
    """The interval of `kind` of which nothing is known."""
    return Interval(kind, NO_LOW, NO_HIGH, unit)


@dataclass(frozen=True, slots=True)
class Series:
    """The values of one question over the entries of a list, in the order written.

    `complete` says that the list is known to hold every entry there is in the world; `most` is the number there
    can be at most (None when nothing says). An incomplete series may always hide a value of any size.
    """

    kind: str
    items: tuple[Value, ...]
    complete: bool
    most: int | None = None


Measured = Value | Series
