"""What people type, as the survey writes it: `72 f`, `y`, the number of a choice or its first letters, `now`."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo, available_timezones

from wallwalk.moments import find_zone
from wallwalk.quantities import UnitError, parse_quantity
from wallwalk.questions import Question
from wallwalk.units import KINDS, MOISTURE, UNITS
from wallwalk.words import Words, fixed

WRITE_Y_OR_N = fixed("write y or n")
WRITE_ONE_OF = fixed("write one of the numbers, or the first letters of one")
WRITE_LISTED = fixed("write one of the numbers; Enter alone leaves it open")
WRITE_ZONE = fixed("write a name such as America/Chicago")

_DAY = re.compile(r"(\w+)(?: +(\d{1,2}):(\d\d))?")
_SHORT_HOUR = re.compile(r"(\d{4}-\d\d-\d\d[ T])(\d:\d\d.*)")


def is_yes(typed: str, words: Words) -> bool | None:
    """Yes or no as typed, in English or in the language of `words`; None where it is neither."""
    told = typed.strip().lower()
    yes, no = words.say_as("typed", "yes").lower(), words.say_as("typed", "no").lower()
    if told in {"y", "yes", yes, yes[0], _bare(yes)}:
        return True
    return False if told in {"n", "no", no, no[0]} else None


def _bare(word: str) -> str:
    return word.translate(str.maketrans("áéíóú", "aeiou"))


def read_choice(typed: str, choices: Sequence[str], called: Mapping[str, str], advice: str) -> str:
    """The choice meant by its number, its whole word or its first letters. Raises `UnitError` with `advice`."""
    if re.fullmatch(r"[0-9]{1,4}", typed):
        if 1 <= int(typed) <= len(choices):
            return choices[int(typed) - 1]
        raise UnitError(advice)
    told = typed.lower()
    names = {choice: {choice.lower(), called.get(choice, choice).lower()} for choice in choices}
    exact = [choice for choice, own in names.items() if told in own]
    begun = [choice for choice, own in names.items() if any(name.startswith(told) for name in own)]
    found = exact or begun
    if len(found) != 1:
        raise UnitError(advice)
    return found[0]


def read_quantity(typed: str, kind: str) -> str:
    """A quantity with its unit spelled as it is read (`72 f` is `72 °F`); as typed where that does not help."""
    for text in (typed, _spelled(typed, MOISTURE if kind == "moisture" else (kind,))):
        try:
            parse_quantity(text, kind)
        except UnitError:
            continue
        return text
    return typed


def _spelled(text: str, kinds: Iterable[str]) -> str:
    spellings = {s.lower(): unit.spellings[0] for kind in kinds for s, unit in UNITS[kind].items() if s}
    if not spellings:
        return text
    either = "|".join(re.escape(s) for s in sorted(spellings, key=len, reverse=True))
    found = re.compile(rf"\s*(?<![^\W\d_])({either})(?![^\W\d_])", re.IGNORECASE)
    return found.sub(lambda unit: f" {spellings[unit[1].lower()]}", text).replace(" B", "B").strip()


def read_moment(typed: str, at: datetime, zone: ZoneInfo | None, words: Words) -> str:
    """A moment: `now`, `today 8:30`, `yesterday 14:10` by the clock `at`, or as it is written in a survey."""
    form = _DAY.fullmatch(typed.strip().lower())
    days = {
        "today": 0,
        words.say_as("typed", "today"): 0,
        "yesterday": 1,
        words.say_as("typed", "yesterday"): 1,
    }
    if form is None or (form[1] not in days and form[1] not in {"now", words.say_as("typed", "now")}):
        short = _SHORT_HOUR.fullmatch(typed.strip())
        return f"{short[1]}0{short[2]}" if short else typed
    if form[1] not in days:
        return typed if form[2] else stamp(at, zone)
    day = (_local(at, zone) - timedelta(days=days[form[1]])).date().isoformat()
    return f"{day} {int(form[2]):02}:{form[3]}" if form[2] else day


def stamp(at: datetime, zone: ZoneInfo | None) -> str:
    """The moment `at` to the minute, on the clock of the site; with its offset where that clock could mean two."""
    local = _local(at, zone).replace(second=0, microsecond=0)
    plain = local.replace(tzinfo=None)
    if zone is not None and len({plain.replace(tzinfo=zone, fold=fold).utcoffset() for fold in (0, 1)}) == 1:
        return plain.isoformat(" ", "minutes")
    return local.isoformat(" ", "minutes")


def _local(at: datetime, zone: ZoneInfo | None) -> datetime:
    return at.astimezone(zone) if zone is not None else at


def read_zone(typed: str, offered: str) -> str:
    """An IANA name by number where one is offered, by its own name, or by that of its city. Raises `UnitError`."""
    if typed == "1" and offered:
        return offered
    if find_zone(typed) is not None:
        return typed
    told = "_".join(typed.lower().split())
    found = [n for n in sorted(available_timezones()) if n.lower() == told or n.lower().endswith(f"/{told}")]
    if len(found) != 1:
        raise UnitError(WRITE_ZONE)
    return found[0]


def is_quantity(question: Question) -> bool:
    """Whether it is answered by a number with a unit."""
    return question.kind in KINDS or question.kind == "moisture"
