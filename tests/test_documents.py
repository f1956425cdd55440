"""What README and DEVELOPERS show of files is what the files hold; what they show of commands is in `documents/`."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from surveys import ROOT
from test_cli import wallwalk

README = (ROOT / "README.md").read_text()
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text()


def block(text: str, language: str, holding: str) -> str:
    """The one code block of that language with `holding` in it."""
    found = [b for b in re.findall(rf"```{language}\n(.*?)```", text, re.DOTALL) if holding in b]
    assert len(found) == 1
    return str(found[0])


@pytest.mark.slow
def test_every_blank_in_the_readme_is_written(tmp_path: Path) -> None:
    """Each `wallwalk blank -o FILE` of a sentence makes that file."""
    shown = re.findall(r"`wallwalk blank -o ([\w.]+)`", README)
    assert {Path(name).suffix for name in shown} == {".yaml", ".json", ".html", ".pdf"}
    outputs = [part for name in shown for part in ("-o", str(tmp_path / name))]
    assert wallwalk("blank", *outputs).returncode == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(shown)


def test_every_package_is_explained() -> None:
    """Each dependency has its reason in the contributor's guide."""
    project = (ROOT / "pyproject.toml").read_text()
    listed = re.findall(r'^    "([A-Za-z-]+)[>=]', project, re.MULTILINE)
    assert len(listed) > 10
    assert [name for name in listed if not name.startswith("types-") and name.lower() not in DEVELOPERS.lower()] == []
