"""The decision rule of a rule set: guarded by the instrument's uncertainty, or simple and said to be so."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest

from surveys import rigid_sheet, survey_from
from wallwalk.checking import check
from wallwalk.errors import InputError
from wallwalk.report.html import render_html
from wallwalk.report.terminal import render_terminal
from wallwalk.rules import RuleSet

WALL = """
time_zone: UTC
planned_start: 2026-03-09 12:00
instruments:
  - {name: T1, calibration_due: %(due)s%(uncertainty)s}
air_taken: 1
air:
  - {at: 2026-03-09 09:00, place: middle, temperature: %(reading)s, instrument: T1}
"""

SIMPLE = dataclasses.replace(rigid_sheet(), decision="simple")


def record_of(rule_set: RuleSet, reading: str, uncertainty: str = "1 °F", due: str = "2026-12-31") -> Any:  # noqa: ANN401
    """The record of a space with one air reading, by an instrument of that uncertainty (empty: not stated)."""
    stated = f", uncertainty: {{temperature: {uncertainty}}}" if uncertainty else ""
    return check(survey_from(WALL % {"reading": reading, "uncertainty": stated, "due": due}), rule_set)


def in_band(record: Any) -> tuple[str, list[str]]:  # noqa: ANN401
    """The outcome of the band rule, and what of it lies nearer its limit than its uncertainty."""
    (finding,) = (f for f in record["findings"] if f["rule"] == "air-in-band")
    return finding["outcome"], [f"{n['measured']}; {n['required']}" for n in finding["near_limit"]]


@pytest.mark.parametrize(
    ("reading", "guarded", "simple", "near"),
    [
        ("61 °F", "pass", "pass", []),
        ("60.9 °F", "not verified", "pass", ["60.9 °F ± 1 °F (middle); at least 60 °F"]),
        ("59.1 °F", "not verified", "hold", ["59.1 °F ± 1 °F (middle); at least 60 °F"]),
        ("58.9 °F", "hold", "hold", []),
        ("79 °F", "pass", "pass", []),
        ("79.1 °F", "not verified", "pass", ["79.1 °F ± 1 °F (middle); at most 80 °F"]),
        ("61.5 ± 1.5 °F", "pass", "pass", []),  # its own uncertainty, written with the reading, is what counts
    ],
)
def test_a_reading_within_its_uncertainty_of_a_limit(reading: str, guarded: str, simple: str, near: list[str]) -> None:
    """JCGM 106:2012 §8.3, w = U = 1 °F: guarded does not decide there; simple does, and says that it is near."""
    assert in_band(record_of(rigid_sheet(), reading)) == (guarded, [])
    assert in_band(record_of(SIMPLE, reading)) == (simple, near)


def test_a_reading_without_uncertainty_is_no_guarded_reading() -> None:
    """Were it taken as read, taking the uncertainty out would turn *not verified* into a pass."""
    assert in_band(record_of(rigid_sheet(), "60.9 °F", uncertainty="")) == ("not verified", [])
    assert in_band(record_of(SIMPLE, "70 °F", uncertainty="")) == (
        "pass",
        ["not known; at least 60 °F", "not known; at most 80 °F"],
    )


@pytest.mark.parametrize(("due", "outcome"), [("2026-03-09", "pass"), ("2026-03-08", "not verified")])
def test_an_instrument_out_of_calibration_tells_nothing(due: str, outcome: str) -> None:
    """Read on 9 March: a calibration good to the end of that day counts, one that ended the day before does not."""
    assert in_band(record_of(rigid_sheet(), "70 °F", due=due))[0] == outcome


def test_a_rule_set_may_take_such_readings_as_read() -> None:
    """`uncalibrated: as read` leaves it to the rule set's own rules to hold or to caution."""
    lenient = dataclasses.replace(rigid_sheet(), uncalibrated="as read")
    record = record_of(lenient, "70 °F", due="2026-03-08")
    assert in_band(record) == ("pass", [])
    assert {f["outcome"] for f in record["findings"] if f["rule"] == "air-instruments-in-calibration"} == {"hold"}


def test_every_report_says_how_it_decided() -> None:
    """The decision rule stands in the terminal summary and on the page, and what was near has a place of its own."""
    simple, guarded = record_of(SIMPLE, "60.9 °F"), record_of(rigid_sheet(), "60.9 °F")
    as_read = "simple: a reading is taken as read; nearer its limit than its own uncertainty, it gives a caution"
    assert f"Decision rule: {as_read}." in " ".join(render_terminal(simple).split())
    assert as_read in render_html(simple)
    near = (
        "The space: Air is in the temperature band at every reading. Air temperature lowest: 60.9 °F ± 1 °F (middle);"
    )
    assert f"! {near} required: at least 60 °F" in " ".join(render_terminal(simple).split())
    assert 'id="near-limit"' in render_html(simple)
    assert "Decision rule: guarded: a reading nearer its limit" in " ".join(render_terminal(guarded).split())
    assert 'id="near-limit"' not in render_html(guarded)


@pytest.mark.parametrize("reading", ["70 ± 0 °F", "70 ± 0.9 °F"])
def test_no_reading_is_better_than_its_instrument(reading: str) -> None:
    """The two contradict each other, and the smaller ± would switch the guard off."""
    with pytest.raises(InputError) as refused:
        record_of(rigid_sheet(), reading)
    assert str(refused.value) == (
        f'survey.yaml:8: air[0].temperature is "{reading}", better than its instrument, ± 1 °F; '
        "write that ±, or none at all"
    )


def test_no_instrument_is_without_uncertainty() -> None:
    """A certificate never says nothing."""
    with pytest.raises(InputError) as refused:
        record_of(rigid_sheet(), "70 °F", uncertainty="0 °F")
    assert str(refused.value) == (
        'survey.yaml:5: instruments[0].uncertainty.temperature is "0 °F"; '
        "write what its certificate or data sheet says, over nothing"
    )
