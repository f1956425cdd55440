"""The walk sheet: what a rule set asks, on paper to be filled in with a pen, or as a form on a tablet."""

from __future__ import annotations

import textwrap

import wallwalk
from wallwalk.report.html import draw_page
from wallwalk.report.sheet_form import draw_form
from wallwalk.report.sheet_view import Sheet, lay_out_sheet
from wallwalk.rules import RuleSet
from wallwalk.survey import Survey

_FOOT_LETTERS = 90
"""So much of a name stands at the foot of each page."""


def render_sheet(rule_set: RuleSet, page_size: str, survey: Survey | None = None, walls: int | None = None) -> bytes:
    """The sheet as a PDF form on `page_size`, `Letter` or `A4`, with what `survey` says already written in.

    It has room for so many `walls`, or where that is None for four, and always for all that the survey lists. Raises
    `MissingPartError` where the machine lacks the libraries that draw it.
    """
    sheet = lay_out_sheet(rule_set, survey, walls)
    tips = {field.path: field.tip for field in sheet.fields()}
    return draw_form(render_sheet_html(sheet, page_size), tips)


def render_sheet_html(sheet: Sheet, page_size: str) -> str:
    """The page that the form is drawn from."""
    rule_set, words = sheet.rule_set, sheet.words
    space = next((f.value for row in sheet.job for f in row.fields if f.path == "space.name"), "")
    by = words.say("{title}, revision {revision}", title=rule_set.title, revision=rule_set.revision)
    laid = "; ".join(overlay.title for overlay in rule_set.overlays)
    changed = words.say("Limits and rules changed by: {overlays}", overlays=laid) if laid else ""
    shown = {"sheet": sheet, "rule_set": rule_set, "changed": changed, "version": wallwalk.__version__}
    named = textwrap.shorten(space, _FOOT_LETTERS, placeholder="…") if space else "_" * 24
    seen = words.say("Changed by overlays: see page 1") if laid else ""
    edge = (words.say("Space: {name}", name=named), by, seen)
    return draw_page("sheet.html", edge, page_size, shown, words, ("sheet.css",))
