"""A room whose every free text is hostile: the survey, its log, photo and overlay, and a rule set, drawn in every form.

The list of fields is that of the survey schema. Each text is a payload of its own, which ends with its number; the same
room with plain words in their place is drawn beside it, so that a page can be held against a page.
"""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

from surveys import FOLDER, example_document
from wallwalk.board import Asked, build_board
from wallwalk.checking import check, load_rule_set, plan
from wallwalk.cli.board_reading import Given, read_folder
from wallwalk.comparing import compare_records
from wallwalk.filing import Filing, file_record
from wallwalk.inputs import read_inputs
from wallwalk.languages import ENGLISH
from wallwalk.new_rule_set import new_rule_set
from wallwalk.questions import Question, survey_questions
from wallwalk.report.board_page import render_board_html
from wallwalk.report.comparison_forms import render_comparison_html
from wallwalk.report.html import render_html
from wallwalk.report.manual_page import render_manual_html
from wallwalk.report.schedule import render_plan_html
from wallwalk.report.sheet import render_sheet_html
from wallwalk.report.sheet_view import lay_out_sheet
from wallwalk.rules import RuleSet
from wallwalk.signing import Signing, sign
from wallwalk.survey import Survey
from wallwalk.yamlio import read_yaml

EXAMPLE = "014-old-dispensary"
PATHS = ("overlays.file", "climate_log.file", "photos.file", "rules")
"""Texts that name a file or a rule set; the files get hostile names, and `rules` names what is installed."""

Pay = Callable[[str], str]
"""Makes the text for a field from its number."""


def hostile(number: str) -> str:
    """What runs wherever it is taken for markup: in text, an attribute, a script, a style, a comment, a template."""
    return (
        f"z{number}z \"'><img src=x onerror=window.hit=1><svg onload=window.hit=2></svg><script>window.hit=3</script>"
        f"<!-- </style></title></textarea> --><a href='javascript:window.hit=4'>{{{{7*7}}}} {{0}} %(x)s %s z{number}z"
    )


def plain(number: str) -> str:
    """The same field with plain words."""
    return _words(hostile(number))


def hostile_file(number: str) -> str:
    """The name of a file that is markup; no slash can be in it."""
    return f"z{number}z\"'><img src=x onerror=window.hit=5>"


def plain_file(number: str) -> str:
    """The same for plain words."""
    return _words(hostile_file(number))


def _words(text: str) -> str:
    """A text of the same length, so that a page has room for it where it had room for the other."""
    return re.sub(r"[^\w ]", "x", text)


@dataclass(frozen=True)
class Room:
    """The room once read, and everything drawn of it."""

    folder: Path
    survey: Survey
    rule_set: RuleSet
    own: RuleSet
    filing: Filing
    board: Any
    fields: dict[str, str]
    pages: dict[str, str]


def free_texts() -> Iterator[Question]:
    """Every question of the survey schema that is answered in free text, where it is asked first."""
    for (about, path), question in survey_questions().questions.items():
        borrowed = ".instrument." in path or (about == "space" and path.startswith("walls."))
        if question.kind == "text" and not borrowed:
            yield question


@cache
def room(*, is_hostile: bool) -> Room:
    """The room with hostile texts, or with plain words."""
    pay, name = (hostile, hostile_file) if is_hostile else (plain, plain_file)
    folder = Path(mkdtemp(prefix="wallwalk-hostile-"))
    (folder / "in").mkdir()
    data, fields = _survey(folder / "in", pay, name)
    survey_file = folder / "in" / f"{name('900')}.yaml"
    survey_file.write_text(json.dumps(data))
    survey, rule_set = read_inputs(survey_file)
    record = check(survey, rule_set)
    filing = file_record(record, survey, rule_set, survey_file.parent)
    filing = sign(filing, Signing("inspector", pay("901"), "noted", "2027-01-01 08:00", "", pay("902")))
    own = _rule_set(folder, pay)
    found = read_folder(folder / "in", Given(None, (), None, ENGLISH), expected=False)
    board = build_board(found.walks, found.unread, found.passed, None, Asked("in", date(2026, 3, 9), ENGLISH, "", {}))
    pages = {
        "report": render_html(filing.record, filing.entries),
        "plan": render_plan_html(plan(survey, rule_set)),
        "comparison": render_comparison_html(compare_records(record, _walked_again(record))),
        "board": render_board_html(board),
        "manual": render_manual_html(own),
        "manual with overlay": render_manual_html(rule_set),
        "sheet": render_sheet_html(lay_out_sheet(rule_set, survey, None), "Letter"),
        "sheet of its own rules": render_sheet_html(lay_out_sheet(own, survey, None), "Letter"),
    }
    return Room(folder, survey, rule_set, own, filing, board, fields, pages)


def _walked_again(record: Any) -> Any:  # noqa: ANN401 - a record is plain data
    again = copy.deepcopy(record)
    for finding in again["findings"]:
        if finding["outcome"] == "hold":
            finding["outcome"] = "not verified"
    return again


def _survey(folder: Path, pay: Pay, name: Pay) -> tuple[Any, dict[str, str]]:
    data: Any = copy.deepcopy(example_document(EXAMPLE).data)
    fields: dict[str, str] = {}
    first = f"{pay('100')}"  # what the first instrument is called; readings refer to it by that
    for i, question in enumerate(free_texts(), 101):
        here = data if question.about == "space" else data["walls"][0]
        if question.path == "overlays.file":
            data["overlays"] = [{"file": f"{name('910')}.yaml"}]
            continue
        text = {"instruments.name": first, "photos.of": pay("920"), "photos.rule": "sheets-acclimated"}.get(
            question.path, first if question.refers_to == "instruments" else pay(str(i))
        )
        if question.path in ("climate_log.file", "photos.file"):
            text = name(str(i)) + (".csv" if question.path == "climate_log.file" else ".jpg")
        if question.path == "rules":
            continue
        if question.about == "wall" and question.path == "name":
            text = pay("920")
        _put(here, question, text)
        fields[f"{question.about} {question.path}"] = text
    data["walls"][0]["primer"]["kind"] = "water-based acrylic"  # what is said of its family follows a primer
    log = data["climate_log"][0]
    _write_log(folder / log["file"], [log["columns"][key] for key in ("at", "temperature", "humidity")], pay("930"))
    log |= {"separator": "semicolon", "temperature_unit": "°C"}
    (folder / data["photos"][0]["file"]).write_bytes((FOLDER / f"{EXAMPLE}.jpg").read_bytes())
    data["photos"] = data["photos"][:1]
    (folder / data["overlays"][0]["file"]).write_text(json.dumps(_overlay(pay)))
    return data, fields


def _put(here: Any, question: Question, text: str) -> None:  # noqa: ANN401 - a document's data
    path = question.path.split(".")
    if question.roll:
        counted = survey_questions().rolls[question.about, question.roll].counted_by
        if not here.get(question.roll):
            here[question.roll] = [{}]
            if counted:
                here[counted] = "1"
        here, path = here[question.roll][0], path[1:]
    for part in path[:-1]:
        here = here.setdefault(part, {})
    here[path[-1]] = text


def _write_log(path: Path, header: list[str], cell: str) -> None:
    def quoted(text: str) -> str:
        return '"' + text.replace('"', '""') + '"'

    rows = [row.split(";")[1:] for row in (FOLDER / f"{EXAMPLE}.csv").read_text().splitlines()[4:]]
    rows.insert(5, [quoted(cell)] * 3)
    path.write_text("\n".join(";".join(row) for row in ([quoted(name) for name in header], *rows)))


def _overlay(pay: Pay) -> Any:  # noqa: ANN401 - a document's data
    data: Any = copy.deepcopy(read_yaml(FOLDER / "overlays" / "orrelane-2026.yaml").data)
    data["overlay"] = pay("940")
    for i, limit in enumerate(data["limits"].values()):
        limit |= {"because": pay(f"95{i}"), "basis": f"published: {pay(f'96{i}')}"}
    return data


def _rule_set(folder: Path, pay: Pay) -> RuleSet:
    """A small rule set of its own, whose every text is what `pay` makes; the sentence of a hold keeps its places."""
    base = folder / "own-rules"
    base.mkdir()
    for name, content in new_rule_set("own-rules", "2026-11-25", folder / "in").items():
        (base / name).write_bytes(content)
    about, wall = (read_yaml(base / name).data for name in ("about.yaml", "wall.yaml"))
    number = iter(range(200, 300))

    def text(keep: str = "") -> str:
        return (pay(str(next(number))).replace("{", "(").replace("}", ")") + keep).strip()

    assert isinstance(about, dict)
    assert isinstance(wall, dict)
    parties: Any = about["parties"]
    changes: Any = about["changes"]
    about |= {"title": text(), "for": text(), "parties": {party: text() for party in parties}}
    about["changes"] = [
        {**change, "what": text(), "why": text(), "basis": f"published: {text()}"} for change in changes
    ]
    wall["title"] = text()
    sections: Any = wall
    for limit in sections["limits"].values():
        limit |= {"title": text(), "basis": f"published: {text()}"}
    for fact in sections["facts"].values():
        fact["title"] = text()
    for rule in sections["rules"].values():
        places = " {drying_time} {drying_time_min}" if "drying_time" in rule["hold"] else ""
        rule |= {"title": text(), "hold": text(places), "put_right": text(), "why": text()}
        rule["basis"] = f"published: {text()}"
        for example in rule["examples"]:
            example["name"] = text()
    (base / "about.yaml").write_text(json.dumps(about))
    (base / "wall.yaml").write_text(json.dumps(wall))
    return load_rule_set(str(base))
