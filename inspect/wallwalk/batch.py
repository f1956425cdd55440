"""Many surveys by one rule: each is read, judged and told by itself, and what is wrong with one is no other's fault."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from wallwalk.checking import check, check_briefly, load_rule_set
from wallwalk.errors import InputError, MissingPartError, on_one_line
from wallwalk.filing import canonical
from wallwalk.inputs import parse_start, read_files, rule_set_of
from wallwalk.summary import Summary, summary_of
from wallwalk.survey_files import FoundFile, refuse_other_kinds, why_no_survey
from wallwalk.survey_reader import parse_survey
from wallwalk.yamlio import read_yaml

_RULE_SETS_KEPT = 16
"""So many rule sets, each with its overlays, are kept once they are proven."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is wanted of every survey: by which rule set and overlays, for which start, in which language.

    `records`: whether the whole record is wanted too, or its line only.
    """

    rules_name: str | None = None
    overlays: tuple[Path, ...] = ()
    start: str | None = None
    language: str = "en"
    records: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """What became of one file: its `summary`, or why it was passed over, or the `faults` that keep it from a check.

    `record` is canonical JSON, empty where none is wanted.
    """

    file: str
    summary: Summary | None = None
    passed_over: str = ""
    faults: tuple[str, ...] = ()
    record: bytes = b""


class Checker:
    """Checks one file after another as is wanted; a rule set is read and proven once."""

    def __init__(self, wanted: Wanted) -> None:
        self._wanted = wanted
        self._load = lru_cache(_RULE_SETS_KEPT)(load_rule_set)

    def __call__(self, found: FoundFile) -> Row:
        """The row of one file. Whatever goes wrong with it is said there."""
        file = on_one_line(found.path)
        if found.passed_over:
            return Row(file, passed_over=found.passed_over)
        try:
            return self._checked(found)
        except InputError as error:
            return Row(file, faults=tuple(map(str, error.faults)))
        except MissingPartError as error:
            return Row(file, faults=(f"{file}: {error}",))
        except MemoryError:
            return Row(file, faults=(f"{file}: needs more memory than there is; check it alone",))
        except Exception as error:  # noqa: BLE001 - a fault of this program, met on one survey, is no fault of the others
            what = f"{type(error).__name__}: {error}"
            return Row(file, faults=(f"{file}: met a fault of this program ({what}); send the file to its makers",))

    def _checked(self, found: FoundFile) -> Row:
        wanted, path = self._wanted, found.path
        if found.fault is not None:
            raise InputError([found.fault])
        if not found.in_folder:
            refuse_other_kinds(path)
        document = read_yaml(path)
        passed_over = why_no_survey(document) if found.in_folder else ""
        if passed_over:
            return Row(on_one_line(path), passed_over=passed_over)
        survey = parse_survey(document)
        named, laid, language = wanted.rules_name, wanted.overlays, wanted.language
        rule_set = rule_set_of(survey, path.parent, named, laid, language, self._load)
        survey = read_files(survey, rule_set, path.parent)
        start = parse_start(wanted.start, survey)
        if not wanted.records:
            return Row(on_one_line(path), check_briefly(survey, rule_set, start))
        record = check(survey, rule_set, start)
        return Row(on_one_line(path), summary_of(record), record=canonical(record))
