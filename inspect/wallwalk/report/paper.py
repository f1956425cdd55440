"""What only a printed report lists: what to write down, what does not apply and why, the limits used."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from wallwalk.record import Record
from wallwalk.report.items import Around, Item, Question, brief_of, questions_of, runs_of, subject_title, where_of
from wallwalk.words import Words, words_in


@dataclass(frozen=True, slots=True)
class ToWrite:
    """One question that the survey leaves open: what to write down, where, for whom, and the items that wait for it.

    `brief` is for whom, as paper has room for it.
    """

    what: str
    place: str
    where: str
    brief: str
    settles: tuple[Item, ...]

    @property
    def numbers(self) -> str:
        """The numbers of the items that it settles, such as `4, 7–9`."""
        return ", ".join(runs_of(sorted(item.number for item in self.settles)))


@dataclass(frozen=True, slots=True)
class Apart:
    """Rules that do not apply, each for the same `reasons`: where, and what decides it there."""

    reasons: tuple[tuple[str, str], ...]
    titles: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LimitLine:
    """One limit that was used, with the rules that used it."""

    title: str
    written: str
    basis: str
    history: tuple[str, ...]
    used_by: tuple[str, ...]


def to_write(items: tuple[Item, ...], record: Record, around: Around) -> Iterable[ToWrite]:
    """What the not verified items wait for, each question once, in the order of the first item that asks it."""
    findings = {(f["rule"], f["subject"]): f for f in record["findings"]}
    whose: dict[Question, dict[str, str]] = {}
    settles: dict[Question, dict[int, Item]] = {}
    for item in items:
        for line in item.lines:
            for asked in questions_of(findings[item.rule, line.subject], line, around):
                name = "space" if asked.about == "space" else line.subject
                whose.setdefault(asked, {})[name] = subject_title(asked.about, line.subject, around.words)
                settles.setdefault(asked, {})[item.number] = item
    for asked, shown in whose.items():
        where, brief = where_of(shown, around), brief_of(shown, around)
        yield ToWrite(asked.what, asked.place, where, brief, tuple(settles[asked].values()))


def apart_of(items: Iterable[Item]) -> Iterable[Apart]:
    """Rules that do not apply, each named once, together with those that have the same reasons in the same places."""
    alike: dict[tuple[tuple[str, str], ...], list[str]] = {}
    for item in items:
        alike.setdefault(tuple((point.brief, point.says) for point in item.points), []).append(item.title)
    for reasons, titles in alike.items():
        yield Apart(reasons, tuple(titles))


def limit_lines(record: Record) -> Iterable[LimitLine]:
    """Every limit that was used."""
    words = words_in(record["language"])
    titles = {f["rule"]: f["title"] for f in record["findings"]}
    for limit in record["limits"]:
        yield LimitLine(
            title=limit["title"],
            written=limit["written"],
            basis=limit["basis"],
            history=tuple(limit["history"]),
            used_by=_few([titles[rule] for rule in limit["used_by"]], words),
        )


def _few(titles: list[str], words: Words) -> tuple[str, ...]:
    """Three titles at most; the record names them all."""
    return tuple(titles) if len(titles) <= 3 else (*titles[:2], words.say("and {count} more", count=len(titles) - 2))
