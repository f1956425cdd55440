"""What verify says of a filed record, line by line, given what the check once more came to; nothing is checked here."""

from __future__ import annotations

import copy
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from marked_language import MARKED, Marking
from signed_filings import read_back
from small_room import small_filing
from wallwalk import __version__
from wallwalk.errors import Fault, InputError
from wallwalk.filing import Filing, Input, digest
from wallwalk.matching import Match, is_sound
from wallwalk.record import Record
from wallwalk.signing import Signing, sign
from wallwalk.verifying import Again, match_quickly, match_seals, verify, words_of
from wallwalk.words import Words

IN_MARKS = Words(MARKED, "", Marking())
Line = tuple[str, bool | None, str]


@cache
def room() -> Filing:
    """The small room, filed and read back."""
    return read_back(small_filing())


@cache
def signed() -> Filing:
    """The same with a release over one hold, and the whole of it held."""
    release = Signing("inspector", "Ilse Marrable", "released", "2026-03-11 16:00", "wall-dry-enough:South", "Dry.")
    return sign(sign(room(), release), Signing("owner", "Oke Brandvold", "held", "2026-03-11 17:00"))


def again() -> Again:
    """Its check once more, which comes out the same."""
    return Again(small_filing().record)


def lines(found: tuple[Match, ...]) -> list[Line]:
    """What each line is about, whether it matches, what it says."""
    return [(one.of, one.matches, one.says) for one in found]


def altered(filing: Filing, change: Callable[[Any], object]) -> Filing:
    """The filing with a change of a copy of its record, and its end made right again."""
    record: Record = copy.deepcopy(filing.record)
    change(record)
    said = filing.said
    assert said is not None
    return replace(filing, record=record, said=replace(said, end=digest([record, *filing.entries][-1])))


FORM: Line = ("file", True, "the file: written as a filed record is")
SHAPE: Line = ("shape", True, "its shape: that of a filed record (rules/record.schema.yaml)")
INPUTS: list[Line] = [
    ("survey", True, 'survey "room.yaml": the bytes that were checked'),
    ("climate log", True, 'climate log "room.csv": the bytes that were checked'),
    ("photo", True, 'photo "wall.png": the bytes that were checked'),
    ("rule set", True, "rule set sound: its 4 files are those it was checked by"),
]
ALIKE: Line = ("record", True, "checked once more from its own files: HOLD again, and the same 10 findings")
TOOL: Line = ("tool", None, f"checked with wallwalk {__version__}, and once more with {__version__}")
CHAIN: Line = ("record", True, "the record: as it was when the file was written")


def test_a_record_that_comes_out_the_same_matches_in_every_line() -> None:
    """The form, the shape, the files, the check once more, the version, the chain."""
    found = verify(room(), again())
    assert lines(found) == [FORM, SHAPE, *INPUTS, ALIKE, TOOL, CHAIN]
    assert is_sound(found)


def test_a_filing_that_was_read_from_no_file_says_nothing_of_its_form() -> None:
    """Of its end neither, which is told."""
    unseen = ("file", None, "it does not say where it ends: an entry taken off the end would not be seen")
    assert lines(verify(small_filing(), again())) == [SHAPE, *INPUTS, ALIKE, TOOL, CHAIN, unseen]


def test_a_file_written_anew_is_said_to_be_so_and_looked_at_all_the_same() -> None:
    """One line in place of the other."""
    said = room().said
    assert said is not None
    anew = "the file: was written anew by something else; a filed record has one way to be written"
    found = verify(replace(room(), said=replace(said, canonical=False)), again())
    assert lines(found) == [("file", False, anew), SHAPE, *INPUTS, ALIKE, TOOL, CHAIN]


def test_of_another_shape_each_place_is_named_and_nothing_is_taken_for_granted() -> None:
    """Of the record and of an entry, in the order of the places; then only where the check comes out otherwise."""

    def change(record: Any) -> None:  # noqa: ANN401
        record["language"] = "tlh"
        record["findings"][3]["title"] = 7
        record["a b"] = 1
        del record["heading"]["space"]

    entry = {**signed().entries[0], "number": "1"}
    other = replace(altered(room(), change), entries=(entry, {**entry, "more": 1}))
    shapes: list[Line] = [
        ("shape", False, f"{found}, which no filed record has")
        for found in (
            'record["a b"] is not asked here',
            'record.findings[3].title is "7"',
            "record.heading has no space",
            'record.language is "tlh"',
            'entries[0].number is "1"',
            "entries[1].more is not asked here",
            'entries[1].number is "1"',
        )
    ]
    differs = 'checked once more, it comes out otherwise: heading.space is not there, and the inputs give "Store 3"'
    found = lines(verify(other, again()))
    assert found[1:-1] == shapes
    assert (found[0], found[-1]) == (FORM, ("record", False, differs))
    assert lines(match_quickly(other)) == found[:-1]
    assert lines(verify(other, InputError([Fault("x.yaml", 0, "", "is odd", "mend it")]))) == found[:-1]


def test_a_record_that_is_empty_is_named_by_what_it_lacks() -> None:
    """The place of a whole record is its name alone."""
    found = lines(verify(replace(room(), record={}), InputError([Fault("x.yaml", 0, "", "is odd", "mend it")])))
    assert found[:3] == [
        FORM,
        ("shape", False, "record has no climate, which no filed record has"),
        ("shape", False, "record has no clocks, which no filed record has"),
    ]
    assert len(found) == 1 + 17


def test_why_it_cannot_be_checked_once_more_is_said() -> None:
    """The first reason, and how many more there are; that is no match, whatever else is."""
    faults = [Fault("a.yaml", 3, "walls", "is odd", "mend it"), Fault("b.yaml", 0, "", "is not there", "file it")]
    first = "cannot be checked once more: a.yaml:3: walls is odd; mend it"
    one, two = (verify(room(), InputError(faults[:count])) for count in (1, 2))
    assert lines(one) == [FORM, SHAPE, *INPUTS, ("record", False, first), CHAIN]
    assert lines(two)[6] == ("record", False, f"{first} (and 1 more)")
    assert not is_sound(one)


def test_a_check_that_comes_out_otherwise_is_no_match() -> None:
    """The first difference is named; the rest is looked at all the same."""
    other = altered(room(), lambda record: record.update(verdict="pass"))
    differs = 'checked once more, it comes out otherwise: verdict is "pass", and the inputs give "hold"'
    assert lines(verify(other, again())) == [FORM, SHAPE, *INPUTS, ("record", False, differs), TOOL, CHAIN]


def test_a_rule_set_that_does_not_prove_itself_is_no_match() -> None:
    """Each fault has a line, though the check comes out the same."""
    faults = (Fault("a.yaml", 3, "rules.x", "is odd", "mend it"), Fault("b.yaml", 0, "", "is short", "add to it"))
    found = verify(room(), Again(again().record, faults))
    says = [
        ("rule set", False, "the rule set does not prove itself: a.yaml:3: rules.x is odd; mend it"),
        ("rule set", False, "the rule set does not prove itself: b.yaml: is short; add to it"),
    ]
    assert lines(found) == [FORM, SHAPE, *INPUTS, ALIKE, *says, TOOL, CHAIN]
    assert not is_sound(found)


def test_another_version_is_told_and_is_no_fault() -> None:
    """It is shown on one line, whatever it is."""
    other = altered(room(), lambda record: record["tool"].update(version='0.0.9\n"x"'))
    said = (
        f'checked with wallwalk 0.0.9\\n\\"x\\", and once more with {__version__}; '
        "another version may say things otherwise"
    )
    found = verify(other, again())
    assert lines(found) == [FORM, SHAPE, *INPUTS, ALIKE, ("tool", None, said), CHAIN]
    assert is_sound(found)


def test_a_file_that_changed_is_named_with_the_answer_or_the_limit_that_changed() -> None:
    """Of a survey the first answer, of a rule set the first limit; of a log, or where none shows, the file alone."""

    def with_input(role: str) -> Filing:
        inputs = tuple(Input(i.role, i.file, i.content + b"\n") if i.role == role else i for i in room().inputs)
        return replace(room(), inputs=inputs[:4] + room().inputs[4:])

    record: Any = copy.deepcopy(again().record)
    sources = [s for f in record["findings"] for c in f["compared"] for s in c["sources"]]
    place, was = sources[0]["place"], sources[0]["written"]
    for source in (s for s in sources if s["place"] == place):
        source["written"] = "other"
    other = Again(record)
    survey, log = lines(verify(with_input("survey"), other)), lines(verify(with_input("climate log"), other))
    told = 'survey "room.yaml": changed since it was checked'
    answer = f'{place} was "{was}", and is "other" in the survey filed'
    assert survey[2] == ("survey", False, f"{told}; {answer}")
    assert log[2:6] == [
        INPUTS[0],
        ("climate log", False, 'climate log "room.csv": changed since it was checked'),
        *INPUTS[2:],
    ]
    assert lines(verify(with_input("survey"), again()))[2] == ("survey", False, told)
    refused = InputError([Fault("x.yaml", 0, "", "is odd", "mend it")])
    assert lines(verify(with_input("survey"), refused))[2] == ("survey", False, told)

    record = copy.deepcopy(again().record)
    limit = record["limits"][0]
    was, limit["written"] = limit["written"], "other"
    rules = lines(verify(with_input("rule set"), Again(record)))
    title = "rule set sound"
    changed = f'{limit["name"]} was "{was}", and is "other" in the files filed'
    name = next(i.file for i in room().inputs if i.role == "rule set")
    assert rules[5] == ("rule set", False, f"{title}, {name}: changed since it was checked by; {changed}")
    assert lines(verify(with_input("survey"), Again(record)))[2] == ("survey", False, told)


def test_whoever_signed_what_nobody_may_is_named() -> None:
    """Each refusal of each entry; of a record that was changed it is not asked, since the record says who may."""
    first, second = signed().entries[:2]
    painter = {**first, "role": "painter"}
    early = {**second, "previous": digest(painter), "at": "2026-03-10T17:00:00-05:00", "name": "\u202eOke"}
    filing = Filing(room().record, room().inputs, (painter, early))
    may = 'role is "painter", who may release nothing by the rule set sound'
    wrong = [one.says for one in match_seals(filing) if (one.of, one.matches) == ("entry", False)]
    assert wrong == [
        f"entry 1 (released by Ilse Marrable, painter): {may}",
        r"entry 2 (held by \u202eOke, owner): name is "
        r'"\u202eOke", which has a character that cannot be printed',
        r"entry 2 (held by \u202eOke, owner): at is 2026-03-10T17:00:00-05:00, "
        "before entry 1 was signed (2026-03-11T16:00:00-05:00)",
    ]
    record = {**filing.record, "verdict": "pass"}
    unasked = [one.says for one in match_seals(replace(filing, record=record)) if one.matches is False]
    assert unasked == ["the record: changed since entry 1 was signed"]
    in_marks = [one.says for one in match_seals(filing, IN_MARKS) if one.matches is False]
    assert in_marks[0] == f"⟦entry ⟧1⟦ (released by ⟧Ilse Marrable⟦, ⟧painter⟦)⟧: {may}"


@pytest.mark.parametrize(("language", "spoken"), [("es", "es"), ("en", "en"), ("EN", "en"), (None, "en"), ({}, "en")])
def test_a_record_is_spoken_of_in_its_own_language(language: object, spoken: str) -> None:
    """In English where it names none that is spoken here, or nothing at all."""
    assert words_of({"language": language}).language == spoken
    assert words_of({"text": "es"}).language == "en"


def test_the_answer_that_changed_is_told_in_the_words_that_are_asked_for() -> None:
    """Behind the line of the survey, as that line is."""
    inputs = (replace(room().inputs[0], content=b"other"), *room().inputs[1:])
    record: Any = copy.deepcopy(again().record)
    for finding in record["findings"]:
        for source in (s for c in finding["compared"] for s in c["sources"] if s["place"] == "planned_start"):
            source["written"] = "noon"
    told = verify(replace(room(), inputs=inputs), Again(record), IN_MARKS)[2]
    assert told == Match(
        "survey",
        False,
        '⟦survey ⟧"room.yaml"⟦: changed since it was checked⟧; '
        'planned_start⟦ was ⟧"2026-03-09 12:00"⟦, and is ⟧"noon"⟦ in the survey filed⟧',
    )


def test_what_is_signed_is_looked_at_quickly_first() -> None:
    """The form, the shape, the files and the chain, without the check once more."""
    assert lines(match_quickly(room())) == [FORM, SHAPE, *INPUTS, CHAIN]
    said = room().said
    assert said is not None
    inputs = (replace(room().inputs[0], content=b"other"), *room().inputs[1:])
    wrong = replace(room(), inputs=inputs, said=replace(said, canonical=False, end="0" * 64))
    assert [one.says for one in match_quickly(wrong) if one.matches is False] == [
        "the file: was written anew by something else; a filed record has one way to be written",
        'survey "room.yaml": changed since it was checked',
        "the record: changed since the file was written, or the digest at the end of the file was",
    ]
    entry = {**signed().entries[0], "role": "painter"}
    signed_by = [one.says for one in match_quickly(Filing(room().record, room().inputs, (entry,)))]
    assert 'role is "painter", who may release nothing' in signed_by[-1]


@pytest.mark.parametrize(
    ("filing", "come", "says"),
    [
        (
            room,
            again,
            [
                "⟦the file: written as a filed record is⟧",
                "⟦its shape: that of a filed record (rules/record.schema.yaml)⟧",
                '⟦survey ⟧"room.yaml"⟦: the bytes that were checked⟧',
                '⟦climate log ⟧"room.csv"⟦: the bytes that were checked⟧',
                "⟦rule set ⟧sound⟦: its ⟧4⟦ files are those it was checked by⟧",
                "⟦checked once more from its own files: ⟧⟦HOLD⟧⟦ again, and the same ⟧10⟦ findings⟧",
                f"⟦checked with wallwalk ⟧{__version__}⟦, and once more with ⟧{__version__}",
                "⟦the record⟧⟦: as it was when ⟧⟦the file was written⟧",
            ],
        ),
        (
            lambda: replace(room(), said=replace(room().said, canonical=False, packed_alike=(False,))),  # type: ignore[type-var]
            lambda: Again(again().record, (Fault("b.yaml", 0, "", "is short", "add to it"),)),
            [
                "⟦the file: was written anew by something else; a filed record has one way to be written⟧",
                '⟦survey ⟧"room.yaml"⟦: packed otherwise than this program packs it; what it holds counts⟧',
                "⟦the rule set does not prove itself: ⟧b.yaml: is short; add to it",
            ],
        ),
        (
            lambda: altered(room(), lambda record: record["tool"].update(version="0.0.9")),
            lambda: InputError([Fault("b.yaml", line, "", "is short", "add to it") for line in range(3)]),
            ["⟦cannot be checked once more: ⟧b.yaml: is short; add to it⟦ (and ⟧2⟦ more)⟧"],
        ),
        (
            lambda: altered(room(), lambda record: record.update(verdict="pass")),
            again,
            [
                '⟦checked once more, it comes out otherwise: ⟧verdict⟦ is ⟧"pass"⟦, and the inputs give ⟧"hold"',
            ],
        ),
        (
            lambda: altered(room(), lambda record: record["tool"].update(version="0.0.9")),
            again,
            [
                f"⟦checked with wallwalk ⟧0.0.9⟦, and once more with ⟧{__version__}"
                "⟦; another version may say things otherwise⟧",
            ],
        ),
        (
            lambda: altered(room(), lambda record: record.update(verdict="maybe")),
            again,
            [
                'record.verdict is "maybe"⟦, which no filed record has⟧',
                '⟦checked once more, it comes out otherwise: ⟧verdict⟦ is ⟧"maybe"⟦, and the inputs give ⟧"hold"',
            ],
        ),
    ],
)
def test_every_line_is_said_in_the_words_that_are_asked_for(
    filing: Callable[[], Filing], come: Callable[[], Again | InputError], says: list[str]
) -> None:
    """The fixed words are translated, one by one; what a reader says of a fault stays."""
    found = [one.says for one in verify(filing(), come(), IN_MARKS)]
    assert [line for line in says if line not in found] == []
