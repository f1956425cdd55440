"""The rule author's kit: a new rule set to start from."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path

import pytest
import yaml
from jsonschema import Draft202012Validator

from surveys import ROOT
from test_cli import wallwalk
from wallwalk.checking import load_rule_set
from wallwalk.errors import MissingPartError
from wallwalk.new_rule_set import new_rule_set
from wallwalk.proving import possible_outcomes
from wallwalk.writing import write_folder

FILES = ["about.yaml", "rule-files.schema.json", "wall.yaml"]


def names_in(folder: Path) -> list[str]:
    """Everything in a folder, hidden ones too."""
    return sorted(path.name for path in folder.iterdir())


def test_a_new_rule_set_is_written_and_passes_at_once(tmp_path: Path) -> None:
    """What is said, what lies there, and that its own examples prove it; dated today."""
    done = wallwalk("rules", "new", "wood-panels", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines() == [
        "Wrote wood-panels/about.yaml",
        "Wrote wood-panels/wall.yaml",
        "Wrote wood-panels/rule-files.schema.json",
        "Next: change wall.yaml, and run wallwalk rules test wood-panels",
    ]
    assert names_in(tmp_path) == ["wood-panels"]
    assert names_in(tmp_path / "wood-panels") == FILES
    tested = wallwalk("rules", "test", "wood-panels", cwd=tmp_path)
    assert (tested.returncode, tested.stderr) == (0, "")
    made = load_rule_set(str(tmp_path / "wood-panels"))
    assert made.title == "Wood panels"
    assert abs((date.fromisoformat(made.revision) - date.today()).days) <= 1
    assert (len(made.limits), len(made.facts), len(made.rules)) == (1, 2, 2)
    assert [limit.title for limit in made.limits.values()] == ["Least time the primer dries"]
    outcomes = {o.value for rule in made.rules.values() for o in possible_outcomes(rule)}
    assert outcomes == {e.expect for rule in made.rules.values() for e in rule.examples}
    assert outcomes == {"pass", "hold", "not verified", "does not apply"}


def test_a_room_is_checked_by_it(tmp_path: Path) -> None:
    """The new rule set judges a survey like any other: the corridor's primer has dried 23 hours."""
    wallwalk("rules", "new", "wood-panels", "--in", str(tmp_path))
    for file in (ROOT / "examples").glob("110-link-corridor.*"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    done = wallwalk("check", "110-link-corridor.yaml", "--rules", "wood-panels", cwd=tmp_path)
    assert (done.returncode, done.stdout[:4]) == (1, "HOLD")
    assert "The primer has dried 23 h; it needs 24 h." in done.stdout


@pytest.mark.parametrize("file", ["about.yaml", "wall.yaml"])
def test_each_file_names_a_schema_that_lies_beside_it_and_takes_it(file: str) -> None:
    """The editor line is the first one, and leads to a schema that finds nothing wrong."""
    files = new_rule_set("wood-panels", "2026-11-25", ROOT)
    assert sorted(files) == FILES
    text = files[file].decode()
    named = re.fullmatch(r"# yaml-language-server: \$schema=(\S+)", text.splitlines()[0])
    assert named is not None
    found = Draft202012Validator(json.loads(files[named[1]])).iter_errors(yaml.safe_load(text))
    assert [error.message for error in found] == []
    assert "{{" not in text


def test_shipped_rule_files_carry_no_editor_line() -> None:
    """They are read by themselves; the line is for who writes a new one."""
    shipped = sorted((ROOT / "rules").glob("*/*.yaml"))
    assert len(shipped) > 9
    assert [path.name for path in shipped if "yaml-language-server" in path.read_text(encoding="utf-8")] == []


LONG = "a" * 300
HOW_TO_NAME = "write small letters, figures and dashes, a letter first, such as wood-panels"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["Wood"], f'"Wood": is no name for a rule set; {HOW_TO_NAME}'),
        (["wood panels"], f'"wood panels": is no name for a rule set; {HOW_TO_NAME}'),
        (["../wood"], f'"../wood": is no name for a rule set; {HOW_TO_NAME}'),
        (["wood-"], f'"wood-": is no name for a rule set; {HOW_TO_NAME}'),
        (["3-ply"], f'"3-ply": is no name for a rule set; {HOW_TO_NAME}'),
        ([""], f'"": is no name for a rule set; {HOW_TO_NAME}'),
        (["wood\nboard"], f'"wood\\nboard": is no name for a rule set; {HOW_TO_NAME}'),
        (["rigid-sheet"], "rigid-sheet: is a rule set that comes with this installation; give yours another name"),
        (["kept"], "kept: is there already; give another name, or another folder with --in"),
        (["empty"], "empty: is there already; give another name, or another folder with --in"),
        (["file"], "file: is there already; give another name, or another folder with --in"),
        (["dangling"], "dangling: is there already; give another name, or another folder with --in"),
        (["wood", "--in", "nowhere"], "nowhere: is not there; give --in a folder that is there"),
        (["wood", "--in", "file"], "file: is no folder; give --in a folder that is there"),
        ([LONG], f"{LONG}: cannot be made (File name too long); give --in a folder that you may write to"),
        (
            ["wood", "--in", "/proc"],
            "/proc/wood: cannot be made (No such file or directory); give --in a folder that you may write to",
        ),
    ],
)
def test_what_cannot_be_made_is_refused_and_leaves_nothing(arguments: list[str], says: str, tmp_path: Path) -> None:
    """One message, exit code 2, and the folder as it was."""
    (tmp_path / "kept").mkdir()
    (tmp_path / "kept" / "about.yaml").write_text("title: mine\n")
    (tmp_path / "empty").mkdir()
    (tmp_path / "file").write_text("mine")
    (tmp_path / "dangling").symlink_to("nowhere-at-all")
    done = wallwalk("rules", "new", *arguments, cwd=tmp_path)
    assert (done.returncode, done.stdout, done.stderr) == (2, "", says + "\n")
    assert names_in(tmp_path) == ["dangling", "empty", "file", "kept"]
    assert (tmp_path / "kept" / "about.yaml").read_text() == "title: mine\n"
    assert names_in(tmp_path / "empty") == []


def test_a_folder_is_whole_or_not_there(tmp_path: Path) -> None:
    """A file that cannot be written after others were leaves neither folder nor scrap."""
    with pytest.raises(MissingPartError) as refused:
        write_folder(tmp_path / "wood", {"about.yaml": b"title: A\n", "b" * 300: b""})
    assert str(refused.value) == (
        f"{tmp_path / 'wood'}: cannot be made (File name too long); give --in a folder that you may write to"
    )
    assert names_in(tmp_path) == []
