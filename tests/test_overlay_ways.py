"""Overlays: which way a change goes is told from the rules that use the limit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import product
from typing import Any

import pytest

from overlays_laid import (
    changing,
    laid,
    limit_moved,
    rule_about,
    sound,
)
from wallwalk.comparisons import COMPARISONS
from wallwalk.judging import Outcome, outcome_of
from wallwalk.limits import AnyLimit
from wallwalk.overlaying import way_of
from wallwalk.rules import Check, RuleSet
from wallwalk.values import Interval, Measured, OneOf

BOARD, OTHERS = ["plaster", "concrete"], ["metal", "tile"]


@pytest.mark.parametrize(
    ("name", "to", "way"),
    [
        ("dwell_min", "36 h", "tighter"),
        ("dwell_min", "23 h 59 min", "looser"),
        ("dwell_min", "1440 min", "same"),
        ("dwell_min", "1 d", "same"),
        ("damp_max", "11 %MC", "tighter"),
        ("damp_max", "13 %MC", "looser"),
        ("air_min", "19 °C", "tighter"),
        ("air_min", "17 °C", "looser"),
        ("air_min", "64.4 °F", "same"),
        ("air_max", "29 °C", "tighter"),
        ("air_max", "31 °C", "looser"),
        ("air_max", "86 °F", "same"),
        ("swing_max", "9 °F", "same"),
        ("swing_max", "9.1 °F", "looser"),
        ("thirsty", ["plaster", "concrete", "plywood"], "tighter"),
        ("thirsty", ["plaster"], "looser"),
        ("thirsty", ["plaster", "plywood"], "either"),
        ("thirsty", ["concrete", "plaster"], "same"),
        ("band_min", "14 °C", "either"),
        ("band_min", "16 °C", "either"),
        ("band_min", "59 °F", "same"),
        ("forgiven", "2 h", "either"),
    ],
)
def test_the_way_of_a_change_is_told_from_the_rules_that_use_the_limit(name: str, to: Any, way: str) -> None:  # noqa: ANN401
    """Every side of the sound rule set: least, most, both ends of a band, words that make a rule apply, facts."""
    assert way_of(sound(), sound().limits[name], limit_moved(sound(), name, to)) == way
    (override,) = laid(sound(), changing(sound(), name, to)).overrides
    assert (override.way, override.was, override.now) == (
        way,
        sound().limits[name].written,
        ", ".join(to) if isinstance(to, list) else to,
    )


ALWAYS = Check("is", "dry_to_touch", words=("yes",))
OF_NUMBER = {"at_least": ("damp_max",), "at_most": ("damp_max",)}


@pytest.mark.parametrize(("word", "raised"), [("at_least", "tighter"), ("at_most", "looser")])
def test_a_limit_that_makes_a_rule_apply_goes_the_other_way(word: str, raised: str) -> None:
    """A value that more facts satisfy lets more pass where it is required, and makes more apply where it decides."""
    check_ = Check(word, "damp", limits=("damp_max",))
    was = sound().limits["damp_max"]
    up, down = (limit_moved(sound(), "damp_max", to) for to in ("13 %MC", "11 %MC"))
    other = {"tighter": "looser", "looser": "tighter"}
    for rules, raised_ in ((rule_about(check_), raised), (rule_about(ALWAYS, check_), other[raised])):
        assert [way_of(rules, was, now) for now in (up, down, was)] == [raised_, other[raised_], "same"]


@pytest.mark.parametrize(("word", "more"), [("is_one_of", "looser"), ("is_none_of", "tighter")])
def test_words_go_either_way_too(word: str, more: str) -> None:
    """A word more lets more pass by `is_one_of`, less by `is_none_of`; the reverse where it makes a rule apply."""
    check_ = Check(word, "substrate", limits=("thirsty",))
    was = sound().limits["thirsty"]
    now = [limit_moved(sound(), "thirsty", to) for to in ([*BOARD, "metal"], BOARD[:1], OTHERS, [*reversed(BOARD)])]
    other = {"tighter": "looser", "looser": "tighter"}
    for rules, way in ((rule_about(check_), more), (rule_about(ALWAYS, check_), other[more])):
        assert [way_of(rules, was, limit) for limit in now] == [way, other[way], "either", "same"]


@pytest.mark.parametrize(
    ("require", "applies", "raised"),
    [
        ("at_least", "at_least", "either"),
        ("at_most", "at_most", "either"),
        ("at_least", "at_most", "tighter"),
        ("at_most", "at_least", "looser"),
    ],
)
def test_a_limit_used_in_both_places_goes_one_way_only_if_both_do(require: str, applies: str, raised: str) -> None:
    """Where a rule both asks for the limit and applies by it, two ways that differ are *may be looser*."""
    asked, applying = (Check(word, "damp", limits=("damp_max",)) for word in (require, applies))
    rules = rule_about(asked, applying)
    was, now = sound().limits["damp_max"], limit_moved(sound(), "damp_max", "13 %MC")
    assert way_of(rules, was, now) == raised
    assert way_of(rules, now, was) == {"tighter": "looser", "looser": "tighter"}.get(raised, raised)


def test_a_limit_that_no_rule_uses_any_more_may_go_either_way() -> None:
    """Where the only rule that asked for it was dropped, nothing tells which way a change of the limit goes."""
    dropped = laid(sound(), {"drop": {"wall-dry-enough": {"because": "A test.", "basis": "from memory"}}})
    assert way_of(dropped, dropped.limits["damp_max"], limit_moved(dropped, "damp_max", "13 %MC")) == "either"


def held(rules: RuleSet, limits: Mapping[str, AnyLimit], damps: Iterable[Interval], walls: Iterable[OneOf]) -> set[int]:
    """Which of all pairs of a damp and a wall the one rule holds."""
    (rule,) = rules.rules.values()
    facts: list[dict[str, Measured]] = [
        {"damp": d, "substrate": w, "dry_to_touch": OneOf(frozenset({"no"}), "no")} for d, w in product(damps, walls)
    ]
    return {i for i, values in enumerate(facts) if outcome_of(rule, limits, values.__getitem__)[0] is Outcome.HOLD}


NUMBERED = [Check(word, "damp", limits=names) for word, names in OF_NUMBER.items()]
BANDS = [Check("between", "damp", limits=("damp_max", "wet")), Check("between", "damp", limits=("dry", "damp_max"))]
WORDED = [Check(word, "substrate", limits=("thirsty",)) for word in ("is_one_of", "is_none_of")]


@pytest.mark.parametrize("applying", [False, True])
@pytest.mark.parametrize("compared", [*NUMBERED, *BANDS, *WORDED], ids=lambda c: f"{c.word}-{'-'.join(c.limits)}")
def test_the_way_of_a_change_is_what_it_does_to_every_fact(compared: Check, *, applying: bool) -> None:
    """Over all damps and walls: looser holds fewer of them, tighter more, same the same; by trying, not by table."""
    percent = [Interval("moisture %MC", Fraction(n, 2), Fraction(n, 2)) for n in range(40)]
    words = [OneOf(frozenset({w}), w) for w in (*BOARD, *OTHERS, "plywood")]
    rules = rule_about(ALWAYS, compared) if applying else rule_about(compared)
    dry, wet = (
        replace(limit_moved(sound(), "damp_max", to), name=n) for n, to in (("dry", "4 %MC"), ("wet", "16 %MC"))
    )
    limits = {**sound().limits, "dry": dry, "wet": wet}
    name = "thirsty" if compared in WORDED else "damp_max"
    values: list[Any] = ["10 %MC", "14 %MC", "12 %MC"]
    if compared in WORDED:
        values = [[*BOARD, "metal"], BOARD[:1], [*reversed(BOARD)]]
    before = held(rules, limits, percent, words)
    seen = []
    for to in values:
        now = limit_moved(sound(), name, to)
        after = held(rules, {**limits, name: now}, percent, words)
        way = "same" if after == before else "looser" if after < before else "tighter" if after > before else "either"
        assert way_of(replace(rules, limits=limits), limits[name], now) == way
        seen.append(way)
    assert sorted(seen) == ["looser", "same", "tighter"]


def test_a_limit_at_both_ends_of_a_band_may_go_either_way() -> None:
    """`between: [damp, x, x]` asks for exactly x; another x lets other facts pass, neither more nor fewer."""
    rules = rule_about(Check("between", "damp", limits=("damp_max", "damp_max")))
    assert way_of(rules, sound().limits["damp_max"], limit_moved(sound(), "damp_max", "13 %MC")) == "either"


def test_every_side_of_every_comparison_is_tried_above() -> None:
    """A comparison with a limit that is added to the table wants its way told too."""
    with_limits = {word for word, c in COMPARISONS.items() if c.sides or word in {"is_one_of", "is_none_of"}}
    assert with_limits == {"at_least", "at_most", "between", "is_one_of", "is_none_of"}
    assert with_limits == {c.word for c in (*NUMBERED, *BANDS, *WORDED)}
