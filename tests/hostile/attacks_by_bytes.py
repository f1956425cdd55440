"""Pictures that are none or too much; YAML and JSON that blow up; texts that regular expressions choke on."""

from __future__ import annotations

import base64
import importlib
import io
import json
import pkgutil
import re
import struct
import time
import zlib
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from PIL import Image

import wallwalk
from attack import Attack, Check, Scene, attack
from attacks_on_files import room_naming, within
from surveys import FOLDER
from terminal import run
from wallwalk.errors import InputError
from wallwalk.filed_json import read_filed_json, write_filed_json
from wallwalk.filing import Filing
from wallwalk.named_place import place_named
from wallwalk.picture import PictureFaultError, read_picture
from wallwalk.survey_reader import parse_survey
from wallwalk.yamlio import MOST_BYTES, parse_yaml


def png(width: int, height: int, data: bytes, *, more: bytes = b"") -> bytes:
    """A PNG of one bit a pixel that says it is of that size, with `data` as its pixels, whatever it unpacks to."""

    def chunk(kind: bytes, content: bytes) -> bytes:
        return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))

    header = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + more + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def _bomb(megabytes: int) -> bytes:
    packer = zlib.compressobj(9)
    return b"".join(packer.compress(bytes(2**20)) for _ in range(megabytes)) + packer.flush()


def _text_chunk() -> bytes:
    content = b"Comment\0\0" + _bomb(80)
    return struct.pack(">I", len(content)) + b"zTXt" + content + struct.pack(">I", zlib.crc32(b"zTXt" + content))


def _moving() -> bytes:
    frames = [Image.new("RGB", (8, 8), (i, 0, 0)) for i in range(40)]
    made = io.BytesIO()
    frames[0].save(made, "WEBP", save_all=True, append_images=frames[1:], duration=20)
    return made.getvalue()


def _jpeg() -> bytes:
    return (FOLDER / "014-old-dispensary.jpg").read_bytes()


def _as(form: str) -> bytes:
    made = io.BytesIO()
    Image.new("RGB", (8, 8)).save(made, form)
    return made.getvalue()


_SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>1</script><image href="file:///etc/passwd"/></svg>'
_NONE = "is no JPEG, PNG or WebP picture; save the photo as one of these"
_BROKEN = "cannot be read as a picture to its end; copy it from the camera again"
_LARGE = r"has [0-9]+ × [0-9]+ pixels, over 50 million; save it smaller"
_PICTURES: tuple[tuple[str, str, Callable[[], bytes], str], ...] = (
    ("a PNG of 2,147,483,647 pixels a side", "a header alone", lambda: png(2**31 - 1, 2**31 - 1, b""), _LARGE),
    (
        "a decompression bomb that says its size",
        "20,000 × 20,000 in 50 kB",
        lambda: png(20000, 20000, _bomb(48)),
        _LARGE,
    ),
    ("a decompression bomb that lies", "8 × 8 pixels, 100 MB behind them", lambda: png(8, 8, _bomb(100)), ""),
    (
        "a bomb in a comment",
        "a comment of 80 MB, packed",
        lambda: png(8, 8, zlib.compress(bytes(16)), more=_text_chunk()),
        f"|{_BROKEN}",
    ),
    ("a picture of many frames", "40 frames in a WebP", _moving, "is a moving picture; save one picture of it"),
    ("a truncated picture", "half a JPEG", lambda: _jpeg()[: len(_jpeg()) // 2], _BROKEN),
    ("a header and nothing more", "16 bytes of a PNG", lambda: png(8, 8, b"")[:16], _NONE),
    ("an SVG named .png", "script and a file: address", lambda: _SVG, _NONE),
    ("other forms that Pillow opens", "GIF, BMP, TIFF, ICO, PPM, EPS", lambda: _as("GIF"), _NONE),
    ("a PNG that says JPEG inside", "a PNG's head before a JPEG", lambda: png(8, 8, b"")[:33] + _jpeg(), _BROKEN),
    ("a page before a picture", "`<script>` and then a JPEG", lambda: b"<script>1</script>" + _jpeg(), _NONE),
    (
        "a picture and an archive in one",
        "a ZIP and `<script>` behind a JPEG",
        lambda: _jpeg() + b"PK\3\4<script>1</script>",
        "",
    ),
    ("no picture at all", "an empty file", lambda: b"", "is empty; copy it from the camera again"),
)


def _is_unpacked_with_care(make: Callable[[], bytes], said: str) -> Check:
    def check(_: Scene) -> None:
        content = make()
        begun = time.process_time()
        try:
            shown = read_picture(content).shown
        except PictureFaultError as fault:
            told = f"{fault.found}; {fault.instead}"
        else:
            told = ""
            assert shown.startswith(b"\xff\xd8\xff")
            assert b"<script>" not in shown
        assert re.fullmatch(said, told), told
        assert time.process_time() - begun < 5

    return check


PICTURES = tuple(
    Attack(
        name,
        "picture",
        gives,
        "photos.file",
        "check",
        "picture_header, picture",
        f"`{said.replace('[0-9]+', 'n').lstrip('|')}`, exit code 2"
        if said
        else "the pixels alone, drawn anew; the file as it is",
        _is_unpacked_with_care(make, said),
    )
    for name, gives, make, said in _PICTURES
)


@attack(
    "200 photos and a large one",
    "picture",
    gives="201 photos; one of over 25 MB",
    through="photos",
    into="check",
    stopped="photo_reader",
    seen="`keep the 200 that show most`; `is over 25 MB, save it smaller`; exit code 2",
)
def too_many(scene: Scene) -> None:
    """There is an end to how many and how large."""
    survey = room_naming(scene.folder, photo="p.jpg")
    with (scene.folder / "p.jpg").open("wb") as file:
        file.write(_jpeg())
        file.truncate(25 * 1024 * 1024 + 1)
    code, out, err = run("check", survey)
    assert (code, out) == (2, "")
    assert err.endswith('photos[0].file is "p.jpg", which is over 25 MB; save it smaller\n')
    data = json.loads(survey.read_text())
    data["photos"] *= 201
    survey.write_text(json.dumps(data))
    code, out, err = run("check", survey)
    assert (code, out) == (2, "")
    assert err.endswith("photos lists 201 photos; keep the 200 that show most\n")


def _aliases() -> str:
    lines = ["a0: &a0 [x,x,x,x,x,x,x,x,x,x]"]
    lines += [f"a{i}: &a{i} [{','.join([f'*a{i - 1}'] * 10)}]" for i in range(1, 9)]
    return "\n".join(lines)


_TOO_DEEP = "is nested too deep to read"
_NO_TAG = 'has the tag "'
_TOO_MANY = "holds over 100,000 entries once its aliases are followed"
_TWICE = "is written twice (first on line 1); keep one of the two"
_DOCUMENTS: tuple[tuple[str, str, Callable[[], str], str], ...] = (
    ("aliases of aliases", "ten to the ninth entries in 600 bytes", _aliases, _TOO_MANY),
    ("an alias of itself", "`&a [*a]`", lambda: "walls: &a [*a]", "has an alias that contains itself"),
    ("brackets without end", "400,000 of [", lambda: "[" * 400_000, _TOO_DEEP),
    ("braces without end", "400,000 of {", lambda: "{" * 400_000, _TOO_DEEP),
    ("dashes without end", "400,000 of -", lambda: "- " * 200_000, _TOO_DEEP),
    ("questions without end", "400,000 of ?", lambda: "? " * 200_000, _TOO_DEEP),
    ("one key many times", "210,000 of one key", lambda: "{" + "a," * 210_000 + "}", _TOO_MANY),
    ("a key twice", "walk: twice", lambda: "walk: {by: A}\nwalk: {by: B}", _TWICE),
    ("a key twice, once by its number", 'walk: and "w\\x61lk":', lambda: 'walk: {by: A}\n"w\\x61lk": {by: B}', _TWICE),
    (
        "a tag of Python's",
        "!!python/object/apply:os.system",
        lambda: "walk: !!python/object/apply:os.system [ls]",
        _NO_TAG,
    ),
    ("a tag of YAML's", "!!binary, !!int, !!set", lambda: "walk: {by: !!binary aGk=}", _NO_TAG),
    ("a merge key", "<<: *base", lambda: "a: &b {by: A}\nwalk:\n  <<: *b", "has a merge key (<<)"),
    ("a text of 4 MB", "over 4,000,000 bytes", lambda: "a" * (MOST_BYTES + 1), "is over 4,000,000 bytes"),
    ("a file that is UTF-16", "a byte order mark", lambda: "\udcff\udcfe", "is written in UTF-16"),
    ("bytes that are no text", "0xc3 0x28", lambda: "walk: \udcc3(", "is not UTF-8 text"),
    (
        "a second document",
        "--- in the middle",
        lambda: "walk: {by: A}\n---\nwalk: {by: B}",
        "starts a second document (---)",
    ),
    (
        "an infinite number",
        ".inf where a length is",
        lambda: "walls: [{name: A, length: .inf}]",
        "write a number with its unit",
    ),
)


def _is_refused(make: Callable[[], str], said: str) -> Check:
    def check(_: Scene) -> None:
        raw = make().encode("utf-8", "surrogateescape")
        with within(60), pytest.raises(InputError) as refused:
            parse_survey(parse_yaml(raw, "s.yaml"))
        assert said in str(refused.value)
        with within(60):
            place_named(raw)

    return check


DOCUMENTS = tuple(
    Attack(
        name,
        "document",
        gives,
        "a survey, overlay or rule set",
        "every command that reads one; the board looks for its space too",
        "yamlio, shape",
        f"`{said}`, exit code 2",
        _is_refused(make, said),
        slow=said == _TOO_MANY,
    )
    for name, gives, make, said in _DOCUMENTS
)

SMALL = Filing({"verdict": "hold"}, ())

_NO_JSON = "is no JSON that can be read"
_JSON: tuple[tuple[str, str, bytes, str], ...] = (
    ("JSON nested without end", "200,000 of [", b"[" * 200_000, _NO_JSON),
    ("a number of 5,000 figures", "more than Python reads", b'{"filed":' + b"9" * 5000 + b"}", _NO_JSON),
    ("a number over 2^53", "9007199254740993", b'{"filed":9007199254740993}', _NO_JSON),
    ("numbers that no JSON has", "NaN, Infinity", b'{"filed":NaN}', _NO_JSON),
    ("1e999", "a number that is infinite once read", b'{"filed":1e999}', _NO_JSON),
    ("half a sign", '"\\ud800"', b'{"filed":"\\ud800"}', _NO_JSON),
    (
        "a form that is a text of 1 MB",
        "one long word",
        b'{"filed":"%s","record":{},"inputs":[],"entries":[],"end":{}}' % (b"x" * 10**6),
        "is a filed record of form xxx",
    ),
    ("an input that unpacks to 258 MB", "a bomb in base64", b"", "holds inputs that unpack to far more"),
)


def _record_is_refused(content: bytes, said: str) -> Check:
    def check(_: Scene) -> None:
        whole = content
        if not whole:
            filed = json.loads(write_filed_json(SMALL))
            filed["inputs"] = [
                {"role": "survey", "file": "s", "sha256": "", "content": base64.b64encode(_bomb(258)).decode()}
            ]
            whole = json.dumps(filed).encode()
        with within(60), pytest.raises(InputError) as refused:
            read_filed_json(whole, "r.json")
        assert said in str(refused.value)
        assert len(str(refused.value)) < 300

    return check


RECORDS_OF_JSON = tuple(
    Attack(
        name,
        "document",
        gives,
        "a filed record (.json)",
        "verify, compare, sign, board",
        "filed_json",
        f"`{said}`, exit code 2",
        _record_is_refused(content, said),
        slow="258 MB" in name,
    )
    for name, gives, content, said in _JSON
)


@attack(
    "a key twice in a filed record",
    "document",
    gives='`"verdict":"hold"` and then `"verdict":"pass"`',
    through="a filed record (.json)",
    into="verify, compare, sign",
    stopped="filing (canonical), verifying",
    seen="`the file: was written anew by something else`, exit code 1, or 2 where it is to be used",
    slow=True,
)
def key_twice(scene: Scene) -> None:
    """A filed record has one way to be written, and that is not it."""
    from filings import filed

    raw = write_filed_json(filed("031-staff-kitchen"))
    odd = scene.folder / "r.json"
    odd.write_bytes(raw.replace(b'"verdict":"hold"', b'"verdict":"pass","verdict":"hold"'))
    assert odd.read_bytes() != raw
    code, out, _ = run("verify", odd)
    assert code == 1
    assert "the file: was written anew by something else" in " ".join(out.split())
    code, out, err = run("compare", odd, odd)
    assert (code, out) == (2, "")
    assert "was written anew by something else" in err


def _patterns() -> Iterator[tuple[str, re.Pattern[Any], bool]]:
    """Every pattern that a module of the program holds, and whether it is searched for anywhere in a text."""
    for module in pkgutil.walk_packages(wallwalk.__path__, "wallwalk."):
        for name, value in vars(importlib.import_module(module.name)).items():
            for one in value.values() if isinstance(value, dict) else (value,):
                if isinstance(one, re.Pattern):
                    yield f"{module.name}.{name}", one, name in _SEARCHED


_SEARCHED = {
    *("_NOT_TEXT", "_UNSEEN", "_UNIT", "_OFFSET", "_TIME", "_TEMPERATURE", "_HUMIDITY", "_OTHER", "_MARKER"),
    *("_UNSAFE", "PLACEHOLDER"),
}
_CHOKES = (
    *"a1 -{}\\\"'%;,._/\n\t",
    *("1:11", "1/1/1", "{}", "time", "elapsed", "° ", "temp ", "deg.", "temperature , ", "%  ", "UTC +", "a.b ", "a-"),
    *("[1]", "1 1/1 ", "1:11:11,1110000", "aa ", "wet", "00:00:00", " :", "heat", "1 ft 1 in ", "± ", " to "),
)


@attack(
    "patterns that choke",
    "pattern",
    gives="30 pieces, each 2,000 times over, with an end that does not fit",
    through="every regular expression in the program, those of quantities and log headers among them",
    into="every reader",
    stopped="no pattern has a repetition inside a repetition that both match one text",
    seen="each is done within a tenth of a second",
    slow=True,
)
def patterns(_: Scene) -> None:
    """No text of a few thousand letters costs more than a tenth of a second."""
    known = [*_patterns()]
    assert len(known) > 40
    for name, pattern, is_searched in known:
        for piece in _CHOKES:
            for end in ("", "!"):
                text: Any = piece * 2000 + end
                text = text.encode() if isinstance(pattern.pattern, bytes) else text
                begun = time.process_time()
                (pattern.search if is_searched else pattern.fullmatch)(text)
                assert time.process_time() - begun < 0.1, (name, piece)


BYTES = (*PICTURES, too_many, *DOCUMENTS, *RECORDS_OF_JSON, key_twice, patterns)
