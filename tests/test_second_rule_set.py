"""The engine knows no rule set: its sources name nothing of any, and each judges whatever survey it is given."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from surveys import EXAMPLES, ROOT, example, example_rules, rule_set_called
from test_cli import wallwalk
from wallwalk.checking import check
from wallwalk.comparisons import COMPARISONS
from wallwalk.measures import MEASURES
from wallwalk.resources import rule_set_names
from wallwalk.rules import Check
from wallwalk.yamlio import read_yaml

SETS = rule_set_names()
SOURCES = sorted((ROOT / "inspect" / "wallwalk").rglob("*.py"))
TEMPLATES = sorted(path for path in (ROOT / "templates").rglob("*") if path.is_file())
RIGID = [path.stem for path in EXAMPLES if example_rules(path.stem).name == "rigid-sheet"]

# The measure and a fact made with it are called alike; what stands in the source is the measure.
VOCABULARY = {*MEASURES, *COMPARISONS}


def names_of(name: str) -> set[str]:
    """Every rule, fact and limit of a rule set, but for the words that rule sets are written in."""
    rule_set = rule_set_called(name)
    return {*rule_set.rules, *rule_set.facts, *rule_set.limits} - VOCABULARY


def told(path: Path, names: set[str]) -> set[tuple[int, str]]:
    """Line and name, for each of `names` that a file holds: as a whole string, or anywhere where it is of two words."""
    found = set()
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        quoted = set(re.findall(r"""["'`{]([a-z][a-z0-9_-]*)["'`}]""", line))
        words = {word for word in re.findall(r"[a-z0-9_-]+", line) if "_" in word or "-" in word}
        found |= {(number, name) for name in names & (quoted | words)}
    return found


@pytest.mark.parametrize("name", SETS)
@pytest.mark.parametrize("files", [SOURCES, TEMPLATES], ids=["sources", "templates"])
def test_the_engine_names_no_rule_fact_or_limit(files: list[Path], name: str) -> None:
    """Neither Python nor template says the name of any rule, fact or limit."""
    names = names_of(name)
    assert len(names) > 150
    assert len(files) >= 5
    assert {str(path.relative_to(ROOT)): told(path, names) for path in files if told(path, names)} == {}


def test_a_name_would_be_seen(tmp_path: Path) -> None:
    """The search is no formality: a name is found as a string, and in the run of a comment or a template."""
    source = tmp_path / "source.py"
    source.write_text('x = facts["patched"]\n# see roll_cover_min\n{{ facts.mould_seen }}\n"no-mould-seen"\n')
    assert told(source, names_of("pasted-wallcovering")) == {
        (1, "patched"),
        (2, "roll_cover_min"),
        (3, "mould_seen"),
        (4, "no-mould-seen"),
    }


@pytest.mark.parametrize("name", SETS)
def test_no_rule_set_is_named_but_the_one_in_default(name: str) -> None:
    """The only rule set that the sources name is the one taken where a survey names none, in one place."""
    named = [
        (path.name, line.strip())
        for path in (*SOURCES, *TEMPLATES)
        for line in path.read_text(encoding="utf-8").splitlines()
        if name in line
    ]
    assert named == ([("resources.py", 'DEFAULT_RULE_SET = "rigid-sheet"')] if name == "rigid-sheet" else [])


def test_the_second_is_no_copy_of_the_first() -> None:
    """No rule or limit of it is called as one of the first, and who hangs it is another party."""
    first, second = (rule_set_called(name) for name in ("rigid-sheet", "pasted-wallcovering"))
    assert set(first.rules) & set(second.rules) == set()
    assert set(first.limits) & set(second.limits) == set()
    assert set(second.parties) - set(first.parties) == {"paperhanger"}


def test_no_text_of_the_second_speaks_of_sheet() -> None:
    """Whoever hangs wallcovering reads nothing of sheet, trowel or mastic, but for safety data sheets."""
    rule_set = rule_set_called("pasted-wallcovering")
    texts = [t for r in rule_set.rules.values() for t in (r.title, r.hold, r.put_right, r.why)]
    texts += [fact.title for fact in rule_set.facts.values()] + list(rule_set.themes.values()) + [rule_set.made_for]
    spoken = re.compile(r"\b(?<!data )sheets?\b|trowel|mastic", re.IGNORECASE)
    assert len(texts) > 300
    assert [text for text in texts if spoken.search(text)] == []


@pytest.mark.slow
@pytest.mark.parametrize("name", RIGID)
def test_a_survey_of_sheet_holds_under_the_other_rules(name: str) -> None:
    """What was walked for rigid sheet says nothing of rolls and paste: HOLD, each such rule not verified, no crash."""
    done = wallwalk("check", f"examples/{name}.yaml", "--rules", "pasted-wallcovering")
    assert (done.returncode, done.stdout[:4], done.stderr) == (1, "HOLD", "")
    assert "Pasted wallcovering" in done.stdout
    for rule in ("rolls-of-one-run", "roll-order-is-noted", "paste-suits-the-covering", "face-smooth-under-a-lamp"):
        assert f"[{rule}]" in done.stdout


@pytest.mark.slow
def test_a_survey_of_wallcovering_holds_under_the_rules_for_sheet() -> None:
    """The other way round as well: nothing is known of the sheets."""
    done = wallwalk("check", "examples/507-reading-room.yaml", "--rules", "rigid-sheet")
    assert (done.returncode, done.stdout[:4], done.stderr) == (1, "HOLD", "")
    assert "[sheets-acclimated]" in done.stdout


def test_the_new_questions_are_told_in_spanish_too() -> None:
    """Each question asked for wallcovering alone has its title in Spanish, and its help where it has help."""
    schema = read_yaml(ROOT / "rules" / "survey.schema.yaml", "survey.schema.yaml").data
    assert isinstance(schema, dict)
    properties: Any = schema["properties"]
    groups = [properties["rolls"], properties["walls"]["items"]["properties"]["covering"]]
    parts = [*groups, *(part for group in groups for part in group["properties"].values())]
    assert len(parts) > 15
    lacking = [part["title"] for part in parts if not {"title", "description"} & set(part) <= set(part.get("es", {}))]
    assert lacking == []


def test_a_limit_on_how_long_the_logged_air_may_be_held_marks_no_moment() -> None:
    """A rule that allows no more than so long in the band names no moment from which it has to be held."""
    rule_set, survey = rule_set_called("pasted-wallcovering"), example("507-reading-room")
    rule = rule_set.rules["hanging-band-held-by-the-log"]
    turned = replace(rule, require=Check("at_most", "hanging_band_held", limits=("hanging_band_held_min",)))
    records = [check(survey, replace(rule_set, rules={rule.name: one})) for one in (rule, turned)]
    assert [mark["kind"] for record in records for mark in record["climate"]["marks"]] == [
        "start", "walk", "window",
        "start", "walk",
    ]  # fmt: skip
