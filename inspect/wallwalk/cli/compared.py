"""What a comparison starts from: two records that are still what was filed, and that make sense."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from wallwalk.errors import Fault, InputError, quote
from wallwalk.filed_reader import read_filed
from wallwalk.filing import Filing
from wallwalk.record import Record
from wallwalk.verifying import match_quickly


def read_for_comparing(path: Path) -> Filing:
    """The filing at `path`. Raises `InputError` where it is not what was filed, or makes no sense."""
    return read_as_filed(path, "compare the record as it was filed; wallwalk verify says more")


def read_as_filed(path: Path, advice: str) -> Filing:
    """The filing at `path`. Raises `InputError` with `advice` where it is not what was filed, or makes no sense."""
    filing = read_filed(path)
    wrong = [one.says for one in match_quickly(filing) if one.matches is False] or [*senseless(filing.record)]
    if wrong:
        raise InputError([Fault(str(path), 0, "", says, advice) for says in wrong])
    return filing


def senseless(record: Record) -> Iterator[str]:
    """What a record of the right shape may still not say: each check is told once, of names that it knows."""
    subjects = {(s["about"], s["name"]) for s in record["subjects"]}
    told = Counter((f["rule"], f["about"], f["subject"], f["listed"]) for f in record["findings"])
    for (rule, about, subject, _), times in told.items():
        if times > 1:
            yield f"says {times} times what {rule} came to for {quote(subject)}"
        if (about, subject) not in subjects:
            yield f"says what {rule} came to for {quote(subject)}, which is none of its subjects"
    parties, rules = {*record["rule_set"]["party_order"]}, {f["rule"] for f in record["findings"]}
    for party in sorted(parties - record["rule_set"]["parties"].keys()):
        yield f"names the party {quote(party)}, and does not say who that is"
    for party in sorted({f["by"] for f in record["findings"]} - parties):
        yield f"leaves something to {quote(party)}, which is none of its parties"
    for rule in sorted({rule for limit in record["limits"] for rule in limit["used_by"]} - rules):
        yield f"has a limit used by {quote(rule)}, which is none of its rules"
    for end, at in (record["walk"] or {}).items():
        if not _is_moment(at):
            yield f"says that the walk was {end} {quote(at)}, which is no time"


def _is_moment(text: str) -> bool:
    try:
        datetime.fromisoformat(text)
    except ValueError:
        return False
    return True
