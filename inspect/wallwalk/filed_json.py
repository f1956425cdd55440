"""A filed record as one JSON file, canonical by RFC 8785, with its inputs inside."""

from __future__ import annotations

import base64
import binascii
import json
import zlib
from collections.abc import Iterator
from typing import Any

import rfc8785

from wallwalk.errors import Fault, InputError, quote
from wallwalk.filing import ROLES, Filing, Input, Said, canonical

FORM = 1
"""The number of the file's form; it goes up when a field changes its meaning."""

INPUT_BYTES_MAX = 256 * 1024 * 1024
"""So much may all inputs of one file unpack to; a log of a million rows is a tenth of it."""

INPUT_GROWTH_MAX, INPUT_BYTES_FREE = 12, 16 * 1024 * 1024
"""So many times its own size a file's inputs may unpack to, beyond what is free; the dullest of logs: eleven times."""

ENTRIES_MAX = 1_000
"""So many entries may be signed on one record."""

_BRACKETS_FREE, _BYTES_A_BRACKET = 250_000, 16
"""A record has one list or group in 40 bytes or more; in a file of them alone each would take 30 times its place."""

TOO_MUCH = f"holds more than {INPUT_BYTES_MAX // 1024**2} MB of inputs"
"""What is said of a file that would unpack to more."""


UNPACKS_FAR = "holds inputs that unpack to far more than a filed record of its size holds"
"""What is said of a small file that would unpack to a large one."""


def not_filed(file: str, found: str) -> InputError:
    """The error for a `file` that is not what was filed, to be raised."""
    return InputError([Fault(file, 0, "", found, "give a file that wallwalk check or wallwalk sign wrote")])


def write_filed_json(filing: Filing) -> bytes:
    """The filing as canonical JSON, ending in a newline; each input is compressed (zlib) and in base64."""
    whole: dict[str, Any] = {
        "filed": FORM,
        "record": filing.record,
        "inputs": [{"role": i.role, "file": i.file, "sha256": i.sha256, "content": _text(i)} for i in filing.inputs],
        "entries": list(filing.entries),
        "end": {"entries": len(filing.entries), "digest": filing.end},
    }
    return canonical(whole) + b"\n"


def read_filed_json(content: bytes, file: str) -> Filing:
    """The filing in `content`; that it is as it was filed is not checked here. Raises `InputError`."""
    if content.count(b"{") + content.count(b"[") > _BRACKETS_FREE + len(content) // _BYTES_A_BRACKET:
        raise not_filed(file, "holds more lists and groups than a filed record of its size")
    try:
        whole = json.loads(content)
        again = canonical(whole)
    except (ValueError, RecursionError, rfc8785.CanonicalizationError) as error:
        raise not_filed(file, "is no JSON that can be read") from error
    if not isinstance(whole, dict) or whole.keys() != {"filed", "record", "inputs", "entries", "end"}:
        raise not_filed(file, "is no filed record")
    if type(whole["filed"]) is not int or whole["filed"] != FORM:  # true, and 1.0, are one as well
        form = quote(whole["filed"])[1:-1]
        raise not_filed(file, f"is a filed record of form {form}, and this wallwalk reads form {FORM}")
    lists = all(isinstance(whole[key], list) for key in ("inputs", "entries"))
    if not (lists and isinstance(whole["record"], dict) and all(isinstance(e, dict) for e in whole["entries"])):
        raise not_filed(file, "is no filed record")
    if len(whole["entries"]) > ENTRIES_MAX:
        raise not_filed(file, f"holds over {ENTRIES_MAX:,} entries")
    inputs = tuple(_inputs(whole["inputs"], input_bytes_max(len(content)), file))
    count, end = read_end(whole["end"], file)
    packed = tuple(part["content"] == _text(one) for part, one in zip(whole["inputs"], inputs, strict=True))
    said = Said(again + b"\n" == content, tuple(part["sha256"] for part in whole["inputs"]), packed, count, end)
    return Filing(whole["record"], inputs, tuple(whole["entries"]), said)


def read_end(part: Any, file: str) -> tuple[int, str]:  # noqa: ANN401 - what a file holds
    """How many entries a filed record says it has, and the digest of the last. Raises `InputError`."""
    known = isinstance(part, dict) and part.keys() == {"entries", "digest"} and isinstance(part["digest"], str)
    if not known or type(part["entries"]) is not int:
        raise not_filed(file, "does not say where it ends")
    return part["entries"], part["digest"]


def input_bytes_max(size: int) -> int:
    """So many bytes the inputs of a file of `size` bytes may unpack to: a small one must not fill the memory."""
    return min(INPUT_BYTES_MAX, INPUT_BYTES_FREE + INPUT_GROWTH_MAX * size)


def _inputs(parts: list[Any], most: int, file: str) -> Iterator[Input]:
    left = most
    for i, part in enumerate(parts):
        known = isinstance(part, dict) and part.keys() == {"role", "file", "sha256", "content"}
        if not known or part["role"] not in ROLES or not all(isinstance(text, str) for text in part.values()):
            raise not_filed(file, f"has an input (number {i + 1}) that is none")
        unpacker = zlib.decompressobj()
        try:
            unpacked = unpacker.decompress(base64.b64decode(part["content"], validate=True), left)
        except (binascii.Error, ValueError, zlib.error) as error:
            raise not_filed(file, f"has an input (number {i + 1}) that cannot be unpacked") from error
        left -= len(unpacked)
        if left <= 0:
            raise not_filed(file, TOO_MUCH if most == INPUT_BYTES_MAX else UNPACKS_FAR)
        if not unpacker.eof or unpacker.unused_data:
            raise not_filed(file, f"has an input (number {i + 1}) that cannot be unpacked")
        yield Input(part["role"], part["file"], unpacked)


def _text(part: Input) -> str:
    return base64.b64encode(zlib.compress(part.content, 9)).decode()
