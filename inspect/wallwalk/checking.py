"""The main job as one call: a survey and a rule set in, a record out.

What only some calls need, reading and proving a rule set afresh, overlays, plans, is loaded where it is used.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from wallwalk.answers import NO_ENTRIES
from wallwalk.errors import Fault, InputError, quote
from wallwalk.judging import judge
from wallwalk.keeping import kept
from wallwalk.languages import ENGLISH
from wallwalk.record import Record, build_record, file_name
from wallwalk.resources import data_folder, rule_set_folder
from wallwalk.rules import GUARDED, RuleSet
from wallwalk.summary import Summary, summarize
from wallwalk.survey import START, Survey
from wallwalk.values import Interval

_LAY = "lay it over the rule set, or take it out"


def load_rule_set(name: str, overlays: Iterable[Path] = (), language: str = ENGLISH) -> RuleSet:
    """Read a rule set, let it prove itself, and lay each overlay over it in turn. Raises `InputError`.

    One that has proven itself is kept for the next run, as long as its files and this program stay as they are.
    """
    folder = rule_set_folder(name)
    files = [*data_folder("rules").glob("*.yaml"), *(folder.glob("*.yaml") if folder else ())]
    rule_set = kept(RuleSet, f"{folder} {language}", files, lambda: _proven(name, language))
    for path in overlays:
        from wallwalk.overlay_reader import read_overlay
        from wallwalk.overlaying import lay_over

        rule_set = lay_over(rule_set, read_overlay(path, rule_set))
    return rule_set


def _proven(name: str, language: str) -> RuleSet:
    from wallwalk.proving import proof_faults
    from wallwalk.rule_reader import read_rule_set

    rule_set = read_rule_set(name, language)
    faults = proof_faults(rule_set)
    if faults:
        raise InputError(faults)
    return rule_set


def plan(survey: Survey, rule_set: RuleSet, start: Interval | None = None) -> Record:
    """The work-back plan of `survey` for its planned start or for `start`. Raises `InputError` where there is none."""
    from wallwalk.planning import build_plan

    judged = _ready(survey, rule_set, start)
    planned = judged.answer(START)
    if planned is None or not isinstance(planned.value, Interval):
        advice = "write planned_start: and a date and time, or give one with --start"
        raise InputError([Fault(survey.file, 0, "", "has no planned start to count back from", advice)])
    return build_plan(rule_set, judged, judge(rule_set, judged), planned.value)


def check(survey: Survey, rule_set: RuleSet, start: Interval | None = None) -> Record:
    """Judge `survey` by `rule_set`, for its planned start or for `start` where one is given.

    Raises `InputError` where the survey names overlays that do not lie over `rule_set`.
    """
    judged = _ready(survey, rule_set, start)
    guarded = judge(replace(rule_set, decision=GUARDED), judged) if rule_set.decision != GUARDED else ()
    given = "survey" if start is None else "command line"
    return build_record(rule_set, judged, judge(rule_set, judged), given, guarded)


def check_briefly(survey: Survey, rule_set: RuleSet, start: Interval | None = None) -> Summary:
    """The same check where only its line is wanted: what `summary_of` says of the record of `check`."""
    judged = _ready(survey, rule_set, start)
    return summarize(rule_set, judged, judge(rule_set, judged))


def _ready(survey: Survey, rule_set: RuleSet, start: Interval | None) -> Survey:
    """The survey for the start to judge it for; without overlays that it names, another verdict would come out."""
    entries = survey.space.rolls.get("overlays", NO_ENTRIES).entries
    laid = {file_name(overlay.file) for overlay in rule_set.overlays}
    faults = [
        Fault(
            survey.file, e["file"].line, e["file"].place, f"is {quote(name)}, which is not laid over the rule set", _LAY
        )
        for e in entries
        if file_name(name := e["file"].value.written) not in laid
    ]
    if faults:
        raise InputError(faults)
    return survey if start is None else survey.starting(start)
