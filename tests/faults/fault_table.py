"""Every row of the table of faults; `python tests/faults/fault_table.py [STOPS]` prints it in Markdown.

It tries each row here and now, then stops the long commands STOPS times (40) at random moments.
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

if __name__ == "__main__":
    sys.path[:0] = [str(Path(__file__).parents[i] / part) for i, part in ((1, ""), (2, "inspect"))]
    os.environ.setdefault("WALLWALK_CACHE", str(Path(tempfile.gettempdir()) / f"wallwalk-tests-{os.getuid()}"))

from disk_rows import CACHE, FULL_DISK, READ_ONLY
from faulty import Row, Seen, seen, wanted
from input_rows import LETTERS, WINDOWS
from machine_rows import CLOCK, LACKING, LIMITS
from name_rows import NAMES, PLACES
from stopping_moments import trials
from stream_rows import HOME, STREAMS, TERMINAL

ROWS: tuple[Row, ...] = (
    *FULL_DISK, *READ_ONLY, *CACHE, *STREAMS, *LACKING, *LIMITS, *CLOCK, *TERMINAL, *HOME,
    *WINDOWS, *LETTERS, *NAMES, *PLACES,
)  # fmt: skip


def _cell(text: str) -> str:
    short = text if len(text) <= 160 else f"{text[:150]}…"
    return short.replace("|", "\\|").replace("\n", " ⏎ ")


def line_of(row: Row, want: Seen, survived: bool) -> str:
    """One row in Markdown."""
    parts = (row.fault, f"`{row.command}`", str(want.code), want.err, ", ".join(want.left), "yes" if survived else "NO")
    return f"| {' | '.join(map(_cell, parts))} |"


def main(stops: int) -> int:
    """Print the table; how many did not survive."""
    print("| fault | command | code | standard error | new files | survived |\n|---|---|---|---|---|---|")  # noqa: T201
    lost = 0
    with tempfile.TemporaryDirectory() as name:
        for number, row in enumerate(ROWS):
            want, came = wanted(row, Path(name) / str(number)), seen(row, Path(name) / str(number))
            lost += want != came
            print(line_of(row, want, want == came), flush=True)  # noqa: T201
            if want != came:
                print(f"{row}\nwanted {want}\ncame   {came}", file=sys.stderr)  # noqa: T201
        stopped = list(trials(stops, Path(name)))
        for trial, amiss in stopped:
            print(f"| {_cell(trial)} | | | | {'; '.join(amiss)} | {'NO' if amiss else 'yes'} |", flush=True)  # noqa: T201
            lost += bool(amiss)
    tried = len(ROWS) + len(stopped)
    print(f"\nsurvived {tried - lost} of {tried} tried")  # noqa: T201
    return lost


if __name__ == "__main__":
    sys.exit(1 if main(int(sys.argv[1]) if len(sys.argv) > 1 else 40) else 0)
