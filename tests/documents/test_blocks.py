"""Every block of README and DEVELOPERS is run, or is what the file it was taken from holds.

Commands are run as they stand, in one scratch folder a document that looks like the checkout, so that later ones find
what earlier ones made. What prints is compared whole with the text below, paragraph by paragraph: a document may leave
out the end of a long one.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest
import yaml
from PIL import Image, ImageChops, ImageStat

from shown import DOCUMENTS, Block, blocks, commands
from surveys import ROOT
from wallwalk.new_rule_set import new_rule_set

NOT_RUN = {
    "bash examples/first-walk.sh": "sets up the machine it runs on; what it runs then, test_cli runs over each example",
    "bash tests/run.sh": "runs every test, this one among them",
}
"""Commands that no test can run, and why; each is a script that `test_shown` reads."""
HOLDS = (
    "wallwalk check examples/110-link-corridor.yaml",
    "wallwalk check examples -o",
    "wallwalk check examples/second-walk",
    "wallwalk compare corridor.pdf second.pdf",
)
"""How the commands begin whose answer is a hold, exit code 1; every other one ends in 0."""
MADE = {
    "README.md": {
        "corridor.pdf", "corridor.html", "corridor.json", "records.jsonl", "second.pdf", "compared.pdf", "signed.json",
        "signed.pdf",
    },
    "DEVELOPERS.md": {"words.pot"},
}  # fmt: skip
"""What the commands of a document leave behind."""
APART_MAX = 4
"""So far apart, of 255 and on average, two drawings of one page may be; an empty page is 12 apart from this one."""
EXCERPTS = {
    "time_zone": "examples/110-link-corridor.yaml",
    "limits": "rules/rigid-sheet/layout.yaml",
    "alkalinity_needed": "rules/rigid-sheet/substrate.yaml",
}
"""By the first key of a yaml block: the file whose lines it shows."""


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """A folder with what the documents name, where `.venv/bin/wallwalk` is the program under test."""
    for name in ("examples", "inspect", "templates"):
        shutil.copytree(ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__", "out"))
    (tmp_path / ".venv" / "bin").mkdir(parents=True)
    program = shutil.which("wallwalk")
    assert program is not None
    (tmp_path / ".venv" / "bin" / "wallwalk").symlink_to(program)
    return tmp_path


def run(command: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """A command line, by the shell, as it stands."""
    environment = {**os.environ, "HOME": str(folder)}
    return subprocess.run(
        ["bash", "-c", command], capture_output=True, text=True, cwd=folder, env=environment, check=False
    )


def paragraphs(text: str) -> list[str]:
    """What blank lines part."""
    return re.split(r"\n\n+", text.strip("\n"))


def below(document: str, block: Block) -> Block | None:
    """The text block that follows a block at once, as its output."""
    every = blocks(document)
    after = every[every.index(block) + 1 :][:1]
    return after[0] if after and after[0].language == "text" and _near(block, after[0]) else None


def _near(block: Block, after: Block) -> bool:
    return after.line - (block.line + block.text.count("\n") + 1) <= 2


@pytest.mark.slow
@pytest.mark.parametrize("document", DOCUMENTS)
def test_every_command_block_runs_and_prints_what_stands_below(document: str, checkout: Path) -> None:
    """Nothing goes to standard error, each exit code is the one meant, and the files are there."""
    before = {path.name for path in checkout.iterdir()}
    shown = [block for block in blocks(document) if block.language == "sh"]
    assert shown
    for block in shown:
        said = ""
        for command in commands(block):
            if command in NOT_RUN:
                continue
            done = run(command, checkout)
            holds = command.removeprefix(".venv/bin/").startswith(HOLDS)
            assert (done.returncode, done.stderr if "wallwalk" in command.split()[0] else "") == (int(holds), ""), (
                command
            )
            said += done.stdout
        printed = below(document, block)
        if printed is not None:
            wanted = paragraphs(printed.text)
            assert paragraphs(said)[: len(wanted)] == wanted
    assert {path.name for path in checkout.iterdir()} - before == MADE[document]
    if document == "README.md":
        assert_the_picture_is_current(checkout / "corridor.pdf")
    if document == "DEVELOPERS.md":  # the catalogue is what its commands make of the words
        catalogue = Path("templates", "locale", "es", "LC_MESSAGES", "wallwalk.po")
        assert _entries(checkout / catalogue) == _entries(ROOT / catalogue)


def assert_the_picture_is_current(report: Path) -> None:
    """The picture in README shows the first page of `report`, as `examples/draw-picture.sh` draws it.

    By the words of the page, which the picture carries; and by its pixels, so far as other versions of
    what draws may be apart.
    """
    page = report.with_name("page")
    kept = Image.open(ROOT / "examples" / "report.png")
    words = subprocess.run(
        ["pdftotext", "-layout", "-f", "1", "-l", "1", report, "-"], capture_output=True, text=True, check=True
    )
    assert kept.text["Page"].split() == words.stdout.split()  # type: ignore[attr-defined]
    subprocess.run(["pdftoppm", "-png", "-r", "80", "-f", "1", "-l", "1", "-singlefile", report, page], check=True)
    drawn = Image.open(page.with_suffix(".png"))
    page.with_suffix(".png").unlink()
    assert drawn.size == kept.size
    (apart,) = ImageStat.Stat(ImageChops.difference(drawn.convert("L"), kept.convert("L"))).mean
    assert apart <= APART_MAX


def _entries(catalogue: Path) -> list[str]:
    """The entries of a catalogue, in one order, without its head, which holds the day."""
    return sorted(paragraphs(catalogue.read_text(encoding="utf-8"))[1:])


def test_every_block_is_of_a_kind_that_is_tested() -> None:
    """Commands and their output here; a survey or rules in `test_documents`; Python in `test_library`."""
    every = [block for document in DOCUMENTS for block in blocks(document)]
    assert {block.language for block in every} == {"sh", "text", "yaml", "python", ""}
    texts = [block for block in every if block.language == "text"]
    ran = [block for block in every if block.language == "sh"]
    outputs = [below(block.document, block) for block in ran]
    alone = [block for block in texts if block not in outputs]
    assert [block.text.split("\n")[0] for block in alone] == ["TO DO - Lead installer and crew"]  # in test_board
    assert [block.text.split()[0] for block in every if block.language == ""] == ["logger.csv"]  # the flow, drawn
    python = [block for block in every if block.language == "python"]
    assert ["from wallwalk import InputError" in block.text for block in python] == [True]  # run by test_library
    lines = {line for block in ran for line in commands(block)}
    assert NOT_RUN.keys() - lines == set()
    assert all((ROOT / command.split()[1]).is_file() for command in NOT_RUN)


@pytest.mark.parametrize(
    "block", [b for document in DOCUMENTS for b in blocks(document) if b.language == "yaml"], ids=lambda b: str(b.line)
)
def test_every_yaml_block_is_in_the_file_it_was_taken_from(block: Block) -> None:
    """Each line of it, or each thing it says; a line for an editor heads every file of a new rule set."""
    if block.text.startswith("# yaml-language-server"):
        files = new_rule_set("wood-panels", "2026-03-09", ROOT)
        heads = {name: text.decode().splitlines()[0] for name, text in files.items() if name.endswith(".yaml")}
        assert heads == dict.fromkeys(("about.yaml", "wall.yaml"), block.text.strip())
        return
    shown = yaml.safe_load(block.text)
    file = ROOT / EXCERPTS[next(iter(shown))]
    if file.parent.name == "examples":
        held = {line.strip() for line in file.read_text(encoding="utf-8").splitlines()}
        assert [line for line in block.text.splitlines() if line.strip() not in held] == []
    else:
        whole = yaml.safe_load(file.read_text(encoding="utf-8"))
        parts = shown if "rules" in shown else {"facts": shown}
        assert _lacking(parts, whole, "") == []


def _lacking(shown: object, whole: object, place: str) -> list[str]:
    """Each place where what is shown is not what the file says; of a list or group, a part may be shown."""
    if isinstance(shown, dict) and isinstance(whole, dict):
        return [one for key in shown for one in _lacking(shown[key], whole.get(key), f"{place}.{key}")]
    if isinstance(shown, list) and isinstance(whole, list) and not isinstance(shown[0], str):
        return [f"{place}: {one}" for one in shown if one not in whole]
    return [] if shown == whole else [place]
