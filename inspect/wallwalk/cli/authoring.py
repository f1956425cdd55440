"""The commands that help to write a rule set: a new one to start from, and the schema for editors."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from wallwalk.cli.telling import tell, tell_line


@click.command()
@click.argument("name")
@click.option(
    "--in",
    "folder",
    type=click.Path(path_type=Path),
    default=Path(),
    help="The folder to put it in, instead of the one you are in.",
)
def new(name: str, folder: Path) -> None:
    """Write a small rule set called NAME to start from, which passes its own tests."""
    from wallwalk.new_rule_set import new_rule_set
    from wallwalk.writing import write_folder

    files = new_rule_set(name, date.today().isoformat(), folder)
    target = folder / name
    write_folder(target, files)
    for file in files:
        tell_line(f"Wrote {target / file}")
    tell_line(f"Next: change wall.yaml, and run wallwalk rules test {target}")


@click.command()
@click.option("-o", "--output", type=click.Path(path_type=Path), help="Write it to FILE instead of printing it.")
@click.option("--overwrite", is_flag=True, help="Let -o write over a file that is there already.")
def schema(output: Path | None, overwrite: bool) -> None:
    """Print the JSON Schema of rule files, with which an editor completes and checks them as you write."""
    from wallwalk.editor_schema import render_editor_schema
    from wallwalk.writing import write_whole

    text = render_editor_schema()
    if output is None:
        tell(text, nl=False)
        return
    write_whole(output, text.encode(), overwrite=overwrite)
    tell_line(f"Wrote {output}")


AUTHORING = (new, schema)
"""The commands that join `wallwalk rules`."""
