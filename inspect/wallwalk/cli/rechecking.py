"""Checks a filed record once more from the files inside it, laid out in a folder that is gone afterwards."""

from __future__ import annotations

import base64
import errno
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from wallwalk.answers import NO_ENTRIES
from wallwalk.checking import check
from wallwalk.climate_reader import read_climate
from wallwalk.errors import Fault, InputError, MissingPartError, quote
from wallwalk.fact_proving import BadExampleError
from wallwalk.filing import CLIMATE_LOG, OVERLAY, PHOTO, RULE_SET, SURVEY, Filing, Input
from wallwalk.languages import LANGUAGES
from wallwalk.matching import FILE, Match
from wallwalk.moments import parse_moment
from wallwalk.overlay_reader import read_overlay
from wallwalk.overlaying import lay_over
from wallwalk.photo_reader import read_photos
from wallwalk.picture import looks_alike
from wallwalk.proving import proof_faults
from wallwalk.quantities import UnitError
from wallwalk.record import Record, file_name
from wallwalk.resources import data_folder, find_beside, rule_set_names
from wallwalk.rule_reader import read_rule_set
from wallwalk.rules import RuleSet
from wallwalk.survey import Survey
from wallwalk.survey_reader import parse_survey
from wallwalk.values import Interval
from wallwalk.verifying import Again, verify
from wallwalk.words import IN_ENGLISH, Words
from wallwalk.yamlio import parse_yaml

_OF_THE_NAME = {errno.ENAMETOOLONG, errno.EINVAL, errno.EILSEQ, errno.ENOTDIR, errno.EISDIR, errno.EEXIST}
"""What a file system says that finds fault with a name; anything else is no fault of the filed record."""


def check_again(filing: Filing, within: Path | None = None) -> Again | InputError:
    """The check of `filing` once more, from its own files only; or what keeps it from being made.

    The files are laid out in a folder of its own `within` another, or where temporary files lie.
    """
    try:
        with tempfile.TemporaryDirectory(prefix="wallwalk-", dir=within) as folder:
            return _checked(filing, Path(folder))
    except InputError as error:
        return error


def match_all(filing: Filing, folder: Path, words: Words = IN_ENGLISH) -> tuple[Match, ...]:
    """Every line on what `filing` holds, its check once more in `folder` among them; of a PDF's pages nothing."""
    return (*verify(filing, check_again(filing, folder), words), *match_installed(filing, words))


def match_page(path: Path, filing: Filing, words: Words = IN_ENGLISH) -> Iterator[Match]:
    """Of a PDF at `path`: whether its pages are what the record inside it draws, byte for byte; else nothing."""
    content = path.read_bytes()
    if not content.startswith(b"%PDF-"):
        return
    drawn = next((one for one in _drawings(filing) if content.startswith(one)), None)
    if drawn == content:
        said = words.say("the pages: drawn from the record inside")
    elif drawn is not None:
        said = words.say(
            "the pages: something was added to the PDF behind its end, which may show other pages than were filed"
        )
    else:
        said = words.say(
            "the pages: the PDF is not the one that the record inside draws here; its pages, or what it says of itself "
            "and its files, were changed, or other versions of what draws it drew it"
        )
    yield Match(FILE, drawn == content, said)


def _drawings(filing: Filing) -> Iterator[bytes]:
    """The PDF of `filing` on each size of paper; none where what was altered is what no page can be drawn from."""
    from wallwalk.report.html import PAGE_SIZES
    from wallwalk.report.pdf import render_pdf

    for size in PAGE_SIZES:
        try:
            drawn = render_pdf(filing, page_size=size)
        except (MissingPartError, MemoryError):  # where nothing can be drawn, nothing is known of the pages
            raise
        except Exception:  # noqa: BLE001 - whatever it is, no page was filed that cannot be drawn
            return
        yield drawn


def match_installed(filing: Filing, words: Words = IN_ENGLISH) -> Iterator[Match]:
    """A note where the rule set inside is called as one that is installed here, and has other files."""
    rule_set: Any = filing.record.get("rule_set")
    name = rule_set.get("name") if isinstance(rule_set, dict) else None
    inside = {one.file: one.content for one in filing.inputs if one.role == RULE_SET}
    if name not in rule_set_names():
        return
    here = {path.name: path.read_bytes() for path in (data_folder("rules") / str(name)).glob("*.yaml")}
    if inside != here:
        other = words.say(
            "rule set {name}: not as it comes with this wallwalk; the check was made by the rules in the file",
            name=name,
        )
        yield Match(RULE_SET, None, other)


def _checked(filing: Filing, folder: Path) -> Again:
    by_role: dict[str, list[Input]] = {}
    for one in filing.inputs:
        by_role.setdefault(one.role, []).append(one)
    surveys = by_role.get(SURVEY, [])
    if len(surveys) != 1:
        raise _refused(SURVEY, f"is there {len(surveys)} times", "file one survey")
    survey = parse_survey(parse_yaml(surveys[0].content, surveys[0].file))
    base = _rule_set(filing, by_role.get(RULE_SET, []), folder / "rules")
    overlays = by_role.get(OVERLAY, [])
    _refuse_other_overlays(survey, overlays)
    rule_set = base
    for i, overlay in enumerate(overlays):
        path = _lay_out([overlay], folder / "overlays" / str(i))[0]
        try:
            rule_set = lay_over(rule_set, read_overlay(path, rule_set, overlay.file))
        except BadExampleError as error:  # what is laid over a rule set tries its examples, which are proven only below
            raise InputError(proof_faults(base)) from error
    _lay_out([*by_role.get(CLIMATE_LOG, []), *by_role.get(PHOTO, [])], folder / "survey")
    survey = read_climate(survey, rule_set, folder / "survey")
    survey = read_photos(survey, rule_set, folder / "survey")
    record = check(survey, rule_set, _start(filing, survey))
    return Again(_with_photos_as_filed(record, filing.record), tuple(proof_faults(base)))


def _with_photos_as_filed(record: Record, filed: Record) -> Record:
    """`record` with each small picture in the bytes it was filed in, where it looks the same.

    Another version of what makes them small may give other bytes; another picture stays another one.
    """
    photos = [dict(photo) for photo in record["photos"]]
    then: Any = filed.get("photos")
    for photo, was in zip(photos, then if isinstance(then, list) else (), strict=False):
        shown = was.get("shown") if isinstance(was, dict) else None
        if isinstance(shown, str) and _unpacks_alike(photo["shown"], shown):
            photo["shown"] = shown
    return {**record, "photos": photos}


def _unpacks_alike(shown: str, filed: str) -> bool:
    try:
        return looks_alike(base64.b64decode(shown), base64.b64decode(filed, validate=True))
    except ValueError:
        return False


def _rule_set(filing: Filing, files: list[Input], folder: Path) -> RuleSet:
    named: Any = filing.record.get("rule_set")
    name = named.get("name") if isinstance(named, dict) else None
    if not isinstance(name, str) or Path(name).name != name:
        raise _refused(RULE_SET, f"is called {quote(name)}", "give it the name of a folder")
    placed = find_beside(_made(folder), name)
    if placed is None:
        raise _refused(RULE_SET, f"is called {quote(name)}", "give it the name of a folder")
    if "about.yaml" not in {one.file for one in files}:
        raise _refused(RULE_SET, "has no about.yaml", "file every file of its folder")
    _lay_out(files, placed)
    return read_rule_set(str(placed), _language(filing))


def _language(filing: Filing) -> str:
    language: Any = filing.record.get("language")
    if language not in LANGUAGES:
        raise _refused("language", f"is {quote(language)}", f"write one of: {', '.join(LANGUAGES)}")
    return str(language)


def _refuse_other_overlays(survey: Survey, overlays: list[Input]) -> None:
    """What the survey itself lays over the rule set must be there, and first."""
    named = [e["file"].value.written for e in survey.space.rolls.get("overlays", NO_ENTRIES).entries if "file" in e]
    wanted, there = [file_name(name) for name in named], [o.file for o in overlays]
    if there[: len(wanted)] != wanted:
        raise _refused(survey.file, f"names the overlays {', '.join(wanted)}", "file each of them, in that order")


def _start(filing: Filing, survey: Survey) -> Interval | None:
    """The start that was given beside the survey, or None where the survey's own was taken."""
    start: Any = filing.record.get("evaluated_for")
    if not isinstance(start, dict) or start.get("given_by") != "command line":
        return None
    written = str(start.get("written"))
    try:
        return parse_moment(written, survey.zone)
    except UnitError as error:
        raise _refused("start", f"is {quote(written)}", error.instead) from error


def _lay_out(files: list[Input], folder: Path) -> list[Path]:
    """The files in `folder`, under their own names; none may lie outside of it."""
    _made(folder)
    paths = []
    for one in files:
        path = find_beside(folder, one.file)
        if path is None:
            raise _refused(
                one.role, f"is called {quote(one.file)}, which leads out of its folder", "give it a plain name"
            )
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(one.content)
        except (OSError, ValueError) as error:
            if isinstance(error, OSError) and error.errno not in _OF_THE_NAME:
                reason = error.strerror or str(error)
                advice = "make room there, or let TMPDIR name another folder"
                raise MissingPartError(f"{tempfile.gettempdir()}: cannot be written ({reason}); {advice}") from error
            raise _refused(
                one.role, f"is called {quote(one.file)}, which no file can be", "give it a plain name"
            ) from error
        paths.append(path)
    return paths


def _made(folder: Path) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def _refused(what: str, found: str, instead: str) -> InputError:
    return InputError([Fault(what, 0, "", found, instead)])
