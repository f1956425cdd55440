"""Reads a rule set's folder: shape, names, kinds and placeholders, every fault of every file in one run."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from fractions import Fraction
from functools import cache, partial
from pathlib import Path
from typing import Any

from wallwalk.condition_reader import Names, read_condition
from wallwalk.errors import Fault, InputError, quote
from wallwalk.fact_reader import Known, read_example_value, read_expression
from wallwalk.limits import AnyLimit, Limit, WordLimit
from wallwalk.quantities import UnitError, kind_of_unit, parse_quantity, parse_step
from wallwalk.questions import SPACE, Questions, survey_questions
from wallwalk.refusal import RefusedError, read_each, refuse
from wallwalk.resources import data_folder, rule_set_folder, rule_set_names
from wallwalk.rules import PLACEHOLDER, Change, Example, FactExample, FactRule, Rule, RuleSet, checks
from wallwalk.shape import closest, read_schema, shape_faults, show
from wallwalk.units import KINDS
from wallwalk.values import Interval
from wallwalk.yamlio import Document, Node, Path_, read_yaml


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
        self.limits: dict[str, AnyLimit] = {}
        self.facts: dict[str, FactRule] = {}
        self.rules: dict[str, Rule] = {}
        self.seen: dict[str, str] = {}

    def rule_set(self) -> RuleSet:
        about = self._document("about.yaml", "about")
        data: Any = about.data
        self._check_themes(about, data["themes"])
        themes = {name: self._document(f"{name}.yaml", "theme") for name in data["themes"]}
        if self.faults:
            raise InputError(self.faults)
        contents: dict[str, Any] = {theme: document.data for theme, document in themes.items()}
        for theme, document in themes.items():
            self._read_all(document, "limits", contents[theme], self.limits, _read_limit)
        known = Known(self.questions, self.limits, frozenset(self.seen) - self.limits.keys())
        for theme, document in themes.items():
            self._read_all(document, "facts", contents[theme], self.facts, partial(_read_fact, known, document))
        names = Names(self.limits, self.facts, frozenset(self.seen) - self.limits.keys() - self.facts.keys())
        for theme, document in themes.items():
            read_rule = partial(_read_rule, names, self.questions.subjects, tuple(data["parties"]), document, theme)
            self._read_all(document, "rules", contents[theme], self.rules, read_rule)
        for theme, document in themes.items():
            self._refuse_unused(document, contents[theme])
        if self.faults:
            raise InputError(self.faults)
        digests = sorted(f"{Path(d.file).name}={d.sha256}" for d in (about, *themes.values()))
        return RuleSet(
            name=self.folder.name,
            title=data["title"],
            made_for=data["for"],
            revision=data["revision"],
            decision=data["decision"],
            uncalibrated=data["uncalibrated"],
            parties=data["parties"],
            themes={theme: content["title"] for theme, content in contents.items()},
            changes=tuple(Change(**change) for change in data["changes"]),
            limits=self.limits,
            facts=self.facts,
            rules=self.rules,
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

    def _read_all(self, document: Document, section: str, content: Any, into: dict[str, Any], read: Any) -> None:  # noqa: ANN401
        for name, part in content.get(section, {}).items():
            path: Path_ = (section, name)
            if name in self.seen:
                found = f"is a name used already ({self.seen[name]})"
                self.faults.append(document.fault(path, found, "give it a name of its own"))
                continue
            self.seen[name] = f"{document.file}:{document.line(path)}"
            try:
                into[name] = read(name, part, path)
            except RefusedError as refused:
                self.faults += [document.fault(*fault) for fault in refused.faults]

    def _refuse_unused(self, document: Document, content: Any) -> None:  # noqa: ANN401
        if self.faults:
            return
        used = [c for r in self.rules.values() for condition in (r.applies_when, r.require) for c in checks(condition)]
        names = {c.fact for c in used} | {name for c in used for name in c.limits}
        names |= {name for rule in self.rules.values() for name in rule.shows}  # shown, though not compared
        names |= {name for fact in self.facts.values() for name in fact.limits}
        self.faults += [
            document.fault((section, name), "is used by no rule", "use it or take it out")
            for section in ("limits", "facts")
            for name in content.get(section, {})
            if name not in names
        ]


def _read_limit(name: str, part: Mapping[str, Any], path: Path_) -> AnyLimit:
    if "words" in part:
        extra = [word for word in ("value", "step", "kind") if word in part]
        if extra:
            raise refuse((*path, extra[0]), "stands beside words", f"take out the words, or take out {extra[0]}")
        return WordLimit(name, tuple(part["words"]), part["basis"])
    if "value" not in part:
        raise refuse(path, "has no value and no words", "write value: and step:, or words:")
    if "step" not in part:
        raise refuse(path, "has no step", "write step: the smallest change of it that matters, with its unit")
    kind = _kind_of_limit(part, path)
    value = _quantity_of_limit(part["value"], kind, (*path, "value"))
    if value.low != value.high:
        raise refuse((*path, "value"), f"is {quote(part['value'])}", "write one value, not a range")
    try:
        step = parse_step(part["step"], kind)
    except UnitError as error:
        raise refuse((*path, "step"), f"is {quote(part['step'])}", error.instead) from error
    return Limit(name, kind, Fraction(value.low), step, value.unit, value.written, part["basis"], part["step"])


def _kind_of_limit(part: Mapping[str, Any], path: Path_) -> str:
    named: str | None = part.get("kind")
    kind = named or kind_of_unit(part["value"])
    if kind in KINDS:
        return kind
    if named:
        advice = closest(named, KINDS, "", f"write one of: {', '.join(KINDS)}")
        raise refuse((*path, "kind"), f"is {quote(named)}", advice)
    advice = "write a number with its unit, such as 24 h, 72 °F, 45 %RH, 1/8 in or 12 %MC"
    raise refuse((*path, "value"), f"is {quote(part['value'])}", advice)


def _quantity_of_limit(text: str, kind: str, path: Path_) -> Interval:
    try:
        return parse_quantity(text, kind)
    except UnitError as error:
        raise refuse(path, f"is {quote(text)}", error.instead) from error


def _read_fact(known: Known, document: Document, name: str, part: Mapping[str, Any], path: Path_) -> FactRule:
    about = part["about"]
    if about not in known.questions.subjects:
        raise refuse((*path, "about"), f"is {show(about)}", f"write one of: {', '.join(known.questions.subjects)}")
    measure = {key: value for key, value in part.items() if key not in {"about", "title", "examples"}}
    title = part.get("title") or name.replace("_", " ").capitalize()
    expression = read_expression(known, about, measure, path)
    examples = tuple(
        FactExample(
            example["name"],
            _lists_as_tuples(example["given"]),
            _lists_as_tuples(example["log"]) if "log" in example else None,
            example["expect"],
            document.line((*path, "examples", i)),
        )
        for i, example in enumerate(part.get("examples", ()))
    )
    return FactRule(name, title, about, expression, examples, document.file, document.line(path))


def _lists_as_tuples(answers: Mapping[str, Any]) -> dict[str, Any]:
    """Answers by question, as an example writes them: a list where there is one for each entry of a list."""
    return {
        question: tuple(map(_word, answer)) if isinstance(answer, list) else _word(answer)
        for question, answer in answers.items()
    }


def _word(node: Node) -> Node:
    return "yes" if node is True else "no" if node is False else node


def _read_rule(
    names: Names,
    subjects: tuple[str, ...],
    parties: tuple[str, ...],
    document: Document,
    theme: str,
    name: str,
    part: Mapping[str, Any],
    path: Path_,
) -> Rule:
    about, by = part["about"], part["by"]
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
        title=part["title"],
        applies_when=applies,
        require=require,
        hold=part["hold"],
        put_right=part["put_right"],
        by=by,
        why=part["why"],
        basis=part["basis"],
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
    for name in PLACEHOLDER.findall(text):
        if name not in known:
            found = f"names {quote('{' + name + '}')}, which is no fact about this and no limit"
            raise refuse(path, found, closest(name, sorted(known), "take it out", ""))
