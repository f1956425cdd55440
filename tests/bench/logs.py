"""A climate log of a million rows: time as a ratio to polars reading and filtering the same file, memory to its size.

Run: .venv/bin/python tests/bench/logs.py [ROWS]. Medians of five runs each, taken by turns in one go, each in an
interpreter of its own. wallwalk reads the log for every band and moment that the rigid sheet rules ask about, draws its
trace and takes its digest; polars parses the times and sums the hours in one band, and knows nothing of holes.
"""

from __future__ import annotations

import json
import math
import statistics
import subprocess
import sys
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

RUNS = 5
ROWS = 1_000_000

SURVEY = """
time_zone: UTC
planned_start: {end}
instruments: [{{name: L1, calibration_due: 2030-12-31, uncertainty: {{temperature: 0.5 °C, humidity: 2 %RH}}}}]
climate_logs_kept: 1
climate_log:
  - {{file: {file}, place: middle, instrument: L1, every: 1 min, began: 2024-01-01 00:00, ended: {end}, clock: UTC}}
"""

# The kernel's own high-water mark of this process; getrusage would also count what its parent held when it forked.
PEAK = """
def peak():
    lines = open("/proc/self/status").read().splitlines()
    return 1024 * int(next(line for line in lines if line.startswith("VmHWM")).split()[1])
"""

OURS = """
import sys, time, json
from pathlib import Path
from wallwalk.checking import load_rule_set
from wallwalk.climate_reader import read_climate
from wallwalk.survey_reader import read_survey
path = Path(sys.argv[1])
rules = load_rule_set("rigid-sheet")
survey = read_survey(path)
began = time.perf_counter()
read = read_climate(survey, rules, path.parent)
took = time.perf_counter() - began
rows = read.climate.logs[0].rows
print(json.dumps({"seconds": took, "peak": peak(), "rows": rows}))
"""

THEIRS = """
import sys, time, json
import polars as pl
path = sys.argv[1]
began = time.perf_counter()
frame = pl.read_csv(path).with_columns(pl.col("time").str.to_datetime("%Y-%m-%d %H:%M"))
column = pl.col("temperature °C")
held = frame.with_columns(inside=column.is_between(16.06, 26.17), gap=pl.col("time").diff().dt.total_seconds())
hours = held.filter(pl.col("inside") & pl.col("inside").shift(1)).select(pl.col("gap").sum()).item() / 3600
took = time.perf_counter() - began
print(json.dumps({"seconds": took, "peak": peak(), "hours": hours}))
"""


def write_log(folder: Path, name: str, rows: int, *, shuffled: bool = False) -> tuple[Path, Path]:
    """A log of a row a minute with a day's wave and a little noise, and a survey that names it."""
    chance = Random(7)  # noqa: S311 - a bench, not a secret
    began = datetime(2024, 1, 1, tzinfo=UTC)
    lines = [
        f"{began + timedelta(minutes=i):%Y-%m-%d %H:%M},"
        f"{21 + 4.6 * math.sin(i / 229) + chance.gauss(0, 0.1):.2f},{45 + 8 * math.sin(i / 311):.1f}\n"
        for i in range(rows)
    ]
    end = f"{began + timedelta(minutes=rows - 1):%Y-%m-%d %H:%M}"
    if shuffled:
        chance.shuffle(lines)
    log = folder / f"{name}.csv"
    log.write_text("".join(["time,temperature °C,humidity %\n", *lines]), encoding="utf-8")
    survey = folder / f"{name}.yaml"
    survey.write_text(SURVEY.format(file=log.name, end=end), encoding="utf-8")
    return log, survey


def run(script: str, path: Path) -> dict[str, float]:
    """What one run of `script` on `path` says of itself."""
    done = subprocess.run([sys.executable, "-c", PEAK + script, str(path)], check=True, capture_output=True, text=True)
    read: dict[str, float] = json.loads(done.stdout)
    return read


def main() -> None:
    """Print the table."""
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else ROWS
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        whole, survey = write_log(folder, "whole", rows)
        _, tenth = write_log(folder, "tenth", rows // 10)
        _, shuffled = write_log(folder, "shuffled", rows, shuffled=True)
        _, small = write_log(folder, "small", 1000)
        cases = {
            "polars: read, parse, filter, sum": (THEIRS, whole),
            "wallwalk: the same file": (OURS, survey),
            "wallwalk: a tenth of its rows": (OURS, tenth),
            "wallwalk: the same rows, shuffled": (OURS, shuffled),
            "wallwalk: 1,000 rows": (OURS, small),
        }
        taken: dict[str, list[dict[str, float]]] = {name: [] for name in cases}
        for _ in range(RUNS):
            for name, (script, path) in cases.items():
                taken[name].append(run(script, path))
        size = whole.stat().st_size
        floor = statistics.median(t["seconds"] for t in taken["polars: read, parse, filter, sum"])
        base = statistics.median(t["peak"] for t in taken["wallwalk: 1,000 rows"])
        sys.stdout.write(f"{rows:,} rows, {size / 1e6:.1f} MB\n")
        sys.stdout.write(f"{'':36}{'median s':>10}{'/ polars':>10}{'peak MB':>10}{'over 1,000 rows / file':>24}\n")
        for name, times in taken.items():
            seconds = statistics.median(t["seconds"] for t in times)
            peak = statistics.median(t["peak"] for t in times)
            over = f"{(peak - base) / size:.2f}" if name.startswith("wallwalk") else ""
            sys.stdout.write(f"{name:36}{seconds:10.2f}{seconds / floor:10.1f}{peak / 1e6:10.0f}{over:>24}\n")


if __name__ == "__main__":
    main()
