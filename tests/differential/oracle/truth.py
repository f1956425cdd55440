"""Yes, no, or not known: three answers, and how several of them come together."""

from __future__ import annotations

from collections.abc import Iterable

Truth = bool | None
"""True, False, or None where it is not known."""

PASS, HOLD, OPEN, APART = "pass", "hold", "not verified", "does not apply"


def every(parts: Iterable[Truth]) -> Truth:
    """One no is a no; one not known leaves all not known; only all yes is yes."""
    told = list(parts)
    if not told:
        raise ValueError("nothing was asked")
    if False in told:
        return False
    return None if None in told else True


def any_one(parts: Iterable[Truth]) -> Truth:
    """One yes is a yes; else one not known leaves it not known."""
    told = list(parts)
    if not told:
        raise ValueError("nothing was asked")
    if True in told:
        return True
    return None if None in told else False


def no(part: Truth) -> Truth:
    """The other way round; not known stays not known."""
    return None if part is None else not part


def say(asked: Truth) -> str:
    """What a rule says that is asked of everything."""
    return {True: PASS, False: HOLD, None: OPEN}[asked]


def only_where(applies: Truth, asked: Truth) -> str:
    """What a rule says that is asked only sometimes: unknown whether it applies is not verified, and no pass."""
    if applies is False:
        return APART
    return say(asked) if applies else OPEN
