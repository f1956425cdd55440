"""What makes a drawn PDF one to file: it says which standards it keeps, carries its files, and is read one way only."""

from __future__ import annotations

import zlib
from collections.abc import Iterable

import pydyf

from wallwalk.attaching import Attached

_UA = b"""<rdf:Description xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/" rdf:about="" pdfuaid:part="1"/>
<rdf:Description xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
 xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#"
 rdf:about=""><pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification schema</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>Part of ISO 14289 that the file keeps</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas></rdf:Description>
"""
"""PDF/UA's own mark is foreign to PDF/A, which wants it described (ISO 19005-3, 6.6.2.3)."""

_RETURN = 13


def name_attached(pdf: pydyf.PDF, attached: Iterable[Attached]) -> None:
    """Give each attached file its kind and relationship, and list it once in the tree of names and for the document.

    WeasyPrint takes the kind from the machine's own table, tells files apart by their content, and lists each twice.
    """
    specs = [one for one in pdf.objects if isinstance(one, pydyf.Dictionary) and one.get("Type") == "/Filespec"]
    if not specs:
        return
    names = pydyf.Array()
    for spec, one in zip(specs, attached, strict=True):
        spec["F"] = spec["UF"] = pydyf.String(one.name)
        spec["AFRelationship"] = f"/{one.relationship}"
        stream = pdf.objects[int(spec["EF"]["F"].split()[0])]
        stream.extra["Subtype"] = f"/{one.media_type.replace('/', '#2f')}"
        names.extend([pydyf.String(one.key), spec.reference])
    pdf.objects[int(pdf.catalog["Names"]["EmbeddedFiles"].split()[0])]["Names"] = names
    pdf.catalog["AF"] = pydyf.Array(spec.reference for spec in specs)


def say_standards(pdf: pydyf.PDF) -> None:
    """Say PDF/UA-1 beside PDF/A-3a in the XMP, which stands there uncompressed (ISO 19005-3, 6.6.2.1)."""
    xmp = pdf.objects[int(pdf.catalog["Metadata"].split()[0])]
    head, end, rest = b"\n".join(xmp.stream).partition(b"</rdf:RDF>")
    xmp.stream, xmp.compress = [head + _UA + end + rest], False


def show_as_taken(pdf: pydyf.PDF) -> None:
    """No picture is to be smoothed by whoever draws it (ISO 19005-3, 6.2.8)."""
    for one in pdf.objects:
        if isinstance(one, pydyf.Stream) and one.extra.get("Subtype") == "/Image":
            one.extra["Interpolate"] = "false"


def compress_plainly(pdf: pydyf.PDF) -> None:
    """Compress every stream, once more where its last byte would pass for part of the line's end that follows it."""
    for one in pdf.objects:
        if isinstance(one, pydyf.Stream) and one.compress:
            raw = pydyf.Stream(one.stream).data.partition(b"\nstream\n")[2].removesuffix(b"\nendstream")
            packed, times = zlib.compress(raw, 9), 1
            while packed[-1] == _RETURN:
                packed, times = zlib.compress(packed, 9), times + 1
            one.stream, one.compress = [packed], False
            one.extra["Filter"] = f"[{' '.join(['/FlateDecode'] * times)}]"


def ends_plainly(content: bytes) -> bool:
    """Whether no stream of a written PDF ends in a byte that passes for part of the line's end."""
    return b"\r\nendstream" not in content
