"""What wallwalk leans on may be used as it is used, and its least versions can be tested."""

from __future__ import annotations

import re
from pathlib import Path

from packaging.requirements import Requirement

from dependencies import Package, advisories, least_versions, packages, requirements
from surveys import ROOT

FREE = re.compile(
    r"(MIT|MIT-0|MIT-CMU|BSD-2-Clause|BSD-3-Clause|Apache-2\.0|PSF-2\.0|MPL-2\.0"
    r"|Apache-2\.0 OR BSD-3-Clause"
    r"|(MIT|BSD|Apache Software) License|.*\bGNU Lesser General Public License v2 or later \(LGPLv2\+\).*)"
)
"""Licences under which a package may be installed beside a program of any licence."""

ADVISORY = """
id: EX-2026-1
affected:
- package: {name: thing, ecosystem: PyPI}
  ranges:
  - type: ECOSYSTEM
    events: [{introduced: '2'}, {fixed: 2.11.3}, {introduced: '3.0'}, {last_affected: '3.1'}]
  versions: ['1.5']
"""


def test_every_package_states_a_free_licence() -> None:
    """No package that a run needs is without a licence, or under one that asks for more than a notice."""
    found = packages()
    assert len(found) >= len(requirements())
    assert [p for p in found if not FREE.fullmatch(p.licence)] == []


def test_the_table_of_licences_names_what_is_installed() -> None:
    """DEVELOPERS.md has a row for each package that pyproject.toml names; how makers word a licence may change."""
    told = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    rows = set(re.findall(r"^\| ([a-z0-9-]+) \| .*(?:MIT|BSD|Apache|PSF|Mozilla)", told, re.MULTILINE))
    assert {r.name for r in requirements()} - rows == set()


def test_least_versions_are_those_of_the_project_file() -> None:
    """One exact version for each package, that of its lower bound."""
    pinned = [Requirement(line) for line in least_versions().splitlines()]
    assert [f"{p.name}{str(p.specifier).replace('==', '>=')}" for p in pinned] == [str(r) for r in requirements()]


def test_an_advisory_is_found_by_range_and_by_version(tmp_path: Path) -> None:
    """The ranges of an advisory take in their first version and leave out the one that mends it (OSV schema, 1.6)."""
    folder = tmp_path / "vulns" / "thing"
    folder.mkdir(parents=True)
    (folder / "EX-2026-1.yaml").write_text(ADVISORY, encoding="utf-8")
    tried = ("1.5", "1.6", "2.0", "2.11.2", "2.11.3", "3.0", "3.1", "3.1.1")
    hit = {v for v in tried if list(advisories(tmp_path, Package("thing", v, "MIT")))}
    assert hit == {"1.5", "2.0", "2.11.2", "3.0", "3.1"}
