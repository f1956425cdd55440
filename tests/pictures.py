"""Pictures made for tests, and what a picture that was made small is read back as."""

from __future__ import annotations

import io
import struct
import zlib
from typing import Any

from PIL import Image

RED, GREEN, BLUE, WHITE = (220, 30, 30), (30, 200, 30), (30, 30, 220), (250, 250, 250)
EXIF, TAKEN, OFFSET, ORIENTATION, GPS = 0x8769, 0x9003, 0x9011, 0x0112, 0x8825
BROKEN = "cannot be read as a picture to its end"


def corners(width: int = 400, height: int = 300) -> Image.Image:
    """Red, green, blue and white from corner to corner, by rows: which way up it is, is plain."""
    image = Image.new("RGB", (width, height), RED)
    image.paste(GREEN, (width // 2, 0, width, height // 2))
    image.paste(BLUE, (0, height // 2, width // 2, height))
    image.paste(WHITE, (width // 2, height // 2, width, height))
    return image


def jpeg(image: Image.Image | None = None, *, taken: str = "", offset: str = "", turned: int = 0, **more: Any) -> bytes:  # noqa: ANN401 - options of Pillow
    """A JPEG of `image`, with a time, an offset and an orientation where they are given."""
    exif = Image.Exif()
    if turned:
        exif[ORIENTATION] = turned
    if taken:
        exif.get_ifd(EXIF)[TAKEN] = taken
    if offset:
        exif.get_ifd(EXIF)[OFFSET] = offset
    return saved(image or corners(), "JPEG", quality=95, exif=exif, **more)


def saved(image: Image.Image, form: str, **more: Any) -> bytes:  # noqa: ANN401 - options of Pillow
    """The bytes of a picture file."""
    packed = io.BytesIO()
    image.save(packed, form, **more)
    return packed.getvalue()


def opened(shown: bytes) -> Image.Image:
    """A picture read again."""
    return Image.open(io.BytesIO(shown))


def colours(shown: bytes) -> list[tuple[int, ...]]:
    """The colour nearest to each quarter of a picture, by rows."""
    image = opened(shown).convert("RGB")
    width, height = image.size
    places = [(width * x // 4, height * y // 4) for y in (1, 3) for x in (1, 3)]
    known = (RED, GREEN, BLUE, WHITE)
    return [known[min(range(4), key=[apart(image, place, one) for one in known].__getitem__)] for place in places]


def apart(image: Image.Image, place: tuple[int, int], colour: tuple[int, ...]) -> int:
    """How far a pixel is from a colour, in the worst of red, green and blue."""
    seen = image.getpixel(place)
    assert isinstance(seen, tuple)
    return max(abs(a - b) for a, b in zip(seen, colour, strict=True))


def png_chunk(kind: bytes, content: bytes) -> bytes:
    """One chunk of a PNG with its checksum."""
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))


def png_of(width: int, height: int, pixels: bytes = b"") -> bytes:
    """A PNG that says it is so large, and holds `pixels`, packed."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + png_chunk(b"IHDR", head)
        + png_chunk(b"IDAT", zlib.compress(pixels))
        + png_chunk(b"IEND", b"")
    )
