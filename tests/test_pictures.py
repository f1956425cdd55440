"""Picture files: read with care, set upright, made small, and nothing kept of them but the picture and its time.

Every picture is made here. What Pillow is asked for is read back by other ways where there are some: the markers of a
JPEG by hand, a position by its bytes.
"""

from __future__ import annotations

import hashlib
import os
import struct
import subprocess
import sys
import zlib
from fractions import Fraction

import pytest
from PIL import Image, ImageFile

from pictures import (
    BLUE,
    BROKEN,
    GPS,
    GREEN,
    ORIENTATION,
    RED,
    WHITE,
    apart,
    colours,
    corners,
    jpeg,
    opened,
    png_chunk,
    png_of,
    saved,
)
from wallwalk.moments import find_zone, parse_camera_time
from wallwalk.picture import LONGEST_PX, PictureFaultError, looks_alike, read_picture
from wallwalk.picture_header import Header, read_header

CHICAGO = find_zone("America/Chicago")


def segments(content: bytes) -> list[int]:
    """The markers of a JPEG up to its pixels."""
    found, at = [], 2
    while content[at + 1] != 0xDA:
        found.append(content[at + 1])
        at += 2 + int.from_bytes(content[at + 2 : at + 4], "big")
    return found


# -- the picture ----------------------------------------------------------------------------------------------------

# Exif 2.32, tag Orientation: what the first row and the first column of the file are when the scene is seen upright.
AS_STORED = {
    1: lambda image: image,
    2: lambda image: image.transpose(Image.Transpose.FLIP_LEFT_RIGHT),  # top, right
    3: lambda image: image.transpose(Image.Transpose.ROTATE_180),  # bottom, right
    4: lambda image: image.transpose(Image.Transpose.FLIP_TOP_BOTTOM),  # bottom, left
    5: lambda image: image.transpose(Image.Transpose.TRANSPOSE),  # left, top
    6: lambda image: image.transpose(Image.Transpose.ROTATE_90),  # right, top
    7: lambda image: image.transpose(Image.Transpose.TRANSVERSE),  # right, bottom
    8: lambda image: image.transpose(Image.Transpose.ROTATE_270),  # left, bottom
}


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("turned", AS_STORED)
def test_every_orientation_is_set_upright(turned: int, form: str) -> None:
    """A scene held each of the eight ways is shown the right way up, wide side across, and so is its size."""
    stored = AS_STORED[turned](corners())
    exif = Image.Exif()
    exif[ORIENTATION] = turned
    picture = read_picture(saved(stored, form, exif=exif))
    assert (picture.width, picture.height) == (400, 300)
    assert opened(picture.shown).size == (400, 300)
    assert colours(picture.shown) == [RED, GREEN, BLUE, WHITE]


@pytest.mark.parametrize("turned", [0, 9, 65535])
def test_an_orientation_that_is_none_leaves_the_picture_as_it_is(turned: int) -> None:
    """Numbers that Exif does not know turn nothing."""
    assert colours(read_picture(jpeg(turned=turned)).shown) == [RED, GREEN, BLUE, WHITE]


@pytest.mark.parametrize(
    ("size", "small"),
    [((4000, 3000), (1200, 900)), ((3000, 4000), (900, 1200)), ((1200, 40), (1200, 40)), ((1, 1), (1, 1))],
)
def test_a_picture_is_made_small_and_never_large(size: tuple[int, int], small: tuple[int, int]) -> None:
    """The longest side comes to 1200 at most; its own size is told as it was."""
    picture = read_picture(jpeg(corners(*size)))
    assert ((picture.width, picture.height), opened(picture.shown).size) == (size, small)
    assert max(small) <= LONGEST_PX


def test_nothing_but_the_picture_is_shown() -> None:
    """Position, camera, comment, profile and preview stay behind, whatever carries them."""
    exif = Image.Exif()
    exif[0x010F] = "SECRET-CAMERA"
    exif.get_ifd(GPS).update({1: "N", 2: (41.0, 52.0, 11.0), 29: "SECRET-2026"})
    xmp = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>SECRET-XMP</x:xmpmeta>"
    picture = jpeg_with = saved(
        corners(), "JPEG", exif=exif, comment=b"SECRET-COMMENT", xmp=xmp, icc_profile=b"SECRET-ICC" * 20
    )
    assert jpeg_with.count(b"SECRET") > 4
    shown = read_picture(picture).shown
    assert b"SECRET" not in shown
    assert b"Exif" not in shown
    assert [m for m in segments(shown) if m >= 0xE0] == [0xE0]  # JFIF's own, and no other application's
    assert dict(opened(shown).getexif()) == {}
    for form in ("PNG", "WEBP"):
        assert b"SECRET" not in read_picture(saved(corners(), form, exif=exif, xmp=xmp)).shown


@pytest.mark.slow
def test_the_same_picture_comes_out_in_the_same_bytes_in_another_process() -> None:
    """With another hash seed, and after another package was loaded."""
    script = (
        "import sys, hashlib, weasyprint; from wallwalk.picture import read_picture; "
        "print(hashlib.sha256(read_picture(sys.stdin.buffer.read()).shown).hexdigest())"
    )
    content = jpeg(corners(3000, 2000))
    want = hashlib.sha256(read_picture(content).shown).hexdigest()
    for seed in ("1", "2"):
        done = subprocess.run(
            [sys.executable, "-W", "ignore", "-c", script],
            input=content,
            capture_output=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        )
        assert done.stdout.decode().strip() == want


def sixteen_bits(more: bytes = b"") -> bytes:
    """A grey PNG of sixteen bits, half dark and half light, with one more chunk where it is given."""
    rows = b"".join(b"\x00" + struct.pack(">40H", *([20 * 256] * 20 + [230 * 256] * 20)) for _ in range(30))
    head = struct.pack(">IIBBBBB", 40, 30, 16, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + png_chunk(b"IHDR", head)
        + more
        + png_chunk(b"IDAT", zlib.compress(rows))
        + png_chunk(b"IEND", b"")
    )


@pytest.mark.parametrize(
    ("content", "left", "right"),
    [
        (saved(corners().convert("L"), "PNG"), (82, 82, 82), (136, 136, 136)),
        (saved(corners().quantize(8), "PNG"), RED, GREEN),
        (saved(corners().convert("CMYK"), "JPEG", quality=95), RED, GREEN),
        (saved(Image.new("RGBA", (40, 30), (0, 0, 0, 0)), "PNG"), (255, 255, 255), (255, 255, 255)),
        (saved(Image.new("LA", (40, 30), (0, 0)), "PNG"), (255, 255, 255), (255, 255, 255)),
        (saved(Image.new("1", (40, 30), 1), "PNG"), (255, 255, 255), (255, 255, 255)),
        (sixteen_bits(), (20, 20, 20), (230, 230, 230)),
        (sixteen_bits(png_chunk(b"tRNS", b"\x00\x00")), (20, 20, 20), (230, 230, 230)),
        (saved(corners(), "JPEG", progressive=True, quality=95), RED, GREEN),
        (saved(corners(), "WEBP", lossless=True), RED, GREEN),
    ],
    ids=[
        "grey",
        "palette",
        "CMYK",
        "clear",
        "clear grey",
        "one bit",
        "sixteen bits",
        "sixteen bits with a clear one",
        "progressive",
        "lossless WebP",
    ],
)
def test_every_kind_of_pixel_is_shown_as_it_looks(
    content: bytes, left: tuple[int, ...], right: tuple[int, ...]
) -> None:
    """Grey stays grey, what one can see through is white, sixteen bits keep their upper eight."""
    image = opened(read_picture(content).shown)
    assert image.mode == "RGB"
    for place, want in ((image.width // 4, left), (image.width * 3 // 4, right)):
        assert apart(image, (place, image.height // 4), want) <= 25


def test_a_photo_with_previews_behind_it_is_a_still() -> None:
    """Phones write a second picture behind the first one (MPO); the first is the photo."""
    content = saved(corners(), "MPO", save_all=True, append_images=[corners(40, 30)], quality=95)
    assert opened(content).format == "MPO"
    picture = read_picture(content)
    assert ((picture.width, picture.height), colours(picture.shown)) == ((400, 300), [RED, GREEN, BLUE, WHITE])


# -- what is no picture ---------------------------------------------------------------------------------------------


def fault_of(content: bytes) -> tuple[str, str]:
    """What is found wrong with a picture, and what to do."""
    with pytest.raises(PictureFaultError) as fault:
        read_picture(content)
    return fault.value.found, fault.value.instead


def moving(form: str) -> bytes:
    """A picture that moves."""
    return saved(corners(40, 30), form, save_all=True, append_images=[Image.new("RGB", (40, 30), BLUE)], duration=100)


def many_scans() -> bytes:
    """A JPEG with its last scan three hundred times over."""
    content = saved(corners(), "JPEG", progressive=True)
    last = content.rindex(b"\xff\xda")
    return content[:last] + content[last:-2] * 300 + content[-2:]


def boxed(brand: bytes) -> bytes:
    """The first box of a file as ISO/IEC 14496-12 has it (4.3): size, `ftyp`, brand, version, and what it goes with."""
    return b"\x00\x00\x00\x18ftyp" + brand + bytes(4) + b"mif1" + brand + bytes(40)


def phones(form: str) -> tuple[str, str]:
    """What is said of a form that phones write in place of a JPEG."""
    found = f"is a picture of the form {form}, which few machines can open"
    return found, "export it from the phone as a JPEG, or set the phone's camera to save JPEG"


NO_PICTURE = ("is no JPEG, PNG or WebP picture", "save the photo as one of these")
CUT_OFF = (BROKEN, "copy it from the camera again")
MOVING = ("is a moving picture", "save one picture of it")
OTHERS: dict[str, tuple[bytes, tuple[str, str]]] = {
    "empty": (b"", ("is empty", "copy it from the camera again")),
    "text": (b"photo of the north wall", NO_PICTURE),
    "GIF": (saved(corners(), "GIF"), NO_PICTURE),
    "BMP": (saved(corners(), "BMP"), NO_PICTURE),
    "TIFF": (saved(corners(), "TIFF"), NO_PICTURE),
    "PDF": (b"%PDF-1.7\n%\xff\xd8\xff\n", NO_PICTURE),
    "SVG": (b'<svg xmlns="http://www.w3.org/2000/svg"/>', NO_PICTURE),
    "HEIC": (boxed(b"heic"), phones("HEIC")),
    "HEIC of any brand": (boxed(b"mif1"), phones("HEIC")),
    "AVIF": (boxed(b"avif"), phones("AVIF")),
    "film": (boxed(b"isom"), NO_PICTURE),
    "a brand and no box": (b"\x00\x00\x00\x18fty heic", NO_PICTURE),
    "start of a JPEG": (b"\xff\xd8\xff\xe0\x00\x10JFIF", NO_PICTURE),
    "start of a PNG": (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00", NO_PICTURE),
    "sound as WebP": (b"RIFF\x24\x00\x00\x00WAVEfmt ", NO_PICTURE),
    "WebP of another kind": (b"RIFF\x24\x00\x00\x00WEBPVP9 " + bytes(40), NO_PICTURE),
    "JPEG cut off": (jpeg()[:-400], CUT_OFF),
    "PNG cut off": (saved(corners(), "PNG")[:-200], CUT_OFF),
    "WebP cut off": (saved(corners(), "WEBP")[:-100], CUT_OFF),
    "PNG of no pixels": (png_of(400, 300), CUT_OFF),
    "PNG of no size": (png_of(0, 0), CUT_OFF),
    "PNG of a wrong sum": (png_of(400, 300).replace(b"IDAT", b"IDAX"), CUT_OFF),
    "moving PNG": (moving("PNG"), MOVING),
    "moving WebP": (moving("WEBP"), MOVING),
    "PNG of 60000 by 60000": (
        png_of(60000, 60000, bytes(1000)),
        ("has 60000 × 60000 pixels, over 50 million", "save it smaller"),
    ),
    "WebP of 16384 by 16384": (
        b"RIFF\x64\x00\x00\x00WEBPVP8X\x0a\x00\x00\x00" + bytes(4) + b"\xff\x3f\x00\xff\x3f\x00" + bytes(60),
        ("has 16384 × 16384 pixels, over 50 million", "save it smaller"),
    ),
    "many scans": (many_scans(), ("is written in 309 scans", "save it again as a plain JPEG")),
    "over 25 MB": (jpeg() + bytes(25 * 1024 * 1024), ("is over 25 MB", "save it smaller")),
}


@pytest.mark.parametrize("name", OTHERS)
def test_what_is_no_photo_is_refused(name: str) -> None:
    """Each in one message that says what it is and what to give instead."""
    content, said = OTHERS[name]
    assert fault_of(content) == said


def test_fifty_million_pixels_are_read_and_one_row_more_is_not() -> None:
    """The limit is on what the picture says of itself, so that nothing is unpacked to find out."""
    assert fault_of(png_of(10000, 5001))[0] == "has 10000 × 5001 pixels, over 50 million"
    assert fault_of(png_of(10000, 5000)) == CUT_OFF


def test_a_picture_that_says_two_sizes_is_refused() -> None:
    """The size that was looked at is the size that is unpacked."""
    head = struct.pack(">IIBBBBB", 4000, 3000, 8, 2, 0, 0, 0)
    first = png_of(40, 30, bytes(30 * 121))
    both = first[:33] + png_chunk(b"IHDR", head) + first[33:]
    assert read_header(both) == Header("PNG", 40, 30)
    assert fault_of(both) == CUT_OFF


def test_a_picture_cut_off_is_refused_even_where_another_package_lets_it_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    """What draws the PDF tells Pillow to pass over such files; that is put back as it was."""
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    assert fault_of(jpeg()[:-400]) == CUT_OFF
    assert fault_of(saved(corners(), "PNG")[:-200]) == CUT_OFF
    assert ImageFile.LOAD_TRUNCATED_IMAGES


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_the_header_says_what_the_file_is(form: str) -> None:
    """Form and size as they were written, lossless and lossy, with metadata and without."""
    exif = Image.Exif()
    exif[0x010F] = "camera"
    for more in ({}, {"exif": exif}, {"lossless": True}, {"progressive": True}):
        header = read_header(saved(corners(321, 123), form, **more))
        assert header is not None
        assert (header.form, header.width, header.height) == (form, 321, 123)
        assert header.scans < 20


@pytest.mark.slow
@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_broken_file_is_a_picture_or_a_fault_and_nothing_else(form: str) -> None:
    """With any one byte changed, or cut off anywhere, reading ends in a picture or in one of the known messages."""
    content = saved(corners(40, 30), form)
    known = {"is empty", BROKEN, NO_PICTURE[0], MOVING[0]}
    ends: dict[str, int] = {"picture": 0, "fault": 0}
    for at in range(0, len(content), 1 if len(content) < 700 else 3):
        for broken in (content[:at], content[:at] + bytes([content[at] ^ 0xFF]) + content[at + 1 :]):
            try:
                assert max(opened(read_picture(broken).shown).size) <= LONGEST_PX
                ends["picture"] += 1
            except PictureFaultError as fault:
                assert fault.found in known or "pixels, over 50 million" in fault.found  # noqa: PT017 - not each is one
                ends["fault"] += 1
    assert min(ends.values()) > 10


# -- when it was taken ----------------------------------------------------------------------------------------------


def seconds(text: str) -> Fraction:
    """A moment with its offset, as seconds since 1970, by the standard library."""
    from datetime import datetime

    return Fraction(datetime.fromisoformat(text).timestamp())


@pytest.mark.parametrize(
    ("clock", "offset", "first", "last"),
    [
        ("2026:03:09 13:22:10", "", "2026-03-09T13:22:10-05:00", "2026-03-09T13:22:10-05:00"),
        ("2026:03:09 13:22:10", "+01:00", "2026-03-09T13:22:10+01:00", "2026-03-09T13:22:10+01:00"),
        ("2026:02:09 13:22:10", "", "2026-02-09T13:22:10-06:00", "2026-02-09T13:22:10-06:00"),
        ("2026:11:01 01:30:00", "", "2026-11-01T01:30:00-05:00", "2026-11-01T01:30:00-06:00"),  # comes twice
        ("2026:03:08 02:30:00", "", "2026-03-08T01:30:00-06:00", "2026-03-08T03:30:00-05:00"),  # is skipped
        ("2026:03:09 13:22:10", "here", "2026-03-09T13:22:10-05:00", "2026-03-09T13:22:10-05:00"),
    ],
)
def test_a_camera_s_time_is_on_the_site_s_clock_unless_it_says_otherwise(
    clock: str, offset: str, first: str, last: str
) -> None:
    """Both moments where a clock change leaves two; the offset in the file wins over the zone of the site."""
    taken = parse_camera_time(clock, offset, CHICAGO)
    assert taken is not None
    assert (taken.low, taken.high) == (seconds(first), seconds(last))


@pytest.mark.parametrize(
    "clock", ["", "0000:00:00 00:00:00", "2026:02:30 12:00:00", "yesterday", "2026:03:09", "1850:01:01 00:00:00"]
)
def test_a_time_that_is_none_is_no_time(clock: str) -> None:
    """Cameras that were never set write zeros."""
    assert parse_camera_time(clock, "", CHICAGO) is None


def test_a_time_on_no_known_clock_is_no_moment() -> None:
    """Without a zone and without an offset nobody can say when that was."""
    assert parse_camera_time("2026:03:09 13:22:10", "", None) is None
    assert parse_camera_time("2026:03:09 13:22:10", "Z", None) is not None


# -- two small pictures ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "other", [b"", b"\xff\xd8\xff", jpeg()[:-400], saved(corners(), "PNG"), jpeg(corners(4000, 3000))]
)
def test_what_cannot_be_looked_at_does_not_look_alike(other: bytes) -> None:
    """Broken, of another form, or too large to be a small picture."""
    shown = read_picture(jpeg()).shown
    assert looks_alike(shown, shown)
    assert not looks_alike(shown, other)
    assert not looks_alike(other, shown)
