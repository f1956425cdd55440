"""Every condition of the trade page has its rule or a reason, and tests that can only fail a wall never pass one."""

from __future__ import annotations

import copy
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from survey_strategies import LESS, may_be_lost, places, surveys
from surveys import ROOT, example_document, rigid_sheet, survey_of
from trade_page import SECTIONS, page_rows
from wallwalk.judging import judge, verdict_of
from wallwalk.trade import TradeRow
from wallwalk.values import Verdict

CONDITIONS = ROOT / "rules" / "rigid-sheet" / "conditions.yaml"
SHEET_RULES = {"plastic-sheet-shows-no-damp", "plastic-sheet-test-done-in-full"}
QUIET = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.large_base_example]


# -- the table -------------------------------------------------------------------------------------------------------


def trade_rows() -> list[tuple[str, TradeRow]]:
    """Each row of the shipped table with the section of the page that it belongs to."""
    table = rigid_sheet().conditions
    assert table is not None
    return [(name, row) for name, part in zip(SECTIONS, table.sections, strict=True) for row in part.rows]


def test_every_rule_named_is_in_the_rule_set() -> None:
    """The file as it lies there, read by another reader: a row is not covered by a rule that is no longer there."""
    table = yaml.safe_load(CONDITIONS.read_text())
    rows = [row for part in table["sections"] for row in part["rows"]]
    named = {rule for row in rows for rule in row.get("rules", [])}
    assert (named | set(table["own"])) == set(rigid_sheet().rules)
    assert named & set(table["own"]) == set()
    assert [row for row in rows if ("rules" in row) == ("left" in row)] == []
    assert len(rows) > 60


def test_the_table_is_read_as_it_is_written() -> None:
    """Row by row, with its rules, in English and in Spanish, each text in both."""
    table = yaml.safe_load(CONDITIONS.read_text())
    written = [row for part in table["sections"] for row in part["rows"]]
    read = [row for _, row in trade_rows()]
    assert [(r.condition, list(r.rules), r.left) for r in read] == [
        (r["condition"], r.get("rules", []), r.get("left", "")) for r in written
    ]
    texts: list[tuple[Any, tuple[str, ...]]] = [(row, ("condition", "left")) for row in written]
    texts += [(part, ("title",)) for part in (table, *table["sections"])]
    texts += [(part, ("because",)) for part in table["own"].values()]
    assert [part for part, names in texts if {n for n in names if n in part} != set(part["es"])] == []


def test_every_row_of_the_page_is_in_the_table_once() -> None:
    """Each row of each section's table, and each trap, is met by one row here, and each row here meets one there."""
    page, rows = list(page_rows()), trade_rows()
    met = [(row, [r.condition for s, r in rows if s == row.section and r.condition in row.condition]) for row in page]
    assert [m for m in met if len(m[1]) != 1] == []
    assert len(page) == len(rows)
    assert {row.section for row in page} == set(SECTIONS)


# -- a test that can fail a wall and never pass one ------------------------------------------------------------------


def passing_room() -> Any:  # noqa: ANN401 - a survey's data
    """The example that passes, to be changed."""
    return copy.deepcopy(example_document("204-treatment-room").data)


def concrete_room() -> Any:  # noqa: ANN401 - a survey's data
    """The room that passes, with its first wall of old concrete: read in %MC and pH, no test beyond those."""
    room = passing_room()
    room["instruments"].append(
        {"name": "pH meter", "calibration_due": "2026-06-30", "uncertainty": {"alkalinity": "0.3 pH"}}
    )
    meter = next(i for i in room["instruments"] if i["name"] == "pin meter")
    meter["uncertainty"]["moisture_mc"] = "0.6 %MC"
    wall = room["walls"][0]
    del wall["gypsum"]
    for reading in wall["moisture"]:
        reading["value"] = "9 %MC"
    one = {"at": "2026-03-05 10:40", "place": "base", "value": "8.6 pH", "instrument": "pH meter"}
    wall |= {"substrate": "concrete", "alkalinity_taken": "2", "alkalinity": [one, dict(one)]}
    wall |= {"plastic_sheet": {"made": False}, "wall_humidity_taken": "0"}
    return room


def taped(room: Any, **changes: Any) -> Any:  # noqa: ANN401
    """The room with a plastic sheet on each of its walls, for 20 hours and dry, but for the changes."""
    sheet = {"made": True, "laid": "2026-03-08 12:00", "lifted": "2026-03-09 08:00", "shortest_side": "18 in"}
    with_sheet = copy.deepcopy(room)
    for wall in with_sheet.get("walls", []):
        wall["plastic_sheet"] = {**sheet, "damp": False, **changes}
    return with_sheet


def not_taped(room: Any) -> Any:  # noqa: ANN401
    """The room without any plastic sheet."""
    without_sheet = copy.deepcopy(room)
    for wall in without_sheet.get("walls", []):
        wall["plastic_sheet"] = {"made": False}
    return without_sheet


def outcomes(room: Any) -> dict[tuple[str, str], str]:  # noqa: ANN401
    """Every finding, by rule and subject."""
    return {(f.rule.name, f.subject.name): f.outcome.value for f in judge(rigid_sheet(), survey_of(room))}


def verdict(room: Any) -> Verdict:  # noqa: ANN401
    """The verdict over the whole room."""
    return verdict_of(judge(rigid_sheet(), survey_of(room)))


def others(found: dict[tuple[str, str], str]) -> dict[tuple[str, str], str]:
    """The findings of all rules but those of the plastic sheet."""
    return {key: outcome for key, outcome in found.items() if key[0] not in SHEET_RULES}


def test_a_room_of_concrete_can_pass_without_the_plastic_sheet() -> None:
    """Nobody has to make the test, and a dry sheet adds nothing to a pass."""
    assert verdict(concrete_room()) is Verdict.PASS
    assert outcomes(concrete_room())["plastic-sheet-shows-no-damp", "North"] == "does not apply"
    assert others(outcomes(taped(concrete_room()))) == others(outcomes(concrete_room()))
    assert verdict(taped(concrete_room())) is Verdict.PASS


def test_a_damp_sheet_holds_a_wall_that_the_meter_calls_dry() -> None:
    """Water under the sheet is proof: one finding turns, and the room with it."""
    damp = taped(concrete_room(), damp=True)
    assert outcomes(damp)["masonry-and-wood-moisture-low", "North"] == "pass"
    assert outcomes(damp)["plastic-sheet-shows-no-damp", "North"] == "hold"
    assert verdict(damp) is Verdict.HOLD


def read_once(value: str) -> dict[str, Any]:
    """What a wall says of its moisture, read in one place."""
    return {
        "moisture_taken": "1",
        "moisture": [{"at": "2026-03-09 15:32", "place": "base", "value": value, "instrument": "pin meter"}],
    }


@pytest.mark.slow
@pytest.mark.parametrize(
    "change",
    [
        {"moisture_taken": "0", "moisture": []},
        {"moisture": None},
        {"moisture_taken": None},
        read_once("14 %WME"),
        read_once("15 %MC"),
        read_once("11.8 %MC"),
    ],
    ids=["no reading", "readings lost", "not counted", "another scale", "wet", "too near to tell"],
)
def test_a_dry_sheet_stands_in_for_no_meter_reading(change: dict[str, Any]) -> None:
    """Whatever is wrong with the meter's readings, a dry sheet done in full leaves the wall as it was: held."""
    room = concrete_room()
    room["walls"][0] |= change
    assert outcomes(room)["masonry-and-wood-moisture-low", "North"] in {"hold", "not verified"}
    assert others(outcomes(taped(room))) == others(outcomes(room))
    assert verdict(taped(room)) is Verdict.HOLD


@pytest.mark.parametrize(
    "change", [{"lifted": "2026-03-08 20:00"}, {"shortest_side": "12 in"}, {"damp": None}, {"made": None}]
)
def test_a_sheet_test_that_is_no_test_holds(change: dict[str, Any]) -> None:
    """Lifted early, too small, not looked at, or not known to have been made: no room passes on it."""
    assert verdict(taped(concrete_room(), **change)) is Verdict.HOLD


@pytest.mark.slow
@settings(max_examples=15, deadline=None, suppress_health_check=QUIET)
@given(data=st.data())
def test_no_room_known_less_well_passes_by_a_dry_sheet(data: st.DataObject) -> None:
    """Any few answers lost: a dry sheet changes nothing else that is found, and the room passes no sooner."""
    room = concrete_room()
    for _ in range(data.draw(st.integers(0, 3))):
        where = data.draw(st.sampled_from([p for p in places(room) if may_be_lost(p)]))
        room = data.draw(st.sampled_from(LESS))(room, where)
    assert_sheet_passes_nothing(room)


@pytest.mark.slow
@settings(max_examples=15, deadline=None, suppress_health_check=QUIET)
@given(room=surveys())
def test_no_random_room_passes_by_a_dry_sheet(room: Any) -> None:  # noqa: ANN401
    """The same over surveys drawn from the schema."""
    assert_sheet_passes_nothing(room)


def assert_sheet_passes_nothing(room: Any) -> None:  # noqa: ANN401
    """A dry sheet changes no finding but its own, and no hold of the room into a pass; a damp one passes nothing."""
    bare, dry, damp = not_taped(room), taped(room), taped(room, damp=True)
    assert others(outcomes(dry)) == others(outcomes(bare)) == others(outcomes(damp))
    if verdict(dry) is Verdict.PASS:
        assert verdict(bare) is Verdict.PASS


# -- others of that sort ---------------------------------------------------------------------------------------------


def test_dry_readings_prove_no_joint_dry() -> None:
    """Board that the meter calls dry: joints told to be dry by it, or by their looks, hold the room."""
    for how in ("meter", "looks"):
        room = passing_room()
        room["walls"][0]["gypsum"]["compound_dry_told_by"] = how
        assert outcomes(room)["gypsum-moisture-low", "North"] == "pass"
        assert outcomes(room)["joints-dry-by-drying-time", "North"] == "hold"
        assert verdict(room) is Verdict.HOLD


@pytest.mark.parametrize("answer", [True, None], ids=["grease", "nobody looked"])
def test_a_whole_film_of_water_stands_in_for_no_look(answer: bool | None) -> None:
    """Grease seen, or not looked for, holds a painted wall on which the water stood whole."""
    room = passing_room()
    room["walls"][2]["coatings"]["oil_or_wax"] = answer
    assert outcomes(room)["water-film-stays-whole", "South"] == "pass"
    assert verdict(room) is Verdict.HOLD


def test_a_broken_film_of_water_holds() -> None:
    """On old paint and on bare steel, where the film says something."""
    for wall in (2, 3):
        room = passing_room()
        room["walls"][wall]["coatings"]["water_film_whole"] = False
        assert outcomes(room)["water-film-stays-whole", room["walls"][wall]["name"]] == "hold"
        assert verdict(room) is Verdict.HOLD


def test_water_on_a_bare_porous_face_says_nothing() -> None:
    """Tried on bare concrete, a film that breaks holds nothing and one that stays whole passes nothing."""
    for whole in (True, False):
        room = concrete_room()
        room["walls"][0] |= {"primer": {"kind": "none"}}
        room["walls"][0]["coatings"] |= {"water_break_made": True, "water_film_whole": whole}
        assert outcomes(room)["water-film-stays-whole", "North"] == "does not apply"


def test_dry_holes_stand_in_for_no_meter_reading() -> None:
    """Humidity tests inside the wall count by number alone; without readings by the meter the wall is not verified."""
    one = {"at": "2026-03-09 15:00", "place": "left", "value": "60 %RH", "instrument": "TH-2"}
    room = concrete_room()
    room["walls"][0] |= {"wall_humidity_taken": "3", "wall_humidity": [one, dict(one), dict(one)]}
    assert outcomes(room)["wall-humidity-tested-often-enough", "North"] == "pass"
    assert verdict(room) is Verdict.PASS
    room["walls"][0] |= {"moisture_taken": "0", "moisture": []}
    assert outcomes(room)["masonry-and-wood-moisture-low", "North"] == "not verified"
    assert verdict(room) is Verdict.HOLD
    room["walls"][0] |= {"wall_humidity_taken": "1", "wall_humidity": [one]}
    assert outcomes(room)["wall-humidity-tested-often-enough", "North"] == "hold"
