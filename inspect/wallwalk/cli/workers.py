"""Work in processes of its own, so that no item can take the others with it; what comes out keeps the order.

A worker that dies, or takes too long over an item, costs that item only: another takes its place. The pools of the
standard library give up as a whole then, and do not say which item it was.
"""

from __future__ import annotations

import multiprocessing
import signal
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from typing import Any, Generic, TypeVar

T = TypeVar("T")
R = TypeVar("R")

SECONDS_MAX = 300
"""So long may one item take. A climate log of a million rows takes a few seconds."""

_AHEAD = 8
"""So many items for each worker may be given out before the turn of the first has come; this bounds the memory."""

_SPAWN = multiprocessing.get_context("spawn")
_NONE = -1


@dataclass(frozen=True, slots=True)
class _Lost:
    """What there is of an item that cost its process: why."""

    why: str


class _Worker(Generic[T, R]):
    """One process, and the item it has in hand; `number` is that item's place in the order."""

    def __init__(self, make: Callable[[], Callable[[T], R]]) -> None:
        self._make = make
        self._start()

    def _start(self) -> None:
        self.pipe, theirs = _SPAWN.Pipe()
        self._process = _SPAWN.Process(target=_work, args=(self._make, theirs), daemon=True)
        self._process.start()
        theirs.close()
        self.number = _NONE

    def give(self, number: int, item: T, seconds: float) -> None:
        self.number, self.item = number, item
        self.until = time.monotonic() + seconds
        with suppress(OSError):  # it died while it waited; taking its answer says so
            self.pipe.send(item)

    def take(self) -> R | _Lost:
        """What it made of its item; or how it died, and another process stands in for it."""
        try:
            made: R = self.pipe.recv()
        except (EOFError, OSError):
            self._process.join()
            return self._replaced(f"ended the process that worked on it ({_how_ended(self._process.exitcode)})")
        self.number = _NONE
        return made

    def give_up(self, seconds: float) -> _Lost:
        """End the process over the item it has in hand."""
        return self._replaced(f"took over {seconds:g} s")

    def _replaced(self, why: str) -> _Lost:
        self.stop()
        self._start()
        return _Lost(why)

    def stop(self) -> None:
        self.pipe.close()
        self._process.kill()
        self._process.join()


def in_workers(
    items: Iterable[T],
    make: Callable[[], Callable[[T], R]],
    failed: Callable[[T, str], R],
    jobs: int,
    seconds: float = SECONDS_MAX,
) -> Iterator[R]:
    """What `make()` makes of each item, in the order of `items`, by `jobs` processes.

    `make` and the items travel to the processes. `failed` gives the result of an item that cost its process, and why.
    """
    workers: list[_Worker[T, R]] = [_Worker(make) for _ in range(jobs)]
    numbered, done = enumerate(items), dict[int, R]()
    turn, last = 0, _NONE
    try:
        while True:
            for worker in (w for w in workers if w.number == _NONE):
                one = next(numbered, None) if last - turn < _AHEAD * jobs else None
                if one is not None:
                    last = one[0]
                    worker.give(*one, seconds)
            busy = [w for w in workers if w.number != _NONE]
            if not busy:
                return
            done.update(_taken(busy, failed, seconds))
            while turn in done:
                yield done.pop(turn)
                turn += 1
    finally:
        for worker in workers:
            worker.stop()


def _taken(busy: list[_Worker[T, R]], failed: Callable[[T, str], R], seconds: float) -> Iterator[tuple[int, R]]:
    """Wait until some are through, or over their time, and take what they have made."""
    ready: list[Any] = wait([w.pipe for w in busy], max(0, min(w.until for w in busy) - time.monotonic()))
    for worker in busy:
        number, item = worker.number, worker.item
        if worker.pipe in ready:
            made = worker.take()
        elif time.monotonic() >= worker.until:
            made = worker.give_up(seconds)
        else:
            continue
        yield number, failed(item, made.why) if isinstance(made, _Lost) else made


def _work(make: Callable[[], Callable[[T], R]], pipe: Connection) -> None:
    """What a process does until nobody asks any more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # who started it stops it
    work = make()
    while True:
        try:
            item = pipe.recv()
        except EOFError:
            return
        pipe.send(work(item))


def _how_ended(code: int | None) -> str:
    return signal.Signals(-code).name if code is not None and code < 0 else f"exit code {code}"
