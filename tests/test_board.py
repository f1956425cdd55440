"""The readiness board: which walk counts, what is open, who unblocks most, and what nobody knows."""

from __future__ import annotations

import csv
import io
import json
import os
import re
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from icalendar import Calendar

from board_rooms import DUSTY, PROJECT, RELEASE, filed, room, write_project
from surveys import ROOT
from test_documents import block
from wallwalk.board import Asked, build_board, is_ready
from wallwalk.cli import board_reading, main
from wallwalk.cli.board_reading import Given, read_folder
from wallwalk.filed_json import write_filed_json
from wallwalk.judging import judge
from wallwalk.report.board_calendar import render_board_calendar
from wallwalk.report.board_page import render_board_html, render_board_pdf
from wallwalk.report.board_table import COLUMNS, harmless, render_board_table
from wallwalk.report.board_terminal import render_board
from wallwalk.signing import Signing
from wallwalk.spaces_reader import read_spaces
from wallwalk.yamlio import read_yaml

TODAY = date(2026, 3, 8)
Board = Mapping[str, Any]


def board_of(
    folder: Path, *, at: str | None = None, today: date = TODAY, spaces: Path | None = None, language: str = "en"
) -> Board:
    """The board of a folder."""
    listed = read_spaces(spaces) if spaces else None
    found = read_folder(folder, Given(None, (), at, language), expected=listed is not None)
    asked = Asked(folder.name, today, language, at or "", found.starts)
    return build_board(found.walks, found.unread, found.passed, listed, asked)


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the invented project."""
    return write_project(tmp_path_factory.mktemp("project") / "job")


@pytest.fixture(scope="module")
def board(project: Path) -> Board:
    """Its board."""
    return board_of(project, spaces=project / "spaces.yaml")


def written(folder: Path, **files: str) -> Path:
    """A folder with surveys, each by its name without the suffix."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    return folder


def run(*arguments: str | Path) -> Result:
    """The command."""
    return CliRunner().invoke(main, ["board", *map(str, arguments)])


# The whole board, against one that was written by hand


def brief_open(one: Board) -> str:
    """One open check in a line."""
    on = f" on {', '.join(one['where'])}" if one["where"] else ""
    clears = f" clears {one['clears']['at']}" if one["clears"] else ""
    released = f" released by {one['released']['name']}" if one["released"] else ""
    return f"{one['rule']} {one['outcome']}{on}{clears}{released}"


def brief_walk(one: Board) -> str:
    """A walk that does not count, in a line."""
    return f"{one['verdict']} {one['holds']} {one['not_verified']} {one['walked']} {one['file']}"


def brief_space(space: Board) -> Board:
    """What is expected of a space; what is empty, and that it is listed, is left out."""
    earliest = space["earliest"] or {"at": None, "until": None}
    told = {
        "at": earliest["at"] and earliest["at"]["at"],
        "until": earliest["until"] and earliest["until"]["at"],
        "open": [brief_open(one) for one in space["open"]],
        "files": space["files"],
        "earlier": [brief_walk(one) for one in space["earlier"]],
        "same_time": [brief_walk(one) for one in space["same_time"]],
        "unread": [one["file"] for one in space["unread"]],
    }
    named = {key: space[key] for key in ("name", "level", "state")}
    return {**named, **{k: v for k, v in told.items() if v}, **({} if space["listed"] else {"listed": False})}


def brief_party(party: Board, names: Mapping[int, str]) -> Board:
    """What is expected of a party."""
    return {
        "party": party["party"],
        "rooms": [names[number] for number in party["rooms"]],
        "makes_ready": party["makes_ready"],
        "jobs": [
            {
                job["kind"]: job["find_out"] or job["checks"],
                "makes_ready": job["makes_ready"],
                "leaves_one": job["leaves_one"],
                "rooms": [
                    f"{names[r['space']]}: {', '.join((*r['walls'], *(['ready'] if r['ready'] else [])))}"
                    for r in job["rooms"]
                ],
            }
            for job in party["jobs"]
        ],
    }


def as_text(node: Any) -> Any:  # noqa: ANN401 - plain data
    """Plain data with its numbers and truths as the text that YAML has for them."""
    if isinstance(node, dict):
        return {key: as_text(part) for key, part in node.items()}
    if isinstance(node, list):
        return [as_text(part) for part in node]
    return str(node).lower() if isinstance(node, bool) else str(node)


def test_the_board_of_a_project_is_the_one_written_by_hand(board: Board) -> None:
    """Every space, job, day and file, whole."""
    expected = as_text(read_yaml(ROOT / "tests" / "board" / "expected.yaml").data)
    names = {space["number"]: space["name"] for space in board["spaces"]}
    days = {
        day["date"]: {key: [names[one["space"]] for one in day[key]] for key in ("ready", "open_besides", "lapses")}
        for day in board["days"]
    }
    told = {
        "counts": board["counts"],
        "spaces": [brief_space(space) for space in board["spaces"]],
        "to_do": [brief_party(party, names) for party in board["to_do"]],
        "days": {day: found for day, found in days.items() if any(found.values())},
        "passed_over": [f"{one['file']}: {one['what']}" for one in board["passed_over"]],
        "unread": [says for one in board["unread"] for says in one["says"]],
    }
    assert as_text(told) == expected
    assert [day["date"] for day in board["days"]] == [f"2026-03-{n:02}" for n in range(8, 22)]
    assert board["projects"] == [PROJECT]
    assert not is_ready(board)


# Which walk counts


def states(board: Board) -> dict[str, str]:
    """The state of each space by name."""
    return {space["name"]: space["state"] for space in board["spaces"]}


def only(board: Board) -> Board:
    """The one space of a board."""
    (space,) = board["spaces"]
    return dict(space)


def dusty(name: str = "Room", level: str = "1", days: int = 0) -> str:
    """A room that dust on the North wall holds."""
    return room(name, level, DUSTY, wall="North", days=days)


def test_the_latest_walk_counts_whatever_its_file_is_called(tmp_path: Path) -> None:
    """Earlier ones are history, the last of them first."""
    folder = written(tmp_path, a=room("Room", days=2), b=dusty(days=-1), c=dusty(days=1))
    space = only(board_of(folder))
    assert (space["state"], space["files"]) == ("ready", ["a.yaml"])
    assert [one["file"] for one in space["earlier"]] == ["c.yaml", "b.yaml"]
    space = only(board_of(written(tmp_path, d=dusty(days=3))))
    assert (space["state"], space["files"]) == ("held", ["d.yaml"])


@pytest.mark.parametrize("when", ["at: unknown", "at: 2026-03-09", "at: 2026-03-09T15:30-05:00"])
def test_of_walks_that_cannot_be_told_apart_the_worse_counts(tmp_path: Path, when: str) -> None:
    """A walk at the same moment, on that day at some time, or at a time that nobody says."""
    folder = written(tmp_path, a=room("Room"), b=dusty().replace("at: 2026-03-09 15:30", when, 1))
    space = only(board_of(folder))
    assert (space["state"], space["files"]) == ("held", ["b.yaml"])
    assert [one["file"] for one in space["same_time"]] == ["a.yaml"]
    assert "cannot be told apart in time" in render_board(board_of(folder))


def test_a_space_is_told_by_project_name_level_and_area(tmp_path: Path) -> None:
    """Capitals and spaces between words say nothing; a nameless space is like no other."""
    one = room("Room")
    folder = written(
        tmp_path,
        a=one,
        b=dusty("'ROOM '", days=1),
        c=room("Room", "2"),
        d=one.replace("area_covered: all four walls, floor to ceiling", "area_covered: North wall"),
        e=one.replace(PROJECT, "Another job"),
        f=one.replace("  name: Room\n", ""),
        g=one.replace("  name: Room\n", ""),
    )
    board = board_of(folder)
    told = [(s["project"], s["name"], s["level"], s["area"][:5], s["files"]) for s in board["spaces"]]
    assert told == [
        ("Another job", "Room", "1", "all f", ["e.yaml"]),
        (PROJECT, "ROOM", "1", "all f", ["b.yaml"]),
        (PROJECT, "Room", "1", "North", ["d.yaml"]),
        (PROJECT, "", "1", "all f", ["f.yaml"]),
        (PROJECT, "", "1", "all f", ["g.yaml"]),
        (PROJECT, "Room", "2", "all f", ["c.yaml"]),
    ]


@pytest.mark.parametrize(
    ("today", "state"), [(date(2026, 3, 10), "ready"), (date(2026, 3, 11), "lapsed"), (date(2027, 1, 1), "lapsed")]
)
def test_a_walk_lapses_on_the_day_after_its_last_moment(tmp_path: Path, today: date, state: str) -> None:
    """The walk allows a start up to 15:30 of the 10th; that day it still counts, the day after it does not."""
    board = board_of(written(tmp_path, a=room("Room")), today=today)
    assert states(board) == {"Room": state}
    assert is_ready(board) is (state == "ready")


def test_a_start_that_is_given_stands_for_each_surveys_own(tmp_path: Path) -> None:
    """At seven the adhesive lacks a quarter of an hour; at four in the afternoon the walk is stale."""
    folder = written(tmp_path, a=room("Room"))
    assert states(board_of(folder, at="2026-03-10 07:15")) == {"Room": "ready"}
    assert states(board_of(folder, at="2026-03-10 07:00")) == {"Room": "waiting"}
    assert states(board_of(folder, at="2026-03-10 16:00")) == {"Room": "held"}


# Filed records


def filed_in(folder: Path, name: str, text: str, *signings: Signing) -> None:
    """A record of a survey, filed in `folder` under that name; the survey itself lies elsewhere."""
    survey = folder.parent / f"survey of {name}.yaml"
    survey.write_text(text, encoding="utf-8")
    folder.mkdir(exist_ok=True)
    (folder / name).write_bytes(write_filed_json(filed(survey, *signings)))


HELD_AGAIN = Signing("owner", "Oke Brandvold", "held", "2026-03-09 18:00", "no-dust:North", "Wipe it first.")


@pytest.mark.slow
def test_a_survey_and_its_records_are_one_walk(tmp_path: Path) -> None:
    """What is released over is shown, and never passes; a later entry that holds again undoes it."""
    folder = written(tmp_path / "job", a=dusty())
    filed_in(folder, "unsigned.json", dusty())
    filed_in(folder, "signed.json", dusty(), RELEASE)
    board = board_of(folder)
    space = only(board)
    assert space["files"] == ["a.yaml", "signed.json", "unsigned.json"]
    assert (space["state"], space["earlier"], space["same_time"]) == ("released", [], [])
    assert space["open"][0]["released"]["name"] == "Tadeusz Quarn"
    assert board["to_do"] == []
    assert not is_ready(board)
    assert "released over hold by Tadeusz Quarn (general contractor)" in " ".join(render_board(board).split())
    filed_in(folder, "held.json", dusty(), RELEASE, HELD_AGAIN)
    assert only(board_of(folder))["state"] == "held"


def test_the_worse_of_a_survey_and_what_was_filed_of_it_counts(tmp_path: Path) -> None:
    """A record that holds by a tighter overlay is not forgotten because the survey alone passes."""
    just_dry = ("finished: 2026-03-06 14:10", "finished: 2026-03-09 00:10")  # 31 h 50 min; the overlay asks for 36 h
    folder = written(tmp_path / "job", a=room("Room", "1", just_dry, wall="North"))
    tight = ROOT / "examples" / "overlays" / "nessuval-2026.yaml"
    out = folder / "record.json"
    done = CliRunner().invoke(main, ["check", str(folder / "a.yaml"), "-o", str(out), "--overlay", str(tight)])
    filed_verdict = json.loads(out.read_bytes())["record"]["verdict"]
    assert (done.exit_code, filed_verdict) == (1, "hold")
    space = only(board_of(folder))
    assert (space["verdict"], space["differs"]) == ("hold", True)


@pytest.mark.slow
def test_a_record_for_another_start_is_not_known_to_pass(tmp_path: Path) -> None:
    """It was judged for its own; the survey, where it is there, is judged for the one asked about."""
    folder = tmp_path / "job"
    filed_in(folder, "record.json", room("Room"))
    assert states(board_of(folder)) == {"Room": "ready"}
    assert states(board_of(folder, at="2026-03-10 08:00")) == {"Room": "ready"}
    assert states(board_of(folder, at="2026-03-10 09:00")) == {"Room": "not known"}
    written(folder, a=room("Room"))
    assert states(board_of(folder, at="2026-03-10 09:00")) == {"Room": "ready"}


def test_a_record_that_was_changed_is_no_walk(tmp_path: Path) -> None:
    """Its space is known by its heading, and stands as not known."""
    folder = tmp_path / "job"
    filed_in(folder, "record.json", dusty())
    path = folder / "record.json"
    path.write_bytes(path.read_bytes().replace(b'"verdict":"hold"', b'"verdict":"pass"'))
    space = only(board_of(folder))
    assert (space["name"], space["state"], space["files"]) == ("Room", "not known", [])
    assert space["unread"][0]["file"] == "record.json"


@pytest.mark.slow
def test_a_filed_pdf_counts_and_a_drawing_does_not(tmp_path: Path) -> None:
    """The record inside it is read; a PDF that holds none is passed over."""
    folder = written(tmp_path / "job", a=dusty())
    for target in ("record.pdf", "plan.pdf"):
        command = target.removesuffix(".pdf").replace("record", "check")
        done = CliRunner().invoke(main, [command, str(folder / "a.yaml"), "-o", str(folder / target)])
        assert done.exception is None or isinstance(done.exception, SystemExit)
    (folder / "a.yaml").unlink()
    board = board_of(folder)
    assert (only(board)["state"], only(board)["files"], only(board)["filed"]) == ("held", ["record.pdf"], True)
    assert board["passed_over"] == [{"file": "plan.pdf", "what": "is a PDF that holds no record"}]


# What cannot be read


def test_a_file_that_may_be_a_walk_keeps_the_board_from_being_ready(tmp_path: Path) -> None:
    """A torn or strange one does; a list of spaces, an overlay and a board that lie there do not."""
    folder = written(tmp_path, a=room("Room"))
    (folder / "list.yaml").write_text("spaces: [{name: Room}]\n")
    (folder / "board.json").write_bytes(b'{"board":1}\n')
    (folder / "overlay.yaml").write_text("overlay: Tight\n")
    assert is_ready(board_of(folder))
    assert [one["what"] for one in board_of(folder)["passed_over"]] == [
        "is a board",
        "is a list of spaces",
        "is an overlay",
    ]
    written(folder, b="milk: 2\n")
    assert not is_ready(board_of(folder))


@pytest.mark.parametrize(
    "torn",
    [
        room("Room").replace("dry_to_touch: yes", "dry_to_touch: yes\n      dry_to_touch: yes", 1),
        room("Room") + "\nsafety: {",
        room("Room").replace("planned_start: 2026-03-10 08:00", "planned_start: soon"),
        room("Room").replace("rate: 6 m²/h", "rate: 6"),
    ],
)
def test_a_torn_survey_is_of_the_space_that_it_names(tmp_path: Path, torn: str) -> None:
    """However it is torn, the space it names does not pass by its older walk."""
    space = only(board_of(written(tmp_path, a=room("Room", days=-1), b=torn)))
    assert (space["name"], space["state"], space["files"]) == ("Room", "not known", ["a.yaml"])
    assert [one["file"] for one in space["unread"]] == ["b.yaml"]
    assert all(says.startswith("b.yaml:") for says in space["unread"][0]["says"])


def test_files_that_are_huge_or_out_of_reach_are_rows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The run goes on; the messages are the readers' own."""
    folder = written(tmp_path, a=room("Room"), huge="# " + "x" * 4_000_000)
    (folder / "locked").mkdir()
    listdir = os.listdir

    def deny(path: Path) -> list[str]:
        if Path(path).name == "locked":
            raise PermissionError(13, "Permission denied")
        return listdir(path)

    monkeypatch.setattr(os, "listdir", deny)
    board = board_of(folder)
    assert [says for one in board["unread"] for says in one["says"]] == [
        "huge.yaml: is over 4,000,000 bytes; split it or take out what is not asked",
        "locked: cannot be looked at (Permission denied); give folders that you may read",
    ]
    assert states(board) == {"Room": "ready"}


def test_a_fault_of_the_program_costs_the_file_it_is_met_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The others are judged; the space of that one is not known."""

    def fail(*_: object) -> None:
        raise ZeroDivisionError("nought")

    folder = written(tmp_path, a=room("A"), b=room("B"))
    assert states(board_of(folder)) == {"A": "ready", "B": "ready"}
    monkeypatch.setattr(
        board_reading, "judge", lambda rules, survey: (fail if survey.file == "b.yaml" else judge)(rules, survey)
    )
    board = board_of(folder)
    assert states(board) == {"A": "ready", "B": "not known"}
    said = "b.yaml: met a fault of this program (ZeroDivisionError: nought); send the file to its makers"
    assert board["spaces"][1]["unread"][0]["says"] == [said]


# What is to be done


def test_one_lacking_answer_is_one_job_however_many_checks_wait_for_it(tmp_path: Path) -> None:
    """When the primer was finished is asked once, and the room waits for nothing else."""
    text = room("Room", "1", ("finished: 2026-03-06 14:10", "finished: unknown"), wall="North")
    board = board_of(written(tmp_path, a=text))
    (party,) = board["to_do"]
    (job,) = party["jobs"]
    assert job["find_out"] == ["When the last coat of primer was finished"]
    assert len(job["checks"]) > 1
    assert len(only(board)["open"]) == len(job["checks"])
    assert job["rooms"] == [{"space": 1, "walls": ["North"], "left": 0, "ready": True}]


def test_what_is_released_over_is_nobodys_job_and_makes_no_room_ready(tmp_path: Path) -> None:
    """A room with a released hold and dust elsewhere stays unready when that dust is gone."""
    both = dusty()
    at = both.index("  - name: West")
    folder = tmp_path / "job"
    filed_in(folder, "record.json", both[:at] + both[at:].replace(*DUSTY, 1), RELEASE)
    (party,) = board_of(folder)["to_do"]
    assert party["makes_ready"] == 0
    assert party["jobs"][0]["rooms"] == [{"space": 1, "walls": ["West"], "left": 0, "ready": False}]


# The list of spaces

GOOD_CSV = 'Name;Level;Project\r\n"101 Office";1;\r\n\r\n401 Laboratory;4;Fennimore Wharf Clinic\r\n'


def test_a_list_may_be_csv(tmp_path: Path) -> None:
    """Told by its head, whatever parts the cells; empty cells say nothing."""
    path = tmp_path / "spaces.csv"
    path.write_bytes(b"\xef\xbb\xbf" + GOOD_CSV.encode())
    board = board_of(written(tmp_path / "job", a=room("101 office")), spaces=path)
    assert states(board) == {"101 office": "ready", "401 Laboratory": "never walked"}
    assert board["list"]["entries"] == 2
    assert not is_ready(board)


BAD_LISTS = {
    "spaces.csv": {
        "level\n1\n": ["spaces.csv:1: has no column name; begin with a line such as name,level,project,area"],
        "name,levle\nA,1\n": ['spaces.csv:1: has the column "levle", which is not asked for; write level'],
        "name,name\nA,B\n": ['spaces.csv:1: has the column "name" twice; keep one of the two'],
        "name,level\nA,1,x\n": [
            "spaces.csv:2: has 3 cells, and its head has 2 columns; put a text with the delimiter in it in quotes"
        ],
        "name\n": ["spaces.csv: has a head and no spaces; write a line for each space"],
        "": ["spaces.csv: is empty; fill it in and save it"],
        "name,level\nA,1\na ,1\n": [
            'spaces.csv:3: spaces[1] is "a" once more (first on line 2); keep one of the two',
        ],
    },
    "spaces.yaml": {
        "rooms: []\n": [
            "spaces.yaml:1: has no spaces; write spaces: and what it is",
            "spaces.yaml:1: rooms is not asked here; write one of: spaces",
        ],
    },
}


@pytest.mark.parametrize(
    ("name", "text", "says"), [(n, t, s) for n, all_ in BAD_LISTS.items() for t, s in all_.items()]
)
def test_a_list_that_will_not_do_says_why(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, text: str, says: list[str]
) -> None:
    """The whole message, and exit code 2."""
    monkeypatch.chdir(written(tmp_path, a=room("Room")))
    Path(name).write_text(text)
    done = run(".", "--spaces", name)
    assert (done.stderr.splitlines(), done.exit_code) == (says, 2)


# The forms


def rows_of(board: Board) -> list[dict[str, str]]:
    """The table, read back."""
    return list(csv.DictReader(io.StringIO(render_board_table(board).decode("utf-8-sig"), newline=""), strict=True))


def test_the_table_holds_a_row_for_each_open_check(board: Board) -> None:
    """And one for a space with nothing open, one never walked, and a file that was not read."""
    rows = rows_of(board)
    assert tuple(rows[0]) == COLUMNS
    spaces = [row["space"] for row in rows if row["space"]]
    assert spaces == [
        "101 Office",
        "102 Office",
        "103 Store",
        "104 Store",
        "201 Ward",
        "202 Ward",
        "202 Ward",
        *spaces[7:],
    ]
    assert [row["file"] for row in rows if not row["space"]] == ["2/unnamed.yaml", "notes.yaml", "torn.yaml"]
    assert rows[2] == {
        "project": PROJECT,
        "level": "1",
        "space": "103 Store",
        "area": "all four walls, floor to ceiling",
        "state": "HOLD",
        "walked": "Mon 9 Mar 2026 15:30",
        "planned start": "2026-03-10T08:00:00-05:00",
        "earliest start": "2026-03-10T07:15:00-05:00",
        "walk lapses": "2026-03-10T15:30:00-05:00",
        "party": "Lead installer and crew",
        "theme": "Existing coatings and cleanliness",
        "check": "Wall is free of dust",
        "walls": "North",
        "outcome": "hold",
        "says": "Cloth stays clean: no. Dust tape pressed on: yes; its quantity: 3, and 2 is the most.",
        "do": "Vacuum or wipe the wall from the top down, then wipe with a dark cloth again.",
        "file": "1/103.yaml",
    }
    raw = render_board_table(board).decode("utf-8-sig")
    assert raw.count("\n") == raw.count("\r\n")


@pytest.mark.parametrize(
    ("cell", "told"),
    [
        ("=1+1", "'=1+1"),
        ("+49", "'+49"),
        ("-2", "'-2"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("\t=1", "'\t'=1"),
        ("\rx", "'\rx"),
        ("  =1", "  '=1"),
        ("＝1", "'＝1"),
        ("a;=1", "a;'=1"),
        ('"=1', "\"'=1"),
        ("101 Office", "101 Office"),
        ("A-1; B+2 = 3", "A-1; B+2 = 3"),
        ("", ""),
    ],
)
def test_no_cell_begins_as_a_formula_does(cell: str, told: str) -> None:
    """An apostrophe stands before what a spreadsheet would run, and nothing else is changed."""
    assert harmless(cell) == told


def test_hostile_names_run_nowhere(tmp_path: Path) -> None:
    """A formula, markup, a comma and a line break in names of space, wall and file."""
    text = room('\'=HYPERLINK("http://x","y")\'', "'@1'", DUSTY, wall="North").replace(
        "name: North", "name: '+N, \"x\"'"
    )
    board = board_of(written(tmp_path, **{"=a,\n\x1b[31mb": text}))
    (row,) = rows_of(board)
    assert row["space"] == '\'=HYPERLINK("http://x","y")'
    assert (row["level"], row["walls"], row["file"]) == ("'@1", '\'+N, "x"', r"'=a,\n\x1b[31mb.yaml")
    said = render_board(board)
    assert all(c.isprintable() or c == "\n" for c in said)
    (event, lapse) = Calendar.from_ical(
        render_board_calendar(board_of(written(tmp_path / "b", a=room("'a;b,c\\n'"))))
    ).walk("VEVENT")
    assert str(event["summary"]) == "a;b,c\\n: may start"
    assert str(lapse["summary"]) == "a;b,c\\n: walk lapses, walk again"


def test_the_calendar_has_each_start_and_lapse(board: Board) -> None:
    """Those of spaces that are ready or wait for nothing but time, in UTC; a lapsed walk is a day to walk again."""
    events = Calendar.from_ical(render_board_calendar(board)).walk("VEVENT")
    told = [(str(e["summary"]), e.decoded("dtstart").isoformat()) for e in events]
    assert told == [
        ("101 Office: may start", "2026-03-10T12:15:00+00:00"),
        ("101 Office: walk lapses, walk again", "2026-03-10T20:30:00+00:00"),
        ("102 Office: may start", "2026-03-10T19:10:00+00:00"),
        ("102 Office: walk lapses, walk again", "2026-03-10T20:30:00+00:00"),
        ("203 Ward: may start", "2026-03-10T12:15:00+00:00"),
        ("203 Ward: walk lapses, walk again", "2026-03-10T20:30:00+00:00"),
        ("301 Plant: walk again", "2026-03-08"),
        ("302 Plant: may start", "2026-03-08T13:15:00+00:00"),
        ("302 Plant: walk lapses, walk again", "2026-03-08T21:30:00+00:00"),
    ]
    assert len({str(e["uid"]) for e in events}) == len(events)


def test_the_terminal_stays_within_80_columns(board: Board, tmp_path: Path) -> None:
    """Also where a name is one word of 200 letters."""
    long = board_of(written(tmp_path, a=room("W" * 200), b=dusty("V" * 200)))
    for said in (render_board(board), render_board(long)):
        assert max(map(len, said.splitlines())) <= 80
        assert said.endswith("\n")
    assert said.replace("\n", "").replace(" ", "").count("W" * 200) >= 2


def test_the_terminal_says_what_counts_first(board: Board) -> None:
    """The head, and the first job, as a contractor reads them, and as README shows it."""
    said = render_board(board)
    assert block((ROOT / "README.md").read_text(encoding="utf-8"), "text", "TO DO") in said
    assert said.startswith(
        "2 of 14 spaces ready | Fennimore Wharf Clinic\n"
        "       2 ready, 2 ready by waiting, 1 to walk again, 1 released over a hold, 6\n"
        "       held, 1 could not be read, 1 never walked.\n"
        "       Each judged for its own planned start. Seen from Sun 8 Mar 2026.\n"
        "!   2 files could not be read and do not say their space. A space may stand\n"
        "    worse than shown.\n"
    )
    assert (
        " 1. Required: Wall is free of dust [no-dust]\n"
        "    Open in 4 rooms. Makes 3 rooms ready. Leaves 1 room with one thing more.\n"
        "    Do: Vacuum or wipe the wall from the top down, then wipe with a dark cloth\n"
        "        again.\n"
        "    Last thing in: 103 Store (North); 104 Store (North, West); 204 Ward (North)\n"
        "    Not the only thing in: 202 Ward (North)\n"
    ) in said


@pytest.mark.parametrize(
    "draw",
    [render_board_html, pytest.param(render_board_pdf, marks=pytest.mark.slow), render_board_table, render_board],
)
def test_the_same_board_gives_the_same_bytes(board: Board, project: Path, draw: Callable[[Board], object]) -> None:
    """Read twice, drawn twice."""
    again = board_of(project, spaces=project / "spaces.yaml")
    assert again == board
    assert draw(again) == draw(board)


def test_the_page_asks_no_network_and_runs_no_other_script(board: Board) -> None:
    """One style and one script, both named by digest, nothing fetched."""
    page = render_board_html(board)
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page)
    assert policy is not None
    digest = r"'sha256-[\w+/=]{44}'"
    wanted = f"default-src 'none'; style-src {digest}; script-src {digest}; base-uri 'none'; form-action 'none'"
    assert re.fullmatch(wanted, policy[1])
    assert page.count("<script") == page.count("<style") == 1
    assert not re.findall(r"https?://(?!www\.w3\.org)", page)


# The command


def files_below(folder: Path) -> Iterator[str]:
    """Every file, so that what is written is seen."""
    yield from sorted(path.name for path in folder.iterdir())


def test_the_exit_code_is_0_only_where_every_space_is_ready(tmp_path: Path) -> None:
    """1 where one is not; every form is written where asked."""
    folder = written(tmp_path / "job", a=room("A"), b=room("B"))
    outputs = [part for s in ("html", "csv", "json", "ics") for part in ("-o", str(tmp_path / f"b.{s}"))]
    done = run(folder, "--today", "2026-03-09", *outputs)
    assert done.exit_code == 0, done.output
    assert list(files_below(tmp_path)) == ["b.csv", "b.html", "b.ics", "b.json", "job"]
    made = json.loads((tmp_path / "b.json").read_bytes())
    assert made == json.loads(json.dumps(board_of(folder, today=date(2026, 3, 9))))
    assert run(folder, "--today", "2026-03-12").exit_code == 1
    written(folder, c=dusty("C"))
    assert run(folder, "--today", "2026-03-09").exit_code == 1


def test_without_a_day_it_looks_from_the_day_of_the_machine(tmp_path: Path) -> None:
    """A walk of March 2026 has lapsed by then."""
    done = run(written(tmp_path, a=room("A")))
    assert done.exit_code == 1
    assert "WALK AGAIN | A" in done.stdout


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["nowhere"], "nowhere: is not there; give the folder that the surveys are in"),
        (["job/a.yaml"], "job/a.yaml: is no folder; give the folder that the surveys are in"),
        (
            ["empty"],
            "empty: is a folder without surveys; give a folder with files that end in .yaml, .yml, .json, .pdf",
        ),
        (["job", "--at", "noon"], '--at: is "noon"; write it as year-month-day hour:minute, such as 2026-03-09 08:30'),
        (["job", "--spaces", "none.csv"], "none.csv: is not there; give the path of a list of spaces (YAML or CSV)"),
        (["job", "--overlay", "none.yaml"], "none.yaml: is not there; give the path of a YAML file"),
    ],
)
def test_what_it_cannot_start_from_ends_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str], says: str
) -> None:
    """One line, and exit code 2."""
    written(tmp_path / "job", a=room("A"))
    (tmp_path / "empty").mkdir()
    monkeypatch.chdir(tmp_path)
    done = run(*arguments)
    assert (done.stderr, done.exit_code) == (f"{says}\n", 2)


def test_nothing_that_was_read_is_written_over(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not even where writing over is allowed."""
    monkeypatch.chdir(written(tmp_path, a=room("A")))
    (tmp_path / "a.json").write_text(json.dumps({"space": {"name": "B"}}))
    done = run(".", "-o", "a.json", "--overwrite")
    assert (done.stderr, done.exit_code) == ("a.json: is read to make this; give another name\n", 2)


def test_the_board_speaks_spanish(tmp_path: Path) -> None:
    """Its own words and those of the rules."""
    done = run(written(tmp_path, a=dusty("A")), "--today", "2026-03-09", "--lang", "es")
    assert "0 de 1 espacio listo" in done.stdout
    assert "POR HACER - Instalador principal y cuadrilla" in done.stdout
