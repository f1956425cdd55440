"""YAML stays the text that people wrote, every place knows its line, and no file whatever does harm."""

from __future__ import annotations

import hashlib
import json
import re
import time
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import assume, given
from hypothesis import strategies as st

from wallwalk import yamlio
from wallwalk.errors import UNSEEN, InputError
from wallwalk.yamlio import MOST_BYTES, MOST_DEPTH, MOST_NODES, Document, Path_, parse_yaml, read_yaml, show_path


def data_of(text: str | bytes) -> Any:  # noqa: ANN401 - a document's data
    """What a text is read as."""
    return parse_yaml(text.encode() if isinstance(text, str) else text, "survey.yaml").data


def refused(text: str | bytes) -> str:
    """The whole message with which a text is refused."""
    with pytest.raises(InputError) as refusal:
        data_of(text)
    return str(refusal.value)


# What PyYAML's own loader makes of these is in floors.md, "PyYAML reads"; None where it fails or keeps the text.
TRAPS = [
    ("1:30", 90),
    ("12:30:45", 45045),
    ("24:00", 1440),
    ("08:30", None),
    ("off", False),
    ("on", True),
    ("Off", False),
    ("ON", True),
    ("017", 15),
    ("1_000", 1000),
    ("0x1F", 31),
    ("0b11", 3),
    ("4", 4),
    ("-4", -4),
    ("12.50", 12.5),
    ("1e3", None),
    ("1.5e+3", 1500.0),
    (".inf", float("inf")),
    ("-.INF", float("-inf")),
    ("2026-02-30", None),
    ("2026-03-08 02:30", None),
    ("12,5", None),
    ("y", None),
    ("n", None),
    (".nan", None),
    ("2026-03-08", None),
    ("2026-03-08 02:30:00", None),
    ("2026-03-08T02:30:00Z", None),
    ("=", None),
    ("1" * 5000, None),
    ("none", None),
    ("nil", None),
]


@pytest.mark.parametrize(("text", "trap"), TRAPS)
def test_a_plain_scalar_stays_its_text(text: str, trap: object) -> None:
    """No number, date, time or `on` is made of what was written, as a value or in a list; the trap is a real one."""
    assert data_of(f"a: {text}\nb: [{text.replace(',', ';')}]\nc:\n- {text}\n") == {
        "a": text,
        "b": [text.replace(",", ";")],
        "c": [text],
    }
    if trap is not None:
        assert yaml.safe_load(text) == trap


@pytest.mark.parametrize(
    ("word", "truth"),
    [
        (w, t)
        for t, words in ((True, "yes Yes YES yEs true True TRUE"), (False, "no No NO nO false False FALSE"))
        for w in words.split()
    ],
)
def test_yes_no_true_false_are_truths_unless_quoted(word: str, truth: bool) -> None:
    """Those four words in any case, and no others, are truths; in quotes or a block of text they are words."""
    assert data_of(f"[{word}, '{word}', \"{word}\"]") == [truth, word, word]
    assert data_of(f"a: |-\n  {word}\nb: >-\n  {word}\n") == {"a": word, "b": word}
    assert data_of(f"{word}: 1") == {word: "1"}


def test_empty_is_nothing_and_quoted_empty_is_text() -> None:
    """An answer left open is no answer; a key is always a word."""
    assert data_of("a:\nb: ~\nc: null\nd: NULL\ne: ''\nf: 'null'\nnull: g\n") == {
        "a": None,
        "b": None,
        "c": None,
        "d": None,
        "e": "",
        "f": "null",
        "null": "g",
    }


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("start", [b"", b"\xef\xbb\xbf", b"--- \n"])
def test_byte_order_mark_and_line_ends_of_any_system_change_nothing(start: bytes, end: str) -> None:
    """A file saved on Windows or an old Mac reads the same, with the same lines."""
    raw = start + end.join(["a: 72 °F", "", "# note", "b:", "  - yes", "  - c: 'x'", ""]).encode()
    document = parse_yaml(raw, "survey.yaml")
    first = 2 if start.startswith(b"-") else 1
    assert document.data == {"a": "72 °F", "b": [True, {"c": "x"}]}
    assert document.sha256 == hashlib.sha256(raw).hexdigest()
    lines = {(): 1, ("a",): 1, ("b",): 4, ("b", 0): 5, ("b", 1): 6, ("b", 1, "c"): 6}
    assert document.lines == {path: line + first - 1 for path, line in lines.items()}


def test_the_line_of_what_is_not_there_is_that_of_the_place_around_it() -> None:
    """A missing answer is looked for where it belongs."""
    document = parse_yaml(b"\na: 1\nb:\n  c: 2\n", "survey.yaml")
    assert [document.line(p) for p in ((), ("b", "c"), ("b", "x", 3, "y"), ("z",))] == [2, 4, 3, 2]
    assert str(document.fault(("b", "x"), 'is "5"', "write 5 mm")) == 'survey.yaml:3: b.x is "5"; write 5 mm'


@pytest.mark.parametrize(
    ("path", "shown"),
    [
        ((), ""),
        (("walls", 0, "primer", "finished"), "walls[0].primer.finished"),
        (("a-b_c",), "a-b_c"),
        (("a", " "), 'a[" "]'),
        (("", "b"), '[""].b'),
        (("x.y", 1), '["x.y"][1]'),
        ((2, "a\nb"), '[2]["a\\nb"]'),
    ],
)
def test_a_path_is_shown_as_people_would_point_at_it(path: Path_, shown: str) -> None:
    """Dots and brackets, and quotes only where a key is no plain word."""
    assert show_path(path) == shown


# Characters that YAML 1.1 section 5 allows as they are, but for those that are not seen.
_UNSEEN = re.compile(f"[{UNSEEN}]")
characters = st.characters(codec="utf-8", exclude_categories=("Cs", "Cc", "Cn")).filter(
    lambda sign: not _UNSEEN.match(sign)
) | st.sampled_from("\n\t")
texts = st.text(characters, max_size=12)
WORDS = {"yes", "no", "true", "false", "null", "~"}
plain_texts = texts.filter(lambda t: t.lower() not in WORDS)


def nested(leaves: st.SearchStrategy[Any], *, least: int) -> st.SearchStrategy[Any]:
    """Lists and dicts of `leaves`, and lists and dicts of those."""
    return st.recursive(
        leaves,
        lambda inside: (
            st.lists(inside, min_size=least, max_size=4)
            | st.dictionaries(plain_texts, inside, min_size=least, max_size=4)
        ),
        max_leaves=12,
    )


@given(nested(plain_texts, least=0), st.booleans())
def test_what_pyyaml_writes_of_texts_is_read_as_those_texts(data: Any, flow: bool) -> None:  # noqa: ANN401
    """Independent writer: PyYAML's safe_dump, in block and flow style."""
    assert data_of(yaml.safe_dump(data, default_flow_style=flow)) == data
    assert data_of(yaml.safe_dump(data, default_flow_style=flow, allow_unicode=True)) == data


def as_read(data: Any) -> Any:  # noqa: ANN401 - JSON data
    """What JSON data reads as: numbers stay the text they are written as."""
    if isinstance(data, dict):
        return {key: as_read(part) for key, part in data.items()}
    if isinstance(data, list):
        return [as_read(part) for part in data]
    return data if data is None or isinstance(data, (str, bool)) else json.dumps(data)


json_leaves = texts | st.booleans() | st.none() | st.integers() | st.floats(allow_nan=False)


@given(nested(json_leaves, least=0), st.sampled_from([None, 1]), st.booleans(), st.booleans())
def test_json_reads_the_same(data: Any, indent: int | None, compact: bool, ascii_only: bool) -> None:  # noqa: ANN401
    """What json.dumps writes, wide, tight or indented, with its escapes or (as JSON.stringify does) without.

    But for one thing: YAML has no surrogate pairs, so a character beyond U+FFFF must stand as itself.
    """
    assume(not ascii_only or max(json.dumps(data, ensure_ascii=False)) <= "\uffff")
    text = json.dumps(data, indent=indent, separators=(",", ":") if compact else None, ensure_ascii=ascii_only)
    assert data_of(text) == as_read(data)


def written(data: Any, lines: dict[Path_, int], out: list[str], path: Path_ = (), pad: str = "") -> None:  # noqa: ANN401
    """Writes `data` as block YAML with notes in between, keeping the line that each place is on as it goes."""
    entries = data.items() if isinstance(data, dict) else enumerate(data)
    for key, part in entries:
        out.append(f"{pad}# a note" if len(out) % 3 else "")
        lead = f"{pad}{json.dumps(key)}:" if isinstance(data, dict) else f"{pad}-"
        here = (*path, key)
        lines.setdefault(path, len(out) + 1)  # a list or dict starts at its first entry, unless its key says so before
        if isinstance(part, str):
            out.append(f"{lead} {json.dumps(part)}")
            lines[here] = len(out)
        else:
            out.append(lead)
            if isinstance(data, dict):
                lines[here] = len(out)
            written(part, lines, out, here, pad + "  ")


ascii_texts = st.text(st.characters(min_codepoint=32, max_codepoint=126), max_size=8)
branches = st.recursive(
    ascii_texts,
    lambda inside: (
        st.lists(inside, min_size=1, max_size=4) | st.dictionaries(ascii_texts, inside, min_size=1, max_size=4)
    ),
    max_leaves=15,
).filter(lambda d: not isinstance(d, str))


@given(branches)
def test_every_place_knows_its_line(data: Any) -> None:  # noqa: ANN401
    """The line of every path is the line it was written on, as the writer counted it."""
    lines: dict[Path_, int] = {}
    out: list[str] = []
    written(data, lines, out)
    document = parse_yaml("\n".join(out).encode(), "survey.yaml")
    assert document.data == data
    assert document.lines == lines


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a: 1\nb: 2\na: 3\n", "survey.yaml:3: a is written twice (first on line 1); keep one of the two"),
        ("w:\n- {a: 1, a: 1}\n", "survey.yaml:2: w[0].a is written twice (first on line 2); keep one of the two"),
        ("a: 1\n'a': 2\n", "survey.yaml:2: a is written twice (first on line 1); keep one of the two"),
        ("a: &x {b: 1}\nc:\n  <<: *x\n", "survey.yaml:3: c has a merge key (<<); write the entries out"),
        ("a: !!int 3\n", 'survey.yaml:1: a has the tag "!!int"; write the value without a tag'),
        (
            "a: !!python/object:os.system 3\n",
            'survey.yaml:1: a has the tag "!!python/object:os.system"; write the value without a tag',
        ),
        ("? [a]\n: 1\n", "survey.yaml:1: has a key that is not a plain word; write a word and a colon"),
        ("a: &x [*x]\n", "survey.yaml:1: has an alias that contains itself; write the entry out"),
        ("", "survey.yaml: is empty; fill it in and save it"),
        ("# only a note\n", "survey.yaml: is empty; fill it in and save it"),
        ("a: x\0y\n", "survey.yaml:1: has the character U+0000, which is not text; take it out"),
        ("\n\na: \x1b[31m\n", "survey.yaml:3: has the character U+001B, which is not text; take it out"),
        (b"a: 1\nb: 72 \xb0F\n", "survey.yaml:2: has the byte 0xb0, which is not UTF-8 text; save the file as UTF-8"),
        ("a: 1".encode("utf-16"), "survey.yaml: is written in UTF-16; save it as UTF-8 text"),
        (
            b"a" * (MOST_BYTES + 1),
            "survey.yaml: is over 4,000,000 bytes; split it or take out what is not asked",
        ),
    ],
)
def test_what_cannot_be_meant_is_refused(text: str | bytes, message: str) -> None:
    """Two of one key, merges, tags, loops and what is no text: each is named with its line and what to do."""
    assert refused(text) == message


def test_every_fault_of_structure_is_told_at_once() -> None:
    """One run names them all, in the order of the file."""
    assert refused("a: !x 1\nb: 1\nb: 2\nc: {<<: {}}\n").splitlines() == [
        'survey.yaml:1: a has the tag "!x"; write the value without a tag',
        "survey.yaml:3: b is written twice (first on line 2); keep one of the two",
        "survey.yaml:4: c has a merge key (<<); write the entries out",
    ]


def test_a_file_just_within_its_size_is_read() -> None:
    """4,000,000 bytes are read; one more is refused (above)."""
    assert data_of(b"a" * MOST_BYTES) == "a" * MOST_BYTES


@pytest.mark.slow
def test_a_document_holds_so_many_entries_and_no_more() -> None:
    """The list itself counts as one."""
    assert len(data_of("[" + "a," * (MOST_NODES - 1) + "]")) == MOST_NODES - 1
    assert refused("[" + "a," * MOST_NODES + "]") == (
        "survey.yaml:1: holds over 100,000 entries once its aliases are followed; "
        "write the entries out, without aliases"
    )


def test_of_a_document_of_twice_as_many_no_graph_is_built(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is refused from what is written, on the line where it gets too much: a graph of it would fill the memory."""
    monkeypatch.setattr(yamlio, "_compose", lambda _text: pytest.fail("built"))
    many = "".join(f"k{i}: v\n" for i in range(MOST_NODES + 1))
    assert refused(many) == (
        "survey.yaml:100000: holds over 100,000 entries once its aliases are followed; "
        "write the entries out, without aliases"
    )


def test_so_many_characters_may_stand_there_once_aliases_are_followed() -> None:
    """A text that is said again by an alias counts again; as many as a file may have bytes are read."""
    half = "a" * (MOST_BYTES // 2)
    assert data_of(f"[&a {half}, *a]") == [half, half]
    assert refused(f"[&a {half}, *a, b, c]") == (
        "survey.yaml:1: holds over 4,000,000 characters once its aliases are followed; "
        "write the entries out, without aliases"
    )


def test_a_document_is_nested_so_deep_and_no_deeper() -> None:
    """Forty lists inside the outermost are read, one more is refused, and a hundred thousand do no harm."""
    assert data_of("[" * (MOST_DEPTH + 1) + "]" * (MOST_DEPTH + 1))
    deeper = MOST_DEPTH + 2
    assert (
        refused("[" * deeper + "]" * deeper)
        == "survey.yaml:1: is nested over 40 levels deep; write it with fewer levels"
    )
    for opening in ("[", "{a: ", "- ", "? "):
        assert refused(opening * 100_000).startswith("survey.yaml:1: ")


def test_an_alias_bomb_is_stopped_at_once() -> None:
    """Nine aliases of nine aliases, nine times over, would be 400 million entries; it is refused within seconds."""
    rows = ["a0: &a0 [x,x,x,x,x,x,x,x,x]"] + [f"a{n}: &a{n} [{','.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 10)]
    began = time.perf_counter()
    assert refused("\n".join(rows)).endswith(
        "holds over 100,000 entries once its aliases are followed; write the entries out, without aliases"
    )
    assert time.perf_counter() - began < 10


def test_an_alias_is_read_as_what_it_stands_for() -> None:
    """A plain alias does no harm."""
    assert data_of("a: &x {b: 1}\nc: [*x, *x]\n") == {"a": {"b": "1"}, "c": [{"b": "1"}, {"b": "1"}]}


def is_document_or_refusal(raw: bytes) -> bool:
    """Whether `raw` is read as a document whose lines are in the file, or refused as an input."""
    try:
        document = parse_yaml(raw, "survey.yaml")
    except InputError as error:
        return all(str(fault).startswith("survey.yaml") for fault in error.faults)
    count = len(raw.decode("utf-8-sig").splitlines()) + 1
    return isinstance(document, Document) and all(1 <= line <= count for line in document.lines.values())


SIGNS = [
    "\n",
    "  ",
    " ",
    "- ",
    ": ",
    ":",
    "? ",
    "[",
    "]",
    "{",
    "}",
    ",",
    "&a ",
    "*a",
    "!!str ",
    "! ",
    "!x ",
    "|",
    ">-",
    "'",
    '"',
    "#",
]
SIGNS += [
    "%YAML 1.1\n",
    "%YAML 9.9999999999999\n",
    "%TAG ! x\n",
    "---",
    "...",
    "<<",
    "@",
    "`",
    "\t",
    "\\",
    "\\u00",
    "a",
    "yes",
    "\ufeff",
    "\u2028",
    "é",
]


@given(st.binary(max_size=60))
def test_any_bytes_are_a_document_or_an_input_error(raw: bytes) -> None:
    """No bytes whatever make the reader fail in another way."""
    assert is_document_or_refusal(raw)


@given(st.lists(st.sampled_from(SIGNS), max_size=25).map("".join))
def test_any_signs_of_yaml_are_a_document_or_an_input_error(text: str) -> None:
    """The same, on what is nearly YAML."""
    assert is_document_or_refusal(text.encode())


def test_a_file_is_read_from_its_path(tmp_path: Path) -> None:
    """The document has the name it was given, or that of its path, and the digest of the bytes on disk."""
    path = tmp_path / "corridor.yaml"
    path.write_bytes(b"a: 1\r\n")
    assert read_yaml(path, "corridor.yaml") == Document(
        "corridor.yaml", {"a": "1"}, {(): 1, ("a",): 1}, hashlib.sha256(b"a: 1\r\n").hexdigest()
    )
    assert read_yaml(path).file == str(path)


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("none.yaml", "f: is not there; give the path of a YAML file"),
        (".", "f: is a folder; give the path of a YAML file"),
        ("x" * 300, "f: cannot be read (File name too long); give the path of a YAML file that you may read"),
    ],
)
def test_what_is_no_file_is_refused(tmp_path: Path, name: str, message: str) -> None:
    """A slip in the path is an input error like any other."""
    with pytest.raises(InputError) as refusal:
        read_yaml(tmp_path / name, "f")
    assert str(refusal.value) == message
