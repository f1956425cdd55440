"""Filed records for tests: examples, checked and filed, and signed by invented people."""

from __future__ import annotations

from functools import cache

from filings import filed
from wallwalk.filed_json import read_filed_json, write_filed_json
from wallwalk.filing import Filing
from wallwalk.signing import Signing, sign

DISPENSARY, READING_ROOM, CORRIDOR, KITCHEN, PASSING = (
    "014-old-dispensary",
    "507-reading-room",
    "110-link-corridor",
    "031-staff-kitchen",
    "204-treatment-room",
)


def read_back(filing: Filing) -> Filing:
    """The filing as it is read from the file it is written to."""
    return read_filed_json(write_filed_json(filing), "room.json")


RELEASE = Signing(
    "inspector",
    "Ilse Marrable",
    "released",
    "2026-03-11 16:00",
    "primer-dried-long-enough:East",
    "Read dry by the meter in five places.",
)
HELD = Signing("owner", "Oke Brandvold", "held", "2026-03-11 17:00", "", "Not before the outside wall is settled.")
SEEN = Signing("general contractor", "Tadeusz Quarn", "noted", "2026-03-12T00:30+01:00", "", "Seen.")


@cache
def signed() -> Filing:
    """The reading room with three entries: a release over a hold, the whole record held, and a note."""
    filing = filed(READING_ROOM)
    for signing in (RELEASE, HELD, SEEN):
        filing = sign(filing, signing)
    return filing
