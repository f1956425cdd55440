"""Overlays: what the examples lay over a rule set, what comes of it for a room, and how every report shows it."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import subprocess
from collections.abc import Iterable
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from overlays_laid import (
    ALL,
    CORRIDOR,
    FOLDER,
    NESSUVAL,
    ORRELANE,
    QUILLEN,
    TREATMENT_ROOM,
    by,
    changing,
    laid,
    moved,
    outcomes,
    written,
)
from surveys import ROOT, example, example_document, rigid_sheet, survey_of
from test_bad import wallwalk
from wallwalk.checking import check
from wallwalk.filing import Filing
from wallwalk.limits import Limit
from wallwalk.moments import parse_moment
from wallwalk.proving import proof_faults
from wallwalk.record import Record
from wallwalk.report.html import render_html
from wallwalk.report.pdf import render_pdf
from wallwalk.report.terminal import render_terminal
from wallwalk.rules import Check, OverlayUsed, Override, RuleSet
from wallwalk.units import in_unit

# -- the example overlays -------------------------------------------------------------------------------------------

LABEL, LEAFLET, CLINIC = (
    "Nessuval sheet and adhesive, instruction sheet of February 2026",
    "Orrelane wall sheet system, installation leaflet of January 2026",
    "Quillen Ferry Clinic, project specification, section on wall sheet",
)
DWELL_36 = Override(
    "limit",
    "primer_dwell_min",
    "Least time the primer dries",
    "24 h",
    "36 h",
    "tighter",
    "The label asks for a day and a half under a vapour-tight sheet.",
    "published: Nessuval instruction sheet, February 2026, section 3",
    LABEL,
)
SHEETS_48 = Override(
    "limit",
    "sheet_acclimation_min",
    "Least time the sheets are in the room",
    "24 h",
    "48 h",
    "tighter",
    "Their sheet is thicker than most, and takes two days to come to the room's temperature.",
    "published: Nessuval instruction sheet, February 2026, section 2",
    LABEL,
)
DWELL_12 = Override(
    "limit",
    "primer_dwell_min",
    "Least time the primer dries",
    "24 h",
    "12 h",
    "looser",
    "Their primer is quick, and their leaflet allows the sheet after half a day at room temperature.",
    "published: Orrelane installation leaflet, January 2026, page 4",
    LEAFLET,
)
DAMP_65 = Override(
    "limit",
    "air_humidity_max",
    "Highest usual humidity of the air",
    "60 %RH",
    "65 %RH",
    "either",  # a fact of the log is made with it
    "Their adhesive was tried up to that humidity.",
    "published: Orrelane installation leaflet, January 2026, page 2",
    LEAFLET,
)
HUMIDITY_DROPPED = Override(
    "rule dropped",
    "humidity-usual",
    "Humidity is as usual at every reading",
    "asked",
    "not asked",
    "looser",
    "The clinic holds its own band of humidity, and its officer reads it daily.",
    "published: Quillen Ferry Clinic project specification, clause 4.5",
    CLINIC,
)
THREE_PLACES = Override(
    "rule added",
    "air-read-in-three-places",
    "Air was read in as many places as the specification asks",
    "not asked",
    "asked",
    "tighter",
    "The infection control officer asks for three readings in every room.",
    "published: Quillen Ferry Clinic project specification, clause 4.2",
    CLINIC,
)
STACKS: dict[tuple[Path, ...], tuple[Override, ...]] = {
    (NESSUVAL,): (DWELL_36, SHEETS_48),
    (ORRELANE,): (DWELL_12, DAMP_65),
    (QUILLEN,): (HUMIDITY_DROPPED, THREE_PLACES),
    (NESSUVAL, QUILLEN): (HUMIDITY_DROPPED, DWELL_36, SHEETS_48, THREE_PLACES),
    (QUILLEN, NESSUVAL): (HUMIDITY_DROPPED, THREE_PLACES, DWELL_36, SHEETS_48),
    (ORRELANE, QUILLEN): (DWELL_12, HUMIDITY_DROPPED, DAMP_65, THREE_PLACES),
}
USED = {
    NESSUVAL: (LABEL, "nessuval-2026.yaml", "2026-02-16"),
    ORRELANE: (LEAFLET, "orrelane-2026.yaml", "2026-01-12"),
    QUILLEN: (CLINIC, "quillen-ferry-specification.yaml", "2026-02-20"),
}
STACK_NAMES = ["+".join(path.stem.split("-")[0] for path in stack) for stack in STACKS]


def used(stack: Iterable[Path]) -> list[OverlayUsed]:
    """The overlays of a stack as a rule set names them, digests and all."""
    return [OverlayUsed(*USED[path], hashlib.sha256(path.read_bytes()).hexdigest()) for path in stack]


def test_there_are_three_example_overlays() -> None:
    """Each file in the folder of example overlays is tried here."""
    assert sorted(FOLDER.glob("*")) == sorted(ALL)


@pytest.mark.parametrize("stack", STACKS, ids=STACK_NAMES)
def test_overrides_of_the_examples_are_those_written_by_hand(stack: tuple[Path, ...]) -> None:
    """Every change with both values, its way, reason, basis and overlay; what is looser comes first."""
    rule_set = laid(rigid_sheet(), *stack)
    assert rule_set.overrides == STACKS[stack]
    assert list(rule_set.overlays) == used(stack)


@pytest.mark.parametrize("stack", STACKS, ids=STACK_NAMES)
def test_examples_change_what_they_name_and_nothing_else(stack: tuple[Path, ...]) -> None:
    """Limits, facts and rules that no overlay names are those of the base; the rule set is still that rule set."""
    base, rule_set = rigid_sheet(), laid(rigid_sheet(), *stack)
    changed = {o.name for o in STACKS[stack]} | {"air_reading_places_min", "air_readings_written_down"}
    flipped = {"primer-has-dwelled", "sheets-acclimated", "sheets-acclimated-by-the-log", "humidity-usual"}
    assert {n: v for n, v in rule_set.limits.items() if n not in changed} == {
        n: v for n, v in base.limits.items() if n not in changed
    }
    assert {n: f.expression for n, f in rule_set.facts.items() if n not in changed} == {
        n: f.expression for n, f in base.facts.items()
    }
    other = {n for n, f in base.facts.items() if f != rule_set.facts[n]}
    assert other == ({"humidity_excursion"} if ORRELANE in stack else set())  # one of its examples flips
    assert {n: r for n, r in rule_set.rules.items() if n not in changed | flipped} == {
        n: r for n, r in base.rules.items() if n not in changed | flipped
    }
    assert {n: p for n, p in rule_set.places.items() if n not in changed} == {
        n: p for n, p in base.places.items() if n not in changed
    }
    kept = {"bare", "limits", "facts", "rules", "overlays", "overrides", "themes", "places"}
    same = [name for name in RuleSet.__dataclass_fields__ if name not in kept]
    assert [getattr(rule_set, name) for name in same] == [getattr(base, name) for name in same]


def test_a_changed_limit_keeps_what_it_was_and_why() -> None:
    """The number, its step, its basis, and the base's value with the reason for leaving it."""
    limit = laid(rigid_sheet(), NESSUVAL).limits["primer_dwell_min"]
    assert isinstance(limit, Limit)
    assert limit == Limit(
        name="primer_dwell_min",
        kind="duration",
        amount=limit.amount,
        step=limit.step,
        unit="h",
        written="36 h",
        basis="published: Nessuval instruction sheet, February 2026, section 3",
        step_written="0.1 h",
        history=(
            f"24 h (common practice), until {LABEL}: The label asks for a day and a half under a vapour-tight sheet.",
        ),
        title="Least time the primer dries",
    )
    assert [in_unit(a, "duration", "h") for a in (limit.amount, limit.step)] == [36, Fraction(1, 10)]


def test_what_an_overlay_adds_is_read_as_a_rule_set_is() -> None:
    """The specification's own limit, fact and rule stand in the rule set; the rule it drops does not."""
    base, rule_set = rigid_sheet(), laid(rigid_sheet(), QUILLEN)
    assert rule_set.limits.keys() - base.limits.keys() == {"air_reading_places_min"}
    limit = rule_set.limits["air_reading_places_min"]
    assert isinstance(limit, Limit)
    assert (limit.kind, limit.amount, limit.step, limit.history) == ("number", Fraction(3), Fraction(1), ())
    assert limit.title == "Fewest places where the air is read"
    assert rule_set.facts.keys() - base.facts.keys() == {"air_readings_written_down"}
    assert rule_set.facts["air_readings_written_down"].title == "Air readings written down"
    assert rule_set.rules.keys() - base.rules.keys() == {"air-read-in-three-places"}
    assert base.rules.keys() - rule_set.rules.keys() == {"humidity-usual"}
    rule = rule_set.rules["air-read-in-three-places"]
    assert (rule.require, rule.theme, rule_set.themes[rule.theme]) == (
        Check("at_least", "air_readings_written_down", limits=("air_reading_places_min",)),
        CLINIC,
        CLINIC,
    )
    assert list(rule_set.themes) == [*base.themes, CLINIC]


@pytest.mark.parametrize("stack", STACKS, ids=STACK_NAMES)
def test_the_record_says_what_was_laid_over_and_what_it_changed(stack: tuple[Path, ...]) -> None:
    """`rule_set.overlays` and `rule_set.overrides` hold both, and the digest of the rule set is still its own."""
    rule_set = laid(rigid_sheet(), *stack)
    record = check(by(rule_set, example(CORRIDOR)), rule_set)["rule_set"]
    assert record["sha256"] == rigid_sheet().sha256
    assert record["overlays"] == [
        {"title": o.title, "file": o.file, "revision": o.revision, "sha256": o.sha256} for o in used(stack)
    ]
    assert record["overrides"] == [
        {field: getattr(o, field) for field in Override.__dataclass_fields__} for o in STACKS[stack]
    ]


@pytest.mark.slow
@pytest.mark.parametrize("stack", STACKS, ids=STACK_NAMES)
def test_a_rule_set_with_overlays_over_it_still_proves_its_examples(stack: tuple[Path, ...]) -> None:
    """With the flips written in, no example of a rule or a fact comes to another outcome than it expects."""
    assert [fault for fault in proof_faults(laid(rigid_sheet(), *stack)) if "which expects" in fault.found] == []


# -- what the examples come to --------------------------------------------------------------------------------------


def test_a_looser_primer_turns_holds_of_the_corridor_into_passes() -> None:
    """South has 23 h of dwell and West end 21 h 15 min: too short for 24 h, long enough for 12 h. Nothing else moves.

    The air of one place is too dry, not too damp, so the other humidity changes nothing.
    """
    rule_set, survey = laid(rigid_sheet(), ORRELANE), example(CORRIDOR)
    assert moved(outcomes(rigid_sheet(), survey), outcomes(rule_set, survey)) == {
        ("primer-has-dwelled", "South"): "hold to pass",
        ("primer-has-dwelled", "West end"): "hold to pass",
    }


def test_a_tighter_label_turns_passes_of_the_treatment_room_into_holds() -> None:
    """For a start early on Sunday: primer of 31 h 45 min to 34 h, sheets of 38 h 40 min, and a log of 38 h 30 min.

    All of it is over 24 h, the primer is under 36 h and the sheets under 48 h. What the air was before the log began
    on Friday at 09:40 nobody knows, so of 48 h in the band the log says neither yes nor no.
    """
    survey = example(TREATMENT_ROOM)
    start = parse_moment("2026-03-08 00:10", survey.zone)
    rule_set, survey = laid(rigid_sheet(), NESSUVAL), survey.starting(start)
    assert moved(outcomes(rigid_sheet(), survey), outcomes(rule_set, survey)) == {
        ("primer-has-dwelled", "North"): "pass to hold",
        ("primer-has-dwelled", "East"): "pass to hold",
        ("patch-primer-has-dwelled", "South"): "pass to hold",
        ("sheets-acclimated", "space"): "pass to hold",
        ("sheets-acclimated-by-the-log", "space"): "pass to not verified",
    }


def test_a_specification_adds_its_own_finding_and_takes_one_away() -> None:
    """The corridor's air was read in three places; its dry air is a caution that the specification does not ask for."""
    rule_set, survey = laid(rigid_sheet(), QUILLEN), example(CORRIDOR)
    assert moved(outcomes(rigid_sheet(), survey), outcomes(rule_set, survey)) == {
        ("humidity-usual", "space"): "hold to nothing",
        ("air-read-in-three-places", "space"): "nothing to pass",
    }


def test_a_rule_that_an_overlay_adds_can_hold_the_work() -> None:
    """With two air readings where the specification asks for three, the treatment room holds by that rule."""
    data: Any = example_document(TREATMENT_ROOM).data
    survey = survey_of({**data, "air": data["air"][:2], "air_taken": "2"})
    assert outcomes(laid(rigid_sheet(), QUILLEN), survey)["air-read-in-three-places", "space"] == "hold"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("start", "to", "way", "verdicts"),
    [
        # The adhesive came on Monday at 07:15: 24 h 45 min before a start at 08:00, 23 h 45 min before one at 07:00.
        ("2026-03-10 08:00", "25 h", "tighter", ("pass", "hold")),
        ("2026-03-10 07:00", "23 h", "looser", ("hold", "pass")),
        ("2026-03-10 07:00", "23.75 h", "looser", ("hold", "pass")),
        ("2026-03-10 07:00", "23.76 h", "looser", ("hold", "hold")),
        ("2026-03-10 08:00", "1440 min", "same", ("pass", "pass")),
    ],
)
def test_one_limit_turns_the_whole_room_and_the_report_says_so(
    start: str, to: str, way: str, verdicts: tuple[str, str]
) -> None:
    """The verdict goes as the limit does, and the summary names the change with both values before anything else."""
    name = "adhesive_acclimation_min"
    rule_set = laid(rigid_sheet(), changing(rigid_sheet(), name, to))
    survey = by(rule_set, example(TREATMENT_ROOM))
    moment = parse_moment(start, survey.zone)
    before, after = (check(survey, rules, moment) for rules in (rigid_sheet(), rule_set))
    assert (before["verdict"], after["verdict"]) == verdicts
    said = {"same": "SAME VALUE"}.get(way, way.upper())
    lines = render_terminal(after).splitlines()
    (head,) = [i for i, line in enumerate(lines) if line.startswith("CHANGED BY OVERLAYS")]
    assert lines[0].startswith(f"{verdicts[1].upper()} | 204 Treatment room")
    assert lines[head + 2] == f"{said}: Least time the adhesive is in the room: 24 h, now {to}"
    assert not any(line.startswith(("HOLDS THE WORK", "NOT VERIFIED", "CAUTIONS")) for line in lines[:head])
    assert [(o["way"], o["was"], o["now"]) for o in after["rule_set"]["overrides"]] == [(way, "24 h", to)]


def in_order(text: str, *parts: str) -> bool:
    """Whether the parts stand in the text one after another; line breaks do not matter."""
    joined = "".join(text.split())
    at = 0
    for part in ("".join(p.split()) for p in parts):
        at = joined.find(part, at)
        if at < 0:
            return False
        at += len(part)
    return True


@cache
def corridor_record() -> Record:
    """The corridor under the leaflet and the specification: looser limits, a dropped rule, an added one."""
    rule_set = laid(rigid_sheet(), ORRELANE, QUILLEN)
    return check(by(rule_set, example(CORRIDOR)), rule_set)


def test_the_summary_shows_every_change_ahead_of_the_holds() -> None:
    """Looser first, each with both values, its overlay, reason and basis; after the verdict, before any hold."""
    text = render_terminal(corridor_record())
    assert text.startswith("HOLD | 110 Link corridor")
    assert text[text.index("CHANGED BY") : text.index("\n\nHOLDS THE WORK")] == (
        """\
CHANGED BY OVERLAYS - what was relaxed comes first
--------------------------------------------------
LOOSER: Least time the primer dries: 24 h, now 12 h
    Orrelane wall sheet system, installation leaflet of January 2026: Their
    primer is quick, and their leaflet allows the sheet after half a day at room
    temperature. (published: Orrelane installation leaflet, January 2026, page
    4)
LOOSER: Rule dropped: Humidity is as usual at every reading: asked, now not
    asked
    Quillen Ferry Clinic, project specification, section on wall sheet: The
    clinic holds its own band of humidity, and its officer reads it daily.
    (published: Quillen Ferry Clinic project specification, clause 4.5)
MAY BE LOOSER: Highest usual humidity of the air: 60 %RH, now 65 %RH
    Orrelane wall sheet system, installation leaflet of January 2026: Their
    adhesive was tried up to that humidity. (published: Orrelane installation
    leaflet, January 2026, page 2)
TIGHTER: Rule added: Air was read in as many places as the specification asks:
    not asked, now asked
    Quillen Ferry Clinic, project specification, section on wall sheet: The
    infection control officer asks for three readings in every room. (published:
    Quillen Ferry Clinic project specification, clause 4.2)"""
    )


SHOWN_ON_PAPER = (
    "Changed by overlays",
    "looser Least time the primer dries 24 h 12 h Their primer is quick, and their leaflet allows the sheet after",
    "looser Rule dropped: Humidity is as usual at every reading asked not asked The clinic holds its own band",
    "may be looser Highest usual humidity of the air 60 %RH 65 %RH Their adhesive was tried up to that humidity.",
    "tighter Rule added: Air was read in as many places as the specification asks not asked asked The infection",
    "Put right before the work starts",
)


def test_the_page_shows_every_change_ahead_of_the_holds() -> None:
    """The same in HTML, and the list of limits says what each was before, and until when."""
    text = re.sub(
        r"<[^>]*>", " ", re.sub(r"<(style|script|svg)\b.*?</\1>", " ", render_html(corridor_record()), flags=re.S)
    )
    text = text.replace("&#39;", "'")
    assert in_order(text.lower(), *(part.lower() for part in SHOWN_ON_PAPER))
    assert in_order(text, "Changed:", f"24 h (common practice), until {LEAFLET}: Their primer is quick")


@cache
def corridor_printed() -> str:
    """The text of the corridor's PDF, as a reader of it finds it."""
    document = render_pdf(Filing(corridor_record(), ()))
    done = subprocess.run(["pdftotext", "-raw", "-", "-"], input=document, capture_output=True, check=True)
    return done.stdout.decode()


@pytest.mark.slow
def test_the_printed_report_shows_every_change_ahead_of_the_holds() -> None:
    """The same in the text of the PDF; what is looser stands there in capitals."""
    assert in_order(corridor_printed().lower(), *(part.lower() for part in SHOWN_ON_PAPER))
    assert in_order(corridor_printed(), "Changed by overlays", "LOOSER", "LOOSER", "may be looser", "tighter")


@pytest.mark.slow
@pytest.mark.parametrize("whole", ["Change What", "LOOSER", "Here", "not asked asked"])
def test_no_word_of_the_printed_changes_is_broken(whole: str) -> None:
    """No heading and no value is cut in two at the edge of its column."""
    table = corridor_printed().split("Changed by overlays")[1].split("Put right before")[0]
    assert whole in " ".join(table.split())


def test_a_report_without_overlays_says_nothing_of_them() -> None:
    """No heading and no table where nothing was laid over the rule set."""
    record = check(example(CORRIDOR), rigid_sheet())
    assert record["rule_set"]["overlays"] == record["rule_set"]["overrides"] == []
    assert "overlay" not in render_terminal(record).lower()
    assert "Changed by overlays" not in render_html(record)


# -- the command line, and overlays that a survey names -------------------------------------------------------------


def project(folder: Path, named: Any = None, survey: str = CORRIDOR) -> Path:  # noqa: ANN401
    """A folder with one example survey, its log and every example overlay; the survey names overlays if given."""
    for path in (*ALL, ROOT / "examples" / f"{survey}.csv"):
        shutil.copy(path, folder)
    text = (ROOT / "examples" / f"{survey}.yaml").read_text(encoding="utf-8")
    more = "" if named is None else f"overlays: {json.dumps(named)}\n"
    (folder / "room.yaml").write_text(text + more, encoding="utf-8")
    return folder


def overlays_in(record: Path) -> list[str]:
    """The files of the overlays that a written record names."""
    return [o["file"] for o in json.loads(record.read_text(encoding="utf-8"))["record"]["rule_set"]["overlays"]]


@pytest.mark.slow
def test_check_takes_overlays_on_the_command_line(tmp_path: Path) -> None:
    """Each is laid over the rule set in the order given; the summary and the record name both."""
    given_ = ("--overlay", ORRELANE.name, "--overlay", QUILLEN.name)
    done = wallwalk("check", "room.yaml", *given_, "-o", "room.json", folder=project(tmp_path))
    assert (done.returncode, done.stderr) == (1, "")
    assert done.stdout.count("LOOSER: ") == 3  # one of them: may be looser
    assert overlays_in(tmp_path / "room.json") == [ORRELANE.name, QUILLEN.name]


@pytest.mark.slow
def test_overlays_that_a_survey_names_come_before_those_of_the_command_line(tmp_path: Path) -> None:
    """Those of the survey in the order written, then those of the command line; the last one to change a limit wins."""
    hours = {"a": "23.91 h", "b": "23.92 h", "c": "23.93 h", "d": "23.94 h"}
    project(tmp_path, [{"file": "b.yaml"}, {"file": "a.yaml"}])
    for name, value in hours.items():
        part = {"value": value, "because": "A test.", "basis": "from memory"}
        written({"limits": {"primer_dwell_min": part}}, tmp_path / f"{name}.yaml")
    more = ("--overlay", "d.yaml", "--overlay", "c.yaml")
    done = wallwalk("check", "room.yaml", *more, "-o", "room.json", folder=tmp_path)
    assert (done.returncode, done.stderr) == (1, "")
    assert overlays_in(tmp_path / "room.json") == ["b.yaml", "a.yaml", "d.yaml", "c.yaml"]
    limits = json.loads((tmp_path / "room.json").read_text(encoding="utf-8"))["record"]["limits"]
    (dwell,) = [limit for limit in limits if limit["name"] == "primer_dwell_min"]
    assert dwell["written"] == "23.93 h"
    assert [h.split(" (")[0] for h in dwell["history"]] == ["24 h", "23.92 h", "23.91 h", "23.94 h"]


@pytest.mark.slow
def test_a_survey_is_judged_by_the_overlays_it_names(tmp_path: Path) -> None:
    """Named in the survey, the looser leaflet lets the primer pass, without a word on the command line."""
    project(tmp_path, [{"file": ORRELANE.name}])
    out = wallwalk("explain", "primer-has-dwelled", "room.yaml", folder=tmp_path).stdout
    assert "South: pass\n" in out
    assert "West end: pass\n" in out
    (tmp_path / "below").mkdir()
    shutil.move(tmp_path / ORRELANE.name, tmp_path / "below")
    project(tmp_path, [{"file": f"below/{ORRELANE.name}"}])
    assert wallwalk("explain", "primer-has-dwelled", "room.yaml", folder=tmp_path).stdout == out


BESIDE = "put the file beside the survey, and write its name"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("named", "says"),
    [
        (
            "../outside.yaml",
            f'overlays[0].file is "../outside.yaml", which is not in the folder of the survey; {BESIDE}',
        ),
        ("link.yaml", f'overlays[0].file is "link.yaml", which is not in the folder of the survey; {BESIDE}'),
        ("a\0b.yaml", None),
        ("nowhere.yaml", None),
        ("below", None),
        ("room.yaml", None),
        (f"{CORRIDOR}.csv", None),
    ],
)
def test_an_overlay_that_a_survey_cannot_have_is_one_refusal(named: str, says: str | None, tmp_path: Path) -> None:
    """Outside its folder, by a link too, not there, a folder, another file: exit code 2, no verdict, no traceback."""
    folder = tmp_path / "project"
    (folder / "below").mkdir(parents=True)
    shutil.copy(ORRELANE, tmp_path / "outside.yaml")
    (folder / "link.yaml").symlink_to(tmp_path / "outside.yaml")
    project(folder, [{"file": named}])
    done = wallwalk("check", "room.yaml", folder=folder)
    assert (done.returncode, done.stdout) == (2, "")
    assert "Traceback" not in done.stderr
    assert done.stderr.count("; ") >= done.stderr.count("\n") > 0
    if says is not None:
        line = (folder / "room.yaml").read_text(encoding="utf-8").count("\n")
        assert done.stderr == f"room.yaml:{line}: {says}\n"


@pytest.mark.parametrize(("named", "found"), [("nowhere.yaml", "is not there"), ("below", "is a folder")])
def test_an_overlay_that_is_not_there_is_told_where_it_was_named(named: str, found: str, tmp_path: Path) -> None:
    """The writer of the survey hears which line of it to mend, and of no path of this machine."""
    (tmp_path / "below").mkdir()
    done = wallwalk("check", "room.yaml", folder=project(tmp_path, [{"file": named}]))
    assert done.returncode == 2
    assert done.stderr.startswith("room.yaml:")
    assert found in done.stderr
    assert str(tmp_path) not in done.stderr


@pytest.mark.parametrize("named", ["unknown", None])
def test_overlays_that_nobody_knows_are_refused(named: str | None, tmp_path: Path) -> None:
    """A survey that does not know what is laid over its rule set, or breaks off at the word, is not judged without."""
    project(tmp_path, survey=TREATMENT_ROOM)
    with (tmp_path / "room.yaml").open("a", encoding="utf-8") as file:
        file.write(f"overlays: {named or ''}\n")
    done = wallwalk("check", "room.yaml", folder=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("check", "room.yaml"), "nowhere.yaml: is not there; give the path of a YAML file"),
        (("plan", "room.yaml"), "nowhere.yaml: is not there; give the path of a YAML file"),
        (("explain", "primer-has-dwelled"), "nowhere.yaml: is not there; give the path of a YAML file"),
        (("rules", "show"), "nowhere.yaml: is not there; give the path of a YAML file"),
        (("rules", "test"), "nowhere.yaml: is not there; give the path of a YAML file"),
    ],
)
def test_an_overlay_of_the_command_line_that_is_not_there_is_one_message(
    arguments: tuple[str, ...], says: str, tmp_path: Path
) -> None:
    """Each command that takes an overlay refuses in one line, with exit code 2 and nothing on standard output."""
    done = wallwalk(*arguments, "--overlay", "nowhere.yaml", folder=project(tmp_path))
    assert (done.returncode, done.stdout, done.stderr) == (2, "", f"{says}\n")


@pytest.mark.slow
def test_explain_plan_show_and_test_go_by_the_overlay(tmp_path: Path) -> None:
    """The rule explained asks 36 h, the plan counts back 36 h, the list of limits holds it, and the overlay proves."""
    project(tmp_path, survey=TREATMENT_ROOM)
    over = ("--overlay", NESSUVAL.name)
    explained = wallwalk("explain", "primer-has-dwelled", *over, folder=tmp_path)
    assert "Asks: Primer dwell: at least 36 h.\n" in explained.stdout
    planned = wallwalk("plan", "room.yaml", *over, folder=tmp_path)
    assert planned.returncode == 0
    # 36 h before Tuesday 08:00 is Sunday 20:00.
    assert "by Sun 8 Mar 2026 20:00: When the last coat of primer was finished (North)\n" in planned.stdout
    shown = wallwalk("rules", "show", *over, folder=tmp_path)
    assert "\nLeast time the primer dries [primer_dwell_min]: 36 h, step 0.1 h; published:\n" in shown.stdout
    tested = wallwalk("rules", "test", *over, folder=tmp_path)
    assert (tested.returncode, tested.stderr) == (0, "")
    assert re.search(rf"(?m)^in all +{len(rigid_sheet().rules)} +{len(rigid_sheet().limits)} +[0-9]+$", tested.stdout)


@pytest.mark.slow
def test_show_and_test_take_in_what_an_overlay_adds_and_drops(tmp_path: Path) -> None:
    """The added rule stands under the overlay's own title, the dropped one nowhere, and both are counted."""
    project(tmp_path)
    shown = wallwalk("rules", "show", "--overlay", QUILLEN.name, folder=tmp_path).stdout
    assert f"\n{CLINIC}\n" in shown
    assert "     [air-read-in-three-places]\n" in shown
    assert "     [humidity-usual]\n" not in shown
    tested = wallwalk("rules", "test", "--overlay", QUILLEN.name, folder=tmp_path).stdout
    base = rigid_sheet()
    examples = [len(part.examples) for parts in (base.rules, base.facts) for part in parts.values()]
    tried = sum(examples) - len(base.rules["humidity-usual"].examples) + 3
    assert re.search(rf"(?m)^in all +{len(base.rules)} +{len(base.limits) + 1} +{tried}$", tested)


@pytest.mark.slow
def test_rules_test_refuses_an_overlay_with_a_mistake(tmp_path: Path) -> None:
    """Exit code 2, the message on standard error, and no word that anything was proven."""
    project(tmp_path)
    path = tmp_path / NESSUVAL.name
    path.write_text(path.read_text(encoding="utf-8").replace("value: 36 h", "value: 24 h"), encoding="utf-8")
    done = wallwalk("rules", "test", "--overlay", path.name, folder=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        'nessuval-2026.yaml:12: limits.primer_dwell_min.flips.primer-has-dwelled["exactly\n'
        '  at the limit"] comes to the same as before\n'
        "  next      take it out, or mend the limit\n\n"
        "Nessuval sheet and adhesive, instruction sheet of February 2026: 1 to put right\n"
    )
