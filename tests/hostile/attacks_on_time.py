"""Filed records that are sound in form and would keep `verify` busy for hours."""

from __future__ import annotations

import time
import zlib
from dataclasses import replace
from functools import partial
from unittest import mock

from attack import Scene, attack
from attacks_by_filings import pdf_of
from filings import filed
from terminal import run
from wallwalk.cli.verified import verify_file
from wallwalk.filed_json import write_filed_json
from wallwalk.filing import RULE_SET

_SECONDS = 4
_RULE = """
  heavy-rule:
    about: wall
    grade: hold
    title: Heavy
    require: {any_of: [%s]}
    hold: Heavy.
    put_right: Wait.
    by: installer
    why: None.
    basis: common practice
    es: {title: Pesada, hold: Pesada., put_right: Espere., why: Ninguna.}
    examples:
%s      - {name: one step under, facts: {gap_at_base: 3/64 in}, expect: hold}
      - {name: not planned, facts: {}, expect: not verified}
"""


def heavy_theme(content: bytes, count: int) -> bytes:
    """The theme `layout.yaml` with one rule of `count` comparisons, none of which is missed, and as many examples."""
    head, tail = content.decode().split("\nrules:\n", 1)
    compared = ", ".join(["{at_least: [gap_at_base, expansion_gap_min]}"] * count)
    examples = "".join(
        f"      - {{name: number {i}, facts: {{gap_at_base: 1/16 in}}, expect: pass}}\n" for i in range(count)
    )
    return f"{head}\nrules:\n{_RULE % (compared, examples)}{tail}".encode()


def _gives_up(scene: Scene, name: str, content: bytes) -> None:
    """`verify` says in one line that it took too long, with exit code 2, and leaves nothing behind."""
    path = scene.folder / name
    path.write_bytes(content)
    began = time.monotonic()
    with mock.patch("wallwalk.cli.verified.verify_file", partial(verify_file, seconds=_SECONDS)):
        code, out, err = run("verify", path)
    assert (code, out) == (2, "")
    assert err == (
        f"{path}: took over {_SECONDS} s; what wallwalk files takes seconds, and little memory: "
        "take this for no filed record, or try a larger machine\n"
    )
    assert time.monotonic() - began < 120
    assert [one.name for one in scene.folder.iterdir()] == [name]


@attack(
    "a rule set inside that never ends proving itself",
    "filing",
    gives="one rule of 1,000 comparisons and 1,000 examples, no comparison of which any example pins: half an hour",
    through="a filed record",
    into="verify",
    stopped="cli.verified",
    seen="`took over 300 s`, exit code 2; here after 4 s",
    slow=True,
)
def endless_proof(scene: Scene) -> None:
    """Neither sound nor altered: it is not known, and that is said."""
    filing = filed("110-link-corridor", language="en")
    inputs = tuple(
        replace(one, content=heavy_theme(one.content, 1000)) if one.file == "layout.yaml" else one
        for one in filing.inputs
        if (one.role, one.file) != (RULE_SET, "conditions.yaml")
    )
    _gives_up(scene, "r.json", write_filed_json(replace(filing, inputs=inputs)))


def _tables(count: int) -> bytes:
    """A PDF with so many tables of two million objects, each of which sends the reader on to the next.

    Each is packed as the rows of a picture are, one byte a row.
    """
    packed = zlib.compress(b"\0\1" * 4_000_000, 9)
    says = b"/Type /XRef /W [1 1 0] /Root 1 0 R /Filter /FlateDecode /DecodeParms << /Predictor 15 /Columns 1 >>"
    table = b"5 0 obj\n<< %s %s /Size 2000000 /Length %d >>\nstream\n%s\nendstream\nendobj\n"
    out, last = pdf_of({1: b"<< /Type /Catalog >>"}).partition(b"xref\n")[0], b""
    for _ in range(count):
        place = len(out)
        out += table % (says, last, len(packed), packed)
        last = b"/Prev %d" % place
    return out + b"startxref\n%d\n%%%%EOF\n" % place


@attack(
    "tables of objects packed as a picture is",
    "filing",
    gives="ten tables of two million objects, one after the other, in 100 kB: 15 s; a thousand of them take minutes",
    through="a filed PDF",
    into="verify",
    stopped="cli.verified",
    seen="`took over 300 s`, exit code 2; here after 4 s",
    slow=True,
)
def endless_table(scene: Scene) -> None:
    """However the time is spent, there is an end to it."""
    _gives_up(scene, "r.pdf", _tables(10))


TIME = (endless_proof, endless_table)
