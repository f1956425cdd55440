"""Trade page 5, climate, by the logs."""
from __future__ import annotations
SPACE_HOLDS = ()
SPACE_CAUTIONS = ()
WALL_HOLDS = ()
WALL_CAUTIONS = ()
