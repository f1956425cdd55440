"""Reads the text of one answer by the kind of its question."""

from __future__ import annotations

from fractions import Fraction
from zoneinfo import ZoneInfo

from wallwalk.log_clock import find_clock
from wallwalk.moments import find_zone, parse_last_day, parse_moment
from wallwalk.quantities import UnitError, parse_quantity
from wallwalk.questions import Question
from wallwalk.values import Interval, OneOf, Value

TEXT_MAX = 1000
"""So many characters may a free text have: a report says a name beside every check, and a page has an end."""


def read_answer(question: Question, text: str, zone: ZoneInfo | None) -> Value | None:
    """Read the text of one answer by the kind of its question; None where the shape check speaks.

    Raises `UnitError`.
    """
    match question.kind:
        case "moment":
            return parse_moment(text, zone)
        case "last day":
            return parse_last_day(text, zone)
        case "count" | "level" | "year":
            return _number(question, text)
        case "choice":
            return OneOf(frozenset({text}), text) if text in question.choices else None
        case "text" | "zone":
            return _text(text)
        case "clock":
            return _clock(text, zone)
        case "truth":
            return OneOf(frozenset({text}), text) if text in {"yes", "no"} else None
        case kind:
            return _quantity(question, text, kind)


def _text(text: str) -> OneOf:
    """Free text, on one line; signs that nobody can read as a name or a word say nothing."""
    clean = " ".join(text.split())
    if len(clean) > TEXT_MAX:
        raise UnitError(f"write it in {TEXT_MAX:,} characters or less")
    if not any(c.isalnum() for c in clean):
        raise UnitError("write it in letters or digits, or leave it out")
    return OneOf(frozenset({clean}), clean)


def _clock(text: str, zone: ZoneInfo | None) -> OneOf:
    """The clock that a logger keeps; the site's own is one only where the survey says which that is."""
    clean = " ".join(text.split())
    if find_clock(clean, zone or find_zone("UTC")) is None:
        raise UnitError("write site, an IANA name such as America/Chicago, or an offset such as -06:00")
    return OneOf(frozenset({clean}), clean)


def _number(question: Question, text: str) -> Interval:
    value = parse_quantity(text, "number")
    whole = question.kind != "level"
    if whole and (value.low != value.high or Fraction(value.low).denominator != 1):
        raise UnitError("write one whole number")
    least, most = question.minimum, question.maximum
    if (least is not None and value.low < least) or (most is not None and value.high > most):
        both = least is not None and most is not None
        one = f"write {least} or more" if most is None else f"write {most} or less"
        raise UnitError(f"write a number from {least} to {most}" if both else one)
    return value


def _quantity(question: Question, text: str, kind: str) -> Interval:
    value = parse_quantity(text, kind)
    if ".uncertainty." in f".{question.path}" and value.low <= 0:
        raise UnitError("write what its certificate or data sheet says, over nothing")
    if question.over_zero and (value.high <= 0 or value.low < 0):
        raise UnitError("write what was measured, over zero, or leave it out")
    if question.minimum is not None and value.low < question.minimum:
        raise UnitError(f"write {question.minimum} {value.unit} or more")
    return value
