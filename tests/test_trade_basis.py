"""Each rule has the basis, the party and the grade of the rows it stands for, or is listed here with its reason."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

import pytest

from surveys import rigid_sheet
from trade_page import MEMORY, PRACTICE, PUBLISHED, QUOTED, SECTIONS, PageRow, kinds_in, kinds_of, page_rows
from wallwalk.rules import Rule, checks

Departures = Mapping[tuple[str, str], str]
"""The reason, by the first words of a row and the name of a rule."""

_ITS_OWN = "has a row of its own, with that basis and party; it is named here because this row leans on it"
_LABEL = "the range is the label's own, which no standard gives; the standard is for the dew point"
_NOT_THE_STANDARD = "E84 and the building code speak of fire alone; that papers and a mock-up are asked for is practice"
_READ = "the interval of the readings is the published one; the row of this section only asks for the reading"
_HANDBOOK = "the table was seen in a handbook that reprints it, and no copy of DIN 18202 is at hand"
_DRYING = "the page names nobody, since only time helps; it stands under whoever decides how long to wait"

BASIS: Departures = {
    ("Permanent climate control", "no-fuel-heater"): _ITS_OWN,
    ("Submittals, mock-up", "submittals-on-file"): _NOT_THE_STANDARD,
    ("Submittals, mock-up", "mock-up-approved"): _NOT_THE_STANDARD,
    ("New concrete, masonry", "masonry-and-wood-moisture-low"): _ITS_OWN,
    ("New concrete, masonry", "moisture-readings-recent"): _READ,
    ("Flat: gap", "wall-flat-by-din-18202-row-6"): _HANDBOOK,
    ("Flat: gap", "wall-flat-by-din-18202-row-7"): _HANDBOOK,
    ("No loose, flaking", "paint-not-chalking"): _ITS_OWN,
    ("Primer applied with air", "primed-in-its-range"): _LABEL,
    ("Readings carry time", "wall-humidity-tested-often-enough"): _ITS_OWN,
}
PARTIES: Departures = {
    ("Permanent climate control", "no-fuel-heater"): _ITS_OWN,
    ("New concrete, masonry", "cement-work-cured-before-primer"): "the wall is too young; it is primer that comes off",
    ("New concrete, masonry", "moisture-readings-recent"): _READ,
    ("Moisture, gypsum board", "painted-wall-moisture-low"): "under paint it may be board or plaster, all old",
    ("Board tight", "patches-primed"): "the page asks for patches that are primed, and primer is the painter's",
    ("Primer dwell", "primer-has-dwelled"): _DRYING,
    ("Primer dwell", "patch-primer-has-dwelled"): _DRYING,
    ("Sheets acclimated", "sheets-acclimated"): _DRYING,
    ("Sheets acclimated", "sheets-acclimated-by-the-log"): _DRYING,
    ("Enough sheets", "primer-enough-for-bare-wall"): "the installer counts, and it is the painter who buys primer",
}
GRADES: Departures = {
    ("Permanent climate control", "climate-control-permanent"): "the row itself says: temporary heat is a caution",
    ("Permanent climate control", "no-fuel-heater"): _ITS_OWN,
    ("Primer quantity used", "primer-spread-sensible"): "no opening is taken off the area, so it proves nothing",
    ("Logged temperature", "climate-was-logged"): "without one the room is judged by its readings",
    ("Logged temperature", "no-excursion-before-start"): "band-held-before-start holds; this tells what it forgave",
    ("Right colour", "sheets-of-one-lot"): "sheets-right-and-undamaged holds; a lot a wall may be right",
    ("Enough sheets", "sheets-of-one-lot"): "sheets-enough holds; this one looks at each lot",
    ("Enough sheets", "primer-enough-for-bare-wall"): "porous-wall-sealed holds a wall that has no primer yet",
    ("Open time", "spread-fits-open-time"): "what the crew means to do is no state of the wall; it can spread less",
    ("Rotary cutters", "no-live-boxes"): "a live circuit is no caution: the row on boxes in section 1 holds",
    ("Mould, sewage", "no-mould-or-sewage"): "the row itself says: stop",
}


def rules_by_row() -> Iterator[tuple[PageRow, tuple[Rule, ...]]]:
    """Each row of the page's tables with the rules that stand for it; traps have neither basis nor party."""
    rule_set = rigid_sheet()
    assert rule_set.conditions is not None
    table = zip(SECTIONS, rule_set.conditions.sections, strict=True)
    written = [(section, row) for section, part in table for row in part.rows]
    for row in page_rows():
        if row.section != "traps":
            [own] = [r for section, r in written if section == row.section and r.condition in row.condition]
            yield row, tuple(rule_set.rules[name] for name in own.rules)


def has_its_basis(row: PageRow, rule: Rule) -> bool:
    """Whether every sort of basis that the rule says it has is one that the row gives."""
    return kinds_of(rule.basis) <= row.kinds()


def has_its_party(row: PageRow, rule: Rule) -> bool:
    """Whether the row names the rule's party. A table without such a column leaves it open."""
    return not row.parties or rule.by in row.named_parties()


def has_its_grade(row: PageRow, rule: Rule) -> bool:
    """Whether the rule holds the work where the row does, and is a caution where the row is one."""
    return (rule.grade == "caution") == row.is_caution


@pytest.mark.parametrize(
    ("keeps", "listed"),
    [(has_its_basis, BASIS), (has_its_party, PARTIES), (has_its_grade, GRADES)],
    ids=["basis", "party", "grade"],
)
def test_each_rule_keeps_to_its_rows_or_is_listed(keeps: Callable[[PageRow, Rule], bool], listed: Departures) -> None:
    """What departs from the page is what is listed here, row by row, and nothing listed has come to keep to it."""
    departs = [(row.condition, rule.name) for row, rules in rules_by_row() for rule in rules if not keeps(row, rule)]
    met = [[key for key in listed if text.startswith(key[0]) and name == key[1]] for text, name in departs]
    assert [departure for departure, keys in zip(departs, met, strict=True) if len(keys) != 1] == []
    assert [key for key in listed if [key] not in met] == []


def test_no_sort_of_basis_of_a_row_is_left_out() -> None:
    """All that a row gives is said by one of its rules: published classes beside an acceptance that is practice."""
    said = [(row, {kind for rule in rules for kind in kinds_of(rule.basis)}) for row, rules in rules_by_row() if rules]
    assert len(said) > 55
    unsaid = {row.condition: set(row.kinds() - kinds) for row, kinds in said if not row.kinds() <= kinds}
    assert unsaid == {"Flat: gap under a straightedge": {PUBLISHED}}  # quoted, as listed above


def test_a_limit_claims_no_more_than_its_rule() -> None:
    """No limit that a rule compares with is called published where the rule is not, nor is one from memory hidden."""
    rule_set = rigid_sheet()
    less = [
        (rule.name, name)
        for rule in rule_set.rules.values()
        for check in checks(rule.require)
        for name in (*check.limits, *rule_set.facts[check.fact].limits)
        if not kinds_of(rule_set.limits[name].basis) <= kinds_of(rule.basis) | {PRACTICE}
    ]
    assert set(less) == {
        ("wall-evenly-warm", "surface_spread_max"),  # that hot spots are noted is practice, the figure from memory
        ("sheets-enough", "corner_strip_min"),  # the count is practice, the least strip from memory
        ("sheets-of-one-lot", "corner_strip_min"),
    }


@pytest.mark.parametrize(
    ("cell", "kinds"),
    [
        ("practice", {PRACTICE}),
        ("published (MPI limits, weak)", {QUOTED}),
        ("29 CFR 1926.56 (memory)", {MEMORY}),
        ("method ISO 8502-3; limit: practice", {PUBLISHED, PRACTICE}),
        ("memory; or DIN 18202 Table 3 row 6/7 by span (published, in reference/)", {MEMORY, PUBLISHED}),
        ("practice (no published standard says so)", {PRACTICE}),
        ("40 CFR 745.83", {PUBLISHED}),
        ("handbook range", {QUOTED}),
    ],
)
def test_a_cell_of_the_page_is_read_as_it_is_meant(cell: str, kinds: set[str]) -> None:
    """The sorts of basis in the page's own words."""
    assert kinds_in(cell) == kinds


def test_every_row_with_a_basis_gives_one_of_the_four_sorts() -> None:
    """No cell of the page is read as nothing, which every rule would keep to."""
    rows = [row for row in page_rows() if row.section != "traps"]
    assert len(rows) > 60
    assert [row.condition for row in rows if not row.kinds()] == []
    assert {row.parties for row in rows if row.parties and not row.named_parties()} == {"wait"}
