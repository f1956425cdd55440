"""The form in an engine that is not Chromium's: it judges as the desk does, and works."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from firefox import Tab, firefox
from pages import page_of
from surveys import EXAMPLES, example_document, rigid_sheet
from test_one_engine import ENGINE, STEP, TOLD, differences, survey_data, told_survey
from wallwalk.form_page import render_form
from wallwalk.form_questions import form_questions
from wallwalk.form_rules import form_rules
from wallwalk.survey_reader import parse_survey
from wallwalk.yamlio import Document

SURVEYS = 60


@pytest.fixture(scope="module")
def tab() -> Iterator[Tab]:
    """One page of one Firefox for all tests of this file."""
    with firefox() as opened:
        yield opened


@pytest.mark.slow
def test_firefox_judges_as_the_desk_does(tab: Tab, tmp_path: Path) -> None:
    """Sixty random surveys and every example: each finding, fact, verdict and start."""
    told = tmp_path / "told.js"
    told.write_text(TOLD)
    tab.goto(page_of([*ENGINE, told], tmp_path).as_uri())
    data = {"survey": form_questions(), "rules": form_rules(rigid_sheet())}
    tab.call("text => { globalThis.DATA = JSON.parse(text); return ''; }", json.dumps(data))
    documents = [*(survey_data(seed) for seed in range(SURVEYS)), *(example_document(p.stem).data for p in EXAMPLES)]
    asked = f"text => JSON.stringify(JSON.parse(text).map((doc) => toldSurvey(DATA, doc, {STEP})))"
    found = json.loads(tab.call(asked, json.dumps(documents)))
    assert len(found) == len(documents) > SURVEYS
    for page, data in zip(found, documents, strict=True):
        survey = parse_survey(Document("survey.yaml", data, {}, "0" * 64))
        assert list(differences(page, json.loads(json.dumps(told_survey(rigid_sheet(), survey, STEP))))) == []


@pytest.mark.slow
def test_the_form_works_in_firefox(tab: Tab, tmp_path: Path) -> None:
    """It opens, an answer moves the verdict, and what was answered is there when it is opened again."""
    form = tmp_path / "form.html"
    form.write_bytes(render_form(rigid_sheet()))
    tab.goto(form.as_uri())
    before = tab.call("() => document.getElementById('bar').textContent.replace(/\\s+/g, ' ').trim()")
    assert before.startswith("HOLD 0 to put right")
    tab.call("() => { answer('building.wet_work_finished', false); answer('space.name', 'Nº 7'); return ''; }")
    after = tab.call(
        "() => new Promise(done => setTimeout(() => done(document.getElementById('bar').textContent), 1500))"
    )
    assert " ".join(after.split()).startswith("HOLD 1 to put right")
    tab.goto(form.as_uri())
    kept = json.loads(tab.call("() => JSON.stringify(STATE.doc)"))
    assert (kept["space"], kept["building"]) == ({"name": "Nº 7"}, {"wet_work_finished": False})
