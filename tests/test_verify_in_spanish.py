"""A record in Spanish is verified in Spanish, line by line; one that names no language of ours in English."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from surveys import ROOT
from wallwalk import __version__
from wallwalk.checking import check
from wallwalk.cli.rechecking import check_again
from wallwalk.filed_json import read_filed_json, write_filed_json
from wallwalk.filing import Filing, file_record
from wallwalk.inputs import read_inputs
from wallwalk.report.terminal import render_matches
from wallwalk.signing import Signing, sign
from wallwalk.verifying import verify, words_of

SURVEY = ROOT / "tests" / "first_hour" / "b12-prep-room.yaml"
RELEASE = Signing("inspector", "Ada Fenwright", "released", "2026-05-13 07:30", "primer-has-dwelled", "Seco.")

HEAD = """\
ok  el archivo: escrito como se escribe un acta archivada
ok  su forma: la de un acta archivada (rules/record.schema.yaml)
"""
RULES = """\
ok  conjunto de reglas rigid-sheet: sus 13 archivos son los que se usaron para
    comprobar
"""
ENTRY = """\
ok  firma 1 (liberado por Ada Fenwright, inspector): como estaba cuando se
    escribió el archivo
"""
TOOL = f"-   comprobado con wallwalk {__version__}, y una vez más con {__version__}\n"
SOUND = f"""\
{HEAD}ok  levantamiento "b12-prep-room.yaml": los mismos bytes que se comprobaron
{RULES}ok  comprobado una vez más con sus propios archivos: RETENIDO otra vez, y los
    mismos 132 resultados
{TOOL}ok  el acta: como estaba cuando se puso la firma 1
{ENTRY}
COINCIDE: es lo que se comprobó.
"""
OLDER = f"""\
{HEAD}ok  levantamiento "b12-prep-room.yaml": los mismos bytes que se comprobaron
{RULES}NO  comprobado una vez más, sale otra cosa:
    findings[11].compared[1].sources[0].written es "2026-05-12 07:30", y de los
    archivos sale "2026-05-12 11:30" (primer-seen-on-the-wall, North)
{TOOL}NO  el acta: cambió después de que se puso la firma 1
{ENTRY}
NO COINCIDE: 2 cosas no coinciden. La primera: comprobado una vez más, sale otra
    cosa: findings[11].compared[1].sources[0].written es "2026-05-12 07:30", y
    de los archivos sale "2026-05-12 11:30" (primer-seen-on-the-wall, North)
"""
NO_ENTRY = "firmas: eran 1 cuando se escribió el archivo, y en él hay 0"


@cache
def written() -> bytes:
    """The prep room, checked in Spanish, filed and signed."""
    survey, rule_set = read_inputs(SURVEY, language="es")
    filing = file_record(check(survey, rule_set), survey, rule_set, Path(SURVEY.parent))
    return write_filed_json(sign(filing, RELEASE))


def told(content: bytes) -> str:
    """What `wallwalk verify` says of a file with that content."""
    filing = read_filed_json(content, "room.json")
    words = words_of(filing.record)
    return render_matches(verify(filing, check_again(filing), words), words)


@pytest.mark.slow
def test_a_sound_record_is_told_in_spanish() -> None:
    """Every line, whole."""
    assert told(written()) == SOUND


@pytest.mark.slow
def test_a_changed_record_is_told_in_spanish() -> None:
    """What was changed is named, and where."""
    assert told(written().replace(b"2026-05-12 11:30", b"2026-05-12 07:30")) == OLDER


def test_an_entry_that_was_taken_out_is_told_in_spanish() -> None:
    """So is what is missing."""
    filing = read_filed_json(written(), "room.json")
    fewer: Filing = replace(filing, entries=())
    says = [one.says for one in verify(fewer, check_again(fewer), words_of(fewer.record)) if one.matches is False]
    assert says == [NO_ENTRY]


@pytest.mark.parametrize(("language", "spoken"), [("es", "es"), ("en", "en"), ("tlh", "en"), (None, "en"), ([], "en")])
def test_the_language_is_that_of_the_record(language: object, spoken: str) -> None:
    """One that was altered to a language that nobody speaks here is told in English."""
    assert words_of({"language": language}).language == spoken
