"""Mutation testing of the judging core.

    python tests/mutation/run.py [--module NAME]... [--sample] [--quick] [--work FOLDER]

Each module of `selections.QUICK` is copied, with the tests, into a folder of its own. There `mutmut` makes small
changes in its functions, one a mutant. Each mutant is tried until something fails: on the plain test functions of its
quick selection (`called.py`), on that selection under pytest where it has others, and on the wide one. Printed for each
module: mutants, killed, timed out, survived, score; each survivor that `SURVIVORS.md` does not explain. Exit code 1 if
there is one.
"""

from __future__ import annotations

import argparse
import ast
import difflib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping
from pathlib import Path

from called import KILLED, SURVIVED, TIMED_OUT
from selections import QUICK, WIDE
from survivors import Change, explained

ROOT = Path(__file__).resolve().parents[2]
COPIED = ("tests", "rules", "templates", "examples", "README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml")
PLUGINS = ("-p", "no:cacheprovider", "-p", "no:xdist", "-p", "quick_examples")
EACH = 5
"""A sample is one mutant in so many."""
_LONGEST_S = 1200


def prepare(module: str, folder: Path) -> str:
    """Lays out in `folder` the tests and, below `src`, the program with all mutants of `module`; gives that module."""
    shutil.rmtree(folder, ignore_errors=True)
    ignored = shutil.ignore_patterns("__pycache__", "out")
    package = folder / "src" / "wallwalk"
    shutil.copytree(ROOT / "inspect" / "wallwalk", package, ignore=ignored)
    for name in ("rules", "templates"):
        shutil.copytree(ROOT / name, package / "data" / name)
    for name in COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, folder / name, ignore=ignored)
        else:
            shutil.copy(source, folder)
    target = package / f"{module}.py"
    mutated = mutants_of(undecorated(target.read_text()), folder)
    target.write_text(mutated)
    return mutated


def mutants_of(source: str, folder: Path) -> str:
    """`source` with every mutant of every function beside it, as `mutmut` writes them."""
    os.chdir(folder)  # where it looks for its settings: none but the place of the program
    from mutmut.mutation.file_mutation import mutate_file_contents

    return str(mutate_file_contents("module.py", source).code)


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


def environment(folder: Path, mutant: str = "") -> dict[str, str]:
    """What the tests run under, and the programs that they start, so that those run the mutant as well."""
    paths = [folder / "src", folder / "tests", folder / "tests" / "mutation"]
    chosen = {"MUTANT_UNDER_TEST": mutant, "WALLWALK_CACHE": ""}
    return {**os.environ, **chosen, "PYTHONPATH": os.pathsep.join(map(str, paths))}


def changes(module: str, mutated: str) -> dict[str, Change]:
    """What each mutant changes, by the name that it is chosen by."""
    lines = mutated.splitlines()
    written = {
        node.name: lines[node.lineno - 1 : node.end_lineno]
        for node in ast.walk(ast.parse(mutated))
        if isinstance(node, ast.FunctionDef) and "__mutmut_" in node.name
    }
    found = {}
    for name, text in written.items():
        function, _, number = name.partition("__mutmut_")
        if not number.isdecimal():
            continue
        was = [line.replace(f"{function}__mutmut_orig", "") for line in written[f"{function}__mutmut_orig"]]
        became = [line.replace(name, "") for line in text]
        differ = [line for line in difflib.unified_diff(was, became, n=0) if not line.startswith(("---", "+++", "@@"))]
        before, after = (" ".join(line[1:].strip() for line in differ if line[0] == sign) for sign in "-+")
        called = function.removeprefix("x_").removeprefix("xǁ").replace("ǁ", ".")
        found[f"wallwalk.{module}.{name}"] = Change(module, called, before, after)
    return found


def factories(source: str) -> set[str]:
    """Functions that are called as the module is loaded, or make functions: the mutant has to be chosen before."""
    body = ast.parse(source).body
    functions = [node for node in body if isinstance(node, ast.FunctionDef)]
    loaded = [part for node in body if not isinstance(node, ast.FunctionDef | ast.ClassDef) for part in ast.walk(node)]
    called = {p.func.id for p in loaded if isinstance(p, ast.Call) and isinstance(p.func, ast.Name)}
    makes = {f.name for f in functions if any(isinstance(part, ast.FunctionDef) for part in f.body)}
    return makes | called & {f.name for f in functions}


def run_called(module: str, mutants: Mapping[str, Change], folder: Path) -> tuple[dict[str, str], bool]:
    """The fate of each mutant on the plain test functions of the quick selection, and whether those are all of it."""
    made_early = factories((ROOT / "inspect" / "wallwalk" / f"{module}.py").read_text())
    names = folder / "names.json"
    names.write_text(json.dumps({name: change.function in made_early for name, change in mutants.items()}))
    tests = [f"test_{test}" for test in QUICK[module]]
    command = [sys.executable, str(folder / "tests" / "mutation" / "called.py"), str(names), *tests]
    done = subprocess.run(command, cwd=folder, env=environment(folder), capture_output=True, text=True, check=False)
    if done.returncode:
        sys.exit(f"run.py: {module}: {done.stderr[-2000:]}")
    told = json.loads(done.stdout)
    return dict(told["fates"]), bool(told["every"])


def run_pytest(name: str, folder: Path, tests: tuple[str, ...], *options: str) -> str:
    """The fate of one mutant after those test files, in a process of its own; no name: that of the program as it is."""
    files = [f"tests/test_{test}.py" for test in tests]
    try:
        done = subprocess.run(
            [sys.executable, "-m", "pytest", "-x", "-q", *PLUGINS, *options, *files],
            cwd=folder,
            env=environment(folder, name),
            capture_output=True,
            timeout=_LONGEST_S,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return TIMED_OUT
    return SURVIVED if done.returncode == 0 else KILLED


def run_module(
    module: str, folder: Path, known: Mapping[Change, str], *, each: int, wide: bool
) -> tuple[dict[str, str], dict[str, Change]]:
    """The fate of every mutant of `module`, and the changes of those that live; what is `known` is tried once only."""
    every = changes(module, prepare(module, folder))
    mutants = dict(list(every.items())[::each])
    fates, every_test = run_called(module, mutants, folder)
    trials: list[tuple[tuple[str, ...], tuple[str, ...]]] = [] if every_test else [(QUICK[module], ("-m", "not slow"))]
    for tests, options in [*trials, *([(WIDE, ())] if wide else [])]:
        open_ones = [name for name, fate in fates.items() if fate == SURVIVED and mutants[name] not in known]
        if open_ones and run_pytest("", folder, tests, *options) != SURVIVED:
            sys.exit(f"run.py: {module}: the tests {' '.join(tests)} fail on the program as it is")
        fates |= {name: run_pytest(name, folder, tests, *options) for name in open_ones}
    return fates, {name: mutants[name] for name, fate in fates.items() if fate == SURVIVED}


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
    parser.add_argument("--sample", action="store_true", help=f"one mutant in {EACH}")
    parser.add_argument("--quick", action="store_true", help="leave the wide selection out")
    parser.add_argument(
        "--work", type=Path, default=Path(tempfile.gettempdir()) / "wallwalk-mutants", help="where to work"
    )
    asked = parser.parse_args()
    known, unexplained = explained(), 0
    _say("| module | mutants | killed | timed out | survived | of these explained | score | seconds |")
    _say("|---|---|---|---|---|---|---|---|")
    for module in asked.module or QUICK:
        began, folder = time.monotonic(), asked.work.resolve() / module
        each = EACH if asked.sample else 1
        fates, living = run_module(module, folder, known, each=each, wide=not asked.quick)
        open_ones = {name: change for name, change in living.items() if change not in known}
        _say(row_of(module, fates, len(living) - len(open_ones), time.monotonic() - began))
        for name, change in open_ones.items():
            _say(f"  {name} in {change.function}\n    - {change.was}\n    + {change.became}")
        unexplained += len(open_ones)
    sys.exit(1 if unexplained else 0)


if __name__ == "__main__":
    main()
