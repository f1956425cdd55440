"""How long a board of many spaces takes, and how its page filters.

Run: .venv/bin/python tests/bench/board.py [--spaces 2000] [--walls 4] [--chromium]. Makes surveys, reads, judges and
draws them in this process, and prints the seconds of each step on one core, the size of each form, and what a filter
takes (with --chromium).
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path
from typing import TypeVar

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parent.parent / "browser"))

from make_surveys import make_surveys
from wallwalk.board import Asked, build_board
from wallwalk.cli.board_reading import Given, read_folder
from wallwalk.cli.outputs import BOARD_FORMS
from wallwalk.report.board_terminal import render_board

Made = TypeVar("Made")


def timed(step: str, make: Callable[[], Made]) -> Made:
    """What `make` gives; prints the seconds of this process that it took."""
    began = time.process_time()
    made = make()
    sys.stdout.write(f"{step:28} {time.process_time() - began:8.2f} s\n")
    return made


def filter_ms(page: Path) -> None:
    """Prints how long the page takes to open, to filter and to sort in Chromium, in milliseconds of its own clock."""
    from pages import chromium

    with chromium() as browser:
        shown = browser.new_page(viewport={"width": 1100, "height": 900})
        began = time.perf_counter()
        shown.goto(page.as_uri())
        sys.stdout.write(f"{'opens in Chromium':28} {1000 * (time.perf_counter() - began):8.0f} ms\n")
        choose = "form.party.selectedIndex = {}; form.dispatchEvent(new Event('input'))"
        for name, script in {
            "filter by party": choose.format(1),
            "show all": choose.format(0),
            "sort by earliest start": "document.querySelector('[data-by=at]').click()",
        }.items():
            run = f"""() => {{ const form = document.getElementById('filters'); const began = performance.now();
                {script}; document.body.offsetHeight; return performance.now() - began; }}"""
            sys.stdout.write(f"{name:28} {shown.evaluate(run):8.0f} ms\n")


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="How long a board of many spaces takes.")
    parser.add_argument("--spaces", type=int, default=2000)
    parser.add_argument("--walls", type=int, default=4)
    parser.add_argument("--chromium", action="store_true", help="open the page in Chromium too")
    parser.add_argument("--forms", default=".html,.csv,.json,.ics", help="which forms to draw")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        surveys = Path(folder) / "surveys"
        count = sum(1 for _ in make_surveys(surveys, given.spaces, given.walls))
        sys.stdout.write(f"{count} surveys of {given.walls} walls\n")
        found = timed("read and judge", lambda: read_folder(surveys, Given(None, (), None, "en"), expected=False))
        asked = Asked("surveys", date(2026, 3, 8), "en", "", found.starts)
        board = timed("build", lambda: build_board(found.walks, found.unread, found.passed, None, asked))
        sys.stdout.write(f"{'spaces by state':28} {board['counts']}\n")
        timed("draw terminal", lambda: render_board(board))
        for suffix in given.forms.split(","):
            content = timed(f"draw {suffix}", partial(BOARD_FORMS[suffix], board, "Letter"))
            (Path(folder) / f"board{suffix}").write_bytes(content)
            sys.stdout.write(f"{f'size of {suffix}':28} {len(content) / 1e6:8.2f} MB\n")
        if given.chromium:
            filter_ms(Path(folder) / "board.html")


if __name__ == "__main__":
    main()
