"""Where reports go: the suffix of an output path picks the form, and every form is drawn before any is written."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from wallwalk.cli.telling import tell_line
from wallwalk.errors import MissingPartError, on_one_line
from wallwalk.writing import refuse_targets, write_all

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


def _comparison_html(comparison: Record, paper: str) -> bytes:
    from wallwalk.report.comparison_forms import render_comparison_html

    return render_comparison_html(comparison, page_size=paper).encode()


def _comparison_pdf(comparison: Record, paper: str) -> bytes:
    from wallwalk.report.comparison_forms import render_comparison_pdf

    return render_comparison_pdf(comparison, page_size=paper)


def _board_html(board: Record, paper: str) -> bytes:
    from wallwalk.report.board_page import render_board_html

    return render_board_html(board, page_size=paper).encode()


def _board_pdf(board: Record, paper: str) -> bytes:
    from wallwalk.report.board_page import render_board_pdf

    return render_board_pdf(board, page_size=paper)


def _board_table(board: Record, _: str) -> bytes:
    from wallwalk.report.board_table import render_board_table

    return render_board_table(board)


def _board_json(board: Record, _: str) -> bytes:
    from wallwalk.filing import canonical

    return canonical(board) + b"\n"


def _board_calendar(board: Record, _: str) -> bytes:
    from wallwalk.report.board_calendar import render_board_calendar

    return render_board_calendar(board)


Forms = Mapping[str, Callable[[Any, str], bytes]]
"""By suffix: how a filing, a plan, a manual or a comparison is drawn on a paper."""
REPORT_FORMS: Forms = {".html": _html, ".pdf": _pdf, ".json": _json}
FILED_FORMS = (".json", ".pdf")
"""Those forms of a report that hold the record itself, to be signed and verified."""
PLAN_FORMS: Forms = {".html": _plan_html, ".pdf": _plan_pdf, ".ics": _plan_calendar}
MANUAL_FORMS: Forms = {".html": _manual_html, ".pdf": _manual_pdf}
COMPARISON_FORMS: Forms = {".html": _comparison_html, ".pdf": _comparison_pdf}
BOARD_FORMS: Forms = {
    ".html": _board_html,
    ".pdf": _board_pdf,
    ".csv": _board_table,
    ".json": _board_json,
    ".ics": _board_calendar,
}
RECORDS = ".jsonl"
"""How the name of a file ends that holds the records of many surveys, one a line."""
PAPERS = {"letter": "Letter", "a4": "A4"}

overwrite_option = click.option("--overwrite", is_flag=True, help="Let -o write over a file that is there already.")
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

    def __init__(self, forms: Collection[str], of: str) -> None:
        self.forms = forms
        self.of = of

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        """The path, or a usage error that names the forms."""
        path = Path(str(value))
        if path.suffix.lower() not in self.forms:
            self.fail(
                f'"{on_one_line(path)}" names no form of {self.of}; end it in {", ".join(self.forms)}', param, ctx
            )
        return path


def _is_same(one: Path, other: Path) -> bool:
    try:
        return one.resolve() == other.resolve()
    except (OSError, RuntimeError):  # a loop of links; writing to it will say so
        return False


def refuse_reads(outputs: tuple[Path, ...], keep: Iterable[Path]) -> None:
    """Raises `MissingPartError` where an output would take the place of one of `keep`, the files that are read."""
    read = tuple(keep)
    for path in outputs:
        if any(_is_same(path, one) for one in read):
            raise MissingPartError(f"{on_one_line(path)}: is read to make this; give another name")


def write_outputs(
    made: object, outputs: tuple[Path, ...], forms: Forms, paper: str, *, overwrite: bool, keep: Iterable[Path] = ()
) -> None:
    """Draw every output, then write all and name each; never over one of `keep`, the files that were read."""
    refuse_reads(outputs, keep)
    refuse_targets(outputs, overwrite=overwrite)
    write_drawn(draw_outputs(made, outputs, forms, paper), overwrite=overwrite)


def draw_outputs(made: object, outputs: tuple[Path, ...], forms: Forms, paper: str) -> list[tuple[Path, bytes]]:
    """What is to stand in each output."""
    return [(path, forms[path.suffix.lower()](made, PAPERS[paper.lower()])) for path in outputs]


def write_drawn(drawn: Iterable[tuple[Path, bytes]], *, overwrite: bool) -> None:
    """Write all, and name each."""
    placed = []
    try:
        for path in write_all(drawn, overwrite=overwrite):
            placed.append(path)  # noqa: PERF402 - those before one that fails are told too
    finally:  # told once all are there, so that a reader of the summary who leaves early costs none of them
        for path in placed:
            tell_line(f"Wrote {path}")
