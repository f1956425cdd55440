"""Two filed records side by side: nothing is lost, nothing is told twice, and what was relaxed is told first."""

from __future__ import annotations

import base64
import copy
import hashlib
import json
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import pairwise
from pathlib import Path
from random import Random
from typing import Any

import pytest

from survey_strategies import random_survey
from surveys import EXAMPLES, ROOT, example, example_rules, rule_set_called, survey_of
from test_cli import wallwalk
from test_report import Page
from wallwalk.checking import check, load_rule_set
from wallwalk.cli.compared import senseless
from wallwalk.cli.starting import read_inputs
from wallwalk.comparing import CHANGES, compare_records, is_unchanged
from wallwalk.filed_json import read_filed_json, write_filed_json
from wallwalk.filing import Filing, canonical, file_record
from wallwalk.limit_changes import limit_changes
from wallwalk.limits import AnyLimit, Limit, WordLimit
from wallwalk.matching import SHAPE
from wallwalk.record import Record
from wallwalk.report.comparison import lay_out_comparison
from wallwalk.report.comparison_forms import render_comparison, render_comparison_html, render_comparison_pdf
from wallwalk.resources import rule_set_names
from wallwalk.rules import RuleSet
from wallwalk.survey import Survey
from wallwalk.verifying import match_quickly

FIRST = ROOT / "examples" / "110-link-corridor.yaml"
SECOND = ROOT / "examples" / "second-walk" / "110-link-corridor-second-walk.yaml"
LOOSER = ROOT / "examples" / "overlays" / "orrelane-2026.yaml"
SEEDS = range(8)
GIVE = "give a file that wallwalk check or wallwalk sign wrote"
RELAXED = "NO LONGER HOLDS, AND LESS IS ASKED OF IT NOW"


def plain(record: Record) -> Any:  # noqa: ANN401 - plain data
    """A record as it is read back from a file."""
    return json.loads(canonical(record))


@cache
def walked(path: Path, *overlays: Path, language: str = "en") -> Any:  # noqa: ANN401 - plain data
    """The record of one survey."""
    survey, rule_set = read_inputs(path, None, overlays, language)
    return plain(check(survey, rule_set))


@cache
def by_chance(seed: int) -> Any:  # noqa: ANN401 - plain data
    """The record of a random survey."""
    return plain(check(survey_of(random_survey(seed)), rule_set_called("rigid-sheet")))


def told(comparison: Record) -> dict[tuple[str, str | None], str]:
    """What became of each check, by rule and subject."""
    return {(f["rule"], f["subject"]): f["change"] for f in comparison["findings"]}


def outcomes(record: Record) -> dict[tuple[str, str | None], Any]:
    """Every finding of a record, by rule and subject."""
    return {(f["rule"], f["subject"] if f["listed"] else None): f for f in record["findings"]}


# -- the law --------------------------------------------------------------------------------------------------------


@pytest.mark.slow
@pytest.mark.parametrize("record", [*(p.stem for p in EXAMPLES), *SEEDS])
def test_a_record_beside_itself_says_that_nothing_changed(record: str | int) -> None:
    """No check moved, no evidence, no limit; the headline says so."""
    one = by_chance(record) if isinstance(record, int) else walked(ROOT / "examples" / f"{record}.yaml")
    comparison = compare_records(one, copy.deepcopy(one))
    same = {"hold": "still holds", "not verified": "still not verified"}
    assert told(comparison) == {key: same.get(f["outcome"], "never held") for key, f in outcomes(one).items()}
    assert [f for f in comparison["findings"] if f["evidence"] or f["relaxed"]] == []
    assert (comparison["limits"], comparison["differences"], comparison["order"]) == ([], [], "same record")
    assert is_unchanged(comparison)
    assert lay_out_comparison(comparison).headline == "Nothing changed between the two."


BECAME = {
    ("pass", "pass"): "never held",
    ("pass", "hold"): "new",
    ("pass", "not verified"): "new",
    ("pass", "does not apply"): "no longer applies",
    ("hold", "pass"): "cleared",
    ("hold", "hold"): "still holds",
    ("hold", "not verified"): "now not verified",
    ("hold", "does not apply"): "no longer applies",
    ("not verified", "pass"): "cleared",
    ("not verified", "hold"): "now holds",
    ("not verified", "not verified"): "still not verified",
    ("not verified", "does not apply"): "no longer applies",
    ("does not apply", "pass"): "never held",
    ("does not apply", "hold"): "new",
    ("does not apply", "not verified"): "new",
    ("does not apply", "does not apply"): "never held",
    ("", "pass"): "added",
    ("", "hold"): "new",
    ("", "not verified"): "new",
    ("", "does not apply"): "added",
    **{(was, ""): "no longer judged" for was in ("pass", "hold", "not verified", "does not apply")},
}
"""What a check of one grade becomes, by its outcome on each walk; empty where it was not judged. Written by hand."""


def pairs() -> Iterator[tuple[Any, Any]]:
    """Random records side by side, and the examples with the random ones, so that rules and walls come and go."""
    for seed in SEEDS:
        yield by_chance(seed), by_chance(seed + 100)
        yield walked(EXAMPLES[seed % len(EXAMPLES)]), by_chance(seed)
    yield walked(FIRST), walked(SECOND)


@pytest.mark.slow
def test_every_check_of_both_records_is_told_exactly_once() -> None:
    """The whole partition, with the very findings; every way in which a check may change is met with."""
    met = set()
    for then, now in pairs():
        comparison = compare_records(then, now)
        before, after = outcomes(then), outcomes(now)
        found = [(f["rule"], f["subject"]) for f in comparison["findings"]]
        assert len(found) == len(set(found))
        assert set(found) == before.keys() | after.keys()
        assert told(comparison) == {
            key: BECAME[tuple(side[key]["outcome"] if key in side else "" for side in (before, after))]  # type: ignore[index]
            for key in before.keys() | after.keys()
        }
        for finding in comparison["findings"]:
            key = finding["rule"], finding["subject"]
            assert (finding["was"], finding["now"]) == (before.get(key), after.get(key))
        met |= set(told(comparison).values())
    assert met == set(CHANGES)


@pytest.mark.slow
def test_every_check_that_holds_or_held_is_in_the_report_once() -> None:
    """Rule by rule and wall by wall: each of hold grade in one group, no other in any; in 80 columns."""
    for then, now in pairs():
        comparison = compare_records(then, now)
        view = lay_out_comparison(comparison)
        of_hold = [f for f in comparison["findings"] if "hold" in {s["grade"] for s in (f["was"], f["now"]) if s}]
        wanted = {f["rule"] for f in of_hold if (f["subject"] is not None and moved_or_holds(f)) or f["relaxed"]}
        shown = [block.rule for group in (*view.relaxed, *view.doubtful, *view.groups) for block in group.blocks]
        assert set(shown) == wanted
        said = sum(len(b.pairs) for g in (*view.relaxed, *view.doubtful, *view.groups) for b in g.blocks)
        assert said >= len(wanted)
        text = render_comparison(comparison)
        assert max(map(len, text.splitlines())) <= 80
        assert [rule for rule in wanted if f"[{rule}]" not in text] == []


def moved_or_holds(finding: Any) -> bool:  # noqa: ANN401
    """Whether the check held or was open on either walk."""
    return any(side and side["outcome"] in ("hold", "not verified") for side in (finding["was"], finding["now"]))


# -- what was relaxed -----------------------------------------------------------------------------------------------


def held_away(then: Record, now: Record) -> set[tuple[str, str | None]]:
    """Checks of hold grade that held or were open, and hold the work no longer."""
    after = outcomes(now)

    def holds(finding: Any) -> bool:  # noqa: ANN401
        return bool(finding and finding["grade"] == "hold" and finding["outcome"] in ("hold", "not verified"))

    return {key for key, f in outcomes(then).items() if holds(f) and not holds(after.get(key))}


def assert_told_first(then: Record, now: Record) -> int:
    """The survey is the same, so whatever stopped holding was relaxed. Gives how many such there were."""
    comparison = compare_records(then, now)
    gone = held_away(then, now)
    assert {(f["rule"], f["subject"]) for f in comparison["findings"] if f["relaxed"]} >= gone
    view = lay_out_comparison(comparison)
    relaxed = {block.rule for group in view.relaxed for block in group.blocks}
    assert relaxed >= {rule for rule, _ in gone}
    if gone:
        assert render_comparison(comparison).startswith(RELAXED)
        page = Page(render_comparison_html(comparison))
        assert page.texts("h2")[0].upper() == RELAXED
        words = [text for tag, attributes, text in page.elements if attributes.get("class") == "word" or tag == "h2"]
        assert "".join(words[0]).upper() == RELAXED  # before the verdict
    return len(gone)


def moved(limit: AnyLimit, rule_set: RuleSet) -> Iterator[AnyLimit]:
    """Other values of a limit, far away on both sides; another list of words."""
    if isinstance(limit, WordLimit):
        facts = {c.fact for rule in rule_set.rules.values() for c in checks_of(rule) if limit.name in c.limits}
        every = tuple(sorted({word for fact in facts for word in rule_set.facts[fact].kinded.choices}))
        yield replace(limit, words=every)
        yield replace(limit, words=limit.words[:1])
        return
    number, _, unit = limit.written.partition(" ")
    for factor in ("0", "100"):
        written = f"{factor} {unit}".strip()
        try:
            amount = Fraction(parsed(written, limit))
        except ValueError:
            continue
        yield replace(limit, amount=amount, written=written)
    assert number


def checks_of(rule: Any) -> list[Any]:  # noqa: ANN401
    """Every comparison of a rule."""
    from wallwalk.rules import checks

    return [*checks(rule.applies_when), *checks(rule.require)]


def parsed(written: str, limit: Limit) -> Any:  # noqa: ANN401
    """The amount of another value of a limit; `ValueError` where there is none of that kind."""
    from wallwalk.quantities import UnitError, parse_quantity

    try:
        return parse_quantity(written, limit.kind).low
    except UnitError as error:
        raise ValueError(written) from error


def surveyed(name: str) -> tuple[Survey, ...]:
    """Surveys that a rule set has something to hold in: an example, and a random one."""
    kept = next(path.stem for path in EXAMPLES if example_rules(path.stem).name == name)
    return example(kept), survey_of({**random_survey(4, walls=1, answered=0.97), "rules": name})


@pytest.mark.slow
@pytest.mark.parametrize("name", rule_set_names())
def test_whatever_a_moved_limit_lets_pass_is_told_first(name: str) -> None:
    """Every second or third limit far up and far down, others over the second survey than over the first."""
    rule_set, gone = rule_set_called(name), 0
    for n, survey in enumerate(surveyed(name)):
        base = plain(check(survey, rule_set))
        held = {f["rule"] for f in base["findings"] if f["outcome"] in ("hold", "not verified")}
        for limit in [*rule_set.limits.values()][n :: 1 + len(rule_set.limits) // 40]:
            used = {rule.name for rule in rule_set.rules.values() if uses(rule, limit.name, rule_set)}
            for other in moved(limit, rule_set) if used & held else ():
                laxer = replace(rule_set, limits={**rule_set.limits, limit.name: other})
                gone += assert_told_first(base, plain(check(survey, laxer)))
    assert gone > 3


def uses(rule: Any, name: str, rule_set: RuleSet) -> bool:  # noqa: ANN401
    """Whether a rule compares with a limit, or a fact it compares is made with it."""
    return any(name in (*c.limits, *rule_set.facts[c.fact].limits) for c in checks_of(rule))


@pytest.mark.slow
@pytest.mark.parametrize("name", rule_set_names())
def test_whatever_a_dropped_rule_no_longer_asks_is_told_first(name: str) -> None:
    """Every rule that holds, dropped; and every one made a caution only."""
    rule_set, gone = rule_set_called(name), 0
    survey = surveyed(name)[0]
    base = plain(check(survey, rule_set))
    held = {f["rule"] for f in base["findings"] if f["outcome"] in ("hold", "not verified") and f["grade"] == "hold"}
    for part in (sorted(held)[0::2], sorted(held)[1::2]):  # in two halves: each stands beside rules that stay
        without = {name: rule for name, rule in rule_set.rules.items() if name not in part}
        gone += assert_told_first(base, plain(check(survey, replace(rule_set, rules=without))))
        lighter = {name: replace(rule_set.rules[name], grade="caution") for name in part}
        gone += assert_told_first(base, plain(check(survey, replace(rule_set, rules={**rule_set.rules, **lighter}))))
    assert gone >= 2 * len(held) > 2


@pytest.mark.slow
@pytest.mark.parametrize(
    ("rules", "place", "answer", "rule"),
    [
        ({"decision": "simple"}, "walls.1.moisture.0.value", "0.9 gypsum", "gypsum-moisture-low"),
        ({"uncalibrated": "as read"}, "instruments.1.calibration_due", "2026-01-31", "gypsum-moisture-low"),
    ],
)
def test_whatever_a_laxer_decision_lets_pass_is_told_first(
    rules: dict[str, Any], place: str, answer: str, rule: str
) -> None:
    """A reading nearer its limit than its own ±, taken as read; and one of a meter out of calibration."""
    data, rule_set = _document("110-link-corridor"), rule_set_called("rigid-sheet")
    *groups, name = place.split(".")
    within = data
    for group in groups:
        within = within[int(group) if group.isdigit() else group]
    assert within[name] != answer
    within[name] = answer
    survey = survey_of(data)
    then, now = (plain(check(survey, r)) for r in (rule_set, replace(rule_set, **rules)))
    assert rule in {key[0] for key in held_away(then, now)}
    assert_told_first(then, now)


@pytest.mark.slow
@pytest.mark.parametrize("seed", SEEDS)
def test_random_rooms_under_laxer_decisions_tell_first_what_they_let_pass(seed: int) -> None:
    """Readings taken as read, and those of instruments that nobody knows to be in calibration, both at once."""
    rule_set, survey = rule_set_called("rigid-sheet"), survey_of(random_survey(seed, answered=0.97))
    laxer = replace(rule_set, decision="simple", uncalibrated="as read")
    assert_told_first(plain(check(survey, rule_set)), plain(check(survey, laxer)))


@pytest.mark.slow
def test_a_limit_of_a_record_has_the_value_of_the_rule_set() -> None:
    """Read back from what is written of it, so that ways are told from the true values."""
    from wallwalk.limit_changes import _limit

    seen = 0
    for path in EXAMPLES:
        record, limits = walked(path), example_rules(path.stem).limits
        for part in record["limits"]:
            read, held = _limit(part), limits[part["name"]]
            assert type(read) is type(held)
            for field in ("amount", "kind", "words"):
                assert getattr(read, field, None) == getattr(held, field, None), part["name"]
            seen += 1
    assert seen > 200


@pytest.mark.slow
def test_the_ways_of_an_overlay_are_those_the_rule_set_tells() -> None:
    """Each limit that an overlay changes goes the same way by the two records as by the rule set itself."""
    seen = 0
    for overlay in sorted((ROOT / "examples" / "overlays").glob("*.yaml")):
        now = walked(FIRST, overlay)
        overrides = {o["name"]: o["way"] for o in now["rule_set"]["overrides"] if o["what"] == "limit"}
        found = {c["name"]: c["way"] for c in limit_changes(walked(FIRST), now)}
        assert found == {name: way for name, way in overrides.items() if name in found}
        assert overrides.keys() - found.keys() <= set(load_rule_set("rigid-sheet").limits)
        seen += len(found)
    assert seen == 4  # the third adds a rule, with a limit of its own


def test_limits_that_let_more_pass_are_told_before_the_others() -> None:
    """And both values with their basis; what an overlay tightens comes last."""
    changes = limit_changes(walked(FIRST, ROOT / "examples" / "overlays" / "nessuval-2026.yaml"), walked(FIRST, LOOSER))
    assert [(c["name"], c["way"], c["was"]["written"], c["now"]["written"]) for c in changes] == [
        ("primer_dwell_min", "looser", "36 h", "12 h"),
        ("sheet_acclimation_min", "looser", "48 h", "24 h"),
        ("air_humidity_max", "either", "60 %RH", "65 %RH"),
    ]
    assert changes[0]["was"]["basis"] == "published: Nessuval instruction sheet, February 2026, section 3"
    assert changes[0]["now"]["basis"] == "published: Orrelane installation leaflet, January 2026, page 4"


# -- the second walk of the corridor, as written by hand --------------------------------------------------------------


@pytest.mark.slow
def test_the_second_walk_of_the_corridor_is_as_written_by_hand() -> None:
    """What the two surveys say: a day went by, a sensor was drilled for, a bare patch was primed again."""
    comparison = compare_records(walked(FIRST), walked(SECOND))
    moved = {key: change for key, change in told(comparison).items() if change != "never held"}
    cautions = {f["rule"] for f in comparison["findings"] if f["now"]["grade"] == "caution"}
    assert {key: change for key, change in moved.items() if key[0] not in cautions} == {
        ("no-dust", "North"): "new",
        ("primer-has-dwelled", "South"): "cleared",
        ("primer-has-dwelled", "West end"): "still holds",
        ("band-held-before-start", "space"): "cleared",
        ("sheets-acclimated", "space"): "cleared",
        ("sheets-acclimated-by-the-log", "space"): "cleared",
        ("adhesive-acclimated", "space"): "cleared",
        ("adhesive-acclimated-by-the-log", "space"): "cleared",
    }
    assert (comparison["order"], comparison["limits"], comparison["differences"]) == ("in order", [], [])
    dwell = next(f for f in comparison["findings"] if (f["rule"], f["subject"]) == ("primer-has-dwelled", "West end"))
    assert [(e["was"]["measured"], e["now"]["measured"]) for e in dwell["evidence"]] == [("21 h 15 min", "19 h 10 min")]


SHOWN = """\
HOLD | 110 Link corridor, ground | Quillen Ferry Clinic, refit and link
       HOLD on the earlier walk, HOLD on the later one.
       6 cleared, 1 new, 1 held on both walks, 0 not verified.
       Then: Walked Sun 8 Mar 2026 09:30 by Joaquín Peñarrubia Sáenz. Checked
         for a start on Sun 8 Mar 2026 12:00. Not before Mon 9 Mar 2026 08:50,
         and not before what holds is put right.
       Now: Walked Mon 9 Mar 2026 09:30 by Joaquín Peñarrubia Sáenz. Checked for
         a start on Mon 9 Mar 2026 10:30. Not before Mon 9 Mar 2026 15:20, and
         not before what holds is put right.

NEW: HOLDS THE WORK NOW, AND DID NOT BEFORE
-------------------------------------------
It was right on the earlier walk, was not asked then, or was not known.
-   Wall is free of dust [no-dust]
    North:
      Then: Right. Dust tape pressed on: no; required: no. Dust wipe clean: yes;
        required: yes.
      Now: Cloth stays clean: no. Dust tape pressed on: yes; its quantity: 3,
        and 2 is the most.
    Do: Vacuum or wipe the wall from the top down, then wipe with a dark cloth
        again. (Lead installer and crew)

STILL HOLDS THE WORK
--------------------
It held on both walks.
-   Primer has dried long enough [primer-has-dwelled]
    West end:
      Then: Primer will have dried 21 h 15 min at the planned start; it needs 24
        h.
      Now: Primer will have dried 19 h 10 min at the planned start; it needs 24
        h. Waiting clears it Mon 9 Mar 2026 15:20.
    Do: Wait. Do not force it with heat. (Painter)
"""


def test_the_terminal_says_it_in_80_columns() -> None:
    """Verdict, both walks, what is new, what still holds."""
    assert render_comparison(compare_records(walked(FIRST), walked(SECOND))).startswith(SHOWN)


# -- what is not the same about the two -----------------------------------------------------------------------------


def changed(record: Any, **parts: Any) -> Any:  # noqa: ANN401
    """A record with other parts, by their path with two underscores between."""
    other = copy.deepcopy(record)
    for path, value in parts.items():
        *groups, name = path.split("__")
        within = other
        for group in groups:
            within = within[group]
        within[name] = value
    return other


ONE_WALK = ("Both records are of one walk.", "Las dos actas son de un mismo recorrido.")
EARLY = {"from": "2026-03-06T09:30:00-06:00", "to": "2026-03-06T09:30:00-06:00"}
DAY = {"from": "2026-03-08T00:00:00-06:00", "to": "2026-03-08T23:59:59-05:00"}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("parts", "said"),
    [
        (
            {"heading__space": "111 Store"},
            "These are two spaces, and not two walks of one: Quillen Ferry Clinic, refit and link · 110 Link corridor"
            " · ground then, Quillen Ferry Clinic, refit and link · 111 Store · ground now.",
        ),
        (
            {"rule_set__name": "own", "rule_set__title": "Own rules"},
            "They were judged by two rule sets: Rigid sheet wall covering then, Own rules now.",
        ),
        (
            {"walk": EARLY},
            "The records were given the wrong way round: the earlier walk named here came after the other.",
        ),
    ],
)
def test_what_was_mixed_up_is_said_before_anything_else(parts: dict[str, Any], said: str) -> None:
    """Two spaces, two rule sets, the wrong order: plainly, as the first words in the terminal and on the page."""
    comparison = compare_records(walked(FIRST), changed(walked(FIRST), **parts))
    assert lay_out_comparison(comparison).first == (said,)
    text = " ".join(render_comparison(comparison).split())
    assert text.startswith(f"! {said}")
    page = Page(render_comparison_html(comparison))
    assert page.texts("p", "notice")[0] == said


@pytest.mark.slow
@pytest.mark.parametrize(
    ("parts", "said"),
    [
        (
            {"rule_set__sha256": "1" * 64, "rule_set__revision": "2026-12-01"},
            "The rule set itself was changed: revision 2026-11-26 then, 2026-12-01 now.",
        ),
        (
            {"rule_set__uncalibrated": "as read"},
            "Decided then: a reading of an instrument not known to be in calibration is not known. "
            "Decided now: a reading of an instrument not known to be in calibration counts as read.",
        ),
        (
            {"heading__time_zone": "America/Denver"},
            "Times are told in two time zones: America/Chicago then, America/Denver now.",
        ),
        ({"walk": DAY}, "The records do not say which walk came first."),
        ({"walk": None}, "The records do not say which walk came first."),
        ({"language": "es"}, "La primera acta está en otro idioma; sus frases quedan como se archivaron."),
    ],
)
def test_other_differences_are_said(parts: dict[str, Any], said: str) -> None:
    """Below the verdict, in the language of the later record."""
    comparison = compare_records(walked(FIRST), changed(walked(FIRST), **parts))
    assert [n for n in lay_out_comparison(comparison).notices if n not in ONE_WALK] == [said]


def test_a_wall_left_out_is_not_cleared() -> None:
    """A wall that held and is not in the later survey: its holds are no longer judged, and the scope is told."""
    from yaml import safe_dump, safe_load

    data = safe_load(safe_dump(_document("110-link-corridor")))
    data["walls"] = data["walls"][:1] + data["walls"][2:]
    data["walls_in_scope"] = "3"
    now = plain(check(survey_of(data), rule_set_called("rigid-sheet")))
    comparison = compare_records(walked(FIRST), now)
    assert told(comparison)["primer-has-dwelled", "South"] == "no longer judged"
    view = lay_out_comparison(comparison)
    (gone,) = [group for group in view.doubtful if group.name == "gone"]
    assert [(b.rule, [(p.where, p.now) for p in b.pairs]) for b in gone.blocks] == [
        ("primer-has-dwelled", [("South", "The wall is not written down.")])
    ]
    assert view.notices == (
        "Both records are of one walk.",
        "No longer written down: South.",
        "Walls in scope: 4 then, 3 now.",
    )
    # The walls after it moved up in the list, which is no other evidence.
    assert [f for f in comparison["findings"] if f["evidence"] and f["about"] == "wall"] == []


@pytest.mark.slow
def test_a_wall_that_nobody_wrote_down_is_told_in_one_line() -> None:
    """Seventy checks of it are not verified; they are not listed one by one, nor called cleared once it is there."""
    whole, less = _document("110-link-corridor"), copy.deepcopy(_document("110-link-corridor"))
    less["walls"] = less["walls"][:3]
    then, now = (plain(check(survey_of(data), rule_set_called("rigid-sheet"))) for data in (less, whole))
    count = sum(not f["listed"] and f["outcome"] == "not verified" for f in then["findings"])
    assert count > 50
    view = lay_out_comparison(compare_records(then, now))
    assert view.notices == (
        "Both records are of one walk.",
        "Written down now, and not then: West end.",
        "Every wall is written down now; on the earlier walk, not every one was.",
    )
    back = compare_records(now, then)
    assert {told(back)[key] for key in told(back) if key[1] is None} == {"new", "added"}
    assert lay_out_comparison(back).notices == (
        "Both records are of one walk.",
        "No longer written down: West end.",
        f"For every wall that is not written down, {count} rules are not verified.",
    )


def _document(name: str) -> Any:  # noqa: ANN401
    from surveys import example_document

    return copy.deepcopy(example_document(name).data)


# -- drawn ----------------------------------------------------------------------------------------------------------


def test_the_page_needs_nothing_but_itself_and_text_is_text() -> None:
    """No script, no address, the one style sheet by its digest; markup in a name stays text."""
    marked = changed(walked(SECOND), heading__project="<script>alert(1)</script>")
    html = render_comparison_html(compare_records(changed(walked(FIRST), heading__project="A & B"), marked))
    page = Page(html)
    assert page.find("script") + page.find("link") + page.find("img") + page.find("a") == []
    (style,) = [text for tag, _, text in page.elements if tag == "style"]
    digest = base64.b64encode(hashlib.sha256("".join(style).encode()).digest()).decode()
    policy = [a["content"] for a, _ in page.find("meta") if a.get("http-equiv") == "Content-Security-Policy"]
    assert policy == [f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"]
    assert "<script>alert(1)</script> 110 Link corridor, ground" in page.texts("h1")
    levels = [int(tag[1]) for tag, _, _ in page.elements if tag in {"h1", "h2", "h3"}]
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


@pytest.mark.slow
def test_the_pdf_says_the_same_on_every_run() -> None:
    """A tagged PDF with the verdict on each page; same records, same bytes."""
    import io

    from pypdf import PdfReader

    comparison = compare_records(walked(FIRST), walked(SECOND))
    drawn = render_comparison_pdf(comparison, page_size="A4")
    assert drawn == render_comparison_pdf(comparison, page_size="A4")
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(drawn)).pages]
    assert 2 <= len(pages) <= 6
    assert [page for page in pages if "HOLD" not in page] == []
    assert "Vacuum or wipe the wall from the top down" in " ".join(pages[0].split())


# -- records from files ---------------------------------------------------------------------------------------------


def small() -> Any:  # noqa: ANN401
    """A record of few findings, whole otherwise."""
    record = copy.deepcopy(walked(FIRST, LOOSER))
    picked = ("primer-has-dwelled", "sheets-acclimated", "no-dust", "humidity-usual")
    record["findings"] = [f for f in record["findings"] if f["rule"] in picked]
    for limit in record["limits"]:
        limit["used_by"] = [rule for rule in limit["used_by"] if rule in picked]
    record["limits"] = [limit for limit in record["limits"] if limit["used_by"]]
    assert not is_refused(record)
    return record


def all_places(node: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:  # noqa: ANN401
    """Every place in a record."""
    children = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, child in children:
        yield (*path, key)
        yield from all_places(child, (*path, key))


def is_refused(record: Record) -> bool:
    """Whether a record is refused by its shape, or by what it says."""
    shape = [one for one in match_quickly(Filing(record, ())) if one.of == SHAPE and one.matches is False]
    return bool(shape or [*senseless(record)])


@pytest.mark.slow
def test_a_record_that_was_spoilt_ends_in_a_message_and_in_nothing_else() -> None:
    """Any part taken out or put in place of by another: refused in words, or compared and drawn without an error."""
    chance = Random(20261125)  # noqa: S311 - test data, not a secret
    whole, refused = small(), 0
    places = list(all_places(whole))
    for place in chance.sample(places, 200):
        spoilt = copy.deepcopy(whole)
        within = spoilt
        for key in place[:-1]:
            within = within[key]
        alike = {str: "x", bool: not within[place[-1]], int: 3, list: []}.get(type(within[place[-1]]), {})
        with_this: Any = chance.choice([..., None, 3, "x", [], {}, [None], True, *[alike] * 8])
        if with_this is ...:
            del within[place[-1]]
        else:
            within[place[-1]] = with_this
        if is_refused(spoilt):
            refused += 1
            continue
        render_comparison(compare_records(spoilt, whole))
        render_comparison_html(compare_records(whole, spoilt))
    assert 50 < refused < 190


def test_a_record_that_makes_no_sense_is_refused_in_words() -> None:
    """A check told twice, one of a wall that is not there, a walk at no time."""
    twice = small()
    first, second = twice["findings"][:2]
    twice["findings"].append(first)
    second["subject"] = "Nowhere"
    twice["walk"]["to"] = "2026-02-30T09:30:00-06:00"
    assert list(senseless(twice)) == [
        f'says 2 times what {first["rule"]} came to for "{first["subject"]}"',
        f'says what {second["rule"]} came to for "Nowhere", which is none of its subjects',
        'says that the walk was to "2026-02-30T09:30:00-06:00", which is no time',
    ]
    assert list(senseless(small())) == []


def filed(path: Path, target: Path, *overlays: Path) -> Path:
    """One survey, checked and filed at `target`."""
    survey, rule_set = read_inputs(path, None, overlays)
    filing = file_record(check(survey, rule_set), survey, rule_set, path.parent)
    target.write_bytes(write_filed_json(filing))
    return target


@pytest.mark.slow
def test_a_filed_pdf_is_compared_as_its_json_is(tmp_path: Path) -> None:
    """The record of either form is the same one."""
    for name, path in (("first", FIRST), ("second", SECOND)):
        done = wallwalk("check", str(path), "-o", f"{name}.pdf", "-o", f"{name}.json", cwd=tmp_path)
        assert (done.returncode, done.stderr) == (1, "")
    by_json, by_pdf = (wallwalk("compare", f"first.{form}", f"second.{form}", cwd=tmp_path) for form in ("json", "pdf"))
    assert (by_pdf.returncode, by_pdf.stderr, by_pdf.stdout) == (1, "", by_json.stdout)
    done = wallwalk("compare", "first.pdf", "first.json", cwd=tmp_path)
    assert "Nothing changed between the two." in done.stdout


@pytest.mark.slow
def test_the_pdf_is_archival_and_accessible() -> None:
    """No rule of PDF/A-3a and none of PDF/UA-1 is broken, also where something was relaxed."""
    from test_pdf_standards import verdict_of_validator

    drawn = render_comparison_pdf(compare_records(walked(FIRST), walked(SECOND, LOOSER)))
    assert {profile: verdict_of_validator(drawn, profile) for profile in ("3a", "ua1")} == {"3a": {}, "ua1": {}}


@pytest.mark.slow
def test_compare_on_the_command_line(tmp_path: Path) -> None:
    """Prints, writes each form, and ends as the later record does; the records themselves are never written over."""
    first, second = filed(FIRST, tmp_path / "first.json"), filed(SECOND, tmp_path / "second.json")
    outputs = [tmp_path / "both.html", tmp_path / "both.pdf"]
    done = wallwalk("compare", str(first), str(second), *(a for o in outputs for a in ("-o", str(o))))
    assert (done.returncode, done.stderr) == (1, "")
    assert done.stdout.startswith(SHOWN)
    assert done.stdout.splitlines()[-2:] == [f"Wrote {o}" for o in outputs]
    assert outputs[0].read_text().startswith("<!DOCTYPE html>")
    assert outputs[1].read_bytes().startswith(b"%PDF-")
    again = wallwalk("compare", str(first), str(second), "-o", str(outputs[0]))
    said = "is there already; give another name, or add --overwrite"
    assert (again.returncode, again.stderr) == (2, f"{outputs[0]}: {said}\n")
    assert again.stdout == done.stdout.rsplit("Wrote", 2)[0]


@pytest.mark.slow
def test_the_exit_code_is_that_of_the_later_record(tmp_path: Path) -> None:
    """0 where it passes, whatever the earlier one said; 2 where one cannot be read."""
    room = ROOT / "examples" / "204-treatment-room.yaml"
    passing, holding = filed(room, tmp_path / "pass.json"), filed(FIRST, tmp_path / "hold.json")
    assert wallwalk("compare", str(holding), str(passing)).returncode == 0
    assert wallwalk("compare", str(passing), str(holding)).returncode == 1
    for text, said in (
        ("{}", "is no filed record"),
        ("no JSON", "is no JSON that can be read"),
    ):
        (tmp_path / "bad.json").write_text(text)
        done = wallwalk("compare", "bad.json", "pass.json", cwd=tmp_path)
        assert (done.returncode, done.stdout, done.stderr) == (2, "", f"bad.json: {said}; {GIVE}\n")
    done = wallwalk("compare", "pass.json", "none.json", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (2, "none.json: is not there; give the path of a filed record\n")
    filing = read_filed_json(passing.read_bytes(), "pass.json")
    lame = replace(filing, record=changed(filing.record, verdict="maybe"))
    first = filing.record["findings"][0]
    twice = replace(filing, record=changed(filing.record, findings=[*filing.record["findings"], first]))
    as_filed = "compare the record as it was filed; wallwalk verify says more"
    for made, said in (
        (lame, 'record.verdict is "maybe", which no filed record has'),
        (twice, f'says 2 times what {first["rule"]} came to for "{first["subject"]}"'),
    ):
        (tmp_path / "lame.json").write_bytes(write_filed_json(made))
        done = wallwalk("compare", "pass.json", "lame.json", cwd=tmp_path)
        assert (done.returncode, done.stdout, done.stderr) == (2, "", f"lame.json: {said}; {as_filed}\n")
    altered = passing.read_bytes().replace(b'"verdict":"pass"}', b'"verdict":"hold"}')
    (tmp_path / "lame.json").write_bytes(altered)
    done = wallwalk("compare", "pass.json", "lame.json", cwd=tmp_path)
    assert (altered == passing.read_bytes(), done.returncode, done.stdout) == (False, 2, "")
    assert done.stderr.endswith(f"; {as_filed}\n")
