"""The record of a survey file, as two files of the same answers must give it: apart from name, digest and lines."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from wallwalk.checking import check
from wallwalk.cli.starting import read_inputs
from wallwalk.record import Record


def record_of(path: Path) -> Record:
    """The record of the survey at `path`, checked with what lies beside it, without what is of the file alone."""
    record: Record = _without_lines(check(*read_inputs(path, None)))
    for apart in ("file", "sha256"):
        assert record["survey"].pop(apart)
    return record


def take_out(data: Any, place: str) -> None:  # noqa: ANN401 - a document's data
    """Take the answer at `place`, such as walls.0.name, out of a survey."""
    *above, last = place.split(".")
    for part in above:
        data = data[int(part)] if isinstance(data, list) else data[part]
    del data[last]


def _without_lines(node: Any) -> Any:  # noqa: ANN401
    if isinstance(node, dict):
        return {key: _without_lines(part) for key, part in node.items() if key != "line"}
    return [_without_lines(part) for part in node] if isinstance(node, (list, tuple)) else node
