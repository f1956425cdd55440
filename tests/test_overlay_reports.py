"""Overlays: whatever form a report takes, what a project relaxed stands at its head, with both values."""

from __future__ import annotations

import html
import json
import re
import shutil
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from overlays_laid import QUILLEN, TREATMENT_ROOM, by, changing, laid, sound, written
from surveys import ROOT, example, rigid_sheet
from test_bad import wallwalk
from wallwalk.checking import check, check_briefly, plan
from wallwalk.comparing import compare_records
from wallwalk.form_data import form_data
from wallwalk.record import Record, laid_over
from wallwalk.report.comparison_forms import render_comparison, render_comparison_html
from wallwalk.report.html import render_html
from wallwalk.report.line import MOST_RELAXED, render_line
from wallwalk.report.manual import render_rule, render_rule_set
from wallwalk.report.manual_page import render_manual_html
from wallwalk.report.overrides import override_lines, relaxed_lines
from wallwalk.report.schedule import render_plan, render_plan_html
from wallwalk.report.terminal import render_terminal
from wallwalk.rules import RuleSet
from wallwalk.words import words_in

# A value that is tighter, one that only a fact of the log is made with, one that is looser, and a rule taken out.
TIGHTER, IN_A_MEASURE, LOOSER, DROPPED = (
    "Least time the sheets are in the room: 24 h, now 24.05 h",
    "Time out of the band that is forgiven: 1 h, now 1.005 h",
    "Least time the primer dries: 24 h, now 23.95 h",
    "Rule dropped: Humidity is as usual at every reading: asked, now not asked",
)
VALUES = {"sheet_acclimation_min": "24.05 h", "excursion_forgiven": "1.005 h", "primer_dwell_min": "23.95 h"}


@cache
def relaxed() -> RuleSet:
    """Rigid sheet with an overlay a limit, and the specification that drops a rule."""
    rule_set = rigid_sheet()
    for name, value in VALUES.items():
        rule_set = laid(rule_set, changing(rule_set, name, value))
    return laid(rule_set, QUILLEN)


@cache
def record() -> Record:
    """The treatment room under those overlays."""
    return check(by(relaxed(), example(TREATMENT_ROOM)), relaxed())


def as_text(page: str) -> str:
    """What a page says, without its style and its tags."""
    shown = re.sub(r"<(style|script|svg)\b.*?</\1>", " ", page, flags=re.S)
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", shown)).split())


def flat(text: str) -> str:
    """Small letters and single spaces, with what stands between two values taken out."""
    return " ".join(text.lower().replace(", now ", " ").replace(":", " ").split())


def first_of_form() -> str:
    """What the phone form is given to show ahead of its findings."""
    told = form_data(relaxed(), "")["form"]["overrides"]
    return "\n".join(f"{one['way']}: {one['what']}: {one['was']}, now {one['here']}" for one in told)


def planned() -> Record:
    """The work-back plan of the treatment room under those overlays."""
    return plan(by(relaxed(), example(TREATMENT_ROOM)), relaxed())


FORMS: dict[str, tuple[Callable[[], str], str]] = {
    "terminal": (lambda: render_terminal(record()), "\nCAUTIONS"),
    "page": (lambda: render_html(record()), '<h2 id="put-right">'),
    "plan": (lambda: render_plan(planned()), "\nCounted back from the start"),
    "plan as a page": (lambda: render_plan_html(planned()), '<table class="rows plan">'),
    "manual": (lambda: render_rule_set(relaxed()), "\nSafety\n"),
    "manual as a page": (lambda: render_manual_html(relaxed()), '<h2 id="theme-1">'),
    "phone form": (first_of_form, ""),
}
"""Each form that tells of all changes, and what stands there right behind them."""


@pytest.mark.parametrize("form", FORMS)
def test_what_was_relaxed_stands_at_the_head(form: str) -> None:
    """Looser, dropped, may be looser, tighter: in this order, both values each, ahead of what the report finds."""
    draw, behind = FORMS[form]
    drawn = draw()
    assert behind in drawn
    text = flat(as_text(drawn.partition(behind)[0] if behind else drawn))
    told = [f"looser {LOOSER}", f"looser {DROPPED}", f"may be looser {IN_A_MEASURE}", f"tighter {TIGHTER}"]
    places = [text.find(flat(one)) for one in told]
    assert -1 not in places, (told[places.index(-1)], text)
    assert sorted(places) == places


LAX = (f"LOOSER: {LOOSER}", f"LOOSER: {DROPPED}", f"MAY BE LOOSER: {IN_A_MEASURE}")


def bare(lines: tuple[str, ...]) -> tuple[str, ...]:
    """Lines without the overlay that each names at its end."""
    return tuple(line.rpartition(" (")[0] for line in lines)


def test_a_line_among_many_tells_what_was_relaxed() -> None:
    """Behind the file and ahead of the counts; the first few, and how many more; nothing where nothing was laid."""
    words, survey = words_in("en"), by(relaxed(), example(TREATMENT_ROOM))
    brief = check_briefly(survey, relaxed())
    verdict, file, told, *_ = render_line("a.yaml", brief, words).split(" | ")
    assert (verdict, file, bare(tuple(told.split("; ")))) == ("PASS", "a.yaml", LAX)
    many = [o for o in brief.laid["overrides"] if o["way"] == "looser"] * (MOST_RELAXED + 1)
    line = render_line("a.yaml", replace(brief, laid={**brief.laid, "overrides": many}), words)
    assert f"; and {len(many) - MOST_RELAXED} more | " in line
    nothing = render_line("a.yaml", check_briefly(survey, rigid_sheet()), words)
    assert nothing.startswith("PASS | a.yaml | 0 hold, 0 not verified | ")


def test_a_comparison_tells_what_is_relaxed_on_the_later_walk() -> None:
    """Also where both were judged so, and nothing of it changed between the two."""
    plain = check(example(TREATMENT_ROOM), rigid_sheet())
    for then in (record(), plain):
        comparison = compare_records(then, record())
        texts = (render_comparison(comparison), as_text(render_comparison_html(comparison)))
        for text in texts:
            told = [f"Changed by an overlay on the later walk. {line}" for line in LAX]
            assert [one for one in told if flat(one) not in flat(text)] == []
    assert "overlay" not in render_comparison(compare_records(record(), plain)).partition("Laid over")[0]


@pytest.mark.parametrize(
    ("rule", "told"),
    [
        ("primer-has-dwelled", [f"LOOSER: {LOOSER}"]),
        ("sheets-acclimated", [f"TIGHTER: {TIGHTER}"]),
        ("band-held-before-start", [f"MAY BE LOOSER: {IN_A_MEASURE}"]),  # a limit of its fact, none of its own
        ("air-read-in-three-places", ["TIGHTER: Rule added: Air was read in as many places as"]),
        ("gap-at-base", []),
    ],
)
def test_a_rule_explained_says_first_what_was_changed_of_it(rule: str, told: list[str]) -> None:
    """By a limit, by a limit of a fact, as a whole; and nothing where nothing was."""
    first = " ".join(render_rule(relaxed(), relaxed().rules[rule], record()).partition("\nGrade: ")[0].split())
    assert [one for one in told if one not in first] == []
    assert first.count(", now ") == len(told)


def test_a_rule_that_was_dropped_is_not_explained_as_another(tmp_path: Path) -> None:
    """Its name is a part of another rule's, which is not what was asked for."""
    shutil.copy(QUILLEN, tmp_path)
    done = wallwalk("explain", "humidity-usual", "--overlay", QUILLEN.name, folder=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        'rigid-sheet: has "humidity-usual" no more: "Quillen Ferry Clinic, project specification, section on wall…" '
        'dropped it ("The clinic holds its own band of humidity, and its officer r…"); '
        "leave that overlay out to have it explained\n"
    )


@pytest.mark.slow
def test_a_board_tells_what_was_relaxed_and_for_which_spaces(tmp_path: Path) -> None:
    """At its head, in the terminal and on the page, and at each space; from a survey and from a filed record alike."""
    names = [f"{i}.yaml" for i in range(3)]
    parts = changing(rigid_sheet(), "excursion_forgiven", VALUES["excursion_forgiven"])
    written(parts, tmp_path / "over.yaml")
    for name in names[:2]:
        text = (ROOT / "examples" / f"{TREATMENT_ROOM}.yaml").read_text(encoding="utf-8")
        named = text.replace("name: 204 Treatment room", f"name: Room {name[0]}")
        assert named != text
        (tmp_path / name).write_text(named + ("overlays: [{file: over.yaml}]\n" if name == "1.yaml" else ""))
    shutil.copy(ROOT / "examples" / f"{TREATMENT_ROOM}.csv", tmp_path)
    filed = wallwalk("check", "1.yaml", "-o", "1.json", folder=tmp_path)
    assert (filed.returncode, filed.stderr) == (0, "")
    for gone in ((), ("1.yaml",)):
        for name in gone:
            (tmp_path / name).unlink()
        done = wallwalk("board", ".", "-o", "board.html", "--overwrite", folder=tmp_path)
        page = as_text((tmp_path / "board.html").read_text(encoding="utf-8"))
        for text in (" ".join(done.stdout.split()), page):
            assert text.count("Changed by an overlay for 1 space. MAY BE LOOSER: " + IN_A_MEASURE) == 1
            assert text.count("Judged by what an overlay made looser, or may have") == 1
            room = text.index("Judged by what an overlay made looser")
            assert text.rfind("Room 1", 0, room) > text.rfind("Room 0", 0, room)


@pytest.mark.slow
def test_a_walk_in_the_terminal_begins_with_what_was_relaxed(tmp_path: Path) -> None:
    """It says how the room stands after every answer, by the limits as they are laid."""
    shutil.copy(QUILLEN, tmp_path)
    done = wallwalk("walk", "room.yaml", "--overlay", QUILLEN.name, folder=tmp_path)
    assert " ".join(done.stdout.split()).startswith(f"LOOSER: {DROPPED} (Quillen Ferry Clinic, project specification")
    assert not wallwalk("walk", "room.yaml", folder=tmp_path).stdout.startswith("LOOSER")


@pytest.mark.slow
def test_records_of_many_carry_what_was_changed(tmp_path: Path) -> None:
    """Each record of a file of records has its overrides, looser first, and the line of it says so."""
    for path in (QUILLEN, *(ROOT / "examples").glob(f"{TREATMENT_ROOM}.*")):
        shutil.copy(path, tmp_path)
    rooms = [f"{TREATMENT_ROOM}.yaml"] * 2
    done = wallwalk("check", *rooms, "--overlay", QUILLEN.name, "-o", "records.jsonl", folder=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    lines = (tmp_path / "records.jsonl").read_text(encoding="utf-8").splitlines()
    told = [[(o["way"], o["name"]) for o in json.loads(line)["rule_set"]["overrides"]] for line in lines]
    assert told == [[("looser", "humidity-usual"), ("tighter", "air-read-in-three-places")]] * 2
    assert done.stdout.count(f" | LOOSER: {DROPPED} (") == 2


def test_a_value_that_a_later_overlay_changed_again_is_not_told_as_it_is_now() -> None:
    """Loosened by one, tightened by the next: what is told as it is now is what the last of them made it."""
    values = ("23.9 h", "24.1 h", "24 h")
    overlays: list[dict[str, Any]] = []
    rule_set = sound()
    for value in values:
        overlays.append(changing(rule_set, "dwell_min", value))
        rule_set = laid(sound(), *overlays)
    lines = override_lines(laid_over(rule_set), words_in("en"))
    assert {(line.way, line.was, line.here) for line in lines} == {
        ("looser", "24 h", "23.9 h, until changed again"),
        ("tighter", "23.9 h", "24.1 h, until changed again"),
        ("looser", "24.1 h", "24 h"),
    }
    assert len(relaxed_lines(laid_over(rule_set), words_in("en"))) == 2
