"""Trade page 4, primer and sealer."""

from __future__ import annotations

from fractions import Fraction

from .kinds import is_porous, primer_matters
from .moist_air import dew_point
from .papers import Answers
from .ranges import SOME, keeps_to, minus, over, reaches, times
from .room import Room
from .rules_damp import area
from .truth import every, no, only_where

_DWELL = Fraction(24)  # row "Primer dwell before adhesive: at least 24 h"
_OVER_DEW = Fraction(27, 5)  # row "at least 3 °C (5.4 °F) above"
_NOTHING = Fraction(0)


def porous_wall_sealed(room: Room, wall: Answers) -> str:
    """Row "Every porous substrate sealed"."""
    del room
    return only_where(is_porous(wall), no(wall.is_a("primer.kind", "none")))


def primer_is_water_based(room: Room, wall: Answers) -> str:
    """Row "with the water-based primer the adhesive calls for"."""
    del room
    return only_where(primer_matters(wall), wall.is_a("primer.kind", "water-based acrylic"))


def primer_covers_whole_wall(room: Room, wall: Answers) -> str:
    """Row "whole area"."""
    del room
    return only_where(primer_matters(wall), wall.yes("primer.whole_area"))


def primer_has_dwelled(room: Room, wall: Answers) -> str:
    """Row "Primer dwell before adhesive"."""
    return only_where(primer_matters(wall), room.waited(wall.moment("primer.finished"), _DWELL))


def patch_primer_has_dwelled(room: Room, wall: Answers) -> str:
    """The same row, of patches that alone were primed."""
    patches = every([wall.yes("patched"), wall.yes("patches_primed"), wall.is_a("primer.kind", "none")])
    return only_where(patches, room.waited(wall.moment("patches_primed_at"), _DWELL))


def primer_dry_to_touch(room: Room, wall: Answers) -> str:
    """Row "dry to touch"."""
    del room
    return only_where(primer_matters(wall), wall.yes("primer.dry_to_touch"))


def primer_clean_since(room: Room, wall: Answers) -> str:
    """Row "not contaminated since"."""
    del room
    return only_where(primer_matters(wall), wall.yes("primer.clean_since"))


def long_standing_primer_wiped(room: Room, wall: Answers) -> str:
    """Row "long-standing primer wiped again"."""
    del room
    return only_where(every([primer_matters(wall), wall.yes("primer.long_standing")]), wall.yes("primer.wiped_again"))


def primer_and_adhesive_one_family(room: Room, wall: Answers) -> str:
    """Row "Primer and adhesive of one family"."""
    del room
    return only_where(primer_matters(wall), wall.yes("primer.same_family_as_adhesive"))


def primer_in_date(room: Room, wall: Answers) -> str:
    """Row "in date, never frozen": on the day it went on."""
    del room
    left = minus(wall.day_over("primer.best_before"), wall.moment("primer.finished"))
    return only_where(primer_matters(wall), every([reaches(left, _NOTHING), wall.no("primer.ever_frozen")]))


def primer_spread_sensible(room: Room, wall: Answers) -> str:
    """Row "area × coats ÷ quantity within the label's spread range"."""
    del room
    spread = over(times(area(wall), wall.count("primer.coats")), wall.amount("primer.quantity", "volume", SOME))
    low, high = (wall.amount(f"primer.label_spread_{end}", "spread", SOME) for end in ("low", "high"))
    sensible = every([reaches(over(spread, low), Fraction(1)), keeps_to(over(spread, high), Fraction(1))])
    return only_where(primer_matters(wall), sensible)


def primed_in_its_range(room: Room, wall: Answers) -> str:
    """Row "Primer applied with air and surface in its own range"."""
    del room
    low, high = (wall.amount(f"primer.label_temperature_{end}", "temperature") for end in ("low", "high"))
    read = [wall.amount(f"primer.{what}_temperature", "temperature") for what in ("air", "surface")]
    within = [reaches(minus(one, low), _NOTHING) for one in read] + [
        reaches(minus(high, one), _NOTHING) for one in read
    ]
    return only_where(primer_matters(wall), every(within))


def primed_above_dew_point(room: Room, wall: Answers) -> str:
    """Row "surface above the dew point"."""
    del room
    air, face = (wall.amount(f"primer.{what}_temperature", "temperature") for what in ("air", "surface"))
    dew = dew_point(air, wall.amount("primer.air_humidity", "humidity"))
    return only_where(primer_matters(wall), reaches(minus(face, dew), _OVER_DEW))


SPACE_HOLDS = ()
SPACE_CAUTIONS = ()
WALL_HOLDS = (
    porous_wall_sealed,
    primer_is_water_based,
    primer_covers_whole_wall,
    primer_has_dwelled,
    patch_primer_has_dwelled,
    primer_dry_to_touch,
    primer_clean_since,
    long_standing_primer_wiped,
    primer_and_adhesive_one_family,
    primer_in_date,
    primed_in_its_range,
    primed_above_dew_point,
)
WALL_CAUTIONS = (primer_spread_sensible,)
