"""What README and DEVELOPERS show is what the program does and what the files hold."""

from __future__ import annotations

import re
from pathlib import Path

import click
import pytest
import yaml

from surveys import ROOT
from test_cli import COMMANDS, wallwalk
from wallwalk.cli import main

README = (ROOT / "README.md").read_text()
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text()


def block(text: str, language: str, holding: str) -> str:
    """The one code block of that language with `holding` in it."""
    found = [b for b in re.findall(rf"```{language}\n(.*?)```", text, re.DOTALL) if holding in b]
    assert len(found) == 1
    return str(found[0])


def test_the_summary_in_the_readme_is_what_is_printed() -> None:
    """Line for line the beginning of the corridor's summary."""
    shown = block(README, "text", "HOLD |").splitlines()
    assert wallwalk("check", "examples/110-link-corridor.yaml").stdout.splitlines()[: len(shown)] == shown
    assert len(shown) > 4


def test_the_survey_lines_in_the_readme_stand_in_the_example() -> None:
    """Every line shown of the survey is one of its lines."""
    example = [line.strip() for line in (ROOT / "examples" / "110-link-corridor.yaml").read_text().splitlines()]
    shown = [line.strip() for line in block(README, "yaml", "planned_start").splitlines()]
    assert len(shown) > 8
    assert [line for line in shown if line not in example] == []


def test_the_rule_to_copy_in_developers_stands_in_the_rule_set() -> None:
    """Limit, fact and rule, whole, as they are in the file it names."""
    shown = yaml.safe_load(block(DEVELOPERS, "yaml", "gap-at-base"))
    held = yaml.safe_load((ROOT / "rules" / "rigid-sheet" / "layout.yaml").read_text())
    for section in ("limits", "facts", "rules"):
        assert {name: held[section][name] for name in shown[section]} == shown[section]


@pytest.mark.parametrize("command", [c[0] for c in COMMANDS])
def test_every_command_is_in_the_readme(command: str) -> None:
    """A command that nobody reads of might as well not be there."""
    assert f"`wallwalk {command}" in README


def options_of(words: list[str]) -> tuple[int, set[str]]:
    """How many of the words name a command, and the options that this command takes."""
    found: click.Command = main
    for named, word in enumerate(words):
        if not isinstance(found, click.Group) or word not in found.commands:
            return named, {name for param in found.params for name in param.opts}
        found = found.commands[word]
    return len(words), {name for param in found.params for name in param.opts}


def test_every_command_line_in_the_readme_can_be_typed() -> None:
    """Each one shown, in a block, in a table or in a sentence, names a command and only options that it takes."""
    lines = re.findall(
        r"(?<! )wallwalk (\w[^`\n]*(?:\\\n[^`\n]*)*)",
        "\n".join(re.findall(r"```sh\n.*?```|`[^`\n]+`", README, re.DOTALL)),
    )
    assert len(lines) > 20
    for line in lines:
        words = line.replace("\\\n", " ").split()
        depth, known = options_of(words)
        assert depth > 0, line
        assert {word.rstrip("]…,") for word in re.findall(r"(?<![\w-])--?[a-z][a-z-]*", line)} - known == set(), line


@pytest.mark.slow
def test_every_blank_in_the_readme_is_written(tmp_path: Path) -> None:
    """Each `wallwalk blank -o FILE` of a sentence makes that file."""
    shown = re.findall(r"`wallwalk blank -o ([\w.]+)`", README)
    assert {Path(name).suffix for name in shown} == {".yaml", ".json", ".html", ".pdf"}
    outputs = [part for name in shown for part in ("-o", str(tmp_path / name))]
    assert wallwalk("blank", *outputs).returncode == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(shown)


def test_every_module_is_in_the_table_of_modules() -> None:
    """No module is left out of the contributor's table."""
    named = set(re.findall(r"`([a-z_]+)/?`", DEVELOPERS[DEVELOPERS.index("| module | does |") :]))
    modules = {p.stem for p in (ROOT / "inspect" / "wallwalk").glob("*.py")} - {"__init__"}
    assert modules - named == set()


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_links_lead_to_files_that_are_there(text: str) -> None:
    """Every link to a file of the project resolves."""
    targets = [t for t in re.findall(r"\]\(([^)]+)\)", text) if "://" not in t]
    assert [t for t in targets if not (ROOT / t).is_file()] == []


def test_every_package_is_explained() -> None:
    """Each dependency has its reason in the contributor's guide."""
    project = (ROOT / "pyproject.toml").read_text()
    listed = re.findall(r'^    "([A-Za-z-]+)[>=]', project, re.MULTILINE)
    assert len(listed) > 10
    assert [name for name in listed if not name.startswith("types-") and name.lower() not in DEVELOPERS.lower()] == []
