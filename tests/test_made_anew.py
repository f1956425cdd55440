"""Parts of a filed record put in place of others, digests made anew halfway, and the same data written otherwise."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import combinations
from typing import Any

import pytest

from filings import filed
from signed_filings import CORRIDOR, DISPENSARY, read_back, signed
from test_verify import again_from, wrong_in
from wallwalk.errors import InputError
from wallwalk.filed_json import read_filed_json, write_filed_json
from wallwalk.filing import CLIMATE_LOG, PHOTO, ROLES, RULE_SET, SURVEY, Filing, canonical, digest
from wallwalk.signing import Signing, sign
from wallwalk.verifying import Again

pytestmark = pytest.mark.slow

Whole = Any
"""What a filed JSON holds, as plain data."""


@cache
def room(name: str) -> Filing:
    """Four signed filings: two walks of the corridor, another room by other rules, and one with a photo."""
    if name == "reading room":
        return signed()
    at = {CORRIDOR: "2026-03-08 10:00", f"second-walk/{CORRIDOR}-second-walk": "2026-03-09 10:30"}
    return sign(filed(name), Signing("owner", "Oke Brandvold", "noted", at.get(name, "2026-12-01 08:00"), "", "Seen."))


FIRST, SECOND = CORRIDOR, f"second-walk/{CORRIDOR}-second-walk"
ROOMS = (FIRST, SECOND, "reading room", DISPENSARY)
PAIRS = ((FIRST, SECOND), (DISPENSARY, "reading room"))
"""Two walks of one room, and two rooms by other rules."""


def whole(name: str) -> Whole:
    """The data of one of them."""
    return json.loads(write_filed_json(room(name)))


def said_of(changed: Whole) -> list[str]:
    """What does not match in a file with this data, canonically written; why it is none, where it is none."""
    try:
        return wrong_in(read_filed_json(canonical(changed) + b"\n", "room.json"))
    except InputError as error:
        return [str(error)]


@pytest.mark.parametrize("name", ROOMS)
def test_each_is_sound_as_it_was_filed(name: str) -> None:
    """So that what is found below is what was put in."""
    assert said_of(whole(name)) == []


@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_a_part_of_another_filing_is_found(one: str, other: str) -> None:
    """Record, files, entries or end, one or several; the files of one role; every second part of the record."""
    here, there = whole(one), whole(other)
    mixed = []
    for count in (1, 2, 3):
        parted = combinations(("record", "inputs", "entries", "end"), count)
        mixed += [{**here, **{part: there[part] for part in parts}} for parts in parted]
    for role in (SURVEY, CLIMATE_LOG, PHOTO, RULE_SET):
        files = [part for part in here["inputs"] if part["role"] != role]
        files += [part for part in there["inputs"] if part["role"] == role]
        mixed.append({**here, "inputs": sorted(files, key=lambda part: ROLES.index(part["role"]))})
    mixed += [{**here, "record": {**here["record"], part: there["record"][part]}} for part in [*here["record"]][::2]]
    given = canonical(here), canonical(there)
    tried = [one for one in mixed if canonical(one) not in given]
    assert len(tried) >= 12
    assert [sorted(one) for one in tried if not said_of(one)] == []


def _later(content: bytes) -> bytes:
    return re.sub(rb",[0-9.]+(\r?\n)$", rb",41.5\1", content)


CHANGES: dict[str, tuple[str, str, Callable[[bytes], bytes], str]] = {
    "a row of the log": (FIRST, CLIMATE_LOG, _later, 'climate log "110-link-corridor.csv": '),
    "an answer": (
        FIRST,
        SURVEY,
        lambda content: content.replace(b"gaps: {", b"gaps: { ").replace(b"Level 4", b"Level 5") + b"\n",
        'survey "110-link-corridor.yaml": ',
    ),
    "a sentence of a rule": (
        FIRST,
        RULE_SET,
        lambda content: content.replace(b"title: A gap is planned at the floor or base", b"title: A gap at the base"),
        "rule set rigid-sheet",
    ),
    "a photo": (
        DISPENSARY,
        PHOTO,
        lambda content: content[:-40] + bytes([content[-40] ^ 4]) + content[-39:],
        'photo "014-old-dispensary.jpg": ',
    ),
}


def made_anew(name: str, role: str, change: Callable[[bytes], bytes]) -> Whole:
    """The filing with a file changed and everything that hangs on it made anew: it is sound, and proves nobody."""
    inputs = tuple(replace(one, content=change(one.content)) if one.role == role else one for one in room(name).inputs)
    assert inputs != room(name).inputs
    asked = {"rule_set": {"name": room(name).record["rule_set"]["name"]}, "language": "en", "evaluated_for": None}
    again = again_from(inputs, canonical(asked))
    assert isinstance(again, Again)
    assert again.faults == ()
    (entry,) = room(name).entries
    entry = {**entry, "previous": digest(again.record)}
    return json.loads(write_filed_json(Filing(again.record, inputs, (entry,))))


def _digests(record: Whole, other: Whole) -> Whole:
    """`record` with every digest of a file that `other` has; all else is its own."""
    if isinstance(record, dict):
        return (
            {
                key: other[key] if key == "sha256" and key in other else _digests(part, other.get(key))
                for key, part in record.items()
            }
            if isinstance(other, dict)
            else record
        )
    if isinstance(record, list) and isinstance(other, list) and len(record) == len(other):
        return [_digests(part, beside) for part, beside in zip(record, other, strict=True)]
    return record


STEPS = ("content", "digest beside it", "findings", "digest in the record", "entry", "end")


def halfway(sound: Whole, anew: Whole, steps: tuple[str, ...]) -> Whole:
    """`sound` with so much of it as `anew` has it."""
    made = copy.deepcopy(sound)
    for part, other in zip(made["inputs"], anew["inputs"], strict=True):
        part["content"] = (other if "content" in steps else part)["content"]
        part["sha256"] = (other if "digest beside it" in steps else part)["sha256"]
    made["record"] = copy.deepcopy((anew if "findings" in steps else sound)["record"])
    made["record"] = _digests(made["record"], (anew if "digest in the record" in steps else sound)["record"])
    made["entries"] = (anew if "entry" in steps else sound)["entries"]
    made["end"] = (anew if "end" in steps else sound)["end"]
    return made


@pytest.mark.usefixtures("work_once")
@pytest.mark.parametrize("what", CHANGES)
def test_a_change_that_was_made_good_halfway_is_found(what: str) -> None:
    """Of six places that hang together, any five, and of a photo each alone: found, and called by its name.

    All six are a filing made anew, which nothing can tell from another one; README says so.
    """
    name, role, change, called = CHANGES[what]
    sound, anew = whole(name), made_anew(name, role, change)
    assert halfway(sound, anew, STEPS) == anew
    assert said_of(anew) == []
    tried, first = 0, []
    for count in (1, 5) if what == "a photo" else (5,):
        for steps in combinations(STEPS, count):
            made = halfway(sound, anew, steps)
            if canonical(made) not in (canonical(sound), canonical(anew)):
                tried += 1
                first.append((said_of(made) or [f"not found: {steps}"])[0])
    assert tried >= 5
    others = (called, "checked once more, it comes out otherwise: ", "the record: changed since ", "entry 1 ")
    assert [said for said in first if not said.startswith(others)] == []


ANEW = "the file: was written anew by something else; a filed record has one way to be written"
GIVE = "give a file that wallwalk check or wallwalk sign wrote"
NO_FORM = f"is a filed record of form {{}}, and this wallwalk reads form 1; {GIVE}"
NO_JSON, NO_END = f"is no JSON that can be read; {GIVE}", f"does not say where it ends; {GIVE}"
END = b'"entries":3}'


def _in_order(key: Callable[[Any], Any]) -> Callable[[bytes], bytes]:
    def write(content: bytes) -> bytes:
        data = json.loads(content)
        return (
            json.dumps(dict(sorted(data.items(), key=key)), ensure_ascii=False, separators=(",", ":")).encode() + b"\n"
        )

    return write


WRITTEN: dict[str, tuple[Callable[[bytes], bytes], str]] = {
    "spaces": (lambda c: c.replace(b'"filed":1', b'"filed": 1'), ANEW),
    "line ends": (lambda c: c[:-1] + b"\r\n", ANEW),
    "no line end": (lambda c: c[:-1], ANEW),
    "a blank before": (lambda c: b" " + c, ANEW),
    "a mark of byte order": (lambda c: b"\xef\xbb\xbf" + c, ANEW),
    "UTF-16": (lambda c: c.decode().encode("utf-16"), ANEW),
    "an escape": (lambda c: c.replace(b'"filed":1', b'"fil\\u0065d":1'), ANEW),
    "every escape": (lambda c: json.dumps(json.loads(c), sort_keys=True, separators=(",", ":")).encode() + b"\n", ANEW),
    "keys in another order": (_in_order(lambda pair: [-ord(letter) for letter in pair[0]]), ANEW),
    "a key twice": (lambda c: c.replace(b'"filed":1', b'"filed":1,"filed":1'), ANEW),
    "another verdict before": (lambda c: c.replace(b'"verdict":"hold"', b'"verdict":"pass","verdict":"hold"'), ANEW),
    "no entries before": (lambda c: c.replace(b'"entries":[', b'"entries":[],"entries":[', 1), ANEW),
    "a number with a point": (lambda c: c.replace(b'"number":1,', b'"number":1.0,'), ANEW),
    "a number with an exponent": (lambda c: c.replace(b'"number":1,', b'"number":1e0,'), ANEW),
    "yes for one, of the form": (lambda c: c.replace(b'"filed":1', b'"filed":true'), NO_FORM.format("True")),
    "a point, in the form": (lambda c: c.replace(b'"filed":1', b'"filed":1.0'), NO_FORM.format("1.0")),
    "yes for one, of an entry": (
        lambda c: c.replace(b'"number":1,', b'"number":true,'),
        "entries[0].number is yes, which no filed record has",
    ),
    "a point, at the end": (lambda c: c.replace(END, b'"entries":3.0}'), NO_END),
    "more digits than there are": (lambda c: c.replace(END, b'"entries":' + b"9" * 5000 + b"}"), NO_JSON),
    "no number": (lambda c: c.replace(b'"filed":1', b'"filed":NaN'), NO_JSON),
    "half a letter": (lambda c: c.replace(b"Ilse", b"\\ud800"), NO_JSON),
    "a key more": (
        lambda c: c.replace(b'"filed":1', b'"filed":1,"more":1'),
        f"is no filed record; {GIVE}",
    ),
    "lists in lists": (lambda c: c.replace(b'"filed":1', b'"filed":' + b"[" * 20000 + b"]" * 20000), NO_JSON),
    "letters behind it": (lambda c: c + b"x", NO_JSON),
    "itself behind it": (lambda c: c + c, NO_JSON),
    "an end too soon": (lambda c: c[:-50], NO_JSON),
}


@pytest.mark.parametrize("how", WRITTEN)
def test_the_same_data_written_otherwise_is_found(how: str) -> None:
    """A filed record has one way to be written; what reads it another way may read something else in it."""
    write, said = WRITTEN[how]
    sound = write_filed_json(signed())
    written = write(sound)
    assert written != sound
    try:
        found = wrong_in(read_filed_json(written, "room.json"))[0]
    except InputError as error:
        found = str(error).removeprefix("room.json: ")
    assert found == said


@pytest.mark.parametrize(
    ("name", "now", "said"),
    [
        ("Marisela", "M\u0430risela", '"M\\u0430risela Trejo Ondarza", and the inputs give "Marisela Trejo Ondarza"'),
        ("Marisela", "Marisela\u00a0", '"Marisela\\xa0 Trejo Ondarza", and the inputs give "Marisela Trejo Ondarza"'),
    ],
)
def test_texts_that_look_alike_are_shown_by_their_signs(name: str, now: str, said: str) -> None:
    """Else the line would say of one and the same text that it is another one."""
    changed = json.loads(write_filed_json(filed("507-reading-room")))
    changed["record"]["heading"]["walked_by"] = changed["record"]["heading"]["walked_by"].replace(name, now)
    assert said_of(changed)[0] == f"checked once more, it comes out otherwise: heading.walked_by is {said}"


def test_long_texts_are_shown_from_where_they_differ() -> None:
    """The first signs of two long texts may be the same."""
    changed = json.loads(write_filed_json(filed("507-reading-room")))
    put_right = changed["record"]["findings"][0]["put_right"]
    changed["record"]["findings"][0]["put_right"] = f"{put_right[:50]}#{put_right[51:]}"
    assert said_of(changed)[0] == (
        'checked once more, it comes out otherwise: findings[0].put_right is "… tested #r lead-safe work is set up. '
        'Mo…", and the inputs give "… tested or lead-safe work is set up. Mo…" (lead-paint-left-alone, North)'
    )


def test_read_back_is_what_was_filed() -> None:
    """The four rooms come back from their files as they were."""
    assert [read_back(room(name)) == room(name) for name in ROOMS] == [True] * len(ROOMS)
