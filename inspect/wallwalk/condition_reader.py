"""Reads a rule's conditions: which comparison of which fact with which limit, all names and kinds resolved."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import partial

from wallwalk.comparisons import COMPARISONS
from wallwalk.errors import quote
from wallwalk.fact_reader import words_of
from wallwalk.limits import AnyLimit, Limit, WordLimit
from wallwalk.measure import WORDS
from wallwalk.quantities import kind_of_unit
from wallwalk.questions import SPACE
from wallwalk.refusal import RefusedError, read_each, refuse
from wallwalk.rules import Check, Condition, FactRule, Group
from wallwalk.shape import closest, undeclared
from wallwalk.yamlio import Node, Path_

_GROUPS = ("all_of", "any_of")
_WITH_LIST = ("is_one_of", "is_none_of")


@dataclass(frozen=True, slots=True)
class Names:
    """The limits and facts that conditions may name, and the names of those that are refused already."""

    limits: Mapping[str, AnyLimit]
    facts: Mapping[str, FactRule]
    refused: frozenset[str] = frozenset()

    def refuse_missing(self, what: str, name: str, known: Iterable[str], path: Path_) -> RefusedError:
        """A refusal of a name that is not declared; without a fault where its declaration has one."""
        if name in self.refused:
            return RefusedError([])
        found = f"names the {what} {quote(name)}, which is not declared"
        return refuse(path, found, undeclared(name, known, f"{what}s"))


def read_condition(names: Names, about: str, part: Node, path: Path_) -> Condition:
    """The condition in `part`, of a rule about `about`. Raises `RefusedError`."""
    if not isinstance(part, dict) or len(part) != 1:
        raise _no_single_comparison(part, path)
    ((word, inside),) = part.items()
    here = (*path, word)
    if word in _GROUPS:
        if not isinstance(inside, list) or not inside:
            raise refuse(here, "is empty", 'write one condition or more, each starting with "- "')
        parts = read_each(partial(read_condition, names, about, p, (*here, i)) for i, p in enumerate(inside))
        return Group(word, parts)
    if word not in COMPARISONS:
        raise refuse(here, "is no comparison", closest(word, [*_GROUPS, *COMPARISONS], ""))
    operands = inside if isinstance(inside, list) else [inside]
    if not operands or not isinstance(operands[0], str):
        raise refuse(here, "does not say what it compares", "write a list: the fact, then what it is compared with")
    fact = _fact(names, about, operands[0], here)
    given = ["yes" if o is True else "no" if o is False else o for o in operands[1:]]
    if not all(isinstance(g, str) for g in given):
        raise refuse(
            here, f"compares {fact.name} with something that is no word", "write names or words after the fact"
        )
    return _check(names, word, fact, [str(g) for g in given], here)


def _no_single_comparison(part: Node, path: Path_) -> RefusedError:
    if not isinstance(part, dict) or not part:
        return refuse(path, "is no comparison", f"write one of: {', '.join((*_GROUPS, *COMPARISONS))}")
    first, *others = part
    if first in COMPARISONS and all(part[other] is None for other in others):
        advice = f"put square brackets round what it compares: {first}: [{part[first]}, {', '.join(others)}]"
        return refuse(path, f"holds {quote(others[0])}, which is no comparison", advice)
    return refuse(path, "holds more than one comparison", "put them in a list below all_of: or any_of:")


def _fact(names: Names, about: str, name: str, path: Path_) -> FactRule:
    fact = names.facts.get(name)
    if fact is None and name in names.limits:
        raise refuse(path, f"names the limit {name} first", "write the fact first, then the limit")
    if fact is None:
        raise names.refuse_missing("fact", name, names.facts, path)
    if fact.about not in {about, SPACE}:
        raise refuse(path, f"compares {fact.name}, a fact about the {fact.about}", f"write a fact about the {about}")
    return fact


def _some(what: str, count: int) -> str:
    return f"{count or 'no'} {what}" if count == 1 else f"{count or 'no'} {what}s"


def _check(names: Names, word: str, fact: FactRule, given: list[str], path: Path_) -> Check:
    compares = COMPARISONS[word].compares
    if compares == "anything":
        if given:
            raise refuse(path, f"compares {fact.name} with {quote(given[0])}", "write the fact alone")
        return Check(word, fact.name)
    if fact.kinded.is_series:
        raise refuse(path, f"compares {fact.name}, a whole list", "declare its lowest or highest as a fact")
    if compares == "words":
        return _word_check(names, word, fact, given, path)
    return _number_check(names, word, fact, given, path)


def _number_check(names: Names, word: str, fact: FactRule, given: list[str], path: Path_) -> Check:
    sides = len(COMPARISONS[word].sides)
    if len(given) != sides:
        raise refuse(path, f"names {_some('limit', len(given))}", f"write the fact, then {_some('limit', sides)}")
    for name in given:
        limit = names.limits.get(name)
        if not isinstance(limit, Limit):
            if isinstance(limit, WordLimit):
                raise refuse(path, f"compares {fact.name} with {name}, a limit of words", "name a limit with a value")
            if kind_of_unit(name):
                advice = "declare it below limits:, with its step and basis, and write its name here"
                raise refuse(path, f"compares {fact.name} with the value {quote(name)}", advice)
            raise names.refuse_missing("limit", name, names.limits, path)
        if limit.kind != fact.kinded.kind:
            found = f"compares {fact.name} ({fact.kinded.kind}) with {name} ({limit.kind})"
            both = {limit.kind, fact.kinded.kind}
            advice = f"give limits.{name} a value of kind {fact.kinded.kind}"
            if both == {"temperature", "temperature difference"}:
                advice = f"write kind: {fact.kinded.kind} in limits.{name}"
            raise refuse(path, found, advice)
    _refuse_turned_round(names, given, path)
    return Check(word, fact.name, limits=tuple(given))


def _refuse_turned_round(names: Names, given: list[str], path: Path_) -> None:
    """A low limit over the high one lets nothing pass."""
    limits = [limit for name in given if isinstance(limit := names.limits[name], Limit)]
    if len(limits) > 1 and limits[0].amount > limits[1].amount:
        low, high = (f"{limit.name} ({limit.written})" for limit in limits)
        raise refuse(path, f"names {low} before {high}", "write the low limit first, then the high one")


def _word_check(names: Names, word: str, fact: FactRule, given: list[str], path: Path_) -> Check:
    choices = words_of(fact.kinded)
    if fact.kinded.kind not in WORDS or not choices:
        stated = "compare an answer with choices, or write stated and the fact alone"
        advice = stated if fact.kinded.kind in WORDS else "write at_least, at_most or between, the fact and a limit"
        raise refuse(path, f"compares {fact.name} ({fact.kinded.kind}) with a word", advice)
    limit = names.limits.get(given[0]) if word in _WITH_LIST and len(given) == 1 else None
    if word in _WITH_LIST and len(given) == 1 and limit is None:
        raise names.refuse_missing("limit", given[0], names.limits, path)
    if word in _WITH_LIST and not isinstance(limit, WordLimit):
        raise refuse(
            path,
            f"compares {fact.name} with {quote(', '.join(given))}",
            "declare them below limits:, as words:, and write the name of that limit",
        )
    if word not in _WITH_LIST and len(given) != 1:
        raise refuse(path, f"compares {fact.name} with {_some('word', len(given))}", "write one word after the fact")
    words = limit.words if isinstance(limit, WordLimit) else tuple(given)
    odd = [w for w in words if w not in choices]
    if odd:
        source = f", a word of {limit.name}" if limit else ""
        raise refuse(path, f"compares {fact.name} with {quote(odd[0])}{source}", f"write one of: {', '.join(choices)}")
    return Check(word, fact.name, limits=(limit.name,)) if limit else Check(word, fact.name, words=words)
