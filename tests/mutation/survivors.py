"""The mutants that no test can see, as `SURVIVORS.md` lists and explains them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

LIST = Path(__file__).with_name("SURVIVORS.md")
_ENTRY = re.compile(r"^- `(?P<module>\w+)` `(?P<function>[\w.]+)`: `(?P<was>.+)` → (?P<became>`.+`)$")


@dataclass(frozen=True)
class Change:
    """A small change in a function of a module: its lines, and what they became. A method is `Class.method`."""

    module: str
    function: str
    was: str
    became: str


def explained() -> dict[Change, str]:
    """Each change that is listed, with the reason why it cannot be seen.

    An entry is a line: module, function, what was written → what it becomes, of which there may be several, with
    ` or ` between them. The reason stands in the indented lines below it.
    """
    found: dict[Change, str] = {}
    changes: list[Change] = []
    for number, line in enumerate(LIST.read_text().splitlines() if LIST.exists() else (), 1):
        if line.startswith("- "):
            entry = _ENTRY.match(line)
            if entry is None:
                raise ValueError(f"SURVIVORS.md:{number}: write - `module` `function`: `was` → `became`")
            module, function, was, became = entry.groups()
            changes = [Change(module, function, was, one) for one in became[1:-1].split("` or `")]
            found.update(dict.fromkeys(changes, ""))
        elif line.startswith("  ") and changes:
            found.update({change: f"{found[change]} {line.strip()}".strip() for change in changes})
    return found
