"""Logger files: whatever form they come in they say the same, and what cannot be read is said and never guessed."""

from __future__ import annotations

import os
import random
from collections.abc import Callable
from datetime import datetime
from fractions import Fraction
from pathlib import Path
from typing import NamedTuple

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from surveys import rigid_sheet
from wallwalk.answers import Missing
from wallwalk.climate import Band, RowNote
from wallwalk.climate_reader import read_climate
from wallwalk.errors import InputError
from wallwalk.evidence import Evidence
from wallwalk.spans import Spans
from wallwalk.survey import Survey
from wallwalk.survey_reader import read_survey
from wallwalk.values import NO_HIGH, NO_LOW, Bound

F = Fraction
LOG = "log.csv"
ENTRY = {
    "file": LOG,
    "place": "on the sheets",
    "instrument": "LG",
    "every": "1 h",
    "began": "2026-03-09 01:00",
    "ended": "2026-03-09 05:00",
    "clock": "site",
}
SURVEY = """\
time_zone: America/Chicago
planned_start: 2026-03-09 06:00
instruments:
  - name: LG
    calibration_due: 2026-12-31
    uncertainty: {temperature: 0.5 °C, humidity: 3 %RH}
"""


def at(text: str) -> int:
    """Seconds since 1970 of a moment with its offset, by the standard library."""
    return int(datetime.fromisoformat(text).timestamp())


def written_survey(folder: Path, *logs: dict[str, str | None], head: str = SURVEY) -> Path:
    """A survey with `logs` in `folder`, each as `ENTRY` but for the answers given; None takes one out."""
    lines = [head, f"climate_logs_kept: {len(logs)}\nclimate_log:\n"]
    for log in logs:
        answers = {key: answer for key, answer in {**ENTRY, **log}.items() if answer is not None}
        lines.append("  -\n" + "".join(f"    {key}: {answer}\n" for key, answer in answers.items()))
    path = folder / "survey.yaml"
    path.write_text("".join(lines), encoding="utf-8")
    return path


def read(folder: Path, text: str | bytes | None, *logs: dict[str, str | None], head: str = SURVEY) -> Survey:
    """The survey of `logs` (one as `ENTRY` if none is given), read with the file `LOG` in `folder` saying `text`."""
    if text is not None:
        (folder / LOG).write_bytes(text if isinstance(text, bytes) else text.encode())
    path = written_survey(folder, *(logs or ({},)), head=head)
    return read_climate(read_survey(path, "survey.yaml"), rigid_sheet(), folder)


def refused(folder: Path, text: str | bytes | None, *logs: dict[str, str | None]) -> str:
    """The whole message with which that survey is refused."""
    with pytest.raises(InputError) as refusal:
        read(folder, text, *logs)
    return str(refusal.value)


Points = tuple[tuple[Bound, Fraction], ...]


class Seen(NamedTuple):
    """What was read of one log: each quantity with its moments, and what its rows show of the temperature band."""

    temperature: Points
    humidity: Points
    inside: Spans
    outside: Spans
    unseen: Spans
    notes: tuple[RowNote, ...]


def band_of(survey: Survey) -> Band:
    """The band of the rigid sheet rules, as a guarded decision holds logged air against it."""
    (band,) = [b for b in survey.climate.bands if b.kind == "temperature" and b.guarded]
    return band


def evidence_of(survey: Survey) -> Evidence:
    """What the logs of a survey show of that band."""
    return survey.climate.bands[band_of(survey)]


def seen_in(survey: Survey) -> Seen:
    """What was read of the only log of a survey."""
    (log,) = survey.climate.logs
    points = {kind: tuple((when, low) for when, low, _ in trace.points) for kind, trace in log.traces.items()}
    assert all(low == high for trace in log.traces.values() for _, low, high in trace.points)
    found = evidence_of(survey)
    return Seen(
        points.get("temperature", ()),
        points.get("humidity", ()),
        found.inside,
        found.outside,
        found.unseen,
        log.notes,
    )


# -- one log in every form ------------------------------------------------------------------------------------------

ONE, TWO, THREE, FOUR, FIVE = (at(f"2026-03-09T0{hour}:00-05:00") for hour in range(1, 6))
FAHRENHEIT = ("68", "77", "50", "68", "68")
CELSIUS = ("20", "25", "10", "20", "20")
HUMIDITY = ("40", "41.5", "42", "43", "44")


def seen(temperatures: tuple[str, ...] = FAHRENHEIT, notes: tuple[RowNote, ...] = ()) -> Seen:
    """The five rows as they are to be read: the third is too cold, nothing is seen before the first and after the last.

    50 °F (10 °C) is outside 60 to 80 °F; 68 °F and 77 °F (20 and 25 °C) are inside it, give or take 0.5 °C.
    """
    hours = (ONE, TWO, THREE, FOUR, FIVE)
    return Seen(
        tuple(zip(hours, map(F, temperatures), strict=True)),
        tuple(zip(hours, map(F, HUMIDITY), strict=True)),
        inside=((ONE, TWO), (FOUR, FIVE)),
        outside=((THREE, THREE),),
        unseen=((NO_LOW, ONE), (FIVE, NO_HIGH)),
        notes=notes,
    )


def table(header: str, form: str, temperatures: tuple[str, ...] = FAHRENHEIT) -> str:
    """The five rows below `header`, each written as `form` says: {n}, {h} (hour), {t} and {rh}."""
    rows = enumerate(zip(temperatures, HUMIDITY, strict=True), 1)
    return header + "\n" + "".join(form.format(n=n, h=f"{n:02}", t=t, rh=rh) + "\n" for n, (t, rh) in rows)


FORM = "2026-03-09 {h}:00,{t},{rh}"
PLAIN = table("Date/Time,Temp °F,RH %", FORM)


@pytest.mark.parametrize(
    "header",
    [
        "Date/Time,Temp °F,RH %",
        "Date and time,Temperature (°F),Relative humidity (%)",
        "Timestamp,TEMPERATURE_F,HUMIDITY",
        "Time,Air temp degF,%RH",
        "DateTime,°F,rH",
        "Time stamp,Temp (deg F),Rel. humidity",
        'Time,"Temp, °F","RH, %"',
        '"Date Time","Temp (Fahrenheit)","Humidity %"',
        "Date/Time,temp_f,rh",
        "Date/Time , Temp ºF , RH % ",
    ],
)
def test_plain_headers_are_recognised(header: str, tmp_path: Path) -> None:
    """Time, temperature and humidity are found by what their headings say, in several wordings."""
    assert seen_in(read(tmp_path, table(header, FORM))) == seen()


def test_fahrenheit_in_square_brackets_is_fahrenheit(tmp_path: Path) -> None:
    """A unit is plain in any brackets."""
    assert seen_in(read(tmp_path, table("Time,Temp [°F],RH [%]", FORM))) == seen()


@pytest.mark.parametrize(
    ("header", "form"),
    [
        ("Date,Time,Temp °F,RH %", "2026-03-09,{h}:00,{t},{rh}"),
        ("Time,Temp °F,Date,RH %", "{h}:00:00,{t},2026-03-09,{rh}"),
        ("No.,Date/Time,Temp °F,RH %", "{n},2026-03-09 {h}:00,{t},{rh}"),
        (",Date/Time,Temp °F,RH %", "{n},2026-03-09 {h}:00,{t},{rh}"),
        ("Date/Time,Temp °F,RH %", "{n},2026-03-09 {h}:00,{t},{rh}"),
        ("Date/Time,RH %,Temp °F", "2026-03-09 {h}:00,{rh},{t}"),
        ("Date/Time,Temp °F,RH %,Dew point °F", "2026-03-09 {h}:00,{t},{rh},48.1"),
        ("Date/Time,Dew point °F,Temp °F,RH %,Battery", "2026-03-09 {h}:00,48.1,{t},{rh},3.6 V"),
        ("Date/Time,Temp °F,RH %,Absolute humidity", "2026-03-09 {h}:00,{t},{rh},7.1"),
        ("Date/Time,Temp °F,RH %,", "2026-03-09 {h}:00,{t},{rh},"),
        ("Date/Time,Temp °F,RH %,Events,Marks", "2026-03-09 {h}:00,{t},{rh}"),
        ("Logger 7\nSerial,0386\n\nDate/Time,Temp °F,RH %", FORM),
        ("Logger 7;Serial 0386\nKept from 2026-03-01 08:00,5 rows\nDate/Time,Temp °F,RH %", FORM),
        ("\n" * 49 + "Date/Time,Temp °F,RH %", FORM),
        ('"Date/Time","Temp °F","RH %"', '"2026-03-09 {h}:00","{t}","{rh}"'),
        ("Date/Time,Temp °F,RH %", '2026-03-09 {h}:00,"{t}",{rh}'),
        ("Date/Time,Temp °F,RH %", " 2026-03-09 {h}:00 , {t} , {rh} "),
        ("Date/Time,Temp °F,RH %", "2026-03-09 {h}:00:00,+{t}.00,{rh}"),
        ("Date/Time,Temp °F,RH %", "2026/3/9 {n}:00,{t},{rh}"),
        ("Date/Time,Temp °F,RH %", "2026-03-09T{h}:00:00.000,{t},{rh}"),
        ("Date/Time,Temp °F,RH %", "2026.03.09  {h}:00,{t},{rh}"),
        ("Date/Time,Temp °F,RH %", '"2026-03-09, {h}:00:00 AM",{t},{rh}'),
        ("Date/Time,Temp °F,RH %", "2026-03-09 {n}:00 a.m.,{t},{rh}"),
        ("Date/Time,Temp °F,RH %", "2026-03-09 {n}:00am,{t},{rh}"),
    ],
)
def test_columns_and_times_in_any_form_say_the_same(header: str, form: str, tmp_path: Path) -> None:
    """Two columns of time, numbered rows, other quantities beside, lines before the header, quotes, forms of a time."""
    assert seen_in(read(tmp_path, table(header, form))) == seen()


@pytest.mark.parametrize("heading", ["Temp °C", "Temperature (C)", "T [°C]", "Temp. Celsius", "temp_c"])
def test_celsius_is_told_by_the_header(heading: str, tmp_path: Path) -> None:
    """The same air in °C shows the same of the band."""
    text = table(f"Date/Time,{heading},RH %", FORM, CELSIUS)
    assert seen_in(read(tmp_path, text)) == seen(CELSIUS)


@pytest.mark.parametrize(("unit", "temperatures"), [("°C", CELSIUS), ("°F", FAHRENHEIT)])
def test_the_survey_may_tell_the_unit(unit: str, temperatures: tuple[str, ...], tmp_path: Path) -> None:
    """Where the header says only Temp, the answer says whether it is °C or °F."""
    text = table("Date/Time,Temp,RH %", FORM, temperatures)
    assert seen_in(read(tmp_path, text, {"temperature_unit": unit})) == seen(temperatures)


SIGNS = {"comma": ",", "semicolon": ";", "tab": "\t"}


@pytest.mark.parametrize("separator", SIGNS)
@pytest.mark.parametrize("header", ["Date/Time,Temp °F,RH %", "Date and time,Temperature in °F,Relative humidity in %"])
def test_the_survey_may_tell_the_separator(separator: str, header: str, tmp_path: Path) -> None:
    """Commas, semicolons or tabs, as the survey says."""
    text = table(header, FORM).replace(",", SIGNS[separator])
    assert seen_in(read(tmp_path, text, {"separator": separator})) == seen()


@pytest.mark.parametrize("separator", SIGNS)
@pytest.mark.parametrize("header", ["Date/Time,Temp °F,RH %", "Date and time,Temperature in °F,Relative humidity in %"])
def test_the_separator_is_found(separator: str, header: str, tmp_path: Path) -> None:
    """The survey says nothing of it, and a whole header line is no one column that is all three at once."""
    text = table(header, FORM).replace(",", SIGNS[separator])
    assert seen_in(read(tmp_path, text)) == seen()


def test_a_line_about_the_logger_is_not_taken_for_the_header(tmp_path: Path) -> None:
    """`Start time,2026-03-09 00:00,Temp offset,0` names no columns, and the third column below it is the humidity."""
    text = "Start time,2026-03-09 00:00,Temp offset,0\n" + PLAIN
    assert seen_in(read(tmp_path, text, {"temperature_unit": "°F"})).temperature == seen().temperature


def test_a_decimal_comma_is_read_where_the_survey_says_so(tmp_path: Path) -> None:
    """Between semicolons, and between commas in quotes; a cell with a point, or without either, is read too."""
    semicolons = table("Date/Time,Temp °F,RH %", FORM, ("68,0", "77,00", "50.0", "68", "68,")).replace(",", ";")
    semicolons = semicolons.replace("68;0;", "68,0;").replace("77;00;", "77,00;").replace("68;;", "68,;")
    answers: dict[str, str | None] = {"decimal_comma": "yes", "separator": "semicolon"}
    assert seen_in(read(tmp_path, semicolons, answers)) == seen()
    quoted = table("Date/Time,Temp °F,RH %", '2026-03-09 {h}:00,"{t},0",{rh}')
    assert seen_in(read(tmp_path, quoted, {"decimal_comma": "yes"})) == seen()


def test_a_decimal_comma_that_nobody_mentions_says_nothing(tmp_path: Path) -> None:
    """`68,5` is never 68 and never 685: without the answer those cells are not used, and their lines are told."""
    text = table("Date/Time,Temp °F,RH %", '2026-03-09 {h}:00,"{t},0",{rh}')
    found = seen_in(read(tmp_path, text))
    assert found.temperature == ()
    assert found.inside == found.outside == ()
    assert found.notes == (RowNote("no temperature of a room; not used", (2, 3, 4, 5, 6), 5),)


def test_a_row_with_more_fields_than_the_header_names_is_not_read_by_position(tmp_path: Path) -> None:
    """Decimal commas between commas without quotes: `26,9,40` is no 26 °C and no 9 %RH."""
    text = "Date/Time,Temp °C,RH %\n2026-03-09 01:00,26,9,40,5\n"
    found = seen_in(read(tmp_path, text, {"decimal_comma": "yes"}))
    assert (found.temperature, found.humidity) == ((), ())


def test_a_number_before_a_reading_is_no_number_of_the_row(tmp_path: Path) -> None:
    """`14,20` before the time is a reading of 14.20 °C without its quotes, and no 20 °C of row 14."""
    text = "Temp °C,Date/Time,RH %\n14,20,2026-03-09 01:00,40\n15,2026-03-09 02:00,41\n"
    found = seen_in(read(tmp_path, text, {"decimal_comma": "yes"}))
    assert (found.temperature, found.humidity) == (((Fraction(TWO), Fraction(15)),), ((Fraction(TWO), Fraction(41)),))
    assert found.notes == (RowNote("more fields than the header names; not used", (2,), 1),)


@pytest.mark.parametrize(
    "columns",
    [
        "{at: Heure, temperature: Sonde 1, humidity: Sonde 2}",
        "{at: HEURE, temperature: sonde  1, humidity: sonde 2}",
    ],
)
def test_the_survey_may_name_the_columns(columns: str, tmp_path: Path) -> None:
    """Headings that say nothing plain are read where the survey names them, in whatever capitals."""
    text = table("Heure,Sonde 1,Sonde 2,Temp °C,RH %", FORM + ",99,99")
    assert seen_in(read(tmp_path, text, {"columns": columns, "temperature_unit": "°F"})) == seen()


def test_of_two_temperatures_the_one_that_the_survey_names_is_read(tmp_path: Path) -> None:
    """Two probes, and the name of one."""
    text = table("Date/Time,Temp 1 °F,Temp 2 °F,RH %", "2026-03-09 {h}:00,99,{t},{rh}")
    assert seen_in(read(tmp_path, text, {"columns": "{temperature: Temp 2 °F}"})) == seen()


@pytest.mark.parametrize(
    "written",
    [
        PLAIN.encode(),
        PLAIN.encode("utf-8-sig"),
        PLAIN.encode("utf-16"),
        b"\xfe\xff" + PLAIN.encode("utf-16-be"),
        PLAIN.encode("latin-1"),
        PLAIN.encode("cp437"),
        PLAIN.replace("\n", "\r\n").encode(),
        PLAIN.replace("\n", "\r\n").encode("utf-16"),
        PLAIN.replace("\n", "\r").encode(),
        PLAIN.rstrip("\n").encode(),
        (PLAIN + "\n\n\n").encode(),
        (PLAIN + ",,\n,,\n").encode(),
        PLAIN.replace("\n2026", "\n\n2026").encode(),
    ],
    ids=[
        "UTF-8", "with a mark", "UTF-16", "UTF-16 BE", "Latin-1", "code page 437", "CRLF", "UTF-16 CRLF", "CR",
        "no last line end", "blank lines at the end", "empty fields at the end", "blank lines between",
    ],
)  # fmt: skip
def test_bytes_and_line_ends_in_any_form_say_the_same(written: bytes, tmp_path: Path) -> None:
    """UTF-8 with or without a mark, UTF-16, the degree sign of older code pages, any line end, blank lines.

    The first column is named, so that nothing before it passes for a part of its name.
    """
    found = seen_in(read(tmp_path, written, {"columns": "{at: Date/Time}"}))
    assert found._replace(notes=()) == seen()
    assert [note for note in found.notes if note.what != "no date and time; not used"] == []


# -- clocks ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("form", "clock"),
    [
        ("2026-03-09T{h}:00-05:00,{t},{rh}", None),
        ("2026-03-09 {h}:00:00 -0500,{t},{rh}", None),
        ("2026-03-09 {h}:00:00-05:00,{t},{rh}", "UTC"),  # what stands in the row comes before the answer
        (FORM, "site"),
        (FORM, "Site"),
        (FORM, "America/Chicago"),
        (FORM, "America/Winnipeg"),
        (FORM, "-05:00"),
        ("2026-03-09 0{n}:30,{t},{rh}", "-04:30"),
        ("{t},{rh}", "America/Anchorage"),
    ],
)
def test_the_clock_places_the_rows(form: str, clock: str | None, tmp_path: Path) -> None:
    """By an offset in the row, the site's own clock, a fixed offset or an IANA zone: the same five moments.

    On 9 March 2026 Chicago and Winnipeg are 5 h behind UTC, Anchorage 8 h; at -04:30, 01:30 is 01:00 at -05:00.
    """
    text = table("Date/Time,Temp °F,RH %", form)
    if clock == "America/Anchorage":  # 01:00 in Chicago is 22:00 of the day before in Anchorage
        hours = ("08 22:00", "08 23:00", "09 00:00", "09 01:00", "09 02:00")
        rows = zip(hours, FAHRENHEIT, HUMIDITY, strict=True)
        text = "Date/Time,Temp °F,RH %\n" + "".join(f"2026-03-{hour},{t},{rh}\n" for hour, t, rh in rows)
    assert seen_in(read(tmp_path, text, {"clock": clock})) == seen()


def half_hours(*times: str) -> str:
    """A row of good air at each of `times`."""
    return "Date/Time,Temp °F,RH %\n" + "".join(f"{time},68,40\n" for time in times)


def moments(*texts: str) -> tuple[int, ...]:
    """Moments with their offsets."""
    return tuple(map(at, texts))


SPRING = ("2026-03-08 01:00", "2026-03-08 01:30", "2026-03-08 02:00", "2026-03-08 02:30", "2026-03-08 03:00")
AUTUMN = ("2026-11-01 00:30", "2026-11-01 01:00", "2026-11-01 01:30", "2026-11-01 01:00", "2026-11-01 01:30")
SKIPPED = "is skipped by the clock change, so it says no moment; not used"
DOUBLED = "comes twice on the day of the clock change, so it says no one moment; not used"


@pytest.mark.parametrize("clock", ["site", "America/Chicago"])
def test_a_time_that_the_clock_skips_shows_that_it_is_another_clock(clock: str, tmp_path: Path) -> None:
    """8 March 2026, 02:00 to 03:00 in Chicago: a logger that wrote such a time does not keep that clock."""
    answers: dict[str, str | None] = {
        "clock": clock, "every": "30 min", "began": "2026-03-08 01:00", "ended": "2026-03-08 03:00",
    }  # fmt: skip
    assert refused(tmp_path, half_hours(*SPRING), answers) == (
        'log.csv:4: has the time "2026-03-08 02:00", which its clock skipped that night; '
        "write clock: and the offset that the logger keeps, such as -06:00"
    )


@pytest.mark.parametrize(
    ("heading", "clock", "says"),
    [
        ("Time (UTC)", "UTC", ""),
        ("Date Time, GMT-05:00", "-05:00", ""),
        ("Date Time, GMT-5", "-05:00", ""),
        ("Time (UTC)", "site", "UTC"),
        ("Date Time, GMT-05:00", "site", "GMT-05:00"),
        ("Date Time, GMT-05:00", "-06:00", "GMT-05:00"),
    ],
)
def test_the_clock_that_a_header_names_is_the_one_of_the_survey(
    heading: str, clock: str, says: str, tmp_path: Path
) -> None:
    """A night read by another clock is another night, so the two have to agree."""
    text = f'"{heading}",Temp °F,RH %\n2026-03-09 12:00,68,40\n'
    answers: dict[str, str | None] = {"clock": clock, "ended": "2026-03-09 20:00"}
    if not says:
        assert len(seen_in(read(tmp_path, text, answers)).temperature) == 1
        return
    assert f'is "{clock}", which is not the clock that the header names, {says};' in refused(tmp_path, text, answers)


@pytest.mark.parametrize("clock", ["site", "America/Chicago"])
def test_rows_of_the_hour_that_comes_twice_are_not_used(clock: str, tmp_path: Path) -> None:
    """1 November 2026, 01:00 to 02:00 in Chicago: two hours of the same name, so no one moment, and a hole of 2 1/2 h.

    The hole lies between the rows of 00:30 and 02:00.
    """
    answers: dict[str, str | None] = {
        "clock": clock, "every": "30 min", "began": "2026-11-01 00:30", "ended": "2026-11-01 02:30",
    }  # fmt: skip
    found = seen_in(read(tmp_path, half_hours(*AUTUMN, "2026-11-01 02:00", "2026-11-01 02:30"), answers))
    first, second, third = moments("2026-11-01T00:30-05:00", "2026-11-01T02:00-06:00", "2026-11-01T02:30-06:00")
    assert second - first == 9000
    assert found == Seen(
        tuple((when, F(68)) for when in (first, second, third)),
        tuple((when, F(40)) for when in (first, second, third)),
        inside=((first, first), (second, third)),
        outside=(),
        unseen=((NO_LOW, second), (third, NO_HIGH)),
        notes=(RowNote(DOUBLED, (3, 4, 5, 6), 4),),
    )


@pytest.mark.parametrize(
    ("clock", "rows", "began", "ended"),
    [
        ("-06:00", SPRING, "2026-03-08T01:00-06:00", "2026-03-08T03:00-06:00"),
        ("America/Regina", SPRING, "2026-03-08T01:00-06:00", "2026-03-08T03:00-06:00"),
        ("Etc/GMT+6", SPRING, "2026-03-08T01:00-06:00", "2026-03-08T03:00-06:00"),
        (
            "-05:00",
            ("2026-11-01 00:30", "2026-11-01 01:00", "2026-11-01 01:30", "2026-11-01 02:00", "2026-11-01 02:30"),
            "2026-11-01T00:30-05:00",
            "2026-11-01T02:30-05:00",
        ),
    ],
)
def test_a_clock_that_does_not_change_loses_no_row(
    clock: str, rows: tuple[str, ...], began: str, ended: str, tmp_path: Path
) -> None:
    """Over both changes of 2026, a logger that stays on one offset says every half hour once."""
    found = seen_in(
        read(tmp_path, half_hours(*rows), {"clock": clock, "every": "30 min", "began": began, "ended": ended})
    )
    first, last = moments(began, ended)
    assert found.temperature == tuple((when, F(68)) for when in range(first, last + 1, 1800))
    assert (found.inside, found.notes) == (((first, last),), ())


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        (("12:00 AM", "12:30 a.m.", "1:00 AM"), ("00:00", "00:30", "01:00")),
        (("11:30 AM", "12:00 PM", "12:30 pm", "1:00 P.M."), ("11:30", "12:00", "12:30", "13:00")),
    ],
)
def test_noon_and_midnight_of_a_twelve_hour_clock(
    rows: tuple[str, ...], expected: tuple[str, ...], tmp_path: Path
) -> None:
    """12:00 AM begins the day and 12:00 PM is noon."""
    answers: dict[str, str | None] = {
        "every": "30 min", "began": "2026-03-09 00:00", "ended": "2026-03-09 23:59",
    }  # fmt: skip
    found = seen_in(read(tmp_path, half_hours(*(f"2026-03-09 {row}" for row in rows)), answers))
    assert found.temperature == tuple((at(f"2026-03-09T{time}-05:00"), F(68)) for time in expected)


# -- the order of dates ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("date", "order"),
    [
        ("03/09/2026", "month-day-year"),
        ("3/9/26", "month-day-year"),
        ("09/03/2026", "day-month-year"),
        ("9.3.26", "day-month-year"),
        ("09-03-2026", "day-month-year"),
        ("2026-03-09", "day-month-year"),  # the year comes first: there is nothing to ask
        ("2026-03-09", "month-day-year"),
        ("2026-03-09", "year-month-day"),
    ],
)
def test_the_survey_tells_the_order_of_dates(date: str, order: str, tmp_path: Path) -> None:
    """9 March however it is written, the month first or the day."""
    text = PLAIN.replace("2026-03-09", date)
    assert seen_in(read(tmp_path, text, {"date_order": order})) == seen()


NOTHING = Seen((), (), (), (), ((NO_LOW, NO_HIGH),), ())


def lacking(survey: Survey) -> dict[str, tuple[Missing, ...]]:
    """What is lacking, by quantity."""
    return dict(survey.climate.missing)


def both(*missing: Missing) -> dict[str, tuple[Missing, ...]]:
    """The same lacking of both quantities."""
    return {"temperature": missing, "humidity": missing}


@pytest.mark.parametrize("date", ["03/09/2026", "13/03/2026", "03/13/2026", "3.9.26", "26-03-09"])
def test_the_order_of_dates_is_asked_for_and_never_guessed(date: str, tmp_path: Path) -> None:
    """Not even 13/03, which can be only one of the two: nothing is known, and the question is named."""
    survey = read(tmp_path, PLAIN.replace("2026-03-09", date))
    shown = date.replace(".", "/").replace("-", "/")
    wanted = f"nothing says which number is the month in dates like {shown}"
    assert seen_in(survey) == NOTHING
    assert lacking(survey) == both(Missing("climate_log[0].date_order", "How it writes dates", wanted))


def test_a_day_that_is_no_day_in_the_order_told_is_not_used(tmp_path: Path) -> None:
    """Month first by the survey, but 13/03: those rows are told and not turned round."""
    text = half_hours("03/09/2026 01:00", "13/09/2026 02:00", "03/09/2026 03:00")
    found = seen_in(read(tmp_path, text, {"date_order": "month-day-year"}))
    assert found.temperature == ((ONE, F(68)), (THREE, F(68)))
    assert found.inside == ((ONE, ONE), (THREE, THREE))
    assert found.notes == (RowNote("no such date or time of day; not used", (3,), 1),)


# -- order, repeats, what is not used -------------------------------------------------------------------------------


def a_day(seed: int) -> list[str]:
    """Rows of a day, every quarter of an hour, in and out of the band, some cells without a value, some rows lost."""
    chance = random.Random(seed)  # noqa: S311 - test data, not a secret
    rows, temperature = [], 66.0
    for quarter in range(96):
        temperature = min(84.0, max(56.0, temperature + chance.choice((-3, -1, 0, 0, 1, 3))))
        if chance.random() < 0.95:
            cell = "" if chance.random() < 0.05 else f"{temperature:.1f}"
            rows.append(f"2026-03-09 {quarter // 4:02}:{quarter % 4 * 15:02},{cell},{chance.randint(30, 60)}")
    return rows


@pytest.mark.parametrize("seed", range(6))
def test_a_file_out_of_order_shows_the_same(seed: int, tmp_path: Path) -> None:
    """Shuffled, turned round, or with one row moved: the same climate but for what is said of the file itself."""
    head, rows = "Date/Time,Temp °F,RH %\n", a_day(seed)
    answers: dict[str, str | None] = {"every": "15 min", "began": "2026-03-09 00:00", "ended": "2026-03-10 00:00"}
    chance = random.Random(seed)  # noqa: S311 - test data, not a secret
    shuffled = chance.sample(rows, len(rows))
    expected = read(tmp_path, head + "\n".join(rows), answers).climate
    assert expected.bands
    assert any(evidence.outside for evidence in expected.bands.values())
    for other in (shuffled, rows[::-1], [*rows[1:], rows[0]]):
        climate = read(tmp_path, head + "\n".join(other), answers).climate
        assert climate.bands == expected.bands
        assert climate.instants == expected.instants
        (log,), (expected_log,) = climate.logs, expected.logs
        assert log.traces == expected_log.traces
        assert (log.rows, log.first, log.last) == (expected_log.rows, expected_log.first, expected_log.last)
        assert "earlier than the row before it; sorted by time" in {note.what for note in log.notes}


def test_rows_that_go_back_in_time_are_told(tmp_path: Path) -> None:
    """The second row is the last: the row after it goes back, and its line is told."""
    rows = PLAIN.splitlines()
    text = "\n".join([rows[0], rows[1], rows[5], *rows[2:5]])
    note = RowNote("earlier than the row before it; sorted by time", (4,), 1)
    assert seen_in(read(tmp_path, text)) == seen(notes=(note,))


def test_a_row_written_twice_is_used_once(tmp_path: Path) -> None:
    """Two parts of a file that overlap: the rows of both count once, and the lines are told."""
    rows = PLAIN.splitlines()
    text = "\n".join([*rows[:4], rows[2].replace("77", "77.0"), *rows[3:]])
    notes = (
        RowNote("earlier than the row before it; sorted by time", (5,), 1),
        RowNote("written before; used once", (5, 6), 2),
    )
    assert seen_in(read(tmp_path, text)) == seen(notes=notes)


def test_what_no_room_can_be_is_not_used(tmp_path: Path) -> None:
    """Text, faults of the logger and what is no number at all: no value, and the lines of each quantity are told.

    The first lines are named, and how many there are.
    """
    cells = ["n/a,n/a", "-999,-1", "NaN,NaN", "inf,inf", "1e2,1e1", "400,120", '"68;0",40 %', ",", "٦٨,٤٠", "68,40"]
    text = "Date/Time,Temp °F,RH %\n" + "".join(f"2026-03-09 {h:02}:00,{c}\n" for h, c in enumerate(cells, 1))
    found = seen_in(read(tmp_path, text, {"ended": "2026-03-09 10:00"}))
    ten = at("2026-03-09T10:00-05:00")
    assert found == Seen(
        ((ten, F(68)),),
        ((ten, F(40)),),
        inside=((ten, ten),),
        outside=(),
        unseen=((NO_LOW, NO_HIGH),),
        notes=(
            RowNote("no temperature of a room; not used", (2, 3, 4, 5, 6), 8),
            RowNote("no humidity of a room; not used", (2, 3, 4, 5, 6), 8),
            RowNote("nothing measured; not used", (9,), 1),
        ),
    )


def test_a_mark_between_two_rows_is_no_row(tmp_path: Path) -> None:
    """A button pressed at 03:17 writes its time and measures nothing: it is noted, and nothing else changes."""
    text = PLAIN + "2026-03-09 03:17,,\n"
    found = seen_in(read(tmp_path, text))
    assert RowNote("nothing measured; not used", (7,), 1) in found.notes
    assert (found.temperature, found.inside) == (seen().temperature, seen().inside)


@pytest.mark.parametrize(
    "heading", ["Setpoint temp °F", "Outdoor Temperature °F", "Max Temp °F", "Supply temp °F", "Temp error °F"]
)
def test_no_setpoint_and_no_outdoors_is_taken_for_the_air_of_the_room(heading: str, tmp_path: Path) -> None:
    """What says more than that it is the air's temperature has to be named by the survey."""
    found = read(tmp_path, f"Date/Time,{heading},RH %\n2026-03-09 03:00,68,40\n")
    assert seen_in(found).temperature == ()


def test_a_time_beside_a_column_nobody_knows_has_to_be_named(tmp_path: Path) -> None:
    """`Logged` and `Upload time`: which of the two is the time of the row, only the survey can say."""
    text = "Logged,Upload time,Temp °F,RH %\n2026-03-09 03:00,2026-03-09 09:00,68,40\n"
    named: dict[str, str | None] = {"columns": "{temperature: Temp °F, humidity: RH %}"}
    assert seen_in(read(tmp_path, text, named)).temperature == ()


def test_a_row_with_one_bad_cell_still_says_the_other(tmp_path: Path) -> None:
    """A humidity of 120 %RH takes nothing from the temperature beside it."""
    text = PLAIN.replace("50,42", "50,120")
    found = seen_in(read(tmp_path, text))
    expected = seen(notes=(RowNote("no humidity of a room; not used", (4,), 1),))
    assert found == expected._replace(humidity=(*expected.humidity[:2], *expected.humidity[3:]))


@pytest.mark.parametrize("order", [1, -1])
def test_rows_of_one_moment_may_each_say_one_quantity(order: int, tmp_path: Path) -> None:
    """A logger that writes a row for each of its probes: where one says nothing it contradicts nothing."""
    rows = []
    for hour, (t, rh) in enumerate(zip(FAHRENHEIT, HUMIDITY, strict=True), 1):
        rows += [f"2026-03-09 0{hour}:00,{cells}" for cells in (f"{t},", f",{rh}")[::order]]
    found = seen_in(read(tmp_path, "Date/Time,Temp °F,RH %\n" + "\n".join(rows)))
    assert found._replace(notes=()) == seen()
    assert {note.what: note.count for note in found.notes} == {
        "no temperature of a room; not used": 5,
        "no humidity of a room; not used": 5,
    }


def test_three_rows_of_one_moment_contradict_each_other_whatever_stands_between(tmp_path: Path) -> None:
    """68 °F, no value, 50 °F, all of 03:00: only one can be true, as without the row between them."""
    rows = half_hours("2026-03-09 03:00") + "2026-03-09 03:00,,40\n2026-03-09 03:00,50,40\n"
    with pytest.raises(InputError):
        read(tmp_path, rows)


def test_rows_that_say_no_moment_are_told(tmp_path: Path) -> None:
    """No such time of day, day, offset or year, no date, no time, too few fields: each with its lines."""
    bad = [
        "2026-03-09 01:60", "2026-03-09 01:00:60", "2026-03-09 13:00 PM", "2026-02-30 01:00", "2026-03-09 24:00",
        "2026-03-09T01:00+25:00", "01:00", "2026-03-09", "", "soon", "1899-12-30 01:00", "2200-01-01 01:00",
    ]  # fmt: skip
    text = half_hours(*bad) + "2026-03-09 01:00\n"
    assert seen_in(read(tmp_path, text)).notes == (
        RowNote("no such time of day; not used", (2, 3, 4), 3),
        RowNote("no such date or time of day; not used", (5, 6), 2),
        RowNote("no such offset; not used", (7,), 1),
        RowNote("no date and time; not used", (8, 9, 10, 11), 4),
        RowNote("no year from 1900 to 2199; not used", (12, 13), 2),
        RowNote("too few fields; not used", (14,), 1),
    )


@pytest.mark.parametrize(
    ("answers", "lines"),
    [
        ({"began": "2026-03-09 02:30"}, (2, 3)),
        ({"ended": "2026-03-09 03:30"}, (5, 6)),
        ({"began": "2026-03-09"}, (2, 3, 4, 5, 6)),  # some time of that day: none of the rows is surely after it
        ({"ended": "2026-03-08 23:00", "began": "2026-03-08 20:00"}, (2, 3, 4, 5, 6)),
    ],
)
def test_rows_from_before_and_after_its_stay_are_not_used(
    answers: dict[str, str | None], lines: tuple[int, ...], tmp_path: Path
) -> None:
    """What a logger wrote in the van is not of this room."""
    ended = answers.get("ended", "2026-03-10 00:00")
    note = "not from the time it stood here with its calibration good; not used"
    assert seen_in(read(tmp_path, PLAIN, {**answers, "ended": ended})).notes == (RowNote(note, lines, len(lines)),)


def test_rows_from_after_the_calibration_are_not_used(tmp_path: Path) -> None:
    """Good until 8 March: of the rows of the 9th none says anything; the one of midnight still does."""
    head = SURVEY.replace("2026-12-31", "2026-03-08")
    text = half_hours("2026-03-09 00:00", "2026-03-09 00:30", "2026-03-09 01:00")
    midnight = at("2026-03-09T00:00-05:00")
    answers: dict[str, str | None] = {"every": "30 min", "began": "2026-03-08 20:00"}
    found = seen_in(read(tmp_path, text, answers, head=head))
    assert found.temperature == ((midnight, F(68)),)
    assert found.inside == ((midnight, midnight),)
    note = "not from the time it stood here with its calibration good; not used"
    assert found.notes == (RowNote(note, (3, 4), 2),)


def test_a_row_that_is_missing_leaves_a_hole(tmp_path: Path) -> None:
    """Rows every hour: 89 min apart is no hole, 91 min apart is one, and nothing between is known."""
    for minutes, inside in ((89, ((ONE, ONE + 89 * 60),)), (91, ((ONE, ONE), (ONE + 91 * 60,) * 2))):
        hour, minute = divmod(60 + minutes, 60)
        text = half_hours("2026-03-09 01:00", f"2026-03-09 {hour:02}:{minute:02}")
        assert evidence_of(read(tmp_path, text)).inside == inside


# -- faults ---------------------------------------------------------------------------------------------------------

NAMED = 'survey.yaml:10: climate_log[0].file is "log.csv", which'
EVERY = "write every: as often as it really writes, or give the file as it wrote it"
NO_TIME = "which is no time between two rows; write a time over nothing, such as 5 min"
NOT_AS_HEADED = (
    'climate_log[0].temperature_unit is "°C", which is not what the header says, °F; put it right, or take it out'
)
ONCE = "give the file as the logger wrote it; only one of the two can be true"


@pytest.mark.parametrize(
    ("text", "answers", "message"),
    [
        (
            half_hours("2026-03-09 01:00", "2026-03-09 02:00", "2026-03-09 02:45"),
            {},
            f"log.csv:4: comes 2700 s after the row before it, and this log writes every 1 h; {EVERY}",
        ),
        (
            half_hours("2026-03-09 01:00", "2026-03-09 01:00:00.5"),
            {},
            f"log.csv:3: comes 0.5 s after the row before it, and this log writes every 1 h; {EVERY}",
        ),
        (
            half_hours("2026-03-09 02:30", "2026-03-09 01:00", "2026-03-09 02:00"),
            {},
            f"log.csv:2: comes 1800 s after the row before it, and this log writes every 1 h; {EVERY}",
        ),
        (
            PLAIN + "2026-03-09 05:00,69,44\n",
            {},
            f'log.csv:7: says "69" where line 6 says "68" of the same moment; {ONCE}',
        ),
        (
            PLAIN + "2026-03-09 05:00,68,44.1\n",
            {},
            f'log.csv:7: says "44.1" where line 6 says "44" of the same moment; {ONCE}',
        ),
        (
            PLAIN + "2026-03-09 03:00,68,42\n",
            {},
            f'log.csv:7: says "68" where line 4 says "50" of the same moment; {ONCE}',
        ),
        (PLAIN, {"every": "0 h"}, f'survey.yaml:13: climate_log[0].every is "0 h", {NO_TIME}'),
        (PLAIN, {"every": "-5 min"}, f'survey.yaml:13: climate_log[0].every is "-5 min", {NO_TIME}'),
        (
            PLAIN,
            {"ended": "2026-03-09 00:59"},
            'survey.yaml:15: climate_log[0].ended is "2026-03-09 00:59", which is not after it began, 2026-03-09 01:00'
            "; put began: and ended: right",
        ),
        (
            PLAIN,
            {"temperature_unit": "°C"},
            f"survey.yaml:17: {NOT_AS_HEADED}",
        ),
        (
            PLAIN,
            {"columns": "{temperature: Temp °F}", "temperature_unit": "°C"},
            f"survey.yaml:18: {NOT_AS_HEADED}",
        ),
        ("x" * 70_000, {}, f"{NAMED} has a line of over 65,536 characters; name the logger's CSV file"),
        (
            PLAIN + "2026-03-09 06:00,68," + "4" * 70_000,
            {},
            f"{NAMED} has a line of over 65,536 characters; name the logger's CSV file",
        ),
        (
            PLAIN + '"' + ("x" * 999 + "\n") * 200,
            {},
            "log.csv:138: is no row of a table (field larger than field limit (131072)); "
            "give the file as the logger wrote it",
        ),
        (
            None,
            {},
            f"{NAMED} cannot be read (No such file or directory); put the logger's file there, or write its name",
        ),
        (
            None,
            {"file": "x" * 300 + ".csv"},
            f'survey.yaml:10: climate_log[0].file is "{"x" * 60}…", which is not in the folder of the survey; '
            "put the file beside the survey, and write its name",
        ),
        (
            PLAIN,
            {"file": "../log.csv"},
            'survey.yaml:10: climate_log[0].file is "../log.csv", which is not in the folder of the survey; '
            "put the file beside the survey, and write its name",
        ),
        (
            PLAIN,
            {"file": "kept/../../log.csv"},
            'survey.yaml:10: climate_log[0].file is "kept/../../log.csv", which is not in the folder of the survey; '
            "put the file beside the survey, and write its name",
        ),
        (
            PLAIN,
            {"file": "/etc/hostname"},
            'survey.yaml:10: climate_log[0].file is "/etc/hostname", which is not in the folder of the survey; '
            "put the file beside the survey, and write its name",
        ),
        (
            PLAIN,
            {"file": "kept/.."},
            'survey.yaml:10: climate_log[0].file is "kept/..", which is not in the folder of the survey; '
            "put the file beside the survey, and write its name",
        ),
        (
            PLAIN,
            {"clock": "Central"},
            'survey.yaml:16: climate_log[0].clock is "Central"; '
            "write site, an IANA name such as America/Chicago, or an offset such as -06:00",
        ),
        (
            PLAIN,
            {"every": "10"},
            'survey.yaml:13: climate_log[0].every is "10"; write the number with its unit, such as 24 h or 30 min',
        ),
    ],
)
def test_a_bad_log_is_refused_with_its_whole_message(
    text: str | None, answers: dict[str, str | None], message: str, tmp_path: Path
) -> None:
    """What contradicts itself, or the survey, or is no file of this survey: one line, with file and line."""
    assert refused(tmp_path, text, answers) == message


def _folder(path: Path, _: Path) -> None:
    path.mkdir()


def _pipe(path: Path, _: Path) -> None:
    os.mkfifo(path)


def _link_out(path: Path, outside: Path) -> None:
    (outside / LOG).write_text(PLAIN, encoding="utf-8")
    path.symlink_to(outside / LOG)


def _link_to_itself(path: Path, _: Path) -> None:
    path.symlink_to(path)


def _link_to_a_device(path: Path, _: Path) -> None:
    path.symlink_to("/dev/zero")


OUT = f"{NAMED} is not in the folder of the survey; put the file beside the survey, and write its name"


@pytest.mark.parametrize(
    ("make", "messages"),
    [
        (_folder, {f"{NAMED} is no file; name the CSV file that the logger wrote"}),
        (_pipe, {f"{NAMED} is no file; name the CSV file that the logger wrote"}),
        (_link_out, {OUT}),
        (_link_to_a_device, {OUT}),
        (
            _link_to_itself,  # which of the two is for the Python that runs
            {
                OUT,
                f"{NAMED} cannot be read (Too many levels of symbolic links); "
                "put the logger's file there, or write its name",
            },
        ),
    ],
)
def test_what_is_no_file_of_this_survey_is_refused(
    make: Callable[[Path, Path], None], messages: set[str], tmp_path: Path
) -> None:
    """A folder, a pipe that nobody writes into, a link out of the folder: refused at once, and never waited for."""
    folder, outside = tmp_path / "here", tmp_path / "there"
    folder.mkdir()
    outside.mkdir()
    make(folder / LOG, outside)
    assert refused(folder, None) in messages


def test_a_file_in_a_folder_below_is_read_and_a_link_within_is_followed(tmp_path: Path) -> None:
    """Beside the survey or below it; a link that stays there leads to what it names."""
    (tmp_path / "logs").mkdir()
    (tmp_path / "logs" / "a.csv").write_text(PLAIN, encoding="utf-8")
    (tmp_path / LOG).symlink_to(tmp_path / "logs" / "a.csv")
    assert seen_in(read(tmp_path, None, {"file": "logs/a.csv"})) == seen()
    assert seen_in(read(tmp_path, None)) == seen()


@pytest.mark.parametrize("other", [LOG, "./log.csv", "logs/../log.csv", "link.csv"])
def test_one_file_named_twice_is_refused(other: str, tmp_path: Path) -> None:
    """By whatever path: one log is not two."""
    (tmp_path / "logs").mkdir()
    (tmp_path / "link.csv").symlink_to(tmp_path / LOG)
    assert refused(tmp_path, PLAIN, {}, {"file": other}) == (
        f'survey.yaml:18: climate_log[1].file is "{other}", as climate_log[0].file is; name each file once'
    )


def test_faults_of_several_logs_are_told_in_one_run(tmp_path: Path) -> None:
    """Two files with a fault each, and one that is not there."""
    (tmp_path / "b.csv").write_text(PLAIN + "2026-03-09 05:00,69,44\n", encoding="utf-8")
    told = refused(tmp_path, PLAIN + "2026-03-09 04:30,69,44\n", {}, {"file": "b.csv"}, {"file": "c.csv"})
    assert told.splitlines() == [
        f'b.csv:7: says "69" where line 6 says "68" of the same moment; {ONCE}',
        f"log.csv:7: comes 1800 s after the row before it, and this log writes every 1 h; {EVERY}",
        'survey.yaml:26: climate_log[2].file is "c.csv", which cannot be read (No such file or directory); '
        "put the logger's file there, or write its name",
    ]


# -- what is lacking ------------------------------------------------------------------------------------------------

AT = "climate_log[0].columns.at", "Column of the time"
NO_LINE = "no line names one column of times; the longest of the first lines:"
TEMPERATURE = "climate_log[0].columns.temperature", "Column of the temperature"
HUMIDITY_COLUMN = "climate_log[0].columns.humidity", "Column of the relative humidity"
NO_TEMPERATURE = "the file has no one column that is plainly temperature; its columns:"
NO_PROBE = 'the file has no one column "Probe"; its columns: "Date/Time", "Temp °F", "RH %"'
NO_HUMIDITY = "the file has no one column that is plainly humidity; its columns:"


@pytest.mark.parametrize(
    ("text", "answers", "missing"),
    [
        ("", {}, both(Missing(*AT, f"{NO_LINE} nothing"))),
        ("\n\n\n", {}, both(Missing(*AT, f"{NO_LINE} nothing"))),
        (bytes(3000), {}, both(Missing(*AT, f'{NO_LINE} "{chr(92)}x00{chr(92)}x00{chr(92)}x00{chr(92)}x00{chr(92)}x00'
                                            f'{chr(92)}x00{chr(92)}x00{chr(92)}x…"'))),
        ("Heure,Sonde 1,Sonde 2\n2026-03-09 01:00,68,40\n", {}, both(
            Missing(*AT, f'{NO_LINE} "Heure", "Sonde 1", "Sonde 2"'))),
        ("\n" * 50 + PLAIN, {}, both(Missing(*AT, f"{NO_LINE} nothing"))),
        ("Date/Time,A,B\n", {}, {
            "temperature": (Missing(*TEMPERATURE, f'{NO_TEMPERATURE} "Date/Time", "A", "B"'),),
            "humidity": (Missing(*HUMIDITY_COLUMN, f'{NO_HUMIDITY} "Date/Time", "A", "B"'),),
        }),
        ("Date/Time,Temp °F,Temp °C,RH %\n", {}, {
            "temperature": (Missing(*TEMPERATURE, f'{NO_TEMPERATURE} "Date/Time", "Temp °F", "Temp °C", "RH %"'),),
            "humidity": (),
        }),
        ("Date/Time,Temp °F\n", {}, {
            "temperature": (),
            "humidity": (Missing(*HUMIDITY_COLUMN, f'{NO_HUMIDITY} "Date/Time", "Temp °F"'),),
        }),
        ("Date/Time,Dew point °F,RH %\n", {}, {
            "temperature": (Missing(*TEMPERATURE, f'{NO_TEMPERATURE} "Date/Time", "Dew point °F", "RH %"'),),
            "humidity": (),
        }),
        (PLAIN, {"columns": "{temperature: Probe, humidity: Probe}"}, {
            "temperature": (Missing(*TEMPERATURE, NO_PROBE),),
            "humidity": (Missing(*HUMIDITY_COLUMN, NO_PROBE),),
        }),
        (table("Date/Time,Temp,RH %", FORM), {}, {
            "temperature": (
                Missing(
                    "climate_log[0].temperature_unit",
                    "Unit of its temperatures",
                    "the header does not say whether it is °C or °F",
                ),
            ),
            "humidity": (),
        }),
        (PLAIN, {"clock": None}, both(
            Missing(
                "climate_log[0].clock",
                "Which clock it keeps",
                "the file's times carry no offset, and nothing says what clock they are by",
            ))),
        (PLAIN, {"file": None}, both(Missing("climate_log[0].file", "Logger file"))),
        (PLAIN, {"every": None}, both(Missing("climate_log[0].every", "How often it writes a row"))),
        (PLAIN, {"began": None, "ended": None}, both(
            Missing("climate_log[0].began", "When it was set down in this room"),
            Missing("climate_log[0].ended", "When it was taken away, or its file was read"))),
        (PLAIN, {"instrument": None}, both(Missing("climate_log[0].instrument", "Instrument"))),
        (PLAIN, {"instrument": "LX"}, both(
            Missing("climate_log[0].instrument", "Instrument", '"LX" is not in the list of instruments'))),
    ],
)  # fmt: skip
def test_what_cannot_be_read_names_the_question_that_would_help(
    text: str | bytes, answers: dict[str, str | None], missing: dict[str, tuple[Missing, ...]], tmp_path: Path
) -> None:
    """Nothing is guessed at: no evidence of the quantity, and the answer that would be needed is told."""
    survey = read(tmp_path, text, answers)
    assert lacking(survey) == missing
    if missing["temperature"]:
        assert (evidence_of(survey).inside, evidence_of(survey).outside) == ((), ())
        assert evidence_of(survey).unseen == ((NO_LOW, NO_HIGH),)


@pytest.mark.parametrize(
    ("given_uncertainty", "due", "missing"),
    [
        ("{temperature: 0.5 °C}", "2026-12-31", {
            "temperature": (), "humidity": (Missing("climate_log[0].instrument.uncertainty.humidity", ""),),
        }),
        ("{humidity: 3 %RH}", "2026-12-31", {
            "temperature": (Missing("climate_log[0].instrument.uncertainty.temperature", ""),), "humidity": (),
        }),
        ("{temperature: 0.5 °C, humidity: 3 %RH}", "unknown", both(
            Missing("climate_log[0].instrument.calibration_due", ""))),
    ],
)  # fmt: skip
def test_a_logger_that_is_not_known_well_shows_nothing(
    given_uncertainty: str, due: str, missing: dict[str, tuple[Missing, ...]], tmp_path: Path
) -> None:
    """Guarded and calibrated: without its uncertainty, or the day its calibration ends, a quantity is no evidence."""
    head = SURVEY.replace("{temperature: 0.5 °C, humidity: 3 %RH}", given_uncertainty).replace("2026-12-31", due)
    survey = read(tmp_path, PLAIN, head=head)
    found = lacking(survey)
    assert {kind: [m.place for m in several] for kind, several in found.items()} == {
        kind: [m.place for m in several] for kind, several in missing.items()
    }
    assert all(m.lacking == "not answered" for several in found.values() for m in several)
    if missing["temperature"]:
        assert (evidence_of(survey).inside, evidence_of(survey).outside) == ((), ())


def test_only_a_header_shows_nothing(tmp_path: Path) -> None:
    """A logger that was never started: no row, no evidence, and no fault."""
    survey = read(tmp_path, "Date/Time,Temp °F,RH %\n")
    assert seen_in(survey) == NOTHING
    assert survey.climate.logs[0].rows == 0


def test_a_reading_nearer_the_band_than_its_uncertainty_says_neither(tmp_path: Path) -> None:
    """60 °F with ± 0.5 °C (0.9 °F): 59.0 is outside, 59.1 to 60.8 may be either, 60.9 is inside (by hand)."""
    rows = ("60.9", "59.0", "60.8", "59.1", "60.9")
    found = evidence_of(read(tmp_path, table("Date/Time,Temp °F,RH %", FORM, rows)))
    assert found.inside == ((ONE, ONE), (FIVE, FIVE))
    assert found.outside == ((TWO, TWO),)
    assert found.doubtful == ((NO_LOW, ONE), (TWO, NO_HIGH))


def test_two_logs_show_together_what_both_show(tmp_path: Path) -> None:
    """The air is inside where both say so and outside where either does; a log that stood there later is not asked."""
    (tmp_path / "b.csv").write_text(table("Date/Time,Temp °F,RH %", FORM, ("50", "68", "68", "68", "68")))
    early: dict[str, str | None] = {"began": "2026-03-09 00:30"}
    found = evidence_of(read(tmp_path, PLAIN, early, {**early, "file": "b.csv"}))
    assert found.inside == ((TWO, TWO), (FOUR, FIVE))
    assert found.outside == ((ONE, ONE), (THREE, THREE))
    later: dict[str, str | None] = {"file": "b.csv", "began": "2026-03-09 02:00"}
    found = evidence_of(read(tmp_path, PLAIN, early, later))
    assert found.inside == ((ONE, TWO), (FOUR, FIVE))
    assert found.outside == ((THREE, THREE),)


# -- no traceback, whatever the file --------------------------------------------------------------------------------

PIECES = st.sampled_from(
    [
        "Date/Time", "Date", "Time", "Temp °F", "Temp", "RH %", "2026-03-09 01:00", "2026-03-09T02:00Z", "3/9/2026",
        "3:00 PM", "68", "68,5", "-999", "NaN", '"', "'", ",", ";", "\t", "\n", "\r\n", "\r", "\0", " ", "°", "1e9",
        "2026-03-09 24:00", "0000-00-00 00:00", "9" * 30, "2026-03-08 02:30", "+99:99",
    ]
)  # fmt: skip


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    junk=st.binary(max_size=400)
    | st.lists(PIECES, max_size=40).map(lambda parts: "".join(parts).encode())
    | st.lists(PIECES, max_size=40).map(lambda parts: (PLAIN + "".join(parts)).encode())
    | st.lists(PIECES, max_size=40).map(lambda parts: "".join(parts).encode("utf-16")),
    answers=st.sampled_from(
        [
            {},
            {"clock": None},
            {"date_order": "day-month-year", "decimal_comma": "yes"},
            {"separator": "semicolon", "temperature_unit": "°C"},
            {"columns": "{at: Date, temperature: 68, humidity: Temp}"},
        ]
    ),
)
def test_any_bytes_are_read_or_refused_in_words(junk: bytes, answers: dict[str, str | None], tmp_path: Path) -> None:
    """No file makes the reader fail in another way than with a message that names a file."""
    files = {"survey.yaml"}
    try:
        logs = read(tmp_path, junk, answers).climate.logs
    except InputError as refusal:
        files = {fault.file for fault in refusal.faults}
    else:
        assert len(logs) == 1
    assert files <= {"survey.yaml", LOG}
