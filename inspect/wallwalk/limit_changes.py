"""Limits of two records set side by side: what was changed, and which way each change goes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from wallwalk.comparisons import COMPARISONS
from wallwalk.limits import AnyLimit, Limit, WordLimit
from wallwalk.overlaying import way_in_check, way_in_measure, way_of_all
from wallwalk.quantities import UnitError, parse_quantity
from wallwalk.record import Record
from wallwalk.rules import EITHER, LOOSER, SAME, TIGHTER, Check

_ORDER = (LOOSER, EITHER, TIGHTER, SAME)


def limit_changes(then: Record, now: Record) -> list[Mapping[str, Any]]:
    """Every limit that both records used and that differs in value or basis, those that let more pass first."""
    before = {limit["name"]: limit for limit in then["limits"]}
    pairs = [(before[limit["name"]], limit) for limit in now["limits"] if limit["name"] in before]
    same_language = then["language"] == now["language"]
    changes = [_change(was, is_now, then, now) for was, is_now in pairs if _differs(was, is_now, same_language)]
    return sorted(changes, key=lambda change: _ORDER.index(change["way"]))


def _differs(was: Record, now: Record, same_language: bool) -> bool:
    """A basis is told in the language of its record, and can be set beside another of that language only."""
    return _value_of(was) != _value_of(now) or (same_language and was["basis"] != now["basis"])


def _value_of(limit: Record) -> object:
    known = _limit(limit)
    if known is None:
        return limit["written"]
    return (known.kind, known.amount) if isinstance(known, Limit) else frozenset(known.words)


def _change(was: Record, now: Record, then: Record, after: Record) -> Mapping[str, Any]:
    return {
        "name": now["name"],
        "title": now["title"],
        "way": _way(was, now, (then, after)),
        "was": {"written": was["written"], "basis": was["basis"]},
        "now": {"written": now["written"], "basis": now["basis"]},
        "because": [told for told in now["history"] if told not in was["history"]],
        "used_by": list(dict.fromkeys((*was["used_by"], *now["used_by"]))),
    }


def _way(was: Record, now: Record, records: tuple[Record, Record]) -> str:
    """Told from the comparisons that the records made with it; `either` where they do not tell."""
    before, after = _limit(was), _limit(now)
    if before is None or after is None or was["kind"] != now["kind"]:
        return EITHER
    ways = {
        way_in_check(check, before, after, applying=applying)
        for record in records
        for check, applying in _checks_with(record, now["name"])
    }
    if was["in_measures"] or now["in_measures"]:
        ways.add(way_in_measure(before, after))
    return way_of_all(ways)


def _limit(part: Record) -> AnyLimit | None:
    """The limit that a record tells of; None where its value cannot be read."""
    if part["kind"] == "words":
        return WordLimit(part["name"], tuple(part["words"]), part["basis"])
    try:
        amount = Fraction(parse_quantity(part["written"], part["kind"]).low)
    except (UnitError, KeyError):
        return None
    return Limit(part["name"], part["kind"], amount, Fraction(0), "", part["written"], part["basis"])


def _checks_with(record: Record, name: str) -> Iterator[tuple[Check, bool]]:
    for finding in record["findings"]:
        for c in finding["compared"]:
            if name in c["limits"] and c["comparison"] in COMPARISONS:
                yield Check(c["comparison"], c["fact"], tuple(c["limits"])), c["decides_applying"]
