"""A rule set as plain data for the phone form, which judges by it: the same limits, facts and rules, amounts exact.

Whatever overlays changed is in it already. Amounts are `n/d` in base units; texts are in the language of the rule set,
and keys in camelCase, since JavaScript reads them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from functools import reduce
from typing import Any

from wallwalk.answers import NOT_ANSWERED
from wallwalk.facts import LOGS
from wallwalk.limits import AnyLimit, Limit
from wallwalk.measure import Kinded
from wallwalk.measures import product_kind
from wallwalk.questions import SPACE, Question, Questions
from wallwalk.rules import Check, Condition, Expression, FactRule, Rule, RuleSet
from wallwalk.units import BASE
from wallwalk.wording import show_basis, show_comparison, told_check, told_limit
from wallwalk.words import Words, fixed, words_in

_SAID = (
    NOT_ANSWERED,
    fixed("none taken"),
    fixed("{most} taken, {count} written down"),
    fixed("When it was read"),
    fixed("Reading on another scale"),
    fixed("{reading} was read; this limit is on the scale {scale}"),
    fixed("the calibration of {instrument} is not known to have been good then"),
    fixed("{name} is not in the list of {list}"),
)
"""What is said of answers that a fact lacks."""


def form_rules(rule_set: RuleSet) -> dict[str, Any]:
    """All of `rule_set` that judging and showing its findings need, as data that JSON can hold."""
    words = words_in(rule_set.language)
    lists = dict.fromkeys(f"{q.measured_with}s" for q in _asked(rule_set) if q.measured_with)
    return {
        "name": rule_set.name,
        "title": rule_set.title,
        "revision": rule_set.revision,
        "language": rule_set.language,
        "decision": rule_set.decision,
        "uncalibrated": rule_set.uncalibrated,
        "parties": dict(rule_set.parties),
        "themes": dict(rule_set.themes),
        "limits": {name: _limit(limit, rule_set, words) for name, limit in rule_set.limits.items()},
        "facts": {name: _fact(fact) for name, fact in rule_set.facts.items()},
        "rules": {name: _rule(rule, rule_set, words) for name, rule in rule_set.rules.items()},
        "questions": {_key(q.about, q.path): _question(q, rule_set.questions) for q in _asked(rule_set)},
        "rolls": dict(_rolls(rule_set.questions)),
        "materials": [asdict(row) for row in rule_set.materials],
        "overrides": [asdict(change) for change in rule_set.overrides],
        "said": {text: words.tell(text) for text in (*_SAID, *lists)},
    }


def _limit(limit: AnyLimit, rule_set: RuleSet, words: Words) -> dict[str, Any]:
    told = told_limit(limit, rule_set, words)
    shown = {"title": limit.title, "shown": told.written, "basis": show_basis(limit.basis, words)}
    if isinstance(limit, Limit):
        amount = f"{limit.amount.numerator}/{limit.amount.denominator}"
        return {"kind": limit.kind, "amount": amount, "unit": limit.unit, "written": limit.written, **shown}
    return {"words": list(limit.words), **shown}


def _fact(fact: FactRule) -> dict[str, Any]:
    return {
        "title": fact.title,
        "about": fact.about,
        "kind": fact.kinded.kind,
        "choices": list(fact.kinded.choices),
        "isSeries": fact.kinded.is_series,
        "expression": _expression(fact.expression),
        "limits": list(fact.limits),
    }


def _expression(expression: Expression) -> dict[str, Any]:
    """A measure; a product of several is told as a product of two, one inside the other, so that each has a kind."""
    if expression.word == "product" and len(expression.operands) > 2:
        return _expression(reduce(_multiplied, expression.operands))
    asked = expression.question
    return {
        "word": expression.word,
        "kind": expression.kinded.kind,
        "base": BASE.get(expression.kinded.kind, ""),
        "isLogged": expression.is_logged,
        "picked": expression.picked,
        "question": [asked.about, asked.path] if asked else None,
        "limits": list(expression.limits),
        "operands": [_expression(operand) for operand in expression.operands],
    }


def _multiplied(first: Expression, second: Expression) -> Expression:
    kind = product_kind(first.kinded.kind, second.kinded.kind) or ""
    series = first.kinded.is_series or second.kinded.is_series
    return Expression("product", Kinded(kind, is_series=series), (first, second))


def _rule(rule: Rule, rule_set: RuleSet, words: Words) -> dict[str, Any]:
    return {
        "name": rule.name,
        "theme": rule.theme,
        "about": rule.about,
        "grade": rule.grade,
        "title": rule.title,
        "appliesWhen": rule.applies_when and _condition(rule.applies_when, rule_set, words),
        "require": _condition(rule.require, rule_set, words),
        "hold": rule.hold,
        "putRight": rule.put_right,
        "by": rule.by,
        "why": rule.why,
        "basis": show_basis(rule.basis, words),
        "shows": list(rule.shows),
    }


def _condition(condition: Condition, rule_set: RuleSet, words: Words) -> dict[str, Any]:
    """A comparison, with what it `asks` for in words, or a group with its `parts`."""
    if not isinstance(condition, Check):
        return {"word": condition.word, "parts": [_condition(part, rule_set, words) for part in condition.parts]}
    told = told_check(condition, rule_set.facts[condition.fact].kinded, rule_set, words)
    limits = [told_limit(rule_set.limits[name], rule_set, words).written for name in condition.limits]
    return {
        "word": condition.word,
        "fact": condition.fact,
        "limits": list(condition.limits),
        "words": list(condition.words),
        "asks": show_comparison(condition.word, limits, told.words, words),
    }


# -- what the facts ask ---------------------------------------------------------------------------------------------


def _asked(rule_set: RuleSet) -> Iterator[Question]:
    """Every question that a fact is made of, and the one by which a list of climate logs is known."""
    for fact in rule_set.facts.values():
        yield from (part.question for part in fact.expression.parts() if part.question is not None)
    yield from filter(None, [rule_set.questions.find(SPACE, f"{LOGS}.file")])


def _question(question: Question, questions: Questions) -> dict[str, Any]:
    """A question, and by their paths the titles of what is asked of the `instrument` that a reading names."""
    named = f"{question.roll}.{question.measured_with}."
    lent = questions.questions.values() if question.measured_with else ()
    return {
        "about": question.about,
        "path": question.path,
        "roll": question.roll,
        "title": question.title,
        "measuredWith": question.measured_with,
        "instrument": {
            q.path.removeprefix(named): q.title for q in lent if q.about == question.about and q.path.startswith(named)
        },
    }


def _rolls(questions: Questions) -> Iterator[tuple[str, Mapping[str, str]]]:
    """Each list: its title, the question that says how many there are, and the title of that."""
    for roll in questions.rolls.values():
        asked = questions.questions.get((roll.about, roll.counted_by))
        counted = {"countedBy": roll.counted_by, "countTitle": asked.title if asked else roll.title}
        yield _key(roll.about, roll.path), {"title": roll.title, **counted}


def _key(about: str, path: str) -> str:
    return f"{about} {path}"
