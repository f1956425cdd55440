"""Mutation testing of the judging core.

    python tests/mutation/run.py [--module NAME]... [--sample] [--quick] [--again] [--work FOLDER]

Each module of `selections.QUICK` is copied, with the tests, into a folder of its own. There `mutmut` makes small
changes in its functions, one a mutant, and runs the quick selection of tests against each. What survives is run against
the wide selection, in a new process that proves its rule sets anew. Printed for each module: mutants, killed, timed
out, survived, score; each survivor that `SURVIVORS.md` does not explain. Exit code 1 if there is one. `--again` keeps
what was killed before: it runs only what survived in the same folder, and what of the program has changed since.
"""

from __future__ import annotations

import argparse
import ast
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping
from fnmatch import fnmatchcase
from pathlib import Path

from selections import QUICK, WIDE
from survivors import Change, explained

ROOT = Path(__file__).resolve().parents[2]
COPIED = ("tests", "rules", "templates", "examples", "README.md", "DEVELOPERS.md", "LICENSE")
KILLED, SURVIVED, TIMED_OUT = "killed", "survived", "timed out"
NO_TESTS = 33
SAMPLE = ("*__mutmut_*3", "*__mutmut_*8")
"""Of each function the mutants whose number ends so: one in five."""
PLUGINS = ("-p", "no:cacheprovider", "-p", "no:xdist", "-p", "quick_examples")
_LONGEST_S = 600


def prepare(module: str, folder: Path) -> None:
    """Lays out in `folder` what is needed to run the tests of `module`, with the program below `src`."""
    ignored = shutil.ignore_patterns("__pycache__", "out", "browser", "bench")
    package = folder / "src" / "wallwalk"
    shutil.copytree(ROOT / "inspect" / "wallwalk", package, ignore=ignored, dirs_exist_ok=True)
    for name in ("rules", "templates"):
        shutil.copytree(ROOT / name, package / "data" / name, dirs_exist_ok=True)
    for name in COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, folder / name, ignore=ignored, dirs_exist_ok=True)
        else:
            shutil.copy(source, folder)
    target = package / f"{module}.py"
    target.write_text(undecorated(target.read_text()))
    (folder / "pyproject.toml").write_text(settings(module))
    for path in search_path(folder):  # Python asks a folder that is not there when it starts never again
        path.mkdir(parents=True, exist_ok=True)


def undecorated(source: str) -> str:
    """`source` with properties made by assignment and nothing cached: `mutmut` leaves decorated functions alone."""
    lines = source.splitlines()
    functions = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.FunctionDef)]
    for node in functions:
        for decorator in node.decorator_list:
            written = ast.unparse(decorator)
            if written == "property":  # in place of the empty line after it
                lines[node.end_lineno or 0] = f"{' ' * node.col_offset}{node.name} = property({node.name})"
            if written == "property" or written.startswith(("cache", "lru_cache")):
                lines[decorator.lineno - 1] = ""
    return "\n".join(lines) + "\n"


def settings(module: str) -> str:
    """The `pyproject.toml` of a folder in which `module` is mutated."""
    tests = [f"tests/test_{name}.py" for name in QUICK[module]]
    return f"""
[project]
name = "wallwalk"
version = "0"

[tool.pytest.ini_options]
addopts = "--strict-markers --strict-config --import-mode=importlib"
markers = ["slow: takes more than a second or two"]
pythonpath = ["tests", "tests/mutation"]

[tool.mutmut]
source_paths = ["src"]
only_mutate = ["src/wallwalk/{module}.py"]
also_copy = {json.dumps(COPIED)}
pytest_add_cli_args = {json.dumps(PLUGINS)}
pytest_add_cli_args_test_selection = {json.dumps([*tests, "-m", "not slow"])}
timeout_constant = 5.0
timeout_multiplier = 20.0
track_dependencies = false
use_git_change_detection = false
"""


def search_path(folder: Path) -> list[Path]:
    """Where the mutated program lies, and the plugin for pytest."""
    return [folder / "mutants" / "src", folder / "mutants" / "tests" / "mutation"]


def environment(folder: Path, mutant: str = "") -> dict[str, str]:
    """What programs that tests start run under, so that they run the mutants as well."""
    chosen = {"MUTANT_UNDER_TEST": mutant} if mutant else {}
    return {
        **os.environ,
        **chosen,
        "PYTHONPATH": os.pathsep.join(map(str, search_path(folder))),
        "PYTHONDONTWRITEBYTECODE": "1",
    }


def run_quick(module: str, folder: Path, patterns: tuple[str, ...], *, again: bool) -> dict[str, str]:
    """The fate of each mutant of `module` by name, after the quick selection; only of those like `patterns`, if any.

    `again`: those that survived before are run against it once more.
    """
    mutmut = Path(sys.executable).with_name("mutmut")
    with (folder / "mutmut.log").open("w") as log:
        subprocess.run(
            [mutmut, "run", "--max-children", "1", *patterns],
            cwd=folder,
            env=environment(folder),
            stdout=log,
            stderr=log,
            check=False,
        )
    meta = folder / "mutants" / "src" / "wallwalk" / f"{module}.py.meta"
    codes = json.loads(meta.read_text())["exit_code_by_key"] if meta.exists() else {}
    if not codes and "Running mutation testing" not in (folder / "mutmut.log").read_text():
        sys.exit(f"run.py: no mutant of {module} was run; see {folder / 'mutmut.log'}")
    wanted = [name for name in codes if not patterns or any(fnmatchcase(name, pattern) for pattern in patterns)]
    if None in (codes[name] for name in wanted):
        sys.exit(f"run.py: mutants of {module} were left out; see {folder / 'mutmut.log'}")
    fates = {name: fate_of(codes[name]) for name in wanted}
    made_early = factories((ROOT / "inspect" / "wallwalk" / f"{module}.py").read_text())
    for name, fate in fates.items():
        if fate == SURVIVED and (again or function_of(name) in made_early):
            fates[name] = run_anew(name, folder, QUICK[module], "-m", "not slow")
    return fates


def factories(source: str) -> set[str]:
    """Functions that make functions: called as the module is loaded, before `mutmut` has chosen a mutant."""
    functions = [node for node in ast.parse(source).body if isinstance(node, ast.FunctionDef)]
    return {f.name for f in functions if any(isinstance(part, ast.FunctionDef) for part in f.body)}


def fate_of(code: int) -> str:
    """What an exit code of a run of tests says of the mutant they ran against."""
    if code in {0, NO_TESTS}:
        return SURVIVED
    return KILLED if code in {1, 2, 3} else TIMED_OUT


def run_anew(name: str, folder: Path, files: tuple[str, ...], *options: str) -> str:
    """The fate of one mutant after those test files, in a process of its own."""
    tests = [f"tests/test_{file}.py" for file in files]
    command = [sys.executable, "-m", "pytest", "-x", "-q", *PLUGINS, *options, *tests]
    try:
        done = subprocess.run(
            command,
            cwd=folder / "mutants",
            env=environment(folder, name),
            capture_output=True,
            timeout=_LONGEST_S,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return TIMED_OUT
    return fate_of(done.returncode)


def function_of(name: str) -> str:
    """The function that a mutant is one of; a method is `Class.method`."""
    mangled = name.rpartition(".")[2].partition("__mutmut_")[0]
    return mangled.removeprefix("x_").removeprefix("xǁ").replace("ǁ", ".")


def changes_of(module: str, names: list[str], folder: Path) -> Iterator[Change]:
    """What each of the mutants called `names` changes."""
    mutmut = Path(sys.executable).with_name("mutmut")
    for name in names:
        shown = subprocess.run(
            [mutmut, "show", name], cwd=folder, env=environment(folder), capture_output=True, text=True, check=True
        )
        lines = shown.stdout.splitlines()
        was = " ".join(line[1:].strip() for line in lines if line.startswith("-") and not line.startswith("---"))
        became = " ".join(line[1:].strip() for line in lines if line.startswith("+") and not line.startswith("+++"))
        yield Change(module, function_of(name), was, became)


def run_module(
    module: str, work: Path, patterns: tuple[str, ...], known: Mapping[Change, str], *, wide: bool, again: bool
) -> tuple[Mapping[str, str], list[tuple[str, Change]]]:
    """The fate of every mutant of `module`, and the changes of those that live; what is `known` is not run again."""
    folder = work / module
    if not again:
        shutil.rmtree(folder, ignore_errors=True)
    prepare(module, folder)
    fates = run_quick(module, folder, patterns, again=again)
    names = [name for name, fate in fates.items() if fate == SURVIVED]
    living = list(zip(names, changes_of(module, names, folder), strict=True))
    if wide:
        fates |= {name: run_anew(name, folder, WIDE) for name, change in living if change not in known}
    return fates, [(name, change) for name, change in living if fates[name] == SURVIVED]


def row_of(module: str, fates: Mapping[str, str], of_these_explained: int, seconds: float) -> str:
    """One row of the table of figures; what timed out counts as killed in the score."""
    counts = [sum(f == fate for f in fates.values()) for fate in (KILLED, TIMED_OUT, SURVIVED)]
    score = f"{100 * (len(fates) - counts[2]) / len(fates):.1f} %" if fates else "-"
    cells = (f"`{module}`", len(fates), *counts, of_these_explained, score, f"{seconds:.0f}")
    return f"| {' | '.join(map(str, cells))} |"


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def main() -> None:
    """Runs the modules asked for, or all."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--module", action="append", choices=list(QUICK), help="one module only; may be given again")
    parser.add_argument("--sample", action="store_true", help="one mutant in five")
    parser.add_argument("--again", action="store_true", help="keep what was killed in the same folder before")
    parser.add_argument("--quick", action="store_true", help="leave the wide selection out")
    parser.add_argument(
        "--work", type=Path, default=Path(tempfile.gettempdir()) / "wallwalk-mutants", help="where to work"
    )
    asked = parser.parse_args()
    known, unexplained = explained(), 0
    _say("| module | mutants | killed | timed out | survived | of these explained | score | seconds |")
    _say("|---|---|---|---|---|---|---|---|")
    for module in asked.module or QUICK:
        began = time.monotonic()
        patterns = SAMPLE if asked.sample else ()
        fates, living = run_module(module, asked.work, patterns, known, wide=not asked.quick, again=asked.again)
        open_ones = [(name, change) for name, change in living if change not in known]
        _say(row_of(module, fates, len(living) - len(open_ones), time.monotonic() - began))
        for name, change in open_ones:
            _say(f"  {name} in {change.function}\n    - {change.was}\n    + {change.became}")
        unexplained += len(open_ones)
    sys.exit(1 if unexplained else 0)


if __name__ == "__main__":
    main()
