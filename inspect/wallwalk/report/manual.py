"""Rule sets for reading: one rule and how a survey fared by it, a whole set, and what its examples came to."""

from __future__ import annotations

from collections.abc import Iterator

from wallwalk.comparisons import COMPARISONS
from wallwalk.errors import Fault
from wallwalk.limits import Limit
from wallwalk.proving import tried
from wallwalk.record import Record
from wallwalk.report.overrides import WAYS
from wallwalk.report.terminal import heading, wrap
from wallwalk.rules import HOLD_GRADE, Check, Condition, Rule, RuleSet, checks
from wallwalk.wording import show_basis, show_comparison, told_check, told_limit
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
    """The whole rule set by theme, its limits with their basis, its changes."""
    words = words_in(rule_set.language)
    named = {"title": rule_set.title, "name": rule_set.name, "revision": rule_set.revision}
    lines = [
        words.say("{title} ({name}), revision {revision}", **named),
        *wrap(words.say("For: {what}", what=rule_set.made_for)),
        *_overrides(rule_set),
    ]
    for theme, title in rule_set.themes.items():
        lines += heading(title)
        for rule in rule_set.rules.values():
            if rule.theme == theme:
                lines += [*wrap(f"{rule.name} ({_grade(rule, words)}): {rule.title}", 0, 4)]
                lines += [*wrap(words.say("asks: {what}", what=describe(rule_set, rule.require)), 4, 10)]
                if rule.applies_when is not None:
                    lines += [*wrap(words.say("when: {what}", what=describe(rule_set, rule.applies_when)), 4, 10)]
                by, basis = _party(rule_set, rule, words), show_basis(rule.basis, words)
                lines += [*wrap(words.say("put right by {party}; basis: {basis}", party=by, basis=basis), 4, 10)]
    lines += heading(words.say("Limits"))
    for each in rule_set.limits.values():
        limit = told_limit(each, rule_set, words)
        step = words.say(" (pinned to {step})", step=limit.step_written) if isinstance(limit, Limit) else ""
        lines += wrap(f"{limit.name}: {limit.written}{step}; {show_basis(limit.basis, words)}", 0, 4)
    lines += heading(words.say("Changes"))
    for change in rule_set.changes:
        lines += wrap(f"{change.date}: {change.what} {change.why} ({show_basis(change.basis, words)})", 0, 4)
    return "\n".join(lines) + "\n"


def render_trials(rule_set: RuleSet, faults: tuple[Fault, ...]) -> str:
    """What `rules test` prints: every fault, or the count of what was tried."""
    if faults:
        return "\n".join([*map(str, faults), f"{rule_set.name}: {len(faults)} to put right"]) + "\n"
    count = len(tried(rule_set))
    limits, rules = len(rule_set.limits), len(rule_set.rules)
    said = f"{rules} rules, {limits} limits, {count} examples"
    if not rule_set.overlays:
        return f"{rule_set.name}: {said}; every one comes out as it says and every limit is pinned\n"
    laid = ", ".join(overlay.title for overlay in rule_set.overlays)
    return f"{rule_set.name} with {laid}: {said}; every flip is as listed, and what was added is pinned\n"


def _overrides(rule_set: RuleSet) -> list[str]:
    """What overlays changed, the looser ones first."""
    words = words_in(rule_set.language)
    lines = heading(words.say("Changed by overlays")) if rule_set.overrides else []
    for one in rule_set.overrides:
        changed = words.say("{what}: {was}, now {now}", what=one.title, was=one.was, now=one.now)
        lines += wrap(f"{words.tell(WAYS[one.way]).upper()}: {changed} ({one.overlay})", 0, 4)
    return lines


def describe(rule_set: RuleSet, condition: Condition) -> str:
    """A condition in words: `primer dwell at least 24 h`."""
    if isinstance(condition, Check):
        return _describe_check(rule_set, condition)
    words = words_in(rule_set.language)
    return (words.say(" and ") if condition.word == "all_of" else words.say(" or ")).join(
        f"({describe(rule_set, p)})" if not isinstance(p, Check) else describe(rule_set, p) for p in condition.parts
    )


def _describe_check(rule_set: RuleSet, check: Check) -> str:
    words, declared = words_in(rule_set.language), rule_set.facts[check.fact]
    limits = [told_limit(rule_set.limits[name], rule_set, words).written for name in check.limits]
    told = told_check(check, declared.kinded, rule_set, words)
    shown = show_comparison(check.word, limits, told.words, words)
    fact = declared.title if words.locale else check.fact.replace("_", " ")  # a name is in English words
    if COMPARISONS[check.word].compares == "words":
        return words.say("{fact} is {words}", fact=fact, words=shown)
    return f"{fact} {shown}"


def _grade(rule: Rule, words: Words) -> str:
    return words.say_as("grade", "hold") if rule.grade == HOLD_GRADE else words.say_as("grade", "caution")


def _party(rule_set: RuleSet, rule: Rule, words: Words) -> str:
    """Who puts it right: the name of the party, which is in English; in another language, its title."""
    return rule_set.parties[rule.by] if words.locale else rule.by


def _rule(rule_set: RuleSet, rule: Rule) -> Iterator[str]:
    words = words_in(rule_set.language)
    yield from wrap(f"{rule.name} | {rule.title}", 0, 4)
    told = {"grade": _grade(rule, words), "about": words.tell(rule.about), "theme": rule_set.themes[rule.theme]}
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
        said = {"name": name, "value": limit.written, "basis": show_basis(limit.basis, words)}
        yield from wrap(words.say("Limit {name}: {value} ({basis})", **said), 0, 5)
        for before in limit.history:
            yield from wrap(words.say("Before: {value}", value=before), 2, 6)


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
