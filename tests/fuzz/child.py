"""One process of the fuzzer, started by `fuzzing.py`: child.py READER FIGURES CRASHES CORPUS [libFuzzer arguments].

Only `wallwalk` is instrumented. What breaks the law is kept as a file and told on, and the run goes on, so that one
fault does not hide the next.
"""

from __future__ import annotations

import atexit
import hashlib
import json
import sys
import time
import traceback
from pathlib import Path
from random import Random

import atheris

with atheris.instrument_imports(include=["wallwalk"]):
    import targets
    from targets import READERS

import corpus
from spoiling import spoil

SECONDS_MAX = 12.0
"""So much processor time one input may take: two seconds, and what was valid is judged, slowed by the counting."""


class TooSlowError(Exception):
    """An input that took longer than the law allows."""


class _Run:
    """Counts what one process does, and writes it down when it ends, however it ends."""

    def __init__(self, reader: str, seeds: int, told: Path, crashes: Path) -> None:
        self.seeds = seeds
        self.reader, self.told, self.crashes = reader, told, crashes
        self.executions = self.refused = 0
        self.places: dict[str, str] = {}

    def one(self, data: bytes) -> None:
        self.executions += 1
        begun = time.process_time()
        try:
            self.refused += bool(READERS[self.reader](data))
            if time.process_time() - begun > SECONDS_MAX:
                raise TooSlowError(f"{time.process_time() - begun:.1f} s for {len(data)} bytes")  # noqa: TRY301
        except Exception as error:  # noqa: BLE001 - whatever it is, it breaks the law
            self._keep(data, error)
        self.tell()  # after each, since libFuzzer ends a process without a word

    def _keep(self, data: bytes, error: Exception) -> None:
        place = _place(error)
        if place in self.places:
            return
        name = f"{self.reader}-{hashlib.sha256(place.encode()).hexdigest()[:10]}"
        self.places[place] = name
        path = self.crashes / name
        if not path.exists() or path.stat().st_size > len(data):
            path.write_bytes(data)
            (self.crashes / f"{name}.why").write_text("".join(traceback.format_exception(error)), encoding="utf-8")

    def tell(self) -> None:
        told = {
            "seeds": self.seeds,
            "executions": self.executions,
            "refused": self.refused,
            "crashes": sorted(self.places.values()),
        }
        self.told.write_text(json.dumps(told), encoding="utf-8")


def _place(error: Exception) -> str:
    """What was raised, and the last line of `wallwalk` on its way."""
    frames = [f for f in traceback.extract_tb(error.__traceback__) if "/wallwalk/" in f.filename]
    last = frames[-1] if frames else traceback.extract_tb(error.__traceback__)[-1]
    return f"{type(error).__name__} {Path(last.filename).name}:{last.name}:{last.line}"


def _mutate(data: bytes, most: int, seed: int) -> bytes:
    """Half of the time what libFuzzer makes of it, half of the time a document spoiled as people spoil them."""
    chance = Random(seed)  # noqa: S311 - test data, not a secret
    if chance.random() < 0.5:
        return bytes(atheris.Mutate(data, most))
    return spoil(data, chance)[:most]


def _cross(data: bytes, other: bytes, most: int, seed: int) -> bytes:
    """The lines of one document up to some point, then those of another."""
    chance = Random(seed)  # noqa: S311
    mine, its = data.splitlines(keepends=True), other.splitlines(keepends=True)
    return b"".join(mine[: chance.randrange(len(mine) + 1)] + its[chance.randrange(len(its) + 1) :])[:most]


def main() -> None:
    """Run until libFuzzer ends it."""
    reader, told, crashes, folder, bound, *arguments = sys.argv[1:]
    seeds = corpus.seeds(reader)
    run = _Run(reader, len(seeds), Path(told), Path(crashes))
    for i, seed in enumerate(seeds):
        (Path(folder) / f"seed-{i:03}").write_bytes(seed)
    if bound.startswith("-runs="):  # libFuzzer counts the seeds, too
        bound = f"-runs={int(bound.removeprefix('-runs=')) + len(seeds)}"
    atexit.register(targets.tidy)
    targets.warm_up(reader)
    atheris.Setup(
        [sys.argv[0], bound, *arguments, folder],
        run.one,
        custom_mutator=_mutate,
        custom_crossover=_cross,
        internal_libfuzzer=True,
    )
    atheris.Fuzz()


if __name__ == "__main__":
    main()
