"""What every test runs under: a slow machine is no failure of a property."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("wallwalk", deadline=None)
settings.load_profile("wallwalk")
