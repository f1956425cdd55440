"""The interview itself: a line in, the next state and what it says out. It touches neither terminal, clock nor disk."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from wallwalk.interview.answering import answer, put
from wallwalk.interview.commands import BACK, DONE, HELP, NEXT, SHOW, UNKNOWN, read_command, show_commands
from wallwalk.interview.draft import Data, value_at
from wallwalk.interview.listing import (
    leave_entry,
    leave_or_go_on,
    reply_in_entry,
    reply_to_copying,
    reply_to_list,
    reply_to_stamping,
)
from wallwalk.interview.prompts import (
    lines_of,
    offered_names,
    show_group,
    show_heading,
    show_list,
    show_question,
    show_reasons,
)
from wallwalk.interview.spots import Spot
from wallwalk.interview.standing import show_holds
from wallwalk.interview.state import (
    COPY,
    STAMP,
    Setting,
    State,
    Turn,
    go_on,
    go_to,
    left_open,
    left_open_of,
    left_to_ask,
    show_state,
)


def begin(setting: Setting, data: Data) -> Turn:
    """An interview that goes on with the survey `data`, at the first thing left to ask. Raises `InputError`."""
    state = State(setting, data, data, setting.judge(data), None)
    left = left_to_ask(state)
    state = replace(state, spot=left[0] if left else None)
    says = (*lines_of(show_commands(setting.words)), "", *show_state(state))
    return Turn(state, (*says, *_prompt(state, None)))


def reply(state: State, typed: str, at: datetime) -> Turn:
    """What follows on a line `typed` at the moment `at`."""
    clean = " ".join(typed.split())
    if not clean.isprintable() or "\ufffd" in clean:
        says = lines_of(state.words.say("That holds signs that are no text; type it again."), 2)
        return Turn(state, (*says, *_prompt(state, state.spot)))
    turn = _command(state, clean) or _answered(state, clean, at)
    changed = turn.state.kept is not state.kept
    shown = show_state(turn.state, state.standing) if changed else ()
    if turn.state.ended:
        return Turn(turn.state, (*turn.says, *shown))
    return Turn(turn.state, (*turn.says, *shown, *_prompt(turn.state, state.spot)))


def _answered(state: State, typed: str, at: datetime) -> Turn:
    spot = state.spot
    if spot is None:
        return Turn(replace(state, ended=not typed))
    if state.mode == STAMP:
        return reply_to_stamping(state, typed, at)
    if state.mode == COPY:
        return reply_to_copying(state, spot, typed)
    if spot.is_list:
        return reply_to_list(state, spot, typed, at)
    if spot.entry is not None:
        return reply_in_entry(state, spot, typed, at)
    if not typed:
        return Turn(go_on(left_open(state, spot)))
    after, says, taken = answer(state, spot, typed, at)
    return Turn(go_on(after) if taken else after, says)


# -- what can be typed instead of an answer ---------------------------------------------------------------------------


def _command(state: State, typed: str) -> Turn | None:
    """What follows on a command; None where the line is none."""
    command, spot = read_command(typed, state.words), state.spot
    if command == DONE:
        return Turn(replace(state, ended=True))
    if command == SHOW:
        return Turn(state, _holds(state))
    if command == BACK:
        return _back(state)
    if command == HELP and spot is not None:
        return Turn(state, tuple(show_reasons(spot, state.setting.rule_set, state.words)))
    if command == NEXT and spot is not None:
        return leave_entry(state, spot, by_force=True) if spot.entry is not None else Turn(_past_theme(state, spot))
    if command == UNKNOWN and spot is not None and not spot.is_list:
        after, says, taken = put(state, spot, None)
        after = left_open(after, spot)
        on = leave_or_go_on(after, spot) if spot.entry is not None else Turn(go_on(after))
        return Turn(on.state, (*says, *on.says)) if taken else Turn(state, says)
    return _list_called(state, typed)


def _back(state: State) -> Turn:
    if not state.trail:
        return Turn(state, (f"  {state.words.say('This is the first one.')}",))
    return Turn(replace(state, spot=state.trail[-1], trail=state.trail[:-1], data=state.kept, mode="answer"))


def _past_theme(state: State, spot: Spot) -> State:
    for other in left_to_ask(state):
        if (other.base, other.section) == (spot.base, spot.section):
            state = left_open(state, other)
    return go_on(left_open(state, spot))


def _list_called(state: State, typed: str) -> Turn | None:
    """The list that `typed` is the name of: of the wall at hand first, then of the space."""
    told = typed.lower()
    base = state.spot.base if state.spot is not None else ()
    lists = [s for s in state.setting.route.lists(state.data) if told in {s.asked.path, s.asked.title.lower()}]
    found = [s for s in lists if s.base == base] or [s for s in lists if not s.base]
    return Turn(go_to(replace(state, data=state.kept), found[0])) if found else None


def _holds(state: State) -> tuple[str, ...]:
    words = state.words
    lines = []
    for party, checks in show_holds(state.standing, state.setting.rule_set, words):
        lines += ["", *lines_of(f"{party}:", 2)]
        lines += [line for check in checks for line in lines_of(f"- {check}", 2, 4)]
    return (
        *(lines or lines_of(words.say("Nothing holds so far but what is not verified."), 2)),
        "",
        *show_state(state),
    )


# -- what is asked next -----------------------------------------------------------------------------------------------


def _prompt(state: State, before: Spot | None) -> tuple[str, ...]:
    """What is asked now, under a heading where another theme begins."""
    spot, words = state.spot, state.words
    if spot is None:
        return _at_the_end(state)
    is_new = before is None or (before.base, before.section) != (spot.base, spot.section)
    lines = show_heading(spot, state.data, words) if is_new else []
    asked, group = _asked(state, spot), show_group(spot, state.setting.rule_set)
    if group and (is_new or group != show_group(before, state.setting.rule_set)):
        asked = ["", *lines_of(group), *asked[1:]]
    return (*lines, *asked)


def _at_the_end(state: State) -> tuple[str, ...]:
    words, count = state.words, left_open_of(state)
    left = words.say_many(
        "{count} question was left open; walking again asks it.",
        "{count} questions were left open; walking again asks them.",
        count,
    )
    said = [
        words.say("Nothing else is left to ask."),
        *([left] if count else []),
        words.say("Enter: stop here. < goes back."),
    ]
    return ("", *lines_of(" ".join(said)))


def _asked(state: State, spot: Spot) -> list[str]:
    words = state.words
    if state.mode == STAMP:
        asked = words.say("Are you reading now, so that each reading gets the time at which you type it? y or n")
        return ["", *lines_of(asked)]
    if state.mode == COPY:
        name = value_at(dict(state.data), spot.path)
        return ["", *lines_of(words.say("Did you look, and is all of this true of {wall} as well? y or n", wall=name))]
    if spot.is_list:
        return show_list(spot, state.data, words)
    question = spot.question
    offered = offered_names(question, state.data, state.setting.zone) if question is not None else ()
    return show_question(spot, offered, state.setting.rule_set, state.data, words)
