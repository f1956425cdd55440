"""What is large costs no more than its share, whatever it is made of: time by the megabyte, memory by the file's size.

Processor time and memory are measured of the command itself, in a process of its own. What may not be as large as that
is refused, in a message that says how large it may be.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from corpus import seeds
from sizes import (
    JSON,
    LOGS,
    MEMORY_A_MB,
    MEMORY_FREE_MB,
    PDFS,
    RECORDS,
    SECONDS_A_MB,
    SECONDS_FREE,
    SPACES,
    YAML,
    Cost,
    Maker,
    cost_of,
    flat_picture,
    packed_attachment,
    packed_input,
    picture,
)
from targets import OVERLAY, ROOM, SOUND

MB = 1_000_000
_DEAR = {name: YAML[name] for name in ("flat-map", "answers-not-asked", "walls")}
"""What costs most where it is still read to its end; just below the bound (4 MB) other things are."""

GIVE = "give a file that wallwalk check or wallwalk sign wrote"

pytestmark = pytest.mark.slow


@cache
def _tiny(command: tuple[str, ...], folder: Path) -> Cost:
    return cost_of(*command, folder=folder)


def _keeps_the_law(found: Cost, tiny: Cost, size: int) -> None:
    assert "Traceback" not in found.said
    assert found.code in {0, 1, 2}, found
    assert (found.code == 2) == bool(found.said), found
    megabytes = size / MB
    assert found.seconds <= SECONDS_FREE + SECONDS_A_MB * megabytes, found
    assert found.memory_mb - tiny.memory_mb <= MEMORY_FREE_MB + MEMORY_A_MB * megabytes, (found, tiny)


def _cases(makers: dict[str, Maker], sizes: tuple[float, ...]) -> list[object]:
    return [pytest.param(make, mb, id=f"{name}-{mb:g}") for name, make in makers.items() for mb in sizes]


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with tiny files of each kind, and a cache of rule sets beside it that the first run fills."""
    folder = tmp_path_factory.mktemp("room")
    for path in ROOM.iterdir():
        (folder / path.name).write_bytes(path.read_bytes())
    (folder / "board").mkdir()
    (folder / "board" / "plain.yaml").write_bytes((ROOM / "photographed.yaml").read_bytes())
    (folder / "tiny.yaml").write_bytes(b"space: {name: a}\n")
    (folder / "tiny.csv").write_bytes(b"name\na\n")
    (folder / "tiny.json").write_bytes(seeds("record")[-1])
    (folder / "tiny.pdf").write_bytes(seeds("pdf")[-1])
    cost_of("check", "tiny.yaml", folder=folder)
    return folder


@pytest.mark.parametrize(("make", "mb"), _cases(YAML, (3.99,)) + _cases(_DEAR, (1.0, 5.0)) + _cases(JSON, (3.99,)))
def test_a_large_survey(make: Maker, mb: float, room: Path, tmp_path: Path) -> None:
    """Flat, deep, long, full of aliases, as YAML or JSON: read or refused within its share."""
    content = make(int(mb * MB))
    (tmp_path / "large.yaml").write_bytes(content)
    found = cost_of("check", "large.yaml", folder=tmp_path)
    _keeps_the_law(found, _tiny(("check", "tiny.yaml"), room), len(content))
    if len(content) > 4 * MB:
        advice = "split it or take out what is not asked"
        assert (found.code, found.said) == (2, f"large.yaml: is over 4,000,000 bytes; {advice}\n")


@pytest.mark.parametrize(("make", "mb"), _cases({n: YAML[n] for n in ("flat-map", "anchors", "long-alias")}, (3.99,)))
def test_a_large_overlay_and_a_large_theme(make: Maker, mb: float, room: Path, tmp_path: Path) -> None:
    """What is read as YAML is bounded for each that reads it."""
    content = make(int(mb * MB))
    (tmp_path / "large.yaml").write_bytes(content)
    (tmp_path / "rules").mkdir()
    (tmp_path / "rules" / "about.yaml").write_bytes((SOUND / "about.yaml").read_bytes().replace(b"drying, room, ", b""))
    (tmp_path / "rules" / "climate.yaml").write_bytes(content)
    tiny = _tiny(("rules", "test", "--overlay", str(OVERLAY), str(SOUND)), room)
    for command in (("rules", "test", "--overlay", "large.yaml", str(SOUND)), ("rules", "test", "rules")):
        _keeps_the_law(cost_of(*command, folder=tmp_path), tiny, len(content))


@pytest.mark.parametrize(("make", "mb"), _cases(SPACES, (3.99,)) + _cases({"rows.yaml": SPACES["rows.yaml"]}, (1.0,)))
def test_a_large_list_of_spaces(
    make: Maker, mb: float, room: Path, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    """As YAML and as CSV, by rows, by columns, in one cell."""
    name = f"large{'.yaml' if '.yaml' in request.node.name else '.csv'}"
    content = make(int(mb * MB))
    (tmp_path / name).write_bytes(content)
    found = cost_of("board", str(room / "board"), "--spaces", name, folder=tmp_path)
    _keeps_the_law(found, _tiny(("board", "board", "--spaces", "tiny.csv"), room), len(content))


def test_a_list_of_20000_spaces_is_read_and_one_more_refused(room: Path, tmp_path: Path) -> None:
    """The bound is where the message says it is."""
    rows = "name\n" + "".join(f"r{i}\n" for i in range(20_000))
    (tmp_path / "list.csv").write_text(rows)
    assert cost_of("board", str(room / "board"), "--spaces", "list.csv", folder=tmp_path).code == 1
    (tmp_path / "list.csv").write_text(rows + "one more\n")
    found = cost_of("board", str(room / "board"), "--spaces", "list.csv", folder=tmp_path)
    said = "list.csv:20002: spaces[20000] is one more than 20,000 spaces; split the list\n"
    assert (found.code, found.said) == (2, said)


@pytest.mark.parametrize(("make", "mb"), _cases(LOGS, (2.0,)) + _cases({"rows": LOGS["rows"]}, (1.0,)))
def test_a_large_log(make: Maker, mb: float, room: Path, tmp_path: Path) -> None:
    """In order and out of it, of one row over and over, and of anything that is no log."""
    _keeps_the_law(_logged(make(int(mb * MB)), tmp_path), _tiny(("check", "plain.yaml"), room), int(mb * MB))


def test_a_log_of_a_quarter_of_a_million_rows_is_read(room: Path, tmp_path: Path) -> None:
    """Seven megabytes, in the memory that a tiny one takes and a few more: the rows pass by one at a time."""
    content = LOGS["rows"](7 * MB)
    assert content.count(b"\n") > 250_000
    found, tiny = _logged(content, tmp_path), _tiny(("check", "plain.yaml"), room)
    assert (found.code, found.said) == (1, "")
    _keeps_the_law(found, tiny, len(content))
    assert found.memory_mb - tiny.memory_mb < 16


def _logged(content: bytes, folder: Path) -> Cost:
    (folder / "air.csv").write_bytes(content)
    survey = (ROOM / "plain.yaml").read_text(encoding="utf-8").replace("every: 10 min", "every: 1 min")
    survey = survey.replace("began: 2026-03-07 10:00", "began: 1995-01-01").replace("clock: site", 'clock: "-06:00"')
    (folder / "plain.yaml").write_text(survey, encoding="utf-8")
    return cost_of("check", "plain.yaml", folder=folder)


@pytest.mark.parametrize(("make", "mb"), _cases(RECORDS, (2.0,)) + _cases({"record": RECORDS["record"]}, (1.0,)))
def test_a_large_filed_record(make: Maker, mb: float, room: Path, tmp_path: Path) -> None:
    """JSON of one thing over and over, in and around a filed record."""
    content = make(int(mb * MB))
    (tmp_path / "large.json").write_bytes(content)
    _keeps_the_law(cost_of("verify", "large.json", folder=tmp_path), _tiny(("verify", "tiny.json"), room), len(content))


@pytest.mark.parametrize(
    ("make", "mb"), _cases(PDFS, (2.0,)) + _cases({"many-attachments": PDFS["many-attachments"]}, (1.0,))
)
def test_a_large_pdf(make: Maker, mb: float, room: Path, tmp_path: Path) -> None:
    """One large file attached to it or many, and everything that is much in a PDF."""
    content = make(int(mb * MB))
    (tmp_path / "large.pdf").write_bytes(content)
    _keeps_the_law(cost_of("verify", "large.pdf", folder=tmp_path), _tiny(("verify", "tiny.pdf"), room), len(content))


_ZEROS = 255_000_000
BOMBS: dict[str, tuple[str, Callable[[], bytes], str]] = {
    "input": (
        "x.json",
        lambda: _filed_input(bytes(_ZEROS)),
        "holds inputs that unpack to far more than a filed record of its size holds",
    ),
    "attachment": (
        "x.pdf",
        lambda: packed_attachment(zlib.compress(bytes(_ZEROS)), b"/FlateDecode", _ZEROS),
        "holds inputs that unpack to far more than a filed record of its size holds",
    ),
    "attachment-that-lies": (
        "x.pdf",
        lambda: packed_attachment(zlib.compress(bytes(_ZEROS)), b"/FlateDecode", 5),
        "is no PDF that can be read",
    ),
    "attachment-packed-twice": (
        "x.pdf",
        lambda: packed_attachment(zlib.compress(zlib.compress(bytes(_ZEROS))), b"[/FlateDecode/FlateDecode]", 5),
        "is no PDF that can be read",
    ),
    "run-lengths": (
        "x.pdf",
        lambda: packed_attachment(b"\x81a" * 500_000, b"/RunLengthDecode", 64_000_000),
        "holds inputs that unpack to far more than a filed record of its size holds",
    ),
    "run-lengths-that-lie": (
        "x.pdf",
        lambda: packed_attachment(b"\x81a" * 500_000, b"/RunLengthDecode", 5),
        'holds "record.json", which is not packed as it was filed',
    ),
}


def _filed_input(content: bytes) -> bytes:
    head = b'{"end":{"digest":"","entries":0},"entries":[],"filed":1,"inputs":['
    return head + packed_input(content) + b'],"record":{}}'


@pytest.mark.parametrize("name", BOMBS)
def test_what_unpacks_to_far_more_than_it_is_is_refused(name: str, room: Path, tmp_path: Path) -> None:
    """A quarter of a gigabyte in a few kilobytes never gets into memory."""
    file, make, found = BOMBS[name]
    content = make()
    (tmp_path / file).write_bytes(content)
    cost = cost_of("verify", file, folder=tmp_path)
    assert (cost.code, cost.said) == (2, f"{file}: {found}; {GIVE}\n")
    _keeps_the_law(cost, _tiny(("verify", f"tiny{Path(file).suffix}"), room), len(content))


def test_entries_and_lists_without_end_are_refused_in_a_record(tmp_path: Path) -> None:
    """Each with its own message, before anything is made of it."""
    entries = b",".join([b'{"number":1234567890}'] * 1001)
    (tmp_path / "x.json").write_bytes(_filed_input(b"a").replace(b'"entries":[]', b'"entries":[' + entries + b"]"))
    found = cost_of("verify", "x.json", folder=tmp_path)
    assert (found.code, found.said) == (2, f"x.json: holds over 1,000 entries; {GIVE}\n")
    (tmp_path / "x.json").write_bytes(b"[" + b"{}," * 400_000 + b"{}]")
    found = cost_of("verify", "x.json", folder=tmp_path)
    said = f"x.json: holds more lists and groups than a filed record of its size; {GIVE}\n"
    assert (found.code, found.said) == (2, said)


PICTURES: dict[str, Callable[[], bytes]] = {
    "noise-jpeg": lambda: picture(2200, "JPEG"),
    "noise-png": lambda: picture(2600, "PNG"),
    "one-colour": lambda: flat_picture(2200),
    "noise": lambda: b"\xff\xd8\xff" + LOGS["noise"](24 * MB),
    "markers": lambda: b"\xff\xd8\xff" + b"\xff\xe0\x00\x02" * 6_000_000,
    "chunks": lambda: picture(8, "PNG")[:33] + (b"\0\0\0\0tEXt\x0e\xd8\x86\x9e" * 2_000_000),
}


@pytest.mark.parametrize("name", PICTURES)
def test_a_large_photo(name: str, room: Path, tmp_path: Path) -> None:
    """Pictures of millions of pixels are read, noise and parts without end are refused, within their share."""
    content = PICTURES[name]()
    (tmp_path / "wall.jpg").write_bytes(content)
    (tmp_path / "room.yaml").write_bytes(
        (ROOM / "photographed.yaml").read_bytes().replace(b", rule: wall-dry-enough", b"")
    )
    cost_of("check", "room.yaml", folder=tmp_path)
    found = cost_of("check", "room.yaml", folder=tmp_path)
    _keeps_the_law(found, _tiny(("check", "tiny.yaml"), room), len(content))


def test_a_list_of_500_walls_is_judged_and_one_more_refused(tmp_path: Path) -> None:
    """The bound is where the message says it is; so many walls are judged in the time that what is valid takes."""
    walls = b"walls:\n" + b"".join(b"- {name: W%d}\n" % i for i in range(500))
    (tmp_path / "walls.yaml").write_bytes(walls)
    found = cost_of("check", "walls.yaml", folder=tmp_path)
    assert (found.code, found.said) == (1, "")
    assert found.seconds < 40
    (tmp_path / "walls.yaml").write_bytes(walls + b"- {name: one more}\n")
    found = cost_of("check", "walls.yaml", folder=tmp_path)
    said = "walls.yaml:1: walls is a list of 501 entries; write 500 at most, and the rest in a survey of its own\n"
    assert (found.code, found.said) == (2, said)


def test_a_thousand_faults_are_told_and_that_there_are_more(tmp_path: Path) -> None:
    """The first of the messages says so; the command shows a hundred."""
    (tmp_path / "x.yaml").write_bytes(b"space:\n" + b"".join(b"  q%d: v\n" % i for i in range(1001)))
    found = cost_of("check", "x.yaml", folder=tmp_path)
    lines = found.said.splitlines()
    first = (
        "x.yaml: has over 1,000 places that are not as asked; see that it is the right file, and put these right first"
    )
    assert (found.code, lines[0], lines[-1]) == (2, first, "and 901 more of the kind; put these right first")
    assert len(lines) == 101
