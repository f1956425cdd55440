"""One survey among many, in one line: the verdict, what holds the work, and the earliest start."""

from __future__ import annotations

from wallwalk.report.view import VERDICTS
from wallwalk.summary import Summary
from wallwalk.values import Verdict
from wallwalk.words import Words


def render_line(file: str, summary: Summary, words: Words) -> str:
    """One line: the verdict, the file, what holds the work, and the earliest start."""
    parts = (
        words.tell(VERDICTS[summary.verdict]).upper(),
        file,
        words.say("{holds} hold, {open} not verified", holds=summary.holds, open=summary.not_verified),
        _start(summary, words),
    )
    return " | ".join(parts)


def _start(summary: Summary, words: Words) -> str:
    if summary.verdict is Verdict.PASS:
        return words.say("may start from {when}", when=summary.at) if summary.at else words.say("no clock holds it")
    if not summary.at:
        return words.say("no start can be named")
    if summary.only_time:
        return words.say("earliest start {when}", when=summary.at)
    return words.say("not before {when}", when=summary.at)
