"""The filed PDF is PDF/A-3a and PDF/UA-1: by a validator of its own, and clause by clause by two readers."""

from __future__ import annotations

import io
import re
import subprocess
from collections import Counter
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from page import validate_pdf_bytes
from pdfua import validate
from pypdf import PdfReader

import pdf_checks
from filings import FOLDER, SMALL, TIGHT, filed_pdf
from pdf_facts import Facts, by_pikepdf, by_pypdf
from wallwalk.attaching import attach
from wallwalk.report import pdf
from wallwalk.report.pdf import draw_pdf

WORST, CORRIDOR, PASSING = "014-old-dispensary", "110-link-corridor", "204-treatment-room"
LETTERS = "ñÑáéíóúüÁÉÍÓÚÜ¿¡°²³×≥≤µ±½·–…€“”«»"
"""What Spanish and the trade need."""


def verdict_of_validator(document: bytes, profile: str) -> dict[str, int]:
    """The rules that the validator finds broken, with how often."""
    report = validate_pdf_bytes(document, profile=profile)
    assert report.rules.total > 100
    return dict(Counter(failure.rule_id for failure in report.failures))


def verdicts_of_pdfua(path: Path) -> dict[str, list[str]]:
    """By rule of `pdfua`: what it finds wrong, or why it could not look."""
    outcomes = validate(str(path)).outcomes
    said = {
        one.rule_id: [f"{finding.severity.name}: {finding.message}" for finding in one.findings] for one in outcomes
    }
    return said | {one.rule_id: [f"not tried: {one.skipped_reason}"] for one in outcomes if one.skipped_reason}


def leave_unmended(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let PDFs be as WeasyPrint leaves them."""
    for mend in ("mend_tags", "say_standards", "name_attached", "compress_plainly"):
        monkeypatch.setattr(pdf, mend, lambda *_: None)


@cache
def facts_of(read: Callable[[bytes], Facts], name: str) -> Facts:
    """What one reader finds in an example's PDF."""
    return read(filed_pdf(name, TIGHT) if name == CORRIDOR else filed_pdf(name))


# By a validator


@pytest.mark.slow
@pytest.mark.parametrize("name", [WORST, CORRIDOR, PASSING, "031-staff-kitchen", "507-reading-room"])
def test_the_filed_pdf_is_archival_and_accessible(name: str, tmp_path: Path) -> None:
    """No rule of PDF/A-3a and none of PDF/UA-1 is broken, by two validators that share no code; how many is printed.

    `pdfua` cannot look into headings with pikepdf 10, and says so; of those two checks of ours speak, by two readers.
    """
    document = filed_pdf(name)
    for profile in ("3a", "ua1"):
        rules = validate_pdf_bytes(document, profile=profile).rules
        print(f"page-validation {profile:4} {name:18} {rules.passed} passed, {rules.failed} failed")  # noqa: T201
        assert (rules.failed, rules.passed) == (0, rules.total)
        assert rules.total > 100
    (tmp_path / "filed.pdf").write_bytes(document)
    found = verdicts_of_pdfua(tmp_path / "filed.pdf")
    untried = {rule for rule, said in found.items() if said and said[0].startswith("not tried: ")}
    wrong = {rule: said for rule, said in found.items() if said and rule not in untried}
    passed = len(found) - len(untried) - len(wrong)
    print(f"pdfua                {name:18} {passed} passed, {len(wrong)} failed, {len(untried)} not tried")  # noqa: T201
    assert (wrong, untried - {"UA-14-001"}) == ({}, set())
    assert len(found) >= 12


def test_pdfua_finds_what_is_broken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a page as WeasyPrint leaves it, so that its silence says something."""
    leave_unmended(monkeypatch)
    (tmp_path / "left.pdf").write_bytes(draw_pdf(PAGE.replace("<title>Page</title>", ""), attach(SMALL)))
    found = verdicts_of_pdfua(tmp_path / "left.pdf")
    assert {rule for rule, said in found.items() if said} >= {"UA-28-004", "UA-07-001"}


@pytest.mark.slow
@pytest.mark.parametrize(
    "arguments",
    [
        ("plan", f"examples/{WORST}.yaml"),
        ("rules", "show", "pasted-wallcovering"),  # the shorter manual: the validator takes long over many pages
        ("board", "examples", "--today", "2026-03-08"),
    ],
)
def test_plan_manual_and_board_are_archival_and_accessible(arguments: tuple[str, ...], tmp_path: Path) -> None:
    """What is not filed keeps the same rules, since it is drawn the same way."""
    done = subprocess.run(["wallwalk", *arguments, "-o", str(tmp_path / "x.pdf")], cwd=FOLDER.parent, check=False)
    document = (tmp_path / "x.pdf").read_bytes()
    assert done.returncode in (0, 1)
    assert {p: verdict_of_validator(document, p) for p in ("3a", "ua1")} == {"3a": {}, "ua1": {}}


def test_the_validator_finds_what_is_broken(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same page as WeasyPrint leaves it breaks these rules, so that their silence says something."""
    mended = draw_pdf(PAGE, attach(SMALL))
    leave_unmended(monkeypatch)
    left = draw_pdf(PAGE, attach(SMALL))
    assert [verdict_of_validator(mended, p) for p in ("3a", "ua1")] == [{}, {}]
    assert [verdict_of_validator(left, p) for p in ("3a", "ua1")] == [
        {"PDFA3A-METADATA-FILTER-001": 1},
        {
            "PDFUA1-ID-PART-001": 1,
            "PDFUA1-ID-SCHEMA-001": 1,
            "PDFUA1-L-KIDS-001": 1,
            "PDFUA1-LI-PARENT-001": 1,
            "PDFUA1-LINK-LINK-TAG-001": 1,
        },
    ]


# Clause by clause


@pytest.mark.slow
@pytest.mark.parametrize("read", [by_pypdf, by_pikepdf])
def test_each_clause_holds_by_two_readers(read: Callable[[bytes], Facts]) -> None:
    """No check fails, of any example; what passes is counted."""
    found = {name: pdf_checks.failing(facts_of(read, name)) for name in (WORST, CORRIDOR, PASSING)}
    for check in pdf_checks.CHECKS:
        failed = sum(check.__name__ in failing for failing in found.values())
        print(f"{read.__name__:10} {check.__name__:30} {len(found) - failed} passed, {failed} failed")  # noqa: T201
    assert found == {WORST: {}, CORRIDOR: {}, PASSING: {}}


@pytest.mark.slow
def test_two_readers_find_the_same() -> None:
    """The same roles in the same order, the same fonts, the same files."""
    one, other = (facts_of(read, PASSING) for read in (by_pypdf, by_pikepdf))
    for told in (
        lambda f: [(above, e["/S"]) for above, e in f.structure()],
        lambda f: sorted(font["/BaseFont"] for font in f.fonts),
        lambda f: [(spec["/UF"], spec["/EF"]["/F"]["stream"]) for spec in f.root["/AF"]],
        lambda f: len(f.objects),
    ):
        assert told(one) == told(other)


PAGE = """<html lang="en"><head><title>Page</title><meta name="dcterms.created" content="2026-03-10T08:00:00-05:00">
<meta name="author" content="A"><meta name="description" content="B"><meta name="generator" content="C"></head>
<style>@page { @top-left { content: "edge" } } li { display: inline-block }</style>
<body><h1>Page</h1><dl><div><dt>a</dt><dd>b</dd></div></dl><ul><li>one</li> <li><span></span>two</li></ul>
<p><a href="#t">over <b>there</b></a></p>
<table id="t"><thead><tr><th scope="col">a</th><th scope="col">d</th></tr></thead>
<tbody><tr><th scope="row">b</th><td>c</td></tr></table>
<svg viewBox="0 0 9 9" width="9" height="9"><title>drawn</title><desc>a line</desc><path d="M0 0 9 9"/></svg>
</body></html>"""


def test_the_checks_find_what_is_left_unmended(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a page that holds one of each, as WeasyPrint leaves it, by both readers; mended, nothing fails."""
    mended = draw_pdf(PAGE, attach(SMALL))
    leave_unmended(monkeypatch)
    left = draw_pdf(PAGE, attach(SMALL))
    wanted = {
        "one_packet",
        "says_pdf_ua",
        "files_are_associated",
        "headers_say_what_they_head",
        "lists_of_items",
        "nothing_idle",
        "all_words_in_the_tree",
        "annotations_in_reading_order",
    }
    for read in (by_pypdf, by_pikepdf):
        assert pdf_checks.failing(read(mended)) == {}
        assert pdf_checks.failing(read(left)).keys() == wanted


@pytest.mark.parametrize("read", [by_pypdf, by_pikepdf])
def test_a_heading_that_says_nothing_is_found(read: Callable[[bytes], Facts]) -> None:
    """One in which no word stands, among others."""
    facts = read(draw_pdf(PAGE.replace("<h1>Page</h1>", "<h1>Page</h1><h2></h2>"), attach(SMALL)))
    assert pdf_checks.failing(facts) == {"headings_say_something": ["/H2"]}


# Letters


@pytest.mark.parametrize(
    "style", ["400 12pt Open Sans", "700 12pt Open Sans", "italic 12pt Open Sans", "12pt DejaVu Sans Mono"]
)
def test_letters_are_drawn_and_read_back(style: str) -> None:
    """Each letter has a glyph in an embedded font of that family, and two readers read it back as it was written."""
    font = re.sub(r"pt (.*)", r"pt '\1'", style)
    head = '<html lang="es"><head><title>Letras</title></head>'
    document = draw_pdf(f'{head}<body><h1 style="font: {font}">{LETTERS}</h1></body></html>')
    text = "".join(one.extract_text() for one in PdfReader(io.BytesIO(document)).pages)
    done = subprocess.run(["pdftotext", "-raw", "-", "-"], input=document, capture_output=True, check=True)
    assert "".join(text.split()) == "".join(done.stdout.decode().split()) == LETTERS
    facts = by_pikepdf(document)
    family = style.partition("pt ")[2].replace(" ", "-")
    assert {name.partition("+")[2][: len(family)] for name in (f["/BaseFont"] for f in facts.fonts)} == {family}
    (drawn,) = [page["/Contents"]["stream"] for page in facts.pages]
    shown = re.findall(rb"<((?:[0-9a-f]{4})+)>", drawn)
    glyphs = [run[i : i + 4] for run in shown for i in range(0, len(run), 4)]
    assert len(glyphs) == len(LETTERS)
    assert b"0000" not in glyphs  # that is the box drawn for a letter that the font lacks
    assert {p: verdict_of_validator(document, p) for p in ("3a", "ua1")} == {"3a": {}, "ua1": {}}
