"""The hand that fills a survey in: what it leaves out, what it writes at a limit, and how it writes a time."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from differential.survey_answers import Offer

T = TypeVar("T")
Part = dict[str, Any]
"""A part of a survey: the room, a wall, a reading."""
Fill = Callable[[Part], None]

DAY, HOUR, MINUTE = 86400, 3600, 60

# Zones with a clock change in the night before or after, half an hour on Lord Howe Island, at midnight in Cuba.
_DAYS = (
    ("America/Chicago", "2026-03-08"),
    ("America/Chicago", "2026-11-01"),
    ("America/Chicago", "2026-04-15"),
    ("Europe/Vienna", "2026-03-29"),
    ("Europe/Vienna", "2026-10-25"),
    ("America/Phoenix", "2026-03-08"),
    ("Australia/Lord_Howe", "2026-10-04"),
    ("Australia/Lord_Howe", "2026-04-05"),
    ("America/Havana", "2026-03-08"),
    ("America/Havana", "2026-11-01"),
    ("Asia/Kolkata", "2026-06-10"),
)
# How often an answer is missing and how often it is edgy, by mood.
_MOODS = ((0.0, 0.0), (0.0, 0.01), (0.004, 0.02), (0.01, 0.06), (0.03, 0.15), (0.12, 0.25), (0.35, 0.3))


class Hand:
    """One who fills in one survey: `start` and `walk` are when they truly are, whatever is written down."""

    def __init__(self, chance: Random) -> None:
        """Everything is drawn from `chance`."""
        self.chance = chance
        self.missing, self.edgy = self.chance.choice(_MOODS)
        zone, day = self.chance.choice(_DAYS)
        self.zone = ZoneInfo(zone)
        start = datetime.fromisoformat(f"{day} {self.chance.choice(('07:00', '08:30', '12:00', '13:00'))}")
        self.start = start.replace(tzinfo=self.zone).astimezone(UTC)
        ago = self.chance.choice((2, 5, 14, 17, 20, 23, 24, 25)) * HOUR
        self.walk = self.start - timedelta(seconds=self.pick(((ago,), (0, -600, DAY, DAY + MINUTE, 2 * DAY))))

    def pick(self, offer: tuple[tuple[T, ...], tuple[T, ...]]) -> T:
        """A good answer, or an edgy one as often as the mood has it."""
        return self.chance.choice(offer[self.chance.random() < self.edgy])

    def answer(self, part: Part, path: str, offer: Offer) -> None:
        """One of the answers to a question."""
        self.put(part, path, self.pick(offer))

    def put(self, part: Part, path: str, value: str | None) -> None:
        """Write an answer down, or leave it out."""
        if value is None or self.chance.random() < self.missing:
            value = self.chance.choice((None, None, "unknown"))
        if value is None:
            return
        *groups, name = path.split(".")
        for group in groups:
            part = part.setdefault(group, {})
        part[name] = {"yes": True, "no": False}.get(value, value)

    def count(self, part: Part, path: str, listed: int) -> None:
        """How many there are: as many as are listed, or one more."""
        more = self.pick(((0,), (0, 1)))
        self.put(part, path, str(listed + more))

    def when(self, moment: datetime, *away: int) -> str:
        """A moment, or one so many seconds away from it where the mood is edgy."""
        return self.stamp(moment + timedelta(seconds=self.pick(((0,), away or (0, MINUTE, -MINUTE)))))

    def stamp(self, moment: datetime, *, plain: bool = False) -> str:
        """A moment as somebody writes it: by the clock of the site, with its offset, in UTC, or the day alone."""
        local = moment.astimezone(self.zone)
        both = [local.replace(tzinfo=self.zone, fold=fold).utcoffset() for fold in (0, 1)]
        way = self.chance.random()
        if not plain and way < self.edgy / 3:
            return f"{local:%Y-%m-%d}"
        if way > 0.95 or both[0] != both[1]:
            return local.isoformat(timespec="minutes")
        return f"{local:%Y-%m-%d %H:%M}" if way < 0.9 else f"{moment:%Y-%m-%dT%H:%M:00Z}"

    def day(self, moment: datetime, good: int, *edgy: int) -> str:
        """A day, so many days away."""
        return f"{(moment + timedelta(days=self.pick(((good,), edgy)))).astimezone(self.zone):%Y-%m-%d}"

    def before_start(self, seconds: int) -> str:
        """So long before the start and longer; edgy: exactly so long, a minute beside, or by the clock on the wall."""
        on_the_wall = self.start.astimezone(self.zone).replace(tzinfo=None) - timedelta(seconds=seconds)
        by_the_wall = on_the_wall.replace(tzinfo=self.zone).astimezone(UTC)
        exact = self.start - timedelta(seconds=seconds)
        edge = [
            exact,
            exact + timedelta(minutes=1),
            exact - timedelta(minutes=1),
            by_the_wall,
            exact + timedelta(hours=2),
        ]
        edge += [self.walk, self.walk + timedelta(minutes=1), self.start + timedelta(hours=1)]
        longer = exact - timedelta(hours=self.chance.randint(2, 60))
        return self.stamp(self.pick(((min(longer, self.walk - timedelta(hours=1)),), tuple(edge))))

    def readings(self, part: Part, name: str, fill: Fill, most: int) -> None:
        """A list with as many entries as chance has it, and its count beside it, which may be another."""
        entries = []
        for number in range(self.pick(((self.chance.randint(1, most),), (0, 1, 2)))):
            entry: Part = {}
            self.put(
                entry,
                "at",
                self.when(self.walk + timedelta(minutes=5 + number), -4 * HOUR, 4 * HOUR, 5 * HOUR, -5 * HOUR, -DAY),
            )
            self.put(entry, "place", f"place {number}")
            fill(entry)
            entries.append(entry)
        if self.chance.random() >= self.missing:
            part[name] = entries
        self.count(part, f"{name}_taken", len(entries))

    def read(self, path: str, offer: Offer, instrument: str) -> Fill:
        """What fills in one reading of one instrument."""

        def fill(entry: Part) -> None:
            self.put(entry, "instrument", instrument)
            self.answer(entry, path, offer)

        return fill
