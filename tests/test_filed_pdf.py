"""The filed PDF carries all that it was made from, is read back whole, and is the same bytes wherever it is made."""

from __future__ import annotations

import copy
import hashlib
import io
import logging
import os
import subprocess
import sys
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader, PdfWriter

from filings import FOLDER, SMALL, TIGHT, filed, filed_pdf, small_pdf
from surveys import ROOT
from wallwalk import filed_pdf as filed_pdf_reader
from wallwalk.attaching import attach, filing_of
from wallwalk.errors import InputError
from wallwalk.filed_json import UNPACKS_FAR, read_filed_json, write_filed_json
from wallwalk.filed_pdf import read_filed_pdf
from wallwalk.filing import Filing, canonical
from wallwalk.report import pdf
from wallwalk.report.pdf import draw_pdf, render_pdf

WORST, CORRIDOR, PASSING = "014-old-dispensary", "110-link-corridor", "204-treatment-room"
GIVE = "give a file that wallwalk check or wallwalk sign wrote"


def same(one: Filing, other: Filing) -> bool:
    """Whether two filings are alike to the byte."""
    parts = [(canonical(f.record), f.inputs, canonical(list(f.entries))) for f in (one, other)]
    return parts[0] == parts[1]


def refusal(content: bytes) -> str:
    """What reading `content` is refused with."""
    with pytest.raises(InputError) as refused:
        read_filed_pdf(content, "x.pdf")
    (fault,) = refused.value.faults
    return str(fault)


# What it carries


@pytest.mark.slow
def test_what_is_attached_is_what_it_was_made_from() -> None:
    """Two readers find the record, the entries and every file, byte for byte, each with its kind and relationship."""
    document = filed_pdf(CORRIDOR, TIGHT)
    rules = sorted((ROOT / "rules" / "rigid-sheet").glob("*.yaml"))
    paths = [FOLDER / f"{CORRIDOR}.yaml", FOLDER / f"{CORRIDOR}.csv", *rules, TIGHT]
    roles = ["survey", "climate log", *["rule set"] * len(rules), "overlay"]
    says = {
        "survey": "The survey",
        "climate log": "A climate log",
        "rule set": "A file of the rule set",
        "overlay": "An overlay",
    }
    wanted = {
        f"{i:02} {role} {path.name}": (
            path.read_bytes(),
            {"survey": "/Source", "climate log": "/Source"}.get(role, "/Supplement"),
            "/text/csv" if path.suffix == ".csv" else "/application/yaml",
            f"{says[role]} as it was read, SHA-256 {hashlib.sha256(path.read_bytes()).hexdigest()}",
        )
        for i, (role, path) in enumerate(zip(roles, paths, strict=True), 1)
    }
    record = canonical(filed(CORRIDOR, TIGHT).record)
    wanted["record.json"] = (record, "/Data", "/application/json", "The record that this report is drawn from")
    signed = {
        "entries": [],
        "end": {"entries": 0, "digest": hashlib.sha256(record).hexdigest()},
        "sha256s": [hashlib.sha256(path.read_bytes()).hexdigest() for path in paths],
    }
    wanted["entries.json"] = (canonical(signed), "/Data", "/application/json", "What was signed on the record")
    with pikepdf.open(io.BytesIO(document)) as one:
        by_pikepdf = {
            str(spec.UF): (spec.EF.F.read_bytes(), str(spec.AFRelationship), str(spec.EF.F.Subtype), str(spec.Desc))
            for spec in one.Root.AF
        }
        assert [str(spec.UF) for spec in one.Root.AF] == sorted(wanted)
    other: Any = PdfReader(io.BytesIO(document)).root_object
    specs = [spec.get_object() for spec in other["/AF"]]
    by_pypdf = {
        s["/UF"]: (s["/EF"]["/F"].get_data(), s["/AFRelationship"], s["/EF"]["/F"]["/Subtype"], s["/Desc"])
        for s in specs
    }
    assert by_pikepdf == wanted
    assert by_pypdf == wanted


@pytest.mark.slow
def test_every_attached_file_bears_the_date_of_the_record(tmp_path: Path) -> None:
    """Its dates are those of the planned start, in UTC; poppler's tool takes each file out as it was."""
    (tmp_path / "filed.pdf").write_bytes(filed_pdf(WORST))
    with pikepdf.open(tmp_path / "filed.pdf") as document:
        params = [spec.EF.F.Params for spec in document.Root.AF]
        assert {str(p[key]) for p in params for key in ("/CreationDate", "/ModDate")} == {"D:20260310130000Z"}
    done = subprocess.run(
        ["pdfdetach", "-saveall", "-o", str(tmp_path), str(tmp_path / "filed.pdf")], capture_output=True, check=True
    )
    assert done.stderr == b""
    assert (tmp_path / f"01 survey {WORST}.yaml").read_bytes() == (FOLDER / f"{WORST}.yaml").read_bytes()
    assert (tmp_path / f"02 climate log {WORST}.csv").read_bytes() == (FOLDER / f"{WORST}.csv").read_bytes()
    (tmp_path / "filed.pdf").unlink()
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {
        one.name: one.content for one in attach(filed(WORST))
    }


def test_no_name_leads_out_of_the_folder_it_is_saved_to() -> None:
    """Signs that part folders or turn a name round are written as numbers; the filing keeps the name."""
    assert [a.name for a in attach(SMALL)] == [
        "1 survey baño 2.yaml",
        "2 climate log logs%2Fnorth.csv",
        "3 climate log logs%2Fnorth.csv",
        "4 rule set about.yaml",
        "5 overlay ..%2F%22100%25%22.yaml%0A",
        "6 overlay survey 7.json",
        "entries.json",
        "record.json",
    ]


# Read back


@pytest.mark.slow
@pytest.mark.parametrize(("name", "overlays"), [(WORST, ()), (CORRIDOR, (TIGHT,)), (PASSING, ())])
def test_a_filed_pdf_is_read_back_whole(name: str, overlays: tuple[Path, ...]) -> None:
    """Record, inputs and entries, as from the filed JSON."""
    filing = filed(name, *overlays)
    assert same(read_filed_pdf(filed_pdf(name, *overlays), "x.pdf"), filing)
    assert same(read_filed_json(write_filed_json(filing), "x.json"), filing)


def test_names_and_entries_come_back_as_they_were() -> None:
    """Whatever the files are called and hold; the entries in their order."""
    assert same(read_filed_pdf(small_pdf(), "x.pdf"), SMALL)


def test_a_filed_pdf_that_another_tool_saved_is_read() -> None:
    """Two libraries write it anew in their own ways; what it carries is the same."""
    by_pikepdf, by_pypdf = io.BytesIO(), io.BytesIO()
    with pikepdf.open(io.BytesIO(small_pdf())) as document:
        document.save(by_pikepdf, object_stream_mode=pikepdf.ObjectStreamMode.disable, recompress_flate=True)
    PdfWriter(clone_from=io.BytesIO(small_pdf())).write(by_pypdf)
    for saved in (by_pikepdf.getvalue(), by_pypdf.getvalue()):
        assert saved != small_pdf()
        assert same(read_filed_pdf(saved, "x.pdf"), SMALL)


def changed(change: Callable[[pikepdf.Pdf], None], **saving: Any) -> bytes:  # noqa: ANN401 - options of the library
    """The small filed PDF with something changed in it."""
    saved = io.BytesIO()
    with pikepdf.open(io.BytesIO(small_pdf())) as document:
        change(document)
        document.save(saved, **saving)
    return saved.getvalue()


def spec_called(document: pikepdf.Pdf, name: str) -> Any:  # noqa: ANN401 - an object of the library
    """The attached file called `name`."""
    (spec,) = [one for one in document.Root.AF if str(one.UF) == name]
    return spec


def rename(before: str, after: str) -> bytes:
    """The small filed PDF with one file called otherwise."""
    return changed(lambda document: setattr(spec_called(document, before), "UF", after))


def rewrite(name: str, content: bytes, size: int | None = None) -> bytes:
    """The small filed PDF with other content in one file, which says it has `size` bytes."""

    def change(document: pikepdf.Pdf) -> None:
        stream = spec_called(document, name).EF.F
        stream.write(content)
        stream.Params.Size = len(content) if size is None else size

    return changed(change)


def without(name: str) -> bytes:
    """The small filed PDF with one file gone."""

    def change(document: pikepdf.Pdf) -> None:
        names = document.Root.Names.EmbeddedFiles.Names
        kept = [names[i : i + 2] for i in range(0, len(names), 2) if str(names[i + 1].UF) != name]
        document.Root.Names.EmbeddedFiles.Names = pikepdf.Array([part for pair in kept for part in pair])

    return changed(change)


def bare_pdf() -> bytes:
    """A PDF of ours that carries nothing."""
    return draw_pdf('<html lang="en"><head><title>Plain</title></head><body><h1>Plain</h1></body></html>')


def one_more(document: pikepdf.Pdf) -> None:
    """Attach a log that nobody checked."""
    name = "7 climate log more.csv"
    document.attachments[name] = pikepdf.AttachedFileSpec(document, b"at,t\n", filename=name)


def crowd(document: pikepdf.Pdf) -> None:
    """Attach one file a thousand times more."""
    names = document.Root.Names.EmbeddedFiles.Names
    names.extend([names[0], names[1]] * 1000)


@pytest.mark.parametrize(
    ("made", "said"),
    [
        (lambda: b"", "is no PDF that can be read"),
        (lambda: b'{"filed": 1}', "is no PDF that can be read"),
        (lambda: b"%PDF-1.7\n%%EOF", "is no PDF that can be read"),
        (lambda: small_pdf()[:4000], "is no PDF that can be read"),
        (bare_pdf, "is a PDF that holds no record"),
        (
            lambda: changed(lambda _: None, encryption=pikepdf.Encryption(owner="a", user="b")),
            "is encrypted, which no filed record is",
        ),
        (
            lambda: changed(
                lambda _: None, encryption=pikepdf.Encryption(owner="a", user="", R=3, aes=False, metadata=False)
            ),
            "is encrypted, which no filed record is",
        ),
        (lambda: without("record.json"), "is no filed record"),
        (lambda: without("entries.json"), "is no filed record"),
        (lambda: without("2 climate log logs%2Fnorth.csv"), "lacks one of the files that its record was made from"),
        (lambda: changed(one_more), "holds a file that its record was not made from"),
        (
            lambda: rename("6 overlay survey 7.json", "7 overlay survey 7.json"),
            "lacks one of the files that its record was made from",
        ),
        (lambda: rename("entries.json", "record.json"), "holds two files of one name"),
        (lambda: rename("4 rule set about.yaml", "6 rule set about.yaml"), "is no filed record"),
        (
            lambda: rename("4 rule set about.yaml", "4 rules about.yaml"),
            'holds "4 rules about.yaml", which is no part of a filed record',
        ),
        (
            lambda: rename("4 rule set about.yaml", "photo.jpg"),
            'holds "photo.jpg", which is no part of a filed record',
        ),
        (lambda: rewrite("record.json", b"[]"), "is no filed record"),
        (lambda: rewrite("entries.json", b"{}"), "is no filed record"),
        (lambda: rewrite("entries.json", b'["released"]'), "is no filed record"),
        (lambda: rewrite("record.json", b"{"), "holds a record.json that is no JSON that can be read"),
        (lambda: rewrite("record.json", b"[" * 100_000), "holds a record.json that is no JSON that can be read"),
        (lambda: rewrite("record.json", b"\xff"), "holds a record.json that is no JSON that can be read"),
        (lambda: rewrite("record.json", b"{}", 3), 'holds "record.json", which is not as long as it says'),
        (lambda: rewrite("record.json", b"{}", 2**40), "holds more than 256 MB of inputs"),
        (lambda: rewrite("record.json", b"{}", -(2**40)), "holds more than 256 MB of inputs"),
        (lambda: changed(crowd), "holds more than 1000 files"),
    ],
)
def test_what_is_no_filed_pdf_is_refused(made: Callable[[], bytes], said: str) -> None:
    """In one message that says what to give instead."""
    assert refusal(made()) == f"x.pdf: {said}; {GIVE}"


@pytest.mark.slow
def test_files_that_unpack_without_end_are_refused() -> None:
    """A megabyte that unpacks to four hundred, and says it is small, is not unpacked."""
    bomb = rewrite("4 rule set about.yaml", bytes(400 * 1024**2), 100)
    assert len(bomb) < 2 * 1024**2
    assert refusal(bomb) == f"x.pdf: is no PDF that can be read; {GIVE}"


def test_as_much_as_a_file_of_its_size_may_hold_is_unpacked_and_no_more() -> None:
    """By what it says of itself, and by what really comes out of it where it says less."""
    most, name = 100_000, "4 rule set about.yaml"
    others = sum(len(one.content) for one in attach(SMALL) if one.name != name)
    full, liar = rewrite(name, bytes(most - others)), rewrite(name, bytes(most + 2), 9)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(filed_pdf_reader, "input_bytes_max", lambda size: most if size == len(full) else 0)
        assert [len(one.content) for one in read_filed_pdf(full, "x.pdf").inputs][3] == most - others
        patch.setattr(filed_pdf_reader, "input_bytes_max", lambda _: most)
        assert refusal(liar) == f"x.pdf: is no PDF that can be read; {GIVE}"
        patch.setattr(filed_pdf_reader, "input_bytes_max", lambda _: most - 1)
        assert refusal(full) == f"x.pdf: {UNPACKS_FAR}; {GIVE}"
        patch.setattr(filed_pdf_reader, "INPUT_BYTES_MAX", most)
        assert refusal(full) == f"x.pdf: {UNPACKS_FAR}; {GIVE}"
        patch.setattr(filed_pdf_reader, "INPUT_BYTES_MAX", most - 1)
        assert refusal(full) == f"x.pdf: holds more than 256 MB of inputs; {GIVE}"


def test_so_many_files_are_attached_and_no_more() -> None:
    """All that there are, where they are as many as may be."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(filed_pdf_reader, "ATTACHMENTS_MAX", 8)
        assert same(read_filed_pdf(small_pdf(), "x.pdf"), SMALL)
        patch.setattr(filed_pdf_reader, "ATTACHMENTS_MAX", 7)
        assert refusal(small_pdf()) == f"x.pdf: holds more than 7 files; {GIVE}"


def packed_as(*filters: str, parameters: bool = False) -> bytes:
    """The small filed PDF with one file that says it is packed by these, and really is by zlib once for each."""
    content = b"{}"
    for _ in filters:
        content = zlib.compress(content)

    def change(document: pikepdf.Pdf) -> None:
        stream = spec_called(document, "6 overlay survey 7.json").EF.F
        names = pikepdf.Array([pikepdf.Name(name) for name in filters])
        given = pikepdf.Array([pikepdf.Dictionary(Predictor=1)] * len(filters)) if parameters else None
        stream.write(content, filter=names if len(filters) != 1 else names[0], decode_parms=given)
        stream.Params.Size = 2

    return changed(change, stream_decode_level=pikepdf.StreamDecodeLevel.none, compress_streams=False)


def test_a_file_is_packed_by_zlib_up_to_twice_and_by_nothing_else() -> None:
    """Other ways of packing, three times, or packing with parameters, take a reader long; none of ours is so."""
    for filters in ((), ("/FlateDecode",), ("/FlateDecode", "/FlateDecode")):
        assert same(read_filed_pdf(packed_as(*filters), "x.pdf"), SMALL)
    said = f'x.pdf: holds "6 overlay survey 7.json", which is not packed as it was filed; {GIVE}'
    for other in (
        packed_as(*["/FlateDecode"] * 3),
        packed_as("/LZWDecode"),
        packed_as("/FlateDecode", parameters=True),
    ):
        assert refusal(other) == said


def test_a_refusal_prints_nothing(caplog: pytest.LogCaptureFixture) -> None:
    """What the library mends on its way is not told, and its log is afterwards as it was."""
    assert "can be read" in refusal(small_pdf()[:9000])
    assert caplog.records == []
    assert logging.getLogger("pypdf").level == 0


def came_of(read: Callable[[], Filing]) -> Filing | InputError:
    """The filing, or the refusal; any other error goes through."""
    try:
        return read()
    except InputError as refused:
        return refused


@pytest.mark.slow
@settings(max_examples=300, deadline=None)
@given(st.data())
def test_damaged_bytes_are_read_or_refused(data: st.DataObject) -> None:
    """Bytes changed, cut out or put in anywhere: a filing comes out, or one message."""
    content = bytearray(small_pdf())
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(content) - 1))
        end = start + data.draw(st.sampled_from([0, 1, 1, 1, 40, 3000]))
        content[start:end] = data.draw(st.binary(max_size=6))
    read = came_of(lambda: read_filed_pdf(bytes(content), "x.pdf"))
    assert len(read.faults) == 1 if isinstance(read, InputError) else isinstance(read.record, dict)


@pytest.mark.slow
@given(st.dictionaries(st.text(max_size=12) | st.sampled_from([a.name for a in attach(SMALL)]), st.binary(max_size=9)))
def test_any_names_make_a_filing_or_a_refusal(attached: dict[str, bytes]) -> None:
    """Names and contents of every kind."""
    made = came_of(lambda: filing_of(attached, "x.pdf"))
    assert len(made.faults) == 1 if isinstance(made, InputError) else len(made.inputs) == len(attached) - 2


# The same each time


ELSEWHERE = (
    "import hashlib, sys, time\n"
    "time.time = lambda: 4102444800.0\n"
    "from wallwalk.filed_json import read_filed_json\n"
    "from wallwalk.report.pdf import render_pdf\n"
    "filing = read_filed_json(sys.stdin.buffer.read(), 'x.json')\n"
    "print(hashlib.sha256(render_pdf(filing)).hexdigest())"
)


@pytest.mark.slow
@pytest.mark.parametrize(("name", "overlays"), [(WORST, ()), (CORRIDOR, (TIGHT,))])
def test_same_filing_same_bytes_elsewhere(name: str, overlays: tuple[Path, ...]) -> None:
    """From a saved record, in another process, folder, time zone and language, with other hashes, on another day."""
    done = subprocess.run(
        [sys.executable, "-W", "error::DeprecationWarning:wallwalk", "-c", ELSEWHERE],
        input=write_filed_json(filed(name, *overlays)),
        capture_output=True,
        check=True,
        cwd="/",
        env={**os.environ, "PYTHONHASHSEED": "77", "TZ": "Pacific/Kiritimati", "LC_ALL": "C", "SOURCE_DATE_EPOCH": "1"},
    )
    assert done.stderr == b""
    assert done.stdout.decode().split() == [hashlib.sha256(filed_pdf(name, *overlays)).hexdigest()]


@pytest.mark.slow
def test_a_filed_pdf_draws_itself_again() -> None:
    """From the filing inside it comes the same PDF, byte for byte: it is verified by itself alone."""
    assert render_pdf(read_filed_pdf(filed_pdf(CORRIDOR, TIGHT), "x.pdf")) == filed_pdf(CORRIDOR, TIGHT)


@pytest.mark.slow
def test_the_page_is_drawn_from_the_record_alone() -> None:
    """Without its files the words on its pages are the same."""
    filing = filed(PASSING)
    others = [Filing(copy.deepcopy(filing.record), ())]
    texts = [
        [page.extract_text() for page in PdfReader(io.BytesIO(document)).pages]
        for document in (filed_pdf(PASSING), *map(render_pdf, others))
    ]
    assert texts[1:] == [texts[0]]
    assert "wallwalk" in "".join(texts[0])


def test_no_stream_ends_in_a_doubtful_byte(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file whose sum ends in a carriage return is compressed twice; what cannot be, moves by one empty object."""
    page = "<html lang='en'><head><title>Sum</title></head><body><h1>Sum</h1></body></html>"
    names = ("n" * length for length in range(10_000))
    unlucky = next(name for name in names if zlib.adler32(canonical({"name": name})) & 0xFF == ord("\r"))
    filing = Filing({"name": unlucky}, ())
    plain = draw_pdf(page, attach(filing))
    assert plain.count(b"[/FlateDecode /FlateDecode]") >= 1
    assert b"\r\nendstream" not in plain
    assert same(read_filed_pdf(plain, "x.pdf"), filing)
    asked = iter([False, False, True])
    monkeypatch.setattr(pdf, "ends_plainly", lambda _: next(asked))
    moved = draw_pdf(page, attach(filing))
    assert same(read_filed_pdf(moved, "x.pdf"), filing)
    sizes: list[Any] = [PdfReader(io.BytesIO(document)).trailer["/Size"] for document in (plain, moved)]
    assert sizes[1] - sizes[0] == 2
