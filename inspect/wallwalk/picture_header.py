"""What the first bytes of a picture say it is: its form and its size, read before anything is unpacked.

Forms: JPEG (ITU-T T.81), PNG (ISO/IEC 15948), WebP (RFC 9649). The name of the file is not asked.
"""

from __future__ import annotations

import re
import struct
from dataclasses import dataclass

_JPEG, _PNG = b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n"
_MARKER = re.compile(rb"\xff+([^\x00\xff\xd0-\xd7])", re.DOTALL)
"""A marker of a JPEG; what is stuffed, and what only starts the coder again, is passed over."""

_PHONES_FORMS = {b"avif": "AVIF", b"avis": "AVIF"} | dict.fromkeys(
    (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"mif2", b"msf1"), "HEIC"
)
"""What phones write when they are not asked for a JPEG, by the brand in its first box (ISO/IEC 14496-12, 4.3)."""

_START, _END, _SCAN = 0xD8, 0xD9, 0xDA
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}


@dataclass(frozen=True, slots=True)
class Header:
    """The form of a picture as Pillow calls it, its size in pixels, and in how many scans a JPEG is written."""

    form: str
    width: int
    height: int
    scans: int = 1


def read_header(content: bytes) -> Header | None:
    """What `content` says it is, or None where it is no picture of these forms."""
    try:
        if content.startswith(_JPEG):
            return _read_jpeg(content)
        if content.startswith(_PNG) and content[12:16] == b"IHDR":
            return Header("PNG", *struct.unpack_from(">II", content, 16))
        if content.startswith(b"RIFF") and content[8:12] == b"WEBP":
            return _read_webp(content)
    except struct.error:  # it ends before it has said so
        return None
    return None


def phone_form(content: bytes) -> str:
    """The form that a phone wrote in place of a JPEG: `HEIC`, `AVIF`, or empty where it is neither."""
    return _PHONES_FORMS.get(content[8:12], "") if content[4:8] == b"ftyp" else ""


def _read_jpeg(content: bytes) -> Header | None:
    size, scans, at = None, 0, 2
    while found := _MARKER.search(content, at):
        marker, at = found[1][0], found.end()
        if marker == _END:
            break
        if marker in {_START, 0x01}:  # these stand alone
            continue
        if marker in _FRAMES and size is None:
            size = struct.unpack_from(">HH", content, at + 3)
        scans += marker == _SCAN
        at += struct.unpack_from(">H", content, at)[0]
    return None if size is None else Header("JPEG", size[1], size[0], scans)


def _read_webp(content: bytes) -> Header | None:
    kind = content[12:16]
    if kind == b"VP8X":
        width, height = (int.from_bytes(content[at : at + 3], "little") + 1 for at in (24, 27))
    elif kind == b"VP8 ":
        width, height = (size & 0x3FFF for size in struct.unpack_from("<HH", content, 26))
    elif kind == b"VP8L":
        bits = struct.unpack_from("<I", content, 21)[0]
        width, height = (bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1
    else:
        return None
    return Header("WEBP", width, height)
