"""The room as the rules look at it: the space, one wall at a time, and the start they are judged for."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import cached_property
from typing import Any

from .logbook import Log
from .papers import Answers, Listing
from .ranges import Range, minus, reaches
from .readings import Case
from .truth import Truth
from .watch import Watch

UNWRITTEN = "walls not written down"


class Room:
    """A survey, judged for one start. What its rules wait for is noted in `waits`.

    `rough`: the rule that was asked last cuts sheets or strips for walls of several heights, or of sizes that are not
    known exactly. The least number is then worked out here as far as it can be, and a judge who knows less may say so.
    `opens`: the start that the rule asked last waits for by a log.
    """

    def __init__(
        self, document: Mapping[str, Any], start: Range | None = None, logs: list[Log | None] | None = None
    ) -> None:
        """`start` in hours takes the place of the planned one; `logs` is what the logger files show."""
        zone = document.get("time_zone")
        self.document = document
        self.zone = None if zone in (None, "", "unknown") else str(zone)
        self.space = Answers(document, self.zone)
        self.start = self.space.moment("planned_start") if start is None else start
        self.walk = self.space.moment("walk.at")
        self.logs = logs
        self.waits: list[Truth] = []
        self.rough = False
        self.opens: Fraction | None = None
        self.watches: dict[str, Watch | None] = {}

    @cached_property
    def case(self) -> Case:
        """The instruments."""
        return Case(self.space)

    @cached_property
    def walls(self) -> Listing:
        """The walls that get sheet."""
        return self.space.listing("walls", "walls_in_scope")

    @cached_property
    def air(self) -> Listing:
        """The air readings."""
        return self.space.listing("air", "air_taken")

    @cached_property
    def subjects(self) -> dict[str, Answers]:
        """Each wall by its name, and one more where not all are known to be written down."""
        written = {wall.word("name") or "": wall for wall in self.walls.entries}
        return written if self.walls.all_there else {**written, UNWRITTEN: Answers({}, self.zone)}

    def since(self, moment: Range) -> Range:
        """Hours from a moment to the start."""
        return minus(self.start, moment)

    def waited(self, moment: Range, least: Fraction) -> Truth:
        """Whether it is so long before the start: what time alone may bring about."""
        answer = reaches(self.since(moment), least)
        self.waits.append(answer)
        return answer
