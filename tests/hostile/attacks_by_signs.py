"""Signs that command a terminal, turn a text round or are not seen; names that look alike; formulas; calendar lines."""

from __future__ import annotations

import copy
import csv
import io
import json
import re
from typing import Any

import icalendar
import pytest

from attack import Attack, Check, Scene, attack
from attacks_by_markup import opened
from filings import filed
from hostile_room import room
from surveys import FOLDER, example, example_document, rigid_sheet, survey_from
from terminal import commands_in, run
from wallwalk.checking import plan
from wallwalk.errors import InputError
from wallwalk.filed_json import write_filed_json
from wallwalk.filing import Filing
from wallwalk.form_page import render_form
from wallwalk.report.board_calendar import render_board_calendar
from wallwalk.report.board_table import render_board_table
from wallwalk.report.schedule import render_calendar
from wallwalk.signing import Signing, sign

ESCAPES = "\x1b[2J\x1b]0;PASS\x07\x1b]8;;mailto:x\x1b\\\x1b]52;c;eA==\x07\x9b31m\x90q\x9c\b\x7f"
TURNED = "\u202ellew\u202c \u2066x\u2069 \u200f"


def refusal(text: str) -> str:
    """What is said of a survey that is refused."""
    try:
        survey_from(text)
    except InputError as error:
        return str(error)
    raise AssertionError("it was read")


def _refused(signs: str) -> Check:
    def check(_: Scene) -> None:
        for sign_ in signs:
            for text in (f'space: {{name: "204{sign_} room"}}\n', f'space:\n  notes: "x\\U{ord(sign_):08x}"\n'):
                told = refusal(text)
                assert f"has the character U+{ord(sign_):04X}, which is not text; take it out" in told
                assert not commands_in(told)

    return check


SIGNS_REFUSED = tuple(
    Attack(
        name,
        "unseen",
        gives,
        "any text of a survey, overlay or rule set; as it is, or by its number in double quotes",
        "survey",
        "yamlio",
        "`has the character U+…, which is not text; take it out`, exit code 2",
        _refused(signs),
    )
    for name, gives, signs in (
        (
            "a name turned round",
            "U+202A to U+202E, U+2066 to U+2069, U+200E, U+200F, U+061C",
            "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f\u061c",
        ),
        (
            "signs of no width",
            "zero-width space and joiners, word joiner, byte order mark, soft hyphen, grapheme joiner",
            "\u200b\u200c\u200d\u2060\ufeff\xad\u034f",
        ),
        (
            "letters that are not drawn",
            "Hangul fillers, Khmer and Mongolian fillers, tags, variation selectors 17 on",
            "\u3164\uffa0\u115f\u1160\u17b4\u180e\U000e0041\U000e0100",
        ),
        (
            "line breaks that no editor shows",
            "U+0085, U+2028, U+2029, U+000B, U+000C: YAML takes some for the end of a line",
            "\x85\u2028\u2029\x0b\x0c",
        ),
    )
)


@attack(
    "a name that looks like another",
    "unseen",
    gives="Cyrillic А beside A, é in one sign and in two, full-width and ligature letters, another dash",
    through="names of walls and instruments",
    into="survey",
    stopped="lookalikes, survey_reader",
    seen='`is "…", which looks like walls[0].name; give each its own name`, exit code 2',
)
def alike(_: Scene) -> None:
    """Two names that nobody can tell apart are refused; names that can be are not."""
    for first, second in LOOK_ALIKE:
        told = refusal(json.dumps({"walls_in_scope": "2", "walls": [{"name": first}, {"name": second}]}))
        assert told.endswith(", which looks like walls[0].name; give each its own name"), told
        told = refusal(json.dumps({"instruments": [{"name": first}, {"name": second}]}))
        assert told.endswith(", which looks like instruments[0].name; give each its own name"), told
    for first, second in (("Wall 1", "Wall 2"), ("Wall I", "Wall l"), ("Стена 1", "Wall 1"), ("e", "é")):
        survey_from(json.dumps({"walls_in_scope": "2", "walls": [{"name": first}, {"name": second}]}))


LOOK_ALIKE = (
    ("Wall A", "Wall \u0410"),
    ("\u0421\u041e\u0420", "COP"),
    ("caf\u00e9", "cafe\u0301"),
    ("Wall 2", "\uff37\uff41\uff4c\uff4c \uff12"),
    ("Office", "O\ufb03ce"),
    ("1-2", "1\u20132"),
    ("North", "North\ufe0f"),
    ("\u0395\u0399", "EI"),
)


@attack(
    "a wall called as reports call the space",
    "unseen",
    gives="`The space` and `walls not written down` with Cyrillic letters in them",
    through="walls.name",
    into="survey",
    stopped="lookalikes, survey_reader",
    seen="`which reports use themselves; give it another name`, exit code 2",
)
def reserved(_: Scene) -> None:
    """Nothing that a reader would take for the space, or for the walls nobody wrote down, is a wall's name."""
    for name in ("The sp\u0430ce", "w\u0430lls not written down", "space", "\u0405pace".lower()):
        told = refusal(json.dumps({"walls": [{"name": name}]}))
        assert told.endswith(", which reports use themselves; give it another name"), told


@attack(
    "the same names and signs in the phone form",
    "form",
    gives="names that look alike, reserved names in other letters, signs that are not seen, texts of 1,001 letters",
    through="a survey that the form judges",
    into="the form's reader, in Chromium",
    stopped="survey.js, shape.js",
    seen="the same faults as at the desk",
    slow=True,
)
def in_the_form_too(scene: Scene) -> None:
    """What the desk refuses, the form refuses in the same words."""
    documents: list[Any] = [{"walls": [{"name": one}, {"name": other}]} for one, other in LOOK_ALIKE]
    documents += [
        {"walls": [{"name": "The sp\u0430ce"}]},
        {"space": {"name": "x" * 1001}},
        {"space": {"name": "x" * 1000}},
    ]
    documents += [{"space": {"name": f"a{sign_}b"}} for sign_ in "\u202e\u200b\u3164\x85\u2028\x1b\xad\ufe0f"]
    with opened(scene, render_form(room(is_hostile=False).own)) as (page, said):
        asked = (
            "docs => docs.map(d => readSurvey(DATA, d).faults.map(f => `${f.place} ${f.found}; ${f.instead}`.trim()))"
        )
        told = page.evaluate(asked, documents)
        assert [one for one in said if not one.startswith("request")] == []
    desk: list[list[str]] = []
    for document in documents:
        try:
            survey_from(json.dumps(document))
            desk.append([])
        except InputError as error:
            desk.append([f"{fault.path} {fault.found}; {fault.instead}" for fault in error.faults])
    assert told == desk
    assert sum(map(bool, desk)) == len(documents) - 2


@attack(
    "a verdict that looks reversed",
    "unseen",
    gives="right-to-left override and isolates in a survey's file name",
    through="the file's name on the disk",
    into="terminal, HTML report, board",
    stopped="cli.telling, report.html, cli.board_reading",
    seen="the signs by their numbers: `\\u202e`",
)
def turned_file_name(scene: Scene) -> None:
    """The name is shown as it is written, each such sign by its number."""
    survey = scene.folder / f"{TURNED}.yaml"
    survey.write_bytes((FOLDER / "031-staff-kitchen.yaml").read_bytes())
    page, board = scene.folder / "report.html", scene.folder / "board.csv"
    code, out, err = run("check", survey, "-o", page)
    assert (code, err) == (1, "")
    assert commands_in(out) == set()
    assert "\\u202ellew\\u202c" in out
    assert commands_in(page.read_text()) == set()
    assert "\\u202ellew\\u202c" in page.read_text()
    code, out, err = run("board", scene.folder, "--today", "2026-03-09", "-o", board)
    assert (code, err) == (1, "")
    assert commands_in(out + board.read_text().replace("\r", "")) == set()
    assert "\\u202ellew\\u202c" in board.read_text()


@attack(
    "who signs is not who it seems",
    "unseen",
    gives="override, zero-width, escape and filler signs, and a name of nothing else",
    through="sign --name and --remark",
    into="a filed record",
    stopped="signing",
    seen="`has a character that cannot be printed; write it in plain text`, exit code 2",
)
def signs_in_signing(_: Scene) -> None:
    """Nothing is signed with a name or a remark that is not seen as it is."""
    filing = filed("031-staff-kitchen")
    for odd in ("A\u202eB", "A\u200bB", "\u3164", "A\x1b[2J", "A\x9b2J", "\U000e0041x"):
        for name, remark in ((odd, ""), ("A", odd)):
            with pytest.raises(InputError) as refused:
                sign(filing, Signing("inspector", name, "noted", "2027-01-01 08:00", "", remark))
            assert "which has a character that cannot be printed; write it in plain text" in str(refused.value)
            assert not commands_in(str(refused.value))


def remade(filing: Filing, change: Any) -> Filing:  # noqa: ANN401 - changes a record
    """The filing with a record that is another, all digests made anew, as an attacker would."""
    record = copy.deepcopy(dict(filing.record))
    change(record)
    return Filing(record, filing.inputs)


def _odd_heading(record: Any) -> None:  # noqa: ANN401 - a record
    record["heading"] |= {
        "space": f"A {ESCAPES}{TURNED}\r",
        "project": "P\nPASS | x\r\x1b[1A",
        "walked_by": f"W{ESCAPES}",
    }
    for finding in record["findings"]:
        finding["title"] += ESCAPES
        finding["put_right"] += "\u202e"


@attack(
    "escapes in a filed record",
    "terminal",
    gives="CSI, OSC 0, 8 and 52, C1, BEL, backspace, CR, U+202E in names and texts of a record made anew",
    through="a filed record (.json)",
    into="compare, sign and board: terminal, HTML, table, calendar",
    stopped="cli.telling, report.html, board_table, board_calendar",
    seen="the signs by their numbers: `\\x1b`",
    slow=True,
)
def escapes_in_a_record(scene: Scene) -> None:
    """Whatever a record says, no output but the record itself holds a sign that a terminal obeys."""
    folder = scene.folder / "filed"
    folder.mkdir()
    good = scene.folder / "good.json"
    good.write_bytes(write_filed_json(filed("031-staff-kitchen")))
    odd = folder / "odd.json"
    odd.write_bytes(write_filed_json(remade(filed("031-staff-kitchen"), _odd_heading)))
    made = {name: scene.folder / name for name in ("c.html", "s.html", "b.html", "b.csv", "b.ics")}
    who = ("--role", "inspector", "--name", "A", "--decision", "noted", "--at", "2027-01-01 08:00")
    runs = (
        ("compare", good, odd, "-o", made["c.html"]),
        ("sign", odd, *who, "-o", scene.folder / "s.json", "-o", made["s.html"]),
        ("board", folder, "--today", "2026-03-09", *(x for n in ("b.html", "b.csv", "b.ics") for x in ("-o", made[n]))),
    )
    for arguments, ends in zip(runs, (1, 0, 1), strict=True):
        code, out, err = run(*arguments)
        assert (code, err) == (ends, "")
        assert commands_in(out) == set()
        assert "\\x1b[2J" in out
    for name, path in made.items():
        said = path.read_bytes().decode()
        assert commands_in(said.replace("\r\n", "\n")) == set(), name
        assert "\\x1b" in said.replace("\\\\", "\\") or name == "b.ics"


@attack(
    "escapes in file names",
    "terminal",
    gives="escapes, a line feed with a verdict behind it, and bytes that are no UTF-8",
    through="names of files in a folder",
    into="check FOLDER, check FILE, board",
    stopped="errors (Fault), cli.telling",
    seen="each on its one line, `\\x1b` and `\\n` by their numbers",
)
def escapes_in_file_names(scene: Scene) -> None:
    """No file's name commands the terminal, or makes a line of its own."""
    names = [f"a{ESCAPES}.yaml", "b\nPASS | room.yaml", "c\rPASS.yaml", "d\udcff\udc9b.yaml"]
    for name in names:
        (scene.folder / name).write_bytes(b"walls: [")
    (scene.folder / f"good{ESCAPES}.yaml").write_bytes((FOLDER / "031-staff-kitchen.yaml").read_bytes())
    code, out, err = run("check", scene.folder)
    assert (code, commands_in(out + err)) == (2, set())
    assert len(out.splitlines()) == len(names) + 2
    assert not any(line.startswith("PASS") for line in (out + err).splitlines())
    for name in names:
        code, out, err = run("check", scene.folder / name)
        assert (code, out, commands_in(err), len(err.splitlines())) == (2, "", set(), 1)
    code, out, err = run("board", scene.folder, "--today", "2026-03-09", "-o", scene.folder / "b.html")
    assert (code, commands_in(out + err + (scene.folder / "b.html").read_text())) == (1, set())
    code, out, err = run("check", scene.folder / f"good{ESCAPES}.yaml", "-o", scene.folder / f"out{ESCAPES}.html")
    assert (code, commands_in(out + err)) == (1, set())


@attack(
    "escapes in what is typed or named",
    "terminal",
    gives="escapes in options, rule names, start times and outputs",
    through="arguments, which a shell may take from file names",
    into="the message that says them again",
    stopped="cli.stopping, errors (quote)",
    seen="one line, escapes by their numbers, exit code 2",
)
def escapes_in_arguments(scene: Scene) -> None:
    """What was found is said again, and stays text."""
    survey = FOLDER / "031-staff-kitchen.yaml"
    for arguments in (
        ("check", survey, "--at", ESCAPES),
        ("check", survey, "--rules", ESCAPES),
        ("check", survey, f"--{ESCAPES}"),
        ("check", survey, "-o", scene.folder / f"{ESCAPES}.txt"),
        ("check", scene.folder / ESCAPES),
        ("explain", ESCAPES),
        ("rules", ESCAPES),
        ("verify", scene.folder / f"none{ESCAPES}"),
    ):
        code, out, err = run(*arguments)
        assert (code, out, commands_in(err)) == (2, "", set())
        assert "\\x1b" in err


@attack(
    "escapes in a log",
    "terminal",
    gives="escapes, overrides and markup in the header and the cells of a logger's file",
    through="a climate log (CSV)",
    into="check: terminal, HTML, record",
    stopped="errors (quote)",
    seen="the column quoted, escapes by their numbers; the log shows nothing and is not verified",
)
def escapes_in_a_log(scene: Scene) -> None:
    """A log's own words are quoted; no sign of them is obeyed, and no row of them is air."""
    data: Any = copy.deepcopy(example_document("204-treatment-room").data)
    log = data["climate_log"][0]
    rows = (FOLDER / log["file"]).read_text()
    (scene.folder / log["file"]).write_text(
        rows.replace("emp", f"emp{ESCAPES}{TURNED}").replace("21.", f"{ESCAPES}21.")
    )
    (scene.folder / "s.yaml").write_text(json.dumps(data))
    page = scene.folder / "r.html"
    code, out, err = run("check", scene.folder / "s.yaml", "-o", page, "-o", scene.folder / "r.json")
    assert (code, err) == (1, "")
    assert commands_in(out + page.read_text()) == set()


@attack(
    "escapes in rule sets and overlays",
    "terminal",
    gives="escapes in titles, reasons and sentences",
    through="an overlay; a theme of a rule set",
    into="rules test, check --overlay",
    stopped="yamlio",
    seen="`has the character U+001B, which is not text`, exit code 2",
)
def escapes_in_rules(scene: Scene) -> None:
    """They are refused as any text is."""
    overlay = scene.folder / "o.yaml"
    text = (FOLDER / "overlays" / "orrelane-2026.yaml").read_text()
    for sign_, by_number in (("\x1b", "\\e"), ("\x9b", "\\x9b"), ("\u202e", "\\u202e")):
        for odd in (f"overlay: Or{sign_}relane", f'overlay: "{by_number}" #'):
            overlay.write_text(text.replace("overlay: Orrelane", odd))
            code, out, err = run("check", FOLDER / "031-staff-kitchen.yaml", "--overlay", overlay)
            assert (code, out, commands_in(err)) == (2, "", set())
            assert f"has the character U+{ord(sign_):04X}, which is not text; take it out" in err


def _board(name: str) -> Any:  # noqa: ANN401 - a board is plain data
    board = copy.deepcopy(room(is_hostile=False).board)
    for space in board["spaces"]:
        space |= {"name": name, "project": name, "level": name, "area": name, "walked": name, "files": [name]}
    return board


@attack(
    "formulas in the board's table",
    "table",
    gives="cells that begin with = + - @ tab CR, full-width signs, quotes and separators before them",
    through="names of project, space, level and area, of files, who walked",
    into="board -o board.csv",
    stopped="report.board_table (harmless)",
    seen="an apostrophe before the cell",
    slow=True,
)
def formulas(_: Scene) -> None:
    """Whatever a spreadsheet takes for the border of a cell, no cell begins with what starts a formula."""
    for start in (
        "=",
        "+",
        "-",
        "@",
        "\t=",
        "\r=",
        "\n=",
        "\uff1d",
        "\uff0b",
        " =",
        '"=',
        "'=",
        "x;=",
        'x\t"=',
        "x\n@",
    ):
        text = render_board_table(_board(f"{start}cmd|' /C calc'!A0")).decode("utf-8-sig")
        for separator in ",;\t":
            rows = [*csv.reader(io.StringIO(text, newline=""), delimiter=separator)]
            begin = {cell.lstrip(" \"'")[:1] for row in rows for cell in row if not cell.lstrip(' "').startswith("'")}
            assert begin & set("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20") == set(), (start, separator)
        assert "cmd|" in text


_LINES = (
    "x\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nSUMMARY:PASS",
    "x\nEND:VCALENDAR\nBEGIN:VCALENDAR",
    "x\rDTSTART:20200101",
    'a;b,c\\nd\\;:"',
    "é" * 500,
    "x\u2028END:VEVENT\x85y\x0bz",
    f"x{ESCAPES}",
)


def _events(calendar: bytes) -> list[tuple[str, str]]:
    assert re.search(rb"[^\r]\n|\r[^\n]", calendar) is None
    assert max(map(len, calendar.split(b"\r\n"))) <= 75
    read = icalendar.Calendar.from_ical(calendar, multiple=True)
    assert len(read) == 1
    assert {part.name for part in read[0].walk()} == {"VCALENDAR", "VEVENT"}
    assert {key for part in read[0].walk("VEVENT") for key in part} == {
        *("UID", "DTSTAMP", "DTSTART", "SUMMARY", "DESCRIPTION")
    }
    return [(str(event["SUMMARY"]), str(event["UID"])) for event in read[0].walk("VEVENT")]


@attack(
    "lines of a calendar in the board's",
    "calendar",
    gives="CR and LF, END:VCALENDAR, BEGIN:VEVENT, semicolons, backslashes, 500 letters of two bytes, U+2028, escapes",
    through="names of a space",
    into="board -o board.ics, read back by icalendar",
    stopped="icalendar (escaping, folding), report.board_calendar",
    seen="the name in the summary, on one folded line; as many events as before",
    slow=True,
)
def board_lines(_: Scene) -> None:
    """The same events come out, and each says the whole name."""
    board = _ready(_board("room"))
    usual = _events(render_board_calendar(board))
    assert usual
    for name in _LINES:
        found = _events(render_board_calendar(_ready(_board(name))))
        assert len(found) == len(usual)
        assert all(name[0] in summary and not commands_in(summary) for summary, _ in found)


def _ready(board: Any) -> Any:  # noqa: ANN401 - a board is plain data
    """The board with its space ready, which puts it into the calendar."""
    at = {"at": "2026-03-12T08:00:00-05:00", "shown": "Thu 12 Mar 2026 08:00"}
    for space in board["spaces"]:
        space |= {
            "state": "ready",
            "earliest": {**(space["earliest"] or {}), "at": at, "until": at, "lapses": space["name"]},
        }
    return board


@attack(
    "lines of a calendar in the plan's",
    "calendar",
    gives="the same",
    through="names of space and walls",
    into="plan -o plan.ics, read back by icalendar",
    stopped="icalendar, report.schedule",
    seen="the same",
)
def plan_lines(_: Scene) -> None:
    """The same events come out, and each says the whole name."""
    found = plan(example("204-treatment-room"), rigid_sheet())
    usual = _events(render_calendar(found))
    assert len(usual) > 3
    for name in _LINES:
        odd = copy.deepcopy(found)
        odd["heading"]["space"] = name
        for step in odd["steps"]:
            step["subject"] = name
        events = _events(render_calendar(odd))
        assert len(events) == len(usual)
        assert all(name[0] in summary and not commands_in(summary) for summary, _ in events)


def _too_long(text: str, end: str) -> Check:
    def check(_: Scene) -> None:
        told = refusal(text)
        assert told.endswith(end), told[-200:]
        assert len(told) < 400

    return check


_END = "`…; write it in 1,000 characters or less`"
_NOT_WORDS = "`…; write it in letters or digits, or leave it out`"
_NO_QUANTITY = "`…; write a number with its unit, such as 1/16 in, 4 ft 6 in or 2 mm`"
_NO_MOMENT = "`…; write it as year-month-day hour:minute, such as 2026-03-09 08:30`"
_NO_COUNT = "`…; write a plain number, such as 4`"
_N, _9 = "N" * 100_000, "9" * 100_000
LONG = tuple(
    Attack(name, "long", gives, through, "survey", stopped, seen, _too_long(text, seen.strip("`…")))
    for name, gives, through, stopped, text, seen in (
        ("a name of 100 kB", "letters", "space.name", "answer_reader", f"space: {{name: {_N}}}", _END),
        ("a wall's name of 100 kB", "letters", "walls.name", "answer_reader", f"walls: [{{name: {_N}}}]", _END),
        (
            "a quantity of 100 kB",
            "figures",
            "walls.length",
            "quantities",
            f"walls: [{{name: A, length: {_9} ft}}]",
            _NO_QUANTITY,
        ),
        ("a count of 100 kB", "figures", "walls_in_scope", "quantities", f"walls_in_scope: {_9}", _NO_COUNT),
        ("a time of 100 kB", "figures", "planned_start", "moments", f"planned_start: {_9}-01-01", _NO_MOMENT),
        (
            "a name of spaces",
            "nothing but spaces, of every kind",
            "walls.name",
            "answer_reader",
            'walls: [{name: " \xa0\u2003\u3000 "}]',
            _NOT_WORDS,
        ),
        (
            "a name that is drawn as nothing",
            "Braille blanks",
            "walls.name",
            "answer_reader",
            "walls: [{name: \u2800\u2800}]",
            _NOT_WORDS,
        ),
    )
)


@attack(
    "a space called by 5,000 figures",
    "long",
    gives="a number that Python makes none of",
    through="a filed record",
    into="board",
    stopped="board_spaces (natural)",
    seen="the board, with that name in it",
)
def many_figures(scene: Scene) -> None:
    """It has its place in the order, as every number has."""

    def change(record: Any) -> None:  # noqa: ANN401 - a record
        record["heading"]["space"] = "9" * 5000

    (scene.folder / "a.json").write_bytes(write_filed_json(remade(filed("031-staff-kitchen"), change)))
    code, out, err = run("board", scene.folder, "--today", "2026-03-09")
    assert (code, err) == (1, "")
    assert "9" * 70 in out


SIGNS = (
    *SIGNS_REFUSED,
    alike,
    reserved,
    turned_file_name,
    signs_in_signing,
    in_the_form_too,
    *LONG,
    many_figures,
    escapes_in_a_record,
    escapes_in_file_names,
    escapes_in_arguments,
    escapes_in_a_log,
    escapes_in_rules,
    formulas,
    board_lines,
    plan_lines,
)
