"""Output files, written whole or not at all: to a temporary file beside the target, flushed, then renamed."""

from __future__ import annotations

import os
import tempfile
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


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
