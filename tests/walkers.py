"""Walks that are told what to answer: a survey's own answers typed at the questions of the interview, in its order."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any

from wallwalk.cli.walked import Walked, open_walk
from wallwalk.interview.draft import entries_at, value_at
from wallwalk.interview.spots import Spot
from wallwalk.interview.state import STAMP, Setting, State
from wallwalk.interview.talk import begin, reply

NOW = datetime(2026, 3, 9, 20, 30, tzinfo=UTC)


def walk_of(path: Path, language: str = "en", rules: str | None = None) -> Walked:
    """A walk whose survey is, or will be, at `path`."""
    return open_walk(path, rules, (), language, "America/Chicago")


@cache
def setting_in(language: str) -> Setting:
    """The setting of a walk by the rule set for rigid sheet, in a folder that holds nothing; nothing is saved."""
    return walk_of(Path("nowhere") / "r.yaml", language).setting


def said_by(node: Any) -> str:  # noqa: ANN401 - whatever a survey holds
    """An answer as it is typed."""
    if isinstance(node, bool):
        return "y" if node else "n"
    return "" if node is None else str(node)


def typed_for(state: State, wanted: Any) -> str:  # noqa: ANN401 - a document's data
    """What a person with the survey `wanted` in their head types at the spot of `state`."""
    spot = state.spot
    if spot is None:
        return ""
    if state.mode == STAMP:
        return "n"
    if not spot.is_list:
        return said_by(value_at(wanted, spot.path))
    return _at_list(state, spot, wanted)


def _at_list(state: State, spot: Spot, wanted: Any) -> str:  # noqa: ANN401
    written, listed = len(entries_at(state.data, spot.roll)), len(entries_at(wanted, spot.roll))
    if written < listed:
        return "y"
    counted = value_at(wanted, (*spot.base, spot.asked.counted_by)) if spot.asked.counted_by else None
    return "" if counted is None else f"n {counted}"


def lines_for(setting: Setting, wanted: Any) -> Iterator[tuple[str, State, tuple[str, ...]]]:  # noqa: ANN401
    """Each line typed, the interview after it and what it said, until nothing is left to ask."""
    state = begin(setting, {}).state
    while not state.ended:
        typed = typed_for(state, wanted)
        turn = reply(state, typed, NOW)
        state = turn.state
        yield typed, state, turn.says
