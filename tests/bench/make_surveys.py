"""Makes surveys by the thousand from the example rooms, the same ones for the same seed.

Run: .venv/bin/python tests/bench/make_surveys.py FOLDER COUNT [--walls 6] [--seed 7]. Each is one of the rigid sheet
examples, as it is written, with walls drawn from that example, another name and start, and up to four answers left out.
Climate logs and photos are left out, so that a file is all there is to read.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from random import Random

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
BASES = ("014-old-dispensary", "031-staff-kitchen", "110-link-corridor", "204-treatment-room", "204-treatment-room")
"""The room that is ready stands here twice, so that some of what is made passes."""

_BLOCK = re.compile(r"^(?=[a-z_]+:)", re.MULTILINE)
_WALL = re.compile(r"^(?=  - name:)", re.MULTILINE)
_WALL_NAME = re.compile(r"^  - name: .*$", re.MULTILINE)
_SPACE_NAME = re.compile(r"^(space:\n  name: )", re.MULTILINE)
_START = re.compile(r"^planned_start: (\S+ \S+)", re.MULTILINE)
_ANSWER = re.compile(r"^ +(?!name:)[a-z_]+: [^>|{\n]*\n", re.MULTILINE)
_LOT = re.compile(r"(\{lot: .*(?:count|quantity): )(\d+)")
_LEFT_OUT = ("climate_log:", "climate_logs_kept:", "photos:", "overlays:")


@dataclass(frozen=True)
class Base:
    """An example taken apart: what stands before its walls, each of them, and what stands after."""

    before: str
    walls: tuple[str, ...]
    after: str


def read_base(name: str) -> Base:
    """The example of that name, without logs, photos and overlays."""
    text = (EXAMPLES / f"{name}.yaml").read_text(encoding="utf-8")
    blocks = [part for part in _BLOCK.split(text) if not part.startswith(_LEFT_OUT)]
    at = next(i for i, part in enumerate(blocks) if part.startswith("walls:"))
    before = "".join(part for part in blocks[:at] if not part.startswith("walls_in_scope:"))
    walls = tuple(part.rstrip() + "\n" for part in _WALL.split(blocks[at])[1:])
    after = _LOT.sub(lambda lot: f"{lot[1]}{10 * int(lot[2])}", "".join(blocks[at + 1 :]))  # enough for other walls too
    return Base(before, walls, after)


def make_survey(bases: tuple[Base, ...], number: int, walls: int, seed: int) -> str:
    """The text of one survey; the same number and seed give the same one, however many are made."""
    chance = Random(f"{seed} {number}")  # noqa: S311 - a bench, not a secret
    base = chance.choice(bases)
    before = _SPACE_NAME.sub(lambda found: f"{found[1]}{number:05} ", base.before)
    before = _START.sub(lambda start: f"planned_start: {_moved(start[1], chance.randrange(-6, 16))}", before)
    chosen = (_WALL_NAME.sub(f"  - name: Wall {i + 1}", chance.choice(base.walls)) for i in range(walls))
    text = f"{before}climate_logs_kept: 0\nwalls_in_scope: {walls}\nwalls:\n{''.join(chosen)}\n{base.after}"
    answers = list(_ANSWER.finditer(text))
    for answer in sorted(chance.sample(answers, chance.choice((0, 0, 1, 2, 4))), key=lambda found: -found.start()):
        text = text[: answer.start()] + text[answer.end() :]
    return text


def _moved(start: str, hours: int) -> str:
    return f"{datetime.fromisoformat(start) + timedelta(hours=hours):%Y-%m-%d %H:%M}"


def make_surveys(folder: Path, count: int, walls: int = 6, seed: int = 7) -> Iterator[Path]:
    """Write `count` surveys of `walls` walls each into `folder`, as 00000.yaml and so on; yields each path."""
    bases = tuple(map(read_base, BASES))
    folder.mkdir(parents=True, exist_ok=True)
    for number in range(count):
        path = folder / f"{number:05}.yaml"
        path.write_text(make_survey(bases, number, walls, seed), encoding="utf-8")
        yield path


def main() -> None:
    """Write the surveys and say how many."""
    parser = argparse.ArgumentParser(description="Make surveys by the thousand from the example rooms.")
    parser.add_argument("folder", type=Path)
    parser.add_argument("count", type=int)
    parser.add_argument("--walls", type=int, default=6)
    parser.add_argument("--seed", type=int, default=7)
    given = parser.parse_args()
    made = sum(1 for _ in make_surveys(given.folder, given.count, given.walls, given.seed))
    sys.stdout.write(f"{made} surveys in {given.folder}\n")


if __name__ == "__main__":
    main()
