"""What the fuzzer starts from: small documents of each reader's kind, good ones from `examples/`, bad ones from `bad/`.

`seeds(reader)` gives them in one order, the same each time; none is over `SEED_BYTES_MAX`, so that a change is soon
somewhere that matters.
"""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import yaml

from resealing import lay_open
from targets import OVERLAY, ROOM, ROOT, SOUND, TRADE, filed_room
from wallwalk.attaching import attach
from wallwalk.filed_json import write_filed_json
from wallwalk.filing import PHOTO, Filing

SEED_BYTES_MAX = 40_000

BAD = ROOT / "tests" / "bad"
EXAMPLES = ROOT / "examples"


@cache
def seeds(reader: str) -> tuple[bytes, ...]:
    """What `reader` starts from, each once."""
    found = tuple(dict.fromkeys(s for s in _SEEDS[reader]() if len(s) <= SEED_BYTES_MAX))
    if not found:
        raise AssertionError(f"no seeds for {reader}")
    return found


def _bytes(*folders: tuple[Path, str]) -> Iterator[bytes]:
    for folder, pattern in folders:
        found = sorted(folder.glob(pattern))
        if not found:
            raise AssertionError(f"nothing in {folder}")
        for path in found:
            yield path.read_bytes()


def _surveys() -> Iterator[bytes]:
    yield from _bytes((ROOM, "*.yaml"), (EXAMPLES, "*.yaml"), (BAD / "surveys", "*.yaml"))
    for path in (ROOM / "plain.yaml", EXAMPLES / "031-staff-kitchen.yaml"):
        yield json.dumps(yaml.safe_load(path.read_text(encoding="utf-8")), default=str, ensure_ascii=False).encode()


def _logs() -> Iterator[bytes]:
    yield from _bytes((ROOM, "*.csv"))
    for path in sorted(EXAMPLES.glob("*.csv")):
        yield b"".join(path.read_bytes().splitlines(keepends=True)[:12])
    yield (ROOM / "air.csv").read_text(encoding="utf-8").encode("utf-16")
    yield (ROOM / "air.csv").read_text(encoding="utf-8").encode("latin-1")


def _overlays() -> Iterator[bytes]:
    sound = OVERLAY.read_bytes()
    yield sound
    yield from _bytes((EXAMPLES / "overlays", "*.yaml"))
    yield from _changed(BAD / "overlays", {OVERLAY.name: sound})


def _themes() -> Iterator[bytes]:
    themes = {name: (SOUND / name).read_bytes() for name in ("room.yaml", "drying.yaml", "climate.yaml")}
    yield from themes.values()
    yield from _changed(BAD / "rule_sets", themes)


def _abouts() -> Iterator[bytes]:
    about = (SOUND / "about.yaml").read_bytes()
    yield about
    yield from _changed(BAD / "rule_sets", {"about.yaml": about})


def _conditions() -> Iterator[bytes]:
    yield TRADE.read_bytes()
    yield from _changed(BAD / "conditions", {TRADE.name: TRADE.read_bytes()})


def _changed(folder: Path, sound: dict[str, bytes]) -> Iterator[bytes]:
    """The sound files with the one passage changed that each file of `folder` changes in one of them."""
    for path in sorted(folder.glob("*.yaml")):
        change = yaml.safe_load(path.read_text(encoding="utf-8"))
        of = sound.get(change.get("in", next(iter(sound))))
        if of is not None and "instead_of" in change:
            yield of.replace(change["instead_of"].encode(), change["write"].encode())


def _records() -> Iterator[bytes]:
    for filing in _filings():
        yield write_filed_json(filing)
    yield write_filed_json(Filing({}, ()))


def _laid_open() -> Iterator[bytes]:
    return map(lay_open, _filings())


def _filings() -> Iterator[Filing]:
    whole = filed_room()
    yield whole
    yield replace(whole, entries=())
    yield replace(whole, record={**whole.record, "findings": whole.record["findings"][:1]})
    yield replace(whole, inputs=tuple(one for one in whole.inputs if one.role != PHOTO))


def _pdfs() -> Iterator[bytes]:
    for filing in _filings():
        yield pdf_of([(one.name, one.content) for one in attach(filing)])
    yield pdf_of([("record.json", b"{}"), ("entries.json", b"{}")])
    yield pdf_of([])


def pdf_of(files: list[tuple[str, bytes]]) -> bytes:
    """A PDF of one empty page that `files` are attached to as they are, with its table of where each object lies."""
    names = " ".join(f"<{name.encode('utf-16').hex()}> {4 + 2 * i} 0 R" for i, (name, _) in enumerate(files))
    parts = [
        f"<</Type/Catalog/Pages 2 0 R/Names<</EmbeddedFiles<</Names[{names}]>>>>>>".encode(),
        b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
        b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]>>",
    ]
    for i, (name, content) in enumerate(files):
        parts.append(f"<</Type/Filespec/UF<{name.encode('utf-16').hex()}>/EF<</F {5 + 2 * i} 0 R>>>>".encode())
        head = f"<</Type/EmbeddedFile/Length {len(content)}/Params<</Size {len(content)}>>>>stream\n".encode()
        parts.append(head + content + b"\nendstream")
    return written_pdf(parts)


def written_pdf(objects: list[bytes]) -> bytes:
    """The PDF that holds `objects`, the first of them its catalog."""
    pdf = io.BytesIO()
    pdf.write(b"%PDF-1.7\n")
    places = []
    for number, part in enumerate(objects, 1):
        places.append(pdf.tell())
        pdf.write(b"%d 0 obj\n%s\nendobj\n" % (number, part))
    start, size = pdf.tell(), len(objects) + 1
    pdf.write(b"xref\n0 %d\n0000000000 65535 f \n" % size)
    pdf.write(b"".join(b"%010d 00000 n \n" % place for place in places))
    pdf.write(b"trailer\n<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n" % (size, start))
    return pdf.getvalue()


def _spaces() -> Iterator[bytes]:
    yield b"spaces:\n  - {name: 12 Bindery, level: '1', project: Brackenfold House, area: north side}\n  - name: 13\n"
    yield b'name;level;project\n12 Bindery;1;Brackenfold House\n"13; a";;\n'
    yield b"name\n12 Bindery\n12  bindery\n"
    yield b"level,nmae\n1,a,b\n"


def _photos() -> Iterator[bytes]:
    from PIL import Image

    picture = Image.linear_gradient("L").resize((16, 12)).convert("RGB")
    exif = Image.Exif()
    exif[0x0112] = 6
    exif.get_ifd(0x8769).update({0x9003: "2026:03:09 07:05:00", 0x9011: "-05:00"})
    for form, more in (
        ("JPEG", {"exif": exif}),
        ("JPEG", {"progressive": True, "quality": 30}),
        ("PNG", {"exif": exif}),
        ("WEBP", {"lossless": True}),
        ("WEBP", {"exif": exif, "quality": 30}),
    ):
        packed = io.BytesIO()
        picture.save(packed, form, **more)
        yield packed.getvalue()
    for mode in ("P", "LA", "I;16", "1"):
        packed = io.BytesIO()
        (picture.convert("RGBA").convert(mode) if mode != "I;16" else Image.new("I;16", (4, 4), 40_000)).save(
            packed, "PNG"
        )
        yield packed.getvalue()


_SEEDS = {
    "survey": _surveys,
    "climate-log": _logs,
    "overlay": _overlays,
    "rules-about": _abouts,
    "rules-theme": _themes,
    "rules-conditions": _conditions,
    "record": _records,
    "resealed": _laid_open,
    "pdf": _pdfs,
    "spaces": _spaces,
    "photo": _photos,
}
