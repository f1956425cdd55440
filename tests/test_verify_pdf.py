"""A filed PDF that was altered, in a page or in a file attached to it, is doubted; one that was not is not."""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path
from random import Random

import pikepdf
import pytest

from filings import filed_pdf
from signed_filings import DISPENSARY, READING_ROOM, signed
from wallwalk.cli.rechecking import check_again, match_page
from wallwalk.errors import InputError
from wallwalk.filed_reader import read_filed
from wallwalk.filing import Filing
from wallwalk.matching import Match
from wallwalk.report.pdf import render_pdf
from wallwalk.verifying import verify


@cache
def drawn(name: str) -> bytes:
    """A filed PDF: the dispensary with its photo, or the reading room with three entries."""
    return filed_pdf(DISPENSARY) if name == DISPENSARY else render_pdf(signed())


def wrong_in(path: Path) -> list[Match] | str:
    """What does not match in the PDF at `path`, or why it is no filed record; pages are drawn if all else does."""
    try:
        filing: Filing = read_filed(path)
    except InputError as error:
        return str(error)
    wrong = [one for one in verify(filing, check_again(filing)) if one.matches is False]
    return wrong or [one for one in match_page(path, filing) if one.matches is False]


@pytest.mark.slow
@pytest.mark.parametrize("name", [DISPENSARY, READING_ROOM])
def test_a_pdf_as_it_was_filed_is_not_doubted(name: str, tmp_path: Path) -> None:
    """Files, chain, check and pages all match."""
    path = tmp_path / "room.pdf"
    path.write_bytes(drawn(name))
    assert wrong_in(path) == []


@pytest.mark.slow
@pytest.mark.usefixtures("work_once")
@pytest.mark.parametrize("seed", range(12))
def test_any_byte_of_a_pdf_that_is_another_one_is_found(seed: int, tmp_path: Path) -> None:
    """Wherever it lies: in a page, a font, a picture, an attached file or the frame of the PDF."""
    chance = Random(seed)  # noqa: S311 - test data, not a secret
    content = bytearray(drawn(READING_ROOM))
    content[chance.randrange(20, len(content))] ^= 1 << chance.randrange(8)
    path = tmp_path / "room.pdf"
    path.write_bytes(bytes(content))
    assert wrong_in(path)


def replaced(content: bytes, which: str, chance: Random) -> bytes:
    """The PDF with one byte of the attachment whose name holds `which` altered, saved anew by another tool."""
    with pikepdf.open(io.BytesIO(content)) as pdf:
        (name,) = [n for n in pdf.attachments if which in n]
        file = pdf.attachments[name].get_file()
        data = bytearray(file.read_bytes())
        places = [i for i, c in enumerate(data) if chr(c).isdigit()] if not which.endswith(".jpg") else [len(data) // 2]
        place = chance.choice(places)
        data[place] = data[place] ^ 1
        spec = pikepdf.AttachedFileSpec(pdf, bytes(data), filename=name, mime_type=file.mime_type)
        del pdf.attachments[name]
        pdf.attachments[name] = spec
        out = io.BytesIO()
        pdf.save(out, deterministic_id=True)
    return out.getvalue()


@pytest.mark.slow
@pytest.mark.usefixtures("work_once")
@pytest.mark.parametrize(
    ("which", "of"),
    [
        (f"{DISPENSARY}.yaml", "survey"),
        (f"{DISPENSARY}.csv", "climate log"),
        (f"{DISPENSARY}.jpg", "photo"),
        ("primer.yaml", "rule set"),
        ("record.json", "record"),
    ],
)
def test_an_attached_file_that_was_altered_is_named(which: str, of: str, tmp_path: Path) -> None:
    """Whatever wrote the PDF anew."""
    path = tmp_path / "room.pdf"
    path.write_bytes(replaced(drawn(DISPENSARY), which, Random(which)))  # noqa: S311 - test data, not a secret
    wrong = wrong_in(path)
    if isinstance(wrong, str):  # a digit of the record that makes it no JSON, or of another shape
        assert of == "record"
        return
    assert of in {one.of for one in wrong} or (of == "record" and wrong)
