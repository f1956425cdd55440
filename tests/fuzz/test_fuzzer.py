"""The coverage-guided fuzzer runs over every reader, over the same inputs each time, and finds nothing; but it can."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from corpus import seeds
from fuzzing import ROOT, fuzz
from readers import NAMES

pytest.importorskip("atheris", reason="atheris has no wheel for this Python or machine; see pyproject.toml")

RUNS = 60
"""Beyond the seeds, of each reader: less than a minute of one core for all of them."""

pytestmark = pytest.mark.slow


@pytest.mark.parametrize("reader", NAMES)
def test_the_fuzzer_reaches_more_than_its_seeds_and_finds_nothing(reader: str, tmp_path: Path) -> None:
    """So many runs, new branches beyond those of the seeds, a corpus that grew, and no broken law."""
    found = fuzz(reader, seed=11, runs=RUNS, crashes=tmp_path)
    assert found.crashes == []
    assert found.seeds == len(seeds(reader))
    assert found.executions >= found.seeds + RUNS
    assert found.coverage > 100
    assert found.new_coverage > 0
    assert found.corpus > found.seeds
    assert 0 < found.refused <= found.executions


PLANTED = {
    "spaces": (
        "inspect/wallwalk/spaces_reader.py",
        '    for entry in data["spaces"]:\n',
        "        int(entry.get('level', '1'))\n",
    ),
}
"""By reader: the file and the line of the program that a fault is planted behind, and the fault."""


def test_a_planted_fault_is_found(tmp_path: Path) -> None:
    """In a copy in which a level has to be a number, a level that is none is found within the same runs, and kept."""
    copy = tmp_path / "copy"
    for part in ("inspect", "rules", "templates", "tests", "examples"):
        shutil.copytree(ROOT / part, copy / part, ignore=shutil.ignore_patterns("__pycache__", "out", "golden"))
    shutil.copy(ROOT / "pyproject.toml", copy)
    file, line, fault = PLANTED["spaces"]
    text = (copy / file).read_text(encoding="utf-8")
    assert text.count(line) == 1
    (copy / file).write_text(text.replace(line, line + fault), encoding="utf-8")
    command = [sys.executable, "tests/fuzz/run.py", "--reader", "spaces", "--runs", "100", "--seed", "11"]
    done = subprocess.run([*command, "--crashes", "found"], cwd=copy, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (1, "")
    assert "; 1 crashes; " in done.stdout
    (kept,) = (copy / "found").glob("*.why")
    assert kept.read_text(encoding="utf-8").splitlines()[-1].startswith("ValueError: invalid literal for int()")
    assert kept.with_suffix("").read_bytes()
