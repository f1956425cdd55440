"""Reads the photos that a survey lists: which wall and rule each belongs to, its file, and when it was taken."""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Iterable, Iterator
from pathlib import Path

from wallwalk.answers import NO_ENTRIES, Answer, Answers
from wallwalk.errors import Fault, InputError, quote
from wallwalk.moments import parse_camera_time
from wallwalk.photos import PHOTOS, Photo
from wallwalk.picture import BYTES_MAX, PictureFaultError, read_picture
from wallwalk.resources import DEFAULT_RULE_SET, find_named, rule_set_names
from wallwalk.rules import RULE_DROPPED, RuleSet
from wallwalk.shape import closest
from wallwalk.survey import Survey

PHOTOS_MAX = 200
ALL_BYTES_MAX = 192 * 1024 * 1024
"""So many photos, and so many bytes of them together: they are filed with the record, which has to be read back."""


def read_photos(survey: Survey, rule_set: RuleSet, folder: Path) -> Survey:
    """The survey with the photos it lists, read from files in `folder`, its own. Raises `InputError`."""
    listed = survey.space.rolls.get(PHOTOS, NO_ENTRIES).entries
    if len(listed) > PHOTOS_MAX:
        found = f"lists {len(listed)} photos"
        raise InputError([Fault(survey.file, 0, PHOTOS, found, f"keep the {PHOTOS_MAX} that show most")])
    reader = _Reader(survey, rule_set, folder)
    read = tuple(filter(None, (reader.photo(answers) for answers in listed)))
    if reader.faults:
        raise InputError(reader.faults)
    return dataclasses.replace(survey, photos=read)


def _rule_names(survey: Survey, rule_set: RuleSet) -> Iterator[str]:
    """Every rule that a photo may name: also one that an overlay dropped, or that the survey's own rule set has."""
    yield from rule_set.rules
    yield from (o.name for o in rule_set.overrides if o.what == RULE_DROPPED)
    own = survey.text("rules") or DEFAULT_RULE_SET
    if own != rule_set.name and own in rule_set_names():
        from wallwalk.rule_reader import read_rule_set  # seldom needed, and slow to load

        yield from read_rule_set(own).rules


class _Reader:
    """Reads the photos of one survey, collecting faults."""

    def __init__(self, survey: Survey, rule_set: RuleSet, folder: Path) -> None:
        self.survey = survey
        self.folder = folder
        self.rule_set = rule_set
        self.walls = [s.name for s in survey.others if s.listed]
        self.rules = tuple(_rule_names(survey, rule_set))
        self.faults: list[Fault] = []
        self.sizes: dict[str, int] = {}

    def photo(self, answers: Answers) -> Photo | None:
        """One photo, or None where it has a fault."""
        before = len(self.faults)
        of = self._known(answers.get("of"), "no wall of this survey", self.walls, "its walls stand under walls")
        rules = f"see wallwalk rules show {self.rule_set.name}"
        rule = self._known(answers.get("rule"), f"no rule of {self.rule_set.name}", self.rules, rules)
        file = answers["file"]
        try:
            content = self._content(file.value.written)
            picture = read_picture(content)
        except PictureFaultError as fault:
            self._fault(file, f"which {fault.found}", fault.instead)
        if len(self.faults) > before:
            return None
        return Photo(
            place=file.place.removesuffix(".file"),
            line=file.line,
            file=file.value.written,
            of=of,
            rule=rule,
            note=answers["note"].value.written if "note" in answers else "",
            sha256=hashlib.sha256(content).hexdigest(),
            width=picture.width,
            height=picture.height,
            clock=picture.clock,
            taken=parse_camera_time(picture.clock, picture.offset, self.survey.zone),
            shown=picture.shown,
        )

    def _known(self, answer: Answer | None, unknown: str, names: Iterable[str], where: str) -> str:
        """The name that is answered, which has to be one of `names`; empty where there is no answer."""
        if answer is None:
            return ""
        name = answer.value.written
        if name not in names:
            self._fault(answer, unknown, closest(name, names, "take it out", where))
        return name

    def _content(self, file: str) -> bytes:
        """The bytes of a photo's file, in the survey's own folder or below it. Raises `PictureFaultError`."""
        path = find_named(self.folder, file)
        if path is None:
            advice = "put the file beside the survey, and write its name"
            raise PictureFaultError("is not in the folder of the survey", advice)
        if not path.is_file():
            kind = "a folder" if path.is_dir() else "no plain file" if path.exists() else "not there"
            raise PictureFaultError(f"is {kind}", "write the name of a photo's file")
        try:
            with path.open("rb") as stream:
                content = stream.read(BYTES_MAX + 1)
        except OSError as error:
            reason = error.strerror or str(error)
            raise PictureFaultError(f"cannot be read ({reason})", "give a file that you may read") from error
        if sum((self.sizes | {file: len(content)}).values()) > ALL_BYTES_MAX:
            found = f"takes all photos over {ALL_BYTES_MAX // 1024**2} MB together"
            raise PictureFaultError(found, "save them smaller, or leave some out")
        self.sizes[file] = len(content)
        return content

    def _fault(self, answer: Answer, what: str, instead: str) -> None:
        found = f"is {quote(answer.value.written)}, {what}"
        self.faults.append(Fault(self.survey.file, answer.line, answer.place, found, instead))
