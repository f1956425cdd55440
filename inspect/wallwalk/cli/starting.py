"""What a command starts from: the rule set to check by, the start to check for, the rule asked about."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from wallwalk.answers import NO_ENTRIES
from wallwalk.checking import load_rule_set
from wallwalk.climate_reader import read_climate
from wallwalk.errors import Fault, InputError, quote
from wallwalk.languages import ENGLISH
from wallwalk.moments import parse_moment
from wallwalk.photo_reader import read_photos
from wallwalk.quantities import UnitError
from wallwalk.resources import DEFAULT_RULE_SET, find_beside, rule_set_names
from wallwalk.rules import Rule, RuleSet
from wallwalk.shape import closest
from wallwalk.survey import Survey
from wallwalk.survey_reader import read_survey
from wallwalk.values import Interval


def read_inputs(
    path: Path, rules_name: str | None, overlays: tuple[Path, ...] = (), language: str = ENGLISH
) -> tuple[Survey, RuleSet]:
    """The survey at `path` with its logs and photos, and the rule set to check it by, with every overlay over it."""
    survey = read_survey(path)
    rule_set = rule_set_of(survey, path, rules_name, overlays, language)
    logged = read_climate(survey, rule_set, path.parent)
    return read_photos(logged, rule_set, path.parent), rule_set


def rule_set_of(
    survey: Survey, path: Path, rules_name: str | None, overlays: tuple[Path, ...], language: str
) -> RuleSet:
    """The rule set to check the survey at `path` by, with the overlays it names and then `overlays` over it."""
    return rule_set_for(survey, rules_name, (*_named_overlays(survey, path.parent), *overlays), language)


def rule_set_for(
    survey: Survey | None, name: str | None, overlays: tuple[Path, ...] = (), language: str = ENGLISH
) -> RuleSet:
    """The rule set named on the command line, else by the survey, else the one for rigid sheet; with `overlays`.

    A survey may only name a rule set that is installed: it does not bring its own judge. What its overlays change
    stands first in every report.
    """
    named = survey.answer("rules") if survey else None
    if survey is not None and named is not None and name is None and named.value.written not in rule_set_names():
        advice = f"write one of: {', '.join(rule_set_names())}; --rules takes the path of another"
        raise InputError([Fault(survey.file, named.line, "rules", f"is {quote(named.value.written)}", advice)])
    return load_rule_set(name or (named.value.written if named else DEFAULT_RULE_SET), overlays, language)


def _named_overlays(survey: Survey, folder: Path) -> Iterator[Path]:
    """The overlays that the survey names, which lie beside it."""
    for entry in survey.space.rolls.get("overlays", NO_ENTRIES).entries:
        file = entry["file"]
        path = find_beside(folder, file.value.written)
        if path is None:
            found = f"is {quote(file.value.written)}, which is not in the folder of the survey"
            advice = "put the file beside the survey, and write its name"
            raise InputError([Fault(survey.file, file.line, file.place, found, advice)])
        if not path.is_file():
            found = f"is {quote(file.value.written)}, which is {'a folder' if path.is_dir() else 'not there'}"
            raise InputError([Fault(survey.file, file.line, file.place, found, "write the name of an overlay's file")])
        yield path


def files_read(survey: Path, rule_set: RuleSet) -> tuple[Path, ...]:
    """The survey's file and those of the overlays over its rule set, which no output may take the place of."""
    return (survey, *(Path(overlay.file) for overlay in rule_set.overlays))


def parse_start(start: str | None, survey: Survey | None, option: str = "--at") -> Interval | None:
    """The start given on the command line, in the survey's zone."""
    if start is None:
        return None
    try:
        return parse_moment(start, survey.zone if survey else None)
    except UnitError as error:
        raise InputError([Fault(option, 0, "", f"is {quote(start)}", error.instead)]) from error


def rule_called(rule_set: RuleSet, name: str) -> Rule:
    """The rule of that name, or the only one with that text in its name or title."""
    if name in rule_set.rules:
        return rule_set.rules[name]
    text = name.lower()
    found = [rule for rule in rule_set.rules.values() if text in rule.name or text in rule.title.lower()]
    if len(found) == 1:
        return found[0]
    names = [rule.name for rule in found]
    other = closest(name, rule_set.rules, "", f"see wallwalk rules show {rule_set.name}")
    advice = f"did you mean one of: {', '.join(names)}" if names else other
    raise InputError([Fault(rule_set.name, 0, "", f"has no rule {quote(name)}", advice)])


def try_rule_set(name: str, overlays: tuple[Path, ...]) -> tuple[str, bool]:
    """What to say of the examples of a rule set and of each overlay in turn, and whether all came out as they say."""
    from wallwalk.overlay_reader import read_overlay
    from wallwalk.overlaying import put_over
    from wallwalk.report.trials import render_failures, render_success
    from wallwalk.rule_reader import read_rule_set
    from wallwalk.trials import failures_of, overlay_failures

    rule_set, read = read_rule_set(name), []
    failures, of = failures_of(rule_set), rule_set.name
    for path in overlays if not failures else ():
        overlay = read_overlay(path, rule_set)
        laid, of = put_over(rule_set, overlay), overlay.title
        failures = overlay_failures(rule_set, laid, overlay)
        if failures:
            break
        rule_set = laid
        read.append(overlay)
    return (render_failures(of, failures), False) if failures else (render_success(rule_set, read), True)
