"""The survey side of the phone form is the survey schema and the table of units, whole and exact."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest

from wallwalk import form_questions as module
from wallwalk.form_questions import form_questions
from wallwalk.languages import SPANISH
from wallwalk.questions import Question, Roll, survey_questions
from wallwalk.units import KINDS


def leaves(shape: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:  # noqa: ANN401 - plain JSON
    """Every place of the shape at which an answer stands, lists passed over."""
    if "list" in shape:
        yield from leaves(shape["list"], path)
    elif "group" in shape:
        for name, part in shape["group"].items():
            yield from leaves(part, (*path, name))
    else:
        yield path


def test_it_is_plain_json_and_the_same_each_time() -> None:
    """What a browser parses is what was made, lists for tuples."""
    made = form_questions()
    assert json.loads(json.dumps(made)) == json.loads(json.dumps(form_questions()))
    assert set(made) == {"questions", "rolls", "units", "shape", "advice", "reserved", "alike", "words"}


@pytest.mark.parametrize(("made", "kind"), [("questions", Question), ("rolls", Roll)])
def test_each_question_and_list_has_every_field(made: str, kind: type[Question] | type[Roll]) -> None:
    """None is left out, and none is renamed but to camelCase."""
    asked = survey_questions()
    real = list((asked.questions if made == "questions" else asked.rolls).values())
    names = [field.name for field in dataclasses.fields(kind)]
    told = [list(row.values()) for row in form_questions()[made]]
    assert told == [[getattr(one, name) for name in names] for one in real]
    assert all(key.replace("_", "") == key for row in form_questions()[made] for key in row)


def test_units_are_exact() -> None:
    """Scale, offset and natural ends are the fractions of the table, to the last digit."""
    for name, kind in form_questions()["units"].items():
        told = [(Fraction(u["scale"]), Fraction(u["offset"]), u["spellings"]) for u in kind["units"]]
        assert told == [(u.scale, u.offset, u.spellings) for u in KINDS[name].units]
        ends = [kind["low"], kind["high"]]
        assert [end and Fraction(end) for end in ends] == [
            end if isinstance(end, Fraction) else None for end in (KINDS[name].low, KINDS[name].high)
        ]
    assert list(form_questions()["units"]) == list(KINDS)


def test_the_shape_has_a_place_for_each_question_of_the_schema() -> None:
    """The places of the shape are those of the questions, less what is only seen from elsewhere."""
    shape = form_questions()["shape"]
    found = sorted(".".join(path) for path in leaves(shape))
    asked = survey_questions().questions.values()
    walls = {f"walls.{q.path}" for q in asked if q.about == "wall"}
    seen = {q.path for q in asked if q.about == "space"} | walls
    assert set(found) <= seen
    assert all(".instrument." in path for path in seen - set(found))
    assert len(found) == len(set(found)) > 200


def test_titles_and_choices_are_told_in_spanish() -> None:
    """Paths and kinds stay; titles and the words of choices are those of the language."""
    english, spanish = form_questions(), form_questions(SPANISH)
    assert spanish["words"]["painter"] == "pintor"
    assert [q["path"] for q in spanish["questions"]] == [q["path"] for q in english["questions"]]
    assert spanish["rolls"][0]["title"] != english["rolls"][0]["title"]
    assert spanish["shape"] == english["shape"]


@pytest.mark.parametrize(
    ("part", "says"),
    [
        ({"type": "string", "kind": "text", "pattern": "x"}, "the form does not read pattern"),
        ({"type": "null", "kind": "text"}, "the form reads no text that is a null"),
        ({"type": "object", "properties": {}}, "the form reads no group of entries with names of their own"),
    ],
)
def test_a_schema_of_another_shape_makes_no_form(part: dict[str, Any], says: str) -> None:
    """A word that the form does not read stops it from being made: it would take what the desk refuses."""
    with pytest.raises(ValueError, match=says):
        module._shape(part)
