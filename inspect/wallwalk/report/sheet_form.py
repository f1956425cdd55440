"""A page with places to write, drawn as a PDF form: each field under the name by which the survey keeps its answer.

WeasyPrint draws the places. Here they get what a form needs besides: names in a tree (a period parts the names of a
field and of what holds it, ISO 32000-1, 12.7.3.2), one state for each word that may be ticked, and a look for every
answer that is written in already.
"""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterator, Mapping
from functools import partial

import pydyf

from wallwalk.report.pdf import load_weasyprint, page_of
from wallwalk.report.pdf_letters import every_letter
from wallwalk.report.pdf_tags import mend_tags
from wallwalk.report.sheet_looks import Typeface, crossed, off, written

_FONT, _SIGNS = "Helv", "ZaDb"
_CROSS = "8"
"""The letter of a cross in the font of signs, for readers that draw a ticked box by themselves."""
_MULTILINE = 1 << 12
_RADIO = 1 << 15


def draw_form(html: str, tips: Mapping[str, str]) -> bytes:
    """A page of ours as a tagged PDF form; `tips` is what is said aloud of each field, by name.

    Raises `MissingPartError` where the machine lacks the libraries that draw it.
    """
    weasyprint = load_weasyprint()
    with warnings.catch_warnings(), every_letter():
        warnings.simplefilter("ignore", ResourceWarning)
        finish = partial(_finish, tips=tips)
        return bytes(page_of(weasyprint, html).write_pdf(pdf_forms=True, pdf_tags=True, finisher=finish))


def _finish(_document: object, pdf: pydyf.PDF, *, tips: Mapping[str, str]) -> None:
    mend_tags(pdf)
    form = pdf.catalog["AcroForm"]
    fields = [_at(pdf, reference) for reference in form["Fields"]]
    named = [(field, _text(field["T"])) for field in fields if "Parent" not in field]
    face, boxes = _face(pdf, next(field for field, _ in named if "DA" in field)), _Boxes()
    for field, name in named:
        if "Kids" in field:
            _mend_ticks(pdf, field, boxes)
        else:
            _mend_written(pdf, field, face)
        field["TU"] = pydyf.String(tips[name])
    form["DR"], form["NeedAppearances"] = _fonts(pdf), "false"
    form["Fields"] = _in_a_tree(pdf, list(_joined(pdf, named)))


def _face(pdf: pydyf.PDF, field: pydyf.Dictionary) -> Typeface:
    """The font that WeasyPrint put whole into the file for what is typed into a field."""
    (name,) = re.findall(r"/(\S+) \S+ Tf", _text(field["DA"]))
    fonts = next(_fonts_in(pdf, name))
    font = _at(pdf, fonts[name])
    below = _at(pdf, font["DescendantFonts"][0])
    wide = dict(_widths(below["W"]))
    told = re.findall(rb"<(....)> <((?:....)+)>", b"\n".join(_at(pdf, font["ToUnicode"]).stream))
    numbers = {bytes.fromhex(letter.decode()).decode("utf-16-be"): int(number, 16) for number, letter in told}
    return Typeface(name, fonts[name], {one: (number, wide.get(number, 0) / 1000) for one, number in numbers.items()})


def _widths(told: pydyf.Array) -> Iterator[tuple[int, float]]:
    """Each glyph's number and width, of a list such as `3 [250 300] 17 [500]`."""
    for first, some in zip(told[::2], told[1::2], strict=True):
        yield from enumerate(some, first)


def _fonts_in(pdf: pydyf.PDF, name: str) -> Iterator[pydyf.Dictionary]:
    """The tables of fonts that know one by that name."""
    for one in pdf.objects:
        fonts = one.get("Font") if isinstance(one, pydyf.Dictionary) else None
        fonts = _at(pdf, fonts) if isinstance(fonts, bytes) else fonts
        if isinstance(fonts, pydyf.Dictionary) and name in fonts:
            yield fonts


def _fonts(pdf: pydyf.PDF) -> pydyf.Dictionary:
    """Two fonts that every reader has, to type with: for words, and for a cross in a box."""
    words = {"Type": "/Font", "Subtype": "/Type1", "BaseFont": "/Helvetica", "Encoding": "/WinAnsiEncoding"}
    signs = {"Type": "/Font", "Subtype": "/Type1", "BaseFont": "/ZapfDingbats"}
    fonts = [pydyf.Dictionary(font) for font in (words, signs)]
    for font in fonts:
        pdf.add_object(font)
    named = zip((_FONT, _SIGNS), (font.reference for font in fonts), strict=True)
    return pydyf.Dictionary({"Font": pydyf.Dictionary(dict(named))})


def _at(pdf: pydyf.PDF, reference: bytes) -> pydyf.Dictionary:
    return pdf.objects[int(reference.split()[0])]


def _empty(pdf: pydyf.PDF, reference: bytes) -> None:
    """Nothing refers to an object any more: an empty one stands in its place, since numbers have no gaps."""
    empty, number = pydyf.Dictionary(), int(reference.split()[0])
    empty.number, pdf.objects[number] = number, empty


def _text(string: pydyf.String) -> str:
    text = string.string
    return text.decode() if isinstance(text, bytes) else str(text)


class _Boxes:
    """The looks of boxes, each size drawn once."""

    def __init__(self) -> None:
        self._drawn: dict[tuple[float, float], tuple[bytes, bytes]] = {}

    def looks(self, pdf: pydyf.PDF, width: float, height: float) -> tuple[bytes, bytes]:
        """References to how a box of so many points looks: crossed, and not."""
        size = round(width, 2), round(height, 2)
        if size not in self._drawn:
            drawn = crossed(*size), off(*size)
            for look in drawn:
                pdf.add_object(look)
            self._drawn[size] = drawn[0].reference, drawn[1].reference
        return self._drawn[size]


def _set_upright(field: pydyf.Dictionary) -> tuple[float, float]:
    """Its corners from the lower left to the upper right, as readers want them; width and height in points."""
    left, top, right, bottom = field["Rect"]
    field["Rect"] = pydyf.Array([min(left, right), min(top, bottom), max(left, right), max(top, bottom)])
    return abs(right - left), abs(bottom - top)


def _mend_ticks(pdf: pydyf.PDF, group: pydyf.Dictionary, boxes: _Boxes) -> None:
    """Each box stands for its word, is crossed, and can be cleared again: an answer not known is no answer."""
    words = [_text(word) for word in group.pop("Opt")]
    group["Ff"], group["V"] = _RADIO, "/Off"
    for word, reference in zip(words, group["Kids"], strict=True):
        box = _at(pdf, reference)
        name = pydyf.name(word)
        on = box["AS"] != "/Off"
        for drawn in box["AP"]["N"].values():
            _empty(pdf, drawn)
        looks = boxes.looks(pdf, *_set_upright(box))
        box["AP"] = pydyf.Dictionary({"N": pydyf.Dictionary({name[1:].decode(): looks[0], "Off": looks[1]})})
        box["AS"] = name if on else "/Off"
        box["Contents"] = box.pop("TU")
        box.pop("T")
        box["MK"], box["DA"] = pydyf.Dictionary({"CA": pydyf.String(_CROSS)}), pydyf.String(f"/{_SIGNS} 0 Tf 0 g")
        if on:
            group["V"] = name


def _mend_written(pdf: pydyf.PDF, field: pydyf.Dictionary, face: Typeface) -> None:
    """What is typed is set in a font that every reader has, in the size that fits; what is known shows in `face`."""
    width, height = _set_upright(field)
    field["DA"] = pydyf.String(f"/{_FONT} 0 Tf 0 g")
    look, is_long = written(_text(field["V"]), width, height, face)
    if is_long and field["FT"] == "/Tx":
        field["Ff"] = _MULTILINE
    pdf.add_object(look)
    field["AP"] = pydyf.Dictionary({"N": look.reference})


def _joined(pdf: pydyf.PDF, named: list[tuple[pydyf.Dictionary, str]]) -> Iterator[tuple[pydyf.Dictionary, str]]:
    """Each name once: the head of a table stands on every page of it, and what is written in one is in all."""
    places: dict[str, list[pydyf.Dictionary]] = {}
    for field, name in named:
        places.setdefault(name, []).append(field)
    for name, some in places.items():
        if len(some) == 1:
            yield some[0], name
            continue
        joined = pydyf.Dictionary({key: some[0][key] for key in ("FT", "V", "DA", "TU", "Ff") if key in some[0]})
        pdf.add_object(joined)
        joined["Kids"] = pydyf.Array(field.reference for field in some)
        for field in some:
            field["Parent"] = joined.reference
            for key in ("T", "FT", "V", "TU", "Ff"):
                field.pop(key, None)
        yield joined, name


def _in_a_tree(pdf: pydyf.PDF, named: list[tuple[pydyf.Dictionary, str]]) -> pydyf.Array:
    """The fields at the top of the tree: `walls[0]` holds `primer`, which holds `finished`."""
    top = pydyf.Array()
    nodes: dict[str, pydyf.Dictionary] = {}
    for field, name in named:
        holder: pydyf.Dictionary | None = None
        *above, last = name.split(".")
        for depth in range(1, len(above) + 1):
            holder = _node(pdf, ".".join(above[:depth]), holder, nodes, top)
        field["T"] = pydyf.String(last)
        _hang(field, holder, top)
    return top


def _node(
    pdf: pydyf.PDF,
    name: str,
    holder: pydyf.Dictionary | None,
    nodes: dict[str, pydyf.Dictionary],
    top: pydyf.Array,
) -> pydyf.Dictionary:
    if name not in nodes:
        nodes[name] = pydyf.Dictionary({"T": pydyf.String(name.rpartition(".")[2]), "Kids": pydyf.Array()})
        pdf.add_object(nodes[name])
        _hang(nodes[name], holder, top)
    return nodes[name]


def _hang(field: pydyf.Dictionary, holder: pydyf.Dictionary | None, top: pydyf.Array) -> None:
    if holder is None:
        top.append(field.reference)
    else:
        field["Parent"] = holder.reference
        holder["Kids"].append(field.reference)
