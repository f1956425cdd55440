"""How the readers of rule files say no: what is wrong, where in the document, and what to write instead."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from wallwalk.yamlio import Path_

T = TypeVar("T")


class RefusedError(Exception):
    """The faults of one part of a document, each as (path, found, instead).

    None where the part only leans on another that is refused: the writer has one thing to mend, and hears of one.
    """

    def __init__(self, faults: Iterable[tuple[Path_, str, str]]) -> None:
        super().__init__()
        self.faults = tuple(faults)


def refuse(path: Path_, found: str, instead: str) -> RefusedError:
    """A refusal with one fault, to be raised."""
    return RefusedError([(path, found, instead)])


def read_each(readers: Iterable[Callable[[], T]]) -> tuple[T, ...]:
    """What every reader reads; if any refuses, one refusal with the faults of all that do."""
    read: list[T] = []
    refusals: list[RefusedError] = []
    for reader in readers:
        try:
            read.append(reader())
        except RefusedError as refused:
            refusals.append(refused)
    if refusals:
        raise RefusedError(fault for refused in refusals for fault in refused.faults)
    return tuple(read)
