"""The schema of a filed record is strict: no place of one can be left out, added to or of another type unseen."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator, FormatChecker

from filings import FOLDER, TIGHT, filed
from scenario_reader import read_scenario, scenario_names
from signed_filings import DISPENSARY, signed
from surveys import rules_of
from test_verify import random_filing
from wallwalk.checking import check
from wallwalk.comparisons import COMPARISONS
from wallwalk.filed_json import write_filed_json
from wallwalk.filing import ROLES, Filing, canonical
from wallwalk.languages import LANGUAGES
from wallwalk.signing import DECISIONS
from wallwalk.units import KINDS
from wallwalk.verifying import record_schema

LOOSE = FOLDER / "overlays" / "quillen-ferry-specification.yaml"
Place = tuple[str | int, ...]


def of_schema(part: str = "") -> Draft202012Validator:
    """A validator of the whole schema or of one of its parts, which looks at formats too."""
    schema = dict(record_schema())
    chosen = {"$ref": f"#/$defs/{part}", "$defs": schema["$defs"]} if part else schema
    return Draft202012Validator(chosen, format_checker=FormatChecker())


def faults_of(whole: Any, part: str = "") -> list[str]:  # noqa: ANN401 - a JSON value
    """What the schema finds."""
    return [f"{list(e.absolute_path)}: {e.message}"[:300] for e in of_schema(part).iter_errors(whole)]


def plain(filing: Filing) -> Any:  # noqa: ANN401
    """A filing as its file says it."""
    return json.loads(write_filed_json(filing))


# It lets in what is filed


@pytest.mark.slow
def test_every_scenario_is_of_that_shape() -> None:
    """The record of each room as it is met on site."""
    assert len(scenario_names()) >= 25
    for name in scenario_names():
        scenario = read_scenario(name)
        record = json.loads(canonical(check(scenario.survey(), rules_of(scenario.data))))
        assert (name, faults_of(record, "record")) == (name, [])


@pytest.mark.slow
def test_random_records_are_of_that_shape(tmp_path: Path) -> None:
    """Twenty of the random rooms, signed by nobody to three people, by either rule set."""
    for seed in range(20):
        assert (seed, faults_of(plain(random_filing(seed, tmp_path)))) == (seed, [])


# It lets in nothing else


@cache
def specimen() -> Any:  # noqa: ANN401
    """A filed record in which every place that a record may have is there, each kind of it once."""
    whole = plain(signed())
    photo, overlaid = plain(filed(DISPENSARY))["record"], plain(filed("031-staff-kitchen", LOOSE, TIGHT))["record"]
    record = whole["record"]
    logged = plain(filed("110-link-corridor"))["record"]
    record["photos"], record["climate"] = photo["photos"], logged["climate"]
    record["climate"]["pictures"] = record["climate"]["pictures"][:1]
    record["climate"]["pictures"][0]["points"] = record["climate"]["pictures"][0]["points"][:2]
    record["rule_set"]["overlays"] = overlaid["rule_set"]["overlays"][:1]
    record["rule_set"]["overrides"] = overlaid["rule_set"]["overrides"][:1]
    record["subjects"] = [*record["subjects"][:1], *(s for s in overlaid["subjects"] if s["declared"] is not None)][:2]
    record["materials"] = [m for m in photo["materials"] if m["lots"]][:1]
    record["limits"] = [lim for lim in overlaid["limits"] if lim["history"]][:1] + [
        lim for lim in photo["limits"] if lim["words"]
    ][:1]
    record["findings"] = fewest([*photo["findings"], *logged["findings"]])
    record["findings"][0]["near_limit"] = [next(c for f in photo["findings"] for c in f["compared"])]
    for key in ("at", "until", "lapses"):
        record["earliest_start"][key] = logged["earliest_start"][key]
    record["earliest_start"]["open_then"] = photo["earliest_start"]["open_then"][:1]
    record["clocks"] = [c for c in photo["clocks"] if c["began"] is not None][:1]
    whole["inputs"] = [next(i for i in whole["inputs"] if i["role"] == role) for role in ("survey", "rule set")]
    for one in whole["inputs"]:
        one["content"] = "eJwDAAAAAAE="
    whole["entries"] = whole["entries"][:1]
    return whole


def fewest(findings: list[Any]) -> list[Any]:
    """So few of them that each place in them is there."""
    chosen, seen = [], set[str]()
    for finding in findings:
        places = {kind_of(place, finding) for place in places_in(finding)}
        if not places <= seen:
            chosen.append(finding)
            seen |= places
    return chosen


def places_in(part: Any, path: Place = ()) -> Iterator[Place]:  # noqa: ANN401
    """Every place in a JSON value, itself among them."""
    yield path
    items = part.items() if isinstance(part, dict) else enumerate(part) if isinstance(part, list) else ()
    for key, inner in items:
        yield from places_in(inner, (*path, key))


def at(whole: Any, path: Place) -> Any:  # noqa: ANN401
    """What stands at a place."""
    for key in path:
        whole = whole[key]
    return whole


def kind_of(path: Place, whole: Any) -> str:  # noqa: ANN401
    """A place with lists taken as one, and what stands there."""
    shown = ".".join("*" if isinstance(key, int) else key for key in path)
    return f"{shown}: {type(at(whole, path)).__name__}"


def kinds_of_place(whole: Any) -> dict[str, Place]:  # noqa: ANN401
    """One place of each kind."""
    return {kind_of(path, whole): path for path in reversed(list(places_in(whole)))}


_OTHERS: tuple[Any, ...] = (None, True, -3, "\u00a7", [["x"]], {"x": "y"})
_NAMED_ELSEWHERE = ("rule_set.parties", "rule_set.releases", "rule_set.themes", "climate.logs.*.columns")
"""Groups whose names are given by a rule set or a log."""

ALLOWED = {
    # What is not known, or not there, is null.
    *(f"record.{place}: dict is null" for place in ("walk", "evaluated_for", "climate", "climate.pictures.*.band")),
    *(f"record.earliest_start.{key}: dict is null" for key in ("at", "until", "lapses")),
    *(f"record.findings.*.{key}: dict is null" for key in ("clears_at", "not_before")),
    *(f"record.climate.logs.*.{key}: dict is null" for key in ("first", "last")),
    *(f"record.clocks.*.{key}: list is null" for key in ("began", "through")),
    *("record.photos.*.taken: dict is null", "record.subjects.*.declared: int is null", "entries.*.hold: dict is null"),
    *(
        f"record.findings.*.{compared}.*.value.{one}is null"
        for compared in ("compared", "near_limit")
        for one in ("low: str ", "high: str ")
    ),
    "record.findings.*.compared.*.value.possible: list is null",
    *(
        f"record.findings.*.compared.*.value.items.*.{one} is null"
        for one in ("low: str", "high: str", "possible: list")
    ),
    # A number of a picture is any number.
    "record.climate.pictures.*.points.*.*: float is -3",
}
"""What may be otherwise by its shape; that it is not what was checked is found by checking once more."""


def spoiled(whole: Any, path: Place) -> Iterator[tuple[str, Any]]:  # noqa: ANN401
    """`whole` with one place taken out, added to, or of each other type; what was done is named."""
    here, shown = at(whole, path), kind_of(path, whole)
    name = shown.partition(": ")[0]
    if path and isinstance(path[-1], str) and not name.rpartition(".")[0].endswith(_NAMED_ELSEWHERE):
        other = copy.deepcopy(whole)
        del at(other, path[:-1])[path[-1]]
        yield f"{shown} taken out", other
    if isinstance(here, dict) and not name.endswith(_NAMED_ELSEWHERE):
        other = copy.deepcopy(whole)
        at(other, path)["more"] = "x"
        yield f"{shown} added to", other
    for value in _OTHERS if path else ():
        if type(value) is not type(here):
            other = copy.deepcopy(whole)
            at(other, path[:-1])[path[-1]] = value
            yield f"{shown} is {json.dumps(value)}", other


@pytest.mark.slow
def test_whatever_place_is_spoiled_is_of_another_shape() -> None:
    """Each of over 1,800 spoilings is refused, but for those that mean something; the specimen itself is not."""
    whole, validator = specimen(), of_schema()
    assert faults_of(whole) == []
    tried = [one for path in kinds_of_place(whole).values() for one in spoiled(whole, path)]
    assert len(tried) > 1800
    assert {what for what, other in tried if validator.is_valid(other)} == ALLOWED


def test_texts_of_another_form_are_of_another_shape() -> None:
    """A digest, a moment, a day, a name, an exact value and what may not be empty."""
    wrong: dict[str, list[Any]] = {
        "sha256": ["", "0" * 63, "G" * 64, "A" * 64],
        "moment": ["2026-03-10 08:00:00-05:00", "2026-13-01T00:00:00+00:00", "2026-03-10T24:00:00+00:00",
                   "2026-03-10T08:00:00Z", "2026-03-10T08:00:00"],
        "day": ["2026-3-1", "2026-02-32", "March"],
        "said": [""],
        "rule_name": ["No-dust", "no_dust", "no--dust", ""],
        "name": ["a-b", "1a", ""],
        "bound": ["1.5", "1/0", "inf", ""],
        "base64": ["", "abc", "ab=c", "ab\u00e9d"],
        "kind": ["colour"],
        "value": [{"kind": "length", "low": "1"}, {"kind": "words", "low": "1", "high": "2"}, {"kind": "list of text"}],
    }  # fmt: skip
    assert {(part, str(one)) for part, ones in wrong.items() for one in ones if not faults_of(one, part)} == set()


def test_a_filing_has_one_survey_and_the_rules_it_was_checked_by() -> None:
    """None, two, or no rules is another shape."""
    whole = specimen()
    survey, rules = whole["inputs"]
    shapes = {name: faults_of(whole | {"inputs": inputs}) == [] for name, inputs in {
        "both": [survey, rules], "no survey": [rules], "two surveys": [survey, survey, rules], "no rules": [survey],
    }.items()}  # fmt: skip
    assert shapes == {"both": True, "no survey": False, "two surveys": False, "no rules": False}


def test_the_words_of_the_schema_are_those_of_the_program() -> None:
    """Every closed list in it is one that the program has, so that a word more there is a word more here."""
    defs = record_schema()["$defs"]
    record, compared = defs["record"]["properties"], defs["compared"]["properties"]
    assert defs["kind"]["enum"] == [*KINDS, "moment"]
    assert compared["comparison"]["enum"] == list(COMPARISONS)
    assert record["language"]["enum"] == list(LANGUAGES)
    assert defs["input"]["properties"]["role"]["enum"] == list(ROLES)
    assert defs["entry"]["properties"]["decision"]["enum"] == list(DECISIONS)


@pytest.mark.slow
def test_a_record_says_all_that_is_asked_of_one() -> None:
    """Each rule once for each subject it is about, with what was measured, the limit, its basis and history, and what
    to do by whom; each file it was made from by its digest."""
    filing = filed("031-staff-kitchen", LOOSE, TIGHT)
    record: Any = filing.record
    subjects = [(s["about"], s["name"]) for s in record["subjects"]]
    about = {f["rule"]: f["about"] for f in record["findings"]}
    wanted = {(rule, name) for rule, kind in about.items() for of, name in subjects if of == kind}
    found = [(f["rule"], f["subject"]) for f in record["findings"]]
    assert (len(found), set(found)) == (len(wanted), wanted)
    limits = {limit["name"]: limit for limit in record["limits"]}
    assert {name for f in record["findings"] for c in f["compared"] for name in c["limits"]} <= limits.keys()
    assert all(limit["basis"] and limit["written"] for limit in limits.values())
    changed = {o["name"] for o in record["rule_set"]["overrides"] if o["what"] == "limit"}
    assert {name for name, limit in limits.items() if limit["history"]} == changed & limits.keys() != set()
    held = [f for f in record["findings"] if f["outcome"] == "hold"]
    assert all(f["says"] and f["put_right"] and f["by"] in record["rule_set"]["parties"] for f in held)
    digests = json.dumps(record["survey"]) + json.dumps(record["climate"]) + json.dumps(record["rule_set"]["overlays"])
    assert [i.file for i in filing.inputs if i.role != "rule set" and i.sha256 not in digests] == []
