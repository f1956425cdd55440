"""Every message that an input can meet with, and every rule, is in a manual."""

from __future__ import annotations

import html
import re

import pytest

from message_page import PAGE, render_page, whole_messages
from said_in_code import PARTS, error_classes, messages
from surveys import ROOT, rule_set_called
from wallwalk.report.manual import render_rule_set
from wallwalk.report.manual_page import render_manual_html
from wallwalk.resources import rule_set_names

HANDED_ON = {
    "InputError": "holds faults, which are read where they are made",
    "RefusedError": "holds refusals, which are read where they are made",
    "BadExampleError": "its text is the fault that fact_proving makes of it",
    "NeedsZoneError": "is told as a time of the site's own clock",
    "RowTimeError": "is a note on rows of a log, in the report; no input error",
    "SkippedTimeError": "is told as a LogFaultError",
    "AnswerWantedError": "is a note on a log, in the report; no input error",
    "OutOfOrderError": "has the rows sorted; nobody hears of it",
}
"""Exceptions that say nothing themselves to whoever gave the input, and why."""


@pytest.mark.slow
def test_the_page_of_messages_is_current() -> None:
    """It is what the script writes; where it is not: python tests/documents/message_page.py"""
    assert PAGE.read_text(encoding="utf-8") == render_page()


def test_every_bad_file_has_its_message_on_the_page() -> None:
    """Whole, as `tests/bad/` holds it."""
    page = PAGE.read_text(encoding="utf-8")
    said = whole_messages()
    assert {kind: len(found) > 15 for kind, found in said.items()} == dict.fromkeys(said, True)
    assert len(said) == 4
    assert [m for found in said.values() for m in found.values() if f"\n{m.rstrip()}\n" not in page] == []


def test_every_exception_is_read_or_says_nothing_itself() -> None:
    """A new one has to be looked for in the program, or be named with the reason why not."""
    classes = error_classes()
    assert len(classes) > 10
    assert classes - PARTS.keys() == HANDED_ON.keys()


def _is_told(advice: str, patterns: list[re.Pattern[str]]) -> bool:
    """Whether some pattern says it. A semicolon may stand in what was found, and two ways are joined by an or."""
    parts = advice.split("; ")
    ends = ["; ".join(parts[i:]) for i in range(len(parts))]

    def says(text: str) -> bool:
        return any(pattern.fullmatch(text) for pattern in patterns)

    return any(says(end) or all(map(says, end.split(", or "))) for end in ends)


def test_what_is_read_off_the_program_covers_what_was_seen() -> None:
    """The advice of every message in `tests/bad/` is one of those on the page, or of a schema."""
    page = PAGE.read_text(encoding="utf-8").partition("## Every message by its fixed words")[2]
    told = [cell for row in re.findall(r"^\| .* \|$", page, re.MULTILINE) for cell in re.split(r" \| |<br>", row[2:-2])]
    shapes = [re.sub(r"\\([|<>*_`\[\]])", r"\1", cell) for cell in told if re.search(r"\w{3}", cell)]
    patterns = [re.compile(".*".join(map(re.escape, shape.split("…")))) for shape in dict.fromkeys(shapes)]
    assert len(patterns) > 200
    lines = [line for found in whole_messages().values() for said in found.values() for line in said.splitlines()]
    advice = {line.split("; ", 1)[1] for line in lines}
    unknown = [one for one in sorted(advice) if not _is_told(one, patterns)]
    assert unknown == []
    assert len(advice) > 100


@pytest.mark.slow
def test_every_place_that_makes_a_message_is_found() -> None:
    """As many as there are, so that a change of how they are made is noticed."""
    found = {said.module for said in messages()}
    raising = {
        path.relative_to(ROOT / "inspect" / "wallwalk").with_suffix("").as_posix()
        for path in (ROOT / "inspect" / "wallwalk").rglob("*.py")
        if re.search(r"\bFault\(|\brefuse\(|UnitError\(\"|UnitError\(f|MissingPartError\(", path.read_text("utf-8"))
    }
    # These declare an error, or hand on what another module says.
    assert raising - found <= {"errors", "refusal", "cli/compared", "inputs", "climate_reader"}
    assert len(raising) > 30


@pytest.mark.slow
@pytest.mark.parametrize("name", rule_set_names())
def test_every_rule_is_in_the_manual(name: str) -> None:
    """By its name, its title and its reason, in the terminal and on the page."""
    rule_set = rule_set_called(name)
    drawn = (render_rule_set(rule_set), html.unescape(render_manual_html(rule_set)))
    said = [" ".join(text.split()) for text in drawn]
    assert len(rule_set.rules) > 70
    for rule in rule_set.rules.values():
        assert [part for part in (rule.name, rule.title, rule.why) for text in said if part not in text] == []
