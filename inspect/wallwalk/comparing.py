"""Two records side by side, an earlier walk's and a later one's: what every check came to on each, as plain data."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

from wallwalk.filing import Entry, digest
from wallwalk.grounds import INSTRUMENT, weaker_grounds
from wallwalk.limit_changes import limit_changes
from wallwalk.record import Record
from wallwalk.rules import AS_READ, GUARDED, HOLD_GRADE, LAXER, SIMPLE, UNKNOWN

Part = Mapping[str, Any]
Signed = tuple[tuple[Entry, ...], tuple[Entry, ...]]
Key = tuple[str, str, str | None]
"""A rule, what it is about and the subject's name; the walls that nobody wrote down have none."""

CLEARED, STILL_HOLDS, STILL_OPEN = "cleared", "still holds", "still not verified"
NEW, NOW_HOLDS, NOW_OPEN = "new", "now holds", "now not verified"
EXCUSED, GONE, ADDED, NEVER_HELD = "no longer applies", "no longer judged", "added", "never held"
CHANGES = (CLEARED, STILL_HOLDS, STILL_OPEN, NEW, NOW_HOLDS, NOW_OPEN, EXCUSED, GONE, ADDED, NEVER_HELD)
"""What a check may have come to between the two; each check is one of these."""

_PASS, _HOLD, _OPEN, _APART = "pass", "hold", "not verified", "does not apply"
_HOLDING = {_HOLD, _OPEN}
_NO_LONGER = {CLEARED, EXCUSED, GONE}

IN_ORDER, SAME, ONE_WALK, OTHER_WAY_ROUND, NOT_TOLD = (
    "in order",
    "same record",
    "one walk",
    "other way round",
    "not told",
)


def compare_records(then: Record, now: Record, signed: Signed = ((), ())) -> Record:
    """The comparison of the record `then` with the later one `now`; `signed` are the entries on each.

    `order`: whether the walk of `then` was the earlier one. `differences`: what they are about, and are judged by, that
    is not the same. `limits`: those that were changed. `findings`: every check of either record exactly once, as it was
    in each (None where it was not judged), its `change`, why it may be `relaxed` (empty where it still holds or was
    never held), its `evidence` that changed, and the `weaker` grounds that one cleared stands on. `entries` are those
    signed on each.
    """
    limits = limit_changes(then, now)
    return {
        "then": then,
        "now": now,
        "order": _order(then, now),
        "differences": list(_differences(then, now)),
        "limits": limits,
        "findings": list(_findings(then, now, limits)),
        "entries": {"then": signed[0], "now": signed[1]},
    }


def is_unchanged(comparison: Record) -> bool:
    """Whether every check came to the same, on the same evidence, by the same limits, in the same space."""
    same = {STILL_HOLDS, STILL_OPEN, NEVER_HELD}
    moved = any(f["change"] not in same or f["evidence"] for f in comparison["findings"])
    return not (moved or comparison["limits"] or comparison["differences"])


def _order(then: Record, now: Record) -> str:
    if digest(then) == digest(now):
        return SAME
    if not then["walk"] or not now["walk"]:
        return NOT_TOLD
    if then["walk"] == now["walk"]:
        return ONE_WALK
    before, after = (
        [datetime.fromisoformat(walk[end]) for end in ("from", "to")] for walk in (then["walk"], now["walk"])
    )
    if before[1] <= after[0]:
        return IN_ORDER
    return OTHER_WAY_ROUND if after[1] <= before[0] else NOT_TOLD


def _differences(then: Record, now: Record) -> Iterator[Part]:
    for what in ("project", "space", "level", "time_zone"):
        yield from _different(what, then["heading"][what], now["heading"][what])
    for what in ("name", "revision", "sha256", "decision", "uncalibrated"):
        yield from _different(f"rule_set.{what}", then["rule_set"][what], now["rule_set"][what])
    yield from _different("overlays", *([o["title"] for o in r["rule_set"]["overlays"]] for r in (then, now)))
    yield from _different("walls", *([s["name"] for s in r["subjects"] if _is_wall(s)] for r in (then, now)))
    yield from _different("in_scope", _in_scope(then), _in_scope(now))
    yield from _different("language", then["language"], now["language"])


def _different(what: str, was: object, now: object) -> Iterator[Part]:
    if was != now:
        yield {"what": what, "was": was, "now": now}


def _is_wall(subject: Part) -> bool:
    return bool(subject["listed"]) and subject["about"] != "space"


def _in_scope(record: Record) -> int | None:
    """How many walls there are in all; None where nobody said."""
    unlisted = [s["declared"] for s in record["subjects"] if not s["listed"]]
    return unlisted[0] if unlisted else sum(map(_is_wall, record["subjects"]))


# -- findings -------------------------------------------------------------------------------------------------------


def _findings(then: Record, now: Record, limits: list[Part]) -> Iterator[Part]:
    before, after = ({_key(f): f for f in record["findings"]} for record in (then, now))
    asked = {f["rule"] for f in now["findings"]}
    decided = [[r["rule_set"][what] for what in ("decision", "uncalibrated")] for r in (then, now)]
    laxer = {limit["name"] for limit in limits if limit["way"] in LAXER}
    for key in dict.fromkeys((*after, *before)):
        was, is_now = before.get(key), after.get(key)
        change = _change(was, is_now)
        may_be_relaxed = change in _NO_LONGER and was is not None and _holds(was)
        places = (_own(was, then), _own(is_now, now)) if was and is_now else ("", "")
        evidence = list(_evidence(was, is_now, places)) if was and is_now else []
        required = [(e["was"], e["now"]) for e in evidence if not e["now"]["decides_applying"]]
        yield {
            "rule": key[0],
            "about": key[1],
            "subject": key[2],
            "was": was,
            "now": is_now,
            "change": change,
            "relaxed": list(_relaxed(was, is_now, then, now, laxer, asked)) if may_be_relaxed and was else [],
            "evidence": evidence,
            "weaker": [
                ground
                for ground in (weaker_grounds(required, places) if may_be_relaxed and change == CLEARED else ())
                if ground["why"] != INSTRUMENT
                or decided[0] == decided[1]  # else it is the decision that asks less of it
            ],
        }


def _key(finding: Part) -> Key:
    return finding["rule"], finding["about"], finding["subject"] if finding["listed"] else None


def _holds(finding: Part) -> bool:
    return finding["grade"] == HOLD_GRADE and finding["outcome"] in _HOLDING


def _change(was: Part | None, now: Part | None) -> str:
    """What became of a check. One that is of hold grade on one side only counts as right where it is a caution."""
    if now is None:
        return GONE
    mixed = was is not None and was["grade"] != now["grade"]
    first, last = (_PASS if mixed and f["grade"] != HOLD_GRADE else f["outcome"] if f else "" for f in (was or {}, now))
    return _BECAME.get((first, last)) or (NEW if last in _HOLDING else NEVER_HELD if first else ADDED)


_BECAME = {
    (_HOLD, _PASS): CLEARED,
    (_OPEN, _PASS): CLEARED,
    (_HOLD, _HOLD): STILL_HOLDS,
    (_OPEN, _OPEN): STILL_OPEN,
    (_OPEN, _HOLD): NOW_HOLDS,
    (_HOLD, _OPEN): NOW_OPEN,
    (_HOLD, _APART): EXCUSED,
    (_OPEN, _APART): EXCUSED,
    (_PASS, _APART): EXCUSED,
}


def _relaxed(
    was: Part, now: Part | None, then: Record, after: Record, laxer: set[str], asked: set[str]
) -> Iterator[Part]:
    """Every way in which less was asked of a check that held and no longer does: by it, it may be right or gone."""
    used = {limit["name"] for r in (then, after) for limit in r["limits"] if was["rule"] in limit["used_by"]}
    for name in sorted(used & laxer):
        yield {"why": "limit", "limit": name}
    if was["rule"] not in asked and any(s["about"] == was["about"] for s in after["subjects"]):
        yield {"why": "rule dropped", "limit": ""}
    if now is None:
        return
    if now["grade"] != HOLD_GRADE:
        yield {"why": "caution only", "limit": ""}
    if _asks(was, applying=True) != _asks(now, applying=True) or _requires_otherwise(was, now):
        yield {"why": "asks otherwise", "limit": ""}
    rules_then, rules_now = then["rule_set"], after["rule_set"]
    if (rules_then["decision"], rules_now["decision"]) == (GUARDED, SIMPLE) and _rests_on_readings(was, now):
        yield {"why": "taken as read", "limit": ""}
    if (rules_then["uncalibrated"], rules_now["uncalibrated"]) == (UNKNOWN, AS_READ) and _is_of_quantities(was, now):
        yield {"why": "not calibrated", "limit": ""}


def _asks(finding: Part, *, applying: bool) -> Counter[tuple[str, str, tuple[str, ...]]]:
    made = (c for c in finding["compared"] if c["decides_applying"] == applying)
    return Counter((c["fact"], c["comparison"], tuple(c["limits"])) for c in made)


def _requires_otherwise(was: Part, now: Part) -> bool:
    """What is required is compared only where the rule applies."""
    return now["outcome"] != _APART and _asks(was, applying=False) != _asks(now, applying=False)


def _rests_on_readings(was: Part, now: Part) -> bool:
    """Whether the instrument could not tell; where a rule no longer applies, its record does not say, so it may be."""
    return bool(now["near_limit"]) or (now["outcome"] == _APART and _is_of_quantities(was, now))


def _is_of_quantities(was: Part, now: Part) -> bool:
    """Whether some quantity decided; where the rule no longer applies, one that decides whether it does."""
    made = (c for finding in (was, now) for c in finding["compared"])
    return any(c["value"]["kind"] != "words" for c in made if c["decides_applying"] or now["outcome"] != _APART)


# -- evidence -------------------------------------------------------------------------------------------------------


def _own(finding: Part, record: Record) -> str:
    """The place of a finding's subject in its survey."""
    found = (
        s["place"] for s in record["subjects"] if (s["about"], s["name"]) == (finding["about"], finding["subject"])
    )
    return str(next(found))


def _evidence(was: Part, now: Part, own: tuple[str, str]) -> Iterator[Part]:
    """Every comparison that both made, on another value or on other answers; `own` are the places of the subject."""
    before = _by_check(was)
    for check, compared in _by_check(now).items():
        earlier = before.get(check)
        if earlier and (earlier["value"], _sources(earlier, own[0])) != (compared["value"], _sources(compared, own[1])):
            yield {"was": earlier, "now": compared}


def _by_check(finding: Part) -> dict[tuple[Any, ...], Part]:
    """Each comparison by what it compares; the same one made twice has the same value twice."""
    return {(c["fact"], c["comparison"], tuple(c["limits"]), c["decides_applying"]): c for c in finding["compared"]}


def _sources(compared: Part, own: str) -> list[tuple[str, str]]:
    """The answers used, without the number of the wall in its list, which moves when another wall is put in."""
    return [(s["place"].removeprefix(own) if own else s["place"], s["written"]) for s in compared["sources"]]
