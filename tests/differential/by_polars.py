"""What a climate log shows of a band, worked out a second way: whole columns at once, in polars, on exact integers.

Nothing of wallwalk is used here. A row is a moment in seconds and a cell as an integer (`DECIMALS` places); between
two rows lies a stretch, and a fact is a filter, a clip to the window and a sum over the table of stretches.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import polars as pl

DECIMALS = 15
"""Digits behind the point that are kept; no cell of the reference logs has more."""

FAR = 10**11
"""Seconds before and after which there is nothing: further off than any date that is read."""

Fact = tuple[int, int | None]
"""The least and the most, in seconds or as a count; None where there is no most."""


def read_rows(path: Path, header: Iterable[str]) -> pl.DataFrame:
    """The rows of the file at `path` as text, under the names of `header`; its own first line is passed over."""
    return pl.read_csv(path, has_header=False, skip_rows=1, new_columns=list(header), infer_schema=False)


def as_numbers(rows: pl.DataFrame, at: str, cell: str) -> pl.DataFrame:
    """Moments `t` and cells `v` of text: local times as if they were UTC, numbers as integers."""
    whole, part = (pl.col(cell).str.split_exact(".", 1).struct.field(f"field_{i}") for i in (0, 1))
    digits = part.fill_null("").str.pad_end(DECIMALS, "0")
    return rows.select(
        t=pl.col(at).str.to_datetime("%Y-%m-%d %H:%M:%S").dt.epoch("s"),
        v=whole.cast(pl.Int64) * 10**DECIMALS + digits.cast(pl.Int64),
    )


@dataclass(frozen=True)
class Shown:
    """What one log shows of one band: its rows (t, says, run), and the stretches from each to the next."""

    rows: pl.DataFrame
    stretches: pl.DataFrame


def shown(numbers: pl.DataFrame, band: tuple[int, int], spread: int, every: int) -> Shown:
    """Hold every row of `numbers`, give or take `spread`, against `band`, and take two rows at a time."""
    low, high = band
    least, most = pl.col("v") - spread, pl.col("v") + spread
    says = (
        pl.when((least >= low) & (most <= high))
        .then(pl.lit("in"))
        .when(most < low)
        .then(pl.lit("below"))
        .when(least > high)
        .then(pl.lit("above"))
        .otherwise(pl.lit("unsure"))
    )
    rows = numbers.sort("t").select("t", says=says)
    breaks_off = (pl.col("t") - pl.col("t").shift(1)) * 2 > 3 * every
    begins_run = breaks_off | (pl.col("says") != pl.col("says").shift(1))
    edges = pl.DataFrame({"t": [-FAR, FAR], "says": ["nothing", "nothing"]})
    two = pl.concat([edges[:1], rows, edges[1:]]).with_columns(
        ends=pl.col("t").shift(-1), then=pl.col("says").shift(-1), number=(pl.col("says") == "in").cum_sum()
    )
    joined = (pl.col("ends") - pl.col("t")) * 2 <= 3 * every
    same = joined & (pl.col("says") == pl.col("then"))
    stretches = two.filter(pl.col("ends").is_not_null()).select(
        "number",  # of the stretch that is not surely inside: a row that is inside begins another
        begins="t",
        ends="ends",
        is_in=same & (pl.col("says") == "in"),
        is_out=same & pl.col("says").is_in(["below", "above"]),
        doubtful=~joined | (pl.col("says") == "unsure") | (pl.col("then") == "unsure"),
    )
    return Shown(rows.with_columns(run=begins_run.fill_null(value=True).cum_sum()), stretches)


def _clipped(table: pl.DataFrame, begin: int, end: int) -> pl.DataFrame:
    """The stretches with some length in the window, cut to it, and how long each lasts there."""
    return (
        table.with_columns(begins=pl.col("begins").clip(begin, end), ends=pl.col("ends").clip(begin, end))
        .with_columns(lasts=pl.col("ends") - pl.col("begins"))
        .filter(pl.col("lasts") > 0)
    )


def _not_inside(clipped: pl.DataFrame) -> pl.DataFrame:
    """Each stretch without a break that is not surely inside: when it ends, and how long it lasts."""
    return (
        clipped.filter(~pl.col("is_in"))
        .group_by("number")
        .agg(pl.col("ends").max(), pl.col("lasts").sum())
        .sort("ends", descending=True)
    )


def _outside(seen: Shown, begin: int, end: int) -> pl.DataFrame:
    """The same of what is surely outside; a row alone is a stretch of no length."""
    runs = seen.rows.filter(pl.col("says").is_in(["below", "above"])).group_by("run")
    return (
        runs.agg(begins=pl.col("t").min(), ends=pl.col("t").max())
        .filter((pl.col("begins") <= end) & (pl.col("ends") >= begin))
        .select(begins=pl.col("begins").clip(begin, end), ends=pl.col("ends").clip(begin, end))
        .with_columns(lasts=pl.col("ends") - pl.col("begins"))
        .sort("ends", descending=True)
    )


def _sum(column: pl.Series) -> int:
    return int(column.sum())


def _longest(column: pl.Series) -> int:
    return max(column.to_list(), default=0)


def time_in_band(seen: Shown, begin: int, end: int) -> Fact:
    """Seconds inside the band, from `begin` to `end`."""
    clipped = _clipped(seen.stretches, begin, end)
    surely_out = _sum(clipped.filter(pl.col("is_out"))["lasts"])
    return _sum(clipped.filter(pl.col("is_in"))["lasts"]), end - begin - surely_out


def longest_excursion(seen: Shown, begin: int, end: int) -> Fact:
    """Seconds of the longest stretch outside the band, from `begin` to `end`."""
    clipped = _clipped(seen.stretches, begin, end)
    return _longest(_outside(seen, begin, end)["lasts"]), _longest(_not_inside(clipped)["lasts"])


def excursions(seen: Shown, begin: int, end: int) -> Fact:
    """How often it is outside the band, from `begin` to `end`: what rows and both ends of the window say, in turn."""
    clipped = _clipped(seen.stretches, begin, end)
    says = pl.when("is_in").then(pl.lit("in")).when("is_out").then(pl.lit("out")).otherwise(pl.lit("unsure"))
    at_ends = pl.concat(
        [
            clipped.filter(pl.col(edge) == at).select(t=pl.col(edge), says=says)
            for edge, at in (("begins", begin), ("ends", end))
        ]
    )
    says = pl.col("says").replace({"below": "out", "above": "out"})
    on_rows = seen.rows.filter(pl.col("t").is_between(begin, end)).select("t", says=says)
    said = pl.concat([on_rows, at_ends]).filter(pl.col("says") != "unsure").sort("t")
    left = (pl.col("says") == "out") & (pl.col("says").shift(1).fill_null("in") == "in")
    low = said.filter(left).height
    if clipped["doubtful"].any():
        return low, None
    return low, max(low, _not_inside(clipped).height)


def _kept_since(breaks: pl.DataFrame, forgiving: int) -> int | None:
    """The end of the last break that is not forgiven, counted back; None where all are."""
    too_many = (pl.col("lasts").cum_sum() > forgiving) | (forgiving == 0)
    ends = breaks.filter(too_many)["ends"]
    return None if ends.is_empty() else int(ends[0])


def held(seen: Shown, until: int, forgiving: int) -> Fact:
    """Seconds that the air kept to the band, counted back from `until`, but for `forgiving` in all."""
    low = _kept_since(_not_inside(_clipped(seen.stretches, -FAR, until)), forgiving)
    high = _kept_since(_outside(seen, -FAR, until), forgiving)
    if low is None:
        raise AssertionError("before the first row nothing was seen, and that is never forgiven")
    if _goes_on(seen, until):  # what goes on is not forgiven
        low = until
    return until - low, None if high is None else until - high


def _goes_on(seen: Shown, until: int) -> bool:
    """Whether the air may be outside at that very moment: no row says inside then, and no stretch inside spans it."""
    on_row = seen.rows.filter(pl.col("t") == until)["says"].to_list()
    over = seen.stretches.filter((pl.col("begins") < until) & (pl.col("ends") > until))["is_in"].to_list()
    return on_row != ["in"] if on_row else over != [True]


def breaks_before(seen: Shown, until: int) -> list[int]:
    """How long the stretches not surely inside last, the last first: for lengths to forgive that are just enough."""
    lasting: list[int] = _not_inside(_clipped(seen.stretches, -FAR, until))["lasts"].to_list()
    return lasting[:-1]
