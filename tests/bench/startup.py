"""Start-up of one terminal check, as a ratio to the floor: import click and PyYAML, and parse the same file.

Run: .venv/bin/python tests/bench/startup.py [SURVEY]. Medians of nine runs each, taken by turns in one go.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
RUNS = 9

FLOOR = "import sys, click, yaml; yaml.load(open(sys.argv[1], 'rb'), Loader=yaml.CSafeLoader)"
WITH_SHAPE = "import sys, click, yaml, jsonschema; yaml.load(open(sys.argv[1], 'rb'), Loader=yaml.CSafeLoader)"
CHECK = "import sys; from wallwalk.cli import main; sys.argv = ['wallwalk', 'check', sys.argv[1]]; main()"
IMPORTS = "import wallwalk.checking, wallwalk.survey_reader, wallwalk.report.terminal, wallwalk.cli"


def seconds(script: str, survey: str) -> float:
    """Wall time of one run of `script` in a fresh interpreter."""
    began = time.perf_counter()
    subprocess.run([sys.executable, "-c", script, survey], check=False, capture_output=True)
    return time.perf_counter() - began


def main() -> None:
    """Print the table."""
    survey = sys.argv[1] if len(sys.argv) > 1 else str(ROOT / "examples" / "204-treatment-room.yaml")
    cases = {
        "python alone": "pass",
        "floor: click + yaml + parse": FLOOR,
        "floor + import jsonschema": WITH_SHAPE,
        "wallwalk's own imports": IMPORTS,
        "wallwalk check": CHECK,
    }
    taken: dict[str, list[float]] = {name: [] for name in cases}
    for _ in range(RUNS):
        for name, script in cases.items():
            taken[name].append(seconds(script, survey))
    medians = {name: statistics.median(times) for name, times in taken.items()}
    floor = medians["floor: click + yaml + parse"]
    sys.stdout.write(f"{'':30}{'median ms':>10}{'/ floor':>10}\n")
    for name, median in medians.items():
        sys.stdout.write(f"{name:30}{median * 1000:10.0f}{median / floor:10.2f}\n")


if __name__ == "__main__":
    main()
