"""One function a reader: bytes in, what came of them out. What is no result and no refusal with a place is raised.

An outcome is the empty text where the bytes were of use all the way to what a command prints, else the whole message
that refuses them. `BrokenLawError` is raised over a message that says no place, or that a terminal would not show as it
is; any other exception is the program's own.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import resealing
from wallwalk import rule_reader
from wallwalk.board_walk import walk_of_filing
from wallwalk.checking import check, load_rule_set
from wallwalk.cli.compared import read_as_filed
from wallwalk.cli.rechecking import check_again, match_installed
from wallwalk.cli.starting import try_rule_set
from wallwalk.comparing import compare_records
from wallwalk.errors import InputError
from wallwalk.filed_json import write_filed_json
from wallwalk.filed_reader import read_filed
from wallwalk.filing import Filing, canonical, file_record
from wallwalk.inputs import read_inputs
from wallwalk.named_place import place_named
from wallwalk.overlay_reader import read_overlay
from wallwalk.overlaying import lay_over
from wallwalk.proving import proof_faults
from wallwalk.report.comparison_forms import render_comparison
from wallwalk.report.html import render_html
from wallwalk.report.manual import render_rule_set
from wallwalk.report.terminal import render_matches, render_terminal
from wallwalk.rules import RuleSet
from wallwalk.signing import Signing, sign
from wallwalk.spaces_reader import read_spaces
from wallwalk.survey_reader import read_survey
from wallwalk.verifying import verify, words_of

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
ROOM = HERE / "room"
SOUND = ROOT / "tests" / "bad" / "rule_sets" / "sound"
OVERLAY = ROOT / "tests" / "bad" / "overlays" / "sound" / "overlay.yaml"
TRADE = ROOT / "tests" / "bad" / "conditions" / "sound" / "conditions.yaml"

_SEEN = Signing("owner", "Oke Brandvold", "noted", "2026-03-12 09:00", "", "Seen.")


class BrokenLawError(AssertionError):
    """A refusal that does not say where, or that says it in signs that do not show."""


@cache
def folder() -> Path:
    """A folder of this process alone, with the room of `room/` in it: survey, log, photo, rule set and overlay."""
    made = Path(tempfile.mkdtemp(prefix="wallwalk-fuzz-"))
    for path in ROOM.iterdir():
        shutil.copy(path, made / path.name)
    shutil.copy(OVERLAY, made / "overlay.yaml")
    shutil.copytree(SOUND, made / "sound")
    photographed = b"photos: [{file: wall.jpg, of: North}]\n"
    (made / "whole.yaml").write_bytes((ROOM / "plain.yaml").read_bytes() + photographed)
    return made


def warm_up(reader: str) -> None:
    """Load what is loaded once for `reader`, so that no input is blamed for the time it takes."""
    _rules("sound")
    if reader != "spaces":
        _rules("rigid-sheet")
    if reader in {"record", "resealed", "pdf"}:
        filed_room()


def tidy() -> None:
    """Take the folder of this process away."""
    shutil.rmtree(folder(), ignore_errors=True)
    folder.cache_clear()


@cache
def _rules(name: str) -> RuleSet:
    _LOADED[name] = load_rule_set(str(SOUND) if name == "sound" else name)
    return _LOADED[name]


def _read_once(name: str, language: str = "en") -> RuleSet:
    """A photo may name a rule of the rule set that its survey names; one that is installed is read once."""
    return _LOADED[name] if language == "en" and name in _LOADED else _READ(name, language)


_LOADED: dict[str, RuleSet] = {}
_READ = rule_reader.read_rule_set
rule_reader.read_rule_set = _read_once


def _load(name: str, overlays: tuple[Path, ...], language: str) -> RuleSet:
    """As `load_rule_set` does it, but that a rule set is loaded once."""
    rule_set = _rules(name) if language == "en" else load_rule_set(name, (), language)
    for path in overlays:
        rule_set = lay_over(rule_set, read_overlay(path, rule_set))
    return rule_set


def _outcome(work: Callable[[], object]) -> str:
    try:
        work()
    except InputError as error:
        for fault in error.faults:
            if not (fault.file and fault.found and fault.instead):
                raise BrokenLawError(f"no place, finding or advice in {fault!r}") from error
            if not str(fault).isprintable():
                raise BrokenLawError(f"does not show as it is: {fault!r}") from error
        return str(error).replace(str(folder()), "FOLDER")
    return ""


@cache
def filed_room() -> Filing:
    """The room, judged by the sound rule set with its overlay, filed with its log and its photo, and signed twice."""
    place = folder()
    survey, rule_set = read_inputs(place / "whole.yaml", str(place / "sound"), (place / "overlay.yaml",))
    filing = file_record(check(survey, rule_set), survey, rule_set, place)
    for decision in ("noted", "held"):
        filing = sign(filing, replace(_SEEN, decision=decision))
    return filing


def _joined(*outcomes: str) -> str:
    return "\n".join(filter(None, outcomes))


def _put(name: str, data: bytes) -> Path:
    path = folder() / name
    path.write_bytes(data)
    return path


# -- a survey and what it names -------------------------------------------------------------------------------------


def survey(data: bytes) -> str:
    """A survey in YAML or JSON, by the rule set it names: checked, printed and filed; a board looks at it, too."""
    place_named(data)
    return _outcome(lambda: _check(_put("survey.yaml", data), "", filed=True))


def climate_log(data: bytes) -> str:
    """A climate log, by two surveys: one leaves its form to the file, one says all that can be said of it."""
    _put("air.csv", data)
    plain = _outcome(lambda: _check(folder() / "plain.yaml", "sound"))
    asked = _outcome(lambda: _check(folder() / "asked.yaml", "sound"))
    return _joined(plain, asked)


def photo(data: bytes) -> str:
    """A photo that a survey lists."""
    _put("wall.jpg", data)
    return _outcome(lambda: _check(folder() / "photographed.yaml", "sound"))


def _check(path: Path, rules: str, *, filed: bool = False) -> None:
    from wallwalk.inputs import read_files, rule_set_of

    read = read_survey(path)
    rule_set = rule_set_of(read, path.parent, rules or None, load=_load)
    read = read_files(read, rule_set, path.parent)
    record = check(read, rule_set)
    render_terminal(record)
    if filed:
        canonical(file_record(record, read, rule_set, path.parent).record)


# -- rules ----------------------------------------------------------------------------------------------------------


def overlay(data: bytes) -> str:
    """An overlay over the rule set that it is for."""
    path = _put("over.yaml", data)
    base = _rules("rigid-sheet" if b"rigid-sheet" in data else "sound")
    return _outcome(lambda: render_rule_set(lay_over(base, read_overlay(path, base))))


def rules_about(data: bytes) -> str:
    """The about.yaml of a rule set."""
    return _rule_set({"about.yaml": data})


def rules_theme(data: bytes) -> str:
    """A theme of a rule set, which stands alone."""
    about = (SOUND / "about.yaml").read_bytes().replace(b"[drying, room, climate]", b"[room]")
    return _rule_set({"about.yaml": about, "room.yaml": data}, alone=True)


def rules_conditions(data: bytes) -> str:
    """The conditions.yaml of a rule set."""
    return _rule_set({"conditions.yaml": data})


def _rule_set(files: dict[str, bytes], *, alone: bool = False) -> str:
    """The small sound rule set with `files` in the place of its own: tried, proven, shown, and a room judged by it."""
    made = folder() / "rules"
    shutil.rmtree(made, ignore_errors=True)
    if alone:
        made.mkdir()
    else:
        shutil.copytree(SOUND, made)
    for name, content in files.items():
        (made / name).write_bytes(content)
    return _outcome(lambda: _try(made))


def _try(made: Path) -> None:
    try_rule_set(str(made), ())
    rule_set = _READ(str(made))
    if faults := proof_faults(rule_set):
        raise InputError(faults)
    render_rule_set(rule_set)
    render_terminal(check(read_inputs(folder() / "plain.yaml", str(made))[0], rule_set))


# -- what is filed, and lists ---------------------------------------------------------------------------------------


def record(data: bytes) -> str:
    """A filed record as JSON, as `verify` and `compare` read it, and `sign` and `board` after them."""
    return _filed(_put("record.json", data))


def resealed(data: bytes) -> str:
    """The same, made anew with all its digests by somebody else: of `data` as `resealing` lays it open."""
    filing = resealing.filing_of(data)
    return record(data if filing is None else write_filed_json(filing))


def pdf(data: bytes) -> str:
    """The same in a PDF."""
    return _filed(_put("record.pdf", data))


def _filed(path: Path) -> str:
    verified = _outcome(lambda: _verify(path))
    compared = _outcome(lambda: _compare(path))
    return verified if verified == compared else _joined(verified, compared)


def _verify(path: Path) -> None:
    filing = read_filed(path)
    words = words_of(filing.record)
    matches = (*verify(filing, check_again(filing), words), *match_installed(filing, words))
    render_matches(matches, words)


def _compare(path: Path) -> None:
    filing = read_as_filed(path, "give another")
    then = filed_room().record
    for old, new in ((then, filing.record), (filing.record, then)):
        render_comparison(compare_records(old, new))
    walk_of_filing(filing, path.name)
    render_html(sign(filing, _SEEN).record)


def spaces(data: bytes) -> str:
    """A list of spaces, as YAML and as CSV."""
    as_yaml, as_csv = _put("list.yaml", data), _put("list.csv", data)
    outcomes = (_outcome(lambda: read_spaces(as_yaml)), _outcome(lambda: read_spaces(as_csv)))
    return "" if "" in outcomes else _joined(*outcomes)


READERS: dict[str, Callable[[bytes], str]] = {
    "survey": survey,
    "climate-log": climate_log,
    "overlay": overlay,
    "rules-about": rules_about,
    "rules-theme": rules_theme,
    "rules-conditions": rules_conditions,
    "record": record,
    "resealed": resealed,
    "pdf": pdf,
    "spaces": spaces,
    "photo": photo,
}
"""By name; each is tried by `run.py`, and over every file in `crashes/` that begins with its name."""
