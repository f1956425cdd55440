"""What a log shows of a band: stretches surely in it, surely out of it, and those of which nobody can say."""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from .logbook import Log, Row
from .ranges import FAR, UNKNOWN, Number, Range, is_told

IN, OUT, OPEN = "in", "out", "open"
_BELOW, _ABOVE = "below", "above"
_DAY, _A_SECOND = Fraction(24), Fraction(1, 3600)
_FORGIVEN = Fraction(1)
"""Trade page 5: "24 h, no gap over 1 h"; what is forgiven in all is the manual's own limit, common practice."""

Band = tuple[Fraction, Fraction]


class Stretch(NamedTuple):
    """From one moment to another the air was in its band, out of it, or nobody knows."""

    begins: Number
    ends: Number
    says: str


class Watch:
    """One log held against one band."""

    def __init__(self, log: Log, quantity: str, band: Band, *, alone: bool) -> None:
        """`quantity`: temperature or humidity. Where the log is not surely `alone`, another may say that it was out."""
        told = [(row.at, _says(getattr(row, quantity), band)) for row in log.rows]
        self.rows = [(at, said if alone or said != IN else OPEN) for at, said in told if said is not None]
        self.log = log
        inside = [at for at, said in self.rows if said == IN]
        self.last_inside = inside[-1] if inside else None

    @cached_property
    def _all(self) -> list[Stretch]:
        """All time, in order. Rows over one and a half times their interval apart have a hole between them."""
        if not self.rows:
            return [Stretch(-FAR, FAR, OPEN)]
        found = [Stretch(-FAR, self.rows[0][0], OPEN)]
        for (at, said), (then, says) in pairwise(self.rows):
            joined = self._is_joined(at, then)
            word = {IN: IN, _BELOW: OUT, _ABOVE: OUT}.get(said, OPEN) if joined and said == says else OPEN
            found.append(Stretch(at, then, word))
        return [*found, Stretch(self.rows[-1][0], FAR, OPEN)]

    def stretches(self, until: Number) -> list[Stretch]:
        """All time up to that moment."""
        return [Stretch(s.begins, min(s.ends, until), s.says) for s in self._all if s.begins < until]

    def _is_joined(self, at: Fraction, then: Fraction) -> bool:
        return (then - at) * 2 <= self.log.every * 3

    @cached_property
    def _by_moment(self) -> dict[Number, str]:
        return dict(self.rows)

    def said_at(self, moment: Number) -> str | None:
        """What the row of that very moment says, if there is one."""
        return self._by_moment.get(moment)

    def gaps(self, since: Number, until: Number) -> list[Stretch]:
        """Stretches without a break that are not surely in the band; a row that is in it parts two."""
        found: list[Stretch] = []
        for one in self.stretches(until):
            begins = max(one.begins, since)
            if one.says == IN or begins >= one.ends:
                continue
            if found and found[-1].ends == begins and self.said_at(begins) != IN:
                found[-1] = Stretch(found[-1].begins, one.ends, OPEN)
            else:
                found.append(Stretch(begins, one.ends, OPEN))
        return found

    def outs(self, since: Number, until: Number) -> list[Stretch]:
        """Stretches surely out of the band; one row alone is one without length."""
        found: list[Stretch] = []
        before: tuple[Fraction, str] | None = None
        for at, said in self.rows:
            if said in (_BELOW, _ABOVE):
                goes_on = before is not None and before[1] == said and self._is_joined(before[0], at)
                found.append(Stretch(found.pop().begins if goes_on else at, at, OUT))
            before = (at, said)
        clipped = [Stretch(max(s.begins, since), min(s.ends, until), OUT) for s in found]
        return [s for s in clipped if s.begins <= s.ends]

    def left_its_band(self, since: Fraction, until: Fraction) -> bool:
        """Whether the air was surely out of its band for some time in there.

        It was between two rows out on one side, and about a row that is out; at the very ends of the time only where
        the row on the inner side is joined to it. On the way from a row before, it may have been back by then.
        """
        out = [i for i, (_, said) in enumerate(self.rows) if said in (_BELOW, _ABOVE)]
        between = (s for s in self._all if s.says == OUT)
        return any(min(s.ends, until) > max(s.begins, since) for s in between) or any(
            since < self.rows[i][0] < until
            or (self.rows[i][0] == until and i > 0 and self._is_joined(self.rows[i - 1][0], until))
            or (self.rows[i][0] == since and i + 1 < len(self.rows) and self._is_joined(since, self.rows[i + 1][0]))
            for i in out
        )

    def held(self, until: Fraction) -> Range:
        """How long the band was held, counted back: at the least, and at the most."""
        return Range(self._held_at_least(until), self._held_at_most(until))

    def _held_at_least(self, until: Fraction) -> Number:
        gaps = self.gaps(-FAR, until)
        goes_on = bool(gaps) and gaps[-1].ends == until and self.said_at(until) != IN
        if goes_on and not self._was_read_just_then(until):
            return Fraction(0)
        used: Number = Fraction(0)
        for gap in reversed(gaps):
            used += gap.ends - gap.begins
            if used > _FORGIVEN:
                return until - gap.ends
        raise AssertionError("before the first row nothing was seen")

    def _was_read_just_then(self, until: Fraction) -> bool:
        """What goes on is forgiven only after a log that was in the band when it was read or taken away.

        It was read with its last row where none can have been due since: within three quarters of its interval.
        """
        last = self.last_inside
        if last is None or last != self.rows[-1][0] or until <= last:
            return False
        return (self.log.ended.high - last) * 4 <= self.log.every * 3

    def _held_at_most(self, until: Fraction) -> Number:
        used: Number = Fraction(0)
        for out in reversed(self.outs(-FAR, until)):
            used += out.ends - out.begins
            if used > _FORGIVEN:
                return until - out.ends
        return FAR

    def opens(self) -> Fraction | None:
        """The start from which a day was held, by trying the end of every break; the last of several.

        Where the log ended before any such start, as if the air stayed as it was: a day after its last break.
        """
        last = self.last_inside
        if last is None:
            return None
        since = last - Fraction(self._held_at_least(last))
        tried = [Fraction(gap.ends) + _DAY for gap in self.gaps(-FAR, last) if gap.ends >= since]
        good = [at for at in tried if self._held_at_least(at) >= _DAY > self._held_at_least(at - _A_SECOND)]
        return max(good) if good else since + _DAY

    def longest(self, since: Fraction, until: Fraction) -> Range:
        """The longest time out of the band: surely out at the least, not surely in at the most."""
        if until < since:
            return Range(Fraction(0), Fraction(0))
        outs, gaps = self.outs(since, until), self.gaps(since, until)
        lengths = [max((s.ends - s.begins for s in some), default=Fraction(0)) for some in (outs, gaps)]
        return Range(lengths[0], lengths[1])


def _says(cell: Range, band: Band) -> str | None:
    if not is_told(cell):
        return None
    if cell.low >= band[0] and cell.high <= band[1]:
        return IN
    if cell.high < band[0]:
        return _BELOW
    return _ABOVE if cell.low > band[1] else OPEN


def logged_at(log: Log, quantity: str, moment: Range) -> Range:
    """What the air was at a moment, or at some moments: between what the rows on either side say."""
    rows = _rows_about(log, quantity, moment)
    told = [getattr(row, quantity) for row in rows]
    return Range(min(cell.low for cell in told), max(cell.high for cell in told)) if told else UNKNOWN


def _rows_about(log: Log, quantity: str, moment: Range) -> list[Row]:
    """The rows that the moment lies between, with no hole among them; none where it was not seen."""
    rows = [row for row in log.rows if is_told(getattr(row, quantity))]
    before = [row for row in rows if row.at <= moment.low]
    after = [row for row in rows if row.at >= moment.high]
    if not before or not after:
        return []
    among = [row for row in rows if before[-1].at <= row.at <= after[0].at]
    if any((b.at - a.at) * 2 > log.every * 3 for a, b in pairwise(among)):
        return []
    return among
