"""What each of the three people does on day one, told as a script, comes out as told, from an empty home."""

from __future__ import annotations

import os
import re
import subprocess
from pathlib import Path

import pytest

STORIES = Path(__file__).parent
MADE = {
    "lead_installer": {
        "after-the-kettle.txt", "before-the-kettle.txt", "blank.yaml", "compared.html", "first.html", "first.json",
        "form.html", "plan.html", "plan.ics", "room.yaml", "second.html", "second.json", "second.yaml",
        "survey.schema.json",
    },
    "general_contractor": {
        "b13-first.json", "b13-second.json", "b13.html", "board.csv", "board.html", "board.ics", "board.json",
        "board.pdf", "job", "records.jsonl", "rooms.csv", "wrong.csv",
    },
    "inspector": {
        "again.json", "b12-prep-room.yaml", "b12.json", "b12.pdf", "fewer.json", "manual.html", "older.json",
        "ours.html", "ours.json", "signed.json", "specification.yaml",
    },
}  # fmt: skip
"""By story: everything that is in the folder at its end."""


def tell(story: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """Run a story in a folder of its own, at a home where nothing is."""
    home, work = folder / "home", folder / "work"
    home.mkdir()
    work.mkdir()
    environment = {**os.environ, "HOME": str(home)}
    command = ["bash", str(STORIES / f"{story}.sh")]
    return subprocess.run(command, capture_output=True, text=True, cwd=work, env=environment, check=False)


def assert_asked_in_order(script: str, told: str) -> None:
    """Each line ANSWER | QUESTION of a story is a question of the interview, answered so, in that order."""
    flat, at = " ".join(told.split()), 0
    lines = [
        line
        for part in re.findall(r"<<'ANSWERS'\n(.*?)^ANSWERS$", script, re.DOTALL | re.M)
        for line in part.split("\n")
    ]
    pairs = [(one.strip(), question.strip()) for one, bar, question in (line.partition("|") for line in lines) if bar]
    assert len(pairs) > 150
    for answer, question in pairs:
        asked = flat.find(question, at)
        assert asked >= 0, f"{question} is not asked after {flat[at - 200 : at]}"
        typed = flat.find(f"> {answer}".strip(), asked)
        # Nothing else is answered between a question and its answer.
        assert typed >= 0, question
        assert " > " not in flat[asked:typed].replace(">= ", ""), (question, answer)
        at = typed + len(answer)


@pytest.mark.slow
@pytest.mark.parametrize("story", MADE)
def test_a_first_hour_comes_out_as_told(story: str, tmp_path: Path) -> None:
    """Every step ends and says what the story tells, and what it leaves is all there is; the home stays as it was."""
    done = tell(story, tmp_path)
    assert (done.returncode, done.stderr) == (0, ""), done.stdout[-2000:]
    assert {path.name for path in (tmp_path / "work").iterdir()} == MADE[story]
    assert [path.name for path in (tmp_path / "home").iterdir()] == []
    assert "Traceback" not in done.stdout
    if story == "lead_installer":
        assert_asked_in_order((STORIES / f"{story}.sh").read_text(encoding="utf-8"), done.stdout)


def test_a_step_that_does_not_come_out_ends_the_story(tmp_path: Path) -> None:
    """Another exit code, a text that is not said, a file that is not made: each ends it, and says so."""
    for step, said in {
        "run 0 false": "the last step ended with exit code 1, and the story says 0\n",
        "run 0 echo yes; says no": "the last step did not say: no\n",
        "made nothing.txt": "the last step did not make nothing.txt\n",
    }.items():
        script = f"set -euo pipefail; source '{STORIES / 'steps.sh'}'; {step}; echo told"
        done = subprocess.run(["bash", "-c", script], capture_output=True, text=True, cwd=tmp_path, check=False)
        assert (done.returncode, done.stderr, "told" in done.stdout) == (1, said, False)
