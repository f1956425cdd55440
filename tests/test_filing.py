"""A filed record is canonical, holds every file it was made from, and is the same wherever it is made."""

from __future__ import annotations

import base64
import hashlib
import json
import struct
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import rfc8785
from hypothesis import example, given
from hypothesis import strategies as st

from filings import FOLDER, TIGHT, filed
from surveys import ROOT
from wallwalk import filed_json
from wallwalk.checking import check, load_rule_set
from wallwalk.cli.starting import read_inputs
from wallwalk.errors import InputError
from wallwalk.filed_json import read_filed_json, write_filed_json
from wallwalk.filing import CLIMATE_LOG, OVERLAY, RULE_SET, SURVEY, Said, canonical, digest, file_record

# RFC 8785 section 3.2.2 gives this text, and section 3.2.4 its canonical UTF-8 bytes.
SAMPLE = r"""{
  "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}"""
SAMPLE_BYTES = (
    rb'{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
    + b'"string":"\xe2\x82\xac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
)
# RFC 8785 section 3.2.3: these names sort by their UTF-16 code units, in this order of values.
SORTED_BY_UTF16 = {
    "\u20ac": "Euro Sign", "\r": "Carriage Return", "\ufb33": "Hebrew Letter Dalet With Dagesh", "1": "One",
    "\U0001f600": "Emoji: Grinning Face", "\u0080": "Control", "\u00f6": "Latin Small Letter O With Diaeresis",
}  # fmt: skip
IN_ORDER = [
    "Carriage Return", "One", "Control", "Latin Small Letter O With Diaeresis", "Euro Sign", "Emoji: Grinning Face",
    "Hebrew Letter Dalet With Dagesh",
]  # fmt: skip


def test_the_canonical_form_is_that_of_the_rfc() -> None:
    """The sample of RFC 8785 section 3.2.2 to 3.2.4, and the order of names of section 3.2.3."""
    assert canonical(json.loads(SAMPLE)) == SAMPLE_BYTES
    assert list(json.loads(canonical(SORTED_BY_UTF16)).values()) == IN_ORDER


# RFC 8785 appendix B: the bits of a double (IEEE 754), and how it is written.
NUMBERS = {
    "0000000000000000": "0", "8000000000000000": "0",
    "0000000000000001": "5e-324", "8000000000000001": "-5e-324",
    "7fefffffffffffff": "1.7976931348623157e+308", "ffefffffffffffff": "-1.7976931348623157e+308",
    "4340000000000000": "9007199254740992", "c340000000000000": "-9007199254740992",
    "4430000000000000": "295147905179352830000",
    "44b52d02c7e14af5": "9.999999999999997e+22", "44b52d02c7e14af6": "1e+23",
    "44b52d02c7e14af7": "1.0000000000000001e+23",
    "444b1ae4d6e2ef4e": "999999999999999700000", "444b1ae4d6e2ef4f": "999999999999999900000",
    "444b1ae4d6e2ef50": "1e+21",
    "3eb0c6f7a0b5ed8c": "9.999999999999997e-7", "3eb0c6f7a0b5ed8d": "0.000001",
    "41b3de4355555553": "333333333.3333332", "41b3de4355555554": "333333333.33333325",
    "41b3de4355555555": "333333333.3333333", "41b3de4355555556": "333333333.3333334",
    "41b3de4355555557": "333333333.33333343",
    "becbf647612f3696": "-0.0000033333333333333333", "43143ff3c1cb0959": "1424953923781206.2",
}  # fmt: skip


@pytest.mark.parametrize("bits", NUMBERS)
def test_numbers_are_written_as_the_rfc_lists_them(bits: str) -> None:
    """Each number of RFC 8785 appendix B, alone and beside what is written quickly."""
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    assert canonical(number) == NUMBERS[bits].encode()
    assert canonical({"a": [1, number], "b": "ñ"}) == f'{{"a":[1,{NUMBERS[bits]}],"b":"ñ"}}'.encode()


@pytest.mark.parametrize("bits", ["7fffffffffffffff", "7ff0000000000000", "fff0000000000000"])
def test_what_is_no_number_is_not_written(bits: str) -> None:
    """RFC 8785 section 3.2.2.3 and appendix B: neither NaN nor an infinity."""
    with pytest.raises(rfc8785.CanonicalizationError):
        canonical({"a": struct.unpack(">d", bytes.fromhex(bits))[0]})


def test_text_is_written_as_the_rfc_says() -> None:
    """RFC 8785 section 3.2.2.2: five short escapes, other controls by number in small letters, all else as it is."""
    said = {chr(number): f"\\u{number:04x}" for number in range(0x20)}
    said |= {"\b": r"\b", "\t": r"\t", "\n": r"\n", "\f": r"\f", "\r": r"\r", '"': r"\"", "\\": r"\\"}
    said |= {sign: sign for sign in ("\x7f", "\x80", "\u2028", "\u2029", "/", "<", "ñ", "\U0001f600", "e\u0301")}
    for sign, written in said.items():
        assert (sign, canonical(sign)) == (sign, f'"{written}"'.encode())
    for lone in ("\ud800", "a\udfffb", {"\udead": 1}, {"a": ["\ud83d"]}):
        with pytest.raises((UnicodeEncodeError, rfc8785.CanonicalizationError)):
            canonical(lone)


def test_names_are_sorted_at_every_depth() -> None:
    """RFC 8785 section 3.2.3: by UTF-16 code units, so that a sign beyond U+FFFF comes before U+E000; lists stay."""
    part = {
        "\ue000": [{"b": 2, "a": 1}, {"\U00010000": {}, "\uffff": []}],
        "\U00010000": None,
        "": True,
        "a\x00": 0,
        "a": 1,
    }
    written = '{"":true,"a":1,"a\\u0000":0,"\U00010000":null,"\ue000":[{"a":1,"b":2},{"\U00010000":{},"\uffff":[]}]}'
    assert canonical(part) == written.encode()


def test_a_filing_holds_every_file_it_was_made_from() -> None:
    """The survey, its log, the overlay and each file of the rule set, byte for byte."""
    found = {(i.role, i.file): i.content for i in filed("110-link-corridor", TIGHT).inputs}
    rules = {(RULE_SET, p.name): p.read_bytes() for p in (ROOT / "rules" / "rigid-sheet").glob("*.yaml")}
    assert found == {
        (SURVEY, "110-link-corridor.yaml"): (FOLDER / "110-link-corridor.yaml").read_bytes(),
        (CLIMATE_LOG, "110-link-corridor.csv"): (FOLDER / "110-link-corridor.csv").read_bytes(),
        (OVERLAY, TIGHT.name): TIGHT.read_bytes(),
        **rules,
    }


def test_the_record_covers_its_inputs_by_digest() -> None:
    """Each SHA-256 in the record is that of the bytes filed with it; the rule set's is over those of its files."""
    filing = filed("110-link-corridor", TIGHT)
    by_role: dict[str, list[Any]] = {}
    for one in filing.inputs:
        by_role.setdefault(one.role, []).append(one)
    record = filing.record
    assert [hashlib.sha256(i.content).hexdigest() for i in by_role[SURVEY]] == [record["survey"]["sha256"]]
    assert [i.sha256 for i in by_role[CLIMATE_LOG]] == [log["sha256"] for log in record["climate"]["logs"]]
    assert [i.sha256 for i in by_role[OVERLAY]] == [o["sha256"] for o in record["rule_set"]["overlays"]]
    listed = "\n".join(sorted(f"{i.file}={i.sha256}" for i in by_role[RULE_SET]))
    assert hashlib.sha256(listed.encode()).hexdigest() == record["rule_set"]["sha256"]


def written(write: Callable[[object], bytes], part: object) -> bytes | str:
    """What `write` makes of `part`, or that it cannot."""
    try:
        return write(part)
    except (rfc8785.CanonicalizationError, UnicodeEncodeError):
        return "cannot be written"


_LEAVES = st.none() | st.booleans() | st.integers() | st.floats() | st.text(st.characters())
_NAMES = st.text() | st.text(st.characters(max_codepoint=127))
_PARTS = st.recursive(_LEAVES, lambda inner: st.lists(inner) | st.dictionaries(_NAMES, inner), max_leaves=12)


@given(_PARTS)
@example('\x7f\x80\u2028\u2029/\\"\b\f\n\r\t\x00\x1f')
@example({"\U00010000": 1, "\ue000": 2, "z": [2**53 - 1, -(2**53), 1e21, True]})
def test_what_is_written_quickly_is_written_the_same(part: object) -> None:
    """Whatever JSON holds comes out as the library for RFC 8785 writes it, or is refused by both."""
    assert written(canonical, part) == written(rfc8785.dumps, part)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("part", "written"),
    [
        (2**53 - 1, b"9007199254740991"),
        (1 - 2**53, b"-9007199254740991"),
        ((1, [None, True, False]), b"[1,[null,true,false]]"),
        ({"b": {"d": 1, "c": "\u00e9"}, "a": []}, '{"a":[],"b":{"c":"\u00e9","d":1}}'.encode()),
        ({"\U0001f600": 1, "\ufb33": 2}, '{"\U0001f600":1,"\ufb33":2}'.encode()),
        ([1.0, 0.5, 1e21], b"[1,0.5,1e+21]"),
        ({"a": {"\U0001f600": 1.5, "\ufb33": [2.0]}}, '{"a":{"\U0001f600":1.5,"\ufb33":[2]}}'.encode()),
    ],
)
def test_each_kind_of_part_has_one_way_to_be_written(part: object, written: bytes) -> None:
    """Whole numbers up to 2**53, names in the order of UTF-16, points only where they are needed."""
    assert canonical(part) == written


@pytest.mark.parametrize(
    "part",
    [2**53, -(2**53) - 1, float("nan"), float("inf"), "\ud800", {"\ud800": 1}, {1: 2}, {None: "a"}, b"", {"a": {1}}],
    ids=ascii,
)
def test_what_json_cannot_hold_is_not_written(part: object) -> None:
    """Numbers that a reader may take for another, half letters, names that are no text."""
    with pytest.raises((rfc8785.CanonicalizationError, UnicodeEncodeError)):
        canonical([part])


def test_the_filed_json_is_canonical_and_whole() -> None:
    """Written again from what is read, it is the same bytes; each input unpacks to the file."""
    filing = filed("204-treatment-room")
    written = write_filed_json(filing)
    read = json.loads(written)
    assert canonical(read) + b"\n" == written
    assert (read["filed"], read["record"], read["entries"]) == (1, json.loads(canonical(filing.record)), [])
    assert read["end"] == {"entries": 0, "digest": hashlib.sha256(canonical(filing.record)).hexdigest()}
    for part, one in zip(read["inputs"], filing.inputs, strict=True):
        assert (part["role"], part["file"], part["sha256"]) == (one.role, one.file, one.sha256)
        assert zlib.decompress(base64.b64decode(part["content"])) == one.content


def test_one_changed_letter_is_another_digest() -> None:
    """The digest of a record is over all of it."""
    record = dict(filed("031-staff-kitchen").record)
    assert digest(record) != digest(record | {"verdict": "pass"})
    assert digest(record) == digest(json.loads(canonical(record)))


def test_a_log_that_changes_while_it_is_read_is_not_filed(tmp_path: Path) -> None:
    """One message with the place of its name; a record must not hold other rows than it was judged by."""
    for suffix in ("yaml", "csv"):
        (tmp_path / f"room.{suffix}").write_bytes((FOLDER / f"204-treatment-room.{suffix}").read_bytes())
    text = (tmp_path / "room.yaml").read_text().replace("204-treatment-room.csv", "room.csv")
    (tmp_path / "room.yaml").write_text(text)
    survey, rule_set = read_inputs(tmp_path / "room.yaml", None)
    with (tmp_path / "room.csv").open("a") as log:
        log.write("2026-03-10 08:00,21,40\n")
    with pytest.raises(InputError) as refused:
        file_record(check(survey, rule_set), survey, rule_set, tmp_path)
    line = next(i for i, text in enumerate(text.splitlines(), 1) if "room.csv" in text)
    assert [str(f) for f in refused.value.faults] == [
        f'{tmp_path}/room.yaml:{line}: climate_log[0].file is "room.csv", which changed while it was read; '
        "let the logger finish its file, and check again"
    ]


def test_a_rule_set_keeps_the_files_it_was_read_from() -> None:
    """Every file of its folder, so that nothing it was made of is left out."""
    files = load_rule_set("rigid-sheet").files
    assert files.keys() == {p.name for p in (ROOT / "rules" / "rigid-sheet").iterdir()}


def test_what_was_filed_is_read_back_whole() -> None:
    """Record, inputs and entries, byte for byte."""
    filing = filed("110-link-corridor", TIGHT)
    read = read_filed_json(write_filed_json(filing), "corridor.json")
    assert (canonical(read.record), read.inputs, read.entries) == (canonical(filing.record), filing.inputs, ())


GIVE = "give a file that wallwalk check or wallwalk sign wrote"
INPUT = {"role": "survey", "file": "a.yaml", "sha256": "0", "content": base64.b64encode(zlib.compress(b"a")).decode()}
CANNOT = "has an input (number 1) that cannot be unpacked"
WHOLE: dict[str, Any] = {
    "filed": 1,
    "record": {},
    "inputs": [INPUT],
    "entries": [],
    "end": {"entries": 0, "digest": ""},
}


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"%PDF", "is no JSON that can be read"),
        (b"[" * 100_000, "is no JSON that can be read"),
        (b"\xff\xfe{}", "is no JSON that can be read"),
        (b'{"filed": 1e999}', "is no JSON that can be read"),
        (b'{"filed": "\\ud800"}', "is no JSON that can be read"),
        (b'{"filed": 99999999999999999999}', "is no JSON that can be read"),
        (b"[]", "is no filed record"),
        (b'{"verdict": "pass"}', "is no filed record"),
        (canonical(WHOLE | {"filed": 2}), "is a filed record of form 2, and this wallwalk reads form 1"),
        (canonical(WHOLE | {"record": []}), "is no filed record"),
        (canonical(WHOLE | {"entries": ["released"]}), "is no filed record"),
        (canonical(WHOLE | {"inputs": [INPUT | {"role": "rules"}]}), "has an input (number 1) that is none"),
        (canonical(WHOLE | {"end": {}}), "does not say where it ends"),
        (canonical(WHOLE | {"end": {"entries": True, "digest": ""}}), "does not say where it ends"),
        (canonical(WHOLE | {"inputs": [INPUT, 1]}), "has an input (number 2) that is none"),
        (canonical(WHOLE | {"inputs": [INPUT | {"content": "?"}]}), "has an input (number 1) that cannot be unpacked"),
        (
            canonical(WHOLE | {"inputs": [INPUT | {"content": "YQ=="}]}),
            "has an input (number 1) that cannot be unpacked",
        ),
    ],
)
def test_what_is_no_filed_record_is_refused(content: bytes, said: str) -> None:
    """In one message that says what to give instead."""
    with pytest.raises(InputError) as refused:
        read_filed_json(content, "x.json")
    assert [str(f) for f in refused.value.faults] == [f"x.json: {said}; {GIVE}"]


def packed(content: bytes, level: int = 9) -> str:
    """Some bytes, compressed and in base64."""
    return base64.b64encode(zlib.compress(content, level)).decode()


def refusal(whole: object) -> str:
    """What reading a file of that content is refused with."""
    with pytest.raises(InputError) as refused:
        read_filed_json(canonical(whole) + b"\n", "x.json")
    return "; ".join(str(fault).removeprefix("x.json: ").removesuffix(f"; {GIVE}") for fault in refused.value.faults)


@pytest.mark.parametrize(
    ("whole", "said"),
    [
        (WHOLE | {"more": 1}, "is no filed record"),
        (WHOLE | {"inputs": {}}, "is no filed record"),
        (WHOLE | {"entries": {}}, "is no filed record"),
        (WHOLE | {"filed": "2"}, "is a filed record of form 2, and this wallwalk reads form 1"),
        (WHOLE | {"filed": [1]}, "is a filed record of form [1], and this wallwalk reads form 1"),
        (WHOLE | {"inputs": [INPUT, INPUT | {"more": ""}]}, "has an input (number 2) that is none"),
        (WHOLE | {"inputs": [INPUT | {"file": None}]}, "has an input (number 1) that is none"),
        (WHOLE | {"inputs": [INPUT | {"sha256": 0}]}, "has an input (number 1) that is none"),
        (WHOLE | {"inputs": [INPUT, INPUT | {"content": f"{packed(b'a')}\n"}]}, CANNOT.replace("1", "2")),
        (WHOLE | {"inputs": [INPUT, INPUT | {"content": packed(b"a")[:-8]}]}, CANNOT.replace("1", "2")),
        (WHOLE | {"inputs": [INPUT | {"content": base64.b64encode(zlib.compress(b"a") + b"b").decode()}]}, CANNOT),
        (WHOLE | {"inputs": [INPUT | {"content": ""}]}, CANNOT),
        (WHOLE | {"end": []}, "does not say where it ends"),
        (WHOLE | {"end": {"entries": 0, "digest": 0}}, "does not say where it ends"),
        (WHOLE | {"end": {"entries": 0.5, "digest": ""}}, "does not say where it ends"),
        (WHOLE | {"end": {"entries": 0, "digest": "", "more": 1}}, "does not say where it ends"),
        (WHOLE | {"entries": [{}] * 1001}, "holds over 1,000 entries"),
    ],
    ids=str,
)
def test_a_part_that_no_filed_record_has_is_refused(whole: dict[str, Any], said: str) -> None:
    """Which part, and the number of the input."""
    assert refusal(whole) == said


def test_a_file_says_of_itself_how_it_is_written() -> None:
    """The digest beside each input, which of them is packed as here, how it ends, and whether it is canonical."""
    loose = INPUT | {"content": packed(bytes(3000), 1), "sha256": "1"}
    ours = INPUT | {"content": packed(b"a")}
    whole = WHOLE | {"inputs": [ours, loose, ours], "end": {"entries": 7, "digest": "e"}}
    content = canonical(whole)
    assert read_filed_json(content + b"\n", "x.json").said == Said(True, ("0", "1", "0"), (True, False, True), 7, "e")
    assert read_filed_json(content, "x.json").said == Said(False, ("0", "1", "0"), (True, False, True), 7, "e")
    assert read_filed_json(canonical(WHOLE | {"entries": [{}] * 1000}), "x.json").entries == ({},) * 1000


def test_inputs_may_unpack_to_so_much_and_no_more() -> None:
    """All of them together; a small file's to less than a large one's, and none beyond what holds for any."""
    assert [filed_json.input_bytes_max(size) for size in (0, 1, 20 * 1024**2, 21 * 1024**2)] == [
        16 * 1024**2,
        16 * 1024**2 + 12,
        256 * 1024**2,
        256 * 1024**2,
    ]
    two = WHOLE | {"inputs": [INPUT | {"content": packed(bytes(size))} for size in (60, 39)]}
    more = WHOLE | {"inputs": [INPUT | {"content": packed(bytes(size))} for size in (60, 40)]}
    for most, said in ((100, filed_json.TOO_MUCH), (1000, filed_json.UNPACKS_FAR)):
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(filed_json, "INPUT_BYTES_MAX", most)
            patch.setattr(filed_json, "input_bytes_max", lambda _: 100)
            assert [len(one.content) for one in read_filed_json(canonical(two), "x.json").inputs] == [60, 39]
            assert refusal(more) == said


def test_lists_and_groups_are_as_many_as_the_size_of_the_file_allows() -> None:
    """One in sixteen bytes beyond what is free; one more is refused before anything is read."""
    content = canonical(WHOLE | {"record": {"a": [[], {}, []]}})
    count = content.count(b"{") + content.count(b"[")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(filed_json, "_BRACKETS_FREE", count - len(content) // 16)
        assert read_filed_json(content, "x.json").record == {"a": [[], {}, []]}
        patch.setattr(filed_json, "_BRACKETS_FREE", count - len(content) // 16 - 1)
        with pytest.raises(
            InputError, match=r"^x\.json: holds more lists and groups than a filed record of its size; "
        ):
            read_filed_json(content, "x.json")


def test_a_photo_that_changes_while_it_is_read_is_not_filed(tmp_path: Path) -> None:
    """Nor one that is led out of the folder meanwhile; the place in the survey is named."""
    name = "014-old-dispensary"
    for suffix in ("yaml", "csv", "jpg"):
        (tmp_path / f"{name}.{suffix}").write_bytes((FOLDER / f"{name}.{suffix}").read_bytes())
    survey, rule_set = read_inputs(tmp_path / f"{name}.yaml", None)
    record = check(survey, rule_set)
    lines = (tmp_path / f"{name}.yaml").read_text().splitlines()
    line = next(i for i, text in enumerate(lines, 1) if f"file: {name}.jpg" in text)
    said = (
        f'{tmp_path}/{name}.yaml:{line}: photos[0].file is "{name}.jpg", which changed while it was read; '
        "let nobody change the file, and check again"
    )
    photo = tmp_path / f"{name}.jpg"
    photo.write_bytes(photo.read_bytes() + b"\0")
    for _ in ("other bytes", "another folder"):
        with pytest.raises(InputError) as refused:
            file_record(record, survey, rule_set, tmp_path)
        assert [str(fault) for fault in refused.value.faults] == [said]
        photo.unlink()
        photo.symlink_to(FOLDER / photo.name)


@pytest.mark.slow
def test_inputs_that_unpack_without_end_are_refused() -> None:
    """A megabyte that unpacks to a gigabyte is not unpacked."""
    packed = base64.b64encode(zlib.compress(bytes(300 * 1024 * 1024), 9)).decode()
    with pytest.raises(InputError, match="holds inputs that unpack to far more than a filed record of its size holds"):
        read_filed_json(canonical(WHOLE | {"inputs": [INPUT | {"content": packed}]}), "x.json")
