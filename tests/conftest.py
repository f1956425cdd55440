"""What every test runs under: a slow machine is no failure of a property, and CI tries the same examples each time."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from playwright.sync_api import Browser

# The checks of the table of attacks lie beside its test, and say as much when they fail.
pytest.register_assert_rewrite(*(path.stem for path in (Path(__file__).parent / "hostile").glob("attacks_*.py")))

# Programs that tests start keep their rule sets apart from those of whoever runs the tests.
os.environ["WALLWALK_CACHE"] = str(Path(tempfile.gettempdir()) / f"wallwalk-tests-{os.getuid()}")

settings.register_profile("wallwalk", deadline=None, derandomize=bool(os.environ.get("CI")))
settings.load_profile("wallwalk")


@pytest.fixture
def work_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Checks made once more take what was worked out from the same bytes before, see `done_once`."""
    from done_once import work_once

    work_once(monkeypatch)


@pytest.fixture
def read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a rule set that is read, only the files that are others than before are parsed, see `done_once`."""
    from done_once import read_once

    read_once(monkeypatch)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The machine's Chromium, one for all tests of a worker."""
    from pages import chromium

    with chromium() as started:
        yield started
