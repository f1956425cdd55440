"""What an attack is: one row of the table, with the check that tries it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Browser


@dataclass(frozen=True, slots=True)
class Scene:
    """Where an attack is tried: an empty folder, and a way to get the one browser."""

    folder: Path
    browser: Callable[[], Browser]


Check = Callable[[Scene], None]
"""Tries the attack, and raises `AssertionError` where it is not stopped."""


@dataclass(frozen=True, slots=True)
class Attack:
    """One row: what the attacker `gives`, `through` which field or file, `into` which output or command.

    `of` is its kind, one of `KINDS`; `stopped` is the module that stops it, and `seen` what is seen then.
    """

    name: str
    of: str
    gives: str
    through: str
    into: str
    stopped: str
    seen: str
    check: Check
    slow: bool = False


def attack(
    name: str, of: str, *, gives: str, through: str, into: str, stopped: str, seen: str, slow: bool = False
) -> Callable[[Check], Attack]:
    """Makes a row of the function below it, which is its check."""
    return lambda check: Attack(name, of, gives, through, into, stopped, seen, check, slow)


KINDS = {
    "markup": "markup and script in every free text, in every page",
    "form": "the phone form: imported surveys, and rule-set texts inside its data",
    "table": "formulas in the board's table",
    "calendar": "lines injected into a calendar",
    "unseen": "signs that turn a text round or are not seen, and names that look like another",
    "long": "texts that are too long, blank, or written in two ways",
    "terminal": "escape sequences for the terminal",
    "path": "paths that lead out of the survey's folder",
    "device": "devices, pipes, folders and the kernel's files where a file is named",
    "fetch": "addresses that reach what draws the PDF",
    "picture": "pictures that are none, or too much",
    "document": "YAML and JSON that blow up",
    "attachment": "attachments of a PDF that is verified or compared",
    "filing": "filed records made to mislead or to stop a command",
    "output": "outputs that would fall on something else",
    "folder": "folders with loops of links",
    "kept": "kept rule sets that are poisoned",
    "pattern": "texts made for regular expressions to choke on",
    "environment": "variables of the environment",
    "verdict": "ways to talk HOLD into PASS",
}
"""Every kind of attack that the table has to cover."""
