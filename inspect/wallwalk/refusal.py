"""How the readers of rule files say no: what is wrong, where in the document, and what to write instead."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from wallwalk.yamlio import Path_

T = TypeVar("T")


class RefusedError(Exception):
    """One fault or more of one part of a document, each as (path, found, instead)."""

    def __init__(self, faults: Iterable[tuple[Path_, str, str]]) -> None:
        super().__init__()
        self.faults = tuple(faults)


def refuse(path: Path_, found: str, instead: str) -> RefusedError:
    """A refusal with one fault, to be raised."""
    return RefusedError([(path, found, instead)])


def read_each(readers: Iterable[Callable[[], T]]) -> tuple[T, ...]:
    """What every reader reads; if any refuses, one refusal with the faults of all that do."""
    read: list[T] = []
    faults: list[tuple[Path_, str, str]] = []
    for reader in readers:
        try:
            read.append(reader())
        except RefusedError as refused:
            faults.extend(refused.faults)
    if faults:
        raise RefusedError(faults)
    return tuple(read)
