"""The survey as it is being written: plain data, changed one answer at a time, and its YAML."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

from wallwalk.yamlio import Node, Path_

Data = Mapping[str, Node]
"""A survey as its document holds it; never changed in place."""

_PLAIN = re.compile(r"[\w](?:[\w .,;()/°%'²³·±+:-]*[\w.)°%'²³])?")
_SPECIAL = {"yes", "no", "true", "false", "null"}
_BREAKS = {ord(sign): f"\\u{ord(sign):04x}" for sign in "\x85\u2028\u2029\x7f"}
"""Signs that YAML would take for the end of a line, or refuse."""


def value_at(data: Node, path: Path_) -> Node:
    """What stands at `path`; None where nothing does."""
    for part in path:
        if isinstance(data, dict) and isinstance(part, str):
            data = data.get(part)
        elif isinstance(data, list) and isinstance(part, int) and part < len(data):
            data = data[part]
        else:
            return None
    return data


def entries_at(data: Data, path: Path_) -> list[Node]:
    """The entries of the list at `path`."""
    found = value_at(dict(data), path)
    return found if isinstance(found, list) else []


def with_value(data: Data, path: Path_, value: Node) -> dict[str, Node]:
    """`data` with `value` at `path`, or with nothing there where it is None; the next entry of a list is added."""
    changed = _changed(dict(data), path, value)
    return changed if isinstance(changed, dict) else {}


def without_entry(data: Data, path: Path_, index: int) -> dict[str, Node]:
    """`data` without one entry of the list at `path`."""
    left = [entry for i, entry in enumerate(entries_at(data, path)) if i != index]
    return with_value(data, path, left or None)


def _changed(node: Node, path: Path_, value: Node) -> Node:
    if not path:
        return value
    part, rest = path[0], path[1:]
    if isinstance(part, int):
        entries = list(node) if isinstance(node, list) else []
        entries += [{}] * (part + 1 - len(entries))
        inside = _changed(entries[part], rest, value)
        entries[part] = {} if inside is None else inside
        return [*entries]
    group = dict(node) if isinstance(node, dict) else {}
    inside = _changed(group.get(part), rest, value)
    if inside is None or inside == {}:
        group.pop(part, None)
    else:
        group[part] = inside
    return group


def render_draft(data: Data, schema: Mapping[str, Any]) -> bytes:
    """The YAML of `data`, which reads back as the same, its keys in the order of the survey's `schema`."""
    lines: list[str] = []
    for name, part in schema["properties"].items():
        own = list(_entry(name, data.get(name), part))
        if len(own) > 1 and lines:
            own.insert(0, "")
        lines += own
    return "".join(f"{line}\n" for line in lines or ["{}"]).encode()


def _lines(node: Mapping[str, Node], schema: Mapping[str, Any]) -> Iterator[str]:
    for name, part in schema["properties"].items():
        yield from _entry(name, node.get(name), part)


def _entry(name: str, node: Node, part: Mapping[str, Any]) -> Iterator[str]:
    if isinstance(node, dict):
        inside = list(_lines(node, part))
        if inside:
            yield f"{name}:"
            yield from (f"  {line}" for line in inside)
    elif isinstance(node, list):
        yield f"{name}:" if node else f"{name}: []"
        for entry in node:
            inside = list(_lines(entry, part["items"])) if isinstance(entry, dict) else []
            yield from (f"  {'  ' if i else '- '}{line}" for i, line in enumerate(inside or ["{}"]))
    elif node is not None:
        yield f"{name}: {_scalar(node)}"


def _scalar(node: str | bool) -> str:
    if isinstance(node, bool):
        return "yes" if node else "no"
    plain = _PLAIN.fullmatch(node) and ": " not in node and node.lower() not in _SPECIAL
    return node if plain else json.dumps(node, ensure_ascii=False).translate(_BREAKS)
