"""Large files of every kind that a reader may be handed, and what reading one of them costs in a process of its own.

A file is made of `size` bytes or a little less; none is kept in the checkout.
"""

from __future__ import annotations

import base64
import datetime
import io
import json
import resource
import subprocess
import sys
import zlib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from random import Random

from corpus import pdf_of, written_pdf

Maker = Callable[[int], bytes]

SECONDS_FREE, SECONDS_A_MB = 6.0, 2.0
"""Processor time: for the start and for judging what was valid, and for each megabyte."""

MEMORY_FREE_MB, MEMORY_A_MB = 96, 20
"""Beyond what the same command takes for a tiny file. A document of as many entries as there may be takes 90 MB."""


@dataclass(frozen=True, slots=True)
class Cost:
    """What a command did with a file: exit code, what it said, processor time, and the most memory it had."""

    code: int
    said: str
    seconds: float
    memory_mb: float


def cost_of(*command: str, folder: Path) -> Cost:
    """Run `wallwalk` with `command` in `folder`, and measure that process alone."""
    script = (
        "import json, resource, subprocess, sys\n"
        "done = subprocess.run(['wallwalk', *sys.argv[1:]], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)\n"
        "used = resource.getrusage(resource.RUSAGE_CHILDREN)\n"
        "print(json.dumps([done.returncode, done.stderr.decode(), used.ru_utime + used.ru_stime, "
        "used.ru_maxrss / 1024]))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, *command],
        cwd=folder,
        capture_output=True,
        text=True,
        check=True,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, (200, 200)),
    )
    return Cost(*json.loads(done.stdout))


def _repeated(head: bytes, part: bytes, tail: bytes = b"") -> Maker:
    return lambda size: head + part * ((size - len(head) - len(tail)) // len(part)) + tail


def _counted(head: bytes, part: str, tail: bytes = b"", between: bytes = b"") -> Maker:
    """`part` has a place for a number of seven digits."""
    return lambda size: head + between.join(_parts(part, size - len(head) - len(tail), len(between))) + tail


def _parts(part: str, size: int, between: int) -> list[bytes]:
    return [(part % i).encode() for i in range(size // (len((part % 0).encode()) + between))]


def _deep(open_: bytes, close: bytes, head: bytes = b"", tail: bytes = b"") -> Maker:
    def make(size: int) -> bytes:
        levels = (size - len(head) - len(tail)) // (len(open_) + len(close))
        return head + open_ * levels + close * levels + tail

    return make


def _bomb(size: int) -> bytes:
    lines = [b"a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [b"a%d: &a%d [%s]" % (i, i, b", ".join([b"*a%d" % (i - 1)] * 9)) for i in range(1, 12)]
    return b"\n".join(lines) + b"\n# " + b"x" * (size - 1000) + b"\n"


def _long_alias(size: int) -> bytes:
    """One long text, said again by a few hundred aliases."""
    walls = b"".join(b"- {name: W%d, texture: *t}\n" % i for i in range(400))
    return b"space: {name: a, notes: &t '" + b"x" * (size - 15_000) + b"'}\nwalls:\n" + walls


YAML: dict[str, Maker] = {
    "flat-list": _repeated(b"walls:\n", b"- a\n"),
    "flat-map": _counted(b"", "k%07d: v\n"),
    "long-text": _repeated(b"space: {name: ", b"x", b"}\n"),
    "long-name": _repeated(b"walls: [{name: ", b"x", b"}]\n"),
    "deep-lists": _deep(b"[", b"]"),
    "deep-groups": _repeated(b"space: ", b"{a: "),
    "anchors": _counted(b"walls:\n", "- &a%07d x\n"),
    "alias-bomb": _bomb,
    "long-alias": _long_alias,
    "walls": _counted(b"walls:\n", "- {name: W%07d}\n"),
    "answers-not-asked": _counted(b"space:\n", "  q%07d: v\n"),
    "comments": _repeated(b"space: {name: a}\n", b"# \n"),
}
JSON: dict[str, Maker] = {
    "json-flat-list": _repeated(b'{"walls":[', b'"a",', b'"a"]}'),
    "json-flat-map": _counted(b"{", '"k%07d":1', b"}", b","),
    "json-walls": _counted(b'{"walls":[', '{"name":"W%07d"}', b"]}", b","),
    "json-deep": _deep(b'{"a":', b"}"),
    "json-long-text": _repeated(b'{"space":{"name":"', b"x", b'"}}'),
}
SPACES: dict[str, Maker] = {
    "rows.csv": _counted(b"name,level\n", "r%07d,1\n"),
    "same-rows.csv": _repeated(b"name,level\n", b"r,1\n"),
    "wide-head.csv": _repeated(b"name", b",a"),
    "one-cell.csv": _repeated(b"name\n", b"x"),
    "blank.csv": _repeated(b"name\n", b"\n"),
    "rows.yaml": _counted(b"spaces:\n", "- {name: r%07d}\n"),
}


def _log(row: str, step_s: int = 60) -> Maker:
    begins = datetime.datetime(2000, 1, 1)

    def make(size: int) -> bytes:
        rows = (
            f"{begins + datetime.timedelta(seconds=step_s * i):%m/%d/%Y %H:%M:%S},{row % (i % 10)}\n".encode()
            for i in range(size // (20 + len(row)))
        )
        return b"Date/Time,Temp \xc2\xb0C,RH %\n" + b"".join(rows)

    return make


LOGS: dict[str, Maker] = {
    "rows": _log("20.%d,45"),
    "back-in-time": _log("20.%d,45", -60),
    "same-row": _repeated(b"Date/Time,Temp \xc2\xb0C\n", b"03/07/2026 10:00:00,20.5\n"),
    "no-rows": _repeated(b"Date/Time,Temp \xc2\xb0C\n", b"x,y\n"),
    "short-lines": _repeated(b"Date/Time,Temp \xc2\xb0C\n", b"a\n"),
    "one-line": _repeated(b"", b"x"),
    "wide": _repeated(b"Date/Time,Temp \xc2\xb0C\n", b"," * 60_000 + b"\n"),
    "open-quote": _repeated(b'Date/Time,Temp \xc2\xb0C\n"', b"a\n"),
    "noise": lambda size: Random(1).randbytes(size),  # noqa: S311 - test data
}


def _filed(inputs: bytes = b"", record: bytes = b"", entries: bytes = b"") -> tuple[bytes, bytes]:
    head = b'{"end":{"digest":"","entries":0},"entries":[' + entries + b'],"filed":1,"inputs":[' + inputs
    return head, b'],"record":{' + record + b"}}"


def packed_input(content: bytes) -> bytes:
    """`content` as an input of a filed record, in JSON."""
    packed = base64.b64encode(zlib.compress(content, 9))
    return b'{"content":"' + packed + b'","file":"a.csv","role":"climate log","sha256":""}'


def _noise_filed(size: int) -> bytes:
    return packed_input(Random(1).randbytes(size * 3 // 4 - 500)).join(_filed())  # noqa: S311


RECORDS: dict[str, Maker] = {
    "list": _repeated(b"[", b"1,", b"1]"),
    "groups": _repeated(b"[", b"{},", b"1]"),
    "texts": _repeated(b"[", b'"ab",', b"1]"),
    "numbers": _repeated(b"[", b"1.5e3,", b"1]"),
    "map": _counted(b"{", '"k%07d":1', b"}", b","),
    "deep": _deep(b"[", b"]"),
    "digits": _repeated(b'{"filed":', b"9", b"}"),
    "entries": lambda size: _counted(*_split(b"entries"), b",")(size),
    "record": lambda size: _counted(*_split(b"record"), b",")(size),
    "one-input": _noise_filed,
    "many-inputs": lambda size: b",".join([packed_input(b"a")] * (size // 90)).join(_filed()),
}


def _split(where: bytes) -> tuple[bytes, str, bytes]:
    """A filed record parted where `where` has its contents, and what to fill in there."""
    if where == b"record":
        head, tail = _filed()
        return head + tail[:-2], '"k%07d":1', b"}}"
    head, tail = b"".join(_filed()).split(b'"entries":[],')
    return head + b'"entries":[', '{"number":%07d}', b"]," + tail


_CATALOG = b"<</Type/Catalog/Names"
PDFS: dict[str, Maker] = {
    "large-attachment": lambda size: pdf_of([("1 survey a.yaml", Random(1).randbytes(size))]),  # noqa: S311
    "many-attachments": lambda size: pdf_of([(f"{i} survey a.yaml", b"") for i in range(size // 400)]),
    "objects": lambda size: written_pdf([_CATALOG + b" 1>>"] + [b"<<>>"] * (size // 45)),
    "deep": lambda size: written_pdf([_CATALOG + b"[" * (size // 2) + b"]" * (size // 2) + b">>"]),
    "list": lambda size: written_pdf([_CATALOG + b"[" + b"1 " * (size // 2) + b"]>>"]),
    "text": lambda size: written_pdf([_CATALOG + b"(" + b"x" * size + b")>>"]),
    "no-table": _repeated(b"%PDF-1.7\n", b"1 0 obj\n<<>>\nendobj\n", b"trailer<</Root 1 0 R>>"),
    "noise": lambda size: b"%PDF-1.7\n" + Random(1).randbytes(size),  # noqa: S311
}


def packed_attachment(packed: bytes, way: bytes, size: int) -> bytes:
    """A PDF with one attachment, packed in the given `way`, which says that it unpacks to `size` bytes."""
    name = "record.json".encode("utf-16").hex().encode()
    head = b"<</Type/EmbeddedFile/Filter%s/Length %d/Params<</Size %d>>>>stream\n" % (way, len(packed), size)
    return written_pdf(
        [
            _CATALOG + b"<</EmbeddedFiles<</Names[<%s> 2 0 R]>>>>>>" % name,
            b"<</Type/Filespec/UF<%s>/EF<</F 3 0 R>>>>" % name,
            head + packed + b"\nendstream",
        ]
    )


def picture(side: int, form: str) -> bytes:
    """A picture of `side` times `side` pixels of noise."""
    from PIL import Image

    made = io.BytesIO()
    Image.frombytes("L", (side, side), Random(1).randbytes(side * side)).convert("RGB").save(made, form)  # noqa: S311
    return made.getvalue()


def flat_picture(side: int) -> bytes:
    """A PNG of `side` times `side` pixels of one colour, which is a thousandth of what it unpacks to."""
    from PIL import Image

    made = io.BytesIO()
    Image.new("RGB", (side, side), "white").save(made, "PNG")
    return made.getvalue()
