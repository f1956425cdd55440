"""Runs the coverage-guided fuzzer over each reader: python tests/fuzz/run.py --seconds N [--seed S] [--reader NAME]…

Each reader has a process of its own, with atheris, which sees the branches of `wallwalk` that an input reaches, and
keeps what reaches new ones. It prints, by reader: executions, the size of the corpus (of the seeds, and at the end),
coverage (of the seeds, and what is new beyond), crashes, seconds. `--runs` bounds executions in the place of seconds.
What breaks the law of `targets.py` is written to `--crashes`, once for each place where it was raised; exit code 1.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import resource
import subprocess
import sys
import tempfile
import time
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from readers import NAMES

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
TIMEOUT_S = 90
"""A process that hangs for so long by the clock is ended; processor time is bounded in `child.py`."""

RSS_MB = 900
LONGEST = 48_000

_REACHED = re.compile(r"#\d+\s+(INITED|NEW|REDUCE|DONE|pulse)\s+cov: (\d+) ")
"""A line of libFuzzer's that says how many edges were reached so far."""


@dataclass
class Figures:
    """What came of fuzzing one reader; `coverage` and `new_coverage` count edges, of the seeds and beyond them."""

    reader: str
    executions: int = 0
    seeds: int = 0
    corpus: int = 0
    coverage: int = 0
    new_coverage: int = 0
    refused: int = 0
    seconds: float = 0.0
    processor_seconds: float = 0.0
    crashes: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        return (
            f"{self.reader:<17}{self.executions:>9} executions, {self.refused} refused; "
            f"corpus {self.seeds} -> {self.corpus}; coverage {self.coverage} + {self.new_coverage}; "
            f"{len(self.crashes)} crashes; {self.seconds:.0f} s, {self.processor_seconds:.0f} s of processor time"
        )


def fuzz(reader: str, *, seed: int, seconds: int = 0, runs: int = 0, crashes: Path) -> Figures:
    """Fuzz one reader for `seconds`, or for so many `runs` beyond its seeds; where a process dies, another goes on."""
    figures, begun, used = Figures(reader), time.monotonic(), _processor_seconds()
    with tempfile.TemporaryDirectory(prefix="wallwalk-fuzz-") as scratch:
        corpus = Path(scratch) / "corpus"
        corpus.mkdir()
        while True:
            left = seconds - int(time.monotonic() - begun)
            bound = f"-runs={runs}" if runs else f"-max_total_time={left}"
            if not runs and left <= 0:
                break
            died = _one_process(reader, Path(scratch), bound, seed + figures.executions, crashes, figures)
            if not died or runs:
                break
    figures.seconds = time.monotonic() - begun
    figures.processor_seconds = _processor_seconds() - used
    return figures


def _one_process(reader: str, scratch: Path, bound: str, seed: int, crashes: Path, figures: Figures) -> bool:
    """One process until it ends, its figures added; whether it died of an input."""
    told = scratch / "figures.json"
    told.unlink(missing_ok=True)
    # By a shell of its own: else the memory of the process that starts it counts as what it took itself.
    command = ["/bin/sh", "-c", '"$@"; exit $?', "sh"]
    command += [sys.executable, str(HERE / "child.py"), reader, str(told), str(crashes), str(scratch / "corpus"), bound]
    command += [f"-seed={seed % 2**31 or 1}", f"-timeout={TIMEOUT_S}", f"-rss_limit_mb={RSS_MB}", f"-max_len={LONGEST}"]
    command += [
        f"-artifact_prefix={crashes}/{reader}-",
        "-print_final_stats=1",
        "-len_control=0",
        "-reload=0",
        f"-report_slow_units={TIMEOUT_S}",
    ]
    path = os.pathsep.join(str(ROOT / part) for part in ("inspect", "tests", "tests/fuzz"))
    environment = os.environ | {"PYTHONPATH": path, "PYTHONHASHSEED": "0", "TMPDIR": str(scratch)}
    with (scratch / "log").open("ab") as log:
        ended = subprocess.run(command, env=environment, stdout=log, stderr=log, check=False)
    written = _written(scratch / "log")
    _add(figures, json.loads(told.read_text()) if told.exists() else {})
    figures.corpus = len(list((scratch / "corpus").iterdir()))
    reached = [(found[1], int(found[2])) for line in written if (found := _REACHED.match(line))]
    if not figures.coverage:
        figures.coverage = next((edges for when, edges in reached if when == "INITED"), 0)
    figures.new_coverage = max([edges for _, edges in reached] or [0]) - figures.coverage
    figures.crashes += [line.split("Test unit written to ")[1] for line in written if "Test unit written to " in line]
    if ended.returncode and not figures.crashes:
        raise RuntimeError(f"{reader}: the fuzzer ended with {ended.returncode}\n" + "\n".join(written[-20:]))
    return bool(ended.returncode)


def _processor_seconds() -> float:
    """What all processes that were started, and have ended, used."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _written(log: Path) -> list[str]:
    lines = log.read_text(encoding="utf-8", errors="replace").splitlines()
    log.write_bytes(b"")
    return lines


def _add(figures: Figures, told: dict[str, Any]) -> None:
    figures.seeds = told.get("seeds", figures.seeds)
    figures.executions += told.get("executions", 0)
    figures.refused += told.get("refused", 0)
    figures.crashes += [name for name in told.get("crashes", ()) if name not in figures.crashes]


def main() -> int:
    """The command line; whether anything broke the law is its exit code."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seconds", type=int, default=60, help="for each reader (60)")
    parser.add_argument("--runs", type=int, default=0, help="executions beyond the seeds, in the place of seconds")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--reader", action="append", help="one of them only; repeatable (all)")
    parser.add_argument("--crashes", type=Path, default=Path("fuzz-crashes"), help="folder for what breaks the law")
    parser.add_argument("--json", action="store_true", help="print the figures as JSON, a line for each reader")
    given = parser.parse_args()
    given.crashes.mkdir(parents=True, exist_ok=True)
    broken = 0
    for reader in given.reader or NAMES:
        found = fuzz(reader, seed=given.seed, seconds=given.seconds, runs=given.runs, crashes=given.crashes.resolve())
        print(json.dumps(asdict(found)) if given.json else found, flush=True)  # noqa: T201 - what it is for
        broken += len(found.crashes)
    return bool(broken)
