"""A filed PDF that was altered, in a page or in a file attached to it, is doubted; one that was not is not."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

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


def saved(change: Callable[[pikepdf.Pdf], object], **options: Any) -> bytes:  # noqa: ANN401 - options of the library
    """The filed PDF with something changed in it, saved anew by another tool."""
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(drawn(READING_ROOM))) as pdf:
        change(pdf)
        pdf.save(out, **options)
    return out.getvalue()


def specs(pdf: pikepdf.Pdf) -> list[Any]:
    """The attached files, in the order of their names."""
    return list(pdf.Root.Names.EmbeddedFiles.Names)[1::2]


def later_version(number: int, body: bytes) -> bytes:
    """The filed PDF as it is, with an update behind its end by which one object is another one."""
    filed = drawn(READING_ROOM)
    with pikepdf.open(io.BytesIO(filed)) as pdf:
        size, root = int(pdf.trailer.Size), pdf.Root.objgen[0]
    before = int(re.findall(rb"startxref\s+([0-9]+)", filed)[-1])
    place = len(filed) + 1
    changed = b"%s\n%d 0 obj\n%s\nendobj\n" % (filed, number, body)
    table = b"xref\n%d 1\n%010d 00000 n \ntrailer\n<< /Size %d /Root %d 0 R /Prev %d >>\nstartxref\n%d\n%%%%EOF\n"
    return changed + table % (number, place, size, root, before, len(changed))


def updated(name: str, change: Callable[[bytes], bytes]) -> bytes:
    """The filed PDF with an update of the attached file whose name ends in `name`; of the first page, where empty."""
    with pikepdf.open(io.BytesIO(drawn(READING_ROOM))) as pdf:
        (of,) = [one.EF.F for one in specs(pdf) if name and str(one.UF).endswith(name)] or [pdf.pages[0].Contents]
        number, content = of.objgen[0], change(of.read_bytes())
    params = b"/Type /EmbeddedFile /Params << /Size %d >>" % len(content)
    return later_version(number, b"<< %s /Length %d >>\nstream\n%s\nendstream" % (params, len(content), content))


def _swap(pdf: pikepdf.Pdf) -> None:
    one, _, other, *_ = (spec.EF for spec in specs(pdf))
    one.F, other.F = other.F, one.F


def _paint(pdf: pikepdf.Pdf) -> None:
    page = pdf.pages[0]
    page.Contents = pdf.make_stream(page.Contents.read_bytes() + b"\n0 0 500 500 re f\n")


def _note(pdf: pikepdf.Pdf) -> None:
    note = pikepdf.Dictionary(Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Text, Rect=[0, 0, 9, 9], Contents="PASS")
    pdf.pages[0].Annots = pikepdf.Array([pdf.make_indirect(note)])


OTHER = "the pages: the PDF is not the one that the record inside draws here; its pages, or what it says of itself and "
BEHIND = "the pages: something was added to the PDF behind its end, which may show other pages than were filed"
ALTERED: dict[str, tuple[Callable[[], bytes], str]] = {
    "nothing, but saved anew": (lambda: saved(lambda _: None), OTHER),
    "objects packed": (
        lambda: saved(lambda _: None, object_stream_mode=pikepdf.ObjectStreamMode.generate),
        OTHER,
    ),
    "a relationship": (
        lambda: saved(lambda pdf: setattr(specs(pdf)[0], "AFRelationship", pikepdf.Name.Unspecified)),
        OTHER,
    ),
    "a name for other systems": (lambda: saved(lambda pdf: setattr(specs(pdf)[0], "F", "x.exe")), OTHER),
    "another file for other systems": (
        lambda: saved(lambda pdf: setattr(specs(pdf)[0].EF, "UF", pdf.make_stream(b""))),
        OTHER,
    ),
    "two files in each other's place": (
        lambda: saved(_swap),
        'survey "507-reading-room.yaml": changed since it was checked',
    ),
    "a page painted over": (lambda: saved(_paint), OTHER),
    "a page taken out": (lambda: saved(lambda pdf: pdf.pages.__delitem__(1)), OTHER),
    "a note on a page": (lambda: saved(_note), OTHER),
    "a title": (lambda: saved(lambda pdf: pdf.docinfo.__setitem__("/Title", "PASS")), OTHER),
    "a line behind it": (lambda: drawn(READING_ROOM) + b"%PASS\n", BEHIND),
    "another PDF behind it": (lambda: drawn(READING_ROOM) + drawn(READING_ROOM), BEHIND),
    "an update of a page": (lambda: updated("", lambda content: content + b"\n0 0 500 500 re f\n"), BEHIND),
    "an update of a file that changes nothing": (lambda: updated("507-reading-room.yaml", lambda c: c), BEHIND),
    "an update of the survey": (
        lambda: updated("507-reading-room.yaml", lambda content: content + b"# later\n"),
        'survey "507-reading-room.yaml": changed since it was checked',
    ),
    "an update of the log": (
        lambda: updated("507-reading-room.csv", lambda content: content[:-2] + b"9\n"),
        'climate log "507-reading-room.csv": changed since it was checked',
    ),
    "an update of a rule": (
        lambda: updated("primer.yaml", lambda content: content + b"# later\n"),
        "rule set pasted-wallcovering, primer.yaml: changed since it was checked by",
    ),
    "an update of what was signed": (
        lambda: updated("entries.json", lambda content: content.replace(b"Ilse", b"Else")),
        "entry 1 (released by Else Marrable, inspector): changed since entry 2 was signed",
    ),
}  # fmt: skip


@pytest.mark.slow
@pytest.mark.usefixtures("work_once")
@pytest.mark.parametrize("how", ALTERED)
def test_what_was_altered_in_a_pdf_is_named(how: str, tmp_path: Path) -> None:
    """A page, an attached file, what the PDF says of either, or an update behind its end, as other tools make them."""
    make, said = ALTERED[how]
    path = tmp_path / "room.pdf"
    path.write_bytes(make())
    wrong = wrong_in(path)
    assert not isinstance(wrong, str)
    assert wrong[0].says.startswith(said), wrong
