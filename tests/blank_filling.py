"""Fills in a blank survey as a person does in a text editor: values behind colons, entries of lists copied out."""

from __future__ import annotations

import json
import re
from typing import Any

_KEY = re.compile(r"([a-z_]+):(?: .*)?")


def filled_in(blank: str, data: Any) -> str:  # noqa: ANN401 - a document's data
    """The text of `blank` with the answers of `data`; whatever is not answered stays empty."""
    return "\n".join(_filled(blank.splitlines(), data)) + "\n"


def _filled(lines: list[str], data: Any) -> list[str]:  # noqa: ANN401
    done, i = [], 0
    while i < len(lines):
        key = _KEY.fullmatch(lines[i])
        i += 1
        if key is None:
            done.append(lines[i - 1])
            continue
        body = _body(lines[i:])
        i += len(body)
        value = data.get(key[1]) if isinstance(data, dict) else None
        if not body:
            done.append(_answered(lines[i - 1], key[1], value))
        elif body[0].startswith("#"):
            done += [f"{key[1]}:", *(line for entry in value or () for line in _entry(body, entry))]
        else:
            inside = _filled([line[2:] for line in body], value)
            done += [lines[i - 1 - len(body)], *(f"  {line}" if line else "" for line in inside)]
    return done


def _body(lines: list[str]) -> list[str]:
    """What belongs to a key: the lines indented below it, or the entry behind # signs."""
    listed = bool(lines) and lines[0].startswith("#   ")
    taken = 0
    for i, line in enumerate(lines):
        if line.startswith("#" if listed else "  "):
            taken = i + 1
        elif line or listed:
            break
    return lines[:taken]


def _entry(body: list[str], data: Any) -> list[str]:  # noqa: ANN401
    """The entry behind # signs once more, with the answers of `data`: one # sign is taken off each line."""
    lines = [line[2:][2:] for line in body]
    bare = [line.removeprefix("- ") if line.startswith("- ") else line[2:] for line in lines]
    first = next(i for i, line in enumerate(bare) if _KEY.fullmatch(line))
    inside = _filled(bare, data)
    return [f"  {'- ' if i == first else '  '}{line}" if line else "" for i, line in enumerate(inside)]


def _answered(line: str, key: str, value: Any) -> str:  # noqa: ANN401
    if value is None:
        return line
    written = ("yes" if value else "no") if isinstance(value, bool) else json.dumps(value, ensure_ascii=False)
    return f"{key}: {written}"
