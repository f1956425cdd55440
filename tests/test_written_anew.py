"""`verify -o` gives every form of a report again out of a filed one, byte for byte, unless that was altered."""

from __future__ import annotations

import io
from pathlib import Path

import pikepdf
import pytest
from click.testing import CliRunner, Result

from filings import FOLDER, TIGHT, filed
from signed_filings import DISPENSARY, KITCHEN, SEEN, signed
from wallwalk.cli import main
from wallwalk.filed_json import read_filed_json, write_filed_json
from wallwalk.filing import Filing
from wallwalk.report.html import render_html
from wallwalk.report.pdf import render_pdf
from wallwalk.report.terminal import render_sign_off, render_terminal
from wallwalk.signing import Signing, sign

LOOSE = FOLDER / "overlays" / "quillen-ferry-specification.yaml"
RELEASE = Signing("inspector", "Íñigo Núñez", "released", "2026-03-11 16:00", "no-damp-signs", "Leído seco, «5».")


def verify(*arguments: object) -> Result:
    """The command, run here."""
    return CliRunner().invoke(main, ["verify", *map(str, arguments)])


def live(filing: Filing, page_size: str) -> dict[str, bytes]:
    """Every form of a report, drawn from the record that was just made and never saved."""
    return {
        ".json": write_filed_json(filing),
        ".html": render_html(filing.record, filing.entries, page_size=page_size).encode(),
        ".pdf": render_pdf(filing, page_size=page_size),
    }


@pytest.mark.slow
@pytest.mark.parametrize(
    ("filing", "saved", "paper"),
    [
        (lambda: sign(sign(filed(DISPENSARY, language="es"), RELEASE), SEEN), ".json", "A4"),  # a photo, a log, signed
        (lambda: filed(KITCHEN, LOOSE, TIGHT), ".pdf", "Letter"),  # laid over, looser and tighter
    ],
    ids=["from-json", "from-pdf"],
)
def test_every_form_is_given_again_as_it_was_drawn_live(filing: object, saved: str, paper: str, tmp_path: Path) -> None:
    """Out of the JSON page and PDF, out of the PDF page and JSON: the same bytes as of the live record."""
    made: Filing = filing()  # type: ignore[operator]
    wanted = live(made, paper)
    source = tmp_path / f"niño room{saved}"
    source.write_bytes(wanted[saved])
    again = [tmp_path / f"again{suffix}" for suffix in wanted]
    done = verify(source, "--paper", paper, *(part for path in again for part in ("-o", path)))
    assert (done.exit_code, done.stderr) == (0, "")
    assert done.stdout.endswith("".join(f"Wrote {path}\n" for path in again))
    assert {path.suffix: path.read_bytes() for path in again} == wanted


def test_what_the_terminal_says_of_a_saved_record_is_what_it_said_live() -> None:
    """Read back from its file, a record prints the same, and so do its entries."""
    for made in (signed(), filed(DISPENSARY, language="es")):
        read = read_filed_json(write_filed_json(made), "room.json")
        assert render_terminal(read.record) == render_terminal(made.record)
        assert render_sign_off(read.record, read.entries) == render_sign_off(made.record, made.entries)


def test_what_was_altered_is_not_written_anew(tmp_path: Path) -> None:
    """Exit code 1, one line that says so, and no file: a fresh page must not make an altered record look whole."""
    source, out = tmp_path / "room.json", tmp_path / "room.html"
    source.write_bytes(write_filed_json(signed()).replace(b"five places", b"four places"))
    done = verify(source, "-o", out)
    assert (done.exit_code, done.stderr) == (
        1,
        f"Wrote nothing: {source} is not what was filed, and is not written anew as if it were.\n",
    )
    assert not out.exists()


@pytest.mark.slow
def test_pages_that_differ_are_said_and_drawn_anew(tmp_path: Path) -> None:
    """A PDF that another tool saved holds what was filed, and gives it back; its own pages are still doubted."""
    source, out = tmp_path / "room.pdf", tmp_path / "room.json"
    with pikepdf.open(io.BytesIO(render_pdf(signed()))) as pdf:
        pdf.save(source)
    done = verify(source, "-o", out)
    assert (done.exit_code, done.stderr) == (1, "")
    assert "NOT the pages: the PDF is not the one that the record inside draws here" in done.stdout
    assert out.read_bytes() == write_filed_json(signed())


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("room.json", "room.json: is read to make this; give another name\n"),
        ("there.html", "there.html: is there already; give another name, or add --overwrite\n"),
    ],
)
def test_no_output_takes_the_place_of_a_file(name: str, said: str, tmp_path: Path) -> None:
    """Neither of the record that is read nor of another, and that is said before anything is looked at."""
    source = tmp_path / "room.json"
    source.write_bytes(write_filed_json(signed()))
    (tmp_path / "there.html").write_text("mine")
    done = verify(source, "-o", tmp_path / name)
    assert (done.exit_code, done.stdout, done.stderr) == (2, "", f"{tmp_path}/{said}")
    assert (tmp_path / "there.html").read_text() == "mine"
    assert source.read_bytes() == write_filed_json(signed())
