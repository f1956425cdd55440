"""Markup in every free text, held page against page; and the same in a browser, where a script would leave its mark."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from html.parser import HTMLParser

from playwright.sync_api import Dialog, Page

from attack import Attack, Check, Scene, attack
from form_filling import wait_until_judged
from hostile_room import PATHS, free_texts, hostile, room
from pages import offline
from wallwalk.form_page import render_form
from wallwalk.report.html import css_string

SEEN = "the markup, letter by letter"

_STRANGERS = "img[src=x], svg[onload], script[src], a[href^='javascript'], iframe, object, embed, base, form[action]"
"""Elements that no page of ours has; an attacker's would be among them."""

_DRAWN = {"<title>", "<desc>", "<g>", "<path>", "<rect>", "<polygon>", "<text>"} | {
    *("id", "d", "x", "y", "width", "height", "points", "fill", "data-kind", "text-anchor", "font-weight", "font-size"),
    *("stroke", "stroke-width", "stroke-dasharray", "stroke-linejoin", "stroke-linecap"),
}
"""What our drawings are made of."""

_MARK = re.compile(r"z([0-9]{3})z")


class _Structure(HTMLParser):
    """The elements of a page with the names of their attributes, in order, and all it says.

    Of a drawing only names of elements and attributes are kept: how many there are goes by how wide its words are.
    """

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, tuple[str, ...]]] = []
        self.drawn: set[str] = set()
        self.says: list[str] = []
        self._in_drawing = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep an element, and what its attributes say."""
        names = tuple(name for name, _ in attrs)
        if self._in_drawing:
            self.drawn |= {f"<{tag}>", *names}
        else:
            self.elements.append((tag, names))
        self._in_drawing = self._in_drawing or tag == "svg"
        self.says += [value for _, value in attrs if value]

    def handle_endtag(self, tag: str) -> None:
        """A drawing may end here."""
        self._in_drawing = self._in_drawing and tag != "svg"

    def handle_data(self, data: str) -> None:
        """Keep text."""
        self.says.append(data)


def _read(page: str) -> _Structure:
    structure = _Structure()
    structure.feed(page)
    structure.close()
    return structure


def _in_page(name: str) -> Check:
    """The page has the very elements that it has with plain words, and says what was written."""

    def check(_: Scene) -> None:
        with_markup, with_words = (_read(room(is_hostile=which).pages[name]) for which in (True, False))
        assert with_markup.elements == with_words.elements
        assert with_markup.drawn <= {
            part for drawn in map(_read, room(is_hostile=False).pages.values()) for part in drawn.drawn
        }
        marks, wanted = (set(_MARK.findall("".join(page.says))) for page in (with_markup, with_words))
        assert marks == wanted
        assert len(marks) == _MARKS[name]

    return check


_MARKS = {
    "report": 31,
    "plan": 10,
    "comparison": 8,
    "board": 8,
    "manual": 19,
    "manual with overlay": 5,
    "sheet": 33,
    "sheet of its own rules": 19,
}
"""By page, how many texts of the attacker's it says."""

_OWN_RULES = "title, parties, themes, limits, facts, rules and examples of a rule set"
_SURVEY = "every free text of the survey schema; its log's header and cells; names of its files"
_THROUGH = {
    "report": f"{_SURVEY}; an overlay's texts; name and remark of who signs",
    "plan": _SURVEY,
    "comparison": _SURVEY,
    "board": _SURVEY,
    "manual": _OWN_RULES,
    "manual with overlay": "an overlay's title, reasons and bases",
    "sheet": _SURVEY,
    "sheet of its own rules": _OWN_RULES,
}

PAGES = tuple(
    Attack(
        f"markup and script in the {name}",
        "markup",
        "`'\"><img onerror>`, `<svg onload>`, `<script>`, `<!--`, `</style>`, `javascript:`, `{{7*7}}`, `%s`",
        _THROUGH[name],
        f"the {name} (HTML, which the PDF is drawn from)",
        "report.html",
        SEEN,
        _in_page(name),
        slow=True,
    )
    for name in _MARKS
)


@attack(
    "no field is forgotten",
    "markup",
    gives="a text of its own in every field",
    through="the survey schema, question by question",
    into="survey and record",
    stopped="report.html",
    seen="every field of free text holds a payload, but those that name a rule set or an overlay's file",
    slow=True,
)
def every_field(_: Scene) -> None:
    """The list of fields is the schema's own, and each holds a payload where the survey was read."""
    here = room(is_hostile=True)
    asked = {f"{question.about} {question.path}" for question in free_texts()}
    assert here.fields.keys() == asked - {"space rules", "space overlays.file"}
    assert {path.split(" ")[1] for path in asked} >= set(PATHS)
    assert len(asked) > 35
    written = here.survey.content.decode()
    lost = {place for place, text in here.fields.items() if json.dumps(text) not in written}
    assert lost == set()
    marked = {place for place, text in here.fields.items() if _MARK.search(text)}
    assert here.fields.keys() - marked == {"space photos.rule"}


@attack(
    "the end of a style in a running head",
    "markup",
    gives="`</style><script>`, quotes, backslashes and line feeds in a project's name",
    through="project.name, space.name",
    into="the style sheet of a printed page",
    stopped="report.html (css_string)",
    seen="a CSS string in which all but letters stands as numbers",
)
def in_the_style(_: Scene) -> None:
    """Nothing in it can end the string, the rule or the element."""
    text = 'a"}\\</style><script>\n\u202e'
    assert re.fullmatch(r'"(?:[0-9A-Za-z ]|\\[0-9a-f]+ )*"', css_string(text))
    assert "\\202e" not in css_string(text).replace("\\5c u202e", "")


@contextmanager
def opened(scene: Scene, html: bytes) -> Iterator[tuple[Page, list[str]]]:
    """A page in Chromium, and what it complained of or asked for."""
    file = scene.folder / "page.html"
    file.write_bytes(html)
    said: list[str] = []

    def dismissed(dialog: Dialog) -> None:
        said.append(f"dialog {dialog.message}")
        dialog.dismiss()

    with offline(scene.browser()) as context:
        page = context.new_page()
        page.on("dialog", dismissed)
        page.on("request", lambda request: said.append(f"request {request.url}"))
        page.on("pageerror", lambda error: said.append(f"error {error}"))
        page.on("console", lambda message: said.append(f"console {message.text}"))
        page.goto(file.as_uri())
        yield page, said


def _is_unharmed(page: Page, said: list[str]) -> None:
    assert page.evaluate("window.hit === undefined")
    assert page.locator(_STRANGERS).count() == 0
    assert [one for one in said if not one.startswith(("request data:", "request file:"))] == []


@attack(
    "the pages in a browser",
    "markup",
    gives="the same payloads, each of which would set window.hit",
    through="every page above",
    into="Chromium",
    stopped="report.html; the page's Content-Security-Policy",
    seen="no script ran, no element is there, nothing was asked for",
    slow=True,
)
def in_chromium(scene: Scene) -> None:
    """Each page is opened; nothing that a payload would leave behind is there."""
    pages = room(is_hostile=True).pages
    for html in pages.values():
        assert "Content-Security-Policy" in html
        with opened(scene, html.encode()) as (page, said):
            _is_unharmed(page, said)


@attack(
    "a hostile survey in the phone form",
    "form",
    gives="the same payloads in a survey that is imported",
    through="every free text of the survey schema",
    into="the form's questions and result, in Chromium",
    stopped="form-parts.js (make); the form's Content-Security-Policy",
    seen=SEEN,
    slow=True,
)
def in_the_form(scene: Scene) -> None:
    """It is imported, every page and the result are looked at, and no script has run."""
    here = room(is_hostile=True)
    survey = scene.folder / "survey.json"
    survey.write_bytes(here.survey.content)
    with opened(scene, render_form(here.rule_set)) as (page, said):
        page.set_input_files("#import", survey)
        wait_until_judged(page)
        seen = set()
        for i in range(page.locator("#pages button").count()):
            page.locator("#pages button").nth(i).tap()
            _is_unharmed(page, said)
            seen |= {
                *page.evaluate(
                    "[...document.querySelectorAll('#questions input, #questions textarea')].map(e => e.value)"
                )
            }
        assert {here.fields["space space.name"], here.fields["space walk.by"], here.fields["wall name"]} <= seen
        page.emulate_media(media="print")
        _is_unharmed(page, said)


@attack(
    "a hostile rule set in the phone form",
    "form",
    gives="`</script>`, `<!--`, `]]>`, U+2028 and the payloads in every text of a rule set",
    through="the JSON inside the page",
    into="the form, in Chromium",
    stopped="form_page (each `<` is written \\u003c)",
    seen=SEEN,
    slow=True,
)
def rules_in_the_form(scene: Scene) -> None:
    """The data are what they were, and the page is whole behind them."""
    title = "</script><!-- <script> ]]> \u2028 \u2029 " + hostile("299")
    rule_set = replace(room(is_hostile=True).own, title=title)
    html = render_form(rule_set)
    with opened(scene, html) as (page, said):
        _is_unharmed(page, said)
        told = page.locator("h1").inner_text()
        assert "</script><!-- <script> ]]> \\u2028 \\u2029" in told
        assert page.locator("script").count() == 2
        assert page.locator("#pages button").count() > 1


@attack(
    "what the form's policy lets through",
    "form",
    gives="a script element put into the page by hand",
    through="the page itself",
    into="the form, in Chromium",
    stopped="the form's Content-Security-Policy",
    seen="Chromium refuses to run it, or to ask for anything",
    slow=True,
)
def policy(scene: Scene) -> None:
    """Were markup to get in by a fault of ours, the policy would still stop it."""
    with opened(scene, render_form(room(is_hostile=False).own)) as (page, said):
        page.evaluate(
            "document.body.insertAdjacentHTML('beforeend', '<img src=x onerror=window.hit=1>');"
            "const s = document.createElement('script'); s.textContent = 'window.hit = 2'; document.body.append(s);"
            "fetch('http://127.0.0.1:9/').catch(() => 0);"
        )
        page.wait_for_timeout(100)
        assert page.evaluate("window.hit === undefined")
        refused = [one for one in said if "Content Security Policy" in one]
        assert len(refused) >= 3


MARKUP = (every_field, *PAGES, in_the_style, in_chromium, in_the_form, rules_in_the_form, policy)
