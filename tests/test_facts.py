"""Each fact of a room is measured once, and tells which answers it came from and which ones it lacked."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from surveys import rigid_sheet, survey_from
from wallwalk.answers import Missing
from wallwalk.climate import Band, Climate, ClimateLog, Instant
from wallwalk.evidence import combine, no_evidence
from wallwalk.facts import Fact, Facts, Trail
from wallwalk.log_runs import BandRuns, Stay
from wallwalk.moments import parse_moment
from wallwalk.quantities import parse_quantity
from wallwalk.rules import RuleSet
from wallwalk.survey import Survey
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval, Measured, OneOf, Series

F = Fraction
RULES = rigid_sheet()
START = F(parse_moment("2026-03-09T12:00Z", None).low)
SIMPLE, AS_READ = replace(RULES, decision="simple"), replace(RULES, uncalibrated="as read")

HEAD = """
time_zone: UTC
planned_start: 2026-03-09 12:00
instruments:
  - {name: T1, calibration_due: 2026-03-09, uncertainty: {temperature: 1 °F}}
  - {name: T2, uncertainty: {temperature: 1 °F}}
  - {name: T3, calibration_due: 2026-03-09}
  - {name: M1, calibration_due: 2026-12-31, uncertainty: {moisture_mc: 1 %MC, moisture_gypsum: 0.1 gypsum}}
"""


def survey(rest: str, head: str = HEAD) -> Survey:
    """A survey of those instruments and the answers given."""
    return survey_from(head + rest)


def fact(of: Survey, name: str, rules: RuleSet = RULES, wall: int | None = None) -> Fact:
    """One fact of the space, or of a wall."""
    return Facts(rules, of, of.space if wall is None else of.subjects("wall")[wall])[name]


def told(found: Fact) -> tuple[Measured, list[str], list[tuple[str, str, str]]]:
    """Its value, the places of the answers it came from, and what it lacked."""
    return found.value, [s.place for s in found.sources], [(m.place, m.title, m.lacking) for m in found.missing]


def span(kind: str, low: Bound, high: Bound, unit: str = "", written: str = "") -> Interval:
    """A quantity from one end to the other, in base units."""
    return Interval(kind, low, high, unit, written)


def warm(low: Bound, high: Bound) -> Interval:
    """Temperatures in °C, read in °F and worked out."""
    return span("temperature", low, high, "°F")


UNSAID = "not answered"
SURE_70 = span("temperature", F(185, 9), F(65, 3), "°F", "70 °F ± 1 °F")  # 69 to 71 °F


def air(*readings: str, taken: int | None = None) -> Survey:
    """A survey of so many air readings."""
    count = len(readings) if taken is None else taken
    return survey(f"air_taken: {count}\nair:\n" + "".join(f"  - {{place: middle, {r}}}\n" for r in readings))


# -- one answer -----------------------------------------------------------------------------------------------------


def test_a_fact_is_the_answer_as_it_was_read_and_where_it_stands() -> None:
    """Its name, its title, its kind, the value as written, the answer itself, and nothing that is lacking."""
    of = survey("building: {year_built: '1961'}\n")
    declared, found = RULES.facts["year_built"], fact(of, "year_built")
    year = span("number", F(1961), F(1961), "", "1961")
    assert found == Fact(
        "year_built", declared.title, declared.kinded, year, (of.space.answers["building.year_built"],)
    )
    assert (found.sources[0].place, found.sources[0].value) == ("building.year_built", year)


def test_a_fact_is_measured_once() -> None:
    """Asked again, it is the same one; another is another."""
    of = air("at: 2026-03-09 09:00, temperature: 70 °F, instrument: T1")
    facts = Facts(RULES, of, of.space)
    assert facts["air_temperature_lowest"] is facts["air_temperature_lowest"]
    assert facts["air_reading_count"].name == "air_reading_count"


def test_an_answer_nobody_gave_is_told_by_its_place_and_title() -> None:
    """Of the space by its path; of a wall below that wall."""
    of = survey("walls_in_scope: 2\nwalls:\n  - {name: North}\n  - {name: South, height: 8 ft}\n")
    no_length = ("sheets.length", "Length of a sheet as it came", UNSAID)
    nothing = span("length", NO_LOW, NO_HIGH, "m")
    assert told(fact(of, "sheet_over_wall", wall=0)) == (
        nothing,
        [],
        [no_length, ("walls[0].height", "Height to be covered", UNSAID)],
    )
    assert told(fact(of, "sheet_over_wall", wall=1)) == (nothing, ["walls[1].height"], [no_length])
    assert told(fact(of, "wall_patched", wall=1))[0] == OneOf(None)


# -- lists ----------------------------------------------------------------------------------------------------------

READ = "at: 2026-03-09 09:00, temperature: 70 °F, instrument: T1"
OF_ONE = ["air[0].temperature", "instruments[0].calibration_due", "instruments[0].uncertainty.temperature"]
COUNTED = "How many air readings were taken"


@pytest.mark.parametrize(
    ("of", "lacks"),
    [
        (air(READ), []),
        (air(READ, taken=2), [("air_taken", COUNTED, "2 taken, 1 written down")]),
        (survey(f"air:\n  - {{place: middle, {READ}}}\n"), [("air_taken", COUNTED, UNSAID)]),
    ],
)
def test_a_list_that_is_not_whole_says_so(of: Survey, lacks: list[tuple[str, str, str]]) -> None:
    """One reading of 70 ± 1 °F: the lowest of one, of two, and of nobody knows how many."""
    low = SURE_70.low if not lacks else NO_LOW
    value = SURE_70 if not lacks else warm(low, SURE_70.high)
    assert told(fact(of, "air_temperature_lowest")) == (value, OF_ONE, lacks)


def test_of_no_readings_it_is_told_that_none_were_taken_or_that_nobody_said() -> None:
    """A count of nought is an answer; no count is none."""
    nothing = span("temperature", NO_LOW, NO_HIGH, "°C")
    assert told(fact(survey("air_taken: 0\n"), "air_temperature_lowest")) == (
        nothing,
        [],
        [("air", RULES.questions.rolls["space", "air"].title, "none taken")],
    )
    assert told(fact(survey(""), "air_temperature_lowest")) == (nothing, [], [("air_taken", COUNTED, UNSAID)])
    wall = survey("walls_in_scope: 1\nwalls:\n  - {name: North, surface_taken: 0}\n")
    lacks = [("walls[0].surface", RULES.questions.rolls["wall", "surface"].title, "none taken")]
    assert told(fact(wall, "surface_spread", wall=0)) == (
        span("temperature difference", NO_LOW, NO_HIGH, "°C"), [], lacks,
    )  # fmt: skip


def test_walls_that_nobody_wrote_down_have_no_reading() -> None:
    """Two walls, one listed: of the other, and of its list of readings, nothing is known."""
    of = survey("walls_in_scope: 2\nwalls:\n  - {name: North}\n")
    taken = RULES.questions.questions["wall", "surface_taken"].title
    value, sources, missing = told(fact(of, "surface_spread", wall=1))
    assert (value, sources) == (span("temperature difference", NO_LOW, NO_HIGH, "°C"), [])
    assert [m[1:] for m in missing] == [(taken, UNSAID)]
    nowhere = replace(of, space=replace(of.space, rolls={}))
    counted = RULES.questions.questions["space", "climate_logs_kept"].title
    assert told(fact(nowhere, "band_held"))[2] == [("climate_logs_kept", counted, UNSAID)]


def test_a_list_that_nobody_counts_is_told_by_its_own_title() -> None:
    """Of instruments no question says how many there are: the list is never known to be whole."""
    question = RULES.questions.questions["space", "instruments.name"]
    asked, trail, of = replace(RULES.facts["air_read_place"].expression, question=question), Trail(), survey("")
    value = Facts(RULES, of, of.space).measure(asked, trail)
    assert isinstance(value, Series)
    assert (len(value.items), value.complete, value.most) == (4, False, None)
    title = RULES.questions.rolls["space", "instruments"].title
    assert list(trail.missing) == [Missing("instruments", title)]


def test_a_list_of_nothing_still_has_its_kind() -> None:
    """What is worked out entry by entry, of no entries: a list of durations, as complete as the one it is made of."""
    (inner,) = RULES.facts["air_reading_first"].expression.operands
    of, unsaid = survey("air_taken: 0\n"), survey("")
    assert Facts(RULES, of, of.space).measure(inner, Trail()) == Series("duration", (), complete=True, most=0)
    assert Facts(RULES, unsaid, unsaid.space).measure(inner, Trail()) == Series("duration", (), complete=False)


def test_an_entry_without_its_answer_is_one_of_which_nothing_is_known() -> None:
    """The second reading has no place: the list has two entries, and the second may be any word."""
    of = survey(f"air_taken: 2\nair:\n  - {{place: middle, {READ}}}\n  - {{{READ}}}\n")
    assert told(fact(of, "air_read_place")) == (
        Series("text", (OneOf(frozenset({"middle"}), "middle"), OneOf(None)), complete=True, most=2),
        ["air[0].place"],
        [("air[1].place", RULES.questions.questions["space", "air.place"].title, UNSAID)],
    )


# -- how well a reading is known -------------------------------------------------------------------------------------

NOBODY_KNOWS = span("temperature", NO_LOW, NO_HIGH)
DUE, TEMPERATURE = "Calibration good until", "Air temperature"
NOT_GOOD = "the calibration of T1 is not known to have been good then"


@pytest.mark.parametrize(
    ("reading", "value", "sources", "lacks"),
    [
        (READ, SURE_70, OF_ONE, []),
        ("at: 2026-03-10 00:00, temperature: 70 °F, instrument: T1", SURE_70, OF_ONE, []),  # to the end of the day
        ("at: 2026-03-09 09:00, temperature: 70 ± 2 °F, instrument: T1",
         span("temperature", F(20), F(200, 9), "°F", "70 ± 2 °F"), OF_ONE[:2], []),
        ("at: 2026-03-10 00:01, temperature: 70 °F, instrument: T1", None, OF_ONE[:2],
         [("air[0].instrument", TEMPERATURE, NOT_GOOD)]),
        ("at: 2026-03-09, temperature: 70 °F, instrument: T1", SURE_70, OF_ONE, []),
        ("at: 2026-03-10, temperature: 70 °F, instrument: T1", None, OF_ONE[:2],
         [("air[0].instrument", TEMPERATURE, NOT_GOOD)]),
        ("temperature: 70 °F, instrument: T1", None, OF_ONE[:1], [("air[0].at", "When it was read", UNSAID)]),
        ("at: 2026-03-09 09:00, temperature: 70 °F, instrument: T2", None, OF_ONE[:1],
         [("instruments[1].calibration_due", DUE, UNSAID)]),
        ("at: 2026-03-09 09:00, temperature: 70 °F, instrument: T3", None,
         ["air[0].temperature", "instruments[2].calibration_due"],
         [("instruments[2].uncertainty.temperature",
           RULES.questions.questions["space", "air.instrument.uncertainty.temperature"].title, UNSAID)]),
        ("at: 2026-03-09 09:00, temperature: 70 °F, instrument: T9", None, OF_ONE[:1],
         [("air[0].instrument", DUE, '"T9" is not in the list of instruments')]),
        ("temperature: 70 °F", None, OF_ONE[:1],
         [("air[0].instrument.calibration_due", DUE, UNSAID), ("air[0].at", "When it was read", UNSAID)]),
    ],
)  # fmt: skip
def test_a_reading_is_known_as_well_as_its_instrument_was_then(
    reading: str, value: Interval | None, sources: list[str], lacks: list[tuple[str, str, str]]
) -> None:
    """Guarded: 70 °F by an instrument of ± 1 °F in calibration is 69 to 71 °F; lacking any of that, it is unknown."""
    read_here = ["air[0].temperature", *(s for s in sources if s != "air[0].temperature")]
    expected = (NOBODY_KNOWS if value is None else value, read_here, lacks)
    assert told(fact(air(reading), "air_temperature_lowest")) == expected


AS_WRITTEN = span("temperature", F(190, 9), F(190, 9), "°F", "70 °F")


def test_a_rule_set_may_take_readings_as_read() -> None:
    """Simple: no uncertainty is asked for, calibration is. As read: the other way round. Both: the reading alone."""
    of = air("at: 2026-03-10 09:00, temperature: 70 °F, instrument: T1")
    good = air("at: 2026-03-09 09:00, temperature: 70 °F, instrument: T3")
    late = ("air[0].instrument", TEMPERATURE, NOT_GOOD)
    name = "air_temperature_lowest"
    assert told(fact(of, name, SIMPLE))[::2] == (NOBODY_KNOWS, [late])
    assert told(fact(good, name, SIMPLE)) == (AS_WRITTEN, [OF_ONE[0], "instruments[2].calibration_due"], [])
    assert told(fact(of, name, AS_READ)) == (SURE_70, [OF_ONE[0], OF_ONE[2]], [])
    assert told(fact(of, name, replace(SIMPLE, uncalibrated="as read"))) == (AS_WRITTEN, OF_ONE[:1], [])


def test_a_reading_that_is_not_known_keeps_its_kind_in_its_list() -> None:
    """Out of calibration, not read at a moment, or by an instrument of no uncertainty: each is any temperature."""
    (inner,) = RULES.facts["air_temperature_lowest"].expression.operands
    with_t1 = "temperature: 70 °F, instrument: T1"
    of = air(f"at: 2026-03-10 09:00, {with_t1}", with_t1, "at: 2026-03-09 09:00, temperature: 70 °F, instrument: T3")
    unknown = Series("temperature", (NOBODY_KNOWS,) * 3, complete=True, most=3)
    assert Facts(RULES, of, of.space).measure(inner, Trail()) == unknown


def test_a_reading_on_a_wall_lacks_what_its_instrument_lacks() -> None:
    """By T2, whose calibration nobody knows, and by T3, whose uncertainty nobody knows."""
    readings = "".join(f"{{at: 2026-03-09 09:00, temperature: 70 °F, instrument: {name}}}, " for name in ("T2", "T3"))
    of = survey(f"walls_in_scope: 1\nwalls:\n  - {{name: North, surface_taken: 2, surface: [{readings}]}}\n")
    stated = RULES.questions.questions["wall", "surface.instrument.uncertainty.temperature"].title
    assert told(fact(of, "surface_spread", wall=0))[2] == [
        ("instruments[1].calibration_due", DUE, UNSAID),
        ("instruments[2].uncertainty.temperature", stated, UNSAID),
    ]


def test_an_instrument_that_is_not_in_the_list_is_told_as_such() -> None:
    """Also where its calibration itself is asked for, and where only its uncertainty is."""
    unlisted = '"T9" is not in the list of instruments'
    of = air("at: 2026-03-09 09:00, temperature: 70 °F, instrument: T9")
    assert told(fact(of, "air_calibration_until"))[2] == [("air[0].instrument", DUE, unlisted)]
    without = air("at: 2026-03-09 09:00, temperature: 70 °F, instrument: T2")
    assert told(fact(without, "air_calibration_until"))[2] == [("instruments[1].calibration_due", DUE, UNSAID)]
    stated = RULES.questions.questions["space", "air.instrument.uncertainty.temperature"].title
    assert told(fact(of, "air_temperature_lowest", AS_READ))[2] == [("air[0].instrument", stated, unlisted)]
    by_none = air("at: 2026-03-09 09:00, temperature: 70 °F")
    asked = ("air[0].instrument.uncertainty.temperature", stated, UNSAID)
    assert told(fact(by_none, "air_temperature_lowest", AS_READ))[2] == [asked]


@pytest.mark.parametrize("scales", [("gypsum", "mc"), ("mc", "gypsum")])
def test_a_reading_on_another_scale_looks_answered_and_is_not(scales: tuple[str, str]) -> None:
    """0.6 on the gypsum scale where %MC is asked for: that it was read, and on which scale, is told (by hand)."""
    written = {"gypsum": "0.6 gypsum", "mc": "10 %MC"}
    wall = "walls_in_scope: 1\nwalls:\n  - name: North\n    moisture_taken: 2\n    moisture:\n" + "".join(
        f"      - {{at: 2026-03-09 09:00, value: {written[scale]}, instrument: M1}}\n" for scale in scales
    )
    value, sources, lacks = told(fact(survey(wall), "wall_moisture", wall=0))
    assert value == span("moisture %MC", F(9), NO_HIGH, "%MC")
    assert sources == [
        "walls[0].moisture[0].value",
        "instruments[3].calibration_due",
        f"instruments[3].uncertainty.moisture_{scales[0]}",
        "walls[0].moisture[1].value",
        f"instruments[3].uncertainty.moisture_{scales[1]}",
    ]
    on_gypsum = "0.6 gypsum was read; this limit is on the scale %MC"
    place = f"walls[0].moisture[{scales.index('gypsum')}].value"
    assert lacks == [(place, "Reading on another scale", on_gypsum)]


def test_when_a_reading_was_taken_is_known_as_it_was_written() -> None:
    """A moment is no reading of an instrument, and needs no calibration."""
    nine = span("moment", START - 3 * 3600, START - 3 * 3600, "", "2026-03-09 09:00")
    of = air("at: 2026-03-09 09:00, temperature: 70 °F, instrument: T2")
    assert told(fact(of, "air_read_at")) == (Series("moment", (nine,), complete=True, most=1), ["air[0].at"], [])


def test_an_uncertainty_that_is_no_quantity_is_a_fault_of_the_program() -> None:
    """The reader lets none through; a reading as wide as a word would be no reading."""
    of = air(READ)
    (entry,) = of.space.rolls["air"].entries
    key = "instrument.uncertainty.temperature"
    wrong = {**entry, key: replace(entry[key], value=OneOf(frozenset({"small"}), "small"))}
    entries = replace(of.space.rolls["air"], entries=(wrong,))
    of = replace(of, space=replace(of.space, rolls={**of.space.rolls, "air": entries}))
    with pytest.raises(TypeError, match=r"^an uncertainty is a quantity$"):
        fact(of, "air_temperature_lowest")


def test_what_is_made_with_limits_takes_all_from_one_to_the_other() -> None:
    """A sheet of 10 ft, air of 69 to 71 °F, up to 80 °F: each is the limit's own, worked out by hand."""
    low, high = (RULES.limits[f"sheet_expansion_{end}"] for end in ("low", "high"))
    of = survey(f"layout: {{longest_sheet: 10 ft}}\nair_taken: 1\nair:\n  - {{place: middle, {READ}}}\n")
    ends = [end.value.low for end in (low, high)]  # type: ignore[union-attr]
    value = fact(of, "sheet_growth").value
    assert isinstance(value, Interval)
    assert (value.low, value.high) == (ends[0] * 5 * F("3.048"), ends[1] * F(55, 9) * F("3.048"))


# -- climate logs ----------------------------------------------------------------------------------------------------

BAND = Band("temperature", F(140, 9), F(80, 3), guarded=True)  # 60 to 80 °F
DAY = 86400
ENTRY = """climate_logs_kept: 1
climate_log:
  - {file: log.csv, place: middle, instrument: T1, every: 1 h, began: 2026-03-08 00:00, ended: 2026-03-09 12:00}
"""
READ_LOG = ClimateLog("climate_log[0]", "log.csv", "", "", "", "", 0, None, None, (), {}, (), {}, {})


def logged(*rows: str | None, rest: str = "", band: Band = BAND, logs: tuple[ClimateLog, ...] = (READ_LOG,)) -> Survey:
    """A survey of one hourly log: its rows, in °F or %RH, end at the start, and one may be missing."""
    began = START - 3600 * (len(rows) - 1)
    stood = Stay(span("moment", began, began), span("moment", START, START), F(3600))
    runs = BandRuns(band, lambda cell: (parse_quantity(cell, band.kind).low,) * 2, stood)  # type: ignore[arg-type, return-value]
    for hour, row in enumerate(rows):
        if row is not None:
            runs.add(began + 3600 * hour, row)
    of = survey(ENTRY + rest)
    return replace(of, climate=Climate(logs, {band: combine(band.kind, [runs.finish()], complete=True)}))


UNSEEN = "no log shows {}"
HELD_FROM = ["planned_start", "climate_log[0].file"]


def lacks(when: str, says: str = UNSEEN) -> tuple[str, str, str]:
    """What a fact lacks of the logs."""
    return ("climate_log", "Climate logs", says.format(when))


def test_a_fact_of_a_log_comes_from_its_file_and_tells_what_was_not_seen() -> None:
    """70 °F at every hour of two days, and the same with one row lost, and with five of them: the last three told."""
    whole = logged(*["70 °F"] * 49)
    assert told(fact(whole, "band_held")) == (span("duration", F(2 * DAY), NO_HIGH, "h"), HELD_FROM, [])
    one_lost = logged(*["70 °F"] * 40, None, *["70 °F"] * 8)
    value, sources, missing = told(fact(one_lost, "band_held"))
    assert (value, sources) == (span("duration", F(7 * 3600), NO_HIGH, "h"), HELD_FROM)
    assert missing == [lacks("Mon 9 Mar 2026 03:00 to Mon 9 Mar 2026 05:00")]
    rows = [None if hour in {5, 14, 23, 32, 41} else "70 °F" for hour in range(49)]
    assert told(fact(logged(*rows), "band_held"))[2] == [
        lacks("Sun 8 Mar 2026 10:00 to Sun 8 Mar 2026 12:00"),
        lacks("Sun 8 Mar 2026 19:00 to Sun 8 Mar 2026 21:00"),
        lacks("Mon 9 Mar 2026 04:00 to Mon 9 Mar 2026 06:00"),
    ]


def test_what_no_log_shows_is_told_in_the_language_of_the_rule_set() -> None:
    """Days and words in Spanish."""
    of = logged(*["70 °F"] * 40, None, *["70 °F"] * 8)
    spanish = replace(RULES, language="es")
    when = "lun 9 mar 2026 03:00 a lun 9 mar 2026 05:00"
    (missing,) = fact(of, "band_held", spanish).missing
    assert missing.lacking == f"ningún registro muestra el aire, {when}"


def test_how_far_back_it_is_told_what_no_log_shows() -> None:
    """Two days back from the start where the fact has no begin of its own, and from that begin where it has one."""
    rows = [None if hour in {2, 30} else "70 °F" for hour in range(61)]  # from 00:00 on 7 March
    of = logged(*rows)
    last = lacks("Sun 8 Mar 2026 05:00 to Sun 8 Mar 2026 07:00")
    assert told(fact(of, "band_held"))[2] == [last]  # that of 01:00 to 03:00 on 7 March is 57 hours before
    assert told(fact(of, "excursion_count"))[2] == []  # which looks back a day, and not at the last hour
    later = [None if hour in {30, 40} else "70 °F" for hour in range(61)]
    assert told(fact(logged(*later), "excursion_count"))[2] == [
        lacks("Sun 8 Mar 2026 15:00 to Sun 8 Mar 2026 17:00")
    ]  # fmt: skip


def test_where_no_log_was_read_no_hour_of_it_is_told() -> None:
    """All of the time is unseen then; which hours is no help."""
    of = logged("70 °F", None, "70 °F", logs=())
    assert told(fact(of, "band_held"))[2] == []
    nothing_kept = survey("climate_logs_kept: 0\n")
    none_taken = ("climate_log", RULES.questions.rolls["space", "climate_log"].title, "none taken")
    assert told(fact(nothing_kept, "band_held")) == (
        span("duration", F(0), NO_HIGH, "h"),
        ["planned_start"],
        [none_taken],
    )


def test_without_a_start_nothing_is_held_and_no_hour_is_told() -> None:
    """There is no moment to count back from."""
    of = logged("70 °F", None, "70 °F")
    answers = {path: answer for path, answer in of.space.answers.items() if path != "planned_start"}
    of = replace(of, space=replace(of.space, answers=answers))
    value, sources, missing = told(fact(of, "band_held"))
    assert (value, sources) == (span("duration", NO_LOW, NO_HIGH, "h"), ["climate_log[0].file"])
    assert [place for place, _, _ in missing] == ["planned_start"]


def test_what_a_log_lacked_of_a_quantity_is_told_with_every_fact_of_it() -> None:
    """A logger of no known uncertainty: for the temperature it is told, of the humidity it was not lacking."""
    lacking = Missing("instruments[0].uncertainty.temperature", "Its uncertainty")
    of = logged(*["70 °F"] * 49)
    of = replace(of, climate=replace(of.climate, missing={"temperature": (lacking,)}))
    assert fact(of, "band_held").missing == (lacking,)
    assert lacking not in fact(of, "humidity_excursion").missing


def test_a_fact_asks_for_the_band_of_its_own_limits_by_the_decision_of_its_rule_set() -> None:
    """60 to 80 °F, guarded or not; of a band that nobody logged there is no evidence."""
    of = logged(*["70 °F"] * 49)
    held = RULES.facts["band_held"].expression
    assert Facts(RULES, of, of.space).logged_by(held) == BAND
    assert Facts(SIMPLE, of, of.space).logged_by(held) == replace(BAND, guarded=False)
    assert Facts(RULES, of, of.space).evidence(held) == of.climate.bands[BAND]
    assert Facts(SIMPLE, of, of.space).evidence(held) == no_evidence("temperature")


def test_a_band_with_an_end_that_is_not_known_exactly_is_no_band() -> None:
    """From 60 °F as somebody answered it is one; from 60 to 62 °F, or from nobody knows what, nothing is shown."""
    held, lowest = RULES.facts["band_held"].expression, RULES.facts["finishing_lowest"].expression
    asked = replace(held, operands=(lowest, *held.operands[1:]))
    for answer, band in (("{lowest: 60 °F}", BAND), ("{lowest: 60 to 62 °F}", None), ("{temporary_heat: no}", None)):
        of = logged(*["70 °F"] * 49, rest=f"joint_finishing: {answer}\n")
        facts = Facts(RULES, of, of.space)
        assert facts.logged_by(asked) == band
        assert facts.evidence(asked) == (of.climate.bands[BAND] if band else no_evidence("temperature"))


def test_a_time_unseen_up_to_the_begin_is_none_of_the_time_asked_about() -> None:
    """A row lost at 11:00 the day before: unseen until 12:00, from when on excursions are counted."""
    rows = [None if hour == 47 else "70 °F" for hour in range(73)]
    assert told(fact(logged(*rows), "excursion_count")) == (span("number", F(0), F(0)), HELD_FROM, [])
    assert told(fact(logged(*rows), "band_held"))[2] == [lacks("Sun 8 Mar 2026 10:00 to Sun 8 Mar 2026 12:00")]


def test_a_second_that_no_log_shows_is_told() -> None:
    """The last row at noon, the start a second later."""
    of = logged(*["70 °F"] * 49).starting(span("moment", START + 1, START + 1))
    assert told(fact(of, "band_held"))[2] == [lacks("Mon 9 Mar 2026 12:00 to Mon 9 Mar 2026 12:00:01")]


PRIMED = "walls_in_scope: 1\nwalls:\n  - {{name: North, primer: {{finished: {at}, surface_temperature: 70 °F}}}}\n"


def at_instant(of: Survey, rules: RuleSet = RULES) -> Instant:
    """The moment at which the dew point is asked of the log."""
    asked = RULES.facts["primed_over_logged_dew_point"].expression.operands[1].operands[0]
    found = Facts(rules, of, of.subjects("wall")[0]).logged_by(asked)
    assert isinstance(found, Instant)
    return found


def test_of_one_moment_the_log_says_what_the_air_was() -> None:
    """Primed at noon of 8 March: the temperature of that moment, or that no log shows it, or not all of that day."""
    asked = RULES.facts["primed_over_logged_dew_point"].expression.operands[1].operands[0]
    noon = F(parse_moment("2026-03-08T12:00Z", None).low)
    for at, begins, ends, says in (
        ("2026-03-08 12:00", noon, noon, lacks("Sun 8 Mar 2026 12:00")),
        ("2026-03-08", noon - DAY / 2, noon + DAY / 2,
         lacks("Sun 8 Mar 2026 00:00 to Mon 9 Mar 2026 00:00", "no log shows all of {}")),
    ):  # fmt: skip
        of = logged(*["70 °F"] * 49, rest=PRIMED.format(at=at))
        wall = of.subjects("wall")[0]
        assert at_instant(of) == Instant("temperature", begins, ends, guarded=True)
        assert at_instant(of, SIMPLE) == Instant("temperature", begins, ends, guarded=False)
        unseen = Trail()
        assert Facts(RULES, of, wall).measure(asked, unseen) == span("temperature", NO_LOW, NO_HIGH)
        assert [(m.place, m.title, m.lacking) for m in unseen.missing] == [says]
        without_logs = Trail()
        Facts(RULES, replace(of, climate=Climate()), wall).measure(asked, without_logs)
        assert list(without_logs.missing) == []
        seen, known = Trail(), span("temperature", F(20), F(21), "°C")
        read = replace(of, climate=replace(of.climate, instants={at_instant(of): known}))
        assert Facts(RULES, read, wall).measure(asked, seen) == known
        assert (list(seen.missing), [s.place for s in seen.sources]) == (
            [],
            ["walls[0].primer.finished", "climate_log[0].file"],
        )


def test_of_a_moment_that_nobody_wrote_down_no_log_says_anything() -> None:
    """The moment is lacking, and no hour of the log."""
    of = logged(*["70 °F"] * 49, rest="walls_in_scope: 1\nwalls:\n  - {name: North}\n")
    asked = RULES.facts["primed_over_logged_dew_point"].expression.operands[1].operands[0]
    trail, facts = Trail(), Facts(RULES, of, of.subjects("wall")[0])
    assert facts.logged_by(asked) is None
    assert facts.measure(asked, trail) == span("temperature", NO_LOW, NO_HIGH)
    assert [m.place for m in trail.missing] == ["walls[0].primer.finished"]
