"""The phone form, by touch, by keyboard and by file: what it asks, says, keeps and hands over."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Locator, Page
from pypdf import PdfReader

from form_filling import wait_until_judged
from pages import offline
from surveys import ROOT
from wallwalk.asking import wanted
from wallwalk.checking import load_rule_set
from wallwalk.form_page import render_form
from wallwalk.judging import judge
from wallwalk.survey_reader import read_survey
from wallwalk.yamlio import read_yaml

pytestmark = pytest.mark.slow

SMALL = ROOT / "tests" / "bilingual"
HOSTILE = '<img src=x onerror="window.hit=1">\'"&{count} $& __proto__'


@pytest.fixture(scope="module")
def forms(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the form of the rule set for sheet, in both languages, with an overlay, and of a small one."""
    folder = tmp_path_factory.mktemp("forms")
    overlay = ROOT / "examples" / "overlays" / "orrelane-2026.yaml"
    made = {
        "sheet": load_rule_set("rigid-sheet"),
        "lámina": load_rule_set("rigid-sheet", (), "es"),
        "changed": load_rule_set("rigid-sheet", [overlay]),
        "small": load_rule_set(str(SMALL)),
    }
    for name, rule_set in made.items():
        (folder / f"{name}.html").write_bytes(render_form(rule_set))
    return folder


@contextmanager
def opened(browser: Browser, form: Path, width: int = 360, height: int = 740) -> Iterator[Page]:
    """The form on a phone without a signal; any error of its scripts, and any request, fails the test."""
    with offline(browser, width, height) as phone:
        page = phone.new_page()
        troubles: list[str] = []
        page.on("pageerror", lambda error: troubles.append(str(error)))
        page.on("console", lambda said: troubles.append(said.text) if said.type == "error" else None)
        page.on("request", lambda asked: None if asked.url.startswith("file:") else troubles.append(asked.url))
        page.goto(form.as_uri())
        yield page
        assert [trouble for trouble in troubles if not trouble.startswith("blob:")] == []


def asked(page: Page, title: str) -> Locator:
    """The field of a question, by the title it is bound to."""
    return page.locator("input:visible, select:visible").and_(page.get_by_label(title, exact=True)).first


def field(group: Locator) -> Locator:
    """The first field of a group that is shown."""
    return group.locator("input:visible").first


def pick(page: Page, title: str, choice: str) -> None:
    """Touch one choice of a question."""
    page.get_by_role("radiogroup", name=title, exact=True).get_by_role("radio", name=choice, exact=True).tap()


def write(page: Page, title: str, text: str) -> None:
    """Type into the field of a question."""
    field = asked(page, title)
    field.tap()
    field.fill(text)
    field.blur()


def touch(page: Page, name: str) -> None:
    """Touch a button by its whole name."""
    page.get_by_role("button", name=name, exact=True).first.tap()


def verdict(page: Page) -> str:
    """What the bar says."""
    wait_until_judged(page)
    return " ".join(page.inner_text("#bar").split())


def exported(page: Page, folder: Path) -> Path:
    """The file that the form hands over."""
    with page.expect_download() as handed:
        touch(page, "Export")
    target = folder / handed.value.suggested_filename
    handed.value.save_as(target)
    return target


def checked(survey: Path, *arguments: str) -> tuple[int, str]:
    """How the desk ends over a survey, and what it says first."""
    command = [sys.executable, "-c", "from wallwalk.cli import main; main()", "check", str(survey), *arguments]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    return done.returncode, (done.stdout or done.stderr).splitlines()[0]


def imported(page: Page, file: Path) -> str:
    """What the form says when it is given a file."""
    if page.locator("#kept").is_hidden():
        page.locator("#to-kept").tap()
    page.set_input_files("#import", file)
    page.wait_for_selector("#told", state="visible")
    return page.inner_text("#said")


def as_json(name: str, folder: Path) -> Path:
    """An example as the JSON that a form hands over."""
    target = folder / f"{name}.json"
    target.write_text(json.dumps(read_yaml(ROOT / "examples" / f"{name}.yaml").data, ensure_ascii=False))
    return target


def document(page: Page) -> dict[str, Any]:
    """The survey as the form has it."""
    found: dict[str, Any] = page.evaluate("STATE.doc")
    return found


# -- filling in -------------------------------------------------------------------------------------------------------


def fill_small_room(page: Page) -> None:
    """The job of the small rule set, and its only wall, with three readings of one meter."""
    write(page, "Space", "031 Staff kitchen")
    asked(page, "Time zone of the site").fill("America/Chicago")
    write(page, "When the space was walked", "2026-03-10T16:00")
    write(page, "When the covering is planned to start going up", "2026-03-11T16:00")
    touch(page, "Add: Wall")
    write(page, "Wall", "North <b>")
    page.locator("#pages").get_by_text("The job and the walk").tap()
    assert verdict(page) == "HOLD 0 to put right · 3 not verified · walls missing"
    touch(page, "These are all: 1")
    assert verdict(page) == "HOLD 0 to put right · 3 not verified"
    page.locator("#pages").get_by_text("North <b>").tap()


def test_a_small_room_by_touch(browser: Browser, forms: Path, tmp_path: Path) -> None:
    """From nothing to PASS, with a reload in the middle; the desk says the same of each file handed over."""
    with opened(browser, forms / "small.html") as page:
        assert verdict(page) == "HOLD 0 to put right · 0 not verified · walls missing"
        fill_small_room(page)
        touch(page, "Next: Wall")
        pick(page, "What the wall is made of", "metal")
        pick(page, "Is it dry to the touch?", "No")
        assert verdict(page) == "HOLD 2 to put right · 1 not verified"
        before = document(page)
        page.reload()
        assert verdict(page) == "HOLD 2 to put right · 1 not verified"
        assert document(page) == before
        assert checked(exported(page, tmp_path), "--rules", str(SMALL))[0] == 1
        page.locator("#pages").get_by_text("North <b>").tap()
        page.locator("summary").nth(1).tap()
        pick(page, "What the wall is made of", "concrete")
        pick(page, "Is it dry to the touch?", "Yes")
        write(page, "When the last coat of primer was finished", "2026-03-10T16:01")
        assert verdict(page) == "HOLD 1 to put right · 0 not verified"
        page.locator("#bar").tap()
        assert "Earliest honest start: Wed 11 Mar 2026 16:01. Only time is wanting." in page.inner_text("#result")
        assert "Primer, finished Tue 10 Mar 2026 16:01, will have dried 23 h 59 min; it needs 24 h." in page.inner_text(
            "#result"
        )
        touch(page, "North <b>: Go to the answer")
        assert page.evaluate("document.activeElement.id") == "q-walls[0].primer.finished"
        write(page, "When the last coat of primer was finished", "2026-03-10T16:00")
        assert verdict(page) == "PASS The work may start, as long as the space stays as it was on the walk."
        assert checked(exported(page, tmp_path), "--rules", str(SMALL)) == (
            0,
            "PASS | 031 Staff kitchen | project not named",
        )


def test_readings_are_stamped_and_counted_by_a_tap(browser: Browser, forms: Path) -> None:
    """One tap adds a reading of now; one says that these are all; one more reading takes that back."""
    with opened(browser, forms / "sheet.html") as page:
        touch(page, "Add: Instrument")
        write(page, "What it is called in the readings", "pin meter")
        touch(page, "Add: Wall")
        page.locator("summary", has_text="Substrate").tap()
        pick(page, "What the wall is made of", "gypsum board")
        page.locator("summary", has_text="The record itself").tap()
        touch(page, "Add: Moisture reading")
        page.keyboard.type("0.6")
        assert "1 answer cannot be read" in verdict(page)  # nobody guesses the scale
        said = "This cannot be read: write a number with its scale, such as 12.5 %MC, 14 %WME or 0.6 gypsum."
        assert page.locator(".fault:visible").all_inner_texts() == [said]
        page.get_by_role("group", name="Reading with its scale", exact=True).get_by_label("Unit").select_option(
            "gypsum"
        )
        assert "cannot be read" not in verdict(page)
        touch(page, "Add: Moisture reading")
        touch(page, "These are all: 2")
        found = document(page)["walls"][0]
        assert [sorted(entry) for entry in found["moisture"]] == [["at", "instrument", "value"], ["at", "instrument"]]
        assert found["moisture"][0]["value"] == "0.6 gypsum"
        assert found["moisture"][0]["instrument"] == "pin meter"
        assert found["moisture_taken"] == "2"
        touch(page, "Add: Moisture reading")
        assert "moisture_taken" not in document(page)["walls"][0]
        touch(page, "Remove: Moisture reading 3")
        touch(page, "Undo")
        assert len(document(page)["walls"][0]["moisture"]) == 3


def test_quantities_in_the_units_of_the_user(browser: Browser, forms: Path) -> None:
    """Feet, inches and sixteenths, a unit that is remembered, a reading with its own ±, and anything written out."""
    with opened(browser, forms / "sheet.html") as page:
        touch(page, "Add: Wall")
        length = page.get_by_role("group", name="Length of wall", exact=True)
        field(length).tap()
        page.keyboard.type("14")
        length.locator("input:visible").nth(1).fill("6")
        length.get_by_label("Part of an inch").select_option("1/2")
        assert document(page)["walls"][0]["length"] == "14 ft 6 1/2 in"
        height = page.get_by_role("group", name="Height to be covered", exact=True)
        height.get_by_label("Unit").select_option("m")
        field(height).fill("2,4")
        assert document(page)["walls"][0]["height"] == "2.4 m"
        height.get_by_role("button", name="Say how sure the reading is").tap()
        page.keyboard.type("0.01")
        assert document(page)["walls"][0]["height"] == "2.4 ± 0.01 m"
        length.get_by_label("Unit").select_option("Write it out")
        field(length).fill("14 to 15 ft")
        assert document(page)["walls"][0]["length"] == "14 to 15 ft"
        page.locator("#pages").get_by_text("The job and the walk").tap()
        touch(page, "Add: Wall")
        assert page.get_by_role("group", name="Height to be covered").get_by_label("Unit").input_value() == "m"


def test_what_cannot_be_read_is_said_and_counts_as_not_answered(browser: Browser, forms: Path) -> None:
    """A number without sense is told beside its question and in the bar; the rest is judged without it."""
    with opened(browser, forms / "sheet.html") as page:
        touch(page, "Add: Wall")
        height = page.get_by_role("group", name="Height to be covered", exact=True)
        field(height).fill("0")
        assert "1 answer cannot be read" in verdict(page)
        said = "This cannot be read: write what was measured, over zero, or leave it out."
        assert page.locator(".fault:visible").all_inner_texts() == [said]
        height.get_by_role("button", name="Clear: Height to be covered").tap()
        assert "cannot be read" not in verdict(page)
        assert page.locator(".fault:visible").count() == 0


def test_a_question_answered_stays_when_it_no_longer_matters(browser: Browser, forms: Path) -> None:
    """It is told so in words and can be cleared; only then is it gone."""
    with opened(browser, forms / "sheet.html") as page:
        page.locator("#pages").get_by_text("The space").tap()
        page.locator("summary", has_text="Space and enclosure").tap()
        pick(page, "Was the light on the walls measured?", "Yes")
        touch(page, "Help: Least light found on any wall")
        light = page.get_by_role("group", name="Least light found on any wall", exact=True)
        assert light.locator(".help").inner_text() == "With its unit, such as 30 fc or 320 lx."
        field(light).fill("20")
        pick(page, "Was the light on the walls measured?", "Not known")
        wait_until_judged(page)
        assert document(page)["building"] == {"light_measured": "unknown", "light": "20 fc"}
        assert light.locator(".note").inner_text() == "As things stand, this makes no difference."
        light.get_by_role("button", name="Clear: Least light found on any wall").tap()
        page.locator("summary", has_text="Space and enclosure").focus()
        pick(page, "Was the light on the walls measured?", "No")
        assert light.count() == 0


def test_walls_are_copied_named_and_taken_out(browser: Browser, forms: Path, tmp_path: Path) -> None:
    """A copy leaves out name and readings and says what was copied; a wall taken out comes back whole."""
    with opened(browser, forms / "sheet.html") as page:
        imported(page, as_json("204-treatment-room", tmp_path))
        first, *others = document(page)["walls"]
        touch(page, f"Copy: {first['name']}")
        copy = document(page)["walls"][-1]
        assert copy["substrate"] == first["substrate"]
        assert copy["primer"]["finished"] == first["primer"]["finished"]
        assert set(first) - set(copy) >= {"length", "height", "moisture", "moisture_taken", "surface", "surface_taken"}
        assert "walls_in_scope" not in document(page)
        assert page.get_by_text("Copied from another wall. Look at it here.").count() > 20
        page.locator("summary", has_text="Substrate").tap()
        page.get_by_role("button", name="It is so here too").and_(page.locator(":visible")).first.tap()
        page.locator("#pages").get_by_text("The job and the walk").tap()
        touch(page, f"Remove: {first['name']}")
        assert document(page)["walls"] == [*others, copy]
        touch(page, "Undo")
        assert document(page)["walls"] == [first, *others, copy]
        page.locator("#pages").get_by_text(copy["name"]).tap()
        write(page, "Wall", first["name"])
        told = f"Each one needs a name of its own. It is still called {copy['name']}."
        assert page.inner_text("#said") == told
        assert document(page)["walls"][-1]["name"] == copy["name"]


@pytest.mark.parametrize("name", ["014-old-dispensary", "031-staff-kitchen"])
def test_the_form_asks_what_the_desk_asks(browser: Browser, forms: Path, tmp_path: Path, name: str) -> None:
    """Of each subject the very questions that matter by `asking.py`, for a survey of which no log was read."""
    rule_set, survey = load_rule_set("rigid-sheet"), read_survey(ROOT / "examples" / f"{name}.yaml")
    by_desk = {place: sorted(paths) for place, paths in wanted(rule_set, survey, judge(rule_set, survey)).items()}
    with opened(browser, forms / "sheet.html") as page:
        imported(page, as_json(name, tmp_path))
        by_form = page.evaluate(
            "Object.fromEntries([...STATE.wanted].map(([place, paths]) => [place, [...paths].sort()]))"
        )
    assert sum(map(len, by_desk.values())) > 100
    assert by_form == by_desk


# -- files and keeping ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["014-old-dispensary", "031-staff-kitchen", "110-link-corridor", "204-treatment-room"])
def test_a_survey_goes_in_and_out_unchanged(browser: Browser, forms: Path, tmp_path: Path, name: str) -> None:
    """An example, looked at on every page, is handed over as it came in, and the desk reads it."""
    with opened(browser, forms / "sheet.html") as page:
        file = as_json(name, tmp_path)
        before = json.loads(file.read_text())
        assert imported(page, file) == f"Imported: {name}.json"
        for place in page.evaluate("pages().map(page => page.page)"):
            page.evaluate("place => openPage(place)", place)
        page.locator("#bar").tap()
        handed = exported(page, tmp_path)
        assert json.loads(handed.read_text()) == before
        # Loggers' files and photos lie beside the example.
        beside = ROOT / "examples" / f"{handed.stem}-from-a-phone.json"
        try:
            beside.write_bytes(handed.read_bytes())
            from_phone = checked(beside)
        finally:
            beside.unlink()
        assert from_phone == checked(ROOT / "examples" / f"{name}.yaml")


BAD = {
    "torn.json": ('{"walls": [', "is no survey that a form saved; open a file that the form saved"),
    "list.json": ("[1, 2]", "is a list; write entries, each with a colon, such as project:"),
    "twice.json": ('{"walls": [], "walls": []}', "walls is written twice; keep one of the two"),
    "asks.json": (
        '{"wals": []}',
        "wals is not asked here; take it out, or look for its name in the questions of the survey",
    ),
    "shape.json": (
        '{"walls": {"name": "North"}}',
        'walls is a group of entries; write a list, each entry starting with "- "',
    ),
}


def test_a_bad_file_is_refused_and_nothing_is_lost(browser: Browser, forms: Path, tmp_path: Path) -> None:
    """Each says what is wrong; the survey that was open stays, and is the only one kept."""
    with opened(browser, forms / "sheet.html") as page:
        write(page, "Project name", "Quillen Ferry")
        before = document(page)
        said = {}
        for name, (text, _) in BAD.items():
            (tmp_path / name).write_text(text)
            said[name] = imported(page, tmp_path / name)
            touch(page, "Close this message")
        wrong = {name: f"{name} was not imported: {why}. Nothing was changed." for name, (_, why) in BAD.items()}
        assert said == wrong
        assert document(page) == before
        assert page.evaluate("keptSurveys().length") == 1


def test_names_are_text_and_nothing_else(browser: Browser, forms: Path, tmp_path: Path) -> None:
    """Markup, quotes, placeholders and names of the language itself are shown as they were written."""
    file = tmp_path / f"{'x' * 8}.json"
    name = HOSTILE
    survey = {
        "project": {"name": name},
        "space": {"name": name},
        "instruments": [{"name": name}, {"name": "__proto__"}],
        "walls": [{"name": name, "notes": name, "substrate": "metal"}, {"name": "constructor"}],
        "moisture": [],
    }
    del survey["moisture"]
    file.write_text(json.dumps(survey))
    with opened(browser, forms / "small.html") as page:
        imported(page, file)
        for place in page.evaluate("pages().map(page => page.page)"):
            page.evaluate("place => openPage(place)", place)
            assert page.locator("#pages").get_by_text(name, exact=False).count() == 1
        page.locator("#bar").tap()
        assert name in page.inner_text("#result")
        page.evaluate("drawPaper()")
        touch(page, "Surveys on this phone")
        assert page.locator("#surveys .name").first.inner_text() == name
        assert page.evaluate("window.hit") is None
        assert page.locator("img").count() == 0
        assert json.loads(exported(page, tmp_path).read_text()) == survey


def test_surveys_on_the_phone(browser: Browser, forms: Path) -> None:
    """New, open and delete, and a deleted one comes back."""
    with opened(browser, forms / "small.html") as page:
        for name in ("One", "Two"):
            write(page, "Space", name)
            touch(page, "Surveys on this phone")
            if name == "One":
                touch(page, "New survey")
        assert page.locator("#surveys .name").all_inner_texts() == ["Two", "One"]
        touch(page, "Delete: One")
        assert page.locator("#surveys .name").all_inner_texts() == ["Two"]
        touch(page, "Undo")
        assert sorted(page.locator("#surveys .name").all_inner_texts()) == ["One", "Two"]
        touch(page, "One")
        assert document(page)["space"] == {"name": "One"}
        page.reload()
        assert document(page)["space"] == {"name": "One"}


def test_a_phone_that_keeps_nothing_says_so(browser: Browser, forms: Path) -> None:
    """Full or refused storage is told at once, and stays told."""
    with opened(browser, forms / "small.html") as page:
        page.evaluate(
            "() => { Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); }; }"
        )
        assert page.locator("#refused").is_hidden()
        write(page, "Space", "One")
        wait_until_judged(page)
        assert page.locator("#refused").is_visible()
        assert document(page)["space"] == {"name": "One"}


def test_what_a_project_changed_is_shown_and_handed_over(browser: Browser, forms: Path, tmp_path: Path) -> None:
    """Looser limits first, both values with the reason; the survey names the overlay that the desk has to lay on."""
    with opened(browser, forms / "changed.html") as page:
        page.locator("#bar").tap()
        told = page.locator("#result li").filter(has_text="by the rule set").all_inner_texts()
        ways = [text.partition(" · ")[0] for text in told]
        assert ways == sorted(ways, key=["looser", "may be looser", "tighter", "same value"].index)
        assert told[0].startswith("looser · Least time the primer dries: 24 h by the rule set, 12 h here. Because: ")
        assert json.loads(exported(page, tmp_path).read_text())["overlays"] == [{"file": "orrelane-2026.yaml"}]
        assert page.locator("#other").is_hidden()
        imported(page, as_json("204-treatment-room", tmp_path))
        page.locator("#to-kept").tap()
        touch(page, "204 Treatment room")
        assert page.locator("#other").is_visible()


def test_on_paper(browser: Browser, forms: Path, tmp_path: Path) -> None:
    """Verdict, holds by party and every answer, with a line to sign; nothing to press."""
    with opened(browser, forms / "sheet.html") as page:
        imported(page, as_json("110-link-corridor", tmp_path))
        page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
        page.emulate_media(media="print")
        paper = page.inner_text("body")
        assert paper.startswith("Rigid sheet wall covering\nHOLD · 110 Link corridor\n")
        expected = (
            "Primer will have dried 23 h at the planned start; it needs 24 h.",
            "Local code and licensed practice always decide.",
            "The filed record is made at the desk by wallwalk check, from the exported survey.",
            "Name, company, date and signature:",
        )
        assert [text for text in expected if text not in paper] == []
        rows = page.locator("#paper tr").all_inner_texts()
        walls = document(page)["walls"]
        assert "\t".join(["What the wall is made of", *(wall["substrate"] for wall in walls)]) in rows
        assert len({wall["substrate"] for wall in walls}) > 1
        assert "Is the space closed in and weathertight?\tyes" in rows
        shown = page.locator("button:visible, input:visible, select:visible").evaluate_all(
            "all => all.map(e => e.className)"
        )
        assert set(shown) <= {"go"}


def test_a_long_result_is_no_more_than_six_sheets(browser: Browser, forms: Path, tmp_path: Path) -> None:
    """The room with the most to say, on Letter: walls side by side, no reasons, which the desk's report gives."""
    with opened(browser, forms / "sheet.html") as page:
        imported(page, as_json("014-old-dispensary", tmp_path))
        page.pdf(path=tmp_path / "form.pdf", format="Letter", prefer_css_page_size=True)
    sheets = PdfReader(tmp_path / "form.pdf").pages
    text = " ".join("".join(sheet.extract_text() for sheet in sheets).split())
    assert len(sheets) <= 6
    assert "There is a PVA primer or sealer in the build-up." in text
    assert "2026-03-09; base, south corner; 11.6 ± 0.6 %MC; pin meter" in text
    assert "Why:" not in text


def test_a_caution_is_said_once(browser: Browser, forms: Path, tmp_path: Path) -> None:
    """What the heading says of the first subject is not said again under it; what differs is."""
    with opened(browser, forms / "sheet.html") as page:
        imported(page, as_json("014-old-dispensary", tmp_path))
        page.locator("#bar").tap()
        said = page.locator("#result > article").evaluate_all(
            """all => all.map(one => [one.querySelector("h3").textContent,
              [...one.querySelectorAll("li p")].map(line => line.textContent)])"""
        )
    assert len(said) > 8
    assert [heading for heading, lines in said if heading in lines] == []
    assert sum(heading.startswith("Built 1951") for heading, _ in said) == 2


def test_a_survey_is_shared_as_a_file(browser: Browser, forms: Path) -> None:
    """Where the phone can share files it is offered one; where it cannot, nothing is offered."""
    with offline(browser) as phone:
        page = phone.new_page()
        page.goto((forms / "small.html").as_uri())
        can = page.evaluate("Boolean(navigator.canShare)")
        assert page.locator("#share").is_visible() == can
        phone.add_init_script("""
          navigator.canShare = () => true;
          navigator.share = async ({ files: [file] }) => { window.shared = [file.name, file.type, await file.text()]; };
        """)
        page.goto((forms / "small.html").as_uri())
        write(page, "Space", "031 Staff kitchen")
        touch(page, "Share")
        name, kind, text = page.evaluate("new Promise(done => setTimeout(() => done(window.shared), 100))")
        assert (name, kind) == ("031-staff-kitchen.json", "application/json")
        assert json.loads(text)["space"] == {"name": "031 Staff kitchen"}


# -- what the page may do, and who can use it -------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["sheet", "small"])
def test_the_page_needs_no_network_and_cannot_use_one(browser: Browser, forms: Path, name: str) -> None:
    """Its policy lets no request out, no other script run and no form be sent."""
    with offline(browser) as phone:
        phone.set_offline(False)
        page = phone.new_page()
        asked_for: list[str] = []
        page.on("requestfinished", lambda request: asked_for.append(request.url))
        page.on("requestfailed", lambda request: asked_for.append(f"{request.url} {request.failure}"))
        page.goto((forms / f"{name}.html").as_uri())
        tried = page.evaluate("""async () => {
          const refused = [];
          document.addEventListener("securitypolicyviolation", event => refused.push(event.effectiveDirective));
          const fetched = await fetch("http://127.0.0.1:9/").then(() => "sent", error => error.name);
          const script = document.createElement("script");
          script.textContent = "window.hit = 1";
          document.body.append(script);
          const style = document.createElement("style");
          style.textContent = "body { display: none }";
          document.body.append(style);
          const image = new Image();
          image.src = "http://127.0.0.1:9/x.png";
          document.body.append(image);
          await new Promise(done => setTimeout(done, 100));
          return { fetched, hit: window.hit, refused: [...new Set(refused)].sort() };
        }""")
        assert tried == {
            "fetched": "TypeError",
            "hit": None,
            "refused": ["connect-src", "img-src", "script-src-elem", "style-src-elem"],
        }
        assert [url for url in asked_for if not url.startswith("file:")] == ["http://127.0.0.1:9/x.png csp"]


def test_by_keyboard_alone(browser: Browser, forms: Path) -> None:
    """From the top of the page to an answer, to the result, to the question behind an item, and back."""
    with opened(browser, forms / "small.html", 800) as page:
        press = page.keyboard.press

        def until(wanted: str) -> None:
            for _ in range(120):
                press("Tab")
                if page.evaluate("document.activeElement.id || document.activeElement.textContent") == wanted:
                    return
            raise AssertionError(f"{wanted} is not reached")

        until("Add: Wall")
        press("Enter")
        assert page.inner_text("#page-title") == "Wall 1"
        until("Next: Wall")
        press("Enter")
        until("q-walls[0].substrate-0")
        press("ArrowDown")
        assert document(page)["walls"][0]["substrate"] == "veneer plaster"
        press("Shift+Tab")
        while page.evaluate("document.activeElement.id") != "bar":
            press("Shift+Tab")
        press("Enter")
        until("Wall 1")
        press("Enter")
        assert page.evaluate("document.activeElement.id") == "q-walls[0].substrate-1"
        visible = page.evaluate("getComputedStyle(document.activeElement.nextSibling).outlineStyle")
        assert visible == "solid"


STATES = {
    "new": "0",
    "wall": "openPage('walls[0]')",
    "room": "openPage('space')",
    "result": "openView('result')",
    "surveys": "openView('kept')",
    "photos": "openPage('photos')",
}


@pytest.mark.parametrize("form", ["lámina", "changed"])
def test_no_rule_of_access_is_broken(browser: Browser, forms: Path, tmp_path: Path, form: str) -> None:
    """By axe-core, in every state, everything unfolded; contrast at 7:1, as sunlight asks."""
    with opened(browser, forms / f"{form}.html") as page:
        found = {}
        for state, how in STATES.items():
            page.evaluate(how) if state != "wall" else (
                imported(page, as_json("110-link-corridor", tmp_path)),
                page.evaluate(how),
            )
            page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
            options = {
                "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
                "rules": {"color-contrast-enhanced": {"enabled": True}},
                "resultTypes": ["violations"],  # every place of these; of the rest only that each rule was looked at
            }
            outcome = Axe().run(page, options=options).response
            assert len(outcome["passes"]) > 15
            found[state] = {(v["id"], node["html"][:160]) for v in outcome["violations"] for node in v["nodes"]}
        assert {state: wrong for state, wrong in found.items() if wrong} == {}


@pytest.mark.parametrize(("width", "size"), [(320, 100), (320, 200), (800, 100)])
def test_nothing_runs_over_the_edge(browser: Browser, forms: Path, tmp_path: Path, width: int, size: int) -> None:
    """On a narrow phone and with text twice as large no page scrolls sideways, and nothing to touch is under 44 px."""
    with opened(browser, forms / "lámina.html", width) as page:
        page.evaluate("size => { document.documentElement.style.fontSize = `${size}%`; }", size)
        imported(page, as_json("110-link-corridor", tmp_path))
        for how in STATES.values():
            page.evaluate(how)
            page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
            assert page.evaluate("document.documentElement.scrollWidth") <= width
            small = """() => [...document.querySelectorAll("button, select, input, summary, .pick")]
              .filter(one => one.offsetParent && !one.matches("[type=radio]"))
              .map(one => [one.textContent || one.id, one.getBoundingClientRect()])
              .filter(([, box]) => box.height < 44 || box.width < 44)
              .map(([text, box]) => [text, box.width, box.height])"""
            assert page.evaluate(small) == []
