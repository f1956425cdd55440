"""Overlays made in a test, laid over a rule set, and what comes of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import yaml

from surveys import ROOT
from test_bad import SOUND
from wallwalk.checking import load_rule_set
from wallwalk.climate_reader import read_climate
from wallwalk.errors import InputError
from wallwalk.fact_proving import example_value, expected_value, is_as, show_example_value
from wallwalk.judging import Finding, judge
from wallwalk.limit_reader import read_limit
from wallwalk.limits import AnyLimit, WordLimit
from wallwalk.overlay_reader import read_overlay
from wallwalk.overlaying import lay_over
from wallwalk.proving import try_example
from wallwalk.rules import Condition, RuleSet
from wallwalk.survey import Survey

FOLDER = ROOT / "examples" / "overlays"
NESSUVAL, ORRELANE, QUILLEN = (
    FOLDER / f"{name}.yaml" for name in ("nessuval-2026", "orrelane-2026", "quillen-ferry-specification")
)
ALL = (NESSUVAL, ORRELANE, QUILLEN)
CORRIDOR, TREATMENT_ROOM = "110-link-corridor", "204-treatment-room"

Told = dict[tuple[str, str], Any]


def laid(base: RuleSet, *overlays: Path | Mapping[str, Any]) -> RuleSet:
    """`base` with each overlay laid over it: a file, or the sections of one."""
    with TemporaryDirectory() as folder:
        for i, overlay in enumerate(overlays):
            path = overlay if isinstance(overlay, Path) else written(overlay, Path(folder) / f"{i}.yaml", base.name)
            base = lay_over(base, read_overlay(path, base, path.name))
    return base


def written(sections: Mapping[str, Any], path: Path, over: str = "rigid-sheet") -> Path:
    """The file of an overlay that holds these sections."""
    head = {"overlay": f"Overlay {path.stem}", "for": over, "revision": "2026-03-01"}
    path.write_text(yaml.safe_dump({**head, **sections}, allow_unicode=True, sort_keys=False), encoding="utf-8")
    return path


def refusal_of(base: RuleSet, *overlays: Path | Mapping[str, Any]) -> list[str]:
    """The lines with which the last overlay is refused."""
    with pytest.raises(InputError) as refused:
        laid(base, *overlays)
    return str(refused.value).splitlines()


def changing(base: RuleSet, name: str, to: str | list[str]) -> dict[str, Any]:
    """The sections of an overlay that gives one limit another value or other words, with the flips that follow."""
    part: dict[str, Any] = {"words" if isinstance(to, list) else "value": to}
    moved = replace(base, limits={**base.limits, name: limit_moved(base, name, to)})
    flips: dict[str, dict[str, str]] = {}
    for rule in base.rules.values():
        for example_ in rule.examples:
            outcome = try_example(moved, rule, example_).value
            if outcome != example_.expect:
                flips.setdefault(rule.name, {})[example_.name] = outcome
    for fact in base.facts.values():
        for fact_example in fact.examples if name in fact.limits else ():
            value = example_value(moved, fact, fact_example)
            if not is_as(value, expected_value(fact, fact_example)):
                flips.setdefault(fact.name, {})[fact_example.name] = show_example_value(value)
    because = {"because": "For a test.", "basis": base.limits[name].basis}
    return {"limits": {name: {**part, **because, **({"flips": flips} if flips else {})}}}


def limit_moved(base: RuleSet, name: str, to: str | list[str]) -> AnyLimit:
    """The limit of that name with another value or other words."""
    limit = base.limits[name]
    if isinstance(limit, WordLimit):
        return replace(limit, words=tuple(to))
    part = {"value": to, "step": limit.step_written, "kind": limit.kind, "basis": limit.basis}
    return read_limit(name, part, (name,))


def rule_about(require: Condition, applies_when: Condition | None = None, base: RuleSet | None = None) -> RuleSet:
    """A rule set of one rule, that requires and applies as given."""
    base = base or sound()
    rule = replace(base.rules["wall-dry-enough"], require=require, applies_when=applies_when)
    return replace(base, rules={rule.name: rule}, facts={f.name: f for f in base.facts.values() if not f.limits})


@cache
def sound() -> RuleSet:
    """The small rule set of the tests, proven."""
    return load_rule_set(str(SOUND))


def by(rule_set: RuleSet, survey: Survey) -> Survey:
    """A survey whose climate logs are read for the limits of `rule_set`."""
    return read_climate(survey, rule_set, ROOT / "examples")


def outcomes(rule_set: RuleSet, survey: Survey) -> dict[tuple[str, str], str]:
    """What each rule comes to for each subject."""
    return {(f.rule.name, f.subject.name): f.outcome.value for f in judge(rule_set, by(rule_set, survey))}


def told(findings: Iterable[Finding]) -> Told:
    """Everything that findings say, but for the rule's own examples."""
    return {
        (f.rule.name, f.subject.name): (f.outcome, f.compared, dict(f.facts), f.rule.require, f.rule.applies_when)
        for f in findings
    }


def moved(before: dict[tuple[str, str], str], after: dict[tuple[str, str], str]) -> dict[tuple[str, str], str]:
    """Each finding that comes out otherwise, as `pass to hold`; one that came or went has nothing on that side."""
    keys = (*before, *(key for key in after if key not in before))
    return {
        key: f"{before.get(key, 'nothing')} to {after.get(key, 'nothing')}"
        for key in keys
        if before.get(key) != after.get(key)
    }
