"""The report as a tagged PDF drawn from the same page as the HTML: same record, same bytes, nothing fetched."""

from __future__ import annotations

import contextlib
import io
import warnings
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from types import ModuleType
from typing import Any, cast
from xml.etree.ElementTree import Element

import pydyf

from wallwalk.attaching import Attached, attach
from wallwalk.errors import MissingPartError
from wallwalk.filing import Filing
from wallwalk.report.html import render_html
from wallwalk.report.pdf_archive import compress_plainly, ends_plainly, name_attached, say_standards, show_as_taken
from wallwalk.report.pdf_letters import every_letter
from wallwalk.report.pdf_tags import mend_tags

_SVG = "{http://www.w3.org/2000/svg}"

MISSING_LIBRARIES = (
    "a PDF needs Pango and HarfBuzz, which this machine lacks; "
    "on Debian or Ubuntu run: apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0; "
    "on another system see https://doc.courtbouillon.org/weasyprint/stable/first_steps.html; "
    "the HTML report needs none of this and prints from a browser"
)

MISSING_FONTS = (
    "a PDF needs a font, and this machine has none; on Debian or Ubuntu run: "
    "apt-get install fonts-open-sans fonts-dejavu-core; the HTML report needs none and prints from a browser"
)

UNFETCHED = "a picture in the record cannot be unpacked, so no PDF is drawn; wallwalk verify says what was changed"
"""Said of a page that holds an address; ours hold none but pictures in full, which a record may have damaged."""

_TURNS = 8
"""So often a PDF is written again, with one more empty object, until no stream of it ends in a doubtful byte."""


def render_pdf(filing: Filing, *, page_size: str = "Letter") -> bytes:
    """The filing as a PDF on `page_size`: the page drawn from its record alone, its files attached.

    Raises `MissingPartError` as `draw_pdf` does.
    """
    record = filing.record
    start = record["evaluated_for"]
    dated = start["from"] if start else record["rule_set"]["revision"]
    return draw_pdf(render_html(record, filing.entries, page_size=page_size), attach(filing), dated)


def draw_pdf(html: str, attached: Sequence[Attached] = (), dated: str = "1970-01-01") -> bytes:
    """A page of ours as a PDF (PDF/A-3a, PDF/UA-1), with files attached that are `dated` (RFC 3339, or a date).

    Raises `MissingPartError` where the machine lacks the libraries that draw it, or a picture is none.
    """
    weasyprint = load_weasyprint()
    for turn in range(_TURNS):
        content = _draw(weasyprint, html, attached, _utc(dated), turn)
        if ends_plainly(content):
            break
    return content


def _draw(weasyprint: ModuleType, html: str, attached: Sequence[Attached], dated: datetime, turn: int) -> bytes:
    page = page_of(weasyprint, html)
    _tell_pictures(page.etree_element)

    def finish(_document: object, pdf: pydyf.PDF) -> None:
        mend_tags(pdf)
        name_attached(pdf, attached)
        say_standards(pdf)
        show_as_taken(pdf)
        compress_plainly(pdf)
        for _ in range(turn):
            pdf.add_object(pydyf.Dictionary())

    dates = {"created": dated, "modified": dated}
    files = [weasyprint.Attachment(string=a.content, name=a.name, description=a.says, **dates) for a in attached]
    with warnings.catch_warnings(), every_letter():
        # It leaves the closing of its own colour profile to the garbage collector.
        warnings.simplefilter("ignore", ResourceWarning)
        try:
            return bytes(page.write_pdf(pdf_variant="pdf/a-3a", attachments=files, finisher=finish))
        except weasyprint.urls.FatalURLFetchingError as error:  # which is no `Exception`
            raise MissingPartError(UNFETCHED) from error


def page_of(weasyprint: ModuleType, html: str) -> Any:  # noqa: ANN401 - WeasyPrint tells no types
    """A page of ours, ready to be drawn."""
    # The page is complete in itself; were it to fetch anything, that would be a fault of ours, and drawing stops.
    fetcher = weasyprint.urls.URLFetcher(allowed_protocols={"data"}, fail_on_errors=True)
    return weasyprint.HTML(string=html, url_fetcher=fetcher)


def _tell_pictures(page: Element) -> None:
    """A picture's description goes into its title, the only text of a drawing that becomes its alternative in a PDF."""
    for drawing in page.iter(f"{_SVG}svg"):
        title, says = (drawing.find(f"{_SVG}{tag}") for tag in ("title", "desc"))
        if title is not None and says is not None:
            title.text = f"{title.text}. {says.text}"


def _utc(dated: str) -> datetime:
    try:
        moment = datetime.fromisoformat(dated)
    except ValueError:  # the revision of a rule set has the form of a date, and may be none
        moment = datetime(1970, 1, 1, tzinfo=UTC)
    return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)


def load_weasyprint() -> ModuleType:
    """WeasyPrint, loaded when it is needed. Raises `MissingPartError` where the machine lacks what it draws with."""
    # Where a library is missing, WeasyPrint prints advice of its own before it fails; ours says it once.
    try:
        with _silence():
            import weasyprint
            from weasyprint.text import ffi
    except (ImportError, OSError) as error:
        raise MissingPartError(MISSING_LIBRARIES) from error
    fonts = ffi.fontconfig.FcConfigGetFonts(ffi.ffi.NULL, ffi.fontconfig.FcSetSystem)
    if not fonts or fonts.nfont == 0:  # Pango would end the program without a word
        raise MissingPartError(MISSING_FONTS)
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
