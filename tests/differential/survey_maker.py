"""Surveys out of a hat: a seed stands for one room, with answers good, edgy, contradictory, doubtful and missing.

Nothing of wallwalk is used here. A room is made tidy first, and then some of its answers are taken out or moved to a
limit; how many depends on the mood of the one who filled it in.
"""

from __future__ import annotations

from datetime import timedelta
from random import Random
from typing import Any, NamedTuple

from differential.log_maker import make_log
from differential.survey_answers import AIR, DAMP, ROOM, Offer
from differential.survey_hand import DAY, MINUTE, Hand, Part
from differential.survey_walls import make_wall

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
    "patches_primed_at": "patches_primed",
    "coatings.loose": "coatings.painted",
    "coatings.tape_test": "coatings.painted",
    "coatings.chalk_rating": "coatings.painted",
    "coatings.dulled": "coatings.slick",
    "coatings.water_film_whole": "coatings.water_break_made",
    "dust.tape_quantity": "dust.tape_made",
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

    document: Part
    files: dict[str, str]


def make_survey(seed: int) -> Made:
    """The survey that `seed` stands for."""
    made = make_room(Hand(Random(seed)), seed)  # noqa: S311 - test data, not a secret
    return Made(settled(made.document), made.files)


def make_room(hand: Hand, seed: int, *, logged: bool | None = None) -> Made:
    """What the hand writes of a room, contradictions and all; `logged`: whether a logger stood there, or by chance."""
    document: Part = {"time_zone": hand.zone.key}
    files: dict[str, str] = {}
    hand.put(document, "walk.at", hand.when(hand.walk, 0))
    kept = hand.chance.random() < 0.3 if logged is None else logged
    hand.put(document, "planned_start", hand.stamp(hand.start, plain=kept))
    document["instruments"] = _instruments(hand)
    for path, offer in ROOM.items():
        hand.answer(document, path, offer)
    _room_times(hand, document)
    hand.readings(document, "air", lambda entry: _air(hand, entry), 3)
    _lots(hand, document)
    walls = [make_wall(hand, number, count) for count in (hand.chance.randint(1, 4),) for number in range(count)]
    document["walls"] = walls
    hand.count(document, "walls_in_scope", len(walls))
    _loggers(hand, document, files, seed if kept else None)
    return Made(document, files)


def _room_times(hand: Hand, document: Part) -> None:
    for path in ("sheets.in_room_since", "sheets.room_at_temperature_since", "adhesive.in_room_since"):
        hand.put(document, path, hand.before_start(DAY))
    begun = hand.start - timedelta(days=20)
    hand.put(document, "joint_finishing.begun", hand.when(begun))
    before = hand.pick(((3 * DAY,), (2 * DAY, 2 * DAY - MINUTE, 2 * DAY + MINUTE)))
    hand.put(document, "joint_finishing.warm_since", hand.stamp(begun - timedelta(seconds=before)))
    hand.put(document, "adhesive.best_before", hand.day(hand.start, 200, -1, 0, 1))


def _instruments(hand: Hand) -> list[Part]:
    offers: dict[str, dict[str, Offer]] = {
        "TH": {"temperature": (("1 °F",), ("0.5 °C", "0.9 °F")), "humidity": (("3 %RH",), ("2 %RH",))},
        "MM": {"moisture_gypsum": (("0.2 gypsum",), ("0.1 gypsum",)), "moisture_mc": (("0.6 %MC",), ("1 %MC",))},
        "IR": {"temperature": (("1 °F",), ("0.5 °C",))},
        "PH": {"alkalinity": (("0.3 pH",), ("0.5 pH",))},
    }
    instruments = []
    for name, spreads in offers.items():
        one: Part = {"name": name}
        hand.put(one, "calibration_due", hand.day(hand.walk, 200, -1, 0, 1, -30))
        for kind, offer in spreads.items():
            hand.answer(one, f"uncertainty.{kind}", offer)
        instruments.append(one)
    return instruments


def _air(hand: Hand, entry: Part) -> None:
    hand.put(entry, "instrument", "TH")
    hand.answer(entry, "temperature", AIR)
    hand.answer(entry, "humidity", DAMP)


def _lots(hand: Hand, document: Part) -> None:
    sheets = [{"lot": f"S{n}"} for n in range(hand.chance.randint(1, 2))]
    for lot in sheets:
        hand.put(lot, "count", str(hand.pick(((60,), (2, 4, 5, 6, 7, 8, 9, 10, 12)))))
    pails: list[Part] = [{"lot": "A1"}]
    hand.put(
        pails[0],
        "quantity",
        hand.pick((("60 gal",), ("2.56 gal", "2.5 gal", "5.12 gal", "5 gal", "10 L", "7.68 gal"))),
    )
    for name, entries in (("sheet_lots", sheets), ("adhesive_lots", pails)):
        document[name] = [] if hand.chance.random() < hand.edgy / 8 else entries
        hand.count(document, f"{name}_here", len(document[name]))


def _loggers(hand: Hand, document: Part, files: dict[str, str], seed: int | None) -> None:
    if seed is None:
        hand.put(document, "climate_logs_kept", hand.pick((("0",), ("1", "2"))))
        return
    log, text = make_log(hand.chance, hand.start, hand.edgy)
    files[f"{seed}.csv"] = text
    due = hand.day(hand.start, 200, -1, 0, -2)
    logger: Part = {"name": "LG"}
    hand.put(logger, "calibration_due", due)
    hand.answer(logger, "uncertainty.temperature", (("1 °F",), ("0.5 °C", "0.9 °F")))
    hand.answer(logger, "uncertainty.humidity", (("3 %RH",), ("2 %RH",)))
    document["instruments"].append(logger)
    entry: Part = {"file": f"{seed}.csv", "clock": log.clock}
    for name, value in (("place", "on the sheets"), ("instrument", "LG"), ("every", log.every)):
        hand.put(entry, name, value)
    for name, moment in (("began", log.began), ("ended", log.ended)):
        hand.put(entry, name, hand.stamp(moment, plain=hand.chance.random() < 0.9))
    document["climate_log"] = [entry]
    hand.count(document, "climate_logs_kept", 1)


def settled(document: Part) -> Part:
    """Without answers to what is not asked: a survey that contradicts itself so is refused, and judged by nobody."""
    for part in (document, *document["walls"]):
        for path, lead in _LEADS.items():
            if _at(part, lead) is False:
                _drop(part, path)
        if _at(part, "primer.kind") == "none":
            part["primer"] = {"kind": "none"}
    return document


def _at(part: Part, path: str) -> object:
    here: Any = part
    for step in path.split("."):
        here = here.get(step) if isinstance(here, dict) else None
    return here


def _drop(part: Part, path: str) -> None:
    *groups, name = path.split(".")
    holder = _at(part, ".".join(groups)) if groups else part
    if isinstance(holder, dict):
        holder.pop(name, None)
