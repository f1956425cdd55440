"""The built wheel, with the checkout gone, does the same work as the checkout."""

from __future__ import annotations

import fcntl
import json
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from filings import filed_pdf
from surveys import EXAMPLES, ROOT, example, example_rules
from wallwalk.checking import check
from wallwalk.filing import canonical

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel under test: the one CI built, else one built here from a copy of what git knows."""
    if given := os.environ.get("WALLWALK_WHEEL"):
        return Path(given)
    folder = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        folder = folder.parent  # one wheel for all workers; the first that asks builds it
    with (folder / "wheel.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        built = [*(folder / "wheel").glob("*.whl")] or [build_in(folder / "wheel", folder / "wheel-checkout")]
    return built[0]


def build_in(out: Path, copy: Path) -> Path:
    """The wheel, built in `out` from a copy of the checkout that is gone afterwards."""
    copy.mkdir()
    for name in ("pyproject.toml", "README.md", "LICENSE", "inspect", "rules", "templates"):
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, copy / name)
    subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--outdir", str(out), str(copy)], check=True, capture_output=True
    )
    shutil.rmtree(copy)
    (built,) = out.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def unpacked(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel laid open as an installer lays it, far from any checkout."""
    folder = tmp_path_factory.mktemp("site")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder)
    return folder


def run(unpacked: Path, *arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """The command line of the unpacked wheel, with the dependencies of this environment and nothing of the checkout."""
    script = (
        "import sys; sys.path.insert(0, sys.argv[1]); del sys.argv[1]; import wallwalk, wallwalk.cli; "
        "assert wallwalk.__file__.startswith(sys.path[0]), wallwalk.__file__; wallwalk.cli.main()"
    )
    command = [sys.executable, "-c", script, str(unpacked), *arguments]
    return subprocess.run(command, capture_output=True, text=True, cwd=cwd, check=False)


def test_the_wheel_carries_rule_sets_and_templates(wheel: Path) -> None:
    """Every rule file and template of the checkout is in the wheel, and nothing lands outside the package."""
    names = set(zipfile.ZipFile(wheel).namelist())
    want = {
        f"wallwalk/data/{path.relative_to(ROOT).as_posix()}"
        for folder in ("rules", "templates")
        for path in (ROOT / folder).rglob("*")
        if path.is_file()
    }
    assert len(want) > 10
    assert want - names == set()
    assert {n.split("/")[0].split("-")[0] for n in names} == {"wallwalk"}


@pytest.mark.parametrize("name", [p.stem for p in EXAMPLES])
def test_the_same_record_comes_out_of_the_wheel(name: str, unpacked: Path, tmp_path: Path) -> None:
    """Byte for byte the record of the checkout, in another process, another folder and with another hash seed."""
    for file in (ROOT / "examples").glob(f"{name}.*"):  # the survey, and its logger's file where it has one
        shutil.copy(file, tmp_path)
    done = run(unpacked, "check", f"{name}.yaml", "-o", "record.json", cwd=tmp_path)
    assert done.returncode in (0, 1), done.stderr
    filed = json.loads((tmp_path / "record.json").read_text())
    assert canonical(filed["record"]) == canonical(check(example(name), example_rules(name)))


def test_the_same_filed_pdf_comes_out_of_the_wheel(unpacked: Path, tmp_path: Path) -> None:
    """Byte for byte the PDF of the checkout, with all that it carries; a page of HTML beside it."""
    for file in (ROOT / "examples").glob("204-treatment-room.*"):
        shutil.copy(file, tmp_path)
    outputs = ("-o", "room.pdf", "-o", "room.html")
    assert run(unpacked, "check", "204-treatment-room.yaml", *outputs, cwd=tmp_path).returncode == 0
    assert (tmp_path / "room.pdf").read_bytes() == filed_pdf("204-treatment-room")
    assert (tmp_path / "room.html").read_text().startswith("<!DOCTYPE html>")


def test_every_rules_command_works_from_the_wheel(unpacked: Path, tmp_path: Path) -> None:
    """The rule commands and explain find their data inside the wheel."""
    shutil.copy(ROOT / "examples" / "204-treatment-room.yaml", tmp_path / "room.yaml")
    shutil.copy(ROOT / "examples" / "204-treatment-room.csv", tmp_path)
    for command in (
        ["rules", "list"],
        ["rules", "show"],
        ["rules", "show", "-o", "manual.html"],
        ["rules", "schema"],
        ["rules", "new", "wood-panels"],
        ["rules", "test", "wood-panels"],
        ["rules", "test"],
        ["explain", "primer-has-dwelled", "room.yaml"],
    ):
        assert run(unpacked, *command, cwd=tmp_path).returncode == 0
