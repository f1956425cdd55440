"""Values in words, with digits enough that what is printed tells the same story as the verdict."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from zoneinfo import ZoneInfo

from wallwalk.comparisons import COMPARISONS
from wallwalk.limits import AnyLimit, Limit, WordLimit
from wallwalk.measure import Kinded
from wallwalk.moments import show_moment
from wallwalk.rules import Check, RuleSet
from wallwalk.units import BASE, in_unit, show_number, with_unit
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval, Measured, OneOf, Series, Value
from wallwalk.words import IN_ENGLISH, Words, fixed

NOT_KNOWN = fixed("not known")
_MOST_DIGITS = 9
_SMALLER = {"ft": "in", "m": "mm"}
_WELL_UNDER = Fraction(1, 2)
_FINER = {"h": ("min", 60), "d": ("h", 24)}
_JUST_UNDER, _JUST_OVER = fixed("just under {limit}"), fixed("just over {limit}")
_SPAN = (fixed("{value} or less"), fixed("{value} or more"))
_TIME = (fixed("{value} or earlier"), fixed("{value} or later"))
_TRUTHS = (fixed("yes"), fixed("no"))
_SOURCES = (
    fixed("common practice"),
    fixed("from memory"),
    fixed("published:"),
    fixed("as quoted in trade literature:"),
)


def show_value(
    value: Measured, limits: Iterable[AnyLimit] = (), zone: ZoneInfo | None = None, words: Words = IN_ENGLISH
) -> str:
    """A fact for people: as written where it was written, else in the unit of the limits it is compared with."""
    if isinstance(value, Series):
        return _show_series(value, zone, words)
    if isinstance(value, OneOf):
        return words.say(" or ").join(sorted(value.possible)) if value.possible else words.tell(NOT_KNOWN)
    if value.written and value.kind != "moment":
        return value.written
    if not value.is_known and value.low == NO_LOW and value.high == NO_HIGH:
        return words.tell(NOT_KNOWN)
    if value.kind == "moment":
        return _show_span(value, lambda bound: show_moment(bound, zone, words), words, _TIME)
    beside = [limit for limit in limits if isinstance(limit, Limit) and limit.kind == value.kind]
    unit = beside[0].unit if beside else _fitting_unit(value)
    return _show_span(value, lambda bound: show_amount(bound, value.kind, unit, beside, words), words)


def _fitting_unit(value: Interval) -> str:
    """The unit a value came in; for lengths well under one of it, the smaller one beside it."""
    unit = value.unit or BASE[value.kind]
    ends = [abs(Fraction(in_unit(e, value.kind, unit))) for e in (value.low, value.high) if isinstance(e, Fraction)]
    small = value.kind == "length" and unit in _SMALLER and ends and max(ends) < _WELL_UNDER
    return _SMALLER[unit] if small else unit


def _show_series(series: Series, zone: ZoneInfo | None, words: Words) -> str:
    shown = "; ".join(show_value(item, (), zone, words) for item in series.items)
    return shown or words.tell(NOT_KNOWN)


def _show_span(value: Interval, show: object, words: Words, further: tuple[str, str] = _SPAN) -> str:
    if not callable(show):
        raise TypeError("a span is shown by a function")
    if value.low == value.high:
        return str(show(value.low))
    if value.high == NO_HIGH:
        return words.tell(further[1], value=show(value.low))
    if value.low == NO_LOW:
        return words.tell(further[0], value=show(value.high))
    return words.say("{low} to {high}", low=show(value.low), high=show(value.high))


def show_amount(bound: Bound, kind: str, unit: str, beside: Iterable[Limit] = (), words: Words = IN_ENGLISH) -> str:
    """A number with its unit, to as many digits as keep it on its own side of every limit beside it.

    Where no number of at most nine decimals does, it is told from that limit: `just under 24 h`.
    """
    exact = in_unit(bound, kind, unit)
    if kind == "duration" and unit in _FINER and (shown := _in_two_units(exact, unit)):
        return shown
    marks = [(in_unit(limit.amount, kind, unit), limit) for limit in beside]
    digits = 2
    while crossed := _crossed(exact, round(Fraction(exact), digits), marks):
        digits += 1
        if digits > _MOST_DIGITS:
            mark, limit = crossed
            if exact == mark:
                return limit.written
            return words.tell(_JUST_UNDER if exact < mark else _JUST_OVER, limit=limit.written)
    return with_unit(words.show_numeral(show_number(exact, digits)), unit)


def _in_two_units(exact: Bound, unit: str) -> str:
    """A duration as people say it, `3 h 20 min`, where that is exact; else nothing."""
    finer, parts = _FINER[unit]
    count = Fraction(exact) * parts
    if count.denominator != 1:
        return ""
    whole, rest = divmod(abs(count.numerator), parts)
    shown = " ".join(f"{number} {name}" for number, name in ((whole, unit), (rest, finer)) if number)
    return f"{'-' if count < 0 else ''}{shown or f'0 {unit}'}"


def _crossed(exact: Bound, rounded: Bound, marks: Iterable[tuple[Bound, Limit]]) -> tuple[Bound, Limit] | None:
    """The first of `marks` that `rounded` does not stand to as `exact` does."""
    return next((m for m in marks if (exact < m[0], exact == m[0]) != (rounded < m[0], rounded == m[0])), None)


def show_comparison(word: str, limits: Sequence[str], listed: Sequence[str], words: Words = IN_ENGLISH) -> str:
    """What a comparison asks for, of `limits` as written or of `listed` words: `at least 24 h`."""
    comparison = COMPARISONS[word]
    if comparison.compares == "words":
        return words.tell(comparison.phrase, words=", ".join(listed) or limits[0])
    places = ("low", "high") if len(comparison.sides) > 1 else ("limit",)
    return words.tell(comparison.phrase, **dict(zip(places, limits, strict=False)))


def show_basis(basis: str, words: Words) -> str:
    """Where a number or a rule comes from; what was published, or where, stays as its author wrote it."""
    source = next((s for s in _SOURCES if basis.startswith(s)), "")
    return words.tell(source) + basis.removeprefix(source) if source else basis


def show_choice(word: str, rule_set: RuleSet, words: Words) -> str:
    """A word that a survey may choose, or its yes or no, as the language of the rule set calls it."""
    return rule_set.questions.words.get(word) or (words.tell(word) if word in _TRUTHS else word)


def told_value(value: Measured, kinded: Kinded, rule_set: RuleSet, words: Words) -> Measured:
    """`value` with its words as the language calls them where they are a choice; free text stays as written."""
    if kinded.kind not in {"choice", "truth"}:
        return value
    if isinstance(value, Series):
        items: tuple[Value, ...] = tuple(_told_words(i, rule_set, words) for i in value.items)
        return replace(value, items=items)
    return _told_words(value, rule_set, words)


def _told_words(value: Value, rule_set: RuleSet, words: Words) -> Value:
    if not isinstance(value, OneOf) or value.possible is None:
        return value
    return replace(value, possible=frozenset(show_choice(word, rule_set, words) for word in value.possible))


def told_check(check: Check, kinded: Kinded, rule_set: RuleSet, words: Words) -> Check:
    """`check` with the words it asks for as the language calls them."""
    if kinded.kind not in {"choice", "truth"}:
        return check
    return replace(check, words=tuple(show_choice(word, rule_set, words) for word in check.words))


def told_limit(limit: AnyLimit, rule_set: RuleSet, words: Words) -> AnyLimit:
    """`limit` with its words, where it has some, as the language calls them."""
    if not isinstance(limit, WordLimit):
        return limit
    return replace(limit, words=tuple(show_choice(word, rule_set, words) for word in limit.words))


def show_requirement(check: Check, limits: Iterable[AnyLimit], value: Measured, words: Words = IN_ENGLISH) -> str:
    """What a comparison asks for: `at least 24 h`; with the fact's own unit in brackets where it has another."""
    named = list(limits)
    shown = show_comparison(check.word, [limit.written for limit in named], check.words, words)
    if COMPARISONS[check.word].compares == "words":
        return shown
    if not isinstance(value, Interval) or value.unit in {
        "",
        *(limit.unit for limit in named if isinstance(limit, Limit)),
    }:
        return shown
    numbers = [limit for limit in named if isinstance(limit, Limit)]
    ends = _ends(value, words)
    other = [show_amount(limit.amount, limit.kind, value.unit, ends, words) for limit in numbers if value.written]
    if len(other) > 1:
        other = [words.say("{low} to {high}", low=other[0], high=other[1])]
    return f"{shown} ({other[0]})" if other else shown


def show_limit(limit: AnyLimit, value: Measured, words: Words = IN_ENGLISH) -> str:
    """A limit as written; with the unit of the fact beside it in brackets where the fact is written in another."""
    if not isinstance(limit, Limit) or not isinstance(value, Interval) or not value.written:
        return limit.written
    if value.unit in {"", limit.unit} or value.kind != limit.kind:
        return limit.written
    return f"{limit.written} ({show_amount(limit.amount, limit.kind, value.unit, _ends(value, words), words)})"


def _ends(value: Interval, words: Words) -> list[Limit]:
    """The ends of a fact as marks, so that a limit shown in the fact's unit keeps to its own side of them."""
    return [
        Limit(
            "",
            value.kind,
            end,
            Fraction(1),
            value.unit,
            value.written if value.low == value.high else show_amount(end, value.kind, value.unit, (), words),
            "",
        )
        for end in (value.low, value.high)
        if isinstance(end, Fraction)
    ]


def show_margin(check: Check, limits: Iterable[AnyLimit], value: Measured, words: Words = IN_ENGLISH) -> str:
    """How far inside (+) or outside (-) its limit the nearest end of a fact lies; empty where that has no number."""
    numbers = [limit for limit in limits if isinstance(limit, Limit)]
    sides = COMPARISONS[check.word].sides
    if not isinstance(value, Interval) or len(numbers) != len(sides) or not sides:
        return ""
    room = [
        value.low - n.amount if side == "min" else n.amount - value.high for n, side in zip(numbers, sides, strict=True)
    ]
    least = min(room)
    if isinstance(least, float):
        return ""
    kind = "temperature difference" if value.kind == "temperature" else value.kind
    unit = numbers[0].unit if kind != "adhesion" else "B"
    zero = Limit("", kind, Fraction(0), Fraction(1), unit, with_unit("0", unit), "")
    shown = show_amount(least, kind, unit, [zero], words)
    return f"+{shown}" if least > 0 and shown[0].isdigit() else shown
