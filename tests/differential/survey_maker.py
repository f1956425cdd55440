"""Surveys out of a hat: a seed stands for one room, with answers good, edgy, contradictory, doubtful and missing.

Nothing of wallwalk is used here. A room is made tidy first, and then some of its answers are taken out or moved to a
limit; how many depends on the mood of the one who filled it in.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from differential.log_maker import make_log
from differential.survey_answers import (
    AIR,
    DAMP,
    FACE,
    HEIGHTS,
    HOLE,
    LENGTHS,
    METER,
    PH,
    ROOM,
    WALL,
    Offer,
)

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
_MOODS = ((0.0, 0.02), (0.01, 0.06), (0.03, 0.15), (0.12, 0.25), (0.35, 0.3))
_DAY, _HOUR, _MINUTE = 86400, 3600, 60
_SUBSTRATES = (
    *("gypsum board",) * 5,
    *("concrete",) * 3,
    *("painted wall",) * 3,
    *("veneer plaster", "plaster", "concrete masonry", "plywood", "metal", "tile", "other"),
)
_LEADS = {
    "building.light": "building.light_measured",
    "trim.joint_strip_length": "trim.joints_covered",
    "trim.joint_strips": "trim.joints_covered",
    "trim.corners": "trim.corners_covered",
    "trim.corner_piece_length": "trim.corners_covered",
    "trim.corner_pieces": "trim.corners_covered",
    "cast_or_plastered": "fresh_cement_work",
    "gypsum.compound_dry_told_by": "gypsum.compound_dry",
    "patches_primed": "patched",
    "coatings.loose": "coatings.painted",
    "coatings.tape_test": "coatings.painted",
    "coatings.chalk_rating": "coatings.painted",
    "coatings.dulled": "coatings.slick",
    "coatings.water_film_whole": "coatings.water_break_made",
    "coatings.stains_blocked": "coatings.stains_bleeding",
    "primer.wiped_again": "primer.long_standing",
    "gaps.at_frames": "gaps.frames_on_wall",
    "gaps.at_ceiling": "gaps.meets_ceiling",
    "gaps.behind_trim": "gaps.trim_on_wall",
    "gaps.at_sealed_joints": "gaps.sealed_joints_on_wall",
    **{f"plastic_sheet.{part}": "plastic_sheet.made" for part in ("laid", "lifted", "shortest_side", "damp")},
}


class Made(NamedTuple):
    """A survey as plain data, and its logger files by name."""

    document: dict[str, Any]
    files: dict[str, str]


def make_survey(seed: int) -> Made:
    """The survey that `seed` stands for."""
    return _Maker(seed).make()


class _Maker:
    def __init__(self, seed: int) -> None:
        self.seed = seed
        self.chance = Random(seed)  # noqa: S311 - test data, not a secret
        self.missing, self.edgy = self.chance.choice(_MOODS)
        zone, day = self.chance.choice(_DAYS)
        self.zone = ZoneInfo(zone)
        start = datetime.fromisoformat(f"{day} {self.chance.choice(('07:00', '08:30', '12:00', '13:00'))}")
        self.start = start.replace(tzinfo=self.zone).astimezone(UTC)
        ago = self.chance.choice((2, 5, 14, 17, 20, 23, 24, 25)) * _HOUR
        self.walk = self.start - timedelta(seconds=self.pick(((ago,), (0, -600, _DAY, _DAY + _MINUTE, 2 * _DAY))))

    def make(self) -> Made:
        document: dict[str, Any] = {"time_zone": self.zone.key}
        files: dict[str, str] = {}
        self._put(document, "walk.at", self._when(self.walk, 0))
        kept = self.chance.random() < 0.3
        self._put(document, "planned_start", self._stamp(self.start, plain=kept))
        document["instruments"] = self._instruments()
        for path, offer in ROOM.items():
            self._answer(document, path, offer)
        self._room_times(document)
        self._readings(document, "air", self._air, 3)
        self._lots(document)
        walls = [self._wall(number, count) for count in (self.chance.randint(1, 4),) for number in range(count)]
        document["walls"] = walls
        self._count(document, "walls_in_scope", len(walls))
        self._loggers(document, files, kept=kept)
        return Made(_consistent(document), files)

    # -- chance ------------------------------------------------------------------------------------------------

    def pick(self, offer: tuple[tuple[Any, ...], tuple[Any, ...]]) -> Any:
        """A good answer, or an edgy one as often as the mood has it."""
        return self.chance.choice(offer[self.chance.random() < self.edgy])

    def _answer(self, part: dict[str, Any], path: str, offer: Offer) -> None:
        self._put(part, path, self.pick(offer))

    def _put(self, part: dict[str, Any], path: str, value: str | None) -> None:
        if value is None or self.chance.random() < self.missing:
            value = self.chance.choice((None, None, "unknown"))
        if value is None:
            return
        *groups, name = path.split(".")
        for group in groups:
            part = part.setdefault(group, {})
        part[name] = {"yes": True, "no": False}.get(value, value)

    def _count(self, part: dict[str, Any], path: str, listed: int) -> None:
        more = self.pick(((0,), (0, 1)))
        self._put(part, path, str(listed + more))

    # -- time --------------------------------------------------------------------------------------------------

    def _when(self, moment: datetime, *away: int) -> str:
        """A moment, or one so many seconds away from it where the mood is edgy."""
        return self._stamp(moment + timedelta(seconds=self.pick(((0,), away or (0, _MINUTE, -_MINUTE)))))

    def _stamp(self, moment: datetime, *, plain: bool = False) -> str:
        """A moment as somebody writes it: by the clock of the site, with its offset, in UTC, or the day alone."""
        local = moment.astimezone(self.zone)
        both = [local.replace(tzinfo=self.zone, fold=fold).utcoffset() for fold in (0, 1)]
        way = self.chance.random()
        if not plain and way < self.edgy / 3:
            return f"{local:%Y-%m-%d}"
        if way > 0.95 or both[0] != both[1]:
            return local.isoformat(timespec="minutes")
        return f"{local:%Y-%m-%d %H:%M}" if way < 0.9 else f"{moment:%Y-%m-%dT%H:%M:00Z}"

    def _day(self, moment: datetime, good: int, *edgy: int) -> str:
        return f"{(moment + timedelta(days=self.pick(((good,), edgy)))).astimezone(self.zone):%Y-%m-%d}"

    def _before_start(self, seconds: int) -> str:
        """So long before the start and longer; edgy: exactly so long, a minute beside, or by the clock on the wall."""
        on_the_wall = self.start.astimezone(self.zone).replace(tzinfo=None) - timedelta(seconds=seconds)
        by_the_wall = on_the_wall.replace(tzinfo=self.zone).astimezone(UTC)
        exact = self.start - timedelta(seconds=seconds)
        edge = [exact, exact + timedelta(minutes=1), exact - timedelta(minutes=1), by_the_wall, exact + timedelta(hours=2)]
        edge += [self.walk, self.walk + timedelta(minutes=1), self.start + timedelta(hours=1)]
        longer = exact - timedelta(hours=self.chance.randint(2, 60))
        return self._stamp(self.pick(((min(longer, self.walk - timedelta(hours=1)),), tuple(edge))))

    def _room_times(self, document: dict[str, Any]) -> None:
        for path in ("sheets.in_room_since", "sheets.room_at_temperature_since", "adhesive.in_room_since"):
            self._put(document, path, self._before_start(_DAY))
        begun = self.start - timedelta(days=20)
        self._put(document, "joint_finishing.begun", self._when(begun))
        before = self.pick(((3 * _DAY,), (2 * _DAY, 2 * _DAY - _MINUTE, 2 * _DAY + _MINUTE)))
        self._put(document, "joint_finishing.warm_since", self._stamp(begun - timedelta(seconds=before)))
        self._put(document, "adhesive.best_before", self._day(self.start, 200, -1, 0, 1))

    # -- what was read -----------------------------------------------------------------------------------------

    def _instruments(self) -> list[dict[str, Any]]:
        offers = {
            "TH": {"temperature": (("1 °F",), ("0.5 °C", "0.9 °F")), "humidity": (("3 %RH",), ("2 %RH",))},
            "MM": {"moisture_gypsum": (("0.2 gypsum",), ("0.1 gypsum",)), "moisture_mc": (("0.6 %MC",), ("1 %MC",))},
            "IR": {"temperature": (("1 °F",), ("0.5 °C",))},
            "PH": {"alkalinity": (("0.3 pH",), ("0.5 pH",))},
        }
        instruments = []
        for name, spreads in offers.items():
            one: dict[str, Any] = {"name": name}
            self._put(one, "calibration_due", self._day(self.walk, 200, -1, 0, 1, -30))
            for kind, offer in spreads.items():
                self._answer(one, f"uncertainty.{kind}", offer)
            instruments.append(one)
        return instruments

    def _readings(self, part: dict[str, Any], name: str, fill: Any, most: int) -> None:
        """A list with as many entries as chance has it, and its count beside it, which may be another."""
        entries = []
        for number in range(self.pick(((self.chance.randint(1, most),), (0, 1, 2)))):
            entry: dict[str, Any] = {}
            self._put(entry, "at", self._when(self.walk + timedelta(minutes=5 + number), -4 * _HOUR, 4 * _HOUR, 5 * _HOUR, -5 * _HOUR, -_DAY))
            self._put(entry, "place", f"place {number}")
            fill(entry)
            entries.append(entry)
        if self.chance.random() >= self.missing:
            part[name] = entries
        self._count(part, f"{name}_taken", len(entries))

    def _air(self, entry: dict[str, Any]) -> None:
        self._put(entry, "instrument", "TH")
        self._answer(entry, "temperature", AIR)
        self._answer(entry, "humidity", DAMP)

    def _read(self, path: str, offer: Offer, instrument: str) -> Any:
        def fill(entry: dict[str, Any]) -> None:
            self._put(entry, "instrument", instrument)
            self._answer(entry, path, offer)

        return fill

    def _lots(self, document: dict[str, Any]) -> None:
        sheets = [{"lot": f"S{n}"} for n in range(self.chance.randint(1, 2))]
        for lot in sheets:
            self._put(lot, "count", str(self.pick(((60,), (2, 4, 5, 6, 7, 8, 9, 10, 12)))))
        pails: list[dict[str, Any]] = [{"lot": "A1"}]
        self._put(pails[0], "quantity", self.pick((("60 gal",), ("2.56 gal", "2.5 gal", "5.12 gal", "5 gal", "10 L", "7.68 gal"))))
        for name, entries in (("sheet_lots", sheets), ("adhesive_lots", pails)):
            document[name] = [] if self.chance.random() < self.edgy / 8 else entries
            self._count(document, f"{name}_here", len(document[name]))

    # -- walls -------------------------------------------------------------------------------------------------

    def _wall(self, number: int, count: int) -> dict[str, Any]:
        wall: dict[str, Any] = {"name": f"W{number}"}
        self._put(wall, "length", self.chance.choice(LENGTHS[: 4 if count > 2 else len(LENGTHS)]))
        self._put(wall, "height", self.pick((("8 ft",), HEIGHTS)))
        substrate = self.chance.choice(_SUBSTRATES)
        self._put(wall, "substrate", substrate)
        for path, offer in WALL.items():
            self._answer(wall, path, offer)
        if substrate == "painted wall":
            self._put(wall, "coatings.painted", "yes")
        scale = "gypsum" if substrate in ("gypsum board", "painted wall") else "mc"
        self._readings(wall, "moisture", self._read("value", METER[scale], "MM"), 3)
        self._readings(wall, "surface", self._read("temperature", FACE, "IR"), 2)
        self._readings(wall, "alkalinity", self._read("value", PH, "PH"), 4)
        if substrate == "concrete":
            self._readings(wall, "wall_humidity", self._read("value", HOLE, "TH"), 4)
            if self.chance.random() < 0.5:
                wall.update(wall_humidity=[], wall_humidity_taken="0")
        self._wall_times(wall)
        return wall

    def _wall_times(self, wall: dict[str, Any]) -> None:
        self._put(wall, "primer.finished", self._before_start(_DAY))
        self._put(wall, "primer.best_before", self._day(self.start, 200, -3, -2, -1, 0))
        self._put(wall, "cast_or_plastered", self._before_start(28 * _DAY + self.pick(((5 * _DAY,), (0, _DAY)))))
        self._put(wall, "gypsum.compound_finished", self._when(self.start - timedelta(days=5), 4 * _DAY))
        lifted = self.start - timedelta(hours=20)
        on = self.pick(((20 * _HOUR,), (16 * _HOUR, 16 * _HOUR - _MINUTE, 15 * _HOUR)))
        self._put(wall, "plastic_sheet.lifted", self._stamp(lifted))
        self._put(wall, "plastic_sheet.laid", self._stamp(lifted - timedelta(seconds=on)))

    # -- loggers -----------------------------------------------------------------------------------------------

    def _loggers(self, document: dict[str, Any], files: dict[str, str], *, kept: bool) -> None:
        if not kept:
            self._put(document, "climate_logs_kept", self.pick((("0",), ("1", "2"))))
            return
        log, text = make_log(self.chance, self.start, self.edgy)
        files[f"{self.seed}.csv"] = text
        due = self._day(self.start, 200, -1, 0, -2)
        logger: dict[str, Any] = {"name": "LG"}
        self._put(logger, "calibration_due", due)
        self._answer(logger, "uncertainty.temperature", (("1 °F",), ("0.5 °C", "0.9 °F")))
        self._answer(logger, "uncertainty.humidity", (("3 %RH",), ("2 %RH",)))
        document["instruments"].append(logger)
        entry: dict[str, Any] = {"file": f"{self.seed}.csv", "clock": log.clock}
        for name, value in (("place", "on the sheets"), ("instrument", "LG"), ("every", log.every)):
            self._put(entry, name, value)
        for name, moment in (("began", log.began), ("ended", log.ended)):
            self._put(entry, name, self._stamp(moment, plain=self.chance.random() < 0.9))
        document["climate_log"] = [entry]
        self._count(document, "climate_logs_kept", 1)


def _consistent(document: dict[str, Any]) -> dict[str, Any]:
    """Without answers to what is not asked: a survey that contradicts itself so is refused, and judged by nobody."""
    for part in (document, *document["walls"]):
        for path, lead in _LEADS.items():
            if _at(part, lead) is False:
                _drop(part, path)
        if _at(part, "primer.kind") == "none":
            part["primer"] = {"kind": "none"}
    return document


def _at(part: dict[str, Any], path: str) -> object:
    here: Any = part
    for step in path.split("."):
        here = here.get(step) if isinstance(here, dict) else None
    return here


def _drop(part: dict[str, Any], path: str) -> None:
    *groups, name = path.split(".")
    holder = _at(part, ".".join(groups)) if groups else part
    if isinstance(holder, dict):
        holder.pop(name, None)
