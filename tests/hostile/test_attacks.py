"""Hostile content: every row of the table of attacks is tried, and has to be stopped where the table says."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from attack import KINDS, Attack, Scene
from attacks import ATTACKS
from table import as_table

ROWS = [
    pytest.param(one, id=one.name, marks=pytest.mark.slow if one.slow or n % 4 else ()) for n, one in enumerate(ATTACKS)
]
"""In the quick part one of four that are not slow themselves."""


@pytest.mark.parametrize("one", ROWS)
def test_an_attack_is_stopped(one: Attack, tmp_path: Path, request: pytest.FixtureRequest) -> None:
    """What the row's own check tries does no harm, and is seen as the row says."""
    one.check(Scene(tmp_path, lambda: request.getfixturevalue("browser")))


def test_every_row_has_a_check_of_its_own_and_says_everything() -> None:
    """No two rows share a check or a name, and none leaves a column empty."""
    assert max(Counter(id(one.check) for one in ATTACKS).values()) == 1
    assert max(Counter(one.name for one in ATTACKS).values()) == 1
    for one in ATTACKS:
        assert all((one.name, one.gives, one.through, one.into, one.stopped, one.seen)), one.name


def test_the_table_covers_every_kind() -> None:
    """Each kind of attack that is listed is tried, and no row is of a kind that is not."""
    assert {one.of for one in ATTACKS} == KINDS.keys()


def test_the_table_says_how_many_were_tried_and_stopped() -> None:
    """What is printed is counted from what was tried: an attack that is not stopped is named."""
    rows = ATTACKS[:2]
    told = as_table(rows, {rows[1].name: "it got in"})
    assert told.splitlines()[0] == "2 attacks tried, 1 stopped."
    assert f"**NOT STOPPED**: {rows[1].name}: it got in" in told
    assert told.count("\n| ") == 2 + 1
