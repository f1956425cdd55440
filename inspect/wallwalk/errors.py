"""What is wrong with an input, said so that its writer can mend it: where, what was found, what to write."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


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
        return f"{place}: {what}; {self.instead}"


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


def on_one_line(name: object) -> str:
    """A path or a name of a file as people see it: on one line, with what cannot be shown written by its number.

    Else the name of a file could begin a line of its own, and say there whatever it likes.
    """
    text = str(name).encode("utf-8", "backslashreplace").decode("utf-8")
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


def quote(text: object, most: int = 60) -> str:
    """`text` in double quotes on one line, control characters escaped, cut to `most` characters."""
    shown = "".join(
        c if c.isprintable() and c != '"' else c.encode("unicode_escape").decode() if c != '"' else '\\"'
        for c in str(text)
    )
    return f'"{shown}"' if len(shown) <= most else f'"{shown[:most]}…"'
