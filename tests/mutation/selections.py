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
    "answer_reader": ("bad", "guarded", "moments"),
    "material_measures": ("material_measures",),
    "packing": ("material_measures",),
    "sheets": ("material_measures",),
    "overlaying": ("overlays",),
    "log_rows": ("logs",),
    "log_runs": ("evidence", "measures", "logs"),
    "picture_header": ("picture_header",),
    "picture": ("pictures",),
    "photo_record": ("photo_record",),
    "photo_reader": ("photos",),
    "writing": ("writing",),
    "grounds": ("grounds",),
    "comparing": ("compare",),
    "limit_changes": ("limit_changes",),
}
"""For each module the test files, `tests/test_….py`, that see most of its mutants; what is marked slow is left out."""

WIDE = ("values", "windows", "fact_examples", "judging", "timing", "examples", "scenarios")
"""The test files that a mutant is run against in a process of its own once its quick selection has let it live."""
