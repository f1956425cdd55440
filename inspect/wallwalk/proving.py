"""Proves a rule set on its own examples: each comes out as expected, and each limit and requirement is pinned.

Pinned means that an example notices: moving the limit one step, adding or taking out one word, or dropping one
comparison changes the outcome of some example. One runner, for the command line, for every load, and for pytest.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from wallwalk.comparisons import COMPARISONS
from wallwalk.errors import Fault
from wallwalk.fact_proving import fact_faults
from wallwalk.fact_reader import words_of
from wallwalk.judging import Outcome, outcome_of
from wallwalk.limits import AnyLimit, Limit
from wallwalk.measure import blank
from wallwalk.rules import Check, Condition, Example, Group, Rule, RuleSet, checks
from wallwalk.units import BASE
from wallwalk.wording import show_amount


@dataclass(frozen=True, slots=True)
class Tried:
    """One example of one rule, as it came out."""

    rule: Rule
    example: Example
    outcome: Outcome

    @property
    def as_expected(self) -> bool:
        """Whether it came out as its author says."""
        return self.outcome.value == self.example.expect


@dataclass(frozen=True, slots=True)
class Mutation:
    """One small change of a rule set that some example must notice, said in words, with the rules it touches."""

    says: str
    limits: Mapping[str, AnyLimit]
    rules: tuple[Rule, ...]
    file: str
    line: int


def try_example(
    rule_set: RuleSet, rule: Rule, example: Example, limits: Mapping[str, AnyLimit] | None = None
) -> Outcome:
    """What `rule` comes to on the facts of `example`; a fact that the example leaves out is unknown."""
    facts = rule_set.facts
    outcome, _ = outcome_of(
        rule,
        rule_set.limits if limits is None else limits,
        lambda name: example.facts[name] if name in example.facts else blank(facts[name].kinded),
    )
    return outcome


def tried(rule_set: RuleSet) -> tuple[Tried, ...]:
    """Every example of every rule."""
    return tuple(Tried(r, e, try_example(rule_set, r, e)) for r in rule_set.rules.values() for e in r.examples)


def proof_faults(rule_set: RuleSet) -> tuple[Fault, ...]:
    """Everything that keeps the rule set from proving itself; empty when it is sound."""
    return (*rule_faults(rule_set), *fact_faults(rule_set, moved_a_step))


def rule_faults(rule_set: RuleSet) -> tuple[Fault, ...]:
    """Everything that keeps the rules of a rule set from proving themselves."""
    faults = [
        Fault(
            t.rule.file,
            t.example.line or t.rule.line,
            f"rules.{t.rule.name}",
            f'comes to {t.outcome.value} on "{t.example.name}", which expects {t.example.expect}',
            "mend the example, the limit or the requirement",
        )
        for t in tried(rule_set)
        if not t.as_expected
    ]
    faults += [fault for rule in rule_set.rules.values() for fault in _missing_verdicts(rule)]
    if not faults:
        faults = [
            Fault(
                m.file,
                m.line,
                f"rules.{m.rules[0].name}",
                f"has no example that notices when {m.says}",
                "add one that comes out otherwise then",
            )
            for m in mutations(rule_set)
            if not is_noticed(rule_set, m)
        ]
    return tuple(faults)


def is_noticed(rule_set: RuleSet, mutation: Mutation) -> bool:
    """Whether some example of the touched rules comes out otherwise than expected after `mutation`."""
    return any(
        try_example(rule_set, rule, example, mutation.limits).value != example.expect
        for rule in mutation.rules
        for example in rule.examples
    )


def possible_outcomes(rule: Rule) -> tuple[Outcome, ...]:
    """The outcomes a rule can have by what it is made of; an example is asked for each."""
    possible = [Outcome.PASS, Outcome.NOT_VERIFIED]
    if _can_hold(rule.require):
        possible.append(Outcome.HOLD)
    if rule.applies_when is not None and _can_hold(rule.applies_when):
        possible.append(Outcome.DOES_NOT_APPLY)
    return tuple(possible)


def _can_hold(condition: Condition) -> bool:
    if isinstance(condition, Check):
        return COMPARISONS[condition.word].can_hold
    can = [_can_hold(part) for part in condition.parts]
    return any(can) if condition.word == "all_of" else all(can)


def _missing_verdicts(rule: Rule) -> Iterator[Fault]:
    expected = {e.expect for e in rule.examples}
    for outcome in possible_outcomes(rule):
        if outcome.value not in expected:
            yield Fault(
                rule.file,
                rule.line,
                f"rules.{rule.name}",
                f"has no example that comes to {outcome.value}",
                "add one",
            )


def mutations(rule_set: RuleSet) -> Iterator[Mutation]:
    """Every one-step change: of each limit up and down, of each word in or out, of each comparison dropped."""
    for limit in rule_set.limits.values():
        users = tuple(r for r in rule_set.rules.values() if any(limit.name in c.limits for c in _all_checks(r)))
        if not users:  # only facts are made with it, and they are proven by themselves
            continue
        for says, moved in _moves(rule_set, limit, users):
            yield Mutation(
                f"{limit.name} {says}",
                {**rule_set.limits, limit.name: moved},
                users,
                users[0].file,
                users[0].line,
            )
    for rule in rule_set.rules.values():
        for says, less in (*_dropped(rule), *_reworded(rule_set, rule)):
            yield Mutation(f"{rule.name} {says}", rule_set.limits, (less,), rule.file, rule.line)


def moved_a_step(rule_set: RuleSet, name: str) -> Iterator[tuple[str, RuleSet]]:
    """The rule set with one limit moved a step, up and down."""
    for says, moved in _moves(rule_set, rule_set.limits[name], ()):
        yield f"{name} {says}", replace(rule_set, limits={**rule_set.limits, name: moved})


def _all_checks(rule: Rule) -> Iterator[Check]:
    yield from checks(rule.applies_when)
    yield from checks(rule.require)


def _moves(rule_set: RuleSet, limit: AnyLimit, users: tuple[Rule, ...]) -> Iterator[tuple[str, AnyLimit]]:
    if isinstance(limit, Limit):
        for step in (limit.step, -limit.step):
            amount = limit.amount + step
            yield (
                f"moves to {show_amount(amount, limit.kind, limit.unit or BASE[limit.kind])}",
                replace(limit, amount=amount),
            )
        return
    facts = {c.fact for r in users for c in _all_checks(r) if limit.name in c.limits}
    for word in sorted({w for f in facts for w in rule_set.facts[f].kinded.choices}):
        inside = word in limit.words
        words = tuple(w for w in limit.words if w != word) if inside else (*limit.words, word)
        yield (f"loses {word}" if inside else f"gains {word}"), replace(limit, words=words)


def _dropped(rule: Rule) -> Iterator[tuple[str, Rule]]:
    if rule.applies_when is not None:
        yield "applies always", replace(rule, applies_when=None)
        for says, less in _without_each(rule.applies_when):
            yield f"applies without {says}", replace(rule, applies_when=less)
    for says, less in _without_each(rule.require):
        yield f"no longer requires {says}", replace(rule, require=less)


def _written(check: Check) -> str:
    return f"{check.word}: [{', '.join((check.fact, *check.limits, *check.words))}]"


def _without_each(condition: Condition) -> Iterator[tuple[str, Condition]]:
    """The condition with one part left out, for each part with others beside it; what was left out, in words."""
    if isinstance(condition, Check):
        return
    for i, part in enumerate(condition.parts):
        others = (*condition.parts[:i], *condition.parts[i + 1 :])
        if others:
            yield " and ".join(_written(c) for c in checks(part)), Group(condition.word, others)
        for says, less in _without_each(part):
            yield says, Group(condition.word, (*condition.parts[:i], less, *condition.parts[i + 1 :]))


def _reworded(rule_set: RuleSet, rule: Rule) -> Iterator[tuple[str, Rule]]:
    """The rule with the word of one comparison changed for another, for each comparison and each other word."""
    for check in dict.fromkeys(_all_checks(rule)):
        if not check.words:
            continue
        for word in words_of(rule_set.facts[check.fact].kinded):
            if word not in check.words:
                other = replace(check, words=(word,))
                applies = None if rule.applies_when is None else _with(rule.applies_when, check, other)
                changed = replace(rule, applies_when=applies, require=_with(rule.require, check, other))
                yield f"asks {_written(other)} instead", changed


def _with(condition: Condition, old: Check, new: Check) -> Condition:
    if isinstance(condition, Check):
        return new if condition == old else condition
    return Group(condition.word, tuple(_with(part, old, new) for part in condition.parts))
