"""Reads an overlay: what a project lays over a rule set, with a reason for everything it changes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from wallwalk.errors import Fault, InputError, quote
from wallwalk.fact_reader import words_of
from wallwalk.languages import LANGUAGES, in_language
from wallwalk.limit_reader import read_limit
from wallwalk.limits import AnyLimit, Limit, WordLimit
from wallwalk.refusal import RefusedError, refuse
from wallwalk.rule_reader import no_day, rule_schema
from wallwalk.rules import FactRule, Rule, RuleSet, checks
from wallwalk.section_reader import Sections
from wallwalk.shape import closest, shape_faults
from wallwalk.yamlio import Document, Path_, read_yaml

Flips = Mapping[tuple[str, str], str]
"""By rule or fact and the name of one of its examples: what it comes to once the overlay is laid over its base."""


@dataclass(frozen=True, slots=True)
class Changed:
    """A limit of the base with another value."""

    limit: AnyLimit
    because: str


@dataclass(frozen=True, slots=True)
class Dropped:
    """A rule of the base that an overlay takes out."""

    rule: str
    because: str
    basis: str


@dataclass(frozen=True, slots=True)
class Overlay:
    """One overlay, all its names and kinds resolved against the base it was read for.

    `listed` is the limit below which each flip is listed.
    """

    title: str
    document: Document
    revision: str
    changed: tuple[Changed, ...]
    limits: Mapping[str, AnyLimit]
    facts: Mapping[str, FactRule]
    rules: Mapping[str, Rule]
    because: Mapping[str, str]
    dropped: tuple[Dropped, ...]
    flips: Flips
    listed: Mapping[tuple[str, str], str]


def read_overlay(path: Path, base: RuleSet, file: str | None = None) -> Overlay:
    """Read the overlay at `path` for `base`. Raises `InputError` with every fault found."""
    document = read_yaml(path, file)
    data: Any = document.data
    faults = [*shape_faults(document, data, rule_schema()["overlay"])]
    if not faults:
        theme = {**rule_schema()["theme"], "required": []}
        faults += shape_faults(document, _as_theme(data), theme)
    if not faults and data["for"] != base.name:
        advice = f"write for: {base.name}, or lay another file over this rule set"
        faults.append(document.fault(("for",), f"is {quote(data['for'])}, and this is laid over {base.name}", advice))
    if faults:
        raise InputError(faults)
    return _Reader(document, base).overlay()


def _as_theme(data: Mapping[str, Any]) -> dict[str, Any]:
    """The sections that have a theme's shape, without the words that only an overlay has."""
    sections = {section: data[section] for section in ("limits", "facts", "rules") if section in data}
    for section in sections.keys() & {"limits", "rules"}:
        sections[section] = {name: _without_reasons(part) for name, part in data[section].items()}
    return sections


def _without_reasons(part: Mapping[str, Any]) -> dict[str, Any]:
    return {key: inside for key, inside in part.items() if key not in {"because", "flips"}}


class _Reader:
    """Reads one overlay, collecting faults."""

    def __init__(self, document: Document, base: RuleSet) -> None:
        self.document = document
        self.data: Any = document.data
        self.base = base
        self.faults: list[Fault] = []
        self.listed: dict[tuple[str, str], str] = {}

    def overlay(self) -> Overlay:
        changed = tuple(self._changed())
        sections = self._sections(changed)
        dropped = tuple(self._dropped())
        flips = dict(self._flips())
        self.faults += no_day(self.document, ("revision",), self.data["revision"])
        if self.faults:
            raise InputError(self.faults)
        rules = {name: rule for name, rule in sections.rules.items() if name not in self.base.rules}
        return Overlay(
            title=self.data["overlay"],
            document=self.document,
            revision=self.data["revision"],
            changed=changed,
            limits={name: limit for name, limit in sections.limits.items() if name not in self.base.limits},
            facts={name: fact for name, fact in sections.facts.items() if name not in self.base.facts},
            rules=rules,
            because={
                name: part["because"]
                for section in ("limits", "rules")
                for name, part in self.data.get(section, {}).items()
            },
            dropped=dropped,
            flips=flips,
            listed=self.listed,
        )

    def _changed(self) -> Iterator[Changed]:
        for name, part in self.data.get("limits", {}).items():
            base = self.base.limits.get(name)
            if base is None:
                continue
            path: Path_ = ("limits", name)
            try:
                _refuse_title(part, path)
                moved = _moved(base, in_language(part, self.base.language), path)
                _refuse_odd_words(self.base, moved, path)
                yield Changed(moved, part["because"])
            except RefusedError as refused:
                self.faults += [self.document.fault(*fault) for fault in refused.faults]

    def _sections(self, changed: tuple[Changed, ...]) -> Sections:
        """What the overlay adds, read beside all that the base has."""
        sections = Sections(self.base.questions, tuple(self.base.parties), self.base.language, ())
        sections.limits.update({**self.base.limits, **{c.limit.name: c.limit for c in changed}})
        sections.facts.update(self.base.facts)
        sections.rules.update(self.base.rules)
        sections.seen.update(
            dict.fromkeys((*self.base.limits, *self.base.facts, *self.base.rules), f"in {self.base.name}")
        )
        added: Any = {
            section: {n: part for n, part in parts.items() if section != "limits" or n not in self.base.limits}
            for section, parts in _as_theme(self.data).items()
        }
        document = Document(self.document.file, added, self.document.lines, self.document.sha256)
        sections.read({self._theme(): document})
        self.faults += sections.faults
        return sections

    def _theme(self) -> str:
        """What the theme of the added rules is called by: the overlay's title, where no theme has that name."""
        title: str = self.data["overlay"]
        return f"{title} (overlay)" if title in self.base.themes else title

    def _dropped(self) -> Iterator[Dropped]:
        for name, part in self.data.get("drop", {}).items():
            if name in self.base.rules:
                yield Dropped(name, part["because"], part["basis"])
            else:
                found = f"is no rule of {self.base.name}"
                self.faults.append(self.document.fault(("drop", name), found, closest(name, self.base.rules)))

    def _flips(self) -> Iterator[tuple[tuple[str, str], str]]:
        seen: dict[tuple[str, str], str] = {}
        for limit, part in self.data.get("limits", {}).items():
            for name, flips in part.get("flips", {}).items():
                of = next((known[name] for known in self._known() if name in known), None)
                path: Path_ = ("limits", limit, "flips", name)
                if of is None:
                    names = [*self.base.rules, *self.base.facts]
                    found = f"is no rule or fact of {self.base.name}"
                    advice = closest(name, names, where=f"see wallwalk rules show {self.base.name}")
                    self.faults.append(self.document.fault(path, found, advice))
                    continue
                examples = [e.name for e in of.examples]
                for example, expect in flips.items():
                    if seen.setdefault((name, example), expect) != expect:
                        found = f"comes to {expect} here, and to {seen[name, example]} under another limit"
                        self.faults.append(self.document.fault((*path, example), found, "write one of the two"))
                    elif example in examples:
                        self.listed[name, example] = limit
                        yield (name, example), expect
                    else:
                        advice = closest(example, examples)
                        self.faults.append(self.document.fault((*path, example), "is no example of it", advice))

    def _known(self) -> Iterator[Mapping[str, Rule] | Mapping[str, FactRule]]:
        """What may flip: rules and facts of what this is laid over, and of the rule set alone, as its author had it."""
        for rule_set in filter(None, (self.base, self.base.bare)):
            yield rule_set.rules
            yield rule_set.facts


def _refuse_odd_words(base: RuleSet, limit: AnyLimit, path: Path_) -> None:
    """A word that no answer can be would stand for nothing, without a word."""
    if not isinstance(limit, WordLimit):
        return
    for rule in base.rules.values():
        for check in (*checks(rule.applies_when), *checks(rule.require)):
            choices = words_of(base.facts[check.fact].kinded) if limit.name in check.limits else limit.words
            for word in limit.words:
                if word not in choices:
                    raise refuse(path, f"has the word {quote(word)}", f"write words of: {', '.join(choices)}")


def _refuse_title(part: Mapping[str, Any], path: Path_) -> None:
    """A title of its own would hide from a reader which limit was changed."""
    for place, texts in ((path, part), *(((*path, language), part.get(language, {})) for language in LANGUAGES)):
        if "title" in texts:
            raise refuse((*place, "title"), "stands beside a limit of the rule set", "take it out: its title stays")


def _moved(base: AnyLimit, part: Mapping[str, Any], path: Path_) -> AnyLimit:
    """The base's limit with the overlay's value or words; its title stays, and its step where none is written."""
    if not isinstance(base, Limit):
        if "words" not in part:
            raise refuse(path, "has no words", "write words:, as the limit it changes has")
        return read_limit(base.name, {**_without_reasons(part), "title": base.title}, path)
    if "value" not in part:
        raise refuse(path, "has no value", f"write value: and a quantity, such as {base.written}")
    kept = {"step": base.step_written, "kind": base.kind, "title": base.title}
    moved = read_limit(base.name, {**kept, **_without_reasons(part)}, path)
    if not isinstance(moved, Limit) or moved.kind != base.kind:
        raise refuse(path, f"changes {base.written} into another kind of limit", f"give it a value of kind {base.kind}")
    return moved
