"""A room under the small sound rule set of `tests/bad`: six rules, so that a whole record can be read and compared."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from surveys import ROOT
from wallwalk.checking import check
from wallwalk.climate_reader import read_climate
from wallwalk.filing import Filing, file_record
from wallwalk.photo_reader import read_photos
from wallwalk.rule_reader import read_rule_set
from wallwalk.rules import RuleSet
from wallwalk.survey import Survey
from wallwalk.survey_reader import read_survey

FOLDER = Path(__file__).parent / "small_room"
RELEASES = {"general contractor": ("painter",), "inspector": ("painter", "installer")}


@cache
def small_rules() -> RuleSet:
    """The small rule set, in which two roles may release."""
    return replace(read_rule_set(str(ROOT / "tests" / "bad" / "rule_sets" / "sound")), releases=RELEASES)


@cache
def small_survey() -> Survey:
    """The room, read with its log and its photo."""
    survey = read_climate(read_survey(FOLDER / "room.yaml", "room.yaml"), small_rules(), FOLDER)
    return read_photos(survey, small_rules(), FOLDER)


@cache
def small_filing() -> Filing:
    """The room, checked and filed."""
    survey, rules = small_survey(), small_rules()
    return file_record(check(survey, rules), survey, rules, FOLDER)
