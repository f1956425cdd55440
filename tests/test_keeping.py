"""A proven rule set is kept for the next run, and never decides: whatever is amiss, it is made anew."""

from __future__ import annotations

import hashlib
import os
import pickle
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from wallwalk.checking import load_rule_set
from wallwalk.errors import InputError
from wallwalk.keeping import kept
from wallwalk.resources import data_folder

Made = dict[str, int]


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of its own to keep things in."""
    folder = tmp_path / "kept here"
    monkeypatch.setenv("WALLWALK_CACHE", str(folder))
    return folder


class Maker:
    """Makes a thing, and counts how often."""

    def __init__(self) -> None:
        self.times = 0

    def __call__(self) -> Made:
        """The thing."""
        self.times += 1
        return {"one": 1}


def keep(files: list[Path], maker: Maker, name: str = "thing") -> Made:
    """The thing, kept or made."""
    found: Made = kept(dict, name, files, maker)
    return found


@pytest.mark.slow
def test_a_rule_set_is_the_same_kept_and_made_anew(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In both languages: what comes out of memory is equal, whole, to what the files give."""
    monkeypatch.setenv("WALLWALK_CACHE", "")
    fresh = [load_rule_set("rigid-sheet", language=language) for language in ("en", "es")]
    monkeypatch.setenv("WALLWALK_CACHE", str(cache))
    made = [load_rule_set("rigid-sheet", language=language) for language in ("en", "es")]
    assert len(list(cache.iterdir())) == 2
    again = [load_rule_set("rigid-sheet", language=language) for language in ("en", "es")]
    assert fresh == made == again
    assert [r.files for r in fresh] == [r.files for r in again]
    assert len(list(cache.iterdir())) == 2


def test_it_is_made_once_and_kept(cache: Path, tmp_path: Path) -> None:
    """The second run makes nothing; the folder is this user's alone."""
    file, maker = tmp_path / "a.yaml", Maker()
    file.write_text("a")
    assert [keep([file], maker) for _ in range(3)] == [{"one": 1}] * 3
    assert maker.times == 1
    assert cache.stat().st_mode & 0o777 == 0o700


def one_bit(kept_file: Path) -> None:
    """One bit of what was kept is another."""
    content = bytearray(kept_file.read_bytes())
    content[-4] ^= 1
    kept_file.write_bytes(content)


def cut_short(kept_file: Path) -> None:
    """The end of what was kept is missing."""
    kept_file.write_bytes(kept_file.read_bytes()[:-1])


def emptied(kept_file: Path) -> None:
    """Nothing is left of it."""
    kept_file.write_bytes(b"")


def others_may_write(kept_file: Path) -> None:
    """Anyone could have put it there."""
    kept_file.chmod(0o666)


def others_may_write_beside(kept_file: Path) -> None:
    """Anyone could have put another in its place."""
    kept_file.parent.chmod(0o777)


def of_another_kind(kept_file: Path) -> None:
    """What lies there is no such thing, though it is sealed as one."""
    seal(kept_file, [1])


def seal(kept_file: Path, thing: object) -> None:
    """Put something else into a kept file, sealed as the program would."""
    of, content = kept_file.read_bytes()[:32], pickle.dumps(thing)
    kept_file.write_bytes(of + hashlib.sha256(of + content).digest() + content)


@pytest.mark.parametrize(
    "change",
    [one_bit, cut_short, emptied, others_may_write, others_may_write_beside, of_another_kind],
)
def test_whatever_is_amiss_it_is_made_anew(cache: Path, tmp_path: Path, change: Callable[[Path], None]) -> None:
    """Damage, and what somebody else may have written."""
    file, maker = tmp_path / "a.yaml", Maker()
    file.write_text("a")
    keep([file], maker)
    (kept_file,) = cache.iterdir()
    change(kept_file)
    assert keep([file], maker) == {"one": 1}
    assert maker.times == 2


def test_another_content_makes_it_anew(cache: Path, tmp_path: Path) -> None:
    """Even of the same length and with the same time of change."""
    file, maker = tmp_path / "a.yaml", Maker()
    file.write_text("a")
    keep([file], maker)
    before = file.stat()
    file.write_text("b")
    os.utime(file, ns=(before.st_atime_ns, before.st_mtime_ns))
    keep([file], maker)
    assert maker.times == 2
    assert len(list(cache.iterdir())) == 1


def test_only_the_last_dozen_is_kept(cache: Path) -> None:
    """However many rule sets somebody tries, the folder does not grow."""
    maker = Maker()
    for i in range(20):
        keep([], maker, f"thing {i}")
    assert len(list(cache.iterdir())) == 12
    keep([], maker, "thing 19")
    assert maker.times == 20


@pytest.mark.usefixtures("cache")
def test_another_program_or_name_makes_it_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A source file that was touched, another Python, another thing of the same files."""
    file, maker = tmp_path / "a.yaml", Maker()
    file.write_text("a")
    keep([file], maker)
    keep([file], maker, "another")
    assert maker.times == 2
    copy = tmp_path / "program"
    copy.mkdir()
    (copy / "one.py").write_text("1")
    monkeypatch.setattr("wallwalk.keeping.__file__", str(copy / "keeping.py"))
    keep([file], maker)
    keep([file], maker)
    assert maker.times == 3
    os.utime(copy / "one.py", ns=(1, 1))
    keep([file], maker)
    assert maker.times == 4
    monkeypatch.setattr("sys.version", "4.0")
    keep([file], maker)
    assert maker.times == 5


class Harm:
    """Calls a function when it is read."""

    def __reduce__(self) -> tuple[Any, ...]:
        return os.mkdir, ("harm",)


class HarmByName:
    """The same through a name that one of this program's modules imports."""

    def __reduce__(self) -> str | tuple[Any, ...]:
        return subprocess.Popen, (["mkdir", "harm"],)


@pytest.mark.parametrize("harm", [Harm(), HarmByName()])
def test_reading_what_is_kept_runs_nothing(
    cache: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, harm: object
) -> None:
    """A kept file that was made to run something is not read, and nothing is run."""
    monkeypatch.chdir(tmp_path)
    file, maker = tmp_path / "a.yaml", Maker()
    file.write_text("a")
    keep([file], maker)
    (kept_file,) = cache.iterdir()
    seal(kept_file, harm)
    assert keep([file], maker) == {"one": 1}
    assert not (tmp_path / "harm").exists()


def test_a_name_that_a_module_only_imports_is_nothing_that_is_kept(cache: Path, tmp_path: Path) -> None:
    """`wallwalk.keeping.Path` is a class, and not this program's."""
    file, maker = tmp_path / "a.yaml", Maker()
    file.write_text("a")
    keep([file], maker)
    (kept_file,) = cache.iterdir()
    of, content = kept_file.read_bytes()[:32], b"cwallwalk.keeping\nPath\n(Vharm\ntR."
    kept_file.write_bytes(of + hashlib.sha256(of + content).digest() + content)
    keep([file], maker)
    assert maker.times == 2


def test_without_a_folder_nothing_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No HOME, a cache that is said to be nothing, a place that is a file: made each time, and no complaint."""
    file, maker = tmp_path / "a.yaml", Maker()
    file.write_text("a")
    monkeypatch.setenv("WALLWALK_CACHE", "")
    keep([file], maker)
    keep([file], maker)
    assert maker.times == 2
    monkeypatch.delenv("WALLWALK_CACHE")
    monkeypatch.delenv("HOME", raising=False)
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    keep([file], maker)
    monkeypatch.setenv("WALLWALK_CACHE", str(file))
    keep([file], maker)
    assert maker.times == 4


def test_a_rule_set_that_does_not_prove_itself_is_never_kept(cache: Path, tmp_path: Path) -> None:
    """A limit moved by its author after the set was kept is refused at once, as it was before."""
    folder = tmp_path / "mine"
    shutil.copytree(data_folder("rules") / "pasted-wallcovering", folder)
    load_rule_set(str(folder))
    before = len(list(cache.iterdir()))
    hanging = folder / "climate.yaml"
    text = hanging.read_text()
    assert "value: 55 °F" in text
    hanging.write_text(text.replace("value: 55 °F", "value: 54 °F", 1))
    for _ in range(2):
        with pytest.raises(InputError):
            load_rule_set(str(folder))
    assert len(list(cache.iterdir())) == before
