"""The photos of a record as a report shows them: what each is of, when it was taken, and the picture itself."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from wallwalk.record import Record
from wallwalk.words import Words

_DIGITS = 12
"""So much of a digest tells one file from another on paper; the record holds all of it."""


@dataclass(frozen=True, slots=True)
class PhotoLine:
    """One photo: its number in the survey, the wall it shows, or the space, and its caption.

    `of` is the wall's name, or empty; `where` is how that is shown. `check` is the title of the rule it belongs to.
    `taken` says when it was taken; it `is_odd` where that is to be looked at beside the walk.
    `source` is the picture as a data: URI of `width` to `height`, `says` is what stands for it where nobody sees it.
    """

    number: int
    of: str
    where: str
    rule: str
    check: str
    note: str
    taken: str
    is_odd: bool
    file: str
    digest: str
    width: int
    height: int
    source: str
    says: str

    @property
    def is_tall(self) -> bool:
        """Whether it is higher than it is wide."""
        return self.height > self.width


def photo_lines(record: Record, words: Words) -> tuple[PhotoLine, ...]:
    """Every photo of the record, in the order of the survey."""
    titles = {f["rule"]: f["title"] for f in record["findings"]}
    return tuple(_line(number, photo, titles, words) for number, photo in enumerate(record["photos"], 1))


def _line(number: int, photo: Any, titles: dict[str, str], words: Words) -> PhotoLine:  # noqa: ANN401 - a part of the record
    where, note = photo["of"] or words.say("The space"), photo["note"]
    return PhotoLine(
        number=number,
        of=photo["of"],
        where=where,
        rule=photo["rule"],
        check=titles.get(photo["rule"], photo["rule"]),
        note=note,
        taken=_when(photo, words),
        is_odd=bool(photo["caution"]),
        file=photo["file"],
        digest=photo["sha256"][:_DIGITS],
        width=photo["width"],
        height=photo["height"],
        source=f"data:image/jpeg;base64,{photo['shown']}",
        says=words.say("Photo {number}, {where}: {note}", number=number, where=where, note=note or photo["file"]),
    )


def _when(photo: Any, words: Words) -> str:  # noqa: ANN401 - a part of the record
    shown = photo["taken"]["shown"] if photo["taken"] else ""
    if photo["caution"]:
        return ", ".join(filter(None, (photo["caution"], shown)))
    return words.say("taken {when}", when=shown) if shown else words.say("no time in the file")


def by_wall(lines: Iterable[PhotoLine], walls: Iterable[str]) -> tuple[tuple[str, tuple[PhotoLine, ...]], ...]:
    """Photos together by what they show: the space first, then the walls in the order of the survey."""
    groups: dict[str, list[PhotoLine]] = {name: [] for name in ("", *walls)}
    for line in lines:
        groups[line.of].append(line)
    return tuple((group[0].where, tuple(group)) for group in groups.values() if group)
