"""The command for many spaces at once: what is ready, when, and what everybody has to do."""

from __future__ import annotations

import gc
import sys
from datetime import date, datetime
from pathlib import Path

import click

from wallwalk.cli.outputs import BOARD_FORMS, OutputPath, overwrite_option, paper_option, write_outputs
from wallwalk.cli.telling import tell
from wallwalk.languages import ENGLISH, LANGUAGES
from wallwalk.resources import DEFAULT_RULE_SET


@click.command(
    epilog="Exit codes: 0 every space is ready; 1 one is not, or a file was not read; 2 input or usage error."
)
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    "outputs",
    multiple=True,
    type=OutputPath(BOARD_FORMS, "board"),
    help=f"Also write the board; its suffix picks the form: {', '.join(BOARD_FORMS)}. Repeatable.",
)
@overwrite_option
@click.option(
    "--spaces", type=click.Path(path_type=Path), help="List of all spaces (YAML or CSV), to show those never walked."
)
@click.option("--rules", "rules_name", help=f"Rule set by name or folder (each survey's own, else {DEFAULT_RULE_SET}).")
@click.option(
    "--overlay",
    "overlays",
    multiple=True,
    type=click.Path(path_type=Path),
    help="Lay FILE over the rule set of every survey. Repeatable; the last one wins.",
)
@click.option("--at", "start", metavar="MOMENT", help="Judge all for this start instead of each survey's own.")
@click.option(
    "--today",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="DATE",
    help="The day to look from: which walks have lapsed, and the two weeks ahead (today).",
)
@paper_option
@click.option(
    "--lang",
    "language",
    type=click.Choice(LANGUAGES),
    default=ENGLISH,
    show_default=True,
    help="Language of what is reported.",
)
def board(
    folder: Path,
    outputs: tuple[Path, ...],
    overwrite: bool,
    spaces: Path | None,
    rules_name: str | None,
    overlays: tuple[Path, ...],
    start: str | None,
    today: datetime | None,
    paper: str,
    language: str,
) -> None:
    """Show every space below FOLDER: what is ready, what becomes ready when, and what whom holds up most.

    Surveys and filed records count; the latest walk of a space does. Photos are not looked at, climate logs are.
    """
    from wallwalk.board import Asked, build_board, is_ready
    from wallwalk.cli.board_reading import Given, read_folder
    from wallwalk.report.board_terminal import render_board
    from wallwalk.spaces_reader import read_spaces

    gc.set_threshold(50_000)  # no rings are made of what is read; looking for them less often saves a sixth of the time
    listed = read_spaces(spaces) if spaces else None
    found = read_folder(folder, Given(rules_name, overlays, start, language), expected=listed is not None)
    day = today.date() if today else date.today()
    asked = Asked(folder.resolve().name, day, language, start or "", found.starts)
    made = build_board(found.walks, found.unread, found.passed, listed, asked)
    tell(render_board(made), nl=False)
    keep = (*found.read, *overlays, *([spaces] if spaces else []))
    write_outputs(made, outputs, BOARD_FORMS, paper, overwrite=overwrite, keep=keep)
    sys.exit(0 if is_ready(made) else 1)
