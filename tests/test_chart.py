"""The pictures of the report: ticks at local moments, each part where it belongs, no words touching, all said."""

from __future__ import annotations

import logging
import re
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, timedelta
from itertools import combinations, pairwise
from typing import Any
from xml.etree import ElementTree
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from wallwalk.moments import show_moment
from wallwalk.report.chart import Chart, choose_levels, climate_charts, clock_charts
from wallwalk.report.chart_marks import place_flags
from wallwalk.report.chart_shapes import WIDTH, hatch, wrap_text
from wallwalk.report.chart_time import TimeAxis, choose_ticks
from wallwalk.report.pdf import draw_pdf
from wallwalk.resources import data_folder

NEW_YORK = ZoneInfo("America/New_York")
BAND = {"low": 60.0, "high": 80.0, "low_written": "60 °F", "high_written": "80 °F"}
WET = {"low": 30.0, "high": 60.0, "low_written": "30 %RH", "high_written": "60 %RH"}
SVG = "{http://www.w3.org/2000/svg}"


def at(text: str, zone: ZoneInfo = NEW_YORK) -> int:
    """Seconds since 1970 of a local moment, or of one with its offset."""
    moment = datetime.fromisoformat(text)
    return int((moment if moment.tzinfo else moment.replace(tzinfo=zone)).timestamp())


def utc(seconds: Iterable[int]) -> list[str]:
    """Moments as `03-08 05:00` in UTC."""
    return [datetime.fromtimestamp(s, UTC).strftime("%m-%d %H:%M") for s in seconds]


def over(first: str, last: str, zone: ZoneInfo = NEW_YORK) -> TimeAxis:
    """An axis as wide as a picture's."""
    return TimeAxis(at(first, zone), at(last, zone), 46, 630)


def mark(when: str, what: str, kind: str) -> dict[str, Any]:
    """A marked moment as the record has it."""
    return {"at": at(when), "shown": show_moment(at(when), NEW_YORK), "what": what, "kind": kind}


def picture(points: list[list[float]], **more: Any) -> dict[str, Any]:  # noqa: ANN401 - parts of a record
    """A temperature picture as the record has it, of `points` and whatever else is said."""
    plain = {"quantity": "temperature", "log": "logger.csv", "place": "middle of the room", "unit": "°F"}
    return {**plain, "band": BAND, "points": points, "holes": [], "out": [], **more}


def clock(subject: str, kept: str, began: tuple[str, str] | None, hours: int = 24, what: str = "Primed") -> Any:  # noqa: ANN401 - a part of a record
    """A clock as the record has it."""
    first = [at(moment) for moment in began] if began else None
    last = [moment + hours * 3600 for moment in first] if first else None
    return {"what": what, "subject": subject, "needs": f"{hours} h", "began": first, "through": last, "kept": kept}


HOLE = [at("2026-03-07T20:00"), at("2026-03-08T04:00")]
OUT = [at("2026-03-07T12:00"), at("2026-03-07T15:00")]
TWO_DAYS = [
    [at("2026-03-07T00:00"), 61.5, 62.5],
    [at("2026-03-07T12:00"), 80.5, 81.5],
    [at("2026-03-07T15:00"), 83.0, 84.04],
    [at("2026-03-07T15:10"), 78.0, 79.0],
    [HOLE[0], 70.0, 71.0],
    [HOLE[1], 64.0, 65.0],
    [at("2026-03-09T00:00"), 72.0, 73.0],
]
MARKS = [
    mark("2026-03-09T08:00", "Planned start", "start"),
    mark("2026-03-08T08:00", "In the band from here", "window"),
    mark("2026-03-07T09:00", "Primed: North", "primed"),
    mark("2026-03-07T07:00", "Sheets into the room", "sheets"),
    mark("2026-03-09T06:30", "Walk", "walk"),
    mark("2026-02-02T06:30", "Primed: Bulkhead", "primed"),
]
CLIMATE = {
    "pictures": [
        picture(TWO_DAYS, holes=[HOLE], out=[OUT]),
        picture([[p[0], 40.0, 45.0] for p in TWO_DAYS], quantity="humidity", unit="%RH", band=WET, holes=[HOLE]),
    ],
    "marks": MARKS,
}
START = (at("2026-03-09T08:00"), at("2026-03-09T08:00"))
CLOCKS = [
    clock("North", "in time", ("2026-03-07T15:00", "2026-03-07T15:00")),
    clock("East", "missed", ("2026-03-08T14:00", "2026-03-08T14:00")),
    clock("South", "in time", ("2026-03-07T00:00", "2026-03-07T06:00")),
    clock("West", "not known", ("2026-03-08T00:00", "2026-03-08T12:00")),
    clock("Bulkhead", "not known", None),
    clock("space", "in time", ("2026-01-05T10:00", "2026-01-05T10:00"), 48, "Sheets in the room"),
]


def draw(chart: Chart, macro: str = "climate") -> ElementTree.Element:
    """The drawing as the page has it, parsed as XML."""
    environment = Environment(
        loader=FileSystemLoader(data_folder("templates")), autoescape=True, undefined=StrictUndefined, trim_blocks=True
    )
    source = '{% from "chart.html" import ' + macro + " %}{{ " + macro + "(chart) }}"
    return ElementTree.fromstring(  # noqa: S314 - our own
        environment.from_string(source).render(chart=chart).replace("<svg", f'<svg xmlns="{SVG[1:-1]}"')
    )


def numbers(d: str) -> list[tuple[float, float]]:
    """The points of a path."""
    found = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", d)]
    return list(zip(found[::2], found[1::2], strict=True))


def shapes(chart: Chart, kind: str) -> list[list[tuple[float, float]]]:
    """The points of every shape of a kind, in order."""
    return [numbers(shape.d) for shape in chart.drawing.shapes if shape.kind == kind]


def spans(chart: Chart, kind: str) -> list[tuple[float, float]]:
    """From where to where, left to right, each shape of a kind reaches."""
    return [(min(x for x, _ in points), max(x for x, _ in points)) for points in shapes(chart, kind)]


def boxes(chart: Chart) -> list[tuple[float, float, float, float, str]]:
    """Left, top, right, bottom and text of every label, with letters of the page's average width."""
    found = []
    for label in (*chart.drawing.labels, *chart.key.labels):
        width = len(label.text) * 11 * (0.57 if label.kind == "strong" else 0.53)
        left = label.x - {"start": 0, "middle": width / 2, "end": width}[label.anchor]
        found.append((left, label.y - 8, left + width, label.y + 1, label.text))
    return found


def assert_apart(chart: Chart) -> None:
    """No label touches another, and none leaves the picture."""
    for one, other in combinations(boxes(chart), 2):
        apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
        assert apart, f"{one} touches {other}"
    for left, top, right, bottom, text in boxes(chart):
        assert left >= -1, text
        assert right <= WIDTH + 1, text
        assert top >= 0, text
        assert bottom <= chart.height + 1, text


# Ticks of time


def test_six_hours_have_a_tick_at_each_hour() -> None:
    """Whole hours of the morning, and the day below them."""
    ticks = choose_ticks(over("2026-03-05T06:30", "2026-03-05T12:30"), NEW_YORK)
    assert [t.label for t in ticks.ticks] == ["07:00", "08:00", "09:00", "10:00", "11:00", "12:00"]
    assert utc(t.at for t in ticks.ticks) == [f"03-05 {hour:02d}:00" for hour in range(12, 18)]
    assert [(t.at, t.label) for t in ticks.under] == [(at("2026-03-05T06:30"), "Thu 5 Mar")]


def test_two_days_over_a_clock_change_keep_to_what_the_clocks_show() -> None:
    """The night of 8 March 2026 is an hour short in New York: from midnight to six is five hours."""
    ticks = choose_ticks(over("2026-03-07T00:00", "2026-03-09T00:00"), NEW_YORK)
    assert [t.label for t in ticks.ticks] == ["00:00", "06:00", "12:00", "18:00"] * 2 + ["00:00"]
    assert utc(t.at for t in ticks.ticks) == [
        *("03-07 05:00", "03-07 11:00", "03-07 17:00", "03-07 23:00"),
        *("03-08 05:00", "03-08 10:00", "03-08 16:00", "03-08 22:00", "03-09 04:00"),
    ]
    assert [t.label for t in ticks.under] == ["Sat 7 Mar", "Sun 8 Mar", "Mon 9 Mar"]
    assert utc(t.at for t in ticks.under) == ["03-07 05:00", "03-08 05:00", "03-09 04:00"]


def test_an_hour_that_is_skipped_has_no_tick_and_one_that_comes_twice_has_two() -> None:
    """New York skips 02:00 on 8 March 2026 and has 01:00 twice on 1 November 2026."""
    spring = choose_ticks(over("2026-03-08T00:30", "2026-03-08T07:30"), NEW_YORK)
    assert [t.label for t in spring.ticks] == ["01:00", "03:00", "04:00", "05:00", "06:00", "07:00"]
    autumn = choose_ticks(over("2026-11-01T00:30", "2026-11-01T05:30"), NEW_YORK)
    assert [t.label for t in autumn.ticks] == ["01:00", "01:00", "02:00", "03:00", "04:00", "05:00"]
    assert utc(t.at for t in autumn.ticks)[:3] == ["11-01 05:00", "11-01 06:00", "11-01 07:00"]


def test_a_day_whose_midnight_is_skipped_begins_with_the_change() -> None:
    """Beirut's clocks go from 00:00 to 01:00 on 29 March 2026, which is 22:00 UTC of the day before."""
    beirut = ZoneInfo("Asia/Beirut")
    ticks = choose_ticks(over("2026-03-26T00:00", "2026-04-01T12:00", beirut), beirut)
    assert [t.label for t in ticks.ticks] == ["Thu 26", "Fri 27", "Sat 28", "Sun 29", "Mon 30", "Tue 31", "Wed 1"]
    assert utc(t.at for t in ticks.ticks)[2:5] == ["03-27 22:00", "03-28 22:00", "03-29 21:00"]


def test_a_week_has_a_tick_at_each_midnight() -> None:
    """Midnights of the site, one of which is an hour nearer to the last."""
    ticks = choose_ticks(over("2026-03-02T08:00", "2026-03-09T08:00"), NEW_YORK)
    assert [t.label for t in ticks.ticks] == ["Tue 3", "Wed 4", "Thu 5", "Fri 6", "Sat 7", "Sun 8", "Mon 9"]
    assert utc(t.at for t in ticks.ticks) == [*(f"03-0{day} 05:00" for day in range(3, 9)), "03-09 04:00"]
    assert [t.label for t in ticks.under] == ["Mar 2026"]


def test_six_months_have_a_tick_at_each_first_of_the_month() -> None:
    """Midnight of the first, on either side of the clock changes of 2 November 2025 and 8 March 2026."""
    ticks = choose_ticks(over("2025-09-10T00:00", "2026-04-09T08:00"), NEW_YORK)
    assert [t.label for t in ticks.ticks] == ["Oct", "Nov", "Dec", "Jan", "Feb", "Mar", "Apr"]
    assert utc(t.at for t in ticks.ticks) == [
        *("10-01 04:00", "11-01 04:00", "12-01 05:00", "01-01 05:00", "02-01 05:00", "03-01 05:00", "04-01 04:00"),
    ]
    assert [(t.at, t.label) for t in ticks.under] == [(at("2025-09-10T00:00"), "2025"), (at("2026-01-01"), "2026")]


def test_ten_minutes_and_three_years_have_ticks() -> None:
    """A tick each minute; a tick each quarter."""
    short = choose_ticks(over("2026-03-05T23:55", "2026-03-06T00:05"), NEW_YORK)
    assert [t.label for t in short.ticks] == [*(f"23:{n}" for n in range(55, 60)), *(f"00:0{n}" for n in range(6))]
    assert [t.label for t in short.under] == ["Thu 5 Mar", "Fri 6 Mar"]
    long = choose_ticks(over("2023-03-06T08:00", "2026-03-06T08:00"), NEW_YORK)
    assert [t.label for t in long.ticks] == ["Apr", "Jul", "Oct", "Jan"] * 3
    assert [t.label for t in long.under] == ["2023", "2024", "2025", "2026"]


def test_ten_weeks_in_little_room_have_a_tick_every_other_monday() -> None:
    """Where every Monday has no room, every second has, before a month would leave too few."""
    axis = TimeAxis(at("2026-01-20T00:00"), at("2026-03-31T00:00"), 140, 505)
    assert [t.label for t in choose_ticks(axis, NEW_YORK).ticks] == ["Mon 2", "Mon 16", "Mon 2", "Mon 16", "Mon 30"]


def test_hours_are_those_of_a_zone_that_is_half_an_hour_off() -> None:
    """Six in the morning in Kolkata is half past midnight in UTC; where no zone is known, clocks show UTC."""
    kolkata = ZoneInfo("Asia/Kolkata")
    axis = over("2026-03-05T05:30", "2026-03-05T11:30", kolkata)
    assert utc(t.at for t in choose_ticks(axis, kolkata).ticks)[0] == "03-05 00:30"
    assert [t.label for t in choose_ticks(axis, None).ticks] == [f"0{n}:00" for n in range(7)]


@pytest.mark.slow
@given(
    first=st.integers(at("2020-01-01"), at("2030-01-01")),
    minutes=st.integers(10, 3 * 366 * 24 * 60),
    zone=st.sampled_from(["America/New_York", "Europe/Madrid", "Asia/Beirut", "Australia/Lord_Howe", "Asia/Kolkata"]),
    width=st.sampled_from([365.0, 584.0]),
)
def test_ticks_of_any_stretch_are_local_and_their_labels_keep_apart(
    first: int, minutes: int, zone: str, width: float
) -> None:
    """From ten minutes to three years: in order, on the axis, saying what the clocks show, two at the least."""
    place = ZoneInfo(zone)
    axis = TimeAxis(first, first + minutes * 60, 46, 46 + width)
    ticks = choose_ticks(axis, place)
    assert len(ticks.ticks) >= 2
    for tick in ticks.ticks:
        local = datetime.fromtimestamp(tick.at, place)
        assert first <= tick.at <= axis.last
        assert tick.label in {local.strftime("%H:%M"), f"{local:%a} {local.day}", local.strftime("%b"), str(local.year)}
        assert local.second == 0
    for one, other in pairwise(ticks.ticks):
        assert axis.x(other.at) - axis.x(one.at) > (len(one.label) + len(other.label)) / 2 * 11 * 0.57 + 4
    for one, other in pairwise(ticks.under):
        assert axis.x(other.at) - axis.x(one.at) > len(one.label) * 11 * 0.57 + 4


# Levels


@pytest.mark.parametrize(
    ("low", "high", "levels"),
    [
        (60, 84.4, (50, 60, 70, 80, 90)),
        (60, 80, (55, 60, 65, 70, 75, 80, 85)),
        (15.6, 26.7, (15, 20, 25, 30)),
        (70, 70, (69, 70, 71)),
        (-4, 120, (-50, 0, 50, 100, 150)),
    ],
)
def test_levels_are_round_numbers_past_both_ends(low: float, high: float, levels: tuple[float, ...]) -> None:
    """In °F, °C or %: steps of 1, 2 or 5 that a person would choose."""
    assert choose_levels(low, high) == levels


def test_humidity_never_has_a_level_past_a_hundred() -> None:
    """A room at 99.5 % is drawn below a hundred, and no more can be."""
    (chart,) = climate_charts(
        {"pictures": [picture([[0, 99.0, 99.5], [9999, 80, 81]], quantity="humidity", unit="%RH")], "marks": []}, ""
    )
    assert [label.text for label in chart.drawing.labels if label.anchor == "end"] == [
        "50",
        "60",
        "70",
        "80",
        "90",
        "100",
    ]


# The climate picture


def scale(chart: Chart, one: str, other: str, first: str, last: str) -> Any:  # noqa: ANN401 - a function of a moment
    """Where a moment lies, told by two labels of the axis alone: their first showing is at `first` and `last`."""
    places = {label.text: label.x for label in reversed(chart.drawing.labels) if label.anchor == "middle"}
    slope = (places[other] - places[one]) / (at(last) - at(first))
    return lambda seconds: places[one] + (seconds - at(first)) * slope


def test_a_picture_draws_each_part_where_it_is() -> None:
    """Excursion, hole, marks and bracket stand at their moments, readings and edges at their levels."""
    (chart,) = climate_charts(CLIMATE, "America/New_York")
    x = scale(chart, "00:00", "18:00", "2026-03-07T00:00", "2026-03-07T18:00")
    assert spans(chart, "out") == [pytest.approx((x(OUT[0]), x(OUT[1])), abs=0.3)]
    assert spans(chart, "hole")[:2] == [pytest.approx((x(HOLE[0]), x(HOLE[1])), abs=0.3)] * 2
    assert spans(chart, "bracket") == [pytest.approx((x(MARKS[1]["at"]), x(MARKS[0]["at"])), abs=0.3)]
    assert spans(chart, "start") == [pytest.approx((x(MARKS[0]["at"]),) * 2, abs=0.3)]
    assert [one for one, _ in spans(chart, "mark")] == pytest.approx(
        [x(m["at"]) for m in sorted(MARKS, key=lambda m: m["at"]) if m["kind"] not in ("start",)][1:], abs=0.3
    )
    level = {label.text: label.y - 4 for label in reversed(chart.drawing.labels) if label.anchor == "end"}
    degree = (level["80"] - level["60"]) / 20
    low, high = shapes(chart, "edge")[:2]
    assert [y for _, y in low] == pytest.approx([level["60"]] * 2, abs=0.3)
    assert [y for _, y in high] == pytest.approx([level["80"]] * 2, abs=0.3)
    before = shapes(chart, "seen")[0]
    assert len(before) == 10
    assert before[0] == pytest.approx((x(TWO_DAYS[0][0]), level["60"] + degree * 2.5), abs=0.3)
    assert before[-1] == pytest.approx((x(TWO_DAYS[0][0]), level["60"] + degree * 1.5), abs=0.3)


def test_the_curve_is_cut_at_a_hole_and_heavy_only_beyond_the_band() -> None:
    """Nothing is drawn over a hole, and what is out of the band is drawn again there and nowhere else."""
    (chart,) = climate_charts(CLIMATE, "America/New_York")
    (hole_left, hole_right), *_ = spans(chart, "hole")
    assert all(right <= hole_left + 0.3 or left >= hole_right - 0.3 for left, right in spans(chart, "seen"))
    assert len(spans(chart, "seen")) == 4
    (beyond,) = shapes(chart, "beyond")
    edge = shapes(chart, "edge")[1][0][1]
    assert spans(chart, "beyond") == [pytest.approx(spans(chart, "out")[0], abs=0.3)]
    assert all(y <= edge for _, y in beyond)


def test_of_a_wide_curve_only_the_part_beyond_the_band_is_heavy() -> None:
    """Readings from 70 to 90 °F are out of a band that ends at 80 °F by their upper half alone."""
    wide = picture([[at("2026-03-07T00:00"), 70.0, 90.0], [at("2026-03-07T06:00"), 70.0, 90.0]])
    out = [[at("2026-03-07T00:00"), at("2026-03-07T06:00")]]
    (chart,) = climate_charts({"pictures": [{**wide, "out": out}], "marks": []}, "America/New_York")
    (seen,), (beyond,) = shapes(chart, "seen"), shapes(chart, "beyond")
    middle = (seen[0][1] + seen[-1][1]) / 2
    assert [y for _, y in beyond[:2] + beyond[-2:]] == pytest.approx([seen[0][1]] * 2 + [middle] * 2, abs=0.2)


def test_the_edges_of_a_narrow_band_are_both_labelled() -> None:
    """One degree in a range of a hundred: the two labels stand apart, the higher one above."""
    narrow = {"low": 70.0, "high": 71.0, "low_written": "70 °F", "high_written": "71 °F"}
    (chart,) = climate_charts({"pictures": [picture([[0, 0.0, 100.0]], band=narrow)], "marks": []}, "")
    assert_apart(chart)
    places = {label.text: label.y for label in chart.drawing.labels}
    assert places["max 71 °F"] < places["min 70 °F"]


def test_everything_measured_lies_inside_its_frame() -> None:
    """Curves, bands, holes and edges never leave the plot."""
    for climate in (CLIMATE, {"pictures": [picture([[0, -40.0, 130.0], [60, 20.0, 20.0]])], "marks": []}):
        (chart,) = climate_charts(climate, "")
        frames = [(frame[0], frame[2]) for frame in shapes(chart, "frame")]
        assert len(frames) == len(climate["pictures"])
        for kind in ("band", "seen", "beyond", "hole", "edge", "grid"):
            for points in shapes(chart, kind):
                within = [
                    all(left <= x <= right and top - 0.1 <= y <= foot + 0.1 for x, y in points)
                    for (left, top), (right, foot) in frames
                ]
                assert any(within), (kind, points)


def test_a_picture_says_in_words_all_it_shows() -> None:
    """Who cannot see it is told the same: from when, lowest, highest, out, not seen, marks."""
    (chart,) = climate_charts(CLIMATE, "America/New_York")
    temperature = (
        "Temperature, Sat 7 Mar 2026 00:00 to Mon 9 Mar 2026 00:00 (47 h): lowest 61.5 °F, highest 84 °F. "
        "Allowed: min 60 °F, max 80 °F. Seen out of the band once: Sat 7 Mar 2026 12:00 to 15:00 (3 h). "
        "One stretch not seen: Sat 7 Mar 2026 20:00 to Sun 8 Mar 2026 04:00 (7 h)."
    )
    humidity = (
        "Humidity, Sat 7 Mar 2026 00:00 to Mon 9 Mar 2026 00:00 (47 h): lowest 40 %RH, highest 45 %RH. "
        "Allowed: min 30 %RH, max 60 %RH. Never seen out of the band. "
        "One stretch not seen: Sat 7 Mar 2026 20:00 to Sun 8 Mar 2026 04:00 (7 h)."
    )
    marked = (
        "Marked: Sheets into the room, Sat 7 Mar 2026 07:00; Primed: North, Sat 7 Mar 2026 09:00; "
        "In the band from here, Sun 8 Mar 2026 08:00; Walk, Mon 9 Mar 2026 06:30; "
        "Planned start, Mon 9 Mar 2026 08:00."
    )
    beside = "Not in the picture: Primed: Bulkhead, Mon 2 Feb 2026 06:30."
    assert chart.title == "Temperature and humidity, middle of the room"
    assert chart.about == "logger.csv, times in America/New_York"
    assert chart.caption == (temperature, humidity, marked, beside)
    assert chart.says == " ".join(chart.caption)


def test_several_stretches_are_counted_added_and_the_longest_named() -> None:
    """Two hours, one hour and a single reading are three times and three hours."""
    out = [[0, 3600], [7200, 14400], [20000, 20000]]
    (chart,) = climate_charts({"pictures": [picture([[0, 90.0, 91.0], [20000, 90.0, 91.0]], out=out)], "marks": []}, "")
    assert (
        "Seen out of the band 3 times, 3 h in all; longest Thu 1 Jan 1970 02:00 UTC to 04:00 UTC (2 h)." in chart.says
    )
    assert chart.about == "logger.csv, times in UTC"


def test_a_reading_just_past_an_edge_is_never_written_as_the_edge() -> None:
    """80.004 °F is out of a band that ends at 80 °F, and says so."""
    (chart,) = climate_charts({"pictures": [picture([[0, 60.0, 80.004]])], "marks": []}, "")
    assert "lowest 60 °F, highest 80.004 °F" in chart.says


@pytest.mark.parametrize(
    ("climate", "says"),
    [
        ({"pictures": [picture([])], "marks": []}, "Temperature: no readings. Allowed: min 60 °F, max 80 °F."),
        (
            {"pictures": [picture([], band=None)], "marks": MARKS[:1]},
            "Temperature: no readings. No allowed band is known. Marked: Planned start, Mon 9 Mar 2026 08:00.",
        ),
        (
            {
                "pictures": [picture([[at("2026-03-08T09:00"), 81.0, 81.0]], out=[[at("2026-03-08T09:00")] * 2])],
                "marks": [],
            },
            "Temperature, Sun 8 Mar 2026 09:00, one reading: lowest 81 °F, highest 81 °F. "
            "Allowed: min 60 °F, max 80 °F. Seen out of the band once: Sun 8 Mar 2026 09:00, one reading.",
        ),
        (
            {"pictures": [picture([[0, 70.0, 70.0]], band={**BAND, "low": None})], "marks": []},
            "Temperature, Wed 31 Dec 1969 19:00, one reading: lowest 70 °F, highest 70 °F. "
            "Allowed: max 80 °F. Never seen out of the band.",
        ),
    ],
)
def test_pictures_of_little_are_drawn_all_the_same(climate: Mapping[str, Any], says: str) -> None:
    """No reading, one reading, no band, half a band: a picture that says so, with no label on another."""
    (chart,) = climate_charts(climate, "America/New_York")
    assert chart.says == says
    assert_apart(chart)
    draw(chart)


def test_each_place_of_a_log_has_its_own_picture() -> None:
    """Two panels of one place stand in one picture, another place has another; no picture, nothing."""
    pictures = [picture([[0, 70.0, 70.0]]), picture([[0, 71.0, 71.0]], place="corner")]
    charts = climate_charts({"pictures": [*pictures, {**pictures[0], "quantity": "humidity"}], "marks": []}, "")
    assert [(c.name, c.title) for c in charts] == [
        ("climate-1", "Temperature and humidity, middle of the room"),
        ("climate-2", "Temperature, corner"),
    ]
    assert climate_charts({"pictures": [], "marks": MARKS}, "") == ()


# Marks


def marks_of(*lines: tuple[str, str]) -> list[dict[str, Any]]:
    """Marks at moments of 7 March, the last of them the start."""
    return [mark(f"2026-03-07T{when}", what, "start" if what == "Start" else "primed") for when, what in lines]


@pytest.mark.parametrize(
    "marks",
    [
        MARKS,
        marks_of(("08:00", "Primed: North"), ("08:05", "Primed: East"), ("08:10", "Primed: West"), ("23:59", "Start")),
        marks_of(("22:00", "Sheets into the room"), ("23:50", "Walk"), ("23:59", "Start")),
        marks_of(("00:01", "Start"), ("00:02", "Láminas llevadas a la sala de espera")),
    ],
)
def test_labels_of_marks_keep_apart_and_hide_no_line(marks: list[dict[str, Any]]) -> None:
    """Each has its words beside its own line, and no other line runs through them."""
    climate = {"pictures": [picture([[at("2026-03-07T00:00"), 70, 70], [at("2026-03-08T00:00"), 70, 70]])]}
    (chart,) = climate_charts({**climate, "marks": marks}, "America/New_York")
    assert chart.listed == ()
    assert_apart(chart)
    shown = {m["what"] for m in marks if m["what"] != "Primed: Bulkhead"}
    assert {label.text for label in chart.drawing.labels} >= shown
    lines = shapes(chart, "mark") + shapes(chart, "start")
    for left, top, right, bottom, text in boxes(chart):
        if text in shown:
            crossing = [ln for ln in lines if left < ln[0][0] < right and min(y for _, y in ln) < bottom]
            assert crossing == [], (text, top)


def test_too_many_marks_are_numbered_and_listed() -> None:
    """Forty walls primed within hours: numbers that keep apart, every wall in the list, a line for every moment."""
    start = at("2026-03-07T12:00")
    marks = [
        {"at": start + n * 300, "shown": f"moment {n}", "what": f"Primed: wall {n}", "kind": "primed"}
        for n in range(40)
    ] + [mark("2026-03-08T00:00", "Start", "start"), mark("2026-03-08T00:00", "Walk", "walk")]
    climate = {"pictures": [picture([[at("2026-03-07T00:00"), 70, 70], [at("2026-03-08T00:00"), 70, 70]])]}
    (chart,) = climate_charts({**climate, "marks": marks}, "America/New_York")
    assert_apart(chart)
    assert chart.listed[0] == ("1", "moment 0: Primed: wall 0")
    assert chart.listed[-1] == ("41", "Sun 8 Mar 2026 00:00: Start; Walk")
    assert [number for number, _ in chart.listed] == [str(n) for n in range(1, 42)]
    assert len(shapes(chart, "mark")) == 40
    assert len(shapes(chart, "start")) == 1
    texts = [label.text for label in chart.drawing.labels if label.kind == "strong" and label.anchor == "middle"]
    assert texts[0].startswith("1–")
    assert texts[-1] == "41"
    covered = [range(int(t.split("–")[0]), int(t.split("–")[-1]) + 1) for t in texts]
    assert [n for numbers in covered for n in numbers] == list(range(1, 42))


def test_a_mark_far_off_does_not_squeeze_the_log_and_the_start_always_fits() -> None:
    """The axis runs to a start weeks after the log; another mark that is not near is named below."""
    start = mark("2026-04-20T08:00", "Planned start", "start")
    (chart,) = climate_charts({**CLIMATE, "marks": [start, MARKS[-1], MARKS[2]]}, "America/New_York")
    assert len(shapes(chart, "start")) == 1
    assert "Not in the picture: Primed: Bulkhead, Mon 2 Feb 2026 06:30." in chart.caption
    assert "Marked: Primed: North, Sat 7 Mar 2026 09:00; Planned start, Mon 20 Apr 2026 08:00." in chart.caption


# The clocks


def hours(chart: Chart) -> tuple[float, float]:
    """How wide an hour is, and where 9 March 2026 begins, as the ticks under the rows have it."""
    days = {label.text: label.x for label in chart.drawing.labels if label.anchor == "middle"}
    return (days["Sat 7"] - days["Fri 6"]) / 24, days["Mon 9"]


def test_a_clock_runs_from_when_it_began_to_when_it_is_through() -> None:
    """What is through in time ends before the line of the start, what is missed after it; the unsure is hatched."""
    (chart,) = clock_charts(CLOCKS, START, "America/New_York")
    hour, midnight = hours(chart)
    bars = spans(chart, "kept")
    assert spans(chart, "start")[0] == pytest.approx((midnight + 8 * hour,) * 2, abs=0.3)
    # North began at 15:00 on Saturday, 32 hours before Sunday's end, which has 23 hours, and is through at 16:00.
    assert bars[0] == pytest.approx((midnight - 32 * hour, midnight - 8 * hour), abs=0.5)
    # South began between 00:00 and 06:00 on Saturday and is through between 00:00 and 07:00 on Sunday.
    assert bars[1] == pytest.approx((midnight - 41 * hour, midnight - 23 * hour), abs=0.5)
    assert spans(chart, "missed")[0] == pytest.approx((midnight - 10 * hour, midnight + 14 * hour), abs=0.5)
    # West began from 00:00 to 12:00 on Sunday: from midnight to noon of Monday it may be through.
    assert spans(chart, "unsure") == [
        pytest.approx((midnight - 47 * hour, midnight - 41 * hour), abs=0.5),
        pytest.approx((midnight - 23 * hour, midnight - 17 * hour), abs=0.5),
        pytest.approx((midnight - 23 * hour, midnight - 12 * hour), abs=0.5),
        pytest.approx((midnight + 1 * hour, midnight + 12 * hour), abs=0.5),
    ]
    assert len(shapes(chart, "unknown")) == 1
    assert_apart(chart)


def test_each_clock_ends_in_a_word_and_is_said_in_full() -> None:
    """Beside each row stands whether it is kept and when it is through; in words, all of it."""
    (chart,) = clock_charts(CLOCKS, START, "America/New_York")
    texts = [label.text for label in chart.drawing.labels]
    words = [t for t in texts if t in ("in time", "missed", "not known")]
    assert words == ["in time", "missed", "in time", "not known", "not known", "in time"]
    assert [label.kind for label in chart.drawing.labels if label.text in ("in time", "missed", "not known")] == [
        *("plain", "strong", "plain", "strong", "strong", "plain")
    ]
    assert [t for t in texts if t.startswith("through")] == [
        *("through Sun 8 Mar 16:00", "through Mon 9 Mar 14:00", "through by Sun 8 Mar 07:00"),
        *("through by Mon 9 Mar 12:00", "through Wed 7 Jan 10:00"),
    ]
    assert [t for t in texts if "needs" in t] == ["Primed: needs 24 h", "Sheets in the room: needs 48 h"]
    assert chart.caption == ("1 missed, 2 not known, 3 in time; planned start Mon 9 Mar 2026 08:00.",)
    assert chart.says == (
        "1 missed, 2 not known, 3 in time; planned start Mon 9 Mar 2026 08:00. "
        "North: Primed, needs 24 h: began Sat 7 Mar 2026 15:00, through Sun 8 Mar 2026 16:00: in time. "
        "East: Primed, needs 24 h: began Sun 8 Mar 2026 14:00, through Mon 9 Mar 2026 14:00: missed. "
        "South: Primed, needs 24 h: began Sat 7 Mar 2026 00:00 to Sat 7 Mar 2026 06:00, "
        "through Sun 8 Mar 2026 00:00 to Sun 8 Mar 2026 07:00: in time. "
        "West: Primed, needs 24 h: began Sun 8 Mar 2026 00:00 to Sun 8 Mar 2026 12:00, "
        "through Mon 9 Mar 2026 01:00 to Mon 9 Mar 2026 12:00: not known. "
        "Bulkhead: Primed, needs 24 h: not known. "
        "The space: Sheets in the room, needs 48 h: began Mon 5 Jan 2026 10:00, through Wed 7 Jan 2026 10:00: in time."
    )


def test_a_clock_that_was_through_long_before_does_not_squeeze_the_others() -> None:
    """It points to the left out of the picture; one that is missed is never left out."""
    (chart,) = clock_charts(CLOCKS, START, "America/New_York")
    assert [label.text for label in chart.drawing.labels if label.text == "Wed 7 Jan"] == []
    assert len(shapes(chart, "earlier")) == 1
    (late,) = clock_charts([clock("North", "missed", ("2026-01-05T10:00",) * 2, 2400)], START, "America/New_York")
    assert shapes(late, "earlier") == []


def test_a_clock_that_may_be_through_before_it_surely_began_is_hatched_whole() -> None:
    """It began on some hour of three days and runs one: there is no moment at which it surely runs."""
    three_days = ("2026-03-06T00:00", "2026-03-09T00:00")
    (chart,) = clock_charts([clock("North", "not known", three_days), CLOCKS[0]], START, "America/New_York")
    hour, midnight = hours(chart)
    assert spans(chart, "unsure") == [pytest.approx((midnight - 71 * hour, midnight + 24 * hour), abs=0.5)]
    assert shapes(chart, "open") == []


def test_forty_walls_make_pictures_that_fit_a_page() -> None:
    """Every wall once, in order; each picture has no more than eighteen, and what they count at its head."""
    walls = [clock(f"Wall {n}", "missed", ("2026-03-08T14:00",) * 2) for n in range(1, 41)]
    charts = clock_charts(walls, START, "America/New_York")
    rows = [[label.text for label in c.drawing.labels if label.text.startswith("Wall ")] for c in charts]
    assert [name for piece in rows for name in piece] == [f"Wall {n}" for n in range(1, 41)]
    assert all(len(piece) <= 18 for piece in rows)
    assert all(c.height < 420 for c in charts)
    assert all("Primed: needs 24 h" in {label.text for label in c.drawing.labels} for c in charts)
    assert [c.title for c in charts][:2] == [
        "Clocks that run to the start, 1 to 10 of 40",
        "Clocks that run to the start, 11 to 20 of 40",
    ]
    assert [c.caption for c in charts] == [(), (), (), ("40 missed; planned start Mon 9 Mar 2026 08:00.",)]
    assert clock_charts([], START, "") == ()


def test_long_names_are_wrapped_and_keep_to_their_column() -> None:
    """A Spanish wall name takes several lines; none reaches into the bars or the words at the end."""
    name = "Pared del fondo del pasillo de servicio junto al montacargas, lado de la ventana"
    what = "Cuándo se terminó la última mano de imprimación sobre el yeso nuevo de las paredes " * 2
    clocks = [clock(name, "not known", ("2026-03-07T15:00",) * 2, 24, what), clock(name * 2, "not known", None)]
    (chart,) = clock_charts(clocks, None, "Europe/Madrid")
    assert_apart(chart)
    column = [label.text for label in chart.drawing.labels if label.x == 0 and label.kind == "plain"]
    assert " ".join(column).startswith(name)
    assert all(len(line) * 11 * 0.53 < 140 for line in column)
    assert chart.caption == ("2 not known; no planned start.",)


def test_words_are_broken_only_where_they_must_be() -> None:
    """Whole words as long as one fits; a word wider than the line is cut, and no letter is lost."""
    assert wrap_text("one two three", 50) == ("one two", "three")
    broken = wrap_text("x" * 50, 60)
    assert "".join(broken) == "x" * 50
    assert len(broken) > 4
    assert wrap_text("", 50) == ()


def test_a_start_that_is_a_whole_day_is_two_lines() -> None:
    """No hour was given, so the start lies anywhere between them."""
    day = (at("2026-03-09T00:00"), at("2026-03-10T00:00"))
    (chart,) = clock_charts(CLOCKS[:1], day, "America/New_York")
    assert len(shapes(chart, "start")) == 2
    assert chart.caption == ("1 in time; planned start Mon 9 Mar 2026 00:00 to Tue 10 Mar 2026 00:00.",)
    assert "planned start Mon 9 Mar 00:00 to Tue 10 Mar 00:00" in {label.text for label in chart.drawing.labels}


# As it is drawn


def test_a_hatch_fills_its_box_and_stays_inside() -> None:
    """Slanting lines, evenly apart, each from edge to edge."""
    d = hatch(10, 20, 50, 40, 5)
    lines = [numbers(part) for part in d.split("M") if part]
    assert len(lines) == 11
    for (x0, y0), (x1, y1) in lines:
        assert x0 + y0 == pytest.approx(x1 + y1)
        assert all(10 <= x <= 50 and 20 <= y <= 40 for x, y in ((x0, y0), (x1, y1)))
        assert {x0, y0} & {10, 40}
        assert {x1, y1} & {50, 20}


@pytest.mark.parametrize("macro", ["climate", "clocks"])
def test_a_drawing_has_its_words_and_no_style_of_its_own(macro: str) -> None:
    """It is an image with a name and a description, which the page's strict policy draws as it is."""
    hostile = {**CLIMATE, "pictures": [{**CLIMATE["pictures"][0], "place": 'Sala "2" <b> & más'}]}
    (chart,) = (
        climate_charts(hostile, "America/New_York")
        if macro == "climate"
        else clock_charts(CLOCKS, START, "Asia/Beirut")
    )
    page = draw(chart, macro)
    (svg,) = page.iter(f"{SVG}svg")
    ids = {element.get("id"): element for element in page.iter() if element.get("id")}
    assert svg.get("role") == "img"
    assert ids[svg.get("aria-labelledby")].text == chart.title
    assert ids[svg.get("aria-describedby")].text == chart.says
    assert [child.tag for child in svg][:2] == [f"{SVG}title", f"{SVG}desc"]
    assert [t.text for t in svg.iter(f"{SVG}text")] == [
        label.text for part in (chart.drawing, chart.key) for label in part.labels
    ]
    assert [(p.get("data-kind"), p.get("d")) for p in svg.iter(f"{SVG}path")] == [
        (shape.kind, shape.d) for part in (chart.drawing, chart.key) for shape in part.shapes
    ]
    names = {name for element in page.iter() for name in element.attrib}
    assert names & {"style", "onload", "onclick", "href", "src"} == set()
    captions = [p.text for p in page.findall("./figcaption/p")]
    assert captions == list(chart.caption)


def test_nothing_is_told_by_colour_alone() -> None:
    """Every two kinds that stand for different things differ in more than hue: shape, dash, weight or lightness."""
    source = (data_folder("templates") / "chart.html").read_text(encoding="utf-8")
    colours = set(re.findall(r"#[0-9a-f]{3,6}\b", source))
    grey = {c for c in colours if len(set(re.findall(r"..", c[1:]) if len(c) == 7 else c[1:])) == 1}
    assert colours - grey == {"#17404f", "#9db3bb"}  # one muted tone, dark and light
    kept, missed = (re.search(rf'"{kind}": {{"fill": ([^,]*)', source) for kind in ("kept", "missed"))
    assert (kept and kept[1], missed and missed[1]) == ('"#d4d4d4"', "ink")


@pytest.mark.slow
def test_the_pdf_draws_every_picture(caplog: pytest.LogCaptureFixture) -> None:
    """The PDF holds the drawings' words as text, and nothing in them is beyond its engine."""
    import io

    from pypdf import PdfReader

    charts = [*climate_charts(CLIMATE, "America/New_York"), *clock_charts(CLOCKS, START, "America/New_York")]
    bodies = "".join(ElementTree.tostring(draw(c), encoding="unicode").replace("ns0:", "") for c in charts)
    with caplog.at_level(logging.WARNING):
        written = draw_pdf(
            f'<html lang="en"><title>t</title><body>{bodies.replace("xmlns:ns0", "xmlns")}</body></html>'
        )
    text = " ".join("".join(page.extract_text() for page in PdfReader(io.BytesIO(written)).pages).split())
    assert "Planned start" in text
    assert "max 80 °F" in text
    assert "through Sun 8 Mar 16:00" in text
    assert [r.getMessage() for r in caplog.records if "SVG" in r.getMessage()] == []


def test_flags_of_the_same_moment_share_one_line() -> None:
    """Two walls primed at once have one line with both; the list of none is empty."""
    axis = TimeAxis(0, 1000, 46, 630)
    both = [{"at": 5, "shown": "then", "what": what, "kind": "primed"} for what in ("North", "East", "North")]
    assert [(f.text, f.kind) for f in place_flags(both, axis).flags] == [("North; East", "mark")]
    assert place_flags([], axis).flags == ()
    later = axis.first + int(timedelta(days=1).total_seconds())
    assert place_flags([{**both[0], "at": later}], axis).flags == ()
