"""The options that more than one command takes."""

from __future__ import annotations

from pathlib import Path

import click

from wallwalk.languages import ENGLISH, LANGUAGES
from wallwalk.resources import DEFAULT_RULE_SET

rules_option = click.option(
    "--rules", "rules_name", help=f"Rule set by name or folder (the survey's own, else {DEFAULT_RULE_SET})."
)
overlay_option = click.option(
    "--overlay",
    "overlays",
    multiple=True,
    type=click.Path(path_type=Path),
    help="Lay FILE over the rule set, after those the survey names. Repeatable; the last one wins.",
)
start_option = click.option(
    "--at", "start", metavar="MOMENT", help="Check for this start instead of the survey's planned_start."
)
lang_option = click.option(
    "--lang",
    "language",
    type=click.Choice(LANGUAGES),
    default=ENGLISH,
    show_default=True,
    help="Language of what is reported.",
)
