"""Chromium for tests: the machine's own, without a network, and pages made of scripts."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, sync_playwright

CHROMIUM = "/usr/bin/chromium"
FLAGS = [
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
]
"""What a machine without a screen and without a way out needs."""


@contextmanager
def chromium() -> Iterator[Browser]:
    """A browser for as long as the block runs."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        try:
            yield browser
        finally:
            browser.close()


@contextmanager
def offline(browser: Browser, width: int = 360, height: int = 740) -> Iterator[BrowserContext]:
    """A phone without a signal: a context of that size in CSS pixels, touched by fingers."""
    context = browser.new_context(
        viewport={"width": width, "height": height}, has_touch=True, is_mobile=True, offline=True, accept_downloads=True
    )
    try:
        yield context
    finally:
        context.close()


def page_of(scripts: list[Path], folder: Path | None = None) -> Path:
    """A page that runs `scripts` one after the other in one scope, as the form does."""
    where = Path(tempfile.mkdtemp(dir=folder)) / "page.html"
    text = "\n".join(script.read_text() for script in scripts)
    where.write_text(f'<!doctype html><meta charset="utf-8"><title>test</title><script>"use strict";\n{text}</script>')
    return where
