"""One survey judged twice, by the program and by the oracle, and where the two disagree."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import NamedTuple

from differential.oracle.judgement import Findings, Judgement, judge
from differential.oracle.logbook import read_logs
from differential.oracle.room import Room
from differential.survey_maker import Made
from surveys import rigid_sheet, survey_of
from wallwalk.judging import judge as judge_by_program
from wallwalk.judging import verdict_of
from wallwalk.survey import Survey
from wallwalk.timing import earliest_start


class Disagreement(NamedTuple):
    """What differs: a finding by rule and subject, the verdict or the start; what each of the two says."""

    what: str
    program: str
    oracle: str


class Twice(NamedTuple):
    """Both judgements, everything in which they part, and how often the program left open what the oracle did not."""

    program: Judgement
    oracle: Judgement
    apart: list[Disagreement]
    said_less: int


def judged_twice(made: Made, folder: Path) -> Twice:
    """A survey judged by both, with its logger files in `folder`."""
    for name, text in made.files.items():
        (folder / name).write_text(text, encoding="utf-8")
    program = by_program(survey_of(made.document, folder))
    room = Room(made.document)
    oracle = judge(made.document, read_logs(room.space, room.zone, folder))
    less = sum(
        says_less(program, oracle, key) and oracle.findings[key] != program.findings[key] for key in oracle.findings
    )
    return Twice(program, oracle, disagreements(program, oracle), less)


def by_program(survey: Survey) -> Judgement:
    """The program's own judgement, in the oracle's words."""
    findings = judge_by_program(rigid_sheet(), survey)
    told: Findings = {(f.rule.name, f.subject.name): f.outcome.value for f in findings}
    at = earliest_start(rigid_sheet(), survey, findings).at
    return Judgement(verdict_of(findings).value, told, None if at is None else Fraction(at) / 3600)


def disagreements(program: Judgement, oracle: Judgement) -> list[Disagreement]:
    """Everything of the two that differs."""
    found = [
        Disagreement(
            f"{rule} of {subject}",
            program.findings.get((rule, subject), "-"),
            oracle.findings.get((rule, subject), "-"),
        )
        for rule, subject in sorted({*program.findings, *oracle.findings})
        if program.findings.get((rule, subject)) != oracle.findings.get((rule, subject))
        and not says_less(program, oracle, (rule, subject))
    ]
    if program.verdict != oracle.verdict and not any(says_less(program, oracle, key) for key in oracle.findings):
        found.append(Disagreement("verdict", program.verdict, oracle.verdict))
    if program.earliest != oracle.earliest:
        found.append(Disagreement("earliest start", str(program.earliest), str(oracle.earliest)))
    return found


def says_less(program: Judgement, oracle: Judgement, key: tuple[str, str]) -> bool:
    """Whether the program leaves open what the oracle could cut out more cleverly."""
    return key in oracle.rough and program.findings.get(key) == "not verified"
