"""The files of a new rule set: small, complete, and passing, with comments that say what to change next."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from wallwalk.editor_schema import render_editor_schema
from wallwalk.errors import Fault, InputError, quote
from wallwalk.resources import data_folder, rule_set_names

SCHEMA_FILE = "rule-files.schema.json"
"""The schema that the editor line of each file names; it lies beside them."""

_NAME = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")


def new_rule_set(name: str, date: str, folder: Path) -> Mapping[str, bytes]:
    """What each file of a new rule set in `folder` / `name` holds; `date` is that of its first revision.

    Raises `InputError` where the name will not do, or something of that name is there.
    """
    for wrong, file, found, instead in (
        (
            not _NAME.fullmatch(name),
            quote(name),
            "is no name for a rule set",
            "write small letters, figures and dashes, a letter first, such as wood-panels",
        ),
        (
            name in rule_set_names(),
            name,
            "is a rule set that comes with this installation",
            "give yours another name",
        ),
        (
            not folder.is_dir(),
            str(folder),
            "is no folder" if folder.exists() else "is not there",
            "give --in a folder that is there",
        ),
    ):
        if wrong:
            raise InputError([Fault(file, 0, "", found, instead)])
    words = {"name": name, "title": name.replace("-", " ").capitalize(), "date": date, "schema": SCHEMA_FILE}
    files = {path.name: _filled_in(path, words) for path in sorted((data_folder("templates") / "rule_set").iterdir())}
    return {**files, SCHEMA_FILE: render_editor_schema().encode()}


def _filled_in(path: Path, words: Mapping[str, str]) -> bytes:
    text = path.read_text(encoding="utf-8")
    for name, word in words.items():
        text = text.replace(f"{{{{{name}}}}}", word)
    return text.encode()
