"""What the climate logs of a space show of one quantity against one band, and the facts that follow from it.

A row says what it says; between two rows no further apart than the logger writes them, the air lay between what the
two say; everything else is unseen. So each moment is surely inside the band, surely outside, or neither, and every
fact here has the low end that was seen and the high end that what was not seen allows.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from wallwalk.spans import EVER, Span, Spans, intersection, length, longest, rest, total, union, within
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval, unknown_interval

INSIDE, BELOW, ABOVE, UNSURE = "inside", "below", "above", "unsure"
"""What a row says of a band; unsure where it lies nearer to an end than its own uncertainty."""

ZERO = Fraction(0)


@dataclass(frozen=True, slots=True)
class Run:
    """Successive rows of one log that say the same of the band, none further apart than it writes them.

    `reaches` goes on to the rows before and after that are joined to it. How far outside the band it got
    (`furthest`, of base units) and for how long (`outside`, base units times seconds) are each a least and a most.
    """

    begins: Bound
    ends: Bound
    says: str
    reaches: tuple[Bound, Bound]
    furthest: tuple[Bound, Bound]
    outside: tuple[Bound, Bound]


@dataclass(frozen=True, slots=True)
class LogRuns:
    """What one log shows of one band: its runs, when it was not seen though it stood there, and when it did not."""

    runs: tuple[Run, ...]
    unseen: Spans
    absent: Spans


@dataclass(frozen=True, slots=True)
class Evidence:
    """What all logs of a space show together of one band.

    The air is inside where no log says, or may hide, otherwise; it is outside where any log says so. `absent` is when
    none of them stood there: before the first, and after the last was read.
    """

    kind: str
    inside: Spans
    outside: Spans
    unseen: Spans
    doubtful: Spans
    absent: Spans
    runs: tuple[tuple[Run, ...], ...]


def no_evidence(kind: str) -> Evidence:
    """Where nothing was logged, nothing is known."""
    return Evidence(kind, (), (), EVER, EVER, EVER, ())


def combine(kind: str, logs: Iterable[LogRuns], *, complete: bool) -> Evidence:
    """The evidence of `logs`; where they are not known to be all there are, another may say otherwise."""
    several = tuple(logs)
    if not several:
        return no_evidence(kind)
    inside = absent = EVER
    seen: Spans = ()
    for log in several:
        own = tuple((r.begins, r.ends) for r in log.runs if r.says == INSIDE)
        seen = union(seen, own)
        inside = intersection(inside, union(own, log.absent))
        absent = intersection(absent, log.absent)
    outside = union((r.begins, r.ends) for log in several for r in log.runs if r.says in {BELOW, ABOVE})
    inside = tuple(
        s for s in intersection(inside, seen) if length(s) or all(_says_inside(log, s[0]) for log in several)
    )
    unseen = union(absent, *(log.unseen for log in several)) if complete else EVER
    unsure = (r.reaches for log in several for r in log.runs if r.says == UNSURE)
    return Evidence(
        kind,
        inside if complete else (),
        outside,
        unseen,
        union(unseen, unsure),
        absent if complete else (),
        tuple(log.runs for log in several),
    )


def _says_inside(log: LogRuns, at: Bound) -> bool:
    """Whether a log itself says inside at one moment, or was plainly not there; not where it only came or went then."""
    own = any(r.says == INSIDE and r.begins <= at <= r.ends for r in log.runs)
    return own or any(begins < at < ends for begins, ends in log.absent)


# -- the facts ------------------------------------------------------------------------------------------------------


def held(seen: Evidence, until: Interval, forgiving: Interval) -> Interval:
    """How long, counted back from `until`, the air kept to the band, but for `forgiving` in all.

    A break that is not forgiven ends the count; a break is time outside, or for the least of the two, not seen inside.
    """
    if not (until.is_known and forgiving.is_known):
        return unknown_interval("duration", "h")
    return Interval(
        "duration",
        _least_unbroken(seen, until, forgiving.low),
        _most_unbroken(seen, until, forgiving.high),
        "h",
    )


def _least_unbroken(seen: Evidence, until: Interval, forgiven: Bound) -> Bound:
    """The least of what is unbroken up to any moment of `until`: least of all where a break ends or forgiving does.

    A break that goes on up to then is forgiven only where no log stood there any more: what a log shows last, or may
    hide, is never forgiven on the hope that it was over by the start.
    """
    broken = rest(seen.inside)
    if any(_goes_on(seen, span, until) for span in broken):
        return ZERO
    ends = {until.low, until.high, *(end for _, end in within(broken, until.low, until.high))}
    lasting = [end - unbroken_since(broken, end, forgiven) for end in ends]
    lasting += [at - unbroken_since(broken, at, forgiven, strictly=True) for at in _used_up(broken, until, forgiven)]
    return min(lasting)


def _goes_on(seen: Evidence, span: Span, until: Interval) -> bool:
    """Whether a break, seen or hidden by a log that stood there, goes on at some moment of `until`."""
    reaches = span[0] < until.high and span[1] > until.low
    upto = ((span[0], min(span[1], until.high)),)
    return reaches and total(intersection(seen.absent, upto)) < length(upto[0])


def _most_unbroken(seen: Evidence, until: Interval, forgiven: Bound) -> Bound:
    """The most of what is unbroken up to any moment of `until`: most of all where a break begins or forgiving ends."""
    outside = seen.outside
    begins = {until.low, until.high, *(begin for begin, _ in within(outside, until.low, until.high))}
    moments = begins | set(_used_up(outside, until, forgiven))
    lasting = [at - unbroken_since(outside, at, forgiven, points=True) for at in moments]
    alone = {r.begins for runs in seen.runs for r in runs if r.reaches[0] == r.begins}  # nothing shows what was before
    for begin in (b for b in begins if b != until.low or b in alone):  # just before a break, it is not there yet
        before = tuple(span for span in outside if span[0] < begin)
        lasting.append(begin - unbroken_since(before, begin, forgiven, points=True))
    return max(lasting)


def _used_up(breaks: Spans, until: Interval, forgiven: Bound) -> list[Bound]:
    """The moments within `until` and a break after which some break before is forgiven no more, while both go on."""
    found: list[Bound] = []
    if until.low == until.high or forgiven <= 0:
        return found
    for j, (begins, ends) in enumerate(breaks):
        if ends < until.low or begins > until.high or begins == NO_LOW:
            continue
        left = forgiven
        for span in (breaks[j], *reversed(breaks[:j])):
            left -= length(span) if span != breaks[j] else ZERO
            if left < 0:
                break
            if max(begins, until.low) <= begins + left < min(ends, until.high):
                found.append(begins + left)
    return found


def unbroken_since(
    breaks: Spans, until: Bound, forgiven: Bound, *, points: bool = False, strictly: bool = False
) -> Bound:
    """The end of the last break before `until` that `forgiven` does not cover, the breaks after it counted in.

    `points`: a break of no length counts too, where nothing is forgiven. `strictly`: using up all of `forgiven` is
    not forgiven either, which is how it stands a moment later.
    """
    used: Bound = ZERO
    for span in reversed(within(breaks, NO_LOW, until)):
        lasted = length(span)
        if lasted == 0 and not points:
            continue
        if forgiven == 0 or used + lasted > forgiven or (strictly and used + lasted == forgiven):
            return span[1]
        used += lasted
    return NO_LOW


def time_in_band(seen: Evidence, begin: Interval, end: Interval) -> Interval:
    """How much of the time from `begin` to `end` the air was inside the band."""
    low = total(_inner(seen.inside, begin, end))
    high = _at_least_nothing(end.high - begin.low) - total(_inner(seen.outside, begin, end))
    return Interval("duration", low, max(low, high), "h")


def longest_excursion(seen: Evidence, begin: Interval, end: Interval) -> Interval:
    """The longest time without a break that the air was outside the band, from `begin` to `end`."""
    low = longest(_inner(seen.outside, begin, end))
    high = longest(within(rest(seen.inside), begin.low, end.high))
    return Interval("duration", low, max(low, high), "h")


def excursions(seen: Evidence, begin: Interval, end: Interval) -> Interval:
    """How often the air left the band, from `begin` to `end`."""
    low, back_at = 0, None
    for begins, ends in _surely_out(seen, begin, end):
        if back_at is None or any(b < begins and e > back_at for b, e in seen.inside):
            low += 1
        back_at = ends
    high: Bound = NO_HIGH
    if not total(within(seen.doubtful, begin.low, end.high)):
        high = Fraction(len(_reached(seen, begin, end)))
    return Interval("number", Fraction(low), max(Fraction(low), high))


def furthest_out(seen: Evidence, begin: Interval, end: Interval) -> Interval:
    """How far outside the band the air got in any excursion that reaches into the time from `begin` to `end`."""
    kind = "temperature difference" if seen.kind == "temperature" else seen.kind
    low = max((r.furthest[0] for runs in seen.runs for r in _sure(runs, begin, end)), default=ZERO)
    reached = _reached(seen, begin, end)
    high: Bound = NO_HIGH
    if not _hidden(seen, reached):
        high = max((r.furthest[1] for runs in seen.runs for r in _possible(runs, reached)), default=ZERO)
    return Interval(kind, low, max(low, high))


def degree_hours(seen: Evidence, begin: Interval, end: Interval) -> Interval:
    """How far outside times how long, of all excursions that reach into the time from `begin` to `end`.

    In °C·h; of several logs, that of the one it is worst for.
    """
    low = max((_sum(r.outside[0] for r in _sure(runs, begin, end)) for runs in seen.runs), default=ZERO)
    reached = _reached(seen, begin, end)
    high: Bound = NO_HIGH
    if not _hidden(seen, reached):
        high = max((_sum(r.outside[1] for r in _possible(runs, reached)) for runs in seen.runs), default=ZERO)
    return Interval("degree hours", low / 3600, max(low, high) / 3600)


def _reached(seen: Evidence, begin: Interval, end: Interval) -> Spans:
    """Every stretch, whole, that reaches into the time from `begin` to `end` and was not surely inside the band.

    The ends of such a stretch are inside; what only meets the time there does not reach into it.
    """
    if begin.low > end.high:
        return ()
    return tuple(span for span in rest(seen.inside) if span[1] > begin.low and span[0] < end.high)


def _surely_out(seen: Evidence, begin: Interval, end: Interval) -> Spans:
    """What is surely outside, whole, of excursions that reach into the time from `begin` to `end`."""
    return union((r.begins, r.ends) for runs in seen.runs for r in _sure(runs, begin, end))


def _hidden(seen: Evidence, spans: Spans) -> bool:
    """Whether anything within `spans` was not seen."""
    return total(intersection(seen.unseen, spans)) > 0


def _inner(spans: Spans, begin: Interval, end: Interval) -> Spans:
    """What of `spans` surely lies between two moments that may not be known exactly."""
    return within(spans, begin.high, end.low)


def _at_least_nothing(seconds: Bound) -> Bound:
    return max(ZERO, seconds)


def _sum(amounts: Iterable[Bound]) -> Bound:
    return sum(amounts, ZERO)


def _sure(runs: Iterable[Run], begin: Interval, end: Interval) -> Iterable[Run]:
    """Runs with a row outside in that time; where it is at its very end, only those joined to a row further in."""
    first, last = begin.high, end.low
    out = (r for r in runs if r.says in {BELOW, ABOVE} and r.begins <= last and r.ends >= first)
    return (r for r in out if first <= last and r.reaches[0] < last and r.reaches[1] > first)


def _possible(runs: Iterable[Run], reached: Spans) -> Iterable[Run]:
    return (r for r in runs if r.says != INSIDE and within(reached, r.begins, r.ends))
