"""Reads a rule set's folder: shape, names, kinds and placeholders, every fault of every file in one run."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from wallwalk.comparisons import COMPARISONS
from wallwalk.errors import Fault, InputError, quote
from wallwalk.limits import AnyLimit, Limit, WordLimit
from wallwalk.measures import MEASURES, SCALES, WORDS, Kinded, MeasureError
from wallwalk.questions import Questions, survey_questions
from wallwalk.resources import data_folder, rule_set_folder, rule_set_names
from wallwalk.rules import (
    PLACEHOLDER,
    Change,
    Check,
    Condition,
    Example,
    Expression,
    FactRule,
    Group,
    Rule,
    RuleSet,
    checks,
)
from wallwalk.shape import closest, read_schema, shape_faults
from wallwalk.units import KINDS, UnitError, kind_of_unit, parse_quantity, parse_step
from wallwalk.values import Measured, OneOf, Series
from wallwalk.yamlio import Document, Path_, read_yaml

_NUMBERS = {"count", "level", "year"}


@cache
def rule_schema() -> Mapping[str, Any]:
    """The schema of rule set files."""
    schema = read_schema(data_folder("rules") / "rules.schema.yaml")
    return dict(schema["$defs"])


def read_rule_set(name: str) -> RuleSet:
    """Read the rule set called `name`, or in the folder of that path. Raises `InputError`.

    The names, kinds and placeholders are sound then; that its examples come out as they say, and pin every limit,
    is for `proving`.
    """
    folder = rule_set_folder(name)
    if folder is None:
        known = ", ".join(rule_set_names())
        raise InputError(
            [
                Fault(
                    name,
                    0,
                    "",
                    "is no rule set",
                    f"write one of: {known}, or the path of a folder with an about.yaml",
                )
            ]
        )
    return _Reader(folder, survey_questions()).rule_set()


class _Reader:
    def __init__(self, folder: Path, questions: Questions) -> None:
        self.folder = folder
        self.questions = questions
        self.faults: list[Fault] = []
        self.limits: dict[str, AnyLimit] = {}
        self.facts: dict[str, FactRule] = {}
        self.rules: dict[str, Rule] = {}
        self.parties: tuple[str, ...] = ()
        self.first_seen: dict[str, str] = {}

    def rule_set(self) -> RuleSet:
        about = self._document("about.yaml", "about")
        data: Any = about.data
        self.parties = tuple(data["parties"])
        themes = {name: self._document(f"{name}.yaml", "theme") for name in data["themes"]}
        for read in (self._read_limits, self._read_facts, self._read_rules):
            for theme, document in themes.items():
                read(document, theme)
        for theme, document in themes.items():
            self._refuse_unused(document, theme)
        if self.faults:
            raise InputError(self.faults)
        titles: dict[str, str] = {name: document.data["title"] for name, document in themes.items()}  # type: ignore[call-overload,index,misc]
        digests = sorted(f"{Path(d.file).name}={d.sha256}" for d in (about, *themes.values()))
        return RuleSet(
            name=self.folder.name,
            title=data["title"],
            made_for=data["for"],
            revision=data["revision"],
            decision=data["decision"],
            parties=data["parties"],
            themes=titles,
            changes=tuple(Change(**change) for change in data["changes"]),
            limits=self.limits,
            facts=self.facts,
            rules=self.rules,
            questions=self.questions,
            sha256=hashlib.sha256("\n".join(digests).encode()).hexdigest(),
        )

    def _document(self, file: str, part: str) -> Document:
        """A document whose shape is sound; nothing more can be said of one that is not."""
        document = read_yaml(self.folder / file, f"{self.folder.name}/{file}")
        faults = list(shape_faults(document, document.data, rule_schema()[part]))
        if faults:
            raise InputError(faults)
        return document

    def _fault(self, document: Document, path: Path_, found: str, instead: str) -> None:
        self.faults.append(document.fault(path, found, instead))

    def _new_name(self, document: Document, path: Path_, name: str) -> bool:
        place = f"{document.file}:{document.line(path)}"
        if name in self.first_seen:
            self._fault(
                document,
                path,
                f"is a name used already ({self.first_seen[name]})",
                "give it a name of its own",
            )
            return False
        self.first_seen[name] = place
        return True

    # -- limits -----------------------------------------------------------------------------------------------------

    def _read_limits(self, document: Document, _: str) -> None:
        limits: Any = document.data
        for name, part in limits.get("limits", {}).items():
            path: Path_ = ("limits", name)
            if not self._new_name(document, path, name):
                continue
            if "words" in part:
                self.limits[name] = WordLimit(name, tuple(part["words"]), part["basis"])
                continue
            try:
                self.limits[name] = self._limit(name, part)
            except UnitError as error:
                self._fault(
                    document,
                    path,
                    f"is {quote(part.get('value', ''))}, step {quote(part.get('step', ''))}",
                    error.instead,
                )

    def _limit(self, name: str, part: Mapping[str, str]) -> Limit:
        if "value" not in part or "step" not in part:
            raise UnitError("write a value and the step that pins it, or words")
        kind = part.get("kind") or kind_of_unit(part["value"])
        if kind not in KINDS:
            raise UnitError("write a value with a known unit, and a kind that is one of: " + ", ".join(KINDS))
        value = parse_quantity(part["value"], kind)
        if value.low != value.high:
            raise UnitError("write one value, not a range")
        step = parse_step(part["step"], kind)
        return Limit(name, kind, Fraction(value.low), step, value.unit, value.written, part["basis"], part["step"])

    # -- facts ------------------------------------------------------------------------------------------------------

    def _read_facts(self, document: Document, _: str) -> None:
        facts: Any = document.data
        for name, part in facts.get("facts", {}).items():
            path: Path_ = ("facts", name)
            if not self._new_name(document, path, name):
                continue
            about = part["about"]
            if about not in self.questions.subjects:
                self._fault(
                    document,
                    (*path, "about"),
                    f"is {quote(about)}",
                    f"write one of: {', '.join(self.questions.subjects)}",
                )
                continue
            measure = {key: value for key, value in part.items() if key != "about"}
            expression = self._expression(document, path, measure, about)
            if expression is not None:
                self.facts[name] = FactRule(name, about, expression)

    def _expression(self, document: Document, path: Path_, part: object, about: str) -> Expression | None:
        if isinstance(part, str):
            return self._answer(document, path, part, about)
        if not isinstance(part, dict) or len(part) != 1:
            self._fault(
                document,
                path,
                "is no measure",
                f"write one of: answer, {', '.join(MEASURES)}, and what it works on",
            )
            return None
        ((word, inside),) = part.items()
        if word == "answer" and isinstance(inside, str):
            return self._answer(document, (*path, word), inside, about)
        measure = MEASURES.get(word)
        if measure is None:
            self._fault(document, (*path, word), "is no measure", f"write one of: answer, {', '.join(MEASURES)}")
            return None
        scale = ""
        if measure.takes_scale:
            scale = str(inside.get("scale")) if isinstance(inside, dict) else ""
            if scale not in SCALES:
                self._fault(
                    document,
                    (*path, word),
                    "has no scale",
                    f"write of: and scale:, one of {', '.join(SCALES)}",
                )
                return None
            inside = {key: value for key, value in inside.items() if key != "scale"}
        operands = self._operands(document, (*path, word), inside, measure.parts, about)
        if operands is None:
            return None
        try:
            kinded = measure.kind(tuple(o.kinded for o in operands), word)
        except MeasureError as error:
            self._fault(document, (*path, word), "does not fit", str(error))
            return None
        return Expression(word, Kinded(f"moisture {scale}", (), kinded.is_series) if scale else kinded, operands, scale)

    def _operands(
        self, document: Document, path: Path_, inside: Any, parts: tuple[str, ...], about: str
    ) -> tuple[Expression, ...] | None:
        places: list[tuple[Path_, object]]
        if len(parts) == 1 and not (isinstance(inside, dict) and set(inside) == set(parts)):
            places = [(path, inside)]
        elif parts and isinstance(inside, dict) and set(inside) == set(parts):
            places = [((*path, key), inside[key]) for key in parts]
        elif not parts and isinstance(inside, list) and len(inside) > 1:
            places = [((*path, i), part) for i, part in enumerate(inside)]
        else:
            wanted = " and ".join(f"{p}:" for p in parts) if parts else "a list of two or more"
            self._fault(document, path, "does not say what it works on", f"write {wanted}")
            return None
        read = [self._expression(document, place, part, about) for place, part in places]
        operands = tuple(o for o in read if o is not None)
        if len(operands) < len(read):
            return None
        rolls = {q.roll for o in operands for q in _series_questions(o)}
        if len(rolls) > 1:
            self._fault(document, path, f"mixes the lists {' and '.join(sorted(rolls))}", "work on one list at a time")
            return None
        return operands

    def _answer(self, document: Document, path: Path_, question_path: str, about: str) -> Expression | None:
        question = self.questions.find(about, question_path)
        if question is None:
            paths = [p for a, p in self.questions.questions if a in {about, "space"}]
            self._fault(
                document,
                path,
                f"is {quote(question_path)}, which no question of the survey is",
                closest(question_path, paths),
            )
            return None
        kind = "number" if question.kind in _NUMBERS else "moment" if question.kind == "last day" else question.kind
        kinded = Kinded("text" if kind == "zone" else kind, question.choices, is_series=bool(question.roll))
        return Expression("answer", kinded, question=question)

    # -- rules ------------------------------------------------------------------------------------------------------

    def _read_rules(self, document: Document, theme: str) -> None:
        rules: Any = document.data
        for name, part in rules["rules"].items():
            path: Path_ = ("rules", name)
            if not self._new_name(document, path, name):
                continue
            before = len(self.faults)
            if part["about"] not in self.questions.subjects:
                known = ", ".join(self.questions.subjects)
                self._fault(document, (*path, "about"), f"is {quote(part['about'])}", f"write one of: {known}")
            if part["by"] not in self.parties:
                self._fault(
                    document,
                    (*path, "by"),
                    f"is {quote(part['by'])}",
                    f"write one of: {', '.join(self.parties)}",
                )
            applies = (
                self._condition(document, (*path, "applies_when"), part["applies_when"], part["about"])
                if "applies_when" in part
                else None
            )
            require = self._condition(document, (*path, "require"), part["require"], part["about"])
            examples = self._examples(document, path, part["examples"])
            if require is None or len(self.faults) > before:
                continue
            rule = Rule(
                name=name,
                theme=theme,
                about=part["about"],
                grade=part["grade"],
                title=part["title"],
                applies_when=applies,
                require=require,
                hold=part["hold"],
                put_right=part["put_right"],
                by=part["by"],
                why=part["why"],
                basis=part["basis"],
                examples=examples,
                file=document.file,
                line=document.line(path),
            )
            self._check_placeholders(document, path, rule)
            self.rules[name] = rule

    def _condition(self, document: Document, path: Path_, part: Any, about: str) -> Condition | None:
        if not isinstance(part, dict) or len(part) != 1:
            self._fault(document, path, "is no condition", f"write one of: all_of, any_of, {', '.join(COMPARISONS)}")
            return None
        ((word, inside),) = part.items()
        here = (*path, word)
        if word in {"all_of", "any_of"}:
            if not isinstance(inside, list) or not inside:
                self._fault(document, here, "is empty", 'write one condition or more, each starting with "- "')
                return None
            parts = [self._condition(document, (*here, i), p, about) for i, p in enumerate(inside)]
            return Group(word, tuple(p for p in parts if p is not None))
        comparison = COMPARISONS.get(word)
        if comparison is None:
            self._fault(document, here, "is no comparison", closest(word, ["all_of", "any_of", *COMPARISONS]))
            return None
        operands = [inside] if isinstance(inside, str) else inside
        if not isinstance(operands, list) or not operands or not isinstance(operands[0], str):
            self._fault(
                document,
                here,
                "does not say what it compares",
                "write a list: the fact, then what it is compared with",
            )
            return None
        fact = self.facts.get(operands[0])
        if fact is None:
            self._fault(
                document,
                here,
                f"names the fact {quote(operands[0])}, which is not declared",
                closest(operands[0], self.facts),
            )
            return None
        if fact.about not in {about, "space"}:
            self._fault(
                document,
                here,
                f"compares {fact.name}, a fact about the {fact.about}",
                f"write a fact about the {about}",
            )
            return None
        given = ["yes" if o is True else "no" if o is False else o for o in operands[1:]]
        return self._check(document, here, word, fact, given)

    def _check(self, document: Document, path: Path_, word: str, fact: FactRule, given: list[Any]) -> Check | None:
        comparison = COMPARISONS[word]
        if comparison.compares == "anything":
            if given:
                self._fault(document, path, "compares with something", "write the fact alone")
                return None
            return Check(word, fact.name)
        if fact.kinded.is_series:
            self._fault(
                document,
                path,
                f"compares {fact.name}, a whole list of readings",
                "declare its lowest or highest as a fact",
            )
            return None
        if comparison.compares == "words":
            return self._word_check(document, path, word, fact, given)
        if len(given) != len(comparison.sides) or not all(isinstance(g, str) for g in given):
            self._fault(
                document,
                path,
                f"has {len(given)} limits",
                f"write the fact and {len(comparison.sides)} after it",
            )
            return None
        for name in given:
            limit = self.limits.get(name)
            if not isinstance(limit, Limit):
                self._fault(
                    document,
                    path,
                    f"names the limit {quote(name)}, which is not declared",
                    closest(name, self.limits),
                )
                return None
            if limit.kind != fact.kinded.kind:
                found = f"compares {fact.name} ({fact.kinded.kind}) with {name} ({limit.kind})"
                self._fault(
                    document,
                    path,
                    found,
                    "compare quantities of one kind; a difference of temperature needs its kind written",
                )
                return None
        return Check(word, fact.name, limits=tuple(given))

    def _word_check(self, document: Document, path: Path_, word: str, fact: FactRule, given: list[Any]) -> Check | None:
        choices = ("yes", "no") if fact.kinded.kind == "truth" else fact.kinded.choices
        if fact.kinded.kind not in WORDS or not choices:
            self._fault(
                document,
                path,
                f"compares {fact.name} ({fact.kinded.kind}) with a word",
                "compare an answer that has choices",
            )
            return None
        named = self.limits.get(given[0]) if len(given) == 1 and word in {"is_one_of", "is_none_of"} else None
        words = named.words if isinstance(named, WordLimit) else tuple(given)
        many = word in {"is_one_of", "is_none_of"}
        if (many and named is None) or (not many and len(words) != 1):
            self._fault(
                document,
                path,
                f"compares with {quote(', '.join(map(str, given)))}",
                "name a limit that has words" if many else "write one word",
            )
            return None
        odd = [w for w in words if w not in choices]
        if odd:
            self._fault(
                document,
                path,
                f"compares {fact.name} with {quote(odd[0])}",
                f"write one of: {', '.join(choices)}",
            )
            return None
        return Check(word, fact.name, limits=(named.name,) if named else (), words=() if named else words)

    def _examples(self, document: Document, path: Path_, parts: list[Any]) -> tuple[Example, ...]:
        examples = []
        for i, part in enumerate(parts):
            facts: dict[str, Measured] = {}
            for name, text in part["facts"].items():
                place = (*path, "examples", i, "facts", name)
                fact = self.facts.get(name)
                if fact is None:
                    self._fault(document, place, "is no fact of the rule set", closest(name, self.facts))
                    continue
                try:
                    facts[name] = _example_value(fact, text)
                except UnitError as error:
                    self._fault(
                        document,
                        place,
                        f"is {quote('yes' if text is True else 'no' if text is False else text)}",
                        error.instead,
                    )
            examples.append(Example(part["name"], facts, part["expect"]))
        return tuple(examples)

    def _check_placeholders(self, document: Document, path: Path_, rule: Rule) -> None:
        used = [c for condition in (rule.applies_when, rule.require) for c in checks(condition)]
        known = {c.fact for c in used} | {name for c in used for name in c.limits}
        for name in PLACEHOLDER.findall(rule.hold):
            if name not in known:
                self._fault(
                    document,
                    (*path, "hold"),
                    f"names {quote('{' + name + '}')}, which the rule does not compare",
                    closest(name, known),
                )
        for i, example in enumerate(rule.examples):
            for name in example.facts:
                if name not in {c.fact for c in used}:
                    place = (*path, "examples", i, "facts", name)
                    self._fault(
                        document,
                        place,
                        "is a fact the rule does not use",
                        closest(name, {c.fact for c in used}),
                    )

    def _refuse_unused(self, document: Document, _: str) -> None:
        used = [c for r in self.rules.values() for condition in (r.applies_when, r.require) for c in checks(condition)]
        names = {c.fact for c in used} | {name for c in used for name in c.limits}
        data: Any = document.data
        for section in ("limits", "facts"):
            for name in data.get(section, {}):
                if name not in names and not self.faults:
                    self._fault(document, (section, name), "is used by no rule", "use it or take it out")


def _series_questions(expression: Expression) -> Iterable[Any]:
    if expression.question is not None and expression.question.roll:
        yield expression.question
    if expression.kinded.is_series:
        for operand in expression.operands:
            yield from _series_questions(operand)


def _example_value(fact: FactRule, text: Any) -> Measured:
    """The value an example gives to a fact. Raises `UnitError`."""
    kinded = fact.kinded
    word = "yes" if text is True else "no" if text is False else text
    if not isinstance(word, str) or not word:
        raise UnitError("write a value, or leave the fact out where it is not known")
    if kinded.is_series:
        inside = _example_value(
            replace(fact, expression=replace(fact.expression, kinded=replace(kinded, is_series=False))), word
        )
        if isinstance(inside, Series):
            raise UnitError("write one value")
        return Series(kinded.kind, (inside,), complete=True, most=1)
    if kinded.kind in WORDS:
        choices = ("yes", "no") if kinded.kind == "truth" else kinded.choices
        if choices and word not in choices:
            raise UnitError(f"write one of: {', '.join(choices)}")
        return OneOf(frozenset({word}), word)
    if kinded.kind == "moment":
        from wallwalk.moments import find_zone, parse_moment

        return parse_moment(word, find_zone("UTC"))
    return parse_quantity(word, kinded.kind)
