"""One room, whichever way its survey is made, gives one record: apart from the name and digest of the file."""

from __future__ import annotations

import copy
import shutil
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml

from blank_filling import filled_in
from form_filling import fill_in, handed_over
from pages import offline
from records_alike import record_of, take_out
from surveys import ROOT, example_document, rule_set_called
from walkers import lines_for, walk_of
from wallwalk.blank_survey import render_blank_survey
from wallwalk.form_page import render_form

NAMES = ("204-treatment-room", "031-staff-kitchen")


def by_hand(data: Any, path: Path, _: pytest.FixtureRequest) -> None:  # noqa: ANN401 - a document's data
    """The blank survey, filled in with a text editor."""
    blank = render_blank_survey(rule_set_called("rigid-sheet"))
    path.write_text(filled_in(blank, data), encoding="utf-8")


def by_walk(data: Any, path: Path, _: pytest.FixtureRequest) -> None:  # noqa: ANN401
    """The interview, told every answer."""
    walked = walk_of(path)
    for _line, state, _said in lines_for(walked.setting, data):
        if state.kept != walked.data:
            walked.save(state.kept)


def by_form(data: Any, path: Path, request: pytest.FixtureRequest) -> None:  # noqa: ANN401
    """The phone form, filled in by touch and handed over."""
    form = path.with_name("form.html")
    form.write_bytes(render_form(rule_set_called("rigid-sheet")))
    with offline(request.getfixturevalue("browser")) as phone:
        page = phone.new_page()
        page.goto(form.as_uri())
        fill_in(page, data)
        handed_over(page, path)


WAYS: Mapping[str, Callable[[Any, Path, pytest.FixtureRequest], None]] = {
    "yaml": by_hand,
    "walk": by_walk,
    "form": by_form,
}
"""Each way to write a survey: what it is told, where it writes, and what the test may ask for."""

NOTHING_TO_204 = (
    "walls.0.paint_to_be_disturbed",  # built in 2003, after lead paint and asbestos
    "walls.1.paint_to_be_disturbed",
    "walls.2.paint_to_be_disturbed",
    "walls.0.plaster_or_texture_to_be_disturbed",
    "walls.1.plaster_or_texture_to_be_disturbed",
    "walls.2.plaster_or_texture_to_be_disturbed",
    "walls.3.fresh_cement_work",  # steel
)
NOT_ASKED: Mapping[tuple[str, str], tuple[str, ...]] = {
    ("walk", "204-treatment-room"): NOTHING_TO_204,
}
"""Answers that decide nothing in that room, which the interview therefore does not ask for."""

TRIED = [
    *((way, name, True) for way in ("yaml", "walk") for name in NAMES),
    *(("yaml", name, False) for name in NAMES),
    ("walk", "031-staff-kitchen", False),
    ("form", "031-staff-kitchen", True),
]
"""The way, the room, and whether its logs are there; the form is told two more rooms by `test_form_by_touch`."""


@pytest.mark.slow
@pytest.mark.parametrize(("way", "name", "logs"), TRIED)
def test_every_way_of_writing_a_survey_gives_one_record(
    way: str, name: str, logs: bool, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    """Finding for finding, fact for fact, source for source: as the example itself, however its answers came."""
    data = copy.deepcopy(example_document(name).data)
    assert isinstance(data, dict)
    if not logs:
        data.pop("climate_log", None)
        data["climate_logs_kept"] = "0"
    for file in (ROOT / "examples").glob(f"{name}*.csv"):
        shutil.copy(file, tmp_path)
    for place in NOT_ASKED.get((way, name), ()):
        take_out(data, place)
    example = tmp_path / "example.yaml"
    example.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), encoding="utf-8")
    room = tmp_path / ("room.json" if way == "form" else "room.yaml")
    WAYS[way](data, room, request)
    expected, found = (record_of(path) for path in (example, room))
    assert len(expected["findings"]) > 150
    assert found == expected
    if way == "yaml" and logs:
        assert found == record_of(ROOT / "examples" / f"{name}.yaml")
