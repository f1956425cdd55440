"""A comparison, drawn: terminal, page and PDF, each from the same laid-out view."""

from __future__ import annotations

from collections.abc import Iterator

from wallwalk.record import Record
from wallwalk.report.comparison import ComparisonView, Side, lay_out_comparison
from wallwalk.report.comparison_groups import Block, Group
from wallwalk.report.terminal import heading, wrap
from wallwalk.words import Words


def render_comparison(comparison: Record) -> str:
    """The comparison for a terminal of 80 columns, ending in a newline."""
    return "\n".join(line.rstrip() for line in _lines(lay_out_comparison(comparison))).lstrip("\n") + "\n"


def render_comparison_html(comparison: Record, *, page_size: str = "Letter") -> str:
    """The comparison as a page of its own."""
    from wallwalk.report.html import draw_page

    view = lay_out_comparison(comparison)
    edge = (*view.running, view.now.verdict)
    made = comparison["now"]["evaluated_for"]
    dated = made["from"] if made else comparison["now"]["rule_set"]["revision"]
    return draw_page("comparison.html", edge, page_size, {"view": view, "dated": dated}, view.words)


def render_comparison_pdf(comparison: Record, *, page_size: str = "Letter") -> bytes:
    """The comparison as a PDF. Raises `MissingPartError` where the machine lacks the libraries that draw it."""
    from wallwalk.report.pdf import draw_pdf

    return draw_pdf(render_comparison_html(comparison, page_size=page_size))


def _lines(view: ComparisonView) -> Iterator[str]:
    words = view.words
    for notice in view.first:
        yield from wrap(f"!   {notice}", 0, 4)
    for group in (*view.relaxed, *view.doubtful):
        yield from _group(group, words)
    if view.first or view.relaxed or view.doubtful:
        yield ""
    yield from wrap(f"{view.now.verdict} | {view.place} | {view.project}", 0, 7)
    yield from wrap(view.headline, 7)
    yield from wrap(", ".join(f"{number} {label}" for number, label in view.tally) + ".", 7)
    yield from _side(words.say("Then"), view.then)
    yield from _side(words.say("Now"), view.now)
    for notice in view.notices:
        yield from wrap(f"!   {notice}", 0, 4)
    for group in (*view.groups, *view.cautions):
        yield from _group(group, words)
    yield from _limits(view)
    yield from _bottom(view)


def _side(title: str, side: Side) -> Iterator[str]:
    yield from wrap(f"{title}: {side.walked} {side.start} {side.earliest}", 7, 9)


def _group(group: Group, words: Words) -> Iterator[str]:
    yield from heading(group.title.upper())
    yield from wrap(group.lead)
    for block in group.blocks:
        yield from _block(block, words)


def _block(block: Block, words: Words) -> Iterator[str]:
    yield from wrap(f"-   {block.title} [{block.rule}]", 0, 4)
    for pair in block.pairs:
        yield from wrap(f"{pair.where}:", 4, 6)
        for reason in pair.reasons:
            yield from wrap(f"! {reason}", 6, 8)
        yield from wrap(f"{words.say('Then')}: {pair.then}", 6, 8)
        yield from wrap(f"{words.say('Now')}: {pair.now}", 6, 8)
    if block.put_right:
        do = words.say("Do: {what}", what=block.put_right)
        yield from wrap(f"{do} ({block.by})", 4, 8)


def _limits(view: ComparisonView) -> Iterator[str]:
    if view.limits:
        yield from heading(view.words.say("Limits that were changed").upper())
    for row in view.limits:
        changed = view.words.say("{what}: {was}, now {now}", what=row.title, was=row.was, now=row.now)
        yield from wrap(f"{row.way.upper()}: {changed}", 0, 4)
        bases = view.words.say("Basis then: {was}. Basis now: {now}.", was=row.was_basis, now=row.now_basis)
        yield from wrap(bases, 4)


def _bottom(view: ComparisonView) -> Iterator[str]:
    words = view.words
    yield from heading(words.say("The rest").upper())
    for line in view.steady:
        yield from wrap(line)
    if view.readings:
        yield from wrap(
            words.say_many(
                "{count} value that is right was another one then; the HTML and PDF reports list it.",
                "{count} values that are right were others then; the HTML and PDF reports list them.",
                sum(len(reading.moved) for reading in view.readings),
            )
        )
    for title, side in ((words.say("Then"), view.then), (words.say("Now"), view.now)):
        yield from wrap(f"{title}: {side.survey}, SHA-256 {side.survey_sha256[:16]}. {side.rules}.", 0, 4)
    yield ""
    yield from wrap(f"{view.now.verdict}. {view.now.earliest}")
