"""Time: real hours over clock changes, what waiting clears and when, and the earliest honest start."""

from __future__ import annotations

import copy
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from scenario_reader import read_base
from surveys import ROOT, example_document, rigid_sheet, survey_from, survey_of
from wallwalk.checking import check
from wallwalk.judging import judge
from wallwalk.moments import find_zone, iso_moment, parse_moment
from wallwalk.survey import Survey
from wallwalk.timing import AT_ONCE, NEVER, clears_at, earliest_start

PRIMED = """
time_zone: {zone}
planned_start: {start}
walls_in_scope: 1
walls: [{{name: A, substrate: gypsum board, primer: {{kind: water-based acrylic, finished: {finished}}}}}]
"""


def read_again(folder: Path) -> Survey:
    """The corridor with its logger read again on Monday at 09:10: in the middle of the band since it was read last."""
    data: Any = copy.deepcopy(example_document("110-link-corridor").data)
    (log,) = data["climate_log"]
    log["ended"] = "2026-03-09 09:10"
    rows = (ROOT / "examples" / log["file"]).read_text().splitlines()
    at = datetime(2026, 3, 8, 8, 50)  # the logger's own clock stayed on winter time
    while at < datetime(2026, 3, 9, 8, 10):
        at += timedelta(minutes=10)
        rows.append(f"{len(rows)},{at:%m/%d/%Y},{at:%I:%M:%S %p},66.0,30.0")
    (folder / log["file"]).write_text("\n".join(rows))
    return survey_of(data, folder)


def primer_finding(zone: str, finished: str, start: str) -> tuple[str, str, str]:
    """Outcome, measured dwell and clears-at of the primer dwell rule for one wall."""
    survey = survey_from(PRIMED.format(zone=zone, finished=finished, start=start))
    record = check(survey, rigid_sheet())
    (finding,) = [f for f in record["findings"] if f["rule"] == "primer-has-dwelled"]
    dwell = next(c for c in finding["compared"] if c["fact"] == "primer_dwell")
    return finding["outcome"], dwell["measured"], (finding["clears_at"] or {}).get("at", "")


@pytest.mark.parametrize(
    ("zone", "finished", "start", "hours", "outcome"),
    [
        # Clock changes of 2026 from the IANA tz database: US 8 March and 1 November, EU 29 March and 25 October,
        # Lord Howe Island 5 April (half an hour back) and 4 October (half an hour on); Arizona has none.
        ("America/New_York", "2026-03-07 12:00", "2026-03-08 12:00", 23, "hold"),
        ("America/New_York", "2026-10-31 12:00", "2026-11-01 12:00", 25, "pass"),
        ("Europe/Madrid", "2026-03-28 12:00", "2026-03-29 12:00", 23, "hold"),
        ("Europe/Madrid", "2026-10-24 12:00", "2026-10-25 12:00", 25, "pass"),
        ("Australia/Lord_Howe", "2026-10-03 12:00", "2026-10-04 12:00", 23.5, "hold"),
        ("Australia/Lord_Howe", "2026-04-04 12:00", "2026-04-05 12:00", 24.5, "pass"),
        ("America/Phoenix", "2026-03-07 12:00", "2026-03-08 12:00", 24, "pass"),
    ],
)
def test_noon_to_noon_is_counted_in_real_hours(
    zone: str, finished: str, start: str, hours: float, outcome: str
) -> None:
    """Primer from noon to noon has dried 23, 24 or 25 hours, as the clocks of the site went, and is judged so."""
    began, ended = (parse_moment(t, find_zone(zone)).low for t in (finished, start))
    assert Fraction(ended) - Fraction(began) == Fraction(hours) * 3600
    assert primer_finding(zone, finished, start)[0] == outcome


def test_a_hold_clears_a_full_day_after_the_primer_not_a_clock_day() -> None:
    """Over the spring change 24 hours after Saturday noon is Sunday one o'clock."""
    assert primer_finding("America/New_York", "2026-03-07 12:00", "2026-03-08 12:00") == (
        "hold",
        "23 h",
        "2026-03-08T13:00:00-04:00",
    )


def test_a_date_alone_counts_from_the_end_of_its_day() -> None:
    """Primed "on the 8th": it may have dried 8 to 32 hours, so not verified, and clears when the 9th is over."""
    assert primer_finding("America/Phoenix", "2026-03-08", "2026-03-09 08:00") == (
        "not verified",
        "8 h to 32 h",
        "2026-03-10T00:00:00-07:00",
    )


def test_without_a_planned_start_the_clocks_still_say_when() -> None:
    """Nobody wrote a start: the dwell is not verified, yet the moment from which it will be long enough is known."""
    survey = survey_from(PRIMED.format(zone="UTC", finished="2026-03-08 06:00", start="unknown"))
    record = check(survey, rigid_sheet())
    assert record["evaluated_for"] is None
    assert record["earliest_start"]["at"]["at"] == "2026-03-09T06:00:00+00:00"


def test_what_no_time_cures_never_clears_and_what_needs_none_clears_at_once() -> None:
    """In the old room loose paint never clears by waiting; a wall that passes needs no waiting."""
    survey = survey_of(example_document("014-old-dispensary").data)
    clears = {(f.rule.name, f.subject.name): clears_at(rigid_sheet(), survey, f) for f in judge(rigid_sheet(), survey)}
    assert clears["no-loose-paint", "North"] == NEVER
    assert clears["wall-plumb", "North"] == AT_ONCE
    assert clears["primer-has-dwelled", "North"] == AT_ONCE  # does not apply: nothing was primed


def test_at_the_earliest_start_everything_passes_and_a_minute_before_it_does_not(tmp_path: Path) -> None:
    """The corridor, its logger read again, passes at its earliest start; one minute sooner it holds."""
    survey = read_again(tmp_path)
    earliest = earliest_start(rigid_sheet(), survey, judge(rigid_sheet(), survey))
    assert earliest.at is not None
    assert earliest.by_waiting
    assert earliest.at == datetime(2026, 3, 9, 13, 50, tzinfo=UTC).timestamp()
    verdicts = [
        check(survey, rigid_sheet(), parse_moment(iso_moment(earliest.at - seconds, None), None))["verdict"]
        for seconds in (0, 60)
    ]
    assert verdicts == ["pass", "hold"]


def test_what_lapses_by_the_earliest_start_is_named() -> None:
    """Mortar behind tile is 28 days old two days after the walk: by then the room has to be walked again."""
    data: Any = copy.deepcopy(example_document("110-link-corridor").data)
    data |= {"climate_logs_kept": "0", "climate_log": []}
    data["walls"][2] |= {"substrate": "tile", "primer": {"kind": "none"}, "cast_or_plastered": "2026-02-10 11:00"}
    data["walls"][2]["patches_primed_at"] = "2026-03-06 10:00"
    earliest = check(survey_of(data), rigid_sheet())["earliest_start"]
    assert earliest["at"]["at"] == "2026-03-10T12:00:00-05:00"
    assert earliest["by_waiting"]
    assert [(o["rule"], o["outcome"]) for o in earliest["open_then"]] == [("walk-is-fresh", "hold")]


def test_a_log_that_ended_has_to_be_read_again() -> None:
    """At the corridor's earliest start by the clocks, nobody has seen its air for a day; nothing else is open then."""
    earliest = check(survey_of(example_document("110-link-corridor").data), rigid_sheet())["earliest_start"]
    assert (earliest["at"]["at"], earliest["by_waiting"]) == ("2026-03-09T08:50:00-05:00", False)
    assert {(o["rule"], o["outcome"]) for o in earliest["open_then"]} == {
        ("band-held-before-start", "not verified"),
        ("sheets-acclimated-by-the-log", "not verified"),
        ("adhesive-acclimated-by-the-log", "not verified"),
    }


def test_another_start_may_be_given_and_is_said_to_be_so(tmp_path: Path) -> None:
    """`--at` takes the place of the planned start, and the record says where the start came from."""
    survey = read_again(tmp_path)
    record = check(survey, rigid_sheet(), parse_moment("2026-03-09 09:00", survey.zone))
    assert (record["verdict"], record["evaluated_for"]["given_by"]) == ("pass", "command line")
    assert record["evaluated_for"]["from"] == "2026-03-09T09:00:00-05:00"


def test_a_second_over_the_longest_is_said_to_be_over_it() -> None:
    """The sentence of a fact with two limits keeps it on its own side of both: 24 h and a second is not 24 h."""
    data: Any = copy.deepcopy(example_document("204-treatment-room").data)
    data["planned_start"] = "2026-03-10 15:30:01"
    (held,) = [f for f in check(survey_of(data), rigid_sheet())["findings"] if f["rule"] == "walk-is-fresh"]
    assert held["outcome"] == "hold"
    assert held["says"] == "Time from the walk to the planned start: 24.0003 h. It must be 0 h to 24 h."


def test_the_window_closes_when_the_first_thing_lapses(tmp_path: Path) -> None:
    """The corridor may start from Monday 08:50, and until the walk of Sunday 09:30 is a day old; no later."""
    survey = read_again(tmp_path)
    earliest = check(survey, rigid_sheet())["earliest_start"]
    assert (earliest["until"]["at"], earliest["lapses"]["rule"]) == ("2026-03-09T09:30:00-05:00", "walk-is-fresh")
    last, after = (parse_moment(f"2026-03-09 09:30{s}", survey.zone) for s in ("", ":01"))
    assert [check(survey, rigid_sheet(), start)["verdict"] for start in (last, after)] == ["pass", "hold"]


def test_the_window_is_the_same_whatever_start_is_asked_for() -> None:
    """No start, too early, inside, too late: the clocks open and close at the same moments.

    The log ends at 07:50, with half an hour out of the band on Monday: of the hour forgiven half is left.
    """
    data: Any = copy.deepcopy(example_document("204-treatment-room").data)
    windows = set()
    for start in ("unknown", "2026-03-09 16:00", "2026-03-10 08:00", "2026-03-12 08:00"):
        data["planned_start"] = start
        earliest = check(survey_of(data), rigid_sheet())["earliest_start"]
        windows.add((earliest["at"]["at"], earliest["until"]["at"]))
    assert windows == {("2026-03-10T07:15:00-05:00", "2026-03-10T08:20:00-05:00")}


def test_a_clock_that_can_be_read_counts_beside_one_that_cannot() -> None:
    """Since when the room is warm is not known; the adhesive came at 15:00, so no start before 15:00 the next day."""
    data: Any = copy.deepcopy(example_document("204-treatment-room").data)
    del data["sheets"]["room_at_temperature_since"]
    data["adhesive"]["in_room_since"] = "2026-03-09 15:00"
    earliest = check(survey_of(data), rigid_sheet())["earliest_start"]
    assert (earliest["at"]["at"], earliest["by_waiting"]) == ("2026-03-10T15:00:00-05:00", False)


def room_204(tmp_path: Path, change: Callable[[str, float], float]) -> Survey:
    """The passing room with another log: each row's temperature as `change` has it, by its time and its own."""
    lines = (ROOT / "examples" / "204-treatment-room.csv").read_text(encoding="utf-8").splitlines()
    rows = [line.split(",") for line in lines[1:]]
    changed = [f"{at},{change(at, max(float(t), 19.0)):.1f},{rh}" for at, t, rh in rows]
    (tmp_path / "204-treatment-room.csv").write_text("\n".join([lines[0], *changed]) + "\n", encoding="utf-8")
    return survey_of(example_document("204-treatment-room").data, tmp_path)


@pytest.mark.parametrize("celsius", [4.0, 35.0])
def test_a_room_that_the_log_shows_out_of_its_band_at_the_end_is_no_pass(celsius: float, tmp_path: Path) -> None:
    """Cold or hot from 07:20 to the last row at 07:50, for a start at 08:00: under an hour, and still no pass."""
    as_it_was = check(room_204(tmp_path, lambda _, own: own), rigid_sheet())
    assert as_it_was["verdict"] == "pass"
    ends_out = check(room_204(tmp_path, lambda at, own: celsius if at >= "2026-03-10 07:20" else own), rigid_sheet())
    assert ends_out["verdict"] == "hold"
    outcomes = {f["rule"]: f["outcome"] for f in ends_out["findings"]}
    assert outcomes["band-held-before-start"] == "not verified"


def test_a_break_that_leaves_the_day_no_longer_closes_the_window(tmp_path: Path) -> None:
    """Cold on Sunday from 20:00 to 20:20: for a start on Tuesday that is past, and the last row's hour is left whole.

    Read at 07:50 with the last row then, the log allows a start until 08:50.
    """
    record = check(
        room_204(tmp_path, lambda at, own: 4.0 if "2026-03-08 20:00" <= at <= "2026-03-08 20:20" else own),
        rigid_sheet(),
    )
    assert record["verdict"] == "pass"
    assert record["earliest_start"]["until"]["at"].startswith("2026-03-10T08:")
    assert record["earliest_start"]["until"]["at"] >= "2026-03-10T08:40"


def test_no_start_comes_before_what_the_wall_was_read_at() -> None:
    """Air, moisture and faces are read after the walk began: the start waits for the last of them, and then it passes.

    In the base room of concrete the walk is at 14:00 and the last reading, of a face, is at 14:20.
    """
    base = read_base("concrete-room")
    data: Any = copy.deepcopy(base.data)
    for start in ("2026-05-13 07:00", "2026-05-12 14:05"):
        data["planned_start"] = start
        earliest = check(survey_of(data), rigid_sheet())["earliest_start"]
        assert (earliest["at"]["at"], earliest["by_waiting"]) == ("2026-05-12T14:20:00-04:00", True)
        assert earliest["open_then"] == []


def test_a_reading_that_was_not_written_down_leaves_the_known_ones_counting() -> None:
    """Three air readings were taken and two are written down: no start before those, and it is not for time to say."""
    data: Any = copy.deepcopy(read_base("concrete-room").data)
    data["air_taken"] = "3"
    earliest = check(survey_of(data), rigid_sheet())["earliest_start"]
    assert (earliest["at"]["at"], earliest["by_waiting"]) == ("2026-05-12T14:20:00-04:00", False)


def test_a_break_that_is_forgiven_is_so_too_where_the_log_stood_on_after_its_last_row(tmp_path: Path) -> None:
    """Cold for twenty minutes the evening before, and the log read twenty minutes after its last row of 07:50.

    Nothing of the time after that row is forgiven, but the break before it is: the start may be until 07:50.
    """
    room_204(tmp_path, lambda at, own: 4.0 if "2026-03-09 20:00" <= at <= "2026-03-09 20:20" else own)
    data: Any = copy.deepcopy(example_document("204-treatment-room").data)
    data["climate_log"][0]["ended"] = "2026-03-10 08:10"
    data["planned_start"] = "2026-03-10 07:30"
    survey = survey_of(data, tmp_path)
    record = check(survey, rigid_sheet())
    earliest = record["earliest_start"]
    assert record["verdict"] == "pass"
    assert (earliest["at"]["at"], earliest["until"]["at"], earliest["by_waiting"]) == (
        "2026-03-10T07:15:00-05:00",
        "2026-03-10T07:50:00-05:00",
        True,
    )
