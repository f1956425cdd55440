"""The measures that read climate logs: what they show of one band, or of the air at one moment."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from wallwalk.evidence import (
    Evidence,
    degree_hours,
    excursions,
    furthest_out,
    held,
    longest_excursion,
    time_in_band,
)
from wallwalk.measure import DIFFERENCE, Kinded, Measure, MeasureError, Operand
from wallwalk.units import UNITS
from wallwalk.values import Interval, Measured

LOGGED = ("temperature", "humidity")
"""What a climate log may hold."""


_UNIT_OUT = {
    **{("temperature difference", unit): unit for unit in UNITS["temperature difference"]},
    **{("degree hours", unit): f"{unit}·h" for unit in ("°C", "°F")},
}
"""The unit in which excursions are shown, by that of the band they left."""


def _logs(run: Callable[..., Interval]) -> Callable[[tuple[Operand, ...], str], Measured]:
    """Makes a measure of the evidence of one band and what comes after the band's ends."""

    def over(operands: tuple[Operand, ...], _: str) -> Measured:
        seen, low, _high, *others = operands
        found = run(seen, *others)
        unit = low.unit if isinstance(low, Interval) else ""
        return replace(found, unit=found.unit or _UNIT_OUT.get((found.kind, unit), ""))

    return over


def _band_kind(gives: str, *others: str) -> Callable[[tuple[Kinded, ...], str], Kinded]:
    def kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
        logged, *rest = kinds
        wanted = [logged.kind, logged.kind, *others]
        if [k.kind for k in rest] != wanted or any(k.is_series for k in rest):
            raise MeasureError(f"{word} of logged {logged.kind} needs {', '.join(wanted[:-1])} and {wanted[-1]}")
        return Kinded(DIFFERENCE.get(logged.kind, logged.kind) if gives == "difference" else gives)

    return kind


def _degree_hours_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    if kinds[0].kind != "temperature":
        raise MeasureError(f"{word} needs a logged temperature")
    return _band_kind("degree hours", "moment", "moment")(kinds, word)


def _logged_at(operands: tuple[Operand, ...], _: str) -> Measured:
    logged, *_moment = operands
    if isinstance(logged, Evidence):
        raise TypeError("what was logged at a moment is a quantity")
    return logged


def _logged_at_kind(kinds: tuple[Kinded, ...], word: str) -> Kinded:
    logged, at = kinds
    if at.kind != "moment" or at.is_series:
        raise MeasureError(f"{word} needs one moment")
    return Kinded(logged.kind)


_BAND = ("at_least", "at_most")
_WINDOW = (*_BAND, "from", "to")

LOG_MEASURES: Mapping[str, Measure] = {
    "held": Measure(
        (*_BAND, "until", "forgiving"), _band_kind("duration", "moment", "duration"), _logs(held), picks="logged"
    ),
    "time_in_band": Measure(_WINDOW, _band_kind("duration", "moment", "moment"), _logs(time_in_band), picks="logged"),
    "excursions": Measure(_WINDOW, _band_kind("number", "moment", "moment"), _logs(excursions), picks="logged"),
    "longest_excursion": Measure(
        _WINDOW, _band_kind("duration", "moment", "moment"), _logs(longest_excursion), picks="logged"
    ),
    "furthest_out": Measure(_WINDOW, _band_kind("difference", "moment", "moment"), _logs(furthest_out), picks="logged"),
    "degree_hours": Measure(_WINDOW, _degree_hours_kind, _logs(degree_hours), picks="logged"),
    "logged_at": Measure(("at",), _logged_at_kind, _logged_at, picks="logged"),
}
"""Their rows of the table of measures."""
