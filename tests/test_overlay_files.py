"""Overlays: what a file of one may not say.

`bad/overlays/sound/overlay.yaml` is an overlay without fault over the sound rule set of `bad/rule_sets/`; each file
beside that folder changes one passage of it and holds the whole message.
"""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import permutations
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import yaml

from overlays_laid import (
    QUILLEN,
    changing,
    laid,
    refusal_of,
    sound,
    written,
)
from surveys import rigid_sheet
from wallwalk.errors import InputError
from wallwalk.proving import rule_faults

BAD = Path(__file__).parent / "bad" / "overlays"
MISTAKES = tuple(sorted(path.stem for path in BAD.glob("*.yaml")))


# -- what an overlay may not say ------------------------------------------------------------------------------------


def mistake(name: str) -> dict[str, str]:
    """One bad overlay: the passage it stands `instead_of`, what to `write`, what it `says`."""
    read: dict[str, str] = yaml.safe_load((BAD / f"{name}.yaml").read_text(encoding="utf-8"))
    return read


def spoilt(into: Path, instead_of: str, write: str) -> Path:
    """The sound overlay with one passage changed, in the folder `into`."""
    text = (BAD / "sound" / "overlay.yaml").read_text(encoding="utf-8")
    assert text.count(instead_of) == 1
    path = into / "overlay.yaml"
    path.write_text(text.replace(instead_of, write), encoding="utf-8")
    return path


def test_there_are_as_many_bad_overlays_as_were_thought_of() -> None:
    """A glob that finds nothing would test nothing."""
    assert len(MISTAKES) == 78


def test_the_sound_overlay_is_sound() -> None:
    """What the bad overlays are made from has no fault, so that each fault comes from the passage changed."""
    rule_set = laid(sound(), BAD / "sound" / "overlay.yaml")
    assert [(o.what, o.name, o.way) for o in rule_set.overrides] == [
        ("rule dropped", "air-steady", "looser"),
        ("limit", "band_min", "either"),
        ("limit", "dwell_min", "tighter"),
        ("limit", "thirsty", "tighter"),
        ("rule added", "wall-dry-at-best", "tighter"),
        ("rule added", "swing-over-the-usual", "tighter"),
    ]


@pytest.mark.parametrize("name", MISTAKES)
def test_a_bad_overlay_is_refused_with_its_whole_message(name: str) -> None:
    """The message is the expected one to the letter."""
    change = mistake(name)
    with TemporaryDirectory() as folder:
        path = spoilt(Path(folder), change["instead_of"], change["write"])
        assert refusal_of(sound(), path) == change["says"].splitlines()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "overlay.yaml: is empty; fill it in and save it"),
        ("- a\n", "overlay.yaml:1: is a list; write entries, each with a colon, such as overlay:"),
        ("tight\n", 'overlay.yaml:1: is "tight"; write entries, each with a colon, such as overlay:'),
    ],
)
def test_a_file_that_is_no_overlay_is_refused(text: str, says: str, tmp_path: Path) -> None:
    """Nothing at all, a list, a word: one message each."""
    path = tmp_path / "overlay.yaml"
    path.write_text(text, encoding="utf-8")
    assert refusal_of(sound(), path) == [says]


def test_an_overlay_may_lay_nothing_over() -> None:
    """Empty sections, or none, change nothing but that the record names the overlay."""
    nothing: tuple[dict[str, Any], ...] = ({}, {"limits": {}, "facts": {}, "drop": {}})
    for sections in nothing:
        rule_set = laid(sound(), sections)
        assert replace(rule_set, overlays=()) == sound()
        assert len(rule_set.overlays) == 1


def test_all_mistakes_of_an_overlay_are_told_in_one_run(tmp_path: Path) -> None:
    """A value, a fact, a rule, a drop and a flip that cannot be read: five lines, in the order of the file."""
    path = BAD / "sound" / "overlay.yaml"
    text = path.read_text(encoding="utf-8")
    for name in (
        "value-in-words",
        "flip-of-no-example",
        "added-fact-not-asked",
        "added-rule-by-nobody",
        "drop-of-no-rule",
    ):
        change = mistake(name)
        text = text.replace(change["instead_of"], change["write"])
    (tmp_path / "overlay.yaml").write_text(text, encoding="utf-8")
    assert refusal_of(sound(), tmp_path / "overlay.yaml") == [
        mistake(name)["says"]
        for name in (
            "value-in-words",
            "flip-of-no-example",
            "added-fact-not-asked",
            "added-rule-by-nobody",
            "drop-of-no-rule",
        )
    ]


def test_every_flip_of_a_band_is_asked_for() -> None:
    """The air a degree warmer: examples of a rule and of five facts of the log come out otherwise, each told."""
    part = {"value": "61 °F", "because": "A test.", "basis": "from memory"}
    lines = refusal_of(rigid_sheet(), {"limits": {"air_temperature_min": part}})
    assert (
        'limits.air_temperature_min changes what air-in-band comes to on "exactly at both ends", to hold; '
        "write it below flips: air-in-band: {exactly at both ends: hold}"
    ) in lines[0]
    facts = {match[1] for line in lines if (match := re.search(r"changes what (\S+) comes to", line))}
    assert facts == {
        "air-in-band",
        "band_held",
        "excursion_count",
        "longest_excursion",
        "furthest_excursion",
        "excursion_degree_hours",
    }
    flips = changing(rigid_sheet(), "air_temperature_min", "61 °F")["limits"]["air_temperature_min"]["flips"]
    assert len(lines) == sum(map(len, flips.values()))
    assert laid(rigid_sheet(), changing(rigid_sheet(), "air_temperature_min", "61 °F")).overrides[0].way == "either"


def test_a_flip_of_a_fact_may_be_written_in_any_unit(tmp_path: Path) -> None:
    """6 h or more is 360 min or more."""
    path = spoilt(tmp_path, "6 h or more", "360 min or more")
    assert laid(sound(), path).facts["kept"].examples[1].expect == "360 min or more"


def test_once_laid_over_its_examples_expect_what_they_come_to() -> None:
    """The flips are written into the examples: a second overlay is held to them, and the rules prove themselves."""
    rule_set = laid(sound(), BAD / "sound" / "overlay.yaml")
    expects = {e.name: e.expect for e in rule_set.rules["primer-has-dried"].examples}
    assert (expects["at the limit"], expects["plywood"], expects["one step under"]) == ("hold", "not verified", "hold")
    wrong = [f for f in rule_faults(rule_set) if "which expects" in f.found]
    assert wrong == []


# -- what was once let by -------------------------------------------------------------------------------------------

PART = {"because": "A test.", "basis": "from memory"}


def named_rule() -> dict[str, Any]:
    """A rule over the sound rule set, sound in itself."""
    facts = [({"kept": "4 h"}, "pass"), ({"kept": "3.5 h"}, "hold"), ({}, "not verified")]
    return {
        **PART,
        "about": "space",
        "grade": "hold",
        "title": "The log shows it again",
        "require": {"at_least": ["kept", "kept_min"]},
        "hold": "The air kept for {kept}.",
        "put_right": "Wait.",
        "by": "installer",
        "why": "A test wants one.",
        "examples": [{"name": f"example {i}", "facts": f, "expect": e} for i, (f, e) in enumerate(facts)],
    }


def test_a_rule_with_the_name_of_a_limit_is_refused_or_judged() -> None:
    """A rule that a project wrote is never left out in silence."""
    try:
        rule_set = laid(sound(), {"rules": {"forgiven": named_rule()}})
    except InputError:
        return
    assert "forgiven" in rule_set.rules


@pytest.mark.parametrize("words", [["plaster", "concrete", "plywod"], ["plaster", "concret"]])
def test_a_word_that_no_answer_can_be_is_refused(words: list[str]) -> None:
    """Misspelt, it would quietly stand for nothing: a rule that applies to concret holds no concrete wall."""
    assert len(refusal_of(sound(), changing(sound(), "thirsty", words))) == 1


def test_a_flip_below_an_added_limit_is_refused_in_words() -> None:
    """Nothing that the base has was changed, so nothing of it flips; nobody sees a traceback."""
    limit = {"value": "4 h", "step": "0.5 h", **PART, "flips": {"kept-in-band": {"at the limit": "hold"}}}
    rule = {**named_rule(), "require": {"at_least": ["kept", "kept_again_min"]}}
    assert len(refusal_of(sound(), {"limits": {"kept_again_min": limit}, "rules": {"kept-again": rule}})) == 1


@pytest.mark.parametrize("listed", ["banana", "9 °C", "hold"])
def test_a_flip_of_a_fact_to_no_value_of_it_is_refused_in_words(listed: str) -> None:
    """A duration is no word and no temperature; the message says what it comes to, and nobody sees a traceback."""
    flips = {"kept": {"a step too cold": listed}}
    assert len(refusal_of(sound(), {"limits": {"band_min": {"value": "14.5 °C", **PART, "flips": flips}}})) == 1


def test_a_limit_of_nothing_is_refused_in_words() -> None:
    """A number of tests for every 0 ft² is a mistake of the writer, and nobody sees a traceback."""
    assert refusal_of(rigid_sheet(), {"limits": {"alkalinity_tests_area": {"value": "0 ft²", **PART}}})


@pytest.mark.parametrize("part", [{**PART, "because": ""}, {**PART, "because": " "}])
def test_a_reason_is_not_empty(part: dict[str, str]) -> None:
    """What a project relaxes it gives a reason for; a report with two quotes there has none."""
    assert len(refusal_of(sound(), {"limits": {"dwell_min": {"value": "24 h", **part}}})) == 1


def test_two_listings_of_one_flip_that_differ_are_refused() -> None:
    """Of two outcomes for one example at least one is wrong."""
    limits = {
        "kept_min": {"value": "3.5 h", **PART, "flips": {"kept-in-band": {"one step short": "hold"}}},
        "dwell_min": {"value": "24 h", **PART, "flips": {"kept-in-band": {"one step short": "pass"}}},
    }
    assert len(refusal_of(sound(), {"limits": limits})) == 1


def test_a_flip_that_is_not_listed_is_told_of_the_limit_that_makes_it(tmp_path: Path) -> None:
    """Plywood flips by the words, not by the hours: the writer is sent to the right limit."""
    path = spoilt(tmp_path, "    flips:\n      primer-has-dried: {plywood: not verified}\n", "")
    (line,) = refusal_of(sound(), path)
    assert "limits.thirsty changes what primer-has-dried comes to" in line


def test_the_advice_for_a_flip_can_be_pasted() -> None:
    """An example whose name has a comma in it is quoted in the advice, which is then YAML as it stands."""
    part = {"value": "61 °F", **PART}
    for line in refusal_of(rigid_sheet(), {"limits": {"air_temperature_min": part}}):
        flips = yaml.safe_load(line.split("write it below flips: ")[1])
        (outcomes_,) = flips.values()
        assert len(outcomes_) == 1
        assert None not in outcomes_.values()


def test_an_overlay_with_the_title_of_a_theme_leaves_the_theme_its_own() -> None:
    """The theme `drying` is still called Drying."""
    with TemporaryDirectory() as folder:
        path = written({"rules": {"kept-again": named_rule()}}, Path(folder) / "overlay.yaml", "sound")
        path.write_text(path.read_text(encoding="utf-8").replace("Overlay overlay", "drying"), encoding="utf-8")
        assert laid(sound(), path).themes["drying"] == "Drying"


def test_a_flip_of_a_fact_is_told_of_the_limit_that_makes_it() -> None:
    """The row at 14.5 °C flips by the low end of the band; the high end, moved by less than a step, flips nothing."""
    limits = {"band_max": {"value": "25.4 °C", **PART}, "band_min": {"value": "14.5 °C", **PART}}
    (line,) = refusal_of(sound(), {"limits": limits})
    assert "limits.band_min changes what kept comes to" in line


def test_a_flip_that_does_not_come_about_is_told_where_it_is_listed() -> None:
    """Listed below the hours, of a rule that no hours are in: the writer is sent to the line to take out."""
    flips = {"wall-dry-enough": {"at the limit": "hold"}}
    limits = {"band_max": {"value": "25.4 °C", **PART}, "dwell_min": {"value": "23.9 h", **PART, "flips": flips}}
    (line,) = refusal_of(sound(), {"limits": limits})
    assert "limits.dwell_min" in line


def test_a_flip_that_is_no_round_number_stays_as_it_is_under_the_next_overlay() -> None:
    """2 tests of 1.5 are four thirds: a second overlay, that alone flips nothing, flips nothing here either."""
    first = changing(rigid_sheet(), "alkalinity_tests", "1.5")
    assert first["limits"]["alkalinity_tests"]["flips"]["alkalinity_share"]["as many"] == "4/3"
    second = {"limits": {"alkalinity_tests_area": {"value": "500.01 ft²", **PART}}}
    laid(rigid_sheet(), second)
    laid(rigid_sheet(), first, second)


@pytest.mark.parametrize("title", ["", " "])
def test_an_overlay_has_a_title(title: str, tmp_path: Path) -> None:
    """Every report calls a change by the overlay it is from."""
    path = spoilt(tmp_path, "overlay: The mill project", f'overlay: "{title}"')
    assert len(refusal_of(sound(), path)) == 1


def test_no_order_of_three_sections_of_one_overlay_matters() -> None:
    """Limits, rules and drops may stand in any order: the rule set that comes of them is the same."""
    sections = yaml.safe_load(QUILLEN.read_text(encoding="utf-8"))
    names = ("limits", "facts", "rules", "drop")
    made = [laid(rigid_sheet(), {name: sections[name] for name in order}) for order in permutations(names)]
    for one in made[1:]:
        assert one.limits == made[0].limits
        assert one.overrides == made[0].overrides
        assert {n: (r.require, r.examples[0].expect) for n, r in one.rules.items()} == {
            n: (r.require, r.examples[0].expect) for n, r in made[0].rules.items()
        }
