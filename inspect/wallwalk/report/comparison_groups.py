"""The checks of a comparison in groups, by what became of them: rule by rule, alike places together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from wallwalk import comparing
from wallwalk.record import Record
from wallwalk.report.comparison_words import grounds_of, reason_line, what_it_came_to
from wallwalk.report.items import Around, subject_title, where_of
from wallwalk.words import Words, fixed

Part = Any
"""A part of a comparison."""


@dataclass(frozen=True, slots=True)
class Pair:
    """What one check came to on both walks, for the subjects of which the very same is said."""

    where: str
    then: str
    now: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """One rule with what it came to on both walks. `put_right` and `by` are empty where nothing is left to do."""

    title: str
    rule: str
    put_right: str
    by: str
    pairs: tuple[Pair, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """The checks that changed in one way."""

    name: str
    title: str
    lead: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Moved:
    """A value that is right on both walks and is another one now, for the places where it moved alike."""

    where: str
    was: str
    now: str
    required: str


@dataclass(frozen=True, slots=True)
class Reading:
    """One fact of one rule, with every place where its value moved."""

    title: str
    fact: str
    moved: tuple[Moved, ...]


@dataclass(frozen=True, slots=True)
class _Kind:
    """One group to be: the changes it takes, its title and what is said below it."""

    name: str
    changes: tuple[str, ...]
    title: str
    lead: str


RELAXED = _Kind(
    "relaxed",
    comparing.CHANGES,
    fixed("No longer holds, and less is asked of it now"),
    fixed("Look at these first: it may be what is asked that changed, and not the wall."),
)
DOUBTFUL = (
    _Kind(
        "weaker",
        (comparing.CLEARED,),
        fixed("Cleared on less, or by another word on the instrument"),
        fixed("Look at these too: fewer readings, or another word on the instrument, and it may be the same wall."),
    ),
    _Kind(
        "excused",
        (comparing.EXCUSED,),
        fixed("No longer applies"),
        fixed("It held on the earlier walk. By what is written down now, it is not asked of this place."),
    ),
    _Kind(
        "gone",
        (comparing.GONE,),
        fixed("No longer judged, and not cleared"),
        fixed("It held on the earlier walk. The later record does not judge it: nobody said that it is right."),
    ),
)
"""Each way in which a check may no longer hold without being put right; told before the verdict, as what is relaxed."""
HOLDS = (
    _Kind(
        "new",
        (comparing.NEW, comparing.NOW_HOLDS),
        fixed("New: holds the work now, and did not before"),
        fixed("It was right on the earlier walk, was not asked then, or was not known."),
    ),
    _Kind("held", (comparing.STILL_HOLDS,), fixed("Still holds the work"), fixed("It held on both walks.")),
    _Kind(
        "open",
        (comparing.NOW_OPEN, comparing.STILL_OPEN),
        fixed("Not verified now"),
        fixed("What is not written down is not known to be right. It holds the work until it is."),
    ),
    _Kind(
        "cleared",
        (comparing.CLEARED,),
        fixed("Cleared"),
        fixed("It held on the earlier walk, and is right on the later."),
    ),
)
"""Each other way in which a check that can hold may have changed, worst first."""
CAUTIONS = (
    _Kind(
        "new",
        (comparing.NEW, comparing.NOW_HOLDS, comparing.NOW_OPEN),
        fixed("Cautions that are new, or changed"),
        fixed("A caution does not hold the work. It is for the crew to read before they start."),
    ),
    _Kind(
        "gone",
        (comparing.CLEARED, comparing.EXCUSED, comparing.GONE),
        fixed("Cautions that no longer stand"),
        fixed("By what is written down now, the danger is not there."),
    ),
)


@dataclass(frozen=True, slots=True)
class Drawing:
    """What groups are drawn from: the comparison, what stands around the findings of each record, the language."""

    comparison: Record
    around: dict[str, Around]
    words: Words

    def groups(self, kinds: Iterable[_Kind], findings: list[Part]) -> Iterator[Group]:
        """A group for each of `kinds` that some of the findings are of."""
        for kind in kinds:
            blocks = self._blocks(f for f in findings if f["change"] in kind.changes)
            if blocks:
                yield Group(kind.name, self.words.tell(kind.title), self.words.tell(kind.lead), blocks)

    def readings(self, findings: Iterable[Part]) -> Iterator[Reading]:
        """What is right on both walks by other values; that something was written down again is not told."""
        by_fact: dict[tuple[str, str], dict[tuple[str, str, str], list[Part]]] = {}
        for finding in findings:
            for one in finding["evidence"] if finding["now"]["outcome"] == "pass" else ():
                was, now = one["was"], one["now"]
                if was["measured"] != now["measured"] and now["limits"] and not now["decides_applying"]:
                    alike = by_fact.setdefault((finding["now"]["title"], now["fact_title"]), {})
                    alike.setdefault((was["measured"], now["measured"], now["required"]), []).append(finding)
        for (title, fact), moves in by_fact.items():
            yield Reading(title, fact, tuple(Moved(self._where(group), *said) for said, group in moves.items()))

    def _blocks(self, findings: Iterable[Part]) -> tuple[Block, ...]:
        by_rule: dict[str, list[Part]] = {}
        for finding in findings:
            by_rule.setdefault(finding["rule"], []).append(finding)
        return tuple(self._block(group) for group in by_rule.values())

    def _block(self, group: list[Part]) -> Block:
        told = group[0]["now"] or group[0]["was"]
        parties = self.comparison["now" if group[0]["now"] else "then"]["rule_set"]["parties"]
        left = any(f["now"] and f["now"]["outcome"] in ("hold", "not verified") for f in group)
        do, by = (told["put_right"], parties.get(told["by"], told["by"])) if left else ("", "")
        return Block(told["title"], told["rule"], do, by, tuple(self._pairs(group)))

    def _pairs(self, group: list[Part]) -> Iterator[Pair]:
        alike: dict[tuple[str, str, tuple[str, ...]], list[Part]] = {}
        for finding in group:
            then = what_it_came_to(finding["was"], self.around["then"], finding, self.comparison)
            now = what_it_came_to(finding["now"], self.around["now"], finding, self.comparison)
            reasons = (
                *(reason_line(reason, finding, self.comparison, self.words) for reason in finding["relaxed"]),
                *grounds_of(finding, self.words),
            )
            alike.setdefault((then, now, reasons), []).append(finding)
        for (then, now, reasons), same in alike.items():
            yield Pair(self._where(same), then, now, reasons)

    def _where(self, group: list[Part]) -> str:
        side = "now" if all(f["now"] for f in group) else "then"
        parts = [f["now"] if side == "now" else f["was"] or f["now"] for f in group]
        shown = {p["subject"]: subject_title(p["about"], p["subject"], self.words) for p in parts}
        return where_of(shown, self.around[side])
