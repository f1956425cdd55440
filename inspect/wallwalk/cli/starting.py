"""What a command starts from: the files it must not write over, the rule asked about, the examples of a rule set."""

from __future__ import annotations

from pathlib import Path

from wallwalk.errors import Fault, InputError, quote
from wallwalk.inputs import parse_start, read_inputs, rule_set_for, rule_set_of
from wallwalk.rules import RULE_DROPPED, Rule, RuleSet
from wallwalk.shape import closest

__all__ = [
    "files_read",
    "parse_start",
    "read_inputs",
    "rule_called",
    "rule_set_for",
    "rule_set_of",
    "try_rule_set",
]


def files_read(survey: Path, rule_set: RuleSet) -> tuple[Path, ...]:
    """The survey's file and those of the overlays over its rule set, which no output may take the place of."""
    return (survey, *(Path(overlay.file) for overlay in rule_set.overlays))


def rule_called(rule_set: RuleSet, name: str) -> Rule:
    """The rule of that name, or the only one with that text in its name or title."""
    if name in rule_set.rules:
        return rule_set.rules[name]
    for change in rule_set.overrides:
        if change.what == RULE_DROPPED and change.name == name:
            dropped = f"has {quote(name)} no more: {quote(change.overlay)} dropped it ({quote(change.because)})"
            raise InputError([Fault(rule_set.name, 0, "", dropped, "leave that overlay out to have it explained")])
    text = name.lower()
    found = [rule for rule in rule_set.rules.values() if text in rule.name or text in rule.title.lower()]
    if len(found) == 1:
        return found[0]
    names = [rule.name for rule in found]
    other = closest(name, rule_set.rules, "", f"see wallwalk rules show {rule_set.name}")
    advice = f"did you mean one of: {', '.join(names)}" if names else other
    raise InputError([Fault(rule_set.name, 0, "", f"has no rule {quote(name)}", advice)])


def try_rule_set(name: str, overlays: tuple[Path, ...]) -> tuple[str, bool]:
    """What to say of the examples of a rule set and of each overlay in turn, and whether all came out as they say."""
    from wallwalk.overlay_reader import read_overlay
    from wallwalk.overlaying import put_over
    from wallwalk.report.trials import render_failures, render_success
    from wallwalk.rule_reader import read_rule_set
    from wallwalk.trials import failures_of, overlay_failures

    rule_set, read = read_rule_set(name), []
    failures, of = failures_of(rule_set), rule_set.name
    for path in overlays if not failures else ():
        overlay = read_overlay(path, rule_set)
        laid, of = put_over(rule_set, overlay), overlay.title
        failures = overlay_failures(rule_set, laid, overlay)
        if failures:
            break
        rule_set = laid
        read.append(overlay)
    return (render_failures(of, failures), False) if failures else (render_success(rule_set, read), True)
