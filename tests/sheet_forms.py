"""The fields of a PDF form, as plain values, by either of two readers that share no code."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pikepdf
from pypdf import PdfReader
from pypdf.generic import IndirectObject


@dataclass(frozen=True)
class FormField:
    """One field: what is said aloud of it, what it holds, what may be ticked or picked, and the pages it stands on."""

    tip: str
    value: str
    choices: frozenset[str]
    pages: tuple[int, ...]


def by_pypdf(document: bytes) -> list[tuple[str, FormField]]:
    """Every field by its whole name, as pypdf reads it."""
    reader = PdfReader(io.BytesIO(document))
    pages = {
        annotation.idnum: number
        for number, page in enumerate(reader.pages, 1)
        for annotation in page.get("/Annots", [])
        if isinstance(annotation, IndirectObject)
    }
    top: Any = reader.trailer["/Root"]["/AcroForm"]["/Fields"]  # type: ignore[index]
    return [(name, _field(one, lambda w: pages[w.indirect_reference.idnum])) for name, one in _leaves(top, "")]


def by_pikepdf(document: bytes) -> list[tuple[str, FormField]]:
    """Every field by its whole name, as pikepdf reads it."""
    with pikepdf.open(io.BytesIO(document)) as pdf:
        pages = {w.objgen: n for n, page in enumerate(pdf.pages, 1) for w in page.get("/Annots", pikepdf.Array())}
        return [(name, _field(one, lambda w: pages[w.objgen])) for name, one in _leaves(pdf.Root.AcroForm.Fields, "")]


def _leaves(fields: Any, above: str) -> Iterator[tuple[str, Any]]:  # noqa: ANN401 - an object of either reader
    for one in fields:
        found = one.get_object() if hasattr(one, "get_object") else one
        name = f"{above}.{found['/T']}" if above else str(found["/T"])
        if "/FT" in found:
            yield name, found
        else:
            yield from _leaves(found["/Kids"], name)


def _field(one: Any, page_of: Any) -> FormField:  # noqa: ANN401 - an object of either reader
    kids = [kid.get_object() if hasattr(kid, "get_object") else kid for kid in one.get("/Kids", [one])]
    states = {str(state)[1:] for kid in kids if one["/FT"] == "/Btn" for state in kid["/AP"]["/N"]} - {"Off"}
    offered = {str(pair[0]) for pair in one.get("/Opt", [])} - {""}
    value = str(one["/V"])
    value = ("" if value == "/Off" else value[1:]) if one["/FT"] == "/Btn" else value
    return FormField(str(one["/TU"]), value, frozenset(states | offered), tuple(sorted({page_of(k) for k in kids})))
