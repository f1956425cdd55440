"""Says something in the terminal, which is a machine that a text can command: what is not seen is written out."""

from __future__ import annotations

import click

from wallwalk.errors import on_one_line, visible


def tell(text: str = "", *, err: bool = False, nl: bool = True) -> None:
    """Print `text` of any number of lines; `err` on standard error, `nl` with a line feed behind it."""
    click.echo(visible(text), err=err, nl=nl)


def tell_line(text: str, *, err: bool = False) -> None:
    """Print `text` on one line, whatever is in it: a file's name may hold a line feed."""
    click.echo(on_one_line(text), err=err)
