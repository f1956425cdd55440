"""The commands of `wallwalk`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

import wallwalk
from wallwalk.cli.blanks import blank
from wallwalk.cli.boards import board
from wallwalk.cli.filed import compare, sign, verify
from wallwalk.cli.options import lang_option, overlay_option, rules_option, start_option
from wallwalk.cli.outputs import (
    MANUAL_FORMS,
    PLAN_FORMS,
    RECORDS,
    REPORT_FORMS,
    OutputPath,
    overwrite_option,
    paper_option,
    write_outputs,
)
from wallwalk.cli.stopping import Group, speak_any_terminal
from wallwalk.cli.telling import tell
from wallwalk.cli.walking import walk
from wallwalk.resources import DEFAULT_RULE_SET

EPILOG = "Exit codes: 0 pass; 1 hold, also when only something not verified holds it; 2 input or usage error."


@click.group(cls=Group, epilog=EPILOG, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(wallwalk.__version__, prog_name="wallwalk")
def main() -> None:
    """May the first sheet go up, and if not, what must be put right, by whom, and when is the earliest start?"""
    speak_any_terminal()


@main.command(epilog=EPILOG)
@click.argument("surveys", metavar="SURVEY...", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    "outputs",
    multiple=True,
    type=OutputPath((*REPORT_FORMS, RECORDS), "report"),
    help=f"Also write a report; its suffix picks the form: {', '.join(REPORT_FORMS)}. Repeatable. "
    f"Of many surveys: {RECORDS}, the records of all, one a line.",
)
@overwrite_option
@rules_option
@overlay_option
@start_option
@paper_option
@lang_option
@click.option(
    "--jobs", type=click.IntRange(1, 64), default=1, show_default=True, help="Check many in so many processes."
)
def check(
    surveys: tuple[Path, ...],
    outputs: tuple[Path, ...],
    overwrite: bool,
    rules_name: str | None,
    overlays: tuple[Path, ...],
    start: str | None,
    paper: str,
    language: str,
    jobs: int,
) -> None:
    """Check a filled-in SURVEY and say PASS or HOLD; of many, or of folders of them, say it in a line for each."""
    if len(surveys) > 1 or surveys[0].is_dir() or any(path.suffix.lower() == RECORDS for path in outputs):
        from wallwalk.batch import Wanted
        from wallwalk.cli.many import check_many

        wanted = Wanted(rules_name, overlays, start, language, records=bool(outputs))
        sys.exit(check_many(surveys, outputs, wanted, jobs, overwrite=overwrite))
    from wallwalk.checking import check as check_survey
    from wallwalk.cli.starting import files_read, parse_start, read_inputs
    from wallwalk.report.terminal import render_terminal

    survey = surveys[0]
    read, rule_set = read_inputs(survey, rules_name, overlays, language)
    record = check_survey(read, rule_set, parse_start(start, read))
    tell(render_terminal(record), nl=False)
    if outputs:
        from wallwalk.filing import file_record

        filing = file_record(record, read, rule_set, survey.parent)
        write_outputs(filing, outputs, REPORT_FORMS, paper, overwrite=overwrite, keep=files_read(survey, rule_set))
    sys.exit(0 if record["verdict"] == "pass" else 1)


@main.command()
@click.argument("survey", type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    "outputs",
    multiple=True,
    type=OutputPath(PLAN_FORMS, "plan"),
    help=f"Also write the plan; its suffix picks the form: {', '.join(PLAN_FORMS)}. Repeatable.",
)
@overwrite_option
@rules_option
@overlay_option
@click.option("--start", metavar="MOMENT", help="Plan for this start instead of the survey's planned_start.")
@paper_option
@lang_option
def plan(
    survey: Path,
    outputs: tuple[Path, ...],
    overwrite: bool,
    rules_name: str | None,
    overlays: tuple[Path, ...],
    start: str | None,
    paper: str,
    language: str,
) -> None:
    """Count back from the start: by when each step must be done, and what is already missed (exit code 1)."""
    from wallwalk.checking import plan as plan_survey
    from wallwalk.cli.starting import files_read, parse_start, read_inputs
    from wallwalk.report.schedule import render_plan

    read, rule_set = read_inputs(survey, rules_name, overlays, language)
    found = plan_survey(read, rule_set, parse_start(start, read, "--start"))
    tell(render_plan(found), nl=False)
    write_outputs(found, outputs, PLAN_FORMS, paper, overwrite=overwrite, keep=files_read(survey, rule_set))
    sys.exit(1 if any(step["kept"] == "missed" for step in found["steps"]) else 0)


@main.command()
@click.argument("rule")
@click.argument("survey", required=False, type=click.Path(path_type=Path))
@rules_option
@overlay_option
@start_option
@lang_option
def explain(
    rule: str, survey: Path | None, rules_name: str | None, overlays: tuple[Path, ...], start: str | None, language: str
) -> None:
    """Say why RULE exists, on what basis, and how SURVEY fared by it.

    RULE is the name in square brackets that `check` prints, or a part of it or of its title.
    """
    from wallwalk.checking import check as check_survey
    from wallwalk.cli.starting import parse_start, read_inputs, rule_called, rule_set_for
    from wallwalk.report.manual import render_rule

    if survey is None and start is not None:
        raise click.UsageError("--at is the start that a SURVEY is checked for; give one behind RULE, or take --at out")
    if survey is None:
        read, rule_set = None, rule_set_for(None, rules_name, overlays, language)
    else:
        read, rule_set = read_inputs(survey, rules_name, overlays, language)
    found = rule_called(rule_set, rule)
    record = check_survey(read, rule_set, parse_start(start, read)) if read else None
    tell(render_rule(rule_set, found, record), nl=False)


main.add_command(board)
main.add_command(blank)
main.add_command(walk)
main.add_command(compare)
main.add_command(sign)
main.add_command(verify)


@main.group(cls=Group)
def rules() -> None:
    """Rule sets, for those who write them."""


@rules.command("list")
def list_rule_sets() -> None:
    """List the rule sets that come with this installation."""
    from wallwalk.resources import rule_set_names
    from wallwalk.rule_reader import read_rule_set

    for name in rule_set_names():
        rule_set = read_rule_set(name)
        tell(f"{name}: {rule_set.title}, {len(rule_set.rules)} rules, revision {rule_set.revision}")


@rules.command()
@click.argument("rule_set", default=DEFAULT_RULE_SET)
@click.option(
    "-o",
    "--output",
    "outputs",
    multiple=True,
    type=OutputPath(MANUAL_FORMS, "manual"),
    help=f"Write the manual instead of printing it; its suffix picks the form: {', '.join(MANUAL_FORMS)}. Repeatable.",
)
@overwrite_option
@overlay_option
@paper_option
@lang_option
def show(
    rule_set: str,
    outputs: tuple[Path, ...],
    overwrite: bool,
    overlays: tuple[Path, ...],
    paper: str,
    language: str,
) -> None:
    """Show RULE_SET by theme: what each rule asks, of whom, why, its limits and their basis."""
    from wallwalk.checking import load_rule_set
    from wallwalk.report.manual import render_rule_set

    read = load_rule_set(rule_set, overlays, language)
    if not outputs:
        tell(render_rule_set(read), nl=False)
    write_outputs(read, outputs, MANUAL_FORMS, paper, overwrite=overwrite, keep=overlays)


@rules.command()
@click.argument("rule_set", default=DEFAULT_RULE_SET)
@overlay_option
def test(rule_set: str, overlays: tuple[Path, ...]) -> None:
    """Try every example of RULE_SET, and move every limit and requirement to see that an example notices.

    An overlay is tried too: the flips it lists, and the rules it adds.
    """
    from wallwalk.cli.starting import try_rule_set

    said, came_out = try_rule_set(rule_set, overlays)
    tell(said, nl=False, err=not came_out)
    sys.exit(0 if came_out else 2)
