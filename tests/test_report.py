"""The HTML and PDF report: complete in themselves, the same each time, readable without colour, nothing left out."""

from __future__ import annotations

import base64
import copy
import hashlib
import io
import json
import logging
import os
import re
import subprocess
import sys
from functools import cache
from html.parser import HTMLParser
from itertools import pairwise
from typing import Any

import pytest
from pypdf import PdfReader

from surveys import EXAMPLES, example, example_document, example_rules, rigid_sheet, survey_of
from wallwalk.checking import check
from wallwalk.errors import MissingPartError
from wallwalk.filing import Filing, canonical
from wallwalk.record import Record
from wallwalk.report import pdf
from wallwalk.report.html import css_string, render_html
from wallwalk.report.items import Around, brief_of
from wallwalk.report.pdf import render_pdf
from wallwalk.report.tables import WALLS_ACROSS
from wallwalk.report.view import NOT_STATED, lay_out
from wallwalk.words import IN_ENGLISH

NAMES = tuple(path.stem for path in EXAMPLES)
WORST, PASSING, HALF_FILLED = "014-old-dispensary", "204-treatment-room", "031-staff-kitchen"


class Page(HTMLParser):
    """A page taken apart: its elements in order, and the text inside each."""

    VOID = frozenset({"meta", "br", "img", "input", "link", "hr"})

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str], list[str]]] = []
        self.open: list[int] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element and what it stands in."""
        self.elements.append((tag, {k: v or "" for k, v in attrs}, []))
        if tag not in self.VOID:
            self.open.append(len(self.elements) - 1)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element that closes itself, as drawings have them."""
        self.elements.append((tag, {k: v or "" for k, v in attrs}, []))

    def handle_endtag(self, tag: str) -> None:
        """Close the innermost element, which must be the one named."""
        assert self.elements[self.open.pop()][0] == tag

    def handle_data(self, data: str) -> None:
        """Text belongs to every element it stands in."""
        for i in self.open:
            self.elements[i][2].append(data)

    def find(self, tag: str, kind: str = "") -> list[tuple[dict[str, str], str]]:
        """Attributes and text of every element called `tag` that has the class `kind`."""
        return [
            (attributes, " ".join("".join(text).split()))
            for name, attributes, text in self.elements
            if name == tag and (not kind or kind in attributes.get("class", "").split())
        ]

    def texts(self, tag: str, kind: str = "") -> list[str]:
        """The text of every element called `tag` that has the class `kind`."""
        return [text for _, text in self.find(tag, kind)]


@cache
def record_of(name: str) -> Record:
    """The record of one example."""
    return check(example(name), example_rules(name))


@cache
def html_of(name: str) -> str:
    """The HTML report of one example."""
    return render_html(record_of(name))


@cache
def pdf_of(name: str, page_size: str = "Letter") -> bytes:
    """The PDF report of one example."""
    return render_pdf(Filing(record_of(name), ()), page_size=page_size)


@cache
def pages_of(document: bytes) -> tuple[str, ...]:
    """The text of each page of a PDF."""
    done = subprocess.run(["pdftotext", "-raw", "-", "-"], input=document, capture_output=True, check=True)
    *pages, after = done.stdout.decode().split("\f")
    assert after == ""
    return tuple(pages)


def run_together(text: str) -> str:
    """Text without white space, so that the line it was broken at does not matter."""
    return "".join(text.split())


def renamed(record: Record, **heading: str) -> dict[str, Any]:
    """The record with other words in its heading."""
    changed = copy.deepcopy(dict(record))
    changed["heading"] |= heading
    return changed


def with_walls(count: int) -> Record:
    """The record of an example with its first wall written down `count` times under other names."""
    data: Any = copy.deepcopy(example_document(WORST).data)
    data["walls"] = [{**data["walls"][0], "name": f"Pared {i} del pasillo"} for i in range(1, count + 1)]
    data["walls_in_scope"] = str(count)
    return check(survey_of(data), rigid_sheet())


def holding(record: Record) -> list[Any]:
    """Every finding that holds the work because something is wrong."""
    return [f for f in record["findings"] if f["grade"] == "hold" and f["outcome"] == "hold"]


# The page


@pytest.mark.slow
@pytest.mark.parametrize(
    "markup", ["<script>alert(1)</script>", '"}</style><b id="x">', "</title>&amp;'\"", "\\22 } @import url(x);"]
)
def test_markup_in_a_name_is_text(markup: str) -> None:
    """Whatever a name holds, it adds no element, no attribute and no style, and it is read as it was written."""
    fields = ("project", "space", "walked_by", "notes")
    records = (renamed(record_of(WORST), **dict.fromkeys(fields, name)) for name in ("Plain", markup))
    plain, marked = (Page(render_html(record)) for record in records)
    assert [(tag, sorted(attributes)) for tag, attributes, _ in marked.elements] == [
        (tag, sorted(attributes)) for tag, attributes, _ in plain.elements
    ]
    shown = " ".join(markup.split())
    assert marked.texts("h1") == [f"{shown} {shown}, ground, east wing"]
    assert [text for _, text in marked.find("dd")].count(shown) == 4


def test_a_css_string_cannot_be_ended_from_inside() -> None:
    """Letters and spaces stand as they are; everything else is written as its number."""
    assert css_string('Sala 2·"}<\n') == '"Sala 2\\b7 \\22 \\7d \\3c \\a "'


@pytest.mark.parametrize("name", NAMES)
def test_the_page_needs_nothing_but_itself(name: str) -> None:
    """No script, no outside address; the policy forbids all but the style sheet, by its digest, and photos inside."""
    page, photos = Page(html_of(name)), record_of(name)["photos"]
    assert page.find("script") + page.find("link") + page.find("iframe") == []
    shown = [a.pop("src") for a, _ in page.find("img")]
    assert shown == [f"data:image/jpeg;base64,{photo['shown']}" for photo in photos]
    loading = ("href", "src", "action", "style", "onclick")
    addresses = [a[key] for _, a, _ in page.elements for key in loading if key in a]
    ids = {a["id"] for _, a, _ in page.elements if "id" in a}
    assert {a for a in addresses if not (a.startswith("#") and a[1:] in ids)} == set()
    (style,) = [text for tag, _, text in page.elements if tag == "style"]
    digest = base64.b64encode(hashlib.sha256("".join(style).encode()).digest()).decode()
    policy = [a["content"] for a, _ in page.find("meta") if a.get("http-equiv") == "Content-Security-Policy"]
    images = "img-src data:; " if photos else ""
    assert policy == [f"default-src 'none'; {images}style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"]
    assert "url(" not in "".join(style)
    assert "@import" not in "".join(style)


@pytest.mark.parametrize("name", NAMES)
def test_headings_go_down_one_step_at_a_time(name: str) -> None:
    """There is one first heading, and none is skipped on the way down."""
    levels = [int(tag[1]) for tag, _, _ in Page(html_of(name)).elements if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert [(a, b) for a, b in pairwise(levels) if b > a + 1] == []


@pytest.mark.parametrize("name", NAMES)
def test_every_table_says_what_its_rows_and_columns_are(name: str) -> None:
    """Each table has header cells, and each header cell says what it heads."""
    page = Page(html_of(name))
    tables = [i for i, (tag, _, _) in enumerate(page.elements) if tag == "table"]
    ends = [*tables[1:], len(page.elements)]
    assert len(tables) >= 6
    for start, end in zip(tables, ends, strict=True):
        heads = [attributes for tag, attributes, _ in page.elements[start:end] if tag == "th"]
        assert heads
        assert {head.get("scope") for head in heads} <= {"col", "row", "rowgroup"}


def test_language_title_and_author_are_set() -> None:
    """The page says its language; its title has verdict, project and space; its author is who walked."""
    page = Page(html_of(WORST))
    assert [a["lang"] for a, _ in page.find("html")] == ["en"]
    assert page.texts("title")[:1] == ["HOLD · Quillen Ferry Clinic, refit and link · 014 Old dispensary"]
    assert [a["content"] for a, _ in page.find("meta") if a.get("name") == "author"] == ["Begoña Zúñiga Arriscado"]


def test_a_page_size_that_is_none_is_refused() -> None:
    """The message names what was given and what there is."""
    with pytest.raises(ValueError, match=r'^page size is "A3"; write Letter or A4$'):
        render_html(record_of(PASSING), page_size="A3")


# What it says


@pytest.mark.parametrize("name", NAMES)
def test_the_verdict_is_a_word_and_a_shape(name: str) -> None:
    """The verdict is written out, and its drawing is another shape for each, not another colour."""
    page = Page(html_of(name))
    verdict = record_of(name)["verdict"]
    assert page.texts("p", "word") == [verdict.upper()]
    assert [len(page.find(shape)) for shape in ("circle", "polygon")] == ([1, 0] if verdict == "pass" else [0, 1])


@pytest.mark.parametrize("name", NAMES)
def test_every_mark_of_the_table_is_a_word_or_a_sign(name: str) -> None:
    """Each finding of a wall or space written down is one cell, with its own mark in the text."""
    record, page = record_of(name), Page(html_of(name))
    marks = {"pass": "yes", "hold": "HOLD", "not verified": "?", "does not apply": "–"}
    listed = [f for f in record["findings"] if f["listed"]]
    noted = [f["grade"] == "caution" and f["outcome"] == "hold" for f in listed]
    expected = sorted("note" if note else marks[f["outcome"]] for f, note in zip(listed, noted, strict=True))
    legend = ["yes", "HOLD", "?", "note", "–"]
    assert page.texts("span", "mark")[: len(legend)] == legend
    assert sorted(page.texts("span", "mark")[len(legend) :]) == expected


@pytest.mark.parametrize("name", NAMES)
def test_every_hold_is_in_the_page(name: str) -> None:
    """Title, place, what is wrong, what was measured and required, and what to do: for every finding that holds."""
    record, text = record_of(name), run_together(" ".join(Page(html_of(name)).texts("main")))
    holds = holding(record)
    wanted = {f[part] for f in holds for part in ("title", "says", "put_right", "why", "basis")}
    wanted |= {"The space" if f["about"] == "space" else f["subject"] for f in holds}
    deciding = [c for f in holds for c in f["compared"] if c["verdict"] == "hold" and not c["decides_applying"]]
    wanted |= {c[part] for c in deciding for part in ("measured", "required")}
    assert {part for part in wanted if run_together(part) not in text} == set()


@pytest.mark.parametrize("name", NAMES)
def test_every_hold_has_boxes_to_tick_and_a_row_to_release_it(name: str) -> None:
    """A box for each place of each hold, and one row for each hold, in the same numbers."""
    record, page = record_of(name), Page(html_of(name))
    titles = [item.title for party in lay_out(record).holds for item in party.items]
    assert len(titles) == len({f["rule"] for f in holding(record)})
    boxed = [
        above for (_, a, _), (_, below, _) in pairwise(page.elements) for above in [a] if below.get("class") == "box"
    ]
    assert len([a for a in boxed if "scope" not in a]) == len(holding(record))
    assert page.texts("td", "number") == [str(n) for n, _ in enumerate(titles, 1)]


SIGNERS = {
    WORST: [
        ("Installer", "1–12"), ("Painter", "13–23"), ("Drywall finisher", "24–27"), ("Heating and cooling", "34"),
        ("General contractor", "28–33"), ("Owner", ""), ("Inspector", ""),
    ],
    HALF_FILLED: [("Installer", "1–3"), ("Painter", "4"), ("General contractor", ""), ("Owner", ""), ("Inspector", "")],
    "110-link-corridor": [
        ("Installer", "1–4"), ("Painter", "5"), ("Heating and cooling", "6"),
        ("General contractor", ""), ("Owner", ""), ("Inspector", ""),
    ],
    PASSING: [("Installer", ""), ("General contractor", ""), ("Owner", ""), ("Inspector", "")],
    "507-reading-room": [
        ("Installer", ""), ("Painter", "1"), ("General contractor", ""), ("Owner", "2"), ("Inspector", ""),
    ],
}  # fmt: skip
"""Who signs each example: the installer, whoever has something to put right there, and who may release it."""


@pytest.mark.parametrize("name", NAMES)
def test_everyone_who_has_a_part_in_it_has_a_line_to_sign(name: str) -> None:
    """With room for name, company, signature and date, and the numbers of the holds that are theirs."""
    heads = Page(html_of(name)).texts("th")
    start = heads.index("Signature") - 3
    rows = [f"{who}puts right {numbers}" if numbers else who for who, numbers in SIGNERS[name]]
    assert heads[start : start + 5 + len(rows)] == ["For", "Name", "Company", "Signature", "Date", *rows]
    released = ["No.", "Hold", "Released by: name, role, signature", "Date", "Remark"]
    assert (heads[start + 5 + len(rows) :][:5] == released) is bool(holding(record_of(name)))


def test_nobody_signs_who_has_no_part_in_it() -> None:
    """Where neither a hold is the owner's nor may the owner release one, there is no line for the owner."""
    record = record_of(HALF_FILLED)
    rule_set = {**record["rule_set"], "releases": {"inspector": ["painter"]}}
    titles = [signer.title for signer in lay_out({**record, "rule_set": rule_set}).signers]
    assert titles == ["Installer", "Painter", "General contractor", "Inspector"]


@pytest.mark.parametrize("name", NAMES)
def test_the_head_says_who_has_to_do_what_and_where(name: str) -> None:
    """So that the first page alone can be handed over: each hold by its number, what is required, and the places."""
    page = Page(html_of(name))
    listed = [item for party in lay_out(record_of(name)).holds for item in party.items]
    wanted = [f"{item.number} {item.title} · {item.where}" for item in listed]
    assert page.texts("ul", "todo") == [
        " ".join(wanted[item.number - 1] for item in party.items) for party in lay_out(record_of(name)).holds
    ]
    for finding in holding(record_of(name)):
        (item,) = (one for one in listed if one.rule == finding["rule"])
        assert any(finding["subject"] in point.subjects or finding["subject"] == "space" for point in item.points)


@pytest.mark.parametrize("name", NAMES)
def test_what_does_not_apply_is_named_once_with_every_reason(name: str) -> None:
    """Each rule in one row only, and in its row each place with what decides it there."""
    record = record_of(name)
    apart: dict[str, set[str]] = {}
    for finding in record["findings"]:
        if finding["outcome"] == "does not apply" and finding["listed"]:
            apart.setdefault(finding["title"], set()).add(finding["says"])
    rows = lay_out(record).apart
    assert sorted(title for row in rows for title in row.titles) == sorted(apart)
    assert {title: {because for _, because in row.reasons} for row in rows for title in row.titles} == apart
    assert len({row.reasons for row in rows}) == len(rows)
    cells = Page(html_of(name)).texts("span", "reason")
    assert cells == [f"{where}. {because}" for row in rows for where, because in row.reasons]


@pytest.mark.parametrize("name", NAMES)
def test_everything_not_verified_is_in_the_page(name: str) -> None:
    """Each rule that waits is named, and each place in the survey that it waits for is given."""
    record, page = record_of(name), Page(html_of(name))
    waiting = [f for f in record["findings"] if f["grade"] == "hold" and f["outcome"] == "not verified" and f["listed"]]
    assert len(page.find("ul", "waiting")) == bool(waiting)
    listed = " ".join(page.texts("ul", "waiting"))
    assert {f["title"] for f in waiting if f["title"] not in listed} == set()
    places = {re.sub(r"^walls\[\d+\]\.", "walls[…].", m["place"]) for f in waiting for m in f["missing"]}
    assert places - set(page.texts("code")) == set()
    unlisted = [s for s in record["subjects"] if not s["listed"]]
    assert sum("written down" in text and "in scope" in text for text in page.texts("p", "notice")) == len(unlisted)


@pytest.mark.parametrize("name", NAMES)
def test_every_caution_and_every_limit_is_in_the_page(name: str) -> None:
    """Cautions say what to do and why; limits say their value and basis; the sources say their digests."""
    record, text = record_of(name), run_together(" ".join(Page(html_of(name)).texts("main")))
    listed = [f for f in record["findings"] if f["listed"]]
    cautions = [f for f in listed if f["grade"] == "caution" and f["outcome"] in ("hold", "not verified")]
    wanted = {f[part] for f in cautions for part in ("title", "says", "put_right", "why", "basis")}
    wanted |= {limit[part] for limit in record["limits"] for part in ("written", "basis")}
    wanted |= {change for limit in record["limits"] for change in limit["history"]}
    wanted |= {record["survey"]["file"], record["survey"]["sha256"], record["rule_set"]["sha256"]}
    wanted |= {f"wallwalk {record['tool']['version']}", record["rule_set"]["revision"], record["rule_set"]["made_for"]}
    wanted |= {change[part] for change in record["rule_set"]["changes"] for part in ("date", "what", "why", "basis")}
    wanted |= {
        "Local code and licensed practice always decide.",
        "guarded: a reading nearer its limit than its own uncertainty is not a pass",
    }
    assert {part for part in wanted if run_together(part) not in text} == set()


def test_nothing_to_say_is_said() -> None:
    """A pass says that nothing holds and nothing is open; a hold for want of answers does not say so."""
    assert Page(html_of(PASSING)).texts("p", "nothing") == [
        "Nothing holds the work.",
        "Nothing that can hold the work is left unverified.",
    ]
    empty = Page(render_html(check(survey_of({}), rigid_sheet())))
    assert empty.texts("p", "word") == ["HOLD"]
    assert empty.texts("p", "nothing")[0] == "Nothing was found wrong. What is not verified holds the work."


def test_a_heading_left_empty_says_so() -> None:
    """Of an empty survey every field of the heading reads *not stated*."""
    page = Page(render_html(check(survey_of({}), rigid_sheet())))
    assert page.texts("h1") == ["Project not stated Space not stated"]
    assert page.texts("dd", "unstated") == [NOT_STATED] * 14


def test_forty_walls_stand_in_parts_that_fit() -> None:
    """Each wall heads one column of one part, in order, and no part is wider than a page."""
    view = lay_out(with_walls(40))
    first, *parts = view.sheets
    assert first.columns == ("The space",)
    assert [column for part in parts for column in part.columns] == [f"Pared {i} del pasillo" for i in range(1, 41)]
    assert max(len(part.columns) for part in parts) <= WALLS_ACROSS
    assert [part.title for part in parts] == [f"Walls {a} to {a + 9} of 40" for a in (1, 11, 21, 31)]


@pytest.mark.slow
def test_the_same_said_of_many_walls_is_said_once() -> None:
    """Forty walls alike make one entry for all of them, with a box for each."""
    record = with_walls(40)
    points = [point for party in lay_out(record).holds for item in party.items for point in item.points]
    assert {(len(p.subjects), p.where) for p in points} == {(1, "The space"), (40, "All 40 walls")}


def test_walls_are_named_shortly_and_never_mistaken() -> None:
    """All walls, or all but a few, are named as such; where a name has a comma in it, another sign parts the names."""
    data: Any = copy.deepcopy(example_document(WORST).data)
    plain, names = data["walls"][0], [f"Bay {i}, stair side" for i in range(1, 9)]
    data["walls"] = [copy.deepcopy({**plain, "name": name}) for name in names]
    data["walls_in_scope"] = "8"
    del data["walls"][0]["substrate"]
    for wall in data["walls"][2:]:
        del wall["coatings"]["stains_bleeding"]
    places = {entry.place: entry.where for entry in lay_out(check(survey_of(data), rigid_sheet())).to_write}
    assert places["walls[…].substrate"] == names[0]
    assert places["walls[…].coatings.stains_bleeding"] == f"All walls but {names[0]}; {names[1]}"


def long_named(count: int, letters: int) -> Record:
    """The dispensary with so many walls, every second one as dusty as its North, with names of so many letters."""
    data: Any = copy.deepcopy(example_document(WORST).data)
    names = [f"Pared {i} del corredor ".ljust(letters, "ñ") for i in range(1, count + 1)]
    data["walls"] = [copy.deepcopy({**data["walls"][i % 2], "name": name}) for i, name in enumerate(names)]
    data["walls_in_scope"] = str(count)
    data["photos"] = []
    return check(survey_of(data), rigid_sheet())


def test_walls_of_long_names_are_told_by_number_on_paper() -> None:
    """Where their names would run into one another: the head lists them, and tables and lists give their numbers."""
    record = long_named(9, 33)
    view, page = lay_out(record), Page(render_html(record))
    names = [s["name"] for s in record["subjects"] if s["about"] == "wall"]
    assert view.wall_numbers == {name: number for number, name in enumerate(names, 1)}
    assert page.texts("table", "key") == [
        "The walls by number No.Wall " + " ".join(f"{number}{name}" for name, number in view.wall_numbers.items())
    ]
    (sheet,) = view.sheets[1:]
    assert (sheet.columns, sheet.turned) == (tuple("123456789"), False)
    (dust,) = (item for party in view.holds for item in party.items if item.rule == "no-dust")
    assert (dust.brief, dust.where) == ("walls 1, 3, 5, 7, 9", ", ".join(names[::2]))
    assert f"{dust.number} {dust.title} · walls 1, 3, 5, 7, 9" in page.texts("ul", "todo")[0]
    assert f"3 · {names[2]}" in page.texts("ul", "ticks")[dust.number - 1]


@pytest.mark.parametrize(("count", "letters"), [(6, 80), (9, 32)])
def test_walls_of_shorter_names_or_fewer_are_told_by_name(count: int, letters: int) -> None:
    """Six stand side by side whatever they are called; a head that stands on end has room for 32 letters."""
    view = lay_out(long_named(count, letters))
    assert view.wall_numbers == {}
    assert [item.brief for party in view.holds for item in party.items] == [
        item.where for party in view.holds for item in party.items
    ]
    assert view.sheets[1].columns == tuple(s["name"] for s in view.record["subjects"] if s["about"] == "wall")


def test_numbers_in_a_row_are_told_by_the_first_and_the_last() -> None:
    """Three or more; two stand side by side."""
    walls = tuple(f"Wall {i} with a name that has no end to it" for i in range(1, 13))
    around = Around(walls, {}, IN_ENGLISH)
    some = {walls[i - 1]: walls[i - 1] for i in (1, 2, 4, 5, 6, 7, 9, 11, 12)}
    assert brief_of(some, around) == "walls 1, 2, 4–7, 9, 11, 12"
    assert brief_of(dict.fromkeys(walls, ""), around) == "All 12 walls"
    assert brief_of({walls[3]: walls[3]}, around) == walls[3]
    assert brief_of({"space": "The space"}, around) == "The space"


# The same each time


@pytest.mark.slow
def test_same_record_same_bytes_in_another_process() -> None:
    """A record saved, and drawn by another process with another hash seed, gives the very same HTML and PDF."""
    script = (
        "import hashlib, json, sys\nfrom wallwalk.filing import Filing\n"
        "from wallwalk.report.html import render_html\nfrom wallwalk.report.pdf import render_pdf\n"
        "record = json.load(sys.stdin)\n"
        "for drawn in (render_html(record).encode(), render_pdf(Filing(record, ()))):\n"
        "    print(hashlib.sha256(drawn).hexdigest())"
    )
    wanted = [hashlib.sha256(html_of(WORST).encode()).hexdigest(), hashlib.sha256(pdf_of(WORST)).hexdigest()]
    environment = {**os.environ, "PYTHONHASHSEED": "4242", "TZ": "Asia/Tokyo"}
    environment.pop("SOURCE_DATE_EPOCH", None)
    done = subprocess.run(
        [sys.executable, "-c", script],
        input=canonical(record_of(WORST)).decode(),
        capture_output=True,
        text=True,
        check=True,
        env=environment,
    )
    assert (done.stdout.split(), done.stderr) == (wanted, "")


def test_rendering_leaves_the_record_as_it_was() -> None:
    """A report reads the record and changes nothing in it."""
    record = copy.deepcopy(record_of(WORST))
    before = json.dumps(record)
    render_html(record)
    assert json.dumps(record) == before


# The PDF


@pytest.mark.slow
@pytest.mark.parametrize(("name", "page_size", "points"), [(WORST, "Letter", (612, 792)), (PASSING, "A4", (595, 842))])
def test_every_page_has_project_space_verdict_and_number(name: str, page_size: str, points: tuple[int, int]) -> None:
    """A page that goes astray still says where it belongs, what the verdict is, and how many there are."""
    document, heading = pdf_of(name, page_size), record_of(name)["heading"]
    pages = [run_together(text) for text in pages_of(document)]
    assert len(pages) > 5
    always = [run_together(want) for want in (heading["project"], heading["space"], record_of(name)["verdict"].upper())]
    assert [(n, want) for n, text in enumerate(pages, 1) for want in always if want not in text] == []
    assert [n for n, text in enumerate(pages, 1) if f"page{n}of{len(pages)}" not in text] == []
    sizes = {(round(p.mediabox.width), round(p.mediabox.height)) for p in PdfReader(io.BytesIO(document)).pages}
    assert sizes == {points}


@pytest.mark.slow
@pytest.mark.parametrize("name", [WORST, HALF_FILLED])
def test_every_hold_is_in_the_pdf(name: str) -> None:
    """What is wrong and what to do stands in the PDF's text for every finding that holds."""
    text = run_together(" ".join(pages_of(pdf_of(name))))
    wanted = {f[part] for f in holding(record_of(name)) for part in ("title", "says", "put_right")}
    assert {part for part in wanted if run_together(part) not in text} == set()


@pytest.mark.slow
def test_spanish_letters_survive() -> None:
    """Names come out of the PDF with their own letters."""
    assert run_together("Begoña Zúñiga Arriscado") in run_together(pages_of(pdf_of(WORST))[0])
    assert run_together("Íñigo Valdecañas") in run_together(pages_of(pdf_of(HALF_FILLED))[0])


@pytest.mark.slow
def test_the_pdf_says_what_it_is() -> None:
    """Title, author, language and date come from the record alone, and the PDF is tagged for those who listen to it."""
    reader = PdfReader(io.BytesIO(pdf_of(WORST)))
    said: dict[str, Any] = dict(reader.metadata or {})
    root: dict[str, Any] = dict(reader.root_object)
    assert {key: said[key] for key in ("/Title", "/Author", "/Creator", "/CreationDate", "/ModDate")} == {
        "/Title": "HOLD · Quillen Ferry Clinic, refit and link · 014 Old dispensary",
        "/Author": "Begoña Zúñiga Arriscado",
        "/Creator": f"wallwalk {record_of(WORST)['tool']['version']}",
        "/CreationDate": "D:20260310080000-05'00",
        "/ModDate": "D:20260310080000-05'00",
    }
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in root


@pytest.mark.slow
def test_a_long_name_stays_on_its_page(caplog: pytest.LogCaptureFixture) -> None:
    """Words of sixty letters are cut at the page's edge, whole in the heading, and drawing them raises no warning."""
    word = "Verkleidungsplattenmontagevorbereitungsarbeitenprotokollbuch"
    with caplog.at_level(logging.WARNING):
        pages = pages_of(render_pdf(Filing(renamed(record_of(PASSING), project=f"{word}{word}", space=word), ())))
    assert [r.getMessage() for r in caplog.records] == []
    assert run_together(f"{word}{word}") in run_together(pages[0])
    assert all(f"{word[:55]}…" in run_together(text) and f"{word[:31]}…" in run_together(text) for text in pages)


@pytest.mark.slow
@pytest.mark.parametrize("address", ["file:///etc/hostname", "http://127.0.0.1:9/x.png"])
def test_the_document_may_fetch_nothing(monkeypatch: pytest.MonkeyPatch, address: str) -> None:
    """Were the page ever to name a file or an address, drawing stops; nothing is read."""
    monkeypatch.setattr(pdf, "render_html", lambda *_, **__: f'<img src="{address}">')
    with pytest.raises(MissingPartError) as refused:
        render_pdf(Filing(record_of(PASSING), ()))
    assert (str(refused.value), str(refused.value.__cause__)) == (pdf.UNFETCHED, f'Error fetching "{address}"')


MISSING = (
    "a PDF needs Pango and HarfBuzz, which this machine lacks; "
    "on Debian or Ubuntu run: apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0; "
    "on another system see https://doc.courtbouillon.org/weasyprint/stable/first_steps.html; "
    "the HTML report needs none of this and prints from a browser"
)


@pytest.mark.slow
@pytest.mark.parametrize("library", ["gobject", "pango-1.0", "pangoft2", "fontconfig", "harfbuzz-subset"])
def test_a_missing_library_is_said_in_one_message(library: str) -> None:
    """Without one of the libraries the PDF says what to install and nothing else; the HTML is drawn all the same."""
    script = (
        "import cffi, ctypes.util, json, sys\n"
        "there, library = cffi.FFI.dlopen, sys.argv[1]\n"
        "def dlopen(self, name, *flags):\n"
        "    if library in str(name):\n"
        "        raise OSError(f'cannot load library {name}')\n"
        "    return there(self, name, *flags)\n"
        "cffi.FFI.dlopen = dlopen\n"
        "from wallwalk.errors import MissingPartError\nfrom wallwalk.filing import Filing\n"
        "from wallwalk.report.html import render_html\nfrom wallwalk.report.pdf import render_pdf\n"
        "record = json.load(sys.stdin)\n"
        "for _ in 'ab':\n"
        "    try:\n        render_pdf(Filing(record, ()))\n"
        "    except MissingPartError as error:\n        print(error)\n"
        "print(len(render_html(record)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, library],
        input=canonical(record_of(PASSING)).decode(),
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.splitlines() == [MISSING, MISSING, str(len(html_of(PASSING)))]
    assert done.stderr == ""
