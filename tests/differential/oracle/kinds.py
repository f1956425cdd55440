"""What a wall is made of, as far as rules of several sections ask for it (trade page 2 and 4)."""

from __future__ import annotations

from .papers import Answers
from .truth import Truth, any_one, every, no

POROUS = ("gypsum board", "veneer plaster", "plaster", "concrete", "concrete masonry", "plywood")
"""Trade page 4: "every porous substrate (gypsum board, plaster, concrete, masonry, bare plywood)"."""
IN_PERCENT = ("veneer plaster", "plaster", "concrete", "concrete masonry", "plywood")
"""Trade page 2: "concrete, masonry, plaster and wood by meter, %MC"."""
CAST = ("concrete", "concrete masonry")
TIGHT = ("metal", "tile")


FASTENED = ("gypsum board", "veneer plaster", "plywood")
"""What is screwed or nailed up: trade page 2, "Board tight, no proud or popped fasteners"."""


def read_with_a_meter(wall: Answers) -> Truth:
    """All that takes up water, under paint too; metal and tile do not, but for the fresh mortar that tile lies on."""
    under_paint = every([wall.is_a("substrate", "painted wall"), no(wall.is_a("under_paint", *TIGHT))])
    return any_one([wall.is_a("substrate", *POROUS), under_paint, on_fresh_mortar(wall)])


def on_fresh_mortar(wall: Answers) -> Truth:
    """Tile whose mortar is young still holds water."""
    return every([wall.is_a("substrate", "tile"), wall.yes("fresh_cement_work")])


def is_or_hides(wall: Answers, *kinds: str) -> Truth:
    """The wall is one of these, or one of these is under its paint."""
    hidden = every([wall.is_a("substrate", "painted wall"), wall.is_a("under_paint", *kinds)])
    return any_one([wall.is_a("substrate", *kinds), hidden])


def is_porous(wall: Answers) -> Truth:
    """Whether the wall drinks."""
    return wall.is_a("substrate", *POROUS)


def has_primer(wall: Answers) -> Truth:
    """Whether any primer went on for this work."""
    return no(wall.is_a("primer.kind", "none"))


def primer_matters(wall: Answers) -> Truth:
    """A porous wall needs primer, and primer on any other wall has to be right as well."""
    return any_one([is_porous(wall), has_primer(wall)])


def has_paint(wall: Answers) -> Truth:
    """There is paint on it, or paint is what it is called by."""
    return any_one([wall.yes("coatings.painted"), wall.is_a("substrate", "painted wall")])
