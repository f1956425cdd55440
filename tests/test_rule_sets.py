"""Every rule set proves itself, and nothing in it can be moved or taken out without its own examples noticing."""

from __future__ import annotations

import re
from copy import deepcopy
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml

from surveys import ROOT, rigid_sheet, rule_set_called
from wallwalk.errors import InputError
from wallwalk.fact_proving import fact_faults
from wallwalk.languages import LANGUAGES
from wallwalk.limits import Limit, WordLimit
from wallwalk.proving import is_noticed, moved_a_step, mutations, possible_outcomes, proof_faults, rule_faults, tried
from wallwalk.resources import rule_set_names
from wallwalk.rule_reader import read_rule_set
from wallwalk.rules import RuleSet, checks

SETS = rule_set_names()
LOADER = yaml.CBaseLoader if yaml.__with_libyaml__ else yaml.BaseLoader
DUMPER = yaml.CSafeDumper if yaml.__with_libyaml__ else yaml.SafeDumper


@pytest.fixture(params=SETS)
def rule_set(request: pytest.FixtureRequest) -> RuleSet:
    """Each rule set that comes with the program."""
    return read_rule_set(request.param)


def test_the_rule_sets_are_there() -> None:
    """The rule set the program is made for is among those installed, and the one for another covering."""
    assert SETS == ("pasted-wallcovering", "rigid-sheet")


def test_every_example_comes_out_as_its_author_says(rule_set: RuleSet) -> None:
    """No example of any rule comes to another outcome than written beside it."""
    assert [(t.rule.name, t.example.name, t.outcome.value) for t in tried(rule_set) if not t.as_expected] == []
    assert proof_faults(rule_set) == ()


def test_every_outcome_a_rule_can_have_is_shown_by_an_example(rule_set: RuleSet) -> None:
    """Pass, hold, not verified and does not apply: each that a rule can come to is expected by one of its examples."""
    lacking = {
        (rule.name, outcome.value)
        for rule in rule_set.rules.values()
        for outcome in possible_outcomes(rule)
        if outcome.value not in {e.expect for e in rule.examples}
    }
    assert lacking == set()


def test_every_change_that_the_proof_makes_is_noticed(rule_set: RuleSet) -> None:
    """Over all limits, both ways, all words, and all comparisons beside others: no change goes unnoticed."""
    changes = list(mutations(rule_set))
    moved = {says.split()[0] for says in (m.says for m in changes)}
    assert set(rule_set.limits) - made_into_facts(rule_set) <= moved
    assert [m.says for m in changes if not is_noticed(rule_set, m)] == []


def made_into_facts(rule_set: RuleSet) -> set[str]:
    """The limits that no rule compares with: only facts are made with them, and test_fact_examples moves those."""
    compared = {
        name
        for rule in rule_set.rules.values()
        for condition in (rule.require, rule.applies_when)
        for check in checks(condition)
        for name in check.limits
    }
    only = {name for fact in rule_set.facts.values() for name in fact.limits} - compared
    assert only | compared == set(rule_set.limits)
    return only


def test_a_number_moves_both_ways(rule_set: RuleSet) -> None:
    """Each limit with a number is moved up and down, each list of words loses every word it has."""
    says = [m.says for m in mutations(rule_set)]
    for limit in rule_set.limits.values():
        if limit.name in made_into_facts(rule_set):
            continue
        own = [s for s in says if s.split()[0] == limit.name]
        if isinstance(limit, Limit):
            assert len(own) == 2
        if isinstance(limit, WordLimit):
            assert {f"{limit.name} loses {word}" for word in limit.words} <= set(own)


@pytest.mark.parametrize("example_index", [0, -1])
def test_the_proof_can_fail(example_index: int, tmp_path: Path) -> None:
    """A rule set with one example turned round is refused by name: the proof is no formality."""
    folder = tmp_path / "turned"
    folder.mkdir()
    for path in (ROOT / "rules" / "rigid-sheet").glob("*.yaml"):
        (folder / path.name).write_text(path.read_text())
    target = folder / "coatings.yaml"
    before = rigid_sheet().rules["no-loose-paint"].examples[example_index]
    text = target.read_text()
    start = text.index("\n  no-loose-paint:")
    old = f"name: {before.name}"
    at = text.index(old, start)
    end = text.index("\n", at)
    other = "hold" if before.expect != "hold" else "pass"
    target.write_text(text[:at] + text[at:end].replace(f"expect: {before.expect}", f"expect: {other}") + text[end:])
    faults = proof_faults(read_rule_set(str(folder)))
    assert [str(f).split("; ")[0].split(": ", 1)[1] for f in faults][:1] == [
        f'rules.no-loose-paint comes to {before.expect} on "{before.name}", which expects {other}'
    ]


def test_each_rule_says_what_to_do_by_whom_why_and_on_what_basis(rule_set: RuleSet) -> None:
    """No rule leaves a text empty, and each says its basis in one of the four forms."""
    forms = ("common practice", "from memory", "published: ", "as quoted in trade literature: ")
    for rule in rule_set.rules.values():
        assert min(len(t) for t in (rule.title, rule.hold, rule.put_right, rule.why)) > 8, rule.name
        assert rule.by in rule_set.parties
        assert rule.basis.startswith(forms)
    assert all(limit.basis.startswith(forms) for limit in rule_set.limits.values())


@pytest.mark.slow
@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("name", SETS)
def test_each_limit_has_a_title_of_its_own_in_plain_words(name: str, language: str) -> None:
    """No two alike, no identifier or its ending for a side, no final point, short enough for a table."""
    limits = read_rule_set(name, language).limits
    titles = [limit.title for limit in limits.values()]
    assert len(titles) > 40
    assert sorted(set(titles)) == sorted(titles)
    codes = re.compile(r"_|\b(?:min|max)\b|\.$")
    assert [title for title in titles if codes.search(title) or not title[0].isupper() or len(title) > 75] == []


def test_rigid_sheet_asks_what_the_trade_asks() -> None:
    """At least 30 rules that can hold the work, over every theme named for it.

    Safety is cautions, but for what stops all work.
    """
    rules = rigid_sheet().rules.values()
    assert sum(r.grade == "hold" for r in rules) >= 30
    assert set(rigid_sheet().themes) == {
        "safety", "record", "space", "substrate", "flatness", "coatings", "primer", "climate", "materials",
        "quantities", "layout",
    }  # fmt: skip
    held = {"no-live-boxes", "no-mould-or-sewage"}
    assert {r.name for r in rules if r.theme == "safety" and r.grade == "hold"} == held


def test_pasted_wallcovering_asks_what_its_trade_asks() -> None:
    """At least 30 rules that can hold the work, in themes of its own; power off and mould stop all work."""
    rules = rule_set_called("pasted-wallcovering").rules.values()
    assert sum(r.grade == "hold" for r in rules) >= 30
    assert set(rule_set_called("pasted-wallcovering").themes) == {
        "safety", "record", "room", "wall", "face", "primer", "climate", "rolls", "hanging",
    }  # fmt: skip
    held = {"power-off-at-boxes", "no-mould-seen"}
    assert {r.name for r in rules if r.theme == "safety" and r.grade == "hold"} == held


def test_no_rule_can_hold_on_nothing(rule_set: RuleSet) -> None:
    """Every rule compares at least one fact, so that none comes to a verdict without a reading."""
    assert all(list(checks(rule.require)) for rule in rule_set.rules.values())


def _folder(tmp_path: Path, name: str) -> Path:
    """A copy of a rule set's files that may be spoilt."""
    folder = tmp_path / name
    folder.mkdir()
    for path in (ROOT / "rules" / name).glob("*.yaml"):
        (folder / path.name).write_text(path.read_text())
    return folder


def _is_refused(folder: Path) -> bool:
    """Whether the rule set of that folder is refused, as it is read or by its own examples."""
    try:
        rule_set = read_rule_set(str(folder))
    except InputError:
        return True
    # What `proof_faults` finds, but for the facts where the rules have faults already.
    return rule_faults(rule_set) != () or list(fact_faults(rule_set, moved_a_step)) != []


@pytest.mark.slow
@pytest.mark.usefixtures("read_once")
@pytest.mark.parametrize("name", SETS)
def test_every_number_moved_in_the_files_is_refused(name: str, tmp_path: Path) -> None:
    """The YAML of each limit, changed by its own step up and down and read anew: every one of them is refused.

    The steps are taken by arithmetic on the text, not by the program's own mutations.
    """
    folder = _folder(tmp_path, name)
    assert not _is_refused(folder)
    passed, tried_ = [], 0
    for path in sorted(folder.glob("*.yaml")):
        sound = path.read_text()
        data = _as_text(sound)
        for limited, limit in data.get("limits", {}).items():
            if "value" not in limit:
                continue
            for sign in (1, -1):
                moved = f"{_number(limit['value']) + sign * _number(limit['step'])} {_unit(limit['value'])}".strip()
                changed = deepcopy(data)
                changed["limits"][limited]["value"] = moved
                path.write_text(_as_yaml(changed))
                tried_ += 1
                if not _is_refused(folder):
                    passed.append((limited, moved))
        path.write_text(sound)
    assert passed == []
    assert tried_ > 60


def _as_text(sound: str) -> Any:  # noqa: ANN401 - a document's data
    """A rule file as plain data in which every scalar is its text."""
    return yaml.load(sound, Loader=LOADER)  # noqa: S506 - it builds nothing but text, lists and mappings


def _as_yaml(data: Any) -> str:  # noqa: ANN401 - a document's data
    return yaml.dump(data, Dumper=DUMPER, allow_unicode=True)


def _number(text: str) -> Fraction:
    return Fraction(re.match(r"-?[0-9./]+", text)[0])  # type: ignore[index]


def _unit(text: str) -> str:
    return re.sub(r"^-?[0-9./]+\s*", "", text)


@pytest.mark.slow
@pytest.mark.usefixtures("read_once")
@pytest.mark.parametrize("name", SETS)
def test_every_requirement_taken_out_of_the_files_is_refused(name: str, tmp_path: Path) -> None:
    """The YAML of each rule without its `require`, and without each part of it, read anew: every one is refused."""
    folder = _folder(tmp_path, name)
    passed, tried_ = [], 0
    for path in sorted(folder.glob("*.yaml")):
        sound = path.read_text()
        data = _as_text(sound)
        for ruled, rule in data.get("rules", {}).items():
            ((word, parts),) = rule["require"].items()
            for part in [None, *(range(len(parts)) if word in {"all_of", "any_of"} else ())]:
                changed = deepcopy(data)
                if part is None:
                    del changed["rules"][ruled]["require"]
                else:
                    del changed["rules"][ruled]["require"][word][part]
                path.write_text(_as_yaml(changed))
                tried_ += 1
                if not _is_refused(folder):
                    passed.append((ruled, part))
        path.write_text(sound)
    assert passed == []
    assert tried_ > 100
