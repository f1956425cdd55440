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
from surveys import ROOT, example_document, rule_set_called
from walkers import lines_for, walk_of
from wallwalk.blank_survey import render_blank_survey
from wallwalk.checking import check
from wallwalk.cli.starting import read_inputs
from wallwalk.record import Record

NAMES = ("204-treatment-room", "031-staff-kitchen")


def by_hand(data: Any, path: Path) -> None:  # noqa: ANN401 - a document's data
    """The blank survey, filled in with a text editor."""
    blank = render_blank_survey(rule_set_called("rigid-sheet"))
    path.write_text(filled_in(blank, data), encoding="utf-8")


def by_walk(data: Any, path: Path) -> None:  # noqa: ANN401
    """The interview, told every answer."""
    walked = walk_of(path)
    for _, state, _ in lines_for(walked.setting, data):
        if state.kept != walked.data:
            walked.save(state.kept)


WAYS: Mapping[str, Callable[[Any, Path], None]] = {"yaml": by_hand, "walk": by_walk}
"""Each way to write a survey: what it is told, and where it writes."""

NOT_ASKED: Mapping[tuple[str, str], tuple[str, ...]] = {
    ("walk", "204-treatment-room"): (
        "walls.0.paint_to_be_disturbed",  # built in 2003, after lead paint and asbestos
        "walls.1.paint_to_be_disturbed",
        "walls.2.paint_to_be_disturbed",
        "walls.0.plaster_or_texture_to_be_disturbed",
        "walls.1.plaster_or_texture_to_be_disturbed",
        "walls.2.plaster_or_texture_to_be_disturbed",
        "walls.2.dust.tape_quantity",  # the cloth stayed clean
    ),
}
"""Answers that decide nothing in that room, which the interview therefore does not ask for."""


@pytest.mark.slow
@pytest.mark.parametrize("logs", [True, False], ids=["with its logs", "without logs"])
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("way", WAYS)
def test_every_way_of_writing_a_survey_gives_one_record(way: str, name: str, logs: bool, tmp_path: Path) -> None:
    """Finding for finding, fact for fact, source for source: as the example itself, however its answers came."""
    data = copy.deepcopy(example_document(name).data)
    assert isinstance(data, dict)
    if not logs:
        data.pop("climate_log", None)
        data["climate_logs_kept"] = "0"
    for file in (ROOT / "examples").glob(f"{name}*.csv"):
        shutil.copy(file, tmp_path)
    for place in NOT_ASKED.get((way, name), ()):
        _take_out(data, place)
    example = tmp_path / "example.yaml"
    example.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), encoding="utf-8")
    WAYS[way](data, tmp_path / "room.yaml")
    expected, found = (_judged(path) for path in (example, tmp_path / "room.yaml"))
    assert len(expected["findings"]) > 150
    assert found == expected
    if way == "yaml" and logs:
        assert found == _judged(ROOT / "examples" / f"{name}.yaml")


def _take_out(data: Any, place: str) -> None:  # noqa: ANN401
    *above, last = place.split(".")
    for part in above:
        data = data[int(part)] if isinstance(data, list) else data[part]
    del data[last]


def _judged(path: Path) -> Record:
    record: Record = _without_lines(check(*read_inputs(path, None)))
    for apart in ("file", "sha256"):
        assert record["survey"].pop(apart)
    return record


def _without_lines(node: Any) -> Any:  # noqa: ANN401
    if isinstance(node, dict):
        return {key: _without_lines(part) for key, part in node.items() if key != "line"}
    return [_without_lines(part) for part in node] if isinstance(node, (list, tuple)) else node
