"""Documents spoiled as people spoil them: each is a result or is refused with its place, whatever was done to it."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from random import Random
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

import targets
from corpus import seeds
from readers import NAMES
from spoiling import NUMBERS, ODD, VALUES, spoil
from survey_strategies import places, surveys
from targets import READERS

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module", autouse=True)
def own_folder() -> Iterator[None]:
    """The readers have files in a folder of this process, which is gone afterwards."""
    yield
    targets.tidy()


def test_every_reader_has_a_function_and_seeds_of_which_one_is_read() -> None:
    """What is tried starts from something that comes through, or nothing behind the first refusal would be reached."""
    assert tuple(READERS) == NAMES
    read = {name: [READERS[name](seed) for seed in seeds(name)].count("") for name in NAMES}
    assert all(read.values()), read


@pytest.mark.parametrize("name", NAMES)
@settings(max_examples=100)
@given(data=st.data())
def test_a_spoiled_document_is_read_or_refused(name: str, data: st.DataObject) -> None:
    """Lines dropped, said again and moved, bytes swapped, huge numbers, deep nesting, odd signs, other line ends."""
    spoiled = spoil(
        data.draw(st.sampled_from(seeds(name))),
        Random(data.draw(st.integers(0, 2**32 - 1))),  # noqa: S311 - test data
    )
    assert isinstance(READERS[name](spoiled), str)


@settings(max_examples=150)
@given(surveys(2), st.data())
def test_a_survey_with_other_answers_in_some_places_is_read_or_refused(
    survey: dict[str, Any], data: st.DataObject
) -> None:
    """A valid survey made from the schema, in which up to four places hold something else, as YAML or as JSON."""
    spoiled = copy.deepcopy(survey)
    odd = st.sampled_from([*VALUES, *(part.decode("utf-8", "replace") for part in (*NUMBERS, *ODD))])
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.sampled_from(list(places(spoiled))))
        parent: Any = spoiled
        for key in place[:-1]:
            parent = parent[key]
        parent[place[-1]] = data.draw(odd)
        if not list(places(spoiled)):
            break
    write = data.draw(st.sampled_from([_as_yaml, _as_json]))
    assert isinstance(READERS["survey"](write(spoiled)), str)


def _as_yaml(part: object) -> bytes:
    return yaml.safe_dump(part, allow_unicode=True, sort_keys=False).encode("utf-8", "replace")


def _as_json(part: object) -> bytes:
    return json.dumps(part, ensure_ascii=False).encode("utf-8", "replace")
