"""The manual of a rule set as one HTML page that needs nothing but itself: to read on a screen, and to print."""

from __future__ import annotations

import wallwalk
from wallwalk.report.html import draw_page
from wallwalk.report.logs import DECISIONS
from wallwalk.report.manual_view import Manual, lay_out_manual
from wallwalk.rules import HOLD_GRADE, RuleSet
from wallwalk.wording import show_basis


def render_manual_html(rule_set: RuleSet, *, page_size: str = "Letter") -> str:
    """The manual as a page, which prints on `page_size`: `Letter` or `A4`."""
    manual = lay_out_manual(rule_set)
    words = manual.words
    edge = (rule_set.title, words.say("revision {date}", date=rule_set.revision), words.say("MANUAL"))
    shown = {
        "manual": manual,
        "rule_set": rule_set,
        "version": wallwalk.__version__,
        "decision": words.tell(DECISIONS[rule_set.decision]),
        "parties": _parties(manual),
        "changes": [(c, show_basis(c.basis, words)) for c in manual.changes],
        "holding": sum(rule.grade == HOLD_GRADE for rule in rule_set.rules.values()),
        "cautions": sum(rule.grade != HOLD_GRADE for rule in rule_set.rules.values()),
    }
    return draw_page("manual.html", edge, page_size, shown, words, ("report.css", "manual.css"))


def render_manual_pdf(rule_set: RuleSet, *, page_size: str = "Letter") -> bytes:
    """The manual as a PDF. Raises `MissingPartError` where the machine lacks the libraries that draw it."""
    from wallwalk.report.pdf import draw_pdf

    return draw_pdf(render_manual_html(rule_set, page_size=page_size))


def _parties(manual: Manual) -> tuple[tuple[str, tuple[int, ...]], ...]:
    """Each party's title with the rules it puts right, in the order of the rule set."""
    texts = [text for theme in manual.themes for text in theme.rules]
    whose = ((t, tuple(x.number for x in texts if x.party == t)) for t in manual.rule_set.parties.values())
    return tuple((title, used) for title, used in whose if used)
