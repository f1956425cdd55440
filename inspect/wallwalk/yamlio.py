"""YAML, read strictly: every scalar stays the text it was written as, except yes/no/true/false and empty ones.

PyYAML's own rules turn 1:30 into 90, 017 into 15 and `on` into a truth, and let the last of two equal keys win.
None of that happens here. Numbers, dates and times are read later, by the kind of answer they are meant for.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

import yaml

from wallwalk.errors import UNSEEN, Fault, InputError, quote
from wallwalk.syntax import syntax_fault

Path_ = tuple[str | int, ...]
Node = str | bool | None | list["Node"] | dict[str, "Node"]

MOST_BYTES = 4_000_000
MOST_NODES = 100_000
MOST_DEPTH = 40

_TOO_MANY = (
    f"holds over {MOST_NODES:,} entries once its aliases are followed",
    "write the entries out, without aliases",
)

_TRUTHS = {"yes": True, "true": True, "no": False, "false": False}
_EMPTY = {"", "~", "null"}
_PLAIN_TAGS = {"!", *(f"tag:yaml.org,2002:{kind}" for kind in ("str", "seq", "map"))}
_NOT_TEXT = re.compile(rf"(?!\r)[{UNSEEN}]")


class _TextLoader(yaml.CSafeLoader if yaml.__with_libyaml__ else yaml.SafeLoader):  # type: ignore[misc]
    """The libyaml loader without implicit resolvers: a plain scalar is text."""

    yaml_implicit_resolvers: Mapping[str, object] = {}


@dataclass(frozen=True, slots=True)
class Document:
    """One YAML file as plain data, with the line of every place in it, its bytes and their digest."""

    file: str
    data: Node
    lines: Mapping[Path_, int]
    sha256: str
    content: bytes = field(default=b"", repr=False, compare=False)

    def line(self, path: Path_) -> int:
        """Line of the value at `path`, or of the nearest place above it that is in the file."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)

    def fault(self, path: Path_, found: str, instead: str) -> Fault:
        """A fault at `path` of this document."""
        return Fault(self.file, self.line(path), show_path(path), found, instead)


def show_path(path: Path_) -> str:
    """`("walls", 0, "name")` as `walls[0].name`; a key that is not a plain word is quoted, as in `[" "]`."""
    shown = ""
    for part in path:
        if isinstance(part, int):
            shown += f"[{part}]"
        elif part.replace("_", "").replace("-", "").isalnum():
            shown += f".{part}" if shown else part
        else:
            shown += f"[{quote(part)}]"
    return shown


def read_yaml(path: Path, file: str | None = None) -> Document:
    """Read one YAML file. `file` is the name messages use (the path as given, unless told otherwise)."""
    name = file if file is not None else str(path)
    return parse_yaml(read_bytes(path, name, "a YAML file"), name)


def read_bytes(path: Path, name: str, wanted: str) -> bytes:
    """The bytes of the file at `path`, `MOST_BYTES` at most. Raises `InputError`; `wanted` says of what it is."""
    try:
        if not path.is_file():
            kind = "is a folder" if path.is_dir() else "is not there" if not path.exists() else "is no plain file"
            raise InputError([Fault(name, 0, "", kind, f"give the path of {wanted}")])
        if path.stat().st_size > MOST_BYTES:
            raise _too_large(name)
        with path.open("rb") as stream:
            return stream.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        fault = Fault(name, 0, "", f"cannot be read ({reason})", f"give the path of {wanted} that you may read")
        raise InputError([fault]) from error


def parse_yaml(raw: bytes, file: str) -> Document:
    """Parse the bytes of one YAML document; every fault of structure found is raised in one `InputError`."""
    if len(raw) > MOST_BYTES:
        raise _too_large(file)
    text = read_text(raw, file)
    try:
        _bound_nodes(text, file)
        root = _compose(text)
    except yaml.YAMLError as error:
        raise InputError([syntax_fault(error, file, text)]) from error
    except (RecursionError, ValueError) as error:
        raise InputError([Fault(file, 0, "", "is nested too deep to read", "write it with fewer levels")]) from error
    if root is None:
        raise InputError([Fault(file, 0, "", "is empty", "fill it in and save it")])
    walk = _Walk(file)
    data = walk.read(root, (), 0, ())
    if walk.faults:
        raise InputError(walk.faults)
    return Document(file, data, walk.lines, hashlib.sha256(raw).hexdigest(), raw)


def _bound_nodes(text: str, file: str) -> None:
    """Raises `InputError` where far more is written than may be: of that no graph is built, which takes much memory.

    Each name and each entry has one of these signs beside it, so that hardly a file has to be looked through.
    """
    if sum(map(text.count, "-:,[{?")) <= MOST_NODES:
        return
    nodes = 0
    for event in yaml.parse(text, Loader=_TextLoader):
        nodes += isinstance(event, yaml.NodeEvent)
        if nodes > 2 * MOST_NODES:  # an entry of a group is its name and its value
            line = event.start_mark.line + 1 if event.start_mark is not None else 0
            raise InputError([Fault(file, line, "", *_TOO_MANY)])


def _too_large(file: str) -> InputError:
    return InputError([Fault(file, 0, "", f"is over {MOST_BYTES:,} bytes", "split it or take out what is not asked")])


def _compose(text: str) -> yaml.Node | None:
    loader = _TextLoader(text)
    try:
        node = loader.get_single_node()
    finally:
        loader.dispose()
    return node if isinstance(node, yaml.Node) else None


def read_text(raw: bytes, file: str) -> str:
    """The text of a file in UTF-8. Raises `InputError` where it is none."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise InputError([Fault(file, 0, "", "is written in UTF-16", "save it as UTF-8 text")])
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        found = f"has the byte 0x{raw[error.start]:02x}, which is not UTF-8 text"
        raise InputError([Fault(file, line, "", found, "save the file as UTF-8")]) from error
    odd = _NOT_TEXT.search(text)
    if odd:
        line = text.count("\n", 0, odd.start()) + 1
        found = f"has the character U+{ord(odd.group()):04X}, which is not text"
        raise InputError([Fault(file, line, "", found, "take it out")])
    return text


@dataclass(slots=True)
class _Walk:
    """Walks a node graph once, keeping lines and faults, and counting what aliases blow up to."""

    file: str
    lines: dict[Path_, int] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    nodes: int = 0
    characters: int = 0

    def read(self, node: yaml.Node, path: Path_, depth: int, above: tuple[int, ...]) -> Node:
        line = node.start_mark.line + 1
        self._count(line)
        if self.characters > MOST_BYTES:
            found = f"holds over {MOST_BYTES:,} characters once its aliases are followed"
            self._stop(line, found, "write the entries out, without aliases")
        if depth > MOST_DEPTH:
            self._stop(line, f"is nested over {MOST_DEPTH} levels deep", "write it with fewer levels")
        if id(node) in above:
            self._stop(line, "has an alias that contains itself", "write the entry out")
        self.lines.setdefault(path, line)
        if isinstance(node, yaml.ScalarNode):
            return self._scalar(node, path)
        above = (*above, id(node))
        if isinstance(node, yaml.SequenceNode):
            self._plain_tag(node, path)
            return [self.read(child, (*path, i), depth + 1, above) for i, child in enumerate(node.value)]
        return self._mapping(node, path, depth, above)

    def _count(self, line: int) -> None:
        """One more entry, or fault in one."""
        self.nodes += 1
        if self.nodes > MOST_NODES:
            self._stop(line, *_TOO_MANY)

    def _mapping(self, node: yaml.Node, path: Path_, depth: int, above: tuple[int, ...]) -> dict[str, Node]:
        self._plain_tag(node, path)
        read: dict[str, Node] = {}
        for key_node, value_node in node.value:
            line = key_node.start_mark.line + 1
            if not isinstance(key_node, yaml.ScalarNode) or key_node.tag != "tag:yaml.org,2002:str":
                self._fault(line, path, "has a key that is not a plain word", "write a word and a colon")
                continue
            key = str(key_node.value)
            here = (*path, key)
            if key == "<<" and not key_node.style:
                self._fault(line, path, "has a merge key (<<)", "write the entries out")
            elif key in read:
                first = self.lines[here]
                self._fault(line, here, f"is written twice (first on line {first})", "keep one of the two")
            else:
                read[key] = self.read(value_node, here, depth + 1, above)
                self.lines[here] = line
        return read

    def _scalar(self, node: yaml.ScalarNode, path: Path_) -> Node:
        text = str(node.value)
        self.characters += len(text)
        self._plain_tag(node, path)
        odd = _NOT_TEXT.search(text)
        if odd:  # written by its number in double quotes, such as "\e"
            found = f"has the character U+{ord(odd.group()):04X}, which is not text"
            self._fault(node.start_mark.line + 1, path, found, "take it out")
        if node.style or node.tag == "!":  # quoted, or a block of text
            return text
        if text.lower() in _EMPTY:
            return None
        return _TRUTHS.get(text.lower(), text)

    def _plain_tag(self, node: yaml.Node, path: Path_) -> None:
        if node.tag not in _PLAIN_TAGS:
            self._fault(
                node.start_mark.line + 1,
                path,
                f"has the tag {quote(node.tag.replace('tag:yaml.org,2002:', '!!'))}",
                "write the value without a tag",
            )

    def _fault(self, line: int, path: Path_, found: str, instead: str) -> None:
        self._count(line)  # so that there is an end to what is wrong, too
        self.faults.append(Fault(self.file, line, show_path(path), found, instead))

    def _stop(self, line: int, found: str, instead: str) -> None:
        raise InputError([*self.faults, Fault(self.file, line, "", found, instead)])
