"""Lists in an interview: an entry after the other, how many there are, and a wall that is like another."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from wallwalk.interview.answering import answer, put
from wallwalk.interview.commands import read_copy
from wallwalk.interview.draft import entries_at, value_at, with_value
from wallwalk.interview.prompts import is_of_subjects, lines_of, show_copied, show_refusal
from wallwalk.interview.spots import Spot, entry_spots, is_known, is_wanted
from wallwalk.interview.state import ANSWER, COPY, STAMP, State, Turn, go_on, go_to, keep, left_open, left_to_ask
from wallwalk.interview.typed import WRITE_Y_OR_N, is_yes, stamp
from wallwalk.questions import Question
from wallwalk.words import Words
from wallwalk.yamlio import Node, Path_

_SAME_FOR_WALLS = {"truth", "choice", "text", "last day"}
"""Kinds of answers that two walls may share. What was measured, counted or timed on one says nothing of another."""

_COUNT = re.compile(r"[0-9]{1,4}")


def reply_to_list(state: State, spot: Spot, typed: str, at: datetime) -> Turn:
    """What follows on a line typed where the list at `spot` is asked for."""
    words, entries = state.words, entries_at(state.data, spot.roll)
    told, in_all = _told_of_all(typed, len(entries), words)
    copied = read_copy(typed, words) if is_of_subjects(spot) else None
    if not typed:
        return Turn(go_on(left_open(state, spot)))
    if told is False:
        return _all_of_them(state, spot, in_all)
    if told:
        return begin_entry(replace(state, source=None), spot, len(entries), at)
    if copied is not None:
        source = _numbered(copied or ("1" if len(entries) == 1 else ""), entries)
        if source is not None:
            return begin_entry(replace(state, source=source), spot, len(entries), at)
    index = _numbered(typed, entries)
    if index is None:
        return Turn(state, show_refusal(typed, words.say("write y, n or the number of one of them"), words))
    if is_of_subjects(spot):
        return Turn(_at_subject(state, (spot.asked.path, index), again=True) or state)
    return begin_entry(state, spot, index, at)


def _told_of_all(typed: str, written: int, words: Words) -> tuple[bool | None, int]:
    """Whether one more is to be added, and how many there are in all: `n` says those written down, `n 3` that many."""
    first, _, rest = typed.partition(" ")
    told = is_yes(first, words)
    if rest and (told is not False or not _COUNT.fullmatch(rest)):
        return None, written
    return told, int(rest) if rest else written


def _numbered(typed: str, entries: list[Node]) -> int | None:
    """Which entry is meant by its number or its name."""
    if _COUNT.fullmatch(typed) and 1 <= int(typed) <= len(entries):
        return int(typed) - 1
    names = [value_at(entry, ("name",)) for entry in entries]
    return names.index(typed) if typed in names else None


def _all_of_them(state: State, spot: Spot, count: int) -> Turn:
    """Nothing more is written down: the count is, where one is asked for."""
    state = left_open(state, spot)
    if not spot.asked.counted_by:
        return Turn(go_on(state))
    path = (*spot.base, spot.asked.counted_by)
    after, faults = keep(state, with_value(state.data, path, str(count)), "", may_wait=False)
    says = tuple(f"  {fault.path} {fault.found}; {fault.instead}" for fault in faults)
    return Turn(after if faults else go_on(after), says)


# -- one entry --------------------------------------------------------------------------------------------------------


def begin_entry(state: State, spot: Spot, index: int, at: datetime) -> Turn:
    """The first question of an entry; before the first reading of all, whether readings are stamped."""
    first, *_ = entry_spots(spot, index)
    state = go_to(state, first)
    is_new = index == len(entries_at(state.data, spot.roll))
    if is_new and _is_stamp(first.question):
        if state.stamping is None:
            return Turn(replace(state, mode=STAMP))
        if state.stamping:
            return _stamped(state, first, at)
    return Turn(state)


def reply_to_stamping(state: State, typed: str, at: datetime) -> Turn:
    """Whether each reading gets the time at which it is typed: asked once, and never taken for granted."""
    told, words = is_yes(typed, state.words), state.words
    if told is None or state.spot is None:
        return Turn(state, show_refusal(typed, words.tell(WRITE_Y_OR_N), words))
    state = replace(state, stamping=told, mode=ANSWER)
    return _stamped(state, state.spot, at) if told and state.spot is not None else Turn(state)


def _is_stamp(question: Question | None) -> bool:
    return question is not None and question.kind == "moment" and question.path == f"{question.roll}.at"


def _stamped(state: State, spot: Spot, at: datetime) -> Turn:
    moment = stamp(at, state.standing.survey.zone)
    after, says, taken = put(state, spot, moment)
    said = tuple(lines_of(state.words.say("Read {when} (now).", when=moment), 2))
    return Turn(_after(after, spot) if taken else state, (*said, *says))


def reply_in_entry(state: State, spot: Spot, typed: str, at: datetime) -> Turn:
    """What follows on a line typed at a question of an entry."""
    if not typed:
        if _is_required(state, spot) and not is_known(value_at(dict(state.data), spot.path)):
            return Turn(go_to(state, _list_of(spot)), (f"  {state.words.say('Nothing was added.')}",))
        return leave_or_go_on(state, spot)
    after, says, taken = answer(state, spot, typed, at)
    if not taken:
        return Turn(state, says)
    if is_of_subjects(_list_of(spot)):
        return _named(after, spot, says)
    turn = leave_or_go_on(after, spot)
    return Turn(turn.state, (*says, *turn.says))


def leave_or_go_on(state: State, spot: Spot) -> Turn:
    """The next question of the entry, or the list again behind its last one."""
    after = _after(state, spot)
    return leave_entry(after, spot) if after.spot is not None and after.spot.is_list else Turn(after)


def _after(state: State, spot: Spot) -> State:
    own = entry_spots(_list_of(spot), spot.entry or 0)
    behind = own[own.index(spot) + 1 :]
    return go_to(state, behind[0] if behind else _list_of(spot))


def leave_entry(state: State, spot: Spot, *, by_force: bool = False) -> Turn:
    """The list again; an entry that cannot be read is asked again first, or dropped `by_force`."""
    words, at_list = state.words, _list_of(spot)
    if state.data == state.kept:
        return Turn(go_to(state, at_list))
    if by_force:
        dropped = replace(state, data=state.kept)
        return Turn(go_to(dropped, at_list), (f"  {words.say('What could not be read was left out.')}",))
    after, faults = keep(state, state.data, "", may_wait=False)
    places = {fault.path for fault in faults}
    own = entry_spots(at_list, spot.entry or 0)
    again = next((s for s in own if s.place in places), own[0])
    says = [line for fault in faults for line in lines_of(f"{fault.path} {fault.found}; {fault.instead}".strip(), 2, 4)]
    return Turn(go_to(after, again), tuple(says))


def _list_of(spot: Spot) -> Spot:
    return replace(spot, question=None, entry=None)


def _is_required(state: State, spot: Spot) -> bool:
    part = state.setting.rule_set.questions.schema["properties"].get(spot.asked.path, {})
    return not spot.base and spot.path[-1] in part.get("items", {}).get("required", ())


# -- subjects, such as walls ------------------------------------------------------------------------------------------


def _named(state: State, spot: Spot, says: tuple[str, ...]) -> Turn:
    """A wall has its name: on to its questions, or to what is copied from another."""
    base: Path_ = (spot.asked.path, spot.entry or 0)
    if state.source is None:
        return Turn(_at_subject(state, base) or go_on(state), says)
    copied = [(title, node) for _, title, node in copied_answers(state, spot)]
    if not copied:
        return Turn(_at_subject(state, base) or go_on(state), says)
    lines = show_copied(copied, state.words, state.setting.rule_set.questions)
    return Turn(replace(state, mode=COPY), (*says, *lines))


def _at_subject(state: State, base: Path_, *, again: bool = False) -> State | None:
    """The interview at the first thing left to ask of a subject, or `again` at the first of all that matters."""
    spots = state.setting.route.spots(state.data) if again else iter(left_to_ask(state))
    own = [s for s in spots if s.base == base and is_wanted(s, state.standing.wanted)]
    return go_to(state, own[0]) if own else None


def copied_answers(state: State, spot: Spot) -> Iterator[tuple[Path_, str, Node]]:
    """Of the subject to be copied: the path of each answer that another may share, its question, and what it is."""
    roll, source = spot.asked.path, state.source
    if source is None:
        return
    about = next(r.subject for r in state.setting.rule_set.questions.rolls.values() if r.path == roll)
    own = [s.question for r, spots in state.setting.route.each for s in spots if r.subject == about]
    for question in own:
        if question is not None and _is_shared(question):
            path = tuple(question.path.split("."))
            node = value_at(dict(state.data), (roll, source, *path))
            if is_known(node):
                yield path, question.title, node


def _is_shared(question: Question) -> bool:
    is_note = question.kind == "text" and "." not in question.path  # its name, notes on it
    return question.kind in _SAME_FOR_WALLS and not is_note


def reply_to_copying(state: State, spot: Spot, typed: str) -> Turn:
    """Whether all that was shown is true of the new wall as well; only then is it written down."""
    words, told = state.words, is_yes(typed, state.words)
    if told is None:
        return Turn(state, show_refusal(typed, words.tell(WRITE_Y_OR_N), words))
    base: Path_ = (spot.asked.path, spot.entry or 0)
    data = state.data
    for path, _, node in copied_answers(state, spot) if told else ():
        data = with_value(data, (*base, *path), node)
    after, faults = keep(replace(state, mode=ANSWER), data, "", may_wait=False)
    says = tuple(f"  {fault.path} {fault.found}; {fault.instead}" for fault in faults)
    after = replace(after, source=None)
    return Turn(_at_subject(after, base) or go_on(after), says)
