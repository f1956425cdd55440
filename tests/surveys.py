"""What several tests need: the examples, the rule set, and surveys made from them with parts changed."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from wallwalk.checking import load_rule_set
from wallwalk.climate import Climate
from wallwalk.climate_reader import asked_of_logs, read_climate
from wallwalk.facts import LOGS
from wallwalk.photo_reader import read_photos
from wallwalk.resources import DEFAULT_RULE_SET
from wallwalk.rules import RuleSet
from wallwalk.survey import Survey
from wallwalk.survey_reader import parse_survey, read_survey
from wallwalk.yamlio import Document, parse_yaml, read_yaml

ROOT = Path(__file__).parent.parent
FOLDER = ROOT / "examples"
EXAMPLES = tuple(sorted(FOLDER.glob("*.yaml")))
_climates: dict[Hashable, Climate] = {}


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
    return read_yaml(FOLDER / f"{name}.yaml", f"{name}.yaml")


@cache
def example(name: str) -> Survey:
    """One example, read, with its climate logs and its photos."""
    rule_set = example_rules(name)
    logged = read_climate(read_survey(FOLDER / f"{name}.yaml", f"{name}.yaml"), rule_set, FOLDER)
    return read_photos(logged, rule_set, FOLDER)


def example_rules(name: str) -> RuleSet:
    """The rule set that one example is judged by."""
    return rules_of(example_document(name).data)


def survey_of(data: Any, folder: Path = FOLDER) -> Survey:  # noqa: ANN401 - a document's data
    """A survey from plain data, as if it had been read from a file in `folder`, where its climate logs lie."""
    survey, rule_set = parse_survey(Document("survey.yaml", data, {}, "0" * 64)), rules_of(data)
    if folder != FOLDER:
        return read_climate(survey, rule_set, folder)
    # The logs of the examples never change: what is asked of them alike, they answer alike.
    asked = (rule_set.name, survey.zone, repr(survey.space.rolls.get(LOGS)), asked_of_logs(survey, rule_set))
    if asked not in _climates:
        _climates[asked] = read_climate(survey, rule_set, folder).climate
    return replace(survey, climate=_climates[asked])


def survey_from(text: str) -> Survey:
    """A survey from YAML text."""
    return parse_survey(parse_yaml(text.encode(), "survey.yaml"))
