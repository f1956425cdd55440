"""Outputs are whole or not there, what was there is kept, and every refusal says what to do."""

from __future__ import annotations

import errno
import json
import os
import resource
import socket
import stat
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

import wallwalk.writing
from killed_writers import KILLS, MIDDLE, STEPS
from surveys import ROOT
from test_cli import wallwalk as run
from wallwalk.errors import MissingPartError
from wallwalk.writing import LEFT_OVER, LEFT_OVER_AFTER_S, refuse_targets, write_all, write_whole

ROOM = "examples/204-treatment-room.yaml"
THERE = "is there already; give another name, or add --overwrite"
NO_FOLDER = "give a folder that is there and that you may write to"
NO_ROOM = "make room there, or give another folder"


def names_in(folder: Path) -> list[str]:
    """Everything in a folder, hidden or not."""
    return sorted(path.name for path in folder.iterdir())


def refusal(path: Path, *, overwrite: bool = False) -> str:
    """What is said where `path` cannot be written, without the path; the folder it is in stays as it was."""
    before = names_in(path.parent) if path.parent.is_dir() else []
    with pytest.raises(MissingPartError) as refused:
        write_whole(path, b"new", overwrite=overwrite)
    assert (names_in(path.parent) if path.parent.is_dir() else []) == before
    said = str(refused.value)
    assert said.startswith(f"{path}: ")
    return said.removeprefix(f"{path}: ")


# -- what is there --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name", ["room.pdf", "Sala de la señora Ñúñez, 2.ª visita.pdf", "-o.pdf", "a\nb.pdf", "x" * 251 + ".pdf"]
)
def test_a_new_file_is_written_under_its_own_name(name: str, tmp_path: Path) -> None:
    """Names with spaces, ñ, a line end, and as long as a name may be; nothing else is left."""
    write_whole(tmp_path / name, b"new", overwrite=False)
    assert names_in(tmp_path) == [name]
    assert (tmp_path / name).read_bytes() == b"new"


def test_a_file_that_is_there_is_kept_unless_told_otherwise(tmp_path: Path) -> None:
    """With `overwrite` it is the new one, which may be read by the same people as the old one."""
    path = tmp_path / "room.pdf"
    path.write_bytes(b"earlier")
    path.chmod(0o640)
    assert refusal(path) == THERE
    assert path.read_bytes() == b"earlier"
    write_whole(path, b"new", overwrite=True)
    assert (path.read_bytes(), stat.S_IMODE(path.stat().st_mode)) == (b"new", 0o640)
    assert names_in(tmp_path) == ["room.pdf"]


def test_who_may_read_a_new_file_is_as_usual(tmp_path: Path) -> None:
    """As any other program's file, by the mask of the one who runs it."""
    mask = os.umask(0o027)
    try:
        write_whole(tmp_path / "room.pdf", b"new", overwrite=False)
    finally:
        os.umask(mask)
    assert stat.S_IMODE((tmp_path / "room.pdf").stat().st_mode) == 0o640


def put_folder(path: Path) -> None:
    """A folder of that name."""
    path.mkdir()


def put_link(path: Path) -> None:
    """A link to a file that is there."""
    (path.parent / "elsewhere").write_bytes(b"earlier")
    path.symlink_to("elsewhere")


def put_dangling(path: Path) -> None:
    """A link to nothing."""
    path.symlink_to("nowhere")


def put_loop(path: Path) -> None:
    """A link to itself."""
    path.symlink_to(path.name)


def put_pipe(path: Path) -> None:
    """A pipe, at which an open for writing would wait for ever."""
    os.mkfifo(path)


def put_socket(path: Path) -> None:
    """A socket."""
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        with socket.socket(socket.AF_UNIX) as made:
            made.bind(f"/proc/self/fd/{folder}/{path.name}")  # the name of a socket may not be long
    finally:
        os.close(folder)


@pytest.mark.parametrize("overwrite", [False, True])
@pytest.mark.parametrize(
    ("put", "said"),
    [
        (put_folder, "is a folder; give the name of a file"),
        (put_link, "is a link to elsewhere; give that name itself, or another"),
        (put_dangling, "is a link to nowhere; give that name itself, or another"),
        (put_loop, "is a link to room.pdf; give that name itself, or another"),
        (put_pipe, "is no ordinary file; give another name"),
        (put_socket, "is no ordinary file; give another name"),
    ],
)
def test_what_is_no_file_is_never_written_over(
    put: Callable[[Path], None], said: str, tmp_path: Path, *, overwrite: bool
) -> None:
    """Not with `overwrite` either; nothing is written through a link."""
    put(tmp_path / "room.pdf")
    assert refusal(tmp_path / "room.pdf", overwrite=overwrite) == said
    if (tmp_path / "elsewhere").exists():
        assert (tmp_path / "elsewhere").read_bytes() == b"earlier"


def test_a_device_is_no_target() -> None:
    """What is written to it would be gone."""
    assert refusal(Path("/dev/null"), overwrite=True) == "is no ordinary file; give another name"


def test_a_folder_reached_by_a_link_is_written_to(tmp_path: Path) -> None:
    """The file's own name is what may not be a link."""
    (tmp_path / "reports").mkdir()
    (tmp_path / "link").symlink_to("reports")
    write_whole(tmp_path / "link" / "room.pdf", b"new", overwrite=False)
    assert names_in(tmp_path / "reports") == ["room.pdf"]


def test_every_target_that_will_not_do_is_named_at_once(tmp_path: Path) -> None:
    """A line for each, also for one that is given twice by another spelling."""
    (tmp_path / "a.pdf").write_bytes(b"earlier")
    (tmp_path / "b.html").mkdir()
    (tmp_path / "link").symlink_to(".")
    paths = [tmp_path / "a.pdf", tmp_path / "b.html", tmp_path / "c.json", tmp_path / "link" / "c.json"]
    with pytest.raises(MissingPartError) as refused:
        refuse_targets(paths, overwrite=False)
    assert str(refused.value).splitlines() == [
        f"{paths[0]}: {THERE}",
        f"{paths[1]}: is a folder; give the name of a file",
        f"{paths[3]}: is given twice; give each output its own name",
    ]


def test_one_that_came_in_between_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another program's file of that name, put there after it was looked for, stays; so it does without hard links."""
    real = wallwalk.writing.refuse_targets

    def too_early(paths: list[Path], *, overwrite: bool) -> None:
        real(paths, overwrite=overwrite)
        paths[0].write_bytes(b"quicker")

    monkeypatch.setattr(wallwalk.writing, "refuse_targets", too_early)
    with pytest.raises(MissingPartError) as refused:
        write_whole(tmp_path / "room.pdf", b"new", overwrite=False)
    assert str(refused.value) == f"{tmp_path / 'room.pdf'}: {THERE}"
    assert (names_in(tmp_path), (tmp_path / "room.pdf").read_bytes()) == (["room.pdf"], b"quicker")


def test_a_file_system_without_second_names_will_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A memory stick, for one."""

    def none(_: Path, __: Path) -> None:
        raise OSError(errno.EPERM, os.strerror(errno.EPERM))

    monkeypatch.setattr(Path, "hardlink_to", none)
    write_whole(tmp_path / "room.pdf", b"new", overwrite=False)
    assert refusal(tmp_path / "room.pdf") == THERE
    assert names_in(tmp_path) == ["room.pdf"]


# -- where it cannot be written -------------------------------------------------------------------------------------


def test_a_path_that_leads_nowhere_is_said(tmp_path: Path) -> None:
    """No folder, a file for a folder, a name that is too long."""
    (tmp_path / "file").write_bytes(b"")
    assert refusal(tmp_path / "none" / "a.pdf") == f"cannot be written (No such file or directory); {NO_FOLDER}"
    assert refusal(tmp_path / "file" / "a.pdf") == f"cannot be written (Not a directory); {NO_FOLDER}"
    assert refusal(tmp_path / f"{'x' * 252}.pdf") == "cannot be written (File name too long); give a shorter name"


@contextmanager
def as_nobody() -> Iterator[None]:
    """Without the rights of the one who may do everything."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)


def test_a_folder_that_may_only_be_read_is_said() -> None:
    """And what is in it stays."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "there.pdf").write_bytes(b"earlier")
        folder.chmod(0o555)
        with as_nobody():
            for file in ("room.pdf", "there.pdf"):
                said = refusal(folder / file, overwrite=True)
                assert said == f"cannot be written (Permission denied); {NO_FOLDER}"
        folder.chmod(0o755)
        assert (names_in(folder), (folder / "there.pdf").read_bytes()) == (["there.pdf"], b"earlier")


@contextmanager
def room_for(most: int) -> Iterator[None]:
    """No file may grow over so many bytes."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def test_without_room_for_all_of_them_none_is_written(tmp_path: Path) -> None:
    """The last of three is too big: the first is not put in place, and the file that was there stays."""
    (tmp_path / "a.pdf").write_bytes(b"earlier")
    files = [(tmp_path / name, b"x" * size) for name, size in (("a.pdf", 10), ("b.html", 10), ("c.json", 4000))]
    with pytest.raises(MissingPartError) as refused, room_for(1000):
        list(write_all(files, overwrite=True))
    assert str(refused.value) == f"{tmp_path / 'c.json'}: cannot be written (File too large); {NO_ROOM}"
    assert (names_in(tmp_path), (tmp_path / "a.pdf").read_bytes()) == (["a.pdf"], b"earlier")


@pytest.mark.parametrize(
    ("fault", "said"), [(errno.ENOSPC, "No space left on device"), (errno.EDQUOT, "Disk quota exceeded")]
)
def test_a_full_disk_is_said_and_leaves_what_was_there(
    fault: int, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where it shows only when the file is flushed, too."""

    def full(_: int) -> None:
        raise OSError(fault, os.strerror(fault))

    (tmp_path / "room.pdf").write_bytes(b"earlier")
    monkeypatch.setattr(os, "fsync", full)
    assert refusal(tmp_path / "room.pdf", overwrite=True) == f"cannot be written ({said}); {NO_ROOM}"
    assert (tmp_path / "room.pdf").read_bytes() == b"earlier"


def test_file_and_folder_are_flushed_before_it_is_said_to_be_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The file before it gets its name, the folder once it has it."""
    flushed: list[tuple[str, list[str]]] = []
    real = os.fsync

    def seen(handle: int) -> None:
        what = "folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file"
        flushed.append((what, [n for n in names_in(tmp_path) if not LEFT_OVER.fullmatch(n)]))
        real(handle)

    monkeypatch.setattr(os, "fsync", seen)
    written = write_all([(tmp_path / "a.pdf", b"a"), (tmp_path / "b.pdf", b"b")], overwrite=False)
    assert next(written) == tmp_path / "a.pdf"
    assert flushed == [("file", []), ("file", []), ("folder", ["a.pdf"])]
    assert list(written) == [tmp_path / "b.pdf"]
    assert flushed[3:] == [("folder", ["a.pdf", "b.pdf"])]


# -- programs that are killed ---------------------------------------------------------------------------------------


@pytest.mark.slow
def test_two_hundred_kills_each_way_lose_no_file_and_leave_none_in_part(tmp_path: Path) -> None:
    """After each the file is not there, the whole old or the whole new one; scraps go with a later write.

    `pytest -s` prints in which step of a write they were killed, for new files and for those written over.
    """
    script = ROOT / "tests" / "killed_writers.py"
    done = subprocess.run([sys.executable, script, tmp_path], capture_output=True, text=True, check=True)
    found = json.loads(done.stdout)
    assert found["amiss"] == []
    print(f"killed: {found['killed']}")  # noqa: T201 - asked for with -s
    assert {way: sum(steps.values()) for way, steps in found["killed"].items()} == {"new": KILLS, "over": KILLS}
    # Most kills fell into the middle of a write, behind the opening of its temporary file, and each left that there.
    for steps in found["killed"].values():
        assert sum(steps.get(step, 0) for step in MIDDLE) > KILLS / 2
    assert found["left"] > KILLS / 2
    assert found["moved"] > 20
    # And one writer each way was killed as each step of its write began.
    assert found["steps"] == {"new": list(STEPS), "over": list(STEPS)}
    age(tmp_path)
    write_whole(tmp_path / "last.bin", b"new", overwrite=False)
    assert [name for name in names_in(tmp_path) if name.startswith(".")] == []


def age(folder: Path) -> None:
    """Make every scrap in the folder older than a program may take."""
    for path in folder.glob(".*"):
        at = path.stat().st_mtime - LEFT_OVER_AFTER_S - 1
        os.utime(path, (at, at))


def test_a_later_write_takes_old_scraps_away_and_nothing_else(tmp_path: Path) -> None:
    """A young one may be another program's that still writes; other names and longer ones are nobody's scraps."""
    old = [".wallwalk-abcd1234.part", ".wallwalk-abcd1235.part"]
    kept = [".wallwalk-abcd1234.pdf", ".wallwalk-.part", "wallwalk-abcd1234.part", ".wallwalk-abcd12345.part"]
    (tmp_path / old[0]).write_bytes(b"")
    (tmp_path / old[1]).mkdir()
    (tmp_path / old[1] / "about.yaml").write_bytes(b"")
    for name in kept:
        (tmp_path / name).write_bytes(b"")
    age(tmp_path)
    (tmp_path / ".wallwalk-young_00.part").write_bytes(b"")
    write_whole(tmp_path / "room.pdf", b"new", overwrite=False)
    assert names_in(tmp_path) == sorted([*kept, ".wallwalk-young_00.part", "room.pdf"])


def test_one_that_is_stopped_in_between_leaves_nothing(tmp_path: Path) -> None:
    """Where the one who asked goes away after the first of two, only that one is there."""
    written = write_all([(tmp_path / "a.pdf", b"a"), (tmp_path / "b.pdf", b"b")], overwrite=False)
    next(written)
    assert len(names_in(tmp_path)) > 2  # b.pdf lies ready
    del written
    assert names_in(tmp_path) == ["a.pdf"]


# -- the commands ---------------------------------------------------------------------------------------------------


@pytest.mark.slow
@pytest.mark.parametrize(
    ("command", "first"),
    [(["check", ROOM], "PASS"), (["plan", ROOM], "PLAN"), (["rules", "show"], ""), (["rules", "schema"], "")],
    ids=["check", "plan", "rules show", "rules schema"],
)
def test_no_command_writes_over_a_file_unless_told(command: list[str], first: str, tmp_path: Path) -> None:
    """The verdict is said all the same, no other output is written, and the exit code is that of a usage error."""
    there, other = tmp_path / "there.html", tmp_path / "other.html"
    there.write_text("earlier")
    both = ["-o", str(other), "-o", str(there)] if command[1] != "schema" else ["-o", str(there)]
    done = run(*command, *both)
    assert (done.returncode, done.stdout[:4], done.stderr) == (2, first, f"{there}: {THERE}\n")
    assert (there.read_text(), names_in(tmp_path)) == ("earlier", ["there.html"])
    done = run(*command, *both, "--overwrite")
    assert done.returncode in (0, 1)
    assert done.stdout.splitlines()[-1] == f"Wrote {there}"
    assert there.read_text() != "earlier"


@pytest.mark.slow
def test_what_was_read_is_not_written_over_even_where_told(tmp_path: Path) -> None:
    """The survey and the overlay laid over its rules may be .json files."""
    (tmp_path / "room.json").write_text('{"space": {"name": "A"}}')
    overlay = (ROOT / "examples" / "overlays" / "nessuval-2026.yaml").read_text()
    (tmp_path / "tight.json").write_text(overlay)
    for name in ("room.json", "tight.json"):
        done = run("check", "room.json", "--overlay", "tight.json", "-o", name, "--overwrite", cwd=tmp_path)
        assert (done.returncode, done.stdout[:4]) == (2, "HOLD")
        assert done.stderr == f"{name}: is read to make this; give another name\n"
    assert (tmp_path / "tight.json").read_text() == overlay
    assert names_in(tmp_path) == ["room.json", "tight.json"]
