"""What a sentence shows beside what it compares: each is the answer it names, read off the base room by hand."""

from __future__ import annotations

import pytest

from scenario_reader import read_base
from surveys import rigid_sheet
from wallwalk.facts import Facts
from wallwalk.wording import show_value

SHOWN = {
    "walk_began": "Tue 14 Apr 2026 14:00",
    "sheets_in_from": "Fri 10 Apr 2026 09:00",
    "adhesive_in_from": "Mon 13 Apr 2026 08:00",
    "room_warm_from": "Mon 23 Mar 2026 07:00",
    "primer_finished_at": "Mon 13 Apr 2026 16:00",
    "primer_on_at": "Mon 13 Apr 2026 16:00",
    "compound_finished_at": "Thu 2 Apr 2026 15:00",
    "air_read_first_at": "Tue 14 Apr 2026 14:05",
    "air_read_last_at": "Tue 14 Apr 2026 14:20",
    "moisture_read_first_at": "Tue 14 Apr 2026 14:08",
    "moisture_read_last_at": "Tue 14 Apr 2026 14:09",
    "surface_read_first_at": "Tue 14 Apr 2026 14:11",
    "surface_read_last_at": "Tue 14 Apr 2026 14:12",
    "primer_air": "70 °F",
    "primer_surface": "67 °F",
    "primer_label_low": "50 °F",
    "primer_label_high": "90 °F",
    "primer_family": "Nessuval",
    "adhesive_family": "Nessuval",
    "adhesive_good_until": "Fri 1 Jan 2027 00:00",  # the end of its last day, 31 December
    "sheet_length": "10 ft",
    "wall_height": "8 ft",
    "longest_sheet": "95.75 in",
    "open_time": "45 min",
    "spread_at_once": "32 ft²",
}
"""By fact, as a report shows it of the North wall of the gypsum room."""


@pytest.mark.parametrize("name", SHOWN)
def test_what_is_only_shown_is_the_answer_it_names(name: str) -> None:
    """A sentence names the right moment, product or size, though no rule compares it."""
    rule_set, survey = rigid_sheet(), read_base("gypsum-room").survey()
    fact = Facts(rule_set, survey, survey.subjects("wall")[0])[name]
    assert show_value(fact.value, zone=survey.zone) == SHOWN[name]
