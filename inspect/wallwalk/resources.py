"""Where rule sets and templates are: a checkout's own folders first, else the copies inside the wheel.

An editable install leaves copies that go stale, so the folders that stand beside `inspect/` always win.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from unicodedata import normalize

DEFAULT_RULE_SET = "rigid-sheet"

_PACKAGE = Path(__file__).resolve().parent


@cache
def data_folder(name: str) -> Path:
    """The folder `rules` or `templates` that belongs to this installation."""
    checkout = _PACKAGE.parent.parent
    if _PACKAGE.parent.name == "inspect" and (checkout / "pyproject.toml").is_file():
        return checkout / name
    return _PACKAGE / "data" / name


def rule_set_names() -> tuple[str, ...]:
    """Names of the rule sets that come with this installation, in order."""
    return tuple(sorted(p.parent.name for p in data_folder("rules").glob("*/about.yaml")))


def rule_set_folder(name: str) -> Path | None:
    """The folder of the rule set called `name`, or of the one that lies at that path; None if there is none."""
    if name in rule_set_names():
        return data_folder("rules") / name
    folder = Path(name)
    return folder if (folder / "about.yaml").is_file() else None


def find_beside(folder: Path, written: str) -> Path | None:
    """The path of a file that a survey in `folder` names: in that folder or below it, links followed; else None."""
    home = folder.resolve()
    try:
        path = (home / written).resolve()
    except (OSError, RuntimeError, ValueError):  # a loop of links, a name that no file can have
        return None
    return path if path.is_relative_to(home) and path != home else None


def find_named(folder: Path, written: str) -> Path | None:
    """As `find_beside`, of a file that is there: also under the same name as another system writes its accents.

    `ñ` is one sign, or an n with a tilde on it; which of them a file's name has is not seen.
    """
    for name in (written, *(normalize(form, written) for form in ("NFC", "NFD"))):
        path = find_beside(folder, name)
        try:
            if path is not None and path.exists():
                return path
        except OSError:  # longer than a name can be
            return None
    return find_beside(folder, written)
