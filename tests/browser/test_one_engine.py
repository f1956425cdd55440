"""The form judges as the desk does: the same findings, facts, verdict and earliest start, survey by survey.

Both read the same document. The desk reads no climate logs here, since a form has none to read.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import cache
from random import Random
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, Page

from pages import page_of
from survey_strategies import random_survey
from surveys import EXAMPLES, ROOT, example_document, rigid_sheet, rule_set_called
from wallwalk.answers import NOT_ANSWERED, Missing
from wallwalk.checking import load_rule_set
from wallwalk.facts import Fact
from wallwalk.form_questions import form_questions
from wallwalk.form_rules import form_rules
from wallwalk.judging import Finding, judge, verdict_of
from wallwalk.limits import AnyLimit, Limit
from wallwalk.rules import AS_READ, GUARDED, SIMPLE, UNKNOWN, Condition, Group, RuleSet, checks
from wallwalk.survey import Survey
from wallwalk.survey_reader import parse_survey
from wallwalk.timing import clears_at, earliest_start
from wallwalk.values import Bound, Interval, Measured, Series
from wallwalk.words import Words, words_in
from wallwalk.yamlio import Document

Data = Any

FORM = ROOT / "templates" / "form"
ENGINE = [
    FORM / f"{name}.js"
    for name in (
        *("exact", "quantities", "moments", "shape", "survey"),
        *("measures", "materials", "facts", "judging", "timing"),
    )
]
SETS = ("rigid-sheet", "pasted-wallcovering")
ZONES = ("America/New_York", "Europe/Madrid", "America/Phoenix", "Australia/Lord_Howe", "America/Santiago")
CHUNK = 250
STEP = 5
"""Every so many findings, clears-at is compared too: the desk measures all facts once more for each."""

TOLD = """
const toldBound = (b) => (b === null ? null : isEnd(b) ? String(b) : `${b.n}/${b.d}`);
const toldValue = (v) => isSeries(v)
  ? [v.kind, v.items.map(toldValue), v.complete, v.most]
  : isInterval(v) ? [v.kind, toldBound(v.low), toldBound(v.high), v.unit, v.written]
  : [v.words === null ? null : [...v.words].sort(), v.written];
const toldMissing = (m) => [m.place, m.title, m.lacking];
const toldFact = (f) => [toldValue(f.value), f.sources.map((a) => a.place), f.missing.map(toldMissing)];
const toldName = (f) => `${f.rule} of ${f.subject.place}`;
const toldChecks = (f) => f.compared.map((c) => [c.check.word, c.check.fact, c.verdict, c.decidesApplying]);

function toldSurvey(data, doc, step) {
  const { survey, faults } = readSurvey(data, doc);
  if (!survey) return { faults };
  const findings = judge(data.rules, survey);
  const start = earliestStart(data.rules, survey, findings);
  const [facts, at] = [{}, factsOf(data.rules, survey)];
  const clears = (f) => toldBound(clearsAt(survey, windowOf(at(f.subject), f)));
  for (const f of findings) for (const [name, fact] of f.facts) facts[`${name} of ${f.subject.place}`] = toldFact(fact);
  return {
    verdict: verdictOf(data.rules, findings),
    findings: Object.fromEntries(findings.map((f) => [toldName(f), [f.outcome, toldChecks(f), [...f.facts.keys()]]])),
    facts,
    start: [toldBound(start.at), toldBound(start.until), start.lapses && toldName(start.lapses), start.byWaiting],
    openThen: start.openThen.map(toldName),
    clears: findings.filter((_, i) => i % step === 0).map(clears),
  };
}
"""
"""What the page tells of a survey; `told_survey` tells the same of it by Python."""


def told_bound(bound: Bound | None) -> str | None:
    """A bound as the page writes it."""
    if isinstance(bound, float):
        return "Infinity" if bound > 0 else "-Infinity"
    return None if bound is None else f"{bound.numerator}/{bound.denominator}"


def told_value(value: Measured) -> list[Any]:
    """A value, whole."""
    if isinstance(value, Series):
        return [value.kind, [told_value(item) for item in value.items], value.complete, value.most]
    if isinstance(value, Interval):
        return [value.kind, told_bound(value.low), told_bound(value.high), value.unit, value.written]
    return [None if value.possible is None else sorted(value.possible), value.written]


def told_fact(fact: Fact, words: Words) -> list[Any]:
    """A fact with the places it came from and what it lacked."""
    return [told_value(fact.value), [a.place for a in fact.sources], [told_missing(m, words) for m in fact.missing]]


def told_missing(missing: Missing, words: Words) -> list[str]:
    """One answer that is not there; the desk leaves it to the record to say "not answered" in another language."""
    lacking = words.tell(NOT_ANSWERED) if missing.lacking == NOT_ANSWERED else missing.lacking
    return [missing.place, missing.title, lacking]


def told_name(finding: Finding) -> str:
    """Which rule, and for whom."""
    return f"{finding.rule.name} of {finding.subject.place}"


def told_finding(finding: Finding) -> list[Any]:
    """One finding with each of its comparisons."""
    checks = [[c.check.word, c.check.fact, c.verdict.value, c.decides_applying] for c in finding.compared]
    return [finding.outcome.value, checks, list(finding.facts)]


def told_survey(rule_set: RuleSet, survey: Survey, step: int) -> dict[str, Any]:
    """All that the desk finds in a survey."""
    findings = judge(rule_set, survey)
    start, words = earliest_start(rule_set, survey, findings), words_in(rule_set.language)
    facts = {f"{name} of {f.subject.place}": told_fact(fact, words) for f in findings for name, fact in f.facts.items()}
    lapses = None if start.lapses is None else told_name(start.lapses)
    return {
        "verdict": verdict_of(findings).value,
        "findings": {told_name(f): told_finding(f) for f in findings},
        "facts": facts,
        "start": [told_bound(start.at), told_bound(start.until), lapses, start.by_waiting],
        "openThen": [told_name(f) for f in start.open_then],
        "clears": [told_bound(clears_at(rule_set, survey, f)) for f in findings[::step]],
    }


def differences(page: Data, desk: Data, place: str = "") -> Iterator[str]:
    """Each place where the two tell another thing."""
    if isinstance(page, dict) and isinstance(desk, dict):
        for key in page | desk:
            yield from differences(page.get(key, "nothing"), desk.get(key, "nothing"), f"{place} {key}:")
    elif page != desk:
        yield f"{place} page {page}, desk {desk}"


# -- surveys ----------------------------------------------------------------------------------------------------------


@cache
def clock_changes(zone: str) -> tuple[datetime, ...]:
    """Every hour of 2026 at which the clock of a zone changes; noon of 8 March where it never does."""
    hours = [datetime(2026, 1, 1, tzinfo=UTC) + timedelta(hours=n) for n in range(365 * 24)]
    offsets = [hour.astimezone(ZoneInfo(zone)).utcoffset() for hour in hours]
    found = [hours[i] for i in range(1, len(hours)) if offsets[i] != offsets[i - 1]]
    return tuple(found) or (datetime(2026, 3, 8, 12, tzinfo=UTC),)


def near(change: datetime, zone: ZoneInfo, chance: Random, *, day_only: bool) -> str:
    """A moment up to two days from a clock change, as a survey writes it."""
    minutes = chance.choice((0, 1, 30, 59, 60, 90, 180, 24 * 60, 25 * 60, 48 * 60)) * chance.choice((1, -1))
    at = (change + timedelta(minutes=minutes)).astimezone(zone)
    if day_only or chance.random() < 0.1:
        return f"{at:%Y-%m-%d}"
    both = {at.replace(fold=fold).utcoffset() for fold in (0, 1)}
    return f"{at:%Y-%m-%d %H:%M}" if len(both) == 1 and chance.random() < 0.7 else at.isoformat(timespec="minutes")


def with_moments(node: Data, change: datetime, zone: ZoneInfo, chance: Random) -> Data:
    """The data with half of its moments put near a clock change."""
    if isinstance(node, dict):
        return {key: with_moments(part, change, zone, chance) for key, part in node.items()}
    if isinstance(node, list):
        return [with_moments(part, change, zone, chance) for part in node]
    moment = isinstance(node, str) and re.fullmatch(r"\d{4}-\d\d-\d\d(.\d\d:\d\d.*)?", node)
    return near(change, zone, chance, day_only=not moment[1]) if moment and chance.random() < 0.5 else node


def survey_data(seed: int) -> Data:
    """A random survey of one to five walls, answered hardly or nearly whole, around a clock change of its zone."""
    chance = Random(seed)  # noqa: S311 - test data, not a secret
    data = random_survey(seed, walls=chance.choice((1, 2, 3, 5)), answered=chance.choice((0.1, 0.6, 0.85, 0.95, 0.99)))
    data["time_zone"] = chance.choice(ZONES)
    change = chance.choice(clock_changes(data["time_zone"]))
    return with_moments(data, change, ZoneInfo(data["time_zone"]), chance)


def moved(limit: AnyLimit, chance: Random) -> AnyLimit:
    """A limit one step up or down."""
    if not isinstance(limit, Limit):
        return limit
    return replace(limit, amount=limit.amount + chance.choice((1, -1)) * limit.step)


def with_limits_moved(rule_set: RuleSet, seed: int) -> RuleSet:
    """A rule set with every number in it one step up or down."""
    chance = Random(seed)  # noqa: S311 - test data, not a secret
    return replace(rule_set, limits={name: moved(limit, chance) for name, limit in rule_set.limits.items()})


def regrouped(rule_set: RuleSet, seed: int) -> RuleSet:
    """A rule set in which every rule asks for what it asks, and for all or any of two things about time beside it."""
    chance = Random(seed)  # noqa: S311 - test data, not a secret
    timed: dict[str, list[Condition]] = {"space": [], "wall": []}
    for rule in rule_set.rules.values():
        about_time = (c for c in checks(rule.require) if rule_set.facts[c.fact].expression.word == "elapsed")
        timed[rule.about] += about_time
    rules = {
        rule.name: replace(rule, require=Group(chance.choice(("all_of", "any_of")), (*two, rule.require)))
        for rule in rule_set.rules.values()
        for two in [chance.sample(timed[rule.about], 2)]
    }
    return replace(rule_set, rules=rules)


# -- the two side by side -----------------------------------------------------------------------------------------


@dataclass
class Compared:
    """What was compared: surveys, findings by outcome, facts, and each difference."""

    surveys: int
    outcomes: Counter[str]
    facts: int
    starts: int
    different: list[str]


def page_for(browser: Browser, rule_set: RuleSet) -> Page:
    """A page with the engine and the data of one rule set."""
    page = browser.new_page()
    page.goto(page_of(ENGINE).as_uri())
    page.add_script_tag(content=TOLD)
    data = {"survey": form_questions(), "rules": form_rules(rule_set)}
    page.evaluate("text => { globalThis.DATA = JSON.parse(text); }", json.dumps(data))
    return page


def compared(browser: Browser, rule_set: RuleSet, documents: list[Data]) -> Compared:
    """Every document judged by the page and by the desk."""
    page = page_for(browser, rule_set)
    called = f"texts => texts.map((text) => JSON.stringify(toldSurvey(DATA, JSON.parse(text), {STEP})))"
    texts = page.evaluate(called, [json.dumps(data) for data in documents])
    page.close()
    made = Compared(len(documents), Counter(), 0, 0, [])
    for number, (data, text) in enumerate(zip(documents, texts, strict=True)):
        desk = told_survey(rule_set, parse_survey(Document("survey.yaml", data, {}, "0" * 64)), STEP)
        made.outcomes.update(outcome for outcome, *_ in desk["findings"].values())
        made.facts += len(desk["facts"])
        made.starts += desk["start"][0] is not None
        made.different += [f"survey {number}{one}" for one in differences(json.loads(text), desk)]
    print(rule_set.name, made.surveys, "surveys,", dict(made.outcomes), made.facts, "facts,", made.starts, "starts")  # noqa: T201
    return made


def assert_one_engine(made: Compared) -> None:
    """Nothing differs, and every outcome was among what was compared."""
    assert made.different == []
    assert set(made.outcomes) == {"pass", "hold", "not verified", "does not apply"}
    assert made.starts > 0


def test_a_few_surveys_are_judged_alike(browser: Browser) -> None:
    """The quick part of the proof below."""
    for name, share in zip(SETS, (10, 20), strict=True):
        assert_one_engine(compared(browser, rule_set_called(name), [survey_data(10**6 + n) for n in range(share)]))


SHARES = [("rigid-sheet", first) for first in range(0, 1250, CHUNK)] + [("pasted-wallcovering", 0)]
"""The rule set and the first seed of each chunk: 1,250 surveys by the larger rule set, a chunk by the other."""


@pytest.mark.slow
@pytest.mark.parametrize(("name", "first"), SHARES)
def test_every_survey_is_judged_alike(browser: Browser, name: str, first: int) -> None:
    """Over a thousand surveys, and a few by the second rule set, whose measures the first has too."""
    made = compared(browser, rule_set_called(name), [survey_data(seed) for seed in range(first, first + CHUNK)])
    assert_one_engine(made)


@pytest.mark.slow
@pytest.mark.parametrize(("name", "first"), SHARES[2::3])
def test_every_survey_is_judged_alike_with_all_limits_moved(browser: Browser, name: str, first: int) -> None:
    """A third as many more; no limit stands twice, in the engine and in the rules, or one of these differed."""
    rule_set = with_limits_moved(rule_set_called(name), first)
    seeds = range(5000 + first, 5000 + first + CHUNK)
    assert_one_engine(compared(browser, rule_set, [survey_data(seed) for seed in seeds]))


@pytest.mark.parametrize("name", SETS)
def test_the_examples_are_judged_alike(browser: Browser, name: str) -> None:
    """Every example, by either rule set."""
    documents = [example_document(path.stem).data for path in EXAMPLES]
    assert len(documents) >= 5
    assert compared(browser, rule_set_called(name), documents).different == []


@pytest.mark.slow
@pytest.mark.parametrize("decision", [GUARDED, SIMPLE])
@pytest.mark.parametrize("uncalibrated", [UNKNOWN, AS_READ])
def test_readings_are_decided_alike(browser: Browser, decision: str, uncalibrated: str) -> None:
    """With and without the uncertainty and the calibration of instruments."""
    rule_set = replace(rigid_sheet(), decision=decision, uncalibrated=uncalibrated)
    assert_one_engine(compared(browser, rule_set, [survey_data(9000 + n) for n in range(10)]))


@pytest.mark.slow
@pytest.mark.parametrize("name", SETS)
def test_groups_about_time_are_judged_alike(browser: Browser, name: str) -> None:
    """Windows of which any or all count, more of them than any one rule asks for."""
    rule_set = regrouped(rule_set_called(name), 1)
    assert_one_engine(compared(browser, rule_set, [survey_data(6000 + n) for n in range(20)]))


@pytest.mark.slow
def test_in_spanish_they_are_judged_alike(browser: Browser) -> None:
    """With what is said of missing answers in the language of the rule set."""
    rule_set = load_rule_set("rigid-sheet", language="es")
    assert_one_engine(compared(browser, rule_set, [survey_data(8000 + n) for n in range(20)]))


@pytest.mark.slow
def test_an_overlay_is_judged_alike(browser: Browser) -> None:
    """What overlays changed is in the data of the form."""
    overlays = sorted((ROOT / "examples" / "overlays").glob("*.yaml"))
    rule_set = load_rule_set("rigid-sheet", overlays[:1])
    assert rule_set.overrides
    assert_one_engine(compared(browser, rule_set, [survey_data(7000 + n) for n in range(20)]))


def test_no_name_stands_for_two_things() -> None:
    """The files share one scope, where a second function of a name would silently take the place of the first."""
    names = Counter(
        name
        for path in FORM.glob("*.js")
        for line in path.read_text().splitlines()
        for names in re.findall(r"^(?:async )?(?:function|const) (\w+|\[[^\]]*\])", line)
        for name in re.findall(r"\w+", names)
    )
    assert len(names) > 150
    assert [name for name, count in names.items() if count > 1] == []
