"""The report as a tagged PDF drawn from the same page as the HTML: same record, same bytes, nothing fetched."""

from __future__ import annotations

import contextlib
import io
import warnings
from collections.abc import Iterator
from types import ModuleType
from typing import cast

from wallwalk.errors import MissingPartError
from wallwalk.filing import Entry
from wallwalk.record import Record
from wallwalk.report.html import render_html

MISSING_LIBRARIES = (
    "a PDF needs Pango and HarfBuzz, which this machine lacks; "
    "on Debian or Ubuntu run: apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0; "
    "on another system see https://doc.courtbouillon.org/weasyprint/stable/first_steps.html; "
    "the HTML report needs none of this and prints from a browser"
)


def render_pdf(record: Record, entries: tuple[Entry, ...] = (), *, page_size: str = "Letter") -> bytes:
    """The record, with what was signed on it, as a PDF on `page_size`. Raises `MissingPartError` as `draw_pdf` does."""
    return draw_pdf(render_html(record, entries, page_size=page_size))


def draw_pdf(html: str) -> bytes:
    """A page of ours as a PDF.

    Raises `MissingPartError` where the machine lacks the libraries that draw it.
    """
    weasyprint = _weasyprint()
    # The page is complete in itself; were it to fetch anything, that would be a fault of ours, and drawing stops.
    fetcher = weasyprint.urls.URLFetcher(allowed_protocols={"data"}, fail_on_errors=True)
    page = weasyprint.HTML(string=html, url_fetcher=fetcher)
    with warnings.catch_warnings():
        # It leaves the closing of its own colour profile to the garbage collector.
        warnings.simplefilter("ignore", ResourceWarning)
        return bytes(page.write_pdf(pdf_variant="pdf/a-3a"))


def _weasyprint() -> ModuleType:
    # Where a library is missing, WeasyPrint prints advice of its own before it fails; ours says it once.
    try:
        with _silence():
            import weasyprint
            from weasyprint.text import ffi
    except OSError as error:
        raise MissingPartError(MISSING_LIBRARIES) from error
    if ffi.harfbuzz_subset is None:
        # Fonts would be cut down by another way, which writes the time into them: the same record, other bytes.
        raise MissingPartError(MISSING_LIBRARIES)
    return cast(ModuleType, weasyprint)


@contextlib.contextmanager
def _silence() -> Iterator[None]:
    with (
        contextlib.redirect_stdout(io.StringIO()),
        contextlib.redirect_stderr(io.StringIO()),
        warnings.catch_warnings(),
    ):
        warnings.simplefilter("ignore")
        yield
