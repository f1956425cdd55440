"""The table of attacks: what is given, through what, into what, where it is stopped, and what is seen then."""

from __future__ import annotations

from attacks_by_bytes import BYTES
from attacks_by_filings import FILINGS
from attacks_by_markup import MARKUP
from attacks_by_signs import SIGNS
from attacks_on_files import FILES
from attacks_on_time import TIME
from attacks_on_verdict import VERDICT

ATTACKS = (*MARKUP, *SIGNS, *FILES, *BYTES, *FILINGS, *TIME, *VERDICT)
"""Every attack, in the order of the table."""
