"""Which tests are run against the mutants of which module: a quick selection for all, a wide one for what survives it."""

from __future__ import annotations

QUICK = {
    "values": ("comparisons", "judging", "measures", "evidence", "units", "wording", "timing"),
    "comparisons": ("comparisons", "judging", "guarded"),
    "judging": ("judging", "decision", "timing", "guarded"),
    "timing": ("timing", "planning"),
    "measure": ("measures", "material_measures"),
    "measures": ("measures", "material_measures", "comparisons", "psychrometrics"),
    "facts": ("judging", "guarded", "measures", "timing", "logs", "decision"),
    "limits": ("judging", "overlays", "wording", "timing"),
    "evidence": ("evidence", "evidence_law", "logs", "measures"),
    "log_measures": ("measures", "logs", "evidence"),
    "limit_measures": ("measures",),
    "quantities": ("units", "moments", "measures", "wording"),
    "units": ("units", "measures", "wording", "material_measures"),
    "moments": ("moments", "timing", "wording", "planning"),
    "spans": ("spans", "evidence", "logs"),
    "answers": ("judging", "logs"),
    "answer_reader": ("judging", "guarded", "bad"),
    "material_measures": ("material_measures",),
    "packing": ("material_measures",),
    "sheets": ("material_measures",),
    "overlaying": ("overlays",),
    "log_rows": ("logs",),
    "log_runs": ("logs", "measures"),
}
"""For each module the test files, `tests/test_….py`, that see most of its mutants; what is marked slow is left out."""

WIDE = (
    "judging", "guarded", "measures", "material_measures", "comparisons", "evidence", "timing", "logs", "units", "moments",
    "wording", "decision", "planning", "examples", "overlays", "rule_sets", "scenarios", "fact_examples", "bad", "trials",
)  # fmt: skip
"""The test files that a mutant is run against in a process of its own once its quick selection has let it live."""
