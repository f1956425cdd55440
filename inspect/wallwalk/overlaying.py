"""Lays an overlay over a rule set: other values, added and dropped rules, and for each of them which way it goes.

What the base's own examples come to under the new values has to be what the overlay says they do, no more and no less.
An overlay that is not the first may say so of what lies below it, or of the rule set alone, as its author had it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace

from wallwalk.comparisons import COMPARISONS
from wallwalk.errors import Fault, InputError, quote
from wallwalk.fact_proving import BadExampleError, example_value, expected_value, fact_faults, is_as, show_example_value
from wallwalk.limits import AnyLimit, Limit, WordLimit
from wallwalk.overlay_reader import Flips, Overlay
from wallwalk.proving import moved_a_step, rule_faults, try_example
from wallwalk.rules import (
    EITHER,
    LOOSER,
    RULE_DROPPED,
    SAME,
    TIGHTER,
    Check,
    FactExample,
    FactRule,
    OverlayUsed,
    Override,
    Place,
    Rule,
    RuleSet,
    checks,
)
from wallwalk.values import Interval
from wallwalk.wording import show_basis, told_limit
from wallwalk.words import fixed, words_in
from wallwalk.yamlio import Path_

_ASKED, _NOT_ASKED = fixed("asked"), fixed("not asked")
_FIRST = (LOOSER, EITHER, TIGHTER, SAME)
"""What an inspector has to see first: where a project relaxed what the rule set asks."""


def lay_over(base: RuleSet, overlay: Overlay) -> RuleSet:
    """`base` with `overlay` over it. Raises `InputError` where its flips or its own examples do not come out so."""
    laid = put_over(base, overlay)
    faults = [
        *flip_faults(base, laid, overlay),
        *rule_faults(replace(laid, rules=overlay.rules)),
        *fact_faults(replace(laid, facts=overlay.facts), moved_a_step),
    ]
    if faults:
        raise InputError(faults)
    return laid


def put_over(base: RuleSet, overlay: Overlay) -> RuleSet:
    """`base` with `overlay` over it, not yet proven."""
    limits, document = {**base.limits, **overlay.limits}, overlay.document
    overrides: list[Override] = []
    words = words_in(base.language)
    for changed in overlay.changed:
        was, now = base.limits[changed.limit.name], changed.limit
        way = way_of(base, was, now)
        before, after = (told_limit(limit, base, words).written for limit in (was, now))
        history = words.say(
            "{was} ({basis}), until {overlay}: {because}",
            was=before,
            basis=show_basis(was.basis, words),
            overlay=overlay.title,
            because=changed.because,
        )
        limits[now.name] = replace(now, history=(*was.history, history))
        overrides.append(
            Override("limit", now.name, now.title, before, after, way, changed.because, now.basis, overlay.title)
        )
    overrides += _added_and_dropped(base, overlay)
    flips = dict(_seen_flips(base, replace(base, limits=limits), overlay))
    dropped = {d.rule for d in overlay.dropped}
    rules = {name: _with_flips(rule, flips) for name, rule in base.rules.items() if name not in dropped}
    return replace(
        base,
        bare=base.bare or base,
        limits=limits,
        rules={**rules, **overlay.rules},
        facts={**{name: _fact_with_flips(fact, flips) for name, fact in base.facts.items()}, **overlay.facts},
        themes={**base.themes, **{rule.theme: overlay.title for rule in overlay.rules.values()}},
        places={**base.places, **dict(_places(overlay))},
        overlays=(
            *base.overlays,
            OverlayUsed(overlay.title, document.file, overlay.revision, document.sha256, document.content),
        ),
        overrides=tuple(sorted((*base.overrides, *overrides), key=lambda o: _FIRST.index(o.way))),
    )


def _places(overlay: Overlay) -> Iterator[tuple[str, Place]]:
    """Where each limit, fact and rule that the overlay adds is declared."""
    document = overlay.document
    for section, names in (("limits", overlay.limits), ("facts", overlay.facts), ("rules", overlay.rules)):
        for name in names:
            yield name, (document.file, document.line((section, name)))


def _added_and_dropped(base: RuleSet, overlay: Overlay) -> Iterator[Override]:
    asked, not_asked = (words_in(base.language).tell(text) for text in (_ASKED, _NOT_ASKED))
    for dropped in overlay.dropped:
        rule = base.rules[dropped.rule]
        yield Override(
            RULE_DROPPED,
            rule.name,
            rule.title,
            asked,
            not_asked,
            LOOSER,
            dropped.because,
            dropped.basis,
            overlay.title,
        )
    for rule in overlay.rules.values():
        because = overlay.because[rule.name]
        yield Override(
            "rule added", rule.name, rule.title, not_asked, asked, TIGHTER, because, rule.basis, overlay.title
        )


# -- which way a change goes ----------------------------------------------------------------------------------------


def way_of(rule_set: RuleSet, was: AnyLimit, now: AnyLimit) -> str:
    """Whether `now` in place of `was` lets more pass, less, or what the rules alone do not tell."""
    ways = {
        way
        for rule in rule_set.rules.values()
        for condition, narrows in ((rule.require, False), (rule.applies_when, True))
        for check in checks(condition)
        if was.name in check.limits
        for way in (way_in_check(check, was, now, applying=narrows),)
    }
    if any(was.name in fact.limits for fact in rule_set.facts.values()):
        ways.add(way_in_measure(was, now))
    return way_of_all(ways)


def way_of_all(ways: set[str]) -> str:
    """Which way a change goes that goes these ways in the places where the limit is used."""
    told = ways - {SAME} if len(ways) > 1 else ways
    return next(iter(told)) if len(told) == 1 else EITHER


def way_in_measure(was: AnyLimit, now: AnyLimit) -> str:
    """Whether `now` in place of `was` makes a fact another one; what that lets pass, nobody can tell."""
    return EITHER if _differ(was, now) else SAME


def _differ(was: AnyLimit, now: AnyLimit) -> bool:
    if isinstance(was, Limit) and isinstance(now, Limit):
        return was.amount != now.amount
    return not (isinstance(was, WordLimit) and isinstance(now, WordLimit) and set(was.words) == set(now.words))


def way_in_check(check: Check, was: AnyLimit, now: AnyLimit, *, applying: bool) -> str:
    """A value that more facts satisfy is looser where it is required, and tighter where it makes a rule apply."""
    if not _differ(was, now):
        return SAME
    more = _lets_more(check, was, now)
    if len(more) != 1:
        return EITHER
    return LOOSER if more != {applying} else TIGHTER


def _lets_more(check: Check, was: AnyLimit, now: AnyLimit) -> set[bool]:
    """Whether more facts satisfy `check` with `now`, by each place of the limit in it; both where nobody can tell."""
    if isinstance(was, Limit) and isinstance(now, Limit):
        sides = (s for s, name in zip(COMPARISONS[check.word].sides, check.limits, strict=True) if name == was.name)
        return {(now.amount < was.amount) == (side == "min") for side in sides}
    if isinstance(was, WordLimit) and isinstance(now, WordLimit):
        before, after = (set(w.words) for w in ((was, now) if check.word == "is_one_of" else (now, was)))
        return {before < after} if before < after or after < before else {True, False}
    return {True, False}


# -- flips ----------------------------------------------------------------------------------------------------------


def flip_faults(base: RuleSet, laid: RuleSet, overlay: Overlay) -> tuple[Fault, ...]:
    """Every example that flips and is not listed so, and every one that is listed and does not.

    Where something lies below the overlay, it may list what flips over that, or over the rule set alone: then a maker's
    file is sound by itself and in a stack. Which it lists changes nothing of how a survey is judged.
    """
    faults, bare = tuple(_faults_over(base, laid, overlay)), base.bare
    changed = {change.limit.name: change.limit for change in overlay.changed}
    if not faults or bare is None or not changed.keys() <= bare.limits.keys():
        return faults
    return tuple(_faults_over(bare, replace(bare, limits={**bare.limits, **changed}), overlay))


def _faults_over(base: RuleSet, laid: RuleSet, overlay: Overlay) -> Iterator[Fault]:
    seen = dict(_seen_flips(base, laid, overlay))
    document = overlay.document
    for (name, example), comes_to in seen.items():
        listed = overlay.flips.get((name, example))
        path = _moved_limit(base, laid, overlay, name, example)
        if listed is None:
            found = f"changes what {name} comes to on {quote(example)}, to {comes_to}"
            yield document.fault(path, found, f"write it below flips: {name}: {{{_key(example)}: {comes_to}}}")
        elif listed != comes_to:
            found = f"lists {quote(example)} of {name} as coming to {listed}, and it comes to {comes_to}"
            yield document.fault(path, found, f"write {comes_to}, or mend the limit")
    for name, example in sorted(overlay.flips.keys() - seen.keys()):
        path = ("limits", overlay.listed[name, example], "flips", name, example)
        yield document.fault(path, "comes to the same as before", "take it out, or mend the limit")


def _key(example: str) -> str:
    """The name of an example as YAML takes it between braces."""
    return (
        example
        if re.fullmatch(r"[^\W\d](?:[\w .°%'/-]*[\w.°%])?", example)
        else json.dumps(example, ensure_ascii=False)
    )


def _moved_limit(base: RuleSet, laid: RuleSet, overlay: Overlay, name: str, example: str) -> Path_:
    """Where the limit stands that by itself makes that example flip; else the first one that is used there."""
    rule, fact = base.rules.get(name), base.facts.get(name)
    used = _limits_of(rule) if rule else set(fact.limits) if fact else set()
    moved = [c.limit.name for c in overlay.changed if c.limit.name in used]
    for limit in moved:
        alone = replace(base, limits={**base.limits, limit: laid.limits[limit]})
        if rule and any(try_example(alone, rule, e).value != e.expect for e in rule.examples if e.name == example):
            return ("limits", limit)
        if fact and any(
            not is_as(example_value(alone, fact, e), expected_value(fact, e))
            for e in fact.examples
            if e.name == example
        ):
            return ("limits", limit)
    return ("limits", *moved[:1])


def _limits_of(rule: Rule) -> set[str]:
    return {name for c in (*checks(rule.applies_when), *checks(rule.require)) for name in c.limits}


def _seen_flips(base: RuleSet, laid: RuleSet, overlay: Overlay) -> Iterator[tuple[tuple[str, str], str]]:
    moved = {c.limit.name for c in overlay.changed}
    for rule in base.rules.values():
        for example in rule.examples if _limits_of(rule) & moved else ():
            outcome = try_example(laid, rule, example).value
            if outcome != example.expect:
                yield (rule.name, example.name), outcome
    for fact in base.facts.values():
        for fact_example in fact.examples if moved & set(fact.limits) else ():
            value = example_value(laid, fact, fact_example)
            listed = overlay.flips.get((fact.name, fact_example.name))
            if is_as(value, expected_value(fact, fact_example)):
                continue
            shown = show_example_value(value)
            as_listed = listed is not None and _comes_to(fact, fact_example, listed, value)
            yield (fact.name, fact_example.name), listed if as_listed and listed else shown


def _comes_to(fact: FactRule, example: FactExample, listed: str, value: Interval) -> bool:
    """Whether what is listed is the value that the example comes to; no quantity of its kind is none."""
    try:
        return is_as(value, expected_value(fact, replace(example, expect=listed)))
    except BadExampleError:
        return False


def _with_flips(rule: Rule, flips: Flips) -> Rule:
    examples = tuple(replace(e, expect=flips.get((rule.name, e.name), e.expect)) for e in rule.examples)
    return replace(rule, examples=examples)


def _fact_with_flips(fact: FactRule, flips: Flips) -> FactRule:
    examples = tuple(replace(e, expect=flips.get((fact.name, e.name), e.expect)) for e in fact.examples)
    return replace(fact, examples=examples)
