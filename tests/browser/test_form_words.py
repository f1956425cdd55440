"""Nothing that the phone form shows or reads out is left out of its language, and its scripts share one scope."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser

import wallwalk.words
from marked_language import mark, marked_rule_set, own_words, speak_marked, unmarked
from pages import offline
from surveys import ROOT
from test_marked_language import texts_of
from wallwalk.checking import load_rule_set
from wallwalk.form_page import form_script, render_form
from wallwalk.languages import LANGUAGES
from wallwalk.survey_reader import read_survey
from wallwalk.units import UNITS
from wallwalk.yamlio import read_yaml

SHOWN = """() => {
  document.querySelectorAll("section[hidden], p[hidden], button[hidden]").forEach(one => { one.hidden = false; });
  document.querySelectorAll("details").forEach(one => { one.open = true; });
  const told = [document.title];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const text = walk.currentNode;
    if (!text.parentElement.closest("script, noscript")) told.push(text.data);
  }
  for (const name of ["aria-label", "aria-description"]) {
    document.querySelectorAll(`[${name}]`).forEach(one => told.push(one.getAttribute(name)));
  }
  return told;
}"""


@pytest.fixture(autouse=True)
def _forget_marked() -> Iterator[None]:
    yield
    wallwalk.words.words_in.cache_clear()


@pytest.mark.slow
@pytest.mark.parametrize("left_out", ["", "Clear"])
def test_the_form_leaves_no_word_untranslated(
    browser: Browser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, left_out: str
) -> None:
    """Every page, the result and the paper, of a room with holds, cautions and an overlay; one left out shows."""
    speak_marked(monkeypatch, {left_out})
    monkeypatch.setattr("wallwalk.form_data.in_language", lambda part, _: {"title": mark(part["title"])})
    overlay = ROOT / "examples" / "overlays" / "orrelane-2026.yaml"
    example = ROOT / "examples" / "110-link-corridor.yaml"
    laid = load_rule_set("rigid-sheet", [overlay])
    rule_set = marked_rule_set(laid)
    marked = tuple(
        replace(change, title=rule_set.limits[change.name].title if change.what == "limit" else change.title)
        for change in laid.overrides
    )
    rule_set = replace(rule_set, overrides=marked)
    survey = read_survey(example)
    own = {*own_words(survey, rule_set), *texts_of(read_yaml(overlay).data), overlay.name, "wallwalk", "B", "ISO"}
    own |= {unit for units in UNITS.values() for unit in units if unit} | {"±", "ft", "in"}
    (tmp_path / "form.html").write_bytes(render_form(rule_set))
    (tmp_path / "room.json").write_text(json.dumps(read_yaml(example).data))
    with offline(browser) as phone:
        page = phone.new_page()
        page.goto((tmp_path / "form.html").as_uri())
        page.set_input_files("#import", tmp_path / "room.json")
        page.wait_for_selector("#told", state="visible")
        told: list[str] = []
        for how in (
            *(f"openPage('{p}')" for p in page.evaluate("pages().map(page => page.page)")),
            "openView('result')",
            "openView('kept')",
            "drawPaper()",
        ):
            page.evaluate(how)
            told += page.evaluate(SHOWN)
        assert page.evaluate("document.documentElement.lang") == "xx"
    assert len(told) > 3000
    assert unmarked(" \n ".join(told), own) == ({"Clear"} if left_out else set())


def test_scripts_share_one_scope_without_a_name_twice() -> None:
    """A second function of the same name would silently take the place of the first."""
    names = re.findall(r"^(?:async )?(?:function|const|let) (\w+)", form_script(), re.MULTILINE)
    assert len(names) > 200
    assert [name for name, count in Counter(names).items() if count > 1] == []


def test_what_scripts_say_is_written_where_it_is_said() -> None:
    """`say` stands before a text, or nothing would find it to translate."""
    calls = re.findall(r"\bsay(?:Many)?\(([^)]{12})", form_script())
    assert len(calls) > 80
    own = ["count === 1 ", "one, many, c", "text, parts "]  # of the two functions themselves
    assert sorted(call for call in calls if not call.startswith('"')) == own


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_form_is_the_same_bytes_each_time(language: str) -> None:
    """Whatever is drawn twice from one rule set is one file."""
    rule_set = load_rule_set("rigid-sheet", (), language)
    assert render_form(rule_set) == render_form(rule_set)
