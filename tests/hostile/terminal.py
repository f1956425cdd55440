"""A terminal to run a command in, which keeps every byte that it is told."""

from __future__ import annotations

import io
import sys
from contextlib import ExitStack
from pathlib import Path
from unittest import mock

from wallwalk.cli import main

COMMANDS = {
    *(chr(code) for code in (*range(10), *range(11, 32), *range(0x7F, 0xA0))),
    *"\u061c\u200e\u200f\u2028\u2029\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069",
}
"""Signs that a terminal obeys, or that turn round what it shows."""


class _Terminal(io.StringIO):
    """Says that it is a terminal, so that nothing is stripped on the way."""

    def isatty(self) -> bool:
        """Yes."""
        return True


def run(*arguments: str | Path) -> tuple[int, str, str]:
    """How a command ends, and what it tells the terminal; its bar of progress goes nowhere, as in a pipe."""
    out, err = _Terminal(), _Terminal()
    with ExitStack() as patched:
        patched.enter_context(mock.patch.object(sys, "stdout", out))
        patched.enter_context(mock.patch.object(sys, "stderr", err))
        patched.enter_context(mock.patch("wallwalk.cli.many._with_progress", lambda rows, _: rows))
        try:
            main([str(argument) for argument in arguments], prog_name="wallwalk")
        except SystemExit as ended:
            return int(ended.code or 0), out.getvalue(), err.getvalue()
    return 0, out.getvalue(), err.getvalue()


def commands_in(text: str) -> set[str]:
    """The signs in it that a terminal obeys."""
    return set(text) & COMMANDS
