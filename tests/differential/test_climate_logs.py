"""Three logs of real offices, each fact worked out twice: by wallwalk from the file, and in polars by whole columns.

The logs are named in the README of the reference folder: one row a minute (Candanedo and Feldheim, Energy and Buildings
112 (2016) 28-39), and one row an hour in °F with real holes (Numenta anomaly benchmark, ambient temperature).
"""

from __future__ import annotations

import dataclasses
import os
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from random import Random

import polars as pl
import pytest

from differential import by_polars
from differential.by_polars import DECIMALS, Shown
from surveys import rigid_sheet, survey_from
from wallwalk import evidence
from wallwalk.climate import Band
from wallwalk.climate_reader import read_climate
from wallwalk.evidence import Evidence
from wallwalk.limits import Limit
from wallwalk.measure import Kinded
from wallwalk.rules import SIMPLE, Expression, FactRule, RuleSet
from wallwalk.units import UNITS
from wallwalk.values import NO_HIGH, Interval

REFERENCE = os.environ.get("WALLWALK_REFERENCE", "")
OFFICE = ("number", "date", "temperature", "humidity", "light", "co2", "ratio", "occupancy")

pytestmark = pytest.mark.skipif(not REFERENCE, reason="WALLWALK_REFERENCE is not set, so the logs are not at hand")


@dataclasses.dataclass(frozen=True)
class Case:
    """One quantity of one log, and how much of it is left: rows taken out at random, `spread` (U) as written."""

    file: str
    header: tuple[str, ...]
    at: str
    cell: str
    kind: str
    unit: str
    every: int
    spread: str
    taken_out: int

    @property
    def name(self) -> str:
        """What the test is called in the list."""
        return f"{self.file}, {self.kind}, {self.taken_out} rows taken out"


MINUTE_A = ("office-one-minute-a.csv", OFFICE, "date")
MINUTE_B = ("office-one-minute-b.csv", OFFICE, "date")
HOURLY = ("office-hourly-fahrenheit.csv", ("timestamp", "value"), "timestamp")
CASES = (
    Case(*MINUTE_A, "temperature", "temperature", "°C", 60, "0.05", 0),
    Case(*MINUTE_A, "temperature", "temperature", "°C", 60, "0.2", 60),
    Case(*MINUTE_A, "humidity", "humidity", "%RH", 60, "0.125", 25),
    Case(*MINUTE_B, "temperature", "temperature", "°C", 60, "0.1", 8),
    Case(*MINUTE_B, "humidity", "humidity", "%RH", 60, "0.3", 0),
    Case(*HOURLY, "value", "temperature", "°F", 3600, "0.4", 0),
    Case(*HOURLY, "value", "temperature", "°F", 3600, "1.25", 40),
)
BANDS, WINDOWS = 4, 5

COUNTED = ("time in band", "longest", "count")
TELLING = (("time in band", "both"), ("longest", "both"), ("count", "exact"), ("count", "no end"), ("held", "both"))
"""What has to come out a few times of every log; a comparison of nothing with nothing would prove nothing."""


def _log(case: Case, chance: Random, folder: Path) -> pl.DataFrame:
    """Copies the log into `folder` without the rows taken out; the rows that are left, as polars reads them."""
    lines = (Path(REFERENCE) / "logs" / case.file).read_text(encoding="utf-8").splitlines(keepends=True)
    taken = set(chance.sample(range(1, len(lines)), case.taken_out))
    (folder / case.file).write_text("".join(x for i, x in enumerate(lines) if i not in taken), encoding="utf-8")
    return by_polars.read_rows(folder / case.file, case.header)


def _survey_text(case: Case) -> str:
    column = "columns: {temperature: value}, temperature_unit: °F" if case.cell == "value" else "temperature_unit: °C"
    kept = f"{case.spread} {case.unit}"
    return f"""
time_zone: UTC
instruments: [{{name: T1, calibration_due: 2099-12-31, uncertainty: {{{case.kind}: {kept}}}}}]
climate_logs_kept: 1
climate_log:
  - {{file: {case.file}, every: {case.every} s, instrument: T1, clock: +00:00, {column},
     began: 2013-01-01 00:00, ended: 2016-01-01 00:00}}
"""


def _asking(bands: list[tuple[Fraction, Fraction]], kind: str) -> RuleSet:
    """The rule set for rigid sheet, with no fact but one for each band, in base units, that asks the logs of it."""
    given = rigid_sheet()
    limits = {
        f"{end}_{i}": Limit(f"{end}_{i}", kind, amount, Fraction(1), "", "", "a test")
        for i, band in enumerate(bands)
        for end, amount in zip(("low", "high"), band, strict=True)
    }
    facts = {}
    for i in range(len(bands)):
        ends = tuple(Expression("limit", Kinded(kind), limits=(f"{end}_{i}",)) for end in ("low", "high"))
        facts[f"band_{i}"] = FactRule(f"band_{i}", "", "space", Expression("held", Kinded("duration"), ends, kind))
    return dataclasses.replace(given, limits=limits, facts=facts, rules={}, decision=SIMPLE)


def _bands(chance: Random, cells: list[str]) -> Iterator[tuple[str, str]]:
    """Low and high ends as text: what a row says, to the last digit, or rounded to tenths."""
    ordered = sorted(cells, key=Fraction)
    for i in range(BANDS):
        low, high = chance.uniform(0, 0.35), chance.uniform(0.5, 1)
        ends = [ordered[int(share * (len(ordered) - 1))] for share in (low, high)]
        yield (ends[0], ends[1]) if i % 2 else (f"{float(ends[0]):.1f}", f"{float(ends[1]) + 0.1:.1f}")


def _windows(chance: Random, at: list[int], every: int) -> Iterator[tuple[int, int]]:
    """From and to, in seconds: on rows and off them, and now and then over the ends of the log."""
    for i in range(WINDOWS):
        first = chance.randrange(len(at) - 1)
        last = min(first + int(len(at) ** chance.random()), len(at) - 1)
        off = chance.randrange(every) if i % 2 else 0
        yield at[first] - off, at[last] + (off * 3 if i else 40 * every)


def _scaled(text: str) -> int:
    """A decimal as polars has it here."""
    return int(Fraction(text) * 10**DECIMALS)


def _in_base(text: str, kind: str, unit: str) -> Fraction:
    return Fraction(text) * UNITS[kind][unit].scale + UNITS[kind][unit].offset


def _ours(found: Interval) -> by_polars.Fact:
    """A fact of wallwalk's as polars gives it; every moment here is a whole second."""
    assert found.low == int(found.low), found
    return int(found.low), None if found.high == NO_HIGH else int(found.high)


def _moment(seconds: int) -> Interval:
    return Interval("moment", Fraction(seconds), Fraction(seconds))


def _compared(seen: Evidence, shown: Shown, window: tuple[int, int], forgiven: list[int]) -> Iterator[tuple[str, str]]:
    """Holds every fact of one window against the other way. Gives what came out of each: to see that much did."""
    begin, end = (_moment(at) for at in window)
    facts = [
        ("time in band", evidence.time_in_band(seen, begin, end), by_polars.time_in_band(shown, *window)),
        ("longest", evidence.longest_excursion(seen, begin, end), by_polars.longest_excursion(shown, *window)),
        ("count", evidence.excursions(seen, begin, end), by_polars.excursions(shown, *window)),
    ]
    for seconds in forgiven:
        allowed = Interval("duration", Fraction(seconds), Fraction(seconds))
        facts.append(("held", evidence.held(seen, end, allowed), by_polars.held(shown, window[1], seconds)))
    for fact, ours, theirs in facts:
        assert _ours(ours) == theirs, (fact, window, forgiven)
        low, high = theirs
        yield fact, "nothing" if theirs == (0, 0) else "no end" if high is None else "exact" if low == high else "both"


def _forgiven(chance: Random, shown: Shown, until: int) -> list[int]:
    """Nothing, an hour, and exactly as long as the last few breaks together, and a second less."""
    breaks = by_polars.breaks_before(shown, until)
    few = sum(breaks[: chance.randint(1, 6)])
    return [0, 3600, few, max(0, few - 1), chance.randrange(100_000)]


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_every_fact_of_a_real_log_is_what_polars_makes_of_it(case: Case, tmp_path: Path) -> None:
    """40 windows and 4 bands, U of nothing and more: time in band, longest, count and held are equal to the second."""
    chance = Random(case.name)  # noqa: S311 - test data, not a secret
    rows = _log(case, chance, tmp_path)
    numbers = by_polars.as_numbers(rows, case.at, case.cell)
    written = list(_bands(chance, rows[case.cell].to_list()))
    bands = [(_in_base(low, case.kind, case.unit), _in_base(high, case.kind, case.unit)) for low, high in written]
    climate = read_climate(survey_from(_survey_text(case)), _asking(bands, case.kind), tmp_path).climate
    assert [(log.rows, log.notes) for log in climate.logs] == [(numbers.height, ())]
    counts: Counter[tuple[str, str]] = Counter()
    for ends, band in zip(written, bands, strict=True):
        for guarded, spread in ((False, "0"), (True, case.spread)):
            seen = climate.bands[Band(case.kind, *band, guarded)]
            shown = by_polars.shown(numbers, (_scaled(ends[0]), _scaled(ends[1])), _scaled(spread), case.every)
            for window in _windows(chance, numbers["t"].to_list(), case.every):
                counts.update(_compared(seen, shown, window, _forgiven(chance, shown, window[1])))
    assert [counts.total(), *(sum(n for (fact, _), n in counts.items() if fact == f) for f in COUNTED)] == [
        320,
        *[40] * 3,
    ]
    assert {telling: counts[telling] for telling in TELLING if counts[telling] < 5} == {}
