"""Many surveys in one call: time as a ratio to parsing the same files alone, what a second process gives, and memory.

Run: .venv/bin/python tests/bench/batch.py [COUNT [ROUNDS]]. COUNT surveys of six walls, made by make_surveys.py, are
parsed by PyYAML's C loader, checked in one process and in two, and the records of a few of them are written. Each
run is one of its own interpreter; a round is one of each, so that a busy minute meets all alike, and medians over the
rounds are printed. Time is that of the clock on the wall, and what it used of processors, which other programs
change less; the ratio is of what was used. Memory is the most that the first process held at any time.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from make_surveys import make_surveys

COUNT = 10_000
ROUNDS = 5
WALLS = 6

# The kernel's own high-water mark of this process; the workers' times are counted once they have been waited for.
TOLD = """
import atexit, json, os, sys, time
began = time.perf_counter()
def tell():
    lines = open("/proc/self/status").read().splitlines()
    peak = 1024 * int(next(line for line in lines if line.startswith("VmHWM")).split()[1])
    told = {"seconds": time.perf_counter() - began, "used": sum(os.times()[:4]), "peak": peak}
    print(json.dumps(told), file=sys.stderr)
"""

PARSE = """
atexit.register(tell)
import yaml
from pathlib import Path
for path in sorted(Path(sys.argv[1]).iterdir()):
    yaml.load(path.read_bytes(), Loader=yaml.CSafeLoader)
"""

CHECK = """
if __name__ == "__main__":
    atexit.register(tell)
    from wallwalk.cli import main
    main(["check", *sys.argv[1:]])
"""


@dataclass(frozen=True)
class Run:
    """What one run took: seconds by the clock, seconds of processors, and bytes at the most."""

    seconds: float
    used: float
    peak: float


def run(folder: Path, script: str, *arguments: str) -> Run:
    """What one run of `script` says of itself."""
    program = folder / "run.py"
    program.write_text(TOLD + script, encoding="utf-8")
    command = [sys.executable, str(program), *arguments]
    done = subprocess.run(command, check=False, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
    if done.returncode == 2:
        raise SystemExit(done.stderr)
    return Run(**json.loads(done.stderr.splitlines()[-1]))


def main() -> None:
    """Print the table."""
    count, rounds = (*map(int, sys.argv[1:]), *(COUNT, ROUNDS)[len(sys.argv) - 1 :])
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        many, tenth, few = (folder / name for name in ("many", "tenth", "few"))
        size = sum(path.stat().st_size for path in make_surveys(many, count, WALLS))
        for some, share in ((tenth, 10), (few, 100)):
            sum(1 for _ in make_surveys(some, count // share, WALLS))
        records = ("-o", str(folder / "records.jsonl"), "--overwrite")
        cases = {
            ("C loader alone", count): (PARSE, str(many)),
            ("check", count // 10): (CHECK, str(tenth)),
            ("check", count): (CHECK, str(many)),
            ("check --jobs 2", count): (CHECK, str(many), "--jobs", "2"),
            ("check -o records.jsonl", count // 100): (CHECK, str(few), *records),
        }
        sys.stdout.write(f"{count:,} surveys of {WALLS} walls, {size / 1e6:.0f} MB; medians of {rounds} rounds\n")
        runs: dict[tuple[str, int], list[Run]] = {case: [] for case in cases}
        for _ in range(rounds):
            for case, (script, *arguments) in cases.items():
                runs[case].append(run(folder, script, *arguments))
        print_table(runs)


def print_table(runs: dict[tuple[str, int], list[Run]]) -> None:
    """A line for each case, the first of which is the one that the others are set beside, round by round."""
    sys.stdout.write(f"{'':31}{'seconds':>9}{'used':>9}{'used ms each':>14}{'/ parsing':>11}{'peak MB':>9}\n")
    (first, *_) = runs.items()
    (_, floor_count), floor = first
    for (name, count), mine in runs.items():
        ratio = median(one.used / count / (base.used / floor_count) for one, base in zip(mine, floor, strict=True))
        used = median(one.used for one in mine)
        sys.stdout.write(f"{name + f', {count:,}':31}{median(one.seconds for one in mine):9.1f}{used:9.1f}")
        sys.stdout.write(f"{1000 * used / count:14.1f}{ratio:11.1f}{max(one.peak for one in mine) / 1e6:9.0f}\n")
    singles, doubles = (
        next(v for (name, _), v in reversed(runs.items()) if name == n) for n in ("check", "check --jobs 2")
    )
    half = median(two.seconds / one.seconds for one, two in zip(singles, doubles, strict=True))
    sys.stdout.write(f"2 jobs / 1 job, by the clock: {half:.2f}\n")


if __name__ == "__main__":
    main()
