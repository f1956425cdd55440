"""Many surveys in one call: a line for each, the records of all, and no survey that takes the others with it."""

from __future__ import annotations

import os
import pty
import re
import shutil
import signal
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from make_surveys import make_surveys
from odd_work import lost, make_odd_worker
from surveys import ROOT, example, example_rules
from wallwalk.batch import Checker, Row, Wanted
from wallwalk.checking import check, check_briefly
from wallwalk.cli.workers import in_workers
from wallwalk.filing import canonical
from wallwalk.inputs import read_inputs
from wallwalk.report.line import render_line
from wallwalk.summary import Summary, summary_of
from wallwalk.survey_files import FoundFile, survey_files
from wallwalk.values import Verdict
from wallwalk.words import words_in
from wallwalk.yamlio import MOST_BYTES

READY = "204-treatment-room"


def wallwalk(*arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Run the command line as a user does."""
    return subprocess.run(["wallwalk", *arguments], capture_output=True, text=True, cwd=cwd, check=False)


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with two made surveys, one that passes in a folder below, two that cannot be read and an overlay."""
    folder = tmp_path_factory.mktemp("many")
    assert len(list(make_surveys(folder / "rooms", 2, walls=2))) == 2
    (folder / "ready").mkdir()
    for file in (ROOT / "examples").glob(f"{READY}.*"):
        shutil.copy(file, folder / "ready")
    (folder / "rooms" / "broken.yaml").write_text("space: {name: A}\nwalls: 3\n")
    (folder / "rooms" / "lost.yml").write_text("")
    shutil.copy(ROOT / "examples" / "overlays" / "nessuval-2026.yaml", folder / "rooms")
    return folder


def summary(verdict: Verdict, holds: int, not_verified: int, at: str, *, only_time: bool) -> str:
    """The line of such a survey."""
    nothing_laid: dict[str, list[object]] = {"overlays": [], "overrides": []}
    return render_line("a.yaml", Summary(verdict, holds, not_verified, at, only_time, nothing_laid), words_in("en"))


def test_a_line_says_verdict_holds_and_start() -> None:
    """Each of the five things that can be said of the start."""
    said, at = "a.yaml | 1 hold, 2 not verified", "Tue 10 Mar 2026 07:15"
    none = "PASS | a.yaml | 0 hold, 0 not verified"
    assert summary(Verdict.PASS, 0, 0, at, only_time=True) == f"{none} | may start from {at}"
    assert summary(Verdict.PASS, 0, 0, "", only_time=True) == f"{none} | no clock holds it"
    assert summary(Verdict.HOLD, 1, 2, at, only_time=True) == f"HOLD | {said} | earliest start {at}"
    assert summary(Verdict.HOLD, 1, 2, at, only_time=False) == f"HOLD | {said} | not before {at}"
    assert summary(Verdict.HOLD, 1, 2, "", only_time=False) == f"HOLD | {said} | no start can be named"


@pytest.mark.slow
def test_the_line_is_that_of_the_record(tmp_path: Path) -> None:
    """For every example and twenty made rooms the check in brief says what the record says."""
    made = list(make_surveys(tmp_path, 20, walls=2))
    pairs = [(example(name), example_rules(name)) for name in (READY, "110-link-corridor", "507-reading-room")]
    pairs += [read_inputs(path) for path in made]
    brief = [check_briefly(survey, rule_set) for survey, rule_set in pairs]
    assert brief == [summary_of(check(survey, rule_set)) for survey, rule_set in pairs]
    assert {one.verdict for one in brief} == {Verdict.PASS, Verdict.HOLD}


@pytest.mark.slow
@pytest.mark.parametrize("jobs", ["1", "2"])
def test_every_survey_has_its_line_and_the_others_go_on(many: Path, tmp_path: Path, jobs: str) -> None:
    """In the order given; what cannot be read says so, what is no survey says why; the records are those of `check`."""
    records = tmp_path / "records.jsonl"
    done = wallwalk("check", "rooms", f"ready/{READY}.yaml", "-o", str(records), "--jobs", jobs, cwd=many)
    lines = done.stdout.splitlines()
    assert [line.split(" | ")[:2] for line in lines[:-2]] == [
        ["HOLD", "rooms/00000.yaml"],
        ["HOLD", "rooms/00001.yaml"],
        ["NOT CHECKED", "rooms/broken.yaml"],
        ["NOT CHECKED", "rooms/lost.yml"],
        ["passed over", "rooms/nessuval-2026.yaml"],
        ["PASS", f"ready/{READY}.yaml"],
    ]
    assert lines[4] == "passed over | rooms/nessuval-2026.yaml | answers nothing that a survey asks"
    assert lines[-2:] == ["Surveys: 5. Pass: 1. Hold: 2. Not checked: 2. Files passed over: 1.", f"Wrote {records}"]
    assert done.stderr.splitlines() == [
        'rooms/broken.yaml:2: walls is "3"; write a list, each entry starting with "- "',
        "rooms/lost.yml: is empty; fill it in and save it",
    ]
    assert done.returncode == 2
    checked = [many / "rooms" / "00000.yaml", many / "rooms" / "00001.yaml", many / "ready" / f"{READY}.yaml"]
    holds, also_holds, ready = (canonical(check(*read_inputs(path))) for path in checked)
    unread = [
        canonical({"file": file, "faults": [fault]})
        for file, fault in zip(("rooms/broken.yaml", "rooms/lost.yml"), done.stderr.splitlines(), strict=True)
    ]
    assert records.read_bytes().splitlines() == [holds, also_holds, *unread, ready]


@pytest.mark.slow
def test_the_exit_code_is_that_of_the_worst(many: Path) -> None:
    """0 where all pass, 1 where one holds, 2 where one cannot be checked, or where there is none."""
    ready, holds, broken = f"ready/{READY}.yaml", "rooms/00000.yaml", "rooms/broken.yaml"
    overlay = ROOT / "examples" / "overlays"
    assert [
        wallwalk("check", *names, cwd=many).returncode
        for names in ([ready, ready], [ready, holds], [ready, broken], [ready, "nowhere.yaml"], [str(overlay)])
    ] == [0, 1, 2, 2, 2]


@pytest.mark.slow
def test_a_folder_without_surveys_is_no_pass(tmp_path: Path) -> None:
    """What is wrong is said, and the line of all says nought."""
    shutil.copy(ROOT / "examples" / "overlays" / "nessuval-2026.yaml", tmp_path)
    done = wallwalk("check", ".", cwd=tmp_path)
    assert done.returncode == 2
    assert done.stderr == "no survey was found; give files, or folders that hold some\n"
    assert done.stdout.splitlines() == [
        "passed over | nessuval-2026.yaml | answers nothing that a survey asks",
        "Surveys: 0. Pass: 0. Hold: 0. Not checked: 0. Files passed over: 1.",
    ]


@pytest.mark.slow
def test_reports_of_one_are_refused_for_many(many: Path) -> None:
    """So is more than one file for the records, one that is there, and one in the place of a survey."""
    (many / "there.jsonl").write_text("earlier")
    for outputs, said in {
        ("a.pdf",): '"a.pdf" is a report of one survey; of several, give the records in a file that ends in .jsonl',
        ("a.jsonl", "b.jsonl"): "the records of all go into one file; give one that ends in .jsonl",
        ("there.jsonl",): "there.jsonl: is there already; give another name, or add --overwrite",
    }.items():
        done = wallwalk("check", "rooms", *(part for o in outputs for part in ("-o", o)), cwd=many)
        assert (done.returncode, done.stdout) == (2, "")
        assert done.stderr.splitlines()[-1].removeprefix("Error: ") == said
    done = wallwalk("check", "there.jsonl", "-o", "there.jsonl", "--overwrite", cwd=many)
    assert (done.returncode, done.stderr) == (2, "there.jsonl: is read to make this; give another name\n")
    assert (many / "there.jsonl").read_text() == "earlier"


@pytest.mark.slow
def test_a_rule_set_that_is_not_there_is_one_fault(many: Path) -> None:
    """It is said once, before any survey is read."""
    done = wallwalk("check", "rooms", "--rules", "nowhere", cwd=many)
    said = "nowhere: is no rule set; write one of: pasted-wallcovering, rigid-sheet, or the path of a folder with an"
    assert (done.returncode, done.stdout, done.stderr) == (2, "", f"{said} about.yaml\n")


@pytest.mark.slow
def test_one_survey_with_its_record_in_a_file_for_many(many: Path, tmp_path: Path) -> None:
    """A batch of one: its line, and one line of record."""
    records = tmp_path / "one.jsonl"
    done = wallwalk("check", f"ready/{READY}.yaml", "-o", str(records), cwd=many)
    assert (done.returncode, done.stdout.splitlines()[0][:4]) == (0, "PASS")
    assert records.read_bytes() == canonical(check(example(READY), example_rules(READY))) + b"\n"


@pytest.mark.slow
def test_lines_in_spanish(many: Path) -> None:
    """The lines speak the language asked for."""
    done = wallwalk("check", "ready", "rooms", "--lang", "es", cwd=many)
    first, *_, last = done.stdout.splitlines()
    assert first == (
        f"CONFORME | ready/{READY}.yaml | retenciones: 0, sin verificar: 0 | puede empezar desde el mar 10 mar 2026 "
        "07:15"
    )
    assert last == ("Levantamientos: 5. Conformes: 1. Retenidos: 2. Sin comprobar: 2. Archivos pasados por alto: 1.")
    assert "SIN COMPROBAR | rooms/lost.yml" in done.stdout


# -- what is hostile, or ends its process ----------------------------------------------------------------------------


def test_a_file_too_large_is_refused_by_its_size(tmp_path: Path) -> None:
    """Not a byte of it is read: here it has none on the disk."""
    path = tmp_path / "huge.yaml"
    with path.open("wb") as stream:
        stream.truncate(1 << 40)
    row = Checker(Wanted())(FoundFile(path, in_folder=True))
    said = f"{path}: is over {MOST_BYTES:,} bytes; split it or take out what is not asked"
    assert row == Row(str(path), faults=(said,))


def test_a_fault_of_the_program_costs_one_survey(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What no reader foresaw is said of the survey that met it."""

    def broken(_: object) -> None:
        raise ZeroDivisionError("a slip")

    monkeypatch.setattr("wallwalk.batch.parse_survey", broken)
    path = tmp_path / "room.yaml"
    path.write_text("space: {name: A}\n")
    said = f"{path}: met a fault of this program (ZeroDivisionError: a slip); send the file to its makers"
    assert Checker(Wanted())(FoundFile(path, in_folder=False)) == Row(str(path), faults=(said,))


@pytest.mark.slow
def test_a_worker_that_dies_or_hangs_costs_only_its_own() -> None:
    """Killed, left, over its time, several in a row: each is told, and the others are done, in order."""
    words = ["a", "kill", "b", "leave", "kill", "kill", "c", "sleep", "d", "e"]
    began = time.monotonic()
    got = list(in_workers(words, make_odd_worker, lost, 2, seconds=5))
    assert time.monotonic() - began < 50
    assert [re.sub(r"by \d+", "done", one) for one in got] == [
        "a done",
        "kill ended the process that worked on it (SIGKILL)",
        "b done",
        "leave ended the process that worked on it (exit code 7)",
        "kill ended the process that worked on it (SIGKILL)",
        "kill ended the process that worked on it (SIGKILL)",
        "c done",
        "sleep took over 5 s",
        "d done",
        "e done",
    ]
    assert str(os.getpid()) not in {one.split()[-1] for one in got}


def counted(asked: list[str]) -> Iterator[str]:
    """A thousand words, and those of them that were asked for."""
    for number in range(1000):
        asked.append(f"word {number}")
        yield asked[-1]


@pytest.mark.slow
def test_no_more_is_taken_ahead_than_can_be_kept() -> None:
    """However many there are, those given out and not yet taken are bounded; all come out, in order."""
    asked: list[str] = []
    ahead = 0
    for turn, made in enumerate(in_workers(counted(asked), make_odd_worker, lost, 2)):
        assert made.startswith(f"word {turn} by")
        ahead = max(ahead, len(asked) - turn)
    assert len(asked) == 1000
    assert ahead <= 17


def children(pid: int) -> list[int]:
    """The processes that `pid` started."""
    return [int(one) for one in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


def opened(pid: int, name: str) -> bool:
    """Whether `pid` has a file of that name open."""
    try:
        return any(name in str(fd.readlink()) for fd in Path(f"/proc/{pid}/fd").iterdir())
    except OSError:
        return False


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="processes are looked at in /proc")
def test_a_survey_whose_worker_is_killed_is_said_and_the_others_go_on(many: Path, tmp_path: Path) -> None:
    """The process that reads a long log is killed while it does, as a system short of memory would."""
    for name in ("00000.yaml", "00001.yaml"):
        shutil.copy(many / "rooms" / name, tmp_path)
    slow = (ROOT / "examples" / f"{READY}.yaml").read_text().replace(f"{READY}.csv", "long.csv")
    (tmp_path / "00000-long.yaml").write_text(slow)
    head, *rows = (ROOT / "examples" / f"{READY}.csv").read_text().splitlines(keepends=True)
    (tmp_path / "long.csv").write_text(head + "".join(rows) * 3000)
    command = ["wallwalk", "check", "--jobs", "2", "00000-long.yaml", "00000.yaml", "00001.yaml"]
    started = subprocess.Popen(command, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    until = time.monotonic() + 120
    while not (reading := [pid for pid in children(started.pid) if opened(pid, "long.csv")]):
        assert time.monotonic() < until
        assert started.poll() is None
        time.sleep(0.01)
    os.kill(reading[0], signal.SIGKILL)
    out, err = started.communicate(timeout=120)
    assert [line.split(" | ")[:2] for line in out.splitlines()] == [
        ["NOT CHECKED", "00000-long.yaml"],
        ["HOLD", "00000.yaml"],
        ["HOLD", "00001.yaml"],
        ["Surveys: 3. Pass: 0. Hold: 2. Not checked: 1. Files passed over: 0."],
    ]
    assert err == "00000-long.yaml: ended the process that worked on it (SIGKILL); check it alone\n"
    assert started.returncode == 2


@pytest.mark.slow
def test_no_worker_outlives_the_command(many: Path) -> None:
    """Where who asked is gone, nobody works on."""
    command = ["wallwalk", "check", "rooms", "--jobs", "2"]
    started = subprocess.Popen(command, cwd=many, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    until = time.monotonic() + 60
    while len(workers := children(started.pid)) < 3 and time.monotonic() < until:  # two, and what tracks them
        time.sleep(0.01)
    started.kill()
    started.wait()
    while any(Path(f"/proc/{pid}/cmdline").exists() for pid in workers) and time.monotonic() < until:
        time.sleep(0.05)
    assert [pid for pid in workers if Path(f"/proc/{pid}/cmdline").exists()] == []


# -- what is shown and what is written ------------------------------------------------------------------------------


@pytest.mark.slow
def test_the_bar_is_for_a_terminal_only(many: Path) -> None:
    """On a terminal a bar is drawn on standard error, and standard output is the same as through a pipe."""
    plain = wallwalk("check", "rooms", cwd=many)
    ours, theirs = pty.openpty()
    command = ["wallwalk", "check", "rooms"]
    started = subprocess.Popen(command, cwd=many, stdout=subprocess.PIPE, stderr=theirs, text=True)
    os.close(theirs)
    out, _ = started.communicate(timeout=120)
    shown = b""
    try:
        while part := os.read(ours, 65536):
            shown += part
    except OSError:  # how a terminal ends that nobody writes to any more
        pass
    os.close(ours)
    assert out == plain.stdout
    assert b"100%" in shown
    assert "%" not in plain.stderr


@pytest.mark.slow
def test_records_are_there_whole_or_not_at_all(many: Path, tmp_path: Path) -> None:
    """A command that is stopped in the middle leaves no records, nor a part of them."""
    records = tmp_path / "records.jsonl"
    command = ["wallwalk", "check", "rooms", "-o", str(records)]
    started = subprocess.Popen(command, cwd=many, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert started.stdout is not None
    assert started.stdout.readline().startswith("HOLD")
    started.send_signal(signal.SIGINT)
    _, err = started.communicate(timeout=60)
    assert (started.returncode, err.splitlines()[-1]) == (2, "stopped")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.slow
def test_every_made_survey_can_be_read(tmp_path: Path) -> None:
    """What the bench makes is what it says: surveys without faults, the same ones for the same seed."""
    made = list(make_surveys(tmp_path / "one", 40, walls=3, seed=5))
    again = list(make_surveys(tmp_path / "two", 20, walls=3, seed=5))
    assert [path.read_bytes() for path in made[:20]] == [path.read_bytes() for path in again]
    assert len({path.read_bytes() for path in made}) == 40
    rows = [Checker(Wanted())(one) for one in survey_files([tmp_path / "one"])]
    assert [row.faults for row in rows] == [()] * 40
    assert {row.summary.verdict for row in rows if row.summary} == {Verdict.PASS, Verdict.HOLD}
