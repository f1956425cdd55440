"""The board for a terminal of 80 columns: what is ready, what comes, who unblocks most, and every space by level."""

from __future__ import annotations

from collections.abc import Iterator

from wallwalk.board_todo import Part
from wallwalk.report.board_jobs import Job, Party
from wallwalk.report.board_rows import Row
from wallwalk.report.board_view import BoardView, Level, lay_out_board
from wallwalk.report.board_words import some
from wallwalk.report.terminal import heading, wrap
from wallwalk.words import Words

_JOBS, _ROOMS, _OPEN = 6, 8, 4
"""So many jobs of a party, rooms of a job and checks of a room are told here; the other forms tell more."""


def render_board(board: Part) -> str:
    """The board for a terminal, ending in a newline."""
    return "\n".join(line.rstrip() for line in _lines(lay_out_board(board))) + "\n"


def _lines(view: BoardView) -> Iterator[str]:
    words = view.words
    yield from wrap(f"{view.headline} | {view.project}", 0, 7)
    yield from wrap(", ".join(f"{number} {label}" for number, label in view.tally) + ".", 7)
    yield from wrap(view.judged, 7)
    for notice in view.notices:
        yield from wrap(f"!   {notice}", 0, 4)
    yield from _days(view)
    for party in view.parties:
        yield from _party(party, words)
    for level in view.levels:
        yield from _level(level, words)
    yield from _listed(
        words.say("NEVER WALKED - on the list, and no walk in the folder"), (r.label for r in view.never)
    )
    yield from _listed(words.say("NOT ON THE LIST - walked all the same"), view.apart)
    yield from _listed(words.say("NOT READ - put right, or take out of the folder"), view.unread)
    yield from _listed(words.say("PASSED OVER - no surveys"), (f"{file}: {what}" for file, what in view.passed))
    yield from heading(words.say("HOW THIS WAS COUNTED"))
    for said in view.counted:
        yield from wrap(f"-   {said}", 0, 4)
    yield ""
    yield from wrap(f"{view.headline}.")


def _listed(title: str, lines: Iterator[str] | tuple[str, ...]) -> Iterator[str]:
    for i, line in enumerate(lines):
        if i == 0:
            yield from heading(title)
        yield from wrap(f"-   {line}", 0, 4)


def _days(view: BoardView) -> Iterator[str]:
    words = view.words
    yield from heading(words.say("THE NEXT TWO WEEKS"))
    yield from wrap(view.already, 0, 4)
    for day in view.days:
        yield from wrap(day.shown)
        for line in day.ready:
            yield from wrap(words.say("ready by the clock: {spaces}", spaces=line), 4, 8)
        for line in day.lapses:
            yield from wrap(words.say("walk lapses: {spaces}", spaces=line), 4, 8)
        if day.open_besides:
            spaces = some(day.open_besides, _ROOMS, words)
            yield from wrap(words.say("time is up, but something else is open: {spaces}", spaces=spaces), 4, 8)
    yield from wrap(view.by_clock)


def _party(party: Party, words: Words) -> Iterator[str]:
    yield from heading(words.say("TO DO - {party}", party=party.title))
    yield from wrap(party.sums)
    for i, job in enumerate(party.jobs[:_JOBS], 1):
        yield from _job(i, job, words)
    more = len(party.jobs) - _JOBS
    if more > 0:
        said = words.say_many(
            "and {count} more thing; -o writes the whole list",
            "and {count} more things; -o writes the whole list",
            more,
        )
        yield from wrap(said, 4)


def _job(number: int, job: Job, words: Words) -> Iterator[str]:
    yield from wrap(f"{number:2}. {job.title}{f' [{job.rules}]' if job.rules else ''}", 0, 4)
    yield from wrap(job.unblocks, 4)
    for do in job.do:
        yield from wrap(words.say("Do: {what}", what=do), 4, 8)
    if job.ready.rooms:
        yield from wrap(
            words.say("Last thing in: {rooms}", rooms=some(tuple(r.says for r in job.ready.rooms), _ROOMS, words)), 4, 8
        )
    if job.others.rooms:
        yield from wrap(
            words.say(
                "Not the only thing in: {rooms}", rooms=some(tuple(r.says for r in job.others.rooms), _ROOMS, words)
            ),
            4,
            8,
        )


def _level(level: Level, words: Words) -> Iterator[str]:
    yield from heading(f"{level.title} - {level.ready}")
    for row in level.rows:
        yield from _row(row, words)


def _row(row: Row, words: Words) -> Iterator[str]:
    area = f" ({row.area})" if row.area else ""
    count = f" | {row.counted}" if row.counted else ""
    yield from wrap(f"{row.word} | {row.name}{area}{count}", 0, 4)
    if row.says:
        yield from wrap(" ".join(row.says), 4)
    for one in row.opened[:_OPEN]:
        where = f" ({one.where})" if one.where else ""
        yield from wrap(f"- {one.party}: {one.title}{where}. {one.says}", 4, 6)
    if len(row.opened) > _OPEN:
        yield from wrap(words.say("and {count} more", count=len(row.opened) - _OPEN), 6)
    for note in row.notes:
        yield from wrap(note.says, 4, 6)
        for line in note.lines:
            yield from wrap(line, 6, 8)
