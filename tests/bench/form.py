"""The phone form: its size, and how long it lets a slow phone wait.

Run: .venv/bin/python tests/bench/form.py. Chromium with its processor slowed down to a quarter; medians of seven runs.
"""

from __future__ import annotations

import copy
import gzip
import json
import statistics
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page

ROOT = Path(__file__).parent.parent.parent
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "browser")]

from pages import chromium, offline  # noqa: E402 - found by the line above
from surveys import example_document, rigid_sheet  # noqa: E402
from wallwalk.form_page import render_form  # noqa: E402

RUNS, SLOWDOWN = 7, 4
EXAMPLE = "204-treatment-room"

USABLE = """document.addEventListener("DOMContentLoaded", () => requestAnimationFrame(() => setTimeout(() => {
  const isThere = document.getElementById("word").textContent && document.querySelector("#questions input");
  globalThis.usableAt = isThere ? performance.now() : NaN;
}, 0)));"""
"""Milliseconds since the navigation began, once the bar has its verdict and a first question is on the screen."""
TAPPED = """place => new Promise(done => {
  const radios = [...document.querySelectorAll(`[id='q-${place}'] input`)];
  const field = radios.find(one => !one.checked);
  const began = performance.now();
  field.click();
  const judged = performance.now();
  requestAnimationFrame(() => setTimeout(() => done([judged - began, performance.now() - began]), 0));
})"""
"""Milliseconds from a tap on another choice until it is judged and drawn by script, and until it is on the screen."""


def survey_of_walls(count: int) -> Any:  # noqa: ANN401 - a document's data
    """The example with its four walls over and over, each under a name of its own."""
    data: Any = copy.deepcopy(example_document(EXAMPLE).data)
    walls = [copy.deepcopy(data["walls"][i % 4]) for i in range(count)]
    for i, wall in enumerate(walls):
        wall["name"] = f"{wall['name']} {i + 1}"
    return {**data, "walls": walls, "walls_in_scope": str(count)}


def opened(browser: Browser, measured: Callable[[Page], list[float]]) -> list[float]:
    """What `measured` finds on a page of its own, on a slowed-down processor."""
    with offline(browser) as phone:
        page = phone.new_page()
        session = phone.new_cdp_session(page)
        session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWDOWN})
        return measured(page)


def time_to_usable(page: Page, form: Path) -> list[float]:
    """From the start of the navigation until a question can be answered."""
    page.add_init_script(USABLE)
    page.goto(form.as_uri())
    page.wait_for_function("() => globalThis.usableAt > 0")
    return [float(page.evaluate("usableAt"))]


def time_to_verdict(page: Page, form: Path, walls: int) -> list[float]:
    """From taps on one wall's substrate, to and fro, until the new verdict is there; script and screen."""
    file = Path(tempfile.mkdtemp()) / "survey.json"
    file.write_text(json.dumps(survey_of_walls(walls)))
    page.goto(form.as_uri())
    page.set_input_files("#import", file)
    page.wait_for_function(f"() => (STATE.doc.walls || []).length === {walls}")
    page.evaluate(
        "() => { openPage('walls[1]'); document.querySelectorAll('details').forEach(d => { d.open = true; }); }"
    )
    page.evaluate(TAPPED, "walls[1].substrate")  # the first one draws what is drawn once
    taken = [page.evaluate(TAPPED, "walls[1].substrate") for _ in range(RUNS)]
    return [statistics.median(screen for _, screen in taken)]


def main() -> None:
    """Print the table."""
    form = Path(tempfile.mkdtemp()) / "form.html"
    form.write_bytes(render_form(rigid_sheet()))
    size, packed = form.stat().st_size, len(gzip.compress(form.read_bytes(), 9))
    rows: list[tuple[str, str]] = [("size of the file", f"{size / 1000:.0f} kB ({packed / 1000:.0f} kB gzipped)")]
    with chromium() as browser:
        usable = [opened(browser, lambda page: time_to_usable(page, form))[0] for _ in range(RUNS)]
        rows.append(("from opening it to the first question", f"{statistics.median(usable):.0f} ms"))
        for walls in (4, 40):
            [taken] = opened(browser, lambda page, count=walls: time_to_verdict(page, form, count))  # type: ignore[misc]
            rows.append((f"from a tap to the verdict, {walls} walls", f"{taken:.0f} ms"))
    for name, told in rows:
        sys.stdout.write(f"{name:40}{told:>28}\n")


if __name__ == "__main__":
    main()
