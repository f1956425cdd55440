"""The phone form: one HTML file that needs nothing but itself, asks the questions and judges the answers."""

from __future__ import annotations

import base64
import hashlib
import json

from markupsafe import Markup

import wallwalk
from wallwalk.form_data import form_data
from wallwalk.report.html import page_environment
from wallwalk.resources import data_folder, rule_set_names
from wallwalk.rules import RuleSet
from wallwalk.words import words_in

ENGINE = (
    *("exact", "quantities", "moments", "shape", "survey", "measures", "materials", "facts", "judging", "timing"),
    "asking",
)
INTERFACE = (
    *("parts", "survey", "store", "controls", "quantities", "questions", "lists", "walls", "wording", "judging"),
    *("result", "pages", "files", "start"),
)
"""The scripts, in the order in which they follow one another in one scope."""

_FIRST = '"use strict";\nconst DATA = JSON.parse(document.getElementById("data").textContent);\n'


def render_form(rule_set: RuleSet) -> bytes:
    """The form for `rule_set`, in its language. Raises nothing that a proven rule set can cause."""
    words = words_in(rule_set.language)
    script, style = form_script(), _read("form.css")
    data = json.dumps(form_data(rule_set, script), ensure_ascii=False, separators=(",", ":"))
    page = page_environment(words).get_template("form/form.html")
    shown = {
        "rule_set": rule_set,
        "is_installed": rule_set.name in rule_set_names(),
        "version": wallwalk.__version__,
        "data": Markup(data.replace("<", "\\u003c")),  # noqa: S704 - nothing in it can end the element
        "script": Markup(script),  # noqa: S704 - our own
        "style": Markup(style),  # noqa: S704 - our own
        "script_digest": _digest(script),
        "style_digest": _digest(style),
    }
    return page.render(shown).encode()


def form_script() -> str:
    """Every script of the form, one after the other."""
    names = (*ENGINE, *(f"form-{name}" for name in INTERFACE))
    return _FIRST + "\n".join(_read(f"{name}.js") for name in names)


def _read(name: str) -> str:
    return (data_folder("templates") / "form" / name).read_text(encoding="utf-8")


def _digest(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
