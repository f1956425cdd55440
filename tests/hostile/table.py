"""Prints the table of attacks in Markdown, each tried here and now: python tests/hostile/table.py."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path

if __name__ == "__main__":
    sys.path[:0] = [str(Path(__file__).parents[i] / part) for i, part in ((1, ""), (1, "browser"), (0, ""))]

from attack import KINDS, Attack, Scene
from attacks import ATTACKS
from pages import chromium

_COLUMNS = ("attack", "what is given", "through", "into", "stopped in", "what is seen")


def as_table(attacks: Iterable[Attack], failed: Mapping[str, str]) -> str:
    """The table in Markdown with how many were tried and stopped; `failed` says by name what was not stopped."""
    rows = list(attacks)
    lines = [f"{len(rows)} attacks tried, {len(rows) - len(failed)} stopped.", ""]
    lines += [f"**NOT STOPPED**: {name}: {why}" for name, why in failed.items()]
    lines += [f"| {' | '.join(_COLUMNS)} |", f"|{'---|' * len(_COLUMNS)}"]
    for of in KINDS:
        for one in (one for one in rows if one.of == of):
            cells = (one.name, one.gives, one.through, one.into, one.stopped, one.seen)
            lines.append(f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in cells)} |")
    return "\n".join(lines) + "\n"


def try_all(attacks: Iterable[Attack]) -> dict[str, str]:
    """By name, why an attack was not stopped."""
    failed = {}
    with chromium() as browser:
        for one in attacks:
            with tempfile.TemporaryDirectory() as folder:
                try:
                    one.check(Scene(Path(folder), cache(lambda: browser)))
                except Exception as error:  # noqa: BLE001 - whatever it is, the attack was not stopped as it says
                    failed[one.name] = f"{type(error).__name__}: {error}".splitlines()[0]
    return failed


if __name__ == "__main__":
    failures = try_all(ATTACKS)
    sys.stdout.write(as_table(ATTACKS, failures))
    sys.exit(1 if failures else 0)
