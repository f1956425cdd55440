"""Each hold is put to the one who can put it right."""

from __future__ import annotations

from typing import Any

import pytest

from surveys import ROOT, rule_set_called
from wallwalk.resources import rule_set_names
from wallwalk.yamlio import read_yaml


@pytest.mark.parametrize("name", rule_set_names())
def test_each_rule_names_the_party_that_the_trade_does(name: str) -> None:
    """Every rule of the set stands with its party in the list written beside the trade's page, and no other does."""
    written: Any = read_yaml(ROOT / "tests" / "parties.yaml", "parties.yaml").data
    rules = rule_set_called(name).rules.values()
    assert [(party, sorted(r.name for r in rules if r.by == party)) for party in written[name]] == [
        (party, sorted(named)) for party, named in written[name].items()
    ]
    assert sum(map(len, written[name].values())) == len(rules) > 70
