"""Work in processes of its own, so that no item can take the others with it; what comes out keeps the order.

A worker that dies, or takes too long over an item, costs that item only: another takes its place. The pools of the
standard library give up as a whole then, and do not say which item it was.
"""

from __future__ import annotations

import multiprocessing
import signal
import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from multiprocessing import resource_tracker
from multiprocessing.connection import Connection, wait
from typing import Any, Generic, TypeVar

T = TypeVar("T")
R = TypeVar("R")

SECONDS_MAX = 300
"""So long may one item take. A climate log of a million rows takes a few seconds."""

_AHEAD = 8
"""So many items for each worker may be given out before the turn of the first has come; this bounds the memory."""

_IN_HAND = 4
"""So many items lie with a worker at once, so that it need not wait until it is given the next."""

_SPAWN = multiprocessing.get_context("spawn")


class _Worker(Generic[T, R]):
    """One process, and the items that lie with it, each with its place in the order; it works on the first."""

    def __init__(self, make: Callable[[], Callable[[T], R]], seconds: float) -> None:
        self._make = make
        self._seconds = seconds
        self._start()

    def _start(self) -> None:
        self.pipe, theirs = _SPAWN.Pipe()
        self._process = _SPAWN.Process(target=_work, args=(self._make, theirs), daemon=True)
        resource_tracker.ensure_running()  # which would let Ctrl-C through again
        with _undisturbed():
            self._process.start()
        theirs.close()
        self.held = deque[tuple[int, T]]()

    @property
    def has_room(self) -> bool:
        return len(self.held) < _IN_HAND

    def give(self, one: tuple[int, T]) -> None:
        if not self.held:
            self.until = time.monotonic() + self._seconds
        self.held.append(one)
        with suppress(OSError):  # it died while it waited; taking its answer says so
            self.pipe.send(one[1])

    def take(self) -> R | _Lost:
        """What it made of its first item; or how it died over it, and another process stands in for it."""
        try:
            made: R = self.pipe.recv()
        except (EOFError, OSError):
            self._process.join()
            return self._replaced(f"ended the process that worked on it ({_how_ended(self._process.exitcode)})")
        self.held.popleft()
        self.until = time.monotonic() + self._seconds
        return made

    def give_up(self) -> _Lost:
        """End the process over its first item."""
        return self._replaced(f"took over {self._seconds:g} s")

    def _replaced(self, why: str) -> _Lost:
        self.stop()
        (_, item), *left = self.held
        self._start()
        for one in left:
            self.give(one)
        return _Lost(item, why)

    def stop(self) -> None:
        self.pipe.close()
        self._process.kill()
        self._process.join()


@dataclass(frozen=True, slots=True)
class _Lost:
    """What there is of an item that cost its process: why."""

    item: Any
    why: str


def in_workers(
    items: Iterable[T],
    make: Callable[[], Callable[[T], R]],
    failed: Callable[[T, str], R],
    jobs: int,
    seconds: float = SECONDS_MAX,
) -> Iterator[R]:
    """What `make()` makes of each item, in the order of `items`, by `jobs` processes.

    `make` and the items, which are small, travel to the processes. `failed` gives the result of an item that cost its
    process, and why.
    """
    workers: list[_Worker[T, R]] = [_Worker(make, seconds) for _ in range(jobs)]
    numbered, done = enumerate(items), dict[int, R]()
    turn = given = 0
    try:
        while True:
            while given < turn + _AHEAD * jobs and (free := min(workers, key=lambda w: len(w.held))).has_room:
                one = next(numbered, None)
                if one is None:
                    break
                free.give(one)
                given += 1
            if turn == given:
                return
            done.update(_taken([w for w in workers if w.held], failed))
            while turn in done:
                yield done.pop(turn)
                turn += 1
    finally:
        for worker in workers:
            worker.stop()


def _taken(busy: list[_Worker[T, R]], failed: Callable[[T, str], R]) -> Iterator[tuple[int, R]]:
    """Wait until some are through, or over their time, and take what they have made."""
    ready: list[Any] = wait([w.pipe for w in busy], max(0, min(w.until for w in busy) - time.monotonic()))
    for worker in busy:
        number = worker.held[0][0]
        if worker.pipe in ready:
            made = worker.take()
        elif time.monotonic() >= worker.until:
            made = worker.give_up()
        else:
            continue
        yield number, failed(made.item, made.why) if isinstance(made, _Lost) else made


def _work(make: Callable[[], Callable[[T], R]], pipe: Connection) -> None:
    """What a process does until nobody asks any more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # who started it stops it
    with suppress(EOFError, ConnectionError):  # who asked is gone
        work = make()
        while True:
            pipe.send(work(pipe.recv()))


@contextmanager
def _undisturbed() -> Iterator[None]:
    """Ctrl-C waits until the block has ended, and never reaches a process that is started in it."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _how_ended(code: int | None) -> str:
    return signal.Signals(-code).name if code is not None and code < 0 else f"exit code {code}"
