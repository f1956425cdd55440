"""The survey in Spanish: every title, every help and every word of a choice, and the English left as it was."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from wallwalk.questions import survey_questions
from wallwalk.resources import data_folder
from wallwalk.yamlio import read_yaml

SAME_WORDS = {"no", "inspector", "metal", "PVA", "A", "B", "C"}
"""Words that Spanish writes as English does."""

UNITS = {"°C", "°F"}
"""Choices that are units: they stay as written in every language."""

SCHEMA_WORDS = {
    *("$schema", "title", "description", "type", "additionalProperties", "properties", "required", "items", "enum"),
    *(
        "minimum",
        "maximum",
        "kind",
        "counted_by",
        "refers_to",
        "subject",
        "identity",
        "follows",
        "measured_with",
        "over_zero",
        "later",
    ),
    *("advice", "es"),
}
"""Every word that the head of the schema explains, or JSON Schema has."""

NUMBER = re.compile(r"[0-9][0-9./:-]*")


def _parts(part: Mapping[str, Any], path: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """`part` and everything below it that has a title: groups, lists, entries of lists, questions."""
    yield path, part
    for name, below in part.get("properties", {}).items():
        yield from _parts(below, f"{path}.{name}")
    if "items" in part:
        yield from _parts(part["items"], f"{path}[]")


def _all_parts() -> dict[str, Mapping[str, Any]]:
    parts = dict(_parts(survey_questions().schema, "survey"))
    assert len(parts) > 200
    return parts


def test_every_title_and_help_has_its_spanish_beside_it() -> None:
    """Groups, lists and their entries too: each has in Spanish the texts it has in English, and they differ."""
    for path, part in _all_parts().items():
        spanish = {name: text for name, text in part["es"].items() if name != "words"}
        english = {name: part[name] for name in ("title", "description") if name in part}
        assert spanish.keys() == english.keys(), path
        for name, text in spanish.items():
            assert text.strip(), (path, name)
            assert text != english[name], (path, name)


def test_the_words_of_the_survey_stand_at_its_top_only() -> None:
    """`words` below a question would be read by nobody."""
    assert [path for path, part in _all_parts().items() if "words" in part["es"]] == ["survey"]


def test_numbers_are_the_same_in_both_languages() -> None:
    """Each number, date, standard and unit scale of a text stands in its Spanish, in the same order."""
    for path, part in _all_parts().items():
        for name in part["es"].keys() - {"words"}:
            assert NUMBER.findall(part["es"][name]) == NUMBER.findall(part[name]), (path, name)


def test_a_question_asks_in_both_languages() -> None:
    """What ends in a question mark opens with one in Spanish; what does not, has none."""
    for path, part in _all_parts().items():
        title = part["es"]["title"]
        assert title.endswith("?") == part["title"].endswith("?"), path
        assert title.count("¿") == title.count("?"), path


def test_the_schema_says_only_words_it_explains() -> None:
    """A help with a comma in it, unquoted in braces, ends at the comma and leaves its rest behind as words."""
    assert {word for part in _all_parts().values() for word in part} == SCHEMA_WORDS
    for path, part in _all_parts().items():
        assert part["es"].keys() <= {"title", "description", "words"}, path


def test_questions_in_spanish_are_the_same_questions() -> None:
    """Only titles and help are in Spanish; paths, kinds, choices and bounds are one and the same."""
    english, spanish = survey_questions(), survey_questions("es")
    assert english.questions.keys() == spanish.questions.keys()
    for key, asked in english.questions.items():
        told = spanish.questions[key]
        assert told.title != asked.title, key
        assert bool(told.help) == bool(asked.help), key
        assert not asked.help or told.help != asked.help, key
        for field in set(asked.__slots__) - {"title", "help"}:
            assert getattr(told, field) == getattr(asked, field), (key, field)


def test_rolls_in_spanish_are_the_same_rolls() -> None:
    """The lists that a survey keeps differ by their titles alone."""
    english, spanish = survey_questions().rolls, survey_questions("es").rolls
    assert english.keys() == spanish.keys()
    for key, roll in english.items():
        told = spanish[key]
        assert told.title != roll.title, key
        for field in set(roll.__slots__) - {"title"}:
            assert getattr(told, field) == getattr(roll, field), (key, field)


def test_the_english_questions_are_what_the_schema_writes() -> None:
    """`survey_questions()` takes nothing from the Spanish beside it."""
    titles = {part["title"] for part in _all_parts().values()}
    helps = {part.get("description", "") for part in _all_parts().values()} | {""}
    questions = survey_questions().questions.values()
    assert {question.title for question in questions} <= titles
    assert {question.help for question in questions} <= helps
    assert survey_questions().words == {}


def test_every_choice_has_its_word() -> None:
    """Yes, no and each choice but units; none besides; and the same word only where Spanish has the same."""
    words = survey_questions("es").words
    choices = {word for part in _all_parts().values() for word in part.get("enum", ())}
    assert choices > UNITS
    assert words.keys() == (choices - UNITS) | {"yes", "no"}
    assert {word for word, spanish in words.items() if spanish == word} == SAME_WORDS
    assert all(isinstance(spanish, str) and spanish.strip() for spanish in words.values())


def test_choices_of_one_question_stay_apart() -> None:
    """Two choices of a question never become one word."""
    words = survey_questions("es").words
    for path, part in _all_parts().items():
        told = [words.get(choice, choice) for choice in part.get("enum", ())]
        assert len(told) == len(set(told)), path


def test_yes_and_no_are_read_as_words() -> None:
    """Our strict reader takes a plain no for a truth; quoted it is the word, as key and as text."""
    words: Any = read_yaml(data_folder("rules") / "survey.schema.yaml").data
    assert [(key, words["es"]["words"][key]) for key in ("yes", "no")] == [("yes", "sí"), ("no", "no")]
