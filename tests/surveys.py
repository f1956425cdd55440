"""What several tests need: the examples, the rule set, and surveys made from them with parts changed."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from wallwalk.checking import load_rule_set
from wallwalk.climate_reader import read_climate
from wallwalk.photo_reader import read_photos
from wallwalk.resources import DEFAULT_RULE_SET
from wallwalk.rules import RuleSet
from wallwalk.survey import Survey
from wallwalk.survey_reader import parse_survey, read_survey
from wallwalk.yamlio import Document, parse_yaml, read_yaml

ROOT = Path(__file__).parent.parent
EXAMPLES = tuple(sorted((ROOT / "examples").glob("*.yaml")))


@cache
def rule_set_called(name: str) -> RuleSet:
    """A rule set that comes with the program, proven."""
    return load_rule_set(name)


def rigid_sheet() -> RuleSet:
    """The rule set for rigid sheet, proven."""
    return rule_set_called("rigid-sheet")


def rules_of(data: Any) -> RuleSet:  # noqa: ANN401 - a document's data
    """The rule set that a survey names, or the one it is judged by where it names none."""
    return rule_set_called(data.get("rules") or DEFAULT_RULE_SET)


@cache
def example_document(name: str) -> Document:
    """The YAML document of one example."""
    return read_yaml(ROOT / "examples" / f"{name}.yaml", f"{name}.yaml")


@cache
def example(name: str) -> Survey:
    """One example, read, with its climate logs and its photos."""
    folder, rule_set = ROOT / "examples", example_rules(name)
    logged = read_climate(read_survey(folder / f"{name}.yaml", f"{name}.yaml"), rule_set, folder)
    return read_photos(logged, rule_set, folder)


def example_rules(name: str) -> RuleSet:
    """The rule set that one example is judged by."""
    return rules_of(example_document(name).data)


def survey_of(data: Any, folder: Path = ROOT / "examples") -> Survey:  # noqa: ANN401 - a document's data
    """A survey from plain data, as if it had been read from a file in `folder`, where its climate logs lie."""
    return read_climate(parse_survey(Document("survey.yaml", data, {}, "0" * 64)), rules_of(data), folder)


def survey_from(text: str) -> Survey:
    """A survey from YAML text."""
    return parse_survey(parse_yaml(text.encode(), "survey.yaml"))
