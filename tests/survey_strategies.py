"""Random surveys drawn from the survey schema itself, and ways of knowing less of a survey."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from fractions import Fraction
from random import Random
from typing import Any

from hypothesis import strategies as st

from wallwalk.quantities import UnitError, parse_quantity
from wallwalk.questions import survey_questions
from wallwalk.units import BASE, KINDS, show_number
from wallwalk.values import Interval

Data = Any
Place = tuple[str | int, ...]

_SET_APART = {"rules", "overlays", "walls", "time_zone", "instruments", "climate_log", "climate_logs_kept", "photos"}

# Values on, just beside and far from the limits of the rigid sheet rules, in more than one unit.
_TEXTS: dict[str, tuple[str, ...]] = {
    "temperature": (
        "60 °F", "59.9 °F", "80 °F", "80.1 °F", "70 °F", "21 °C", "15.5 °C", "60.4 ± 2 °F", "26 to 27 °C",
    ),
    "humidity": ("30 %RH", "29 %RH", "60 %RH", "61 %RH", "45 ± 3 %RH"),
    "length": (
        "1/16 in", "3/64 in", "1/8 in", "9/64 in", "1/4 in", "17/64 in", "2 mm", "12 ft 6 in", "3 ± 0.5 mm", "8 ft",
    ),
    "volume": ("1 gal", "3 L", "1.2 to 1.4 gal"),
    "spread": ("250 ft²/gal", "350 ft²/gal", "7.4 m²/L"),
    "area": ("32 ft²", "3 m²", "30 to 40 ft²"),
    "work rate": ("60 ft²/h", "6 m²/h"),
    "duration": ("30 min", "1 h", "30 to 45 min"),
    "illuminance": ("5 fc", "4.9 fc", "300 lx"),
    "moisture": ("1 gypsum", "1.1 gypsum", "0.5 ± 0.2 gypsum", "12 %MC", "12.1 %MC", "9 ± 4 %MC", "14 %WME"),
    "alkalinity": ("8.5 pH", "9 ± 0.5 pH", "13 pH"),
    "adhesion": ("4B", "3B", "5B", "1 ISO", "3B to 4B"),
    "moment": (
        "2026-03-07 12:00", "2026-03-08", "2026-03-08 12:00", "2026-03-09 07:59", "2026-03-09 08:00",
        "2026-03-09 16:00", "2026-03-09", "2026-03-10 07:00", "2026-03-10 08:00", "2026-02-10 08:00", "2026-02-10",
        "2026-03-09T14:00:00Z",
    ),
    "last day": ("2026-03-08", "2026-03-09", "2026-12-31"),
    "year": ("1951", "1977", "1978", "1980", "1981", "2020"),
    "text": ("A", "B", "meter 1", "meter 2"),
    "count": ("1", "2", "3", "4"),
    "level": ("2", "3", "4", "5", "2 to 3"),
}  # fmt: skip

_UNCERTAINTIES: dict[str, tuple[str, ...]] = {
    "temperature": ("0.5 °F", "1 °C", "0.1 °C"),
    "humidity": ("1 %RH", "3 %RH"),
    "moisture_gypsum": ("0.1 gypsum", "0.2 gypsum"),
    "moisture_mc": ("0.5 %MC",),
    "moisture_wme": ("1 %WME",),
    "alkalinity": ("0.5 pH",),
}


def random_survey(seed: int, walls: int = 3, answered: float = 0.85) -> Data:
    """The data of a survey made from `seed`: up to `walls` walls, each question answered with about that chance."""
    chance = Random(seed)  # noqa: S311 - test data, not a secret
    properties = survey_questions().schema["properties"]
    data = _consistent(_group(chance, {k: v for k, v in properties.items() if k not in _SET_APART}, answered), "space")
    data["time_zone"] = chance.choice(["America/New_York", "Europe/Madrid", "America/Phoenix"])
    data["instruments"] = [_instrument(chance, name, answered) for name in ("meter 1", "meter 2")]
    if (kept := chance.choice(("0", "1", None))) is not None:  # a log that was kept, and not written down
        data["climate_logs_kept"] = kept
    wall = properties["walls"]["items"]["properties"]
    count = chance.randint(1, walls)
    data["walls"] = [_consistent({**_group(chance, wall, answered), "name": f"W{i}"}, "wall") for i in range(count)]
    data["walls_in_scope"] = str(count)
    return data


def surveys(walls: int = 3) -> st.SearchStrategy[Data]:
    """Random surveys, of any share of answers; a seed stands for each, so that thousands are cheap to make."""
    shares = st.sampled_from([0.6, 0.85, 0.97])
    return st.builds(random_survey, st.integers(0, 2**32 - 1), st.just(walls), shares)


def _group(chance: Random, properties: Data, answered: float) -> Data:
    group: dict[str, Any] = {}
    counts = {part.get("counted_by") for part in properties.values()}
    for name, part in properties.items():
        if name in counts or chance.random() > answered:
            continue
        if part["type"] == "object":
            group[name] = _group(chance, part["properties"], answered)
        elif part["type"] == "array":
            entries = [_group(chance, part["items"]["properties"], 0.95) for _ in range(chance.randint(0, 3))]
            group[name] = entries
            if "counted_by" in part:
                group[part["counted_by"]] = str(len(entries))
        else:
            group[name] = _answer(chance, part)
    return group


def _instrument(chance: Random, name: str, answered: float) -> Data:
    known = {kind: chance.choice(texts) for kind, texts in _UNCERTAINTIES.items() if chance.random() <= answered}
    instrument: dict[str, Any] = {"name": name, "uncertainty": known}
    if chance.random() <= answered:
        instrument["calibration_due"] = chance.choice(_TEXTS["last day"])
    return instrument


def _consistent(subject: Data, about: str) -> Data:
    """The subject without answers that contradict the one they follow from; a survey with such is refused."""
    for (asked_of, path), question in survey_questions().questions.items():
        if asked_of == about and question.follows and _at(subject, question.follows) in (False, "none"):
            *groups, name = path.split(".")
            _at(subject, ".".join(groups)).pop(name, None)
    return subject


def _at(wall: Data, path: str) -> Data:
    for key in path.split(".") if path else ():
        wall = wall.get(key, {})
    return wall if not isinstance(wall, dict) or wall else {}


def _answer(chance: Random, part: Data) -> str | bool:
    kind = part["kind"]
    if kind == "truth":
        return chance.random() < 0.5
    return str(chance.choice(part.get("enum") or _TEXTS[kind]))


def places(node: Data, path: Place = ()) -> Iterator[Place]:
    """Every place in the data: groups, list entries and answers."""
    children = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, child in children:
        yield (*path, key)
        yield from places(child, (*path, key))


def _parent(data: Data, place: Place) -> Data:
    for key in place[:-1]:
        data = data[key]
    return data


def without(data: Data, place: Place) -> Data:
    """The data with what stands at `place` taken out."""
    less = copy.deepcopy(data)
    del _parent(less, place)[place[-1]]
    return less


def unsaid(data: Data, place: Place) -> Data:
    """The data with the answer at `place` given as unknown."""
    less = copy.deepcopy(data)
    if not isinstance(_parent(less, place)[place[-1]], (dict, list)):
        _parent(less, place)[place[-1]] = "unknown"
    return less


def wider(data: Data, place: Place) -> Data:
    """The data with the quantity or moment at `place` known less well; other answers are left as they are."""
    less = copy.deepcopy(data)
    parent = _parent(less, place)
    text = parent[place[-1]]
    if isinstance(text, str) and place[-1] not in {"name", "walls_in_scope", "coats", "year_built"}:
        parent[place[-1]] = _widened(text, place)
    return less


def kinds_at(place: Place) -> tuple[str, ...]:
    """The kinds of quantity that may stand at `place`, but for plain numbers: an uncertainty is a difference."""
    if place[-2:-1] == ("uncertainty",):
        return ("temperature difference", "humidity", "moisture", "alkalinity")
    return ("temperature", "length", "humidity", "moisture", "volume", "spread", "duration", "alkalinity")


def _widened(text: str, place: Place) -> str:
    if len(text) == 16 and text[4] == text[7] == "-":  # a local moment, of which only the day is left
        return text[:10]
    for kind in kinds_at(place):
        try:
            value = parse_quantity(text, kind)
        except UnitError:
            continue
        return _span(value)
    return text


def _span(value: Interval) -> str:
    natural = KINDS[value.kind]
    room = max(abs(Fraction(value.high)) / 20, Fraction(1, 1000))
    low, high = max(value.low - room, natural.low), min(value.high + room, natural.high)
    return f"{show_number(low, 9)} to {show_number(high, 9)} {BASE[value.kind]}"


LESS: tuple[Callable[[Data, Place], Data], ...] = (without, unsaid, wider)


def may_be_lost(place: Place) -> bool:
    """Entries' names tell them apart, the zone places local times; a survey without these is refused, not judged.

    So is one with a photo and no file.
    Without the name of its rule set it is another question, and not less of an answer.
    """
    names_an_entry = place[-1] == "name" and len(place) > 1 and isinstance(place[-2], int)
    names_a_photo = place[0] == "photos" and place[-1] == "file"
    return not names_an_entry and not names_a_photo and place not in {("time_zone",), ("rules",)}
