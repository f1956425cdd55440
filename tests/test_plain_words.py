"""Rules and questions read at an installer's level: short sentences, plain words, and what to do comes first.

What is over a bar is listed here by name; once it is mended it has to leave the list, so the lists only shrink.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from reading_level import grade, sentences, syllables, words
from wallwalk.questions import survey_questions
from wallwalk.resources import rule_set_names
from wallwalk.rule_reader import read_rule_set
from wallwalk.rules import Rule

GRADE_MAX = 9
"""Flesch-Kincaid grade of a rule's three texts together, and of a question with its help."""

WORDS_MAX = 28
"""Words of one sentence."""

HARD_RULES: set[str] = set()
LONG_IN_RULES: set[str] = set()
HARD_QUESTIONS: set[str] = set()
LONG_IN_QUESTIONS: set[str] = set()

VERBS = frozenset(
    word
    for line in (
        "add agree air ask bring build call check clean clear close count cover cut do dry dull fasten",
        "feather fill find finish get give hang have heat hold keep lay leave let level log look make mark",
        "measure mend move open order plan press prime put read remove repair rinse sand scrape seal set",
        "shade shift skim sort spread start stop strike strip take tape tell test try turn use vacuum wait",
        "walk warm wash watch wear wipe work write",
    )
    for word in line.split()
)
"""What one can be told to do on a site: the first word of every `put_right`."""


def _rules() -> Mapping[str, Rule]:
    found = {f"{name} {rule.name}": rule for name in rule_set_names() for rule in read_rule_set(name).rules.values()}
    assert len(found) > 100
    return found


def _texts(rule: Rule) -> Mapping[str, str]:
    return {"hold": rule.hold, "put_right": rule.put_right, "why": rule.why}


def _questions() -> Mapping[str, str]:
    """Each question with its help. A title that asks nothing, such as `Air temperature`, is a name and is left out."""
    asked = survey_questions().questions.values()
    assert len(asked) > 200
    said = {f"{q.about} {q.path}": f"{q.title if q.title.endswith('?') else ''} {q.help}".strip() for q in asked}
    return {name: text for name, text in said.items() if text}


def _too_long(text: str) -> bool:
    return any(len(words(sentence)) > WORDS_MAX for sentence in sentences(text))


def test_each_rule_reads_easily() -> None:
    """What holds, what to do and why: the three together are no harder than the bar."""
    assert {name for name, rule in _rules().items() if grade(" ".join(_texts(rule).values())) > GRADE_MAX} == HARD_RULES


def test_no_sentence_of_a_rule_is_too_long() -> None:
    """A crew reads a sentence once."""
    found = {
        f"{name} {part}" for name, rule in _rules().items() for part, text in _texts(rule).items() if _too_long(text)
    }
    assert found == LONG_IN_RULES


def test_each_question_reads_easily() -> None:
    """The question and its help are no harder than the bar."""
    assert {name for name, text in _questions().items() if grade(text) > GRADE_MAX} == HARD_QUESTIONS


def test_no_sentence_of_a_question_is_too_long() -> None:
    """Titles too, and those that are names as well."""
    titles = {f"{q.about} {q.path}": q.title for q in survey_questions().questions.values()}
    found = {name for texts in (titles, _questions()) for name, text in texts.items() if _too_long(text)}
    assert found == LONG_IN_QUESTIONS


@pytest.mark.slow
def test_every_rule_says_first_what_to_do() -> None:
    """`put_right` begins with a verb that tells somebody to do something."""
    first = {
        name: rule.put_right.split()[0].rstrip(".,;:") for name, rule in _rules().items() if rule.put_right.strip()
    }
    assert first.keys() == _rules().keys()
    assert {name: word for name, word in first.items() if word.lower() not in VERBS or not word.istitle()} == {}


@pytest.mark.parametrize(
    ("word", "count"),
    [
        *[("wait", 1), ("used", 1), ("sheet", 1), ("gives", 1), ("young", 1), ("the", 1), ("°F", 1), ("GA-214", 2)],
        *[("primer", 2), ("sanded", 2), ("edges", 2), ("buckles", 2), ("table", 2), ("going", 2), ("drying", 2)],
        *[("adhesive", 3), ("masonry", 3), ("vapour-tight", 3), ("temperature", 4), ("remediation", 5)],
    ],
)
def test_syllables_are_those_of_a_dictionary(word: str, count: int) -> None:
    """Counted by hand, as a dictionary parts them; a unit or a standard is one for each of its parts."""
    assert syllables(word) == count


def test_grade_is_the_published_sum() -> None:
    """Worked by hand: six words of one syllable give 0.39 x 6 + 11.8 - 15.59; a value counts two words."""
    assert grade("The cat sat on the mat.") == pytest.approx(-1.45)
    assert grade("It needs {primer_dwell_min} now.") == grade("It needs 24 h now.")


def test_officialese_is_over_the_bar() -> None:
    """The bar can be missed."""
    text = "Remediation of contaminated substrates necessitates authorization by appropriately certified professionals."
    assert grade(text) > GRADE_MAX
    assert _too_long(" ".join(["word"] * (WORDS_MAX + 1)) + ".")
    assert not _too_long(" ".join(["word"] * WORDS_MAX) + ".")
