"""A rule set laid out once for reading: every rule by theme with its conditions in words, then what it stands on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wallwalk.limits import AnyLimit, Limit, WordLimit
from wallwalk.questions import SPACE
from wallwalk.record import laid_over
from wallwalk.report.changes import newest_first
from wallwalk.report.overrides import OverrideLine, override_lines
from wallwalk.rules import HOLD_GRADE, Change, Check, Condition, Rule, RuleSet, checks
from wallwalk.wording import show_basis, show_comparison, told_check, told_limit
from wallwalk.words import Words, fixed, words_in

ALL_OF, ONE_OF = fixed("All of these"), fixed("One of these")
_ABOUT = {SPACE: fixed("the space"), "wall": fixed("each wall")}

_SINGLE = {"is_one_of": "is", "is_none_of": "is_not"}
"""How a comparison with a list reads where the list has one word."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One line of a condition: `words`, and below it the `parts` it joins by `word` (none: it is one comparison)."""

    words: str
    word: str = ""
    parts: tuple[Asked, ...] = ()

    def lines(self, depth: int = 0) -> Iterator[tuple[int, str]]:
        """It and all below it, each with how deep it stands."""
        yield depth, self.words + (":" if self.parts else "")
        for part in self.parts:
            yield from part.lines(depth + 1)


@dataclass(frozen=True, slots=True)
class LimitText:
    """A limit for reading; `step` is empty for a list of words, `used_by` holds the rules that need it."""

    name: str
    title: str
    written: str
    step: str
    basis: str
    history: tuple[str, ...]
    used_by: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class RuleText:
    """A rule for reading, with its number in this manual."""

    number: int
    rule: Rule
    grade: str
    about: str
    requires: tuple[Asked, ...]
    applies: tuple[Asked, ...]
    party: str
    basis: str
    limits: tuple[LimitText, ...]


@dataclass(frozen=True, slots=True)
class ThemeText:
    """The rules of one theme, and the limits declared with them."""

    name: str
    title: str
    rules: tuple[RuleText, ...]


@dataclass(frozen=True, slots=True)
class RowText:
    """One condition of the trade: the rules that ask for it, or why none does. `gone` names those taken out."""

    condition: str
    rules: tuple[RuleText, ...]
    gone: tuple[str, ...]
    left: str


@dataclass(frozen=True, slots=True)
class SectionText:
    """Conditions of the trade of one sort."""

    title: str
    rows: tuple[RowText, ...]


@dataclass(frozen=True, slots=True)
class Manual:
    """Everything a manual says, in order. `own` holds the rules that no condition of the trade asks for, with why."""

    rule_set: RuleSet
    words: Words
    themes: tuple[ThemeText, ...]
    limits: tuple[LimitText, ...]
    sections: tuple[SectionText, ...]
    own: tuple[tuple[RuleText, str], ...]
    overrides: tuple[OverrideLine, ...]
    changes: tuple[Change, ...]


def lay_out_manual(rule_set: RuleSet) -> Manual:
    """Lay out a rule set for reading."""
    ordered = [rule for theme in rule_set.themes for rule in rule_set.rules.values() if rule.theme == theme]
    numbers = {rule.name: number for number, rule in enumerate(ordered, 1)}
    limits = {limit.name: _limit(rule_set, limit, numbers) for limit in rule_set.limits.values()}
    rules = {rule.name: _rule(rule_set, rule, numbers[rule.name], limits) for rule in ordered}
    themes = (
        ThemeText(theme, title, tuple(one for one in rules.values() if one.rule.theme == theme))
        for theme, title in rule_set.themes.items()
    )
    table = rule_set.conditions
    words = words_in(rule_set.language)
    return Manual(
        rule_set=rule_set,
        words=words,
        themes=tuple(theme for theme in themes if theme.rules),
        limits=tuple(limits.values()),
        sections=tuple(
            SectionText(section.title, tuple(_row(rules, r.condition, r.rules, r.left) for r in section.rows))
            for section in (table.sections if table else ())
        ),
        own=tuple((rules[name], why) for name, why in (table.own if table else {}).items() if name in rules),
        overrides=override_lines(laid_over(rule_set), words),
        changes=newest_first(rule_set.changes, lambda change: change.date),
    )


def asked_of(rule_set: RuleSet, condition: Condition) -> Asked:
    """A condition in words: `Primer dwell: at least 24 h`, or what it joins."""
    if isinstance(condition, Check):
        return Asked(_compared(rule_set, condition))
    joined = words_in(rule_set.language).tell(ALL_OF if condition.word == "all_of" else ONE_OF)
    return Asked(joined, condition.word, tuple(asked_of(rule_set, part) for part in condition.parts))


def show_grade(rule: Rule, words: Words) -> str:
    """Whether a rule can hold the work, in a word."""
    return words.say_as("grade", "hold") if rule.grade == HOLD_GRADE else words.say_as("grade", "caution")


def limits_of(rule_set: RuleSet, rule: Rule) -> tuple[str, ...]:
    """The limits a rule compares with, and those that its facts are made with."""
    used = [*checks(rule.applies_when), *checks(rule.require)]
    made = [name for check in used for name in rule_set.facts[check.fact].limits]
    return tuple(dict.fromkeys((*(name for check in used for name in check.limits), *made)))


def _compared(rule_set: RuleSet, check: Check) -> str:
    words, fact = words_in(rule_set.language), rule_set.facts[check.fact]
    named = [rule_set.limits[name] for name in check.limits]
    alone = any(isinstance(limit, WordLimit) and len(limit.words) == 1 for limit in named)
    limits = [told_limit(limit, rule_set, words).written for limit in named]
    listed = told_check(check, fact.kinded, rule_set, words).words
    asked = show_comparison(_SINGLE[check.word] if alone else check.word, limits, listed, words)
    return f"{fact.title}: {asked}"


def _rule(rule_set: RuleSet, rule: Rule, number: int, limits: dict[str, LimitText]) -> RuleText:
    words = words_in(rule_set.language)
    return RuleText(
        number=number,
        rule=rule,
        grade=show_grade(rule, words),
        about=words.tell(_ABOUT[rule.about]) if rule.about in _ABOUT else rule.about,
        requires=_joined(rule_set, rule.require),
        applies=() if rule.applies_when is None else _joined(rule_set, rule.applies_when),
        party=rule_set.parties[rule.by],
        basis=show_basis(rule.basis, words),
        limits=tuple(limits[name] for name in limits_of(rule_set, rule)),
    )


def _joined(rule_set: RuleSet, condition: Condition) -> tuple[Asked, ...]:
    """The parts of a condition that all have to hold, each by itself."""
    asked = asked_of(rule_set, condition)
    return asked.parts if asked.word == "all_of" else (asked,)


def _limit(rule_set: RuleSet, limit: AnyLimit, numbers: dict[str, int]) -> LimitText:
    users = (number for name, number in numbers.items() if limit.name in limits_of(rule_set, rule_set.rules[name]))
    words = words_in(rule_set.language)
    return LimitText(
        name=limit.name,
        title=limit.title,
        written=told_limit(limit, rule_set, words).written,
        step=limit.step_written if isinstance(limit, Limit) else "",
        basis=show_basis(limit.basis, words),
        history=limit.history,
        used_by=tuple(users),
    )


def _row(rules: dict[str, RuleText], condition: str, names: tuple[str, ...], left: str) -> RowText:
    there = tuple(rules[name] for name in names if name in rules)
    return RowText(condition, there, tuple(name for name in names if name not in rules), left)
