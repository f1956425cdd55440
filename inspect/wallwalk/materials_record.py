"""What a record says of the materials: what the walls need, what is here, by lot, and what is left over."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from wallwalk.answers import NO_ENTRIES
from wallwalk.facts import Facts
from wallwalk.rules import Material, RuleSet
from wallwalk.survey import Survey
from wallwalk.values import NO_HIGH, Interval, Measured, OneOf
from wallwalk.wording import NOT_KNOWN, show_value
from wallwalk.words import words_in


def materials_record(rule_set: RuleSet, survey: Survey) -> Iterator[dict[str, Any]]:
    """A row for each material that the rule set lists, if something is known of it and the survey does not say no.

    `proof`: whether a number of pieces is `exact`, or lies between proven `bounds`; empty for what is no number.
    """
    facts, words = Facts(rule_set, survey, survey.space), words_in(rule_set.language)
    for row in rule_set.materials:
        used = facts[row.used].value if row.used else None
        if isinstance(used, OneOf) and used.possible == frozenset({"no"}):
            continue
        needed, here = facts[row.needed].value, facts[row.here].value
        offcuts = facts[row.offcuts].value if row.offcuts else None
        if _is_open(needed) and _is_open(here):
            continue
        yield {
            "title": row.title,
            "needed": words.tell(NOT_KNOWN) if _is_open(needed) else show_value(needed, (), None, words),
            "proof": _proof(needed),
            "here": show_value(here, (), None, words),
            "lots": list(_lots(rule_set, survey, row)),
            "offcuts": "" if offcuts is None or _is_open(offcuts) else show_value(offcuts, (), None, words),
        }


def _is_open(value: Measured) -> bool:
    """Whether no number is told from it: none at all is known, or only that it is not under zero."""
    return isinstance(value, Interval) and value.low <= 0 and value.high == NO_HIGH


def _proof(needed: Measured) -> str:
    if not isinstance(needed, Interval) or needed.kind != "number" or not needed.is_known:
        return ""
    return "exact" if needed.low == needed.high else "bounds"


def _lots(rule_set: RuleSet, survey: Survey, row: Material) -> Iterator[dict[str, str]]:
    """Each lot as it was written down; what was not is said so."""
    named, counted = (rule_set.facts[name].expression.question if name else None for name in (row.lots, row.by_lot))
    if named is None or counted is None:
        return
    not_known = words_in(rule_set.language).tell(NOT_KNOWN)
    for entry in survey.space.rolls.get(named.roll, NO_ENTRIES).entries:
        lot, amount = (entry.get(asked.path.removeprefix(f"{named.roll}.")) for asked in (named, counted))
        yield {"lot": lot.value.written if lot else not_known, "amount": amount.value.written if amount else not_known}
