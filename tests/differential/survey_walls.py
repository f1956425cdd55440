"""A wall of a survey, of any kind, with its readings and its clocks."""

from __future__ import annotations

from datetime import timedelta

from differential.survey_answers import FACE, HEIGHTS, HOLE, LENGTHS, METER, PH, WALL
from differential.survey_hand import DAY, HOUR, MINUTE, Hand, Part

_SUBSTRATES = (
    *("gypsum board",) * 5,
    *("concrete",) * 3,
    *("painted wall",) * 3,
    *("veneer plaster", "plaster", "concrete masonry", "plywood", "metal", "tile", "other"),
)


def make_wall(hand: Hand, number: int, count: int) -> Part:
    """Wall `number` of `count`."""
    wall: Part = {"name": f"W{number}"}
    hand.put(wall, "length", hand.chance.choice(LENGTHS[: 4 if count > 2 else len(LENGTHS)]))
    hand.put(wall, "height", hand.pick((("8 ft",), HEIGHTS)))
    substrate = hand.chance.choice(_SUBSTRATES)
    hand.put(wall, "substrate", substrate)
    for path, offer in WALL.items():
        hand.answer(wall, path, offer)
    if substrate == "painted wall":
        hand.put(wall, "coatings.painted", "yes")
    scale = "gypsum" if substrate in ("gypsum board", "painted wall") else "mc"
    hand.readings(wall, "moisture", hand.read("value", METER[scale], "MM"), 3)
    hand.readings(wall, "surface", hand.read("temperature", FACE, "IR"), 2)
    hand.readings(wall, "alkalinity", hand.read("value", PH, "PH"), 4)
    if substrate == "concrete":
        hand.readings(wall, "wall_humidity", hand.read("value", HOLE, "TH"), 4)
        if hand.chance.random() < 0.5:
            wall.update(wall_humidity=[], wall_humidity_taken="0")
    _times(hand, wall)
    return wall


def _times(hand: Hand, wall: Part) -> None:
    hand.put(wall, "primer.finished", hand.before_start(DAY))
    hand.put(wall, "patches_primed_at", hand.before_start(DAY))
    hand.put(wall, "primer.best_before", hand.day(hand.start, 200, -3, -2, -1, 0))
    hand.put(wall, "cast_or_plastered", hand.before_start(28 * DAY + hand.pick(((5 * DAY,), (0, DAY)))))
    away = (4 * DAY, -15 * DAY, -15 * DAY - MINUTE)
    hand.put(wall, "gypsum.compound_finished", hand.when(hand.start - timedelta(days=5), *away))
    lifted = hand.start - timedelta(hours=20)
    on = hand.pick(((20 * HOUR,), (16 * HOUR, 16 * HOUR - MINUTE, 15 * HOUR)))
    hand.put(wall, "plastic_sheet.lifted", hand.stamp(lifted))
    hand.put(wall, "plastic_sheet.laid", hand.stamp(lifted - timedelta(seconds=on)))
