"""Judge many surveys twice, and say where the two judgements part.

Each disagreement is shown with the survey shrunk to the answers it needs. Ends with 1 if there is any.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

from differential.both import Disagreement, judged_twice
from differential.survey_hand import Part
from differential.survey_maker import Made, make_survey
from differential.survey_near import make_near

Maker = Callable[[int], Made]
_AT_A_TIME = 100
_TOLD = 5


@dataclass
class Told:
    """What came of some surveys: how many findings and starts agreed, and every disagreement by its seed."""

    surveys: int = 0
    findings: Counter[str] = field(default_factory=Counter)
    starts: int = 0
    said_less: int = 0
    verdicts: Counter[str] = field(default_factory=Counter)
    apart: list[tuple[int, list[Disagreement]]] = field(default_factory=list)

    def add(self, other: Told) -> None:
        """The two together."""
        self.surveys += other.surveys
        self.findings += other.findings
        self.starts += other.starts
        self.said_less += other.said_less
        self.verdicts += other.verdicts
        self.apart += other.apart


def run(seeds: list[int], make: Maker = make_survey) -> Told:
    """Every survey of `seeds`, judged twice."""
    told = Told()
    with tempfile.TemporaryDirectory() as folder:
        for seed in seeds:
            twice = judged_twice(make(seed), Path(folder))
            told.surveys += 1
            told.said_less += twice.said_less
            told.findings += Counter(twice.oracle.findings.values())
            told.findings["apart"] += sum(" of " in one.what for one in twice.apart)
            told.starts += twice.program.earliest == twice.oracle.earliest is not None
            told.verdicts[twice.oracle.verdict] += 1
            if twice.apart:
                told.apart.append((seed, twice.apart))
    return told


def shrunk(made: Made, what: str, folder: Path) -> Made:
    """The survey with every answer taken out that this one disagreement does without."""

    def still_apart(document: Part) -> bool:
        try:
            return what in {one.what for one in judged_twice(Made(document, made.files), folder).apart}
        except Exception:  # noqa: BLE001 - a survey that cannot be read any more is no smaller case of it
            return False

    document, before = made.document, None
    while document != before:
        before = document
        last_first = _places(document)[::-1]
        for path in sorted(last_first, key=len):
            if _is_there(document, path) and still_apart(less := _without(document, path)):
                document = less
    return Made(document, made.files)


def _is_there(node: Any, path: tuple[Any, ...]) -> bool:  # noqa: ANN401 - any part of a document
    """Whether the place is left, once others were taken out."""
    for step in path:
        if not (step in node if isinstance(node, dict) else isinstance(node, list) and step < len(node)):
            return False
        node = node[step]
    return True


def _places(node: object, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    inner = list(node.items()) if isinstance(node, dict) else list(enumerate(node)) if isinstance(node, list) else []
    return [place for key, part in inner for place in ((*path, key), *_places(part, (*path, key)))]


def _without(node: Any, path: tuple[Any, ...]) -> Any:  # noqa: ANN401 - any part of a document
    """A copy without what stands at `path`."""
    step, *rest = path
    if isinstance(node, list):
        kept = [_without(part, tuple(rest)) if i == step and rest else part for i, part in enumerate(node)]
        return kept if rest else [part for i, part in enumerate(kept) if i != step]
    if rest:
        return {**node, step: _without(node[step], tuple(rest))}
    return {key: part for key, part in node.items() if key != step}


def shown(seed: int, apart: list[Disagreement], make: Maker) -> str:
    """The disagreements of one survey, and what of the survey the first of them needs."""
    lines = [f"survey {seed}: {one.what}: the program says {one.program}, the oracle {one.oracle}" for one in apart]
    with tempfile.TemporaryDirectory() as folder:
        small = shrunk(make(seed), apart[0].what, Path(folder))
    return "\n".join([*lines, f"    {small.document}", ""])


def report(told: Told, seeds: range, make: Maker = make_survey) -> str:
    """All of it in words."""
    apart = told.findings["apart"]
    lines = [
        f"surveys: {told.surveys} (seeds {seeds[0]} to {seeds[-1]}); verdicts: {dict(told.verdicts)}",
        f"findings: {told.findings.total() - 2 * apart} agreed, {apart} did not; {dict(told.findings)}",
        f"  of those, left open by the program and cut out further by the oracle: {told.said_less}",
        f"earliest starts that both name alike: {told.starts}",
        f"surveys that are not judged alike: {len(told.apart)}",
    ]
    return "\n".join([*lines, *(shown(seed, apart, make) for seed, apart in told.apart[:_TOLD])])


def main() -> int:
    """Judge, print, and say by the exit code whether all agreed."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--surveys", type=int, default=1000)
    asked.add_argument("--seed", type=int, default=1, help="the first of them")
    asked.add_argument("--jobs", type=int, default=1)
    asked.add_argument("--near", action="store_true", help="tidy rooms with a few things near their limits")
    given = asked.parse_args()
    make = make_near if given.near else make_survey
    seeds = range(given.seed, given.seed + given.surveys)
    parts = [list(seeds[i : i + _AT_A_TIME]) for i in range(0, len(seeds), _AT_A_TIME)]
    told = Told()
    with ProcessPoolExecutor(given.jobs) as pool:
        for part in pool.map(partial(run, make=make), parts) if given.jobs > 1 else (run(p, make) for p in parts):
            told.add(part)
    sys.stdout.write(report(told, seeds, make) + "\n")
    return bool(told.apart)


if __name__ == "__main__":
    sys.exit(main())
