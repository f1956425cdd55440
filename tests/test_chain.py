"""The chain of a filed record: whatever was changed is named, and nothing else is; on small records made by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from marked_language import MARKED, Marking
from wallwalk.chain import entry_name, match_chain
from wallwalk.filing import Filing, Said, digest
from wallwalk.words import IN_ENGLISH, Words

PEOPLE = (("released", "Ilse Marrable", "inspector"), ("held", "Oke Brandvold", "owner"), ("noted", "T. Quarn", "HVAC"))
IN_MARKS = Words(MARKED, "", Marking())
Lines = list[tuple[str, bool | None, str]]


def chained(count: int) -> Filing:
    """A record with so many entries, each of which goes on from the one before, as a file says it."""
    record: dict[str, Any] = {"verdict": "hold"}
    entries: list[dict[str, Any]] = []
    for number, (decision, name, role) in enumerate(PEOPLE[:count], 1):
        previous = digest(entries[-1] if entries else record)
        entries.append({"number": number, "decision": decision, "name": name, "role": role, "previous": previous})
    return replace(Filing(record, (), tuple(entries)), said=Said(True, (), (), count, digest([record, *entries][-1])))


def lines_on(filing: Filing, words: Words = IN_ENGLISH) -> Lines:
    """Every line on the chain: what it is about, whether it matches, what it says."""
    return [(one.of, one.matches, one.says) for one in match_chain(filing, words)]


def changed(filing: Filing, place: int, **parts: Any) -> Filing:  # noqa: ANN401 - what an entry holds
    """The filing with one part changed and nothing put right: 0 is the record, 1 the first entry."""
    whole = [filing.record, *filing.entries]
    whole[place] = {**whole[place], **parts}
    return replace(filing, record=whole[0], entries=tuple(whole[1:]))


def ended(filing: Filing, *, count: int | None = None, end: str | None = None) -> Filing:
    """The filing as if its file said another end."""
    said = filing.said
    assert said is not None
    return replace(
        filing,
        said=replace(said, count=said.count if count is None else count, end=said.end if end is None else end),
    )


NAMES = (
    "the record",
    "entry 1 (released by Ilse Marrable, inspector)",
    "entry 2 (held by Oke Brandvold, owner)",
    "entry 3 (noted by T. Quarn, HVAC)",
)
THEN = ("entry 1 was signed", "entry 2 was signed", "entry 3 was signed", "the file was written")


def told(*wrong: int, count: int = 3) -> Lines:
    """The lines of a chain of so many entries in which these places are wrong, and no other."""
    lines: Lines = []
    for place in range(count + 1):
        of, then = "entry" if place else "record", THEN[3] if place == count else THEN[place]
        if place not in wrong:
            lines.append((of, True, f"{NAMES[place]}: as it was when {then}"))
        elif place < count:
            lines.append((of, False, f"{NAMES[place]}: changed since {then}"))
        else:
            said = f"{NAMES[place]}: changed since the file was written, or the digest at the end of the file was"
            lines.append((of, False, said))
    return lines


@pytest.mark.parametrize("count", range(4))
def test_a_chain_as_it_was_filed_matches_link_by_link(count: int) -> None:
    """The record and each entry, with what came after it; whoever signed nothing has a chain of the record alone."""
    assert lines_on(chained(count)) == told(count=count)


@pytest.mark.parametrize("place", range(4))
def test_what_was_changed_is_blamed_and_nothing_else(place: int) -> None:
    """The record, the first entry, one between, the last."""
    assert lines_on(changed(chained(3), place, more="x")) == told(place)


def test_a_record_that_nobody_signed_is_held_by_the_end_of_the_file() -> None:
    """Its own change is seen, and so is that of the digest at the end."""
    assert lines_on(changed(chained(0), 0, verdict="pass")) == told(0, count=0)
    assert lines_on(ended(chained(0), end="0" * 64)) == told(0, count=0)


@pytest.mark.parametrize("place", [1, 2, 3])
def test_an_entry_that_goes_on_from_something_else_is_blamed_alone(place: int) -> None:
    """What stands before it is not: two links break in a row, and the entry between them is the one that changed."""
    assert lines_on(changed(chained(3), place, previous="0" * 64)) == told(place)


def test_several_changes_are_each_blamed() -> None:
    """Apart, in a row, and all that there is."""
    filing = chained(3)
    assert lines_on(changed(changed(filing, 0, more="x"), 3, more="x")) == told(0, 3)
    assert lines_on(changed(changed(filing, 0, more="x"), 2, more="x")) == told(0, 2)
    in_a_row = changed(changed(filing, 1, previous="0" * 64), 2, more="x")
    assert lines_on(in_a_row) == told(1, 2)
    every = ended(changed(changed(filing, 1, previous="0" * 64), 3, previous="1" * 64), end="2" * 64)
    assert lines_on(every) == told(1, 3)


def test_a_file_that_does_not_say_where_it_ends_is_taken_at_its_word_and_said_to_be() -> None:
    """What was changed is still seen, but for the last entry; the doubt is told, and is no fault."""
    unseen = ("file", None, "it does not say where it ends: an entry taken off the end would not be seen")
    filing = replace(chained(2), said=None)
    assert lines_on(filing) == [*told(count=2), unseen]
    assert lines_on(changed(filing, 1, more="x")) == [*told(1, count=2), unseen]
    # Which of the two it was is not to be told then: the link between them is broken.
    assert lines_on(changed(filing, 2, previous="0" * 64)) == [*told(1, count=2), unseen]


def test_entries_that_are_lacking_or_moved_are_said_in_one_line() -> None:
    """The first that stands where another belongs, or how many were signed and how many are there."""
    filing = chained(3)
    one, two, three = filing.entries
    moved = "entries: number {} stands where number {} belongs; entries were taken out, added or moved"
    counted = "entries: {} were signed when the file was written, and {} are in it"
    for entries, said in (
        ((two, one, three), moved.format(2, 1)),
        ((one, three), moved.format(3, 2)),
        ((two, three), moved.format(2, 1)),
        ((one, three, two), moved.format(3, 2)),
        ((one, two, three, one), moved.format(1, 4)),
        ((one, two), counted.format(3, 2)),
        ((), counted.format(3, 0)),
    ):
        assert lines_on(replace(filing, entries=entries)) == [("entry", False, said)]
    assert lines_on(ended(filing, count=2)) == [("entry", False, counted.format(2, 3))]


def test_an_entry_with_another_number_alone_was_changed_and_not_moved() -> None:
    """It goes on from what stands before it, so nothing was taken out."""
    one_as_five = [(of, matches, says.replace("entry 2 (", "entry 5 (")) for of, matches, says in told(2)]
    one_as_five[1] = ("entry", True, f"{NAMES[1]}: as it was when entry 5 was signed")
    assert lines_on(changed(chained(3), 2, number=5)) == one_as_five


def test_numbers_that_do_not_run_on_are_seen_though_every_digest_is_right() -> None:
    """An entry that was taken out and the next made to go on from the one before it; also where no end is said."""
    filing = chained(3)
    one, _, three = filing.entries
    joined = {**three, "previous": digest(one)}
    said = "entries: number 3 stands where number 2 belongs; entries were taken out, added or moved"
    shorter = ended(replace(filing, entries=(one, joined)), count=2, end=digest(joined))
    assert lines_on(shorter) == [("entry", False, said)]
    assert lines_on(replace(shorter, said=None)) == [("entry", False, said)]


def test_a_name_is_shown_on_one_line() -> None:
    """Signs that are not seen are written by their numbers; there are no quotes round it."""
    entry = {"number": 2, "decision": "held", "name": "Oke\n\u202edlov", "role": "owner"}
    assert entry_name(entry) == r"entry 2 (held by Oke\n\u202edlov, owner)"


def test_every_line_is_said_in_the_words_that_are_asked_for() -> None:
    """The fixed words are translated, one by one; names and numbers stay."""
    sound = [says for _, _, says in lines_on(chained(1), IN_MARKS)]
    assert sound == [
        "⟦the record⟧⟦: as it was when ⟧⟦entry ⟧1⟦ was signed⟧",
        "⟦entry ⟧1⟦ (released by ⟧Ilse Marrable⟦, ⟧inspector⟦)⟧⟦: as it was when ⟧⟦the file was written⟧",
    ]
    both = changed(changed(chained(1), 0, more="x"), 1, more="x")
    assert [says for _, _, says in lines_on(both, IN_MARKS)] == [
        "⟦the record⟧⟦: as it was when ⟧⟦entry ⟧1⟦ was signed⟧",
        "⟦entry ⟧1⟦ (released by ⟧Ilse Marrable⟦, ⟧inspector⟦)⟧"
        "⟦: changed since the file was written, or the digest at the end of the file was⟧",
    ]
    assert lines_on(changed(chained(1), 0, more="x"), IN_MARKS)[0][2] == (
        "⟦the record⟧⟦: changed since ⟧⟦entry ⟧1⟦ was signed⟧"
    )
    assert lines_on(replace(chained(0), said=None), IN_MARKS)[1][2] == (
        "⟦it does not say where it ends: an entry taken off the end would not be seen⟧"
    )
    one, two, _ = chained(3).entries
    assert lines_on(replace(chained(2), entries=(two, one)), IN_MARKS)[0][2] == (
        "⟦entries: number ⟧2⟦ stands where number ⟧1⟦ belongs; entries were taken out, added or moved⟧"
    )
    assert lines_on(ended(chained(1), count=2), IN_MARKS)[0][2] == (
        "⟦entries: ⟧2⟦ were signed when the file was written, and ⟧1⟦ are in it⟧"
    )
