"""A second judgement of the rules for rigid sheet, written by hand from the trade's page, agrees with the program's.

The oracle shares nothing with the program: no code, no rule file, no number but through the trade's page. What was
found by it, and who was right, stands in SETTLED.md. `run_oracle.py` runs it over as many surveys as one likes.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from differential import both
from differential.both import judged_twice
from differential.oracle.judgement import judge, name_of, rules
from differential.oracle.room import UNWRITTEN
from differential.run_oracle import report, run, shrunk
from differential.survey_maker import Made, make_survey
from differential.survey_near import make_near
from scenario_reader import FOLDER as SCENARIOS
from scenario_reader import base_names, read_base, read_scenario, scenario_names
from surveys import EXAMPLES, FOLDER, example_document, example_rules, rigid_sheet
from wallwalk import comparisons, facts, judging
from wallwalk.limits import Limit
from wallwalk.rules import RuleSet
from wallwalk.values import Verdict

HERE = Path(__file__).parent
ROOMS = [p.stem for p in EXAMPLES if example_rules(p.stem).name == "rigid-sheet"]


# -- apart from one another -----------------------------------------------------------------------------------------


def names_in(source: str) -> Iterator[str]:
    """Every module that a source imports, and every text in it that is no docstring."""
    tree = ast.parse(source)
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield "." * node.level + (node.module or "")
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


def of_the_program(name: str) -> bool:
    """Whether a module or a text belongs to the program: it, its rule files, or a test that uses it."""
    ours = ("wallwalk", "surveys", "rigid-sheet", "rules/", ".yaml", "inspect/", "conftest")
    return any(word in name for word in ours)


def test_nothing_of_the_program_is_used_by_the_oracle() -> None:
    """No module of it imports wallwalk or names the rules' folder; it reads the file of a logger, and no other."""
    sources = {path.name: path.read_text(encoding="utf-8") for path in sorted((HERE / "oracle").glob("*.py"))}
    assert len(sources) == 26
    named = [(file, name) for file, text in sources.items() for name in names_in(text) if of_the_program(name)]
    assert named == []
    assert [file for file, text in sources.items() if "open(" in text or "read_text(" in text] == ["logbook.py"]
    assert [
        n
        for n in names_in("import wallwalk.rules\nfrom wallwalk import x\np = 'rules/rigid-sheet'")
        if of_the_program(n)
    ] == [
        "wallwalk.rules",
        "wallwalk",
        "rules/rigid-sheet",
    ]


def test_surveys_are_made_without_the_program() -> None:
    """What makes them draws on chance and on answers written by hand."""
    makers = [
        HERE / f"{name}.py"
        for name in ("survey_maker", "survey_near", "survey_hand", "survey_walls", "survey_answers", "log_maker")
    ]
    assert [n for path in makers for n in names_in(path.read_text(encoding="utf-8")) if n.startswith("wallwalk.")] == []
    assert make_survey(7) == make_survey(7) != make_survey(8)
    assert make_near(7) == make_near(7) != make_near(8)


def test_every_rule_is_judged_by_the_oracle() -> None:
    """The same 132 rules, each about the same, and each holding the work or not."""
    ours = {name_of(rule): (about, holds) for rule, about, holds in rules()}
    theirs = {name: (rule.about, rule.grade == "hold") for name, rule in rigid_sheet().rules.items()}
    assert len(theirs) == 132
    assert ours == theirs


# -- rooms written by hand ------------------------------------------------------------------------------------------


def apart(data: Any, folder: Path) -> list[str]:  # noqa: ANN401 - a document's data
    """Everything in which the two judgements of a survey part."""
    twice = judged_twice(Made(data, {}), folder)
    assert len(twice.oracle.findings) >= len(rigid_sheet().rules)
    return [str(one) for one in twice.apart]


@pytest.mark.parametrize("name", ROOMS)
def test_examples_are_judged_alike(name: str) -> None:
    """Verdict, every finding and the earliest start, with the loggers' own files."""
    assert apart(example_document(name).data, FOLDER) == []


@pytest.mark.slow
def test_scenarios_are_judged_alike() -> None:
    """All twenty-five, and the three rooms that they are made from."""
    rooms = [*map(read_base, base_names()), *map(read_scenario, scenario_names())]
    assert len(rooms) == 28
    assert {room.name: apart(room.data, SCENARIOS) for room in rooms} == {room.name: [] for room in rooms}


def test_an_empty_survey_is_judged_alike() -> None:
    """Nothing is known of the space, nor of the walls that nobody wrote down."""
    assert apart({}, FOLDER) == []
    assert {key[1] for key in judge({}).findings} == {"space", UNWRITTEN}


# -- rooms out of a hat ---------------------------------------------------------------------------------------------


def test_a_few_random_surveys_are_judged_alike() -> None:
    """Eight rooms; tens of thousands are run by hand."""
    told = run(list(range(8)))
    assert (told.surveys, told.apart) == (8, [])
    assert {"pass", "hold", "not verified", "does not apply"} <= set(told.findings)


@pytest.mark.slow
def test_random_surveys_are_judged_alike() -> None:
    """Three hundred rooms: some of them pass, and nearly all have an earliest start."""
    told = run(list(range(1000, 1300)))
    assert told.apart == []
    assert min(told.verdicts["pass"], told.verdicts["hold"]) > 5
    assert told.starts > 250


@pytest.mark.slow
def test_random_surveys_near_their_limits_are_judged_alike() -> None:
    """A hundred tidy rooms, each with two or three things at a limit or beside it."""
    told = run(list(range(1000, 1100)), make_near)
    assert (told.apart, told.starts) == ([], 100)


# -- a program that is wrong is found out ---------------------------------------------------------------------------

Break = Callable[[pytest.MonkeyPatch], None]


def with_limit(name: str, steps: int) -> Break:
    """A limit that is so many steps off."""

    def off(patch: pytest.MonkeyPatch) -> None:
        limit = rigid_sheet().limits[name]
        assert isinstance(limit, Limit)
        moved = replace(limit, amount=limit.amount + steps * limit.step)
        wrong: RuleSet = replace(rigid_sheet(), limits={**rigid_sheet().limits, name: moved})
        patch.setattr(both, "rigid_sheet", lambda: wrong)

    return off


def with_strict_comparison(patch: pytest.MonkeyPatch) -> None:
    """What is exactly at its most is over it."""
    row = comparisons.COMPARISONS["at_most"]

    def strictly(value: Any, limits: Any, words: Any) -> Verdict:  # noqa: ANN401 - as the table has it
        at_it = value.low == value.high == limits[0]
        return Verdict.HOLD if at_it else row.run(value, limits, words)

    patch.setitem(comparisons.COMPARISONS, "at_most", replace(row, run=strictly))


def with_unknown_as_pass(patch: pytest.MonkeyPatch) -> None:
    """What nobody knows passes."""
    honest = judging.compare

    def hopeful(*given: Any) -> Verdict:  # noqa: ANN401 - as it is called
        said = honest(*given)
        return Verdict.PASS if said is Verdict.NOT_VERIFIED else said

    patch.setattr(judging, "compare", hopeful)


def without_spread(patch: pytest.MonkeyPatch) -> None:
    """A reading is taken as it was read, whatever its instrument may be off."""
    patch.setattr(facts, "widened", lambda value, _: value)


BREAKS: dict[str, tuple[Break, str]] = {
    "a primer that may dry six minutes less": (with_limit("primer_dwell_min", -1), "primer-has-dwelled"),
    "a gap that may be a 64th less": (with_limit("expansion_gap_min", -1), "gap-at-base"),
    "what is exactly at its most is over it": (with_strict_comparison, "wall-flat"),
    "what is not known passes": (with_unknown_as_pass, "no-dust"),
    "readings count without their uncertainty": (without_spread, "air-in-band"),
}
"""What is broken, and a rule of which the run says so."""


@pytest.mark.slow
@pytest.mark.parametrize("broken", BREAKS)
def test_a_broken_program_is_found_out(broken: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Each of five breaks is named by the rule it is in within 150 rooms, of which all agree as the program is."""
    break_it, rule = BREAKS[broken]
    break_it(monkeypatch)
    seeds = (seed for seed in range(150) if any(rule in one.what for one in twice(seed, tmp_path)))
    found = next(seeds, None)
    assert found is not None
    monkeypatch.undo()
    assert twice(found, tmp_path) == []


def twice(seed: int, folder: Path) -> list[both.Disagreement]:
    """Everything in which the two part over one room out of the hat."""
    return judged_twice(make_survey(seed), folder).apart


@pytest.mark.slow
def test_a_disagreement_is_shown_by_what_it_needs(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A leaning wall, judged by a limit that is a step too high, shrinks to a wall and how far it leans."""
    with_limit("out_of_plumb_max", 1)(monkeypatch)
    lean = "wall-plumb of W0"
    seed = next(seed for seed in range(300) if lean in {one.what for one in twice(seed, tmp_path)})
    small = shrunk(make_survey(seed), lean, tmp_path).document
    assert small == {"walls": [{"name": "W0", "out_of_plumb": small["walls"][0]["out_of_plumb"]}]}
    told = run([seed])
    assert f"survey {seed}: {lean}: the program says" in report(told, range(seed, seed + 1))
