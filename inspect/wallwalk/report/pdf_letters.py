"""That a PDF shows every letter: what no font of the machine has is said, and never drawn as an empty box."""

from __future__ import annotations

import contextlib
import logging
from collections.abc import Iterator
from typing import cast

from wallwalk.errors import MissingPartError

_NO_LETTER = ".notdef glyph rendered"
"""How WeasyPrint begins what it says of a letter that no font has; where it stands, an empty box is drawn."""


@contextlib.contextmanager
def every_letter() -> Iterator[None]:
    """Raises `MissingPartError` at the end of the block where a letter was drawn that no font of the machine has."""
    heard = _Letters()
    log = logging.getLogger("weasyprint")
    log.addHandler(heard)
    try:
        yield
    finally:
        log.removeHandler(heard)
    if heard.lacking:
        some = ", ".join(list(heard.lacking)[:5])
        raise MissingPartError(
            f"no font on this machine has {some}, so the PDF would show an empty box there; install one that has, "
            "such as fonts-noto of Debian or Ubuntu; the HTML report shows what the browser can"
        )


class _Letters(logging.Handler):
    """Hears which letters WeasyPrint finds in no font; `lacking` holds each once, in the order they came."""

    def __init__(self) -> None:
        super().__init__()
        self.lacking: dict[str, None] = {}

    def emit(self, record: logging.LogRecord) -> None:
        """Keep the letter that `record` tells of."""
        if record.msg.startswith(_NO_LETTER):
            letter, number = cast(tuple[str, int], record.args)
            self.lacking[f"{letter} (U+{number:04X})" if letter.isprintable() else f"U+{number:04X}"] = None
