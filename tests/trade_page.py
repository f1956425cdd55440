"""The trade page as it is read by machine: each row with its section, its basis and the parties that put it right."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from surveys import ROOT

SECTIONS = (*"123456789", "traps")
"""The sections of the trade page, in its order."""
PRACTICE, MEMORY, QUOTED, PUBLISHED = "common practice", "from memory", "as quoted in trade literature", "published"
_PARTIES = ("general contractor", "HVAC", "owner", "painter", "drywall", "installer")
_NAMED = re.compile(r"\b(published|CFR|ASTM|ISO|JCGM)\b")
"""What a basis of the page says where somebody has published it."""
_NOBODY_HAS = "no published standard says so"


@dataclass(frozen=True, slots=True)
class PageRow:
    """One row: the cells of its table. `basis` and `parties` are empty where its table has no such column."""

    section: str
    condition: str
    limit: str = ""
    basis: str = ""
    parties: str = ""

    @property
    def is_caution(self) -> bool:
        """Whether the row says of itself that it does not hold the work."""
        said = any(word in cell for cell in (self.limit, self.basis) for word in ("caution", "reminder"))
        return said or self.section == "8" or self.condition.endswith("so this is a caution")

    def kinds(self) -> frozenset[str]:
        """What sort of basis the row gives. What is computed, or is the label's to say, is practice to ask for."""
        return kinds_in(self.basis.replace("computed", "practice").replace("label", "practice"))

    def named_parties(self) -> frozenset[str]:
        """The parties that the row names. To wait is in nobody's hand, and names none."""
        found = {party for party in _PARTIES if party in self.parties}
        return frozenset(found | ({"electrician or plumber"} if "electrician" in self.parties else set()))


def kinds_in(cell: str) -> frozenset[str]:
    """The sorts of basis in a cell of the page: each of its parts between semicolons and commas may give another."""
    quoted = "weak" in cell or "handbook range" in cell
    memory = "memory" in cell
    named = _NAMED.search(cell.replace(_NOBODY_HAS, "")) is not None
    published = named and not quoted and ("published" in cell or not memory)
    found = {PRACTICE: "practice" in cell, MEMORY: memory, QUOTED: quoted, PUBLISHED: published}
    return frozenset(kind for kind, is_given in found.items() if is_given)


def kinds_of(basis: str) -> frozenset[str]:
    """The sorts of basis that a rule or a limit says it has: the one it begins with, and practice where it adds it."""
    first = next(kind for kind in (PRACTICE, MEMORY, QUOTED, PUBLISHED) if basis.startswith(kind))
    return frozenset({first, *({PRACTICE} if basis.endswith(f"is {PRACTICE}") else ())})


def trade_page() -> Path:
    """The trade page, beside the checkout or above the reference folder; without it the test is skipped."""
    homes = [ROOT.parent / "shared"]
    if reference := os.environ.get("WALLWALK_REFERENCE"):
        homes.append(Path(reference).parent)
    for home in homes:
        if (home / "trade.md").is_file():
            return home / "trade.md"
    pytest.skip("trade.md is not at hand; it lies in the folder above WALLWALK_REFERENCE")


def page_rows() -> Iterator[PageRow]:
    """Each row of each section's table, and each trap, in the order of the page."""
    for part in re.split(r"(?m)^## ", trade_page().read_text(encoding="utf-8"))[1:]:
        heading, *lines = part.splitlines()
        section = heading.split(".")[0] if heading[0].isdigit() else "traps" if heading.startswith("Traps") else ""
        if section == "traps":
            yield from (PageRow(section, line[2:].strip()) for line in lines if line.startswith("- "))
        elif section:
            # The first row of a table is its heading; the line below it has no space behind its bar.
            yield from (_row(section, line) for line in [line for line in lines if line.startswith("| ")][1:])


def _row(section: str, line: str) -> PageRow:
    cells = [cell.strip() for cell in line.strip().strip("|").split(" | ")]
    if section == "8":
        trigger, caution, basis = cells
        return PageRow(section, trigger, caution, basis)
    return PageRow(section, *cells)
