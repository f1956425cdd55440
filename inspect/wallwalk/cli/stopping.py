"""How a command stops: one clear message on standard error and exit code 2, never a traceback for an input."""

from __future__ import annotations

import io
import os
import shlex
import sys
from pathlib import Path
from typing import Any

import click

from wallwalk.errors import InputError, MissingPartError, quote

MOST_FAULTS = 100

_SURVEYS = (".yaml", ".yml")


class Group(click.Group):
    """A group whose commands turn input errors into messages, and which knows what is meant where no command is."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """`help` in front of a command, or alone, is what `--help` behind it is."""
        return super().parse_args(ctx, [*args[1:], "--help"] if args[:1] == ["help"] else args)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that `args` begin with; a file in its place is told what can be done with it."""
        if args[0] not in self.commands and (Path(args[0]).exists() or Path(args[0]).suffix.lower() in _SURVEYS):
            typed = f"{ctx.find_root().command_path} check {shlex.quote(args[0])}"
            ctx.fail(f"{quote(args[0])} is no command; to check it, write: {typed}")
        return super().resolve_command(ctx, args)

    def invoke(self, ctx: click.Context) -> Any:  # noqa: ANN401 - click's own signature
        """Run the command; an input error, or something the machine lacks, ends it with exit code 2."""
        try:
            try:
                return super().invoke(ctx)
            finally:
                sys.stdout.flush()  # here, where a full disk can still be said
        except (InputError, MissingPartError) as error:
            lines = str(error).split("\n")
            click.echo("\n".join(lines[:MOST_FAULTS]), err=True)
            if len(lines) > MOST_FAULTS:
                click.echo(f"and {len(lines) - MOST_FAULTS:,} more of the kind; put these right first", err=True)
        except KeyboardInterrupt:
            click.echo("stopped", err=True)
        except OSError as error:
            sys.stdout = Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115 - lasts to the end; what stdout still holds cannot be said
            if not isinstance(error, BrokenPipeError):
                click.echo(f"stopped: {error}; give other files, or make room", err=True)
        sys.exit(2)


def speak_any_terminal() -> None:
    """Let letters that the terminal cannot show be written as escapes, rather than end the program."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
