"""A board laid out once, in words, for its page and the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from wallwalk.board_spaces import NEVER_WALKED, READY
from wallwalk.report.board_jobs import Day, Party, by_clock_alone, days_of, parties_of, ready_already
from wallwalk.report.board_rows import Row, row_of
from wallwalk.report.board_words import STATE_WORDS, TALLY, Part, labels_of, level_key, level_numbers, passed_says
from wallwalk.report.overrides import relaxed_lines
from wallwalk.words import Words, words_in

Choices = tuple[tuple[str, str], ...]
"""What one filter offers: the value that stands in the page, and the word for it."""


@dataclass(frozen=True, slots=True)
class Level:
    """The spaces of one level of one project."""

    title: str
    ready: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class BoardView:
    """All that a board says, in order."""

    words: Words
    project: str
    ready: int
    of: int
    of_said: str
    headline: str
    judged: str
    tally: tuple[tuple[int, str], ...]
    notices: tuple[str, ...]
    already: str
    days: tuple[Day, ...]
    by_clock: str
    parties: tuple[Party, ...]
    levels: tuple[Level, ...]
    never: tuple[Row, ...]
    apart: tuple[str, ...]
    unread: tuple[str, ...]
    passed: tuple[tuple[str, str], ...]
    counted: tuple[str, ...]
    choices: Mapping[str, Choices]


def lay_out_board(board: Part) -> BoardView:
    """What a board says, in words."""
    words, labels, today = words_in(board["language"]), labels_of(board), board["today"]["at"]
    levels = level_numbers(board)
    rows = {
        space["number"]: row_of(space, labels[space["number"]], levels[level_key(space)], today, words)
        for space in board["spaces"]
    }
    ready, of = board["counts"][READY], len(board["spaces"])
    return BoardView(
        words=words,
        project=", ".join(filter(None, board["projects"])) or words.say("project not named"),
        ready=ready,
        of=of,
        of_said=words.say_many("of {count} space ready", "of {count} spaces ready", of),
        headline=words.say_many("{ready} of {count} space ready", "{ready} of {count} spaces ready", of, ready=ready),
        judged=_judged(board, words),
        tally=tuple(
            (board["counts"][state], words.tell(text)) for state, text in TALLY.items() if board["counts"][state]
        ),
        notices=tuple(_notices(board, words)),
        already=ready_already(board, labels, words),
        days=tuple(days_of(board, labels, words)),
        by_clock=by_clock_alone(board, words),
        parties=tuple(parties_of(board, labels, words)),
        levels=tuple(_levels(board, rows, words)),
        never=tuple(rows[space["number"]] for space in board["spaces"] if space["state"] == NEVER_WALKED),
        apart=tuple(labels[space["number"]] for space in board["spaces"] if space["listed"] is False),
        unread=tuple(says for one in board["unread"] for says in one["says"]),
        passed=tuple((one["file"], passed_says(one["what"], words)) for one in board["passed_over"]),
        counted=tuple(_counted(board, words)),
        choices=_choices(board, words),
    )


def _levels(board: Part, rows: Mapping[int, Row], words: Words) -> Iterator[Level]:
    levels: dict[tuple[str, str], list[Part]] = {}
    for space in board["spaces"]:
        if space["state"] != NEVER_WALKED:
            levels.setdefault((space["project"], level_key(space)), []).append(space)
    for (project, _), found in levels.items():
        level = found[0]["level"]
        title = words.say("Level {level}", level=level) if level else words.say("Level not stated")
        if len(board["projects"]) > 1:
            title = " · ".join((title, project or words.say("project not named")))
        ready = sum(1 for space in found if space["state"] == READY)
        said = words.say("{ready} of {all} ready", ready=ready, all=len(found))
        yield Level(title, said, tuple(rows[space["number"]] for space in found))


def _judged(board: Part, words: Words) -> str:
    seen = words.say("Seen from {today}.", today=board["today"]["shown"])
    judged = words.say("Each judged for its own planned start.")
    if board["start"]:
        judged = words.say("All judged for a start on {start}.", start=board["start"])
    return f"{judged} {seen}"


def _notices(board: Part, words: Words) -> Iterator[str]:
    if board["unread"]:
        yield words.say_many(
            "{count} file could not be read and does not say its space. A space may stand worse than shown.",
            "{count} files could not be read and do not say their space. A space may stand worse than shown.",
            len(board["unread"]),
        )
    for one in board["rule_sets"]:
        for change in relaxed_lines(one, words):
            count = words.say_many("{count} space", "{count} spaces", one["spaces"])
            yield words.say("Changed by an overlay for {count}. {change}", count=count, change=change)


def _choices(board: Part, words: Words) -> Mapping[str, Choices]:
    spaces = board["spaces"]
    keys = level_numbers(board)
    opened = [one for space in spaces for one in space["open"]]
    found = {
        "level": {keys[level_key(space)]: space["level"] or words.say("not stated") for space in spaces},
        "party": {one["by"]: one["party"] for one in (*board["to_do"], *opened)},
        "theme": {one["theme"]: one["theme_title"] for one in opened},
        "state": {state: words.tell(STATE_WORDS[state]) for state in STATE_WORDS if board["counts"][state]},
    }
    return {name: tuple(choices.items()) for name, choices in found.items()}


def _counted(board: Part, words: Words) -> Iterator[str]:
    yield words.say(
        "What makes most rooms ready stands first: rooms in which it is the only thing open but time. Then comes what "
        "leaves most rooms with one thing, then what is open in most rooms. What is found out may hold as well."
    )
    yield words.say(
        "Ready: every check that can hold the work passes for the start it is judged for, and the walk has not lapsed. "
        "What was put right counts once the space is walked again."
    )
    yield words.say(
        "The latest walk of a space counts; project, name, level and area covered tell one space from another. "
        "A filed record counts as the walk it was made from. A hold released over on it is shown, and is no pass."
    )
    yield words.say("Cautions and photos are not on the board; the report on each space has them.")
    for one in board["rule_sets"]:
        laid = (
            words.say(", with {overlays} laid over it", overlays=", ".join(o["title"] for o in one["overlays"]))
            if one["overlays"]
            else ""
        )
        rules = words.say("{title}, revision {revision}", title=one["title"], revision=one["revision"])
        count = words.say_many("{count} space", "{count} spaces", one["spaces"])
        yield words.say("Rules: {rules} ({count}).", rules=rules + laid, count=count)
    if board["list"]:
        count = words.say_many("{count} space", "{count} spaces", board["list"]["entries"])
        yield words.say("List of spaces: {file} ({count}).", file=board["list"]["file"], count=count)
