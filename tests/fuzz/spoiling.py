"""Ways to spoil a document that a fuzzer which knows nothing of lines, numbers or nesting would take long to hit on."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from random import Random
from typing import Any

Spoil = Callable[[bytes, Random], bytes]

_NUMBER = re.compile(rb"\d+(?:[.:/-]\d+)*")
_WORD = re.compile(rb"[A-Za-z_\xc3-\xf4][\w\x80-\xff-]*")

NUMBERS = (
    b"0", b"-0", b"-1", b"1e999", b"1e-999", b"9" * 40, b"9" * 5000, b"0." + b"0" * 400 + b"1", b"1/0", b"0/0",
    b"NaN", b"Infinity",
    b"-Infinity", b"0x10", b"1_000", b"1.", b".5", b"1,5", b"1e5", b"2147483648", b"9007199254740993", b"\xd9\xa3",
    b"\xc2\xbd",
    b"24:00", b"9999-12-31", b"0001-01-01", b"1900-02-29", b"2026-03-08 02:30", b"23:59:60", b"1 to 0",
    b"5 \xc2\xb1 6", b"1/9999999999",
)  # fmt: skip
"""What may stand where a number stood."""

ODD = (
    b"\x00", b"\xef\xbb\xbf", b"\xff\xfe", b"\r\n", b"\r", b"\x0b", b"\x0c", b"\x1b[31m", b"\x7f", b"\xc2\x85",
    b"\xc2\xa0", b"\xe2\x80\xa8",
    b"\xe2\x80\xae", b"\xe2\x80\x8b", b"\xcc\x81" * 9, b"\xf0\x9f\xa7\xb1", b"\xed\xa0\x80", b"\xef\xbf\xbd",
    b"\xef\xbf\xbe", b"\xf4\x8f\xbf\xbf",
    b"\xc0\x80", b"\xff", b"\t", b"'", b'"', b"\\", b"\\u0000", b"\\ud800", b"{", b"}", b"[", b"]", b":", b"- ",
    b"&a ", b"*a", b"!!python/object:os.system ", b"<<: ",
    b"? ", b"| ", b"> ", b"# ", b"---\n", b"...\n", b"%YAML 1.1\n", b"{limit: ", b"{answer: ", b"null", b"~",
    b"yes", b"unknown", b"[]", b"{}", b'""', b"../", b"/etc/passwd", b"a" * 300,
)  # fmt: skip
"""What may stand anywhere."""

VALUES: tuple[Any, ...] = (
    None, True, False, 0, -1, 1.5, 2**53, 2**70, -(10**40), 1e308, "", " ", "x", "\0", "\ud7ff", "\u202e", "yes",
    "unknown", "9" * 400, "-1 °C", "1e999",
    "2026-02-30", "2026-03-08 02:30", "pass", "hold", "not verified", "space", [], {}, [None], [[]], [{}],
    {"": None}, {"a": []}, "../x", "a" * 300,
)  # fmt: skip
"""What may stand in JSON."""


def _drop_lines(data: bytes, chance: Random) -> bytes:
    lines = data.splitlines(keepends=True)
    at = chance.randrange(len(lines) + 1)
    return b"".join(lines[:at] + lines[at + chance.randint(1, 4) :])


def _repeat_lines(data: bytes, chance: Random) -> bytes:
    lines = data.splitlines(keepends=True)
    at, many = chance.randrange(len(lines) + 1), chance.randint(1, 6)
    return b"".join(lines[:at] + lines[at : at + many] * chance.choice((2, 2, 2, 40)) + lines[at + many :])


def _move_lines(data: bytes, chance: Random) -> bytes:
    lines = data.splitlines(keepends=True)
    at, many, to = chance.randrange(len(lines) + 1), chance.randint(1, 6), chance.randrange(len(lines) + 1)
    rest = lines[:at] + lines[at + many :]
    return b"".join(rest[:to] + lines[at : at + many] + rest[to:])


def _shuffle_lines(data: bytes, chance: Random) -> bytes:
    lines = data.splitlines(keepends=True)
    chance.shuffle(lines)
    return b"".join(lines)


def _indent_line(data: bytes, chance: Random) -> bytes:
    lines = data.splitlines(keepends=True)
    at = chance.randrange(len(lines) + 1)
    moved = [b"  " + line if chance.random() < 0.5 else line[2:] for line in lines[at : at + 1]]
    return b"".join(lines[:at] + moved + lines[at + 1 :])


def _swap_bytes(data: bytes, chance: Random) -> bytes:
    spoilt = bytearray(data)
    for _ in range(chance.randint(1, 4) if data else 0):
        a, b = chance.randrange(len(data)), chance.randrange(len(data))
        spoilt[a], spoilt[b] = spoilt[b], spoilt[a]
    return bytes(spoilt)


def _flip_bytes(data: bytes, chance: Random) -> bytes:
    spoilt = bytearray(data)
    for _ in range(chance.randint(1, 4) if data else 0):
        spoilt[chance.randrange(len(data))] = chance.randrange(256)
    return bytes(spoilt)


def _cut_off(data: bytes, chance: Random) -> bytes:
    return data[: chance.randrange(len(data) + 1)]


def _put_odd(data: bytes, chance: Random) -> bytes:
    at, until = _stretch(data, chance, 3)
    return data[:at] + chance.choice(ODD) * chance.choice((1, 1, 1, 50)) + data[until:]


def _put_number(data: bytes, chance: Random) -> bytes:
    return _replaced(_NUMBER, data, chance, lambda _: chance.choice(NUMBERS))


def _put_word(data: bytes, chance: Random) -> bytes:
    """A word of the document in the place of another."""
    words = _WORD.findall(data) or [b"a"]
    return _replaced(_WORD, data, chance, lambda _: chance.choice(words))


def _nest(data: bytes, chance: Random) -> bytes:
    deep = chance.choice((3, 30, 45, 200, 2000))
    open_, close = chance.choice(
        ((b"[", b"]"), (b"{a: ", b"}"), (b'{"a":', b"}"), (b"- ", b""), (b"{not: ", b"}"), (b"{all_of: [", b"]}"))
    )
    at, until = _stretch(data, chance, 40)
    return data[:at] + open_ * deep + data[at:until] + close * deep + data[until:]


def _line_ends(data: bytes, chance: Random) -> bytes:
    return data.replace(b"\n", chance.choice((b"\r\n", b"\r", b"\n\n", b"\xe2\x80\xa8", b"\x00\n", b"")))


def _encode(data: bytes, chance: Random) -> bytes:
    text = data.decode("utf-8", "replace")
    return text.encode(chance.choice(("utf-16", "utf-16-le", "utf-32", "latin-1", "utf-8-sig", "cp1252")), "replace")


def _change_json(data: bytes, chance: Random) -> bytes:
    """Of a document that is JSON, one place changed, taken out or put elsewhere; of another, a flipped byte."""
    try:
        whole = json.loads(data)
    except (ValueError, RecursionError):
        return _flip_bytes(data, chance)
    holders = list(_holders(whole))
    for _ in range(chance.randint(1, 3) if holders else 0):
        holder, key = chance.choice(holders)
        if isinstance(holder, list) and not key < len(holder):
            continue
        way = chance.random()
        if way < 0.2:
            holder.pop(key) if isinstance(holder, list) else holder.pop(key, None)
        elif way < 0.4:
            other, its = chance.choice(holders)
            holder[key] = (
                json.loads(json.dumps(other[its]))
                if its in other or (isinstance(other, list) and its < len(other))
                else None
            )
        elif way < 0.5 and isinstance(holder, list):
            holder.append(json.loads(json.dumps(holder[key])))
        else:
            holder[key] = chance.choice(VALUES)
    return (
        json.dumps(whole, sort_keys=True, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "replace") + b"\n"
    )


def _holders(node: Any) -> Any:  # noqa: ANN401 - any JSON
    children = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, child in children:
        yield node, key
        yield from _holders(child)


def _stretch(data: bytes, chance: Random, most: int) -> tuple[int, int]:
    at = chance.randrange(len(data) + 1)
    return at, min(len(data), at + chance.randint(0, most))


def _replaced(what: re.Pattern[bytes], data: bytes, chance: Random, by: Callable[[bytes], bytes]) -> bytes:
    places = list(what.finditer(data))
    if not places:
        return data
    place = chance.choice(places)
    return data[: place.start()] + by(place[0]) + data[place.end() :]


WAYS: tuple[Spoil, ...] = (
    _drop_lines, _repeat_lines, _move_lines, _shuffle_lines, _indent_line, _swap_bytes, _flip_bytes, _cut_off,
    _put_odd, _put_number,
    _put_number, _put_word, _put_word, _nest, _line_ends, _encode, _change_json, _change_json,
)  # fmt: skip
"""Each way to spoil a document; one that matters most stands twice."""


def spoil(data: bytes, chance: Random) -> bytes:
    """`data` spoiled in one to three ways, the same for the same state of `chance`."""
    for _ in range(chance.choice((1, 1, 2, 3))):
        data = chance.choice(WAYS)(data, chance)
    return data
