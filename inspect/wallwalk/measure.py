"""What a measure is: its kind before any survey is read, its value at judging, and how it works over a list."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from wallwalk.evidence import Evidence
from wallwalk.units import BASE
from wallwalk.values import Interval, Measured, OneOf, Series, Value, unknown_interval

WORDS = ("truth", "choice", "text")
"""The kinds whose values are words."""


Operand = Measured | Evidence
"""What a measure works on: a value, a list of values, or what the climate logs show of a band."""


class MeasureError(ValueError):
    """A measure that cannot be made of these kinds; the message says what it works on."""


@dataclass(frozen=True, slots=True)
class Kinded:
    """What is known of a measure before any survey is read: its kind, its possible words, whether it is a series."""

    kind: str
    choices: tuple[str, ...] = ()
    is_series: bool = False


@dataclass(frozen=True, slots=True)
class Measure:
    """One word of the table. `parts` names its operands; none means any number of them, in a list.

    `picks` names a part that is no operand but a word: a moisture `scale`, or what is `logged`.
    """

    parts: tuple[str, ...]
    kind: Callable[[tuple[Kinded, ...], str], Kinded]
    run: Callable[[tuple[Any, ...], str], Measured]
    picks: str = ""


def blank(kinded: Kinded) -> Value:
    """The value of that kind of which nothing is known."""
    return OneOf(None) if kinded.kind in WORDS else unknown_interval(kinded.kind, BASE.get(kinded.kind, ""))


def each(run: Callable[..., Interval]) -> Callable[[tuple[Measured, ...], str], Measured]:
    """Makes a measure of single values work entry by entry on a series."""

    def over(operands: tuple[Measured, ...], _: str) -> Measured:
        series = [o for o in operands if isinstance(o, Series)]
        if not series:
            return run(*operands)
        count = len(series[0].items)
        rows = zip(*(o.items if isinstance(o, Series) else (o,) * count for o in operands), strict=True)
        items = tuple(run(*row) for row in rows)
        kind = items[0].kind if items else ""
        return Series(kind, items, all(s.complete for s in series), series[0].most)

    return over


DIFFERENCE = {"temperature": "temperature difference", "moment": "duration"}
"""The kinds whose difference is another kind."""
