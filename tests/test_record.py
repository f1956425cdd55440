"""The record of a small room, whole; and what it says where the survey says less or the rules decide otherwise."""

from __future__ import annotations

import base64
import hashlib
import io
import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from functools import cache
from typing import Any

import pytest
import yaml
from PIL import Image

import wallwalk.words
from marked_language import MARKED, marked_rule_set, speak_marked, unmarked
from small_room import FOLDER, small_filing, small_rules, small_survey
from wallwalk import __version__
from wallwalk.checking import check
from wallwalk.filing import canonical
from wallwalk.finding_record import moment_record
from wallwalk.moments import parse_moment
from wallwalk.record import Record, file_name
from wallwalk.rules import RuleSet
from wallwalk.survey import Survey
from wallwalk.survey_reader import parse_survey
from wallwalk.timing import AT_ONCE, NEVER
from wallwalk.yamlio import parse_yaml

TEXT = (FOLDER / "room.yaml").read_text(encoding="utf-8")


def sha256(content: bytes) -> str:
    """The digest of some bytes."""
    return hashlib.sha256(content).hexdigest()


@cache
def written() -> Any:  # noqa: ANN401 - a record as plain data
    """The record of the room as it was read through by hand, with its digests and its version."""
    record = yaml.load((FOLDER / "record.yaml").read_text(encoding="utf-8"), yaml.CSafeLoader)
    record["tool"]["version"] = __version__
    record["survey"]["sha256"] = sha256((FOLDER / "room.yaml").read_bytes())
    record["climate"]["logs"][0]["sha256"] = sha256((FOLDER / "room.csv").read_bytes())
    record["photos"][0]["sha256"] = sha256((FOLDER / "wall.png").read_bytes())
    files = [f"{name}={sha256(content)}" for name, content in sorted(small_rules().files.items())]
    record["rule_set"]["sha256"] = sha256("\n".join(files).encode())
    return record


def plain(record: Record) -> Any:  # noqa: ANN401
    """A record as it is read back from JSON."""
    return json.loads(json.dumps(record))


def test_the_record_of_a_room_is_as_it_was_read_through_by_hand() -> None:
    """Every part of it, and a small picture that can be looked at."""
    record = plain(check(small_survey(), small_rules()))
    shown = base64.b64decode(record["photos"][0].pop("shown"), validate=True)
    assert record == written()
    with Image.open(io.BytesIO(shown)) as picture:
        assert (picture.format, picture.size) == ("JPEG", (40, 30))


def without(*starts: str) -> Survey:
    """The room without its log and its photo, and without the lines that begin so."""
    head, _, rest = TEXT.partition("climate_logs_kept")
    lines = (head + rest[rest.index("walls_in_scope") :]).splitlines(keepends=True)
    kept = "".join(line for line in lines if not line.startswith(starts or ("#",)))
    return parse_survey(parse_yaml(kept.encode(), "room.yaml"))


def checked(survey: Survey, rules: RuleSet | None = None) -> Any:  # noqa: ANN401
    """The record of a survey by the small rule set, as plain data."""
    return plain(check(survey, rules or small_rules()))


def test_a_start_that_is_given_beside_the_survey_is_said_to_be() -> None:
    """When it is judged for, in the words it was given in, and by what that was."""
    survey = small_survey()
    record = plain(check(survey, small_rules(), parse_moment("2026-03-10", survey.zone)))
    assert record["evaluated_for"] == {
        "from": "2026-03-10T00:00:00-05:00",
        "to": "2026-03-11T00:00:00-05:00",
        "shown": "Tue 10 Mar 2026 00:00 to Wed 11 Mar 2026 00:00",
        "given_by": "command line",
        "written": "2026-03-10",
    }


def test_what_the_survey_does_not_say_is_empty_and_never_made_up() -> None:
    """No start, no walk, no heading, no log, no photo: no clock, no mark, and no earliest start without one."""
    record = checked(without("#", "planned_start:", "walk:", "project:", "space:"))
    assert {key: said for key, said in record["heading"].items() if said} == {"time_zone": "America/Chicago"}
    lacking = {key: record[key] for key in ("evaluated_for", "walk", "climate", "clocks", "photos")}
    assert lacking == {"evaluated_for": None, "walk": None, "climate": None, "clocks": [], "photos": []}
    assert record["verdict"] == "hold"


def test_only_the_name_of_a_file_is_kept() -> None:
    """Not the folder it lay in; a byte that is no UTF-8 by its number."""
    assert file_name("/home/ada/Baño.yaml") == "Baño.yaml"
    assert file_name("rooms/a\udcff.yaml") == "a\\udcff.yaml"


def test_a_simple_decision_tells_what_lies_nearer_its_limit_than_its_uncertainty() -> None:
    """11.8 ± 0.5 is decided as 11.8, and said to be; a guarded decision tells nothing beside."""
    record = checked(small_survey(), replace(small_rules(), decision="simple"))
    by_name = {(f["rule"], f["subject"]): f for f in record["findings"]}
    north = by_name["wall-dry-enough", "North"]
    assert (record["rule_set"]["decision"], north["outcome"]) == ("simple", "pass")
    (compared,) = north["compared"]
    assert (compared["measured"], compared["margin"], compared["verdict"]) == ("11.8 %MC (base)", "+0.2 %MC", "pass")
    guarded = next(f for f in written()["findings"] if (f["rule"], f["subject"]) == ("wall-dry-enough", "North"))
    assert north["near_limit"] == guarded["compared"]
    assert {name for name, f in by_name.items() if f["near_limit"]} == {("wall-dry-enough", "North")}


EIGHT = int(datetime(2026, 3, 9, 13, tzinfo=UTC).timestamp())
"""08:00 in Chicago."""


@pytest.mark.parametrize(
    ("seconds", "first", "last"),
    [
        (EIGHT, "08:00:00", "08:00:00"),
        (EIGHT + Fraction(1, 2), "08:00:01", "08:00:00"),
        (EIGHT + Fraction(119, 2), "08:01:00", "08:00:59"),
        (EIGHT + 60, "08:01:00", "08:01:00"),
    ],
)
def test_a_moment_is_never_shown_before_a_first_one_nor_after_a_last(
    seconds: Fraction | int, first: str, last: str
) -> None:
    """Part seconds go up, or down where the moment is a last one; for people and for machines alike."""
    zone = small_survey().zone
    for found, at in ((moment_record(seconds, zone), first), (moment_record(seconds, zone, down=True), last)):
        assert found == {"at": f"2026-03-09T{at}-05:00", "shown": f"Mon 9 Mar 2026 {at.removesuffix(':00')}"}


def test_no_moment_and_one_without_an_end_are_none() -> None:
    """Nothing known, at once, never; where no zone is known a moment is told in UTC."""
    assert [moment_record(at, small_survey().zone) for at in (None, AT_ONCE, NEVER)] == [None] * 3
    assert moment_record(EIGHT, None) == {"at": "2026-03-09T13:00:00+00:00", "shown": "Mon 9 Mar 2026 13:00 UTC"}


def texts(part: Any, key: str = "") -> Iterator[tuple[str, str]]:  # noqa: ANN401
    """Every text of a record, with the name it stands under."""
    if isinstance(part, dict):
        for name, inner in part.items():
            yield from texts(inner, name)
    elif isinstance(part, list):
        for inner in part:
            yield from texts(inner, key)
    elif isinstance(part, str):
        yield key, part


TOLD = {
    "title", "made_for", "basis", "shown", "walked_at", "walked_as", "what", "why", "put_right", "says", "measured",
    "required", "margin", "fact_title", "lacking", "needs", "began_shown", "through_shown",
}  # fmt: skip
"""Under these a record says something in its own words, or in those of its rule set."""
OWN = {"North", "South", "by the door", "far corner", "base"}


def test_a_record_says_everything_in_the_language_of_its_rule_set() -> None:
    """Each fixed word and each text of the rules is translated; what the survey writes stays as it is."""
    with pytest.MonkeyPatch.context() as patch:
        speak_marked(patch)
        record = plain(check(small_survey(), marked_rule_set(small_rules())))
    wallwalk.words.words_in.cache_clear()
    record["photos"][0].pop("shown")
    assert record["language"] == MARKED
    found = [(key, text) for key, text in texts(record) if key in TOLD]
    assert len(found) > 150
    assert [(key, text, left) for key, text in found if (left := unmarked(text, OWN))] == []


def test_a_record_can_be_filed() -> None:
    """All of it is plain data that has one way to be written."""
    record = check(small_survey(), small_rules())
    assert json.loads(canonical(record)) == plain(record) == plain(small_filing().record)
