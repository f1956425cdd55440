"""What stands in a PDF, as plain values, by either of two readers that share no code."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pikepdf
from pypdf import PdfReader
from pypdf.generic import ArrayObject, DictionaryObject, IndirectObject, NameObject, StreamObject

LEFT_OUT = frozenset(
    ["/P", "/Parent", "/Pg", "/Prev", "/Next", "/Obj", "/Dest", "/Pages", "/Resources", "/ParentTree", "/Length"]
)
"""Keys that lead back up or to the next, and what pages are drawn with."""


@dataclass(frozen=True)
class Facts:
    """Every object of a PDF that is no part of another, its catalog, pages and fonts; names keep their slash."""

    objects: list[Any]
    root: dict[str, Any]
    info: dict[str, Any]
    pages: list[dict[str, Any]]
    fonts: list[dict[str, Any]]
    is_encrypted: bool

    def structure(self) -> Iterator[tuple[tuple[str, ...], dict[str, Any]]]:
        """Each element of the structure tree, as it is read, with the roles above it."""
        yield from _below(self.root["/StructTreeRoot"], ())

    def roles(self, *roles: str) -> list[dict[str, Any]]:
        """Every element of the structure tree in one of these roles, as it is read."""
        return [element for _, element in self.structure() if element["/S"] in roles]


def elements_in(element: dict[str, Any]) -> list[dict[str, Any]]:
    """The elements right below one."""
    return [kid for kid in element.get("/K", []) if isinstance(kid, dict) and "/S" in kid]


def _below(element: dict[str, Any], above: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], dict[str, Any]]]:
    for kid in elements_in(element):
        yield above, kid
        yield from _below(kid, (*above, kid["/S"]))


def by_pypdf(document: bytes) -> Facts:
    """As pypdf reads it."""
    reader = PdfReader(io.BytesIO(document))
    size: Any = reader.trailer["/Size"]
    resources: Any = reader.pages[0]["/Resources"]
    fonts = resources["/Font"]
    found = (reader.get_object(IndirectObject(n, 0, reader)) for n in range(1, size))
    return Facts(
        [_plain_pypdf(one, 1) for one in found],
        _plain_pypdf(reader.root_object),
        _plain_pypdf(reader.metadata or {}),
        [_plain_pypdf(page) for page in reader.pages],
        list(_plain_pypdf(fonts).values()),
        reader.is_encrypted,
    )


def _plain_pypdf(part: Any, depth: int = 99) -> Any:  # noqa: ANN401 - any object of a PDF
    part = part.get_object() if isinstance(part, IndirectObject) else part
    if depth < 0:
        return None
    if isinstance(part, DictionaryObject):
        plain = {str(k): _plain_pypdf(v, depth - 1) for k, v in dict(part).items() if k not in LEFT_OUT}
        return plain | ({"stream": part.get_data()} if isinstance(part, StreamObject) and depth > 1 else {})
    if isinstance(part, ArrayObject):
        return [_plain_pypdf(one, depth - 1) for one in part]
    if isinstance(part, NameObject | str):
        return str(part)
    return bool(part.value) if hasattr(part, "value") and not isinstance(part, int | float) else part


def by_pikepdf(document: bytes) -> Facts:
    """As pikepdf (qpdf) reads it."""
    with pikepdf.open(io.BytesIO(document)) as read:
        return Facts(
            [_plain_pikepdf(one, 1) for one in read.objects],
            _plain_pikepdf(read.Root),
            _plain_pikepdf(read.docinfo),
            [_plain_pikepdf(page.obj) for page in read.pages],
            list(_plain_pikepdf(read.pages[0].Resources.Font).values()),
            read.is_encrypted,
        )


def _plain_pikepdf(part: Any, depth: int = 99) -> Any:  # noqa: ANN401 - any object of a PDF
    if depth < 0:
        return None
    if isinstance(part, pikepdf.Dictionary | pikepdf.Stream):
        plain = {k: _plain_pikepdf(v, depth - 1) for k, v in part.items() if k not in LEFT_OUT}
        return plain | ({"stream": part.read_bytes()} if isinstance(part, pikepdf.Stream) and depth > 1 else {})
    if isinstance(part, pikepdf.Array):
        return [_plain_pikepdf(one, depth - 1) for one in part]
    return str(part) if isinstance(part, pikepdf.String | pikepdf.Name | str) else part
