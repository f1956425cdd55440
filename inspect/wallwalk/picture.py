"""One picture file, unpacked with care: the right way up, made small, and with nothing in it but the picture."""

from __future__ import annotations

import contextlib
import io
import warnings
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from wallwalk.picture_header import Header, phone_form, read_header

if TYPE_CHECKING:
    from PIL.Image import Image

BYTES_MAX = 25 * 1024 * 1024
PIXELS_MAX = 50_000_000
SCANS_MAX = 100
"""A progressive JPEG has about ten; each scan costs time over all pixels, and thousands fit into a small file."""

LONGEST_PX = 1200
QUALITY = 80
"""How large the picture in a report is at most, and how well its JPEG keeps it (Pillow's scale, up to 95)."""

_BLOCK_PX, _APART_MAX = 8, 12
"""How far two small pictures may be apart, of 255, on average over a block: by rounding, and not by what they show."""

_ORIENTATION, _EXIF = 0x0112, 0x8769
_TAKEN, _OFFSET = 0x9003, 0x9011
"""Tags of Exif 2.32: Orientation, the Exif IFD, DateTimeOriginal, OffsetTimeOriginal."""

_TURNS = {
    2: "FLIP_LEFT_RIGHT",
    3: "ROTATE_180",
    4: "FLIP_TOP_BOTTOM",
    5: "TRANSPOSE",
    6: "ROTATE_270",
    7: "TRANSVERSE",
    8: "ROTATE_90",
}
"""By Exif's orientation, the turn by Pillow's name that sets the picture upright."""

_SIDEWAYS = {"TRANSPOSE", "ROTATE_270", "TRANSVERSE", "ROTATE_90"}
_BROKEN = ("cannot be read as a picture to its end", "copy it from the camera again")
_MOVING = ("is a moving picture", "save one picture of it")


class PictureFaultError(Exception):
    """A file that is no picture we show: what was found, and what to give instead."""

    def __init__(self, found: str, instead: str) -> None:
        super().__init__(found)
        self.found = found
        self.instead = instead


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture file once read: its size upright, in pixels, the clock and offset it gives, and a small JPEG of it."""

    width: int
    height: int
    clock: str
    offset: str
    shown: bytes = field(repr=False)


def read_picture(content: bytes) -> Picture:
    """The picture in the bytes of a JPEG, PNG or WebP file. Raises `PictureFaultError`."""
    if len(content) > BYTES_MAX:
        raise PictureFaultError(f"is over {BYTES_MAX // 1024**2} MB", "save it smaller")
    header = read_header(content)
    if header is None:
        raise _no_picture(content)
    if header.width * header.height > PIXELS_MAX:
        found = f"has {header.width} × {header.height} pixels, over {PIXELS_MAX // 10**6} million"
        raise PictureFaultError(found, "save it smaller")
    if header.scans > SCANS_MAX:
        raise PictureFaultError(f"is written in {header.scans:,} scans", "save it again as a plain JPEG")
    return _unpack(content, header)


def _no_picture(content: bytes) -> PictureFaultError:
    if not content:
        return PictureFaultError("is empty", "copy it from the camera again")
    if form := phone_form(content):
        found = f"is a picture of the form {form}, which few machines can open"
        return PictureFaultError(found, "export it from the phone as a JPEG, or set the phone's camera to save JPEG")
    return PictureFaultError("is no JPEG, PNG or WebP picture", "save the photo as one of these")


def looks_alike(shown: bytes, other: bytes) -> bool:
    """Whether two small pictures show the same, but for what another version of Pillow rounds in another way."""
    if shown == other:
        return True
    sizes = {(h.form, h.width, h.height) if (h := read_header(one)) else ("", 0, 0) for one in (shown, other)}
    form, *sides = next(iter(sizes))
    if len(sizes) > 1 or form != "JPEG" or max(sides) > LONGEST_PX:
        return False
    from PIL import Image, ImageChops

    try:
        with _strictly():
            one, two = (Image.open(io.BytesIO(part), formats=["JPEG"]).convert("RGB") for part in (shown, other))
            apart = ImageChops.difference(one, two).reduce(_BLOCK_PX).getextrema()
    except Exception:  # noqa: BLE001 - a decoder may raise anything over a file that is broken
        return False
    return max(most for _, most in apart) <= _APART_MAX  # type: ignore[misc]


def _unpack(content: bytes, header: Header) -> Picture:
    from PIL import Image

    try:
        with _strictly(), Image.open(io.BytesIO(content), formats=[header.form]) as image:
            moving = image.format != "MPO" and getattr(image, "n_frames", 1) > 1  # an MPO is a still with previews
            alike = image.size == (header.width, header.height)
            picture = None if moving or not alike else _take(image)
    except Exception as error:  # a decoder may raise anything over a file that is broken
        raise PictureFaultError(*_BROKEN) from error
    if picture is not None:
        return picture
    raise PictureFaultError(*(_MOVING if moving else _BROKEN))


@contextlib.contextmanager
def _strictly() -> Iterator[None]:
    """A file that ends too early is a fault here, even where another package told Pillow to pass over that."""
    from PIL import ImageFile

    before = ImageFile.LOAD_TRUNCATED_IMAGES
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = before


def _take(image: Image) -> Picture:
    from PIL import Image as Pillow

    width, height = image.size
    image.draft(None, (2 * LONGEST_PX, 2 * LONGEST_PX))  # a JPEG is unpacked no larger than looks well made small
    small = _flat(image)
    small.thumbnail((LONGEST_PX, LONGEST_PX), Pillow.Resampling.LANCZOS)
    exif = image.getexif()
    turn = _TURNS.get(exif.get(_ORIENTATION, 1))
    if turn is not None:
        small = small.transpose(Pillow.Transpose[turn])
    if turn in _SIDEWAYS:
        width, height = height, width
    told = exif.get_ifd(_EXIF)
    return Picture(width, height, _text(told.get(_TAKEN)), _text(told.get(_OFFSET)), _packed(small))


def _flat(image: Image) -> Image:
    """Every pixel in red, green and blue; on white, where one can see through it."""
    from PIL import Image as Pillow

    if image.mode == "I;16":  # sixteen bits of grey, of which Pillow would keep the wrong eight
        return image.point(lambda grey: grey / 256).convert("L").convert("RGB")
    if image.has_transparency_data:
        clear = image.convert("RGBA")
        flat = Pillow.new("RGB", image.size, "white")
        flat.paste(clear, mask=clear.getchannel("A"))
        return flat
    return image.convert("RGB")


def _text(told: object) -> str:
    return told.strip("\0 ") if isinstance(told, str) else ""


def _packed(image: Image) -> bytes:
    """The pixels as a JPEG: on a fresh ground, so that no comment, profile or position goes with them."""
    from PIL import Image as Pillow

    bare = Pillow.new("RGB", image.size)
    bare.paste(image)
    packed = io.BytesIO()
    bare.save(packed, "JPEG", quality=QUALITY, subsampling="4:2:0", optimize=True)
    return packed.getvalue()
