"""A filing as files attached to a PDF and back, without drawing one: their names, kinds, bytes and order."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from typing import Any

import pytest

from filings import SMALL
from wallwalk.attaching import Attached, attach, filing_of
from wallwalk.errors import InputError
from wallwalk.filing import PHOTO, SURVEY, Filing, Input, Said, canonical

GIVE = "give a file that wallwalk check or wallwalk sign wrote"
Files = dict[str, bytes]


def files_of(filing: Filing) -> Files:
    """The attached files by name."""
    return {one.name: one.content for one in attach(filing)}


def sha256(content: bytes) -> str:
    """The digest of some bytes."""
    return hashlib.sha256(content).hexdigest()


def test_each_file_is_attached_whole_with_what_it_is() -> None:
    """Name, bytes, relationship and words of each, in the order of their names."""
    entries = [{"signed": "hold"}, {"signed": "release"}]
    signed = canonical(
        {
            "entries": entries,
            "end": {"entries": 2, "digest": sha256(b'{"signed":"release"}')},
            "sha256s": [sha256(one.content) for one in SMALL.inputs],
        }
    )
    texts = ("The survey", "A climate log", "A climate log", "A file of the rule set", "An overlay", "An overlay")
    names = (
        "1 survey baño 2.yaml",
        "2 climate log logs%2Fnorth.csv",
        "3 climate log logs%2Fnorth.csv",
        "4 rule set about.yaml",
        "5 overlay ..%2F%22100%25%22.yaml%0A",
        "6 overlay survey 7.json",
    )
    kinds = ("Source", "Source", "Source", "Supplement", "Supplement", "Supplement")
    assert attach(SMALL) == (
        *(
            Attached(name, one.content, kind, f"{text} as it was read, SHA-256 {sha256(one.content)}")
            for name, one, kind, text in zip(names, SMALL.inputs, kinds, texts, strict=True)
        ),
        Attached("entries.json", signed, "Data", "What was signed on the record"),
        Attached("record.json", canonical(SMALL.record), "Data", "The record that this report is drawn from"),
    )


def test_what_the_files_are_is_said_in_the_language_of_the_record() -> None:
    """In English where it names none."""
    filing = Filing({"language": "es"}, (Input(PHOTO, "wall.jpg", b""), Input(SURVEY, "room.yaml", b"")))
    digest = sha256(b"")
    assert [(one.name, one.relationship, one.says) for one in attach(filing)] == [
        ("1 photo wall.jpg", "Source", f"Una foto tal como se tomó, SHA-256 {digest}"),
        ("2 survey room.yaml", "Source", f"El levantamiento tal como se leyó, SHA-256 {digest}"),
        ("entries.json", "Data", "Lo que se firmó en el acta"),
        ("record.json", "Data", "El acta de la que se hace este informe"),
    ]
    english = attach(Filing({}, (Input(PHOTO, "wall.jpg", b""),)))[0]
    assert english.says == f"A photo as it was taken, SHA-256 {digest}"


def test_the_number_in_a_name_is_as_wide_as_the_last() -> None:
    """So that the names sort as the files stand, nine or ten of them."""
    for count, first in ((9, "1 survey a"), (10, "01 survey a")):
        filing = Filing({}, tuple(Input(SURVEY, "a", b"%d" % number) for number in range(count)))
        names = [one.name for one in attach(filing)]
        assert (names[0], len(names)) == (first, count + 2)
        assert filing_of(files_of(filing), "x.pdf").inputs == filing.inputs


@pytest.mark.parametrize(
    ("name", "kind", "key"),
    [
        ("1 climate log North.CSV", "text/csv", "1 climate log North.CSV"),
        ("1 photo Baño 2.jpeg", "image/jpeg", "1 photo Ba%C3%B1o 2.jpeg"),
        ("1 photo a.jpg", "image/jpeg", "1 photo a.jpg"),
        ("1 photo a.png", "image/png", "1 photo a.png"),
        ("1 photo a.webp", "image/webp", "1 photo a.webp"),
        ("record.json", "application/json", "record.json"),
        ("1 survey a.yaml", "application/yaml", "1 survey a.yaml"),
        ("1 survey a/b.yml", "application/yaml", "1 survey a%2Fb.yml"),
        ("1 climate log a.tsv", "text/tab-separated-values", "1 climate log a.tsv"),
        ("1 climate log a.txt", "text/plain", "1 climate log a.txt"),
        ("1 climate log csv", "application/octet-stream", "1 climate log csv"),
        ("1 climate log a.log", "application/octet-stream", "1 climate log a.log"),
    ],
)
def test_a_file_is_of_the_kind_that_its_suffix_says(name: str, kind: str, key: str) -> None:
    """By a table of our own; its key in the PDF is in ASCII."""
    attached = Attached(name, b"", "Data", "")
    assert (attached.media_type, attached.key) == (kind, key)


def test_what_was_attached_is_read_back_with_what_it_says_of_itself() -> None:
    """Record, inputs and entries as they were, the digests beside them, and that it is written as it is filed."""
    read = filing_of(files_of(SMALL), "x.pdf")
    assert (read.record, read.inputs, read.entries) == (SMALL.record, SMALL.inputs, SMALL.entries)
    assert read.said == Said(True, tuple(one.sha256 for one in SMALL.inputs), (), 2, SMALL.end)


def test_a_filing_without_files_is_read_back_too() -> None:
    """Record and entries alone are one; whether a record was made from nothing is for others to ask."""
    bare = Filing({"verdict": "hold"}, (), ({"signed": "hold"},))
    assert filing_of(files_of(bare), "x.pdf") == bare


def test_the_files_may_come_in_any_order() -> None:
    """The number in the name is the place; ten comes behind nine."""
    filing = Filing({}, tuple(Input(SURVEY, "a", b"%d" % number) for number in range(10)))
    files = {name.removeprefix("0"): content for name, content in files_of(filing).items()}
    assert filing_of(dict(reversed(files.items())), "x.pdf").inputs == filing.inputs


def with_signed(change: Callable[[Any], object]) -> Files:
    """The files with a change in what was signed."""
    files = files_of(SMALL)
    signed = json.loads(files["entries.json"])
    change(signed)
    return {**files, "entries.json": canonical(signed)}


def test_a_record_or_entries_written_anew_are_told_apart() -> None:
    """With a space more in either of them."""
    for name in ("record.json", "entries.json"):
        files = files_of(SMALL)
        said = filing_of({**files, name: files[name] + b" "}, "x.pdf").said
        assert said is not None
        assert not said.canonical
    other = filing_of(with_signed(lambda signed: signed["end"].update(digest="0")), "x.pdf").said
    assert other == Said(True, tuple(one.sha256 for one in SMALL.inputs), (), 2, "0")


def renamed(before: str, after: str) -> Files:
    """The files, one of them called otherwise."""
    return {after if name == before else name: content for name, content in files_of(SMALL).items()}


NO_JSON = "that is no JSON that can be read"
NO_PART = "which is no part of a filed record"
LACKS = "lacks one of the files that its record was made from"


@pytest.mark.parametrize(
    ("files", "said"),
    [
        ({}, "is no filed record"),
        ({"record.json": b"{}"}, "is no filed record"),
        ({"entries.json": b"{}"}, "is no filed record"),
        (renamed("1 survey baño 2.yaml", "1 surveys a"), f'holds "1 surveys a", {NO_PART}'),
        (renamed("1 survey baño 2.yaml", "1 survey "), f'holds "1 survey ", {NO_PART}'),
        (renamed("1 survey baño 2.yaml", "1234567 survey a"), f'holds "1234567 survey a", {NO_PART}'),
        (renamed("1 survey baño 2.yaml", "x1 survey a"), f'holds "x1 survey a", {NO_PART}'),
        (renamed("1 survey baño 2.yaml", "2 survey a"), "is no filed record"),
        (renamed("1 survey baño 2.yaml", "7 survey a"), LACKS),
        (renamed("1 survey baño 2.yaml", "0 survey a"), LACKS),
        ({**files_of(SMALL), "record.json": b"[]"}, "is no filed record"),
        ({**files_of(SMALL), "entries.json": b"[]"}, "is no filed record"),
        ({**files_of(SMALL), "record.json": b"{"}, f"holds a record.json {NO_JSON}"),
        ({**files_of(SMALL), "entries.json": b"["}, f"holds a entries.json {NO_JSON}"),
        ({**files_of(SMALL), "record.json": b"[" * 100_000}, f"holds a record.json {NO_JSON}"),
        ({**files_of(SMALL), "record.json": b'{"a": 1e999}'}, f"holds a record.json {NO_JSON}"),
        (with_signed(lambda signed: signed.update(more=1)), "is no filed record"),
        (with_signed(lambda signed: signed.update(entries={})), "is no filed record"),
        (with_signed(lambda signed: signed.update(sha256s={})), "is no filed record"),
        (with_signed(lambda signed: signed["entries"].append(1)), "is no filed record"),
        (with_signed(lambda signed: signed["sha256s"].append(1)), "is no filed record"),
        (with_signed(lambda signed: signed["sha256s"].append("0")), LACKS),
        (with_signed(lambda signed: signed["sha256s"].pop()), "holds a file that its record was not made from"),
        (with_signed(lambda signed: signed["end"].update(more=1)), "does not say where it ends"),
    ],
)  # fmt: skip
def test_files_that_make_no_filing_are_refused(files: Files, said: str) -> None:
    """In one message that says what to give instead."""
    with pytest.raises(InputError) as refused:
        filing_of(files, "x.pdf")
    assert [str(fault) for fault in refused.value.faults] == [f"x.pdf: {said}; {GIVE}"]
