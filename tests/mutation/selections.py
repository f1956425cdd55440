"""Which tests are run against the mutants of which module: a quick selection, and a wide one for what survives."""

from __future__ import annotations

QUICK = {
    "values": ("values", "comparisons"),
    "comparisons": ("comparisons", "judging", "guarded"),
    "judging": ("judging",),
    "timing": ("windows",),
    "measure": ("measures",),
    "measures": ("measures",),
    "facts": ("facts",),
    "limits": ("measures", "wording"),
    "evidence": ("evidence", "measures"),
    "log_measures": ("measures", "logs"),
    "limit_measures": ("measures", "material_measures"),
    "quantities": ("units", "moments"),
    "units": ("units", "wording", "measures"),
    "moments": ("moments",),
    "spans": ("spans", "evidence"),
    "answer_reader": ("answer_reader",),
    "material_measures": ("material_measures",),
    "packing": ("material_measures",),
    "sheets": ("material_measures",),
    "overlaying": ("overlays",),
    "log_rows": ("logs",),
    "log_runs": ("log_runs", "evidence"),
    "chain": ("chain",),
    "signing": ("entries", "signing"),
    "input_matching": ("input_matching",),
    "differences": ("differences",),
    "verifying": ("verifying",),
    "filing": ("filing",),
    "filed_json": ("filing",),
    "attaching": ("attaching",),
    "filed_pdf": ("filed_pdf",),
    "filed_reader": ("filed_reader",),
    "record": ("record",),
    "finding_record": ("record",),
    "climate_record": ("record",),
    "log_cells": ("log_cells",),
    "log_clock": ("log_clock",),
}
"""For each module the test files, `tests/test_….py`, that see most of its mutants; what is marked slow is left out."""

WIDE = ("values", "windows", "fact_examples", "judging", "timing", "examples", "scenarios")
"""The test files that a mutant is run against in a process of its own once its quick selection has let it live."""
