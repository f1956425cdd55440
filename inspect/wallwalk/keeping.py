"""Keeps what takes long to make from the same files, a proven rule set, for the next run on this machine.

Nothing is ever decided by it: where the files, this program or Python are others, where what was kept is damaged or
may be someone else's, or where there is no folder to keep it in, the thing is made anew. `WALLWALK_CACHE` names the
folder; set and empty, nothing is kept.
"""

from __future__ import annotations

import hashlib
import io
import os
import pickle
import stat
import sys
import tempfile
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from typing import Any, TypeVar

T = TypeVar("T")

_FROM_OUTSIDE = {("fractions", "Fraction"), ("builtins", "frozenset"), ("builtins", "set")}
"""What may stand in a kept file beside this program's own classes: nothing that does anything when it is read."""

_MOST = 12
"""So many things are kept, the latest; each may be a megabyte."""


def kept(kind: type[T], name: str, files: Iterable[Path], make: Callable[[], T]) -> T:
    """What `make` gives, which is `kind`, from memory where `name` was made of the very same `files` before."""
    folder = _folder()
    if folder is None:
        return make()
    place = folder / f"{hashlib.sha256(name.encode()).hexdigest()[:24]}.kept"
    made_from = _digest(name, files)
    found = _read(place, made_from)
    if isinstance(found, kind):
        return found
    made = make()
    _write(place, made_from, made)
    return made


def _folder() -> Path | None:
    """Where things are kept: a folder of this user's own, or None."""
    named = os.environ.get("WALLWALK_CACHE")
    if named is not None:
        return Path(named) if named else None
    caches = os.environ.get("XDG_CACHE_HOME") or (os.environ.get("HOME") and f"{os.environ['HOME']}/.cache")
    return Path(caches) / "wallwalk" if caches and Path(caches).is_absolute() else None


def _digest(name: str, files: Iterable[Path]) -> bytes:
    """Over the contents of `files`, and over this program as it lies there and the Python that runs it."""
    digest = hashlib.sha256(f"{name}\0{sys.version}\0".encode())
    for path in sorted(files):
        content = path.read_bytes()
        digest.update(f"{path.name}\0{len(content)}\0".encode() + content)
    for folder, _, names in sorted(os.walk(Path(__file__).parent)):
        for source in sorted(n for n in names if n.endswith(".py")):
            seen = (Path(folder) / source).stat()
            digest.update(f"{folder}/{source}\0{seen.st_size}\0{seen.st_mtime_ns}\0".encode())
    return digest.digest()


def _read(place: Path, made_from: bytes) -> object:
    """What is kept at `place`, or None where it is of other files, is damaged, or others can write there."""
    try:
        if not _is_own(place.parent.stat()):
            return None
        handle = os.open(place, os.O_RDONLY | os.O_NONBLOCK | os.O_CLOEXEC)  # a pipe must not keep us waiting
        with os.fdopen(handle, "rb") as file:
            seen = os.fstat(handle)
            if not (stat.S_ISREG(seen.st_mode) and _is_own(seen)):
                return None
            of, seal, content = file.read(32), file.read(32), file.read()
        if of != made_from or hashlib.sha256(of + content).digest() != seal:
            return None
        return _Reader(io.BytesIO(content)).load()
    except (OSError, ValueError, EOFError, AttributeError, ImportError, IndexError, TypeError, pickle.PickleError):
        return None


def _is_own(seen: os.stat_result) -> bool:
    return seen.st_uid == os.geteuid() and not seen.st_mode & (stat.S_IWGRP | stat.S_IWOTH)


def _write(place: Path, made_from: bytes, made: object) -> None:
    content = pickle.dumps(made, protocol=5)
    with suppress(OSError):  # a full disk or a read-only home only means that nothing is kept
        place.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        descriptor, part = tempfile.mkstemp(dir=place.parent, suffix=".part")
        try:
            with os.fdopen(descriptor, "wb") as file:
                file.write(made_from + hashlib.sha256(made_from + content).digest() + content)
            Path(part).replace(place)
            for old in sorted(place.parent.glob("*.kept"), key=lambda p: p.stat().st_mtime_ns)[:-_MOST]:
                old.unlink(missing_ok=True)
        except OSError:
            Path(part).unlink(missing_ok=True)
            raise


class _Reader(pickle.Unpickler):
    """Reads only frozen values: this program's own classes and a few of Python's."""

    def find_class(self, module: str, name: str) -> Any:  # noqa: ANN401 - as pickle declares it
        """A class that may stand in a kept file."""
        if (module, name) in _FROM_OUTSIDE or module.startswith("wallwalk."):
            found = super().find_class(module, name)
            if isinstance(found, type) and found.__module__ == module:  # and not one that the module only imports
                return found
        raise pickle.UnpicklingError(f"{module}.{name} is nothing that is kept")
