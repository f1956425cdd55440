"""A pytest plugin for runs against mutants: fewer examples and no shrinking, nothing kept between runs."""

from __future__ import annotations

import os

from hypothesis import Phase, settings


def pytest_sessionstart() -> None:
    """After `conftest.py` has set its own profile, and before any test is collected."""
    settings.register_profile(
        "mutants",
        deadline=None,
        derandomize=True,
        database=None,
        max_examples=30,
        phases=(Phase.explicit, Phase.generate),
    )
    settings.load_profile("mutants")
    os.environ["WALLWALK_CACHE"] = ""  # a rule set that a mutant proved must not be taken for proven
