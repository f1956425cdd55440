"""What a record says of the materials: what the walls need, what is here, by lot, and what is left over."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from wallwalk.answers import NO_ENTRIES
from wallwalk.facts import Facts
from wallwalk.rules import Material, RuleSet
from wallwalk.survey import Survey
from wallwalk.values import Interval, OneOf
from wallwalk.wording import NOT_KNOWN, show_value
from wallwalk.words import words_in


def materials_record(rule_set: RuleSet, survey: Survey) -> Iterator[dict[str, Any]]:
    """A row for each material that the rule set lists and the survey does not say no to.

    `between`: what is needed is no one number, but lies between two bounds that are proven.
    """
    facts, words = Facts(rule_set, survey, survey.space), words_in(rule_set.language)
    for row in rule_set.materials:
        used = facts[row.used].value if row.used else None
        if isinstance(used, OneOf) and used.possible == frozenset({"no"}):
            continue
        needed = facts[row.needed].value
        yield {
            "title": row.title,
            "needed": show_value(needed, (), None, words),
            "between": isinstance(needed, Interval) and needed.is_known and needed.low < needed.high,
            "here": show_value(facts[row.here].value, (), None, words),
            "lots": list(_lots(rule_set, survey, row)),
            "offcuts": show_value(facts[row.offcuts].value, (), None, words) if row.offcuts else "",
        }


def _lots(rule_set: RuleSet, survey: Survey, row: Material) -> Iterator[dict[str, str]]:
    """Each lot as it was written down; what was not is said so."""
    named, counted = (rule_set.facts[name].expression.question if name else None for name in (row.lots, row.by_lot))
    if named is None or counted is None:
        return
    not_known = words_in(rule_set.language).tell(NOT_KNOWN)
    for entry in survey.space.rolls.get(named.roll, NO_ENTRIES).entries:
        lot, amount = (entry.get(asked.path.removeprefix(f"{named.roll}.")) for asked in (named, counted))
        yield {"lot": lot.value.written if lot else not_known, "amount": amount.value.written if amount else not_known}
