"""Stretches of time: closed spans from one moment to another, in order and apart, as sets are joined and cut."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import pairwise

from wallwalk.values import NO_HIGH, NO_LOW, Bound

Span = tuple[Bound, Bound]
"""From one moment to another, both included, in seconds since 1970; both may be the same."""

Spans = tuple[Span, ...]
"""Spans in order, none of which reaches into the next."""

EVER: Spans = ((NO_LOW, NO_HIGH),)


def union(*many: Iterable[Span]) -> Spans:
    """Every moment of any of them; spans that meet become one."""
    joined: list[Span] = []
    for begins, ends in sorted(span for spans in many for span in spans):
        if joined and begins <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(ends, joined[-1][1]))
        else:
            joined.append((begins, ends))
    return tuple(joined)


def intersection(first: Spans, second: Spans) -> Spans:
    """Every moment of both; where they only meet, that one moment."""
    return tuple(_shared(first, second))


def _shared(first: Spans, second: Spans) -> Iterator[Span]:
    i = j = 0
    while i < len(first) and j < len(second):
        begins, ends = max(first[i][0], second[j][0]), min(first[i][1], second[j][1])
        if begins <= ends:
            yield begins, ends
        if first[i][1] < second[j][1]:
            i += 1
        else:
            j += 1


def within(spans: Spans, begins: Bound, ends: Bound) -> Spans:
    """What of `spans` lies from `begins` to `ends`; nothing where that is no span."""
    return intersection(spans, ((begins, ends),))


def rest(spans: Spans) -> Spans:
    """What lies before, between and after `spans`, with its ends."""
    if not spans:
        return EVER
    between = [(one[1], other[0]) for one, other in pairwise(spans)]
    around = [(NO_LOW, spans[0][0]), *between, (spans[-1][1], NO_HIGH)]
    return tuple(span for span in around if span[0] < span[1])


def total(spans: Spans) -> Bound:
    """How long they last together, in seconds."""
    return sum((length(span) for span in spans), Fraction(0))


def longest(spans: Spans) -> Bound:
    """How long the longest of them lasts, in seconds; none, no time."""
    return max((length(span) for span in spans), default=Fraction(0))


def length(span: Span) -> Bound:
    """How long a span lasts, in seconds."""
    return Fraction(0) if span[0] == span[1] else span[1] - span[0]
