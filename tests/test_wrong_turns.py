"""What a newcomer types that is not quite right: each ends in one message that says what to type instead."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from surveys import ROOT, example, example_rules
from test_cli import wallwalk
from wallwalk.checking import check
from wallwalk.cli.signed import refuse_outputs
from wallwalk.cli.walking import typed_again
from wallwalk.errors import InputError
from wallwalk.filed_json import write_filed_json
from wallwalk.filed_reader import read_filed
from wallwalk.filing import file_record
from wallwalk.inputs import read_inputs
from wallwalk.survey_files import refuse_other_kinds

READY = "204-treatment-room"
FILED = "give the survey that it was made from; verify, compare, sign and board read what is filed"
USAGE = "Usage: wallwalk [OPTIONS] COMMAND [ARGS]...\nTry 'wallwalk --help' for help.\n\nError: "


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (["room.yaml"], '"room.yaml" is no command; to check it, write: wallwalk check room.yaml'),
        (["my room.yml"], "\"my room.yml\" is no command; to check it, write: wallwalk check 'my room.yml'"),
        (["examples"], '"examples" is no command; to check it, write: wallwalk check examples'),
        (["chekc", "room.yaml"], "No such command 'chekc'. Did you mean 'check'?"),
    ],
)
def test_what_is_no_command_is_told_what_to_type(typed: list[str], said: str) -> None:
    """A survey or a folder in the place of a command, and a slip in a command's name."""
    done = wallwalk(*typed)
    assert (done.returncode, done.stdout, done.stderr) == (2, "", f"{USAGE}{said}\n")


def test_a_slip_in_an_option_is_told_the_options_like_it() -> None:
    """Here the one that was meant is among them."""
    done = wallwalk("check", "room.yaml", "--overlya", "x.yaml")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.splitlines()[-1].startswith("Error: No such option '--overlya'.")
    assert "'--overlay'" in done.stderr.splitlines()[-1]


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        (["help"], ["--help"]),
        (["-h"], ["--help"]),
        (["help", "check"], ["check", "--help"]),
        (["check", "-h"], ["check", "--help"]),
        (["help", "rules", "show"], ["rules", "show", "--help"]),
        (["rules", "help", "show"], ["rules", "show", "--help"]),
    ],
)
def test_help_is_asked_for_in_any_way(typed: list[str], meant: list[str]) -> None:
    """`help`, `-h` and `--help` say the same."""
    done, same = wallwalk(*typed), wallwalk(*meant)
    assert (done.returncode, done.stdout, done.stderr) == (0, same.stdout, "")
    assert done.stdout.startswith("Usage: wallwalk")


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("room.pdf", b"%PDF-1.7", f"is a PDF, and no survey; {FILED}"),
        ("room.json", b'{"end":{"digest"', f"is a filed record, and no survey; {FILED}"),
        (
            "form.html",
            b"<!DOCTYPE html>",
            "is a page, and no survey; export the survey from the form in the phone's browser, and give that file",
        ),
        ("log.csv", b"Time", "is a table, and no survey; give the survey (.yaml) whose climate_log names it"),
    ],
)
def test_a_file_of_another_kind_is_called_by_its_name(name: str, content: bytes, said: str, tmp_path: Path) -> None:
    """It is not read as YAML, whose faults would say nothing to whoever took the wrong file."""
    file = tmp_path / name
    file.write_bytes(content)
    for read in (refuse_other_kinds, read_inputs):
        with pytest.raises(InputError) as refused:
            read(file)
        assert str(refused.value) == f"{file}: {said}"


def test_a_survey_is_none_of_these_kinds() -> None:
    """Every example is let through."""
    names = sorted((ROOT / "examples").glob("*.yaml"))
    assert len(names) == 5
    for name in names:
        refuse_other_kinds(name)


@pytest.mark.parametrize("command", [["check"], ["check", "examples/031-staff-kitchen.yaml"], ["plan"]])
def test_standard_input_is_no_survey(command: list[str]) -> None:
    """`-` is told so, alone or among others, and nothing is read from it."""
    done = wallwalk(*command, "-")
    said = "-: is standard input, and no survey; save it as a file and give its path; logs and photos are looked for"
    assert (done.returncode, done.stderr) == (2, f"{said} beside it\n")


def test_explain_takes_no_start_without_a_survey() -> None:
    """What `--at` is for is said, instead of leaving it out in silence."""
    done = wallwalk("explain", "no-dust", "--at", "2026-03-10 07:00")
    said = "Error: --at is the start that a SURVEY is checked for; give one behind RULE, or take --at out"
    assert (done.returncode, done.stdout, done.stderr.splitlines()[-1]) == (2, "", said)


def test_a_survey_is_no_filed_record(tmp_path: Path) -> None:
    """Whoever verifies or signs the survey itself is told how its record is filed."""
    survey = tmp_path / "room.yaml"
    survey.write_text("space: {name: A}\n")
    with pytest.raises(InputError) as refused:
        read_filed(survey)
    said = "is a survey by its name, and no filed record; file its record by wallwalk check with -o, and give that file"
    assert str(refused.value) == f"{survey}: {said}"


WHO = ["--role", "inspector", "--name", "Ada Fenwright", "--decision", "noted", "--at", "2026-03-10 07:30"]


@pytest.fixture
def record(tmp_path: Path) -> Path:
    """The filed record of the room that is ready."""
    survey, rule_set = example(READY), example_rules(READY)
    target = tmp_path / "room.json"
    target.write_bytes(write_filed_json(file_record(check(survey, rule_set), survey, rule_set, ROOT / "examples")))
    return target


@pytest.mark.slow
def test_nothing_is_said_to_be_signed_where_it_cannot_be_written(record: Path) -> None:
    """A name that is taken is refused before a word of the signing is shown."""
    (record.parent / "signed.json").write_text("earlier")
    done = wallwalk("sign", "room.json", "-o", "signed.json", *WHO, cwd=record.parent)
    said = "signed.json: is there already; give another name, or add --overwrite\n"
    assert (done.returncode, done.stdout, done.stderr) == (2, "", said)


@pytest.mark.parametrize(("names", "refused"), [(["a.pdf"], False), (["a.html", "a.json"], False), (["a.html"], True)])
def test_a_record_is_signed_into_a_file_that_holds_it(names: list[str], refused: bool, tmp_path: Path) -> None:
    """A PDF holds the record as well, so it can be signed on and verified by itself; a page does not."""
    outputs = tuple(tmp_path / name for name in names)
    if not refused:
        refuse_outputs(outputs, tmp_path / "room.json", None, overwrite=False)
        return
    with pytest.raises(InputError, match="which nothing can be signed on or verified by"):
        refuse_outputs(outputs, tmp_path / "room.json", None, overwrite=False)


@pytest.mark.slow
def test_every_report_is_there_though_nobody_reads_the_summary(tmp_path: Path) -> None:
    """A pipe that is closed early, as by `| head -1`, costs none of the files."""
    targets = ["a.html", "b.json", "c.html"]
    outputs = [part for target in targets for part in ("-o", str(tmp_path / target))]
    command = ["wallwalk", "check", f"examples/{READY}.yaml", *outputs]
    started = subprocess.Popen(command, stdout=subprocess.PIPE, cwd=ROOT)
    assert started.stdout is not None
    assert started.stdout.readline().startswith(b"PASS")
    started.stdout.close()
    assert started.wait(timeout=60) == 2  # the summary was not told whole
    assert sorted(path.name for path in tmp_path.iterdir()) == targets


def test_a_walk_says_what_to_type_next() -> None:
    """What was only typed is not in the file, and is typed again: overlays, rule set, language."""
    laid = (Path("a b.yaml"), Path("c.yaml"))
    assert typed_again(Path("r.yaml"), None, (), "en") == "r.yaml"
    assert typed_again(Path("r.yaml"), "own", laid, "es") == (
        "r.yaml --rules own --overlay 'a b.yaml' --overlay c.yaml --lang es"
    )


@pytest.mark.slow
def test_a_walk_with_an_overlay_ends_with_the_command_that_takes_it_again(tmp_path: Path) -> None:
    """The last line can be copied as it is."""
    shutil.copy(ROOT / "examples" / "overlays" / "nessuval-2026.yaml", tmp_path / "ours.yaml")
    command = ["wallwalk", "walk", "r.yaml", "--overlay", "ours.yaml"]
    done = subprocess.run(
        command, input="America/Chicago\ndone\n", capture_output=True, text=True, cwd=tmp_path, check=False
    )
    said = "Every answer is in r.yaml. The report: wallwalk check r.yaml --overlay ours.yaml"
    assert (done.returncode, done.stdout.splitlines()[-1]) == (1, said)


def test_a_walk_into_a_folder_that_is_not_there_asks_nothing(tmp_path: Path) -> None:
    """It is said before the first question, whose answer could not be saved."""
    done = wallwalk("walk", "nowhere/room.yaml", cwd=tmp_path)
    said = "nowhere/room.yaml: cannot be written (No such file or directory); give a folder that is there and that you"
    assert (done.returncode, done.stdout, done.stderr) == (2, "", f"{said} may write to\n")


def test_a_form_that_was_exported_can_be_walked_under_another_name(tmp_path: Path) -> None:
    """A phone's export is JSON; `walk` writes YAML, and says how to go on with it."""
    (tmp_path / "room.json").write_text('{"space": {"name": "A"}}')
    done = wallwalk("walk", "room.json", cwd=tmp_path)
    said = "room.json: is no name for a survey that can be walked; end it in .yaml; a form's export can be copied to"
    assert (done.returncode, done.stdout, done.stderr) == (2, "", f"{said} such a name\n")
