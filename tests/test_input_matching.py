"""The files inside a filed record against the digests of its record: each doubt is named, on small filings by hand."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from marked_language import MARKED, Marking, mark
from wallwalk import input_matching
from wallwalk.filing import CLIMATE_LOG, OVERLAY, PHOTO, ROLES, RULE_SET, SURVEY, Filing, Input, Said
from wallwalk.input_matching import match_inputs, match_packing
from wallwalk.words import IN_ENGLISH, Words

IN_MARKS = Words(MARKED, "", Marking())
Line = tuple[str, bool | None, str]


def sha256(content: bytes) -> str:
    """The digest of some bytes."""
    return hashlib.sha256(content).hexdigest()


ROOM = (
    Input(SURVEY, "room.yaml", b"room"),
    Input(CLIMATE_LOG, "north.csv", b"north"),
    Input(CLIMATE_LOG, "south.csv", b"south"),
    Input(PHOTO, "wall.jpg", b"wall"),
    Input(PHOTO, "base.jpg", b"base"),
    Input(RULE_SET, "about.yaml", b"about"),
    Input(RULE_SET, "primer.yaml", b"primer"),
    Input(OVERLAY, "tight.yaml", b"tight"),
    Input(OVERLAY, "loose.yaml", b"loose"),
)
OF_RULES = sha256(f"about.yaml={sha256(b'about')}\nprimer.yaml={sha256(b'primer')}".encode())


def filed(inputs: tuple[Input, ...] = ROOM, /, **said: str) -> Filing:
    """A record made from `ROOM`, with these inputs and what the file says of their digests; `said`: by its name."""
    named = {role: [{"file": i.file, "sha256": i.sha256} for i in ROOM if i.role == role] for role in (
        SURVEY, CLIMATE_LOG, PHOTO, OVERLAY
    )}  # fmt: skip
    record: dict[str, Any] = {
        "survey": named[SURVEY][0],
        "climate": {"logs": named[CLIMATE_LOG]},
        "photos": named[PHOTO],
        "rule_set": {"name": "rigid-sheet", "sha256": OF_RULES, "overlays": named[OVERLAY]},
    }
    sha256s = tuple(said.get(one.file.partition(".")[0], one.sha256) for one in inputs)
    return Filing(record, inputs, said=Said(True, sha256s, (True,) * len(inputs), 0, ""))


def lines_on(filing: Filing, words: Words = IN_ENGLISH) -> list[Line]:
    """Every line: what it is about, whether it matches, what it says."""
    return [(one.of, one.matches, one.says) for one in match_inputs(filing, words)]


RECORDED = (
    "{name}: not the file that the record was made from: record.{place}.sha256 is {recorded}…, "
    "and the file's is {found}…"
)
BESIDE = "it or the digest filed beside it was changed: its own is {own}…, and the one filed beside it {beside}…"


def recorded(name: str, place: str, was: bytes, found: bytes, told: Callable[[str], str] = str) -> str:
    """That a record names another digest of a file, by the content it was made from and the one that is there."""
    return told(RECORDED).format(name=name, place=place, recorded=sha256(was)[:16], found=sha256(found)[:16])


def beside(content: bytes, told: Callable[[str], str] = str) -> str:
    """That another digest, of nothing but zeros, is filed beside a file of that content."""
    return told(BESIDE).format(own=sha256(content)[:16], beside=f'"{"0" * 16}"')


SOUND: list[Line] = [
    ("survey", True, 'survey "room.yaml": the bytes that were checked'),
    ("climate log", True, 'climate log "north.csv": the bytes that were checked'),
    ("climate log", True, 'climate log "south.csv": the bytes that were checked'),
    ("photo", True, 'photo "wall.jpg": the bytes that were checked'),
    ("photo", True, 'photo "base.jpg": the bytes that were checked'),
    ("rule set", True, "rule set rigid-sheet: its 2 files are those it was checked by"),
    ("overlay", True, 'overlay "tight.yaml": the bytes that were checked'),
    ("overlay", True, 'overlay "loose.yaml": the bytes that were checked'),
]


def but(**others: Line) -> list[Line]:
    """The lines of a sound filing, but for those of these names (`rules`: that of the rule set)."""
    places = ("room", "north", "south", "wall", "base", "rules", "tight", "loose")
    return [others.get(place, line) for place, line in zip(places, SOUND, strict=True)]


def without(*files: str) -> tuple[Input, ...]:
    """The inputs but those."""
    return tuple(one for one in ROOM if one.file not in files)


def other(file: str, /, **parts: Any) -> tuple[Input, ...]:  # noqa: ANN401 - what an input is made of
    """The inputs, one of them with another role, name or content."""
    return tuple(replace(one, **parts) if one.file == file else one for one in ROOM)


def test_what_was_checked_matches_file_by_file() -> None:
    """The survey, each log and photo, the rule set as one, each overlay; also where no file says anything of itself."""
    assert lines_on(filed()) == SOUND
    assert lines_on(replace(filed(), said=None)) == SOUND


def test_no_file_goes_without_its_digest() -> None:
    """Were the file to say fewer digests than it has files, the last ones would not be looked at."""
    filing = filed()
    assert filing.said is not None
    for sha256s in (filing.said.sha256s[:-1], (*filing.said.sha256s, "0" * 64)):
        with pytest.raises(ValueError, match=r"^zip\(\) argument 2 is (shorter|longer) than argument 1$"):
            lines_on(replace(filing, said=replace(filing.said, sha256s=sha256s)))


def test_a_room_with_the_survey_alone_has_two_lines() -> None:
    """No log, no photo and no overlay is no line."""
    filing = filed(without("north.csv", "south.csv", "wall.jpg", "base.jpg", "tight.yaml", "loose.yaml"))
    rules = {**filing.record["rule_set"], "overlays": []}
    bare = {**filing.record, "climate": None, "photos": [], "rule_set": rules}
    assert lines_on(replace(filing, record=bare)) == [SOUND[0], SOUND[5]]


def test_a_log_that_the_record_has_no_digest_of_was_not_read() -> None:
    """It is not looked for; the next keeps its place in the record."""
    filing = filed(other("south.csv", content=b"else")[:1] + other("south.csv", content=b"else")[2:])
    logs = [{"file": "north.csv", "sha256": None}, filing.record["climate"]["logs"][1]]
    unread = replace(filing, record={**filing.record, "climate": {"logs": logs}})
    said = recorded('climate log "south.csv"', "climate.logs[1]", b"south", b"else")
    assert lines_on(unread) == [SOUND[0], ("climate log", False, said), *SOUND[3:]]


def test_bytes_that_changed_are_said_to_have() -> None:
    """The digest filed beside the file tells it apart from a record, or a digest, that was changed."""
    for name, role in (("room.yaml", "survey"), ("south.csv", "climate log"), ("base.jpg", "photo")):
        stem = name.partition(".")[0]
        was = sha256(stem.encode())
        both, alone, own = (
            filed(other(name, content=b"else")),
            filed(other(name, content=b"else"), **{stem: was}),
            filed(**{stem: "0" * 64}),
        )
        place = {"room": "survey", "south": "climate.logs[1]", "base": "photos[1]"}[stem]
        anew = recorded(f'{role} "{name}"', place, stem.encode(), b"else")
        assert lines_on(both) == but(**{stem: (role, False, anew)})
        assert lines_on(alone) == but(**{stem: (role, False, f'{role} "{name}": changed since it was checked')})
        assert lines_on(own) == but(**{stem: (role, False, f'{role} "{name}": {beside(stem.encode())}')})


def test_a_record_with_another_digest_of_a_file_is_named_by_its_place() -> None:
    """Where it stands in the record, for each kind of file."""
    filing = filed()
    other_sha256 = sha256(b"else")
    for key, part in (("survey", filing.record["survey"]), ("rule_set", filing.record["rule_set"])):
        one = replace(filing, record={**filing.record, key: {**part, "sha256": other_sha256}})
        assert sum(not matches for _, matches, _ in lines_on(one)) == 1
    overlays = [filing.record["rule_set"]["overlays"][0], {"file": "loose.yaml", "sha256": other_sha256}]
    laid = replace(filing, record={**filing.record, "rule_set": {**filing.record["rule_set"], "overlays": overlays}})
    said = recorded('overlay "loose.yaml"', "rule_set.overlays[1]", b"else", b"loose")
    assert lines_on(laid) == but(loose=("overlay", False, said))


def test_a_file_that_is_lacking_or_that_nobody_asked_for_is_named() -> None:
    """Of each kind; what stands behind a lacking file is told to have another name."""
    gone = ("climate log", False, 'climate log "south.csv": is not in the file')
    assert lines_on(filed(without("south.csv"))) == but(south=gone)
    lacks = {
        "room.yaml": ("survey", False, 'survey "room.yaml": is not in the file'),
        "base.jpg": ("photo", False, 'photo "base.jpg": is not in the file'),
        "loose.yaml": ("overlay", False, 'overlay "loose.yaml": is not in the file'),
    }
    for name, line in lacks.items():
        assert lines_on(filed(without(name))) == but(**{name.partition(".")[0]: line})
    assert lines_on(filed(without("about.yaml", "primer.yaml"))) == but(
        rules=("rule set", False, "rule set rigid-sheet: is not in the file")
    )
    more = (*ROOM[:3], Input(CLIMATE_LOG, "east.csv", b"east"), *ROOM[3:])
    said = 'climate log "east.csv": is in the file, and the record was not made from it'
    assert lines_on(filed(more)) == [*SOUND[:3], ("climate log", False, said), *SOUND[3:]]


def test_a_file_under_another_name_is_named_with_both() -> None:
    """Also where two stand in each other's place: the record names them in an order."""
    renamed = (
        "climate log",
        False,
        'climate log: the file names it "East.csv", and record.climate.logs[1].file is "south.csv"',
    )
    assert lines_on(filed(other("south.csv", file="East.csv"))) == but(south=renamed)
    swapped = (ROOM[0], ROOM[2], ROOM[1], *ROOM[3:])
    says = [says for _, matches, says in lines_on(filed(swapped)) if not matches]
    assert says == [
        'climate log: the file names it "south.csv", and record.climate.logs[0].file is "north.csv"',
        'climate log: the file names it "north.csv", and record.climate.logs[1].file is "south.csv"',
    ]


def test_a_photo_shown_twice_is_one_file_at_its_first_place() -> None:
    """The record may name a picture at several answers, with others between them; it is filed once."""
    filing = filed(other("wall.jpg", content=b"else"))
    wall, base = filing.record["photos"]
    twice = replace(filing, record={**filing.record, "photos": [wall, base, wall]})
    said = recorded('photo "wall.jpg"', "photos[0]", b"wall", b"else")
    assert lines_on(twice) == but(wall=("photo", False, said))
    other_bytes = {**wall, "sha256": sha256(b"else")}
    both = filed((*ROOM[:4], Input(PHOTO, "wall.jpg", b"else"), *ROOM[4:]))
    named = replace(both, record={**both.record, "photos": [wall, other_bytes, base]})
    assert lines_on(named) == [*SOUND[:4], SOUND[3], *SOUND[4:]]


def test_of_a_rule_set_the_file_that_changed_is_named() -> None:
    """By the digest beside it; where no digest tells which, that it is one of them."""
    title = "rule set rigid-sheet"
    anew = (
        f"{title}: its files do not give record.rule_set.sha256: one is missing, added or another, or that was changed"
    )
    primer = other("primer.yaml", content=b"else")
    changed = f"{title}, primer.yaml: changed since it was checked by"
    assert lines_on(filed(primer, primer=sha256(b"primer"))) == but(rules=("rule set", False, changed))
    assert lines_on(filed(primer)) == but(rules=("rule set", False, anew))
    for inputs in (without("primer.yaml"), other("primer.yaml", file="paint.yaml")):
        assert lines_on(filed(inputs)) == but(rules=("rule set", False, anew))
    own = beside(b"primer")
    assert lines_on(filed(primer="0" * 64)) == but(rules=("rule set", False, f"{title}, primer.yaml: {own}"))
    both = lines_on(filed(primer, primer="0" * 64))
    assert both == [
        *SOUND[:5],
        ("rule set", False, changed),
        ("rule set", False, anew),
        *SOUND[6:],
    ]


def test_the_files_of_a_rule_set_may_stand_in_any_order_among_themselves() -> None:
    """What they are is in their names and digests."""
    swapped = (*ROOM[:5], ROOM[6], ROOM[5], *ROOM[7:])
    assert lines_on(filed(swapped)) == SOUND


def test_files_out_of_the_order_of_their_kinds_are_doubted() -> None:
    """The one way to file them is survey, logs, photos, rule set, overlays."""
    moved = (ROOM[1], ROOM[0], *ROOM[2:])
    said = "the files in it do not stand in the order in which they are filed"
    assert lines_on(filed(moved)) == [*SOUND, ("file", False, said)]


def test_a_file_that_nobody_looks_at_is_doubted() -> None:
    """A kind of file that is filed later must not lie in a record unseen until it is looked at here."""
    drawing = Input("drawing", "plan.pdf", b"plan")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(input_matching, "ROLES", (*ROLES, "drawing"))
        found = lines_on(filed((*ROOM, drawing)))
        in_marks = lines_on(filed((*ROOM, drawing)), IN_MARKS)
    said = 'drawing "plan.pdf": is in the file, and is not looked at here'
    assert found == [*SOUND, ("drawing", False, said)]
    assert in_marks[-1][2] == 'drawing "plan.pdf"⟦: is in the file, and is not looked at here⟧'


def test_every_line_is_said_in_the_words_that_are_asked_for() -> None:
    """The fixed words are translated, one by one; names, places and digests stay."""
    wrong: list[tuple[Filing, tuple[str, ...]]] = [
        (
            filed(),
            (
                '⟦survey ⟧"room.yaml"⟦: the bytes that were checked⟧',
                '⟦climate log ⟧"north.csv"⟦: the bytes that were checked⟧',
                '⟦photo ⟧"wall.jpg"⟦: the bytes that were checked⟧',
                "⟦rule set ⟧rigid-sheet⟦: its ⟧2⟦ files are those it was checked by⟧",
                '⟦overlay ⟧"loose.yaml"⟦: the bytes that were checked⟧',
            ),
        ),
        (filed(without("loose.yaml")), ('⟦overlay ⟧"loose.yaml"⟦: is not in the file⟧',)),
        (
            filed((*ROOM, Input(OVERLAY, "more.yaml", b""))),
            ('⟦overlay ⟧"more.yaml"⟦: is in the file, and the record was not made from it⟧',),
        ),
        (
            filed(other("south.csv", file="East.csv")),
            ('⟦climate log ⟧⟦: the file names it ⟧"East.csv"⟦, and record.⟧climate.logs[1]⟦.file is ⟧"south.csv"',),
        ),
        (
            filed(other("south.csv", content=b"else")),
            (recorded('⟦climate log ⟧"south.csv"', "climate.logs[1]", b"south", b"else", mark),),
        ),
        (
            filed(other("south.csv", content=b"else"), south=sha256(b"south")),
            ('⟦climate log ⟧"south.csv"⟦: changed since it was checked⟧',),
        ),
        (
            filed(south="0" * 64),
            ('⟦climate log ⟧"south.csv": ' + beside(b"south", mark),),
        ),
        (
            filed(primer="0" * 64),
            ("⟦rule set ⟧rigid-sheet, primer.yaml: " + beside(b"primer", mark),),
        ),
        (
            filed(other("primer.yaml", content=b"else"), primer="0" * 64),
            (
                "⟦rule set ⟧rigid-sheet, primer.yaml: ⟦changed since it was checked by⟧",
                "⟦rule set ⟧rigid-sheet⟦: its files do not give record.rule_set.sha256: "
                "one is missing, added or another, or that was changed⟧",
            ),
        ),
        (filed(without("about.yaml", "primer.yaml")), ("⟦rule set ⟧rigid-sheet⟦: is not in the file⟧",)),
        (
            filed((ROOM[1], ROOM[0], *ROOM[2:])),
            ("⟦the files in it do not stand in the order in which they are filed⟧",),
        ),
    ]
    for filing, says in wrong:
        found = [line for _, _, line in lines_on(filing, IN_MARKS)]
        assert [line for line in says if line not in found] == []


def test_another_way_of_packing_is_noted_and_no_fault() -> None:
    """One line for each file that another program packed; none where the file says nothing of itself."""
    filing = filed()
    assert filing.said is not None
    packed = replace(filing, said=replace(filing.said, packed_alike=(True, False, *(True,) * 3, False, *(True,) * 3)))
    notes = [(one.of, one.matches, one.says) for one in match_packing(packed)]
    said = "packed otherwise than this program packs it; what it holds counts"
    assert notes == [
        ("climate log", None, f'climate log "north.csv": {said}'),
        ("rule set", None, f'rule set "about.yaml": {said}'),
    ]
    assert list(match_packing(filing)) == []
    assert list(match_packing(replace(filing, said=None))) == []
    in_marks = [one.says for one in match_packing(packed, IN_MARKS)]
    assert in_marks[0] == '⟦climate log ⟧"north.csv"⟦: ' + said + "⟧"
