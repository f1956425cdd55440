"""Reads a limit: a value with its unit and step, or a list of words."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from wallwalk.errors import quote
from wallwalk.languages import title_of
from wallwalk.limits import AnyLimit, Limit, WordLimit
from wallwalk.quantities import UnitError, kind_of_unit, parse_quantity, parse_step
from wallwalk.refusal import refuse
from wallwalk.shape import closest
from wallwalk.units import KINDS
from wallwalk.values import Interval
from wallwalk.yamlio import Path_


def read_limit(name: str, part: Mapping[str, Any], path: Path_) -> AnyLimit:
    """The limit called `name` as `part`, in its language, declares it. Raises `RefusedError`."""
    if "words" in part:
        extra = [word for word in ("value", "step", "kind") if word in part]
        if extra:
            raise refuse((*path, extra[0]), "stands beside words", f"take out the words, or take out {extra[0]}")
        return WordLimit(name, tuple(part["words"]), part["basis"], title=title_of(name, part))
    if "value" not in part:
        raise refuse(path, "has no value and no words", "write value: and step:, or words:")
    if "step" not in part:
        raise refuse(path, "has no step", "write step: the smallest change of it that matters, with its unit")
    kind = _kind_of_limit(part, path)
    value = _quantity_of_limit(part["value"], kind, (*path, "value"))
    if value.low != value.high:
        raise refuse((*path, "value"), f"is {quote(part['value'])}", "write one value, not a range")
    try:
        step = parse_step(part["step"], kind)
    except UnitError as error:
        if _is_of_another_kind(part, kind):
            found = f"is {quote(part['step'])}, and value: is {quote(part['value'])}"
            raise refuse((*path, "step"), found, "give both a unit of one kind, such as 24 h and 0.5 h") from error
        raise refuse((*path, "step"), f"is {quote(part['step'])}", error.instead) from error
    return Limit(
        name,
        kind,
        Fraction(value.low),
        step,
        value.unit,
        value.written,
        part["basis"],
        part["step"],
        title=title_of(name, part),
    )


def _is_of_another_kind(part: Mapping[str, Any], kind: str) -> bool:
    """Whether the step is a quantity, though none of the kind that its value is of."""
    step = kind_of_unit(part["step"])
    return step is not None and step != kind and "kind" not in part


def _kind_of_limit(part: Mapping[str, Any], path: Path_) -> str:
    named: str | None = part.get("kind")
    kind = named or kind_of_unit(part["value"])
    if kind in KINDS:
        return kind
    if named:
        advice = closest(named, KINDS, "", f"write one of: {', '.join(KINDS)}")
        raise refuse((*path, "kind"), f"is {quote(named)}", advice)
    advice = "write a number with its unit, such as 24 h, 72 °F, 45 %RH, 1/8 in or 12 %MC"
    raise refuse((*path, "value"), f"is {quote(part['value'])}", advice)


def _quantity_of_limit(text: str, kind: str, path: Path_) -> Interval:
    try:
        return parse_quantity(text, kind)
    except UnitError as error:
        raise refuse(path, f"is {quote(text)}", error.instead) from error
