"""Draws the photo of the example 014: .venv/bin/python examples/draw-photo.py

No camera took it: an invented wall with a stain, loose paint and a window, so that the example has a photo to show.
"""

from __future__ import annotations

import math
from pathlib import Path
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter

WIDTH, HEIGHT = 1000, 750
FILE = Path(__file__).parent / "014-old-dispensary.jpg"
TAKEN, OFFSET = "2026:03:09 13:24:10", "-05:00"

Points = list[tuple[float, float]]


def draw_wall(chance: Random) -> Image.Image:
    """Oil paint on plaster, darker to the left, uneven by the trowel; light falls in from the window on the right."""
    wall = Image.new("RGB", (WIDTH, HEIGHT), (206, 204, 186))
    for size, depth in ((90, 16), (18, 7), (3, 5)):
        few = Image.new("L", (WIDTH // size + 2, HEIGHT // size + 2))
        few.putdata([128 + chance.randint(-depth, depth) for _ in range(few.width * few.height)])
        wall = ImageChops.overlay(wall, few.resize(wall.size, Image.Resampling.BICUBIC).convert("RGB"))
    shade = Image.linear_gradient("L").rotate(90).resize(wall.size).point(lambda v: 176 + v * 60 // 255)
    return ImageChops.multiply(wall, shade.convert("RGB"))


def blot(centre: tuple[float, float], radius: float, rough: float, chance: Random) -> Points:
    """The outline of something that ran into plaster."""
    waves = [(n, chance.uniform(0, math.tau), chance.uniform(0, rough / n)) for n in range(2, 12)]
    outline = []
    for turn in (math.tau * step / 240 for step in range(240)):
        reach = radius * (1 + sum(high * math.sin(n * turn + lag) for n, lag, high in waves))
        outline.append((centre[0] + reach * math.cos(turn), centre[1] + 0.8 * reach * math.sin(turn)))
    return outline


def mask_of(outline: Points, soft: float) -> Image.Image:
    """The inside of `outline`, its edge `soft` pixels wide."""
    mask = Image.new("L", (WIDTH, HEIGHT))
    ImageDraw.Draw(mask).polygon(outline, fill=255)
    return mask.filter(ImageFilter.GaussianBlur(soft))


def stain(wall: Image.Image, chance: Random) -> None:
    """A brown ring, twice wet and twice dry, with what ran down from it."""
    for radius, strength in ((120, 0.34), (92, 0.3), (44, 0.2)):
        outline = blot((360, 250), radius, 0.3, chance)
        inner = [(360 + (x - 360) * 0.9, 250 + (y - 250) * 0.9) for x, y in outline]
        ring = ImageChops.subtract(mask_of(outline, 2), mask_of(inner, 12).point(lambda v: v * 3 // 4))
        wall.paste((104, 70, 28), mask=ring.point(lambda v, s=strength: int(v * s * 2)))
    for x, foot in ((318, 470), (352, 540), (404, 430)):
        run = Image.new("L", wall.size)
        ImageDraw.Draw(run).line([(x, 320), (x + 3, (320 + foot) / 2), (x - 1, foot)], fill=120, width=7)
        wall.paste((110, 76, 36), mask=run.filter(ImageFilter.GaussianBlur(3)))


def loose_paint(wall: Image.Image, chance: Random) -> None:
    """Flakes along the window: bare plaster with a curled edge that throws a shadow."""
    for _ in range(26):
        centre = (chance.gauss(655, 26), chance.uniform(70, 520))
        outline = blot(centre, chance.uniform(7, 24), 0.7, chance)
        wall.paste((90, 86, 76), mask=mask_of([(x - 3, y + 3) for x, y in outline], 1.5))
        wall.paste((232, 226, 210), mask=mask_of(outline, 0.8))
        wall.paste((214, 204, 182), mask=mask_of([(x + 2, y + 2) for x, y in outline], 2).point(lambda v: v // 2))


def draw_window(wall: Image.Image) -> None:
    """The edge of a window on the right, bright, with its sill."""
    pen = ImageDraw.Draw(wall)
    pen.rectangle((712, 0, WIDTH, 540), fill=(150, 146, 132))
    pen.rectangle((724, 0, WIDTH, 530), fill=(238, 236, 226))
    pen.rectangle((770, 0, WIDTH, 500), fill=(120, 128, 128))
    for left, top in ((782, 0), (782, 250)):
        pen.rectangle((left, top, WIDTH, top + 236), fill=(244, 249, 250))
    pen.rectangle((690, 540, WIDTH, 568), fill=(222, 218, 204))
    pen.rectangle((690, 568, WIDTH, 578), fill=(120, 116, 102))


def draw_foot(wall: Image.Image) -> None:
    """A radiator below, with soot over it, and the baseboard."""
    soot = Image.new("L", wall.size)
    ImageDraw.Draw(soot).rectangle((60, 480, 520, 640), fill=110)
    wall.paste((60, 58, 54), mask=soot.filter(ImageFilter.GaussianBlur(46)))
    pen = ImageDraw.Draw(wall)
    pen.rectangle((0, 716, WIDTH, HEIGHT), fill=(126, 104, 78))
    pen.line((0, 715, WIDTH, 715), fill=(74, 60, 44), width=3)
    for left in range(70, 500, 36):
        pen.rounded_rectangle((left, 600, left + 30, 708), 12, fill=(186, 184, 174), outline=(96, 94, 88), width=2)
        pen.line((left + 9, 614, left + 9, 696), fill=(222, 220, 212), width=4)
    pen.rectangle((500, 686, 560, 696), fill=(150, 146, 136))


def draw_photo() -> Image.Image:
    """The whole picture, a little soft, as a phone in a dim room takes it."""
    chance = Random(2611)  # noqa: S311 - the same picture every time
    wall = draw_wall(chance)
    stain(wall, chance)
    loose_paint(wall, chance)
    draw_window(wall)
    draw_foot(wall)
    pen = ImageDraw.Draw(wall)
    pen.rectangle((0, 26, 712, 48), fill=(112, 92, 66))
    pen.line((0, 50, 712, 50), fill=(70, 58, 42), width=3)
    return wall.filter(ImageFilter.GaussianBlur(0.8))


def main() -> None:
    """Write the photo with the time it is said to be taken."""
    exif = Image.Exif()
    exif.get_ifd(0x8769).update({0x9003: TAKEN, 0x9011: OFFSET})
    draw_photo().save(FILE, "JPEG", quality=68, optimize=True, exif=exif)


if __name__ == "__main__":
    main()
