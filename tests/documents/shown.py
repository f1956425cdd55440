"""What README and DEVELOPERS show: fenced blocks, code within a line, links, and the headings that links lead to."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from surveys import ROOT

DOCUMENTS = ("README.md", "DEVELOPERS.md")
_FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", re.DOTALL | re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Block:
    """A fenced block: its language, its text, and the document and line where it begins."""

    document: str
    line: int
    language: str
    text: str


def text_of(document: str) -> str:
    """A document as it is."""
    return (ROOT / document).read_text(encoding="utf-8")


def blocks(document: str) -> tuple[Block, ...]:
    """Every fenced block of a document, in its order."""
    text = text_of(document)
    return tuple(Block(document, text.count("\n", 0, m.start()) + 1, m[1], m[2]) for m in _FENCE.finditer(text))


def commands(block: Block) -> Iterator[str]:
    """Each command line of a `sh` block, a line that goes on joined to the next, without its comment."""
    for line in re.sub(r" *\\\n *", " ", block.text).splitlines():
        if line.strip():
            yield re.sub(r"\s+#.*", "", line).strip()


def codes(document: str) -> tuple[str, ...]:
    """Every piece of code within a line, outside of fenced blocks, in order, each once."""
    return tuple(dict.fromkeys(re.findall(r"`([^`\n]+)`", _FENCE.sub("", text_of(document)))))


def links(document: str) -> tuple[str, ...]:
    """The target of every link and picture."""
    return tuple(re.findall(r"\]\(([^)\s]+)\)", _FENCE.sub("", text_of(document))))


def anchors(document: str) -> set[str]:
    """The name that each heading of a document is linked by."""
    headings = re.findall(r"^#+ (.*)$", _FENCE.sub("", text_of(document)), re.MULTILINE)
    plain = (re.sub(r"[^\w\- ]", "", heading.lower()) for heading in headings)
    return {text.strip().replace(" ", "-") for text in plain}
