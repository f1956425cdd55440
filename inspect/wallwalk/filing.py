"""A filed record: the record, every file it was made from, and what was signed on it, in one canonical form.

The record holds the SHA-256 of each of those files, so that its own digest covers them. Canonical JSON is RFC 8785's.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import rfc8785

from wallwalk.answers import NO_ENTRIES
from wallwalk.errors import Fault, InputError, quote
from wallwalk.facts import LOGS
from wallwalk.photos import PHOTOS
from wallwalk.record import Record, file_name
from wallwalk.resources import find_named
from wallwalk.rules import RuleSet
from wallwalk.survey import Survey

SURVEY, CLIMATE_LOG, PHOTO, RULE_SET, OVERLAY = "survey", "climate log", "photo", "rule set", "overlay"
ROLES = (SURVEY, CLIMATE_LOG, PHOTO, RULE_SET, OVERLAY)
"""What a file was to the check."""

_BESIDE = {
    CLIMATE_LOG: (LOGS, "let the logger finish its file, and check again"),
    PHOTO: (PHOTOS, "let nobody change the file, and check again"),
}
"""Of what lies beside the survey: where it is listed, and what to do about a file that changed."""

_WHOLE_MAX = 2**53
"""RFC 8785 writes no whole number that a double does not hold."""

Entry = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Input:
    """One file that a check was made from: what it was to it, its name as the survey or the rule set calls it."""

    role: str
    file: str
    content: bytes = field(repr=False)

    @property
    def sha256(self) -> str:
        """The digest of its bytes."""
        return hashlib.sha256(self.content).hexdigest()


@dataclass(frozen=True, slots=True)
class Said:
    """What a file that was read says of itself, for a check of it against what it holds.

    `canonical`: whether its bytes are the one way to write it. `sha256s`, `packed_alike`: of each input, the digest
    filed beside it, and whether it is packed as this program packs it. `count`, `end`: how many entries there were when
    it was written, and the digest of the last (of the record, where there was none).
    """

    canonical: bool
    sha256s: tuple[str, ...]
    packed_alike: tuple[bool, ...]
    count: int
    end: str


@dataclass(frozen=True, slots=True)
class Filing:
    """What is filed: one record with its inputs, and the sign-off entries in the order they were made."""

    record: Record
    inputs: tuple[Input, ...]
    entries: tuple[Entry, ...] = ()
    said: Said | None = field(default=None, compare=False)

    @property
    def end(self) -> str:
        """The digest of the last entry, or of the record where nothing was signed: what the next entry goes on from."""
        return digest(self.entries[-1] if self.entries else self.record)


def canonical(part: object) -> bytes:
    """`part` as canonical JSON (RFC 8785): there is one way only to write it."""
    if _is_plain(part):  # as every record is: the standard library takes a quarter of the time
        with suppress(UnicodeEncodeError):
            return json.dumps(part, sort_keys=True, ensure_ascii=False, separators=(",", ":")).encode()
    return rfc8785.dumps(part)  # type: ignore[arg-type]


def _is_plain(part: object) -> bool:
    """Whether the standard library writes `part` as RFC 8785 does: ASCII names, no number but small whole ones."""
    if isinstance(part, dict):
        return all(isinstance(name, str) and name.isascii() for name in part) and all(map(_is_plain, part.values()))
    if isinstance(part, (list, tuple)):
        return all(map(_is_plain, part))
    return part is None or isinstance(part, (str, bool)) or (type(part) is int and abs(part) < _WHOLE_MAX)


def digest(part: object) -> str:
    """The SHA-256 of the canonical form of `part`."""
    return hashlib.sha256(canonical(part)).hexdigest()


def file_record(record: Record, survey: Survey, rule_set: RuleSet, folder: Path) -> Filing:
    """`record` with the files it was made from; `folder` is the survey's.

    Raises `InputError` where a log or a photo changed since it was read.
    """
    return Filing(record, tuple(_inputs(survey, rule_set, folder)))


def _inputs(survey: Survey, rule_set: RuleSet, folder: Path) -> Iterator[Input]:
    yield Input(SURVEY, file_name(survey.file), survey.content)
    read = {(CLIMATE_LOG, log.file): log.sha256 for log in survey.climate.logs if log.sha256}
    read |= {(PHOTO, photo.file): photo.sha256 for photo in survey.photos}
    for (role, file), sha256 in read.items():
        yield _beside(survey, folder, role, file, sha256)
    for name, content in sorted(rule_set.files.items()):
        yield Input(RULE_SET, name, content)
    for overlay in rule_set.overlays:
        yield Input(OVERLAY, file_name(overlay.file), overlay.content)


def _beside(survey: Survey, folder: Path, role: str, file: str, sha256: str) -> Input:
    """A file that lies beside the survey, with the bytes it had when it was read."""
    path = find_named(folder, file)
    try:
        found = Input(role, file, path.read_bytes() if path is not None else b"")
    except OSError:  # it is gone, or nobody may read it any more
        found = Input(role, file, b"")
    if found.sha256 != sha256:
        listed, advice = _BESIDE[role]
        entries = survey.space.rolls.get(listed, NO_ENTRIES).entries
        asked = next(e["file"] for e in entries if "file" in e and e["file"].value.written == file)
        changed = f"is {quote(file)}, which changed while it was read"
        raise InputError([Fault(survey.file, asked.line, asked.place, changed, advice)])
    return found
