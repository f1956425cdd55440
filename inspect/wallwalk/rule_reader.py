"""Reads a rule set's folder: its about.yaml, and a file for each of its themes."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from wallwalk.errors import Fault, InputError, quote
from wallwalk.questions import Questions, survey_questions
from wallwalk.resources import data_folder, rule_set_folder, rule_set_names
from wallwalk.rules import Change, RuleSet
from wallwalk.section_reader import Sections
from wallwalk.shape import read_schema, shape_faults
from wallwalk.yamlio import Document, read_yaml


@cache
def rule_schema() -> Mapping[str, Any]:
    """The schemas of a rule set's files, by part: `about` and `theme`."""
    return dict(read_schema(data_folder("rules") / "rules.schema.yaml")["$defs"])


def read_rule_set(name: str) -> RuleSet:
    """Read the rule set called `name`, or in the folder of that path. Raises `InputError`.

    The names, kinds and placeholders are sound then; that its examples come out as they say, and pin every limit,
    is for `proving`.
    """
    folder = rule_set_folder(name)
    if folder is None:
        advice = f"write one of: {', '.join(rule_set_names())}, or the path of a folder with an about.yaml"
        raise InputError([Fault(name, 0, "", "is no rule set", advice)])
    return _Reader(folder, survey_questions()).rule_set()


class _Reader:
    """Reads one folder once, collecting faults; parts that are refused are left out and the rest is still read."""

    def __init__(self, folder: Path, questions: Questions) -> None:
        self.folder = folder
        self.questions = questions
        self.faults: list[Fault] = []

    def rule_set(self) -> RuleSet:
        about = self._document("about.yaml", "about")
        data: Any = about.data
        self._check_themes(about, data["themes"])
        themes = {name: self._document(f"{name}.yaml", "theme") for name in data["themes"]}
        if self.faults:
            raise InputError(self.faults)
        sections = Sections(self.questions, tuple(data["parties"]))
        sections.read(themes)
        if sections.faults:
            raise InputError(sections.faults)
        contents: dict[str, Any] = {theme: document.data for theme, document in themes.items()}
        digests = sorted(f"{Path(d.file).name}={d.sha256}" for d in (about, *themes.values()))
        return RuleSet(
            name=self.folder.name,
            title=data["title"],
            made_for=data["for"],
            revision=data["revision"],
            decision=data["decision"],
            uncalibrated=data["uncalibrated"],
            parties=data["parties"],
            themes={theme: str(content["title"]) for theme, content in contents.items()},
            changes=tuple(Change(**change) for change in data["changes"]),
            limits=sections.limits,
            facts=sections.facts,
            rules=sections.rules,
            questions=self.questions,
            sha256=hashlib.sha256("\n".join(digests).encode()).hexdigest(),
        )

    def _document(self, file: str, part: str) -> Document:
        document = read_yaml(self.folder / file, f"{self.folder.name}/{file}")
        faults = list(shape_faults(document, document.data, rule_schema()[part]))
        if faults and part == "about":
            raise InputError(faults)
        self.faults += faults
        return document

    def _check_themes(self, about: Document, themes: list[str]) -> None:
        """Every theme has its file, every file its theme, each once; nothing is read or left out in silence."""
        files = {path.stem for path in self.folder.glob("*.yaml")} - {"about"}
        faults = [
            about.fault(("themes", i), f"is {quote(theme)}, {found}", instead)
            for i, theme in enumerate(themes)
            for wrong, found, instead in (
                (
                    theme not in files,
                    f"and no {theme}.yaml lies beside this file",
                    "write that file, or take the theme out",
                ),
                (theme in themes[:i], "which stands there already", "take it out"),
            )
            if wrong
        ]
        faults += [
            about.fault(
                ("themes",),
                f"does not name {quote(file)}, but {file}.yaml lies beside this file",
                "add it, or move the file away",
            )
            for file in sorted(files - set(themes))
        ]
        if faults:
            raise InputError(faults)
