"""Limits: each disputable number or list of words once, with its unit, its step and its basis."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from wallwalk.values import Interval


@dataclass(frozen=True, slots=True)
class Limit:
    """A number that a fact is compared with.

    `amount` and `step` are in base units of `kind`; `written`, `unit` and `step_written` are as in the rule set.
    `title` is how reports call it. `basis` says where the number comes from; `history` holds what it was before,
    oldest first, with the reasons.
    """

    name: str
    kind: str
    amount: Fraction
    step: Fraction
    unit: str
    written: str
    basis: str
    step_written: str = ""
    history: tuple[str, ...] = ()
    title: str = ""

    @property
    def value(self) -> Interval:
        """The limit as a value that measures may work on."""
        return Interval(self.kind, self.amount, self.amount, self.unit, self.written)


@dataclass(frozen=True, slots=True)
class WordLimit:
    """A list of words that an answer is compared with; `title` is how reports call it."""

    name: str
    words: tuple[str, ...]
    basis: str
    history: tuple[str, ...] = ()
    title: str = ""

    @property
    def written(self) -> str:
        """The words, as people read them."""
        return ", ".join(self.words)


AnyLimit = Limit | WordLimit
