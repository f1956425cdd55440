"""Rule sets for reading in a terminal: one rule and how a survey fared by it, and the manual of a whole set."""

from __future__ import annotations

from collections.abc import Iterator

from wallwalk.record import Record, laid_over
from wallwalk.report.manual_view import Asked, Manual, RuleText, asked_of, lay_out_manual, show_grade
from wallwalk.report.overrides import in_one_line, override_lines, relaxed_lines
from wallwalk.report.terminal import heading, wrap
from wallwalk.rules import Condition, Rule, RuleSet, checks
from wallwalk.wording import show_basis, told_limit
from wallwalk.words import Words, fixed, words_in

_SPACE, _WALL = fixed("space"), fixed("wall")
_OUTCOMES = (fixed("pass"), fixed("hold"), fixed("not verified"), fixed("does not apply"))


def render_rule(rule_set: RuleSet, rule: Rule, record: Record | None = None) -> str:
    """Why a rule exists, what it asks and on what basis; and, given a record, how that survey fared."""
    lines = [*_rule(rule_set, rule)]
    if record is not None:
        words = words_in(rule_set.language)
        space = record["heading"]["space"] or words.say("the space")
        lines += [*heading(words.say("How {space} fared", space=space)), *_fared(record, rule, words)]
    return "\n".join(lines) + "\n"


def render_rule_set(rule_set: RuleSet) -> str:
    """The manual of a rule set for a terminal of 80 columns, ending in a newline."""
    manual = lay_out_manual(rule_set)
    words = manual.words
    named = {"title": rule_set.title, "name": rule_set.name, "revision": rule_set.revision}
    lines = [
        *wrap(words.say("{title} ({name}), revision {revision}", **named), 0, 4),
        *wrap(words.say("For: {what}", what=rule_set.made_for), 0, 4),
        *_overrides(manual),
    ]
    for theme in manual.themes:
        lines += [*heading(theme.title), *(line for text in theme.rules for line in _in_manual(text, words))]
    lines += [*_trade(manual), *heading(words.say("Limits"))]
    for limit in manual.limits:
        step = words.say(", step {step}", step=limit.step) if limit.step else ""
        lines += wrap(
            f"{limit.title} [{limit.name}]: {limit.written}{step}; {limit.basis} ({_numbers(limit.used_by, words)})",
            0,
            4,
        )
        lines += [line for value in limit.history for line in wrap(words.say("Before: {value}", value=value), 4, 8)]
    lines += heading(words.say("Changes, newest first"))
    for change in manual.changes:
        lines += wrap(f"{change.date}: {change.what} {change.why} ({show_basis(change.basis, words)})", 0, 4)
    return "\n".join(lines) + "\n"


def relaxed_by_overlays(rule_set: RuleSet) -> tuple[str, ...]:
    """What overlays made looser, or may have, with both values, in lines of 80 columns."""
    lines = relaxed_lines(laid_over(rule_set), words_in(rule_set.language))
    return tuple(line for told in lines for line in wrap(told, 0, 4))


def _in_manual(text: RuleText, words: Words) -> Iterator[str]:
    """One rule, after a blank line: its truth, whose it is, what it asks, what to do, why, and by which limits."""
    rule = text.rule
    yield ""
    yield from wrap(f"{text.number:3}. {rule.title} [{rule.name}]", 0, 5)
    yield from wrap(f"{text.grade.upper()}; {text.about}; {text.party}", 5)
    yield from _asked(words.say("Only where"), text.applies)
    yield from _asked(words.say("Required"), text.requires)
    yield from wrap(words.say("Put right: {what}", what=rule.put_right), 5, 9)
    yield from wrap(words.say("Why: {why}", why=rule.why), 5, 9)
    yield from wrap(words.say("Basis: {basis}", basis=text.basis), 5, 9)
    for limit in text.limits:
        said = {"title": limit.title, "name": limit.name, "value": limit.written, "basis": limit.basis}
        yield from wrap(words.say("Limit: {title} [{name}]: {value} ({basis})", **said), 5, 9)


def _asked(label: str, asked: tuple[Asked, ...]) -> Iterator[str]:
    """What is asked, on the line of its label where that is one comparison, else each on a line of its own."""
    lines = [line for one in asked for line in one.lines()]
    if len(lines) == 1:
        yield from wrap(f"{label}: {lines[0][1]}", 5, 9)
    elif lines:
        yield f"     {label}:"
        for depth, line in lines:
            yield from wrap(f"- {line}", 7 + 2 * depth, 9 + 2 * depth)


def _trade(manual: Manual) -> Iterator[str]:
    """What the trade asks for, condition by condition."""
    words = manual.words
    if manual.rule_set.conditions is not None:
        yield from heading(manual.rule_set.conditions.title)
    for section in manual.sections:
        yield from ("", section.title)
        for row in section.rows:
            yield from wrap(f"- {row.condition}", 2, 4)
            names = [f"{text.rule.name} ({text.number})" for text in row.rules]
            names += [words.say("{rule} (dropped by an overlay)", rule=name) for name in row.gone]
            yield from wrap(words.say("no rule: {why}", why=row.left) if row.left else f"-> {', '.join(names)}", 6, 9)
    if manual.own:
        yield from ("", words.say("Rules that stand in no condition above"))
        for text, why in manual.own:
            yield from wrap(f"- {text.rule.name} ({text.number}): {why}", 2, 4)


def _numbers(used: tuple[int, ...], words: Words) -> str:
    return words.say_many("rule {numbers}", "rules {numbers}", len(used), numbers=", ".join(map(str, used)))


def _overrides(manual: Manual) -> list[str]:
    """What overlays changed, the looser ones first."""
    words = manual.words
    lines = heading(words.say("Changed by overlays")) if manual.overrides else []
    for one in manual.overrides:
        lines += wrap(in_one_line(one, words), 0, 4)
    return lines


def describe(rule_set: RuleSet, condition: Condition) -> str:
    """A condition in one line of words: `Primer dwell: at least 24 h`."""
    return _in_line(asked_of(rule_set, condition), words_in(rule_set.language))


def _in_line(asked: Asked, words: Words) -> str:
    joint = words.say(" and ") if asked.word == "all_of" else words.say(" or ")
    parts = (f"({_in_line(part, words)})" if part.parts else part.words for part in asked.parts)
    return joint.join(parts) if asked.parts else asked.words


def _rule(rule_set: RuleSet, rule: Rule) -> Iterator[str]:
    words = words_in(rule_set.language)
    yield from wrap(f"{rule.name} | {rule.title}", 0, 4)
    yield from _changed(rule_set, rule, words)
    told = {
        "grade": show_grade(rule, words),
        "about": words.tell(rule.about),
        "theme": rule_set.themes[rule.theme],
    }
    yield from wrap(words.say("Grade: {grade}. About: {about}. Theme: {theme}.", **told))
    yield from wrap(words.say("Asks: {what}.", what=describe(rule_set, rule.require)), 0, 6)
    if rule.applies_when is not None:
        yield from wrap(words.say("Applies when: {what}.", what=describe(rule_set, rule.applies_when)), 0, 6)
    yield from wrap(words.say("Why: {why}", why=rule.why), 0, 5)
    yield from wrap(words.say("Put right: {what}", what=rule.put_right), 0, 5)
    yield from wrap(words.say("By: {party}", party=rule_set.parties[rule.by]), 0, 5)
    yield from wrap(words.say("Basis: {basis}", basis=show_basis(rule.basis, words)), 0, 5)
    names = dict.fromkeys(n for c in (rule.applies_when, rule.require) for check in checks(c) for n in check.limits)
    for name in names:
        limit = told_limit(rule_set.limits[name], rule_set, words)
        basis = show_basis(limit.basis, words)
        said = {"title": limit.title, "name": name, "value": limit.written, "basis": basis}
        yield from wrap(words.say("Limit: {title} [{name}]: {value} ({basis})", **said), 0, 5)
        for before in limit.history:
            yield from wrap(words.say("Before: {value}", value=before), 2, 6)


def _changed(rule_set: RuleSet, rule: Rule, words: Words) -> Iterator[str]:
    """What overlays changed of the rule, its limits, and the limits that its facts are made with; looser ones first."""
    compared = [check for c in (rule.applies_when, rule.require) for check in checks(c)]
    names = {rule.name, *(name for c in compared for name in (*c.limits, *rule_set.facts[c.fact].limits))}
    of_it = [override.name in names for override in rule_set.overrides]
    for line, is_of_it in zip(override_lines(laid_over(rule_set), words), of_it, strict=True):
        if is_of_it:
            yield from wrap(in_one_line(line, words), 0, 4)


def _fared(record: Record, rule: Rule, words: Words) -> Iterator[str]:
    for finding in (f for f in record["findings"] if f["rule"] == rule.name):
        subject = words.tell(_SPACE) if finding["about"] == _SPACE else finding["subject"]
        yield from wrap(f"{subject}: {words.tell(finding['outcome'])}", 0, 4)
        for compared in finding["compared"]:
            margin = words.say(", margin {amount}", amount=compared["margin"]) if compared["margin"] else ""
            asked = words.say("asked: {what}", what=compared["required"])
            verdict = words.tell(compared["verdict"])
            measured = f"{compared['fact_title']}: {compared['measured']}"
            yield from wrap(f"{measured}; {asked}{margin} ({verdict})", 4, 6)
            for source in compared["sources"]:
                said = {"line": source["line"], "place": source["place"], "written": source["written"]}
                yield from wrap(words.say('line {line}: {place} is "{written}"', **said), 6, 8)
        for missing in finding["missing"]:
            yield from wrap(f"{missing['title']}: {missing['lacking']} ({missing['place']})", 4, 6)
