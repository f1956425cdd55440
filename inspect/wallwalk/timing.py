"""Time: when each finding may pass by the clock alone, and the earliest honest start.

Waiting cures one thing: elapsed time, up to the planned start, that is still under its least. It spoils another:
elapsed time that may not be over its most, such as the age of a walk. So each finding has a window of starts. Time in
a band by a log runs on only as long as the log does: its window closes when the log has ended too long ago.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from wallwalk.comparisons import COMPARISONS
from wallwalk.evidence import unbroken_since
from wallwalk.facts import Facts, Trail
from wallwalk.judging import Finding, Outcome, judge, truth_of
from wallwalk.limits import Limit
from wallwalk.rules import HOLD_GRADE, Check, Condition, Expression, Rule, RuleSet, checks
from wallwalk.spans import rest, union, within
from wallwalk.survey import START, Survey
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval, Measured, Series, Verdict

OPEN = (Outcome.HOLD, Outcome.NOT_VERIFIED)
"""The outcomes that keep the work from starting."""
AT_ONCE = -math.inf
NEVER = math.inf


@dataclass(frozen=True, slots=True)
class Window:
    """The starts that a condition allows: from `opens` to `closes`, both included, where `by_clock`.

    Where not `by_clock`, something but time is wanting, and `opens` is only the moment before which it cannot be.
    """

    opens: Bound
    closes: Bound
    by_clock: bool


ALWAYS = Window(AT_ONCE, NEVER, by_clock=True)
NOT_BY_CLOCK = Window(AT_ONCE, NEVER, by_clock=False)
UNTOLD = Interval("moment", NO_LOW, NO_HIGH)
EACH = {"lowest": ("min",), "highest": ("max",)}
"""What of a list keeps to a limit on that side only where each of its entries does."""


@dataclass(frozen=True, slots=True)
class EarliestStart:
    """The earliest start that the clocks allow, over every finding that can hold the work.

    `at`: seconds since 1970, or None where no clock runs. `until`: the last moment before something lapses, and
    `lapses`: the finding that does, if any. `by_waiting`: nothing but time is wanting. `open_then`: what would hold at
    `at` all the same (a walk grown stale by then, say).
    """

    at: Bound | None
    until: Bound | None
    lapses: Finding | None
    by_waiting: bool
    open_then: tuple[Finding, ...]


def window_of(rule_set: RuleSet, finding: Finding) -> Window:
    """The starts for which `finding` passes, whatever start it was judged for."""
    if finding.outcome is Outcome.DOES_NOT_APPLY:
        return ALWAYS
    window = _window(finding.rule.require, rule_set, finding)
    if not _surely_applies(rule_set, finding):
        return Window(window.opens, window.closes, by_clock=False)
    return window


def clears_at(rule_set: RuleSet, survey: Survey, finding: Finding) -> Bound:
    """When waiting alone makes `finding` pass: a moment, AT_ONCE (it needs no waiting) or NEVER."""
    return clears_within(window_of(rule_set, finding), survey)


def clears_within(window: Window, survey: Survey) -> Bound:
    """When waiting alone makes that pass which `window` is of, as `clears_at` says it."""
    start = survey.answer(START)
    too_late = start is not None and isinstance(start.value, Interval) and start.value.high > window.closes
    return window.opens if window.by_clock and window.opens <= window.closes and not too_late else NEVER


def earliest_start(rule_set: RuleSet, survey: Survey, findings: tuple[Finding, ...]) -> EarliestStart:
    """The earliest start over all findings that can hold the work, judged again at that very moment."""
    holding = [f for f in findings if f.rule.grade == HOLD_GRADE]
    windows = [(window_of(rule_set, f), f) for f in holding]
    opens = [w.opens for w, _ in windows if w.opens != AT_ONCE]
    closing = min(((w.closes, i) for i, (w, _) in enumerate(windows)), default=(NEVER, 0))
    until, lapses = (None, None) if closing[0] == NEVER else (closing[0], windows[closing[1]][1])
    by_waiting = all(clears_within(w, survey) != NEVER for w, _ in windows)
    if not opens:
        return EarliestStart(None, until, lapses, by_waiting, ())
    at = max(opens)
    later = _judged_later(rule_set, survey.starting(Interval("moment", at, at)), holding)
    return EarliestStart(at, until, lapses, by_waiting, tuple(f for f in later if f.outcome in OPEN))


def _judged_later(rule_set: RuleSet, later: Survey, findings: list[Finding]) -> Iterator[Finding]:
    """`findings` as they come out for the start of `later`; what does not ask for the start comes out as it was."""
    rules = {f.rule.name: f.rule for f in findings}
    asking = [r for r in rules.values() if any(_asks_start(rule_set, c) for c in _all_checks(r))]
    again = {(f.rule.name, f.subject.place): f for f in judge(rule_set, later, asking)}
    for finding in findings:
        yield again.get((finding.rule.name, finding.subject.place), finding)


def _all_checks(rule: Rule) -> Iterator[Check]:
    yield from checks(rule.applies_when)
    yield from checks(rule.require)


def _asks_start(rule_set: RuleSet, check: Check) -> bool:
    return any(is_start(part) for part in rule_set.facts[check.fact].expression.parts())


def is_start(expression: Expression) -> bool:
    """Whether a measure is the planned start itself."""
    return expression.question is not None and expression.question.path == START


def _surely_applies(rule_set: RuleSet, finding: Finding) -> bool:
    applies = finding.rule.applies_when
    return applies is None or truth_of(applies, rule_set.limits, finding.facts) is Verdict.PASS


def _window(condition: Condition, rule_set: RuleSet, finding: Finding) -> Window:
    if isinstance(condition, Check):
        return _check_window(condition, rule_set, finding)
    parts = [_window(part, rule_set, finding) for part in condition.parts]
    if condition.word == "all_of":
        return _all_of(parts)
    good = [p for p in parts if p.by_clock]
    return min(good or parts, key=lambda p: (p.opens, -p.closes))


def _all_of(parts: list[Window]) -> Window:
    return Window(max(p.opens for p in parts), min(p.closes for p in parts), all(p.by_clock for p in parts))


def _check_window(check: Check, rule_set: RuleSet, finding: Finding) -> Window:
    facts, expression = finding.measured, rule_set.facts[check.fact].expression
    sides = COMPARISONS[check.word].sides
    elapsed = expression.operands[0] if sides and sides == EACH.get(expression.word) else expression
    if elapsed.word == "elapsed" and sides:
        start, end = elapsed.operands
        others = _moments(facts.measure(start if is_start(end) else end, Trail()))
        if is_start(end) != is_start(start) and others:
            limits = [limit for name in check.limits if isinstance(limit := rule_set.limits[name], Limit)]
            parts = [
                _elapsed_window(side, other, limit, to_start=is_start(end))
                for side, limit in zip(sides, limits, strict=True)
                for other in others
            ]
            return _all_of(parts)
    if expression.word == "held" and is_start(expression.operands[2]) and check.word == "at_least":
        limit = rule_set.limits[check.limits[0]]
        if isinstance(limit, Limit):
            return _held_window(expression, limit, facts)
    return ALWAYS if finding.verdict_on(check) is Verdict.PASS else NOT_BY_CLOCK


def _moments(measured: Measured) -> list[Interval]:
    """A moment, or each of a list and one more where the list may lack some."""
    parts = measured.items if isinstance(measured, Series) else (measured,)
    known = [part for part in parts if isinstance(part, Interval)]
    return [*known, UNTOLD] if known and isinstance(measured, Series) and not measured.complete else known


def _elapsed_window(side: str, other: Interval, limit: Limit, *, to_start: bool) -> Window:
    """The window of one side of a limit on elapsed time, of which the start is one end and `other` is the other."""
    if to_start == (side == "min"):
        opens = other.high + limit.amount if to_start else other.high - limit.amount
        return NOT_BY_CLOCK if isinstance(opens, float) else Window(opens, NEVER, by_clock=True)
    closes = other.low + limit.amount if to_start else other.low - limit.amount
    return NOT_BY_CLOCK if isinstance(closes, float) else Window(AT_ONCE, closes, by_clock=True)


def _held_window(expression: Expression, limit: Limit, facts: Facts) -> Window:
    """The starts that a climate log allows: long enough after its last break, and before it ends too long ago."""
    seen = facts.evidence(expression)
    forgiving = facts.measure(expression.operands[3], Trail())
    if not seen.inside or not isinstance(forgiving, Interval):
        return NOT_BY_CLOCK
    last = seen.inside[-1][1]
    ends_there = within(seen.absent, last, last)  # as it was read, and nothing was hidden before that
    left, allowed = forgiving.low, []
    for begins, ends in reversed(rest(seen.inside)[:-1]):  # each break that may be the last to count
        allowed.append((ends + limit.amount, last + left if ends_there else last))
        left -= ends - begins
        if left < 0:
            break
    spans = union(span for span in allowed if span[0] <= span[1])
    if spans:
        return Window(*spans[-1], by_clock=True)
    since = unbroken_since(rest(seen.inside), last, forgiving.low)
    return Window(since + limit.amount, NEVER, by_clock=False)
