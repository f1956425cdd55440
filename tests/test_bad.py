"""Every mistake that can be made in a survey or a rule set is refused, in words that say where, what and what to do.

`bad/surveys/` holds the surveys, byte for byte; `bad/surveys.expected.yaml` holds the whole message of each.
`bad/rule_sets/sound/` is a small rule set without fault; each file beside it changes one passage of it and holds the
whole message.
"""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest
import yaml

from wallwalk.checking import load_rule_set
from wallwalk.errors import InputError
from wallwalk.survey_reader import read_survey

BAD = Path(__file__).parent / "bad"
SURVEYS = BAD / "surveys"
RULE_SETS = BAD / "rule_sets"
SOUND = RULE_SETS / "sound"
EXPECTED: dict[str, str] = yaml.safe_load((BAD / "surveys.expected.yaml").read_text(encoding="utf-8"))
CHANGES = tuple(sorted(path.stem for path in RULE_SETS.glob("*.yaml")))
REFUSED_AT_THE_COMMAND_LINE = ("wrong-pass", "limit-not-pinned-upwards", "unknown-fact", "theme-file-missing")


def change_of(name: str) -> dict[str, str]:
    """One bad rule set: the file it is `in`, the passage it stands `instead_of`, what to `write`, what it `says`."""
    read: dict[str, str] = yaml.safe_load((RULE_SETS / f"{name}.yaml").read_text(encoding="utf-8"))
    return read


def bad_rule_set(name: str, into: Path) -> Path:
    """A copy of the sound rule set in the folder `into`, with the one passage changed."""
    folder = into / "sound"
    shutil.copytree(SOUND, folder)
    change = change_of(name)
    file = folder / change["in"]
    text = file.read_text(encoding="utf-8")
    assert text.count(change["instead_of"]) == 1
    file.write_text(text.replace(change["instead_of"], change["write"]), encoding="utf-8")
    return folder


def wallwalk(*arguments: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """The command line, run in `folder`."""
    return subprocess.run(
        ["wallwalk", *arguments], cwd=folder, capture_output=True, text=True, encoding="utf-8", check=False
    )


def test_each_bad_survey_has_its_message_and_each_message_its_survey() -> None:
    """Nothing lies in the folder untested, and there are as many mistakes as were thought of."""
    assert sorted(path.stem for path in SURVEYS.glob("*.yaml")) == sorted(EXPECTED)
    assert len(EXPECTED) == 107


def test_there_are_as_many_bad_rule_sets_as_were_thought_of() -> None:
    """A glob that finds nothing would test nothing."""
    assert len(CHANGES) == 147


@pytest.mark.parametrize("name", EXPECTED)
def test_a_bad_survey_is_refused_with_its_whole_message(name: str) -> None:
    """The message is the expected one to the letter, and no other error comes of these bytes."""
    with pytest.raises(InputError) as refused:
        read_survey(SURVEYS / f"{name}.yaml", f"{name}.yaml")
    assert str(refused.value) == EXPECTED[name]


@pytest.mark.parametrize("name", [name for name in EXPECTED if name != "many-faults"])
def test_one_mistake_makes_one_line(name: str) -> None:
    """A mistake is said once, where it was made; nothing that follows from it is held against the writer."""
    assert EXPECTED[name].count("\n") == 0


def test_many_mistakes_are_all_told_in_one_run_in_the_order_of_their_lines() -> None:
    """Eleven mistakes of seven kinds, in one survey: all are told, first line first."""
    lines = [int(line.split(":")[1]) for line in EXPECTED["many-faults"].splitlines()]
    assert len(lines) == 11
    assert lines == sorted(lines)


def test_the_sound_rule_set_is_sound() -> None:
    """What the bad rule sets are made from has no fault, so that each fault comes from the passage changed."""
    assert sorted(load_rule_set(str(SOUND)).rules) == [
        "air-in-band",
        "air-steady",
        "kept-in-band",
        "primer-has-dried",
        "swing-as-usual",
        "wall-dry-enough",
    ]


@pytest.mark.parametrize("name", CHANGES)
def test_a_bad_rule_set_is_refused_with_its_whole_message(name: str, tmp_path: Path) -> None:
    """The message is the expected one to the letter: one mistake, one line."""
    with pytest.raises(InputError) as refused:
        load_rule_set(str(bad_rule_set(name, tmp_path)))
    assert str(refused.value) == change_of(name)["says"]


def test_a_rule_set_that_is_not_there_is_refused(tmp_path: Path) -> None:
    """Neither a name nor a folder without an about.yaml is taken for a rule set; the installed ones are named."""
    advice = "write one of: pasted-wallcovering, rigid-sheet, or the path of a folder with an about.yaml"
    for name in ("rigid-sheets", str(tmp_path)):
        with pytest.raises(InputError) as refused:
            load_rule_set(name)
        assert str(refused.value) == f"{name}: is no rule set; {advice}"


def test_mistakes_in_several_files_of_a_rule_set_are_told_in_one_run(tmp_path: Path) -> None:
    """Two themes with a mistake each: both are told, and the rule that leans on a refused limit is not blamed."""
    folder = bad_rule_set("no-step", tmp_path)
    change = change_of("rule-about-nothing-known")
    room = folder / "room.yaml"
    text = room.read_text(encoding="utf-8")
    room.write_text(text.replace("by: installer\n    why: The", "by: plumber\n    why: The"), encoding="utf-8")
    drying = folder / "drying.yaml"
    text = drying.read_text(encoding="utf-8")
    drying.write_text(text.replace(change["instead_of"], change["write"]), encoding="utf-8")
    with pytest.raises(InputError) as refused:
        load_rule_set(str(folder))
    assert str(refused.value).splitlines() == [
        change_of("no-step")["says"],
        change["says"],
        'sound/room.yaml:21: rules.air-steady.by is "plumber"; write one of: painter, installer',
    ]


@pytest.mark.slow
@pytest.mark.parametrize("name", ["many-faults", "utf-16", "alias-bomb", "very-deep-nesting", "clock-change-doubles"])
def test_the_command_line_refuses_a_bad_survey_with_exit_code_2(name: str) -> None:
    """The message goes to standard error, whole; nothing goes to standard output, and nobody sees a traceback."""
    done = wallwalk("check", f"{name}.yaml", folder=SURVEYS)
    assert (done.returncode, done.stdout, done.stderr) == (2, "", EXPECTED[name] + "\n")


@pytest.mark.slow
@pytest.mark.parametrize("name", REFUSED_AT_THE_COMMAND_LINE)
def test_the_command_line_judges_nothing_by_a_bad_rule_set(name: str, tmp_path: Path) -> None:
    """A survey without fault gets no verdict from a rule set with one: exit code 2, and the message of the rule set."""
    bad_rule_set(name, tmp_path)
    (tmp_path / "store.yaml").write_text("space:\n  name: 118 Linen store\n")
    done = wallwalk("check", "store.yaml", "--rules", "sound", folder=tmp_path)
    assert (done.returncode, done.stdout, done.stderr) == (2, "", change_of(name)["says"] + "\n")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["check", "nowhere.yaml"], "nowhere.yaml: is not there; give the path of a YAML file"),
        (["plan", "."], ".: is a folder; give the path of a YAML file"),
        (
            ["explain", "wall-dry-enuf", "--rules", "sound"],
            'sound: has no rule "wall-dry-enuf"; write wall-dry-enough',
        ),
    ],
)
def test_the_command_line_refuses_what_is_not_there(arguments: list[str], says: str) -> None:
    """A path or a rule that is not there is said in one line, with exit code 2 and nothing on standard output."""
    done = wallwalk(*arguments, folder=RULE_SETS)
    assert (done.returncode, done.stdout, done.stderr) == (2, "", says + "\n")
