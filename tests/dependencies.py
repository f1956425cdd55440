"""What wallwalk leans on when it runs: each package with its licence, its least versions, and advisories against it.

Run:
    .venv/bin/python tests/dependencies.py                     the licences, as the table in DEVELOPERS.md
    .venv/bin/python tests/dependencies.py --least             each least version that pyproject.toml admits, pinned
    .venv/bin/python tests/dependencies.py --installed         every package at the version that is installed, pinned
    .venv/bin/python tests/dependencies.py --advisories FOLDER advisories of a checkout of pypa/advisory-database (OSV)

`bash tests/audit.sh` asks the services of pip-audit, where there is a way out to them.
"""

from __future__ import annotations

import argparse
import sys
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.metadata import Distribution, distribution
from pathlib import Path

import yaml
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

ROOT = Path(__file__).parent.parent
_PREFIX = "License :: OSI Approved :: "


@dataclass(frozen=True)
class Package:
    """One installed package: its name in canonical form, version, and licence as its makers state it."""

    name: str
    version: str
    licence: str


def requirements() -> tuple[Requirement, ...]:
    """What pyproject.toml asks for to run, and to sign with a key."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return tuple(map(Requirement, (*project["dependencies"], *project["optional-dependencies"]["signature"])))


def packages() -> tuple[Package, ...]:
    """Every package that a run needs, and what those need in turn, by name. Raises where one is not installed."""
    found: dict[str, Package] = {}
    asked: set[str] = set()
    waiting = list(requirements())
    while waiting:
        requirement = waiting.pop()
        if str(requirement) not in asked:
            asked.add(str(requirement))
            installed = distribution(requirement.name)
            name = canonicalize_name(requirement.name)
            found[name] = Package(name, installed.version, licence_of(installed))
            waiting.extend(_needed_by(installed, requirement.extras))
    return tuple(found[name] for name in sorted(found))


def _needed_by(installed: Distribution, extras: set[str]) -> Iterator[Requirement]:
    for requirement in map(Requirement, installed.requires or ()):
        marker = requirement.marker
        if marker is None or any(marker.evaluate({"extra": extra}) for extra in ("", *extras)):
            yield requirement


def licence_of(installed: Distribution) -> str:
    """The licence as the package's own metadata names it: its expression, else its classifiers, else its field."""
    told = installed.metadata
    expressions, fields = (told.get_all(key) or [] for key in ("License-Expression", "License"))
    listed = sorted(c.removeprefix(_PREFIX) for c in told.get_all("Classifier") or [] if c.startswith(_PREFIX))
    return next(iter([*expressions, *([" or ".join(listed)] if listed else []), *fields]), "none stated")


def licence_table() -> str:
    """The table in DEVELOPERS.md: versions are left out, since they move on."""
    rows = [f"| {p.name} | {p.licence} |" for p in packages()]
    return "\n".join(["| package | licence, as its makers state it |", "|---|---|", *rows])


def least_versions() -> str:
    """Each package that pyproject.toml names, at the least version it admits, as constraints for pip."""
    pinned = []
    for requirement in requirements():
        (specifier,) = requirement.specifier
        if specifier.operator != ">=":
            raise ValueError(f"{requirement}: write >= and a version, so that the least one can be tested")
        pinned.append(f"{requirement.name}=={specifier.version}")
    return "\n".join(pinned)


def advisories(folder: Path, package: Package) -> Iterator[str]:
    """The identifiers of the advisories below `folder` that hit this version of `package`."""
    for file in sorted((folder / "vulns" / package.name).glob("*.yaml")):
        told = yaml.safe_load(file.read_text(encoding="utf-8"))
        if "withdrawn" not in told and any(_hits(affected, package) for affected in told.get("affected", ())):
            yield told["id"]


def _hits(affected: dict[str, object], package: Package) -> bool:
    """Whether an entry of an advisory names this version, or a range of it holds this version."""
    versions, ranges = affected.get("versions", ()), affected.get("ranges", ())
    if isinstance(versions, list) and package.version in map(str, versions):
        return True
    return isinstance(ranges, list) and any(
        _in_range(one["events"], Version(package.version)) for one in ranges if one["type"] == "ECOSYSTEM"
    )


def _in_range(events: list[dict[str, str]], version: Version) -> bool:
    inside = False
    for event in events:
        ((what, at),) = event.items()
        if what == "introduced" and (at == "0" or version >= Version(at)):
            inside = True
        if what == "fixed" and version >= Version(at):
            inside = False
        if what == "last_affected" and version > Version(at):
            inside = False
    return inside


def _audit(folder: Path) -> bool:
    """Print what an advisory database says; whether it has nothing against any package."""
    known = [p for p in packages() if (folder / "vulns" / p.name).is_dir()]
    hit = {f"{p.name} {p.version}": sorted(advisories(folder, p)) for p in packages()}
    read = sum(1 for p in known for _ in (folder / "vulns" / p.name).glob("*.yaml"))
    sys.stdout.write(f"{len(hit)} packages; {read} advisories on {len(known)} of them read\n")
    for name, found in hit.items():
        if found:
            sys.stdout.write(f"{name}: {', '.join(found)}\n")
    return read > 0 and not any(hit.values())


def main() -> None:
    """Print what is asked for. The exit code is 1 where an advisory hits, or where there was none to read."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--least", action="store_true")
    parser.add_argument("--installed", action="store_true")
    parser.add_argument("--advisories", type=Path)
    given = parser.parse_args()
    if given.advisories:
        sys.exit(0 if _audit(given.advisories) else 1)
    installed = "\n".join(f"{p.name}=={p.version}" for p in packages())
    sys.stdout.write((least_versions() if given.least else installed if given.installed else licence_table()) + "\n")


if __name__ == "__main__":
    main()
