"""Ways to talk HOLD into PASS: answers, names, overlays, rule sets and logs that are not what they seem.

The room they are tried on passes as it stands: what an attacker adds has to leave it as it is, be refused, or hold.
"""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from attack import Attack, Check, Scene, attack
from surveys import FOLDER, example_document
from wallwalk.checking import check
from wallwalk.errors import InputError
from wallwalk.inputs import read_inputs

ROOM = "204-treatment-room"
Change = Callable[[Any], object]


def comes_to(folder: Path, change: Change, log: Callable[[str], str] = lambda text: text) -> str:
    """What the room comes to with its survey and its log changed: `pass`, `hold: ` and rules, or why it is refused."""
    data: Any = copy.deepcopy(example_document(ROOM).data)
    change(data)
    (folder / f"{ROOM}.csv").write_text(log((FOLDER / f"{ROOM}.csv").read_text()))
    survey = folder / "s.yaml"
    survey.write_text(json.dumps(data, ensure_ascii=False))
    try:
        record = check(*read_inputs(survey))
    except InputError as error:
        return "refused: " + str(error).replace(f"{folder}/", "")
    if record["verdict"] == "pass":
        return "pass"
    held = (f for f in record["findings"] if f["grade"] == "hold" and f["outcome"] in ("hold", "not verified"))
    return "hold: " + ", ".join(dict.fromkeys(f"{f['rule']} {f['outcome']}" for f in held))


def written(*path: str | int) -> Callable[[Any], Change]:
    """Writes an answer at that place of the survey."""

    def write(answer: Any) -> Change:  # noqa: ANN401 - an answer
        def change(data: Any) -> None:  # noqa: ANN401 - a document's data
            for part in path[:-1]:
                data = data[part]
            data[path[-1]] = answer

        return change

    return write


def both(first: Change, second: Change) -> Change:
    """One change and then the other."""

    def change(data: Any) -> None:  # noqa: ANN401 - a document's data
        first(data)
        second(data)

    return change


MOISTURE = written("walls", 0, "moisture", 0, "value")
LENGTH = written("walls", 0, "gaps", "at_base")
TEMPERATURE = written("air", 0, "temperature")
START = written("planned_start")
PRIMED = written("walls", 0, "primer", "finished")
CLOSED = written("building", "closed_in")
_SCALE = "write a number with its scale, such as 12.5 %MC, 14 %WME or 0.6 gypsum"
_UNIT = "write a number with its unit, such as 1/16 in, 4 ft 6 in or 2 mm"
_DEGREE = "write a number with its unit, such as 72 °F or 22 °C"
_TIME = "write it as year-month-day hour:minute, such as 2026-03-09 08:30"
_YEARS = "write a year from 1900 to 2199"
_YES = "write yes, no or unknown, without quotes"


def _refused(answer: Callable[[Any], Change], texts: tuple[str, ...], advice: str) -> Check:
    def check_(scene: Scene) -> None:
        for text in texts:
            told = comes_to(scene.folder, answer(text))
            assert told.startswith("refused: s.yaml:1: "), (text, told)
            assert re.search(advice, told), (text, told)

    return check_


_UNREAD = "which is not text; take it out"
_ANSWERS: tuple[tuple[str, str, str, str, Callable[[Any], Change], tuple[str, ...], str], ...] = (
    (
        "figures of other scripts",
        "Arabic, Devanagari, full-width, mathematical, superscript figures",
        "walls.moisture.value",
        "quantities",
        MOISTURE,
        ("٠.٤ gypsum", "०.४ gypsum", "０.４ gypsum", "𝟎.𝟒 gypsum", "⁰.⁴ gypsum", "½ gypsum"),
        re.escape(_SCALE),
    ),
    (
        "numbers that are none",
        "nan, inf, 1e999, 0x0, 1_0, +-1, 1/0",
        "walls.moisture.value",
        "quantities",
        MOISTURE,
        (
            "nan gypsum",
            "inf gypsum",
            "-inf gypsum",
            "1e999 gypsum",
            "1e-999 gypsum",
            "0x0 gypsum",
            "1_0 gypsum",
            "+-1 gypsum",
            "1/0 gypsum",
            "gypsum",
        ),
        re.escape(_SCALE),
    ),
    (
        "a length under nothing",
        "-3 mm, with every kind of minus",
        "walls.gaps.at_base",
        "quantities, answer_reader",
        LENGTH,
        ("-3 mm", "−3 mm", "–3 mm", "-0.0001 mm"),
        "write 0 .* or more|write what was measured",
    ),
    (
        "a minus of another kind",
        "full-width, superscript, hyphen bullet, double dash",
        "walls.gaps.at_base",
        "quantities",
        LENGTH,
        ("－3 mm", "⁻3 mm", "⁃3 mm", "--3 mm", "—3 mm"),
        re.escape(_UNIT),
    ),
    (
        "a range with a dash, upside down, or of two",
        "3 - 900 mm, 900 to 3 mm, 3 mm to 3 °C",
        "walls.gaps.at_base",
        "quantities",
        LENGTH,
        ("3 - 900 mm", "900 to 3 mm", "3 mm to 3 °C"),
        "write ",
    ),
    (
        "a unit in Cyrillic letters",
        "°С, мм, gурsum",
        "air.temperature, walls.moisture.value",
        "units, quantities",
        TEMPERATURE,
        ("21.4 °С", "21.4 ° C \u0421", "21.4 мм", "21.4 \u2109C"),
        re.escape(_DEGREE),
    ),
    (
        "a reading better than its instrument",
        "21.4 ± 0.0001 °C",
        "air.temperature",
        "survey_reader",
        TEMPERATURE,
        ("21.4 ± 0.0001 °C", "21.4 ± 0 °C"),
        "better than its instrument, ± 0.5 °C; write that ±, or none at all",
    ),
    (
        "an uncertainty under nothing",
        "± -1 °C",
        "air.temperature",
        "quantities",
        TEMPERATURE,
        ("21.4 ± -1 °C", "21.4 ± -0.5 °C"),
        "write",
    ),
    (
        "a time beyond year 9999",
        "99999-01-01, 9999-12-31, 0000-00-00, -001",
        "planned_start",
        "moments",
        START,
        ("99999-01-01 08:00", "9999-12-31 23:59", "0000-00-00 00:00", "-001-01-01 08:00", "2200-01-01 00:00"),
        f"{_YEARS}|{_TIME}",
    ),
    (
        "a date of another calendar",
        "of the Hijra, Buddhist, Reiwa, ISO week, day of the year",
        "planned_start",
        "moments",
        START,
        ("1447-09-20 08:00", "2569-03-10 08:00", "令和8年3月10日", "2026-W11-2", "2026-069", "10 March 2026"),
        f"{_YEARS}|{_TIME}",
    ),
    (
        "a time in figures of another script",
        "２０２６-03-10, ٢٠٢٦-03-10",
        "planned_start",
        "moments",
        START,
        ("２０２６-03-10 08:00", "٢٠٢٦-03-10 08:00", "2026-03-10 ٠٨:00"),
        re.escape(_TIME),
    ),
    (
        "a time that never was",
        "30 February, 24:00, 25:00, a leap second",
        "planned_start",
        "moments",
        START,
        ("2026-02-30 08:00", "2026-03-10 24:00", "2026-03-10 25:00", "2026-03-10 08:00:60"),
        "write",
    ),
    (
        "a time that the clock skipped",
        "02:30 on the night of the change",
        "planned_start",
        "moments",
        START,
        ("2026-03-08 02:30",),
        "the clock change skips",
    ),
    (
        "yes with a sign that is not seen",
        "zero-width space, joiner, byte order mark, override",
        "building.closed_in",
        "yamlio",
        CLOSED,
        ("yes\u200b", "\u2060yes", "y\u00ades", "\ufeffyes", "\u202eyes"),
        _UNREAD,
    ),
    (
        "yes in other letters",
        "full-width, Cyrillic, quoted, `on`, `1`, `sí`",
        "building.closed_in",
        "shape",
        CLOSED,
        ("ｙｅｓ", "y\u0435s", "yes", "on", "1", "sí", "pass", "yes yes"),
        re.escape(_YES),
    ),
)

ANSWERS = tuple(
    Attack(
        name,
        "verdict",
        f"{gives}: {len(texts)} ways",
        through,
        "check",
        stopped,
        "each is refused with what to write instead, exit code 2",
        _refused(answer, texts, advice),
    )
    for name, gives, through, stopped, answer, texts, advice in _ANSWERS
)


def _holds(change: Change, rules: str) -> Check:
    def check_(scene: Scene) -> None:
        told = comes_to(scene.folder, change)
        assert told.startswith("hold: "), told
        assert rules in told, told

    return check_


def _each(change: Change, *places: str) -> Change:
    """The same change to every entry of a list, or to every one of lists below another."""

    def to_all(data: Any) -> None:  # noqa: ANN401 - a document's data
        entries = [data]
        for place in places:
            entries = [entry for one in entries for entry in one.get(place, [])]
        for entry in entries:
            change(entry)

    return to_all


AT = written("at")
_TOLD: tuple[tuple[str, str, str, Change, str], ...] = (
    (
        "readings of the air that are still to come",
        "air read after the start",
        "air.at",
        _each(AT("2026-03-20 08:00"), "air"),
        "air-readings-recent hold",
    ),
    (
        "readings of the air from after the walk",
        "air read in the night after the walk",
        "air.at",
        _each(AT("2026-03-09 23:00"), "air"),
        "air-readings-recent hold",
    ),
    (
        "moisture read after the start",
        "two days later",
        "walls.moisture.at",
        _each(AT("2026-03-12 08:00"), "walls", "moisture"),
        "moisture-readings-recent hold",
    ),
    (
        "a walk after the start",
        "the day after",
        "walk.at",
        written("walk", "at")("2026-03-11 08:00"),
        "walk-is-fresh hold",
    ),
    ("a walk in a far year", "2150", "walk.at", written("walk", "at")("2150-03-11 08:00"), "walk-is-fresh hold"),
    ("a start long ago", "1950", "planned_start", START("1950-01-01 08:00"), "primer-has-dwelled hold"),
    (
        "a primer that will be finished",
        "two days after the start",
        "walls.primer.finished",
        PRIMED("2026-03-12 08:00"),
        "primer-seen-on-the-wall hold",
    ),
    (
        "a calibration that had lapsed",
        "due the day before it was read",
        "instruments.calibration_due",
        _each(written("calibration_due")("2026-03-08"), "instruments"),
        "not verified",
    ),
    (
        "an instrument that nobody wrote down",
        "a name that looks like one, in Cyrillic",
        "air.instrument",
        _each(written("instrument")("ТН-2"), "air"),
        "not verified",
    ),
    (
        "an instrument without its ±",
        "no uncertainty",
        "instruments.uncertainty",
        _each(written("uncertainty")({}), "instruments"),
        "not verified",
    ),
    (
        "a count of nothing",
        "no moisture readings, said to be none",
        "walls.moisture",
        lambda data: data["walls"][0].update(moisture=[], moisture_taken="0"),
        "not verified",
    ),
    (
        "walls left out",
        "one wall listed of four",
        "walls",
        lambda data: data.update(walls=data["walls"][:1]),
        "not verified",
    ),
    (
        "no walls at all",
        "none in scope, none listed",
        "walls_in_scope",
        lambda data: data.update(walls=[], walls_in_scope="0"),
        "not verified",
    ),
    (
        "everything unknown",
        "`unknown` for every answer about a wall",
        "walls",
        lambda data: data["walls"][0].update({key: "unknown" for key in data["walls"][0] if key != "name"}),
        "not verified",
    ),
    (
        "no log at all, and one that was kept",
        "the list of logs taken out",
        "climate_log",
        lambda data: data.pop("climate_log"),
        "not verified",
    ),
)

TOLD = tuple(
    Attack(
        name,
        "verdict",
        gives,
        through,
        "check",
        "the rules, judged by what is known",
        f"HOLD: `{rule}`",
        _holds(change, rule),
    )
    for name, gives, through, change, rule in _TOLD
)


def _is_refused(change: Change, said: str) -> Check:
    def check_(scene: Scene) -> None:
        told = comes_to(scene.folder, change)
        assert told.startswith("refused: "), told
        assert said in told, told

    return check_


_SAID: tuple[tuple[str, str, str, str, Change, str], ...] = (
    (
        "two walls of one name",
        "a bad wall called as a good one",
        "walls.name",
        "survey_reader",
        written("walls", 1, "name")("North"),
        'walls[1].name is "North", as walls[0].name is; give each its own name',
    ),
    (
        "two instruments of one name",
        "a second TH-2 with a better ±",
        "instruments.name",
        "survey_reader",
        written("instruments", 1, "name")("TH-2"),
        'instruments[1].name is "TH-2", as instruments[0].name is; give each its own name',
    ),
    (
        "rules at a path",
        "`rules: ./lax`, a rule set that passes all",
        "rules",
        "inputs",
        written("rules")("./lax"),
        'rules is "./lax"; write one of: ',
    ),
    (
        "rules at the path of ours",
        "`rules: ../rules/rigid-sheet`",
        "rules",
        "inputs",
        written("rules")(str(FOLDER.parent / "rules" / "rigid-sheet")),
        "write one of: pasted-wallcovering, rigid-sheet; --rules takes the path of another",
    ),
    (
        "a calibration beyond every calendar",
        "due 9999-12-31",
        "instruments.calibration_due",
        "moments",
        written("instruments", 0, "calibration_due")("9999-12-31"),
        _YEARS,
    ),
    (
        "a list shorter than what it counts",
        "moisture_taken: 1 for three",
        "walls.moisture_taken",
        "survey_reader",
        written("walls", 0, "moisture_taken")("1"),
        "walls[0].moisture_taken is 1, but 3 are written down",
    ),
    (
        "a verdict in the survey",
        "`verdict: pass`, `findings:`",
        "the survey",
        "shape",
        written("verdict")("pass"),
        "verdict is not asked here",
    ),
)

SAID = tuple(
    Attack(
        name, "verdict", gives, through, "check", stopped, f"`{said.strip()}`, exit code 2", _is_refused(change, said)
    )
    for name, gives, through, stopped, change, said in _SAID
)


@attack(
    "names that are words of ours",
    "verdict",
    gives="walls called as a rule, as a verdict, as a party, as a placeholder, as an answer",
    through="walls.name, space.name",
    into="check",
    stopped="nothing: a name is a name",
    seen="the verdict and every finding as before, but for the name",
    slow=True,
)
def named_as_ours(scene: Scene) -> None:
    """A wall that holds goes on to hold, whatever it is called."""
    holds = "hold: primer-seen-on-the-wall hold, primer-has-dwelled hold"
    for names in (("primer-has-dwelled", "pass"), ("installer", "{primer_dwell}"), ("pass", "%s"), ("yes sir", "0")):

        def named(data: Any, names: tuple[str, str] = names) -> None:  # noqa: ANN401 - a document's data
            data["walls"][0]["name"], data["space"]["name"] = names

        assert comes_to(scene.folder, named) == "pass"
        assert comes_to(scene.folder, both(_late, named)).startswith(holds)


def _late(data: Any) -> None:  # noqa: ANN401 - a document's data
    """The primer of one wall is finished a minute before the start, so that the room holds."""
    PRIMED("2026-03-10 07:59")(data)


def _overlaid(scene: Scene, text: str) -> str:
    (scene.folder / "o.yaml").write_text(text)
    return comes_to(scene.folder, both(_late, written("overlays")([{"file": "o.yaml"}])))


_HEAD = 'overlay: Ours\nfor: rigid-sheet\nrevision: "2026-02-16"\n'


@attack(
    "an overlay that drops rules for nothing",
    "verdict",
    gives="because that is empty, blanks, points, or drawn as nothing; no basis, a basis made up",
    through="an overlay",
    into="check",
    stopped="rules.schema.yaml, overlay_reader",
    seen="`write the reason`, exit code 2",
    slow=True,
)
def for_nothing(scene: Scene) -> None:
    """A rule is dropped with a reason in letters, and with a basis that says what it is."""
    dropped = _HEAD + "drop:\n  primer-has-dwelled: {{because: {}, basis: {}}}\n"
    for because in ('""', '" "', '"\xa0"', '"."', '"--"', '"\u2800"', '"\u3000"', "", "yes", "[a]"):
        told = _overlaid(scene, dropped.format(because, "common practice"))
        assert told.startswith("refused: o.yaml:"), (because, told)
    for basis in ('""', "because I say so", '"published: "', "Common Practice", "yes"):
        told = _overlaid(scene, dropped.format("It is.", basis))
        assert told.startswith("refused: o.yaml:"), (basis, told)
    assert _overlaid(scene, _HEAD) == _overlaid(scene, _HEAD + "drop: {}\n") == comes_to(scene.folder, _late)
    told = _overlaid(scene, dropped.format("The maker asks for none.", "from memory"))
    assert told.startswith("hold: primer-seen-on-the-wall hold"), "its neighbours still hold"


@attack(
    "an overlay that is for another rule set, or hides what it does",
    "verdict",
    gives="`for:` another set; a limit without its flips, of another kind, twice, with a title of its own",
    through="an overlay",
    into="check",
    stopped="overlay_reader, overlaying",
    seen="what is amiss and what to write, exit code 2",
)
def for_others(scene: Scene) -> None:
    """No limit is moved without saying which examples come out otherwise by it."""
    limit = "limits:\n  primer_dwell_min: {{value: {}, because: It is quick., basis: from memory{}}}\n"
    for text, said in (
        (_HEAD.replace("rigid-sheet", "pasted-wallcovering"), "and this is laid over rigid-sheet"),
        (_HEAD + limit.format("0 h", ""), "flips"),
        (_HEAD + limit.format("-5 h", ""), "primer_dwell_min"),
        (_HEAD + limit.format("nan h", ""), "primer_dwell_min"),
        (_HEAD + limit.format("12 °C", ""), "primer_dwell_min"),
        (_HEAD + limit.format("12 h", ", title: Anything"), "title"),
        (_HEAD + limit.format("12 h", "") + "  primer_dwell_min: {}\n", "is written twice"),
    ):
        told = _overlaid(scene, text)
        assert told.startswith("refused: o.yaml"), told
        assert said in told, told


COLD = re.compile(r"^(2026-03-09 (?:0[0-9]|1[0-9]):[0-5]0(?::00)?),[0-9.]+,", re.MULTILINE)
"""The rows of one day of the log, which an attacker would have another way."""


def _cold(text: str) -> str:
    changed, count = COLD.subn(r"\1,9.0,", text)
    assert count > 60, "the log is not what this test knows"
    return changed


def _last(text: str) -> str:
    """The cold rows at the end of the file."""
    head, *rows = _cold(text).splitlines(keepends=True)
    return head + "".join(sorted(rows, key=lambda row: (",9.0," in row, row)))


_LOGS: tuple[tuple[str, str, Callable[[str], str]], ...] = (
    ("a cold day, as it was", "20 hours at 9 °C", _cold),
    ("rows out of order", "the cold rows at the end of the file", _last),
    ("rows of another year", "the cold rows in 2036", lambda text: _cold(text).replace("2026-03-09", "2036-03-09")),
    ("rows taken out", "the cold rows deleted", lambda text: re.sub(r"(?m)^.*,9\.0,.*\n", "", _cold(text))),
    (
        "cells that are no number",
        "nan, inf, 1e1, ٢١, `=21`, 21 °С in the cold rows",
        lambda text: re.sub(",9.0,", lambda _: ",nan,", _cold(text)),
    ),
    ("cells in figures of another script", "٢١.٤", lambda text: _cold(text).replace(",9.0,", ",٢١.٤,")),
    ("cells that are formulas", "`=21+0.4`", lambda text: _cold(text).replace(",9.0,", ",=21+0.4,")),
    (
        "a column put before another",
        "a second temperature beside the cold one",
        lambda text: "".join(
            f"{line.rstrip()},{'Temperature (°C)' if i == 0 else '21.4'}\n"
            for i, line in enumerate(_cold(text).splitlines())
        ),
    ),
    (
        "rows written twice",
        "a warm row beside each cold one",
        lambda text: re.sub(r"(?m)^(.*),9\.0,(.*)$", r"\1,9.0,\2\n\1,21.4,\2", _cold(text)),
    ),
    (
        "quotes that swallow rows",
        "an open quote before the cold rows",
        lambda text: _cold(text).replace("2026-03-09 00:00", '"2026-03-09 00:00', 1),
    ),
)


def _log_does_not_pass(log: Callable[[str], str]) -> Check:
    def check_(scene: Scene) -> None:
        assert comes_to(scene.folder, lambda _: None) == "pass"
        told = comes_to(scene.folder, lambda _: None, log)
        assert told.startswith(("hold: ", "refused: ")), told

    return check_


LOGS = tuple(
    Attack(
        f"a log: {name}",
        "verdict",
        gives,
        "a climate log (CSV)",
        "check",
        "log_rows, log_cells, evidence",
        "HOLD, or refused: what is not known of that day passes nothing",
        _log_does_not_pass(log),
    )
    for name, gives, log in _LOGS
)


@attack(
    "a log: a clock that lies",
    "verdict",
    gives="a clock in the survey that is not the one in the file's header; one that a night of the change never showed",
    through="climate_log.clock",
    into="check",
    stopped="log_entry, log_clock",
    seen="`is not the clock that the header names`, exit code 2. Where no header says, the survey is taken at its word",
)
def clock(scene: Scene) -> None:
    """Header and survey have to agree."""
    told = comes_to(
        scene.folder,
        lambda data: data["climate_log"][0].update(clock="-05:00"),
        lambda text: re.sub(r"^[^,]*", "Time (UTC+01:00)", text, count=1),
    )
    assert "which is not the clock that the header names, UTC+01:00; write that offset, such as -05:00 or UTC" in told


VERDICT = (*ANSWERS, *TOLD, *SAID, named_as_ours, for_nothing, for_others, *LOGS, clock)
