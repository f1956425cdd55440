"""Reads a filled-in survey: its shape by JSON Schema, each answer by the kind of its question, every fault at once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from wallwalk.answer_reader import read_answer
from wallwalk.answers import Answer, Answers, Entries
from wallwalk.errors import Fault, InputError, quote
from wallwalk.lookalikes import look_of
from wallwalk.moments import NeedsZoneError, find_zone
from wallwalk.quantities import UnitError, states_uncertainty
from wallwalk.questions import SPACE, Question, Questions, survey_questions
from wallwalk.shape import MOST_FAULTS, shape_faults
from wallwalk.survey import Subject, Survey
from wallwalk.units import KINDS
from wallwalk.values import Interval, OneOf, Value
from wallwalk.yamlio import Document, Node, Path_, read_yaml, show_path

_UNKNOWN = "unknown"
RESERVED_NAMES = {SPACE, "The space", "walls not written down", "El espacio", "paredes sin anotar"}
"""What reports call the space and the walls that nobody wrote down, in any language."""

ENTRIES_MAX = 500
"""So many entries a list may have: walls, readings, logs. One survey is one space."""

Lends = Mapping[str, Mapping[str, Answers]]
"""By list, the entries that a reading may refer to, by name."""


def read_survey(path: Path, file: str | None = None) -> Survey:
    """Read the survey at `path`. Raises `InputError` with every fault found."""
    return parse_survey(read_yaml(path, file))


def parse_survey(document: Document) -> Survey:
    """Read a survey from its YAML document. Raises `InputError` with every fault found."""
    return _Reader(document, survey_questions()).survey()


class _Reader:
    """Reads one document once, collecting faults as it goes."""

    def __init__(self, document: Document, questions: Questions) -> None:
        self.document = document
        self.questions = questions
        self.faults: list[Fault] = []
        self.zone: ZoneInfo | None = None
        self.without_zone: list[Path_] = []

    def survey(self) -> Survey:
        data = _without_unknown(self.document.data)
        self.faults.extend(_long_lists(self.document))
        if self.faults:
            raise InputError(self.faults)
        self.faults.extend(shape_faults(self.document, data, self.questions.schema))
        if not isinstance(data, dict) or len(self.faults) > MOST_FAULTS:
            raise InputError(self.faults)
        self._read_zone(data)
        self._refuse_unsaid_overlays(data)
        named = self._entries(data, "instruments", SPACE, (), {})
        by_name = {e["name"].value.written: e for e in named.entries if "name" in e}
        lends = {"instruments": by_name}
        space = self._subject(data, SPACE, (), lends)
        others = tuple(self._others(data, space, lends))
        space = replace(space, rolls={**space.rolls, **dict(self._seen_from_space(others))})
        self._ask_for_zone()
        if self.faults:
            raise InputError(self.faults)
        document = self.document
        return Survey(
            document.file, document.sha256, self.zone, space, others, self.questions, content=document.content
        )

    def _refuse_unsaid_overlays(self, data: dict[str, Node]) -> None:
        """What is laid over the rule set is no answer that may be open: by another one, another verdict comes out."""
        written = self.document.data
        if isinstance(written, dict) and "overlays" in written and "overlays" not in data:
            self._fault(("overlays",), "does not say which", "write a list of files, or take it out")

    def _read_zone(self, data: dict[str, Node]) -> None:
        name = data.get("time_zone")
        if isinstance(name, str):
            self.zone = find_zone(name)
            if self.zone is None:
                self._fault(("time_zone",), f"is {quote(name)}", "write an IANA name such as America/Chicago")
                self.zone = find_zone("UTC")  # so that the other moments are still looked at

    def _ask_for_zone(self) -> None:
        """One fault for all local times of a survey without a zone, at the first of them."""
        if not self.without_zone:
            return
        first, *others = sorted({self.document.line(place): place for place in self.without_zone}.items())
        lines = f" (and lines {', '.join(str(line) for line, _ in others)})" if others else ""
        advice = "write time_zone: and an IANA name such as America/Chicago, or put the offset behind each time"
        self._fault(first[1], f"is a time of the site's own clock, and time_zone is not given{lines}", advice)

    def _subject(self, data: Mapping[str, Node], about: str, path: Path_, lends: Lends) -> Subject:
        asked = self.questions.asked(about)
        answers = self._answers(data, asked, path, "")
        rolls = {
            r.path: self._entries(data, r.path, about, path, lends)
            for r in self.questions.rolls.values()
            if r.about == about and not r.subject
        }
        self._refuse_contradictions(asked, answers, path)
        name = answers["name"].value.written if "name" in answers else about
        return Subject(about, name, show_path(path), answers, rolls)

    def _refuse_contradictions(self, asked: Iterable[Question], answers: Answers, path: Path_) -> None:
        """A question that is asked only where another is answered yes must not be answered where that is no."""
        for question in asked:
            lead = answers.get(question.follows)
            if lead is not None and question.path in answers and lead.value.written in {"no", "none"}:
                place = (*path, *question.path.split("."))
                found = f"is answered, but {lead.place} is {lead.value.written}"
                self._fault(place, found, "put one of the two right, or take this one out")

    def _others(self, data: dict[str, Node], space: Subject, lends: Lends) -> Iterable[Subject]:
        for roll in self.questions.rolls.values():
            if not roll.subject:
                continue
            listed = data.get(roll.path)
            parts = listed if isinstance(listed, list) else []
            subjects = [
                self._subject(part if isinstance(part, dict) else {}, roll.subject, (roll.path, i), lends)
                for i, part in enumerate(parts)
            ]
            self._check_names([s.answers for s in subjects], (roll.path,))
            complete, declared = self._completeness(len(subjects), roll.counted_by, space.answers, (roll.path,))
            yield from subjects
            if not (complete and subjects):
                yield Subject(
                    roll.subject,
                    f"{roll.subject}s not written down",
                    roll.path,
                    {},
                    {},
                    listed=False,
                    declared=declared,
                    counted_by=roll.counted_by,
                )

    def _seen_from_space(self, others: tuple[Subject, ...]) -> Iterator[tuple[str, Entries]]:
        """Each list of subjects, as a fact about the space sees it."""
        for roll in (r for r in self.questions.rolls.values() if r.subject):
            kin = [s for s in others if s.about == roll.subject]
            entries = tuple(s.answers for s in kin if s.listed)
            rest = next((s for s in kin if not s.listed), None)
            most = len(entries) if rest is None else rest.declared
            yield roll.path, Entries(roll.path, entries, rest is None, most)

    def _entries(
        self,
        data: Mapping[str, Node],
        name: str,
        about: str,
        path: Path_,
        lends: Lends,
    ) -> Entries:
        listed = data.get(name)
        parts = listed if isinstance(listed, list) else []
        asked = self.questions.asked(about, name)
        entries = []
        for i, part in enumerate(parts):
            inside = {name: part} if isinstance(part, dict) else {}
            found = dict(self._answers(inside, asked, (*path, name, i), name))
            for question in asked:
                if question.refers_to and question.path in found:
                    lent = lends.get(question.refers_to, {}).get(found[question.path].value.written, {})
                    found |= {f"{question.path}.{key}": answer for key, answer in lent.items()}
            self._refuse_better_than_instrument(asked, found, (*path, name, i), name)
            entries.append({key.removeprefix(f"{name}."): answer for key, answer in found.items()})
        if name == "instruments":
            self._check_names(entries, (*path, name))
        roll = self.questions.rolls[about, name]
        complete, most = False, None
        if roll.counted_by:
            question = self.questions.questions[about, roll.counted_by]
            counts = self._answers(data, [question], path, "", silent=True)
            complete, most = self._completeness(len(entries), roll.counted_by, counts, (*path, name))
        return Entries(show_path((*path, name)), tuple(entries), complete, most)

    def _refuse_better_than_instrument(self, asked: Iterable[Question], found: Answers, path: Path_, roll: str) -> None:
        """A reading cannot be known better than the instrument that took it."""
        for question in (q for q in asked if q.measured_with and q.path in found):
            value = found[question.path].value
            if not isinstance(value, Interval) or not states_uncertainty(value.written):
                continue
            kind = value.kind.replace("%", "").replace(" ", "_").lower()
            stated = found.get(f"{roll}.{question.measured_with}.uncertainty.{kind}")
            natural, width = KINDS[value.kind], value.high - value.low
            cut = value.low == natural.low or value.high == natural.high
            least = stated.value.low if stated is not None and isinstance(stated.value, Interval) else 0
            if width == 0 or width < (least if cut else 2 * least):
                than = f"its instrument, ± {stated.value.written}" if stated else "any instrument"
                place = (*path, *question.path.split(".")[1:])
                self._fault(place, f"is {quote(value.written)}, better than {than}", "write that ±, or none at all")

    def _completeness(self, count: int, counted_by: str, answers: Answers, path: Path_) -> tuple[bool, int | None]:
        declared = answers.get(counted_by)
        if declared is None or not isinstance(declared.value, Interval):
            return False, None
        number = int(declared.value.high)
        if number < count:
            place = (*path[:-1], counted_by)
            verb, extra = ("is" if count == 1 else "are"), ("one" if count - number == 1 else "ones")
            found = f"is {number}, but {count} {verb} written down"
            self._fault(place, found, f"write {count}, or take the extra {extra} out")
        return number == count, number

    def _check_names(self, entries: Sequence[Answers], path: Path_) -> None:
        seen: dict[str, int] = {}
        reserved = {look_of(name) for name in RESERVED_NAMES}
        for i, answers in enumerate(entries):
            if "name" not in answers:
                continue
            name = answers["name"].value.written
            look = look_of(name)
            if look in reserved:
                self._fault(
                    (*path, i, "name"), f"is {quote(name)}, which reports use themselves", "give it another name"
                )
            if look in seen:
                first = show_path((*path, seen[look]))
                same = entries[seen[look]]["name"].value.written == name
                found = f"as {first}.name is" if same else f"which looks like {first}.name"
                self._fault((*path, i, "name"), f"is {quote(name)}, {found}", "give each its own name")
            seen.setdefault(look, i)

    def _answers(
        self,
        data: Mapping[str, Node],
        asked: Iterable[Question],
        path: Path_,
        roll: str,
        *,
        silent: bool = False,
    ) -> dict[str, Answer]:
        answers = {}
        for question in asked:
            node: Any = data
            parts = question.path.split(".")
            for part in parts:
                node = node.get(part) if isinstance(node, dict) else None
            place = (*path, *(parts[1:] if roll else parts))
            if node is None or isinstance(node, (dict, list)):
                continue
            value = self._value(question, node, place, silent=silent)
            if value is not None:
                answers[question.path] = Answer(show_path(place), self.document.line(place), value)
        return answers

    def _value(self, question: Question, node: str | bool, place: Path_, *, silent: bool) -> Value | None:
        if isinstance(node, bool):
            word = "yes" if node else "no"
            return OneOf(frozenset({word}), word) if question.kind == "truth" else None
        try:
            return read_answer(question, node, self.zone)
        except NeedsZoneError:
            if not silent:
                self.without_zone.append(place)
        except UnitError as error:
            if not silent:
                self._fault(place, f"is {quote(node)}", error.instead)
        return None

    def _fault(self, path: Path_, found: str, instead: str) -> None:
        self.faults.append(self.document.fault(path, found, instead))


def _long_lists(document: Document) -> Iterator[Fault]:
    """Each list that is longer than one space can fill; a wall more takes as long to judge as the one before it."""
    open_: list[tuple[Path_, Node]] = [((), document.data)]
    for path, node in open_:
        if isinstance(node, list) and len(node) > ENTRIES_MAX:
            found = f"is a list of {len(node):,} entries"
            yield document.fault(path, found, f"write {ENTRIES_MAX} at most, and the rest in a survey of its own")
        elif isinstance(node, (list, dict)):
            parts = node.items() if isinstance(node, dict) else enumerate(node)
            open_ += [((*path, key), part) for key, part in parts if isinstance(part, (list, dict))]


def _without_unknown(node: Node) -> Node:
    """The document with every answer left out that is empty or `unknown`; list entries stay, to be counted."""
    if isinstance(node, dict):
        inside = {key: _without_unknown(part) for key, part in node.items()}
        return {key: part for key, part in inside.items() if part is not None}
    if isinstance(node, list):
        return [{} if part is None else _without_unknown(part) for part in node]
    return None if isinstance(node, str) and node.strip().lower() == _UNKNOWN else node
