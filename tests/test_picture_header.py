"""What the first bytes of a picture say, byte by byte as ITU-T T.81, ISO/IEC 15948 and RFC 9649 have them.

No library makes these pictures, and no pixel is in them.
"""

from __future__ import annotations

import struct

import pytest

from wallwalk.picture_header import Header, phone_form, read_header

START, END = b"\xff\xd8", b"\xff\xd9"


def segment(marker: int, content: bytes = b"") -> bytes:
    """A marker of a JPEG with its length, which counts itself (T.81, B.1.1.4)."""
    return bytes([0xFF, marker]) + struct.pack(">H", len(content) + 2) + content


def frame(marker: int = 0xC0, width: int = 640, height: int = 480) -> bytes:
    """The header of a frame (T.81, B.2.2): precision, lines, samples a line, and one component."""
    return segment(marker, struct.pack(">BHHB", 8, height, width, 1) + b"\x01\x11\x00")


SCAN = segment(0xDA, b"\x01\x01\x00\x00\x3f\x00")
PIXELS = b"\x12\xff\x00\x34\xff\xd0\x56\xff\xd7\x78"
"""Coded, with a stuffed nought and two markers that only start the coder again (T.81, F.1.2.3 and E.1.4)."""
APPS = segment(0xE0, b"JFIF\0\1\1\0\0\1\0\1\0\0")
PLAIN = START + APPS + frame() + SCAN + PIXELS + END


def test_a_plain_jpeg_is_read() -> None:
    """Its frame says lines before samples; one scan."""
    assert read_header(PLAIN) == Header("JPEG", 640, 480, 1)
    assert Header("JPEG", 1, 2) == Header("JPEG", 1, 2, 1)


@pytest.mark.parametrize("marker", [*range(0xC0, 0xC4), *range(0xC5, 0xC8), *range(0xC9, 0xCC), *range(0xCD, 0xD0)])
def test_every_kind_of_frame_is_one(marker: int) -> None:
    """Baseline, progressive, lossless and differential, with Huffman or arithmetic coding (T.81, table B.1)."""
    assert read_header(START + APPS + frame(marker) + SCAN + PIXELS + END) == Header("JPEG", 640, 480, 1)


@pytest.mark.parametrize("marker", [0xC4, 0xC8, 0xCC, 0xDB, 0xDD, 0xE1, 0xFE])
def test_what_is_no_frame_says_no_size(marker: int) -> None:
    """Tables, reserved, conditioning, applications and comments; whatever stands in them, also a whole picture."""
    assert read_header(START + frame(marker) + SCAN + PIXELS + END) is None
    inside = START + segment(marker, frame(0xC0, 5, 7) + SCAN) + frame() + SCAN + PIXELS + END
    assert read_header(inside) == Header("JPEG", 640, 480, 1)


def test_the_first_frame_says_the_size_and_every_scan_counts() -> None:
    """A progressive picture has several; what only looks like a marker among the pixels is passed over."""
    scans = (SCAN + PIXELS) * 3
    assert read_header(START + frame(0xC2) + scans + frame(0xC0, 1, 1) + SCAN + END) == Header("JPEG", 640, 480, 4)


def test_what_stands_behind_the_end_is_not_looked_at() -> None:
    """A phone's second picture, or anything else."""
    behind = START + frame(0xC0, 9, 9) + SCAN * 5 + END
    assert read_header(PLAIN + behind) == Header("JPEG", 640, 480, 1)
    assert read_header(START + APPS + END + frame() + SCAN) is None


def test_a_marker_may_be_filled_up_and_some_stand_alone() -> None:
    """Any number of 0xFF before a marker (T.81, B.1.1.2); TEM and a further start have no length."""
    filled = START + b"\xff\xff\xff" + frame()[1:] + b"\xff\x01" + START + SCAN + PIXELS + END
    assert read_header(filled) == Header("JPEG", 640, 480, 1)
    assert read_header(START + b"\xff" + APPS + b"\xff\x01" + b"\xff\x01" + frame() + END) == Header(
        "JPEG", 640, 480, 0
    )
    assert read_header(START + START + frame() + SCAN + END) == Header("JPEG", 640, 480, 1)


def test_the_largest_numbers_are_read_as_such() -> None:
    """Sizes and lengths have no sign: a side of 65,535, and a comment of 60,000 bytes before the frame."""
    large = START + segment(0xFE, bytes(60_000)) + frame(0xC0, 65_535, 65_534) + SCAN + END
    assert read_header(large) == Header("JPEG", 65_535, 65_534, 1)
    png = PNG[:16] + b"\xff\xff\xff\xff\xff\xff\xff\xfe" + PNG[24:]
    assert read_header(png) == Header("PNG", 2**32 - 1, 2**32 - 2, 1)


PNG = b"\x89PNG\r\n\x1a\n" + struct.pack(">I4sIIBBBBB", 13, b"IHDR", 321, 123, 8, 2, 0, 0, 0)
RIFF = b"RIFF\x64\0\0\0WEBP"
LOSSY = RIFF + b"VP8 " + b"\x58\0\0\0" + b"\x10\x02\0\x9d\x01\x2a" + struct.pack("<HH", 321 | 1 << 14, 123 | 2 << 14)
LOSSLESS = RIFF + b"VP8L" + b"\x58\0\0\0" + b"\x2f" + struct.pack("<I", 320 | 122 << 14 | 1 << 28)
EXTENDED = RIFF + b"VP8X" + b"\x0a\0\0\0" + b"\x10\0\0\0" + b"\x40\x01\x00" + b"\x7a\x00\x00"
LARGE = RIFF + b"VP8X" + b"\x0a\0\0\0" + b"\x10\0\0\0" + b"\xff\xff\xff" + b"\x01\x02\x03"


@pytest.mark.parametrize(
    ("content", "header"),
    [
        (PNG, Header("PNG", 321, 123, 1)),
        (LOSSY, Header("WEBP", 321, 123, 1)),
        (LOSSLESS, Header("WEBP", 321, 123, 1)),
        (EXTENDED, Header("WEBP", 321, 123, 1)),
        (LARGE, Header("WEBP", 1 << 24, 0x030201 + 1, 1)),
        (LOSSLESS[:-4] + struct.pack("<I", 0x0FFFFFFF), Header("WEBP", 1 << 14, 1 << 14, 1)),
        (LOSSY[:-4] + b"\xff\xff\xff\xff", Header("WEBP", (1 << 14) - 1, (1 << 14) - 1, 1)),
    ],
)
def test_a_png_and_every_webp_are_read(content: bytes, header: Header) -> None:
    """PNG's first chunk (ISO/IEC 15948, 11.2.2); lossy, lossless and extended WebP (RFC 9649, 2.5 to 2.7)."""
    assert read_header(content) == header


@pytest.mark.parametrize("content", [PLAIN, PNG, LOSSY, LOSSLESS])
def test_one_that_ends_before_its_size_is_no_picture(content: bytes) -> None:
    """Cut off anywhere before its size is said; where it is said, it is a picture."""
    said = content.index(frame()) + 9 if content is PLAIN else 24 if content is PNG else len(content)
    assert [n for n in range(said) if read_header(content[:n]) is not None] == []
    assert read_header(content[:said] if content is not PLAIN else PLAIN[: said + 10]) is not None


@pytest.mark.parametrize(
    "content",
    [
        b"",
        PNG.replace(b"IHDR", b"IDAT"),
        b"\x88" + PNG[1:],
        LOSSY.replace(b"RIFF", b"RIFX"),
        LOSSY.replace(b"WEBP", b"WAVE"),
        LOSSY.replace(b"VP8 ", b"VP9 "),
        b"GIF89a" + bytes(40),
    ],
)
def test_what_is_of_another_form_is_none(content: bytes) -> None:
    """One sign of a form's first bytes changed is enough."""
    assert read_header(content) is None


@pytest.mark.parametrize(
    ("brand", "form"),
    [
        *(
            (brand, "HEIC")
            for brand in (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"mif2", b"msf1")
        ),
        (b"avif", "AVIF"),
        (b"avis", "AVIF"),
        (b"isom", ""),
        (b"HEIC", ""),
    ],
)
def test_the_form_of_a_phone_is_named(brand: bytes, form: str) -> None:
    """By the brand in the first box (ISO/IEC 14496-12, 4.3), and in no other place."""
    content = b"\0\0\0\x18ftyp" + brand + bytes(4) + b"mif1"
    assert phone_form(content) == form
    assert read_header(content) is None
    assert phone_form(b"\0\0\0\x18free" + brand + bytes(8)) == ""
    assert phone_form(b"\0" + content) == ""
