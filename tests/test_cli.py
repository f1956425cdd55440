"""The command line: what it prints, what it writes, how it ends."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from itertools import pairwise
from pathlib import Path

import pytest

from surveys import EXAMPLES, ROOT, example, rigid_sheet
from wallwalk.checking import check
from wallwalk.filing import canonical

COMMANDS = (
    ["check"],
    ["blank"],
    ["walk"],
    ["plan"],
    ["compare"],
    ["explain"],
    ["rules"],
    ["rules", "list"],
    ["rules", "show"],
    ["rules", "test"],
    ["rules", "new"],
    ["rules", "schema"],
)


def wallwalk(*arguments: str, cwd: Path = ROOT, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run the command line as a user does."""
    env = {**os.environ, **environment}
    letters = environment.get("PYTHONIOENCODING")
    return subprocess.run(
        ["wallwalk", *arguments], capture_output=True, text=True, encoding=letters, cwd=cwd, env=env, check=False
    )


@pytest.mark.slow
@pytest.mark.parametrize("name", [p.stem for p in EXAMPLES])
def test_the_exit_code_is_the_verdict(name: str) -> None:
    """0 is a pass, 1 a hold; the first word printed says the same."""
    done = wallwalk("check", f"examples/{name}.yaml")
    assert (done.returncode, done.stdout[:4], done.stderr) == (
        (0, "PASS", "") if name.startswith("204") else (1, "HOLD", "")
    )


@pytest.mark.slow
@pytest.mark.parametrize("name", [p.stem for p in EXAMPLES])
def test_the_summary_fits_80_columns_and_needs_no_colour(name: str) -> None:
    """Plain lines of at most 80 characters, without any escape, whether on a terminal or through a pipe."""
    out = wallwalk("check", f"examples/{name}.yaml").stdout
    assert max(map(len, out.splitlines())) <= 80
    assert "\x1b" not in out
    assert wallwalk("check", f"examples/{name}.yaml", TERM="xterm-256color", FORCE_COLOR="1").stdout == out


@pytest.mark.slow
def test_the_summary_leads_from_verdict_to_what_passed() -> None:
    """Verdict, holds by who must act, not verified, cautions, and what passed in one line, in that order."""
    lines = wallwalk("check", "examples/014-old-dispensary.yaml").stdout.splitlines()
    heads = [above for above, line in pairwise(lines) if line and set(line) == {"-"}]
    assert lines[0].startswith("HOLD | 014 Old dispensary")
    assert heads == [
        "HOLDS THE WORK - Lead installer and crew",
        "HOLDS THE WORK - Painter",
        "HOLDS THE WORK - Drywall finisher",
        "HOLDS THE WORK - General contractor",
        "HOLDS THE WORK - Heating and cooling",
        "NOT VERIFIED - find out and write down",
        "These checks wait for it",
        "CAUTIONS - local code and licensed practice decide",
        "MATERIALS - needed and here",
        "CLIMATE LOGS",
        "PHOTOS - they decide nothing",
        "PASSED 135 of 201 checks that can hold the work",
    ]


@pytest.mark.slow
def test_reports_are_written_beside_the_summary_and_named(tmp_path: Path) -> None:
    """Each `-o` writes the form its suffix says, and the summary names what was written; JSON holds the record."""
    targets = [tmp_path / f"room{suffix}" for suffix in (".html", ".json")]
    done = wallwalk("check", "examples/204-treatment-room.yaml", *(a for t in targets for a in ("-o", str(t))))
    assert done.stdout.splitlines()[-2:] == [f"Wrote {t}" for t in targets]
    filed = json.loads(targets[1].read_text())
    assert canonical(filed["record"]) == canonical(check(example("204-treatment-room"), rigid_sheet()))
    assert filed["record"]["verdict"] == "pass"
    assert targets[0].read_text().startswith("<!DOCTYPE html>")


@pytest.mark.slow
def test_one_report_that_cannot_be_written_leaves_what_was_there(tmp_path: Path) -> None:
    """A folder that is not there is one message and exit code 2; the earlier file stays and no scrap is left."""
    kept = tmp_path / "kept.json"
    kept.write_text("earlier")
    missing = tmp_path / "nowhere" / "room.json"
    done = wallwalk("check", "examples/204-treatment-room.yaml", "-o", str(missing))
    assert (done.returncode, done.stdout[:4]) == (2, "PASS")  # the verdict is said all the same
    assert done.stderr == (
        f"{missing}: cannot be written (No such file or directory); "
        "give a folder that is there and that you may write to\n"
    )
    assert (kept.read_text(), sorted(p.name for p in tmp_path.iterdir())) == ("earlier", ["kept.json"])


def test_a_suffix_that_is_no_form_is_a_usage_error() -> None:
    """The message names the forms there are."""
    done = wallwalk("check", "examples/204-treatment-room.yaml", "-o", "room.docx")
    assert done.returncode == 2
    said = '"room.docx" names no form of report; end it in .html, .pdf, .json, .jsonl'
    assert f"'-o' / '--output': {said}" in done.stderr


@pytest.mark.slow
def test_another_start_changes_the_verdict() -> None:
    """The room that passes, checked for an hour sooner, holds: its adhesive came at 07:15 the day before."""
    done = wallwalk("check", "examples/204-treatment-room.yaml", "--at", "2026-03-10 07:00")
    assert (done.returncode, done.stdout[:4]) == (1, "HOLD")
    assert "[adhesive-acclimated]" in done.stdout


@pytest.mark.slow
def test_a_start_that_cannot_be_read_is_one_message() -> None:
    """`--at` is read as strictly as the survey, a skipped hour included."""
    done = wallwalk("check", "examples/110-link-corridor.yaml", "--at", "2026-03-08 02:30")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        '--at: is "2026-03-08 02:30"; the clock change skips "2026-03-08 02:30" in America/Chicago; '
        "write 2026-03-08T01:30:00-06:00 or 2026-03-08T03:30:00-05:00\n"
    )


@pytest.mark.slow
def test_explain_says_why_and_how_a_survey_fared() -> None:
    """The reading as written, its line, the limit and the outcome of each wall stand in one place."""
    out = " ".join(wallwalk("explain", "primer-has-dwelled", "examples/110-link-corridor.yaml").stdout.split())
    assert "Why: Water trapped under a vapour-tight sheet has no way out." in out
    assert "Limit: Least time the primer dries [primer_dwell_min]: 24 h (common practice)" in out
    assert "South: hold" in out
    assert "Primer dwell: 23 h; asked: at least 24 h, margin -1 h (hold)" in out
    assert 'walls[1].primer.finished is "2026-03-07 12:00"' in out


@pytest.mark.slow
def test_rules_list_and_show_name_every_rule_and_limit() -> None:
    """What an author looks for is all there."""
    pasted, rigid = wallwalk("rules", "list").stdout.splitlines()
    assert pasted.startswith("pasted-wallcovering: Pasted wallcovering, ")
    assert rigid.startswith("rigid-sheet: Rigid sheet wall covering, ")
    shown = wallwalk("rules", "show").stdout
    assert [n for n in (*rigid_sheet().rules, *rigid_sheet().limits) if n not in shown] == []


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help(command: list[str]) -> None:
    """`--help` of each command says what it does and ends well."""
    done = wallwalk(*command, "--help")
    assert done.returncode == 0
    assert len(done.stdout.splitlines()[2].strip()) > 20


@pytest.mark.slow
def test_a_terminal_that_lacks_letters_is_no_error() -> None:
    """Where the terminal has other letters, names are shown with escapes and the verdict stands."""
    done = wallwalk("check", "examples/204-treatment-room.yaml", PYTHONIOENCODING="cp1251")
    assert (done.returncode, done.stderr) == (0, "")
    assert "Luc\\xeda Ib\\xe1\\xf1ez Rold\\xe1n" in done.stdout


def test_a_survey_does_not_bring_its_own_judge(tmp_path: Path) -> None:
    """A survey may name an installed rule set only; a folder of rules is for the command line to name."""
    survey = tmp_path / "room.yaml"
    survey.write_text("space: {name: A}\nrules: ./lax\n")
    done = wallwalk("check", str(survey))
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        f'{survey}:2: rules is "./lax"; write one of: pasted-wallcovering, rigid-sheet; '
        "--rules takes the path of another\n"
    )


@pytest.mark.slow
def test_a_file_name_that_is_no_text_ends_in_no_traceback(tmp_path: Path) -> None:
    """A byte of the name that is no UTF-8 is shown by its number, in the record too."""
    survey = Path(os.fsdecode(os.fsencode(tmp_path) + b"/x\xff.yaml"))
    survey.write_bytes((ROOT / "examples" / "204-treatment-room.yaml").read_bytes())
    shutil.copy(ROOT / "examples" / "204-treatment-room.csv", tmp_path)
    done = wallwalk("check", str(survey), "-o", "record.json", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads((tmp_path / "record.json").read_text("utf-8"))["record"]["survey"]["file"] == "x\\udcff.yaml"


@pytest.mark.slow
def test_a_report_never_goes_over_the_survey(tmp_path: Path) -> None:
    """A survey in a .json file is not lost to `-o` with the same name, however it is spelt."""
    survey = tmp_path / "room.json"
    survey.write_text('{"space": {"name": "A"}}')
    done = wallwalk("check", "room.json", "-o", "../" + tmp_path.name + "/room.json", cwd=tmp_path)
    assert (done.returncode, survey.read_text()) == (2, '{"space": {"name": "A"}}')
    assert done.stderr == f"../{tmp_path.name}/room.json: is read to make this; give another name\n"


@pytest.mark.slow
def test_explain_takes_part_of_a_name_or_title_and_lists_what_it_could_mean() -> None:
    """`walk is fresh` is in one title; `no-pva` could be two, and both are named."""
    assert wallwalk("explain", "walk is fresh").stdout.startswith(
        "walk-is-fresh | The walk is fresh at the planned start"
    )
    done = wallwalk("explain", "no-pva")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == ('rigid-sheet: has no rule "no-pva"; did you mean one of: no-pva-primer, no-pva-compound\n')


@pytest.mark.slow
def test_a_full_disk_is_no_hold() -> None:
    """Where the summary cannot be written, the exit code says input or usage error, not hold."""
    with Path("/dev/full").open("w") as full:
        command = ["wallwalk", "check", "examples/204-treatment-room.yaml"]
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, cwd=ROOT, check=False)
    assert done.returncode == 2
    assert done.stderr == "stopped: [Errno 28] No space left on device; give other files, or make room\n"
