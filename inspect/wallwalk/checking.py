"""The main job as one call: a survey and a rule set in, a record out."""

from __future__ import annotations

from wallwalk.errors import InputError
from wallwalk.judging import judge
from wallwalk.proving import proof_faults
from wallwalk.record import Record, build_record
from wallwalk.rule_reader import read_rule_set
from wallwalk.rules import RuleSet
from wallwalk.survey import Survey
from wallwalk.values import Interval


def load_rule_set(name: str) -> RuleSet:
    """Read a rule set and let it prove itself. Raises `InputError` with every fault found."""
    rule_set = read_rule_set(name)
    faults = proof_faults(rule_set)
    if faults:
        raise InputError(faults)
    return rule_set


def check(survey: Survey, rule_set: RuleSet, start: Interval | None = None) -> Record:
    """Judge `survey` by `rule_set`, for its planned start or for `start` where one is given."""
    judged = survey if start is None else survey.starting(start)
    return build_record(rule_set, judged, judge(rule_set, judged), "survey" if start is None else "command line")
