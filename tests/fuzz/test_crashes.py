"""Every document that once broke the law is read or refused as it should be, with the whole of what is said.

A file in `crashes/` begins with the name of its reader; `crashes.expected.yaml` holds what is said of it, empty where
it is read. What the fuzzer finds is cut down, put there, and mended in the program.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import yaml

import resealing
import targets
from targets import READERS
from wallwalk.cli.rechecking import check_again
from wallwalk.errors import InputError

CRASHES = Path(__file__).parent / "crashes"
EXPECTED: dict[str, str] = yaml.safe_load((CRASHES.parent / "crashes.expected.yaml").read_text(encoding="utf-8"))


@pytest.fixture(scope="module", autouse=True)
def own_folder() -> Iterator[None]:
    """The readers have files in a folder of this process, which is gone afterwards."""
    yield
    targets.tidy()


def reader_of(name: str) -> Callable[[bytes], str]:
    """The reader that a file in `crashes/` is for: the longest name that it begins with."""
    return READERS[max((reader for reader in READERS if name.startswith(f"{reader}-")), key=len)]


def test_each_crash_has_its_message_and_each_message_its_crash() -> None:
    """Nothing lies in the folder untested, and there are as many as were found."""
    assert sorted(path.name for path in CRASHES.iterdir()) == sorted(EXPECTED)
    assert len(EXPECTED) == 3


@pytest.mark.parametrize("name", EXPECTED)
def test_what_once_broke_the_law_keeps_it(name: str) -> None:
    """The outcome is the expected one to the letter."""
    assert reader_of(name)((CRASHES / name).read_bytes()) == EXPECTED[name].rstrip("\n")


def test_an_overlay_over_a_bad_example_says_which_example_it_is() -> None:
    """Checking once more ends with what keeps the rule set from being proven, before anything is laid over it."""
    filing = resealing.filing_of((CRASHES / "resealed-overlay-over-a-bad-example").read_bytes())
    assert filing is not None
    again = check_again(filing)
    assert isinstance(again, InputError)
    assert str(again) == (
        'sound/room.yaml:9: facts.beyond in "over" expects "a degree"; '
        "write a number with its unit, such as 3 °C or 5.4 °F"
    )
