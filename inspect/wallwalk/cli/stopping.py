"""How a command stops: one clear message on standard error and exit code 2, never a traceback for an input."""

from __future__ import annotations

import io
import os
import sys
from pathlib import Path
from typing import Any

import click

from wallwalk.cli.saying import say
from wallwalk.errors import InputError, MissingPartError, on_one_line

MOST_FAULTS = 100


class Group(click.Group):
    """A group whose commands turn input errors into messages."""

    def invoke(self, ctx: click.Context) -> Any:  # noqa: ANN401 - click's own signature
        """Run the command; an input error, or something the machine lacks, ends it with exit code 2."""
        try:
            try:
                return super().invoke(ctx)
            finally:
                sys.stdout.flush()  # here, where a full disk can still be said
        except (InputError, MissingPartError) as error:
            lines = str(error).split("\n")
            say("\n".join(lines[:MOST_FAULTS]), err=True)
            if len(lines) > MOST_FAULTS:
                say(f"and {len(lines) - MOST_FAULTS:,} more of the kind; put these right first", err=True)
        except click.UsageError as error:  # what was typed is said again, and may be a file's name
            raise click.UsageError(on_one_line(error.format_message()), error.ctx) from error
        except KeyboardInterrupt:
            say("stopped", err=True)
        except OSError as error:
            sys.stdout = Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115 - lasts to the end; what stdout still holds cannot be said
            if not isinstance(error, BrokenPipeError):
                say(f"stopped: {error}; give other files, or make room", err=True)
        sys.exit(2)


def speak_any_terminal() -> None:
    """Let letters that the terminal cannot show be written as escapes, rather than end the program."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
