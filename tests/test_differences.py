"""Where two records differ: the first place, named whole; and what is the same is never said to differ."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import pytest

from marked_language import MARKED, Marking
from wallwalk.differences import changed_answer, changed_limit, first_difference
from wallwalk.words import Words

IN_MARKS = Words(MARKED, "", Marking())


def finding(rule: str, subject: str, outcome: str, *sources: tuple[str, str]) -> dict[str, Any]:
    """One finding that compares the answers at these places, each as it is written."""
    compared = [{"sources": [{"place": place, "written": written}]} for place, written in sources]
    return {"rule": rule, "subject": subject, "outcome": outcome, "compared": compared}


RECORD: dict[str, Any] = {
    "tool": {"name": "wallwalk", "version": "0.1.0"},
    "survey": {"file": "room.yaml", "sha256": "a"},
    "rule_set": {"name": "rigid-sheet", "sha256": "b", "overlays": [{"file": "tight.yaml", "sha256": "c"}]},
    "verdict": "hold",
    "climate": {"logs": [{"file": "north.csv", "sha256": "d", "rows": 3}]},
    "limits": [{"name": "dwell_min", "written": "24 h"}, {"name": "dew_gap_min", "written": "3 °C"}],
    "photos": [{"file": "wall.jpg", "sha256": "e", "rule": "stains-blocked", "taken": None, "wide": True}],
    "findings": [
        finding("primer-dry", "East", "hold", ("primer", "9:00"), ("start", "8:00")),
        finding("primer-dry", "West", "pass", ("primer", "9:00")),
    ],
}


def changed(*path: str | int, to: Any) -> dict[str, Any]:  # noqa: ANN401 - what a record holds
    """The record with another thing in one place."""
    record = copy.deepcopy(RECORD)
    place: Any = record
    for part in path[:-1]:
        place = place[part]
    place[path[-1]] = to
    return record


def without(*path: str | int) -> dict[str, Any]:
    """The record with one thing taken out."""
    record = copy.deepcopy(RECORD)
    place: Any = record
    for part in path[:-1]:
        place = place[part]
    del place[path[-1]]
    return record


def test_a_record_is_the_same_as_itself_written_anew() -> None:
    """Whatever the order of names, and where a list is a tuple or a whole number has a point."""
    other = dict(reversed(copy.deepcopy(RECORD).items()))
    assert first_difference(RECORD, other) == ""
    assert first_difference({"span": [1, 2.0]}, {"span": [1.0, 2]}) == ""
    assert first_difference({"span": [1, 2]}, {"span": (1, 2)}) == ""


APART: list[tuple[str | int, ...]] = [
    ("tool", "version"),
    ("survey", "sha256"),
    ("rule_set", "sha256"),
    ("rule_set", "overlays", 0, "sha256"),
    ("climate", "logs", 0, "sha256"),
]


@pytest.mark.parametrize("path", APART, ids=str)
def test_what_is_looked_at_by_itself_is_not_compared(path: tuple[str | int, ...]) -> None:
    """The version of the tool, and the digests of files; their neighbours are."""
    assert first_difference(changed(*path, to="other"), RECORD) == ""
    beside = {"tool": ("tool", "name"), "climate": ("climate", "logs", 0, "rows")}.get(str(path[0]), (path[0], "more"))
    assert first_difference(changed(*beside, to="other"), RECORD) != ""


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (changed("verdict", to="pass"), 'verdict is "pass", and the inputs give "hold"'),
        (changed("verdict", to=None), 'verdict is nothing, and the inputs give "hold"'),
        (changed("verdict", to=[]), 'verdict is a list of 0, and the inputs give "hold"'),
        (changed("verdict", to={"a": 1, "b": 2}), 'verdict is a group of 2, and the inputs give "hold"'),
        (changed("limits", to="none"), 'limits is "none", and the inputs give a list of 2'),
        (changed("survey", to=[1, 2, 3]), "survey is a list of 3, and the inputs give a group of 2"),
        (
            changed("tool", "name", to="w" * 50),
            f'tool.name is "{"w" * 40}…", and the inputs give "wallwalk"',
        ),
        (
            changed("photos", 0, "sha256", to="f"),
            'photos[0].sha256 is "f", and the inputs give "e"',
        ),
        (
            changed("photos", 0, "rule", to="primer-dry"),
            'photos[0].rule is "primer-dry", and the inputs give "stains-blocked"',
        ),
        (changed("photos", 0, "taken", to=0), "photos[0].taken is 0, and the inputs give nothing"),
        (changed("photos", 0, "taken", to=False), "photos[0].taken is no, and the inputs give nothing"),
        (changed("photos", 0, "wide", to=1), "photos[0].wide is 1, and the inputs give yes"),
        (changed("photos", 0, "wide", to=0.5), "photos[0].wide is 0.5, and the inputs give yes"),
        (changed("climate", "logs", 0, "rows", to="3"), 'climate.logs[0].rows is "3", and the inputs give 3'),
        (changed("climate", "logs", 0, "rows", to=4), "climate.logs[0].rows is 4, and the inputs give 3"),
        (
            changed("limits", 1, "written", to="2 °C"),
            'limits[1].written is "2 °C", and the inputs give "3 °C" (dew_gap_min)',
        ),
        (
            changed("findings", 1, "outcome", to="hold"),
            'findings[1].outcome is "hold", and the inputs give "pass" (primer-dry, West)',
        ),
        (
            changed("findings", 0, "compared", 1, "sources", 0, "written", to="7:00"),
            'findings[0].compared[1].sources[0].written is "7:00", and the inputs give "8:00" (primer-dry, East)',
        ),
        (without("verdict"), 'verdict is not there, and the inputs give "hold"'),
        (without("tool", "name"), 'tool.name is not there, and the inputs give "wallwalk"'),
        (without("findings"), "findings is not there, and the inputs give a list of 2"),
        (changed("more", to="x"), 'more is "x", and the inputs give none'),
        (changed("tool", "more", to=None), "tool.more is nothing, and the inputs give none"),
        (without("findings", 1), "findings has 1 entries, and the inputs give 2"),
        (changed("photos", to=[*RECORD["photos"], {}]), "photos has 2 entries, and the inputs give 1"),
        (without("limits", 0), 'limits[0].name is "dew_gap_min", and the inputs give "dwell_min" (dwell_min)'),
    ],
)
def test_the_first_difference_is_named_whole(found: dict[str, Any], said: str) -> None:
    """The place, what stands there, what the inputs give, and whose it is where it stands in a list."""
    assert first_difference(found, RECORD) == said


def test_of_several_differences_the_first_is_named() -> None:
    """What is read first, then the order of the record made once more; of a group what is lacking, then more."""
    two = changed("limits", 1, "written", to="2 °C")
    two["photos"].pop()
    assert first_difference(two, RECORD) == 'limits[1].written is "2 °C", and the inputs give "3 °C" (dew_gap_min)'
    two["verdict"] = "pass"
    two["survey"]["file"] = "hall.yaml"
    assert first_difference(two, RECORD) == 'verdict is "pass", and the inputs give "hold"'
    more = {"a": 1, "z": 0, "y": 0}
    assert first_difference(more, {"b": 1, "a": 2}) == "b is not there, and the inputs give 1"
    assert first_difference(more, {"a": 2}) == "a is 1, and the inputs give 2"
    assert first_difference(more, {"a": 1}) == "y is 0, and the inputs give none"
    assert first_difference({"a": [1, 2, 3]}, {"a": [1, 5]}) == "a[1] is 2, and the inputs give 5"


def test_the_first_answer_that_is_another_one_now_is_named() -> None:
    """Its place, as it was and as it is; one that is gone; nothing where none shows."""
    for then, said in (
        (RECORD, ""),
        (
            changed("findings", 0, "compared", 1, "sources", 0, "written", to="7:00"),
            'start was "7:00", and is "8:00" in the survey filed',
        ),
        (
            changed("findings", 1, "compared", 0, "sources", 0, "place", to="lamp"),
            'lamp was "9:00", and is not answered in the survey filed',
        ),
        (without("findings", 0), ""),
        (
            changed("findings", 0, to=finding("primer-dry", "East", "hold", ("primer", "9" * 50), ("start", "7:00"))),
            'start was "7:00", and is "8:00" in the survey filed',
        ),
        (
            changed("findings", to=[finding("primer-dry", "East", "hold", ("primer", "9" * 50), ("start", "7:00"))]),
            f'primer was "{"9" * 40}…", and is "9:00" in the survey filed',
        ),
        (
            changed("findings", to=[finding("lit", "Room", "hold", ("lamp", "x" * 50), ("sun", "none"))]),
            f'lamp was "{"x" * 40}…", and is not answered in the survey filed',
        ),
    ):
        assert changed_answer(then, RECORD) == said
    now = changed("findings", 0, "compared", 0, "sources", 0, "written", to="9" * 50)
    now["findings"].pop()
    assert changed_answer(RECORD, now) == f'primer was "9:00", and is "{"9" * 40}…" in the survey filed'


def test_the_first_limit_that_is_another_one_now_is_named() -> None:
    """A limit of its own rule set alone: one that was not there then is no change of a limit."""
    for then, said in (
        (RECORD, ""),
        (without("limits", 0), ""),
        (changed("limits", to=[]), ""),
        (changed("limits", 1, "written", to="2 °C"), 'dew_gap_min was "2 °C", and is "3 °C" in the files filed'),
        (
            changed("limits", 0, "written", to="4" * 50),
            f'dwell_min was "{"4" * 40}…", and is "24 h" in the files filed',
        ),
    ):
        assert changed_limit(then, RECORD) == said
    now = changed("limits", 0, "written", to="4" * 50)
    assert changed_limit(RECORD, now) == f'dwell_min was "24 h", and is "{"4" * 40}…" in the files filed'


@pytest.mark.parametrize(
    ("say", "found", "said"),
    [
        (first_difference, changed("verdict", to="pass"), 'verdict⟦ is ⟧"pass"⟦, and the inputs give ⟧"hold"'),
        (first_difference, changed("verdict", to=None), 'verdict⟦ is ⟧⟦nothing⟧⟦, and the inputs give ⟧"hold"'),
        (
            first_difference,
            changed("photos", 0, "wide", to=False),
            "photos[0].wide⟦ is ⟧⟦no⟧⟦, and the inputs give ⟧⟦yes⟧",
        ),
        (
            first_difference,
            changed("survey", to=[]),
            "survey⟦ is ⟧⟦a list of ⟧0⟦, and the inputs give ⟧⟦a group of ⟧2",
        ),
        (first_difference, without("photos", 0), "photos⟦ has ⟧0⟦ entries, and the inputs give ⟧1"),
        (first_difference, without("verdict"), 'verdict⟦ is not there, and the inputs give ⟧"hold"'),
        (first_difference, without("findings"), "findings⟦ is not there, and the inputs give ⟧⟦a list of ⟧2"),
        (first_difference, changed("more", to=True), "more⟦ is ⟧⟦yes⟧⟦, and the inputs give none⟧"),
        (
            changed_answer,
            changed("findings", 0, "compared", 1, "sources", 0, "written", to="7:00"),
            'start⟦ was ⟧"7:00"⟦, and is ⟧"8:00"⟦ in the survey filed⟧',
        ),
        (
            changed_answer,
            changed("findings", 1, "compared", 0, "sources", 0, "place", to="lamp"),
            'lamp⟦ was ⟧"9:00"⟦, and is not answered in the survey filed⟧',
        ),
        (
            changed_limit,
            changed("limits", 1, "written", to="2 °C"),
            'dew_gap_min⟦ was ⟧"2 °C"⟦, and is ⟧"3 °C"⟦ in the files filed⟧',
        ),
    ],
)
def test_each_is_said_in_the_words_that_are_asked_for(say: Callable[..., str], found: Any, said: str) -> None:  # noqa: ANN401
    """The fixed words are translated, one by one; places and what is written there stay."""
    assert say(found, RECORD, IN_MARKS) == said
