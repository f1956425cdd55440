"""A survey to fill in, as YAML: every question in the order of the schema, each under a comment, no answer given.

An entry of a list stands behind # signs, so that an untouched file has no entries; taking the first # sign of each of
its lines away leaves an entry with its comments.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from typing import Any

from wallwalk.asking import Key, sections
from wallwalk.languages import in_language
from wallwalk.question_words import show_follows, show_form
from wallwalk.questions import SPACE, Questions
from wallwalk.resources import DEFAULT_RULE_SET, rule_set_names
from wallwalk.rules import RuleSet
from wallwalk.survey_schema import SCHEMA_FILE
from wallwalk.words import Words, words_in

WIDTH = 110
_OVERLAYS = "overlays"
"""The list that may not be left empty: another one gives another verdict, so its name is behind a # sign too."""

Schema = Mapping[str, Any]


def render_blank_survey(rule_set: RuleSet) -> str:
    """The YAML, ending in a newline; its comments are in the language of the rule set."""
    words = words_in(rule_set.language)
    blank = _Blank(rule_set, words)
    lines = [*_top(rule_set, words), *blank.properties(rule_set.questions.schema["properties"], SPACE, "", "")]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _top(rule_set: RuleSet, words: Words) -> Iterator[str]:
    schema = in_language(rule_set.questions.schema, rule_set.language)
    yield f"# yaml-language-server: $schema={SCHEMA_FILE}"
    yield from _comment(f"{schema['title']}. {schema['description']}")
    yield from _comment(
        words.say(
            "To be checked by: {title} ({name}), revision {revision}.",
            title=rule_set.title,
            name=rule_set.name,
            revision=rule_set.revision,
        )
    )
    yield "#"
    for line in (
        words.say(
            "Write each answer behind its colon. Leave empty what you do not know: it is then listed as not verified, "
            "and holds the work until someone finds out."
        ),
        words.say(
            "Each list shows one entry behind # signs. Copy it for each entry there is, and take away the first # "
            "sign of each of its lines."
        ),
        words.say("When you are done: {command}", command=f"wallwalk check FILE{_rules_told(rule_set)}"),
        words.say(
            "An editor completes and checks as you write, with this file beside: {command}",
            command=f"wallwalk blank -o {SCHEMA_FILE}",
        ),
    ):
        yield from _comment(line)


def _rules_told(rule_set: RuleSet) -> str:
    """What the command line has to be told: a survey can name an installed rule set only."""
    return "" if rule_set.name in rule_set_names() else f" --rules {rule_set.name}"


def _comment(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent="# ", subsequent_indent="#   ", break_on_hyphens=False)


class _Blank:
    """Draws the questions of one rule set."""

    def __init__(self, rule_set: RuleSet, words: Words) -> None:
        self.questions: Questions = rule_set.questions
        self.language = rule_set.language
        self.words = words
        named = rule_set.name != DEFAULT_RULE_SET and rule_set.name in rule_set_names()
        self.given = {"rules": rule_set.name} if named else {}
        self.asked = frozenset((*_asked(rule_set), *((SPACE, path) for path in (*self.given, f"{_OVERLAYS}.file"))))

    def properties(self, properties: Schema, about: str, prefix: str, roll: str) -> Iterator[str]:
        """The lines of a group, indented as if it stood alone; blank lines around the groups and lists in it."""
        apart = True
        for name, part in properties.items():
            lines = list(self._part(name, part, about, f"{prefix}{name}", roll))
            group = part["type"] in ("object", "array") and not roll
            if lines and (group or apart):
                yield ""
            apart = group if lines else apart
            yield from lines

    def _part(self, name: str, part: Schema, about: str, path: str, roll: str) -> Iterator[str]:
        if part["type"] == "array":
            yield from self._list(name, part, about, path)
        elif part["type"] == "object":
            inside = list(self.properties(part["properties"], about, f"{path}.", roll))
            if inside:
                yield from self._told(part, "")
                yield f"{name}:"
                yield from _indented(_tight(inside))
        elif (about, path) in self.asked:
            yield from self._question(name, part, about, path)

    def _question(self, name: str, part: Schema, about: str, path: str) -> Iterator[str]:
        question = self.questions.questions[about, path]
        form = show_form(question, self.questions, self.words)
        told = [f"[{form}]" if form else "", show_follows(question, self.questions, self.words)]
        yield from self._told(part, " ".join(filter(None, told)))
        yield f"{name}: {self.given.get(path, '')}"

    def _list(self, name: str, part: Schema, about: str, path: str) -> Iterator[str]:
        subject = part.get("subject", "")
        within = (subject, "", "") if subject else (about, f"{path}.", path)
        inside = list(self.properties(part["items"]["properties"], *within))
        if not inside:
            return
        yield from self._told(part, "")
        yield f"{'# ' if path == _OVERLAYS else ''}{name}:"
        yield from (f"# {line}".rstrip() for line in _indented(_as_entry(_tight(inside))))

    def _told(self, part: Schema, further: str) -> list[str]:
        told = in_language(part, self.language)
        title = told["title"] + ("" if told["title"].endswith("?") else ".")
        return _comment(" ".join(filter(None, (title, told.get("description", ""), further))))


def _asked(rule_set: RuleSet) -> Iterator[Key]:
    for section in sections(rule_set):
        for asked in section.asked:
            yield asked.about, asked.counted_by or asked.path
            yield from ((asked.about, question.path) for question in asked.entry)


def _tight(lines: list[str]) -> list[str]:
    """`lines` without a blank one at the head."""
    return lines[1:] if lines and not lines[0] else lines


def _indented(lines: list[str]) -> list[str]:
    return [f"  {line}" if line else "" for line in lines]


def _as_entry(lines: list[str]) -> list[str]:
    """The lines of a group as one entry of a list: its first key behind a dash."""
    first = next(i for i, line in enumerate(lines) if line and not line.startswith("#"))
    return [f"{'- ' if i == first else '  '}{line}" if line else "" for i, line in enumerate(lines)]
