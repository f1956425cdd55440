"""What the same bytes always come to, worked out once for many checks made once more.

A rule set hangs on its folder's name, the bytes of its files and the language, its proof on the rule set, a page on the
filing. Other bytes are read, proven and drawn anew; an error is never kept.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar

import pytest

from wallwalk import rule_reader
from wallwalk.cli import rechecking
from wallwalk.errors import Fault
from wallwalk.filed_json import write_filed_json
from wallwalk.filing import Filing
from wallwalk.languages import ENGLISH
from wallwalk.proving import proof_faults
from wallwalk.report import pdf
from wallwalk.rule_reader import read_rule_set
from wallwalk.rules import RuleSet
from wallwalk.shape import shape_faults
from wallwalk.yamlio import Document, Node, parse_yaml

T = TypeVar("T")
_DRAW = pdf.render_pdf
_read: dict[Hashable, RuleSet] = {}
_proven: dict[Hashable, tuple[Fault, ...]] = {}
_drawn: dict[Hashable, bytes] = {}


def work_once(patch: pytest.MonkeyPatch) -> None:
    """Let every check made once more take what was worked out from the same bytes before."""
    patch.setattr(rechecking, "read_rule_set", _read_once)
    patch.setattr(rechecking, "proof_faults", _proven_once)
    patch.setattr(pdf, "render_pdf", _drawn_once)


def read_once(patch: pytest.MonkeyPatch) -> None:
    """Let a rule set that is read take what each of the same files was read as before, and its shape."""
    patch.setattr(rule_reader, "read_yaml", _document_once)
    patch.setattr(rule_reader, "shape_faults", _shape_once)


def _once(done: dict[Hashable, T], of: Hashable, work: Callable[[], T]) -> T:
    if of not in done:
        done[of] = work()
    return done[of]


@lru_cache(64)
def _document(content: bytes, file: str) -> Document:
    return parse_yaml(content, file)


@lru_cache(64)
def _shape(content: bytes, file: str, part: str) -> tuple[Fault, ...]:
    document = _document(content, file)
    return tuple(shape_faults(document, document.data, rule_reader.rule_schema()[part]))


def _document_once(path: Path, file: str) -> Document:
    return _document(path.read_bytes(), file)


def _shape_once(document: Document, data: Node, schema: Mapping[str, Any]) -> tuple[Fault, ...]:
    (part,) = (name for name, one in rule_reader.rule_schema().items() if one is schema)
    assert data is document.data
    return _shape(document.content, document.file, part)


def _read_once(folder: str, language: str = ENGLISH) -> RuleSet:
    files = tuple(sorted((path.name, path.read_bytes()) for path in Path(folder).iterdir()))
    return _once(_read, (Path(folder).name, files, language), lambda: read_rule_set(folder, language))


def _proven_once(rule_set: RuleSet) -> tuple[Fault, ...]:
    of = (rule_set.name, tuple(sorted(rule_set.files.items())), rule_set.language)
    return _once(_proven, of, lambda: proof_faults(rule_set))


def _drawn_once(filing: Filing, *, page_size: str = "Letter") -> bytes:
    return _once(_drawn, (write_filed_json(filing), page_size), lambda: _DRAW(filing, page_size=page_size))
