"""The list of mutants that no test can see names only code that is there, and says why of each."""

from __future__ import annotations

import ast
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import given
from hypothesis import strategies as st

import survivors
from called import KILLED, SURVIVED, attempt, calls, fate_of, is_plain, quick_tests
from run import factories
from selections import QUICK, WIDE
from survivors import explained

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "inspect" / "wallwalk"


def function_called(module: str, name: str) -> str:
    """The source of a function, or of a method `Class.method`, with one space for each run of white space."""
    source = (PACKAGE / f"{module}.py").read_text()
    owner, _, function = name.rpartition(".")
    body = ast.parse(source).body
    if owner:
        body = next(node.body for node in body if isinstance(node, ast.ClassDef) and node.name == owner)
    found = next(node for node in body if isinstance(node, ast.FunctionDef) and node.name == function)
    return " ".join((ast.get_source_segment(source, found) or "").split())


def test_every_survivor_that_is_explained_names_code_that_is_there() -> None:
    """Each changed line stands in its function as it was listed, and each has a reason of some words."""
    listed = explained()
    assert len(listed) > 10
    for change, reason in listed.items():
        assert " ".join(change.was.split()) in function_called(change.module, change.function), change
        assert change.became != change.was
        assert len(reason.split()) > 5, change


def test_the_selections_name_modules_and_tests_that_are_there() -> None:
    """No module and no test file has gone."""
    assert [m for m in QUICK if not (PACKAGE / f"{m}.py").exists()] == []
    tests = {name for names in (*QUICK.values(), WIDE) for name in names}
    assert [t for t in sorted(tests) if not (ROOT / "tests" / f"test_{t}.py").exists()] == []


def test_what_is_called_as_a_module_is_loaded_is_known() -> None:
    """By a table, or by what another function makes; what is only called later is not."""
    source = "def made():\n def f(): 0\n return f\ndef now(): 0\ndef later(): now()\nTABLE = {n: now() for n in 'ab'}\n"
    assert factories(source) == {"made", "now"}


def test_an_entry_that_cannot_be_read_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A reason belongs to every change of its entry; an entry in another form is no entry."""
    monkeypatch.setattr(survivors, "LIST", tmp_path / "list.md")
    (tmp_path / "list.md").write_text("# Why\n\n- `spans` `f`: `a` → `b` or `c`\n  It is\n  the same.\n")
    changes = [survivors.Change("spans", "f", "a", became) for became in "bc"]
    assert explained() == dict.fromkeys(changes, "It is the same.")
    (tmp_path / "list.md").write_text("- spans, f: a became b\n")
    with pytest.raises(ValueError, match=r"^SURVIVORS\.md:1: write - `module` `function`: `was` → `became`$"):
        explained()


def test_a_test_that_skips_itself_has_not_seen_a_mutant() -> None:
    """Where the file that it reads is not at hand it neither fails nor ends the run; what fails still fails."""

    def skips() -> None:
        pytest.skip("the published table is not at hand")

    def fails() -> None:
        raise AssertionError("seen")

    assert [fate_of("", [one], [], 5, anew=False) for one in (skips, fails)] == [SURVIVED, KILLED]
    attempt(skips)
    with pytest.raises(AssertionError, match=r"^seen$"):
        attempt(fails)


def test_plain_tests_are_called_once_for_each_set_of_their_parameters() -> None:
    """With a folder of their own where they want one; what is slow, random or wants another fixture is left out."""
    seen: list[tuple[object, ...]] = []

    @pytest.mark.parametrize("one", [1, 2])
    @pytest.mark.parametrize(("two", "three"), [("a", "b"), pytest.param("c", "d", id="last")])
    def of_parameters(one: int, two: str, three: str) -> None:
        seen.append((one, two, three))

    def in_a_folder(tmp_path: Path) -> None:
        seen.append((tmp_path.is_dir(), [*tmp_path.iterdir()]))
        (tmp_path / "left").write_text("over")

    @pytest.mark.slow
    def slow() -> None:
        raise AssertionError

    @pytest.mark.usefixtures("work_once")
    def of_a_fixture() -> None:
        raise AssertionError

    def patched(monkeypatch: pytest.MonkeyPatch) -> None:
        raise AssertionError(monkeypatch)

    @given(st.integers())
    def drawn(number: int) -> None:
        raise AssertionError(number)

    module = ModuleType("test_made_up")
    tests = (of_parameters, in_a_folder, slow, of_a_fixture, patched, drawn)
    vars(module).update({f"test_{test.__name__}": test for test in tests})
    for call in [*calls(module), *calls(module)]:
        call()
    once: list[tuple[object, ...]] = [(1, "a", "b"), (2, "a", "b"), (1, "c", "d"), (2, "c", "d"), (True, [])]
    assert sorted(map(str, seen)) == sorted(map(str, once * 2))
    plain = {test.__name__: is_plain(test) for test in quick_tests(module)}
    assert plain == {
        "of_parameters": True,
        "in_a_folder": True,
        "of_a_fixture": False,
        "patched": False,
        "drawn": False,
    }
