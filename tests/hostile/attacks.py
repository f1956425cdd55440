"""The table of attacks: what is given, through what, into what, where it is stopped, and what is seen then."""

from __future__ import annotations

from attacks_by_markup import MARKUP

ATTACKS = (*MARKUP,)
"""Every attack, in the order of the table."""
