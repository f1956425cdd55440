"""What a rule set is, once read: limits, facts and rules, all frozen and all names resolved."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from wallwalk.languages import ENGLISH
from wallwalk.limits import AnyLimit
from wallwalk.log_measures import LOGGED
from wallwalk.measure import Kinded
from wallwalk.questions import Question, Questions
from wallwalk.trade import TradeTable
from wallwalk.values import Measured

PLACEHOLDER = re.compile(r"\{([^{}]*)\}")

HOLD_GRADE = "hold"
GUARDED, SIMPLE = "guarded", "simple"
UNKNOWN, AS_READ = "unknown", "as read"
RULE_DROPPED = "rule dropped"
"""What an override says where an overlay took a whole rule out."""
LOOSER, TIGHTER, SAME, EITHER = "looser", "tighter", "same", "either"
"""Which way a change of an overlay goes."""
LAXER = (LOOSER, EITHER)
"""The ways that let more pass, or may."""


@dataclass(frozen=True, slots=True)
class Expression:
    """A measure and what it works on: a word of `MEASURES` with operands, or `answer` with a question.

    `picked` is the word a measure picks by (a moisture scale, or what is logged); `limits` are those of `limit`.
    """

    word: str
    kinded: Kinded
    operands: tuple[Expression, ...] = ()
    picked: str = ""
    question: Question | None = None
    limits: tuple[str, ...] = ()

    @property
    def is_logged(self) -> bool:
        """Whether it is read from the climate logs."""
        return self.picked in LOGGED

    def parts(self) -> Iterator[Expression]:
        """This measure and every one inside it."""
        yield self
        for operand in self.operands:
            yield from operand.parts()


@dataclass(frozen=True, slots=True)
class FactExample:
    """Answers by question, and the log rows, that a fact is tried on; the value its author expects of them.

    A list holds one answer for each entry. `expect` is as a report would say it: `23 h`, `3 or more`, `not known`.
    """

    name: str
    given: Mapping[str, str | tuple[str, ...]]
    log: Mapping[str, str | tuple[str, ...]] | None
    expect: str
    line: int = 0


@dataclass(frozen=True, slots=True)
class FactRule:
    """A fact as a rule set declares it; `title` is how reports call it. Where it uses limits, it has examples."""

    name: str
    title: str
    about: str
    expression: Expression
    examples: tuple[FactExample, ...] = ()
    file: str = ""
    line: int = 0

    @property
    def limits(self) -> tuple[str, ...]:
        """The limits that the fact is made with."""
        return tuple(dict.fromkeys(name for part in self.expression.parts() for name in part.limits))

    @property
    def kinded(self) -> Kinded:
        """The kind of the fact, known before any survey is read."""
        return self.expression.kinded


@dataclass(frozen=True, slots=True)
class Check:
    """One comparison of one fact: with named limits, or with words written in the rule."""

    word: str
    fact: str
    limits: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Group:
    """`all_of` or `any_of` over one or more conditions."""

    word: str
    parts: tuple[Condition, ...]


Condition = Check | Group


def checks(condition: Condition | None) -> Iterator[Check]:
    """Every comparison in a condition, in the order written."""
    if isinstance(condition, Check):
        yield condition
    elif condition is not None:
        for part in condition.parts:
            yield from checks(part)


@dataclass(frozen=True, slots=True)
class Example:
    """Facts that a rule is tried on (those not named are unknown), and the outcome its author expects."""

    name: str
    facts: Mapping[str, Measured]
    expect: str
    line: int = 0


@dataclass(frozen=True, slots=True)
class Rule:
    """One truth that must hold before the first sheet goes up, and what to say and do when it does not.

    `shows` names the facts that the sentence `hold` shows without comparing them.
    """

    name: str
    theme: str
    about: str
    grade: str
    title: str
    applies_when: Condition | None
    require: Condition
    hold: str
    put_right: str
    by: str
    why: str
    basis: str
    examples: tuple[Example, ...]
    shows: tuple[str, ...]
    file: str
    line: int


@dataclass(frozen=True, slots=True)
class Material:
    """One row of what is needed and what is here; each field but the title names a fact about the space, or nothing.

    `used` says whether it is needed at all; `by_lot` counts the entries of `lots`; `offcuts` is what is left over.
    """

    title: str
    needed: str
    here: str
    used: str = ""
    lots: str = ""
    by_lot: str = ""
    offcuts: str = ""

    @property
    def facts(self) -> tuple[str, ...]:
        """The facts it names."""
        return tuple(filter(None, (self.used, self.needed, self.here, self.lots, self.by_lot, self.offcuts)))


@dataclass(frozen=True, slots=True)
class Change:
    """One dated change of a rule set."""

    date: str
    what: str
    why: str
    basis: str


@dataclass(frozen=True, slots=True)
class Override:
    """One thing an overlay changed: `what` it is, what it was and is now, and which way that goes.

    `way`: `looser` lets more pass, `tighter` less, `same` neither; `either` cannot be told from the rules alone.
    """

    what: str
    name: str
    title: str
    was: str
    now: str
    way: str
    because: str
    basis: str
    overlay: str


@dataclass(frozen=True, slots=True)
class OverlayUsed:
    """One overlay that was laid over a rule set."""

    title: str
    file: str
    revision: str
    sha256: str
    content: bytes = field(default=b"", repr=False, compare=False)


Place = tuple[str, int]
"""The file in which something is declared, and the line of it."""


@dataclass(frozen=True, slots=True)
class RuleSet:
    """A whole rule set. `sha256` is over its own files; what was laid over it is in `overlays` and `overrides`.

    `bare` is what it was before anything was laid over it, None where nothing was.
    `language` is that of its texts; `files` are its own, as they were, by name.
    `conditions`: what the trade asks for, where the rule set says so. `places`: where each name is declared.
    `decision`: `guarded` widens each reading by its instrument's uncertainty, `simple` takes it as read.
    `releases`: by role, the parties whose holds it may release; a role that is not there may release none.
    `uncalibrated`: what a reading of an instrument not known to be in calibration is, `unknown` or `as read`.
    """

    name: str
    title: str
    made_for: str
    revision: str
    decision: str
    uncalibrated: str
    parties: Mapping[str, str]
    themes: Mapping[str, str]
    changes: tuple[Change, ...]
    limits: Mapping[str, AnyLimit]
    facts: Mapping[str, FactRule]
    rules: Mapping[str, Rule]
    questions: Questions
    sha256: str
    language: str = ENGLISH
    materials: tuple[Material, ...] = ()
    releases: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    files: Mapping[str, bytes] = field(default_factory=dict, repr=False, compare=False)
    overlays: tuple[OverlayUsed, ...] = ()
    overrides: tuple[Override, ...] = ()
    conditions: TradeTable | None = None
    places: Mapping[str, Place] = field(default_factory=dict)
    bare: RuleSet | None = field(default=None, repr=False, compare=False)
