"""Kills 200 writers at random moments in the folder that it is given, and looks after each what is there.

Run by `test_writing.py` as a program of its own, since it forks. Prints one line of JSON: how many kills left a
temporary file, how often a version was seen that the kill before had not, and everything that was amiss.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import signal
import sys
import time
from itertools import count
from pathlib import Path
from random import Random

from wallwalk.writing import LEFT_OVER, write_whole

KILLS = 200
PER_WRITER = 1_000_000
KEPT = b"an earlier report\n"


def version(number: int) -> bytes:
    """200 kB that say their number and end in their own digest."""
    body = f"{number}\n".encode() + b"x" * 200_000
    return body + hashlib.sha256(body).hexdigest().encode()


def number_of(content: bytes) -> int | None:
    """The number of a version that is whole; None of one that is not."""
    body, said = content[:-64], content[-64:]
    return int(body.split(b"\n")[0]) if hashlib.sha256(body).hexdigest().encode() == said else None


def write_for_ever(folder: Path, writer: int) -> None:
    """One new file, and then version after version over the same one."""
    write_whole(folder / f"new-{writer}.bin", version(writer), overwrite=False)
    for number in count(writer * PER_WRITER):
        write_whole(folder / "same.bin", version(number), overwrite=True)


def seconds_of_a_write(folder: Path) -> float:
    """How long one takes here and now: on a busy machine, ten times as long as on an idle one."""
    begun = time.perf_counter()
    for number in range(5):
        write_whole(folder / "timed.bin", version(number), overwrite=True)
    (folder / "timed.bin").unlink()
    return (time.perf_counter() - begun) / 5


def main(folder: Path) -> None:
    """All of it."""
    chance = Random(20261125)  # noqa: S311 - test data, not a secret
    (folder / "kept.bin").write_bytes(KEPT)
    amiss: list[str] = []
    new: dict[str, int] = {}
    same = moved = 0
    usual = seconds_of_a_write(folder)
    begun, says_begun = os.pipe()
    for writer in range(1, KILLS + 1):
        child = os.fork()
        if child == 0:
            os.write(says_begun, b".")
            write_for_ever(folder, writer)
        os.read(begun, 1)  # on a busy machine a writer waits for its turn
        time.sleep(chance.uniform(0, max(0.02, 4 * usual)))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        found = {p.name: p.read_bytes() for p in folder.iterdir() if not LEFT_OVER.fullmatch(p.name)}
        numbers = {name: number_of(content) for name, content in found.items() if name != "kept.bin"}
        amiss += [f"writer {writer} left a part of {name}" for name, number in numbers.items() if number is None]
        amiss += [f"writer {writer} lost {name}" for name in new if numbers.get(name) != new[name]]
        amiss += [f"writer {writer} left {name}" for name in numbers if not re.fullmatch(r"(same|new-\d+)\.bin", name)]
        if found["kept.bin"] != KEPT:
            amiss.append(f"writer {writer} changed kept.bin")
        if (now := numbers.get("same.bin") or 0) < same:
            amiss.append(f"writer {writer} put back version {now} for {same}")
        moved += now > same
        same = max(same, now)
        new = {name: number for name, number in numbers.items() if name != "same.bin" and number is not None}
    left = sum(bool(LEFT_OVER.fullmatch(p.name)) for p in folder.iterdir())
    print(json.dumps({"left": left, "moved": moved, "new": len(new), "amiss": amiss}))  # noqa: T201 - its answer


if __name__ == "__main__":
    main(Path(sys.argv[1]))
