"""The PDF of a report, as a ratio to WeasyPrint drawing a bare page, and how it grows with the walls of the room.

Run: .venv/bin/python tests/bench/pdf.py [WALLS...]. Medians of five for one wall, and one run each for more; each is
one of its own interpreter, and what it used of processors is told, which other programs change less than the clock.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from make_surveys import make_surveys

RUNS = 5
WALLS = (1, 10, 100)

BARE = """
import json, os, sys, weasyprint
page = "<!doctype html><html lang=en><title>bare</title><h1>One page</h1><p>" + "A few words. " * 60
weasyprint.HTML(string=page).write_pdf()
print(json.dumps(sum(os.times()[:2])), file=sys.stderr)
"""
REPORT = """
import atexit, json, os, sys
atexit.register(lambda: print(json.dumps(sum(os.times()[:2])), file=sys.stderr))
from wallwalk.cli import main
main(["check", sys.argv[1], "-o", sys.argv[2], "--overwrite"])
"""


def used(script: str, *arguments: str) -> float:
    """Seconds of processors that one run of `script` used."""
    done = subprocess.run(
        [sys.executable, "-c", script, *arguments],
        check=False,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    if done.returncode == 2:
        raise SystemExit(done.stderr)
    return float(json.loads(done.stderr.splitlines()[-1]))


def pages(file: Path) -> int:
    """How many pages a PDF has."""
    told = subprocess.run(["pdfinfo", str(file)], check=True, capture_output=True, text=True).stdout
    return int(next(line for line in told.splitlines() if line.startswith("Pages:")).split()[1])


def main() -> None:
    """Print the table."""
    sizes = [int(n) for n in sys.argv[1:]] or list(WALLS)
    bare = statistics.median(used(BARE) for _ in range(RUNS))
    sys.stdout.write(f"{'':28}{'seconds':>9}{'/ bare':>8}{'pages':>7}{'s a page':>10}\n")
    sys.stdout.write(f"{'WeasyPrint, one bare page':28}{bare:9.2f}{1:8.1f}{1:7}{bare:10.2f}\n")
    with tempfile.TemporaryDirectory() as temporary:
        for walls in sizes:
            (survey,) = make_surveys(Path(temporary) / str(walls), 1, walls)
            report = Path(temporary) / f"{walls}.pdf"
            taken = statistics.median(used(REPORT, str(survey), str(report)) for _ in range(RUNS if walls == 1 else 1))
            count = pages(report)
            name = f"report, walls: {walls}"
            sys.stdout.write(f"{name:28}{taken:9.2f}{taken / bare:8.1f}{count:7}{taken / count:10.2f}\n")


if __name__ == "__main__":
    main()
