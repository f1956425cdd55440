"""A filed record laid open as plain JSON, its inputs as text, and made anew from that with every digest right.

What is filed carries digests over digests, and its inputs packed; noise inside it is refused before it is looked at.
Whoever makes a whole file anew gets past that, so that what comes after it has to keep the law, too.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from typing import Any

import rfc8785

from wallwalk.filing import CLIMATE_LOG, OVERLAY, PHOTO, ROLES, RULE_SET, SURVEY, Filing, Input, canonical, digest

_LISTED = {CLIMATE_LOG: ("climate", "logs"), PHOTO: ("photos",), OVERLAY: ("rule_set", "overlays")}
"""Where a record names the files of a role, one after another, with the digest of each."""


def lay_open(filing: Filing) -> bytes:
    """`filing` as JSON to be spoiled; each input is text, a byte a letter."""
    inputs = [{"role": one.role, "file": one.file, "text": one.content.decode("latin-1")} for one in filing.inputs]
    whole = {"record": filing.record, "inputs": inputs, "entries": list(filing.entries)}
    return json.dumps(whole, ensure_ascii=False).encode()


def filing_of(laid_open: bytes) -> Filing | None:
    """The filing in what `lay_open` gave, spoiled since, with all digests that it has a place for; None where none."""
    try:
        whole: Any = json.loads(laid_open)
        inputs = tuple(
            Input(str(part["role"]), str(part["file"]), str(part["text"]).encode("latin-1", "replace"))
            for part in whole["inputs"]
            if part["role"] in ROLES
        )
        record, entries = whole["record"], whole["entries"]
        _put_digests(record, inputs)
        sealed = tuple(_chained(record, entries))
        filing = Filing(record, inputs, sealed)
        canonical([record, sealed, [one.file for one in inputs]])
    except (ValueError, RecursionError, TypeError, KeyError, rfc8785.CanonicalizationError):
        return None
    return filing if isinstance(record, dict) else None


def _put_digests(record: Any, inputs: tuple[Input, ...]) -> None:  # noqa: ANN401 - what a file holds
    for one in (one for one in inputs if one.role == SURVEY):
        _set(record, ("survey",), one.sha256)
    files = sorted(f"{one.file}={one.sha256}" for one in inputs if one.role == RULE_SET)
    _set(record, ("rule_set",), hashlib.sha256("\n".join(files).encode("utf-8", "replace")).hexdigest())
    for role, path in _LISTED.items():
        for i, one in enumerate(one for one in inputs if one.role == role):
            _set(record, (*path, i), one.sha256)


def _set(record: Any, path: tuple[str | int, ...], sha256: str) -> None:  # noqa: ANN401
    try:
        for part in path:
            record = record[part]
        if "sha256" in record:
            record["sha256"] = sha256
    except (KeyError, IndexError, TypeError):
        return  # it was spoiled there


def _chained(record: object, entries: Any) -> Iterator[Mapping[str, Any]]:  # noqa: ANN401
    before = digest(record)
    for entry in entries:
        if isinstance(entry, dict) and "previous" in entry:
            entry["previous"] = before
        yield entry
        before = digest(entry)
