"""A rule set as the phone form gets it: plain data, amounts exact, overlays laid over it, texts in its language."""

from __future__ import annotations

import json
from fractions import Fraction

import pytest

from surveys import ROOT, rigid_sheet, rule_set_called
from wallwalk.checking import load_rule_set
from wallwalk.form_rules import form_rules
from wallwalk.limits import Limit
from wallwalk.resources import rule_set_names


@pytest.mark.parametrize("name", rule_set_names())
def test_it_is_plain_data_with_every_limit_fact_and_rule(name: str) -> None:
    """JSON gives it back as it was, in the order of the rule set, and amounts are exact."""
    rule_set, data = rule_set_called(name), form_rules(rule_set_called(name))
    assert json.loads(json.dumps(data)) == data
    assert [list(data[part]) for part in ("limits", "facts", "rules")] == [
        list(rule_set.limits),
        list(rule_set.facts),
        list(rule_set.rules),
    ]
    amounts = {n: Fraction(limit["amount"]) for n, limit in data["limits"].items() if "amount" in limit}
    assert amounts == {n: limit.amount for n, limit in rule_set.limits.items() if isinstance(limit, Limit)}


def test_one_rule_and_its_fact_in_full() -> None:
    """Worked by hand from `gap-at-base` in rules/rigid-sheet/layout.yaml; 1/16 in is 0.0254 m / 16 = 127/80000 m."""
    data = form_rules(rigid_sheet())
    rule, fact, limit = (
        data["rules"]["gap-at-base"],
        data["facts"]["gap_at_base"],
        data["limits"]["expansion_gap_min"],
    )
    check = {"word": "at_least", "fact": "gap_at_base", "limits": ["expansion_gap_min"], "words": []}
    assert rule["require"] == {**check, "asks": "at least 1/16 in"}
    assert (rule["grade"], rule["about"], rule["by"], rule["appliesWhen"]) == ("hold", "wall", "installer", None)
    assert (limit["kind"], limit["amount"], limit["shown"]) == ("length", "127/80000", "1/16 in")
    measure = {"word": "answer", "kind": "length", "base": "m", "question": ["wall", "gaps.at_base"]}
    assert fact["expression"] == {**measure, "isLogged": False, "picked": "", "limits": [], "operands": []}


def test_what_an_overlay_changed_is_in_it() -> None:
    """The limit as the overlay has it, and what it was."""
    overlay = ROOT / "examples" / "overlays" / "nessuval-2026.yaml"
    data, plain = form_rules(load_rule_set("rigid-sheet", [overlay])), form_rules(rigid_sheet())
    changed = {n for n, limit in data["limits"].items() if limit["shown"] != plain["limits"][n]["shown"]}
    assert changed
    assert changed <= {override["name"] for override in data["overrides"]}
    assert plain["overrides"] == []


def test_it_speaks_the_language_of_its_rule_set() -> None:
    """Titles, requirements and what is said of missing answers; names and words that surveys write stay."""
    spanish, english = form_rules(load_rule_set("rigid-sheet", language="es")), form_rules(rigid_sheet())
    assert spanish["rules"]["gap-at-base"]["require"]["asks"] == "como mínimo 1/16 in"
    assert {text for text, told in spanish["said"].items() if text == told} == set()
    assert [limit.get("words") for limit in spanish["limits"].values()] == [
        limit.get("words") for limit in english["limits"].values()
    ]
