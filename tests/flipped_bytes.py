"""Alters one byte at a time of filed records and tells what `verify` says: python tests/flipped_bytes.py 2000 300.

The first number is of JSON files (half of them in the record and what was signed), the second of a PDF. A byte of a PDF
that leaves all that is filed in it as it was is seen by its pages, which are drawn once and compared byte for byte.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Iterator
from random import Random

from filings import filed
from signed_filings import DISPENSARY, signed
from test_verify import matches_of, signed_corridor
from wallwalk.errors import InputError
from wallwalk.filed_json import read_filed_json, write_filed_json
from wallwalk.filed_pdf import read_filed_pdf
from wallwalk.filing import Filing
from wallwalk.matching import Match
from wallwalk.report.pdf import render_pdf
from wallwalk.verifying import match_quickly

REFUSED, PAGES, MISSED = "no filed record", "its pages", "MISSED"


def altered(content: bytes, first: int, chance: Random) -> bytes:
    """`content` with one byte at or behind `first` altered, in one bit or as a whole."""
    place, changed = chance.randrange(first, len(content)), bytearray(content)
    changed[place] ^= 1 << chance.randrange(8) if chance.random() < 0.5 else chance.randrange(1, 256)
    return bytes(changed)


def said_of(content: bytes, read: Callable[[bytes, str], Filing], drawn: Filing | None) -> str:
    """What the first thing is that does not match in the file `content`; `drawn` is what a PDF was drawn from."""
    try:
        filing = read(content, "room")
    except InputError:
        return REFUSED
    wrong: list[Match] = [one for one in match_quickly(filing) if one.matches is False]
    wrong = wrong or [one for one in matches_of(filing) if one.matches is False or "packed otherwise" in one.says]
    if wrong:
        return wrong[0].of
    return PAGES if filing == drawn else MISSED


def json_files(count: int) -> Iterator[str]:
    """What is said of so many altered JSON files: under an overlay, with three entries, with a photo."""
    rooms = [write_filed_json(one) for one in (signed_corridor(), signed(), filed(DISPENSARY))]
    for seed in range(count):
        chance = Random(seed)  # noqa: S311 - test data, not a secret
        room = chance.choice(rooms)
        first = room.index(b'"record":') if chance.random() < 0.5 else 0
        yield said_of(altered(room, first, chance), read_filed_json, None)


def pdf_files(count: int) -> Iterator[str]:
    """What is said of so many altered PDFs of the room with a photo."""
    filing = filed(DISPENSARY)
    room = render_pdf(filing)
    for seed in range(count):
        chance = Random(seed)  # noqa: S311 - test data, not a secret
        yield said_of(altered(room, 20, chance), read_filed_pdf, filing)


if __name__ == "__main__":
    told = [Counter(of(int(count))) for of, count in zip((json_files, pdf_files), sys.argv[1:], strict=True)]
    for kind, counts in zip(("JSON", "PDF"), told, strict=True):
        found = ", ".join(f"{number} by {what}" for what, number in counts.most_common())
        sys.stdout.write(f"{kind}: {counts.total()} altered, {counts[MISSED]} missed; {found}\n")
    sys.exit(1 if any(counts[MISSED] for counts in told) else 0)
