"""Clauses of PDF/A-3a (ISO 19005-3) and PDF/UA-1 (ISO 14289-1) that can be told from a PDF's objects, one each."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree as ET

from pdf_facts import Facts, elements_in

Check = Callable[[Facts], list[str]]

RDF, XML = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}", "{http://www.w3.org/XML/1998/namespace}"
XMP_NAMES = {
    "part": "{http://www.aiim.org/pdfa/ns/id/}part",
    "conformance": "{http://www.aiim.org/pdfa/ns/id/}conformance",
    "ua": "{http://www.aiim.org/pdfua/ns/id/}part",
}
ACTIVE = {"/JS", "/JavaScript", "/AA", "/OpenAction", "/URI", "/Launch", "/SubmitForm", "/ImportData", "/RichMedia"}
HEADINGS = ("/H1", "/H2", "/H3", "/H4", "/H5", "/H6")


def _xmp(facts: Facts) -> ET.Element:
    return ET.fromstring(facts.root["/Metadata"]["stream"])  # noqa: S314 - written by the code under test


def _texts(facts: Facts, name: str) -> list[str]:
    found = [e.get(name) or e.findtext(name) for e in _xmp(facts).iter(f"{RDF}Description")]
    return [text for text in found if text]


def _unless(holds: object, fault: str) -> list[str]:
    return [] if holds else [fault]


def one_packet(facts: Facts) -> list[str]:
    """6.6.2.1: one XMP packet with one RDF, uncompressed."""
    streams = sum(1 for _ in _xmp(facts).iter(f"{RDF}RDF"))
    return _unless(streams == 1 and "/Filter" not in facts.root["/Metadata"], f"{streams} RDF, or compressed")


def says_pdf_a(facts: Facts) -> list[str]:
    """6.6.4: part 3, conformance A."""
    said = [_texts(facts, XMP_NAMES[key]) for key in ("part", "conformance")]
    return _unless(said == [["3"], ["A"]], str(said))


def says_pdf_ua(facts: Facts) -> list[str]:
    """ISO 14289-1 clause 5: part 1, and PDF/A 6.6.2.3: its schema is described."""
    described = "http://www.aiim.org/pdfua/ns/id/" in [
        e.text for e in _xmp(facts).iter("{http://www.aiim.org/pdfa/ns/schema#}namespaceURI")
    ]
    return _unless(_texts(facts, XMP_NAMES["ua"]) == ["1"] and described, "not said, or not described")


def info_is_in_xmp(facts: Facts) -> list[str]:
    """6.6.3: what the information dictionary says, the XMP says too."""
    text = " ".join(e.text or "" for e in _xmp(facts).iter()) + str([e.attrib for e in _xmp(facts).iter()])
    return [k for k, said in facts.info.items() if said not in text and not said.startswith("D:")]


def one_colour_intent(facts: Facts) -> list[str]:
    """6.2.3: a PDF/A output intent with an embedded profile."""
    intents = facts.root.get("/OutputIntents", [])
    good = [i for i in intents if i["/S"] == "/GTS_PDFA1" and i["/DestOutputProfile"]["stream"][36:40] == b"acsp"]
    return _unless(len(good) == len(intents) == 1, str(len(intents)))


def not_encrypted(facts: Facts) -> list[str]:
    """6.1.3: no encryption."""
    return _unless(not facts.is_encrypted, "encrypted")


def fonts_embedded(facts: Facts) -> list[str]:
    """6.2.11.4: every font is inside."""
    described = [f["/DescendantFonts"][0]["/FontDescriptor"] for f in facts.fonts]
    return [str(d["/FontName"]) for d in described if not len(d.get("/FontFile2", d.get("/FontFile3", {}))["stream"])]


def fonts_to_unicode(facts: Facts) -> list[str]:
    """6.2.11.7: every font tells the text of its glyphs."""
    return [f["/BaseFont"] for f in facts.fonts if b"endbfchar" not in f.get("/ToUnicode", {}).get("stream", b"")]


def nothing_active(facts: Facts) -> list[str]:
    """6.5, 6.4: no action, script, form or outside address."""
    keys = {k for one in facts.objects if isinstance(one, dict) for k in (*one, one.get("/S"))}
    return sorted((keys & ACTIVE) | (facts.root.keys() & {*ACTIVE, "/AcroForm"}))


def files_are_associated(facts: Facts) -> list[str]:
    """6.8: every embedded file is associated once, with relationship, kind, description and both names."""
    names = facts.root.get("/Names", {}).get("/EmbeddedFiles", {}).get("/Names", [])
    by_name, associated = names[1::2], facts.root.get("/AF", [])
    lacking = [
        spec["/UF"]
        for spec in associated
        if spec.get("/AFRelationship") not in {"/Data", "/Source", "/Supplement"}
        or "/" not in spec["/EF"]["/F"].get("/Subtype", "/")[1:]
        or "/ModDate" not in spec["/EF"]["/F"]["/Params"]
        or not spec.get("/Desc")
        or not spec.get("/F")
    ]
    same = sorted(s["/UF"] for s in associated) == sorted(s["/UF"] for s in by_name)
    return lacking + _unless(same, "names and associated files differ") + _unless(names[::2] == sorted(names[::2]), "")


def tagged(facts: Facts) -> list[str]:
    """7.1: marked as tagged, with a tree that has one document at its root."""
    roots = [e["/S"] for e in elements_in(facts.root["/StructTreeRoot"])]
    return _unless(facts.root.get("/MarkInfo") == {"/Marked": True} and roots == ["/Document"], str(roots))


def titled(facts: Facts) -> list[str]:
    """7.1: a title, shown in place of the file's name."""
    shown = facts.root.get("/ViewerPreferences", {}).get("/DisplayDocTitle")
    said = [e.text for e in _xmp(facts).iterfind(f".//{{http://purl.org/dc/elements/1.1/}}title//{RDF}li")]
    return _unless(shown is True and said == [facts.info["/Title"]], str(said))


def in_a_language(facts: Facts) -> list[str]:
    """7.2: the language of the whole."""
    return _unless(re.fullmatch("[a-z]{2}", facts.root.get("/Lang", "")), str(facts.root.get("/Lang")))


def figures_described(facts: Facts) -> list[str]:
    """7.3: each figure has its alternative text, and a box on its page."""
    sizes = [page["/MediaBox"] for page in facts.pages]
    (_, _, width, height) = max(sizes)
    return [
        str(f.get("/Alt"))
        for f in facts.roles("/Figure")
        if not f.get("/Alt", "").strip()
        or not (0 <= f["/A"]["/BBox"][0] < f["/A"]["/BBox"][2] <= width)
        or not (0 <= f["/A"]["/BBox"][1] < f["/A"]["/BBox"][3] <= height)
    ]


def headings_in_order(facts: Facts) -> list[str]:
    """7.4.2: the first is of level 1, and none is skipped on the way down."""
    levels = [int(h["/S"][2:]) for h in facts.roles(*HEADINGS)]
    skipped = [f"{a} to {b}" for a, b in pairwise(levels) if b > a + 1]
    return skipped + _unless(levels[:1] == [1], str(levels[:1]))


def headings_say_something(facts: Facts) -> list[str]:
    """7.4: no heading is empty: words hang on it, or on an element below it."""
    return [h["/S"] for h in facts.roles(*HEADINGS) if not _says_something(h)]


def _says_something(element: Any) -> bool:  # noqa: ANN401 - an element of the tree
    return any(isinstance(kid, int) for kid in element.get("/K", [])) or any(map(_says_something, elements_in(element)))


def headers_say_what_they_head(facts: Facts) -> list[str]:
    """7.5: every header cell has its scope, and every table has header cells."""
    found = []
    for table in facts.roles("/Table"):
        parts = [row for part in elements_in(table) for row in (part, *elements_in(part)) if row["/S"] == "/TR"]
        cells = [cell for row in parts for cell in elements_in(row)]
        heads = [cell for cell in cells if cell["/S"] == "/TH"]
        found += [str(h.get("/A")) for h in heads if h.get("/A", {}).get("/Scope") not in {"/Row", "/Column"}]
        found += [] if heads else ["a table without header cells"]
    return found


def lists_of_items(facts: Facts) -> list[str]:
    """7.6: a list holds items alone, items stand in lists alone, and hold labels and bodies."""
    allowed = {"/L": {"/L", "/LI", "/Caption"}, "/LI": {"/Lbl", "/LBody"}}
    kids = [(e["/S"], k["/S"]) for e in facts.roles("/L", "/LI") for k in elements_in(e)]
    astray = [above[-1] for above, e in facts.structure() if e["/S"] == "/LI" and above[-1] != "/L"]
    return [f"{a} in {b}" for b, a in kids if a not in allowed[b]] + [f"/LI in {role}" for role in astray]


def nothing_idle(facts: Facts) -> list[str]:
    """Of our own: no word or space is tagged that says nothing."""
    return [above[-1] for above, e in facts.structure() if e["/S"] == "/Span" and not e.get("/K")]


def annotations_in_reading_order(facts: Facts) -> list[str]:
    """7.18: pages with annotations go by structure; each link prints, is described, and is in the tree."""
    links = [a for page in facts.pages for a in page.get("/Annots", [])]
    lacking = [str(a) for a in links if a["/F"] != 4 or not a.get("/Contents") or "/StructParent" not in a]
    pages = [str(n) for n, page in enumerate(facts.pages, 1) if page.get("/Tabs") != "/S"]
    hung = sum(isinstance(kid, dict) and kid["/Type"] == "/OBJR" for e in facts.roles("/Link") for kid in e["/K"])
    return lacking + pages + _unless(hung == len(links), f"{len(links)} links, {hung} in the tree")


def all_words_in_the_tree(facts: Facts) -> list[str]:
    """7.1: every piece of marked content is in the tree once; what stands at a page's edge is an artifact."""
    marked = sum(len(re.findall(rb"/MCID \d+", page["/Contents"]["stream"])) for page in facts.pages)
    hung = sum(isinstance(kid, int) for _, e in facts.structure() for kid in e.get("/K", []))
    return _unless(marked == hung > 0, f"{marked} marked, {hung} in the tree")


def _dates(part: Any) -> Iterator[str]:  # noqa: ANN401 - any object of a PDF
    if isinstance(part, dict):
        for value in part.values():
            yield from _dates(value)
    elif isinstance(part, str) and part.startswith("D:"):
        yield part


def dated_by_the_record(facts: Facts) -> list[str]:
    """Of our own: every date in the file is the moment that the record was judged for."""
    wanted = {facts.info["/CreationDate"]} | {d for spec in facts.root.get("/AF", [])[:1] for d in _dates(spec)}
    return sorted({d for one in [*facts.objects, facts.root] for d in _dates(one)} - wanted)


CHECKS: tuple[Check, ...] = (
    one_packet,
    says_pdf_a,
    says_pdf_ua,
    info_is_in_xmp,
    one_colour_intent,
    not_encrypted,
    fonts_embedded,
    fonts_to_unicode,
    nothing_active,
    files_are_associated,
    tagged,
    titled,
    in_a_language,
    figures_described,
    headings_in_order,
    headings_say_something,
    headers_say_what_they_head,
    lists_of_items,
    nothing_idle,
    all_words_in_the_tree,
    annotations_in_reading_order,
    dated_by_the_record,
)


def failing(facts: Facts) -> dict[str, list[str]]:
    """By name of each check that fails: what it found."""
    return {check.__name__: found for check in CHECKS if (found := check(facts))}
