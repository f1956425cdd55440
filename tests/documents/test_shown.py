"""Whatever README and DEVELOPERS name is there: commands and their options, files, modules, headings."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from shown import DOCUMENTS, anchors, blocks, codes, commands, links, text_of
from surveys import ROOT
from wallwalk.cli import main

README = text_of("README.md")
DEVELOPERS = text_of("DEVELOPERS.md")
PACKAGE = ROOT / "inspect" / "wallwalk"
PLACEHOLDERS = {"COMMAND"}
"""What stands for any command."""
COMMON = ("--rules", "--overlay", "--paper", "--lang", "--overwrite", "--output")
"""Options that mean the same everywhere, which a sentence below the table says."""


def every_command(found: click.Command = main, path: tuple[str, ...] = ()) -> Iterator[tuple[str, click.Command]]:
    """Every command by its words, groups included."""
    yield " ".join(path), found
    if isinstance(found, click.Group):
        for name, inner in found.commands.items():
            yield from every_command(inner, (*path, name))


COMMANDS = dict(every_command())


def options(command: click.Command) -> set[str]:
    """Every spelling of every option that a command takes."""
    return {spelt for param in command.params if isinstance(param, click.Option) for spelt in param.opts} | {"--help"}


def typed(document: str) -> tuple[str, ...]:
    """Every command line of wallwalk that a document shows, without the program's name."""
    lines = [line for block in blocks(document) if block.language == "sh" for line in commands(block)]
    found = [*lines, *codes(document)]
    named = [
        re.sub(r"^(\.venv/bin/)?wallwalk ", "", line) for line in found if re.match(r"(\.venv/bin/)?wallwalk ", line)
    ]
    bare = [code for code in codes(document) if code.split()[0] in main.commands and len(code.split()) > 1]
    return tuple(dict.fromkeys([*named, *bare]))


@pytest.mark.parametrize("document", DOCUMENTS)
def test_every_command_line_can_be_typed(document: str) -> None:
    """In a block, a table or a sentence: the command is there, and takes each option."""
    lines = typed(document)
    assert len(lines) > 10
    for line in lines:
        words = line.split()
        if words[0] in PLACEHOLDERS:
            words = ["check", *words[1:]]
        depth = max(n for n in range(len(words) + 1) if " ".join(words[:n]) in COMMANDS)
        assert depth > 0, line
        shown = {word.strip("[]…,") for word in re.findall(r"(?<![\w-])--?[a-z][a-z-]*", line.partition(' "')[0])}
        assert shown - options(COMMANDS[" ".join(words[:depth])]) == set(), line


@pytest.mark.parametrize("document", DOCUMENTS)
def test_every_option_that_stands_alone_is_one(document: str) -> None:
    """`--overlay FILE` within a sentence is an option of some command."""
    known = {spelt for command in COMMANDS.values() for spelt in options(command)}
    shown = {code.split()[0] for code in codes(document) if re.match(r"--?[a-z]", code)}
    assert shown - known == set()
    assert len(shown) > 3


@pytest.mark.parametrize("name", [name for name, command in COMMANDS.items() if not isinstance(command, click.Group)])
def test_the_table_names_every_command_and_every_option(name: str) -> None:
    """In the command's own row, or in the sentence on the options that mean the same everywhere."""
    rows = [row for row in README.splitlines() if re.match(r"\| `wallwalk", row)]
    own = [row for row in rows if re.search(rf"`(wallwalk )?{name}\b", row)]
    assert own, name
    assert all(f"`{option}`" in README for option in COMMON if option != "--output")
    lacking = options(COMMANDS[name]) - set(COMMON) - {"--help"} - set(re.findall(r"--?[a-z]+", " ".join(own)))
    assert lacking == set()


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_and_option_has_help(name: str) -> None:
    """A sentence each; in what is printed no line of an option is without its text."""
    command = COMMANDS[name]
    assert command.help
    assert command.help.strip()[0].isupper()
    own = [param for param in command.params if isinstance(param, click.Option)]
    assert [param.opts for param in own if not (param.help or "").strip().endswith((".", ")"))] == []
    with click.Context(command, info_name="wallwalk", help_option_names=["-h", "--help"]) as context:
        printed = command.get_help(context).partition("Options:")[2].splitlines()
    ends = [i for i, line in enumerate(printed) if re.match(r"  -", line)]
    assert len(ends) == len(own) + 1
    for i in ends:
        told = printed[i] if "  " in printed[i].strip() else " ".join(printed[i : i + 2])
        assert re.search(r"-\S.*?\s{2,}\S", told), printed[i]


PLACES = ("", "inspect/wallwalk/", "templates/form/", "tests/", "inspect/wallwalk/report/")
"""Where a file that is named shortly may lie."""
MADE = {
    "~/.cache/wallwalk", "$XDG_CACHE_HOME/wallwalk", "02 climate log corridor.csv", ".wallwalk-….part",
    "record.json", "entries.json", "file://", "about.yaml", "wall.yaml", "conditions.yaml", "1/16 in",
    "pypa/advisory-database",
}  # fmt: skip
"""Names with the look of a path that are made by the program, lie in every rule set, or are of another project."""


@pytest.mark.parametrize("document", DOCUMENTS)
def test_every_file_that_is_named_is_there(document: str) -> None:
    """A code with a slash, or that ends as source does, is a file or folder of the project, or a pattern of some."""
    looks = re.compile(r"[\w.*-]*(/[\w.*-]*)+|[\w*-]+\.(py|js|html|css|svg|sh)")
    named = [code for code in codes(document) if looks.fullmatch(code) and code not in MADE]
    made_by_commands = {word for line in typed(document) for word in line.split()}
    lacking = [
        name
        for name in named
        if name not in made_by_commands and not any([*ROOT.glob(f"{place}{name.rstrip('/')}")] for place in PLACES)
    ]
    assert lacking == []
    assert len(named) > 2


def test_every_module_is_named_and_every_module_named_is_there() -> None:
    """The table of modules names each module of the package once, those of its folders behind the folder's name."""
    table = DEVELOPERS[DEVELOPERS.index("| module | does |") :].partition("\n\n")[0]
    named, folder = [], ""
    for cell in re.findall(r"^\| (`[^|]*`) \|", table, re.MULTILINE):
        for name in re.findall(r"`([\w./]+)`", cell):
            folder = name.partition(".")[0] if "." in name[1:] else "" if not name.startswith(".") else folder
            named.append(f"{folder}/{name.rpartition('.')[2]}" if folder else name)
    there = {p.relative_to(PACKAGE).with_suffix("").as_posix() for p in PACKAGE.rglob("*.py") if p.stem != "__init__"}
    assert {name for name in named if not name.endswith("/")} == there
    assert {name for name in named if name.endswith("/")} == {"report/", "cli/"}
    assert len(named) == len(set(named))


def test_every_script_of_the_form_is_named_and_there() -> None:
    """Those of the engine in its table; those of the interface by their pattern."""
    table = DEVELOPERS[DEVELOPERS.index("| script | mirrors |") :].partition("\n\n")[0]
    named = {
        name for cell in re.findall(r"^\| (`[^|]*`) \|", table, re.MULTILINE) for name in re.findall(r"`(\w+)`", cell)
    }
    there = {path.stem for path in (ROOT / "templates" / "form").glob("*.js")}
    assert named == {name for name in there if not name.startswith("form-")}


@pytest.mark.parametrize("document", [*DOCUMENTS, "examples/messages.md"])
def test_every_link_leads_somewhere(document: str) -> None:
    """To a file of the project, and to a heading where one is named; nothing leads out of it."""
    for target in links(document):
        file, _, anchor = target.partition("#")
        assert "://" not in target
        assert not file or (ROOT / file).is_file(), target
        assert not anchor or anchor in anchors(file or document), target
    assert links("README.md")


def test_scripts_that_are_not_run_here_are_sound() -> None:
    """What sets a machine up or takes minutes is at least a script that bash can read."""
    scripts = [ROOT / name for name in ("examples/first-walk.sh", "examples/set-up.sh", "tests/run.sh", ".ci/run")]
    for script in [*scripts, *sorted(Path(ROOT, "examples").glob("*.sh"))]:
        done = subprocess.run(["bash", "-n", str(script)], capture_output=True, text=True, check=False)
        assert (done.returncode, done.stderr) == (0, "")
