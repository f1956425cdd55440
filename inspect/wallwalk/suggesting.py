"""Finds an example that a rule lacks: one that comes to an outcome, or one that notices a change of the rule set.

It starts from the examples that are there, gives one or two of their facts another value, and tries the rule on them.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import chain, combinations, count, islice, product

from wallwalk.fact_proving import show_example_value
from wallwalk.fact_reader import words_of
from wallwalk.limits import Limit
from wallwalk.proving import Mutation, try_example
from wallwalk.rules import Check, Example, Rule, RuleSet, checks
from wallwalk.values import Interval, Measured, OneOf, Series

_MOST_TRIED = 5_000


@dataclass(frozen=True, slots=True)
class Suggestion:
    """An example to add to `rule`: what it shows, its facts as they are written, and the outcome it comes to."""

    rule: str
    shows: str
    facts: Mapping[str, str]
    expect: str

    def __str__(self) -> str:
        facts = ", ".join(f"{name}: {flow_text(text)}" for name, text in self.facts.items())
        return f"{{name: {flow_text(self.shows)}, facts: {{{facts}}}, expect: {self.expect}}}"


def flow_text(text: str) -> str:
    """A text as YAML takes it between braces: plain where that is safe, else in quotes."""
    safe = re.fullmatch(r"[\w](?:[\w .°%'/±²³·()-]*[\w.°%²³)])?", text) and "  " not in text
    return text if safe else json.dumps(text, ensure_ascii=False)


def example_that_comes_to(rule_set: RuleSet, rule: Rule, outcome: str) -> Suggestion | None:
    """An example of `rule` that comes to `outcome`; None where none was found."""
    for facts, changed in _facts_to_try(rule_set, rule):
        if _comes_to(rule_set, rule, facts) == outcome:
            return _suggest(rule_set, rule, facts, changed, outcome)
    return None


def example_that_notices(rule_set: RuleSet, mutation: Mutation) -> Suggestion | None:
    """An example of a rule that comes out otherwise after `mutation`; None where none was found."""
    for mutated in mutation.rules:
        rule = rule_set.rules[mutated.name]
        for facts, changed in _facts_to_try(rule_set, rule):
            now = _comes_to(rule_set, rule, facts)
            if try_example(rule_set, mutated, Example("", facts, now), mutation.limits).value != now:
                return _suggest(rule_set, rule, facts, changed, now)
    return None


def _comes_to(rule_set: RuleSet, rule: Rule, facts: Mapping[str, Measured]) -> str:
    return try_example(rule_set, rule, Example("", facts, "")).value


Facts = tuple[Mapping[str, Measured], tuple[str, ...]]
"""Facts by name, and the names of those that differ from the example they were made from."""


def _facts_to_try(rule_set: RuleSet, rule: Rule) -> Iterator[Facts]:
    """The facts of each example with one other value or one less, then with two; at most so many."""
    used = list(dict.fromkeys(_checks(rule)))
    values = {check.fact: (*_values(rule_set, rule, check.fact, used), None) for check in used}
    starts = [dict(facts) for facts in dict.fromkeys(tuple(example.facts.items()) for example in rule.examples)]
    one = (_with(start, {name: value}) for start in starts for name, own in values.items() for value in own)
    two = (
        _with(start, {first: a, second: b})
        for start in starts
        for first, second in combinations(values, 2)
        for a, b in product(values[first], values[second])
    )
    return islice(chain(one, two), _MOST_TRIED)


def _with(start: Mapping[str, Measured], changes: Mapping[str, Measured | None]) -> Facts:
    """The facts with `changes`; one that is None is not known."""
    changed = {**start, **changes}
    return {name: value for name, value in changed.items() if value is not None}, tuple(changes)


def _checks(rule: Rule) -> Iterator[Check]:
    yield from checks(rule.applies_when)
    yield from checks(rule.require)


def _values(rule_set: RuleSet, rule: Rule, name: str, used: list[Check]) -> Iterator[Measured]:
    """Values worth trying: at each limit and a step beside it, each word it may be, and what other examples give."""
    kinded = rule_set.facts[name].kinded
    for word in words_of(kinded):
        value = OneOf(frozenset({word}), word)
        yield Series(kinded.kind, (value,), complete=True, most=1) if kinded.is_series else value
    for limit_name in dict.fromkeys(n for check in used if check.fact == name for n in check.limits):
        limit = rule_set.limits[limit_name]
        if isinstance(limit, Limit):
            for amount in (limit.amount, limit.amount - limit.step, limit.amount + limit.step):
                value_at = Interval(limit.kind, amount, amount, limit.unit)
                yield Interval(limit.kind, amount, amount, limit.unit, show_example_value(value_at))
    yield from (example.facts[name] for example in rule.examples if name in example.facts)


def _suggest(
    rule_set: RuleSet, rule: Rule, facts: Mapping[str, Measured], changed: tuple[str, ...], outcome: str
) -> Suggestion:
    written = {name: _written(value) for name, value in facts.items()}
    taken = {example.name for example in rule.examples}
    shows = next(name for name in _names(rule_set, rule, facts, changed) if name not in taken)
    return Suggestion(rule.name, shows, written, outcome)


def _names(rule_set: RuleSet, rule: Rule, facts: Mapping[str, Measured], changed: tuple[str, ...]) -> Iterator[str]:
    """What an example may be called, shortest first, until nothing else is called so."""
    named = (*changed, *(name for name in facts if name not in changed))
    for some in (changed, named):
        yield " and ".join(_shows(rule_set, rule, name, facts.get(name)) for name in some)
    plain = " and ".join(f"{name.replace('_', ' ')} {_written(value)}" for name, value in facts.items())
    yield plain
    yield from (f"{plain} ({number})" for number in count(2))


def _written(value: Measured) -> str:
    return _written(value.items[0]) if isinstance(value, Series) else value.written


def _shows(rule_set: RuleSet, rule: Rule, name: str, value: Measured | None) -> str:
    """What the value of a fact shows: where it stands to a limit it is compared with, else the value itself."""
    if value is None:
        return f"{name.replace('_', ' ')} not known"
    limits = [rule_set.limits[n] for check in _checks(rule) if check.fact == name for n in check.limits]
    for limit in limits:
        if isinstance(limit, Limit) and isinstance(value, Interval) and value.low == value.high:
            sides = {limit.amount: "exactly at", limit.amount - limit.step: "one step under"}
            sides[limit.amount + limit.step] = "one step over"
            if value.low in sides:
                return f"{sides[value.low]} {limit.written}"  # type: ignore[index]
    return f"{name.replace('_', ' ')} {_written(value)}"
