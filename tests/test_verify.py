"""A filed record that was altered is doubted, and what was altered is named; one that was not is never doubted."""

from __future__ import annotations

import json
import re
import subprocess
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from alterations import ALTERATIONS
from filings import FOLDER, TIGHT, filed
from signed_filings import CORRIDOR, DISPENSARY, KITCHEN, PASSING, READING_ROOM, read_back, signed
from survey_strategies import random_survey
from surveys import EXAMPLES, rule_set_called
from wallwalk.checking import check
from wallwalk.cli.rechecking import check_again
from wallwalk.climate_reader import read_climate
from wallwalk.errors import InputError
from wallwalk.filed_json import read_filed_json, write_filed_json
from wallwalk.filing import Filing, Input, canonical, file_record
from wallwalk.matching import FILE, Match, is_sound
from wallwalk.moments import parse_moment
from wallwalk.signing import DECISIONS, Signing, named, open_holds, releases_in_force, sign
from wallwalk.survey_reader import read_survey
from wallwalk.verifying import Again, record_schema, verify


@cache
def again_from(inputs: tuple[Input, ...], asked: bytes) -> Again | InputError:
    """The check once more; it hangs on the inputs and on what it asks of the record, so alike ones are made once."""
    return check_again(Filing(json.loads(asked), inputs))


def matches_of(filing: Filing) -> tuple[Match, ...]:
    """Every line of a check of `filing`."""
    asked = {key: filing.record[key] for key in ("evaluated_for", "language", "rule_set") if key in filing.record}
    if isinstance(asked.get("rule_set"), dict):
        asked["rule_set"] = {key: part for key, part in asked["rule_set"].items() if key == "name"}
    return verify(filing, again_from(filing.inputs, canonical(asked)))


def wrong_in(filing: Filing) -> list[str]:
    """What does not match, in words."""
    return [one.says for one in matches_of(filing) if one.matches is False]


def altered(filing: Filing, change: Any) -> Filing:  # noqa: ANN401 - what to do to a file's data
    """The filing as read from a file of which the data was changed, and that was written canonically again."""
    whole = json.loads(write_filed_json(filing))
    change(whole)
    return read_filed_json(canonical(whole) + b"\n", "room.json")


def signed_corridor() -> Filing:
    """The corridor under an overlay, with three entries."""
    filing = filed(CORRIDOR, TIGHT)
    for signing in (
        Signing("inspector", "Ilse Marrable", "released", "2026-03-08 10:00", "primer-has-dwelled:South", "Read dry."),
        Signing("painter", "Oke Brandvold", "noted", "2026-03-08 10:30", "", "Will look again."),
        Signing("owner", "Tadeusz Quarn", "held", "2026-03-08 11:00"),
    ):
        filing = sign(filing, signing)
    return filing


@pytest.mark.slow
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_an_example_as_filed_matches(path: Path) -> None:
    """Every line is a match, and the check comes out the same."""
    found = matches_of(read_back(filed(path.stem)))
    assert [one.says for one in found if one.matches is False] == []
    assert sum(one.says.startswith("checked once more from its own files") for one in found) == 1
    assert is_sound(found)


def test_each_line_says_what_matches() -> None:
    """The whole of it, for a record with three entries."""
    assert [(one.matches, one.says) for one in matches_of(read_back(signed()))] == [
        (True, "the file: written as a filed record is"),
        (True, "its shape: that of a filed record (rules/record.schema.yaml)"),
        (True, f'survey "{READING_ROOM}.yaml": the bytes that were checked'),
        (True, f'climate log "{READING_ROOM}.csv": the bytes that were checked'),
        (True, "rule set pasted-wallcovering: its 10 files are those it was checked by"),
        (True, "checked once more from its own files: HOLD again, and the same 186 findings"),
        (None, "checked with wallwalk 0.1.0, and once more with 0.1.0"),
        (True, "the record: as it was when entry 1 was signed"),
        (True, "entry 1 (released by Ilse Marrable, inspector): as it was when entry 2 was signed"),
        (True, "entry 2 (held by Oke Brandvold, owner): as it was when entry 3 was signed"),
        (True, "entry 3 (noted by Tadeusz Quarn, general contractor): as it was when the file was written"),
    ]


@pytest.mark.slow
def test_a_start_given_beside_the_survey_and_a_language_are_kept() -> None:
    """The check once more is for the start that was given, in the language that was asked for."""
    survey, rule_set = read_survey(FOLDER / f"{READING_ROOM}.yaml"), rule_set_called("pasted-wallcovering")
    survey = read_climate(survey, rule_set, FOLDER)
    start = parse_moment("2026-03-12 11:07:30.5", survey.zone)
    given = file_record(check(survey, rule_set, start), survey, rule_set, FOLDER)
    for filing in (given, filed(READING_ROOM, language="es")):
        assert wrong_in(read_back(filing)) == []
    assert given.record["evaluated_for"]["written"] == "2026-03-12 11:07:30.5"


@pytest.mark.slow
def test_what_was_altered_is_named_in_whole_lines() -> None:
    """An answer, a finding, a signer, and the place where each stands."""
    room = signed()

    def answer(whole: Any) -> None:  # noqa: ANN401
        text = room.inputs[0].content.replace(b"planned_start: 2026-03-12 08:00", b"planned_start: 2026-03-12 18:00")
        other = read_back(Filing(room.record, (Input("survey", room.inputs[0].file, text), *room.inputs[1:])))
        whole["inputs"][0]["content"] = json.loads(write_filed_json(other))["inputs"][0]["content"]

    lines = wrong_in(altered(room, answer))
    assert lines[0] == (
        f'survey "{READING_ROOM}.yaml": changed since it was checked; '
        'planned_start was "2026-03-12 08:00", and is "2026-03-12 18:00" in the survey filed'
    )
    assert len(lines) == 2
    assert lines[1].startswith("checked once more, it comes out otherwise: evaluated_for.from is ")

    east = ("primer-dried-long-enough", "East")
    first = next(i for i, f in enumerate(room.record["findings"]) if (f["rule"], f["subject"]) == east)
    assert wrong_in(altered(room, lambda w: w["record"]["findings"][first].update(outcome="pass"))) == [
        f'checked once more, it comes out otherwise: findings[{first}].outcome is "pass", '
        'and the inputs give "hold" (primer-dried-long-enough, East)',
        "the record: changed since entry 1 was signed",
    ]
    assert wrong_in(altered(room, lambda w: w["entries"][0].update(name="Else Marrable"))) == [
        "entry 1 (released by Else Marrable, inspector): changed since entry 2 was signed"
    ]
    assert wrong_in(altered(room, lambda w: w["entries"][1].update(previous="0" * 64))) == [
        "entry 2 (held by Oke Brandvold, owner): changed since entry 3 was signed"
    ]
    assert wrong_in(altered(room, lambda w: w["entries"][2].update(remark=""))) == [
        "entry 3 (noted by Tadeusz Quarn, general contractor): changed since the file was written, "
        "or the digest at the end of the file was"
    ]


def test_an_altered_limit_is_named_with_its_file() -> None:
    """The limit as it was, as it is filed, and the file; a rule set that no longer proves itself is said to be so."""

    def looser(whole: Any) -> None:  # noqa: ANN401
        room = filed(READING_ROOM)
        inputs = tuple(
            Input(i.role, i.file, i.content.replace(b"dries, value: 24 h", b"dries, value: 4 h")) for i in room.inputs
        )
        whole["inputs"] = [
            {**part, "content": changed["content"]}
            for part, changed in zip(
                whole["inputs"], json.loads(write_filed_json(Filing(room.record, inputs)))["inputs"], strict=True
            )
        ]

    lines = wrong_in(altered(filed(READING_ROOM), looser))
    assert lines[0] == (
        "rule set pasted-wallcovering, primer.yaml: changed since it was checked by; "
        'primer_dry_time_min was "24 h", and is "4 h" in the files filed'
    )
    assert any(
        line.startswith("the rule set does not prove itself: pasted-wallcovering/primer.yaml:") for line in lines
    )


def test_an_entry_that_nobody_may_sign_is_named_though_its_digests_are_right() -> None:
    """Made by other means, with every digest in order: a painter releases nothing."""
    room = filed(READING_ROOM)
    entry = {**signed().entries[0], "role": "painter", "remark": ""}
    assert wrong_in(read_back(Filing(room.record, room.inputs, (entry,)))) == [
        'entry 1 (released by Ilse Marrable, painter): role is "painter", '
        "who may release nothing by the rule set pasted-wallcovering"
    ]


@pytest.mark.parametrize(
    ("part", "said"),
    [
        (
            {"at": "2026-03-11T14:59:59-05:00"},
            "at is 2026-03-11T14:59:59-05:00, before the walk that it signs (2026-03-11T15:00:00-05:00)",
        ),
        ({"at": "2026-02-31T16:00:00-05:00"}, 'at is "2026-02-31T16:00:00-05:00", which is no time'),
        ({"remark": "\u00a0\u2800"}, 'remark is "\\xa0\u2800", which has a character that cannot be printed'),
        ({"remark": "\u2800"}, 'remark is "\u2800", which has no letter and no digit'),
        ({"name": "\u2800"}, 'name is "\u2800", which has no letter and no digit'),
        ({"remark": "so " * 400}, "remark has 1,200 characters"),
        ({"remark": ""}, "remark is empty"),
        ({"hold": {"rule": "power-off-at-boxes", "subject": "space"}},
         'hold is "power-off-at-boxes" of "space", which does not hold the work'),
        ({"hold": None}, "hold is not verified, and what is not verified is not released by a signature: "
         "primer-was-good-stock:West"),
    ],
)  # fmt: skip
def test_an_entry_that_was_forged_with_every_digest_right_is_named(part: Any, said: str) -> None:  # noqa: ANN401
    """What `sign` refuses is not there in a record that it made, so `verify` says of each what is wrong with it."""
    room = filed(READING_ROOM)
    forged = Filing(room.record, room.inputs, ({**signed().entries[0], **part},))
    lines = wrong_in(read_back(forged))
    name = part.get("name", "Ilse Marrable")
    assert lines[0] == f"entry 1 (released by {name}, inspector): {said}"
    assert [*releases_in_force(forged.record, forged.entries)] == []


def test_a_file_written_anew_is_said_to_be_so() -> None:
    """The same data with spaces, in another order, with a name twice: it says the same, and is named."""
    written = write_filed_json(filed(READING_ROOM))
    data = json.loads(written)
    for other in (
        json.dumps(data, indent=1).encode(),
        canonical(data),
        canonical(dict(reversed(data.items()))).replace(b'"filed":1', b'"filed":1,"filed":1') + b"\n",
    ):
        assert wrong_in(read_filed_json(other, "room.json")) == [
            "the file: was written anew by something else; a filed record has one way to be written"
        ]


def test_another_version_is_named() -> None:
    """A record of another version is checked all the same."""
    filing = filed(READING_ROOM)
    older = Filing({**filing.record, "tool": {"name": "wallwalk", "version": "0.0.9"}}, filing.inputs)
    found = matches_of(read_back(older))
    assert is_sound(found)
    said = "checked with wallwalk 0.0.9, and once more with 0.1.0; another version may say things otherwise"
    assert said in [one.says for one in found]


def test_an_overlay_that_the_survey_names_cannot_be_left_out() -> None:
    """Neither from the record nor from the files: the survey itself asks for it."""
    filing = filed(READING_ROOM)
    text = filing.inputs[0].content + b"\noverlays:\n  - file: tight.yaml\n"
    other = Filing(filing.record, (Input("survey", filing.inputs[0].file, text), *filing.inputs[1:]))
    assert wrong_in(read_back(other))[-1] == (
        f"cannot be checked once more: {READING_ROOM}.yaml: names the overlays tight.yaml; "
        "file each of them, in that order"
    )


@pytest.mark.parametrize("name", ["../out.csv", "/out.csv", "a\0b", "x" * 300, "."])
def test_no_file_is_laid_out_outside_of_its_folder(name: str) -> None:
    """Names that lead elsewhere, or that no file can have, are refused."""
    filing = filed(READING_ROOM)
    inputs = tuple(Input(i.role, name, i.content) if i.role == "climate log" else i for i in filing.inputs)
    refusal = check_again(Filing(filing.record, inputs))
    assert isinstance(refusal, InputError)
    assert re.match(r'climate log: is called "', str(refusal))


def test_an_empty_list_of_lines_is_no_match() -> None:
    """Nothing looked at is nothing found out."""
    assert not is_sound(())
    assert is_sound((Match(FILE, True, ""), Match(FILE, None, "")))
    assert not is_sound((Match(FILE, True, ""), Match(FILE, False, "")))


@pytest.mark.slow
@pytest.mark.parametrize("name", [READING_ROOM, KITCHEN, PASSING, CORRIDOR, "014-old-dispensary"])
def test_every_example_is_of_the_shape_of_a_filed_record(name: str) -> None:
    """The whole file, as the schema says; a field more or less is not of that shape."""
    schema = dict(record_schema())
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    overlays = (TIGHT,) if name in {CORRIDOR, KITCHEN} else ()
    whole = json.loads(write_filed_json(filed(name, *overlays)))
    assert [error.message for error in validator.iter_errors(whole)] == []
    for part in (whole, whole["record"], whole["record"]["rule_set"], whole["record"]["findings"][0], whole["end"]):
        part["more"] = ""
        assert not validator.is_valid(whole)
        del part["more"]
    assert validator.is_valid(whole)


def test_signed_records_are_of_that_shape() -> None:
    """With entries about a hold and about the whole."""
    validator = Draft202012Validator(record_schema())
    for filing in (signed(), signed_corridor(), filed(READING_ROOM, language="es")):
        assert [error.message for error in validator.iter_errors(json.loads(write_filed_json(filing)))] == []


def doubts(sound: bytes, alter: Any, seed: str) -> str:  # noqa: ANN401
    """What is wrong with how one alteration of a file is found: empty where it is, and named by its right kind."""
    whole = json.loads(sound)
    kinds, pattern = alter(whole, Random(seed))  # noqa: S311 - test data, not a secret
    written = canonical(whole) + b"\n"
    if written == sound:
        return f"{alter.__name__}: altered nothing"
    try:
        found = matches_of(read_filed_json(written, "room.json"))
    except InputError as error:
        unreadable = alter.__name__ == "packed_content" and "cannot be unpacked" in str(error)
        return "" if unreadable else f"{alter.__name__}: {error}"
    said = [one for one in found if one.matches is False or "packed otherwise" in one.says]
    if not said:
        return f"{alter.__name__}: not found"
    if not any(one.of in kinds and re.search(pattern, one.says) for one in said):
        return f"{alter.__name__}: named as {said}, not as {kinds} {pattern}"
    return ""


OF_OVERLAYS, OF_PHOTOS = {"overlay_byte", "recorded_digest"}, {"photo_byte", "photo_shown", "photo_caption"}


@pytest.mark.slow
@pytest.mark.usefixtures("work_once")
@pytest.mark.parametrize("alter", ALTERATIONS, ids=lambda a: a.__name__)
def test_alterations_of_each_kind_are_found_and_named(alter: Any) -> None:  # noqa: ANN401
    """Eight seeds a kind: in the reading room with three entries, in the corridor under an overlay, or with photos."""
    of = alter.__name__
    filing = signed_corridor() if of in OF_OVERLAYS else filed(DISPENSARY) if of in OF_PHOTOS else signed()
    sound = write_filed_json(filing)
    assert [said for seed in range(8) if (said := doubts(sound, alter, f"{of} {seed}"))] == []


def test_there_are_enough_alterations() -> None:
    """30 kinds, eight of each."""
    assert 8 * len({alter.__name__ for alter in ALTERATIONS}) == 240


def random_filing(seed: int, folder: Path) -> Filing:
    """A random survey, checked, filed and signed by up to three people who may."""
    chance = Random(seed)  # noqa: S311 - test data, not a secret
    data: Mapping[str, Any] = {
        "rules": chance.choice(["rigid-sheet", "pasted-wallcovering"]),
        **random_survey(seed, walls=2),
    }
    path = folder / f"room-{seed}.yaml"
    path.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), encoding="utf-8")
    rule_set = rule_set_called(data["rules"])
    survey = read_climate(read_survey(path), rule_set, folder)
    start = parse_moment("2026-03-09 09:15", survey.zone) if chance.random() < 0.3 else None
    filing = file_record(check(survey, rule_set, start), survey, rule_set, folder)
    for number in range(seed % 4):
        held = [named(f) for f in open_holds(filing.record) if f["outcome"] == "hold"]
        decision = chance.choice(DECISIONS if held else ("held", "noted"))
        hold = chance.choice(held) if decision == "released" or (held and chance.random() < 0.5) else ""
        by = next((f["by"] for f in open_holds(filing.record) if named(f) == hold), "")
        roles = [r for r, parties in filing.record["rule_set"]["releases"].items() if by in parties or not hold]
        role = chance.choice(roles) if decision == "released" else chance.choice(["painter", "owner", "inspector"])
        remark = "Read once more, by hand; näher."
        filing = sign(filing, Signing(role, f"Person {number}", decision, f"2026-03-10 1{number}:00", hold, remark))
    return filing


@pytest.mark.slow
@pytest.mark.usefixtures("work_once")
@pytest.mark.parametrize("tens", range(20))
def test_random_records_that_were_not_altered_are_never_doubted(tens: int, tmp_path: Path) -> None:
    """Two hundred random rooms, filed and signed by nobody to three people: each is what was checked."""
    for seed in range(10 * tens, 10 * tens + 10):
        filing = read_back(random_filing(seed, tmp_path))
        assert (seed, len(filing.entries), wrong_in(filing)) == (seed, seed % 4, [])


def test_a_few_random_records_are_not_doubted(tmp_path: Path) -> None:
    """The fast part of the same: with no entry, and with three."""
    for seed in (1000, 1003):
        assert wrong_in(read_back(random_filing(seed, tmp_path))) == []


def wallwalk(*arguments: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """The command line, run in `folder`."""
    return subprocess.run(["wallwalk", *arguments], cwd=folder, capture_output=True, text=True, check=False)


@pytest.mark.slow
def test_the_command_says_it_and_its_exit_code_does(tmp_path: Path) -> None:
    """0 where all matches, 1 where something does not, 2 where it is no filed record."""
    written = write_filed_json(signed())
    (tmp_path / "room.json").write_bytes(written)
    whole = json.loads(written)
    whole["record"]["verdict"] = "pass"
    (tmp_path / "changed.json").write_bytes(canonical(whole) + b"\n")
    (tmp_path / "none.json").write_bytes(b"{}")
    (tmp_path / "room.pdf").write_bytes(b"%PDF-1.7\n")
    good, changed, none, gone = (
        wallwalk("verify", name, folder=tmp_path) for name in ("room.json", "changed.json", "none.json", "gone.json")
    )
    assert (good.returncode, good.stderr) == (0, "")
    assert good.stdout.endswith("\n\nMATCHES: it is what was checked.\n")
    assert (changed.returncode, changed.stderr) == (1, "")
    assert "NOT the record: changed since entry 1 was signed\n" in changed.stdout
    assert changed.stdout.endswith(
        "\n\nDOES NOT MATCH: 2 things do not match. The first: checked once more, it comes\n"
        '    out otherwise: verdict is "pass", and the inputs give "hold"\n'
    )
    assert (none.returncode, none.stdout) == (2, "")
    assert none.stderr == "none.json: is no filed record; give a file that wallwalk check or wallwalk sign wrote\n"
    assert (gone.returncode, gone.stderr) == (2, "gone.json: is not there; give the path of a filed record\n")
