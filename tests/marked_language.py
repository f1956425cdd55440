"""A language made up for tests: every text that is translated stands between ⟦ and ⟧, so what is left out shows.

The fixed words come from a `Translations` object that marks them, rules and questions from a rule set whose texts are
marked in memory. Places for parts stay outside the marks: `at least {limit}` becomes `⟦at least ⟧{limit}`.
"""

from __future__ import annotations

import gettext
import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from html.parser import HTMLParser
from typing import Any

import pytest

import wallwalk.words
from wallwalk.questions import Question
from wallwalk.rules import Expression, FactRule, Rule, RuleSet
from wallwalk.survey import Survey
from wallwalk.trade import TradeRow, TradeTable
from wallwalk.units import UNITS

MARKED = "xx"
_PLACE = re.compile(r"(\{\w+\}|%\(\w+\)s)")
_DAYS = "lun mar mié jue vie sáb dom"
_MONTHS = "ene feb mar abr may jun jul ago sept oct nov dic"
_UNITS = "|".join(
    re.escape(u) for u in sorted({u for kind in UNITS.values() for u in kind if u}, key=len, reverse=True)
)
_MARKED = (
    r'⟦ is "⟧[^⟦⟧]*⟦"⟧',  # what the survey writes, quoted as it stands there
    r"\(⟧walls⟦\)",  # where its list of walls stands
    r"⟦ \[⟧[a-z][a-z0-9_]*⟦\]: ⟧",  # the name of a limit, by which it is edited
    r"⟦ was read; this limit is on the scale ⟧(?:gypsum|%MC|%WME)",  # the unit of one
    r"⟦[^⟦⟧]*⟧",
    r"\b[\w-]+\.(?:yaml|csv|jpg)\b",
)
_DATA = (
    r"\b[0-9a-f]{12,64}\b",
    r"SHA-256",
    rf"\b(?:{_DAYS.replace(' ', '|')}|{_MONTHS.replace(' ', '|')})\b",
    rf"[0-9][0-9./,–-]*(?:\s*±\s*[0-9][0-9./]*)?[ ]*(?:{_UNITS})(?!\w)",
    rf", (?:{_UNITS}) ",  # of the levels of a chart
    r"\bwallwalk [0-9.]+\b",
)
_PATH = r"[a-z_]+(?:\[[0-9…]+\])?(?:\.[a-z_]+(?:\[[0-9…]+\])?)+|\[[a-z][a-z0-9]*(?:_[a-z0-9]+)+\]"
"""The path of a question, or in brackets the name of a limit, by which a survey or a rule set is edited."""


def mark(text: str) -> str:
    """`text` with marks around all but its places for parts and its outer space."""
    return "".join(p if not p.strip() or _PLACE.fullmatch(p) else f"⟦{p}⟧" for p in _PLACE.split(text))


class Marking(gettext.NullTranslations):
    """Marks every fixed word but those that are `left_out`."""

    def __init__(self, left_out: Collection[str] = ()) -> None:
        super().__init__()
        self._left_out = left_out

    def gettext(self, message: str) -> str:
        """The text, marked."""
        return message if message in self._left_out else mark(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """The one or the many, marked."""
        return self.gettext(msgid1 if n == 1 else msgid2)

    def pgettext(self, context: str, message: str) -> str:  # noqa: ARG002 - the shape of gettext
        """The text, marked."""
        return self.gettext(message)


def speak_marked(monkeypatch: pytest.MonkeyPatch, left_out: Collection[str] = ()) -> None:
    """Make `words_in` know the marked language until the test ends; its dates and numbers are Spanish."""
    monkeypatch.setattr(wallwalk.words, "_LOCALES", {MARKED: "es_US"})
    monkeypatch.setattr(wallwalk.words, "read_translations", lambda _: Marking(left_out))
    wallwalk.words.words_in.cache_clear()
    english = wallwalk.words.IN_ENGLISH
    known = {english.language: english, MARKED: wallwalk.words.words_in(MARKED)}
    assert known[MARKED].say("yes") == ("yes" if "yes" in left_out else "⟦yes⟧")


def marked_rule_set(rule_set: RuleSet) -> RuleSet:
    """`rule_set` in the marked language."""
    asked = rule_set.questions
    questions = {at: _question(q) for at, q in asked.questions.items()}
    rolls = {at: replace(roll, title=mark(roll.title)) for at, roll in asked.rolls.items()}
    groups = {at: mark(title) for at, title in asked.groups.items()}
    choices = {choice for q in questions.values() for choice in q.choices}
    return replace(
        rule_set,
        language=MARKED,
        title=mark(rule_set.title),
        made_for=mark(rule_set.made_for),
        parties={name: mark(title) for name, title in rule_set.parties.items()},
        themes={name: mark(title) for name, title in rule_set.themes.items()},
        changes=tuple(replace(c, what=mark(c.what), why=mark(c.why)) for c in rule_set.changes),
        limits={name: replace(limit, title=mark(limit.title)) for name, limit in rule_set.limits.items()},
        facts={name: _fact(fact) for name, fact in rule_set.facts.items()},
        conditions=rule_set.conditions and _table(rule_set.conditions),
        materials=tuple(replace(row, title=mark(row.title)) for row in rule_set.materials),
        rules={name: _rule(rule) for name, rule in rule_set.rules.items()},
        questions=replace(
            asked,
            schema=_schema(asked.schema),
            questions=questions,
            rolls=rolls,
            words={c: mark(c) for c in choices},
            groups=groups,
        ),
    )


def _schema(part: Mapping[str, Any]) -> Mapping[str, Any]:
    """The survey's schema with its own texts in the marked language too, as it has them in Spanish."""
    inside = {key: _schema(node) if isinstance(node, dict) else node for key, node in part.items()}
    told = {key: mark(part[key]) for key in ("title", "description") if isinstance(part.get(key), str)}
    return {**inside, MARKED: told} if told else inside


def _table(table: TradeTable) -> TradeTable:
    def row(one: TradeRow) -> TradeRow:
        return replace(one, condition=mark(one.condition), left=one.left and mark(one.left))

    sections = tuple(replace(s, title=mark(s.title), rows=tuple(map(row, s.rows))) for s in table.sections)
    return replace(table, title=mark(table.title), sections=sections, own={n: mark(w) for n, w in table.own.items()})


def _question(question: Question) -> Question:
    return replace(question, title=mark(question.title), help=mark(question.help))


def _fact(fact: FactRule) -> FactRule:
    return replace(fact, title=mark(fact.title), expression=_expression(fact.expression))


def _expression(expression: Expression) -> Expression:
    question = expression.question and _question(expression.question)
    return replace(expression, question=question, operands=tuple(map(_expression, expression.operands)))


def _rule(rule: Rule) -> Rule:
    title, hold, put_right, why = map(mark, (rule.title, rule.hold, rule.put_right, rule.why))
    return replace(rule, title=title, hold=hold, put_right=put_right, why=why)


def unmarked(text: str, own: Collection[str] = ()) -> set[str]:
    """The words of `text` outside all marks that are none of its author's `own`, no number, name or digest."""
    left = " ".join(text.split())
    for form in (*_MARKED, _PATH):
        left = re.sub(form, " ", left)
    left = " ".join(left.split())
    for said in sorted(own, key=len, reverse=True):
        left = re.sub(rf"(?<!\w){re.escape(' '.join(said.split()))}(?!\w)", " ", left)
    for form in _DATA:
        left = re.sub(form, " ", left)
    return set(re.findall(r"[^\W\d_]+", left))


def own_words(survey: Survey, rule_set: RuleSet) -> set[str]:
    """What a report shows as its author wrote it: names and notes of the survey, its quantities, sources, overlays."""
    own = {text for subject in (survey.space, *survey.others) for text in _written(survey, subject.about)}
    own |= {subject.name for subject in survey.others if subject.listed}
    own |= {survey.file, rule_set.name, "UTC", *rule_set.rules}
    asked = rule_set.questions
    own |= {path for _, path in (*asked.questions, *asked.rolls) if "_" in path and "." not in path} - {
        *rule_set.limits
    }
    sources = [part.basis for part in (*rule_set.limits.values(), *rule_set.rules.values(), *rule_set.changes)]
    own |= {source for basis in sources if (source := basis.partition(": ")[2])}
    own |= {log.file for log in survey.climate.logs}
    own |= {name for log in survey.climate.logs for name in log.columns.values()}
    return own - {""}


def _written(survey: Survey, about: str) -> Iterator[str]:
    for subject in (survey.space, *survey.others):
        entries = [(roll, entry) for roll, entries in subject.rolls.items() for entry in entries.entries]
        for roll, answers in (("", subject.answers), *entries):
            for path, answer in answers.items():
                question = survey.questions.find(about, f"{roll}.{path}" if roll else path)
                written = answer.value.written
                if question is not None and question.kind not in {"choice", "truth"} and unmarked(written):
                    yield written


class Shown(HTMLParser):
    """Everything that a page shows or reads out, in order."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.parts: list[str] = []
        self.language = ""
        self._hidden = self._code = False
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Takes what is read out, and the language of the page; what stands in code is an identifier, in brackets."""
        told = {name: value or "" for name, value in attrs}
        self._hidden = tag == "style"
        self._code = tag == "code"
        self.language = told["lang"] if tag == "html" else self.language
        self.parts += [told[name] for name in ("aria-label", "alt") if name in told]
        self.parts += [told["content"]] if told.get("name") == "description" else []

    def handle_endtag(self, tag: str) -> None:
        """What follows a style sheet is shown again, what follows code is no identifier."""
        self._hidden = self._hidden and tag != "style"
        self._code = self._code and tag != "code"

    def handle_data(self, data: str) -> None:
        """Takes a text."""
        if not self._hidden:
            self.parts.append(f"[{data}]" if self._code else data)

    @property
    def text(self) -> str:
        """All of it as one text."""
        return " ".join(self.parts)
