"""One answer: what was typed, as the survey writes it, put in its place, or why it will not do."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime

from wallwalk.errors import Fault, quote
from wallwalk.interview.draft import Data, entries_at, value_at, with_value
from wallwalk.interview.prompts import lines_of, offered_names, show_answer, show_refusal
from wallwalk.interview.spots import Spot, followers, is_known
from wallwalk.interview.state import State, keep
from wallwalk.interview.typed import (
    WRITE_LISTED,
    WRITE_ONE_OF,
    WRITE_Y_OR_N,
    is_quantity,
    is_yes,
    read_choice,
    read_moment,
    read_quantity,
    read_zone,
)
from wallwalk.languages import ENGLISH
from wallwalk.quantities import UnitError
from wallwalk.question_words import show_form
from wallwalk.questions import Question
from wallwalk.words import Words
from wallwalk.yamlio import Node


def answer(state: State, spot: Spot, typed: str, at: datetime) -> tuple[State, tuple[str, ...], bool]:
    """The interview with what was `typed` at `spot`, what it says to that, and whether it was taken."""
    question = spot.question
    if question is None:
        raise TypeError("a list is answered by its own replies")
    try:
        node = _understood(state, question, typed, at)
    except UnitError as error:
        return state, tuple(_refused(state, question, typed, error.instead)), False
    return put(state, spot, node)


def put(state: State, spot: Spot, node: Node) -> tuple[State, tuple[str, ...], bool]:
    """The interview with `node` at `spot`, or nothing there where it is None."""
    data = _with_room(with_value(state.data, spot.path, node), spot, state.data)
    data, taken_out = _without_followers(state, spot, data, node)
    after, faults = keep(state, data, spot.place, may_wait=spot.entry is not None)
    if after is state and faults:
        return state, tuple(_faults(state, spot, node, faults)), False
    words = state.words
    said = [words.say("Taken out, since it followed: {question}", question=title) for title in taken_out]
    said += [words.say("Not saved yet: {fault}", fault=_plain(fault)) for fault in faults]
    says = [line for text in said for line in lines_of(text, 2, 4)]
    return after, tuple(says), True


def _understood(state: State, question: Question, typed: str, at: datetime) -> Node:
    """What was typed, as the survey writes it. Raises `UnitError`."""
    words, offered = state.words, offered_names(question, state.data, state.setting.zone)
    if len(typed) > 1 and typed[0] == typed[-1] == '"':
        return typed[1:-1]
    if question.kind == "truth":
        told = is_yes(typed, words)
        if told is None:
            raise UnitError(WRITE_Y_OR_N)
        return told
    if question.choices:
        return read_choice(typed, question.choices, state.setting.rule_set.questions.words, WRITE_ONE_OF)
    if question.kind == "zone":
        return read_zone(typed, next(iter(offered), ""))
    if question.refers_to and offered:
        return read_choice(typed, offered, {}, WRITE_LISTED)
    if question.kind == "moment":
        return read_moment(typed, at, state.standing.survey.zone, words)
    if question.kind == "last day":
        return read_moment(typed, at, state.standing.survey.zone, words).partition(" ")[0] if typed.isalpha() else typed
    return read_quantity(typed, question.kind) if is_quantity(question) else typed


def _with_room(data: Data, spot: Spot, before: Data) -> Data:
    """`data` without the count of a list that has just grown beyond it: it is asked for again behind the last entry."""
    counted_by = (*spot.base, spot.asked.counted_by)
    if (
        spot.entry is None
        or not spot.asked.counted_by
        or len(entries_at(data, spot.roll)) <= len(entries_at(before, spot.roll))
    ):
        return data
    count = value_at(dict(data), counted_by)
    full = isinstance(count, str) and count == str(len(entries_at(before, spot.roll)))
    return with_value(data, counted_by, None) if full else data


def _without_followers(state: State, spot: Spot, data: Data, node: Node) -> tuple[Data, list[str]]:
    """`data` without the answers that a no has made pointless, and what they answered."""
    questions, taken_out = state.setting.rule_set.questions, []
    if spot.entry is None and (node is False or node == "none"):
        for path in followers(questions, spot.asked.about, spot.asked.path):
            place = (*spot.base, *path.split("."))
            if is_known(value_at(dict(data), place)):
                data = with_value(data, place, None)
                taken_out.append(questions.questions[spot.asked.about, path].title)
    return data, taken_out


def _faults(state: State, spot: Spot, node: Node, faults: Iterable[Fault]) -> Iterator[str]:
    written = show_answer(node, state.words)
    for fault in faults:
        if fault.path == spot.place and fault.found == f"is {quote(node)}" and spot.question is not None:
            yield from _refused(state, spot.question, written, fault.instead)
        else:
            yield from lines_of(_plain(fault), 2, 4)


def _plain(fault: Fault) -> str:
    """A fault without the name of the survey's own file; that of a logger's file stays."""
    return f"{fault.path} {fault.found}; {fault.instead}" if fault.path else str(fault)


def _refused(state: State, question: Question, typed: str, instead: str) -> list[str]:
    words = state.words
    told = words.tell(instead)
    if words.language != ENGLISH and told == instead:  # what the readers say is in English
        told = _in_language(question, instead, words, state)
    return list(show_refusal(typed, told, words))


def _in_language(question: Question, instead: str, words: Words, state: State) -> str:
    shown = show_form(replace(question, help=""), state.setting.rule_set.questions, words)
    return words.say("write {form}", form=shown) if shown else instead
