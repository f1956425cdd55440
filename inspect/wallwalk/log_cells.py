"""The cells of a log's rows read as quantities, and each row taken past those who gather from it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from wallwalk.errors import quote
from wallwalk.log_rows import NOT_USED, LogFaultError, Notes, Row
from wallwalk.log_runs import MOST_CELLS, TOO_SOON, Stay, whole
from wallwalk.units import Unit, show_number
from wallwalk.values import Bound, Interval
from wallwalk.words import fixed

_PLAUSIBLE = {"temperature": (Fraction(-50), Fraction(100)), "humidity": (Fraction(0), Fraction(100))}
"""What the air of a room can be, in °C and %RH; a cell that says otherwise is a fault of the logger."""

_IMPLAUSIBLE = {
    "temperature": fixed("no temperature of a room"),
    "humidity": fixed("no humidity of a room"),
}
_NUMBER = re.compile(r"[+-]?[0-9]{1,9}(?:\.[0-9]{0,30})?")


Taker = Callable[[Fraction | int, str], None]


class Cells:
    """Reads the cells of one quantity of one log; each different cell is worked out once."""

    def __init__(self, kind: str, unit: Unit | None, spread: Interval | None, *, comma: bool) -> None:
        self.kind = kind
        self.unit = unit
        self.spread = None if spread is None else spread.high
        self._comma = comma
        self._good: dict[str, bool] = {}

    def read(self, cell: str) -> tuple[Fraction, Fraction] | None:
        """What the cell says, taken as read."""
        written = cell.replace(",", ".") if self._comma else cell
        if self.unit is None or not _NUMBER.fullmatch(written):
            return None
        amount = Fraction(written) * self.unit.scale + self.unit.offset
        least, most = _PLAUSIBLE[self.kind]
        return (amount, amount) if least <= amount <= most else None

    def is_good(self, cell: str) -> bool:
        """Whether the cell says something that the air of a room can be."""
        good = self._good.get(cell)
        if good is None:
            if len(self._good) >= MOST_CELLS:
                self._good.clear()
            good = self._good[cell] = self.read(cell) is not None
        return good

    def read_guarded(self, cell: str) -> tuple[Fraction, Fraction] | None:
        """What the cell says, as well as its instrument knows it."""
        read = self.read(cell)
        if read is None or self.spread is None:
            return None
        return Fraction(read[0] - self.spread), Fraction(read[1] + self.spread)


@dataclass(frozen=True, slots=True)
class Gathered:
    """How many rows were taken, and when the first and the last of them were written."""

    rows: int
    first: Bound | None
    last: Bound | None


NOTHING = Gathered(0, None, None)


def gather(
    stay: Stay,
    usable_until: Bound,
    rows: Iterable[Row],
    notes: Notes,
    cells: Iterable[Cells],
    takers: Mapping[str, Iterable[Taker]],
) -> Gathered:
    """Takes each row past everyone, in order; what is wrong with a row is noted, or raised as `LogFaultError`."""
    begins, ends, too_soon, count = whole(stay.began.high), whole(usable_until), whole(stay.every * TOO_SOON), 0
    first: Row | None = None
    before: Row | None = None
    columns = tuple(cells)
    several = [(i, one, tuple(takers[one.kind])) for i, one in enumerate(columns) if one.unit is not None]
    for row in rows:
        seconds = row[0]
        if not begins <= seconds <= ends:
            notes.add(fixed("not from the time it stood here with its calibration good"), NOT_USED, row[2])
            continue
        if not any(row[1]):  # a mark of the logger's own, such as a button pressed
            notes.add(fixed("nothing measured"), NOT_USED, row[2])
            continue
        if before is None:
            first = before = row
        elif seconds - before[0] <= too_soon:
            together = _together(row, before, columns, stay)
            if together == before[1]:
                notes.add(fixed("written before"), fixed("used once"), row[2])
                continue
            before = (seconds, together, row[2])
        else:
            before = row
        count += 1
        for i, one, each in several:
            cell = row[1][i]
            if one.is_good(cell):
                for take in each:
                    take(seconds, cell)
            else:
                notes.add(_IMPLAUSIBLE[one.kind], NOT_USED, row[2])
    return Gathered(count, None if first is None else first[0], None if before is None else before[0])


def _together(row: Row, before: Row, cells: Iterable[Cells], stay: Stay) -> tuple[str, str]:
    """What a row and the one before it, of the same moment, say together. Raises `LogFaultError`.

    They are refused where both say something and not the same; and where the two are not of one moment, since they
    come too soon after each other.
    """
    apart = row[0] - before[0]
    if apart:
        after = show_number(Fraction(apart))
        found = f"comes {after} s after the row before it, and this log writes every {stay.written}"
        raise LogFaultError(row[2], found, "write every: as often as it really writes, or give the file as it wrote it")
    said = []
    for one, now, then in zip(cells, row[1], before[1], strict=True):
        says, said_then = one.read(now), one.read(then)
        if None not in (says, said_then) and says != said_then:
            found = f"says {quote(now)} where line {before[2]} says {quote(then)} of the same moment"
            raise LogFaultError(row[2], found, "give the file as the logger wrote it; only one of the two can be true")
        said.append(then if says is None or then == now else now if said_then is None else then)
    return said[0], said[1]
