"""The table of what the trade asks for: how it is read, and every mistake in it refused with its whole message.

`bad/conditions/sound/` lies over the small sound rule set of `bad/rule_sets/`; each file beside it changes one passage
of conditions.yaml (or of the file it is `in`) and holds the whole message.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
import yaml

from surveys import ROOT, rigid_sheet
from wallwalk.errors import InputError
from wallwalk.rule_reader import read_rule_set
from wallwalk.trade import TradeRow, TradeSection, TradeTable
from wallwalk.trade_reader import read_trade_table
from wallwalk.yamlio import read_yaml

BAD = Path(__file__).parent / "bad"
CHANGES = tuple(sorted(path.stem for path in (BAD / "conditions").glob("*.yaml")))


def sound(into: Path) -> Path:
    """A copy of the small sound rule set, with its table."""
    folder = into / "sound"
    shutil.copytree(BAD / "rule_sets" / "sound", folder)
    shutil.copy(BAD / "conditions" / "sound" / "conditions.yaml", folder)
    return folder


def change_of(name: str) -> dict[str, str]:
    """One bad table: the passage changed, what to `write`, what it `says`, and the file where it is another one."""
    read: dict[str, str] = yaml.safe_load((BAD / "conditions" / f"{name}.yaml").read_text(encoding="utf-8"))
    return read


def changed(into: Path, passage: str, write: str, file: str = "conditions.yaml") -> Path:
    """The sound rule set with its table, with one passage changed."""
    folder = sound(into)
    text = (folder / file).read_text(encoding="utf-8")
    assert text.count(passage) == 1
    (folder / file).write_text(text.replace(passage, write), encoding="utf-8")
    return folder


def test_a_table_is_read_in_the_order_it_is_written(tmp_path: Path) -> None:
    """Sections, rows, rules and reasons, whole."""
    assert read_rule_set(str(sound(tmp_path))).conditions == TradeTable(
        "What the trade asks for",
        (
            TradeSection(
                "The wall",
                (
                    TradeRow("Primer dry", ("primer-has-dried", "wall-dry-enough"), ""),
                    TradeRow("Plumb", (), "no rule of so small a set asks for it"),
                ),
            ),
            TradeSection(
                "The room", (TradeRow("Air in its band", ("air-in-band", "air-steady", "swing-as-usual"), ""),)
            ),
        ),
        {"kept-in-band": "The room has to stay as it is."},
    )


def test_a_rule_set_need_not_have_one(tmp_path: Path) -> None:
    """Without the file nothing is said; with it, its bytes are part of the rule set's digest."""
    bare = read_rule_set(str(BAD / "rule_sets" / "sound"))
    assert bare.conditions is None
    assert read_rule_set(str(sound(tmp_path))).sha256 != bare.sha256


def test_there_are_as_many_bad_tables_as_were_thought_of() -> None:
    """A glob that finds nothing would test nothing."""
    assert len(CHANGES) == 18


@pytest.mark.parametrize("name", CHANGES)
def test_a_bad_table_is_refused_with_its_whole_message(name: str, tmp_path: Path) -> None:
    """The message is the expected one to the letter."""
    change = change_of(name)
    folder = changed(tmp_path, change["instead_of"], change["write"], change.get("in", "conditions.yaml"))
    with pytest.raises(InputError) as refused:
        read_rule_set(str(folder))
    assert str(refused.value) == change["says"]


def test_each_text_that_lacks_a_language_is_named(tmp_path: Path) -> None:
    """Of a rule set that is written in Spanish too, every title, condition and reason is asked for."""
    document = read_yaml(sound(tmp_path) / "conditions.yaml", "conditions.yaml")
    with pytest.raises(InputError) as refused:
        read_trade_table(document, read_rule_set(str(tmp_path / "sound")).rules, "es", ("en", "es"))
    assert str(refused.value).splitlines() == [
        "conditions.yaml:1: has no title in es; write es: and title: below it",
        "conditions.yaml:3: sections[0] has no title in es; write es: and title: below it",
        "conditions.yaml:5: sections[0].rows[0] has no condition in es; write es: and condition: below it",
        "conditions.yaml:7: sections[0].rows[1] has no condition in es; write es: and condition: below it",
        "conditions.yaml:7: sections[0].rows[1] has no left in es; write es: and left: below it",
        "conditions.yaml:8: sections[1] has no title in es; write es: and title: below it",
        "conditions.yaml:10: sections[1].rows[0] has no condition in es; write es: and condition: below it",
        "conditions.yaml:12: own.kept-in-band has no because in es; write es: and because: below it",
    ]


@pytest.mark.slow
def test_the_table_is_told_in_the_language_asked_for() -> None:
    """Titles, conditions and reasons of the shipped table stand in Spanish where Spanish is asked for."""
    document = read_yaml(ROOT / "rules" / "rigid-sheet" / "conditions.yaml")
    table = read_trade_table(document, rigid_sheet().rules, "es", ("en", "es"))
    assert table.title == "Lo que pide el oficio y las reglas que lo piden"
    assert table.sections[0].title == "Espacio y cerramiento"
    assert table.sections[3].rows[2].condition == "Tiempo de secado del imprimador antes del adhesivo"
    assert table.sections[8].rows[5].left.startswith("no es una regla sino la forma en que juzga cada regla")
    assert table.own["compound-before-primer"] == (
        "Una junta retocada después de imprimar queda sin imprimador, como sea que esté el resto de la pared."
    )
    assert read_rule_set("rigid-sheet", "es").conditions == table
