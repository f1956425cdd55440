"""What `wallwalk rules test` prints: each failure with its reasons, or a table of what was tried."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from wallwalk.overlay_reader import Overlay
from wallwalk.report.terminal import wrap
from wallwalk.rules import RuleSet
from wallwalk.trials import Failure

_TITLE = 52
"""The most columns a title takes in the table; a longer one goes over several lines."""

_LABEL = 10
"""How many columns the labels before the lines of a failure take."""


def render_failures(name: str, failures: tuple[Failure, ...]) -> str:
    """Every failure, with what was expected, what came, why and what to do next; then how many there are."""
    lines: list[str] = []
    for failure in failures:
        lines += [*wrap(f"{failure.file}:{failure.line}: {failure.what}", 0, 2), *_said(failure), ""]
    return "\n".join([*lines, f"{name}: {len(failures)} to put right"]) + "\n"


def _said(failure: Failure) -> Iterator[str]:
    before = ""
    for label, text in failure.lines:
        shown = "" if label == before else label
        if text.startswith("- "):  # to be copied: on one line, however long
            yield f"{'':{2 + _LABEL}}{text}"
        else:
            first, *rest = wrap(f"{'':{2 + _LABEL}}{text}", 0, 2 + _LABEL + 2)
            yield f"  {shown:{_LABEL}}{first[2 + _LABEL :]}"
            yield from rest
        before = label


@dataclass(frozen=True, slots=True)
class Count:
    """How many rules, limits and examples there are under one title."""

    title: str
    rules: int
    limits: int
    examples: int


def render_success(rule_set: RuleSet, overlays: Iterable[Overlay] = ()) -> str:
    """That everything came out, and by theme how many rules, limits and examples that was."""
    counts = [*_counts(rule_set)]
    total = Count(
        "in all", sum(c.rules for c in counts), sum(c.limits for c in counts), sum(c.examples for c in counts)
    )
    return "\n".join([*_headline(rule_set, tuple(overlays)), "", *_table([*counts, total])]) + "\n"


def _headline(rule_set: RuleSet, overlays: tuple[Overlay, ...]) -> Iterator[str]:
    if not overlays:
        yield f"{rule_set.name}: every example comes out as it says, and every limit is pinned"
        return
    yield from wrap(
        f"{rule_set.name} with what is laid over it: every flip is as listed, and what was added is pinned", 0, 2
    )
    for overlay in overlays:
        parts = (
            (len(overlay.changed), "value", "changed"),
            (len(overlay.flips), "example", "comes out otherwise"),
            (len(overlay.rules), "rule", "added"),
            (len(overlay.dropped), "rule", "dropped"),
        )
        yield from wrap(f"{overlay.title}: {', '.join(_some(*part) for part in parts if part[0])}", 2, 4)


def _some(count: int, what: str, done: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'} {done if count == 1 else done.replace('comes', 'come')}"


def _table(counts: list[Count]) -> Iterator[str]:
    width = min(_TITLE, max(len(count.title) for count in counts))
    yield f"{'':{width}}  {'rules':>6}  {'limits':>6}  {'examples':>8}"
    for count in counts:
        *first, last = textwrap.wrap(count.title, width)
        yield from first
        yield f"{last:{width}}  {count.rules:>6}  {count.limits:>6}  {count.examples:>8}"


def _counts(rule_set: RuleSet) -> Iterator[Count]:
    """By theme: its rules, the limits declared in its file, the examples of its rules and facts."""
    themes = {rule.file: rule.theme for rule in rule_set.rules.values()}
    for theme, title in rule_set.themes.items():
        rules = [rule for rule in rule_set.rules.values() if rule.theme == theme]
        files = {file for file, of in themes.items() if of == theme}
        limits = [name for name in rule_set.limits if rule_set.places.get(name, ("", 0))[0] in files]
        examples = sum(len(rule.examples) for rule in rules)
        examples += sum(len(fact.examples) for fact in rule_set.facts.values() if fact.file in files)
        yield Count(title, len(rules), len(limits), examples)
