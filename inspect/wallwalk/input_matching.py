"""Whether the files inside a filed record are those the record was made from, by their digests."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from wallwalk.errors import quote
from wallwalk.filing import CLIMATE_LOG, OVERLAY, PHOTO, ROLES, RULE_SET, SURVEY, Filing, Input
from wallwalk.matching import Match
from wallwalk.words import IN_ENGLISH, Words, fixed

_ROLES_MATCHED = {SURVEY, CLIMATE_LOG, PHOTO, RULE_SET, OVERLAY}
"""A file that was anything else to the check is doubted, until it is looked at here."""

_CALLED = {
    SURVEY: fixed("survey {file}"),
    CLIMATE_LOG: fixed("climate log {file}"),
    PHOTO: fixed("photo {file}"),
    RULE_SET: fixed("rule set {file}"),
    OVERLAY: fixed("overlay {file}"),
}
"""What an input is called, by its role."""


@dataclass(frozen=True, slots=True)
class _Filed:
    """An input and the digest that was filed beside it."""

    one: Input
    beside: str

    @property
    def is_as_filed(self) -> bool:
        return self.one.sha256 == self.beside


def match_inputs(filing: Filing, words: Words = IN_ENGLISH) -> Iterator[Match]:
    """A line for the survey, each log and photo, the rule set and each overlay; the record is of the right shape."""
    filed = _filed(filing)
    record = filing.record
    survey = record["survey"]
    yield from _match_each(SURVEY, filed, [(survey["file"], survey["sha256"], "survey")], words)
    logs = record["climate"]["logs"] if record["climate"] else []
    read = [(log["file"], log["sha256"], f"climate.logs[{i}]") for i, log in enumerate(logs) if log["sha256"]]
    yield from _match_each(CLIMATE_LOG, filed, read, words)
    photos = [(photo["file"], photo["sha256"], f"photos[{i}]") for i, photo in enumerate(record["photos"])]
    yield from _match_each(PHOTO, filed, _once(photos), words)
    yield from _match_rule_set(record["rule_set"], [f for f in filed if f.one.role == RULE_SET], words)
    overlays = record["rule_set"]["overlays"]
    laid = [(o["file"], o["sha256"], f"rule_set.overlays[{i}]") for i, o in enumerate(overlays)]
    yield from _match_each(OVERLAY, filed, laid, words)
    for one in (f for f in filed if f.one.role not in _ROLES_MATCHED):
        said = words.say("{name}: is in the file, and is not looked at here", name=_name(one.one, words))
        yield Match(one.one.role, False, said)
    order = [ROLES.index(one.role) for one in filing.inputs]
    if order != sorted(order):
        yield Match("file", False, words.say("the files in it do not stand in the order in which they are filed"))


def _once(named: Iterable[tuple[str, str, str]]) -> list[tuple[str, str, str]]:
    """Each file at the first place that names it: it is filed once, in that order, however often it is named."""
    first: dict[tuple[str, str], str] = {}
    for name, sha256, place in named:
        first.setdefault((name, sha256), place)
    return [(name, sha256, place) for (name, sha256), place in first.items()]


def match_packing(filing: Filing, words: Words = IN_ENGLISH) -> Iterator[Match]:
    """A note for each input that another program packed: what it holds is looked at, not how it is packed."""
    packed = filing.said.packed_alike if filing.said else ()
    for one, alike in zip(filing.inputs, packed, strict=False):
        if not alike:
            name = _name(one, words)
            said = words.say("{name}: packed otherwise than this program packs it; what it holds counts", name=name)
            yield Match(one.role, None, said)


def _filed(filing: Filing) -> list[_Filed]:
    beside = filing.said.sha256s if filing.said else tuple(one.sha256 for one in filing.inputs)
    return [_Filed(one, digest) for one, digest in zip(filing.inputs, beside, strict=True)]


def _match_each(
    role: str, filed: Iterable[_Filed], recorded: list[tuple[str, str, str]], words: Words
) -> Iterator[Match]:
    """The inputs of one role against what the record names, in order: name, digest, and the place in the record."""
    own = [f for f in filed if f.one.role == role]
    for i, (name, sha256, place) in enumerate(recorded):
        if i >= len(own):
            called = words.tell(_CALLED[role], file=quote(name))
            yield Match(role, False, words.say("{name}: is not in the file", name=called))
        elif own[i].one.file != name:
            said = words.say(
                "{role}: the file names it {found}, and record.{place}.file is {name}",
                role=words.tell(_CALLED[role], file="").strip(),
                found=quote(own[i].one.file),
                place=place,
                name=quote(name),
            )
            yield Match(role, False, said)
        else:
            yield _match_one(own[i], sha256, place, words)
    for extra in own[len(recorded) :]:
        name = _name(extra.one, words)
        said = words.say("{name}: is in the file, and the record was not made from it", name=name)
        yield Match(role, False, said)


def _match_one(filed: _Filed, recorded: str, place: str, words: Words) -> Match:
    one, name = filed.one, _name(filed.one, words)
    if one.sha256 == recorded == filed.beside:
        return Match(one.role, True, words.say("{name}: the bytes that were checked", name=name))
    if one.sha256 == recorded:
        return Match(one.role, False, f"{name}: {_beside(filed, words)}")
    if filed.is_as_filed:
        said = words.say(
            "{name}: not the file that the record was made from: record.{place}.sha256 is {recorded}…, and the file's "
            "is {found}…",
            name=name,
            place=place,
            recorded=recorded[:16],
            found=one.sha256[:16],
        )
        return Match(one.role, False, said)
    return Match(one.role, False, words.say("{name}: changed since it was checked", name=name))


def _match_rule_set(record: Mapping[str, Any], filed: list[_Filed], words: Words) -> Iterator[Match]:
    """The files of the rule set, whose digests make one: which of them changed is told by the digest beside it."""
    title = words.tell(_CALLED[RULE_SET], file=record["name"])
    if not filed:
        yield Match(RULE_SET, False, words.say("{name}: is not in the file", name=title))
        return
    changed = [f for f in filed if not f.is_as_filed]
    matches = _digest_of((f.one.file, f.one.sha256) for f in filed) == record["sha256"]
    if matches and not changed:
        said = words.say("{name}: its {count} files are those it was checked by", name=title, count=len(filed))
        yield Match(RULE_SET, True, said)
    for one in changed:
        said = _beside(one, words) if matches else words.say("changed since it was checked by")
        yield Match(RULE_SET, False, f"{title}, {one.one.file}: {said}")
    if not matches and _digest_of((f.one.file, f.beside) for f in filed) != record["sha256"]:
        said = words.say(
            "{name}: its files do not give record.rule_set.sha256: one is missing, added or another, or that was "
            "changed",
            name=title,
        )
        yield Match(RULE_SET, False, said)


def _digest_of(files: Iterable[tuple[str, str]]) -> str:
    return hashlib.sha256("\n".join(sorted(f"{name}={sha256}" for name, sha256 in files)).encode()).hexdigest()


def _beside(filed: _Filed, words: Words) -> str:
    own, beside = filed.one.sha256[:16], quote(filed.beside[:16])
    return words.say(
        "it or the digest filed beside it was changed: its own is {own}…, and the one filed beside it {beside}…",
        own=own,
        beside=beside,
    )


def _name(one: Input, words: Words) -> str:
    called = _CALLED.get(one.role)
    return words.tell(called, file=quote(one.file)) if called else f"{one.role} {quote(one.file)}"
