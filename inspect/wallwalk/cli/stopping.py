"""How a command stops: one clear message on standard error and exit code 2, never a traceback for an input."""

from __future__ import annotations

import sys
from typing import Any

import click

from wallwalk.errors import InputError, MissingPartError


class Group(click.Group):
    """A group whose commands turn input errors into messages."""

    def invoke(self, ctx: click.Context) -> Any:  # noqa: ANN401 - click's own signature
        """Run the command; an input error, or something the machine lacks, ends it with exit code 2."""
        try:
            return super().invoke(ctx)
        except (InputError, MissingPartError) as error:
            click.echo(str(error), err=True)
            sys.exit(2)
