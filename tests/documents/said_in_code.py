"""The messages of an input error as they stand in the program: each place that makes one, with its fixed text.

What is filled in when it is said stands as an ellipsis. A part that has a name, or comes from a function, is followed
to what may be there; where that is only known when it is said, nothing is shown.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from surveys import ROOT

PACKAGE = ROOT / "inspect" / "wallwalk"
FILLED = "…"
_DEEPEST = 3

PARTS: dict[str, tuple[int, ...]] = {
    "Fault": (3, 4),
    "fault": (1, 2),
    "_fault": (-2, -1),
    "refuse": (1, 2),
    "_refused": (-2, -1),
    "not_filed": (1,),
    "UnitError": (0,),
    "MeasureError": (0,),
    "LogFaultError": (1, 2),
    "PictureFaultError": (0, 1),
    "_RefusedHoldError": (0, 1),
    "MissingPartError": (0,),
    "UsageError": (0,),
    "fail": (0,),
    "_Plain": (1, 2),
}
"""By what makes a message: which of its arguments say what was found, and what to write instead."""


@dataclass(frozen=True, slots=True, order=True)
class Said:
    """What one place of a module says: what was found and what to write instead, each in the ways it may be said."""

    module: str
    line: int
    parts: tuple[tuple[str, ...], ...]


@cache
def messages() -> tuple[Said, ...]:
    """Every place of the package that makes a message with fixed text in it, in order of modules and lines."""
    trees = {path: ast.parse(path.read_text(encoding="utf-8")) for path in sorted(PACKAGE.rglob("*.py"))}
    functions = {f.name: f for tree in trees.values() for f in ast.walk(tree) if isinstance(f, ast.FunctionDef)}
    named = {name: value for tree in trees.values() for name, value in _assigned(tree.body)}
    reader, found = _Reader(functions, named), list[Said]()
    for path, tree in trees.items():
        module = path.relative_to(PACKAGE).with_suffix("").as_posix()
        found += sorted({said for said in reader.read(tree, module) if any(said.parts)})
    return tuple(found)


class _Reader:
    def __init__(self, functions: dict[str, ast.FunctionDef], named: dict[str, ast.expr]) -> None:
        self.functions = functions
        self.named = named

    def read(self, tree: ast.Module, module: str) -> Iterator[Said]:
        plain = [n for n in tree.body if not isinstance(n, (ast.FunctionDef, ast.ClassDef))]
        scopes = [*(n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef)), *plain]
        for scope in scopes:
            own = dict[str, list[ast.expr]]()
            for name, value in _assigned(ast.walk(scope)):
                own.setdefault(name, []).append(value)
            for node in ast.walk(scope):
                places = _places(node, module)
                if places:
                    parts = tuple(tuple(dict.fromkeys(self.texts(p, own, _DEEPEST))) for p in places)
                    yield Said(module, node.lineno, parts)  # type: ignore[attr-defined]

    def texts(self, node: ast.expr, own: dict[str, list[ast.expr]], depth: int) -> Iterator[str]:
        """What may stand there: with some fixed text in it, or nothing at all."""
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield from [node.value] if node.value else []
        elif isinstance(node, ast.JoinedStr):
            text = "".join(str(p.value) if isinstance(p, ast.Constant) else FILLED for p in node.values)
            yield from [text.replace(FILLED * 2, FILLED)] if text.strip(f" {FILLED}") else []
        elif isinstance(node, ast.IfExp):
            yield from self.texts(node.body, own, depth)
            yield from self.texts(node.orelse, own, depth)
        elif isinstance(node, ast.BoolOp):
            for part in node.values:
                yield from self.texts(part, own, depth)
        elif depth and isinstance(node, ast.Name):
            for value in own.get(node.id) or [v for v in [self.named.get(node.id)] if v]:
                yield from self.texts(value, own, depth - 1)
        elif depth and isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            yield from self._returned(node, own, depth)

    def _returned(self, node: ast.Call, own: dict[str, list[ast.expr]], depth: int) -> Iterator[str]:
        name = node.func.id if isinstance(node.func, ast.Name) else ""
        if name == "fixed":
            yield from self.texts(node.args[0], own, depth)
        function = self.functions.get(name)
        if function:  # advice that is handed over, or taken where none is
            handed = [*node.args, *(k.value for k in node.keywords), *function.args.defaults]
            advice = [text for part in handed if not isinstance(part, ast.Call) for text in self.texts(part, own, 0)]
            yield from (text for text in advice if " " in text)
        inside = dict[str, list[ast.expr]]()
        for told, value in _assigned(ast.walk(function)) if function else ():
            inside.setdefault(told, []).append(value)
        for part in ast.walk(function) if function else ():
            if isinstance(part, ast.Return) and part.value is not None:
                yield from self.texts(part.value, inside, depth - 1)


def _places(node: ast.AST, module: str) -> list[ast.expr]:
    """The arguments of a message that say something; none where `node` makes no message."""
    if module == "signing" and isinstance(node, ast.Yield) and isinstance(node.value, ast.Tuple):
        return node.value.elts[1:] if len(node.value.elts) == 3 else []  # an option, what is refused, what to do
    if module == "writing" and isinstance(node, (ast.Return, ast.Assign)) and node.value is not None:
        return [node.value]  # what keeps a file from being written is handed on as one text
    if module == "new_rule_set" and isinstance(node, ast.Tuple) and len(node.elts) == 4:
        return node.elts[2:]  # whether it is so, of what, what is wrong, what to do
    if module == "survey_files" and isinstance(node, ast.Return) and isinstance(node.value, ast.Tuple):
        return node.value.elts  # of what other kind a file is, and what to do
    if not isinstance(node, ast.Call):
        return []
    name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
    wanted = PARTS.get(name, ())
    return [node.args[i] for i in wanted if -len(node.args) <= i < len(node.args)]


def _assigned(nodes: object) -> Iterator[tuple[str, ast.expr]]:
    """Each name that is given a value, and the value; a pair at once as two."""
    for node in nodes if not isinstance(nodes, ast.AST) else [nodes]:  # type: ignore[attr-defined]
        if isinstance(node, (ast.Assign, ast.AnnAssign)) and node.value is not None:
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            for target in targets:
                if isinstance(target, ast.Name):
                    yield target.id, node.value
                elif isinstance(target, ast.Tuple) and isinstance(node.value, ast.Tuple):
                    pairs = zip(target.elts, node.value.elts, strict=False)
                    yield from ((name.id, value) for name, value in pairs if isinstance(name, ast.Name))


def error_classes() -> set[str]:
    """The name of every exception that the package declares."""
    found = set[str]()
    for path in Path(PACKAGE).rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef) and node.name.endswith("Error"):
                found.add(node.name)
    return found
