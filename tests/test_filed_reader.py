"""A filed record is read by what its first bytes are; whatever else a path leads to is refused in one message."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from filings import SMALL, small_pdf
from wallwalk import filed_reader
from wallwalk.errors import InputError
from wallwalk.filed_json import write_filed_json
from wallwalk.filed_reader import read_filed

GIVE = "give a file that wallwalk check or wallwalk sign wrote"


def refusal(path: Path) -> str:
    """What reading the file at `path` is refused with."""
    with pytest.raises(InputError) as refused:
        read_filed(path)
    (fault,) = refused.value.faults
    return str(fault)


def test_a_record_is_read_whatever_its_file_is_called(tmp_path: Path) -> None:
    """JSON or PDF: the record, its files and its entries."""
    for name, content in (("room.pdf", write_filed_json(SMALL)), ("room", small_pdf()), ("room.json", small_pdf())):
        (tmp_path / name).write_bytes(content)
        assert read_filed(tmp_path / name) == SMALL


def test_a_file_that_cannot_be_a_record_is_named_by_its_path(tmp_path: Path) -> None:
    """JSON and PDF that hold none."""
    for name, content, said in (
        ("a.json", b"{}", "is no filed record"),
        ("a.pdf", b"%PDF-", "is no PDF that can be read"),
        ("b.pdf", b" %PDF-1.7", "is no JSON that can be read"),
    ):
        path = tmp_path / name
        path.write_bytes(content)
        assert refusal(path) == f"{path}: {said}; {GIVE}"


def test_what_is_no_file_is_refused(tmp_path: Path) -> None:
    """A folder, nothing at all, a pipe that would keep us waiting."""
    os.mkfifo(tmp_path / "pipe.json")
    for path, kind in (
        (tmp_path, "is a folder"),
        (tmp_path / "gone.json", "is not there"),
        (tmp_path / "pipe.json", "is no plain file"),
    ):
        assert refusal(path) == f"{path}: {kind}; give the path of a filed record"


def test_a_file_that_cannot_be_read_is_refused_with_the_reason(tmp_path: Path) -> None:
    """That of the system, or of Python where it has none."""
    path = tmp_path / "room.json"
    path.write_bytes(b"{}")
    for error, reason in (
        (PermissionError(13, "Permission denied"), "Permission denied"),
        (OSError("odd"), "odd"),
        (ValueError("embedded null byte"), "embedded null byte"),
    ):

        def fail(*_: object, error: Exception = error) -> None:
            raise error

        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(type(path), "open", fail)
            said = refusal(path)
        assert said == f"{path}: cannot be read ({reason}); give the path of a filed record that you may read"


def test_a_file_too_large_is_not_read_on(tmp_path: Path) -> None:
    """As long as the most is read; a byte more is refused."""
    content = write_filed_json(SMALL)
    path = tmp_path / "room.json"
    path.write_bytes(content)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(filed_reader, "MOST_BYTES", len(content))
        assert read_filed(path) == SMALL
        patch.setattr(filed_reader, "MOST_BYTES", len(content) - 1)
        assert refusal(path) == f"{path}: is over 0 MB; {GIVE}"
        path.write_bytes(b" " * (3 * 1024**2))
        patch.setattr(filed_reader, "MOST_BYTES", 2 * 1024**2)
        assert refusal(path) == f"{path}: is over 2 MB; {GIVE}"


def test_a_survey_is_told_how_to_be_filed(tmp_path: Path) -> None:
    """By its name, in capitals too, whatever it holds."""
    for name in ("room.yaml", "ROOM.YML"):
        path = tmp_path / name
        path.write_bytes(write_filed_json(SMALL))
        assert refusal(path) == (
            f"{path}: is a survey by its name, and no filed record; "
            "file its record by wallwalk check with -o, and give that file"
        )
