"""Scenarios: a base room with a few answers changed, and everything its record is expected to say.

A scenario names its base room (`from`), then changes it:

- `walls: [Bay 1, Bay 2]` (may be left out): the room's walls. Each is a copy of the base's first wall, with another
  name; `walls_in_scope` is their number.
- `changes:` a mapping of paths to new values, in the order written. A path is keys joined by points; behind a list
  stands the entry meant: `walls[North]` by its name, `air[0]` by its place, `walls[*]` all of them.
  An empty value takes the answer or the entry out; a whole list may be given. Every change has to change something.

`expect.findings` gives the outcome of each rule, one word for all its subjects or a mapping of subjects. What is not
named is a plain pass. Only what does not apply is taken over from the base's own expectation.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from surveys import ROOT, survey_of
from wallwalk.survey import Survey
from wallwalk.yamlio import Node, read_yaml

FOLDER = ROOT / "tests" / "scenarios"
BASES = FOLDER / "base"
NOT_ASKED = "does not apply"

_PATH = re.compile(r"[a-z_]+(?:\[[^\]]+\]|\.[a-z_]+)*")
_STEP = re.compile(r"\[[^\]]+\]|[a-z_]+")

Outcomes = Mapping[tuple[str, str], str]
"""The outcome of every rule for every subject: by the names of both."""


@dataclass(frozen=True)
class Scenario:
    """One room: its survey as plain data, and what its record is expected to say.

    `not_asked`: what its base says does not apply, by rule.
    """

    name: str
    about: str
    base: str
    data: Node
    expect: Mapping[str, Any]
    not_asked: Mapping[str, str]

    def survey(self) -> Survey:
        """The survey, with its climate logs, which lie beside the scenario."""
        return survey_of(self.data, FOLDER)

    def findings(self, rules: Mapping[str, str], subjects: Mapping[str, tuple[str, ...]]) -> Outcomes:
        """The outcome expected of each of `rules` (with what each is about) for each of its `subjects`.

        Raises `ValueError` where a rule or a subject is expected that is not there.
        """
        self._refuse("no such rule", {*self.expect["findings"], *self.not_asked} - set(rules))
        return {
            (rule, subject): outcome
            for rule, about in rules.items()
            for subject, outcome in self._of_rule(rule, subjects[about]).items()
        }

    def _of_rule(self, rule: str, subjects: tuple[str, ...]) -> Mapping[str, str]:
        otherwise = dict.fromkeys(subjects, self.not_asked.get(rule, "pass"))
        said = self.expect["findings"].get(rule, otherwise)
        by_subject = said if isinstance(said, dict) else dict.fromkeys(subjects, said)
        self._refuse(f"{rule}: no such subject", set(by_subject) - set(subjects))
        return {**otherwise, **by_subject}

    def _refuse(self, what: str, names: set[str]) -> None:
        if names:
            raise ValueError(f"{self.name}: {what}: {sorted(names)}")


def base_names() -> list[str]:
    """The names of the base rooms."""
    return sorted(p.stem for p in BASES.glob("*.yaml") if not p.stem.endswith(".expect"))


def scenario_names() -> list[str]:
    """The names of the scenarios."""
    return sorted(p.stem for p in FOLDER.glob("*.yaml"))


def read_base(name: str) -> Scenario:
    """A base room, as it stands."""
    expect = _read(BASES / f"{name}.expect.yaml")
    return Scenario(name, f"The base room {name}.", name, _read(BASES / f"{name}.yaml"), expect, {})


def read_scenario(name: str) -> Scenario:
    """One scenario, its changes made. Raises `ValueError` where it has a part that nobody reads."""
    written = _read(FOLDER / f"{name}.yaml")
    if unread := set(written) - {"about", "from", "walls", "changes", "expect"}:
        raise ValueError(f"{name}: nobody reads {sorted(unread)}")
    base = read_base(written["from"])
    data: Any = copy.deepcopy(base.data)
    if "walls" in written:
        data["walls"] = [{**copy.deepcopy(data["walls"][0]), "name": wall} for wall in written["walls"]]
        data["walls_in_scope"] = str(len(written["walls"]))
    for path, value in written["changes"].items():
        change(data, path, value)
    not_asked = {rule: said for rule, said in base.expect["findings"].items() if said == NOT_ASKED}
    return Scenario(name, written["about"], base.name, data, written["expect"], not_asked)


def change(data: Any, path: str, value: object) -> None:  # noqa: ANN401 - a document's data
    """Put `value` at `path`. Raises `ValueError` where nothing is there to be changed, or nothing would change."""
    if not _PATH.fullmatch(path):
        raise ValueError(f"{path}: is no path")
    before = copy.deepcopy(data)
    for holder, key in list(_places(data, _STEP.findall(path), path)):
        if value is not None:
            holder[key] = copy.deepcopy(value)
        elif isinstance(key, str) and key not in holder:
            raise ValueError(f"{path}: is not there to be taken out")
        else:
            del holder[key]
    if data == before:
        raise ValueError(f"{path}: changes nothing")


def _places(holder: Any, steps: list[str], path: str) -> Iterator[tuple[Any, str | int]]:  # noqa: ANN401
    """Each mapping or list that a path ends in, with the key or the place in it."""
    step, *further = steps
    for key in _keys(holder, step, path):
        if not further:
            yield holder, key
            continue
        if isinstance(key, str):
            holder.setdefault(key, {})
        yield from _places(holder[key], further, path)


def _keys(holder: Any, step: str, path: str) -> list[str] | list[int]:  # noqa: ANN401
    """The key of a mapping, or the places in a list, that one step of a path means."""
    if not step.startswith("["):
        return [step]
    entry = step[1:-1]
    found = [i for i, part in enumerate(holder) if entry in {"*", str(i), part.get("name")}]
    if not found:
        raise ValueError(f"{path}: there is no {step}")
    return found


def _read(path: Path) -> Any:  # noqa: ANN401 - a document's data
    return read_yaml(path, path.name).data
