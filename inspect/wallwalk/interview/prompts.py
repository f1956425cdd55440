"""What the interview says: where it stands, a question with what may be written, a list with its entries."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence

from wallwalk.asking import asks
from wallwalk.errors import quote
from wallwalk.interview.draft import Data, entries_at, value_at
from wallwalk.interview.spots import Spot, is_known
from wallwalk.languages import in_language
from wallwalk.question_words import show_choice_to_write, show_form
from wallwalk.questions import Question, Questions
from wallwalk.rules import Rule, RuleSet, checks
from wallwalk.words import Words
from wallwalk.yamlio import Node

WIDTH = 79
_REASONS = 2
_ENTRY_WIDTH = 74


def lines_of(text: str, indent: int = 0, hanging: int | None = None) -> list[str]:
    """`text` in lines of at most 79 columns."""
    further = " " * (indent if hanging is None else hanging)
    return textwrap.wrap(text, WIDTH, initial_indent=" " * indent, subsequent_indent=further, break_on_hyphens=False)


def show_refusal(typed: str, advice: str, words: Words) -> tuple[str, ...]:
    """Why what was typed will not do."""
    return tuple(lines_of(words.say("{typed} will not do: {advice}", typed=quote(typed), advice=advice), 2, 4))


def show_heading(spot: Spot, data: Data, words: Words) -> list[str]:
    """Whose theme begins."""
    name = value_at(dict(data), (*spot.base, "name")) if spot.base else None
    whom = name if isinstance(name, str) else words.say("The space")
    title = textwrap.shorten(f"{whom}: {spot.section}", WIDTH, placeholder=" ...")
    return ["", title, "-" * len(title)]


def show_group(spot: Spot | None, rule_set: RuleSet) -> str:
    """What the survey calls the group that a question stands in; empty where it stands in none."""
    if spot is None or spot.question is None or spot.entry is not None or "." not in spot.question.path:
        return ""
    part = rule_set.questions.schema["properties"]
    part = part[str(spot.base[0])]["items"]["properties"] if spot.base else part
    title: str = in_language(part[spot.question.path.partition(".")[0]], rule_set.language)["title"]
    return f"[{title}]"


def show_question(spot: Spot, offered: Sequence[str], rule_set: RuleSet, data: Data, words: Words) -> list[str]:
    """A question, its help, what may be written, and what stands there already; `offered` may be given by number."""
    question = spot.question
    if question is None:
        raise TypeError("a list is shown by show_list")
    numbered = [show_choice_to_write(word, rule_set.questions) for word in question.choices] or [
        words.say("{zone} (this machine's own)", zone=name) if question.kind == "zone" else name for name in offered
    ]
    asked = words.say("{question} (y/n)", question=question.title) if question.kind == "truth" else question.title
    lines = ["", *lines_of(asked), *lines_of(question.help, 2)]
    if numbered:
        lines += _numbered(numbered)
    elif question.kind != "truth":
        lines += lines_of(show_form(question, rule_set.questions, words), 2)
    if question.kind == "moment":
        lines += lines_of(words.say("or: now, today 8:30, yesterday 14:10"), 2)
    stands = value_at(dict(data), spot.path)
    if is_known(stands):
        lines += lines_of(words.say("Now: {answer} (Enter keeps it)", answer=show_answer(stands, words)), 2)
    return lines


def _numbered(choices: Sequence[str]) -> list[str]:
    line, lines = "", []
    for i, choice in enumerate(choices, 1):
        one = f"{i} {choice}"
        if line and len(line) + len(one) + 5 > WIDTH:
            lines.append(f"  {line}")
            line = ""
        line = f"{line}   {one}" if line else one
    return [*lines, f"  {line}"]


def show_answer(node: Node, words: Words) -> str:
    """An answer as people say it."""
    if isinstance(node, bool):
        return words.say("yes") if node else words.say("no")
    if isinstance(node, dict):
        return ", ".join(show_answer(part, words) for part in node.values() if is_known(part))
    return "" if node is None or isinstance(node, list) else node


def show_list(spot: Spot, data: Data, words: Words) -> list[str]:
    """A list, what is in it, and how to go on."""
    entries = entries_at(data, spot.roll)
    many = words.say_many(
        "{list}: {count} written down.", "{list}: {count} written down.", len(entries), list=spot.asked.title
    )
    lines = ["", *lines_of(many)]
    for i, entry in enumerate(entries, 1):
        told = value_at(entry, ("name",)) if is_of_subjects(spot) else entry
        lines.append("  " + textwrap.shorten(f"{i} {show_answer(told, words)}", _ENTRY_WIDTH, placeholder=" ..."))
    return [*lines, *lines_of("; ".join(_how_to_go_on(spot, len(entries), words)), 2)]


def is_of_subjects(spot: Spot) -> bool:
    """Whether each entry of the list is judged by itself, as each wall is."""
    return not spot.asked.entry[0].roll


def _how_to_go_on(spot: Spot, count: int, words: Words) -> list[str]:
    """What may be typed at a list."""
    ways = [words.say("y: add one")]
    if is_of_subjects(spot) and count:
        ways += [words.say("1: go to number 1"), words.say("copy 1: add one like number 1")]
    elif count:
        ways.append(words.say("1: go through number 1 again"))
    if not spot.asked.counted_by:
        return [*ways, words.say("n: no more")]
    ways.append(words.say("n: that is all of them") if count else words.say("n: there are none"))
    return [*ways, words.say("n {count}: no more here, but {count} in all", count=count + 1)]


def show_reasons(spot: Spot, rule_set: RuleSet, words: Words) -> list[str]:
    """Why something is asked: its help, and what goes wrong by the rules that need it."""
    lines = lines_of(spot.question.help, 2) if spot.question is not None and spot.question.help else []
    if spot.question is not None:
        form = show_form(spot.question, rule_set.questions, words)
        lines += lines_of(words.say("Write {form}.", form=form), 2) if form else []
    rules = tuple(_rules_asking(spot, rule_set))
    for rule in rules[:_REASONS]:
        lines += lines_of(f"{rule.title}. {rule.why}", 2, 4)
    if len(rules) > _REASONS:
        more = len(rules) - _REASONS
        lines += lines_of(words.say_many("{count} more check needs it.", "{count} more checks need it.", more), 2)
    if not rules:
        lines += lines_of(words.say("No check needs it; it is written down for the record."), 2)
    return lines


def _rules_asking(spot: Spot, rule_set: RuleSet) -> Iterator[Rule]:
    key = (spot.asked.about, spot.asked.path)
    for rule in rule_set.rules.values():
        facts = {c.fact for condition in (rule.require, rule.applies_when) for c in checks(condition)}
        if any(key in asks(rule_set, fact) for fact in facts):
            yield rule


def offered_names(question: Question, data: Data, zone: str) -> tuple[str, ...]:
    """What may be given by its number though it is no choice: the names of a list, this machine's time zone."""
    if question.kind == "zone":
        return (zone,) if zone else ()
    names = (value_at(entry, ("name",)) for entry in entries_at(data, (question.refers_to,)))
    return tuple(name for name in names if isinstance(name, str))


def show_copied(copied: Iterable[tuple[str, Node]], words: Words, questions: Questions) -> list[str]:
    """What is copied, an answer a line."""
    called = questions.words
    return [
        line
        for title, node in copied
        for line in lines_of(
            f"{title} {called.get(node, node) if isinstance(node, str) else show_answer(node, words)}", 2, 4
        )
    ]
