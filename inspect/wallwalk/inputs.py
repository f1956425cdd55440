"""What a check is made from: a survey with the files it names, the rule set it asks for, and the start."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

from wallwalk.answers import NO_ENTRIES
from wallwalk.checking import load_rule_set
from wallwalk.climate_reader import read_climate
from wallwalk.errors import Fault, InputError, quote
from wallwalk.languages import ENGLISH
from wallwalk.moments import parse_moment
from wallwalk.photo_reader import read_photos
from wallwalk.quantities import UnitError
from wallwalk.resources import DEFAULT_RULE_SET, find_named, rule_set_names
from wallwalk.rules import RuleSet
from wallwalk.survey import Survey
from wallwalk.survey_files import refuse_other_kinds
from wallwalk.survey_reader import read_survey
from wallwalk.values import Interval

LoadRuleSet = Callable[[str, tuple[Path, ...], str], RuleSet]
"""Gives the rule set of a name with overlays in a language, proven."""


def read_inputs(
    path: Path, rules_name: str | None = None, overlays: tuple[Path, ...] = (), language: str = ENGLISH
) -> tuple[Survey, RuleSet]:
    """The survey at `path` with its logs and photos, and the rule set to check it by, with every overlay over it.

    `rules_name` is the rule set to take instead of the one that the survey names; `overlays` lie over those that it
    names. Raises `InputError` with every fault found.
    """
    refuse_other_kinds(path)
    survey = read_survey(path)
    rule_set = rule_set_of(survey, path.parent, rules_name, overlays, language)
    return read_files(survey, rule_set, path.parent), rule_set


def read_files(survey: Survey, rule_set: RuleSet, folder: Path) -> Survey:
    """The survey with what its climate logs and photos say, which lie in `folder`, its own. Raises `InputError`.

    The logs are read for what the facts of `rule_set` ask of them.
    """
    return read_photos(read_climate(survey, rule_set, folder), rule_set, folder)


def rule_set_of(
    survey: Survey,
    folder: Path,
    name: str | None = None,
    overlays: tuple[Path, ...] = (),
    language: str = ENGLISH,
    load: LoadRuleSet = load_rule_set,
) -> RuleSet:
    """The rule set to check a survey in `folder` by, with the overlays that it names and then `overlays` over it."""
    return rule_set_for(survey, name, (*_named_overlays(survey, folder), *overlays), language, load)


def rule_set_for(
    survey: Survey | None,
    name: str | None,
    overlays: tuple[Path, ...] = (),
    language: str = ENGLISH,
    load: LoadRuleSet = load_rule_set,
) -> RuleSet:
    """The rule set named on the command line, else by the survey, else the one for rigid sheet; with `overlays`.

    A survey may only name a rule set that is installed: it does not bring its own judge. What its overlays change
    stands first in every report.
    """
    named = survey.answer("rules") if survey else None
    if survey is not None and named is not None and name is None and named.value.written not in rule_set_names():
        advice = f"write one of: {', '.join(rule_set_names())}; --rules takes the path of another"
        raise InputError([Fault(survey.file, named.line, "rules", f"is {quote(named.value.written)}", advice)])
    return load(name or (named.value.written if named else DEFAULT_RULE_SET), overlays, language)


def _named_overlays(survey: Survey, folder: Path) -> Iterator[Path]:
    """The overlays that the survey names, which lie beside it."""
    for entry in survey.space.rolls.get("overlays", NO_ENTRIES).entries:
        file = entry["file"]
        path = find_named(folder, file.value.written)
        if path is None:
            found = f"is {quote(file.value.written)}, which is not in the folder of the survey"
            advice = "put the file beside the survey, and write its name"
            raise InputError([Fault(survey.file, file.line, file.place, found, advice)])
        if not path.is_file():
            found = f"is {quote(file.value.written)}, which is {'a folder' if path.is_dir() else 'not there'}"
            raise InputError([Fault(survey.file, file.line, file.place, found, "write the name of an overlay's file")])
        yield path


def parse_start(start: str | None, survey: Survey | None, option: str = "--at") -> Interval | None:
    """The start given on the command line, in the survey's zone."""
    if start is None:
        return None
    try:
        return parse_moment(start, survey.zone if survey else None)
    except UnitError as error:
        raise InputError([Fault(option, 0, "", f"is {quote(start)}", error.instead)]) from error
