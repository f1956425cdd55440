"""Reads a filed record from a file, whatever form it was filed in."""

from __future__ import annotations

from pathlib import Path

from wallwalk.errors import Fault, InputError
from wallwalk.filed_json import read_filed_json
from wallwalk.filing import Filing

MOST_BYTES = 512 * 1024 * 1024
"""No filed record is larger: its inputs are bounded, and packed."""

_PDF = b"%PDF-"
_SURVEYS = (".yaml", ".yml")


def read_plain(path: Path, most_bytes: int, what: str) -> bytes:
    """What is in the file at `path`, which is to be `what`; at most one byte more than `most_bytes` of it.

    Raises `InputError` where it is no file that can be read.
    """
    file = str(path)
    try:
        if not path.is_file():
            kind = "is a folder" if path.is_dir() else "is not there" if not path.exists() else "is no plain file"
            raise InputError([Fault(file, 0, "", kind, f"give the path of {what}")])
        with path.open("rb") as stream:
            return stream.read(most_bytes + 1)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        advice = f"give the path of {what} that you may read"
        raise InputError([Fault(file, 0, "", f"cannot be read ({reason})", advice)]) from error


def read_filed(path: Path) -> Filing:
    """The filing in the file at `path`, JSON or PDF by its first bytes. Raises `InputError`."""
    file = str(path)
    content = read_plain(path, MOST_BYTES, "a filed record")
    if len(content) > MOST_BYTES:
        found = f"is over {MOST_BYTES // 1024**2} MB"
        raise InputError([Fault(file, 0, "", found, "give a file that wallwalk check or wallwalk sign wrote")])
    if path.suffix.lower() in _SURVEYS:
        advice = "file its record by wallwalk check with -o, and give that file"
        raise InputError([Fault(file, 0, "", "is a survey by its name, and no filed record", advice)])
    if not content.startswith(_PDF):
        return read_filed_json(content, file)
    from wallwalk.filed_pdf import read_filed_pdf

    return read_filed_pdf(content, file)
