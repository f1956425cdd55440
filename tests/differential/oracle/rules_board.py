"""Trade page 2, substrate: gypsum board and its joints."""

from __future__ import annotations

from fractions import Fraction

from .kinds import FASTENED, is_or_hides
from .papers import Answers
from .ranges import keeps_to, minus, reaches
from .room import Room
from .truth import Truth, every, only_where

_LEVEL, _LEVEL_IN_SIDE_LIGHT = (
    Fraction(4),
    Fraction(5),
)  # row "finish level 4 or better (level 5 for thin or glossy ...)"
_WARM_BEFORE = Fraction(48)  # row "at least 50 °F for 48 h before and until dry"
_COLDEST, _HOTTEST = Fraction(50), Fraction(95)  # row "at least 50 °F ... at most 95 °F under temporary heat"


def _board(wall: Answers) -> Truth:
    return wall.is_a("substrate", "gypsum board")


def gypsum_finished_to_level(room: Room, wall: Answers) -> str:
    """Row "New gypsum board taped, finished"."""
    del room
    return only_where(_board(wall), reaches(wall.count("gypsum.finish_level"), _LEVEL))


def gypsum_finished_for_side_light(room: Room, wall: Answers) -> str:
    """The best level under thin or glossy sheet in strong side light."""
    shows = every([_board(wall), room.space.yes("sheets.thin_or_glossy"), wall.yes("gypsum.side_light")])
    return only_where(shows, reaches(wall.count("gypsum.finish_level"), _LEVEL_IN_SIDE_LIGHT))


def gypsum_sanded_smooth(room: Room, wall: Answers) -> str:
    """Row "sanded smooth": veneer plaster as well."""
    del room
    return only_where(wall.is_a("substrate", "gypsum board", "veneer plaster"), wall.yes("gypsum.sanded_smooth"))


def joint_compound_dry(room: Room, wall: Answers) -> str:
    """Row "Joint compound fully dry"."""
    del room
    return only_where(_board(wall), wall.yes("gypsum.compound_dry"))


def joints_dry_by_drying_time(room: Room, wall: Answers) -> str:
    """Row "moisture meters and looks are not proof of joint dryness"."""
    del room
    dry = every([_board(wall), wall.yes("gypsum.compound_dry")])
    return only_where(dry, wall.is_a("gypsum.compound_dry_told_by", "drying time"))


def joints_finished_in_a_warm_room(room: Room, wall: Answers) -> str:
    """Row "Room during gypsum finishing"."""
    before = minus(room.space.moment("joint_finishing.begun"), room.space.moment("joint_finishing.warm_since"))
    warm = reaches(room.space.amount("joint_finishing.lowest", "temperature"), _COLDEST)
    # Joints whose last coat is older than the first one that is told of were finished in another room's air.
    under_way = minus(wall.moment("gypsum.compound_finished"), room.space.moment("joint_finishing.begun"))
    of_these = reaches(under_way, Fraction(0))
    return only_where(_board(wall), every([reaches(before, _WARM_BEFORE), warm, of_these]))


def joints_not_forced_by_heat(room: Room, wall: Answers) -> str:
    """The same row, under temporary heat."""
    forced = every([_board(wall), room.space.yes("joint_finishing.temporary_heat")])
    return only_where(forced, keeps_to(room.space.amount("joint_finishing.highest", "temperature"), _HOTTEST))


def compound_before_primer(room: Room, wall: Answers) -> str:
    """No joint compound on top of the primer."""
    del room
    before = minus(wall.moment("primer.finished"), wall.moment("gypsum.compound_finished"))
    return only_where(_board(wall), reaches(before, Fraction(0)))


def board_tight(room: Room, wall: Answers) -> str:
    """Row "Board tight, no proud or popped fasteners": plywood as well, and what is under old paint."""
    del room
    return only_where(is_or_hides(wall, *FASTENED), wall.yes("gypsum.tight"))


SPACE_HOLDS = ()
SPACE_CAUTIONS = ()
WALL_HOLDS = (
    gypsum_finished_to_level,
    gypsum_finished_for_side_light,
    gypsum_sanded_smooth,
    joint_compound_dry,
    joints_dry_by_drying_time,
    joints_finished_in_a_warm_room,
    joints_not_forced_by_heat,
    compound_before_primer,
    board_tight,
)
WALL_CAUTIONS = ()
