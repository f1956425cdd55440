"""A filing as files attached to a PDF: what each is called there, what it is to the page, and the filing made of them.

A file's name carries its place, its role and its own name: `02 climate log corridor.csv`.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import PurePosixPath
from typing import Any
from urllib.parse import quote, unquote

import rfc8785

from wallwalk.errors import quote as quoted
from wallwalk.filed_json import not_filed, read_end
from wallwalk.filing import CLIMATE_LOG, OVERLAY, PHOTO, ROLES, RULE_SET, SURVEY, Filing, Input, Said, canonical
from wallwalk.languages import ENGLISH
from wallwalk.words import fixed, words_in

RECORD_NAME, ENTRIES_NAME = "record.json", "entries.json"

_MEDIA_TYPES = {
    ".csv": "text/csv",
    ".jpeg": "image/jpeg",
    ".jpg": "image/jpeg",
    ".json": "application/json",
    ".png": "image/png",
    ".tsv": "text/tab-separated-values",
    ".txt": "text/plain",
    ".webp": "image/webp",
    ".yaml": "application/yaml",
    ".yml": "application/yaml",
}
"""By suffix; the machine's own table is not asked, since the same filing is the same bytes everywhere."""

_RELATIONSHIPS = {
    SURVEY: "Source",
    CLIMATE_LOG: "Source",
    PHOTO: "Source",
    RULE_SET: "Supplement",
    OVERLAY: "Supplement",
}
"""ISO 32000-2 table 43: the room is what the page was made from; the rules stand beside it, for a second look."""

_SAYS = {
    RECORD_NAME: fixed("The record that this report is drawn from"),
    ENTRIES_NAME: fixed("What was signed on the record"),
    SURVEY: fixed("The survey as it was read"),
    CLIMATE_LOG: fixed("A climate log as it was read"),
    PHOTO: fixed("A photo as it was taken"),
    RULE_SET: fixed("A file of the rule set as it was read"),
    OVERLAY: fixed("An overlay as it was read"),
}
"""What each file is, to whoever opens the list of them."""

_UNSAFE = re.compile(r'[\x00-\x1f\x7f"%*/:<>?\\|\u200e\u200f\u202a-\u202e\u2066-\u2069]')
"""Signs that some system allows in no file's name, that would lead into another folder, or turn a name round."""

_NAMED = re.compile(rf"(\d{{1,6}}) ({'|'.join(ROLES)}) (.+)", re.ASCII | re.DOTALL)


@dataclass(frozen=True, slots=True)
class Attached:
    """One file attached to a PDF; `relationship` is a word for `AFRelationship`, such as `Data`."""

    name: str
    content: bytes = field(repr=False)
    relationship: str
    says: str

    @property
    def key(self) -> str:
        """The name in ASCII, so that its place in a sorted tree of names is plain."""
        return quote(self.name, safe=" ")

    @property
    def media_type(self) -> str:
        """What kind of file it is, by its suffix."""
        return _MEDIA_TYPES.get(PurePosixPath(self.name).suffix.lower(), "application/octet-stream")


def attach(filing: Filing) -> tuple[Attached, ...]:
    """Every file of the filing, in the order of their names."""
    return tuple(sorted(_attached(filing), key=lambda one: one.key))


def _attached(filing: Filing) -> Iterator[Attached]:
    says = {part: words_in(filing.record.get("language", ENGLISH)).tell(text) for part, text in _SAYS.items()}
    yield Attached(RECORD_NAME, canonical(filing.record), "Data", says[RECORD_NAME])
    signed = {
        "entries": list(filing.entries),
        "end": {"entries": len(filing.entries), "digest": filing.end},
        "sha256s": [one.sha256 for one in filing.inputs],
    }
    yield Attached(ENTRIES_NAME, canonical(signed), "Data", says[ENTRIES_NAME])
    width = len(str(len(filing.inputs)))
    for i, one in enumerate(filing.inputs, 1):
        file = _UNSAFE.sub(lambda sign: quote(sign.group(), safe=""), one.file)
        name, told = f"{i:0{width}} {one.role} {file}", f"{says[one.role]}, SHA-256 {one.sha256}"
        yield Attached(name, one.content, _RELATIONSHIPS[one.role], told)


def filing_of(attached: Mapping[str, bytes], file: str) -> Filing:
    """The filing that files of these names make; `file` is the PDF they were in. Raises `InputError`."""
    inputs = {}
    for name, content in attached.items():
        if name not in (RECORD_NAME, ENTRIES_NAME):
            number, one = _input(name, content, file)
            inputs[number] = one
    if not {RECORD_NAME, ENTRIES_NAME} <= attached.keys() or len(inputs) != len(attached) - 2:
        raise not_filed(file, "is no filed record")
    record, signed = (_parsed(attached[name], name, file) for name in (RECORD_NAME, ENTRIES_NAME))
    if not (isinstance(record, dict) and isinstance(signed, dict) and signed.keys() == {"entries", "end", "sha256s"}):
        raise not_filed(file, "is no filed record")
    entries, beside = signed["entries"], signed["sha256s"]
    lists = all(isinstance(part, list) for part in (entries, beside))
    if not (lists and all(isinstance(e, dict) for e in entries) and all(isinstance(one, str) for one in beside)):
        raise not_filed(file, "is no filed record")
    if len(inputs) > len(beside):
        raise not_filed(file, "holds a file that its record was not made from")
    if sorted(inputs) != list(range(1, len(beside) + 1)):
        raise not_filed(file, "lacks one of the files that its record was made from")
    plain = canonical(record) == attached[RECORD_NAME] and canonical(signed) == attached[ENTRIES_NAME]
    said = Said(plain, tuple(beside), (), *read_end(signed["end"], file))
    return Filing(record, tuple(inputs[number] for number in sorted(inputs)), tuple(entries), said)


def _input(name: str, content: bytes, file: str) -> tuple[int, Input]:
    named = _NAMED.fullmatch(name)
    if named is None:
        raise not_filed(file, f"holds {quoted(name)}, which is no part of a filed record")
    return int(named[1]), Input(named[2], unquote(named[3]), content)


def _parsed(content: bytes, name: str, file: str) -> Any:  # noqa: ANN401 - any JSON value
    try:
        parsed = json.loads(content)
        canonical(parsed)
    except (ValueError, RecursionError, rfc8785.CanonicalizationError) as error:
        raise not_filed(file, f"holds a {name} that is no JSON that can be read") from error
    return parsed
