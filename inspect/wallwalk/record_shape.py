"""Whether a record read from a file has what is read of it to compare it: its parts, and each check once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from wallwalk.errors import Fault, InputError, quote
from wallwalk.languages import LANGUAGES
from wallwalk.record import FORM, Record
from wallwalk.rules import AS_READ, GUARDED, SIMPLE, UNKNOWN

_ADVICE = "give a file that wallwalk check or wallwalk sign wrote"
_VERDICTS = frozenset({"pass", "hold", "not verified"})
_OUTCOMES = _VERDICTS | {"does not apply"}
_MOMENT = ({"at": datetime, "shown": str}, None)
_COMPARED = {
    "fact": str,
    "fact_title": str,
    "comparison": str,
    "measured": str,
    "required": str,
    "limits": [str],
    "verdict": _VERDICTS,
    "decides_applying": bool,
    "value": {"kind": str},
    "sources": [{"place": str, "written": str}],
}
_FINDING = {
    **dict.fromkeys(("rule", "theme", "about", "subject", "title", "says"), str),
    **dict.fromkeys(("put_right", "by", "why", "basis"), str),
    "grade": frozenset({"hold", "caution"}),
    "outcome": _OUTCOMES,
    "listed": bool,
    "waiting_clears_it": bool,
    "clears_at": _MOMENT,
    "not_before": _MOMENT,
    "compared": [_COMPARED],
    "near_limit": [_COMPARED],
    "missing": [{"place": str, "title": str, "lacking": str}],
}
_SHAPE: Mapping[str, Any] = {
    "language": frozenset(LANGUAGES),
    "tool": {"name": str, "version": str},
    "verdict": frozenset({"pass", "hold"}),
    "survey": {"file": str, "sha256": str},
    "heading": dict.fromkeys(("project", "space", "level", "walked_at", "walked_by", "time_zone"), str),
    "walk": ({"from": datetime, "to": datetime}, None),
    "evaluated_for": ({"from": datetime, "to": datetime, "shown": str, "given_by": str}, None),
    "earliest_start": {
        "at": _MOMENT,
        "until": _MOMENT,
        "lapses": ({"title": str}, None),
        "by_waiting": bool,
        "open_then": [{"title": str}],
    },
    "subjects": [{"about": str, "name": str, "place": str, "listed": bool, "declared": (int, None)}],
    "rule_set": {
        **dict.fromkeys(("name", "title", "revision", "sha256"), str),
        "decision": frozenset({GUARDED, SIMPLE}),
        "uncalibrated": frozenset({UNKNOWN, AS_READ}),
        "parties": {},
        "overlays": [{"title": str}],
        "overrides": [{"what": str, "name": str, "because": str, "basis": str}],
    },
    "limits": [
        {
            **dict.fromkeys(("name", "written", "kind", "basis"), str),
            "words": [str],
            "history": [str],
            "used_by": [str],
            "in_measures": bool,
        }
    ],
    "findings": [_FINDING],
}
"""What is read of a record: a type, a moment, one of some words, an object's parts, a list of a shape, or a choice."""


def refuse_other_shapes(record: Record, file: str) -> None:
    """Raises `InputError` where `record`, read from `file`, lacks a part, or tells of a check twice or of nothing."""
    if record.get("form") != FORM:
        found = f"holds a record of form {record.get('form')!r}, and this wallwalk reads form {FORM}"
        raise InputError([Fault(file, 0, "", found, _ADVICE)])
    place = _first_other(record, _SHAPE, "record")
    if place:
        raise InputError([Fault(file, 0, place, "is missing, or is not what a record says there", _ADVICE)])
    subjects = {(s["about"], s["name"]) for s in record["subjects"]}
    for finding in record["findings"]:
        if (finding["about"], finding["subject"]) not in subjects:
            found = (
                f"says what {finding['rule']} came to for {quote(finding['subject'])}, which is none of its subjects"
            )
            raise InputError([Fault(file, 0, "", found, _ADVICE)])
    said = Counter((f["rule"], f["about"], f["subject"], f["listed"]) for f in record["findings"])
    for (rule, _, subject, _), times in said.items():
        if times > 1:
            raise InputError([Fault(file, 0, "", f"says twice what {rule} came to for {quote(subject)}", _ADVICE)])


def _first_other(part: Any, shape: Any, place: str) -> str:  # noqa: ANN401 - what a file holds
    """The first place in `part` that has not its `shape`; empty where all has."""
    if isinstance(shape, tuple):
        return min((_first_other(part, one, place) for one in shape), key=len)
    if isinstance(shape, Mapping):
        if not isinstance(part, dict):
            return place
        inside = (_first_other(part.get(key, ...), one, f"{place}.{key}") for key, one in shape.items())
        return next(filter(None, inside), "")
    if isinstance(shape, list):
        if not isinstance(part, list):
            return place
        inside = (_first_other(one, shape[0], f"{place}[{i}]") for i, one in enumerate(part))
        return next(filter(None, inside), "")
    return "" if _is_of(part, shape) else place


def _is_of(part: Any, shape: Any) -> bool:  # noqa: ANN401
    if shape is None:
        return part is None
    if isinstance(shape, frozenset):
        return isinstance(part, str) and part in shape
    if shape is datetime:
        return isinstance(part, str) and _is_moment(part)
    return type(part) is shape


def _is_moment(text: str) -> bool:
    try:
        return datetime.fromisoformat(text).tzinfo is not None
    except ValueError:
        return False
