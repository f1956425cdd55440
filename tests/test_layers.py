"""The modules import one way only, heavy packages load only where they are used, and nothing below asks the world."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "inspect" / "wallwalk"

ORDER = [
    "values",
    "errors",
    "resources",
    "keeping",
    "languages",
    "lookalikes",
    "words",
    "syntax",
    "yamlio",
    "units",
    "quantities",
    "moments",
    "shape",
    "questions",
    "answers",
    "spans",
    "evidence",
    "climate",
    "photos",
    "survey",
    "log_clock",
    "answer_reader",
    "survey_reader",
    "survey_files",
    "form_questions",
    "limits",
    "psychrometrics",
    "measure",
    "log_measures",
    "limit_measures",
    "packing",
    "sheets",
    "material_measures",
    "measures",
    "comparisons",
    "trade",
    "rules",
    "refusal",
    "limit_reader",
    "fact_reader",
    "condition_reader",
    "section_reader",
    "trade_reader",
    "rule_reader",
    "facts",
    "log_table",
    "log_rows",
    "log_runs",
    "log_cells",
    "log_entry",
    "climate_reader",
    "judging",
    "timing",
    "steps",
    "wording",
    "fact_proving",
    "proving",
    "overlay_reader",
    "overlaying",
    "picture_header",
    "picture",
    "photo_reader",
    "suggesting",
    "trials",
    "form_rules",
    "finding_record",
    "climate_record",
    "materials_record",
    "photo_record",
    "record",
    "summary",
    "filing",
    "filed_json",
    "attaching",
    "filed_pdf",
    "filed_reader",
    "limit_changes",
    "grounds",
    "comparing",
    "asking",
    "question_words",
    "survey_schema",
    "blank_survey",
    "interview.draft",
    "interview.typed",
    "interview.spots",
    "interview.standing",
    "interview.commands",
    "interview.prompts",
    "interview.state",
    "interview.answering",
    "interview.listing",
    "interview.talk",
    "planning",
    "checking",
    "inputs",
    "batch",
    "editor_facts",
    "editor_schema",
    "new_rule_set",
    "differences",
    "matching",
    "input_matching",
    "chain",
    "signing",
    "verifying",
    "detached",
    "spaces_reader",
    "named_place",
    "board_walk",
    "board_spaces",
    "board_todo",
    "board_days",
    "board",
    "writing",
    "report.photos",
    "report.items",
    "report.placing",
    "report.logs",
    "report.tables",
    "report.overrides",
    "report.changes",
    "report.paper",
    "report.chart_shapes",
    "report.chart_time",
    "report.chart_marks",
    "report.chart_words",
    "report.chart_curves",
    "report.chart_clocks",
    "report.chart",
    "report.signatures",
    "report.view",
    "report.line",
    "report.terminal",
    "report.trials",
    "report.manual_view",
    "report.manual",
    "report.html",
    "form_data",
    "form_page",
    "report.pdf_tags",
    "report.pdf_archive",
    "report.pdf_letters",
    "report.pdf",
    "report.sheet_fields",
    "report.sheet_rows",
    "report.sheet_tables",
    "report.sheet_view",
    "report.sheet_looks",
    "report.sheet_form",
    "report.sheet",
    "report.schedule",
    "report.manual_page",
    "report.comparison_words",
    "report.comparison_groups",
    "report.comparison",
    "report.comparison_forms",
    "report.board_words",
    "report.board_rows",
    "report.board_jobs",
    "report.board_view",
    "report.board_terminal",
    "report.board_page",
    "report.board_table",
    "report.board_calendar",
    "cli.telling",
    "cli.stopping",
    "cli.outputs",
    "cli.workers",
    "cli.many",
    "cli.options",
    "cli.starting",
    "cli.compared",
    "cli.signed",
    "cli.rechecking",
    "cli.verified",
    "cli.keyed",
    "cli.filed",
    "cli.board_reading",
    "cli.boards",
    "cli.blanks",
    "cli.walked",
    "cli.walking",
    "cli.commands",
    "cli.authoring",
    "cli",
]


def module_name(path: Path) -> str:
    """`report/view.py` as `report.view`, `cli/__init__.py` as `cli`, the package itself as nothing."""
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def sources() -> dict[str, ast.Module]:
    """Every module of the package, parsed."""
    return {module_name(p): ast.parse(p.read_text()) for p in sorted(PACKAGE.rglob("*.py"))}


def own_imports(tree: ast.Module) -> set[str]:
    """Names of the package's own modules that `tree` imports, wherever in the file."""
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("wallwalk."):
            found.add((node.module or "").removeprefix("wallwalk."))
        if isinstance(node, ast.Import):
            found |= {a.name.removeprefix("wallwalk.") for a in node.names if a.name.startswith("wallwalk.")}
    return found


def test_every_module_has_its_place_in_the_order() -> None:
    """No module stands outside the one order."""
    assert sorted(n for n in sources() if n not in {"", "report", "interview"}) == sorted(ORDER)


def test_each_module_imports_only_those_above_it() -> None:
    """No import points backwards."""
    backwards = {
        (name, imported)
        for name, tree in sources().items()
        if name in ORDER
        for imported in own_imports(tree)
        if ORDER.index(imported) >= ORDER.index(name)
    }
    assert backwards == set()


def test_the_source_root_never_shadows_the_standard_library() -> None:
    """`inspect/` is a folder, not a package, so the standard library's `inspect` is what Python finds."""
    assert not (PACKAGE.parent / "__init__.py").exists()


def test_nothing_below_the_command_line_asks_the_clock_prints_or_exits() -> None:
    """Files are read by the readers and written by `writing`; clock, terminal and exit belong to the command line."""
    asking = {
        (name, called.attr if isinstance(called, ast.Attribute) else called.id)
        for name, tree in sources().items()
        if not name.startswith("cli")
        for called in (node.func for node in ast.walk(tree) if isinstance(node, ast.Call))
        if (isinstance(called, ast.Attribute) and called.attr in {"now", "utcnow", "today", "exit", "monotonic"})
        or (isinstance(called, ast.Name) and called.id in {"print", "input", "exit"})
    }
    assert asking == set()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("arguments", "absent"),
    [
        (
            ["check", "examples/204-treatment-room.yaml"],
            {"jinja2", "weasyprint", "icalendar", "babel", "PIL", "pytest"},
        ),
        (
            ["board", "examples", "--today", "2026-03-08"],
            {"jinja2", "weasyprint", "icalendar", "babel", "PIL", "pypdf", "pytest"},
        ),
        (["rules", "list"], {"jinja2", "weasyprint", "babel", "PIL"}),
        (["--help"], {"jinja2", "weasyprint", "jsonschema", "yaml", "babel"}),
    ],
)
def test_heavy_packages_load_only_where_they_are_used(arguments: list[str], absent: set[str]) -> None:
    """A terminal check needs neither templates nor the PDF engine; help needs no reader at all."""
    script = (
        "import sys\nfrom wallwalk.cli import main\n"
        f"try:\n    main({arguments!r})\nexcept SystemExit:\n    pass\n"
        "print(*sorted({m.split('.')[0] for m in sys.modules}), file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=PACKAGE.parent.parent
    )
    loaded = set(done.stderr.split())
    assert "wallwalk" in loaded
    assert loaded & absent == set()
