"""What is wrong with an input, said so that its writer can mend it: where, what was found, what to write."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

UNSEEN = (
    r"\x00-\x08\x0b-\x1f\x7f-\x9f\xad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f\u2028-\u202e"
    r"\u2060-\u206f\u3164\ud800-\udfff\ufeff\uffa0\ufff0-\ufffb\ufffe\uffff\U0001d173-\U0001d17a\U000e0000-\U000e0fff"
)
"""Signs, as a class of a regular expression, that command a terminal, turn a text round, or are not seen at all.

The general categories Cc (but tab and line feed), Cs, Zl and Zp of Unicode 16, what it calls default ignorable, and
what is set apart for its own use; but for the two that say in which form an emoji is drawn. It stands here in full, so
that it does not change with Python.
"""

_UNSEEN = re.compile(f"[{UNSEEN}]")


def visible(text: str) -> str:
    """`text` with every unseen sign written by its number, such as `\\x1b` or `\\u202e`; lines and tabs stay."""
    return _UNSEEN.sub(lambda sign: sign.group().encode("unicode_escape").decode(), text) if text else text


def on_one_line(text: object) -> str:
    """A text, a path or a file's name on one line, with line feeds, tabs and unseen signs written by their numbers.

    Else the name of a file could begin a line of its own, and say there whatever it likes.
    """
    return visible(str(text)).replace("\n", "\\n").replace("\t", "\\t")


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One thing wrong in one place of one file.

    `line` counts from 1; 0 means the file as a whole. `path` is the place in the document, such as
    `walls[0].primer.finished`, or empty. `found` continues the path ("is \"12,5\""), `instead` is advice.
    """

    file: str
    line: int
    path: str
    found: str
    instead: str

    def __str__(self) -> str:
        file = on_one_line(self.file)
        place = f"{file}:{self.line}" if self.line else file
        what = f"{self.path} {self.found}".strip()
        return on_one_line(f"{place}: {what}; {self.instead}")


class InputError(Exception):
    """An input that cannot be used, with every fault found in it, in file and line order."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(set(faults)))
        if not self.faults:
            raise ValueError("an input error needs at least one fault")
        super().__init__("\n".join(map(str, self.faults)))

    def __reduce__(self) -> tuple[type[InputError], tuple[tuple[Fault, ...]]]:
        """An error travels between processes with its faults, not with its text alone."""
        return InputError, (self.faults,)


class MissingPartError(Exception):
    """Something that keeps an output from being made: a library or room on a disk is lacking, a path will not do."""


def quote(text: object, most: int = 60) -> str:
    """`text` in double quotes on one line, control characters escaped, cut to `most` characters."""
    shown = "".join(
        c if c.isprintable() and c != '"' else c.encode("unicode_escape").decode() if c != '"' else '\\"'
        for c in str(text)
    )
    return f'"{shown}"' if len(shown) <= most else f'"{shown[:most]}…"'
