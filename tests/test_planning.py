"""The work-back plan: last moments counted back from the start in real hours, what was missed, and its calendar."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

import icalendar
import pytest

from surveys import example, rigid_sheet, survey_from
from test_cli import wallwalk
from wallwalk.checking import check, plan
from wallwalk.errors import InputError
from wallwalk.moments import parse_moment
from wallwalk.report.schedule import render_calendar, render_plan_html


def corridor(start: str | None = None) -> Any:  # noqa: ANN401 - a plan is plain data
    """The plan of the corridor, for its own start or another."""
    survey = example("110-link-corridor")
    return plan(survey, rigid_sheet(), None if start is None else parse_moment(start, survey.zone))


def lines(of: Any) -> set[tuple[str, str, str | None, str | None, str]]:  # noqa: ANN401
    """Each step as rule, subject, not before, not after, kept."""
    return {
        (
            s["rule"],
            s["subject"],
            s["no_earlier"] and s["no_earlier"]["at"],
            s["no_later"] and s["no_later"]["at"],
            s["kept"],
        )
        for s in of["steps"]
    }


def test_each_step_is_counted_back_in_real_hours() -> None:
    """For Sunday noon after the clocks went forward, 24 h back is Saturday 11:00; 28 d back is 11:00 in winter time.

    Worked by hand from the survey and the limits: dwell and acclimation 24 h, cure 28 d, walk at most 24 h old.
    """
    day_before = "2026-03-07T11:00:00-06:00"
    assert lines(corridor()) == {
        ("cement-work-cured", "East end", None, "2026-02-08T11:00:00-06:00", "in time"),
        ("primer-has-dwelled", "North", None, day_before, "in time"),
        ("primer-has-dwelled", "South", None, day_before, "missed"),
        ("primer-has-dwelled", "East end", None, day_before, "in time"),
        ("primer-has-dwelled", "West end", None, day_before, "missed"),
        ("sheets-acclimated", "space", None, day_before, "in time"),
        ("sheets-acclimated", "space", None, day_before, "missed"),  # the room went cold in the night
        ("adhesive-acclimated", "space", None, day_before, "in time"),
        ("band-held-before-start", "space", None, day_before, "missed"),  # and the log shows it
        ("walk-is-fresh", "space", day_before, "2026-03-08T12:00:00-05:00", "in time"),
        ("adhesive-in-date", "space", "2026-03-08T12:00:00-05:00", None, "in time"),
    }


def test_at_the_earliest_start_no_step_is_missed_and_a_minute_sooner_one_is() -> None:
    """The plan and the check tell the same story of the same survey."""
    at = check(example("110-link-corridor"), rigid_sheet())["earliest_start"]["at"]["at"]
    assert at == "2026-03-09T08:50:00-05:00"
    kept = {(s["rule"], s["kept"]) for s in corridor("2026-03-09 08:50")["steps"] if s["kept"] != "in time"}
    assert kept == {("band-held-before-start", "not known")}  # the logger has to be read again to tell
    assert "missed" in {s["kept"] for s in corridor("2026-03-09 08:39")["steps"]}


def test_what_is_not_written_down_is_not_known_and_not_kept() -> None:
    """A date alone may or may not be soon enough, and silence says nothing."""
    survey = survey_from(
        "time_zone: UTC\nplanned_start: 2026-03-10 12:00\nsheets: {in_room_since: 2026-03-09}\n"
        "walls_in_scope: 1\nwalls: [{name: A, substrate: gypsum board}]\n"
    )
    kept = {(s["rule"], s["what"]): s["kept"] for s in plan(survey, rigid_sheet())["steps"]}
    assert kept["sheets-acclimated", "When the sheets came into this room"] == "not known"
    assert kept["primer-has-dwelled", "When the last coat of primer was finished"] == "not known"


def test_without_a_start_there_is_nothing_to_count_back_from() -> None:
    """One message says what to write."""
    with pytest.raises(InputError) as refused:
        plan(survey_from("space: {name: A}\n"), rigid_sheet())
    assert str(refused.value) == (
        "survey.yaml: has no planned start to count back from; "
        "write planned_start: and a date and time, or give one with --start"
    )


def test_the_calendar_is_read_back_by_the_rfc_5545_library() -> None:
    """One event for the start and one for each moment of the plan, at that moment; the same bytes each time."""
    found = corridor()
    raw = render_calendar(found)
    events = icalendar.Calendar.from_ical(raw).walk("VEVENT")
    moments = [s[side]["at"] for s in found["steps"] for side in ("no_later", "no_earlier") if s[side]]
    want = sorted(datetime.fromisoformat(m) for m in (found["start"]["from"]["at"], *moments))
    assert sorted(event.decoded("DTSTART") for event in events) == want
    assert len({str(event["UID"]) for event in events}) == len(events) == 13
    assert render_calendar(corridor()) == raw
    assert max(len(line) for line in raw.split(b"\r\n")) <= 75


def test_names_cannot_break_out_of_the_calendar_or_the_page() -> None:
    """A wall's name with a line end, a semicolon or markup stays a name."""
    survey = survey_from(
        "time_zone: UTC\nplanned_start: 2026-03-10 12:00\nspace: {name: '<b>;X'}\nwalls_in_scope: 1\n"
        'walls: [{name: "A\\nEND:VEVENT", substrate: gypsum board}]\n'
    )
    found = plan(survey, rigid_sheet())
    assert render_calendar(found).count(b"\r\nEND:VEVENT\r\n") == len(
        icalendar.Calendar.from_ical(render_calendar(found)).walk("VEVENT")
    )
    page = render_plan_html(found)
    assert "&lt;b&gt;;X" in page
    assert "<b>;X" not in page


@pytest.mark.slow
def test_the_command_prints_writes_and_ends_by_what_was_missed(tmp_path: Path) -> None:
    """Exit code 1 where a step is missed, 0 where none is; the three forms are written and named."""
    targets = [str(tmp_path / f"plan{suffix}") for suffix in (".html", ".pdf", ".ics")]
    done = wallwalk("plan", "examples/110-link-corridor.yaml", *(a for t in targets for a in ("-o", t)))
    assert (done.returncode, done.stderr) == (1, "")
    assert done.stdout.splitlines()[-3:] == [f"Wrote {t}" for t in targets]
    assert "MISSED; written down: Sat 7 Mar 2026 12:00 [primer-has-dwelled]" in done.stdout
    assert max(map(len, done.stdout.splitlines()[:-3])) <= 80
    assert Path(targets[1]).read_bytes()[:5] == b"%PDF-"
    later = wallwalk("plan", "examples/110-link-corridor.yaml", "--start", "2026-03-09 09:00")
    assert later.returncode == 0
    assert "1 step is not known." in later.stdout
