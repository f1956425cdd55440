"""An interview as it stands: what is written down, where it is, and how it moves on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from wallwalk.errors import Fault, InputError
from wallwalk.interview.draft import Data
from wallwalk.interview.prompts import lines_of
from wallwalk.interview.spots import Route, Spot, is_answered, is_wanted
from wallwalk.interview.standing import Standing, show_counts, show_earliest, show_new_holds
from wallwalk.rules import RuleSet
from wallwalk.words import Words
from wallwalk.yamlio import Path_

Judge = Callable[[Data], Standing]
"""Reads and judges a survey so far. Raises `InputError`."""

ANSWER, STAMP, COPY = "answer", "stamp", "copy"
"""What the next line is for: the spot itself, whether readings are stamped, whether what was copied is true."""


@dataclass(frozen=True, slots=True)
class Setting:
    """What does not change while the interview runs; `zone` is a time zone to offer, or nothing."""

    rule_set: RuleSet
    route: Route
    judge: Judge
    words: Words
    zone: str


@dataclass(frozen=True, slots=True)
class State:
    """Where an interview stands.

    `kept` is the survey that was last read without a fault, to be saved; `data` is ahead of it while an entry cannot
    be read yet. `spot` is None once nothing is left to ask. `passed` holds the places left open on purpose, `trail`
    the spots behind. `stamping`: whether each reading gets the time at which it is typed. `source`: the wall to copy.
    """

    setting: Setting
    data: Data
    kept: Data
    standing: Standing
    spot: Spot | None
    passed: frozenset[Path_] = frozenset()
    trail: tuple[Spot, ...] = ()
    mode: str = ANSWER
    stamping: bool | None = None
    source: int | None = None
    ended: bool = False

    @property
    def words(self) -> Words:
        """The words of the interview's language."""
        return self.setting.words


@dataclass(frozen=True, slots=True)
class Turn:
    """An interview after one line, and what it says to that."""

    state: State
    says: tuple[str, ...] = ()


def left_to_ask(state: State) -> tuple[Spot, ...]:
    """Every spot that matters, has no answer, and was not left open on purpose."""
    wanted = state.standing.wanted
    return tuple(
        s
        for s in state.setting.route.spots(state.data)
        if is_wanted(s, wanted) and not is_answered(s, state.data) and s.path not in state.passed
    )


def left_open_of(state: State) -> int:
    """How many questions that matter were left open on purpose."""
    wanted, route = state.standing.wanted, state.setting.route
    spots = (s for s in route.spots(state.data) if s.path in state.passed and is_wanted(s, wanted))
    return sum(not is_answered(spot, state.data) for spot in spots)


def go_to(state: State, spot: Spot | None) -> State:
    """The interview at another spot; the one it leaves is remembered."""
    trail = state.trail if state.spot is None or spot == state.spot else (*state.trail, state.spot)
    return replace(state, spot=spot, trail=trail, mode=ANSWER)


def go_on(state: State) -> State:
    """The interview at the next spot that is left to ask, or, past the last, at the first of them."""
    here = state.spot.path if state.spot is not None and state.spot.entry is None else state.spot and state.spot.roll
    order = [s.path for s in state.setting.route.spots(state.data)]
    behind = set(order[: order.index(here) + 1]) if here in order else set()
    left = left_to_ask(state)
    return go_to(state, next((s for s in left if s.path not in behind), left[0] if left else None))


def left_open(state: State, spot: Spot) -> State:
    """The interview with `spot` left open on purpose."""
    return replace(state, passed=state.passed | {spot.path})


def keep(state: State, data: Data, own: str, *, may_wait: bool) -> tuple[State, tuple[Fault, ...]]:
    """The interview with `data` written down, where it can be read; else as it was, and the faults.

    `own` is the place that was just answered. `may_wait`: inside an entry, a fault anywhere else may still be cured by
    the answers that follow, so that `data` is written down and not yet kept.
    """
    try:
        standing = state.setting.judge(data)
    except InputError as error:
        waits = may_wait and all(fault.path != own for fault in error.faults)
        return (replace(state, data=data) if waits else state), error.faults
    return replace(state, data=data, kept=data, standing=standing), ()


def show_state(state: State, before: Standing | None = None) -> tuple[str, ...]:
    """How the survey stands in a line or two, and what holds it since `before`."""
    words, standing = state.words, state.standing
    new = show_new_holds(before, standing, words) if before is not None else ()
    earliest = show_earliest(standing, words)
    if before is not None and earliest == show_earliest(before, words):
        earliest = ""
    lines = [line for held in new for line in lines_of(f"! {held}", 2, 4)]
    lines += lines_of(show_counts(standing, len(left_to_ask(state)), words))
    return (*lines, *lines_of(earliest))
