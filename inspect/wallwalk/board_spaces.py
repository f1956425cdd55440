"""The spaces of a board: which walk of each counts, what state it is in, and how it stood before."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from wallwalk.board_walk import Open, Walk, alike
from wallwalk.errors import InputError
from wallwalk.spaces_reader import Place

READY, WAITING, RELEASED, LAPSED, HELD, NOT_KNOWN, NEVER_WALKED = (
    "ready",
    "waiting",
    "released",
    "lapsed",
    "held",
    "not known",
    "never walked",
)
STATES = (READY, WAITING, LAPSED, RELEASED, HELD, NOT_KNOWN, NEVER_WALKED)
"""What a space can be, best first. Only the first is ready."""


@dataclass(frozen=True, slots=True)
class Unread:
    """A file that might be a walk and was not read: why, and the place that it names, where that can be told."""

    file: str
    faults: InputError
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Space:
    """One space: the walk that counts (None where none could be read), others at the same time, and earlier ones.

    `files`: every file of the walk that counts. `differs`: what those come to is not the same. `for_another_start`: the
    walk was filed for another start than the one asked about. `listed`: whether the list of spaces has it, None without
    one.
    """

    place: Place
    walk: Walk | None
    files: tuple[str, ...] = ()
    differs: bool = False
    tied: tuple[Walk, ...] = ()
    earlier: tuple[Walk, ...] = ()
    unread: tuple[Unread, ...] = ()
    for_another_start: bool = False
    listed: bool | None = None

    @property
    def to_do(self) -> tuple[Open, ...]:
        """What somebody has to do: what is open, save what waiting alone clears and what is released over."""
        opened = self.walk.open if self.walk else ()
        return tuple(one for one in opened if one.clears is None and one.released is None)

    def state(self, today: str) -> str:
        """Its state, judged on the day `today` (ISO date)."""
        walk = self.walk
        if self.unread or self.for_another_start:
            return NOT_KNOWN
        if walk is None:
            return NEVER_WALKED
        if walk.verdict == "pass":
            return LAPSED if self.has_lapsed(today) else READY
        if walk.earliest["by_waiting"] and walk.earliest["at"]:
            return LAPSED if self.has_lapsed(today) else WAITING
        return RELEASED if walk.open and all(one.released for one in walk.open) else HELD

    def has_lapsed(self, today: str) -> bool:
        """Whether the walk allows no start any more on the day `today`: something went stale before it."""
        until = self.walk.earliest["until"] if self.walk else None
        return until is not None and day_of(until) < today


def day_of(moment: Mapping[str, Any]) -> str:
    """The day of a moment in the zone of its site, as an ISO date."""
    return str(moment["at"])[:10]


def spaces_of(
    walks: Iterable[Walk], unread: Iterable[Unread], listed: tuple[Place, ...] | None, at: Mapping[str, str]
) -> tuple[Space, ...]:
    """Every space, in order of project, level and name. `at`: by file, the start asked about instead of its own."""
    by_key: dict[tuple[str, ...], list[Walk]] = {}
    for walk in walks:
        by_key.setdefault(_key(walk.place, walk.file), []).append(walk)
    broken: dict[tuple[str, ...], list[Unread]] = {}
    for one in unread:
        if one.place is not None:
            broken.setdefault(_key(one.place, one.file), []).append(one)
    spaces = [_space(found, broken.pop(key, []), at) for key, found in by_key.items()]
    spaces += [
        Space(place=ones[0].place, walk=None, unread=tuple(ones))
        for ones in broken.values()
        if ones[0].place is not None
    ]
    if listed is not None:
        spaces = [*_with_list(spaces, listed)]
    return tuple(sorted(spaces, key=lambda space: _order(space.place, space.files)))


def _with_list(spaces: list[Space], listed: tuple[Place, ...]) -> Iterator[Space]:
    """The spaces, each with whether the list has it, and those of the list that nobody walked."""
    projects = {space.place.project for space in spaces}
    for space in spaces:
        yield replace(space, listed=any(entry.covers(space.place) for entry in listed))
    for entry in listed:
        if not any(entry.covers(space.place) for space in spaces):
            project = entry.project or (next(iter(projects)) if len(projects) == 1 else "")  # the only one there is
            yield Space(place=replace(entry, project=project), walk=None, listed=True)


def _key(place: Place, file: str) -> tuple[str, ...]:
    """A space without a name is like no other: it is told by its file."""
    return place.key if place.name else (*place.key, file)


def _order(place: Place, files: tuple[str, ...]) -> tuple[object, ...]:
    project, name, level, area = place.key
    return (natural(project), not level, natural(level), not name, natural(name), natural(area), files)


def natural(text: str) -> list[tuple[int, int, str]]:
    """A key by which 2 stands before 10, and words before numbers."""
    parts = re.split(r"(\d+)", text.casefold())
    return [_rank(part) for part in parts if part]


def _rank(part: str) -> tuple[int, int, str]:
    """A number is as large as it has digits, then as they say: Python makes no number of thousands of them."""
    digits = part.lstrip("0") or "0"
    return (1, len(digits), digits) if part.isdecimal() else (0, 0, part)


def _space(walks: list[Walk], unread: list[Unread], at: Mapping[str, str]) -> Space:
    by_survey: dict[str, list[Walk]] = {}
    for walk in walks:
        by_survey.setdefault(walk.survey_sha256, []).append(walk)
    same = [_Same.of(files, at) for files in by_survey.values()]
    latest = [one for one in same if not any(other.walk.at[0] > one.walk.at[1] for other in same)]
    worst = max(latest, key=lambda one: _badness(one.walk, other_start=one.for_another_start))
    earlier = sorted((one for one in same if one not in latest), key=lambda one: (one.walk.at[1], one.walk.file))
    return Space(
        place=worst.walk.place,
        walk=worst.walk,
        files=worst.files,
        differs=worst.differs,
        tied=tuple(one.walk for one in latest if one is not worst),
        earlier=tuple(one.walk for one in reversed(earlier)),
        unread=tuple(unread),
        for_another_start=worst.for_another_start,
    )


@dataclass(frozen=True, slots=True)
class _Same:
    """One walk, whatever files tell of it: the survey, and records filed of it."""

    walk: Walk
    files: tuple[str, ...]
    differs: bool
    for_another_start: bool

    @staticmethod
    def of(walks: list[Walk], at: Mapping[str, str]) -> _Same:
        """The worst of what the files come to counts; a record for another start only where there is nothing else."""
        judged = [walk for walk in walks if walk.entries is None]
        start = judged[0].start if judged else None
        wanted = {walk.file: at.get(walk.file) or (start["at"] if start else None) for walk in walks}
        fits = [w for w in walks if wanted[w.file] in (None, w.start["at"] if w.start else None)]
        counted = fits or walks
        released = _releases(walks)
        carried = [replace(walk, open=tuple(_released(one, released) for one in walk.open)) for walk in counted]
        worst = max(carried, key=lambda walk: _badness(walk, other_start=False))
        differs = (
            len({(walk.verdict, frozenset((o.rule, o.where, o.outcome) for o in walk.open)) for walk in carried}) > 1
        )
        return _Same(worst, tuple(sorted(walk.file for walk in walks)), differs, not fits)


def _releases(walks: list[Walk]) -> dict[tuple[str, str], Any]:
    """What every filed record among `walks` releases over, save one whose entries another goes on from."""
    chains = [walk.entries for walk in walks if walk.entries is not None]
    ends = [
        walk
        for walk in walks
        if walk.entries is not None
        and not any(len(chain) > len(walk.entries) and chain[: len(walk.entries)] == walk.entries for chain in chains)
    ]
    opened = [one for walk in ends for one in walk.open]
    held = {(one.rule, one.where) for one in opened if one.released is None}
    return {(o.rule, o.where): o.released for o in opened if o.released is not None and (o.rule, o.where) not in held}


def _released(one: Open, released: Mapping[tuple[str, str], Any]) -> Open:
    return replace(one, released=released.get((one.rule, one.where)) if one.outcome == "hold" else None)


def _badness(walk: Walk, *, other_start: bool) -> tuple[bool, bool, bool, int, str]:
    """A key that is the greater the worse a walk came out."""
    opened = [one for one in walk.open if one.released is None]
    waits = bool(walk.earliest["by_waiting"])
    return (other_start, walk.verdict != "pass", not waits, len(opened), walk.file)


def history(walks: Iterable[Walk]) -> Iterator[Mapping[str, Any]]:
    """What a board says of walks that do not count."""
    for walk in walks:
        yield {
            "file": walk.file,
            "walked": walk.walked,
            "verdict": walk.verdict,
            "holds": sum(1 for one in walk.open if one.outcome == "hold"),
            "not_verified": sum(1 for one in walk.open if one.outcome != "hold"),
        }


def open_parts(walk: Walk | None) -> Iterator[Mapping[str, Any]]:
    """What is open in a space, with the walls it is open on."""
    for one, where in alike(walk.open if walk else ()):
        yield {
            "rules": one.rules,
            "rule": one.rule,
            "title": one.title,
            "theme": one.theme,
            "theme_title": one.theme_title,
            "by": one.by,
            "party": one.party,
            "outcome": one.outcome,
            "where": list(where),
            "says": one.says,
            "do": one.do,
            "find_out": [asked.title for asked in one.find_out],
            "clears": one.clears,
            "released": one.released,
        }
