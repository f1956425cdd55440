"""wallwalk: may the first sheet go up, and if not, what must be put right, by whom, and when?

The names here are for programs of one's own: reading (`read_…`) stands apart from judging (`check`), which is a pure
function of values that travel between processes. Nothing prints, exits or asks the clock; what cannot be used raises
`InputError`. Each is loaded when it is first asked for.
"""

from typing import TYPE_CHECKING

__version__ = "0.1.0"

__all__ = [
    "InputError",
    "Record",
    "RuleSet",
    "Survey",
    "Verdict",
    "check",
    "file_record",
    "parse_start",
    "read_files",
    "read_inputs",
    "read_rule_set",
    "read_survey",
    "render_html",
    "render_pdf",
    "render_terminal",
]

if TYPE_CHECKING:
    from wallwalk.checking import check
    from wallwalk.checking import load_rule_set as read_rule_set
    from wallwalk.errors import InputError
    from wallwalk.filing import file_record
    from wallwalk.inputs import parse_start, read_files, read_inputs
    from wallwalk.record import Record
    from wallwalk.report.html import render_html
    from wallwalk.report.pdf import render_pdf
    from wallwalk.report.terminal import render_terminal
    from wallwalk.rules import RuleSet
    from wallwalk.survey import Survey
    from wallwalk.survey_reader import read_survey
    from wallwalk.values import Verdict
else:
    _WHERE = {
        "InputError": "errors.InputError",
        "Record": "record.Record",
        "RuleSet": "rules.RuleSet",
        "Survey": "survey.Survey",
        "Verdict": "values.Verdict",
        "check": "checking.check",
        "file_record": "filing.file_record",
        "parse_start": "inputs.parse_start",
        "read_files": "inputs.read_files",
        "read_inputs": "inputs.read_inputs",
        "read_rule_set": "checking.load_rule_set",
        "read_survey": "survey_reader.read_survey",
        "render_html": "report.html.render_html",
        "render_pdf": "report.pdf.render_pdf",
        "render_terminal": "report.terminal.render_terminal",
    }

    def __getattr__(name: str) -> object:
        """One of the names, from the module that holds it."""
        if name not in _WHERE:
            raise AttributeError(f"module 'wallwalk' has no attribute {name!r}")
        from importlib import import_module

        module, _, attribute = _WHERE[name].rpartition(".")
        return getattr(import_module(f"wallwalk.{module}"), attribute)
