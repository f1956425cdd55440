"""Reads a fact's declaration into an expression of measures, and the values that examples give to facts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from wallwalk.errors import quote
from wallwalk.languages import LANGUAGES, in_language, title_of
from wallwalk.limits import AnyLimit, Limit
from wallwalk.log_measures import LOGGED
from wallwalk.measure import WORDS, Kinded, Measure, MeasureError
from wallwalk.measures import MEASURES, PICKS, SCALES
from wallwalk.moments import find_zone, parse_moment
from wallwalk.quantities import UnitError, parse_quantity
from wallwalk.questions import SPACE, Question, Questions
from wallwalk.refusal import RefusedError, read_each, refuse
from wallwalk.rules import Expression, FactExample, FactRule
from wallwalk.shape import choice_advice, closest, show, undeclared
from wallwalk.values import Interval, Measured, OneOf, Series
from wallwalk.yamlio import Document, Node, Path_

_NUMBERS = {"count", "level", "year"}


@dataclass(frozen=True, slots=True)
class Known:
    """What a fact may be made of: a survey's questions and the limits; `refused` names the limits that have a fault."""

    questions: Questions
    limits: Mapping[str, AnyLimit]
    refused: frozenset[str] = frozenset()


def read_fact(
    known: Known, document: Document, language: str, name: str, part: Mapping[str, Any], path: Path_
) -> FactRule:
    """The fact called `name` as `part` declares it, with its examples. Raises `RefusedError`."""
    about = part["about"]
    if about not in known.questions.subjects:
        raise refuse((*path, "about"), f"is {show(about)}", f"write one of: {', '.join(known.questions.subjects)}")
    measure = {key: value for key, value in part.items() if key not in {"about", "title", "examples", *LANGUAGES}}
    title = title_of(name, in_language(part, language))
    expression = read_expression(known, about, measure, path)
    refuse_one_name_twice(part.get("examples", ()), path)
    examples = tuple(
        FactExample(
            example["name"],
            _lists_as_tuples(example["given"], (*path, "examples", i, "given")),
            _lists_as_tuples(example["log"], (*path, "examples", i, "log")) if "log" in example else None,
            example["expect"],
            document.line((*path, "examples", i)),
        )
        for i, example in enumerate(part.get("examples", ()))
    )
    return FactRule(name, title, about, expression, examples, document.file, document.line(path))


def refuse_one_name_twice(examples: Sequence[Mapping[str, Any]], path: Path_) -> None:
    """Refuses examples of which two have one name: an overlay lists by it what comes out otherwise."""
    names = [example["name"] for example in examples]
    for i, name in enumerate(names):
        if name in names[:i]:
            found = f"is {quote(name)}, the name of another example here"
            raise refuse((*path, "examples", i, "name"), found, "give it a name of its own")


def _lists_as_tuples(answers: Mapping[str, Any], path: Path_) -> dict[str, Any]:
    """Answers by question, as an example writes them: a list where there is one for each entry of a list."""
    for question, answer in answers.items():
        if not all(isinstance(one, str | bool) for one in (answer if isinstance(answer, list) else [answer])):
            raise refuse((*path, question), "is no answer", "write one answer, or a list of one for each entry")
    return {
        question: tuple(map(_word, answer)) if isinstance(answer, list) else _word(answer)
        for question, answer in answers.items()
    }


def _word(node: Node) -> Node:
    return "yes" if node is True else "no" if node is False else node


def read_expression(known: Known, about: str, part: Node, path: Path_) -> Expression:
    """The expression in `part`: a question's path, or one measure and what it works on. Raises `RefusedError`."""
    if isinstance(part, str):
        return _answer(known.questions, about, part, path)
    if isinstance(part, dict) and len(part) > 1:
        advice = "keep one, and declare another fact for the other"
        raise refuse(path, "holds more than one measure", advice)
    if not isinstance(part, dict) or not part:
        raise refuse(path, "is no measure", f"write one of: answer, {', '.join(MEASURES)}, and what it works on")
    ((word, inside),) = part.items()
    here = (*path, word)
    if word == "answer" and isinstance(inside, str):
        return _answer(known.questions, about, inside, here)
    measure = MEASURES.get(word)
    if measure is None:
        raise refuse(here, "is no measure", choice_advice(word, ["answer", *MEASURES]))
    if word == "limit":
        return _limit(known, inside, here)
    picked = ""
    if measure.picks:
        inside, picked = _without_pick(inside, measure, here)
    operands = read_each(
        partial(read_expression, known, about, operand, place)
        for place, operand in _operands(inside, measure.parts, here)
    )
    rolls = sorted({q.roll for operand in operands for q in _series_questions(operand)})
    if len(rolls) > 1:
        raise refuse(here, f"mixes the lists {' and '.join(rolls)}", "work on one list at a time")
    try:
        logged = (Kinded(picked),) if picked in LOGGED else ()
        kinded = measure.kind((*logged, *(o.kinded for o in operands)), word)
    except MeasureError as error:
        raise refuse(here, "does not fit", str(error)) from error
    on_scale = replace(kinded, kind=f"moisture {picked}") if picked in SCALES else kinded
    return Expression(word, on_scale, operands, picked)


def read_example_value(kinded: Kinded, node: Node) -> Measured:
    """The value an example gives to a fact; a series gets one entry and is complete. Raises `UnitError`."""
    word = "yes" if node is True else "no" if node is False else node
    if not isinstance(word, str) or not word:
        raise UnitError("write a value, or leave the fact out where it is not known")
    if kinded.is_series:
        return Series(kinded.kind, (_single(kinded, word),), complete=True, most=1)
    return _single(kinded, word)


def _single(kinded: Kinded, word: str) -> OneOf | Interval:
    if kinded.kind in WORDS:
        choices = words_of(kinded)
        if choices and word not in choices:
            raise UnitError(f"write one of: {', '.join(choices)}")
        return OneOf(frozenset({word}), word)
    if kinded.kind == "moment":
        return parse_moment(word, find_zone("UTC"))
    return parse_quantity(word, kinded.kind, is_difference=True)  # it may be of a fact that is one


def words_of(kinded: Kinded) -> tuple[str, ...]:
    """The words a fact can be; empty for free text and for quantities."""
    return ("yes", "no") if kinded.kind == "truth" else kinded.choices


def _answer(questions: Questions, about: str, asked: str, path: Path_) -> Expression:
    question = questions.find(about, asked)
    if question is None:
        known = [p for a, p in questions.questions if a in {about, SPACE}]
        found = f"names the question {quote(asked)}, which the survey does not ask"
        others = [a for a, p in questions.questions if p == asked]
        if about == SPACE and others:
            found += f" of the {SPACE}"
            raise refuse(path, found, f"write about: {others[0]}, since it is asked of each {others[0]}")
        raise refuse(path, found, closest(asked, known))
    kind = "number" if question.kind in _NUMBERS else "moment" if question.kind == "last day" else question.kind
    kinded = Kinded("text" if kind in {"zone", "clock"} else kind, question.choices, is_series=bool(question.roll))
    return Expression("answer", kinded, question=question)


def _limit(known: Known, inside: Node, path: Path_) -> Expression:
    names = inside if isinstance(inside, list) else [inside]
    if not names or not all(isinstance(name, str) for name in names):
        raise refuse(path, "names no limit", "write the name of a limit, or a list of a low and a high one")
    found = []
    for name in map(str, names):
        limit = known.limits.get(name)
        if isinstance(limit, Limit):
            found.append(limit)
        elif name in known.refused:
            raise RefusedError([])
        elif limit is not None:
            raise refuse(path, f"names {name}, a limit of words", "name a limit with a value")
        else:
            advice = undeclared(name, known.limits, "limits")
            raise refuse(path, f"names the limit {quote(name)}, which is not declared", advice)
    try:
        kinded = MEASURES["limit"].kind(tuple(Kinded(limit.kind) for limit in found), "limit")
    except MeasureError as error:
        raise refuse(path, "does not fit", str(error)) from error
    return Expression("limit", kinded, limits=tuple(limit.name for limit in found))


def _without_pick(inside: Node, measure: Measure, path: Path_) -> tuple[Node, str]:
    words = PICKS[measure.picks]
    picked = inside.get(measure.picks) if isinstance(inside, dict) else None
    if isinstance(picked, str) and picked not in words:
        raise refuse((*path, measure.picks), f"is {quote(picked)}", f"write one of: {', '.join(words)}")
    if not isinstance(inside, dict) or picked not in words:
        parts = " and ".join(f"{part}:" for part in measure.parts)
        found = "has no scale" if measure.picks == "scale" else "does not say what is logged"
        raise refuse(path, found, f"write {parts} and {measure.picks}:, one of {', '.join(words)}")
    others = {key: value for key, value in inside.items() if key != measure.picks}
    if len(measure.parts) == 1 and set(others) != set(measure.parts):
        wanted = " and ".join(f"{part}:" for part in (*measure.parts, measure.picks))
        raise refuse(path, "does not say what it works on", f"write {wanted}")
    return others, str(picked)


def _operands(inside: Node, parts: tuple[str, ...], path: Path_) -> list[tuple[Path_, Node]]:
    if parts and isinstance(inside, dict) and set(inside) == set(parts):
        return [((*path, key), inside[key]) for key in parts]
    if len(parts) == 1:
        return [(path, inside)]
    if not parts and isinstance(inside, list) and len(inside) > 1:
        return [((*path, i), part) for i, part in enumerate(inside)]
    wanted = " and ".join(f"{p}:" for p in parts) if parts else "a list of two or more"
    raise refuse(path, "does not say what it works on", f"write {wanted}")


def _series_questions(expression: Expression) -> Iterator[Question]:
    if expression.question is not None and expression.question.roll:
        yield expression.question
    if expression.kinded.is_series:
        for operand in expression.operands:
            yield from _series_questions(operand)
