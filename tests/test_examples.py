"""The example surveys come out as was written by hand from the trade's conditions before any judging."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from surveys import EXAMPLES, ROOT, example, example_rules
from wallwalk.checking import check
from wallwalk.judging import judge

NAMES = tuple(path.stem for path in EXAMPLES)


def expected(name: str) -> Any:  # noqa: ANN401
    """What was written by hand for one example."""
    return yaml.safe_load((ROOT / "tests" / "expected" / f"{name}.yaml").read_text())


def test_there_are_five_spaces() -> None:
    """The invented project has five spaces, one with another covering; each has its expectation written by hand."""
    assert [example_rules(name).name for name in NAMES] == ["rigid-sheet"] * 4 + ["pasted-wallcovering"]
    assert sorted(p.stem for p in (ROOT / "tests" / "expected").glob("*.yaml")) == list(NAMES)


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_findings_are_those_written_by_hand(name: str) -> None:
    """Every finding of every rule for every subject is the one expected, and there is no other."""
    survey = example(name)
    want: dict[tuple[str, str], str] = {}
    for rule, outcomes in expected(name)["findings"].items():
        subjects = [s.name for s in survey.subjects(example_rules(name).rules[rule].about)]
        want |= {(rule, s): outcomes if isinstance(outcomes, str) else outcomes[s] for s in subjects}
    got = {(f.rule.name, f.subject.name): f.outcome.value for f in judge(example_rules(name), survey)}
    assert got == want


@pytest.mark.parametrize("name", NAMES)
def test_verdict_and_earliest_start_are_those_written_by_hand(name: str) -> None:
    """The verdict and the earliest start are the ones expected."""
    record = check(example(name), example_rules(name))
    at = record["earliest_start"]["at"]
    assert (record["verdict"], at and at["at"]) == (expected(name)["verdict"], expected(name)["earliest_start"])


@pytest.mark.slow
def test_no_room_that_holds_is_cured_by_waiting_alone() -> None:
    """The corridor's clocks run, but its logger has to be read again; the others lack what no time gives."""
    by_waiting = {n for n in NAMES if check(example(n), example_rules(n))["earliest_start"]["by_waiting"]}
    assert by_waiting == {"204-treatment-room"}
