"""A filed record verified in a process of its own, so that nothing inside it can keep the command waiting for good.

What a rule set costs to prove, or a page to draw, cannot be told from counts: one nested measure may cost an hour.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from wallwalk.cli.rechecking import match_all, match_page
from wallwalk.cli.stopping import told_of
from wallwalk.cli.workers import SECONDS_MAX, in_workers
from wallwalk.errors import Fault, InputError, MissingPartError
from wallwalk.filed_reader import read_filed
from wallwalk.filing import Filing
from wallwalk.matching import Match
from wallwalk.verifying import words_of

_ADVICE = "what wallwalk files takes seconds, and little memory: take this for no filed record, or try a larger machine"


@dataclass(frozen=True, slots=True)
class Verified:
    """What a check of `filing` found, line by line: on what is inside, and on the pages of a PDF; in which language."""

    filing: Filing
    inside: tuple[Match, ...]
    pages: tuple[Match, ...]
    language: str


def verify_file(path: Path, seconds: float = SECONDS_MAX) -> Verified:
    """Every line on the filed record at `path`.

    Raises `InputError` where it is none, or where it takes over `seconds` to say so; `MissingPartError` as what it
    needs does.
    """
    # Made here, since a process that is ended leaves behind what it has made.
    with tempfile.TemporaryDirectory(prefix="wallwalk-") as folder:
        (made,) = in_workers([path], partial(_verifier, Path(folder)), _lost, jobs=1, seconds=seconds)
    if isinstance(made, Exception):
        raise made
    return made


def _verifier(folder: Path) -> Callable[[Path], Verified | Exception]:
    return partial(_verified, folder=folder)


def _verified(path: Path, folder: Path) -> Verified | Exception:
    tempfile.tempdir = str(folder.parent)  # asked once it is full, the system would name another
    try:
        filing = read_filed(path)
        words = words_of(filing.record)
        inside = match_all(filing, folder, words)
        return Verified(filing, inside, tuple(match_page(path, filing, words)), words.language)
    except (InputError, MissingPartError) as error:
        return error
    except Exception as error:  # noqa: BLE001 - told where the command ends, with the place where it happened
        return MissingPartError(told_of(error))


def _lost(path: Path, why: str) -> InputError:
    return InputError([Fault(str(path), 0, "", why, _ADVICE)])
