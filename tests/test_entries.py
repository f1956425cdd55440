"""Entries on the small room: what each may be refused for, whoever made it, and over what a release is in force."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from signed_filings import read_back
from small_room import small_filing
from wallwalk.errors import InputError
from wallwalk.filing import Filing, digest
from wallwalk.signing import Signing, is_over_hold, named, open_holds, refusals_of, releases_in_force, sign

ROLES = "installer, painter, drywall, general contractor, HVAC, electrician or plumber, owner, inspector"
REASON = "Read dry by the meter in five places."


def refused(filing: Filing, signing: Signing) -> str:
    """The whole message with which a signing is refused."""
    with pytest.raises(InputError) as refusal:
        sign(filing, signing)
    return str(refusal.value)


# One of two holds of the painter, of whose rules some are not verified on other walls.
ENTRY: dict[str, Any] = {
    "number": 1,
    "at": "2026-03-11T16:00:00-05:00",
    "role": "inspector",
    "name": "Ilse Marrable",
    "decision": "released",
    "hold": {"rule": "wall-dry-enough", "subject": "South"},
    "remark": REASON,
    "previous": "",
}
BEFORE: dict[str, Any] = {**ENTRY, "at": "2026-03-11T16:01:00-05:00"}
UNKNOWN = (
    "hold",
    "is not verified, and what is not verified is not released by a signature: "
    "primer-has-dried:walls not written down, wall-dry-enough:North, wall-dry-enough:walls not written down and 1 more",
    "find it out, write it down and check again",
)
NO_REASON = ("remark", "is empty", "write the reason for going on over a hold")


@pytest.mark.parametrize(
    ("parts", "refusals"),
    [
        ({}, []),
        ({"hold": None, "decision": "held", "role": "painter", "remark": ""}, []),
        ({"hold": None, "decision": "noted", "role": "drywall", "remark": ""}, []),
        ({"decision": "held", "role": "painter", "remark": ""}, []),
        ({"role": "boss", "name": ""}, [("role", 'is "boss"', f"write one of: {ROLES}")]),
        (
            {"name": " ", "remark": "a\x1b", "decision": "approved"},
            [
                ("name", "is empty", "write the name of who signs"),
                ("remark", 'is "a\\x1b", which has a character that cannot be printed', "write it in plain text"),
                ("decision", 'is "approved"', "write one of: released, held, noted"),
            ],
        ),
        (
            {"name": "a\u200bb", "hold": {"rule": "air-in-band", "subject": "space"}, "decision": "held"},
            [
                ("name", 'is "a\\u200bb", which has a character that cannot be printed', "write it in plain text"),
                (
                    "hold",
                    'is "air-in-band" of "space", which does not hold the work',
                    "name a check that holds",
                ),
            ],
        ),
        (
            {"hold": {"rule": "wall-dry-enough", "subject": "East"}, "remark": "", "role": "painter"},
            [("hold", 'is "wall-dry-enough" of "East", which does not hold the work', "name a check that holds")],
        ),
        (
            {"hold": None, "role": "painter", "remark": ""},
            [
                (
                    "role",
                    'is "painter", who may release nothing by the rule set sound',
                    "let one of these sign: general contractor, inspector; or walk again",
                )
            ],
        ),
        ({"hold": None}, [UNKNOWN]),
        ({"hold": None, "remark": " "}, [UNKNOWN, NO_REASON]),
        ({"role": "general contractor", "remark": ""}, [NO_REASON]),
        (
            {"hold": {"rule": "wall-dry-enough", "subject": "North"}, "role": "general contractor"},
            [(UNKNOWN[0], UNKNOWN[1].partition(": ")[0] + ": wall-dry-enough:North", UNKNOWN[2])],
        ),
    ],
)
def test_an_entry_of_any_making_is_refused_for_all_that_is_wrong_with_it(
    parts: dict[str, Any], refusals: list[tuple[str, str, str]]
) -> None:
    """Which part, what was found there, what to do instead; nothing where it may be signed."""
    assert list(refusals_of(small_filing().record, (), {**ENTRY, **parts})) == refusals


def test_an_entry_made_by_hand_is_not_dated_before_the_one_it_follows() -> None:
    """Moments are compared, whatever their offset; only the last before it is asked."""
    record = small_filing().record
    early = ("at", "is {}, before entry 2 was signed (2026-03-11T16:01:00-05:00)", "write when it is signed")
    before = ({**ENTRY, "at": "2026-03-12T00:00:00-05:00"}, BEFORE)
    for at, refused_so in (
        ("2026-03-11T16:00:00-05:00", True),
        ("2026-03-11T23:00:00+02:00", True),
        ("2026-03-11T16:01:00-05:00", False),
        ("2026-03-11T15:02:00-06:00", False),
    ):
        found = list(refusals_of(record, before, {**ENTRY, "at": at}))
        assert found == ([(early[0], early[1].format(at), early[2])] if refused_so else [])


def with_outcomes(**outcomes: str) -> Any:  # noqa: ANN401 - a record
    """The record of the small room, in which these rules hold, pass or are not verified on every subject."""
    record = small_filing().record
    findings = [{**f, "outcome": outcomes.get(f["rule"].replace("-", "_"), f["outcome"])} for f in record["findings"]]
    return {**record, "findings": findings}


def test_a_hold_of_a_party_is_released_by_whom_the_rule_set_names_for_it() -> None:
    """Each party once, with all its holds; who may release what is said by name."""
    record = with_outcomes(primer_has_dried="hold", wall_dry_enough="pass", kept_in_band="hold")
    whole = {**ENTRY, "hold": None}
    assert list(refusals_of(record, (), whole)) == []
    assert list(refusals_of(record, (), {**whole, "role": "general contractor"})) == [
        (
            "role",
            'is "general contractor", who may not release a hold of installer: kept-in-band:space',
            "let one of these sign: inspector; or walk again",
        )
    ]
    releases = {"general contractor": ["installer"]}
    other = {**record, "rule_set": {**record["rule_set"], "releases": releases}}
    assert list(refusals_of(other, (), {**whole, "role": "general contractor"})) == [
        (
            "role",
            'is "general contractor", who may not release a hold of painter: '
            "primer-has-dried:North, primer-has-dried:South, primer-has-dried:walls not written down",
            "put it right and walk again",
        )
    ]


def test_what_holds_the_work_is_of_hold_grade_and_a_hold_or_not_verified() -> None:
    """A caution does not, nor what passes or does not apply."""
    found = [named(finding) for finding in open_holds(with_outcomes(air_steady="hold"))]
    assert found == [
        "primer-has-dried:North",
        "primer-has-dried:walls not written down",
        "wall-dry-enough:North",
        "wall-dry-enough:South",
        "wall-dry-enough:walls not written down",
        "kept-in-band:space",
    ]
    assert is_over_hold(small_filing().record, ENTRY)
    assert is_over_hold(small_filing().record, {**ENTRY, "hold": None})
    assert not is_over_hold(small_filing().record, {**ENTRY, "hold": {"rule": "air-steady", "subject": "space"}})
    assert not is_over_hold(with_outcomes(wall_dry_enough="pass"), ENTRY)


def test_only_a_hold_that_its_last_signer_may_release_is_released() -> None:
    """What is not verified never is, whoever signed; nor by a role that may not, nor by a note; another wall is not."""
    room = small_filing().record
    findings = [{**f, "outcome": f["outcome"].replace("not verified", "pass")} for f in room["findings"]]
    known: Any = {**room, "findings": findings}

    def in_force(*entries: dict[str, Any], record: Any = known) -> list[tuple[str, int]]:  # noqa: ANN401
        return [(named(finding), entry["number"]) for finding, entry in releases_in_force(record, entries)]

    whole = {**ENTRY, "hold": None, "number": 2}
    both = [("primer-has-dried:North", 2), ("wall-dry-enough:South", 2)]
    assert in_force(ENTRY) == [("wall-dry-enough:South", 1)]
    assert in_force(ENTRY, whole) == both
    assert in_force(whole, ENTRY) == [("primer-has-dried:North", 2), ("wall-dry-enough:South", 1)]
    assert in_force(ENTRY, {**whole, "decision": "noted"}) == [("wall-dry-enough:South", 1)]
    assert in_force(ENTRY, {**whole, "decision": "held"}) == []
    assert in_force(whole, {**ENTRY, "decision": "held"}) == both[:1]
    assert in_force({**ENTRY, "role": "painter"}) == in_force({**ENTRY, "role": "owner"}) == []
    assert in_force({**ENTRY, "hold": {"rule": "wall-dry-enough", "subject": "North"}}, record=room) == []


def test_a_hold_is_named_by_its_rule_alone_where_it_holds_once() -> None:
    """With the subject or without, with spaces round either; a rule that only warns or that nobody knows is none."""
    room = small_filing()
    by_inspector = Signing("inspector", "Ilse  Marrable ", "held", "2026-03-11 16:00", "", " So\n it is. ")

    def hold_of(written: str) -> Any:  # noqa: ANN401 - what an entry is about
        return sign(room, replace(by_inspector, hold=written)).entries[0]["hold"]

    assert hold_of(" kept-in-band ") == {"rule": "kept-in-band", "subject": "space"}
    assert hold_of("wall-dry-enough : South ") == {"rule": "wall-dry-enough", "subject": "South"}
    assert hold_of(" ") is None
    entry = sign(room, by_inspector).entries[0]
    assert (entry["name"], entry["remark"]) == ("Ilse Marrable", "So it is.")
    for written, said in (
        ("air-steady", 'is "air-steady", which only warns; name a check that holds, or take --hold out'),
        ("air-in-band", 'is "air-in-band", which does not hold the work; name a check that holds, or take --hold out'),
        ("kept-in-band:North", 'names "North", where it does not hold; write kept-in-band:space'),
        (
            "primer-has-dried:South",
            'names "South", where it does not hold; '
            "write one of: primer-has-dried:North, primer-has-dried:walls not written down",
        ),
        (
            "wall-dry-enough",
            'is "wall-dry-enough", which holds 3 times; write one of: wall-dry-enough:North, wall-dry-enough:South, '
            "wall-dry-enough:walls not written down",
        ),
        ("kept-in-bend", 'is "kept-in-bend", and the record has no such rule; write kept-in-band'),
        (
            "x:South",
            'is "x", and the record has no such rule; write one of: primer-has-dried, wall-dry-enough, kept-in-band',
        ),
    ):
        assert refused(room, replace(by_inspector, hold=written)) == f"--hold: {said}"


def test_a_signed_filing_no_longer_says_how_its_file_ended() -> None:
    """What was read of the file it came from is of that file."""
    after = sign(read_back(small_filing()), Signing("owner", "Oke Brandvold", "held", "2026-03-11 16:00"))
    assert after.said is None
    assert (after.record, after.inputs) == (read_back(small_filing()).record, small_filing().inputs)


def test_each_entry_goes_on_from_the_one_before_it() -> None:
    """Every field of two entries: numbers, times at the site, and the digest of what stands before."""
    first = Signing("inspector", "Ilse Marrable", "released", "2026-03-11 16:00", "wall-dry-enough:South", REASON)
    once = sign(small_filing(), first)
    twice = sign(once, Signing("painter", "Oke Brandvold", "noted", "2026-03-11T22:30Z"))
    one = {**ENTRY, "previous": digest(small_filing().record)}
    two = {
        "number": 2,
        "at": "2026-03-11T17:30:00-05:00",
        "role": "painter",
        "name": "Oke Brandvold",
        "decision": "noted",
        "hold": None,
        "remark": "",
        "previous": digest(one),
    }
    assert (once.entries, twice.entries) == ((one,), (one, two))


def test_everything_that_keeps_it_from_being_signed_is_said_at_once() -> None:
    """A time and a hold that are none; else all that its entry is refused for."""
    room, odd = small_filing(), Signing("boss", "", "released", "noon", ":South")
    assert refused(room, odd) == (
        '--at: is "noon"; write it as year-month-day hour:minute, such as 2026-03-09 08:30\n'
        '--hold: is ":South"; write RULE or RULE:SUBJECT'
    )
    assert refused(room, replace(odd, at="2026-03-11", hold="")) == (
        '--at: is "2026-03-11"; write the time as well, such as 2026-03-09 08:30'
    )
    assert refused(room, replace(odd, at="2026-03-11 16:00", hold="", role="painter")) == (
        "--name: is empty; write the name of who signs\n"
        '--role: is "painter", who may release nothing by the rule set sound; '
        "let one of these sign: general contractor, inspector; or walk again"
    )
