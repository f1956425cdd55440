"""What a rule set asks, and which of it still matters: nothing a rule reads is left out, nothing else is asked."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from survey_strategies import random_survey
from surveys import EXAMPLES, example_document, rule_set_called, rules_of, survey_of
from wallwalk.asking import Asked, sections, wanted
from wallwalk.judging import Outcome, judge
from wallwalk.resources import rule_set_names
from wallwalk.rules import RuleSet

RULES = Path(__file__).parent.parent / "rules"
ALONE = ("time_zone", "rules")
"""Answers that no rule reads, and by which the others are read."""


def declared(rule_set: str) -> set[str]:
    """Every path that a fact of the theme files names, read from the files themselves."""

    def strings(node: Any) -> Iterator[str]:  # noqa: ANN401 - whatever a file holds
        if isinstance(node, str):
            yield node
        elif isinstance(node, dict):
            for key, part in node.items():
                yield from strings(part) if key not in {"limit", "scale", "logged"} else ()
        elif isinstance(node, list):
            for part in node:
                yield from strings(part)

    found: set[str] = set()
    for file in (RULES / rule_set).glob("*.yaml"):
        for fact in (yaml.safe_load(file.read_text()).get("facts") or {}).values():
            apart = {"about", "title", "es", "examples"}
            found.update(strings({key: part for key, part in fact.items() if key not in apart}))
    return found


def covers(asked: Asked, path: str) -> bool:
    """Whether a path in a rule file is that of a question, or lies inside a list, that is asked."""
    seen = f"walls.{asked.path}" if asked.about == "wall" else asked.path
    return path in {asked.path, seen} or path.startswith((f"{asked.path}.", f"{seen}."))


@pytest.mark.parametrize("name", rule_set_names())
def test_everything_that_a_fact_reads_is_asked_once(name: str) -> None:
    """Each path of the rule files is asked in exactly one section, and no question twice."""
    asked = [a for section in sections(rule_set_called(name)) for a in section.asked]
    assert len({(a.about, a.path) for a in asked}) == len(asked)
    paths = declared(name)
    assert len(paths) > 60
    assert [p for p in paths if not any(covers(a, p) for a in asked)] == []


@pytest.mark.parametrize("name", rule_set_names())
def test_nothing_is_asked_that_no_rule_reads(name: str) -> None:
    """But for the head of the survey and the photos, each thing asked is named by a fact or leads to one that is."""
    paths = declared(name)
    asked = [a for s in sections(rule_set_called(name)) if s.name not in {"job", "photos"} for a in s.asked]
    leads = {a.question.follows for a in asked if a.question is not None}
    logs = {"climate_log"} if "climate_log" in {a.path for a in asked} else set()
    assert [a.path for a in asked if not any(covers(a, p) for p in paths) and a.path not in leads | logs] == []


def test_sections_are_in_the_order_of_the_themes() -> None:
    """The head first, then the rule set's themes in their order, the photos last; a group stays together."""
    found = sections(rule_set_called("rigid-sheet"))
    themes = [t for t in rule_set_called("rigid-sheet").themes if t in {s.name for s in found}]
    assert [s.name for s in found] == ["job", *themes, "photos"]
    where = {(a.about, a.path.split(".")[0], s.name) for s in found for a in s.asked}
    assert len(where) == len({(about, group) for about, group, _ in where})


def unwanted_taken_out(data: Any, rule_set: RuleSet) -> Any:  # noqa: ANN401 - a document's data
    """The survey without every answer that is not asked, as things stand."""
    survey = survey_of(data)
    found = wanted(rule_set, survey, judge(rule_set, survey))
    less = copy.deepcopy(data)
    _keep(less, "", found[""], keep=("walls", *ALONE))
    for i, wall in enumerate(less.get("walls", ())):
        _keep(wall, "", found[f"walls[{i}]"])
    return less


def _keep(group: Any, prefix: str, paths: frozenset[str], keep: tuple[str, ...] = ()) -> None:  # noqa: ANN401
    counts = {f"{path}_taken" for path in paths} | {"climate_logs_kept", "sheet_lots_here", "adhesive_lots_here"}
    for name in tuple(group):
        path = f"{prefix}{name}"
        if path in paths or path in counts or path in keep:
            continue
        if isinstance(group[name], dict):
            _keep(group[name], f"{path}.", paths)
        else:
            del group[name]


def outcomes(data: Any, rule_set: RuleSet) -> dict[tuple[str, str], Outcome]:  # noqa: ANN401
    """What each rule comes to for each subject."""
    return {(f.rule.name, f.subject.name): f.outcome for f in judge(rule_set, survey_of(data))}


def assert_enough(data: Any) -> int:  # noqa: ANN401
    """What is asked decides as much as everything that was answered; how many answers were not asked for."""
    rule_set = rules_of(data)
    less = unwanted_taken_out(data, rule_set)
    assert outcomes(less, rule_set) == outcomes(data, rule_set)
    return str(data).count("'") - str(less).count("'")


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_what_is_asked_of_an_example_decides_it(path: Path) -> None:
    """Every finding of an example stays as it is when the answers that are not asked for are taken out."""
    assert_enough(example_document(path.stem).data)


@pytest.mark.slow
@pytest.mark.parametrize("rules", rule_set_names())
def test_what_is_asked_decides_random_surveys(rules: str) -> None:
    """The same for surveys drawn from the schema, whose answers mostly were not asked for."""
    taken = [assert_enough({**random_survey(seed, answered=0.9), "rules": rules}) for seed in range(12)]
    assert all(taken)


def put(data: Any, place: str, path: str, whole: Any) -> bool:  # noqa: ANN401
    """Copy one answer, or list, from the whole survey into the one being filled in; whether there was something new."""
    for step in ("walls", int(place[6:-1])) if place else ():
        data, whole = data[step], whole[step]
    *groups, name = path.split(".")
    for group in groups:
        whole = whole.get(group, {})
        data = data.setdefault(group, {})
    if name not in whole or name in data:
        return False
    data[name] = copy.deepcopy(whole[name])
    for count in (f"{name}_taken", {"sheet_lots": "sheet_lots_here"}.get(name, ""), f"{name[:-4]}_logs_kept"):
        if count in whole:
            data[count] = whole[count]
    return True


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_answering_only_what_is_asked_reaches_the_same_findings(path: Path) -> None:
    """From an empty survey, question by question, only what is asked being answered, to what the whole one comes to."""
    whole: Any = example_document(path.stem).data
    rule_set = rules_of(whole)
    kept = ("adhesive_lots_here", "climate_logs_kept", *ALONE)
    data: Any = {
        "walls": [{"name": wall["name"]} for wall in whole["walls"]],
        **{k: whole[k] for k in kept if k in whole},
    }
    for _ in range(12):
        survey = survey_of(data)
        found = wanted(rule_set, survey, judge(rule_set, survey))
        if not [p for p, paths in found.items() for one in sorted(paths) if put(data, p, one, whole)]:
            break
    assert outcomes(data, rule_set) == outcomes(whole, rule_set)
