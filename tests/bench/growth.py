"""How the cost of a check grows: surveys, walls and log rows tenfold, rules fourfold, drawn in one picture.

Run: .venv/bin/python tests/bench/growth.py [PICTURE.svg]. Each point is the median of five runs in this process, of
processor time, with the rule set loaded beforehand. Against each line stands that of a cost that grows as its input.
"""

from __future__ import annotations

import math
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from make_surveys import make_surveys
from wallwalk.checking import check, load_rule_set
from wallwalk.climate_reader import read_climate
from wallwalk.rules import RuleSet
from wallwalk.survey_reader import read_survey

RUNS = 5
ROOT = Path(__file__).parent.parent.parent
SIDE, LEFT, TOP = 420, 60, 40
DASHES = ("", "8 4", "2 3", "10 3 2 3")
LOG = """climate_logs_kept: 1
climate_log:
  - {{file: log.csv, place: middle, every: 1 min, began: 2026-03-01 00:00, ended: {ended}, temperature_unit: °C}}
"""


def seconds(run: Callable[[], object]) -> float:
    """The median processor time of `run`."""
    taken = []
    for _ in range(RUNS):
        begun = time.process_time()
        run()
        taken.append(time.process_time() - begun)
    return statistics.median(taken)


def times_over(rule_set: RuleSet, share: float) -> RuleSet:
    """The rule set with that share of its rules, or each of them several times under another name."""
    names = list(rule_set.rules)
    if share < 1:
        return replace(rule_set, rules={name: rule_set.rules[name] for name in names[:: round(1 / share)]})
    again = {
        f"{name}-{i}": replace(rule, name=f"{name}-{i}")
        for i in range(round(share))
        for name, rule in rule_set.rules.items()
    }
    return replace(rule_set, rules=again)


def rows(count: int) -> str:
    """A logger's file of `count` rows, one a minute."""
    begins = 1772323200  # 2026-03-01 00:00 UTC
    lines = (
        f"{time.strftime('%Y-%m-%d %H:%M:%S', time.gmtime(begins + 60 * i))}Z,{21 + (i % 7) / 10:.1f},{45 + i % 5}"
        for i in range(count)
    )
    return "time,temperature,humidity\n" + "\n".join(lines) + "\n"


def lines(folder: Path) -> Iterator[tuple[str, list[tuple[float, float]]]]:
    """Each line of the picture: what grows, and by its share of the first point the processor time."""
    rules = load_rule_set("rigid-sheet")

    def checked(paths: list[Path], rule_set: RuleSet = rules) -> None:
        for path in paths:
            check(read_survey(path), rule_set)

    surveys = list(make_surveys(folder / "surveys", 30, 6))
    yield "surveys", [(n, seconds(lambda n=n: checked(surveys[:n]))) for n in (3, 9, 30)]  # type: ignore[misc]
    walls = {n: list(make_surveys(folder / f"walls-{n}", 1, n)) for n in (4, 12, 40)}
    yield "walls", [(n, seconds(lambda n=n: checked(walls[n]))) for n in walls]  # type: ignore[misc]
    yield (
        "rules",
        [(n, seconds(lambda n=n: checked(surveys[:3], times_over(rules, n)))) for n in (1, 2, 4)],  # type: ignore[misc]
    )
    yield "log rows", [(n, seconds(lambda n=n: logged(folder, n))) for n in (3_000, 10_000, 30_000)]  # type: ignore[misc]


def logged(folder: Path, count: int) -> None:
    """One check of an empty room with a log of so many rows."""
    home = folder / f"log-{count}"
    if not home.exists():
        home.mkdir()
        (home / "log.csv").write_text(rows(count), encoding="utf-8")
        ended = time.strftime("%Y-%m-%d %H:%M:%SZ", time.gmtime(1772323200 + 60 * (count - 1)))
        (home / "room.yaml").write_text(f"time_zone: Etc/UTC\n{LOG.format(ended=ended)}", encoding="utf-8")
    rule_set = load_rule_set("rigid-sheet")
    record = check(read_climate(read_survey(home / "room.yaml"), rule_set, home), rule_set)
    if not record["findings"]:
        raise SystemExit("nothing was judged; something is amiss")


def picture(found: dict[str, list[tuple[float, float]]]) -> str:
    """An SVG of every line, times as much input across and times as much time up, both by logarithms to ten."""

    def at(times: float, cost: float) -> str:
        return f"{LEFT + SIDE * math.log10(times):.1f},{TOP + SIDE * (1 - math.log10(max(cost, 1)) / 1.1):.1f}"

    parts = [f'<polyline points="{at(1, 1)} {at(10, 10)}" stroke="#999" stroke-width="6"/>']
    for dashes, (name, points) in zip(DASHES, found.items(), strict=True):
        drawn = [(n / points[0][0], cost / points[0][1]) for n, cost in points]
        parts.append(
            f'<polyline points="{" ".join(at(*p) for p in drawn)}" stroke="#000" stroke-dasharray="{dashes}"/>'
        )
        x, y = at(*drawn[-1]).split(",")
        parts.append(f'<text x="{float(x) + 6}" y="{y}">{name} ×{drawn[-1][0]:g}: ×{drawn[-1][1]:.1f}</text>')
    axes = f'<path d="M{LEFT},{TOP} V{TOP + SIDE} H{LEFT + SIDE}" stroke="#000"/>'
    labels = "".join(
        f'<text x="{LEFT + SIDE * math.log10(n):.1f}" y="{TOP + SIDE + 20}" text-anchor="middle">×{n}</text>'
        f'<text x="{LEFT - 8}" y="{at(1, n).split(",")[1]}" text-anchor="end">×{n}</text>'
        for n in (1, 2, 4, 10)
    )
    title = "<title>Time of a check by what grows; the grey line is a cost that grows as its input</title>"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {SIDE + 260} {SIDE + 90}" font-family="sans-serif" '
        f'font-size="14">{title}<rect width="100%" height="100%" fill="#fff"/>'
        f'<g fill="none" stroke-width="2">{axes}{"".join(p for p in parts if p.startswith("<poly"))}</g>'
        f"{labels}{''.join(p for p in parts if p.startswith('<text'))}"
        f'<text x="{LEFT + SIDE / 2}" y="{TOP + SIDE + 44}" text-anchor="middle">times as much input</text>'
        f'<text x="{LEFT}" y="{TOP - 14}">times as much time</text></svg>\n'
    )


def main() -> None:
    """Print the table, and write the picture where one is named."""
    with tempfile.TemporaryDirectory() as temporary:
        found = dict(lines(Path(temporary)))
    for name, points in found.items():
        told = ", ".join(f"{n:g}: {cost * 1000:.0f} ms" for n, cost in points)
        by, cost = points[-1][0] / points[0][0], points[-1][1] / points[0][1]
        sys.stdout.write(f"{name:10} x{by:<5.3g} time x{cost:<6.3g} ({told})\n")
    if len(sys.argv) > 1:
        Path(sys.argv[1]).write_text(picture(found), encoding="utf-8")


if __name__ == "__main__":
    main()
