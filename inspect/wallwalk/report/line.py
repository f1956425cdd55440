"""One survey among many, in one line: the verdict, what overlays relaxed, what holds the work, the earliest start."""

from __future__ import annotations

from collections.abc import Iterator

from wallwalk.report.overrides import relaxed_lines
from wallwalk.report.view import VERDICTS
from wallwalk.summary import Summary
from wallwalk.values import Verdict
from wallwalk.words import Words

MOST_RELAXED = 3
"""So many changes are told in the line; the report on the one survey has all."""


def render_line(file: str, summary: Summary, words: Words) -> str:
    """One line: the verdict, the file, what overlays relaxed, what holds the work, and the earliest start."""
    parts = (
        words.tell(VERDICTS[summary.verdict]).upper(),
        file,
        *_relaxed(summary, words),
        words.say("{holds} hold, {open} not verified", holds=summary.holds, open=summary.not_verified),
        _start(summary, words),
    )
    return " | ".join(parts)


def _relaxed(summary: Summary, words: Words) -> Iterator[str]:
    lines = relaxed_lines(summary.laid, words)
    if lines:
        more = words.say("and {count} more", count=len(lines) - MOST_RELAXED) if len(lines) > MOST_RELAXED else ""
        yield "; ".join(filter(None, (*lines[:MOST_RELAXED], more)))


def _start(summary: Summary, words: Words) -> str:
    if summary.verdict is Verdict.PASS:
        return words.say("may start from {when}", when=summary.at) if summary.at else words.say("no clock holds it")
    if not summary.at:
        return words.say("no start can be named")
    if summary.only_time:
        return words.say("earliest start {when}", when=summary.at)
    return words.say("not before {when}", when=summary.at)
