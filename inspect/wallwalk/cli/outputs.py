"""Where reports go: the suffix of an output path picks the form, and every form is drawn before any is written."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from wallwalk.errors import MissingPartError
from wallwalk.writing import write_whole

if TYPE_CHECKING:
    from wallwalk.filing import Filing
    from wallwalk.record import Record
    from wallwalk.rules import RuleSet


def _html(filing: Filing, paper: str) -> bytes:
    from wallwalk.report.html import render_html

    return render_html(filing.record, filing.entries, page_size=paper).encode()


def _pdf(filing: Filing, paper: str) -> bytes:
    from wallwalk.report.pdf import render_pdf

    return render_pdf(filing, page_size=paper)


def _json(filing: Filing, _: str) -> bytes:
    from wallwalk.filed_json import write_filed_json

    return write_filed_json(filing)


def _plan_html(plan: Record, paper: str) -> bytes:
    from wallwalk.report.schedule import render_plan_html

    return render_plan_html(plan, page_size=paper).encode()


def _plan_pdf(plan: Record, paper: str) -> bytes:
    from wallwalk.report.schedule import render_plan_pdf

    return render_plan_pdf(plan, page_size=paper)


def _plan_calendar(plan: Record, _: str) -> bytes:
    from wallwalk.report.schedule import render_calendar

    return render_calendar(plan)


def _manual_html(rule_set: RuleSet, paper: str) -> bytes:
    from wallwalk.report.manual_page import render_manual_html

    return render_manual_html(rule_set, page_size=paper).encode()


def _manual_pdf(rule_set: RuleSet, paper: str) -> bytes:
    from wallwalk.report.manual_page import render_manual_pdf

    return render_manual_pdf(rule_set, page_size=paper)


Forms = Mapping[str, Callable[[Any, str], bytes]]
"""By suffix: how a filing, a plan or a manual is drawn on a paper."""
REPORT_FORMS: Forms = {".html": _html, ".pdf": _pdf, ".json": _json}
FILED_FORMS = (".json",)
"""Those forms of a report that hold the record itself, to be signed and verified."""
PLAN_FORMS: Forms = {".html": _plan_html, ".pdf": _plan_pdf, ".ics": _plan_calendar}
MANUAL_FORMS: Forms = {".html": _manual_html, ".pdf": _manual_pdf}
PAPERS = {"letter": "Letter", "a4": "A4"}

paper_option = click.option(
    "--paper",
    type=click.Choice(["letter", "a4"], case_sensitive=False),
    default="letter",
    show_default=True,
    help="Page size of printed reports.",
)


class OutputPath(click.ParamType[Path]):
    """A path whose suffix is one of some forms."""

    name = "file"

    def __init__(self, forms: Forms, of: str) -> None:
        self.forms = forms
        self.of = of

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        """The path, or a usage error that names the forms."""
        path = Path(str(value))
        if path.suffix.lower() not in self.forms:
            self.fail(f'"{path}" names no form of {self.of}; end it in {", ".join(self.forms)}', param, ctx)
        return path


def _is_same(one: Path, other: Path) -> bool:
    try:
        return one.resolve() == other.resolve()
    except (OSError, RuntimeError):  # a loop of links; writing to it will say so
        return False


def write_outputs(
    made: object, outputs: tuple[Path, ...], forms: Forms, paper: str, keep: Path | None = None, kept: str = "survey"
) -> None:
    """Draw every output, then write each whole and name it; never over `keep`, the survey (or what `kept` says)."""
    for path in outputs:
        if keep is not None and _is_same(path, keep):
            raise MissingPartError(f"{path}: is the {kept} itself; give the report another name")
    drawn = [(path, forms[path.suffix.lower()](made, PAPERS[paper.lower()])) for path in outputs]
    for path, content in drawn:
        write_whole(path, content)
        click.echo(f"Wrote {path}")
