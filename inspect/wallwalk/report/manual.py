"""Rule sets for reading in a terminal: one rule and how a survey fared by it, and the manual of a whole set."""

from __future__ import annotations

from collections.abc import Iterator

from wallwalk.record import Record
from wallwalk.report.manual_view import ONE_OF, Asked, Manual, RuleText, asked_of, lay_out_manual
from wallwalk.report.terminal import heading, wrap
from wallwalk.rules import Condition, Rule, RuleSet, checks


def render_rule(rule_set: RuleSet, rule: Rule, record: Record | None = None) -> str:
    """Why a rule exists, what it asks and on what basis; and, given a record, how that survey fared."""
    lines = [*_rule(rule_set, rule)]
    if record is not None:
        lines += [*heading(f"How {record['heading']['space'] or 'the space'} fared"), *_fared(record, rule)]
    return "\n".join(lines) + "\n"


def render_rule_set(rule_set: RuleSet) -> str:
    """The manual of a rule set for a terminal of 80 columns, ending in a newline."""
    manual = lay_out_manual(rule_set)
    lines = [
        *wrap(f"{rule_set.title} ({rule_set.name}), revision {rule_set.revision}", 0, 4),
        *wrap(f"For: {rule_set.made_for}", 0, 4),
        *_overrides(manual),
    ]
    for theme in manual.themes:
        lines += [*heading(theme.title), *(line for text in theme.rules for line in _in_manual(text))]
    lines += [*_trade(manual), *heading("Limits")]
    for limit in manual.limits:
        step = f", step {limit.step}" if limit.step else ""
        lines += wrap(f"{limit.name}: {limit.written}{step}; {limit.basis} ({_numbers(limit.used_by)})", 0, 4)
        lines += [line for before in limit.history for line in wrap(f"before: {before}", 4, 8)]
    lines += heading("Changes, newest first")
    for change in manual.changes:
        lines += wrap(f"{change.date}: {change.what} {change.why} ({change.basis})", 0, 4)
    return "\n".join(lines) + "\n"


def _in_manual(text: RuleText) -> Iterator[str]:
    """One rule, after a blank line: its truth, whose it is, what it asks, what to do, why, and by which limits."""
    rule = text.rule
    yield ""
    yield from wrap(f"{text.number:3}. {rule.title} [{rule.name}]", 0, 5)
    yield from wrap(f"{rule.grade.upper()}; {text.about}; {text.party}", 5)
    yield from _asked("Only where", text.applies)
    yield from _asked("Required", text.requires)
    yield from wrap(f"Put right: {rule.put_right}", 5, 9)
    yield from wrap(f"Why: {rule.why}", 5, 9)
    yield from wrap(f"Basis: {rule.basis}", 5, 9)
    for limit in text.limits:
        yield from wrap(f"Limit {limit.name}: {limit.written} ({limit.basis})", 5, 9)


def _asked(label: str, asked: tuple[Asked, ...]) -> Iterator[str]:
    """What is asked, on the line of its label where that is one comparison, else each on a line of its own."""
    lines = [line for one in asked for line in one.lines()]
    if len(lines) == 1:
        yield from wrap(f"{label}: {lines[0][1]}", 5, 9)
    elif lines:
        yield f"     {label}:"
        for depth, words in lines:
            yield from wrap(f"- {words}", 7 + 2 * depth, 9 + 2 * depth)


def _trade(manual: Manual) -> Iterator[str]:
    """What the trade asks for, condition by condition."""
    if manual.rule_set.conditions is not None:
        yield from heading(manual.rule_set.conditions.title)
    for section in manual.sections:
        yield from ("", section.title)
        for row in section.rows:
            yield from wrap(f"- {row.condition}", 2, 4)
            names = [f"{text.rule.name} ({text.number})" for text in row.rules]
            names += [f"{name} (dropped by an overlay)" for name in row.gone]
            yield from wrap(f"no rule: {row.left}" if row.left else f"-> {', '.join(names)}", 6, 9)
    if manual.own:
        yield from ("", "Rules that stand in no condition above")
        for text, why in manual.own:
            yield from wrap(f"- {text.rule.name} ({text.number}): {why}", 2, 4)


def _numbers(used: tuple[int, ...]) -> str:
    return f"{'rule' if len(used) == 1 else 'rules'} {', '.join(map(str, used))}"


def _overrides(manual: Manual) -> list[str]:
    """What overlays changed, the looser ones first."""
    lines = heading("Changed by overlays") if manual.overrides else []
    for way, one in manual.overrides:
        lines += wrap(f"{way.upper()}: {one.title}: {one.was}, now {one.now} ({one.overlay})", 0, 4)
    return lines


def describe(rule_set: RuleSet, condition: Condition) -> str:
    """A condition in one line of words: `Primer dwell: at least 24 h`."""
    return _in_line(asked_of(rule_set, condition))


def _in_line(asked: Asked) -> str:
    joint = " or " if asked.words == ONE_OF else " and "
    parts = (f"({_in_line(part)})" if part.parts else part.words for part in asked.parts)
    return joint.join(parts) if asked.parts else asked.words


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
