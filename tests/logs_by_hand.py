"""Small climate logs made by hand: rows of °C against a band of 20 to 30 °C, a row every 10 s."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from wallwalk.climate import Band
from wallwalk.evidence import LogRuns
from wallwalk.log_runs import BandRuns, Stay
from wallwalk.values import Bound, Interval

LOW, HIGH = Fraction(20), Fraction(30)
BAND = Band("temperature", LOW, HIGH, guarded=True)
EVERY = 10

Ends = tuple[Bound, Bound]
"""The least and the most of something: equal where it is known exactly."""


def moment(low: Bound, high: Bound | None = None) -> Interval:
    """A moment, or any from one to another."""
    return Interval("moment", low, low if high is None else high)


def duration(low: Bound, high: Bound | None = None) -> Interval:
    """A number of seconds, or any from one to another."""
    return Interval("duration", low, low if high is None else high)


@dataclass(frozen=True)
class Log:
    """Rows by the second they were written at: °C, give or take `spread`; when the log was set down and taken away."""

    rows: Mapping[int, tuple[Fraction, Fraction]]
    began: Ends
    ended: Ends

    def runs(self) -> LogRuns:
        """What it shows of the band; rows from before and after it stood there are not used."""
        cells = {str(at): (amount - spread, amount + spread) for at, (amount, spread) in self.rows.items()}
        gathered = BandRuns(BAND, cells.get, Stay(moment(*self.began), moment(*self.ended), Fraction(EVERY)))
        for at in sorted(self.rows):
            if self.began[1] <= at <= self.ended[0]:
                gathered.add(at, str(at))
        return gathered.finish()

    def without(self, at: int) -> Log:
        """The same log with a row taken out."""
        return replace(self, rows={t: row for t, row in self.rows.items() if t != at})


def log(rows: Mapping[int, int], began: int | Ends = 0, ended: int | Ends = 100, spread: int = 0) -> Log:
    """A log of whole degrees, every row give or take `spread`."""
    stood = [(Fraction(end), Fraction(end)) if isinstance(end, int) else end for end in (began, ended)]
    return Log({at: (Fraction(amount), Fraction(spread)) for at, amount in rows.items()}, stood[0], stood[1])


def every_row(*amounts: int | None, begins: int = 0) -> dict[int, int]:
    """Rows one after another, 10 s apart; None where there is none."""
    return {begins + i * EVERY: amount for i, amount in enumerate(amounts) if amount is not None}
