"""The order in which the changes of a rule set are read: the newest first."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

T = TypeVar("T")


def newest_first(changes: Iterable[T], date_of: Callable[[T], str]) -> tuple[T, ...]:
    """The changes, each with a date such as 2026-11-25, the newest first; of one day, the one written last."""
    last_first = [*changes]
    last_first.reverse()
    return tuple(sorted(last_first, key=date_of, reverse=True))
