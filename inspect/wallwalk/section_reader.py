"""Reads the sections of a theme: limits, then facts, then rules, every fault of all of them in one run."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from wallwalk.condition_reader import Names, read_condition
from wallwalk.errors import Fault, quote
from wallwalk.fact_reader import Known, read_example_value, read_fact, refuse_one_name_twice
from wallwalk.languages import LANGUAGES, in_language, untranslated
from wallwalk.limit_reader import read_limit
from wallwalk.limits import AnyLimit
from wallwalk.quantities import UnitError
from wallwalk.questions import SPACE, Questions
from wallwalk.refusal import RefusedError, read_each, refuse
from wallwalk.rules import PLACEHOLDER, Example, FactRule, Material, Place, Rule, checks
from wallwalk.shape import closest, show
from wallwalk.yamlio import Document, Path_

_TEXTS = ("title", "hold", "put_right", "why")


class Sections:
    """Limits, facts and rules as they are read; what is refused is left out, and the rest is still read.

    `seen` holds where each name was first used. An overlay starts from what its base holds. Texts are taken in
    `language`; every one must be there in each of `languages`.
    """

    def __init__(
        self, questions: Questions, parties: tuple[str, ...], language: str, languages: tuple[str, ...]
    ) -> None:
        self.questions = questions
        self.parties = parties
        self.language = language
        self.languages = languages
        self.limits: dict[str, AnyLimit] = {}
        self.facts: dict[str, FactRule] = {}
        self.rules: dict[str, Rule] = {}
        self.materials: list[Material] = []
        self.seen: dict[str, str] = {}
        self.places: dict[str, Place] = {}
        self.faults: list[Fault] = []

    def read(self, themes: Mapping[str, Document]) -> None:
        """Read every section of every theme; a fact may be made of any limit, a rule of any fact."""
        contents: dict[str, Any] = {theme: document.data for theme, document in themes.items()}
        for theme, document in themes.items():
            self.read_section(document, "limits", contents[theme], self.limits, self._read_limit)
        known = Known(self.questions, self.limits, frozenset(self.seen) - self.limits.keys())
        for theme, document in themes.items():
            read_one = partial(read_fact, known, document, self.language)
            self.read_section(document, "facts", contents[theme], self.facts, read_one)
        names = Names(self.limits, self.facts, frozenset(self.seen) - self.limits.keys() - self.facts.keys())
        for theme, document in themes.items():
            subjects, parties = self.questions.subjects, self.parties
            read_rule = partial(_read_rule, names, subjects, parties, self.language, document, theme)
            self.read_section(document, "rules", contents[theme], self.rules, read_rule)
        for theme, document in themes.items():
            for i, row in enumerate(contents[theme].get("materials", ())):
                self._read_material(document, row, ("materials", i))
        for theme, document in themes.items():
            self._refuse_unused(document, contents[theme])

    def read_section(
        self,
        document: Document,
        section: str,
        content: Mapping[str, Any],
        into: dict[str, Any],
        read: Callable[..., Any],
    ) -> None:
        """Read every part of one section with `read`, by name; a name stands for one thing only."""
        for name, part in content.get(section, {}).items():
            path: Path_ = (section, name)
            if name in self.seen:
                found = f"is a name used already ({self.seen[name]})"
                self.faults.append(document.fault(path, found, "give it a name of its own"))
                continue
            self.seen[name] = f"{document.file}:{document.line(path)}"
            self.places[name] = (document.file, document.line(path))
            try:
                translated = partial(self._check_translated, section, part, path)
                made = read_each((translated, partial(read, name, part, path)))[1]
                _check_places_alike(part, path)
                into[name] = made
            except RefusedError as refused:
                self.faults += [document.fault(*fault) for fault in refused.faults]

    def _read_limit(self, name: str, part: Mapping[str, Any], path: Path_) -> AnyLimit:
        return read_limit(name, in_language(part, self.language), path)

    def _read_material(self, document: Document, row: Mapping[str, Any], path: Path_) -> None:
        told = in_language(row, self.language)
        names = {key: str(name) for key, name in row.items() if key not in {"title", *LANGUAGES}}
        about_space = [name for name, fact in self.facts.items() if fact.about == SPACE]
        self.faults += [
            document.fault(
                (*path, key), f"names {quote(name)}, which is no fact about the space", closest(name, about_space)
            )
            for key, name in names.items()
            if name not in about_space
        ]
        self.faults += [
            document.fault(path, f"has no {text} in {language}", f"write {language}: and {text}: below it")
            for language, text in untranslated(row, ("title",), self.languages)
        ]
        self.materials.append(Material(title=told["title"], **names))

    def _check_translated(self, section: str, part: Mapping[str, Any], path: Path_) -> None:
        asked = part if section == "rules" else {"title": "", **part}  # what has no title has its name in words
        lacking: dict[str, list[str]] = {}
        for language, text in untranslated(asked, _TEXTS, self.languages):
            lacking.setdefault(language, []).append(text)
        for language, texts in lacking.items():
            wanted = ", ".join(f"{text}:" for text in texts)
            advice = f"write {language}: and {wanted} below it"
            raise refuse(path, f"has no {', '.join(texts)} in {language}", advice)

    def _refuse_unused(self, document: Document, content: Any) -> None:  # noqa: ANN401
        if self.faults:
            return
        used = [c for r in self.rules.values() for condition in (r.applies_when, r.require) for c in checks(condition)]
        names = {c.fact for c in used} | {name for c in used for name in c.limits}
        names |= {name for rule in self.rules.values() for name in rule.shows}  # shown, though not compared
        names |= {name for fact in self.facts.values() for name in fact.limits}
        names |= {name for row in self.materials for name in row.facts}
        self.faults += [
            document.fault((section, name), "is used by no rule", "use it or take it out")
            for section in ("limits", "facts")
            for name in content.get(section, {})
            if name not in names
        ]


def _check_places_alike(part: Mapping[str, Any], path: Path_) -> None:
    """A sentence shows the same facts and limits in every language."""
    for language in LANGUAGES:
        told = part.get(language, {}).get("hold")
        if told is None:
            continue
        _refuse_lone_braces(told, (*path, language, "hold"))
        ours, theirs = (set(PLACEHOLDER.findall(text)) for text in (part["hold"], told))
        if ours != theirs:
            more, fewer = (sorted(f"{{{name}}}" for name in names) for names in (theirs - ours, ours - theirs))
            found = " and ".join(
                f"{what} {', '.join(names)}" for what, names in (("shows", more), ("does not show", fewer)) if names
            )
            raise refuse((*path, language, "hold"), found, "show the same facts and limits as in hold: above it")


def _read_rule(
    names: Names,
    subjects: tuple[str, ...],
    parties: tuple[str, ...],
    language: str,
    document: Document,
    theme: str,
    name: str,
    part: Mapping[str, Any],
    path: Path_,
) -> Rule:
    about, by, told = part["about"], part["by"], in_language(part, language)
    if about not in subjects:
        raise refuse((*path, "about"), f"is {quote(about)}", f"write one of: {', '.join(subjects)}")
    if by not in parties:
        raise refuse((*path, "by"), f"is {quote(by)}", f"write one of: {', '.join(parties)}")
    conditions = read_each(
        partial(read_condition, names, about, part[word], (*path, word))
        for word in ("require", "applies_when")
        if word in part
    )
    require, applies = conditions[0], conditions[1] if len(conditions) > 1 else None
    used = [c for condition in conditions for c in checks(condition)]
    compared = {c.fact for c in used} | {n for c in used for n in c.limits}
    seen = {fact.name for fact in names.facts.values() if fact.about in {about, SPACE}}
    _check_placeholders(part["hold"], compared | seen | set(names.limits), (*path, "hold"))
    facts = {c.fact: names.facts[c.fact] for c in used}
    refuse_one_name_twice(part["examples"], path)
    places = [(*path, "examples", i) for i in range(len(part["examples"]))]
    examples = read_each(
        partial(_read_example, facts, example, place, document.line(place))
        for place, example in zip(places, part["examples"], strict=True)
    )
    return Rule(
        name=name,
        theme=theme,
        about=about,
        grade=part["grade"],
        title=told["title"],
        applies_when=applies,
        require=require,
        hold=told["hold"],
        put_right=told["put_right"],
        by=by,
        why=told["why"],
        basis=told["basis"],
        examples=examples,
        shows=tuple(n for n in dict.fromkeys(PLACEHOLDER.findall(part["hold"])) if n in seen - compared),
        file=document.file,
        line=document.line(path),
    )


def _read_example(facts: Mapping[str, FactRule], part: Mapping[str, Any], path: Path_, line: int) -> Example:
    values = {}
    for name, node in part["facts"].items():
        place = (*path, "facts", name)
        if name not in facts:
            raise refuse(place, "is a fact the rule does not compare", closest(name, facts))
        try:
            values[name] = read_example_value(facts[name].kinded, node)
        except UnitError as error:
            raise refuse(place, f"is {show(node)}", error.instead) from error
    return Example(part["name"], values, part["expect"], line)


def _check_placeholders(text: str, known: set[str], path: Path_) -> None:
    _refuse_lone_braces(text, path)
    for name in PLACEHOLDER.findall(text):
        if name not in known:
            found = f"names {quote('{' + name + '}')}, which is no fact about this and no limit"
            raise refuse(path, found, closest(name, sorted(known), "take it out", ""))


def _refuse_lone_braces(text: str, path: Path_) -> None:
    if "{" in PLACEHOLDER.sub("", text) or "}" in PLACEHOLDER.sub("", text):
        raise refuse(path, "has a brace without its other", "write a name in braces as {gap}, or take the brace out")
