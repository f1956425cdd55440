"""The command that makes a survey to fill in; the suffix of its file picks the form."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from wallwalk.cli.options import lang_option, overlay_option, rules_option
from wallwalk.cli.outputs import Forms, OutputPath, overwrite_option, paper_option, write_outputs

if TYPE_CHECKING:
    from wallwalk.rules import RuleSet


def _yaml(rule_set: RuleSet, _: str) -> bytes:
    from wallwalk.blank_survey import render_blank_survey

    return render_blank_survey(rule_set).encode()


def _schema(rule_set: RuleSet, _: str) -> bytes:
    from wallwalk.survey_schema import render_survey_schema

    return render_survey_schema(rule_set.language).encode()


def _form(rule_set: RuleSet, _: str) -> bytes:
    from wallwalk.form_page import render_form

    return render_form(rule_set)


BLANK_FORMS: Forms = {".yaml": _yaml, ".html": _form, ".json": _schema}
"""By suffix: how the questions of a rule set are drawn, on a paper where it is printed."""


@click.command()
@click.option(
    "-o",
    "--output",
    "outputs",
    multiple=True,
    type=OutputPath(BLANK_FORMS, "blank survey"),
    help=f"Write it instead of printing the YAML; its suffix picks the form: {', '.join(BLANK_FORMS)}. Repeatable.",
)
@overwrite_option
@rules_option
@overlay_option
@paper_option
@lang_option
def blank(
    outputs: tuple[Path, ...],
    overwrite: bool,
    rules_name: str | None,
    overlays: tuple[Path, ...],
    paper: str,
    language: str,
) -> None:
    """Make a survey to fill in, with every question that the rule set asks.

    .yaml is a file for a text editor; .json the JSON Schema by which an editor completes and checks that file; .html a
    form for a phone, which judges as it is filled in.
    """
    from wallwalk.cli.starting import rule_set_for

    rule_set = rule_set_for(None, rules_name, overlays, language)
    if not outputs:
        click.echo(_yaml(rule_set, paper).decode(), nl=False)
    write_outputs(rule_set, outputs, BLANK_FORMS, paper, overwrite=overwrite, keep=overlays)
