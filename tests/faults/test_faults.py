"""Faults of the machine: every row of the table comes out as it says, and nothing is left half done at any moment."""

from __future__ import annotations

import logging
import sqlite3
import subprocess
from pathlib import Path

import pytest

import wallwalk.climate_reader
from fault_table import ROWS
from faulty import Row, environment, furnish, seen, wanted
from filings import SMALL
from stopping_moments import LONG, trials
from surveys import ROOT
from wallwalk.batch import Checker, Wanted
from wallwalk.cli.rechecking import match_page
from wallwalk.errors import InputError, MissingPartError
from wallwalk.inputs import read_inputs
from wallwalk.log_cells import gather
from wallwalk.report.pdf_letters import every_letter
from wallwalk.survey_files import survey_files

STOPS = 15
ROOM = "204-treatment-room"


@pytest.mark.slow
@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_a_fault_is_met_as_the_table_says(row: Row, tmp_path: Path) -> None:
    """Exit code, whole message, first line said or all that is said, and every file that is new or changed."""
    assert seen(row, tmp_path) == wanted(row, tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize("megabytes", [32, 36, 40])
def test_too_little_memory_is_said_on_one_line(megabytes: int, tmp_path: Path) -> None:
    """Where it fails differs from machine to machine, and so may what Python says of it; the end is the same."""
    furnish(tmp_path)
    command = f"ulimit -v {megabytes}000; exec wallwalk check room.yaml -o a.json"
    done = subprocess.run(
        ["bash", "-c", command], cwd=tmp_path, env=environment(), capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr.count("\n"), done.stderr[:9]) == (2, 1, "stopped: ")
    assert not (tmp_path / "a.json").exists()


def test_no_row_is_tried_twice() -> None:
    """Each row of the table is another one, and says what has to come."""
    assert len({(row.fault, row.command, row.before) for row in ROWS}) == len(ROWS)
    assert [row for row in ROWS if row.code not in (0, 1, 2) or (row.out and row.same)] == []


@pytest.mark.slow
def test_long_commands_stop_at_any_moment_without_a_half_written_file(tmp_path: Path) -> None:
    """Killed, interrupted or ended: whole files or none, no process left, and one word or the verdict at the end."""
    tried = list(trials(STOPS, tmp_path))
    assert len({name.split(", SIG")[0] for name, _ in tried}) == len(LONG)
    assert [(name, amiss) for name, amiss in tried if amiss] == []


def _copied(folder: Path) -> Path:
    for suffix in (".yaml", ".csv"):
        (folder / f"{ROOM}{suffix}").write_bytes((ROOT / "examples" / f"{ROOM}{suffix}").read_bytes())
    return folder / f"{ROOM}.yaml"


@pytest.mark.parametrize("when", ["longer", "gone"])
def test_a_log_that_changes_while_it_is_read_is_no_evidence(
    when: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Else the record would name the digest of bytes that nobody judged."""
    survey, log = _copied(tmp_path), tmp_path / f"{ROOM}.csv"

    def meanwhile(*arguments: object) -> object:
        gathered = gather(*arguments)  # type: ignore[arg-type]
        if when == "gone":
            log.unlink()
        else:
            log.write_bytes(log.read_bytes() + b"2026-03-10 08:00:00,20.5,41.9\n")
        return gathered

    monkeypatch.setattr(wallwalk.climate_reader, "gather", meanwhile)
    with pytest.raises(InputError) as refused:
        read_inputs(survey)
    what = {
        "longer": "changed while it was read; let the logger finish its file, and check again",
        "gone": "cannot be read (No such file or directory); put the logger's file there, or write its name",
    }
    assert str(refused.value) == f'{survey}:103: climate_log[0].file is "{ROOM}.csv", which {what[when]}'


def test_a_log_that_cannot_be_sorted_for_want_of_room_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is sorted on the disk, in the folder for temporary files."""
    survey, log = _copied(tmp_path), tmp_path / f"{ROOM}.csv"
    head, first, *rows = log.read_text().splitlines(keepends=True)
    log.write_text("".join((head, *rows, first)))
    connect = sqlite3.connect

    def small(name: str) -> sqlite3.Connection:
        made = connect(name)
        made.execute("PRAGMA max_page_count = 2")
        return made

    monkeypatch.setattr(sqlite3, "connect", small)
    with pytest.raises(MissingPartError) as refused:
        read_inputs(survey)
    assert str(refused.value) == (
        f"{ROOM}.csv: cannot be sorted by time (database or disk is full); "
        "make room in the folder for temporary files, or let TMPDIR name another"
    )


def test_what_vanishes_from_a_folder_while_it_is_checked_is_told(tmp_path: Path) -> None:
    """A file and a folder that were seen there are not checked, and the others go on."""
    for name in ("a.yaml", "b.yaml", "sub/c.yaml", "z.yaml"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("space: {name: A}\n")
    check, rows = Checker(Wanted()), []
    for number, found in enumerate(survey_files([tmp_path])):
        rows.append(check(found))
        if number == 0:
            (tmp_path / "b.yaml").unlink()
            (tmp_path / "sub" / "c.yaml").unlink()
            (tmp_path / "sub").rmdir()
    assert [(Path(row.file).name, row.summary is not None, row.faults) for row in rows] == [
        ("a.yaml", True, ()),
        ("b.yaml", False, (f"{tmp_path / 'b.yaml'}: is not there; give the path of a YAML file",)),
        ("z.yaml", True, ()),
    ]


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (MissingPartError("a part is lacking"), "a part is lacking"),
        (MemoryError(), "needs more memory than there is; check it alone"),
    ],
)
def test_what_the_machine_lacks_for_one_of_many_is_said_of_it(
    error: Exception, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is no fault of the program, and no other survey's."""

    def lacking(_: object) -> None:
        raise error

    monkeypatch.setattr("wallwalk.batch.parse_survey", lacking)
    (tmp_path / "a.yaml").write_text("space: {name: A}\n")
    rows = map(Checker(Wanted()), survey_files([tmp_path / "a.yaml"]))
    assert [row.faults for row in rows] == [(f"{tmp_path / 'a.yaml'}: {said}",)]


def test_where_no_page_can_be_drawn_nothing_is_said_of_the_pages(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A machine without Pango, a font or memory does not say of a PDF that it was changed."""
    (tmp_path / "a.pdf").write_bytes(b"%PDF-1.7\n")

    def lacking(*_: object, **__: object) -> None:
        raise MissingPartError("a part is lacking")

    monkeypatch.setattr("wallwalk.report.pdf.render_pdf", lacking)
    with pytest.raises(MissingPartError, match=r"^a part is lacking$"):
        list(match_page(tmp_path / "a.pdf", SMALL))


def test_letters_that_no_font_has_are_named_once_each() -> None:
    """Five at most, those that cannot be shown by their number; what else WeasyPrint says is no such letter."""
    log = logging.getLogger("weasyprint")
    text = '.notdef glyph rendered for Unicode string unsupported by fonts: "%s" (U+%04X)'

    def draw(letters: str) -> None:
        with every_letter():
            for letter in letters:
                log.warning(text, letter, ord(letter))
            log.warning("something else: %s", "é")

    with pytest.raises(MissingPartError) as refused:
        draw("漢漢\u200b")
    assert str(refused.value) == (
        "no font on this machine has 漢 (U+6F22), U+200B, so the PDF would show an empty box there; install one that "
        "has, such as fonts-noto of Debian or Ubuntu; the HTML report shows what the browser can"
    )
    draw("")
