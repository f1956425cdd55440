"""Which photo stands beside which item: by the rule it belongs to, and by its wall. Each stands in one place only."""

from __future__ import annotations

from dataclasses import replace

from wallwalk.report.items import Item
from wallwalk.report.photos import PhotoLine

Lines = tuple[PhotoLine, ...]


def place_photos(items: tuple[Item, ...], lines: Lines) -> tuple[tuple[Item, ...], Lines]:
    """The items with the photos that belong to them, and the photos that belong to none of them."""
    left, placed = lines, []
    for item in items:
        own = tuple(line for line in left if line.rule == item.rule and _belongs(line, item))
        left = tuple(line for line in left if line not in own)
        placed.append(_with(item, own))
    return tuple(placed), left


def _belongs(line: PhotoLine, item: Item) -> bool:
    """A photo of one wall is no photo of another; one of the space, and what is about the space, go with any."""
    subjects = [told.subject for told in item.lines]
    return not line.of or line.of in subjects or subjects == ["space"]


def _with(item: Item, own: Lines) -> Item:
    points = tuple(
        replace(point, photos=tuple(line for line in own if line.of and line.of in point.subjects))
        for point in item.points
    )
    beside = {line.number for point in points for line in point.photos}
    return replace(item, points=points, photos=tuple(line for line in own if line.number not in beside))
