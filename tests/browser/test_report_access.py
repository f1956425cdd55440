"""Everybody can read the reports: by axe-core, on a phone and on a desk, and with text twice as large."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from board_rooms import write_project
from surveys import ROOT

EXAMPLES = ROOT / "examples"
CORRIDORS = (EXAMPLES / "110-link-corridor.yaml", EXAMPLES / "second-walk" / "110-link-corridor-second-walk.yaml")
MADE = {
    "report of a hold": ("check", EXAMPLES / "014-old-dispensary.yaml"),
    "report of a pass": ("check", EXAMPLES / "204-treatment-room.yaml"),
    "report in Spanish": ("check", EXAMPLES / "014-old-dispensary.yaml", "--lang", "es"),
    "report over an overlay": (
        *("check", EXAMPLES / "110-link-corridor.yaml"),
        *("--overlay", EXAMPLES / "overlays" / "orrelane-2026.yaml"),
    ),
    "plan": ("plan", EXAMPLES / "110-link-corridor.yaml"),
    "comparison": ("compare",),
    "manual": ("rules", "show", "rigid-sheet"),
    "short manual": ("rules", "show", "pasted-wallcovering"),
    "board": ("board", "--today", "2026-03-09"),
}
"""Each page by what makes it; a comparison is of two filed records, a board of an invented project."""

OPTIONS = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    "rules": {"color-contrast-enhanced": {"enabled": True}},
    "resultTypes": ["violations"],  # every place of these; of the rest only that each rule was looked at
}

OVER_THE_EDGE = """width => [...document.querySelectorAll("main *")]
  .filter(one => !one.closest(".wide, .chart, svg, thead"))
  .map(one => [one.tagName, one.className, one.textContent.slice(0, 60), one.getBoundingClientRect()])
  .filter(([, , , box]) => box.width && (box.right > width + 1 || box.left < -1))
  .map(([tag, name, text, box]) => `${tag}.${name} ${Math.round(box.left)}-${Math.round(box.right)} ${text}`)"""
"""What lies beyond the edge, but for what is moved sideways inside a frame of its own."""


def wallwalk(*arguments: object) -> None:
    """One command; it may end in PASS or HOLD, and in nothing else."""
    command = [sys.executable, "-c", "from wallwalk.cli import main; main()", *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode in {0, 1}, done.stderr


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with every page."""
    folder = tmp_path_factory.mktemp("pages")
    filed, job = [folder / f"{i}.json" for i in range(len(CORRIDORS))], write_project(folder / "job")
    for corridor, record in zip(CORRIDORS, filed, strict=True):
        wallwalk("check", corridor, "-o", record)
    for name, arguments in MADE.items():
        read = {"comparison": filed, "board": [job]}.get(name, [])
        wallwalk(*arguments, *read, "-o", folder / f"{name}.html")
    return folder


@contextmanager
def seen(browser: Browser, page_file: Path, width: int) -> Iterator[Page]:
    """A page in a window of that width."""
    context = browser.new_context(viewport={"width": width, "height": 800}, offline=True)
    try:
        page = context.new_page()
        page.goto(page_file.as_uri())
        yield page
    finally:
        context.close()


@pytest.mark.slow
@pytest.mark.parametrize("width", [360, 1100])
@pytest.mark.parametrize("name", [name for name in MADE if name != "manual"])
def test_no_rule_of_access_is_broken(browser: Browser, pages: Path, name: str, width: int) -> None:
    """Structure, names, order of headings, and contrast at 7:1; of the manuals the short one, made like the other."""
    with seen(browser, pages / f"{name}.html", width) as page:
        outcome = Axe().run(page, options=OPTIONS).response
    assert len(outcome["passes"]) > 15
    assert {(v["id"], node["html"][:200]) for v in outcome["violations"] for node in v["nodes"]} == set()


@pytest.mark.slow
@pytest.mark.parametrize("size", [100, 200])
@pytest.mark.parametrize("name", [name for name in MADE if name != "short manual"])
def test_nothing_runs_over_the_edge(browser: Browser, pages: Path, name: str, size: int) -> None:
    """On a phone of 360 px, with text as it is and twice as large, the page is never wider than the screen."""
    with seen(browser, pages / f"{name}.html", 360) as page:
        page.evaluate("size => { document.documentElement.style.fontSize = `${size * 16 / 100}px`; }", size)
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        assert page.evaluate(OVER_THE_EDGE, 360) == []
