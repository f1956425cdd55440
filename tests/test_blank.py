"""The blank survey: every question its rule set asks, nothing answered, and readable as it stands."""

from __future__ import annotations

import json
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

import wallwalk.words
from blank_filling import filled_in
from marked_language import marked_rule_set, speak_marked, unmarked
from surveys import EXAMPLES, ROOT, rule_set_called
from wallwalk.asking import sections
from wallwalk.blank_survey import render_blank_survey
from wallwalk.form_page import render_form
from wallwalk.judging import judge, verdict_of
from wallwalk.languages import LANGUAGES
from wallwalk.resources import rule_set_names
from wallwalk.rule_reader import read_rule_set
from wallwalk.survey_reader import parse_survey
from wallwalk.survey_schema import render_survey_schema
from wallwalk.values import Verdict
from wallwalk.yamlio import parse_yaml


@pytest.fixture(autouse=True)
def _forget_marked() -> Iterator[None]:
    yield
    wallwalk.words.words_in.cache_clear()


class Text(yaml.SafeLoader):
    """YAML as an editor reads it: plain words are text, an empty value is none, true and false are truths."""


Text.yaml_implicit_resolvers = {
    first: [(tag, form) for tag, form in resolvers if tag.endswith((":null", ":int"))]
    for first, resolvers in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def blank_of(name: str, language: str = "en") -> str:
    """The blank survey of a rule set."""
    return render_blank_survey(read_rule_set(name, language))


def paths_in(node: Any, prefix: str = "") -> Iterator[str]:  # noqa: ANN401 - a document's data
    """Every question that a document holds an answer or a place for; what a list has in its first entry."""
    if isinstance(node, dict):
        for key, part in node.items():
            yield from paths_in(part, f"{prefix}.{key}".lstrip("."))
    elif isinstance(node, list):
        yield from paths_in(node[0], prefix)
    else:
        yield prefix


def opened(blank: str) -> str:
    """The blank with the one entry that every list shows taken out from behind its # signs, lists in it too."""
    full: dict[str, Any] = {}
    for section in sections(rule_set_called("rigid-sheet")):
        for asked in section.asked:
            if asked.entry:
                wall = full.setdefault("walls", [{}])[0]
                (wall if asked.about == "wall" else full)[asked.path] = [{}]
    return filled_in(blank, full)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("name", rule_set_names())
def test_an_untouched_blank_is_read_and_holds_with_nothing_verified(name: str, language: str) -> None:
    """It is no error, and no question left empty passes, holds or takes a rule away."""
    text = blank_of(name, language)
    survey = parse_survey(parse_yaml(text.encode(), "blank.yaml"))
    assert (survey.text("rules") or "rigid-sheet") == name
    assert set(survey.space.answers) <= {"rules"}
    assert [s.listed for s in survey.others] == [False]
    assert all(not entries.entries for entries in survey.space.rolls.values())
    findings = judge(rule_set_called(name), survey)
    assert len(findings) > 40
    assert {f.outcome.value for f in findings} == {"not verified"}
    assert verdict_of(findings) is Verdict.HOLD


@pytest.mark.parametrize("name", rule_set_names())
def test_a_blank_has_every_question_that_is_asked_and_no_other(name: str) -> None:
    """Once each, counts of lists included, whichever theme asks for it."""
    full: dict[str, Any] = {}
    expected = set()
    for section in sections(rule_set_called(name)):
        for asked in section.asked:
            at = "walls." if asked.about == "wall" else ""
            expected |= {at + (asked.counted_by or asked.path)} | {at + q.path for q in asked.entry}
            expected -= set() if asked.counted_by or not asked.entry else {at + asked.path}
            owner = full.setdefault("walls", [{}])[0] if at else full
            owner |= {asked.path: [{}]} if asked.entry else {}
    found = list(paths_in(parse_yaml(filled_in(blank_of(name), full).encode(), "blank.yaml").data))
    assert len(found) > 100
    assert sorted(found) == sorted(expected | ({"rules"} if name != "rigid-sheet" else set()))


def test_questions_stand_in_the_order_of_the_schema() -> None:
    """As they stand in `rules/survey.schema.yaml`, so that people find them where the examples have them."""
    keys = re.findall(r"^([a-z_]+):", blank_of("rigid-sheet"), re.MULTILINE)
    schema = yaml.safe_load((ROOT / "rules" / "survey.schema.yaml").read_text())
    assert len(keys) > 15
    assert keys == [key for key in schema["properties"] if key in keys]


def test_taking_one_sign_off_each_line_leaves_an_entry_with_its_comments() -> None:
    """The wall's own lists stay behind their signs until they are opened too; help survives all of it."""
    blank = blank_of("rigid-sheet")
    whole = opened(blank)
    data = parse_yaml(whole.encode(), "blank.yaml").data
    assert isinstance(data, dict)
    walls = data["walls"]
    assert isinstance(walls, list)
    assert isinstance(walls[0], dict)
    assert walls[0]["moisture"] == [{"at": None, "place": None, "value": None, "instrument": None}]
    help_of = "The scale is part of the reading."
    assert (blank.count(help_of), whole.count(help_of)) == (1, 1)
    named = filled_in(blank, {"walls_in_scope": "1", "walls": [{"name": "North"}]})
    survey = parse_survey(parse_yaml(named.encode(), "blank.yaml"))
    assert [(s.name, list(s.answers)) for s in survey.others] == [("North", ["name"])]


def test_a_comment_says_what_to_write_and_when() -> None:
    """Choices, units, yes or no, and what a question follows, in both languages; keys and choices stay English."""
    english, spanish = (re.sub(r"\n *#(?: *#)*  +", " ", blank_of("rigid-sheet", lang)) for lang in LANGUAGES)
    for line in (
        "# What heats or cools the space. [one of: permanent system | temporary electric heat | ",
        "# Is the space closed in and weathertight? Roof on, glass in, outside doors hung. [yes or no]",
        "Least light found on any wall. With its unit, such as 30 fc or 320 lx. "
        "Only where the answer is yes: Was the light on the walls measured?",
        "Is it dry to the touch? [yes or no] Only where the answer is not none: Kind of primer",
        "How far the wall leans in 10 ft of height. [a number with its unit, such as 1/16 in, 4 ft 6 in or 2 mm]",
    ):
        assert line in english
    for line in (
        "[una de estas: permanent system (sistema permanente) | ",
        "¿Está seco al tacto? [yes (sí) o no] Solo si la respuesta no es ninguno (none): Tipo de imprimador",
    ):
        assert line in spanish
    assert re.findall(r"^ *#*[ #]*- [a-z_]+:", english, re.MULTILINE) == re.findall(
        r"^ *#*[ #]*- [a-z_]+:", spanish, re.MULTILINE
    )


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_line_is_wider_than_an_editor(language: str) -> None:
    """At most 120 columns."""
    assert max(map(len, blank_of("rigid-sheet", language).splitlines())) <= 120


def test_overlays_are_not_left_open() -> None:
    """An empty `overlays:` would be refused: the name stands behind a sign too."""
    assert "\n# overlays:\n" in blank_of("rigid-sheet")


@pytest.mark.parametrize("name", rule_set_names())
def test_the_blank_leaves_no_word_untranslated(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Comments hold marked words only, beside keys, commands and choices as they are written."""
    speak_marked(monkeypatch)
    rule_set = marked_rule_set(read_rule_set(name))
    lines = [line for line in render_blank_survey(rule_set).splitlines()[1:] if "#" in line]
    comments = " ".join(re.sub(r"^[ #-]*", "", line) for line in lines if not re.search(r"^[ #-]*[a-z_]+:$", line))
    choices = {choice for q in rule_set.questions.questions.values() for choice in q.choices}
    own = {*choices, name, rule_set.revision, "wallwalk check FILE", "wallwalk blank -o"}
    assert comments.count("⟦") > 200
    assert unmarked(comments, own) == set()


# -- the schema for editors -------------------------------------------------------------------------------------------


def test_the_first_line_names_the_schema_that_is_written_for_it(tmp_path: Path) -> None:
    """`wallwalk blank -o survey.schema.json` makes the file that an editor looks for."""
    first = blank_of("rigid-sheet").splitlines()[0]
    assert first == "# yaml-language-server: $schema=survey.schema.json"
    done = run("blank", "-o", "survey.schema.json", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (0, "Wrote survey.schema.json\n")
    assert (tmp_path / "survey.schema.json").read_text() == render_survey_schema("en")


@pytest.mark.slow
@pytest.mark.parametrize("language", LANGUAGES)
def test_an_editor_finds_nothing_wrong_with_blanks_and_examples(language: str) -> None:
    """Empty answers, `unknown`, yes and no as words, and every example are of its shape."""
    schema = json.loads(render_survey_schema(language))
    Draft202012Validator.check_schema(schema)
    check = Draft202012Validator(schema)
    texts = [blank_of(name, language) for name in rule_set_names()] + [p.read_text() for p in EXAMPLES]
    assert len(texts) > 6
    for text in (*texts, "walls: [{name: A, patched: unknown}]"):
        assert [e.message for e in check.iter_errors(yaml.load(text, Text))] == []  # noqa: S506 - safe, with fewer resolvers


@pytest.mark.parametrize(
    "text",
    ["walls: [{name: A, lenght: 4 m}]", "walls: [{patched: maybe, name: A}]", "walls: [{length: 4 m}]", "space: here"],
)
def test_an_editor_finds_what_is_wrong(text: str) -> None:
    """A key, a choice, a name and a shape that the reader refuses too."""
    check = Draft202012Validator(json.loads(render_survey_schema("en")))
    assert len(list(check.iter_errors(yaml.load(text, Text)))) == 1  # noqa: S506 - safe, with fewer resolvers


def test_an_editor_offers_every_choice_and_its_help() -> None:
    """In the language asked for; choices as the survey writes them."""
    wall = json.loads(render_survey_schema("es"))["properties"]["walls"]["items"]["properties"]
    assert wall["substrate"]["enum"][:2] == ["gypsum board", "veneer plaster"]
    assert wall["substrate"]["title"] == "De qué es la pared"
    assert wall["length"]["description"] == "Por ejemplo, 14 ft 6 in o 4.4 m."


# -- the command ------------------------------------------------------------------------------------------------------


def run(*arguments: str, cwd: Path = ROOT) -> subprocess.CompletedProcess[str]:
    """Run the command line as a user does."""
    return subprocess.run(["wallwalk", *arguments], capture_output=True, text=True, cwd=cwd, check=False)


@pytest.mark.slow
def test_the_blank_is_printed_or_written_and_checked(tmp_path: Path) -> None:
    """Without -o it goes to the terminal; written, it is checked as any survey is, and holds."""
    printed = run("blank", cwd=tmp_path)
    assert (printed.returncode, printed.stdout, printed.stderr) == (0, blank_of("rigid-sheet"), "")
    assert run("blank", "-o", "room.yaml", cwd=tmp_path).stdout == "Wrote room.yaml\n"
    assert (tmp_path / "room.yaml").read_text() == printed.stdout
    checked = run("check", "room.yaml", cwd=tmp_path)
    assert (checked.returncode, checked.stdout[:4], checked.stderr) == (1, "HOLD", "")


@pytest.mark.slow
def test_a_blank_never_goes_over_a_survey(tmp_path: Path) -> None:
    """A file that is there stays, unless told otherwise; a suffix that is no form is a usage error."""
    (tmp_path / "room.yaml").write_text("mine\n")
    refused = run("blank", "-o", "room.yaml", cwd=tmp_path)
    assert (refused.returncode, refused.stdout) == (2, "")
    assert refused.stderr == "room.yaml: is there already; give another name, or add --overwrite\n"
    assert (tmp_path / "room.yaml").read_text() == "mine\n"
    assert run("blank", "-o", "room.yaml", "--overwrite", cwd=tmp_path).returncode == 0
    assert (tmp_path / "room.yaml").read_text() == blank_of("rigid-sheet")
    assert '"room.txt" names no form of blank survey; end it in .yaml' in run("blank", "-o", "room.txt").stderr


@pytest.mark.slow
def test_what_an_overlay_drops_is_not_asked(tmp_path: Path) -> None:
    """The blank of a project asks what the project's own instructions ask."""
    overlay = tmp_path / "own.yaml"
    dropped = "moisture_read_at_base"
    overlay.write_text(
        "overlay: Own\nfor: rigid-sheet\nrevision: '2026-01-01'\ndrop:\n"
        "  moisture-read-at-the-base: {because: No slab here., basis: common practice}\n"
    )
    done = run("blank", "--overlay", str(overlay), cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert (f" {dropped}:" in blank_of("rigid-sheet"), f" {dropped}:" in done.stdout) == (True, False)


def test_what_is_made_for_rules_of_your_own_says_how_the_desk_is_told_of_them() -> None:
    """A survey can name installed rules only; so the YAML and the phone form say what to type, and no others do."""
    own, installed = read_rule_set(str(ROOT / "tests" / "bilingual")), rule_set_called("pasted-wallcovering")
    assert "# When you are done: wallwalk check FILE --rules bilingual\n" in render_blank_survey(own)
    assert "# When you are done: wallwalk check FILE\n" in render_blank_survey(installed)
    says = (
        "These rules are not installed with wallwalk. The desk checks by them where it is told so: wallwalk check FILE "
    )
    assert says + "--rules bilingual" in render_form(own).decode()
    assert "not installed" not in render_form(installed).decode()
    assert '"rulesUnnamed":"bilingual"' in render_form(own).decode()
    assert '"rulesUnnamed":"rigid-sheet"' in render_form(installed).decode()
