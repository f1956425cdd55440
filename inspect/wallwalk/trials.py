"""Tries a rule set and says of each failure what its author needs: where, what was expected, what came, why, what next.

It finds the same failures as `proving`, which every load asks; this is the long answer, for `wallwalk rules test`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from wallwalk.errors import Fault, quote
from wallwalk.fact_proving import BadExampleError, example_value, expected_value, is_as, show_example_value
from wallwalk.judging import Compared, outcome_of
from wallwalk.limits import AnyLimit, Limit
from wallwalk.measure import blank
from wallwalk.overlay_reader import Overlay
from wallwalk.overlaying import flip_faults
from wallwalk.proving import Mutation, Tried, is_noticed, moved_a_step, mutations, possible_outcomes, tried
from wallwalk.rules import FactExample, FactRule, Rule, RuleSet
from wallwalk.suggesting import Suggestion, example_that_comes_to, example_that_notices
from wallwalk.values import Measured
from wallwalk.wording import show_requirement, show_value

MOST_SUGGESTED = 10
"""For so many of the changes that no example notices, one that does is looked for, which takes a second or two."""

Lines = tuple[tuple[str, str], ...]

_LATER: Lines = (("next", "put in those above and run this again; it then looks for an example of this"),)
_AGAIN = ("next", "put in the example suggested above; it notices this too")


@dataclass(frozen=True, slots=True)
class Failure:
    """One thing to put right: `what` it is, and lines that say more, each with its label."""

    file: str
    line: int
    what: str
    lines: tuple[tuple[str, str], ...]


def failures_of(rule_set: RuleSet) -> tuple[Failure, ...]:
    """Everything that keeps the rule set from proving itself."""
    return (*_rule_failures(rule_set), *_fact_failures(rule_set))


def overlay_failures(base: RuleSet, laid: RuleSet, overlay: Overlay) -> tuple[Failure, ...]:
    """Everything that keeps `overlay`, laid over `base` as `laid`, from proving itself."""
    return (
        *(_of_fault(fault) for fault in flip_faults(base, laid, overlay)),
        *_rule_failures(replace(laid, rules=overlay.rules)),
        *_fact_failures(replace(laid, facts=overlay.facts)),
    )


def _of_fault(fault: Fault) -> Failure:
    return Failure(fault.file, fault.line, f"{fault.path} {fault.found}", (("next", fault.instead),))


# -- rules -----------------------------------------------------------------------------------------------------------


def _rule_failures(rule_set: RuleSet) -> tuple[Failure, ...]:
    found = [_wrong(rule_set, t) for t in tried(rule_set) if not t.as_expected]
    found += [failure for rule in rule_set.rules.values() for failure in _lacking(rule_set, rule)]
    if not found:
        unnoticed = [m for m in mutations(rule_set) if not is_noticed(rule_set, m)]
        found = [_unpinned(rule_set, m, _noticing(rule_set, m)) for m in unnoticed[:MOST_SUGGESTED]]
        found += [_unpinned(rule_set, m, _LATER) for m in unnoticed[MOST_SUGGESTED:]]
    return tuple(_each_suggested_once(found))


def _each_suggested_once(failures: list[Failure]) -> Iterator[Failure]:
    """The failures, with an example that serves two of them written out for the first alone."""
    suggested: set[Lines] = set()
    for failure in failures:
        add = tuple(line for line in failure.lines if line[0] in {"add", ""})
        if add and add in suggested:
            yield replace(failure, lines=(*failure.lines[: -len(add)], _AGAIN))
        else:
            yield failure
        suggested.add(add)


def _wrong(rule_set: RuleSet, one: Tried) -> Failure:
    facts = {name: one.example.facts.get(name, blank(fact.kinded)) for name, fact in rule_set.facts.items()}
    _, compared = outcome_of(one.rule, rule_set.limits, facts.__getitem__)
    reasons = [_reason(rule_set, c, facts[c.check.fact]) for c in compared]
    return Failure(
        one.rule.file,
        one.example.line or one.rule.line,
        f"rules.{one.rule.name} on {quote(one.example.name)}",
        (
            ("expected", one.example.expect),
            ("got", one.outcome.value),
            *(("because", reason) for reason in reasons),
            ("next", "mend the example, the limit or the requirement"),
        ),
    )


def _reason(rule_set: RuleSet, compared: Compared, value: Measured) -> str:
    """What was measured against what, by which limit, and what that came to."""
    check = compared.check
    limits = [rule_set.limits[name] for name in check.limits]
    by = f" (limit {' and '.join(check.limits)})" if limits else ""
    asked = f"{show_requirement(check, limits, value)}{by}"
    return f"{rule_set.facts[check.fact].title}: {show_value(value, limits)}; asked: {asked}; {_came_to(compared)}"


def _came_to(compared: Compared) -> str:
    verdict = compared.verdict.value
    if not compared.decides_applying:
        return verdict
    return {"pass": "so it applies", "hold": "so it does not apply"}.get(verdict, "so nobody knows whether it applies")


def _lacking(rule_set: RuleSet, rule: Rule) -> Iterator[Failure]:
    expected = {e.expect for e in rule.examples}
    for outcome in possible_outcomes(rule):
        if outcome.value not in expected:
            found = example_that_comes_to(rule_set, rule, outcome.value)
            what = f"rules.{rule.name} has no example that comes to {outcome.value}"
            yield Failure(rule.file, rule.line, what, (*_to_add(found, f"one that comes to {outcome.value}"),))


def _noticing(rule_set: RuleSet, mutation: Mutation) -> Lines:
    return tuple(_to_add(example_that_notices(rule_set, mutation), "one that comes out otherwise then"))


def _unpinned(rule_set: RuleSet, mutation: Mutation, add: Lines) -> Failure:
    moved = next((n for n in rule_set.limits if mutation.limits[n] is not rule_set.limits[n]), None)
    if moved is None:
        name = mutation.rules[0].name
        what = f"rules.{name} is not pinned: no example notices when it {mutation.says.removeprefix(f'{name} ')}"
        return Failure(mutation.file, mutation.line, what, add)
    limit = rule_set.limits[moved]
    file, line = rule_set.places.get(moved, (mutation.file, mutation.line))
    users = ", ".join(f"rules.{rule.name}" for rule in mutation.rules)
    return Failure(
        file,
        line,
        f"limits.{moved} is not pinned: no example notices when it {mutation.says.removeprefix(f'{moved} ')}",
        (("limit", _shown(limit)), ("used by", users), *add),
    )


def _shown(limit: AnyLimit) -> str:
    return f"{limit.written}, step {limit.step_written}" if isinstance(limit, Limit) else limit.written


def _to_add(found: Suggestion | None, otherwise: str) -> Iterator[tuple[str, str]]:
    if found is None:
        yield "add", f"{otherwise}; none was found by trying, so it may ask nothing that the rest does not"
        return
    yield "add", f"to the examples of rules.{found.rule}:"
    yield "", f"- {found}"


# -- facts -----------------------------------------------------------------------------------------------------------


def _fact_failures(rule_set: RuleSet) -> Iterator[Failure]:
    for fact in rule_set.facts.values():
        wrong = [failure for example in fact.examples for failure in _wrong_value(rule_set, fact, example)]
        yield from wrong
        for name in fact.limits if not wrong else ():
            for says, moved in moved_a_step(rule_set, name):
                if all(is_as(example_value(moved, fact, e), expected_value(fact, e)) for e in fact.examples):
                    yield _unpinned_in_fact(rule_set, fact, name, says.removeprefix(f"{name} "))


def _wrong_value(rule_set: RuleSet, fact: FactRule, example: FactExample) -> Iterator[Failure]:
    what = f"facts.{fact.name} on {quote(example.name)}"
    try:
        found, expected = example_value(rule_set, fact, example), expected_value(fact, example)
    except BadExampleError as error:
        yield Failure(fact.file, example.line, f"{what} {error.found}", (("next", error.instead),))
        return
    if not is_as(found, expected):
        lines = (
            ("expected", example.expect),
            ("got", show_example_value(replace(found, unit=expected.unit or found.unit))),
            *(("because", line) for line in _made_of(rule_set, fact, example)),
            ("next", "mend the example or the fact"),
        )
        yield Failure(fact.file, example.line, what, lines)


def _made_of(rule_set: RuleSet, fact: FactRule, example: FactExample) -> Iterator[str]:
    """What a fact was measured on: the answers given, the log, and the limits it is made with."""
    for path, given in example.given.items():
        yield f"{path}: {', '.join(given) if isinstance(given, tuple) else given}"
    if example.log is not None:
        rows = (f"{key} {', '.join(v) if isinstance(v, tuple) else v}" for key, v in example.log.items())
        yield f"log: {'; '.join(rows)}"
    for name in fact.limits:
        yield f"limit {name}: {rule_set.limits[name].written}"


def _unpinned_in_fact(rule_set: RuleSet, fact: FactRule, name: str, says: str) -> Failure:
    limit = rule_set.limits[name]
    file, line = rule_set.places.get(name, (fact.file, fact.line))
    add = f"to the examples of facts.{fact.name} one whose answers lie so near {limit.written} that the fact comes to"
    return Failure(
        file,
        line,
        f"limits.{name} is not pinned in facts.{fact.name}: no example notices when it {says}",
        (("limit", _shown(limit)), ("add", f"{add} another value then")),
    )
