"""Reads a rule set's folder: its about.yaml, a file for each of its themes, and its conditions.yaml if there is one."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from wallwalk.errors import Fault, InputError, quote
from wallwalk.languages import ENGLISH, in_language, untranslated
from wallwalk.questions import ROLE, SPACE, survey_questions
from wallwalk.resources import data_folder, rule_set_folder, rule_set_names
from wallwalk.rules import Change, RuleSet
from wallwalk.section_reader import Sections
from wallwalk.shape import read_schema, shape_faults
from wallwalk.trade_reader import CONDITIONS, read_trade_table
from wallwalk.yamlio import Document, Path_, read_yaml


@cache
def rule_schema() -> Mapping[str, Any]:
    """The schemas of a rule set's files, by part: `about`, `theme`, `conditions`; and `overlay`."""
    return dict(read_schema(data_folder("rules") / "rules.schema.yaml")["$defs"])


def read_rule_set(name: str, language: str = ENGLISH) -> RuleSet:
    """Read the rule set called `name`, or in the folder of that path, with its texts in `language`.

    Raises `InputError`.

    The names, kinds and placeholders are sound then; that its examples come out as they say, and pin every limit,
    is for `proving`.
    """
    folder = rule_set_folder(name)
    if folder is None:
        advice = f"write one of: {', '.join(rule_set_names())}, or the path of a folder with an about.yaml"
        raise InputError([Fault(name, 0, "", "is no rule set", advice)])
    return _Reader(folder, language).rule_set()


class _Reader:
    """Reads one folder once, collecting faults; parts that are refused are left out and the rest is still read."""

    def __init__(self, folder: Path, language: str) -> None:
        self.folder = folder
        self.language = language
        self.questions = survey_questions(language)
        self.faults: list[Fault] = []

    def rule_set(self) -> RuleSet:
        about = self._document("about.yaml", "about")
        data: Any = about.data
        languages = tuple(data.get("languages", (ENGLISH,)))
        self._check_themes(about, data["themes"])
        self._check_languages(about, languages)
        self._check_dates(about)
        self._check_releases(about)
        themes = {name: self._document(f"{name}.yaml", "theme") for name in data["themes"]}
        has_table = (self.folder / f"{CONDITIONS}.yaml").exists()
        tables = [self._document(f"{CONDITIONS}.yaml", CONDITIONS)] if has_table else []
        if self.faults:
            raise InputError(self.faults)
        sections = Sections(self.questions, tuple(data["parties"]), self.language, languages)
        self.faults += [
            document.fault((), f"has no {text} in {language}", f"write {language}: and {text}: below it")
            for document in themes.values()
            for language, text in untranslated(_node(document), ("title",), languages)
        ]
        if self.faults:
            raise InputError(self.faults)
        sections.read(themes)
        if sections.faults:
            raise InputError(sections.faults)
        contents: dict[str, Any] = {theme: document.data for theme, document in themes.items()}
        told = in_language(data, self.language)
        digests = sorted(f"{Path(d.file).name}={d.sha256}" for d in (about, *themes.values(), *tables))
        return RuleSet(
            name=self.folder.name,
            title=told["title"],
            made_for=told["for"],
            revision=data["revision"],
            decision=data["decision"],
            uncalibrated=data["uncalibrated"],
            parties=told["parties"],
            themes={theme: str(in_language(content, self.language)["title"]) for theme, content in contents.items()},
            changes=tuple(_change(in_language(change, self.language)) for change in data["changes"]),
            limits=sections.limits,
            facts=sections.facts,
            rules=sections.rules,
            questions=self.questions,
            conditions=next((read_trade_table(t, sections.rules, self.language, languages) for t in tables), None),
            places=sections.places,
            language=self.language,
            materials=tuple(sections.materials),
            releases={role: tuple(parties) for role, parties in data.get("releases", {}).items()},
            files={Path(d.file).name: d.content for d in (about, *tables, *themes.values())},
            sha256=hashlib.sha256("\n".join(digests).encode()).hexdigest(),
        )

    def _document(self, file: str, part: str) -> Document:
        document = read_yaml(self.folder / file, f"{self.folder.name}/{file}")
        faults = list(shape_faults(document, document.data, rule_schema()[part]))
        if faults and part == "about":
            raise InputError(faults)
        self.faults += faults
        return document

    def _check_languages(self, about: Document, languages: tuple[str, ...]) -> None:
        """The rule set is written in the language asked for, and about.yaml in each that it names."""
        data: Any = about.data
        if ENGLISH not in languages:
            advice = f"write {ENGLISH} beside it, since what stands outside of {languages[0]}: is English"
            raise InputError([about.fault(("languages",), f"has no {ENGLISH}", advice)])
        if self.language not in languages:
            found = f"is not written in the language {self.language}"
            raise InputError([Fault(self.folder.name, 0, "", found, f"ask for one of: {', '.join(languages)}")])
        parts: list[tuple[Path_, Any, tuple[str, ...]]] = [((), data, ("title", "for", "parties"))]
        parts += [(("changes", i), change, ("what", "why")) for i, change in enumerate(data["changes"])]
        self.faults += [
            about.fault(path, f"has no {text} in {language}", f"write {language}: and {text}: below it")
            for path, part, texts in parts
            for language, text in untranslated(part, texts, languages)
        ]

    def _check_dates(self, about: Document) -> None:
        """The revision is the day of the newest change, and each is a day of the calendar."""
        data: Any = about.data
        dates = [(("changes", i, "date"), change["date"]) for i, change in enumerate(data["changes"])]
        newest = max(day for _, day in dates)
        odd = [fault for path, day in (*dates, (("revision",), data["revision"])) for fault in no_day(about, path, day)]
        if not odd and data["revision"] != newest:
            found = f"is {quote(data['revision'])}, and the newest of changes: is of {newest}"
            odd = [about.fault(("revision",), found, "give both the same date")]
        self.faults += odd

    def _check_releases(self, about: Document) -> None:
        """Each role is one of the survey, each party one of this rule set, and nobody releases their own holds."""
        data: Any = about.data
        roles = self.questions.questions[SPACE, ROLE].choices
        for role, parties in data.get("releases", {}).items():
            path: Path_ = ("releases", role)
            if role not in roles:
                self.faults.append(
                    about.fault(path, "is no role that a survey knows", f"write one of: {', '.join(roles)}")
                )
            for i, party in enumerate(parties):
                if party not in data["parties"]:
                    advice = f"write one of: {', '.join(data['parties'])}"
                    self.faults.append(about.fault((*path, i), f"is {quote(party)}", advice))
                elif party == role:
                    found = f"is {quote(party)}, the role itself"
                    self.faults.append(about.fault((*path, i), found, "take it out; nobody releases their own holds"))

    def _check_themes(self, about: Document, themes: list[str]) -> None:
        """Every theme has its file, every file its theme, each once; nothing is read or left out in silence."""
        files = {path.stem for path in self.folder.glob("*.yaml")} - {"about", CONDITIONS}
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


def no_day(document: Document, path: Path_, day: str) -> Iterator[Fault]:
    """The fault of a date that is no day of the calendar."""
    try:
        date.fromisoformat(day)
    except ValueError:
        yield document.fault(path, f"is {quote(day)}, which is no day", "write a date, such as 2026-11-25")


def _change(told: Mapping[str, Any]) -> Change:
    return Change(told["date"], told["what"], told["why"], told["basis"])


def _node(document: Document) -> Mapping[str, Any]:
    content: Any = document.data
    return {**content}
