"""The board's page in Chromium: it filters and sorts, says the same without its script, and needs no network."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from board_rooms import DUSTY, room, write_project
from pages import offline
from wallwalk.board import Asked, build_board
from wallwalk.cli.board_reading import Given, read_folder
from wallwalk.report.board_page import render_board_html
from wallwalk.spaces_reader import read_spaces

pytestmark = pytest.mark.slow


def write_page(folder: Path, to: Path) -> Path:
    """The board of a folder as a page."""
    listed = read_spaces(folder / "spaces.yaml") if (folder / "spaces.yaml").exists() else None
    found = read_folder(folder, Given(None, (), None, "en"), expected=False)
    board = build_board(found.walks, found.unread, found.passed, listed, Asked("job", date(2026, 3, 8), "en", "", {}))
    to.write_text(render_board_html(board), encoding="utf-8")
    return to


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of the invented project."""
    folder = tmp_path_factory.mktemp("page")
    return write_page(write_project(folder / "job"), folder / "board.html")


@pytest.fixture
def page(browser: Browser, written: Path) -> Iterator[Page]:
    """The page, opened on a phone without a network; nothing in it may be wrong."""
    with offline(browser) as context:
        shown = context.new_page()
        wrong: list[str] = []
        shown.on("console", lambda message: wrong.append(message.text))
        shown.on("pageerror", lambda error: wrong.append(str(error)))
        shown.on("request", lambda request: wrong.append(request.url) if request.url != written.as_uri() else None)
        shown.goto(written.as_uri())
        yield shown
        assert wrong == []


def names(page: Page) -> list[str]:
    """The spaces that are shown, in their order."""
    found: list[str] = page.locator(".space[data-level]:visible").evaluate_all(
        "all => all.map(one => one.dataset.name)"
    )
    return found


def jobs(page: Page) -> list[str]:
    """The jobs that are shown."""
    return [" ".join(text.split()) for text in page.locator(".job:visible h4").all_text_contents()]


ALL = [
    "101 Office",
    "102 Office",
    "103 Store",
    "104 Store",
    "201 Ward",
    "202 Ward",
    "203 Ward",
    "204 Ward",
    "205 Ward",
    "206 Ward",
    "space not named (2/unnamed.yaml)",
    "301 Plant",
    "302 Plant",
    "401 Laboratory",
]


def test_each_filter_shows_what_fits_and_no_more(page: Page) -> None:
    """By level, party, theme, state and text; together they narrow, and the button shows all again."""
    assert names(page) == ALL
    assert page.inner_text("#shown") == "14 / 14"
    page.select_option("[name=level]", label="3")
    assert names(page) == ["301 Plant", "302 Plant"]
    assert jobs(page) == []
    assert page.locator(".level:visible").all_inner_texts() == ["Level 3 0 of 2 ready"]
    page.select_option("[name=level]", label="1")
    assert names(page) == ALL[:4]
    assert page.locator(".job:visible li:visible").all_inner_texts() == ["103 Store (North)", "104 Store (North, West)"]
    page.select_option("[name=level]", "")
    page.select_option("[name=party]", label="General contractor")
    assert names(page) == ["202 Ward"]
    assert jobs(page) == [
        "1Required: Space is clear, its floor protected, and no dust-making work goes on alongside space-clear"
    ]
    page.select_option("[name=party]", "")
    page.select_option("[name=theme]", label="Existing coatings and cleanliness")
    assert names(page) == ["103 Store", "104 Store", "201 Ward", "202 Ward", "204 Ward", "205 Ward"]
    page.select_option("[name=state]", label="RELEASED OVER")
    assert names(page) == ["205 Ward"]
    page.click("text=Show all")
    expect(page.locator("#shown")).to_have_text("14 / 14")
    page.fill("[name=text]", "plANT")
    assert names(page) == ["301 Plant", "302 Plant"]
    page.fill("[name=text]", "no such room")
    assert names(page) == []
    assert page.inner_text("#shown") == "Nothing fits these choices."


def test_spaces_sort_by_each_key_and_back(page: Page) -> None:
    """By state the ready ones first, by start the earliest first; by level as it was."""
    table = ALL[:-1]
    page.click("[data-by=at]")
    assert names(page)[:3] == ["301 Plant", "302 Plant", "101 Office"]
    assert names(page)[-2] == "102 Office"  # at 14:10, all others of that day at 07:15; the last one was never walked
    assert page.locator(".level:visible").count() == 0
    assert "Level 3" in page.locator("tr.space").first.inner_text()
    page.click("[data-by=order]")
    assert names(page)[:5] == ["101 Office", "203 Ward", "102 Office", "302 Plant", "301 Plant"]
    page.click("[data-by=open]")
    assert names(page)[-3:-1] == ["104 Store", "202 Ward"]
    page.click("[data-by='']")
    assert names(page) == [*table, "401 Laboratory"]
    assert page.locator("[data-by='']").get_attribute("aria-pressed") == "true"


def test_without_its_script_the_page_says_the_same(browser: Browser, written: Path) -> None:
    """Every space and job is there; what only a script could do is not shown."""
    context = browser.new_context(java_script_enabled=False)
    shown = context.new_page()
    shown.goto(written.as_uri())
    assert shown.locator(".space[data-level]:visible").count() == len(ALL)
    assert shown.locator(".job:visible").count() == 4
    assert shown.locator("#filters:visible, #sorts:visible").count() == 0
    context.close()


@pytest.mark.parametrize("width", [360, 1100])
def test_nothing_is_wider_than_the_screen(browser: Browser, tmp_path: Path, width: int) -> None:
    """Also with a name of one long word."""
    folder = tmp_path / "job"
    folder.mkdir()
    (folder / "a.yaml").write_text(
        room("W" * 200, "L" * 90, DUSTY, wall="North").replace("name: North", f"name: {'N' * 120}")
    )
    with offline(browser, width) as context:
        shown = context.new_page()
        shown.goto(write_page(folder, tmp_path / "board.html").as_uri())
        assert shown.evaluate("document.documentElement.scrollWidth") == width


def test_hostile_names_stay_text(browser: Browser, tmp_path: Path) -> None:
    """A name that is markup runs nothing and hides nothing."""
    folder = tmp_path / "job"
    folder.mkdir()
    evil = "</script><img src=x onerror=alert(1)>"
    (folder / "a.yaml").write_text(room(f"'{evil}'", "'\"><svg onload=alert(2)>'"))
    with offline(browser) as context:
        shown = context.new_page()
        told: list[str] = []
        shown.on("dialog", lambda dialog: told.append(dialog.message))
        shown.goto(write_page(folder, tmp_path / "board.html").as_uri())
        assert shown.inner_text("tr.space bdi") == evil
        assert names(shown) == [evil]
        assert shown.locator("img, svg").count() == 0
        assert told == []
