"""Facts made with limits prove themselves: by examples that give answers and the rows of a log, and pin each limit.

What a rule set may not write in such an example stands in `bad/rule_sets/`, each with its whole message.
"""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from surveys import rigid_sheet
from test_bad import SOUND
from wallwalk.checking import load_rule_set
from wallwalk.errors import InputError
from wallwalk.fact_proving import example_value, expected_value, is_as
from wallwalk.limits import Limit
from wallwalk.proving import proof_faults
from wallwalk.resources import rule_set_names
from wallwalk.rules import RuleSet


@pytest.fixture(params=[*rule_set_names(), str(SOUND)], ids=[*rule_set_names(), "sound"])
def rule_set(request: pytest.FixtureRequest) -> RuleSet:
    """The rule sets that come with the program, and the small one of the tests."""
    return load_rule_set(request.param)


def test_every_fact_with_limits_has_examples_and_they_come_out(rule_set: RuleSet) -> None:
    """Each fact that a limit is part of is tried on at least one example, and is what its author says."""
    made = [fact for fact in rule_set.facts.values() if fact.limits]
    assert made
    assert [fact.name for fact in made if not fact.examples] == []
    assert [
        (fact.name, example.name)
        for fact in rule_set.facts.values()
        for example in fact.examples
        if not is_as(example_value(rule_set, fact, example), expected_value(fact, example))
    ] == []


def test_there_are_facts_from_logs_among_them() -> None:
    """The rigid sheet rules make at least five facts of a log and a band, each with examples of rows."""
    logged = [fact for fact in rigid_sheet().facts.values() if fact.limits and any(e.log for e in fact.examples)]
    assert len(logged) >= 5


@pytest.mark.slow
def test_every_limit_in_a_fact_moved_a_step_is_noticed(rule_set: RuleSet) -> None:
    """Up and down by its own step, by plain arithmetic: some example of each fact made with it comes out otherwise."""
    unnoticed, moved = [], 0
    for fact in rule_set.facts.values():
        for name in fact.limits:
            limit = rule_set.limits[name]
            assert isinstance(limit, Limit)
            for step in (limit.step, -limit.step):
                other = replace(rule_set, limits={**rule_set.limits, name: replace(limit, amount=limit.amount + step)})
                moved += 1
                if all(is_as(example_value(other, fact, e), expected_value(fact, e)) for e in fact.examples):
                    unnoticed.append((fact.name, name, step))
    assert unnoticed == []
    assert moved >= 6


def spoilt(folder: Path, *changes: tuple[str, str]) -> Path:
    """A copy of the sound rule set with passages of its climate.yaml changed."""
    copied = folder / "sound"
    shutil.copytree(SOUND, copied)
    path = copied / "climate.yaml"
    text = path.read_text(encoding="utf-8")
    for passage, instead in changes:
        assert text.count(passage) == 1
        text = text.replace(passage, instead)
    path.write_text(text, encoding="utf-8")
    return copied


def refused(folder: Path) -> list[str]:
    """The lines with which a rule set is refused."""
    with pytest.raises(InputError) as refusal:
        load_rule_set(str(folder))
    return str(refusal.value).splitlines()


EXAMPLE = "      - {name: a degree over, given: {air.temperature: [18 °C, 22 °C]}, expect: 1 °C}\n"


def test_a_fact_with_a_limit_and_no_examples_is_refused(tmp_path: Path) -> None:
    """Nothing would notice the limit move, either way."""
    told = "sound/climate.yaml:43: facts.swing_beyond has no example that notices when swing_usual moves to"
    assert refused(spoilt(tmp_path, ("    examples:\n" + EXAMPLE, ""))) == [
        f"{told} {to}; add one that comes out otherwise" for to in ("2.5 °C", "3.5 °C")
    ]


def test_all_wrong_examples_of_facts_and_rules_are_told_in_one_run(tmp_path: Path) -> None:
    """Two facts and a rule with an example turned round; what a wrong example fails to pin is not told on top."""
    folder = spoilt(
        tmp_path,
        ("expect: 6 h or more", "expect: 5 h or more"),
        ("expect: 1 °C}", "expect: 1 °C or less}"),
        ("{kept: 4 h}, expect: pass", "{kept: 4 h}, expect: hold"),
    )
    told = [
        'sound/climate.yaml:21: facts.kept comes to 6 h or more on "at both ends", which expects 5 h or more; '
        "mend the example or the fact",
        'sound/climate.yaml:47: facts.swing_beyond comes to 1 °C on "a degree over", which expects 1 °C or less; '
        "mend the example or the fact",
    ]
    assert [line for line in refused(folder) if "facts." in line] == told
    assert 'rules.kept-in-band comes to pass on "at the limit", which expects hold' in "\n".join(refused(folder))


def test_a_value_is_told_in_the_unit_of_what_was_expected(tmp_path: Path) -> None:
    """Written in °F, what came instead is told in °F: 1 °C is 1.8 °F."""
    assert refused(spoilt(tmp_path, ("expect: 1 °C}", "expect: 2 °F}"))) == [
        'sound/climate.yaml:47: facts.swing_beyond comes to 1.8 °F on "a degree over", which expects 2 °F; '
        "mend the example or the fact"
    ]


@pytest.mark.parametrize("expect", ["1.8 °F", "1 K", "9/5 °F"])
def test_an_example_may_expect_in_any_unit(expect: str, tmp_path: Path) -> None:
    """Whatever unit it is written in, the same amount is the same."""
    assert proof_faults(load_rule_set(str(spoilt(tmp_path, ("expect: 1 °C}", f"expect: {expect}}}"))))) == ()


def test_readings_of_an_example_are_taken_as_read() -> None:
    """A guarded rule set knows a reading only as well as its instrument; an example names none, and is exact."""
    assert load_rule_set(str(SOUND)).decision == "guarded"
    fact = load_rule_set(str(SOUND)).facts["swing_beyond"]
    value = example_value(load_rule_set(str(SOUND)), fact, fact.examples[0])
    assert (value.low, value.high) == (1, 1)


@pytest.mark.parametrize(
    ("rows", "expect"),
    [
        ("[20 °C, not known, 20 °C, 20 °C]", "2 h or more"),  # the row of 04:00 is missing, and a hole is there
        ("[not known, 20 °C, 20 °C, 20 °C]", "4 h or more"),
        ("[20 °C, 20 °C, 20 °C]", "0 h or more"),  # the log ends two hours before the start
        ("[68 °F, 77 °F, 59 °F, 293.15 K]", "6 h or more"),
        ("[]", "0 h or more"),
    ],
)
def test_rows_of_an_example_may_be_missing(rows: str, expect: str, tmp_path: Path) -> None:
    """A row that is not known leaves a hole, in a log that stood there from its first row to its last."""
    first = "[15 °C, 25 °C, 20 °C, 20 °C]}\n        expect: 6 h or more\n"
    again = f"""\
      - name: some rows missing
        given: {{planned_start: 2026-03-09 08:00}}
        log: {{begins: 2026-03-09 02:00, every: 2 h, temperature: {rows}}}
        expect: {expect}
"""
    folder = spoilt(tmp_path, (first, first + again))
    assert proof_faults(load_rule_set(str(folder))) == ()


@pytest.mark.parametrize(
    ("passage", "instead"),
    [
        ("[18 °C, 22 °C]", "[[18 °C], 22 °C]"),
        ("[18 °C, 22 °C]", "[{at: 18 °C}, 22 °C]"),
        ("{name: no log, given: {planned_start: 2026-03-09 08:00}", "{name: no log, given: {planned_start: }"),
    ],
)
def test_an_answer_that_is_no_text_is_refused_in_words(passage: str, instead: str, tmp_path: Path) -> None:
    """A list in a list is no answer, nor is nothing; the rule set is refused and nobody sees a traceback."""
    assert len(refused(spoilt(tmp_path, (passage, instead)))) == 1
