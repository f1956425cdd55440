"""The interview: what may be typed, what follows, what is saved, and that nothing is answered by saying nothing."""

from __future__ import annotations

import os
import random
import re
import signal
import subprocess
from collections.abc import Iterator
from datetime import UTC, datetime
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

import wallwalk.words
from marked_language import MARKED, marked_rule_set, own_words, speak_marked, unmarked
from surveys import ROOT, example, example_document, rigid_sheet
from walkers import NOW, lines_for, setting_in, typed_for, walk_of
from wallwalk.checking import check
from wallwalk.cli.starting import read_inputs
from wallwalk.errors import MissingPartError
from wallwalk.interview.draft import Data, render_draft, value_at
from wallwalk.interview.spots import plan_route
from wallwalk.interview.standing import stand
from wallwalk.interview.state import Setting, State
from wallwalk.interview.talk import begin, reply
from wallwalk.interview.typed import is_yes, read_choice, read_moment, read_quantity, read_zone, stamp
from wallwalk.moments import find_zone
from wallwalk.quantities import UnitError, parse_quantity
from wallwalk.report.view import lay_out
from wallwalk.rule_reader import read_rule_set
from wallwalk.survey_reader import parse_survey
from wallwalk.words import IN_ENGLISH, words_in
from wallwalk.yamlio import parse_yaml, read_yaml

SPANISH = words_in("es")
CHICAGO = find_zone("America/Chicago")


@pytest.fixture(autouse=True)
def _forget_marked() -> Iterator[None]:
    yield
    wallwalk.words.words_in.cache_clear()


def talk(*lines: str, language: str = "en") -> tuple[State, list[str]]:
    """The interview of `data` after some lines, and all it said; nothing is saved."""
    turn = begin(setting_in(language), {})
    said = list(turn.says)
    for line in lines:
        turn = reply(turn.state, line, NOW)
        said += [f"> {line}", *turn.says]
    return turn.state, said


def at_question(place: str, data: dict[str, Any], language: str = "en") -> State:
    """The interview of `data` at the question or list at `place`, whatever comes before it left open."""
    state = begin(setting_in(language), data).state
    for _ in range(400):
        if state.spot is not None and state.spot.place == place:
            return state
        state = reply(state, "", NOW).state
    raise AssertionError(place)


WALL: dict[str, Any] = {"name": "North", "substrate": "gypsum board"}
ZONE: dict[str, Any] = {"time_zone": "America/Chicago"}
ROOM: dict[str, Any] = {**ZONE, "walls_in_scope": "1", "walls": [WALL]}


# -- what is typed ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "kind", "meant"),
    [
        ("72F", "temperature", "72 °F"),
        ("72 f", "temperature", "72 °F"),
        ("22.5c", "temperature", "22.5 °C"),
        ("3 K", "temperature difference", "3 K"),
        ("45%", "humidity", "45 %RH"),
        ("45 %rh", "humidity", "45 %RH"),
        ("12 FT 6 In", "length", "12 ft 6 in"),
        ("4'-6\"", "length", "4 ft 6 in"),
        ("1/16in", "length", "1/16 in"),
        ("1.5 ± 0.5 MM", "length", "1.5 ± 0.5 mm"),
        ("12 %mc", "moisture", "12 %MC"),
        ("14 wme", "moisture", None),
        ("0.4 Gypsum", "moisture", "0.4 gypsum"),
        ("8.5 ph", "alkalinity", "8.5 pH"),
        ("4b", "adhesion", "4B"),
        ("1 iso", "adhesion", "1 ISO"),
        ("250 SQ FT/GAL", "spread", "250 ft²/gal"),
        ("30 MIN", "duration", "30 min"),
        ("12,5 %MC", "moisture", None),
        ("72", "temperature", None),
    ],
)
def test_a_quantity_is_read_as_people_type_it(typed: str, kind: str, meant: str | None) -> None:
    """Letters large or small, with or without a space; what is no quantity stays as typed, to be refused as such."""
    read = read_quantity(typed, kind)
    if meant is None:
        assert read == typed
        with pytest.raises(UnitError):
            parse_quantity(read, kind)
        return
    found, expected = parse_quantity(read, kind), parse_quantity(meant, kind)
    assert (found.kind, found.low, found.high) == (expected.kind, expected.low, expected.high)


def test_yes_and_no_in_both_languages() -> None:
    """`s` is yes in Spanish only: an English speaker may mean skip by it."""
    yes = {
        typed: (is_yes(typed, IN_ENGLISH), is_yes(typed, SPANISH))
        for typed in ("y", "YES", "n", "No", "s", "sí", "si", "")
    }
    assert yes == {
        "y": (True, True),
        "YES": (True, True),
        "n": (False, False),
        "No": (False, False),
        "s": (None, True),
        "sí": (None, True),
        "si": (None, True),
        "": (None, None),
    }


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("2", "plaster"),
        ("con", None),
        ("concrete", "concrete"),
        ("concrete m", "concrete masonry"),
        ("TI", "tile"),
        ("0", None),
        ("6", None),
        ("bloque", "concrete masonry"),
        ("²", None),
        ("x", None),
    ],
)
def test_a_choice_is_read_by_number_or_first_letters(typed: str, meant: str | None) -> None:
    """The whole word wins over a longer one; letters that begin two choices name neither."""
    choices = ("gypsum board", "plaster", "concrete", "concrete masonry", "tile")
    called = {"concrete masonry": "bloque de concreto"}
    if meant is None:
        with pytest.raises(UnitError, match="advice"):
            read_choice(typed, choices, called, "advice")
    else:
        assert read_choice(typed, choices, called, "advice") == meant


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("now", "2026-03-09 15:30"),
        ("today", "2026-03-09"),
        ("today 8:05", "2026-03-09 08:05"),
        ("Yesterday 14:10", "2026-03-08 14:10"),
        ("ahora", "2026-03-09 15:30"),
        ("ayer 14:10", "2026-03-08 14:10"),
        ("2026-03-09 8:30", "2026-03-09 08:30"),
        ("2026-03-09T08:30-05:00", "2026-03-09T08:30-05:00"),
        ("now 8:00", "now 8:00"),
        ("soon", "soon"),
    ],
)
def test_a_moment_may_be_told_from_the_clock(typed: str, meant: str) -> None:
    """On the clock of the site, whatever the machine keeps."""
    assert read_moment(typed, NOW, CHICAGO, SPANISH) == meant


def test_a_stamp_on_the_day_of_a_clock_change_says_its_offset() -> None:
    """Half past one comes twice that night; without a zone the offset is written as well."""
    for hour, shown in ((6, "2026-11-01 01:30-05:00"), (7, "2026-11-01 01:30-06:00")):
        assert stamp(datetime(2026, 11, 1, hour, 30, 59, tzinfo=UTC), CHICAGO) == shown
    assert stamp(NOW, None) == "2026-03-09 20:30+00:00"


def test_a_zone_is_read_by_its_city() -> None:
    """Or by the number of the one that the machine keeps; two cities of one name are no answer."""
    assert [read_zone(t, "America/Denver") for t in ("1", "chicago", "America/Chicago", "los angeles")] == [
        "America/Denver",
        "America/Chicago",
        "America/Chicago",
        "America/Los_Angeles",
    ]
    for typed in ("1", "nowhere", "America"):
        with pytest.raises(UnitError):
            read_zone(typed, "")


# -- one question after the other -------------------------------------------------------------------------------------


def test_a_wrong_answer_gets_the_readers_advice_and_is_asked_again() -> None:
    """In one line; nothing of it is written down."""
    state = at_question("walls[0].length", ROOM)
    for typed, advice in (
        ("12", '"12" will not do: write the number with its unit, such as 1/16 in, 4 ft 6 in or 2 mm'),
        ("0 ft", '"0 ft" will not do: write what was measured, over zero, or leave it out'),
    ):
        turn = reply(state, typed, NOW)
        assert " ".join(turn.says).split("Length of wall")[0].split() == advice.split()
        assert turn.state == state
    turn = reply(state, "12 FT", NOW)
    assert value_at(dict(turn.state.kept), ("walls", 0, "length")) == "12 ft"


def test_advice_is_in_spanish_where_the_interview_is() -> None:
    """What the readers say in English is said by the form of the answer."""
    state = at_question("walls[0].length", ROOM, "es")
    said = " ".join(" ".join(reply(state, "12", NOW).says).split())
    assert said.startswith('"12" no sirve: escriba un número con su unidad; por ejemplo, 1/16 in, 4 ft 6 in o 2 mm')


@pytest.mark.parametrize("name", ["204-treatment-room", "031-staff-kitchen"])
def test_enter_alone_answers_nothing(name: str) -> None:
    """From the first question to the last, in an empty survey and in one half filled in: not a thing is written."""
    data = example_document(name).data if name.startswith("031") else {}
    assert isinstance(data, dict)
    state = begin(setting_in("en"), data).state
    asked = 0
    while not state.ended and asked < 500:
        state, asked = reply(state, "", NOW).state, asked + 1
        assert state.kept is data
    assert state.ended
    assert asked > 40
    assert not state.standing.passes


def test_a_question_is_asked_only_where_it_matters() -> None:
    """Each answer decides anew: no paint, no question of loose paint; metal, and nobody asks for its joints."""
    told = {**WALL, "substrate": "metal", "coatings": {"painted": False}}
    state, places = begin(setting_in("en"), {**ROOM, "walls": [told]}).state, []
    while state.spot is not None:
        places.append(state.spot.place)
        state = reply(state, "", NOW).state
    assert "walls[0].coatings.oil_or_wax" in places
    assert not {p for p in places if p.startswith(("walls[0].gypsum", "walls[0].coatings.loose"))}
    assert places.index("walls[0].length") > places.index("sheets.in_room_since")
    assert len(places) == len(set(places))


def test_a_no_takes_out_what_followed_and_says_so() -> None:
    """Else the two would contradict each other, and the survey could not be read."""
    wall = {**WALL, "coatings": {"slick": True, "dulled": True}}
    state = at_question("walls[0].coatings.painted", {**ROOM, "walls": [wall]})
    for line in ("y", "n", "<", "<"):
        state = reply(state, line, NOW).state
    assert value_at(dict(state.kept), ("walls", 0, "coatings", "loose")) is False
    turn = reply(state, "n", NOW)
    assert turn.says[0] == "  Taken out, since it followed: Is any paint loose, flaking or blistered?"
    left = {"painted": False, "slick": True, "dulled": True}
    assert value_at(dict(turn.state.kept), ("walls", 0, "coatings")) == left


def test_what_holds_now_is_named_at_once() -> None:
    """The check, where it does not hold, and the counts; and `show` lists it below who puts it right."""
    state = at_question("walls[0].coatings.oil_or_wax", {**ROOM, "walls": [{**WALL, "substrate": "metal"}]})
    turn = reply(state, "y", NOW)
    held = " ".join(" ".join(turn.says).partition("HOLD")[0].split())
    assert held.startswith("! Required: No oil, grease, wax")
    assert held.endswith("(North)")
    shown = reply(turn.state, "show", NOW).says
    assert "  Painter:" in shown
    assert any(held[2:40] in line for line in shown)


def test_a_question_mark_says_why() -> None:
    """The rule that asks, and what goes wrong where it is passed over."""
    state = at_question("walls[0].coatings.pva_primer", {**ROOM, "walls": [{**WALL, "substrate": "metal"}]})
    said = " ".join(" ".join(reply(state, "?", NOW).says).split())
    why = next(rule.why for rule in rigid_sheet().rules.values() if rule.title.startswith("No PVA primer"))
    assert "Under old paint counts too." in said
    assert " ".join(why.split()) in said


def test_back_shows_what_stands_there_and_enter_keeps_it() -> None:
    """`<` goes to the question before, `-` takes its answer out."""
    state, said = talk("chicago", "Mill House", "<")
    assert said[-1] == "  Now: Mill House (Enter keeps it)"
    assert value_at(dict(reply(state, "", NOW).state.kept), ("project", "name")) == "Mill House"
    assert value_at(dict(reply(state, "-", NOW).state.kept), ("project",)) is None
    assert reply(talk()[0], "<", NOW).says[0] == "  This is the first one."


def test_next_leaves_a_theme_and_done_stops() -> None:
    """The rest of the theme stays open; nothing of it is written down."""
    state, _ = talk("chicago", "next")
    assert state.spot is not None
    assert state.spot.section == "Safety"
    state = reply(state, "done", NOW).state
    assert (state.ended, state.kept) == (True, ZONE)


@pytest.mark.parametrize("word", ["next", "listo", "walls", "?"])
def test_a_word_in_quotes_is_an_answer(word: str) -> None:
    """A name may be one of the commands."""
    state, _ = talk("chicago", f'"{word}x"' if word == "?" else f'"{word}"', language="es")
    assert value_at(dict(state.kept), ("project", "name")) == (f"{word}x" if word == "?" else word)


# -- lists ------------------------------------------------------------------------------------------------------------


def test_a_reading_is_stamped_only_where_that_was_agreed() -> None:
    """Asked once; then each new reading gets the time at which it is typed."""
    state = at_question("air", {**ZONE, "instruments": [{"name": "TH"}]})
    state = reply(reply(state, "y", NOW).state, "y", NOW).state
    for line in ("middle", "70 f", "45%", "1"):
        state = reply(state, line, NOW).state
    assert state.kept["air"] == [
        {"at": "2026-03-09 15:30", "place": "middle", "temperature": "70 °F", "humidity": "45%", "instrument": "TH"}
    ]
    again = reply(state, "y", NOW).state
    assert again.spot is not None
    assert again.spot.place == "air[1].place"
    refused = reply(reply(at_question("air", ZONE), "y", NOW).state, "n", NOW).state
    assert refused.spot is not None
    assert (refused.spot.place, "air" in refused.kept) == ("air[0].at", False)


def test_a_list_is_known_once_its_count_is_said() -> None:
    """`n` counts what is written down, `n 3` what is there; one more takes the count back."""
    state = at_question("walls", ZONE)
    named = reply(reply(state, "y", NOW).state, "North", NOW).state
    state = reply(named, "walls", NOW).state
    all_of_them, more = (reply(state, line, NOW).state.kept for line in ("n", "n 3"))
    assert (all_of_them["walls_in_scope"], more["walls_in_scope"]) == ("1", "3")
    fewer = reply(state, "n 0", NOW)
    assert fewer.state.kept is state.kept
    assert fewer.says[0].strip() == "walls_in_scope is 0, but 1 is written down; write 1, or take the extra one out"
    state = reply(reply(reply(state, "n", NOW).state, "walls", NOW).state, "y", NOW).state
    after = reply(state, "South", NOW).state.kept
    assert ("walls_in_scope" in after, [w["name"] for w in after["walls"]]) == (False, ["North", "South"])  # type: ignore[union-attr,index,call-overload]


def test_a_wall_is_copied_only_by_a_yes_and_never_its_measurements() -> None:
    """What was counted, measured or timed on one wall says nothing of another."""
    north: dict[str, Any] = {
        **WALL,
        "length": "12 ft",
        "notes": "door",
        "gap_under_straightedge": "2 mm",
        "moisture_taken": "1",
        "moisture": [{"value": "0.4 gypsum"}],
        "gypsum": {"finish_level": "4", "tight": True, "compound_finished": "2026-02-24 10:00"},
        "primer": {"kind": "water-based acrylic", "family": "Nessuval", "quantity": "1 gal"},
    }
    state = at_question("walls", {**ZONE, "walls": [north]})
    state = reply(reply(state, "copy 1", NOW).state, "South", NOW).state
    assert state.kept["walls"] == [north, {"name": "South"}]
    copied = {"gypsum": {"tight": True}, "primer": {"kind": "water-based acrylic", "family": "Nessuval"}}
    yes, no, neither = (reply(state, line, NOW).state.kept["walls"] for line in ("y", "n", ""))
    assert yes == [north, {"name": "South", "substrate": "gypsum board", **copied}]
    assert no == neither == [north, {"name": "South"}]


def test_two_walls_of_one_name_are_refused() -> None:
    """As the reader refuses them."""
    state = at_question("walls", {**ZONE, "walls": [WALL]})
    turn = reply(reply(state, "y", NOW).state, "North", NOW)
    assert " ".join(turn.says[0].split()).endswith('"North", as walls[0].name is; give each its own name')
    assert turn.state.kept["walls"] == [WALL]


def test_an_instrument_without_a_name_is_none() -> None:
    """Nothing is added, and the list is asked for again."""
    state = at_question("instruments", ZONE)
    turn = reply(reply(state, "y", NOW).state, "", NOW)
    assert (turn.says[0], turn.state.spot, turn.state.kept) == ("  Nothing was added.", state.spot, ZONE)


def test_a_log_that_cannot_be_read_is_said_and_not_kept() -> None:
    """A file that is not there is found once the log could be read: its entry is asked again, or left out."""
    state = at_question("climate_log", ZONE)
    for line in ("y", "no.csv", "shelf", "", "10 min", "2026-03-06 09:40"):
        state = reply(state, line, NOW).state
    turn = reply(state, "2026-03-09 15:00", NOW)
    assert turn.says[0].startswith('  Not saved yet: climate_log[0].file is "no.csv"')
    assert turn.state.kept is state.kept
    again, said = turn.state, []
    while again.spot is not None and again.spot.place != "climate_log[0].file":
        turn = reply(again, "", NOW)
        again, said = turn.state, list(turn.says)
    assert said[0].startswith('  climate_log[0].file is "no.csv"')
    dropped = reply(again, "next", NOW)
    assert dropped.says[0] == "  What could not be read was left out."
    assert dropped.state.data is dropped.state.kept is state.kept


# -- how it stands ----------------------------------------------------------------------------------------------------


@pytest.mark.slow
def test_the_line_counts_what_the_report_counts() -> None:
    """After every tenth answer of a whole walk, the counts are those of the record of the survey so far."""
    compared = 0
    for i, (_, state, says) in enumerate(lines_for(setting_in("en"), example_document("031-staff-kitchen").data)):
        counted = [re.match(r"HOLD \| put right (\d+) \| not verified (\d+) \|", line) for line in says]
        if i % 10 == 0 and (line := next(filter(None, counted), None)):
            content = render_draft(state.kept, rigid_sheet().questions.schema)
            view = lay_out(check(parse_survey(parse_yaml(content, "r.yaml")), rigid_sheet()))
            holds = sum(len(party.items) for party in view.holds)
            assert (line[1], line[2]) == (str(holds), str(len(view.not_verified)))
            compared += 1
    assert compared > 5


# -- what is saved ----------------------------------------------------------------------------------------------------


def run(folder: Path, *arguments: str, typed: str = "", **environment: str) -> subprocess.CompletedProcess[str]:
    """`wallwalk walk` with lines piped in."""
    env = {**os.environ, "TZ": "America/Chicago", **environment}
    return subprocess.run(
        ["wallwalk", "walk", *arguments], input=typed, capture_output=True, text=True, cwd=folder, env=env, check=False
    )


@pytest.mark.slow
def test_it_goes_on_where_it_was_left(tmp_path: Path) -> None:
    """The end of the lines saves and stops; walking again asks the first thing that is still open."""
    done = run(tmp_path, "r.yaml", typed="1\nMill House\n")
    assert (done.returncode, done.stderr) == (1, "")
    assert done.stdout.endswith("Every answer is in r.yaml. The report: wallwalk check r.yaml\n")
    assert read_yaml(tmp_path / "r.yaml").data == {**ZONE, "project": {"name": "Mill House"}}
    again = run(tmp_path, "r.yaml", typed="1234\n")
    assert "[Project]\nProject number\n> 1234\n" in again.stdout
    assert sorted(p.name for p in tmp_path.iterdir()) == ["r.yaml"]
    assert run(tmp_path, "other.yaml").stdout.endswith("Nothing was answered, so there is no file.\n")
    assert not (tmp_path / "other.yaml").exists()


@pytest.mark.slow
def test_a_room_that_passes_ends_with_0(tmp_path: Path) -> None:
    """The exit code is the verdict, as it is for check."""
    for file in (ROOT / "examples").glob("204*"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    done = run(tmp_path, "204-treatment-room.yaml", typed="done\n")
    assert (done.returncode, done.stderr) == (0, "")
    assert "PASS | put right 0 | not verified 0 |" in done.stdout
    assert (tmp_path / "204-treatment-room.yaml").read_bytes() == (
        ROOT / "examples/204-treatment-room.yaml"
    ).read_bytes()


def test_a_survey_with_comments_is_kept_beside(tmp_path: Path) -> None:
    """What a walk would lose is put aside before the first answer is saved, once, and never over another file."""
    path = tmp_path / "r.yaml"
    path.write_text("# mine\nspace: {name: A}   # the small one\n")
    walked = walk_of(path)
    walked.save({**ZONE, "space": {"name": "A"}})
    assert (tmp_path / "r.yaml.before").read_text() == "# mine\nspace: {name: A}   # the small one\n"
    walked.save({**ZONE, "space": {"name": "B"}})
    assert path.read_text() == "space:\n  name: B\ntime_zone: America/Chicago\n"
    assert walk_of(path).file.to_keep is None
    path.write_text("# again\nspace: {name: A}\n")
    with pytest.raises(MissingPartError) as refused:
        walk_of(path)
    assert str(refused.value) == f"{path}.before: is there already, and {path} is not yet kept; move one of them"


def test_a_file_that_another_program_changed_is_not_written_over(tmp_path: Path) -> None:
    """Nor one that is gone."""
    walked = walk_of(tmp_path / "r.yaml")
    walked.save(ZONE)
    (tmp_path / "r.yaml").write_text("space: {name: B}\n")
    with pytest.raises(MissingPartError, match=re.escape("r.yaml: was changed by another program; ")):
        walked.save({**ZONE, "space": {"name": "A"}})
    assert (tmp_path / "r.yaml").read_text() == "space: {name: B}\n"


@pytest.mark.slow
def test_ctrl_c_leaves_every_answer(tmp_path: Path) -> None:
    """One line says where they are; the exit code is 1."""
    with subprocess.Popen(
        ["wallwalk", "walk", "r.yaml"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=tmp_path
    ) as walking:
        assert walking.stdin is not None
        assert walking.stdout is not None
        walking.stdin.write("chicago\n")
        walking.stdin.flush()
        while "Project name" not in walking.stdout.readline():
            pass
        walking.send_signal(signal.SIGINT)
        rest = walking.stdout.read()
    assert walking.returncode == 1
    assert rest.splitlines()[-1] == "Stopped. Every answer is in r.yaml; go on with: wallwalk walk r.yaml"
    assert read_yaml(tmp_path / "r.yaml").data == ZONE


@pytest.mark.slow
def test_it_needs_neither_colour_nor_a_cursor(tmp_path: Path) -> None:
    """Plain lines of at most 80 columns, the same on every terminal; signs that are no text are asked for again."""
    typed = "chicago\n\x1b[A\n\x00\nMill House\n"
    plain = run(tmp_path, "a.yaml", typed=typed, TERM="dumb", NO_COLOR="1")
    other = run(tmp_path, "b.yaml", typed=typed, TERM="xterm-256color", FORCE_COLOR="1")
    assert plain.returncode == other.returncode == 1
    assert plain.stdout.replace("a.yaml", "b.yaml") == other.stdout
    said = [line for line in plain.stdout.splitlines() if not line.startswith("> ")]
    assert max(map(len, said)) <= 80
    assert "\x1b" not in "\n".join(said)
    assert plain.stdout.count("That holds signs that are no text; type it again.") == 2
    assert (tmp_path / "a.yaml").read_text() == (tmp_path / "b.yaml").read_text()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("r.json", "", "r.json: is no name for a survey that can be walked; end it in .yaml"),
        ("r.yaml", "wals: 3\n", "r.yaml:1: wals is not asked here; write walls, or take it out"),
        ("no/r.yaml", None, "no/r.yaml: cannot be written (No such file or directory); give a folder that is there"),
    ],
)
def test_what_cannot_be_walked_is_one_message(name: str, content: str | None, said: str, tmp_path: Path) -> None:
    """Exit code 2, before a question is asked or as soon as an answer cannot be saved."""
    if content is not None:
        (tmp_path / name).write_text(content)
    done = run(tmp_path, name, typed="chicago\n")
    assert done.returncode == 2
    assert done.stderr.startswith(said)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4))
def test_whatever_is_typed_leaves_a_survey_that_can_be_read(seed: int) -> None:
    """Lines at random: no line ends the talk with an error, and what is kept reads back as it is, key for key."""
    chance = random.Random(seed)  # noqa: S311 - a test
    wanted = example_document("204-treatment-room").data
    pool = ["", "", "y", "n", "1", "2", "?", "<", "show", "next", "walls", "air", "copy 1", "-", "now", "72f", "x" * 90]
    pool += ["n 3", "today", "12", "North", "unknown", '"', '""', "yes: no # {", "0", "éè", "4 ft", "none", "1 gypsum"]
    state = begin(setting_in("en"), {}).state
    schema = rigid_sheet().questions.schema
    for _ in range(200):
        typed = typed_for(state, wanted) if chance.random() < 0.6 else chance.choice(pool)
        state = reply(state, typed, NOW).state
        if state.ended:
            break
        assert parse_yaml(render_draft(state.kept, schema), "r.yaml").data == (dict(state.kept) or {})


# -- in another language ----------------------------------------------------------------------------------------------


@pytest.mark.slow
def test_a_walk_leaves_no_word_untranslated(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every line of a whole walk, why each tenth question is asked, and what holds, in marked words only."""
    speak_marked(monkeypatch)
    rule_set = marked_rule_set(read_rule_set("rigid-sheet"))
    schema = rule_set.questions.schema

    def judge_data(data: Data) -> object:
        return stand(rule_set, parse_survey(parse_yaml(render_draft(data, schema), "r.yaml")))

    words = wallwalk.words.words_in(MARKED)
    setting = Setting(rule_set, plan_route(rule_set), judge_data, words, "America/Chicago")  # type: ignore[arg-type]
    choices = {choice for q in rule_set.questions.questions.values() for choice in q.choices}
    own = {*own_words(example("031-staff-kitchen"), rule_set), *choices, "America/Chicago"}
    wanted, state, heard = example_document("031-staff-kitchen").data, begin(setting, {}).state, 0
    while not state.ended:
        for typed in ("?", "show") if heard % 10 == 0 else ():
            assert unmarked(" ".join(reply(state, typed, NOW).says), own) == set()
        turn = reply(state, typed_for(state, wanted), NOW)
        said = re.sub(r"\d{4}-\d\d-\d\d \d\d:\d\d", " ", " ".join(turn.says))
        assert unmarked(said, own) == set(), turn.says
        state, heard = turn.state, heard + 1
    assert heard > 150


@pytest.mark.slow
def test_a_walk_in_spanish(tmp_path: Path) -> None:
    """Its commands, its yes, its choices and its moments; the file keeps the English words."""
    typed = "1\nCasa Molino\nsiguiente\ns\nver\nlisto\n"
    done = run(tmp_path, "r.yaml", "--lang", "es", typed=typed)
    assert (done.returncode, done.stderr) == (1, "")
    assert "RETENIDO | por corregir 0 | sin verificar " in done.stdout
    assert "(s/n)" in done.stdout
    assert done.stdout.endswith("Todas las respuestas están en r.yaml. El informe: wallwalk check r.yaml --lang es\n")
    data = read_yaml(tmp_path / "r.yaml").data
    assert data == {**ZONE, "project": {"name": "Casa Molino"}, "safety": {"sanding_silica": True}}


def test_the_same_lines_give_the_same_survey() -> None:
    """A walk and its record follow from the lines alone: no clock is read below the command line."""
    lines = ("chicago", "Mill House", "1234", "", "", "", "204", "2", "", "", "now", "Ada Brook", "1")
    one, other = (talk(*lines) for _ in range(2))
    assert (one[0].kept, one[1]) == (other[0].kept, other[1])
    assert value_at(dict(one[0].kept), ("walk",)) == {"at": "2026-03-09 15:30", "by": "Ada Brook", "role": "installer"}
    counts = [line for line in one[1] if line.startswith("HOLD")]
    assert len(counts) > 7
    assert all(Fraction(a.split()[-1]) >= Fraction(b.split()[-1]) for a, b in pairwise(counts))
    assert read_inputs(ROOT / "examples" / "204-treatment-room.yaml", None)[0].zone == CHICAGO
