"""The report as one HTML page that needs nothing but itself: no script, no network, no other file."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from wallwalk.errors import visible
from wallwalk.filing import Entry
from wallwalk.record import Record
from wallwalk.report.chart import climate_charts, clock_charts
from wallwalk.report.tables import SPOKEN
from wallwalk.report.view import lay_out
from wallwalk.resources import data_folder
from wallwalk.words import Words, fixed, words_in

_EDGE_WORDS = (
    fixed("Local code and licensed practice always decide."),
    fixed("page "),
    fixed(" of "),
    fixed("Settles "),
)
"""The words that the style sheet writes."""

PAGE_SIZES = ("Letter", "A4")

_KINDS = {"yes": "passes", "HOLD": "holds", "?": "open", "–": "apart", "note": "caution"}
"""How each mark of the table of all rules is drawn; the mark itself is the word."""


def render_html(record: Record, entries: tuple[Entry, ...] = (), *, page_size: str = "Letter") -> str:
    """The record, with what was signed on it, as an HTML page, which prints on `page_size`: `Letter` or `A4`."""
    view = lay_out(record, entries)
    edge = (*view.running, view.verdict)
    words = {
        "view": view,
        "record": record,
        "kinds": _KINDS,
        "spoken": SPOKEN,
        **pictures(record, record["evaluated_for"]),
    }
    return draw_page("report.html", edge, page_size, words, view.words)


def pictures(drawn: Mapping[str, Any], start: Mapping[str, str] | None) -> dict[str, object]:
    """The pictures of a record or a plan: its climate, where that is logged, and its clocks up to `start`."""
    zone, climate = drawn["heading"]["time_zone"], drawn.get("climate")
    words = words_in(drawn["language"])
    begins_ends = None if start is None else (_seconds(start["from"]), _seconds(start["to"]))
    return {
        "climate_charts": climate_charts(climate, zone, words) if climate else (),
        "clock_charts": clock_charts(drawn["clocks"], begins_ends, zone, words),
    }


def _seconds(moment: str) -> int:
    return int(datetime.fromisoformat(moment).timestamp())


def draw_page(
    template: str,
    edge: tuple[str, str, str],
    page_size: str,
    shown: Mapping[str, object],
    words: Words,
    sheets: tuple[str, ...] = ("report.css", "chart.css"),
) -> str:
    """A page from `template` with what is `shown`; `edge` is project, space and verdict, on every printed page.

    `sheets` are its style sheets.
    """
    if page_size not in PAGE_SIZES:
        raise ValueError(f'page size is "{page_size}"; write {" or ".join(PAGE_SIZES)}')
    style = _style(edge, page_size, sheets, words)
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    page = page_environment(words).get_template(template)
    return page.render(style=Markup(style), style_digest=digest, **shown)  # noqa: S704 - our own, escaped


def page_environment(words: Words) -> Environment:
    """Where pages are drawn: templates that escape all they are given, and say their fixed words in one language."""
    environment = Environment(
        loader=FileSystemLoader(data_folder("templates")),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        extensions=["jinja2.ext.i18n"],
        finalize=_seen,
    )
    environment.globals["language"] = words.language
    environment.install_gettext_translations(words.translations, newstyle=True)  # type: ignore[attr-defined]
    return environment


def _seen(shown: object) -> object:
    """What a template shows, with unseen signs written out; what is markup already stays markup."""
    return type(shown)(visible(shown)) if isinstance(shown, str) else shown


def _style(edge: tuple[str, str, str], page_size: str, sheets: tuple[str, ...], words: Words) -> str:
    """The style sheet, with the page's size and the words that stand at the edge of every page."""
    style = "".join((data_folder("templates") / name).read_text(encoding="utf-8") for name in sheets)
    project, space, verdict = edge
    for text in _EDGE_WORDS:
        told = words.tell(text)
        if told != text:
            style = style.replace(f'"{text}"', css_string(told))
    shown = {
        "page-size": page_size,
        "running-project": project,
        "running-space": space,
        "running-verdict": verdict,
    }
    for name, text in shown.items():
        style = style.replace(f'"{{{{{name}}}}}"', text if name == "page-size" else css_string(text))
    return f"\n{style}"


def css_string(text: str) -> str:
    """`text` as a CSS string in which nothing can end the string, the rule or the style element."""
    return '"' + "".join(c if c.isalnum() or c == " " else f"\\{ord(c):x} " for c in visible(text)) + '"'
