"""The text of one answer is read by the kind of its question, or refused with what to write instead."""

from __future__ import annotations

from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from wallwalk.answer_reader import read_answer
from wallwalk.moments import parse_last_day, parse_moment
from wallwalk.quantities import UnitError
from wallwalk.questions import Question
from wallwalk.values import Interval, OneOf

CHICAGO = ZoneInfo("America/Chicago")


def question(kind: str, path: str = "here", **parts: Any) -> Question:  # noqa: ANN401 - the fields of a question
    """A question of that kind, with nothing else to it but these parts."""
    plain = {"choices": (), "minimum": None, "maximum": None, "over_zero": False}
    named = dict.fromkeys(("about", "roll", "title", "help", "refers_to", "follows", "measured_with"), "")
    return Question(path=path, kind=kind, **{**named, **plain, **parts})


def word(text: str) -> OneOf:
    """One word, as it is written."""
    return OneOf(frozenset({text}), text)


def number(low: int, written: str, high: int | None = None) -> Interval:
    """A bare number."""
    return Interval("number", Fraction(low), Fraction(low if high is None else high), "", written)


@pytest.mark.parametrize(
    ("asked", "text", "value"),
    [
        (question("moment"), "2026-03-09 08:00", parse_moment("2026-03-09 08:00", CHICAGO)),
        (question("last day"), "2026-12-31", parse_last_day("2026-12-31", CHICAGO)),
        (question("count"), "3", number(3, "3")),
        (question("year"), "1978", number(1978, "1978")),
        (question("level"), "4 to 5", number(4, "4 to 5", 5)),
        (question("count", minimum=1, maximum=3), "1", number(1, "1")),
        (question("count", minimum=1, maximum=3), "3", number(3, "3")),
        (question("choice", choices=("plaster", "tile")), "tile", word("tile")),
        (question("choice", choices=("plaster", "tile")), "slate", None),
        (question("truth"), "yes", word("yes")),
        (question("truth"), "no", word("no")),
        (question("truth"), "perhaps", None),
        (question("text"), "  By the\n door ", word("By the door")),
        (question("text"), "é", word("é")),
        (question("text"), "x" * 1000 + "  ", word("x" * 1000)),
        (question("zone"), "America/Chicago", word("America/Chicago")),
        (question("clock"), " site ", word("site")),
        (question("clock"), "-06:00", word("-06:00")),
        (question("clock"), "Europe/Paris", word("Europe/Paris")),
        (question("length"), "9 ft", Interval("length", Fraction("2.7432"), Fraction("2.7432"), "ft", "9 ft")),
        (question("humidity"), "0 %RH", Interval("humidity", Fraction(0), Fraction(0), "%RH", "0 %RH")),
        (question("humidity", minimum=0), "0 %RH", Interval("humidity", Fraction(0), Fraction(0), "%RH", "0 %RH")),
        (
            question("humidity", "uncertainty.humidity"),
            "3 %RH",
            Interval("humidity", Fraction(3), Fraction(3), "%RH", "3 %RH"),
        ),
        (
            question("humidity", "uncertainty.humidity"),
            "0.5 %RH",
            Interval("humidity", Fraction(1, 2), Fraction(1, 2), "%RH", "0.5 %RH"),
        ),
        (
            question("humidity", over_zero=True),
            "0.5 %RH",
            Interval("humidity", Fraction(1, 2), Fraction(1, 2), "%RH", "0.5 %RH"),
        ),
        (
            question("humidity", over_zero=True),
            "0 to 3 %RH",
            Interval("humidity", Fraction(0), Fraction(3), "%RH", "0 to 3 %RH"),
        ),
    ],
)
def test_an_answer_is_read_by_the_kind_of_its_question(asked: Question, text: str, value: object) -> None:
    """Moments at the site, whole numbers, words of a list, free text on one line, quantities with their unit."""
    assert read_answer(asked, text, CHICAGO) == value


def test_the_site_s_own_clock_may_be_named_before_anyone_says_which_it_is() -> None:
    """What it is hangs on an answer that may still come."""
    assert read_answer(question("clock"), "site", None) == word("site")


WHOLE = "write one whole number"


@pytest.mark.parametrize(
    ("asked", "text", "instead"),
    [
        (question("text"), "x" * 1001, "write it in 1,000 characters or less"),
        (question("text"), "...", "write it in letters or digits, or leave it out"),
        (question("zone"), " ", "write it in letters or digits, or leave it out"),
        (
            question("clock"),
            "noon",
            "write site, an IANA name such as America/Chicago, or an offset such as -06:00",
        ),
        (question("count"), "1.5", WHOLE),
        (question("year"), "1977 to 1978", WHOLE),
        (question("level", minimum=0, maximum=5), "6", "write a number from 0 to 5"),
        (question("level", minimum=0, maximum=5), "4 to 6", "write a number from 0 to 5"),
        (question("count", minimum=1, maximum=5), "0", "write a number from 1 to 5"),
        (question("count", minimum=1), "0", "write 1 or more"),
        (question("count", maximum=5), "6", "write 5 or less"),
        (
            question("humidity", "uncertainty.humidity"),
            "0 %RH",
            "write what its certificate or data sheet says, over nothing",
        ),
        (
            question("humidity", "instruments.uncertainty.humidity"),
            "0 to 1 %RH",
            "write what its certificate or data sheet says, over nothing",
        ),
        (question("length", over_zero=True), "0 ft", "write what was measured, over zero, or leave it out"),
        (
            question("temperature", over_zero=True),
            "-1 to 3 °C",
            "write what was measured, over zero, or leave it out",
        ),
        (question("humidity", minimum=5), "4 %RH", "write 5 %RH or more"),
        (question("humidity", minimum=5), "4 to 6 %RH", "write 5 %RH or more"),
    ],
)
def test_what_cannot_be_meant_is_refused_with_what_to_write(asked: Question, text: str, instead: str) -> None:
    """Each in its whole words."""
    with pytest.raises(UnitError) as refused:
        read_answer(asked, text, CHICAGO)
    assert refused.value.instead == instead
