"""What the climate logs of a survey say, once read: of each band and each moment that a rule set asks about."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from wallwalk.answers import Missing
from wallwalk.evidence import Evidence, no_evidence
from wallwalk.spans import Spans
from wallwalk.values import Bound, Interval, unknown_interval


@dataclass(frozen=True, slots=True)
class Band:
    """A band that logged air is held against, in base units of `kind`; `guarded` by the logger's uncertainty or not."""

    kind: str
    low: Bound
    high: Bound
    guarded: bool


@dataclass(frozen=True, slots=True)
class Instant:
    """A moment at which logged air is asked for: some time from `begins` to `ends`."""

    kind: str
    begins: Bound
    ends: Bound
    guarded: bool


@dataclass(frozen=True, slots=True)
class RowNote:
    """Rows of a log that are not used as they stand: why, the first few lines, and how many there are."""

    what: str
    lines: tuple[int, ...]
    count: int


@dataclass(frozen=True, slots=True)
class Trace:
    """One quantity of one log for drawing: the least and the most of each short time, as written, not widened."""

    kind: str
    unit: str
    points: tuple[tuple[Bound, Fraction, Fraction], ...]
    lowest: Fraction
    highest: Fraction


@dataclass(frozen=True, slots=True)
class ClimateLog:
    """One log as read: its file, what was used of it, what was not, and its traces by quantity.

    `unseen` and `outside` are for drawing: when it saw nothing though it stood there, and when the air was surely
    outside the band that quantity is held against.
    """

    place: str
    file: str
    sha256: str
    stood: str
    instrument: str
    every: str
    rows: int
    first: Bound | None
    last: Bound | None
    notes: tuple[RowNote, ...]
    traces: Mapping[str, Trace]
    unseen: Spans
    outside: Mapping[str, Spans]
    columns: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Climate:
    """All logs of a survey: the evidence of each band, the air at each moment, and what was lacking, by quantity."""

    logs: tuple[ClimateLog, ...] = ()
    bands: Mapping[Band, Evidence] = field(default_factory=dict)
    instants: Mapping[Instant, Interval] = field(default_factory=dict)
    missing: Mapping[str, tuple[Missing, ...]] = field(default_factory=dict)

    def of_band(self, band: Band) -> Evidence:
        """What the logs show of `band`; nothing, where they were not read for it."""
        return self.bands.get(band) or no_evidence(band.kind)

    def at_instant(self, instant: Instant) -> Interval:
        """The air at a moment; unknown, where the logs were not read for it."""
        return self.instants.get(instant) or unknown_interval(instant.kind)


NO_CLIMATE = Climate()
