"""The report as a tagged PDF drawn from the same page as the HTML: same record, same bytes, nothing fetched."""

from __future__ import annotations

import contextlib
import io
from types import ModuleType

from wallwalk.errors import MissingPartError
from wallwalk.record import Record
from wallwalk.report.html import render_html

MISSING_LIBRARIES = (
    "a PDF needs Pango and HarfBuzz, which this machine lacks; "
    "on Debian or Ubuntu run: apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0; "
    "on another system see https://doc.courtbouillon.org/weasyprint/stable/first_steps.html; "
    "the HTML report needs none of this and prints from a browser"
)


def render_pdf(record: Record, *, page_size: str = "Letter") -> bytes:
    """The record as a PDF on `page_size`. Raises `MissingPartError` where the machine lacks the libraries that draw it."""
    weasyprint = _weasyprint()
    # The document is complete in itself; whatever it tried to fetch would be a fault of ours, so nothing but data: is allowed.
    fetcher = weasyprint.urls.URLFetcher(allowed_protocols={"data"}, fail_on_errors=True)
    page = weasyprint.HTML(string=render_html(record, page_size=page_size), url_fetcher=fetcher)
    return bytes(page.write_pdf(pdf_variant="pdf/a-3a"))


def _weasyprint() -> ModuleType:
    # Where a library is missing, WeasyPrint prints advice of its own before it fails; ours says it once.
    try:
        with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
            import weasyprint
    except OSError as error:
        raise MissingPartError(MISSING_LIBRARIES) from error
    return weasyprint
