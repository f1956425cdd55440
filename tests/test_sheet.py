"""The printed walk sheet: everything that rules use can be written on it, and what is known already stands there."""

from __future__ import annotations

import io
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from page import validate_pdf_bytes
from pypdf import PdfReader

from sheet_forms import FormField, by_pikepdf, by_pypdf
from surveys import ROOT, example, example_document, rule_set_called, survey_from
from test_cli import wallwalk
from wallwalk.checking import load_rule_set
from wallwalk.facts import LOGS
from wallwalk.questions import SPACE, Question, Questions, survey_questions
from wallwalk.report.sheet import render_sheet
from wallwalk.report.sheet_fields import show_units
from wallwalk.report.sheet_looks import Typeface, written
from wallwalk.resources import rule_set_names
from wallwalk.rules import Expression, RuleSet, checks
from wallwalk.words import IN_ENGLISH

pytestmark = pytest.mark.slow

READERS = [by_pypdf, by_pikepdf]
Reader = Callable[[bytes], list[tuple[str, FormField]]]
AFTER = {"en": "Before the work starts", "es": "Antes de empezar el trabajo"}
"""How the first page behind the walk begins."""


@cache
def sheet(name: str = "rigid-sheet", paper: str = "Letter", language: str = "en", walls: int = 4) -> bytes:
    """A blank sheet."""
    return render_sheet(load_rule_set(name, (), language), paper, None, walls)


@cache
def filled(name: str) -> bytes:
    """A sheet with what an example says already."""
    return render_sheet(rule_set_called("rigid-sheet"), "Letter", example(name))


def fields_of(document: bytes, read: Reader = by_pypdf) -> dict[str, FormField]:
    """Its fields by name, each of which it has once."""
    found = read(document)
    fields = dict(found)
    assert len(fields) == len(found) > 300
    return fields


@cache
def text_of(document: bytes) -> str:
    """All its words, one blank apart."""
    reader = PdfReader(io.BytesIO(document))
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


# What the rules need


def parts_of(rule_set: RuleSet) -> Iterator[Expression]:
    """Every measure of a fact that any rule compares or shows."""
    for rule in rule_set.rules.values():
        compared = [c.fact for condition in (rule.applies_when, rule.require) for c in checks(condition)]
        for fact in (*compared, *rule.shows):
            yield from rule_set.facts[fact].expression.parts()


def names_of(question: Question, questions: Questions) -> Iterator[str]:
    """The fields in which a sheet for two walls has to take the answer: of each wall, and of a list's first entry."""
    roll = questions.rolls.get((question.about, question.roll))
    key = question.path.removeprefix(f"{question.roll}.")
    if roll is not None and roll.subject:  # the answers of every wall, seen from the space
        yield from names_of(questions.questions[roll.subject, key], questions)
        return
    prefixes = [""] if question.about == SPACE else ["walls[0].", "walls[1]."]
    through, _, borrowed = key.partition(".")
    named = questions.questions.get((question.about, f"{question.roll}.{through}"))
    if borrowed and named is not None and named.refers_to:
        yield f"{named.refers_to}[0].{borrowed}"
    elif roll is not None:
        yield from (f"{prefix}{question.roll}[0].{key}" for prefix in prefixes)
    else:
        yield from (f"{prefix}{question.path}" for prefix in prefixes)


def needed(rule_set: RuleSet) -> dict[str, Question]:
    """Every field that the rules need, with its question."""
    questions = rule_set.questions
    asked = [part.question for part in parts_of(rule_set) if part.question is not None]
    asked += [questions.questions[SPACE, f"{LOGS}.file"] for part in parts_of(rule_set) if part.is_logged]
    asked += [questions.questions[q.about, q.follows] for q in asked if q.follows]
    rolls = [questions.rolls[q.about, q.roll] for q in asked if q.roll]
    asked += [questions.questions[r.about, r.counted_by] for r in rolls if r.counted_by]
    return {name: question for question in asked for name in names_of(question, questions)}


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize("name", rule_set_names())
def test_every_question_that_a_rule_uses_has_its_field(name: str, read: Reader) -> None:
    """Each by its path in the survey, with its title and help said aloud, and the words that may be ticked."""
    wanted = needed(rule_set_called(name))
    fields = fields_of(sheet(name), read)
    assert len(wanted) > 120
    assert {path for path in wanted if path not in fields} == set()
    for path, question in wanted.items():
        offered = frozenset({"yes", "no"} if question.kind == "truth" else question.choices)
        assert (fields[path].tip, fields[path].choices) == (f"{question.title} {question.help}".strip(), offered), path


def test_a_question_that_no_rule_of_this_set_uses_has_none() -> None:
    """Rolls are not asked for where sheet is hung, nor sheets where rolls are."""
    assert "rolls.width" not in fields_of(sheet())
    assert "rolls.width" in fields_of(sheet("pasted-wallcovering"))
    assert "sheets.width" not in fields_of(sheet("pasted-wallcovering"))


# The pages


@pytest.mark.parametrize(("paper", "language"), [("Letter", "en"), ("A4", "es")])
def test_the_walk_of_a_room_of_four_walls_takes_two_pages(paper: str, language: str) -> None:
    """All that is asked on the walk stands on the first two pages, and the third begins with what comes after."""
    document = sheet(paper=paper, language=language)
    pages = PdfReader(io.BytesIO(document)).pages
    width, height = {"Letter": (612, 792), "A4": (595, 842)}[paper]
    assert {(round(float(p.mediabox.width)), round(float(p.mediabox.height))) for p in pages} == {(width, height)}
    assert [p.extract_text().startswith(AFTER[language]) for p in pages] == [n == 2 for n in range(len(pages))]
    assert len(pages) <= 6
    on = {name: field.pages for name, field in fields_of(document).items()}
    questions = survey_questions()
    asked = {q.path: q for q in questions.questions.values() if not q.roll}
    late = {n for n in on if (q := asked.get(n.removeprefix("walls[0]."))) is not None and q.later}
    walk = {n for n in on if (q := asked.get(n.removeprefix("walls[0]."))) is not None and not q.later}
    counts = {r.counted_by for r in questions.rolls.values() if r.later}
    assert len(walk) > 60
    assert len(late) > 60
    assert {n for n in walk if max(on[n]) > 2 and n.removeprefix("walls[0].") not in counts} == set()
    assert {n for n in late if min(on[n]) < 3} == set()
    assert max(on["walls[3].moisture[1].value"]) == 1


def test_twelve_walls_stand_four_a_page() -> None:
    """Each has its column and its lines for readings; none is left out, and the numbers go on."""
    fields = fields_of(sheet(walls=12))
    on = [fields[f"walls[{i}].substrate"].pages for i in range(12)]
    assert [on[i] for i in (0, 3)] == [on[0]] * 2
    assert on == [p for first in (0, 4, 8) for p in [on[first]] * 4]
    assert len({*on}) == 3
    assert "walls[12].substrate" not in fields
    assert fields["walls[11].moisture[1].place"].value == ""


# What is known already


def answers_in(node: Any, path: str = "") -> Iterator[tuple[str, str]]:  # noqa: ANN401 - a document's data
    """Every answer of a survey's document, by its path."""
    if isinstance(node, dict):
        for key, inside in node.items():
            yield from answers_in(inside, f"{path}.{key}" if path else key)
    elif isinstance(node, list):
        for i, inside in enumerate(node):
            yield from answers_in(inside, f"{path}[{i}]")
    elif node not in (None, "", "unknown"):
        yield path, {True: "yes", False: "no"}.get(node, node)


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize("name", ["204-treatment-room", "014-old-dispensary"])
def test_what_a_survey_says_stands_in_the_fields(name: str, read: Reader) -> None:
    """Word for word as it was written, each in its own field, and nothing anywhere else."""
    written_down = dict(answers_in(example_document(name).data))
    apart = {path for path in written_down if path == "rules" or path.startswith("overlays")}
    fields = fields_of(filled(name), read)
    shown = {path: field.value for path, field in fields.items() if field.value}
    assert len(shown) > 200
    assert {path for path in written_down if path not in fields} - apart == set()
    assert shown == {path: said for path, said in written_down.items() if path in fields}


LONG = """
project: {name: "Rehabilitación del Instituto Municipal de Enseñanza Ñandú, edificio de la Calle del Álamo 118 bis"}
space: {name: Łódź Ω, notes: "5′ 6″ from the door"}
walls_in_scope: 2
walls: [{name: "Pared norte, junto a la ventana del pasillo largo"}, {name: Sur}]
"""


def test_names_of_any_length_and_letters_stay_as_written() -> None:
    """Letters that few fonts have are kept, and drawn by the font in the file."""
    document = render_sheet(rule_set_called("rigid-sheet"), "A4", survey_from(LONG))
    fields = fields_of(document)
    assert fields["space.name"].value == "Łódź Ω"
    assert fields["space.notes"].value == "5′ 6″ from the door"
    assert fields["walls[0].name"].value == "Pared norte, junto a la ventana del pasillo largo"
    assert {name for name in fields if name.startswith("walls[2]")} == set()
    assert "Espacio" not in text_of(document)
    assert "Space: Łódź Ω" in text_of(document)


FACE = Typeface("face", b"1 0 R", {letter: (ord(letter), 0.5) for letter in "abcdefghijklmnopqrstuvwxyz ñ"})


@pytest.mark.parametrize(
    ("text", "width", "height", "size", "lines"),
    [
        ("north", 60, 13, 9.0, 1),
        ("north wall by door", 60, 13, 57 / 9, 1),
        ("north wall by the stairs", 60, 13, 5.5, 2),
        ("a" * 60, 60, 13, 3.75, 2),
    ],
)
def test_words_are_as_large_as_their_place_allows(text: str, width: int, height: int, size: float, lines: int) -> None:
    """Nine points where there is room; then less; then two lines; a word with no blank is broken."""
    look, is_long = written(text, width, height, FACE)
    drawn = b" ".join(look.stream).decode()
    assert f"/face {size:.2f} Tf" in drawn
    assert (drawn.count("Tj"), is_long) == (lines, lines > 1)
    assert lines * 1.15 * size <= height
    shown = "".join(re.findall("<([0-9a-f]*)>", drawn))
    assert shown.replace("0020", "") == "".join(f"{ord(letter):04x}" for letter in text if letter != " ")


# What is printed


@pytest.mark.parametrize(
    ("about", "path", "units"),
    [
        (SPACE, "walk.at", "date, time"),
        (SPACE, "adhesive.best_before", "date"),
        (SPACE, "air.temperature", "°F or °C"),
        (SPACE, "air.humidity", "%RH"),
        (SPACE, "building.light", "fc or lx"),
        (SPACE, "adhesive.label_spread", "ft²/gal or m²/L"),
        (SPACE, "adhesive_lots.quantity", "gal or L"),
        (SPACE, "crew.rate", "ft²/h or m²/h"),
        (SPACE, "crew.spread_at_once", "ft² or m²"),
        (SPACE, "instruments.uncertainty.temperature", "°F or °C"),
        (SPACE, "climate_log.every", "min or h"),
        (SPACE, "walls_in_scope", ""),
        ("wall", "length", "ft in or m"),
        ("wall", "out_of_plumb", "in or mm"),
        ("wall", "gaps.at_base", "in or mm"),
        ("wall", "moisture.value", "%MC, %WME or gypsum"),
        ("wall", "coatings.tape_test", "B or ISO"),
        ("wall", "gypsum.finish_level", "0 to 5"),
        ("wall", "coatings.painted", ""),
    ],
)
def test_units_stand_beside_what_is_written(about: str, path: str, units: str) -> None:
    """Those of both systems where people write either; the sheet prints them."""
    assert show_units(survey_questions().questions[about, path], IN_ENGLISH) == units
    assert units in text_of(sheet())


def test_a_condition_stands_beside_what_is_asked_only_sometimes() -> None:
    """What follows an answer, what one kind of wall is asked alone, and what other rules decide."""
    text = text_of(sheet())
    for told in (
        "What is under the paint painted wall only",
        "if yes: Are all patches feathered out and primed?",
        "unless none: Is it dry to the touch?",
        "Only where the answer is not none: Kind of primer",
        "Was moisture read at the base of this wall too? where it applies",
        "Gypsum finish level gypsum board only",
    ):
        assert told in text, told


@pytest.mark.parametrize("name", rule_set_names())
def test_the_cautions_for_safety_are_in_its_box(name: str) -> None:
    """What has to be so, and what to do where it is not, of every rule of that theme; local code decides."""
    text = text_of(sheet(name))
    rules = [rule for rule in rule_set_called(name).rules.values() if rule.theme == "safety"]
    assert len(rules) > 5
    assert [r.name for r in rules if f"{r.title}. {' '.join(r.put_right.split())}" not in text] == []
    assert "Local code and licensed practice always decide." in text


def test_the_foot_says_what_it_was_drawn_from() -> None:
    """The rule set with its revision, page and pages, and which overlays changed it."""
    revision = rule_set_called("rigid-sheet").revision
    assert f"Rigid sheet wall covering, revision {revision}" in text_of(sheet())
    assert "page 1 of 5" in text_of(sheet())
    assert "changed by" not in text_of(sheet())
    overlay = ROOT / "examples" / "overlays" / "orrelane-2026.yaml"
    laid = text_of(render_sheet(load_rule_set("rigid-sheet", (overlay,), "en"), "Letter"))
    assert "changed by: Orrelane wall sheet system, installation leaflet of January 2026" in laid
    assert laid.count("Changed by overlays: see page 1") == laid.count(" of 5 ") > 0


def test_the_sheet_in_spanish() -> None:
    """Titles, choices, units and what is said aloud; the words that a survey takes stay English."""
    document = sheet(language="es")
    fields = fields_of(document)
    for told in ("Hoja de recorrido", "solo panel de yeso", "si es sí:", "fecha, hora", "Precauciones de seguridad"):
        assert told in text_of(document), told
    assert fields["walls[0].substrate"].tip.startswith("De qué es la pared")
    assert fields["walls[0].substrate"].choices == fields_of(sheet())["walls[0].substrate"].choices
    assert fields.keys() == fields_of(sheet()).keys()


# The file


def test_fields_are_tagged_and_gone_through_in_reading_order() -> None:
    """Each place to write is in the structure tree, and pages go by it; boxes can be cleared again."""
    reader = PdfReader(io.BytesIO(sheet()))
    root: Any = reader.trailer["/Root"]
    pages: list[Any] = list(reader.pages)
    places = [place.get_object() for page in pages for place in page["/Annots"]]
    assert {page.get("/Tabs") for page in reader.pages} == {"/S"}
    assert len([p for p in places if "/StructParent" in p]) == len(places) > 900
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert root["/AcroForm"]["/NeedAppearances"].value is False
    boxes = {p["/Parent"]["/Ff"] for p in places if "/Parent" in p and p["/Parent"].get("/FT") == "/Btn"}
    assert boxes == {1 << 15}


def test_what_it_lacks_to_be_made_for_listening_is_known() -> None:
    """Beside the marks in the XMP, which it does not bear, only WeasyPrint's map of a whole font breaks PDF/UA-1."""
    broken = {failure.rule_id for failure in validate_pdf_bytes(filled("204-treatment-room"), profile="ua1").failures}
    assert broken == {
        "PDFUA1-FONT-UNICODE-VALUE-001",
        "PDFUA1-ID-PART-001",
        "PDFUA1-ID-SCHEMA-001",
        "PDFUA1-METADATA-STRUCTURE-001",
        "PDFUA1-METADATA-TITLE-001",
    }


def test_the_same_sheet_is_the_same_bytes() -> None:
    """In another process, with another order of hashes."""
    script = (
        "import sys, hashlib\nfrom wallwalk.checking import load_rule_set\n"
        "from wallwalk.report.sheet import render_sheet\n"
        "print(hashlib.sha256(render_sheet(load_rule_set('rigid-sheet', (), 'en'), 'Letter')).hexdigest())"
    )
    digests = {
        subprocess.run(
            [sys.executable, "-c", script],
            capture_output=True,
            text=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "2")
    }
    assert len(digests) == 1


# The command


def test_the_command_writes_a_sheet_with_what_a_survey_says(tmp_path: Any) -> None:  # noqa: ANN401 - pytest's
    """Its walls, and more where they are asked for; `--rules` and the overlays of the survey count as in a check."""
    path = tmp_path / "sheet.pdf"
    arguments = ("blank", "-o", str(path), "--space", "examples/031-staff-kitchen.yaml", "--walls", "6")
    done = wallwalk(*arguments, "--paper", "a4", "--lang", "es")
    assert (done.returncode, done.stdout, done.stderr) == (0, f"Wrote {path}\n", "")
    fields = fields_of(path.read_bytes())
    assert fields["space.name"].value == "031 Staff kitchen"
    assert fields["walls[5].name"].value == ""
    assert "walls[6].name" not in fields


def test_overlays_that_the_survey_names_lie_over_its_sheet(tmp_path: Path) -> None:
    """They are found beside the survey, as in a check, and the sheet says that they changed it."""
    shutil.copy(ROOT / "examples" / "overlays" / "orrelane-2026.yaml", tmp_path / "ours.yaml")
    (tmp_path / "room.yaml").write_text("space: {name: A}\noverlays:\n  - file: ours.yaml\n")
    done = wallwalk("blank", "-o", "sheet.pdf", "--space", "room.yaml", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert "Changed by overlays: see page 1" in text_of((tmp_path / "sheet.pdf").read_bytes())


def test_the_options_of_the_sheet_ask_for_one() -> None:
    """Without a PDF they would do nothing."""
    done = wallwalk("blank", "--walls", "3")
    said = "Error: --space and --walls are for the sheet; ask for one with -o sheet.pdf"
    assert (done.returncode, done.stdout, done.stderr.splitlines()[-1]) == (2, "", said)
