"""Where reports go: the suffix of an output path picks the form, and every form is drawn before any is written."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wallwalk.errors import MissingPartError
from wallwalk.writing import write_whole

if TYPE_CHECKING:
    from wallwalk.record import Record


def _html(record: Record, paper: str) -> bytes:
    from wallwalk.report.html import render_html

    return render_html(record, page_size=paper).encode()


def _pdf(record: Record, paper: str) -> bytes:
    from wallwalk.report.pdf import render_pdf

    return render_pdf(record, page_size=paper)


def _json(record: Record, _: str) -> bytes:
    from wallwalk.record import render_json

    return render_json(record).encode()


REPORT_FORMS: Mapping[str, Callable[[Record, str], bytes]] = {".html": _html, ".pdf": _pdf, ".json": _json}
PAPERS = {"letter": "Letter", "a4": "A4"}


class OutputPath(click.ParamType[Path]):
    """A path whose suffix is one of the report forms."""

    name = "file"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        """The path, or a usage error that names the forms."""
        path = Path(str(value))
        if path.suffix.lower() not in REPORT_FORMS:
            self.fail(f'"{path}" names no form of report; end it in {", ".join(REPORT_FORMS)}', param, ctx)
        return path


def write_reports(record: Record, outputs: tuple[Path, ...], paper: str, keep: Path) -> None:
    """Draw every report, then write each whole and name it; never over `keep`, the file that was read."""
    for path in outputs:
        if path.resolve() == keep.resolve():
            raise MissingPartError(f"{path}: is the survey itself; give the report another name")
    drawn = [(path, REPORT_FORMS[path.suffix.lower()](record, PAPERS[paper.lower()])) for path in outputs]
    for path, content in drawn:
        write_whole(path, content)
        click.echo(f"Wrote {path}")
