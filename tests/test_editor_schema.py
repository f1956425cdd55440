"""The schema for editors takes every rule file that is right, and no word, question or key that is not there."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from surveys import ROOT
from test_cli import wallwalk
from wallwalk.comparisons import COMPARISONS
from wallwalk.editor_schema import editor_schema, render_editor_schema
from wallwalk.measures import MEASURES, PICKS
from wallwalk.questions import survey_questions
from wallwalk.shape import read_schema
from wallwalk.units import KINDS
from wallwalk.yamlio import read_yaml

SCHEMA = editor_schema()
VALIDATOR = Draft202012Validator(SCHEMA)
BAD = ROOT / "tests" / "bad"
RIGHT = (
    *sorted((ROOT / "rules").glob("*/*.yaml")),
    *sorted((ROOT / "examples" / "overlays").glob("*.yaml")),
    *sorted(BAD.glob("*/sound/*.yaml")),
)


class _EditorLoader(yaml.SafeLoader):
    """YAML 1.2 as editors read it: only true, false, null and numbers are no text."""


_EditorLoader.yaml_implicit_resolvers = {}
for _tag, _form, _first in (
    ("bool", r"true|false", "tf"),
    ("null", r"null|~|", ["n", "~", ""]),
    ("int", r"[-+]?[0-9]+", "-+0123456789"),
    ("float", r"[-+]?[0-9]+\.[0-9]*", "-+0123456789"),
):
    _EditorLoader.add_implicit_resolver(f"tag:yaml.org,2002:{_tag}", re.compile(f"^(?:{_form})$"), list(_first))


def as_in_an_editor(text: str) -> Any:  # noqa: ANN401 - a document's data
    """The document as an editor sees it."""
    return yaml.load(text, Loader=_EditorLoader)  # noqa: S506 - a safe loader with fewer resolvers


def refused(data: Any) -> list[str]:  # noqa: ANN401
    """Where the schema refuses `data`."""
    return sorted({written(error.absolute_path) for error in VALIDATOR.iter_errors(data)})


def written(path: Iterable[str | int]) -> str:
    """A place in a document as a JSONPath (RFC 9535); jsonschema writes it so only in its later versions."""
    parts = (f".{p}" if str(p).isidentifier() else f"[{p!r}]" for p in path)
    return "$" + "".join(parts)


@pytest.mark.slow
def test_it_is_a_schema_and_the_same_bytes_each_time() -> None:
    """Of the draft it names; JSON, with nothing in it that only we would understand as a rule."""
    Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert json.loads(render_editor_schema()) == SCHEMA
    assert render_editor_schema() == render_editor_schema()
    assert '"advice"' not in render_editor_schema()


@pytest.mark.slow
def test_every_file_that_is_right_is_taken() -> None:
    """Every shipped rule file, every example overlay and the sound ones of the tests, by both readings of YAML."""
    assert len(RIGHT) >= 19
    wrong = {path.name: refused(read_yaml(path).data) for path in RIGHT}
    assert {name: places for name, places in wrong.items() if places} == {}
    wrong = {path.name: refused(as_in_an_editor(path.read_text(encoding="utf-8"))) for path in RIGHT}
    assert {name: places for name, places in wrong.items() if places} == {}


def theme() -> Any:  # noqa: ANN401
    """A theme that is right, to be spoilt."""
    return copy.deepcopy(read_yaml(BAD / "rule_sets" / "sound" / "room.yaml").data)


def drying() -> Any:  # noqa: ANN401
    """Another, with facts about a wall."""
    return copy.deepcopy(read_yaml(BAD / "rule_sets" / "sound" / "drying.yaml").data)


def with_fact(**parts: object) -> Any:  # noqa: ANN401
    """The theme with one more fact."""
    data = theme()
    data["facts"]["more"] = {"about": "space", **parts}
    return data


def with_require(require: object) -> Any:  # noqa: ANN401
    """The theme with another requirement."""
    data = theme()
    data["rules"]["air-steady"]["require"] = require
    return data


@pytest.mark.parametrize(
    ("data", "where"),
    [
        (with_fact(lowset="air.temperature"), "$.facts.more"),
        (with_fact(lowest="air.temprature"), "$.facts.more.lowest"),
        (with_fact(lowest={"off": "air.temperature"}), "$.facts.more.lowest"),
        (with_fact(difference={"of": "air.temperature"}), "$.facts.more.difference"),
        (with_fact(elapsed={"from": "planned_start", "to": {"lastest": "air.at"}}), "$.facts.more.elapsed.to"),
        (with_fact(product=["air.temperature"]), "$.facts.more.product"),
        (with_fact(on_scale={"scale": "wood", "of": "air.temperature"}), "$.facts.more.on_scale.scale"),
        (with_fact(limit=["a", "b", "c"]), "$.facts.more.limit"),
        (with_fact(answer="planned_start", lowest="air.temperature"), "$.facts.more"),
        (with_fact(title="Nothing measured"), "$.facts.more"),
        (with_fact(answer="primer.finished"), "$.facts.more.answer"),
        (with_fact(answer="planned_start", examples=[{"name": "a", "given": {"air.temp": "1 °C"}, "expect": "1"}]),
         "$.facts.more.examples[0].given"),
        (with_require({"atleast": ["swing", "swing_max"]}), "$.rules['air-steady'].require"),
        (with_require({"at_least": ["swing"]}), "$.rules['air-steady'].require.at_least"),
        (with_require({"between": ["swing", "swing_max"]}), "$.rules['air-steady'].require.between"),
        (with_require({"any_of": [{"is": ["swing", "a", "b"]}]}), "$.rules['air-steady'].require.any_of[0].is"),
        (with_require({"stated": ["swing", "swing_max"]}), "$.rules['air-steady'].require.stated"),
        (with_require({"all_of": []}), "$.rules['air-steady'].require.all_of"),
        (with_require({}), "$.rules['air-steady'].require"),
        ({**theme(), "limit": {}}, "$"),
        ({**theme(), "limits": {"swing_max": {"value": "5 °C", "basis": "from memory"}}}, "$.limits.swing_max"),
        ({**theme(), "limits": {"w": {"words": ["a"], "step": "1", "basis": "from memory"}}}, "$.limits.w"),
        ({**theme(), "limits": {"l": {"value": "1", "step": "1", "kind": "heat", "basis": "from memory"}}},
         "$.limits.l.kind"),
        ({**theme(), "limits": {"l": {"value": "1", "step": "1", "basis": "of old"}}}, "$.limits.l.basis"),
    ],
)  # fmt: skip
def test_a_theme_with_one_mistake_is_refused_where_it_is(data: object, where: str) -> None:
    """A wrong measure, part, question, comparison, count of limits, key, kind or basis: there, and nowhere else."""
    assert refused(data) == [where]


@pytest.mark.parametrize("key", ["title", "about", "hold", "put_right", "why", "basis", "by", "examples", "require"])
def test_a_misspelt_key_of_a_rule_is_refused(key: str) -> None:
    """Another letter in any key of a rule."""
    data = theme()
    rule = data["rules"]["air-steady"]
    rule[key + "s"] = rule.pop(key)
    assert refused(data) == ["$.rules['air-steady']"]


def test_a_fact_sees_the_questions_of_what_it_is_about_and_of_the_space() -> None:
    """A fact about a wall may ask of the wall and of the space; one about the space of the space alone."""
    data = drying()
    wall = next(name for name, fact in data["facts"].items() if fact["about"] == "wall")
    data["facts"][wall] = {"about": "wall", "elapsed": {"from": "primer.finished", "to": "planned_start"}}
    assert refused(data) == []
    data["facts"][wall]["about"] = "space"
    assert refused(data) == [f"$.facts.{wall}.elapsed.from"]
    data["facts"][wall]["about"] = "ceiling"
    assert refused(data) == [f"$.facts.{wall}.about"]


def test_each_other_file_of_a_rule_set_is_told_apart() -> None:
    """A misspelt key in an about file, an overlay or a table of conditions is held against that file's own shape."""
    about: Any = read_yaml(BAD / "rule_sets" / "sound" / "about.yaml").data
    assert refused({**about, "revison": "2026-11-25"}) == ["$"]
    assert refused({**about, "themes": []}) == ["$.themes"]
    overlay: Any = read_yaml(BAD / "overlays" / "sound" / "overlay.yaml").data
    assert refused({**overlay, "dropp": {}}) == ["$"]
    spoilt = copy.deepcopy(overlay)
    del next(iter(spoilt["limits"].values()))["because"]
    assert refused(spoilt) == [f"$.limits.{next(iter(spoilt['limits']))}"]
    table: Any = read_yaml(BAD / "conditions" / "sound" / "conditions.yaml").data
    assert refused({**table, "owns": {}}) == ["$"]
    assert refused({**table, "sections": [{"title": "A", "row": []}]}) == ["$.sections[0]"]


def words_in(part: Any, found: set[str]) -> set[str]:  # noqa: ANN401
    """Every key that stands under `properties`, anywhere in the schema."""
    for key, inside in part.items() if isinstance(part, dict) else enumerate(part) if isinstance(part, list) else ():
        found |= set(inside) if key == "properties" and isinstance(inside, dict) else set()
        words_in(inside, found)
    return found


def test_every_word_of_the_tables_is_in_it() -> None:
    """Measures, with each of their parts and picks; comparisons; kinds with their examples; questions with titles."""
    told, text = words_in(SCHEMA, set()), render_editor_schema()
    assert {*MEASURES, *COMPARISONS, "answer", "all_of", "any_of"} - told == set()
    assert {part for measure in MEASURES.values() for part in (*measure.parts, measure.picks) if part} - told == set()
    assert [word for words in PICKS.values() for word in words if json.dumps(word) not in text] == []
    limit = SCHEMA["$defs"]["theme"]["properties"]["limits"]["additionalProperties"]["properties"]
    assert limit["title"]["description"].startswith("As reports call it")
    assert list(limit["es"]["properties"]) == ["title", "basis"]
    assert limit["kind"]["enum"] == list(KINDS)
    assert [k.example for k in KINDS.values() if k.example not in limit["value"]["examples"]] == []
    for (about, path), question in survey_questions().questions.items():
        asked = SCHEMA["$defs"][f"question-{about}"]
        assert question.title in asked["enumDescriptions"][asked["enum"].index(path)]


def test_every_word_of_the_tables_has_its_line_of_help() -> None:
    """A new measure or comparison gets its line in rules/vocabulary.yaml, and no line is of a word that is gone."""
    helps = read_schema(ROOT / "rules" / "vocabulary.yaml")
    assert set(helps["measures"]) == {"answer", *MEASURES}
    assert set(helps["comparisons"]) == {"all_of", "any_of", *COMPARISONS}
    text = render_editor_schema()
    assert [key for key, line in helps["keys"].items() if json.dumps(line, ensure_ascii=False) not in text] == []


@pytest.mark.slow
def test_the_command_prints_it_or_writes_it(tmp_path: Path) -> None:
    """The same bytes on standard output and in a file."""
    done = wallwalk("rules", "schema")
    assert (done.returncode, done.stdout, done.stderr) == (0, render_editor_schema(), "")
    target = tmp_path / "wallwalk.schema.json"
    done = wallwalk("rules", "schema", "-o", str(target))
    assert (done.returncode, done.stdout, done.stderr) == (0, f"Wrote {target}\n", "")
    assert target.read_text(encoding="utf-8") == render_editor_schema()
    done = wallwalk("rules", "schema", "-o", str(tmp_path / "nowhere" / "x.json"))
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        f"{tmp_path / 'nowhere' / 'x.json'}: cannot be written (No such file or directory); "
        "give a folder that is there and that you may write to\n"
    )
