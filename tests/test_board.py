"""The readiness board: which walk counts, what is open, who unblocks most, and what nobody knows."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from board_rooms import PROJECT, write_project
from surveys import ROOT
from wallwalk.board import Asked, build_board, is_ready
from wallwalk.cli import main
from wallwalk.cli.board_reading import Given, read_folder
from wallwalk.spaces_reader import read_spaces
from wallwalk.yamlio import read_yaml

TODAY = date(2026, 3, 8)
Board = Mapping[str, Any]


def board_of(
    folder: Path, *, at: str | None = None, today: date = TODAY, spaces: Path | None = None, language: str = "en"
) -> Board:
    """The board of a folder."""
    listed = read_spaces(spaces) if spaces else None
    found = read_folder(folder, Given(None, (), at, language), expected=listed is not None)
    asked = Asked(folder.name, today, language, at or "", found.starts)
    return build_board(found.walks, found.unread, found.passed, listed, asked)


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the invented project."""
    return write_project(tmp_path_factory.mktemp("project") / "job")


@pytest.fixture(scope="module")
def board(project: Path) -> Board:
    """Its board."""
    return board_of(project, spaces=project / "spaces.yaml")


def written(folder: Path, **files: str) -> Path:
    """A folder with surveys, each by its name without the suffix."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    return folder


def run(*arguments: str | Path) -> Result:
    """The command."""
    return CliRunner().invoke(main, ["board", *map(str, arguments)])


# The whole board, against one that was written by hand


def brief_open(one: Board) -> str:
    """One open check in a line."""
    on = f" on {', '.join(one['where'])}" if one["where"] else ""
    clears = f" clears {one['clears']['at']}" if one["clears"] else ""
    released = f" released by {one['released']['name']}" if one["released"] else ""
    return f"{one['rule']} {one['outcome']}{on}{clears}{released}"


def brief_walk(one: Board) -> str:
    """A walk that does not count, in a line."""
    return f"{one['verdict']} {one['holds']} {one['not_verified']} {one['walked']} {one['file']}"


def brief_space(space: Board) -> Board:
    """What is expected of a space; what is empty, and that it is listed, is left out."""
    earliest = space["earliest"] or {"at": None, "until": None}
    told = {
        "at": earliest["at"] and earliest["at"]["at"],
        "until": earliest["until"] and earliest["until"]["at"],
        "open": [brief_open(one) for one in space["open"]],
        "files": space["files"],
        "earlier": [brief_walk(one) for one in space["earlier"]],
        "same_time": [brief_walk(one) for one in space["same_time"]],
        "unread": [one["file"] for one in space["unread"]],
    }
    named = {key: space[key] for key in ("name", "level", "state")}
    return {**named, **{k: v for k, v in told.items() if v}, **({} if space["listed"] else {"listed": False})}


def brief_party(party: Board, names: Mapping[int, str]) -> Board:
    """What is expected of a party."""
    return {
        "party": party["party"],
        "rooms": [names[number] for number in party["rooms"]],
        "makes_ready": party["makes_ready"],
        "jobs": [
            {
                job["kind"]: job["find_out"] or job["checks"],
                "makes_ready": job["makes_ready"],
                "leaves_one": job["leaves_one"],
                "rooms": [
                    f"{names[r['space']]}: {', '.join((*r['walls'], *(['ready'] if r['ready'] else [])))}"
                    for r in job["rooms"]
                ],
            }
            for job in party["jobs"]
        ],
    }


def as_text(node: Any) -> Any:  # noqa: ANN401 - plain data
    """Plain data with its numbers and truths as the text that YAML has for them."""
    if isinstance(node, dict):
        return {key: as_text(part) for key, part in node.items()}
    if isinstance(node, list):
        return [as_text(part) for part in node]
    return str(node).lower() if isinstance(node, bool) else str(node)


def test_the_board_of_a_project_is_the_one_written_by_hand(board: Board) -> None:
    """Every space, job, day and file, whole."""
    expected = as_text(read_yaml(ROOT / "tests" / "board" / "expected.yaml").data)
    names = {space["number"]: space["name"] for space in board["spaces"]}
    days = {
        day["date"]: {key: [names[one["space"]] for one in day[key]] for key in ("ready", "open_besides", "lapses")}
        for day in board["days"]
    }
    told = {
        "counts": board["counts"],
        "spaces": [brief_space(space) for space in board["spaces"]],
        "to_do": [brief_party(party, names) for party in board["to_do"]],
        "days": {day: found for day, found in days.items() if any(found.values())},
        "passed_over": [f"{one['file']}: {one['what']}" for one in board["passed_over"]],
        "unread": [says for one in board["unread"] for says in one["says"]],
    }
    assert as_text(told) == expected
    assert [day["date"] for day in board["days"]] == [f"2026-03-{n:02}" for n in range(8, 22)]
    assert board["projects"] == [PROJECT]
    assert not is_ready(board)
