"""What `rules test` prints: of each failure what was expected, what came, why, and an example that would mend it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import yaml

import test_bad
import test_overlay_files
from surveys import ROOT, rigid_sheet
from test_cli import wallwalk
from wallwalk.cli.starting import try_rule_set
from wallwalk.errors import InputError
from wallwalk.fact_reader import read_example_value
from wallwalk.overlay_reader import read_overlay
from wallwalk.overlaying import lay_over, put_over
from wallwalk.proving import proof_faults, rule_faults
from wallwalk.rule_reader import read_rule_set
from wallwalk.rules import Example, Rule, RuleSet
from wallwalk.trials import failures_of, overlay_failures

SOUND = test_bad.SOUND
OVERLAYS = ROOT / "examples" / "overlays"

# ruff: noqa: E501 - a line to be copied stays one line
SAID = {
    "wrong-pass": """\
sound/drying.yaml:32: rules.primer-has-dried on "still tacky"
  expected  pass
  got       hold
  because   Substrate: concrete; asked: one of: plaster, concrete (limit
              thirsty); so it applies
            Dwell: 30 h; asked: at least 24 h (limit dwell_min); pass
            Dry to touch: no; asked: yes; hold
  next      mend the example, the limit or the requirement

sound: 1 to put right
""",
    "wrong-expectation": """\
sound/drying.yaml:39: rules.primer-has-dried on "metal"
  expected  not verified
  got       does not apply
  because   Substrate: metal; asked: one of: plaster, concrete (limit thirsty);
              so it does not apply
  next      mend the example, the limit or the requirement

sound: 1 to put right
""",
    "limit-not-pinned-upwards": """\
sound/drying.yaml:6: limits.damp_max is not pinned: no example notices when it
  moves to 12.5 %MC
  limit     12 %MC, step 0.5 %MC
  used by   rules.wall-dry-enough
  add       to the examples of rules.wall-dry-enough:
            - {name: one step over 12 %MC, facts: {damp: 12.5 %MC}, expect: hold}

sound: 1 to put right
""",
    "limit-not-pinned-downwards": """\
sound/drying.yaml:6: limits.damp_max is not pinned: no example notices when it
  moves to 11.5 %MC
  limit     12 %MC, step 0.5 %MC
  used by   rules.wall-dry-enough
  add       to the examples of rules.wall-dry-enough:
            - {name: exactly at 12 %MC, facts: {damp: 12 %MC}, expect: pass}

sound: 1 to put right
""",
    "word-not-pinned": """\
sound/drying.yaml:5: limits.thirsty is not pinned: no example notices when it
  gains plywood
  limit     plaster, concrete
  used by   rules.primer-has-dried
  add       to the examples of rules.primer-has-dried:
            - {name: substrate plywood, facts: {substrate: plywood, dwell: 24 h, dry_to_touch: yes}, expect: does not apply}

sound: 1 to put right
""",
    "requirement-not-pinned": """\
sound/drying.yaml:15: rules.primer-has-dried is not pinned: no example notices
  when it no longer requires is: [dry_to_touch, yes]
  add       to the examples of rules.primer-has-dried:
            - {name: dry to touch no, facts: {substrate: plaster, dwell: 24 h, dry_to_touch: no}, expect: hold}

sound: 1 to put right
""",
    "part-of-applying-not-pinned": """\
sound/drying.yaml:15: rules.primer-has-dried is not pinned: no example notices
  when it applies without stated: [substrate]
  add       one that comes out otherwise then; none was found by trying, so it
              may ask nothing that the rest does not

sound: 1 to put right
""",
    "no-example-of-hold": """\
sound/drying.yaml:43: rules.wall-dry-enough has no example that comes to hold
  add       to the examples of rules.wall-dry-enough:
            - {name: one step over 12 %MC, facts: {damp: 12.5 %MC}, expect: hold}

sound: 1 to put right
""",
    "no-example-of-not-verified": """\
sound/drying.yaml:43: rules.wall-dry-enough has no example that comes to not
  verified
  add       to the examples of rules.wall-dry-enough:
            - {name: damp not known, facts: {}, expect: not verified}

sound: 1 to put right
""",
    "fact-open-to-one-side": """\
sound/climate.yaml:33: facts.kept on "out for as long as is forgiven"
  expected  2 h
  got       2 h or more
  because   planned_start: 2026-03-09 08:00
            log: begins 2026-03-09 06:00; every 30 min; temperature 20 °C, 20
              °C, 14 °C, 20 °C, 20 °C
            limit band_min: 15 °C
            limit band_max: 25 °C
            limit forgiven: 1 h
  next      mend the example or the fact

sound: 1 to put right
""",
    "fact-limit-not-noticed": """\
sound/climate.yaml:5: limits.band_max is not pinned in facts.kept: no example
  notices when it moves to 25.5 °C
  limit     25 °C, step 0.5 °C
  add       to the examples of facts.kept one whose answers lie so near 25 °C
              that the fact comes to another value then

sound: 1 to put right
""",
    "fact-gives-no-unit": """\
sound/climate.yaml:47: facts.swing_beyond on "a degree over" gives
  "air.temperature" as "22"
  next      write the number with its unit, such as 72 °F or 22 °C

sound: 1 to put right
""",
}


@pytest.mark.parametrize("name", SAID)
def test_a_failure_is_told_whole(name: str, tmp_path: Path) -> None:
    """Which rule and example, expected, got, and why; of a limit its value, its step and the example that pins it."""
    said, came_out = try_rule_set(str(test_bad.bad_rule_set(name, tmp_path)), ())
    assert not came_out
    assert said == SAID[name]


def test_the_command_line_prints_it_on_standard_error(tmp_path: Path) -> None:
    """Exit code 2, nothing on standard output."""
    test_bad.bad_rule_set("wrong-pass", tmp_path)
    done = wallwalk("rules", "test", "sound", cwd=tmp_path)
    assert (done.returncode, done.stdout, done.stderr) == (2, "", SAID["wrong-pass"])


def read(folder: Path) -> RuleSet | None:
    """The rule set in a folder, or None where it is refused as it is read."""
    try:
        return read_rule_set(str(folder))
    except InputError:
        return None


@pytest.mark.slow
def test_it_finds_what_every_load_finds(tmp_path: Path) -> None:
    """Over every bad rule set that can be read: as many failures as faults, in the same files."""
    tried = 0
    for name in test_bad.CHANGES:
        rule_set = read(test_bad.bad_rule_set(name, tmp_path / name))
        if rule_set is not None:
            tried += 1
            faults = proof_faults(rule_set)
            assert faults, name
            assert [f.file for f in failures_of(rule_set)] == [f.file for f in faults], name
    assert tried >= 29
    assert failures_of(rigid_sheet()) == ()


# -- overlays ---------------------------------------------------------------------------------------------------------


def test_it_finds_in_overlays_what_every_load_finds(tmp_path: Path) -> None:
    """Over every bad overlay that can be read: as many failures as faults, and of the sound one none."""
    base, tried = read_rule_set(str(SOUND)), 0
    for name in test_overlay_files.MISTAKES:
        path = overlay_with(name, tmp_path)
        try:
            overlay = read_overlay(path, base, "overlay.yaml")
        except InputError:
            continue
        tried += 1
        with pytest.raises(InputError) as refused:
            lay_over(base, overlay)
        assert len(overlay_failures(base, put_over(base, overlay), overlay)) == len(refused.value.faults), name
    assert tried >= 9
    sound = read_overlay(test_overlay_files.BAD / "sound" / "overlay.yaml", base)
    assert overlay_failures(base, put_over(base, sound), sound) == ()


def overlay_with(name: str, into: Path) -> Path:
    """The sound overlay with the one passage changed that makes the mistake of that name."""
    change = yaml.safe_load((test_overlay_files.BAD / f"{name}.yaml").read_text(encoding="utf-8"))
    text = (test_overlay_files.BAD / "sound" / "overlay.yaml").read_text(encoding="utf-8")
    assert text.count(change["instead_of"]) == 1
    path = into / "overlay.yaml"
    path.write_text(text.replace(change["instead_of"], change["write"]), encoding="utf-8")
    return path


OVERLAY_SAID = {
    "flip-not-listed": """\
overlay.yaml:7: limits.dwell_min changes what primer-has-dried comes to on "at
  the limit", to hold
  next      write it below flips: primer-has-dried: {at the limit: hold}

The mill project: 1 to put right
""",
    "flip-not-seen": """\
overlay.yaml:14: limits.dwell_min.flips.primer-has-dried["one step under"] comes
  to the same as before
  next      take it out, or mend the limit

The mill project: 1 to put right
""",
    "added-rule-comes-out-otherwise": """\
overlay.yaml:50: rules.wall-dry-at-best on "one step over"
  expected  pass
  got       hold
  because   Damp at best: 8.5 %MC; asked: at most 8 %MC (limit
              damp_at_best_max); hold
  next      mend the example, the limit or the requirement

overlay.yaml:37: rules.wall-dry-at-best has no example that comes to hold
  add       to the examples of rules.wall-dry-at-best:
            - {name: one step over 8 %MC, facts: {damp_at_best: 8.5 %MC}, expect: hold}

The mill project: 2 to put right
""",
    "added-limit-not-pinned": """\
overlay.yaml:26: limits.damp_at_best_max is not pinned: no example notices when
  it moves to 8.5 %MC
  limit     8 %MC, step 0.5 %MC
  used by   rules.wall-dry-at-best
  add       to the examples of rules.wall-dry-at-best:
            - {name: one step over 8 %MC, facts: {damp_at_best: 8.5 %MC}, expect: hold}

The mill project: 1 to put right
""",
    "base-limit-not-pinned": """\
sound/climate.yaml:9: limits.swing_beyond_max is not pinned: no example notices
  when it moves to 1.5 °C
  limit     1 °C, step 0.5 °C
  used by   rules.swing-over-the-usual
  add       to the examples of rules.swing-over-the-usual:
            - {name: one step over 1 °C, facts: {swing_over: 1.5 °C}, expect: hold}

The mill project: 1 to put right
""",
}


@pytest.mark.slow
@pytest.mark.parametrize("name", OVERLAY_SAID)
def test_a_failure_of_an_overlay_is_told_whole(name: str, tmp_path: Path) -> None:
    """Flips with what to write, added rules and limits like any other."""
    shutil.copytree(SOUND, tmp_path / "sound")
    overlay_with(name, tmp_path)
    done = wallwalk("rules", "test", "sound", "--overlay", "overlay.yaml", cwd=tmp_path)
    assert (done.returncode, done.stdout, done.stderr) == (2, "", OVERLAY_SAID[name])


def test_what_came_out_is_counted_by_theme(tmp_path: Path) -> None:
    """A short table: rules, limits, examples, and the sums."""
    wallwalk("rules", "new", "wood-panels", "--in", str(tmp_path))
    done = wallwalk("rules", "test", "wood-panels", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == (
        "wood-panels: every example comes out as it says, and every limit is pinned\n"
        "\n"
        "         rules  limits  examples\n"
        "Wall         2       1         7\n"
        "in all       2       1         7\n"
    )


@pytest.mark.slow
def test_the_counts_of_the_shipped_rule_set_are_those_of_its_files() -> None:
    """Each theme's rules, limits and examples, counted in the YAML by another reader."""
    want = []
    about = yaml.safe_load((ROOT / "rules" / "rigid-sheet" / "about.yaml").read_text())
    for theme in about["themes"]:
        held = yaml.safe_load((ROOT / "rules" / "rigid-sheet" / f"{theme}.yaml").read_text())
        parts = [*held["rules"].values(), *held.get("facts", {}).values()]
        examples = sum(len(part.get("examples", ())) for part in parts)
        want.append((held["title"], len(held["rules"]), len(held.get("limits", {})), examples))
    want.append(("in all", *(sum(row[i] for row in want) for i in (1, 2, 3))))  # type: ignore[arg-type]
    lines = wallwalk("rules", "test").stdout.splitlines()
    assert lines[0] == "rigid-sheet: every example comes out as it says, and every limit is pinned"
    rows = [(*line.rsplit(maxsplit=3)[:1], *map(int, line.rsplit(maxsplit=3)[1:])) for line in lines[3:]]
    assert rows == want
    assert max(map(len, lines)) <= 80


def test_overlays_that_came_out_are_counted_too() -> None:
    """What each changed, and the theme it adds; long titles over several lines."""
    done = wallwalk(
        "rules", "test", *(a for n in ("nessuval-2026", "quillen-ferry-specification")
                           for a in ("--overlay", str(OVERLAYS / f"{n}.yaml")))
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    lines = done.stdout.splitlines()
    assert max(map(len, lines)) <= 80
    assert lines[:6] == [
        "rigid-sheet with what is laid over it: every flip is as listed, and what was",
        "  added is pinned",
        "  Nessuval sheet and adhesive, instruction sheet of February 2026: 2 values",
        "    changed, 4 examples come out otherwise",
        "  Quillen Ferry Clinic, project specification, section on wall sheet: 1 rule",
        "    added, 1 rule dropped",
    ]
    assert lines[-3:-1] == [
        "Quillen Ferry Clinic, project specification, section",
        "on wall sheet                                              1       1         3",
    ]


# -- the examples it suggests ----------------------------------------------------------------------------------------


def suggested(rule_set: RuleSet) -> Iterator[tuple[str, Any]]:
    """Each example that the failures of a rule set say to add, read as YAML, with the rule it is for."""
    for failure in failures_of(rule_set):
        labels = {text: before for (_, before), (_, text) in pairwise(failure.lines)}
        for text, before in labels.items():
            if text.startswith("- "):
                (example,) = yaml.load(text, Loader=yaml.BaseLoader)  # noqa: S506 - it builds nothing but text
                yield before.removeprefix("to the examples of rules.").removesuffix(":"), example


def with_example(rule_set: RuleSet, name: str, part: Any) -> RuleSet:  # noqa: ANN401
    """The rule set with one more example of a rule."""
    facts = {fact: read_example_value(rule_set.facts[fact].kinded, text) for fact, text in part["facts"].items()}
    rule = rule_set.rules[name]
    more = replace(rule, examples=(*rule.examples, Example(part["name"], facts, part["expect"])))
    return replace(rule_set, rules={**rule_set.rules, name: more})


@pytest.mark.parametrize("name", [name for name in SAID if "- {" in SAID[name]])
def test_a_suggested_example_mends_what_it_is_for(name: str, tmp_path: Path) -> None:
    """Copied in, it comes out as it says, and nothing is left to put right."""
    rule_set = read_rule_set(str(test_bad.bad_rule_set(name, tmp_path)))
    ((rule, example),) = suggested(rule_set)
    assert failures_of(with_example(rule_set, rule, example)) == ()


def test_a_suggested_example_has_a_name_of_its_own(tmp_path: Path) -> None:
    """Where others have the names that it would have, it is called by its facts as well, or by a number."""
    rule_set = read_rule_set(str(test_bad.bad_rule_set("limit-not-pinned-upwards", tmp_path)))
    ((name, example),) = suggested(rule_set)
    rule = rule_set.rules[name]
    called = [example["name"]]
    for _ in range(3):
        also = tuple(replace(rule.examples[0], name=taken) for taken in called)
        taken = replace(rule_set, rules={**rule_set.rules, name: replace(rule, examples=(*rule.examples, *also))})
        ((_, again),) = suggested(taken)
        assert {**again, "name": ""} == {**example, "name": ""}
        called.append(again["name"])
    assert called == ["one step over 12 %MC", "damp 12.5 %MC", "damp 12.5 %MC (2)", "damp 12.5 %MC (3)"]


def test_an_example_that_serves_two_failures_is_written_out_once() -> None:
    """The second says that the example above notices it too."""
    rule_set = rigid_sheet()
    rule = rule_set.rules["walk-is-fresh"]
    fewer = replace(rule, examples=tuple(e for e in rule.examples if e.name != "start before the walk"))
    alone = replace(
        rule_set, rules={rule.name: fewer}, facts={n: f for n, f in rule_set.facts.items() if n == "walk_to_start"}
    )
    assert [failure.lines[-1] for failure in failures_of(alone)] == [
        ("", '- {name: one step under 0 h, facts: {walk_to_start: "-0.1 h"}, expect: hold}'),
        ("next", "put in the example suggested above; it notices this too"),
    ]


@pytest.mark.slow
def test_whatever_example_is_taken_out_one_is_suggested_that_stands_in_for_it() -> None:
    """Over examples of every rule, the first and each third: what is unpinned then is mended by what is suggested."""
    unpinned = 0
    for rule in rigid_sheet().rules.values():
        by_others = set(rule_faults(alone(rule)))  # a limit that only the examples of another rule pin
        for i in range(0, len(rule.examples), 3):
            rule_set = alone(replace(rule, examples=(*rule.examples[:i], *rule.examples[i + 1 :])))
            unpinned += bool(set(rule_faults(rule_set)) - by_others)
            for _ in range(12):
                if not set(rule_faults(rule_set)) - by_others:
                    break
                rule_set = with_example(rule_set, *next(suggested(rule_set)))
            assert set(rule_faults(rule_set)) <= by_others, (rule.name, rule.examples[i].name)
    assert unpinned > 150


def alone(rule: Rule) -> RuleSet:
    """The rule set for rigid sheet with only this rule, and no fact that would be tried for itself."""
    facts = {name: replace(fact, examples=()) for name, fact in rigid_sheet().facts.items()}
    return replace(rigid_sheet(), rules={rule.name: rule}, facts=facts)
