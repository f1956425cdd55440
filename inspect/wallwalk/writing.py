"""Outputs, written whole or not at all: to a temporary file or folder beside the target, flushed, then put in place.

What was there is kept, unless the caller says to write over it. A program that is killed leaves a temporary file at
most; it is named `.wallwalk-….part`, and the next write to that folder takes it away once it is old.
"""

from __future__ import annotations

import errno
import os
import re
import shutil
import stat
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from wallwalk.errors import MissingPartError, on_one_line

_PREFIX, _SUFFIX = ".wallwalk-", ".part"
LEFT_OVER = re.compile(r"\.wallwalk-[a-z0-9_]{8}\.part")
"""The name of a temporary file or folder, as `tempfile` makes them."""
LEFT_OVER_AFTER_S = 600
"""A temporary file that is older than a new one by so many seconds belongs to no program that still writes."""

_NO_ROOM = "make room there, or give another folder"
_ADVICE = {
    errno.ENOSPC: _NO_ROOM,
    errno.EDQUOT: _NO_ROOM,
    errno.EFBIG: _NO_ROOM,
    errno.ENAMETOOLONG: "give a shorter name",
}
_NO_FOLDER = "give a folder that is there and that you may write to"
_NO_LINKS = {errno.EPERM, errno.ENOSYS, errno.EOPNOTSUPP, errno.ENOTSUP}
"""What a file system says that knows no second name for a file."""
_NO_FLUSH = {errno.EINVAL, errno.EOPNOTSUPP, errno.ENOTSUP}
"""What one says that cannot flush a folder."""


def refuse_targets(paths: Iterable[Path], *, overwrite: bool) -> None:
    """Raises `MissingPartError`, a line for each of `paths` where nothing may be put.

    A file that is there is written over only with `overwrite`. A folder, a device or a link never is: what a link
    leads to was not named, and taking its place would leave that file behind as if it were the new one.
    """
    seen: set[Path] = set()
    refused = []
    for path in paths:
        spot = Path(os.path.realpath(path.parent)) / path.name
        found = "is given twice; give each output its own name" if spot in seen else _refusal(path, overwrite)
        refused += [f"{on_one_line(path)}: {found}"] if found else []
        seen.add(spot)
    if refused:
        raise MissingPartError("\n".join(refused))


def refuse_folder(path: Path) -> None:
    """Raises `MissingPartError` where the folder that `path` lies in is not there."""
    try:
        os.stat(f"{path.parent}/.")  # noqa: PTH116 - a path of pathlib drops the dot, which asks for a folder
    except OSError as error:
        raise MissingPartError(f"{on_one_line(path)}: {_cannot(error)}") from error


def _refusal(path: Path, overwrite: bool) -> str:
    try:
        mode = path.lstat().st_mode
    except FileNotFoundError:
        return ""
    except OSError as error:
        return _cannot(error)
    if stat.S_ISLNK(mode):
        return f"is a link to {on_one_line(path.readlink())}; give that name itself, or another"
    if stat.S_ISDIR(mode):
        return "is a folder; give the name of a file"
    if not stat.S_ISREG(mode):
        return "is no ordinary file; give another name"
    return "" if overwrite else "is there already; give another name, or add --overwrite"


def _cannot(error: OSError) -> str:
    advice = _ADVICE.get(error.errno or 0, _NO_FOLDER)
    return f"cannot be written ({error.strerror or error}); {advice}"


def write_whole(path: Path, content: bytes, *, overwrite: bool) -> None:
    """Put `content` at `path`. Raises `MissingPartError` with what to do; the file that was there stays then."""
    for _ in write_all([(path, content)], overwrite=overwrite):
        pass


def write_all(files: Iterable[tuple[Path, bytes]], *, overwrite: bool) -> Iterator[Path]:
    """Put each content at its path, and yield each path once its file is there to stay.

    The first is put in place when all of them are on the disk. Raises `MissingPartError` as `write_whole` does.
    """
    with ExitStack() as scraps:
        staged = [(path, scraps.enter_context(_staged(path, content))) for path, content in files]
        for path, temporary in staged:
            _put(temporary, path, overwrite=overwrite)
            yield path


@contextmanager
def writing_whole(path: Path, *, overwrite: bool) -> Iterator[Callable[[bytes], None]]:
    """Gives a function that writes more and more; it all is put at `path` once the block ends well, else nothing is.

    For what is too much to hold in memory. Raises `MissingPartError` as `write_whole` does.
    """
    refuse_targets([path], overwrite=overwrite)
    with ExitStack() as scraps:
        with _faults_of(path):
            temporary = scraps.enter_context(_temporary(path))
            stream = scraps.enter_context(temporary.open("wb"))

        def write(content: bytes) -> None:
            with _faults_of(path):
                stream.write(content)
                stream.flush()  # so that the file's time tells others that someone still writes

        yield write
        with _faults_of(path):
            _finish(stream, path, temporary)
        _put(temporary, path, overwrite=overwrite)


@contextmanager
def _staged(path: Path, content: bytes) -> Iterator[Path]:
    """A temporary file with `content` beside `path`, on the disk; it is gone afterwards if nobody took it."""
    with ExitStack() as scraps:
        with _faults_of(path):
            temporary = scraps.enter_context(_temporary(path))
            with temporary.open("wb") as stream:
                stream.write(content)
                _finish(stream, path, temporary)
        yield temporary


@contextmanager
def _temporary(path: Path) -> Iterator[Path]:
    """An empty file beside `path`; it is gone afterwards if nobody took it."""
    handle, name = tempfile.mkstemp(prefix=_PREFIX, suffix=_SUFFIX, dir=path.parent)
    os.close(handle)
    temporary = Path(name)
    try:
        yield temporary
    finally:
        with suppress(OSError):
            temporary.unlink(missing_ok=True)


def _finish(stream: BinaryIO, path: Path, temporary: Path) -> None:
    """Let what was written lie on the disk, for whom it is to be; and clear what others left there."""
    stream.flush()
    temporary.chmod(_mode_for(path))
    os.fsync(stream.fileno())
    _clear_left_over(path.parent, temporary)


def _put(temporary: Path, path: Path, *, overwrite: bool) -> None:
    refuse_targets([path], overwrite=overwrite)
    with _faults_of(path):
        if overwrite:
            temporary.replace(path)
        else:
            _put_new(temporary, path)
        _flush_folder(path.parent)


def _put_new(temporary: Path, path: Path) -> None:
    """Where another program was quicker, its file stays: a second name is given only where there was none."""
    try:
        path.hardlink_to(temporary)
    except FileExistsError as error:
        raise MissingPartError(
            f"{on_one_line(path)}: is there already; give another name, or add --overwrite"
        ) from error
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
        temporary.replace(path)


@contextmanager
def _faults_of(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise MissingPartError(f"{on_one_line(path)}: {_cannot(error)}") from error


def _flush_folder(folder: Path) -> None:
    """Let the name in `folder` outlast a power cut, where the system can say so."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except PermissionError:  # a folder that may be written to and not read
        return
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in _NO_FLUSH:
            raise
    finally:
        os.close(handle)


def _clear_left_over(folder: Path, newest: Path) -> None:
    """Take away what killed programs left in `folder`, told by their names and by the file system's own clock."""
    with suppress(OSError):
        old = newest.stat().st_mtime - LEFT_OVER_AFTER_S
        left = [p for p in folder.iterdir() if LEFT_OVER.fullmatch(p.name) and p.lstat().st_mtime < old]
        for path in left:
            if path.is_dir() and not path.is_symlink():
                shutil.rmtree(path, ignore_errors=True)
            else:
                path.unlink(missing_ok=True)


def write_folder(path: Path, files: Mapping[str, bytes]) -> None:
    """Put a new folder with `files` at `path`. Raises `MissingPartError`; nothing of it is there then."""
    temporary = None
    try:
        if path.exists() or path.is_symlink():
            raise MissingPartError(
                f"{on_one_line(path)}: is there already; give another name, or another folder with --in"
            )
        temporary = Path(tempfile.mkdtemp(prefix=_PREFIX, suffix=_SUFFIX, dir=path.parent))
        for name, content in files.items():
            (temporary / name).write_bytes(content)
        temporary.chmod(0o777 & ~_umask())
        temporary.rename(path)
        temporary = None
    except OSError as error:
        reason = error.strerror or str(error)
        raise MissingPartError(
            f"{on_one_line(path)}: cannot be made ({reason}); give --in a folder that you may write to"
        ) from error
    finally:
        if temporary is not None:
            shutil.rmtree(temporary, ignore_errors=True)


def _mode_for(path: Path) -> int:
    """Who may read a new file is as usual; one that is written over keeps its own."""
    try:
        return stat.S_IMODE(path.lstat().st_mode)
    except FileNotFoundError:
        return 0o666 & ~_umask()


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
