"""Outputs, written whole or not at all: to a temporary file or folder beside the target, flushed, then renamed."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path

from wallwalk.errors import MissingPartError


def write_whole(path: Path, content: bytes) -> None:
    """Put `content` at `path`. Raises `MissingPartError` with what to do; the file that was there stays then."""
    temporary = None
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        Path(temporary).chmod(0o666 & ~_umask())
        Path(temporary).replace(path)
    except OSError as error:
        if temporary is not None:
            Path(temporary).unlink(missing_ok=True)
        reason = error.strerror or str(error)
        raise MissingPartError(
            f"{path}: cannot be written ({reason}); give a folder that is there and that you may write to"
        ) from error


def write_folder(path: Path, files: Mapping[str, bytes]) -> None:
    """Put a new folder with `files` at `path`. Raises `MissingPartError`; nothing of it is there then."""
    temporary = None
    try:
        if path.exists() or path.is_symlink():
            raise MissingPartError(f"{path}: is there already; give another name, or another folder with --in")
        temporary = Path(tempfile.mkdtemp(prefix=f".{path.name}.", dir=path.parent))
        for name, content in files.items():
            (temporary / name).write_bytes(content)
        temporary.chmod(0o777 & ~_umask())
        temporary.rename(path)
        temporary = None
    except OSError as error:
        reason = error.strerror or str(error)
        raise MissingPartError(
            f"{path}: cannot be made ({reason}); give --in a folder that you may write to"
        ) from error
    finally:
        if temporary is not None:
            shutil.rmtree(temporary, ignore_errors=True)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
