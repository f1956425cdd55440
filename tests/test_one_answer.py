"""One answer of the room with pasted wallcovering changed at a time moves the findings it should, and no other.

What each change should move was written down from what the rules ask, run, and read once more where the two differed:
twice an expectation had forgotten that one reading serves two rules, and once that either of two tests will do.
"""

from __future__ import annotations

import re
from copy import deepcopy
from functools import cache
from typing import Any

import pytest

from scenario_reader import change
from surveys import ROOT, example_document, rule_set_called, survey_of
from wallwalk.checking import check
from wallwalk.yamlio import read_yaml

ROOM = "507-reading-room"
RULES = "pasted-wallcovering"

NOT_CHANGED = {"climate_log.file", "climate_log.every", "climate_log.ended"}
"""What belongs to a log's own file, which is read as it says: `test_logs.py` tries it."""


@cache
def rows() -> list[Any]:
    """The changes, each with the findings that move by it."""
    data: Any = read_yaml(ROOT / "tests" / "covering" / "one-answer.yaml", "one-answer.yaml").data
    return list(data)


def outcomes(data: Any) -> dict[tuple[str, str], str]:  # noqa: ANN401 - a document's data
    """What every rule comes to for every subject of a survey."""
    record = check(survey_of(data), rule_set_called(RULES))
    return {(f["rule"], f["subject"]): f["outcome"] for f in record["findings"]}


@cache
def as_it_is() -> dict[tuple[str, str], str]:
    """The findings of the room with nothing changed; `test_examples.py` holds them against those written by hand."""
    return outcomes(example_document(ROOM).data)


def moved(row: Any) -> dict[tuple[str, str], str]:  # noqa: ANN401 - a document's data
    """The findings that a row says move, by rule and subject."""
    found = {}
    for rule, said in row["findings"].items():
        subjects = [subject for name, subject in as_it_is() if name == rule]
        assert subjects, f"no such rule: {rule}"
        found.update(
            {(rule, s): o for s, o in (said if isinstance(said, dict) else dict.fromkeys(subjects, said)).items()}
        )
    return found


@pytest.mark.slow
@pytest.mark.parametrize("number", range(len(rows())))
def test_one_answer_moves_what_it_should_and_nothing_else(number: int) -> None:
    """Every finding of the room comes out as it was, but for those that the row names."""
    row, data = rows()[number], deepcopy(example_document(ROOM).data)
    for path, value in row["change"].items():
        change(data, path, value)
    assert outcomes(data) == {**as_it_is(), **moved(row)}


def test_every_answer_that_a_rule_reads_is_changed_by_some_row() -> None:
    """No fact can read another question unseen: each question that any fact is measured from stands in a row."""
    changed = {_plain(path) for row in rows() for path in row["change"]}
    read = {
        part.question.path.removeprefix("walls.")
        for fact in rule_set_called(RULES).facts.values()
        for part in fact.expression.parts()
        if part.question is not None
    }
    assert len(rows()) > 110
    borrowed = {path for path in read if path.endswith(".instrument.calibration_due")}
    assert len(borrowed) == 4  # changed where the instruments themselves are listed
    whole_lists = {"alkalinity.value", "adhesive_lots.quantity"}  # given as a list, entry by entry
    assert read - borrowed - changed - whole_lists - NOT_CHANGED == set()
    assert {path.partition(".")[0] for path in whole_lists} <= changed


def _plain(path: str) -> str:
    """A path without the entries it names: `walls[North].moisture[0].value` is moisture.value."""
    return re.sub(r"\[[^]]*\]", "", path).removeprefix("walls.")
