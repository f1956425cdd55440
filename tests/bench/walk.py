"""What the walk costs after each answer, read and judged anew, beside parsing the same survey with the C loader.

Run: .venv/bin/python tests/bench/walk.py. Medians of nine, of processor time.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import yaml

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT / "tests"))

from surveys import example_document  # noqa: E402 - the tests' own folder has to be named first
from walkers import walk_of  # noqa: E402

RUNS = 9


def median_ms(run: Callable[[], object]) -> float:
    """The median processor time of `run` in ms."""
    taken = []
    for _ in range(RUNS):
        begun = time.process_time()
        run()
        taken.append(time.process_time() - begun)
    return statistics.median(taken) * 1000


def main() -> None:
    """Print the table."""
    file = ROOT / "examples" / "204-treatment-room.yaml"
    data, setting, text = example_document(file.stem).data, walk_of(file).setting, file.read_bytes()
    if not isinstance(data, dict) or not setting.judge(data).passes:
        raise SystemExit("the room of this bench passes; something is amiss")
    floor = median_ms(lambda: yaml.load(text, Loader=yaml.CSafeLoader))
    judged = median_ms(lambda: setting.judge(data))
    sys.stdout.write(f"{'':34}{'median ms':>10}{'/ parsing':>10}\n")
    sys.stdout.write(f"{'parsing the survey':34}{floor:10.1f}{1:10.1f}\n")
    sys.stdout.write(f"{'one answer, read and judged':34}{judged:10.1f}{judged / floor:10.1f}\n")


if __name__ == "__main__":
    main()
