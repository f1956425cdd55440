"""Surveys among files and folders: which are found, in which order, and why the rest is passed over."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

from filings import filed_pdf
from surveys import EXAMPLES, ROOT
from wallwalk.survey_files import survey_files, why_no_survey
from wallwalk.yamlio import parse_yaml, read_yaml


def found(*paths: Path) -> list[tuple[str, bool, str]]:
    """What is found below `paths`, by the last parts of its path."""
    return [(f.path.name, f.in_folder, f.passed_over or str(f.fault or "")) for f in survey_files(paths)]


def test_files_are_found_by_name_in_each_folder(tmp_path: Path) -> None:
    """Suffix alone counts, in any case; folders stand where their name does; a named file keeps its place."""
    for name in ("b.yaml", "a/z.yml", "a/y.JSON", "c.yml", "notes.txt", "log.csv", "c.yaml.part"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("space: {name: A}\n")
    named = tmp_path / "notes.txt"
    assert found(named, tmp_path) == [
        ("notes.txt", False, ""),
        ("y.JSON", True, ""),
        ("z.yml", True, ""),
        ("b.yaml", True, ""),
        ("c.yml", True, ""),
    ]


def test_what_is_passed_over_says_why(tmp_path: Path) -> None:
    """Links, names with a dot and filed records are no surveys of this folder; what else lies there is not named."""
    (tmp_path / "room.yaml").write_text("space: {name: A}\n")
    (tmp_path / "filed.json").write_bytes(b'{"end":{"digest":"0","entries":0},"entries":[]}')
    (tmp_path / ".hidden.yaml").write_text("space: {name: A}\n")
    (tmp_path / ".git").mkdir()
    (tmp_path / ".git" / "room.yaml").write_text("space: {name: A}\n")
    (tmp_path / ".profile").write_text("")
    for name, target in (("link.yaml", "room.yaml"), ("loop", "."), ("text", "room.yaml"), ("lost.yaml", "nowhere")):
        (tmp_path / name).symlink_to(target)
    assert found(tmp_path) == [
        (".git", True, "has a name that begins with a dot"),
        (".hidden.yaml", True, "has a name that begins with a dot"),
        ("filed.json", True, "is a filed record"),
        ("link.yaml", True, "is a link"),
        ("loop", True, "is a link"),
        ("lost.yaml", True, "is a link"),
        ("room.yaml", True, ""),
    ]


def test_a_folder_without_surveys_or_out_of_reach_is_a_fault(tmp_path: Path) -> None:
    """Nothing found is never nothing to say; a name that leads nowhere is left to its reader."""
    (tmp_path / "empty").mkdir()
    assert found(tmp_path / "empty", tmp_path / "nowhere.yaml") == [
        (
            "empty",
            True,
            f"{tmp_path}/empty: is a folder without surveys; give a folder with files that end in .yaml, .yml, .json",
        ),
        ("nowhere.yaml", False, ""),
    ]


@pytest.mark.slow
def test_no_depth_of_folders_is_too_deep(tmp_path: Path) -> None:
    """Twelve hundred folders one in another are looked through; a name too long for the system is a fault."""
    home = Path.cwd()
    os.chdir(tmp_path)
    try:
        for _ in range(1200):
            Path("d").mkdir()
            os.chdir("d")
        Path("room.yaml").write_text("space: {name: A}\n")
    finally:
        os.chdir(home)
    assert found(tmp_path) == [("room.yaml", True, "")]
    long = tmp_path / ("n" * 300)
    said = f"{long}: cannot be looked at (File name too long); give folders that you may read"
    assert found(long) == [(long.name, True, said)]
    subprocess.run(["rm", "-r", str(tmp_path / "d")], check=True)  # Python's own removal goes no deeper than it recurs


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    """A pipe by the name of a survey is left to the reader, which says what it is."""
    os.mkfifo(tmp_path / "pipe.json")
    assert found(tmp_path) == [("pipe.json", True, "")]


def test_a_survey_is_told_by_what_it_answers() -> None:
    """Every example is a survey; no overlay, rule file, schema or list of spaces is; a slip changes nothing."""
    assert [why_no_survey(read_yaml(path)) for path in EXAMPLES] == [""] * 5
    others = [*(ROOT / "examples" / "overlays").glob("*.yaml"), *(ROOT / "rules").rglob("*.yaml")]
    assert len(others) > 20
    assert {why_no_survey(read_yaml(path)) for path in others} == {"answers nothing that a survey asks"}
    for text, said in {
        "spaces: [{name: A}]\nproject: {name: P}\n": "is a list of spaces",
        "spaces: {name: A}\nwalk: {by: B}\n": "",
        "walls: 3\nnonsense: 4\n": "",
        "rules: rigid-sheet\n": "answers nothing that a survey asks",
        "- space: A\n": "answers nothing that a survey asks",
    }.items():
        assert why_no_survey(parse_yaml(text.encode(), "a.yaml")) == said


@pytest.mark.slow
def test_a_filed_record_is_told_by_how_it_begins(tmp_path: Path) -> None:
    """What `check -o` writes beside a survey is not taken for one, in either form."""
    for file in (ROOT / "examples").glob("204-treatment-room.*"):
        shutil.copy(file, tmp_path)
    subprocess.run(["wallwalk", "check", "204-treatment-room.yaml", "-o", "room.json"], cwd=tmp_path, check=True)
    (tmp_path / "room.pdf").write_bytes(filed_pdf("204-treatment-room"))
    assert found(tmp_path) == [("204-treatment-room.yaml", True, ""), ("room.json", True, "is a filed record")]
