"""Many surveys in one call: time as a ratio to parsing the same files alone, what a second process gives, and memory.

Run: .venv/bin/python tests/bench/batch.py [COUNT]. COUNT surveys of six walls, made by make_surveys.py, are parsed by
PyYAML's C loader, checked in one process and in two, and once more with the records of a tenth of them. Each run is
one of its own interpreter. Time is that of the clock on the wall, and what it used of processors, which other programs
change less; the ratio is of what was used. Memory is the most that the first process held at any time.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from make_surveys import make_surveys

COUNT = 10_000
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
    count = int(sys.argv[1]) if len(sys.argv) > 1 else COUNT
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        many, tenth = folder / "many", folder / "tenth"
        size = sum(path.stat().st_size for path in make_surveys(many, count, WALLS))
        sum(1 for _ in make_surveys(tenth, count // 10, WALLS))
        cases = {
            f"C loader alone, {count:,}": (PARSE, str(many)),
            f"check, {count // 10:,}": (CHECK, str(tenth)),
            f"check, {count:,}": (CHECK, str(many)),
            f"check --jobs 2, {count:,}": (CHECK, str(many), "--jobs", "2"),
            f"check -o records.jsonl, {count // 10:,}": (CHECK, str(tenth), "-o", str(folder / "records.jsonl")),
        }
        sys.stdout.write(f"{count:,} surveys of {WALLS} walls, {size / 1e6:.0f} MB\n")
        sys.stdout.write(f"{'':36}{'seconds':>9}{'used':>9}{'used ms each':>14}{'/ parsing':>11}{'peak MB':>9}\n")
        floor = 0.0
        for name, (script, *arguments) in cases.items():
            one = run(folder, script, *arguments)
            each = one.used / int(name.rpartition(" ")[2].replace(",", ""))
            floor = floor or each
            sys.stdout.write(f"{name:36}{one.seconds:9.1f}{one.used:9.1f}{1000 * each:14.1f}{each / floor:11.1f}")
            sys.stdout.write(f"{one.peak / 1e6:9.0f}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main()
