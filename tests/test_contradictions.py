"""A room that passes is made one that an honest installer holds, by answers that other answers seem to clear."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any

import pytest

from scenario_reader import change
from surveys import example_document, rigid_sheet, survey_of
from wallwalk.judging import judge, verdict_of
from wallwalk.values import Verdict

Changes = Mapping[str, object]
Held = Mapping[tuple[str, str], str]

_READ = {"at": "2026-03-09 15:43", "value": "9 %MC", "instrument": "pin meter"}
_SHEET = {"made": True, "laid": "2026-03-08 12:00", "lifted": "2026-03-09 08:00", "shortest_side": "18 in"}
_OVER_CONCRETE: Changes = {
    "walls[South].under_paint": "concrete",
    "instruments[pin meter].uncertainty.moisture_mc": "0.6 %MC",
    "walls[South].moisture": [{**_READ, "place": "base"}, {**_READ, "place": "middle"}],
}
_ON_FRESH_MORTAR: Changes = {
    "walls[West].substrate": "tile",
    "walls[West].fresh_cement_work": True,
    "walls[West].cast_or_plastered": "2026-01-20",
    "instruments[pin meter].uncertainty.moisture_mc": "0.6 %MC",
    "walls[West].moisture_read_at_base": True,
    "walls[West].moisture_taken": "1",
    "walls[West].moisture": [{**_READ, "place": "base"}],
}

PASSES: Mapping[str, Changes] = {
    "painted concrete, dry sheet": {**_OVER_CONCRETE, "walls[South].plastic_sheet": {**_SHEET, "damp": False}},
    "tile on mortar of seven weeks": _ON_FRESH_MORTAR,
    "painted steel, not read by a meter": {
        "walls[South].under_paint": "metal",
        "walls[South].moisture_taken": None,
        "walls[South].moisture": None,
        "walls[South].moisture_read_at_base": None,
        "walls[South].gypsum": None,
    },
    "steel of which nobody says how old its mortar is": {"walls[West].fresh_cement_work": None},
}
"""Rooms beside the example that pass, so that what is held below is held by one answer."""

HOLDS: Mapping[str, tuple[Changes, Held]] = {
    "a clean cloth and a dusty tape": (
        {"walls[South].dust.tape_quantity": "5"},
        {("no-dust", "South"): "hold"},
    ),
    "a clean cloth, and a tape that nobody read": (
        {"walls[South].dust.tape_quantity": None},
        {("no-dust", "South"): "not verified"},
    ),
    "joints finished, then the room warmed and the joints begun": (
        {"joint_finishing.warm_since": "2026-03-01 07:00", "joint_finishing.begun": "2026-03-04 08:00"},
        {("joints-finished-in-a-warm-room", wall): "hold" for wall in ("North", "East")},
    ),
    "joints to be begun after the start": (
        {"joint_finishing.begun": "2026-03-20 08:00"},
        {("joints-finished-in-a-warm-room", wall): "hold" for wall in ("North", "East")},
    ),
    "popped screws under old paint": (
        {"walls[South].gypsum.tight": False},
        {("board-tight", "South"): "hold"},
    ),
    "new board that is called painted, and loose": (
        {
            "walls[North].substrate": "painted wall",
            "walls[North].under_paint": "gypsum board",
            "walls[North].gypsum": {"tight": False},
            "walls[North].coatings.painted": True,
            "walls[North].coatings.loose": False,
            "walls[North].coatings.tape_test": "5B",
            "walls[North].coatings.chalk_rating": "10",
            "walls[North].coatings.slick": False,
        },
        {("board-tight", "North"): "hold"},
    ),
    "damp under a sheet on painted concrete that the meter calls dry": (
        {**_OVER_CONCRETE, "walls[South].plastic_sheet": {**_SHEET, "damp": True}},
        {("plastic-sheet-shows-no-damp", "South"): "hold"},
    ),
    "patches primed an hour before the walk": (
        {"walls[South].patches_primed_at": "2026-03-09 14:30"},
        {("patch-primer-has-dwelled", "South"): "hold"},
    ),
    "patches primed nobody knows when": (
        {"walls[South].patches_primed_at": None},
        {("patch-primer-has-dwelled", "South"): "not verified"},
    ),
    "fresh mortar read a month ago": (
        {**_ON_FRESH_MORTAR, "walls[West].moisture[0].at": "2026-02-09 15:43"},
        {("moisture-readings-recent", "West"): "hold"},
    ),
    "fresh mortar read in the middle alone": (
        {**_ON_FRESH_MORTAR, "walls[West].moisture_read_at_base": False},
        {("moisture-read-at-the-base", "West"): "hold"},
    ),
    "a trowel deep enough, and a slit": (
        {"adhesive.trowel_width": "1/64 in"},
        {("trowel-notch-as-asked", "space"): "hold"},
    ),
    "corner pieces for no corner": (
        {"trim.corners": "0"},
        {("corner-pieces-enough", "space"): "hold"},
    ),
}
"""What is changed in the room that passes, and each finding that no longer passes by it."""


def changed(changes: Changes) -> Any:  # noqa: ANN401 - a survey's data
    """The example that passes, with these changes."""
    room = copy.deepcopy(example_document("204-treatment-room").data)
    for path, value in changes.items():
        change(room, path, value)
    return room


@pytest.mark.parametrize("name", PASSES)
def test_the_room_beside_it_passes(name: str) -> None:
    """Without the one answer that is wrong, nothing holds; what that wall cannot have is not asked of it."""
    assert verdict_of(judge(rigid_sheet(), survey_of(changed(PASSES[name])))) is Verdict.PASS


@pytest.mark.parametrize("name", HOLDS)
def test_no_answer_is_cleared_by_another_that_contradicts_it(name: str) -> None:
    """The room holds, by that finding and no other."""
    changes, held = HOLDS[name]
    findings = judge(rigid_sheet(), survey_of(changed(changes)))
    open_ones = {
        (f.rule.name, f.subject.name): f.outcome.value
        for f in findings
        if f.rule.grade == "hold" and f.outcome.value in {"hold", "not verified"}
    }
    assert open_ones == held
    assert verdict_of(findings) is Verdict.HOLD
