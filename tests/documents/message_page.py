"""Writes examples/messages.md, every message that an input can meet with: python tests/documents/message_page.py

Its first half is what `tests/bad/` holds, whole; its second half is read off the program, so that none is left out.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

ROOT = Path(__file__).parent.parent.parent
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "documents")]

from said_in_code import Said, messages  # noqa: E402 - found once its folder is looked in

PAGE = ROOT / "examples/messages.md"
_BAD = ROOT / "tests" / "bad"
_HEAD = """# Messages

What wallwalk says of an input that it cannot use: the file, its line, the place in it, what was found there, and behind
the semicolon what to write or do instead. Exit code 2 goes with each. This page is written by
`python tests/documents/message_page.py`, and a test says whether it is current.

"""
_WHOLE = """## Whole messages

Each of these is one mistake and the message it gets, to the letter. The name of the file is that of the mistake.
"""
_FIXED = """## Every message by its fixed words

These are read off the program, module by module. What differs from case to case stands as …; a row without a second
column says all in the first. `wallwalk rules show` says what holds the work, and what to do then, which is no message.
"""
_KINDS = (
    ("Surveys", "surveys.expected.yaml"),
    ("Rule sets", "rule_sets"),
    ("Overlays", "overlays"),
    ("What the trade asks for (conditions.yaml)", "conditions"),
)
_READERS = ("rule_reader", "section_reader", "limit_reader", "fact_reader", "condition_reader", "trade_reader")
_MEASURES = ("measure", "measures", "log_measures", "limit_measures", "material_measures")
_FILINGS = ("filed_json", "filed_pdf", "filed_reader", "filing", "attaching", "signing", "verifying", "detached")
_COMMANDS = ("commands", "blanks", "many", "outputs", "starting", "stopping")
_PDF = ("report/pdf", "report/pdf_letters")
_THEMES = {
    "Files, YAML and the shape of what is in it": ("yamlio", "syntax", "shape", "survey_files", "inputs", "checking"),
    "Answers of a survey": ("survey_reader", "answer_reader", "quantities", "moments"),
    "Climate logs": ("climate_reader", "log_cells", "log_clock", "log_entry", "log_rows", "log_table"),
    "Photos": ("photo_reader", "picture", "picture_header"),
    "Rule sets": (*_READERS, "fact_proving", "proving", *_MEASURES, "new_rule_set", "resources", "rules"),
    "Overlays": ("overlay_reader", "overlaying"),
    "Lists of spaces, and boards": ("spaces_reader", "cli/board_reading"),
    "Filed records": (
        *_FILINGS,
        *(f"cli/{name}" for name in ("compared", "signed", "rechecking", "verified", "keyed")),
    ),
    "The interview": ("interview/answering", "interview/typed", "interview/listing", "cli/walked", "cli/walking"),
    "What is typed, and files to be written": (
        *(f"cli/{name}" for name in _COMMANDS),
        "writing",
        "report/pdf",
        "report/pdf_letters",
    ),
}


def render_page() -> str:
    """The whole page, ending in a newline."""
    return "\n".join([_HEAD + _WHOLE, *_whole_messages(), _FIXED, *_fixed_messages()]).rstrip() + "\n"


def whole_messages() -> dict[str, dict[str, str]]:
    """By kind of file and name of the mistake: the message, whole."""
    found = {}
    for title, name in _KINDS:
        if name.endswith(".yaml"):
            found[title] = dict(_read(_BAD / name))
        else:
            paths = sorted((_BAD / name).glob("*.yaml"))
            found[title] = {path.stem: str(_read(path)["says"]) for path in paths}
    return found


def _read(path: Path) -> dict[str, Any]:
    read: dict[str, Any] = yaml.safe_load(path.read_text(encoding="utf-8"))
    return read


def _whole_messages() -> Iterator[str]:
    for title, said in whole_messages().items():
        yield f"### {title}\n\n```text"
        yield from (message.rstrip() for message in said.values())
        yield "```\n"


def _fixed_messages() -> Iterator[str]:
    by_module = dict[str, list[Said]]()
    for said in messages():
        by_module.setdefault(said.module, []).append(said)
    for title, modules in _THEMES.items():
        rows = [_row(said) for module in modules for said in by_module.pop(module, [])]
        advice = sorted(set(_advice_of_schemas(title)))
        rows += [f"| (its shape) | {_shown([one])} |" for one in advice]
        yield f"### {title}\n\n| what was found | what to write or do |\n|---|---|"
        yield from dict.fromkeys(row for row in rows if row)
        yield ""
    if by_module:
        raise ValueError(f"no theme names the modules {', '.join(by_module)}")


def _row(said: Said) -> str:
    parts = [[text for text in part if re.search(r"\w{2}", text)] for part in said.parts]
    if not any(parts):
        return ""
    found, instead = (*parts, [])[:2] if len(parts) > 1 else _parted(parts[0])
    return f"| {_shown(found)} | {_shown(instead) if len(said.parts) > 1 or instead else ''} |"


def _parted(texts: list[str]) -> tuple[list[str], list[str]]:
    """A message of one text: advice alone, or a whole line with a semicolon."""
    if all(text.startswith("write ") for text in texts):
        return [], texts
    return texts, []


def _shown(texts: list[str]) -> str:
    return "<br>".join(_escaped(text) for text in texts) or "…"


def _escaped(text: str) -> str:
    return re.sub(r"([|<>*_`\[\]])", r"\\\1", text)


def _advice_of_schemas(title: str) -> Iterator[str]:
    """What the schemas themselves say to write, under the theme that reads by them."""
    files = {"Answers of a survey": ["survey"], "Rule sets": ["rules"], "Lists of spaces, and boards": ["spaces"]}
    for name in files.get(title, []):
        yield from _advice(_read(ROOT / "rules" / f"{name}.schema.yaml"))


def _advice(node: object) -> Iterator[str]:
    if isinstance(node, dict):
        if isinstance(node.get("advice"), str):
            yield node["advice"]
        for part in node.values():
            yield from _advice(part)
    elif isinstance(node, list):
        for part in node:
            yield from _advice(part)


if __name__ == "__main__":
    PAGE.write_text(render_page(), encoding="utf-8")
