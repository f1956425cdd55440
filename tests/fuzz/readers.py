"""The names of the readers that are fuzzed, which `targets.py` has a function for and `corpus.py` seeds."""

NAMES = (
    "survey",
    "climate-log",
    "overlay",
    "rules-about",
    "rules-theme",
    "rules-conditions",
    "record",
    "resealed",
    "pdf",
    "spaces",
    "photo",
)
