"""Judging alone: microseconds a rule and subject, beside the same conditions in plain Python and in other engines.

Run: python tests/bench/judging.py, with the extra `bench`. Twelve of the 132 rules, chosen for their different shapes,
are judged for the two walls of an example of which every fact of theirs is known. In the other engines each rule is one
condition written by hand: it does not apply, or what it requires is so. They are given plain numbers and words and say
yes or no; wallwalk is given intervals and says one of four words, with every comparison it made. That all agree is
checked first. Medians of five runs, by turns, of processor time.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import celpy
import rule_engine
from jsonschema import Draft202012Validator

from wallwalk import read_inputs
from wallwalk.facts import Facts
from wallwalk.judging import Outcome, judge, outcome_of
from wallwalk.rules import checks
from wallwalk.values import Interval, Measured, OneOf, Series

SURVEY = Path(__file__).parent.parent.parent / "examples" / "204-treatment-room.yaml"
WALLS = ("North", "East")
RUNS, TURNS = 5, 400

Plain = Mapping[str, float | str]

POROUS = ("gypsum board", "veneer plaster", "plaster", "concrete", "concrete masonry", "plywood")
KNOWN = (*POROUS, "painted wall", "metal", "tile")
GYPSUM = "gypsum board"


def _primed(f: Plain) -> bool:
    return f["substrate"] in POROUS or f["primer_kind"] != "none"


PYTHON: dict[str, Callable[[Any], bool]] = {
    "substrate-is-known": lambda f: f["substrate"] in KNOWN,
    "gypsum-finished-to-level": lambda f: f["substrate"] != GYPSUM or f["gypsum_finish_level"] >= 4,
    "gypsum-moisture-low": lambda f: f["substrate"] != GYPSUM or f["gypsum_moisture"] <= 1,
    "wall-flat": lambda f: f["flatness_gap"] <= 0.003175,
    "joint-compound-dry": lambda f: f["substrate"] != GYPSUM or f["compound_dry"] == "yes",
    "no-oil-or-wax": lambda f: f["oil_or_wax"] == "no",
    "no-pva-primer": lambda f: f["pva_primer_in_wall"] == "no" and f["primer_kind"] != "PVA",
    "primer-is-water-based": lambda f: not _primed(f) or f["primer_kind"] == "water-based acrylic",
    "primer-has-dwelled": lambda f: not _primed(f) or f["primer_dwell"] >= 86400,
    "primed-in-its-range": lambda f: (
        not _primed(f)
        or (
            f["primer_air_over_low"] >= 0
            and f["primer_air_under_high"] >= 0
            and f["primer_surface_over_low"] >= 0
            and f["primer_surface_under_high"] >= 0
        )
    ),
    "surface-readings-recent": lambda f: (
        f["surface_reading_first"] <= 14400
        and f["surface_reading_last"] >= -14400
        and f["surface_read_before_start"] >= 0
    ),
    "gap-at-frames": lambda f: f["frames_on_wall"] != "yes" or f["gap_at_frames"] >= 0.0015875,
}

_POROUS = ", ".join(f'"{word}"' for word in POROUS)
_KNOWN = ", ".join(f'"{word}"' for word in KNOWN)
_NOT_PRIMED = f'NOT (substrate in [{_POROUS}] OR primer_kind != "none")'

# In the words of CEL; `rule_engine` writes and, or, not, and otherwise the same.
CEL: dict[str, str] = {
    "substrate-is-known": f"substrate in [{_KNOWN}]",
    "gypsum-finished-to-level": 'substrate != "gypsum board" OR gypsum_finish_level >= 4.0',
    "gypsum-moisture-low": 'substrate != "gypsum board" OR gypsum_moisture <= 1.0',
    "wall-flat": "flatness_gap <= 0.003175",
    "joint-compound-dry": 'substrate != "gypsum board" OR compound_dry == "yes"',
    "no-oil-or-wax": 'oil_or_wax == "no"',
    "no-pva-primer": 'pva_primer_in_wall == "no" AND primer_kind != "PVA"',
    "primer-is-water-based": f'{_NOT_PRIMED} OR primer_kind == "water-based acrylic"',
    "primer-has-dwelled": f"{_NOT_PRIMED} OR primer_dwell >= 86400.0",
    "primed-in-its-range": f"{_NOT_PRIMED} OR (primer_air_over_low >= 0.0 AND primer_air_under_high >= 0.0"
    " AND primer_surface_over_low >= 0.0 AND primer_surface_under_high >= 0.0)",
    "surface-readings-recent": "surface_reading_first <= 14400.0 AND surface_reading_last >= -14400.0"
    " AND surface_read_before_start >= 0.0",
    "gap-at-frames": 'frames_on_wall != "yes" OR gap_at_frames >= 0.0015875',
}


def _schema(**properties: object) -> dict[str, object]:
    return {"required": list(properties), "properties": properties}


def _when(applies: object, require: object) -> dict[str, object]:
    return {"if": applies, "then": require}


_ON_GYPSUM = _schema(substrate={"const": GYPSUM})
_IS_PRIMED = {
    "anyOf": [_schema(substrate={"enum": list(POROUS)}), _schema(primer_kind={"not": {"const": "none"}})],
}
_OVER = {"minimum": 0}
SCHEMAS: dict[str, dict[str, object]] = {
    "substrate-is-known": _schema(substrate={"enum": list(KNOWN)}),
    "gypsum-finished-to-level": _when(_ON_GYPSUM, _schema(gypsum_finish_level={"minimum": 4})),
    "gypsum-moisture-low": _when(_ON_GYPSUM, _schema(gypsum_moisture={"maximum": 1})),
    "wall-flat": _schema(flatness_gap={"maximum": 0.003175}),
    "joint-compound-dry": _when(_ON_GYPSUM, _schema(compound_dry={"const": "yes"})),
    "no-oil-or-wax": _schema(oil_or_wax={"const": "no"}),
    "no-pva-primer": _schema(pva_primer_in_wall={"const": "no"}, primer_kind={"not": {"const": "PVA"}}),
    "primer-is-water-based": _when(_IS_PRIMED, _schema(primer_kind={"const": "water-based acrylic"})),
    "primer-has-dwelled": _when(_IS_PRIMED, _schema(primer_dwell={"minimum": 86400})),
    "primed-in-its-range": _when(
        _IS_PRIMED,
        _schema(
            primer_air_over_low=_OVER,
            primer_air_under_high=_OVER,
            primer_surface_over_low=_OVER,
            primer_surface_under_high=_OVER,
        ),
    ),
    "surface-readings-recent": _schema(
        surface_reading_first={"maximum": 14400},
        surface_reading_last={"minimum": -14400},
        surface_read_before_start=_OVER,
    ),
    "gap-at-frames": _when(_schema(frames_on_wall={"const": "yes"}), _schema(gap_at_frames={"minimum": 0.0015875})),
}


def plain(value: Measured) -> float | str:
    """A known value as another engine takes it: a number in base units (an interval's middle), or a word."""
    if isinstance(value, OneOf) and value.possible is not None and value.is_known:
        return next(iter(value.possible))
    if isinstance(value, Series) or not isinstance(value, Interval) or not value.is_known:
        raise ValueError(f"{value} is not known")
    return float((value.low + value.high) / 2)


def in_cel(values: Plain) -> dict[str, object]:
    """The values as `celpy` wants them."""
    types = celpy.celtypes
    return {name: types.StringType(v) if isinstance(v, str) else types.DoubleType(v) for name, v in values.items()}


def engines() -> tuple[dict[str, Callable[[], list[bool]]], int]:
    """Each engine as a call that judges every rule for every wall, and how many findings that is."""
    survey, rule_set = read_inputs(SURVEY)
    rules = [rule_set.rules[name] for name in PYTHON]
    names = {c.fact for rule in rules for part in (rule.applies_when, rule.require) for c in checks(part)}
    walls = [wall for wall in survey.subjects("wall") if wall.name in WALLS]
    measured = [{name: Facts(rule_set, survey, wall)[name].value for name in sorted(names)} for wall in walls]
    values = [{name: plain(value) for name, value in facts.items()} for facts in measured]
    cel_values = [in_cel(facts) for facts in values]
    python = [PYTHON[rule.name] for rule in rules]
    words = [(" OR ", " or "), (" AND ", " and "), ("NOT ", "not ")]
    texts = list(CEL.values())
    for one, other in words:
        texts = [text.replace(one, other) for text in texts]
    matching = [rule_engine.Rule(text) for text in texts]
    environment = celpy.Environment()
    cel = [t.replace(" OR ", " || ").replace(" AND ", " && ").replace("NOT ", "!") for t in CEL.values()]
    programs = [environment.program(environment.compile(text)) for text in cel]
    validators = [Draft202012Validator(schema) for schema in SCHEMAS.values()]

    def ours() -> list[bool]:
        limits = rule_set.limits
        outcomes = [outcome_of(rule, limits, facts.__getitem__)[0] for facts in measured for rule in rules]
        return [outcome in (Outcome.PASS, Outcome.DOES_NOT_APPLY) for outcome in outcomes]

    def ours_from_answers() -> list[bool]:
        found = judge(rule_set, survey, rules)
        by_wall = {(f.subject.name, f.rule.name): f.outcome for f in found if f.subject.name in WALLS}
        return [by_wall[wall, rule.name] in (Outcome.PASS, Outcome.DOES_NOT_APPLY) for wall in WALLS for rule in rules]

    return {
        "Python, by hand": lambda: [rule(facts) for facts in values for rule in python],
        "wallwalk, facts measured": ours,
        "wallwalk, from the answers": ours_from_answers,
        "rule-engine": lambda: [rule.matches(facts) for facts in values for rule in matching],
        "jsonschema": lambda: [one.is_valid(facts) for facts in values for one in validators],
        "cel-python": lambda: [bool(one.evaluate(facts)) for facts in cel_values for one in programs],
    }, len(rules) * len(walls)


def main() -> None:
    """Print the table."""
    calls, findings = engines()
    said = {name: call() for name, call in calls.items()}
    if len({tuple(one) for one in said.values()}) != 1:
        raise SystemExit(f"the engines do not agree: {said}")
    taken: dict[str, list[float]] = {name: [] for name in calls}
    for _ in range(RUNS):
        for name, call in calls.items():
            began = time.process_time()
            for _ in range(TURNS):
                call()
            taken[name].append((time.process_time() - began) / TURNS)
    floor = statistics.median(taken["Python, by hand"])
    sys.stdout.write(
        f"{len(PYTHON)} rules, {findings // len(PYTHON)} walls\n{'':28}{'µs a finding':>14}{'/ Python':>10}\n"
    )
    for name, times in taken.items():
        # From the answers, two walls more are judged than are looked at.
        count = 2 * findings if name.endswith("answers") else findings
        each = 1e6 * statistics.median(times) / count
        sys.stdout.write(f"{name:28}{each:14.2f}{each / (1e6 * floor / findings):10.0f}\n")


if __name__ == "__main__":
    main()
