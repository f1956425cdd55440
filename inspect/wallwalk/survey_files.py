"""Finds the surveys among files and folders: whatever may be one, in one order, and why the rest is none.

A file that is named is a survey, whatever it holds. In a folder a file is told by what it says: one that cannot be
read, or is empty, counts as a survey that cannot be used, so that none is lost by a slip of the pen.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from wallwalk.errors import Fault, InputError
from wallwalk.questions import survey_questions
from wallwalk.yamlio import Document

SUFFIXES = (".yaml", ".yml", ".json")
"""How the name of a survey ends."""

NO_SURVEYS = "is a folder without surveys"
"""What is said of a folder with nothing in it that may be a survey."""

FILED = "is a filed record"
"""Why a filed record is passed over; where records count too, it is one of them."""

_FILED = b'{"end":{'
"""How every filed record begins: its JSON is canonical, and this is its first key."""


@dataclass(frozen=True, slots=True)
class FoundFile:
    """A file that may be a survey, or that was passed over.

    `in_folder`: it was not named itself, so that what it says has the last word (`why_no_survey`). `passed_over`: why
    it is no survey, as far as that can be told without reading it, else empty. `fault`: what keeps a folder from being
    looked through, or that it holds none.
    """

    path: Path
    in_folder: bool
    passed_over: str = ""
    fault: Fault | None = None


def survey_files(paths: Iterable[Path], suffixes: tuple[str, ...] = SUFFIXES) -> Iterator[FoundFile]:
    """Each of `paths`, and for a folder each file below it that ends in one of `suffixes`, by name in each folder.

    Links in a folder are not followed, and what begins with a dot is not looked at; both are passed over, with the
    reason. A folder is read when its turn comes.
    """
    for path in paths:
        if _is_folder(path):
            some = False
            for one in _below(path, suffixes):
                some = some or not one.passed_over
                yield one
            if not some:
                advice = f"give a folder with files that end in {', '.join(suffixes)}"
                yield FoundFile(path, True, fault=Fault(str(path), 0, "", NO_SURVEYS, advice))
        else:
            yield FoundFile(path, in_folder=False)


def refuse_other_kinds(path: Path) -> None:
    """Raises `InputError` where the file named `path` is plainly of another kind, which is said in its own words."""
    found, instead = _other_kind(path)
    if found:
        raise InputError([Fault(str(path), 0, "", f"{found}, and no survey", instead)])


def _other_kind(path: Path) -> tuple[str, str]:
    if path == Path("-") and not path.exists():
        return "is standard input", "save it as a file and give its path; logs and photos are looked for beside it"
    filed = "give the survey that it was made from; verify, compare, sign and board read what is filed"
    if begins(path, b"%PDF-"):
        return "is a PDF", filed
    if begins(path, _FILED):
        return FILED, filed
    if path.suffix.lower() in (".html", ".htm") and begins(path, b"<"):
        return "is a page", "export the survey from the form in the phone's browser, and give that file"
    if path.suffix.lower() == ".csv" and path.is_file():
        return "is a table", "give the survey (.yaml) whose climate_log names it"
    return "", ""


def why_no_survey(document: Document) -> str:
    """Why a file that lies in a folder is no survey; empty where it is one, whatever may be wrong with it.

    A survey asks at least one thing at its top that only a survey asks (`rules` is also a part of a rule set).
    """
    data = document.data
    asked = survey_questions().schema["properties"].keys() - {"rules"}
    if not isinstance(data, dict) or not asked & data.keys():
        return "answers nothing that a survey asks"
    return "is a list of spaces" if isinstance(data.get("spaces"), list) else ""


def _below(folder: Path, suffixes: tuple[str, ...]) -> Iterator[FoundFile]:
    """What lies below `folder`. The folders still open stand in a list, so that no depth of them is too deep."""
    open_ = [iter((folder,))]
    while open_:
        path = next(open_[-1], None)
        if path is None:
            open_.pop()
        elif path == folder or (_is_folder(path) and not _why_not_entered(path)):
            try:
                names = sorted(os.listdir(path))  # noqa: PTH208 - names alone take little room
            except OSError as error:
                found = f"cannot be looked at ({error.strerror or error})"
                yield FoundFile(path, True, fault=Fault(str(path), 0, "", found, "give folders that you may read"))
            else:
                open_.append(map(path.joinpath, names))
        elif path.suffix.lower() in suffixes or _is_folder(path):
            yield FoundFile(path, True, _why_not_entered(path) or (FILED if begins(path, _FILED) else ""))


def _why_not_entered(path: Path) -> str:
    if path.is_symlink():
        return "is a link"
    return "has a name that begins with a dot" if path.name.startswith(".") else ""


def _is_folder(path: Path) -> bool:
    try:
        return path.is_dir()
    except OSError:  # not to be looked at, so there may be surveys in it; reading it as a folder says why
        return True


def begins(path: Path, first: bytes) -> bool:
    """Whether the file at `path` begins with `first`; a file that cannot be read is left to its reader to tell."""
    try:
        if not path.is_file():
            return False
        with path.open("rb") as stream:
            return stream.read(len(first)) == first
    except OSError:
        return False
