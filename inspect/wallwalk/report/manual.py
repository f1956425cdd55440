"""Rule sets for reading: one rule and how a survey fared by it, a whole set, and what its examples came to."""

from __future__ import annotations

from collections.abc import Iterator

from wallwalk.comparisons import COMPARISONS
from wallwalk.limits import Limit
from wallwalk.record import Record
from wallwalk.report.overrides import WAYS
from wallwalk.report.terminal import heading, wrap
from wallwalk.rules import Check, Condition, Rule, RuleSet, checks


def render_rule(rule_set: RuleSet, rule: Rule, record: Record | None = None) -> str:
    """Why a rule exists, what it asks and on what basis; and, given a record, how that survey fared."""
    lines = [*_rule(rule_set, rule)]
    if record is not None:
        lines += [*heading(f"How {record['heading']['space'] or 'the space'} fared"), *_fared(record, rule)]
    return "\n".join(lines) + "\n"


def render_rule_set(rule_set: RuleSet) -> str:
    """The whole rule set by theme, its limits with their basis, its changes."""
    lines = [
        f"{rule_set.title} ({rule_set.name}), revision {rule_set.revision}",
        *wrap(f"For: {rule_set.made_for}"),
        *_overrides(rule_set),
    ]
    for theme, title in rule_set.themes.items():
        lines += heading(title)
        for rule in rule_set.rules.values():
            if rule.theme == theme:
                lines += [*wrap(f"{rule.name} ({rule.grade}): {rule.title}", 0, 4)]
                lines += [*wrap(f"asks: {describe(rule_set, rule.require)}", 4, 10)]
                if rule.applies_when is not None:
                    lines += [*wrap(f"when: {describe(rule_set, rule.applies_when)}", 4, 10)]
                lines += [*wrap(f"put right by {rule.by}; basis: {rule.basis}", 4, 10)]
    lines += heading("Limits")
    for limit in rule_set.limits.values():
        step = f" (pinned to {limit.step_written})" if isinstance(limit, Limit) else ""
        lines += wrap(f"{limit.name}: {limit.written}{step}; {limit.basis}", 0, 4)
    lines += heading("Changes")
    for change in rule_set.changes:
        lines += wrap(f"{change.date}: {change.what} {change.why} ({change.basis})", 0, 4)
    return "\n".join(lines) + "\n"


def _overrides(rule_set: RuleSet) -> list[str]:
    """What overlays changed, the looser ones first."""
    lines = heading("Changed by overlays") if rule_set.overrides else []
    for one in rule_set.overrides:
        lines += wrap(f"{WAYS[one.way].upper()}: {one.title}: {one.was}, now {one.now} ({one.overlay})", 0, 4)
    return lines


def describe(rule_set: RuleSet, condition: Condition) -> str:
    """A condition in words: `primer dwell at least 24 h`."""
    if isinstance(condition, Check):
        return _describe_check(rule_set, condition)
    return (" and " if condition.word == "all_of" else " or ").join(
        f"({describe(rule_set, p)})" if not isinstance(p, Check) else describe(rule_set, p) for p in condition.parts
    )


def _describe_check(rule_set: RuleSet, check: Check) -> str:
    phrase = COMPARISONS[check.word].phrase
    limits = [rule_set.limits[name].written for name in check.limits]
    shown = phrase.format(*limits) if limits else phrase.format(", ".join(check.words))
    fact = check.fact.replace("_", " ")
    return f"{fact} {'is ' if COMPARISONS[check.word].compares == 'words' else ''}{shown}"


def _rule(rule_set: RuleSet, rule: Rule) -> Iterator[str]:
    yield from wrap(f"{rule.name} | {rule.title}", 0, 4)
    yield from wrap(f"Grade: {rule.grade}. About: {rule.about}. Theme: {rule_set.themes[rule.theme]}.")
    yield from wrap(f"Asks: {describe(rule_set, rule.require)}.", 0, 6)
    if rule.applies_when is not None:
        yield from wrap(f"Applies when: {describe(rule_set, rule.applies_when)}.", 0, 6)
    yield from wrap(f"Why: {rule.why}", 0, 5)
    yield from wrap(f"Put right: {rule.put_right}", 0, 5)
    yield from wrap(f"By: {rule_set.parties[rule.by]}", 0, 5)
    yield from wrap(f"Basis: {rule.basis}", 0, 5)
    names = dict.fromkeys(n for c in (rule.applies_when, rule.require) for check in checks(c) for n in check.limits)
    for name in names:
        limit = rule_set.limits[name]
        yield from wrap(f"Limit {name}: {limit.written} ({limit.basis})", 0, 5)
        for before in limit.history:
            yield from wrap(f"Before: {before}", 2, 6)


def _fared(record: Record, rule: Rule) -> Iterator[str]:
    for finding in (f for f in record["findings"] if f["rule"] == rule.name):
        yield from wrap(f"{finding['subject']}: {finding['outcome']}", 0, 4)
        for compared in finding["compared"]:
            margin = f", margin {compared['margin']}" if compared["margin"] else ""
            asked = f"asked: {compared['required']}{margin} ({compared['verdict']})"
            yield from wrap(f"{compared['fact_title']}: {compared['measured']}; {asked}", 4, 6)
            for source in compared["sources"]:
                yield from wrap(f'line {source["line"]}: {source["place"]} is "{source["written"]}"', 6, 8)
        for missing in finding["missing"]:
            yield from wrap(f"{missing['title']}: {missing['lacking']} ({missing['place']})", 4, 6)
