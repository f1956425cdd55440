"""Readings: each is no better than its instrument, and none at all where that is not known to be in calibration."""

from __future__ import annotations

from fractions import Fraction

from .amounts import read_amount, scale_of, widened
from .papers import Answers, Listing
from .ranges import UNKNOWN, Range, highest, is_told, keeps_to, lowest, minus, reaches
from .truth import Truth, every

_MOST_HOURS_FROM_THE_WALK = Fraction(4)  # trade page 5, readings recent: within 4 h of the walk
_OFF_BY = {
    "temperature": ("temperature", "degrees"),
    "humidity": ("humidity", "humidity"),
    "gypsum": ("moisture_gypsum", "gypsum"),
    "mc": ("moisture_mc", "mc"),
    "wme": ("moisture_wme", "wme"),
    "ph": ("alkalinity", "ph"),
}


class Case:
    """The instruments that were used on the walk."""

    def __init__(self, space: Answers) -> None:
        """Each by its name."""
        self._by_name = {one.word("name"): one for one in space.entries("instruments")}

    def of(self, entry: Answers) -> Answers:
        """The instrument that a reading or a log names; one of which nothing is known where it names none."""
        return self._by_name.get(entry.word("instrument") or "", Answers({}, None))

    def calibration_left(self, entry: Answers) -> Range:
        """How long the calibration still was good when the reading was taken."""
        return minus(self.of(entry).day_over("calibration_due"), entry.moment("at"))

    def read(self, entry: Answers, path: str, kind: str) -> Range:
        """What the reading may be, give or take what its instrument may be off."""
        text = entry.word(path)
        if text is None or reaches(self.calibration_left(entry), Fraction(0)) is not True:
            return UNKNOWN
        own = read_amount(text, kind)
        if "±" in text or "+/-" in text:
            return own
        off = self.off_by(entry, kind)
        return widened(own, off, kind) if is_told(off) else UNKNOWN

    def off_by(self, entry: Answers, kind: str) -> Range:
        """The expanded uncertainty of the instrument for that kind of reading."""
        name, unit = _OFF_BY[kind]
        return self.of(entry).amount(f"uncertainty.{name}", unit)

    def moisture(self, entry: Answers, scale: str) -> Range:
        """A moisture reading on one scale. One on another scale says nothing: they are never compared."""
        text = entry.word("value")
        if text is None or scale_of(text) != scale:
            return UNKNOWN
        return self.read(entry, "value", scale)


def highest_read(readings: Listing, values: list[Range]) -> Range:
    """The highest of what was read, as far as all is written down."""
    return highest(values, all_there=readings.all_there)


def lowest_read(readings: Listing, values: list[Range]) -> Range:
    """The lowest of what was read, as far as all is written down."""
    return lowest(values, all_there=readings.all_there)


def each_told(readings: Listing, *paths: str) -> Truth:
    """Whether all readings are written down, at least one, each with all of that beside it."""
    if not readings.all_there or not readings.entries:
        return None
    return every(entry.told(path) for path in paths for entry in readings.entries)


def in_calibration(case: Case, readings: Listing) -> Truth:
    """Trade page 9: calibration in date on the day of the reading, for every reading."""
    left = [case.calibration_left(entry) for entry in readings.entries]
    return reaches(lowest_read(readings, left), Fraction(0))


def close_to_the_walk(readings: Listing, walk: Range) -> Truth:
    """Trade page 5: every reading taken within 4 h of the walk, before it or after."""
    before = [minus(walk, entry.moment("at")) for entry in readings.entries]
    return every(
        [
            keeps_to(highest_read(readings, before), _MOST_HOURS_FROM_THE_WALK),
            reaches(lowest_read(readings, before), -_MOST_HOURS_FROM_THE_WALK),
        ]
    )
