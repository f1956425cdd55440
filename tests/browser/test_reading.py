"""The form reads quantities, moments and whole surveys as Python does: the same values, the same places refused."""

from __future__ import annotations

import copy
import json
import random
import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, Page

from pages import page_of
from survey_strategies import random_survey
from wallwalk.answers import Answers
from wallwalk.errors import InputError
from wallwalk.form_questions import form_questions
from wallwalk.moments import find_zone, iso_moment, parse_last_day, parse_moment, show_moment
from wallwalk.quantities import UnitError, parse_quantity, widened
from wallwalk.survey import Subject, Survey
from wallwalk.survey_reader import parse_survey
from wallwalk.units import KINDS, MOISTURE
from wallwalk.values import Bound, Interval, Value
from wallwalk.yamlio import parse_yaml, read_yaml

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
SCRIPTS = [ROOT / "templates" / "form" / f"{name}.js" for name in ("exact", "quantities", "moments", "shape", "survey")]
BAD = sorted((ROOT / "tests" / "bad" / "surveys").glob("*.yaml"))
EXAMPLES = sorted((ROOT / "examples").glob("*.yaml"))
ZONES = (
    "America/Chicago", "America/New_York", "America/St_Johns", "America/Phoenix", "America/Santiago", "Europe/Berlin",
    "Europe/London", "Europe/Dublin", "America/Havana", "Asia/Jerusalem", "Asia/Kolkata", "Asia/Kathmandu",
    "Asia/Tokyo", "Australia/Lord_Howe", "Australia/Adelaide", "Pacific/Auckland", "Pacific/Chatham", "Pacific/Apia",
    "US/Central", "UTC", "Etc/GMT+6",
)  # fmt: skip
"""Where clocks change at midnight, by half an hour, backwards in winter, and never; a zone whose rules changed lately
would compare the age of two zone tables."""

TOLD = """
const told = (f) => (typeof f === "number" ? String(f) : `${f.n}/${f.d}`);
const tellValue = (v) => "low" in v
  ? [v.kind, told(v.low), told(v.high), v.unit, v.written] : [[...v.words], v.written];
const tellAnswers = (all) => Object.fromEntries([...all].map(([path, a]) => [path, [a.place, tellValue(a.value)]]));
const tellRoll = (r) => ({ ...r, entries: r.entries.map(tellAnswers) });
const tellSubject = (s) => ({
  ...s, answers: tellAnswers(s.answers),
  rolls: Object.fromEntries([...s.rolls].map(([path, r]) => [path, tellRoll(r)])),
});
const tellSurvey = (s) => s && ({
  zone: s.zone && s.zone.key, space: tellSubject(s.space), others: s.others.map(tellSubject),
});
const attempt = (read) => {
  try { return tellValue(read()); } catch (error) {
    if (!("instead" in error)) throw error;
    return error.instead;
  }
};
"""


def told(bound: Bound) -> str:
    """A bound as the page writes it."""
    if isinstance(bound, Fraction):
        return f"{bound.numerator}/{bound.denominator}"
    return "Infinity" if bound > 0 else "-Infinity"


def tell_value(value: Value) -> list[Any]:
    """A value, whole, as plain JSON."""
    if isinstance(value, Interval):
        return [value.kind, told(value.low), told(value.high), value.unit, value.written]
    return [sorted(value.possible or ()), value.written]


def tell_answers(answers: Answers) -> dict[str, Any]:
    """Answers by path, each with its place and value."""
    return {path: [answer.place, tell_value(answer.value)] for path, answer in answers.items()}


def tell_subject(subject: Subject) -> dict[str, Any]:
    """One subject with all its answers and lists, by the names that the form has for them."""
    rolls = {
        path: {
            "place": roll.place,
            "entries": [tell_answers(entry) for entry in roll.entries],
            "complete": roll.complete,
            "most": roll.most,
        }
        for path, roll in subject.rolls.items()
    }
    plain = {name: getattr(subject, name) for name in ("about", "name", "place", "listed", "declared")}
    return {**plain, "countedBy": subject.counted_by, "answers": tell_answers(subject.answers), "rolls": rolls}


def tell_survey(survey: Survey) -> dict[str, Any]:
    """What the form has of a survey."""
    zone = survey.zone.key if survey.zone else None
    return {"zone": zone, "space": tell_subject(survey.space), "others": [tell_subject(s) for s in survey.others]}


def attempt(read: Callable[[], Value]) -> list[Any] | str:
    """The value read, or what its refusal says to write instead."""
    try:
        return tell_value(read())
    except UnitError as error:
        return error.instead


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    """A page with the reading half of the form and the survey's data in it."""
    opened = browser.new_page()
    opened.goto(page_of(SCRIPTS).as_uri())
    opened.add_script_tag(content=f"const DATA = {json.dumps({'survey': form_questions()})};{TOLD}")
    yield opened
    opened.close()


# Quantities


def quantity_texts(drawn: random.Random) -> Iterator[tuple[str, str]]:
    """Kind and text: every spelling of every unit in every form, then malformed ones and those of another kind."""
    for kind, table in KINDS.items():
        spellings = [s for unit in table.units for s in unit.spellings]
        for spelling in spellings:
            asked = drawn.choice((kind, "moisture")) if kind in MOISTURE else kind
            yield from ((asked, text) for text in forms(drawn, spelling, spellings))
            yield from ((asked, broken(drawn, text)) for text in forms(drawn, spelling, spellings))
            yield from ((drawn.choice(list(KINDS)), text) for text in forms(drawn, spelling, spellings)[:4])


def forms(drawn: random.Random, unit: str, units: list[str]) -> list[str]:
    """The ways in which people write quantities, for one spelling of a unit."""
    a, b, c = (numeral(drawn) for _ in range(3))
    other, gap = drawn.choice(units), drawn.choice(("", " ", "  ", "\u00a0", "\t"))
    return [
        f"{a}{gap}{unit}", f"-{a}{gap}{unit}", f"\u2212{a} {unit}", f"+ {a} {unit}", f" {a} {unit} ", a,
        f"{a} to {b} {unit}", f"{a}{gap}{unit} to {b}{gap}{other}", f"{a} {unit} to {b} {unit}", f"-{a} to {b} {unit}",
        f"{a} ± {b} {unit}", f"{a}{gap}{unit} ± {b}{gap}{other}", f"{a}+/-{b}{unit}", f"{a} {unit} ± -{b} {unit}",
        f"{a} {unit} {b} {other}", f"{a}{other}{b}{unit}", f"{a} {unit}-{b} {other}",
        f"{a} {unit} {b} {other} {c} {unit}",
        f"{a} {unit} - {b} {other}", f"{a}\u2013{b} {unit}", f"{a} {unit} {b}",
    ]  # fmt: skip


def numeral(drawn: random.Random) -> str:
    """A decimal, a fraction or a mixed number; now and then one too long, or over nothing."""
    whole, part = drawn.choice((0, 1, 2, 4, 5, 14, 20, 100, drawn.randint(0, 10**4))), drawn.randint(0, 999)
    fraction = f"{drawn.randint(0, 40)}/{drawn.choice((2, 3, 4, 8, 16, 32, 64, 1, 12, 0))}"
    long = str(drawn.randint(10**13, 10**18))
    usual = (str(whole), f"{whole}.{part}", f"{whole:03d}.0", fraction, f"{whole} {fraction}")
    return drawn.choice((*usual, *usual, f"0.{long}", long))


def broken(drawn: random.Random, text: str) -> str:
    """The text with one sign too few, too many or another."""
    at = drawn.randrange(len(text))
    sign = drawn.choice(".,/-+±'\" 0\u0663\u00b2e\ufeff\u2009%tox" + text[at])
    return drawn.choice((text[:at] + text[at + 1 :], text[:at] + sign + text[at:], text[:at] + sign + text[at + 1 :]))


def test_quantities_are_read_as_python_reads_them(page: Page) -> None:
    """Thousands of texts of every unit and form: the same exact ends, unit and text, or the same advice."""
    drawn = random.Random(11)  # noqa: S311 - test data, not a secret
    texts = [pair for _ in range(3) for pair in quantity_texts(drawn)]
    found = page.evaluate(
        """texts => { const kinds = readKinds(DATA.survey.units);
           return texts.map(([kind, text]) => attempt(() => parseQuantity(kinds, text, kind))); }""",
        texts,
    )
    expected = [attempt(partial(parse_quantity, text, kind)) for kind, text in texts]
    assert [row for row in zip(texts, found, expected, strict=True) if row[1] != row[2]] == []
    assert len(texts) > 10_000
    assert min(sum(isinstance(e, kind) for e in expected) for kind in (list, str)) > 2_000
    assert {e[0] for e in expected if isinstance(e, list)} == set(KINDS)


def test_a_value_is_widened_by_its_instrument_as_python_widens_it(page: Page) -> None:
    """Reading and spread in each unit of their kinds, near the natural ends too."""
    pairs = [
        (value, spread, kind, "temperature difference" if kind == "temperature" else kind)
        for kind, table in KINDS.items()
        if kind not in {"adhesion", "number"}
        for value in (f"{n} {u.spellings[0]}" for n in ("0", "7.3", "13.9") for u in table.units)
        for spread in (f"{n} {u.spellings[-1]}" for n in ("1/3", "0.25", "2.675") for u in table.units)
        if "K" not in value + spread
    ]
    found = page.evaluate(
        """pairs => { const kinds = readKinds(DATA.survey.units); return pairs.map(([a, b, of, by]) =>
           tellValue(widened(kinds, parseQuantity(kinds, a, of), parseQuantity(kinds, b, by)))); }""",
        pairs,
    )
    expected = [tell_value(widened(parse_quantity(a, of), parse_quantity(b, by))) for a, b, of, by in pairs]
    assert found == expected
    assert len(pairs) > 500


# Moments


def changes_of(zone: ZoneInfo, year: int) -> Iterator[datetime]:
    """The moments of a year, to the minute, at which the clock of `zone` changes."""
    at = datetime(year, 1, 1, tzinfo=UTC)
    while at.year == year:
        after = at + timedelta(minutes=30)
        if at.astimezone(zone).utcoffset() != after.astimezone(zone).utcoffset():
            yield after
        at = after


def local_times(zone: ZoneInfo, drawn: random.Random) -> Iterator[str]:
    """Local times around each change of 2026, minute by minute at its ends, and some of other years."""
    for change in changes_of(zone, 2026):
        for clock in (change.astimezone(zone), (change - timedelta(minutes=1)).astimezone(zone)):
            for step in (*range(-150, 151, 15), -61, -59, -31, -29, -1, 1, 29, 31, 59, 61):
                yield f"{clock.replace(tzinfo=None) + timedelta(minutes=step):%Y-%m-%d %H:%M}"
            yield from (f"{clock + timedelta(days=step):%Y-%m-%d}" for step in (-1, 0, 1))
    for _ in range(60):
        at = datetime(1971, 1, 1) + timedelta(minutes=drawn.randrange(60 * 365 * 1440))
        yield from (f"{at:%Y-%m-%d %H:%M}", f"{at:%Y-%m-%dT%H:%M:%S}.25", f"{at:%Y-%m-%d}")


MALFORMED = (
    "", "2026", "2026-03", "2026-3-9", "2026-02-30", "2026-02-29 10:00", "2028-02-29", "2026-03-09 24:00",
    "2026-03-09 25:00", "2026-03-09 10:60", "2026-03-09 10:00:60", "2026-03-09 10:00:59.9999999999", "2026-13-01",
    "2026-00-10 10:00", "2026-01-00", "1899-12-31", "2200-01-01", "1900-01-01T00:00Z", "2199-12-31 23:59:59.999999999Z",
    "2026-03-09T10:00z", "2026-03-09t10:00 -06:00", "2026-03-09 10:00+23:59", "2026-03-09 10:00-24:00",
    "2026-03-09 10:00+05:60", "2026-03-09 10:00 +0500", "2026-03-09Z", "  2026-03-09   10:00 ", "2026-03-09\u00a010:00",
    "03/09/2026 8:30 am", "next Monday", "2026-03-09 10", "\u0662026-03-09", "20260309T1000Z", "2026-02-30T10:00:00Z",
)  # fmt: skip


def test_moments_are_read_as_python_reads_them(page: Page) -> None:
    """Every clock change of 2026 in 21 zones, dates alone, last days, offsets, and what is no moment."""
    drawn = random.Random(12)  # noqa: S311 - test data, not a secret
    asked: list[tuple[str, str | None, bool]] = []
    for name in ZONES:
        for text in (*local_times(ZoneInfo(name), drawn), *MALFORMED):
            asked += [(text, name, False), *([(text, name, True)] if len(text) < 12 else [])]
    asked += [(text, None, last) for text in (*MALFORMED, "2026-03-09 10:00", "2026-03-09") for last in (False, True)]
    found = page.evaluate(
        """asked => { const zones = new Map(); return asked.map(([text, name, last]) => {
           if (!zones.has(name)) zones.set(name, name && findZone(name));
           return attempt(() => (last ? parseLastDay : parseMoment)(text, zones.get(name))); }); }""",
        asked,
    )
    expected = [
        attempt(partial(parse_last_day if last else parse_moment, text, find_zone(name) if name else None))
        for text, name, last in asked
    ]
    assert [row for row in zip(asked, found, expected, strict=True) if row[1] != row[2]] == []
    assert len(asked) > 5_000
    assert sum("clock change" in e for e in expected if isinstance(e, str)) > 200


def test_moments_are_shown_as_python_shows_them(page: Page) -> None:
    """With the site's own offset, for machines and for people; part seconds round up; UTC where no zone is known."""
    drawn = random.Random(13)  # noqa: S311 - test data, not a secret
    asked = [
        (drawn.randrange(0, 3 * 10**9) * 2 + drawn.choice((0, 1)), name) for name in (*ZONES, None) for _ in range(100)
    ]
    found = page.evaluate(
        """asked => { const zones = new Map(); return asked.map(([halves, name]) => {
           if (!zones.has(name)) zones.set(name, name && findZone(name));
           const at = fraction(BigInt(halves), 2n);
           return [isoMoment(at, zones.get(name)), showMoment(at, zones.get(name))]; }); }""",
        asked,
    )
    moments = [(Fraction(halves, 2), find_zone(name) if name else None) for halves, name in asked]
    assert found == [[iso_moment(at, zone), show_moment(at, zone)] for at, zone in moments]


def test_one_tap_writes_the_minute_with_the_offset_of_the_site(page: Page) -> None:
    """What the form stamps is read back as the minute it was stamped in, on the day the clock goes back too."""
    minutes = [datetime(2026, 11, 1, 5, 0, tzinfo=UTC) + timedelta(minutes=7 * step) for step in range(40)]
    asked = [round(at.timestamp() * 1000) + 59_999 for at in minutes]
    found = page.evaluate("asked => asked.map((at) => stampOf(at, findZone('America/Chicago')))", asked)
    assert found[8] == "2026-11-01T00:56-05:00"
    assert [parse_moment(text, None).low for text in found] == [Fraction(int(at.timestamp())) for at in minutes]


NO_ZONES = (
    "localtime", "Factory", "posixrules", "America/Chigaco", "america/chicago", "AMERICA/CHICAGO", "us/central",
    "US/CENTRAL", "America/chicago", "utc", "Utc", "", " ", "+05:00", "-06", "America/", "/Chicago", "../UTC", "CDT",
    "Central Time", "America/New York", "asia/calcutta",
)  # fmt: skip
SOME_ZONES = (
    *ZONES, "EST", "EST5EDT", "GMT", "GMT0", "Etc/UTC", "Zulu", "PRC", "NZ-CHAT", "W-SU", "America/Port-au-Prince",
    "America/Argentina/ComodRivadavia", "Antarctica/DumontDUrville", "Asia/Calcutta", "Asia/Saigon", "Europe/Kiev",
    "Europe/Kyiv", "America/Indiana/Tell_City", "Africa/Dar_es_Salaam", "Europe/Isle_of_Man", "GB-Eire", "UCT",
)  # fmt: skip


def test_a_zone_is_one_only_where_python_has_it(page: Page) -> None:
    """Names in another case, of the machine and of no place are refused; older names of a place are taken."""
    found = page.evaluate("names => names.map((name) => findZone(name) !== null)", [*NO_ZONES, *SOME_ZONES])
    assert [n for n in NO_ZONES if find_zone(n)] == []
    assert [n for n in SOME_ZONES if not find_zone(n)] == []
    assert found == [False] * len(NO_ZONES) + [True] * len(SOME_ZONES)


# Whole surveys

READ = """texts => texts.map((text) => {
  const { doc, faults } = readDocument(new TextEncoder().encode(text));
  if (faults.length) return { faults, survey: null };
  const read = readSurvey(DATA, doc);
  return { faults: read.faults, survey: tellSurvey(read.survey) };
})"""


BESIDE = re.compile(r" \((?:and|first) .*\)$")
"""What is told of the other places that a fault is about: the desk has lines for them, the form has none."""


def plainly(instead: str) -> str:
    """Advice without the one name or choice most like what was written, which the form does not look for."""
    if re.fullmatch(r"write \w+, or take it out|write one of: .*|take it out, or look .*", instead):
        return "one of the names or choices"
    return re.sub(r"^write [^,:]+, or one of: .*", "one of the names or choices", instead)


def read_by_python(text: str) -> tuple[dict[str, Any] | None, list[tuple[str, str, str]]]:
    """The survey in a JSON text, or each place refused, what was found there and what to write instead."""
    try:
        return tell_survey(parse_survey(parse_yaml(text.encode(), "survey.json"))), []
    except InputError as error:
        return None, sorted({(f.path, BESIDE.sub("", f.found), plainly(f.instead)) for f in error.faults})


def compare(page: Page, texts: list[str]) -> int:
    """How many of the texts are refused; the form and Python agree on each, whole."""
    expected = [read_by_python(text) for text in texts]
    for text, found, (survey, faults) in zip(texts, page.evaluate(READ, texts), expected, strict=True):
        said = {(f["place"], BESIDE.sub("", f["found"]), plainly(f["instead"])) for f in found["faults"]}
        assert sorted(said) == faults, text
        assert found["survey"] == survey, text
    return sum(survey is None for survey, _ in expected)


def as_json(data: object) -> str:
    """The JSON of a document as the form saves it: an entry a line, so that lines tell places apart."""
    return json.dumps(data, indent=1, ensure_ascii=False)


def test_every_example_and_every_bad_survey_is_read_as_python_reads_it(page: Page) -> None:
    """As the JSON of the same document; those that are no YAML at all have no JSON."""
    texts = []
    for path in (*EXAMPLES, *BAD):
        try:
            texts.append(as_json(read_yaml(path).data))
        except InputError:
            continue
    assert len(texts) >= 70
    assert compare(page, texts) >= 60


def test_random_surveys_are_read_as_python_reads_them(page: Page) -> None:
    """Seeded surveys, half answered to nearly full: every value at every place."""
    assert compare(page, [as_json(random_survey(seed, 3, SHARES[seed % 4])) for seed in range(80)]) == 0


def test_many_more_random_surveys_are_read_as_python_reads_them(page: Page) -> None:
    """The same of two hundred and fifty more."""
    assert compare(page, [as_json(random_survey(seed, 3, SHARES[seed % 4])) for seed in range(80, 330)]) == 0


SHARES = (0.3, 0.6, 0.85, 0.97)
"""How many of the questions of a random survey are answered."""


def spoiled(data: Any, drawn: random.Random) -> Any:  # noqa: ANN401 - a document's data
    """The survey with a few of its places filled with something else."""
    for _ in range(drawn.choice((1, 1, 2, 4))):
        groups = list(containers(data))
        at = drawn.choice(groups)
        keys = list(at) if isinstance(at, dict) else list(range(len(at)))
        odd = drawn.choice(ODD)
        if isinstance(at, dict) and (not keys or drawn.random() < 0.15):
            at[
                drawn.choice(("colour", "a b", "", "constructor", "__proto__", "name", "photos", "overlays", "file"))
            ] = odd
        elif keys:
            at[drawn.choice(keys)] = copy.deepcopy(drawn.choice((odd, drawn.choice(groups), drawn.choice(TEXTS))))
    return data


ODD: tuple[Any, ...] = (
    None, True, False, "", " ", "unknown", " Unknown\u00a0", "null", "yes", "no", "none", 7, 2.5, -1, "?", [], {},
    [None], [{}], ["unknown"], {"name": "A"}, [{"file": "a.jpg"}, {}], [{"name": "space"}, {"name": "A"}] * 3,
    "\ufeffx", "tab\there", "line\nbreak", "x" * 90, 'quo"te', "\u200b", "²", "\U0001f9f1", "\u0007",
)  # fmt: skip
TEXTS = (
    "America/Chicago", "Mars/Olympus", "site", "-06:00", "72 °F", "70 ± 0.1 °F", "45 ± 0.5 %RH", "99 ± 3 %RH", "0 ft",
    "-1 ft", "12.5", "12 %MC", "9 ± 0.1 %MC", "2026-03-08 02:30", "2026-03-29 02:30", "2026-11-01 01:30", "2026-03-09",
    "2026-03-09T08:00Z", "0", "1", "2", "3", "99", "meter 1", "meter 2", "gypsum board", "Gypsum board", "A", "4B",
    "0.1 °C",
)  # fmt: skip


def containers(node: object) -> Iterator[Any]:
    """Every group and list of a document, itself first."""
    if isinstance(node, (dict, list)):
        yield node
        for part in node.values() if isinstance(node, dict) else node:
            yield from containers(part)


def test_spoiled_surveys_are_refused_where_python_refuses_them(page: Page) -> None:
    """Hundreds of surveys with up to four places spoiled: the same faults at the same places, or the same values."""
    drawn = random.Random(14)  # noqa: S311 - test data, not a secret
    texts = [as_json(spoiled(random_survey(seed, 2, drawn.choice((0.1, 0.3, 0.7))), drawn)) for seed in range(600)]
    assert 300 < compare(page, texts) < 580


def with_instrument(stated: str, temperature: str, humidity: str, moisture: str) -> Any:  # noqa: ANN401 - a document's data
    """A survey of three readings, with what their instrument's paper says."""
    paper = {"temperature": f"{stated} °C", "humidity": f"{stated} %RH", "moisture_mc": f"{stated} %MC"}
    return {
        "time_zone": "America/Chicago",
        "instruments": [{"name": "meter", "uncertainty": paper if stated else {}}],
        "air": [{"instrument": "meter", "temperature": temperature, "humidity": humidity}],
        "walls": [{"name": "N", "moisture": [{"instrument": "meter", "value": moisture}]}],
    }


def test_no_reading_is_better_than_its_instrument(page: Page) -> None:
    """At, just under and just over what the instrument's paper says; cut by an end of its kind or not."""
    around = ("± 0 {}", "± 0.49 {}", "± 1/2 {}", "± 0.9 {}", "± 1 {}", "± 1.01 {}", "± 2 {}", "{}", "to 21 {}")
    texts = [
        as_json(with_instrument(stated, f"{t} {a.format('°C')}", f"{h} {a.format('%RH')}", f"{m} {a.format('%MC')}"))
        for stated in ("", "0.5", "1", "1.1")
        for t, h, m in (("20", "45", "9"), ("-273", "99.5", "0.5"), ("-273.15", "100", "0"))
        for a in around
    ]
    assert len(texts) == 108
    assert 40 < compare(page, texts) < 90


@pytest.mark.parametrize(
    "text",
    [
        '{"walls_in_scope": 2, "walls": [{"name": 4.50, "height": "8 ft"}, {"name": 1e3}]}',
        '{"instruments": [{"name": "a"}, {"name": "a"}, {"name": "a"}], "walls": [{"name": "space"}]}',
        '{"space": {"name": "a"}, "space": {"name": "b"}}',
        '{"space": {"name": "a", "name": "a"}, "colour": 1}',
        '{"space": {"name": "\\u0007"}}',
        '{"space": {"name": "\\u00e9\\n\\t\\"\\\\"}}',
        '{"space": {"\\u006eame": "x", "nam\\u0065": "y"}}',
        '{"__proto__": {"a": 1}, "constructor": 2, "toString": null}',
        '{"walls": [' + "[" * 60 + "]" * 60 + "]}",
        '{"colour": ' + "[" * 38 + "1" + "]" * 38 + "}",
        '{"colour": ' + "[" * 39 + "1" + "]" * 39 + "}",
        '{"colour": ' + "[" * 40 + "1" + "]" * 40 + "}",
        "null", "true", "[]", "{}", '"x"', "17", '"unknown"', "[null]",
    ],
)  # fmt: skip
def test_a_json_file_is_read_as_the_yaml_reader_reads_it(page: Page, text: str) -> None:
    """Numbers stay as written, no key comes twice, and what is nested too deep is refused."""
    compare(page, [text])
