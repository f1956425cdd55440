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
    "packing": ("packing",),
    "sheets": ("packing", "material_measures"),
    "overlay_reader": ("overlay_files", "overlay_stacks"),
    "overlaying": ("overlay_ways", "overlay_stacks", "overlay_files"),
    "limit_changes": ("limit_changes",),
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
    "picture_header": ("picture_header",),
    "picture": ("pictures",),
    "photo_record": ("photo_record",),
    "photo_reader": ("photos",),
    "grounds": ("grounds",),
    "comparing": ("compare",),
}
"""For each module the test files, `tests/test_….py`, that see most of its mutants; what is marked slow is left out.

Never `writing`: it clears away what an earlier write left in a folder, and tests write to /dev/full, so that a mutant
of it can empty a folder of the machine.
"""

WIDE = ("values", "windows", "fact_examples", "judging", "timing", "examples", "scenarios")
"""The test files that a mutant is run against in a process of its own once its quick selection has let it live."""
