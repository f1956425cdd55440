"""Runs many mutants quickly: the plain test functions, called without pytest, in a fork for each mutant.

    python called.py NAMES.json TEST...

`TEST` names modules such as `test_spans`. What is marked slow, draws random examples or wants a fixture other than
`tmp_path` is left out, so what lives here may still be killed by those; what is killed here a test has failed for.
Prints the fates as JSON,
and whether every quick test of these modules was called.
"""

from __future__ import annotations

import contextlib
import gc
import importlib
import itertools
import json
import math
import os
import resource
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

LEAST_SECONDS, TIMES = 2, 5
"""A mutant may use so much processor time, and so many times that of the program as it is."""
KILLED, SURVIVED, TIMED_OUT = "killed", "survived", "timed out"
FOLDER = "tmp_path"
"""The one fixture that is given here."""
Call = Callable[[], None]


def calls(module: ModuleType) -> Iterator[Call]:
    """Every plain test of a module, once for each set of its parameters."""
    for function in quick_tests(module):
        if not is_plain(function):
            continue
        run = _in_a_folder(function) if FOLDER in _wanted(function) else function
        for chosen in itertools.product(*_parameters(function)):
            arguments = {key: value for one in chosen for key, value in one.items()}
            yield lambda run=run, arguments=arguments: run(**arguments)  # type: ignore[misc]


def quick_tests(module: ModuleType) -> list[Callable[..., None]]:
    """The tests of a module that are not marked slow."""
    tests = [part for name, part in vars(module).items() if name.startswith("test_")]
    return [test for test in tests if all(mark.name != "slow" for mark in getattr(test, "pytestmark", ()))]


def is_plain(test: Callable[..., None]) -> bool:
    """Whether a test can be called here: it draws no random examples, and wants no fixture but a folder."""
    named = {key for one in _parameters(test) for row in one[:1] for key in row}
    fixed = all(mark.name != "usefixtures" for mark in getattr(test, "pytestmark", ()))
    return not hasattr(test, "hypothesis") and fixed and set(_wanted(test)) - {FOLDER} == named


def _wanted(test: Callable[..., None]) -> tuple[str, ...]:
    return test.__code__.co_varnames[: test.__code__.co_argcount + test.__code__.co_kwonlyargcount]


def _parameters(test: Callable[..., None]) -> list[list[dict[str, Any]]]:
    return [list(_sets(mark)) for mark in getattr(test, "pytestmark", ()) if mark.name == "parametrize"]


def _in_a_folder(function: Callable[..., None]) -> Callable[..., None]:
    """The test with a folder of its own, empty and gone again afterwards, as pytest would give it one."""

    def run(**arguments: Any) -> None:  # noqa: ANN401 - the parameters of a test
        with tempfile.TemporaryDirectory(dir=Path.cwd()) as folder:
            function(**arguments, **{FOLDER: Path(folder)})

    return run


def _sets(mark: Any) -> Iterator[dict[str, Any]]:  # noqa: ANN401 - a mark of pytest
    names, values = mark.args[:2]
    names = [n.strip() for n in names.split(",")] if isinstance(names, str) else list(names)
    for value in values:
        row = getattr(value, "values", value) if type(value).__name__ == "ParameterSet" else value
        row = row if len(names) > 1 or type(value).__name__ == "ParameterSet" else (row,)
        yield dict(zip(names, row, strict=True))


def load(tests: list[str]) -> list[Call]:
    """The calls of these test modules, imported anew with the program."""
    for name in [n for n in sys.modules if n.split(".")[0] == "wallwalk" or n in {*tests, "surveys"}]:
        del sys.modules[name]
    return [call for test in tests for call in calls(importlib.import_module(test))]


def attempt(call: Call) -> None:
    """Runs a test; one that skips itself, for lack of a file that it reads, has neither failed nor seen anything."""
    with contextlib.suppress(pytest.skip.Exception):
        call()


def fate_of(name: str, every: list[Call], tests: list[str], seconds: int, *, anew: bool) -> str:
    """The fate of the mutant called `name`; `anew`: it has to be chosen before the program is imported."""
    child = os.fork()
    if child == 0:
        os.environ["MUTANT_UNDER_TEST"] = name
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        os.dup2(nowhere, 2)
        try:
            for call in load(tests) if anew else every:
                attempt(call)
        except BaseException:  # noqa: BLE001 - whatever a mutant raises, a test has failed
            os._exit(1)
        os._exit(0)
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    return SURVIVED if code == 0 else KILLED if code == 1 else TIMED_OUT


def main() -> None:
    """The fate of each mutant named in a file: there those that have to be chosen before the import are `true`."""
    names, tests = json.loads(Path(sys.argv[1]).read_text()), sys.argv[2:]
    every = load(tests)
    if not every:
        sys.exit("called.py: no plain test in these modules")
    began = time.process_time()
    for call in every:  # here and not in a fork, so that what the tests keep between them is made once
        attempt(call)
    used = time.process_time() - began
    seconds = math.ceil(LEAST_SECONDS + TIMES * used)
    gc.freeze()  # so that a fork copies less
    fates = {name: fate_of(name, every, tests, seconds, anew=anew) for name, anew in names.items()}
    every_one = all(is_plain(test) for name in tests for test in quick_tests(sys.modules[name]))
    sys.stdout.write(json.dumps({"fates": fates, "every": every_one}))


if __name__ == "__main__":
    main()
