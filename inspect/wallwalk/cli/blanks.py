"""The command that makes a survey to fill in; the suffix of its file picks the form."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wallwalk.cli.options import lang_option, overlay_option, rules_option
from wallwalk.cli.outputs import Forms, OutputPath, overwrite_option, paper_option, write_outputs
from wallwalk.cli.telling import tell

if TYPE_CHECKING:
    from wallwalk.rules import RuleSet
    from wallwalk.survey import Survey

MOST_WALLS = 100
"""Walls on one sheet at most."""


def _yaml(rule_set: RuleSet, _: str) -> bytes:
    from wallwalk.blank_survey import render_blank_survey

    return render_blank_survey(rule_set).encode()


def _schema(rule_set: RuleSet, _: str) -> bytes:
    from wallwalk.survey_schema import render_survey_schema

    return render_survey_schema(rule_set.language).encode()


def _sheet(rule_set: RuleSet, paper: str, survey: Survey | None = None, walls: int | None = None) -> bytes:
    from wallwalk.report.sheet import render_sheet

    return render_sheet(rule_set, paper, survey, walls)


def _form(rule_set: RuleSet, _: str) -> bytes:
    from wallwalk.form_page import render_form

    return render_form(rule_set)


BLANK_FORMS: Forms = {".yaml": _yaml, ".html": _form, ".json": _schema, ".pdf": _sheet}
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
@click.option(
    "--space",
    type=click.Path(path_type=Path),
    metavar="SURVEY",
    help="Write into the sheet (.pdf) what SURVEY says already; it has room for every wall that SURVEY lists.",
)
@click.option(
    "--walls",
    type=click.IntRange(1, MOST_WALLS),
    metavar="NUMBER",
    help="Make room for NUMBER walls on the sheet (.pdf), instead of four or those of --space.",
)
def blank(
    outputs: tuple[Path, ...],
    overwrite: bool,
    rules_name: str | None,
    overlays: tuple[Path, ...],
    paper: str,
    language: str,
    space: Path | None,
    walls: int | None,
) -> None:
    """Make a survey to fill in, with every question that the rule set asks.

    .yaml is a file for a text editor; .json the JSON Schema by which an editor completes and checks that file; .html a
    form for a phone, which judges as it is filled in; .pdf a sheet for a pen or a tablet.
    """
    from wallwalk.cli.starting import files_read, rule_set_for, rule_set_of
    from wallwalk.survey_files import refuse_other_kinds
    from wallwalk.survey_reader import read_survey

    if (space or walls) and not any(path.suffix.lower() == ".pdf" for path in outputs):
        raise click.UsageError("--space and --walls are for the sheet; ask for one with -o sheet.pdf")
    if space:
        refuse_other_kinds(space)
    survey = read_survey(space) if space else None
    if space and survey:
        rule_set = rule_set_of(survey, space.parent, rules_name, overlays, language)
    else:
        rule_set = rule_set_for(None, rules_name, overlays, language)
    if not outputs:
        tell(_yaml(rule_set, paper).decode(), nl=False)
    forms: Forms = {**BLANK_FORMS, ".pdf": partial(_sheet, survey=survey, walls=walls)}
    keep = files_read(space, rule_set) if space else overlays
    write_outputs(rule_set, outputs, forms, paper, overwrite=overwrite, keep=keep)
