"""Reads a fact's declaration into an expression of measures, and the values that examples give to facts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from wallwalk.errors import quote
from wallwalk.measures import MEASURES, SCALES, WORDS, Kinded, MeasureError
from wallwalk.moments import find_zone, parse_moment
from wallwalk.quantities import UnitError, parse_quantity
from wallwalk.questions import SPACE, Question, Questions
from wallwalk.refusal import read_each, refuse
from wallwalk.rules import Expression
from wallwalk.shape import closest
from wallwalk.values import Interval, Measured, OneOf, Series
from wallwalk.yamlio import Node, Path_

_NUMBERS = {"count", "level", "year"}


def read_expression(questions: Questions, about: str, part: Node, path: Path_) -> Expression:
    """The expression in `part`: a question's path, or one measure and what it works on. Raises `RefusedError`."""
    if isinstance(part, str):
        return _answer(questions, about, part, path)
    if isinstance(part, dict) and len(part) > 1:
        advice = "keep one, and declare another fact for the other"
        raise refuse(path, "holds more than one measure", advice)
    if not isinstance(part, dict) or not part:
        raise refuse(path, "is no measure", f"write one of: answer, {', '.join(MEASURES)}, and what it works on")
    ((word, inside),) = part.items()
    here = (*path, word)
    if word == "answer" and isinstance(inside, str):
        return _answer(questions, about, inside, here)
    measure = MEASURES.get(word)
    if measure is None:
        raise refuse(here, "is no measure", f"write one of: answer, {', '.join(MEASURES)}")
    scale = ""
    if measure.takes_scale:
        inside, scale = _without_scale(inside, here)
    operands = read_each(
        partial(read_expression, questions, about, operand, place)
        for place, operand in _operands(inside, measure.parts, here)
    )
    rolls = sorted({q.roll for operand in operands for q in _series_questions(operand)})
    if len(rolls) > 1:
        raise refuse(here, f"mixes the lists {' and '.join(rolls)}", "work on one list at a time")
    try:
        kinded = measure.kind(tuple(o.kinded for o in operands), word)
    except MeasureError as error:
        raise refuse(here, "does not fit", str(error)) from error
    return Expression(word, replace(kinded, kind=f"moisture {scale}") if scale else kinded, operands, scale)


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
    return parse_quantity(word, kinded.kind)


def words_of(kinded: Kinded) -> tuple[str, ...]:
    """The words a fact can be; empty for free text and for quantities."""
    return ("yes", "no") if kinded.kind == "truth" else kinded.choices


def _answer(questions: Questions, about: str, asked: str, path: Path_) -> Expression:
    question = questions.find(about, asked)
    if question is None:
        known = [p for a, p in questions.questions if a in {about, SPACE}]
        raise refuse(path, f"names the question {quote(asked)}, which the survey does not ask", closest(asked, known))
    kind = "number" if question.kind in _NUMBERS else "moment" if question.kind == "last day" else question.kind
    kinded = Kinded("text" if kind == "zone" else kind, question.choices, is_series=bool(question.roll))
    return Expression("answer", kinded, question=question)


def _without_scale(inside: Node, path: Path_) -> tuple[Node, str]:
    scale = inside.get("scale") if isinstance(inside, dict) else None
    if not isinstance(inside, dict) or scale not in SCALES:
        raise refuse(path, "has no scale", f"write of: and scale:, one of {', '.join(SCALES)}")
    return {key: value for key, value in inside.items() if key != "scale"}, str(scale)


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
