"""Move every limit of the rules for rigid sheet by one step, up and down, and say which of it the oracle finds out.

`python tests/differential/limits_moved.py --surveys 1000` judges so many surveys by each set of rules that is a step
off, as far as its rules use that limit, and compares with the oracle. Words are taken out of lists one by one as well.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from differential.oracle.judgement import Judgement, judge
from differential.oracle.logbook import read_logs
from differential.oracle.room import Room
from differential.survey_maker import make_survey
from differential.survey_near import make_near
from surveys import rigid_sheet, survey_of
from wallwalk.judging import judge as judge_by_program
from wallwalk.limits import AnyLimit, Limit
from wallwalk.rules import Rule, RuleSet, checks
from wallwalk.survey import Survey

Case = tuple[Survey, Judgement]


def cases(count: int, folder: Path) -> list[Case]:
    """So many surveys, every other one near its limits, with what the oracle says of each."""
    found = []
    for seed in range(1, count + 1):
        made = make_near(seed) if seed % 2 else make_survey(seed)
        for name, text in made.files.items():
            (folder / name).write_text(text, encoding="utf-8")
        room = Room(made.document)
        said = judge(made.document, read_logs(room.space, room.zone, folder))
        found.append((survey_of(made.document, folder), said))
    return found


def moved(rule_set: RuleSet) -> Iterator[tuple[str, str, RuleSet]]:
    """The name of a limit, how it was moved, and the rules with that limit."""
    for name, limit in rule_set.limits.items():
        ways: list[tuple[str, AnyLimit]]
        if isinstance(limit, Limit):
            ways = [(f"{sign:+d} step", replace(limit, amount=limit.amount + sign * limit.step)) for sign in (-1, 1)]
        else:
            fewer = {word: tuple(other for other in limit.words if other != word) for word in limit.words}
            ways = [(f"without {word}", replace(limit, words=words)) for word, words in fewer.items()]
        yield from ((name, way, replace(rule_set, limits={**rule_set.limits, name: other})) for way, other in ways)


def used_by(rule_set: RuleSet, name: str) -> list[Rule]:
    """The rules that compare with a limit, or measure a fact with it."""

    def uses(rule: Rule) -> bool:
        every = [*checks(rule.applies_when), *checks(rule.require)]
        parts = [part for check in every for part in rule_set.facts[check.fact].expression.parts()]
        return any(name in check.limits for check in every) or any(name in str(part) for part in parts)

    return [rule for rule in rule_set.rules.values() if uses(rule)]


def is_found(rule_set: RuleSet, name: str, some: list[Case]) -> bool:
    """Whether any finding of these rules is another than the oracle's."""
    rules = used_by(rule_set, name)
    for survey, said in some:
        for finding in judge_by_program(rule_set, survey, rules):
            key = finding.rule.name, finding.subject.name
            if finding.outcome.value != said.findings[key] and key not in said.rough:
                return True
    return False


def main() -> int:
    """Print how many of all were found, and each that was not."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--surveys", type=int, default=1000)
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        some = cases(given.surveys, Path(folder))
        told = [(name, way, is_found(other, name, some)) for name, way, other in moved(rigid_sheet())]
    missed = [f"  not found: {name}, {way}" for name, way, found in told if not found]
    sys.stdout.write("\n".join([f"moved: {len(told)}, found out: {len(told) - len(missed)}", *missed]) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
