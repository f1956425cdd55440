"""The manual of a rule set: all of it said, in the terminal and as a page, the same bytes each time."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from functools import cache
from html.parser import HTMLParser
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from surveys import ROOT, example, rigid_sheet
from test_cli import wallwalk
from test_conditions import BAD, sound
from wallwalk.checking import check, load_rule_set
from wallwalk.limits import Limit
from wallwalk.report.changes import newest_first
from wallwalk.report.html import render_html
from wallwalk.report.manual import render_rule_set
from wallwalk.report.manual_page import render_manual_html, render_manual_pdf
from wallwalk.report.manual_view import lay_out_manual
from wallwalk.report.terminal import render_terminal
from wallwalk.rules import RuleSet

OVERLAYS = tuple(
    ROOT / "examples" / "overlays" / f"{name}.yaml" for name in ("orrelane-2026", "quillen-ferry-specification")
)


@cache
def with_overlays() -> RuleSet:
    """The rule set for rigid sheet with two overlays: a limit loosened twice, a rule dropped, one added."""
    return load_rule_set("rigid-sheet", OVERLAYS)


class Page(HTMLParser):
    """What a page holds: its words, its ids, where its links lead, its tags."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.words: list[str] = []
        self.ids: list[str] = []
        self.links: list[str] = []
        self.tags: set[str] = set()
        self.fetched: list[str] = []
        self._style = False
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note the tag, its id, its link, and anything that a browser would fetch."""
        told = dict(attrs)
        self.tags.add(tag)
        self._style = tag == "style"
        self.ids += [told["id"] or ""] if "id" in told else []
        self.links += [told["href"] or ""] if tag == "a" else []
        self.fetched += [
            key for key in told if key in {"src", "srcset", "style", "onclick"} or tag in {"link", "script"}
        ]

    def handle_endtag(self, tag: str) -> None:
        """Leave the style sheet."""
        self._style = self._style and tag != "style"

    def handle_data(self, data: str) -> None:
        """Keep the words of the page."""
        if not self._style:
            self.words.append(data)

    @property
    def text(self) -> str:
        """The words of the page, with single spaces."""
        return " ".join(" ".join(self.words).split())


def flat(text: str) -> str:
    """The text with single spaces."""
    return " ".join(text.split())


def test_the_manual_of_a_small_rule_set_is_told_whole(tmp_path: Path) -> None:
    """Line for line: conditions in words, whose they are, limits with basis, the trade's conditions, changes."""
    done = wallwalk("rules", "show", str(sound(tmp_path)))
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == (BAD / "conditions" / "sound" / "manual.txt").read_text(encoding="utf-8")


@pytest.mark.slow
@pytest.mark.parametrize("rule_set", [rigid_sheet, with_overlays], ids=["bare", "with overlays"])
def test_terminal_and_page_say_everything(rule_set: object) -> None:
    """Every text of every rule, every limit with its step and basis, every condition of the trade, every change."""
    assert callable(rule_set)
    read = rule_set()
    terminal, page = flat(render_rule_set(read)), Page(render_manual_html(read)).text
    texts = [read.title, read.made_for, *read.themes.values()]
    for rule in read.rules.values():
        texts += [rule.name, rule.title, rule.put_right, rule.why, rule.basis, read.parties[rule.by]]
    for limit in read.limits.values():
        texts += [limit.name, limit.written, limit.basis, *limit.history]
        texts += [limit.step_written] if isinstance(limit, Limit) else []
    for change in read.changes:
        texts += [change.date, flat(change.what), flat(change.why), change.basis]
    assert read.conditions is not None
    texts += [row.condition for section in read.conditions.sections for row in section.rows]
    texts += [row.left for section in read.conditions.sections for row in section.rows if row.left]
    texts += [*read.conditions.own.values(), *(section.title for section in read.conditions.sections)]
    assert len(texts) > 900
    assert [text for text in texts if text not in terminal] == []
    assert [text for text in texts if text not in page] == []


def test_conditions_are_told_as_they_are_joined() -> None:
    """A nested condition, in words, with what joins its parts."""
    rules = {text.rule.name: text for theme in lay_out_manual(rigid_sheet()).themes for text in theme.rules}
    lead = rules["old-paint-not-disturbed"].requires
    assert [list(one.lines()) for one in lead] == [
        [(0, "One of these:"), (1, "Year built: at least 1978"), (1, "Paint to be disturbed: no")]
    ]
    stated = rules["walk-stated"].requires
    assert [one.words for one in stated] == [
        "Walk at: stated", "Walk by: stated", "Walk role: stated", "Project name: stated", "Space name: stated",
    ]  # fmt: skip
    assert [one.words for one in rules["primer-is-water-based"].requires] == ["Primer kind: water-based acrylic"]
    assert [limit.name for limit in rules["growth-fits-at-base"].limits] == [
        "growth_share_max", "sheet_expansion_low", "sheet_expansion_high", "air_temperature_max",
    ]  # fmt: skip


def test_every_link_leads_somewhere_and_every_rule_is_led_to() -> None:
    """Contents, parties, limits and the trade's table link to what is on the page; no name stands twice."""
    for rule_set in (rigid_sheet(), with_overlays()):
        page = Page(render_manual_html(rule_set))
        assert len(page.ids) == len(set(page.ids))
        assert {link for link in page.links if link.removeprefix("#") not in page.ids} == set()
        assert {f"#{name}" for name in page.ids if name.startswith(("rule-", "limit-", "theme-"))} <= set(page.links)
        assert len(page.links) > 500


def test_the_page_needs_nothing_but_itself() -> None:
    """No script, nothing fetched, one style sheet that the page's own policy names."""
    html = render_manual_html(rigid_sheet())
    page = Page(html)
    assert page.fetched == []
    assert page.tags & {"script", "img", "link", "iframe", "object", "form"} == set()
    assert "default-src 'none'; style-src 'sha256-" in html
    assert re.findall(r"url\(|@import|https?://", html) == []
    assert '<meta name="viewport" content="width=device-width, initial-scale=1">' in html
    assert "{{" not in html


def test_what_an_overlay_relaxed_stands_first() -> None:
    """Both values in the page and in the terminal; the dropped rule is named where the trade asks for it."""
    terminal, page = render_rule_set(with_overlays()), Page(render_manual_html(with_overlays())).text
    assert "LOOSER: Least time the primer dries: 24 h, now 12 h" in terminal
    assert terminal.index("LOOSER: ") < terminal.index("MAY BE LOOSER: ") < terminal.index("TIGHTER: ")
    assert page.index("LOOSER Least time the primer dries 24 h 12 h") < page.index(
        "tighter Rule added: Air was read in as many places"
    )
    assert "humidity-usual (dropped by an overlay)" in flat(terminal)
    assert "humidity-usual (dropped by an overlay)" in page
    assert "Before: 24 h (common practice), until Orrelane wall sheet system" in flat(terminal)
    assert "air-read-in-three-places" in page


def test_texts_of_a_rule_set_stay_texts(tmp_path: Path) -> None:
    """A title with signs of HTML in it is shown as it is written."""
    folder = sound(tmp_path)
    room = folder / "room.yaml"
    text = room.read_text(encoding="utf-8")
    room.write_text(text.replace("title: The air keeps its temperature", "title: 'Air <b>&amp;</b> <script>'"))
    html = render_manual_html(load_rule_set(str(folder)))
    assert "Air &lt;b&gt;&amp;amp;&lt;/b&gt; &lt;script&gt;" in html
    assert "<script>" not in html


def test_changes_are_told_newest_first() -> None:
    """By date; of one day, the one written last stands first."""
    written = ("2026-01-05 a", "2026-03-01 b", "2026-03-01 c", "2026-02-01 d")
    assert newest_first(written, lambda change: change[:10]) == (
        "2026-03-01 c",
        "2026-03-01 b",
        "2026-02-01 d",
        "2026-01-05 a",
    )
    assert [c.what[:5] for c in lay_out_manual(rigid_sheet()).changes] == [
        change.what[:5] for change in reversed(rigid_sheet().changes)
    ]


def test_reports_tell_the_changes_newest_first() -> None:
    """The page of a report lists them all, after what was checked; the terminal says when the last one was."""
    record = check(example("110-link-corridor"), rigid_sheet())
    page = Page(render_html(record)).text
    listed = page[page.index("Changes to the rule set, newest first") :]
    places = [listed.index(flat(change.what)) for change in reversed(rigid_sheet().changes)]
    assert places == sorted(places)
    assert len(places) > 2
    count = len(rigid_sheet().changes)
    said = f"Rules last changed {rigid_sheet().revision} ({count} changes, listed in the HTML and PDF reports)."
    assert said in flat(render_terminal(record))


@pytest.mark.slow
def test_the_same_bytes_come_out_whatever_the_hash_seed() -> None:
    """In two other processes, byte for byte."""
    script = (
        "import sys; from wallwalk.checking import load_rule_set\n"
        "from wallwalk.report.manual_page import render_manual_html\n"
        "sys.stdout.buffer.write(render_manual_html(load_rule_set('rigid-sheet')).encode())"
    )
    want = render_manual_html(rigid_sheet()).encode()
    for seed in ("1", "77"):
        env = {**os.environ, "PYTHONHASHSEED": seed, "TZ": "Asia/Tokyo"}
        assert subprocess.run([sys.executable, "-c", script], capture_output=True, env=env, check=True).stdout == want


@pytest.mark.slow
def test_the_manual_prints(tmp_path: Path) -> None:
    """As a PDF too, on either paper, the same bytes twice."""
    rule_set = load_rule_set(str(sound(tmp_path)))
    first = render_manual_pdf(rule_set)
    assert first[:5] == b"%PDF-"
    assert render_manual_pdf(rule_set) == first
    assert render_manual_pdf(rule_set, page_size="A4") != first


@pytest.mark.slow
def test_the_command_writes_what_it_is_asked_for(tmp_path: Path) -> None:
    """A page instead of the text; another suffix is a usage error; a folder that is not there is one message."""
    target = tmp_path / "manual.html"
    done = wallwalk("rules", "show", "rigid-sheet", "-o", str(target))
    assert (done.returncode, done.stdout, done.stderr) == (0, f"Wrote {target}\n", "")
    assert target.read_text(encoding="utf-8") == render_manual_html(rigid_sheet())
    done = wallwalk("rules", "show", "-o", "manual.txt")
    assert (done.returncode, done.stdout) == (2, "")
    assert '"manual.txt" names no form of manual; end it in .html, .pdf' in done.stderr
    done = wallwalk("rules", "show", "-o", str(tmp_path / "nowhere" / "m.html"))
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        f"{tmp_path / 'nowhere' / 'm.html'}: cannot be written (No such file or directory); "
        "give a folder that is there and that you may write to\n"
    )


def test_the_manual_fits_80_columns() -> None:
    """Every line of it, with overlays too."""
    for rule_set in (rigid_sheet(), with_overlays()):
        assert max(map(len, render_rule_set(rule_set).splitlines())) <= 80


@pytest.mark.slow
def test_no_line_of_the_pdf_breaks_after_its_first_word() -> None:
    """A reason of two lines fills the first; with the space outside before what follows it, some broke at once."""
    rule_set = load_rule_set("pasted-wallcovering")
    reasons = [rule.why.split() for rule in rule_set.rules.values()]
    pages = PdfReader(BytesIO(render_manual_pdf(rule_set))).pages
    lines = [line.strip() for page in pages for line in page.extract_text().splitlines()]
    after_why = [line for line in lines if line.startswith("Why ")]
    broken = {f"Why {words[0]}" for words in reasons}
    assert len(after_why) > 60
    assert [line for line in after_why if line in broken] == []
