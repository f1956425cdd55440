"""What a board is made of: every survey and filed record below a folder, judged, and why the rest was not read."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path
from zoneinfo import ZoneInfo

from wallwalk.board import Passed
from wallwalk.board_spaces import Unread
from wallwalk.board_walk import Walk, place_of, walk_of_filing, walk_of_survey
from wallwalk.checking import load_rule_set
from wallwalk.cli.compared import read_as_filed
from wallwalk.climate_reader import read_climate
from wallwalk.errors import Fault, InputError, MissingPartError, on_one_line, quote
from wallwalk.filed_reader import read_filed
from wallwalk.inputs import LoadRuleSet, parse_start, rule_set_of
from wallwalk.judging import judge
from wallwalk.moments import find_zone, iso_moment, parse_moment
from wallwalk.named_place import place_named
from wallwalk.quantities import UnitError
from wallwalk.spaces_reader import Place
from wallwalk.survey_files import FILED, NO_SURVEYS, SUFFIXES, FoundFile, begins, survey_files, why_no_survey
from wallwalk.survey_reader import parse_survey
from wallwalk.timing import earliest_start
from wallwalk.values import Bound
from wallwalk.yamlio import MOST_BYTES, Document, read_bytes, read_yaml

BOARD_SUFFIXES = (*SUFFIXES, ".pdf")
"""How the name of a survey or of a filed record ends."""

_BOARD = b'{"board":'
"""How every board that was written as JSON begins."""
_ADVICE = "put back the record as it was filed, or walk again; wallwalk verify says more"
_OTHERS = {
    "overlay": "is an overlay",
    "spaces": "is a list of spaces",
    "limits": "is part of a rule set",
    "facts": "is part of a rule set",
    "themes": "is part of a rule set",
    "$schema": "is a JSON Schema",
}
"""What a file is by a key at its top that no survey has. A file with none of these may be a survey."""


@dataclass(frozen=True, slots=True)
class Given:
    """What the command line says of how to judge: rule set, overlays, start and language."""

    rules_name: str | None
    overlays: tuple[Path, ...]
    start: str | None
    language: str


@dataclass(slots=True)
class Found:
    """What was found, by kind. `starts`: the start that was asked about, by file, as an ISO moment of its site."""

    walks: list[Walk] = field(default_factory=list)
    unread: list[Unread] = field(default_factory=list)
    passed: list[Passed] = field(default_factory=list)
    starts: dict[str, str] = field(default_factory=dict)
    read: list[Path] = field(default_factory=list)


def read_folder(folder: Path, given: Given, *, expected: bool) -> Found:
    """Everything below `folder`. Raises `InputError` where it is no folder, or nothing in it may be a walk.

    `expected`: spaces are known from a list, so that a folder without walks says something too.
    """
    if not folder.is_dir():
        kind = "is no folder" if folder.exists() else "is not there"
        raise InputError([Fault(str(folder), 0, "", kind, "give the folder that the surveys are in")])
    load = _loader(given)
    found = Found()
    for one in survey_files([folder], BOARD_SUFFIXES):
        if one.fault is not None and one.path == folder:
            if one.fault.found == NO_SURVEYS and (
                expected or found.read
            ):  # filed records are no surveys, and count here
                continue
            raise InputError([one.fault])
        name = shown_path(one.path, folder)
        if one.fault is not None:
            found.unread.append(Unread(name, InputError([replace(one.fault, file=name)])))
        elif one.passed_over and one.passed_over != FILED:
            found.passed.append(Passed(name, one.passed_over))
        else:
            found.read.append(one.path)
            _read_file(one, name, given, load, found)
    return found


def shown_path(path: Path, folder: Path) -> str:
    """A path below `folder` as text on one line, the same on every system."""
    relative = path.relative_to(folder).as_posix() if path != folder else path.name
    return on_one_line(relative)


def _loader(given: Given) -> LoadRuleSet:
    """Loads each rule set once; one named on the command line now, so that a wrong name ends the run."""
    load = cache(load_rule_set)
    if given.rules_name is not None:
        load(given.rules_name, given.overlays, given.language)
    for overlay in given.overlays:
        read_yaml(overlay)
    if given.start is not None:
        _moment(given.start, find_zone("UTC"))
    return load


def _read_file(one: FoundFile, name: str, given: Given, load: LoadRuleSet, found: Found) -> None:
    try:
        if one.path.suffix.lower() == ".pdf":
            _read_pdf(one.path, name, given, found)
        elif one.passed_over == FILED:
            _read_filing(one.path, name, given, found)
        else:
            _read_survey(one.path, name, given, load, found)
    except InputError as error:
        faults = [replace(f, file=name) if f.file == str(one.path) else f for f in error.faults]
        found.unread.append(Unread(name, InputError(faults), _named(one)))
    except (MissingPartError, MemoryError):  # what the machine lacks, it lacks for every file
        raise
    except Exception as error:  # noqa: BLE001 - a fault of this program, met on one file, is no fault of the others
        met = f"met a fault of this program ({type(error).__name__}: {error})"
        fault = Fault(name, 0, "", met, "send the file to its makers")
        found.unread.append(Unread(name, InputError([fault]), _named(one)))


def _read_survey(path: Path, name: str, given: Given, load: LoadRuleSet, found: Found) -> None:
    if begins(path, _BOARD):
        found.passed.append(Passed(name, "is a board"))
        return
    document = read_yaml(path, name)
    other = _other_kind(document)
    if other:
        found.passed.append(Passed(name, other))
        return
    if why_no_survey(document):
        advice = "put it right if it is a survey, else take it out of the folder"
        raise InputError([document.fault((), why_no_survey(document), advice)])
    survey = parse_survey(document)
    rule_set = rule_set_of(survey, path.parent, given.rules_name, given.overlays, given.language, load)
    survey = read_climate(survey, rule_set, path.parent)
    start = parse_start(given.start, survey)
    judged = survey if start is None else survey.starting(start)
    findings = judge(rule_set, judged)
    earliest = earliest_start(rule_set, judged, findings)
    found.walks.append(walk_of_survey(judged, rule_set, findings, earliest, name))


def _read_pdf(path: Path, name: str, given: Given, found: Found) -> None:
    from wallwalk.filed_pdf import ENCRYPTED, NO_RECORD

    try:
        _read_filing(path, name, given, found)
    except InputError as error:
        if not any(fault.found in (NO_RECORD, ENCRYPTED) for fault in error.faults):
            raise
        found.passed.append(Passed(name, error.faults[0].found))


def _read_filing(path: Path, name: str, given: Given, found: Found) -> None:
    filing = read_as_filed(path, _ADVICE)
    walk = walk_of_filing(filing, name)
    if given.start is not None:
        zone = find_zone(filing.record["heading"]["time_zone"])
        found.starts[name] = iso_moment(_moment(given.start, zone), zone)
    found.walks.append(walk)


def _moment(start: str, zone: ZoneInfo | None) -> Bound:
    try:
        return parse_moment(start, zone).low
    except UnitError as error:
        raise InputError([Fault("--at", 0, "", f"is {quote(start)}", error.instead)]) from error


def _other_kind(document: Document) -> str:
    data = document.data
    if not isinstance(data, dict):
        return ""
    named = next((what for key, what in _OTHERS.items() if key in data), "")
    return named or ("is part of a rule set" if isinstance(data.get("rules"), dict) else "")


def _named(one: FoundFile) -> Place | None:
    """The place that a file names which cannot be used as it is; None where that cannot be told either."""
    try:
        if one.passed_over != FILED and one.path.suffix.lower() != ".pdf":
            return place_named(read_bytes(one.path, str(one.path), "a survey")[:MOST_BYTES])
        place = place_of(read_filed(one.path).record["heading"])
    except (InputError, KeyError, TypeError):
        return None
    named = all(isinstance(part, str) for part in (place.project, place.name, place.level, place.area))
    return place if named and place.name else None
