"""What tests of filed records need: an example filed, and a small filing with a small PDF."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from surveys import ROOT
from wallwalk.attaching import attach
from wallwalk.checking import check
from wallwalk.cli.starting import read_inputs
from wallwalk.filing import CLIMATE_LOG, OVERLAY, RULE_SET, SURVEY, Filing, Input, file_record
from wallwalk.languages import ENGLISH
from wallwalk.report.pdf import draw_pdf, render_pdf

FOLDER = ROOT / "examples"
TIGHT = FOLDER / "overlays" / "nessuval-2026.yaml"


@cache
def filed(name: str, *overlays: Path, language: str = ENGLISH) -> Filing:
    """One example survey, checked and filed."""
    path = FOLDER / f"{name}.yaml"
    survey, rule_set = read_inputs(path, None, overlays, language)
    return file_record(check(survey, rule_set), survey, rule_set, path.parent)


@cache
def filed_pdf(name: str, *overlays: Path) -> bytes:
    """The PDF of one example, with all its files."""
    return render_pdf(filed(name, *overlays))


SMALL = Filing(
    {"verdict": "hold", "heading": {"space": "Baño 2"}},
    (
        Input(SURVEY, "baño 2.yaml", b"project: Ni\xc3\xb1o\n"),
        Input(CLIMATE_LOG, "logs/north.csv", b"at,t\r\n\r"),
        Input(CLIMATE_LOG, "logs/north.csv", b""),
        Input(RULE_SET, "about.yaml", b"\x00\xff"),
        Input(OVERLAY, '../"100%".yaml\n', b"for: rigid-sheet\n"),
        Input(OVERLAY, "survey 7.json", b"{}"),
    ),
    ({"signed": "hold"}, {"signed": "release"}),
)
"""A filing whose files have every kind of name, and one of them none of a text."""


@cache
def small_pdf() -> bytes:
    """A page of one heading that carries `SMALL`."""
    page = '<html lang="en"><head><title>Filed</title></head><body><h1>Filed</h1></body></html>'
    return draw_pdf(page, attach(SMALL), "2026-03-10T08:00:00-05:00")
