"""Twenty-five rooms as they are met on site come out, whole, as was written by hand before any judging.

Each expectation was worked out from the trade's conditions and the texts of the rules, all 25 before the first run. At
that run no verdict, start or finding was wrong, of the scenarios or of the base rooms. One expectation about them all
was: no scenario left `air-readings-complete` unverified, as the list below said some did, so the kitchen lost the place
of a reading. The error was the expectation's. Of the rule set, the run showed none.

Eleven of the starts were wrong all the same, in the program and here alike: they named the minute of the walk, though
the air was read twenty minutes later, and no wall is to be covered before it is read. A second, independent judgement
of the rules (`tests/differential/oracle/`) found it; program and expectations were put right together.

Two things lessen what that proves. The hand that wrote the expectations had read the rules' conditions and how they
are combined, so a condition that is itself wrong is taken over here with them. And the base rooms had been seen to
pass before what does not apply to them was written down.
"""

from __future__ import annotations

import re
import subprocess
from collections.abc import Mapping
from functools import cache

import pytest

from scenario_reader import BASES, Outcomes, Scenario, base_names, change, read_base, read_scenario, scenario_names
from surveys import ROOT, rigid_sheet
from wallwalk.checking import check
from wallwalk.record import Record
from wallwalk.rules import HOLD_GRADE

SCENARIOS = tuple(scenario_names())
ROOMS = (*base_names(), *SCENARIOS)

NEVER_SEEN: Mapping[str, frozenset[str]] = {
    # The first five ask only whether something is stated, so they cannot hold.
    "hold": frozenset(
        {
            "walk-stated",
            "moisture-readings-complete",
            "surface-readings-complete",
            "alkalinity-readings-complete",
            "logger-placed-where-stated",
        }
    ),
    "pass": frozenset(),
    "not verified": frozenset(),
}
"""The rules that can hold the work and that no scenario shows with an outcome. These sets may only shrink."""


@cache
def room(name: str) -> Scenario:
    """A base room or a scenario."""
    return read_scenario(name) if name in SCENARIOS else read_base(name)


@cache
def record_of(name: str) -> Record:
    """The record of a base room or a scenario."""
    return check(room(name).survey(), rigid_sheet())


def subjects_of(record: Record) -> Mapping[str, tuple[str, ...]]:
    """The subjects of a record, by what they are."""
    return {about: tuple(s["name"] for s in record["subjects"] if s["about"] == about) for about in ("space", "wall")}


def outcomes_of(record: Record) -> Outcomes:
    """Every finding of a record; a rule of caution grade that is not met is a caution."""
    return {
        (f["rule"], f["subject"]): "caution" if (f["grade"], f["outcome"]) == ("caution", "hold") else f["outcome"]
        for f in record["findings"]
    }


def test_there_are_25_scenarios_on_three_bases() -> None:
    """No scenario is lost unseen, each says in one sentence what it is, and every base is used."""
    assert len(SCENARIOS) == 25
    assert base_names() == ["concrete-room", "gypsum-room", "painted-room"]
    for name in SCENARIOS:
        assert room(name).about.endswith(".")
        assert "\n" not in room(name).about
    assert {room(name).base for name in SCENARIOS} == set(base_names())


@pytest.mark.slow
@pytest.mark.parametrize("name", base_names())
def test_a_base_room_passes_on_the_command_line(name: str) -> None:
    """A base room is a survey that a user could have written, and the tool itself passes it."""
    done = subprocess.run(
        ["wallwalk", "check", str(BASES / f"{name}.yaml")], capture_output=True, text=True, cwd=ROOT, check=False
    )
    assert (done.returncode, done.stdout[:4], done.stderr) == (0, "PASS", "")


@pytest.mark.parametrize("name", ROOMS)
def test_every_finding_is_as_written_by_hand(name: str) -> None:
    """Every finding of every rule for every subject is the one expected, and there is no other."""
    record = record_of(name)
    asked = {rule.name: rule.about for rule in rigid_sheet().rules.values()}
    assert outcomes_of(record) == room(name).findings(asked, subjects_of(record))


@pytest.mark.parametrize("name", ROOMS)
def test_verdict_and_earliest_start_are_as_written_by_hand(name: str) -> None:
    """The verdict, the earliest start by the clocks, and whether waiting alone is wanting."""
    record, expect = record_of(name), room(name).expect
    at = record["earliest_start"]["at"]
    got = (record["verdict"], at["at"] if at else "none", record["earliest_start"]["by_waiting"])
    assert got == (expect["verdict"], expect["earliest_start"], expect["by_waiting"])


@pytest.mark.parametrize("outcome", sorted(NEVER_SEEN))
def test_every_rule_is_seen_with_every_outcome(outcome: str) -> None:
    """Across the scenarios every rule that can hold the work holds, passes and is not verified, but those listed."""
    can_hold = {rule.name for rule in rigid_sheet().rules.values() if rule.grade == HOLD_GRADE}
    seen = {rule for name in SCENARIOS for (rule, _), was in outcomes_of(record_of(name)).items() if was == outcome}
    assert can_hold - seen == NEVER_SEEN[outcome]


# -- the reader itself ----------------------------------------------------------------------------------------------


def test_a_change_goes_where_its_path_says() -> None:
    """By key, by name, by place and to all; a mapping that is not there is made, an empty value takes out."""
    data = {"walls": [{"name": "North", "dust": {"tape": "1"}}, {"name": "South"}], "air": [{"at": "noon"}]}
    change(data, "walls[South].dust.tape", "2")
    change(data, "walls[*].height", "8 ft")
    change(data, "air[0].at", "one")
    change(data, "walls[North].dust", None)
    assert data == {
        "walls": [{"name": "North", "height": "8 ft"}, {"name": "South", "dust": {"tape": "2"}, "height": "8 ft"}],
        "air": [{"at": "one"}],
    }


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        ("walls[West].height", "8 ft", "walls[West].height: there is no [West]"),
        ("air[1].at", "noon", "air[1].at: there is no [1]"),
        ("walls[North].height", "9 ft", "walls[North].height: changes nothing"),
        ("walls[North].width", None, "walls[North].width: is not there to be taken out"),
        ("walls[North]height.", "8 ft", "walls[North]height.: is no path"),
    ],
)
def test_a_change_that_changes_nothing_is_refused(path: str, value: object, says: str) -> None:
    """A change that misses what it means would leave a scenario testing its base."""
    data = {"walls": [{"name": "North", "height": "9 ft"}], "air": [{"at": "noon"}]}
    with pytest.raises(ValueError, match=f"^{re.escape(says)}$"):
        change(data, path, value)


@pytest.mark.parametrize(
    ("findings", "says"),
    [
        ({"wall-flatt": "hold"}, "stage: no such rule: ['wall-flatt']"),
        ({"wall-flat": {"West": "hold"}}, "stage: wall-flat: no such subject: ['West']"),
    ],
)
def test_an_expectation_of_nothing_is_refused(findings: Mapping[str, object], says: str) -> None:
    """A rule or a wall that is not there is no expectation."""
    scenario = Scenario("stage", "A stage.", "gypsum-room", {}, {"findings": findings}, {})
    with pytest.raises(ValueError, match=f"^{re.escape(says)}$"):
        scenario.findings({"wall-flat": "wall"}, {"wall": ("North",)})


def test_what_is_not_named_is_a_pass_but_what_does_not_apply_is_taken_over() -> None:
    """One word is of all subjects; a mapping leaves the others as the base has them."""
    findings = {"a": "hold", "b": {"North": "hold"}, "c": {"North": "pass"}}
    scenario = Scenario("stage", "A stage.", "gypsum-room", {}, {"findings": findings}, {"c": "does not apply"})
    rules = {"a": "space", "b": "wall", "c": "wall", "d": "wall"}
    assert scenario.findings(rules, {"space": ("The space",), "wall": ("North", "South")}) == {
        ("a", "The space"): "hold",
        ("b", "North"): "hold",
        ("b", "South"): "pass",
        ("c", "North"): "pass",
        ("c", "South"): "does not apply",
        ("d", "North"): "pass",
        ("d", "South"): "pass",
    }
