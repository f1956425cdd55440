"""Tidy rooms in which two or three things lie at their limit, a step beside it, or a hair: each a way of its own.

What the limits are is written here once more, by hand; nothing of wallwalk or of the oracle is used.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import UTC, datetime, time, timedelta
from random import Random

from differential.survey_hand import DAY, HOUR, Hand, Part
from differential.survey_maker import Made, make_room, settled

_TENTH = HOUR // 10
_SPANS = ("0.1", "0.55", "1", "2.5", "4", "7", "10", "12.5", "15")
_ROWS = {
    "DIN 18202 row 6": (3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 22.5, 25.0),
    "DIN 18202 row 7": (2.0, 2.5, 3.0, 5.5, 8.0, 11.5, 15.0, 17.5, 20.0),
}


def make_near(seed: int) -> Made:
    """The room that `seed` stands for, near some limits."""
    hand = Hand(Random(seed))  # noqa: S311 - test data, not a secret
    hand.missing = hand.edgy = 0.0
    hand.walk = hand.start - timedelta(hours=20)
    ways = hand.chance.sample(WAYS, hand.chance.choice((2, 3)))
    if day_ends in ways:
        _at_midnight(hand)
    made = make_room(hand, seed, logged=band_comes_back in ways or hand.chance.random() < 0.2)
    for way in ways:
        way(hand, made.document)
        if way is band_comes_back:
            made.files[f"{seed}.csv"] = _came_back(hand)
    return Made(settled(made.document), made.files)


def _at_midnight(hand: Hand) -> None:
    """A start about the end of a day."""
    day = hand.start.astimezone(hand.zone).date()
    hand.start = datetime.combine(day, time(23), hand.zone).astimezone(UTC) + timedelta(
        hours=hand.chance.choice((0, 1, 2))
    )
    hand.walk = hand.start - timedelta(hours=20)


def _beside(hand: Hand, *further: int) -> int:
    """At a limit on time, or a tenth of an hour on either side; in seconds."""
    return hand.chance.choice((0, 0, _TENTH, -_TENTH, 60, -60, *further))


def _each(document: Part, substrate: str) -> list[Part]:
    """The walls, all made of that."""
    for wall in document["walls"]:
        wall["substrate"] = substrate
    return list(document["walls"])


def flat_by_table(hand: Hand, document: Part) -> None:
    """A gap on the line of the table, or a thousandth or a tenth of a millimetre beside it."""
    row = hand.chance.choice(list(_ROWS))
    document["paper"]["flatness_asked_for"] = row
    for wall in document["walls"]:
        span, gap = hand.chance.choice(list(zip(_SPANS, _ROWS[row], strict=True)))
        wall["table_span"] = f"{span} m"
        wall["table_gap"] = f"{gap + hand.chance.choice((0, 0, 0.001, -0.001, 0.1, -0.1, 0.05)):.3f} mm"


def fire(hand: Hand, document: Part) -> None:
    """A flame spread at the end of a class."""
    asked, most = hand.chance.choice((("A", 25), ("B", 75), ("C", 200), ("C", 75), ("B", 25)))
    spread = most + hand.chance.choice((0, 1, -1))
    document["paper"].update(fire_class_asked_for=asked, flame_spread=str(spread), smoke_developed="450")


def joints(hand: Hand, document: Part) -> None:
    """Compound and primer one after the other, and heat at its most."""
    document["joint_finishing"].update(
        temporary_heat=True, highest=hand.chance.choice(("95 °F", "95.1 °F", "94.9 °F", "35 °C"))
    )
    for wall in _each(document, "gypsum board"):
        primed = hand.walk - timedelta(hours=30)
        wall["primer"]["finished"] = hand.stamp(primed, plain=True)
        wall["gypsum"]["compound_finished"] = hand.stamp(primed + timedelta(seconds=_beside(hand)), plain=True)


def plastic_sheet(hand: Hand, document: Part) -> None:
    """A sheet of about its least side, on for about its least time."""
    for wall in _each(document, "concrete"):
        laid = hand.walk - timedelta(days=2)
        lifted = laid + timedelta(seconds=16 * HOUR + _beside(hand))
        side = hand.chance.choice(("17 in", "18 in", "19 in", "17.5 in"))
        wall["plastic_sheet"] = {
            "made": True,
            "laid": hand.stamp(laid, plain=True),
            "lifted": hand.stamp(lifted, plain=True),
            "shortest_side": side,
            "damp": False,
        }


def tests_by_area(hand: Hand, document: Part) -> None:
    """As many tests as an area asks for, or one less, on walls a square foot beside the next number."""
    lengths = {500: 2, 1000: 3, 2000: 4}
    for wall in _each(document, "concrete"):
        area = hand.chance.choice(list(lengths))
        wall["height"] = "8 ft"
        wall["length"] = f"{(area + hand.chance.choice((0, 1, -1, 0.5))) / 8} ft"
        _tests(hand, wall, "alkalinity", {500: 2, 1000: 4, 2000: 8}[area], "8.5 pH", "PH")
        _tests(hand, wall, "wall_humidity", lengths[area], "75 %RH", "TH")


def _tests(hand: Hand, wall: Part, name: str, number: int, value: str, instrument: str) -> None:
    number += hand.chance.choice((0, 0, 0, -1, 1))
    at = hand.stamp(hand.walk, plain=True)
    wall[name] = [{"at": at, "place": f"p{i}", "value": value, "instrument": instrument} for i in range(number)]
    wall[f"{name}_taken"] = str(number)


def day_ends(hand: Hand, document: Part) -> None:
    """What is good until the end of a day, and a start, a primer and a reading about that midnight."""
    last = (hand.start - timedelta(hours=12)).astimezone(hand.zone).date()
    document["adhesive"]["best_before"] = f"{last}"
    for wall in document["walls"]:
        if wall["primer"]["kind"] != "none":
            before = hand.chance.choice((1, 2)) * DAY
            wall["primer"]["finished"] = hand.stamp(hand.start - timedelta(seconds=before + _beside(hand)), plain=True)
            wall["primer"]["best_before"] = f"{last - timedelta(seconds=before)}"
    midnight = datetime.combine(last + timedelta(days=1), time(0), hand.zone).astimezone(UTC)
    for instrument in document["instruments"]:
        if instrument["name"] in ("LG", "TH"):
            instrument["calibration_due"] = f"{last}"
    for reading in document["air"]:
        reading["at"] = hand.stamp(midnight + timedelta(seconds=_beside(hand)), plain=True)
    for entry in document.get("climate_log", ()):
        entry["ended"] = hand.stamp(midnight + timedelta(seconds=_beside(hand)), plain=True)


def dew(hand: Hand, document: Part) -> None:
    """A face about 3 °C over the dew point, as it is read and as it was primed: within a twentieth of a degree."""
    air, damp = hand.chance.choice(((20.0, 60), (24.0, 70), (18.0, 55), (21.5, 80)))
    share = math.log(damp / 100) + 17.62 * air / (243.12 + air)
    over = round(243.12 * share / (17.62 - share) + 3, 2)
    for wall in document["walls"]:
        face = over + hand.chance.choice((-0.05, 0.05, 0.15, -0.15))
        if wall["primer"]["kind"] != "none":
            wall["primer"].update(
                air_temperature=f"{air} °C", air_humidity=f"{damp} %RH", surface_temperature=f"{face:.2f} °C"
            )
        for reading in wall["surface"]:
            reading["temperature"] = f"{face:.2f} ± 0.6 °C" if hand.chance.random() < 0.5 else f"{face + 2:.2f} °C"
    for reading in document["air"]:
        reading.update(temperature=f"{air} ± 0.6 °C", humidity=f"{damp} %RH")


def reading_times(hand: Hand, document: Part) -> None:
    """Readings about four hours from the walk on either side."""
    for part, name in ((document, "air"), *((w, n) for w in document["walls"] for n in ("moisture", "surface"))):
        for reading in part[name]:
            away = hand.chance.choice((0, 4 * HOUR, -4 * HOUR)) + _beside(hand)
            reading["at"] = hand.stamp(hand.walk + timedelta(seconds=away), plain=True)


def start_and_walk(hand: Hand, document: Part) -> None:
    """A start about the walk, about a day after it, or about a reading."""
    away = hand.chance.choice((0, DAY, 300, 360)) + _beside(hand)
    document["planned_start"] = hand.stamp(hand.walk + timedelta(seconds=away), plain=True)


def band_comes_back(hand: Hand, document: Part) -> None:
    """A room that was cold until about a day before the start."""
    entry = document["climate_log"][0]
    document["planned_start"] = hand.stamp(hand.start, plain=True)
    entry.update(every="6 min", clock="+00:00", ended=hand.stamp(hand.start, plain=True))
    entry["began"] = hand.stamp(hand.start - timedelta(hours=30), plain=True)


def _came_back(hand: Hand) -> str:
    """Its log, a row every tenth of an hour."""
    back = hand.start - timedelta(seconds=DAY + _beside(hand))
    at, lines = hand.start - timedelta(hours=30), ["Date/Time,Temperature (°F),Relative humidity (%)"]
    while at <= hand.start:
        lines.append(f"{at:%Y-%m-%d %H:%M:%S},{70.0 if at >= back else 50.0},45.0")
        at += timedelta(minutes=6)
    return "\n".join(lines) + "\n"


def corner_strip(hand: Hand, document: Part) -> None:
    """A wall that leaves about the least strip at its corner, and another whose rest would share its sheet."""
    rest = hand.chance.choice((3.5, 3.75, 4.0, 4.25, 4.5))
    both = document["walls"][:2]
    lengths = [f"{96 + rest} in", f"{48 - rest} in"]
    for wall, length in zip(both, lengths, strict=False):
        wall.update(length=length, height="8 ft")
    document.update(walls=both, walls_in_scope=str(len(both)), sheet_lots_here="1")
    document["sheets"].update(width="4 ft", length="8 ft")
    document["sheet_lots"] = [{"lot": "S", "count": str(hand.chance.choice((2, 3, 4)))}]


def enough(hand: Hand, document: Part) -> None:
    """Sheets, adhesive and primer for the walls exactly, and a little more or less."""
    walls = document["walls"]
    for wall in walls:
        wall.update(length="16 ft", height="8 ft")
        if hand.chance.random() < 0.5:
            wall.update(substrate="gypsum board", primer={"kind": "none"})
    area = 128 * len(walls)
    document["sheet_lots"] = [
        {"lot": f"S{i}", "count": str(4 * len(walls) + hand.chance.choice((0, 1, -1)))} for i in (0, 1)
    ]
    if hand.chance.random() < 0.5:
        document["sheet_lots"].pop()
    document["sheet_lots_here"] = str(len(document["sheet_lots"]))
    by_hand = area / 50 + hand.chance.choice((0, 0.01, -0.01))
    document["adhesive_lots"], document["adhesive_lots_here"] = [{"lot": "A", "quantity": f"{by_hand:.2f} gal"}], "1"
    document["adhesive"].update(
        label_spread="50 ft²/gal", trowel_notch="1/8 in", trowel_width="1/8 in", trowel_pitch="1/4 in"
    )
    primer = 128 / 256 + hand.chance.choice((0, 0.01, -0.01))
    document["primer_here"] = {"quantity": f"{primer:.2f} gal", "label_spread": "256 ft²/gal", "coats": "1"}
    document["primer_here"]["area"] = hand.chance.choice(("128 ft²", "128.1 ft²", "127 ft²", "256 ft²"))


Way = Callable[[Hand, Part], None]
WAYS: tuple[Way, ...] = (
    flat_by_table,
    fire,
    joints,
    plastic_sheet,
    tests_by_area,
    day_ends,
    dew,
    reading_times,
    start_and_walk,
    band_comes_back,
    corner_strip,
    enough,
)
