"""The words of a board: what its states are called, and how a space is called where others stand beside it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Any

from wallwalk.board_spaces import HELD, LAPSED, NEVER_WALKED, NOT_KNOWN, READY, RELEASED, WAITING
from wallwalk.words import Words, fixed, words_in

Part = Mapping[str, Any]

STATE_WORDS = {
    READY: fixed("READY"),
    WAITING: fixed("WAITING"),
    LAPSED: fixed("WALK AGAIN"),
    RELEASED: fixed("RELEASED OVER"),
    HELD: fixed("HOLD"),
    NOT_KNOWN: fixed("NOT READ"),
    NEVER_WALKED: fixed("NEVER WALKED"),
}
"""How each state is called; a word, never colour alone."""

TALLY = {
    READY: fixed("ready"),
    WAITING: fixed("ready by waiting"),
    LAPSED: fixed("to walk again"),
    RELEASED: fixed("released over a hold"),
    HELD: fixed("held"),
    NOT_KNOWN: fixed("could not be read"),
    NEVER_WALKED: fixed("never walked"),
}
"""How spaces of each state are counted."""

_RELEASED = fixed("released over hold by {name} ({role}), {when}")
PASSED = {
    "is an overlay": fixed("is an overlay"),
    "is a list of spaces": fixed("is a list of spaces"),
    "is part of a rule set": fixed("is part of a rule set"),
    "is a JSON Schema": fixed("is a JSON Schema"),
    "is a board": fixed("is a board"),
    "is a link": fixed("is a link, which is not followed"),
    "has a name that begins with a dot": fixed("has a name that begins with a dot"),
    "is a PDF that holds no record": fixed("is a PDF that holds no record"),
    "is encrypted, which no filed record is": fixed("is encrypted, which no filed record is"),
}
"""Why a file is passed over, as it is told."""
_TOLD_APART = (("name",), ("name", "level"), ("name", "level", "area"), ("name", "level", "area", "project"))
"""What a space is called by: the first of these that no other space shares."""


def release_says(released: Part, words: Words) -> str:
    """Who released a hold over, when and why."""
    said = words.tell(_RELEASED, name=released["name"], role=released["role"], when=released["shown"])
    return f"{said}: {released['remark']}" if released["remark"] else said


def passed_says(what: str, words: Words) -> str:
    """Why a file was passed over."""
    return words.tell(PASSED[what]) if what in PASSED else what


def labels_of(board: Part) -> dict[int, str]:
    """How each space is called among all, by its number: by its name, and by more of it where names are shared."""
    words, named = words_in(board["language"]), dict[int, str]()
    for parts in _TOLD_APART:
        left = [space for space in board["spaces"] if space["number"] not in named and space["name"]]
        said = {space["number"]: ", ".join(filter(None, (space[part] for part in parts))) for space in left}
        times = Counter(said.values())
        named |= {number: text for number, text in said.items() if times[text] == 1 or parts == _TOLD_APART[-1]}
    for space in board["spaces"]:
        if space["number"] not in named:
            file = ", ".join(space["files"] or [one["file"] for one in space["unread"]])
            named[space["number"]] = words.say("space not named ({file})", file=file)
    return named


def level_key(space: Part) -> str:
    """What stands for a level in a filter: its name, whatever the capitals."""
    return " ".join(space["level"].split()).casefold()


def level_numbers(board: Part) -> dict[str, str]:
    """By `level_key`, a short name of each level for the page."""
    keys = dict.fromkeys(level_key(space) for space in board["spaces"])
    return {key: str(i) for i, key in enumerate(keys)}


def some(names: tuple[str, ...], most: int, words: Words) -> str:
    """The first of some names, and how many more there are."""
    more = len(names) - most
    told = "; ".join(names[:most])
    return "; ".join((told, words.say("and {count} more", count=more))) if more > 0 else told
