"""What the drawing of a PDF leaves to be mended for those who listen to it (PDF/UA-1, ISO 14289-1).

WeasyPrint tags the page's elements. Here lists of terms become lists, header cells say what they head, the words at a
page's edge become artifacts, and boxes of pictures are in points. All of it is done on its objects before they are
written; a reference is bytes such as `b"12 0 R"`.
"""

from __future__ import annotations

from collections.abc import Iterator

import pydyf

_POINTS_PER_PX = 0.75


def mend_tags(pdf: pydyf.PDF) -> None:
    """Mend the structure tree of `pdf`, which is tagged."""
    root = _at(pdf, pdf.catalog["StructTreeRoot"])
    for element in list(_below(pdf, root)):
        _drop_idle(pdf, element)
    elements = list(_below(pdf, root))
    _edges_are_artifacts(pdf, {id(element) for element in elements})
    mends = {"/L": _mend_list, "/Table": _mend_table, "/Figure": _mend_box, "/Link": _mend_link}
    for element in [one for one in elements if one["S"] in mends]:
        mends[element["S"]](pdf, element)


def _at(pdf: pydyf.PDF, reference: bytes) -> pydyf.Object:
    return pdf.objects[int(reference.split()[0])]


def _kids(pdf: pydyf.PDF, element: pydyf.Dictionary) -> list[pydyf.Dictionary]:
    """The elements right below one; marked content and annotations are none."""
    found = [_at(pdf, kid) for kid in element["K"] if isinstance(kid, bytes)]
    return [kid for kid in found if "S" in kid]


def _below(pdf: pydyf.PDF, element: pydyf.Dictionary) -> Iterator[pydyf.Dictionary]:
    """Every element below one, in the order in which they are read."""
    for kid in _kids(pdf, element):
        yield kid
        yield from _below(pdf, kid)


def _drop_idle(pdf: pydyf.PDF, element: pydyf.Dictionary) -> None:
    """A box to tick says nothing, and the space between two items of a list that stand in one line is no item."""
    in_list = element["S"] == "/L"
    for kid in _kids(pdf, element):
        if kid["S"] == "/Span" and (in_list or not kid["K"]):
            element["K"].remove(kid.reference)


def _mend_list(pdf: pydyf.PDF, element: pydyf.Dictionary) -> None:
    """In a list of terms each term stands with what is said of it: the first is the label, the rest the body."""
    for item in _kids(pdf, element):
        if item["S"] != "/Div":
            continue
        item["S"] = "/LI"
        wraps = _kids(pdf, item)
        parts = [part for wrap in wraps for part in _kids(pdf, wrap)]
        item["K"] = pydyf.Array(part.reference for part in parts)
        for part in parts:
            part["P"] = item.reference
        if len(parts) > 1:  # a term that stands alone at a page's end is read as well from the body
            parts[0]["S"] = "/Lbl"
        for wrap in wraps:
            wrap.clear()


def _mend_table(pdf: pydyf.PDF, table: pydyf.Dictionary) -> None:
    """Each header cell says what it heads: its column from the head of the table, its row from beside other cells."""
    for part in _kids(pdf, table):
        for row in [part] if part["S"] == "/TR" else _kids(pdf, part):
            cells = _kids(pdf, row)
            in_row = part["S"] != "/THead" and any(cell["S"] == "/TD" for cell in cells)
            for cell in cells:
                # The headers listed for a cell are those of every group of rows in the table, its own and others.
                cell["A"].pop("Headers", None)
                cell.pop("ID", None)
                if cell["S"] == "/TH":
                    cell["A"]["Scope"] = "/Row" if in_row else "/Column"


def _mend_box(pdf: pydyf.PDF, figure: pydyf.Dictionary) -> None:
    """The box of a picture comes in pixels from the top; a reader wants points from the bottom."""
    left, top, right, bottom = (_POINTS_PER_PX * edge for edge in figure["A"]["BBox"])
    height = _at(pdf, figure["Pg"])["MediaBox"][3]
    figure["A"]["BBox"] = pydyf.Array([left, height - bottom, right, height - top])


def _mend_link(pdf: pydyf.PDF, link: pydyf.Dictionary) -> None:
    """A place to click on that hangs on bold words inside a link belongs to the link."""
    owners = _at(pdf, _at(pdf, pdf.catalog["StructTreeRoot"])["ParentTree"])["Nums"]
    for inner in _below(pdf, link):
        for kid in [kid for kid in inner["K"] if isinstance(kid, bytes) and "Obj" in _at(pdf, kid)]:
            inner["K"].remove(kid)
            link["K"].append(kid)
            owners[2 * _at(pdf, _at(pdf, kid)["Obj"])["StructParent"] + 1] = link.reference


def _edges_are_artifacts(pdf: pydyf.PDF, read: set[int]) -> None:
    """What stands at the edge of every page is no part of what is read: its elements hang on nothing, and go."""
    parents = _at(pdf, _at(pdf, pdf.catalog["StructTreeRoot"])["ParentTree"])["Nums"]
    for number, reference in enumerate(pdf.page_references):
        owners = parents[2 * number + 1]
        page = _at(pdf, reference)
        loose = {i for i, owner in enumerate(owners) if id(_at(pdf, owner)) not in read}
        written = _at(pdf, page["Contents"]).stream
        for i, part in enumerate(written):
            if isinstance(part, pydyf.Dictionary) and part.get("MCID") in loose:
                written[i - 1], written[i] = "/Artifact", pydyf.Dictionary({"Type": "/Pagination"})
        for i in loose:
            owners[i] = "null"
    for loose_element in [one for one in pdf.objects if _is_loose(one, read)]:
        loose_element.clear()


def _is_loose(one: pydyf.Object, read: set[int]) -> bool:
    return isinstance(one, pydyf.Dictionary) and one.get("Type") == "/StructElem" and id(one) not in read
