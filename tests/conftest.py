"""What every test runs under: a slow machine is no failure of a property, and CI tries the same examples each time."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("wallwalk", deadline=None, derandomize=bool(os.environ.get("CI")))
settings.load_profile("wallwalk")
