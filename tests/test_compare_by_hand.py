"""Pairs of records as an inspector gets them: one thing differs, and what has to be told of it was written by hand.

Each is the link corridor, with something else written down or asked on the later walk.
"""

from __future__ import annotations

import copy
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from filings import filed
from signed_filings import READING_ROOM, RELEASE
from surveys import example_document, rigid_sheet, rule_set_called, survey_of
from test_compare import plain
from test_report import Page
from wallwalk.checking import check
from wallwalk.comparing import compare_records
from wallwalk.quantities import parse_quantity
from wallwalk.report.comparison_forms import render_comparison, render_comparison_html
from wallwalk.rules import RuleSet
from wallwalk.signing import sign

Survey = dict[str, Any]
METER = "instruments.1"
SECOND = "walls.0.moisture.1"
LESS = "CLEARED ON LESS, OR BY ANOTHER WORD ON THE INSTRUMENT"
RELAXED = "NO LONGER HOLDS, AND LESS IS ASKED OF IT NOW"
NO_MORE = "NO LONGER APPLIES"
GONE = "NO LONGER JUDGED, AND NOT CLEARED"
NEW = "NEW: HOLDS THE WORK NOW, AND DID NOT BEFORE"


def corridor(*changes: tuple[str, Any]) -> Survey:
    """The survey of the corridor with other answers at some places; one that is None is taken out."""
    data: Any = copy.deepcopy(example_document("110-link-corridor").data)
    for place, answer in changes:
        *groups, last = (int(part) if part.isdigit() else part for part in place.split("."))
        within = data
        for group in groups:
            within = within[group]
        if answer is None:
            del within[last]
        else:
            within[last] = answer
    return data  # type: ignore[no-any-return]


def without_south() -> Survey:
    """The South wall neither listed nor in scope."""
    return corridor(("walls.1", None), ("walls_in_scope", "3"))


def in_two() -> Survey:
    """The South wall as two, of which one had its primer a day longer."""
    data = corridor(("walls.1.name", "South, west part"), ("walls.1.length", "22 ft"), ("walls_in_scope", "5"))
    other = copy.deepcopy(data["walls"][1]) | {"name": "South, east part"}
    other["primer"]["finished"] = "2026-03-06 12:00"
    data["walls"].insert(2, other)
    return data


def with_limit(name: str, written: str) -> RuleSet:
    """The rule set with another value of one limit."""
    rules = rigid_sheet()
    limit: Any = rules.limits[name]
    amount = Fraction(parse_quantity(written, limit.kind).low)
    return replace(rules, limits={**rules.limits, name: replace(limit, amount=amount, written=written)})


def with_rule(named: str, **other: str) -> RuleSet:
    """The rule set with one rule changed, which may give it another name."""
    rules = rigid_sheet()
    rule = replace(rules.rules[named], **other)  # type: ignore[arg-type]
    return replace(rules, rules={**{n: r for n, r in rules.rules.items() if n != named}, rule.name: rule})


DWELL = "primer-has-dwelled"
Pair = tuple[Survey, RuleSet | None, Survey, RuleSet | None, list[str]]
PAIRS: dict[str, Callable[[], Pair]] = {
    "a reading left out, and its count": lambda: (
        corridor((f"{SECOND}.value", "1.4 gypsum")),
        None,
        corridor((SECOND, None), ("walls.0.moisture_taken", "2")),
        None,
        [LESS, "! Gypsum moisture: 3 entries then, 2 now.", "0 cleared, 1 cleared on less, 0 new"],
    ),
    "a reading left out, and not its count": lambda: (
        corridor((f"{SECOND}.value", "1.4 gypsum")),
        None,
        corridor((SECOND, None)),
        None,
        [
            "HOLD |",
            "0 cleared, 3 new, 7 held on both walks, 1 not verified.",
            "NOT VERIFIED NOW",
            "[gypsum-moisture-low] North:",
        ],
    ),
    "a reading that is another one": lambda: (
        corridor((f"{SECOND}.value", "1.4 gypsum")),
        None,
        corridor(),
        None,
        ["HOLD |", "1 cleared, 0 new", "CLEARED", "is 1.4 gypsum ± 0.2 gypsum", "Gypsum moisture: 0.5 gypsum ±"],
    ),
    "a meter that is said to read closer": lambda: (
        corridor((f"{SECOND}.value", "0.9 gypsum")),
        None,
        corridor((f"{SECOND}.value", "0.9 gypsum"), (f"{METER}.uncertainty.moisture_gypsum", "0.05 gypsum")),
        None,
        [
            LESS,
            "! Gypsum moisture: the readings are the same on both walks, and what is written of the instrument is not. "
            "0.9 gypsum ± 0.2 gypsum (base under window 4) then, 0.9 gypsum ± 0.05 gypsum (base under window 4) now.",
        ],
    ),
    "a meter that is said to be in calibration": lambda: (
        corridor((f"{METER}.calibration_due", "2026-01-31")),
        None,
        corridor(),
        None,
        [
            LESS,
            "[moisture-instruments-in-calibration]",
            "what is written of the instrument is not. -848 h 41 min then,",
        ],
    ),
    "a meter of which nobody says how close it reads": lambda: (
        corridor((f"{SECOND}.value", "0.9 gypsum")),
        None,
        corridor((f"{SECOND}.value", "0.9 gypsum"), (f"{METER}.uncertainty.moisture_gypsum", None)),
        None,
        ["HOLD |", "0 cleared, 2 new", NEW, "[gypsum-moisture-low] South:", "NOT VERIFIED NOW", "North:"],
    ),
    "paint that is none any more": lambda: (
        corridor(("walls.0.coatings.painted", True), ("walls.0.coatings.loose", True)),
        None,
        corridor(),
        None,
        [
            NO_MORE,
            "[no-loose-paint]",
            "! Painted: yes then, no now. Then: Paint is loose, flaking or blistered. Now: Does not apply.",
            "HOLD |",
            "no longer asked",
        ],
    ),
    "paint that is none any more, readings taken as read": lambda: (
        corridor(("walls.0.coatings.painted", True), ("walls.0.coatings.loose", True)),
        None,
        corridor(),
        replace(rigid_sheet(), decision="simple"),
        [NO_MORE, "[paint-holds] North: ! Painted: yes then, no now. Then: Not verified", "HOLD |"],
    ),
    "a wall that is gone": lambda: (
        corridor(),
        None,
        without_south(),
        None,
        [GONE, f"[{DWELL}] South:", "Now: The wall is not written down.", "HOLD |", "Walls in scope: 4 then, 3 now."],
    ),
    "a wall that came": lambda: (
        without_south(),
        None,
        corridor(),
        None,
        ["HOLD |", "Walls in scope: 3 then, 4 now.", NEW, f"[{DWELL}] South:", "Then: The wall is not written down."],
    ),
    "a wall under another name": lambda: (
        corridor(),
        None,
        corridor(("walls.1.name", "South wall")),
        None,
        [GONE, f"[{DWELL}] South:", "Written down now, and not then: South wall.", NEW, f"[{DWELL}] South wall:"],
    ),
    "a wall in two": lambda: (
        corridor(),
        None,
        in_two(),
        None,
        [GONE, "South:", "not then: South, west part; South, east part.", NEW, f"[{DWELL}] South, west part:"],
    ),
    "a rule dropped": lambda: (
        corridor(),
        None,
        corridor(),
        replace(rigid_sheet(), rules={n: r for n, r in rigid_sheet().rules.items() if n != DWELL}),
        [RELAXED, "South:", "! The later record no longer asks this.", "2 no longer held, with less asked, 0 cleared"],
    ),
    "a rule under another name": lambda: (
        corridor(),
        None,
        corridor(),
        with_rule(DWELL, name="primer-dry"),
        [RELAXED, f"[{DWELL}]", "! The later record no longer asks this.", NEW, "[primer-dry]", "Then: Not asked."],
    ),
    "a rule that is a caution now": lambda: (
        corridor(),
        None,
        corridor(),
        with_rule(DWELL, grade="caution"),
        [RELAXED, "! It is a caution now, and does not hold the work."],
    ),
    "a rule that was a caution": lambda: (
        corridor(),
        with_rule(DWELL, grade="caution"),
        corridor(),
        None,
        ["HOLD |", NEW, f"[{DWELL}]"],
    ),
    "a limit loosened": lambda: (
        corridor(),
        None,
        corridor(),
        with_limit("primer_dwell_min", "12 h"),
        [RELAXED, "was 24 h, and is 12 h now: looser.", "HOLD |", "LOOSER:"],
    ),
    "a limit tightened": lambda: (
        corridor(),
        with_limit("primer_dwell_min", "12 h"),
        corridor(),
        None,
        ["HOLD |", NEW, f"[{DWELL}]", "TIGHTER:", "12 h, now 24 h"],
    ),
    "a limit in another unit, rounded": lambda: (
        corridor(),
        with_limit("expansion_gap_min", "5/8 in"),
        corridor(),
        with_limit("expansion_gap_min", "16 mm"),
        ["HOLD |", "TIGHTER:", "5/8 in, now 16 mm"],
    ),
    "a limit in another unit": lambda: (
        corridor(),
        None,
        corridor(),
        with_limit("expansion_gap_min", "1.5875 mm"),
        ["HOLD |", "Nothing changed between the two."],
    ),
    "readings taken as read": lambda: (
        corridor((f"{SECOND}.value", "0.9 gypsum")),
        None,
        corridor((f"{SECOND}.value", "0.9 gypsum")),
        replace(rigid_sheet(), decision="simple"),
        [
            RELAXED,
            "! Readings are taken as read now; by its own uncertainty, the instrument cannot tell. Then: Not verified",
        ],
    ),
    "readings taken as read, of a meter that is said to read closer": lambda: (
        corridor((f"{SECOND}.value", "0.9 gypsum")),
        None,
        corridor((f"{SECOND}.value", "0.9 gypsum"), (f"{METER}.uncertainty.moisture_gypsum", "0.15 gypsum")),
        replace(rigid_sheet(), decision="simple"),
        [
            RELAXED,
            "! Readings are taken as read now; by its own uncertainty, the instrument cannot tell. Then: Not verified",
        ],
    ),
    "meters out of calibration taken as read": lambda: (
        corridor((f"{METER}.calibration_due", "2026-01-31")),
        None,
        corridor((f"{METER}.calibration_due", "2026-01-31")),
        replace(rigid_sheet(), uncalibrated="as read"),
        [RELAXED, "! Readings of instruments not known to be in calibration count now."],
    ),
    "another rule set": lambda: (
        corridor(),
        None,
        corridor(),
        rule_set_called("pasted-wallcovering"),
        ["! They were judged by two rule sets: Rigid sheet wall covering then, Pasted wallcovering now.", RELAXED],
    ),
    "another space": lambda: (
        corridor(),
        None,
        corridor(("space.name", "111 Store")),
        None,
        ["! These are two spaces, and not two walks of one:"],
    ),
    "the wrong way round": lambda: (
        corridor(("walk.at", "2026-03-08 10:30")),
        None,
        corridor(),
        None,
        ["! The records were given the wrong way round:"],
    ),
    "one walk twice": lambda: (corridor(), None, corridor(), None, ["HOLD |", "Nothing changed between the two."]),
}


@pytest.mark.slow
@pytest.mark.parametrize("name", PAIRS)
def test_a_pair_is_told_as_written_by_hand(name: str) -> None:
    """In this order, the first of them first of all; on the page the same headings as in the terminal."""
    before, by, after, by_now, told = PAIRS[name]()
    then, now = (plain(check(survey_of(s), r or rigid_sheet())) for s, r in ((before, by), (after, by_now)))
    comparison = compare_records(then, now)
    text, at = " ".join(render_comparison(comparison).split()), 0
    for number, part in enumerate(told):
        found = text.find(part, at)
        assert found == 0 if number == 0 else found >= 0, part
        at = found + len(part)
    headings = [heading.upper() for heading in Page(render_comparison_html(comparison)).texts("h2")]
    assert headings[:-1] == [one for one in headings if one in text][: len(headings) - 1]
    for kind in (LESS, NO_MORE, GONE, RELAXED):
        assert (kind in headings) == (kind in text)


@pytest.mark.slow
def test_releases_are_told_and_clear_nothing() -> None:
    """A hold that was signed for on the earlier record holds on both walks; the comparison says who signed."""
    filing = sign(filed(READING_ROOM), RELEASE)
    comparison = compare_records(filing.record, filing.record, (filing.entries, filing.entries))
    text = " ".join(render_comparison(comparison).split())
    said = (
        "Primer has dried long enough (East): released over hold by Ilse Marrable (inspector), Wed 11 Mar 2026 16:00: "
        "Read dry by the meter in five places"
    )
    assert f"! Signed on the earlier record, and held all the same: {said}." in text
    assert f"! Signed on the later record, and held all the same: {said}." in text
    assert [f["change"] for f in comparison["findings"] if f["rule"] == "primer-dried-long-enough"].count("still holds")
    assert "Signed" not in render_comparison(compare_records(filing.record, filing.record))
