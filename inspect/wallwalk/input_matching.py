"""Whether the files inside a filed record are those the record was made from, by their digests."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from wallwalk.errors import quote
from wallwalk.filing import CLIMATE_LOG, OVERLAY, PHOTO, ROLES, RULE_SET, SURVEY, Filing, Input
from wallwalk.matching import Match

_ROLES_MATCHED = {SURVEY, CLIMATE_LOG, PHOTO, RULE_SET, OVERLAY}
"""A file that was anything else to the check is doubted, until it is looked at here."""


@dataclass(frozen=True, slots=True)
class _Filed:
    """An input and the digest that was filed beside it."""

    one: Input
    beside: str

    @property
    def is_as_filed(self) -> bool:
        return self.one.sha256 == self.beside


def match_inputs(filing: Filing) -> Iterator[Match]:
    """A line for the survey, each log and photo, the rule set and each overlay; the record is of the right shape."""
    filed = _filed(filing)
    record = filing.record
    survey = record["survey"]
    yield from _match_each(SURVEY, filed, [(survey["file"], survey["sha256"], "survey")])
    logs = record["climate"]["logs"] if record["climate"] else []
    read = [(log["file"], log["sha256"], f"climate.logs[{i}]") for i, log in enumerate(logs) if log["sha256"]]
    yield from _match_each(CLIMATE_LOG, filed, read)
    taken = {(p["file"], p["sha256"]): f"photos[{i}]" for i, p in reversed([*enumerate(record["photos"])])}
    shown = [(name, sha256, place) for (name, sha256), place in reversed(taken.items())]
    yield from _match_each(PHOTO, filed, shown)
    yield from _match_rule_set(record["rule_set"], [f for f in filed if f.one.role == RULE_SET])
    overlays = record["rule_set"]["overlays"]
    laid = [(o["file"], o["sha256"], f"rule_set.overlays[{i}]") for i, o in enumerate(overlays)]
    yield from _match_each(OVERLAY, filed, laid)
    for one in (f for f in filed if f.one.role not in _ROLES_MATCHED):
        yield Match(one.one.role, False, f"{_name(one.one)}: is in the file, and is not looked at here")
    order = [ROLES.index(one.role) for one in filing.inputs]
    if order != sorted(order):
        yield Match("file", False, "the files in it do not stand in the order in which they are filed")


def match_packing(filing: Filing) -> Iterator[Match]:
    """A note for each input that another program packed: what it holds is looked at, not how it is packed."""
    packed = filing.said.packed_alike if filing.said else ()
    for one, alike in zip(filing.inputs, packed, strict=False):
        if not alike:
            yield Match(
                one.role, None, f"{_name(one)}: packed otherwise than this program packs it; what it holds counts"
            )


def _filed(filing: Filing) -> list[_Filed]:
    beside = filing.said.sha256s if filing.said else tuple(one.sha256 for one in filing.inputs)
    return [_Filed(one, digest) for one, digest in zip(filing.inputs, beside, strict=True)]


def _match_each(role: str, filed: Iterable[_Filed], recorded: list[tuple[str, str, str]]) -> Iterator[Match]:
    """The inputs of one role against what the record names, in order: name, digest, and the place in the record."""
    own = [f for f in filed if f.one.role == role]
    for i, (name, sha256, place) in enumerate(recorded):
        if i >= len(own):
            yield Match(role, False, f"{role} {quote(name)}: is not in the file")
        elif own[i].one.file != name:
            found = f"{role}: the file names it {quote(own[i].one.file)}, and record.{place}.file is {quote(name)}"
            yield Match(role, False, found)
        else:
            yield _match_one(own[i], sha256, place)
    for extra in own[len(recorded) :]:
        yield Match(role, False, f"{_name(extra.one)}: is in the file, and the record was not made from it")


def _match_one(filed: _Filed, recorded: str, place: str) -> Match:
    one = filed.one
    if one.sha256 == recorded == filed.beside:
        return Match(one.role, True, f"{_name(one)}: the bytes that were checked")
    if one.sha256 == recorded:
        return Match(one.role, False, f"{_name(one)}: {_beside(filed)}")
    if filed.is_as_filed:
        found = f"record.{place}.sha256 is {recorded[:16]}…, and the file's is {one.sha256[:16]}…"
        return Match(one.role, False, f"{_name(one)}: {found}")
    return Match(one.role, False, f"{_name(one)}: changed since it was checked")


def _match_rule_set(record: Mapping[str, Any], filed: list[_Filed]) -> Iterator[Match]:
    """The files of the rule set, whose digests make one: which of them changed is told by the digest beside it."""
    title = f"{RULE_SET} {record['name']}"
    if not filed:
        yield Match(RULE_SET, False, f"{title}: is not in the file")
        return
    changed = [f for f in filed if not f.is_as_filed]
    matches = _digest_of((f.one.file, f.one.sha256) for f in filed) == record["sha256"]
    if matches and not changed:
        yield Match(RULE_SET, True, f"{title}: its {len(filed)} files are those it was checked by")
    for one in changed:
        said = _beside(one) if matches else "changed since it was checked by"
        yield Match(RULE_SET, False, f"{title}, {one.one.file}: {said}")
    if not matches and _digest_of((f.one.file, f.beside) for f in filed) != record["sha256"]:
        found = "its files do not give record.rule_set.sha256: one is missing, added or another, or that was changed"
        yield Match(RULE_SET, False, f"{title}: {found}")


def _digest_of(files: Iterable[tuple[str, str]]) -> str:
    return hashlib.sha256("\n".join(sorted(f"{name}={sha256}" for name, sha256 in files)).encode()).hexdigest()


def _beside(filed: _Filed) -> str:
    return f"its own digest is {filed.one.sha256[:16]}…, and the one filed beside it {quote(filed.beside[:16])}…"


def _name(one: Input) -> str:
    return f"{one.role} {quote(one.file)}"
