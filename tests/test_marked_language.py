"""Nothing that a report, a plan or the manual shows is left out of its language, told by a language made of marks."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path

import pytest
from icalendar import Calendar

import wallwalk.words
from marked_language import Shown, marked_rule_set, own_words, speak_marked, unmarked
from surveys import EXAMPLES, ROOT
from wallwalk.board import Asked, Passed, build_board
from wallwalk.board_spaces import Unread
from wallwalk.board_walk import Walk, walk_of_survey
from wallwalk.checking import check, plan
from wallwalk.climate_reader import read_climate
from wallwalk.comparing import compare_records
from wallwalk.errors import Fault, InputError
from wallwalk.judging import judge
from wallwalk.moments import parse_moment
from wallwalk.overlay_reader import read_overlay
from wallwalk.overlaying import lay_over
from wallwalk.photo_reader import read_photos
from wallwalk.report.board_calendar import render_board_calendar
from wallwalk.report.board_page import render_board_html
from wallwalk.report.board_terminal import render_board
from wallwalk.report.board_words import PASSED
from wallwalk.report.comparison_forms import render_comparison, render_comparison_html
from wallwalk.report.html import render_html
from wallwalk.report.manual import render_rule, render_rule_set
from wallwalk.report.manual_page import render_manual_html
from wallwalk.report.schedule import render_calendar, render_plan, render_plan_html
from wallwalk.report.sheet import render_sheet_html
from wallwalk.report.sheet_view import lay_out_sheet
from wallwalk.report.terminal import render_terminal
from wallwalk.rule_reader import read_rule_set
from wallwalk.rules import Rule, RuleSet
from wallwalk.spaces_reader import Place, SpacesList
from wallwalk.survey import Survey
from wallwalk.survey_reader import read_survey
from wallwalk.timing import earliest_start
from wallwalk.units import UNITS
from wallwalk.yamlio import Node, read_yaml

NAMES = [path.stem for path in EXAMPLES]
ROOMS = sorted((ROOT / "tests" / "scenarios" / "base").glob("*-room.yaml"))


@pytest.fixture(autouse=True)
def _forget_marked() -> Iterator[None]:
    yield
    wallwalk.words.words_in.cache_clear()


def read_marked(name: str) -> tuple[Survey, RuleSet, set[str]]:
    """An example, the marked rule set it is checked by, and the words that stay as their authors wrote them."""
    folder = ROOT / "examples"
    survey = read_survey(folder / f"{name}.yaml")
    rule_set = marked_rule_set(read_rule_set(survey.text("rules") or "rigid-sheet"))
    survey = read_photos(read_climate(survey, rule_set, folder), rule_set, folder)
    return survey, rule_set, {*own_words(survey, rule_set), Path(survey.file).name}


def texts_of(node: Node) -> Iterator[str]:
    """What the author of an overlay wrote of his own: reasons, sources and the texts of his rules."""
    if isinstance(node, dict):
        for key, inside in node.items():
            if isinstance(inside, str) and key in {"overlay", "because", "title", "hold", "put_right", "why"}:
                yield inside.strip()
            if isinstance(inside, str) and key == "basis":
                yield inside.partition(": ")[2] or "\0"
            yield from texts_of(inside)
    elif isinstance(node, list):
        for inside in node:
            yield from texts_of(inside)


@pytest.mark.parametrize("name", NAMES)
def test_reports_leave_no_word_untranslated(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The terminal and the page show only marked words and the survey's own."""
    speak_marked(monkeypatch)
    survey, rule_set, own = read_marked(name)
    record = check(survey, rule_set)
    assert unmarked(render_terminal(record), own) == set()
    page = Shown(render_html(record))
    assert page.language == "xx"
    assert len(page.parts) > 1000
    assert unmarked(page.text, own) == set()


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_plans_leave_no_word_untranslated(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The plan in the terminal, as a page and as a calendar shows only marked words and the survey's own."""
    speak_marked(monkeypatch)
    survey, rule_set, own = read_marked(name)
    found = plan(survey, rule_set)
    assert unmarked(render_plan(found), own) == set()
    assert unmarked(Shown(render_plan_html(found)).text, own) == set()
    events = Calendar.from_ical(render_calendar(found)).walk("VEVENT")
    assert len(events) > 5
    assert unmarked(" ".join(f"{e['summary']} {e['description']}" for e in events), own) == set()


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_the_manual_leaves_no_word_untranslated(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every rule explained over a survey, and the whole rule set, in marked words only."""
    speak_marked(monkeypatch)
    survey, rule_set, own = read_marked(name)
    record = check(survey, rule_set)
    assert unmarked(render_rule_set(rule_set), own) == set()
    page = Shown(render_manual_html(rule_set))
    assert page.language == "xx"
    assert unmarked(page.text, own) == set()
    assert len(rule_set.rules) > 50
    for rule in rule_set.rules.values():
        assert unmarked(render_rule(rule_set, rule, record), own) == set(), rule.name


@pytest.mark.slow
def test_the_board_leaves_no_word_untranslated(monkeypatch: pytest.MonkeyPatch) -> None:
    """The board of all examples, with a file of every other kind, in each form that is read by people."""
    speak_marked(monkeypatch)
    walks: list[Walk] = []
    own = {"list.yaml", "torn.yaml", "overlay.yaml", "101"}
    for name in NAMES:
        survey, rule_set, words = read_marked(name)
        findings = judge(rule_set, survey)
        walks += [
            walk_of_survey(survey, rule_set, findings, earliest_start(rule_set, survey, findings), f"{name}.yaml")
        ]
        own |= words
    torn = InputError([Fault("torn.yaml", 0, "", "?", "!")])
    listed = SpacesList("list.yaml", "0" * 64, (Place("", "101", "", ""),))
    passed = [Passed("overlay.yaml", what) for what in PASSED]
    today = date(2026, 3, 8)
    board = build_board(walks, [Unread("torn.yaml", torn)], passed, listed, Asked("examples", today, "xx", "", {}))
    assert unmarked(render_board(board), own) == set()
    page = Shown(re.sub("<script>.*</script>", "", render_board_html(board), flags=re.DOTALL))
    assert page.language == "xx"
    assert unmarked(page.text, own) == set()
    events = Calendar.from_ical(render_board_calendar(board)).walk("VEVENT")
    assert len(events) == 2
    assert unmarked(" ".join(f"{e['summary']} {e['description']}" for e in events), own) == set()


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_the_walk_sheet_leaves_no_word_untranslated(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The sheet with what a survey says already, and what is said aloud of each place to write, in marked words."""
    speak_marked(monkeypatch)
    survey, rule_set, own = read_marked(name)
    own |= {unit for units in UNITS.values() for unit in units if unit}
    sheet = lay_out_sheet(rule_set, survey)
    page = Shown(render_sheet_html(sheet, "A4"))
    assert page.language == "xx"
    assert len(page.parts) > 1000
    assert unmarked(page.text, own) == set()
    assert unmarked(" ".join(field.tip for field in sheet.fields())) == set()


def test_the_style_sheet_writes_no_word_untranslated(monkeypatch: pytest.MonkeyPatch) -> None:
    """The words at the edge of a printed page are the language's too."""
    speak_marked(monkeypatch)
    survey, rule_set, _ = read_marked(NAMES[0])
    page = render_html(check(survey, rule_set))
    contents = re.findall(r"content: ([^;]*);", page)
    said = [re.sub(r"\\([0-9a-f]+) ", lambda sign: chr(int(sign[1], 16)), text) for text in contents]
    heading = {survey.text("project.name"), survey.text("space.name")}
    assert len(said) == 5
    assert {word for text in said for word in unmarked(text, heading)} == {"counter", "page", "pages"}


def few(rule_set: RuleSet) -> list[Rule]:
    """Rules of the climate, which count readings."""
    return [rule for rule in rule_set.rules.values() if rule.theme == "climate"]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("left_out", "draw", "seen"),
    [
        ("Do: {what}", "terminal", "Do"),
        ("Who has the next move, and what is required", "page", "Who"),
        ("not answered", "manual", "answered"),
        ("{value} or more", "manual", "more"),
        ("common practice", "page", "practice"),
        ("yes", "page", "yes"),
        ("in time", "plan", "time"),
        ("where it applies", "sheet", "applies"),
    ],
)
def test_a_word_left_out_is_noticed(left_out: str, draw: str, seen: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """One fixed word that nobody translated shows outside the marks."""
    speak_marked(monkeypatch, {left_out})
    survey, rule_set, own = read_marked("031-staff-kitchen")
    draws = {
        "terminal": lambda: render_terminal(check(survey, rule_set)),
        "page": lambda: Shown(render_html(check(survey, rule_set))).text,
        "manual": lambda: "".join(render_rule(rule_set, r, check(survey, rule_set)) for r in few(rule_set)),
        "plan": lambda: render_plan(plan(survey, rule_set)),
        "sheet": lambda: Shown(render_sheet_html(lay_out_sheet(rule_set, survey), "A4")).text,
    }
    assert seen in unmarked(partial(draws[draw])(), own)


@pytest.mark.slow
def test_the_name_of_a_limit_for_its_title_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    """An identifier shown as words, in a report, in the manual and among what an overlay changed."""
    speak_marked(monkeypatch)
    survey, rule_set, own = read_marked("204-treatment-room")
    named = {
        n: replace(limit, title=n if n == "primer_dwell_min" else limit.title) for n, limit in rule_set.limits.items()
    }
    rule_set = replace(rule_set, limits=named)
    overlay = read_overlay(ROOT / "examples" / "overlays" / "nessuval-2026.yaml", rule_set)
    shown = [
        Shown(render_html(check(survey, rule_set))).text,
        render_rule_set(rule_set),
        Shown(render_manual_html(rule_set)).text,
        render_terminal(check(survey, lay_over(rule_set, overlay))),
    ]
    assert [{"primer", "dwell", "min"} <= unmarked(text, own) for text in shown] == [True] * 4


@pytest.mark.slow
@pytest.mark.parametrize("start", ["2026-03-11", "2026-03-09 12:00"])
@pytest.mark.parametrize("decision", ["simple", "guarded"])
@pytest.mark.parametrize(
    "path", sorted((ROOT / "tests" / "scenarios" / "base").glob("*-room.yaml")), ids=lambda p: p.stem
)
def test_other_starts_and_decisions_leave_no_word_untranslated(
    path: Path, decision: str, start: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A start without an hour, one given on the command line, readings taken as read."""
    assert len(ROOMS) > 2
    speak_marked(monkeypatch)
    survey = read_survey(path)
    rule_set = replace(marked_rule_set(read_rule_set("rigid-sheet")), decision=decision)
    survey = read_climate(survey, rule_set, path.parent)
    record = check(survey, rule_set, parse_moment(start, survey.zone))
    own = {*own_words(survey, rule_set), path.name}
    assert unmarked(render_terminal(record), own) == set()
    assert unmarked(Shown(render_html(record)).text, own) == set()


@pytest.mark.slow
def test_comparisons_leave_no_word_untranslated(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two rooms mixed up, and one room under rules that ask for less: the terminal and the page."""
    speak_marked(monkeypatch)
    corridor, rule_set, own = read_marked("110-link-corridor")
    dispensary, _, more = read_marked("014-old-dispensary")
    path = ROOT / "examples" / "overlays" / "orrelane-2026.yaml"
    laxer = replace(lay_over(rule_set, read_overlay(path, rule_set)), decision="simple", uncalibrated="as read")
    fewer = replace(laxer, rules={n: r for n, r in laxer.rules.items() if n != "sheets-acclimated"}, sha256="1" * 64)
    own |= {*more, *texts_of(read_yaml(path).data)}
    first, later = check(corridor, rule_set), check(corridor, fewer)
    undated, other_zone = {**later, "walk": None}, {**later, "heading": {**later["heading"], "time_zone": "UTC"}}
    for then, now in ((first, later), (first, undated), (first, other_zone), (first, first), (later, first)):
        assert unmarked(render_comparison(compare_records(then, now)), own) == set()
        assert unmarked(Shown(render_comparison_html(compare_records(then, now))).text, own) == set()
    rooms = [first, check(dispensary, rule_set)]
    for then, now in (rooms, rooms[::-1]):
        assert unmarked(render_comparison(compare_records(then, now)), own) == set()
        assert unmarked(Shown(render_comparison_html(compare_records(then, now))).text, own) == set()


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(p.stem for p in (ROOT / "examples" / "overlays").glob("*.yaml")))
def test_an_overlay_leaves_only_its_author_s_words(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """What an overlay changes is told in marked words; its reasons and its own rules stand as they were written."""
    speak_marked(monkeypatch)
    survey, rule_set, own = read_marked("204-treatment-room")
    path = ROOT / "examples" / "overlays" / f"{name}.yaml"
    laid = lay_over(rule_set, read_overlay(path, rule_set))
    own |= {*texts_of(read_yaml(path).data), *laid.rules, path.name}
    own |= {fact.title for fact in laid.facts.values() if "⟦" not in fact.title}
    record = check(survey, laid)
    assert record["rule_set"]["overrides"]
    assert unmarked(render_terminal(record), own) == set()
    assert unmarked(Shown(render_html(record)).text, own) == set()
    assert unmarked(render_rule_set(laid), own) == set()
