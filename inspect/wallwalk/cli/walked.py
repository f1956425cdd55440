"""The survey that an interview writes: read where it is there, judged after every answer, saved whole or not at all."""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from pathlib import Path

from wallwalk.cli.starting import rule_set_for, rule_set_of
from wallwalk.climate import Climate
from wallwalk.climate_reader import asked_of_logs, read_climate
from wallwalk.errors import MissingPartError, on_one_line
from wallwalk.interview.draft import Data, render_draft
from wallwalk.interview.spots import plan_route
from wallwalk.interview.standing import Standing, stand
from wallwalk.interview.state import Setting
from wallwalk.photo_reader import read_photos
from wallwalk.photos import Photo
from wallwalk.resources import DEFAULT_RULE_SET, rule_set_names
from wallwalk.rules import RuleSet
from wallwalk.survey import Survey
from wallwalk.survey_reader import parse_survey
from wallwalk.words import words_in
from wallwalk.writing import refuse_targets, write_whole
from wallwalk.yamlio import parse_yaml, read_yaml

BEFORE = ".before"
"""What is put behind the name of a survey that was there already, where its comments or its form would be lost."""


@dataclass(slots=True)
class WalkedFile:
    """The file of a walk: what is on the disk now (None: no file yet), and what of it has to be kept apart first."""

    path: Path
    on_disk: bytes | None
    to_keep: bytes | None

    @property
    def before(self) -> Path:
        """Where the file is kept as it was."""
        return self.path.with_name(self.path.name + BEFORE)

    def save(self, content: bytes) -> None:
        """Put `content` in the file's place. Raises `MissingPartError` where another program changed it since."""
        if self.on_disk is not None and (not self.path.is_file() or self.path.read_bytes() != self.on_disk):
            raise MissingPartError(
                f"{on_one_line(self.path)}: was changed by another program; the last answer is not saved in it"
            )
        if self.to_keep is not None:
            write_whole(self.before, self.to_keep, overwrite=False)
            self.to_keep = None
        write_whole(self.path, content, overwrite=self.on_disk is not None)
        self.on_disk = content


@dataclass(frozen=True, slots=True)
class Walked:
    """A walk that is about to begin or to go on: where it is saved, what is written down, and how it is judged."""

    file: WalkedFile
    data: Data
    setting: Setting

    def save(self, data: Data) -> None:
        """Save `data`. Raises `MissingPartError`."""
        self.file.save(render_draft(data, self.setting.rule_set.questions.schema))


def open_walk(path: Path, rules_name: str | None, overlays: tuple[Path, ...], language: str, zone: str) -> Walked:
    """The walk whose survey is, or will be, at `path`. Raises `InputError` and `MissingPartError`."""
    if path.suffix.lower() not in {".yaml", ".yml"}:
        more = "; a form's export can be copied to such a name" if path.suffix.lower() == ".json" else ""
        said = f"is no name for a survey that can be walked; end it in .yaml{more}"
        raise MissingPartError(f"{on_one_line(path)}: {said}")
    refuse_targets([path], overwrite=True)
    if not path.exists():
        rule_set = rule_set_for(None, rules_name, overlays, language)
        return Walked(WalkedFile(path, None, None), _named(rule_set), _setting(path, rule_set, zone))
    document = read_yaml(path)
    rule_set = rule_set_of(parse_survey(document), path.parent, rules_name, overlays, language)
    data = document.data if isinstance(document.data, dict) else {}
    rendered = render_draft(data, rule_set.questions.schema)
    file = WalkedFile(path, document.content, document.content if rendered != document.content else None)
    if file.to_keep is not None and file.before.exists():
        raise MissingPartError(
            f"{on_one_line(file.before)}: is there already, and {on_one_line(path)} is not yet kept; move one of them"
        )
    return Walked(file, data, _setting(path, rule_set, zone))


def _named(rule_set: RuleSet) -> Data:
    named = rule_set.name != DEFAULT_RULE_SET and rule_set.name in rule_set_names()
    return {"rules": rule_set.name} if named else {}


def _setting(path: Path, rule_set: RuleSet, zone: str) -> Setting:
    return Setting(rule_set, plan_route(rule_set), _Judge(path, rule_set), words_in(rule_set.language), zone)


@dataclass(slots=True)
class _Judge:
    """Reads and judges a draft; logs and photos are read again only where what is asked of them has changed."""

    path: Path
    rule_set: RuleSet
    climates: dict[str, Climate] = field(default_factory=dict)
    photos: dict[str, tuple[Photo, ...]] = field(default_factory=dict)

    def __call__(self, data: Data) -> Standing:
        """How `data` stands. Raises `InputError`."""
        content = render_draft(data, self.rule_set.questions.schema)
        survey = parse_survey(parse_yaml(content, str(self.path)))
        return stand(
            self.rule_set, replace(survey, climate=self._climate(survey, data), photos=self._photos(survey, data))
        )

    def _climate(self, survey: Survey, data: Data) -> Climate:
        asked = repr(asked_of_logs(survey, self.rule_set))
        key = asked + _said(data, "climate_log", "climate_logs_kept", "instruments", "time_zone")
        if key not in self.climates:
            self.climates = {key: read_climate(survey, self.rule_set, self.path.parent).climate}
        return self.climates[key]

    def _photos(self, survey: Survey, data: Data) -> tuple[Photo, ...]:
        key = _said(data, "photos", "walls", "time_zone") if data.get("photos") else ""
        if key not in self.photos:
            self.photos = {key: read_photos(survey, self.rule_set, self.path.parent).photos}
        return self.photos[key]


def _said(data: Data, *names: str) -> str:
    return json.dumps([data.get(name) for name in names])
