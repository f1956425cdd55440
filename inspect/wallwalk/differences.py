"""Where two records differ: the first place, so that it can be found, and the first answer and limit that changed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from wallwalk.errors import quote
from wallwalk.filing import canonical
from wallwalk.lookalikes import look_of
from wallwalk.words import IN_ENGLISH, Words
from wallwalk.yamlio import Path_, show_path

COMPARED_APART: tuple[Path_, ...] = (
    ("tool", "version"),
    ("survey", "sha256"),
    ("rule_set", "sha256"),
    *((part, key, "*", "sha256") for part, key in (("climate", "logs"), ("rule_set", "overlays"))),
)
"""Places that are not compared here: the tool's version may be another, digests are checked on their own."""

_READ_FIRST = ("verdict", "evaluated_for", "heading", "findings", "limits")
"""What a reader knows by its name; a point of a picture, or a second of a clock, differs by what these say."""

_LONGEST, _BEFORE = 40, 8


def first_difference(record: Any, again: Any, words: Words = IN_ENGLISH) -> str:  # noqa: ANN401 - a record may hold anything once it was altered
    """The first place where the two are not the same, empty where they are: what is read first, then in order."""
    read_first = {part: again[part] for part in _READ_FIRST if part in again}
    return next(_differences(record, read_first | again, (), words), "")


def changed_answer(record: Mapping[str, Any], again: Mapping[str, Any], words: Words = IN_ENGLISH) -> str:
    """The first answer of the survey that was another one when `record` was made; empty where none shows."""
    then, now = (dict(_answers(one)) for one in (record, again))
    for place, written in now.items():
        if then.get(place, written) != written:
            was, now_is = quote(then[place], _LONGEST), quote(written, _LONGEST)
            return words.say("{place} was {was}, and is {now} in the survey filed", place=place, was=was, now=now_is)
    gone = next((place for place in then if place not in now), "")
    if not gone:
        return ""
    was = quote(then[gone], _LONGEST)
    return words.say("{place} was {was}, and is not answered in the survey filed", place=gone, was=was)


def changed_limit(record: Mapping[str, Any], again: Mapping[str, Any], words: Words = IN_ENGLISH) -> str:
    """The first limit that was another one when `record` was made; empty where none shows."""
    then = {limit["name"]: limit["written"] for limit in record["limits"]}
    for limit in again["limits"]:
        name, written = limit["name"], limit["written"]
        if then.get(name, written) != written:
            was, now = quote(then[name], _LONGEST), quote(written, _LONGEST)
            return words.say("{place} was {was}, and is {now} in the files filed", place=name, was=was, now=now)
    return ""


def _answers(record: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    for finding in record["findings"]:
        for compared in finding["compared"]:
            for source in compared["sources"]:
                yield source["place"], source["written"]


def _differences(one: Any, other: Any, path: Path_, words: Words) -> Iterator[str]:  # noqa: ANN401
    if _is_apart(path):
        return
    if isinstance(one, dict) and isinstance(other, dict):
        yield from _in_groups(one, other, path, words)
    elif isinstance(one, list) and isinstance(other, list):
        for i, (part, against) in enumerate(zip(one, other, strict=False)):
            said = next(_differences(part, against, (*path, i), words), "")
            if said:
                yield said + _whose(against)
                return
        if len(one) != len(other):
            counts = {"place": show_path(path), "found": len(one), "given": len(other)}
            yield words.say("{place} has {found} entries, and the inputs give {given}", **counts)
    elif not _is_same(one, other):
        both = dict(zip(("found", "given"), _shown_beside(one, other, words), strict=True))
        yield words.say("{place} is {found}, and the inputs give {given}", place=show_path(path), **both)


def _in_groups(one: Mapping[str, Any], other: Mapping[str, Any], path: Path_, words: Words) -> Iterator[str]:
    for key in other:
        if key in one:
            yield from _differences(one[key], other[key], (*path, key), words)
        else:
            place, given = show_path((*path, key)), _shown(other[key], words)
            yield words.say("{place} is not there, and the inputs give {given}", place=place, given=given)
    for key in sorted(one.keys() - other.keys()):
        place, found = show_path((*path, key)), _shown(one[key], words)
        yield words.say("{place} is {found}, and the inputs give none", place=place, found=found)


def _is_same(one: Any, other: Any) -> bool:  # noqa: ANN401
    """Whether two parts are written the same; of texts, the most by far, that is seen without writing them."""
    return one == other if isinstance(one, str) else canonical(one) == canonical(other)


def _is_apart(path: Path_) -> bool:
    shown = tuple("*" if isinstance(part, int) else part for part in path)
    return shown in COMPARED_APART


def _whose(part: Any) -> str:  # noqa: ANN401
    """Which finding or limit a place in a list belongs to."""
    if not isinstance(part, dict):
        return ""
    if "rule" in part and "outcome" in part:
        return f" ({part['rule']}, {part['subject']})"
    return f" ({part['name']})" if "name" in part else ""


def _shown_beside(one: Any, other: Any, words: Words) -> tuple[str, str]:  # noqa: ANN401
    """Two parts that are not the same, each so that this is seen: from where they differ, and by the signs' numbers."""
    if not (isinstance(one, str) and isinstance(other, str)):
        return _shown(one, words), _shown(other, words)
    shown = _from_difference(one, other)
    if look_of(shown[0][:_LONGEST]) == look_of(shown[1][:_LONGEST]):
        shown = _by_number(shown[0]), _by_number(shown[1])
    return quote(shown[0], _LONGEST), quote(shown[1], _LONGEST)


def _from_difference(one: str, other: str) -> tuple[str, str]:
    """The two texts; where either is long, without most of what they begin with alike."""
    alike = next((i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))
    if max(len(one), len(other)) <= _LONGEST or alike < _LONGEST // 2:
        return one, other
    return f"…{one[alike - _BEFORE :]}", f"…{other[alike - _BEFORE :]}"


def _by_number(text: str) -> str:
    """The text with every sign that is no ASCII by its number; they may look like others."""
    return "".join(c if c.isascii() or c == "…" else c.encode("unicode_escape").decode() for c in text)


def _shown(part: Any, words: Words) -> str:  # noqa: ANN401
    if isinstance(part, str):
        return quote(part, _LONGEST)
    if isinstance(part, list):
        return words.say("a list of {count}", count=len(part))
    if isinstance(part, dict):
        return words.say("a group of {count}", count=len(part))
    if _is_number(part):
        return str(part)
    told = {None: words.say("nothing"), True: words.say("yes"), False: words.say("no")}
    return told[part]


def _is_number(part: Any) -> bool:  # noqa: ANN401
    return isinstance(part, (int, float)) and not isinstance(part, bool)
