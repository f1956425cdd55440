"""The starts that a rule allows: each window worked by hand, over clocks, words, groups and climate logs.

The room was walked at noon; the rule set's clock from the walk to the start is good for 0 h to 24 h. Its level line is
struck, its plumb line is not, and nobody says whether the floor is protected.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from surveys import rigid_sheet, survey_from
from wallwalk.climate import Band, Climate
from wallwalk.evidence import Evidence
from wallwalk.facts import Facts
from wallwalk.judging import Finding, Outcome, judge
from wallwalk.limits import Limit
from wallwalk.measure import Kinded
from wallwalk.questions import SPACE
from wallwalk.rules import Check, Condition, Expression, Group, Rule, RuleSet
from wallwalk.spans import EVER, Spans
from wallwalk.survey import START, Survey
from wallwalk.timing import (
    ALWAYS,
    AT_ONCE,
    NEVER,
    NOT_BY_CLOCK,
    EarliestStart,
    Window,
    _elapsed_window,
    clears_at,
    clears_within,
    earliest_start,
    window_of,
)
from wallwalk.values import NO_HIGH, NO_LOW, Bound, Interval

ROOM = """
time_zone: UTC
planned_start: {start}
walk: {{at: 1970-01-02 12:00}}
layout: {{level_line: yes, plumb_line: no}}
adhesive: {{best_before: 1970-01-10}}
"""
AIR = """
air:
  - {at: 1970-01-02 14:00, temperature: 68 °F, humidity: 45 %}
  - {at: 1970-01-02 13:00, temperature: 68 °F, humidity: 45 %}
"""
H = Fraction(3600)
WALKED = 36 * H
YOUNG = Check("at_most", "walk_to_start", ("walk_to_start_max",))  # 24 h
BEFORE = Check("at_least", "walk_to_start", ("walk_to_start_min",))  # 0 h
LEVEL, PLUMB = (Check("is", fact, words=("yes",)) for fact in ("level_line", "plumb_line"))
CLEAR = Check("is", "space_clear", words=("yes",))


def room(start: str = "1970-01-02 15:00") -> Survey:
    """The room, for that start."""
    return survey_from(ROOM.format(start=start))


def rules_of(**conditions: tuple[Condition | None, Condition]) -> RuleSet:
    """The rule set with these rules alone: when each applies, and what it requires."""
    like = rigid_sheet().rules["walk-is-fresh"]
    rules: dict[str, Rule] = {
        name: replace(like, name=name, applies_when=applies, require=required, shows=())
        for name, (applies, required) in conditions.items()
    }
    return replace(rigid_sheet(), rules=rules)


def only(required: Condition, applies: Condition | None = None, survey: Survey | None = None) -> tuple[Window, Outcome]:
    """The window of one rule, and how it comes out for the planned start."""
    rules = rules_of(only=(applies, required))
    (finding,) = judge(rules, survey or room())
    return window_of(rules, finding), finding.outcome


def all_of(*parts: Condition) -> Group:
    """All of them."""
    return Group("all_of", parts)


def any_of(*parts: Condition) -> Group:
    """Any of them."""
    return Group("any_of", parts)


@pytest.mark.parametrize(
    ("required", "window"),
    [
        (YOUNG, Window(AT_ONCE, WALKED + 24 * H, by_clock=True)),
        (BEFORE, Window(WALKED, NEVER, by_clock=True)),
        (all_of(YOUNG, BEFORE), Window(WALKED, WALKED + 24 * H, by_clock=True)),
        (
            Check("between", "walk_to_start", ("walk_to_start_min", "walk_to_start_max")),
            Window(WALKED, WALKED + 24 * H, by_clock=True),
        ),
        (
            Check("at_least", "adhesive_time_left", ("adhesive_in_date_min",)),  # 0 h: good until the 10th is over
            Window(AT_ONCE, 240 * H, by_clock=True),
        ),
        (LEVEL, ALWAYS),
        (PLUMB, NOT_BY_CLOCK),
        (CLEAR, NOT_BY_CLOCK),
        (Check("stated", "walk_to_start"), ALWAYS),  # it has no side, so no start makes it true or false
        (Check("stated", "adhesive_in_room"), NOT_BY_CLOCK),
        (Check("at_least", "adhesive_in_room", ("adhesive_acclimation_min",)), NOT_BY_CLOCK),  # nobody wrote since when
        (Check("at_least", "room_warm_before_walk", ("before_walk_min",)), NOT_BY_CLOCK),  # neither end is the start
        (all_of(BEFORE, PLUMB), Window(WALKED, NEVER, by_clock=False)),
        (any_of(PLUMB, YOUNG), Window(AT_ONCE, WALKED + 24 * H, by_clock=True)),
        (any_of(BEFORE, LEVEL), ALWAYS),
        (any_of(YOUNG, LEVEL), ALWAYS),  # of those that open alike, the one that stays open longest
        (any_of(PLUMB, all_of(PLUMB, BEFORE)), NOT_BY_CLOCK),
    ],
    ids=str,
)
def test_a_requirement_allows_these_starts(required: Condition, window: Window) -> None:
    """The words of a rule as a window of starts, each worked by hand from the walk at noon."""
    assert only(required)[0] == window


@pytest.mark.parametrize(
    ("taken", "window"),
    [
        (2, Window(38 * H, NEVER, by_clock=True)),  # the later of the two readings, at 14:00
        (3, Window(38 * H, NEVER, by_clock=False)),  # one was not written down: it may be later still
        (None, Window(38 * H, NEVER, by_clock=False)),
    ],
)
def test_each_clock_of_a_list_counts_and_one_that_is_not_told_is_no_matter_of_time(
    taken: int | None, window: Window
) -> None:
    """Air read at 13:00 and at 14:00 has to be read before the start."""
    count = f"air_taken: {taken}\n" if taken else ""
    survey = survey_from(f"{ROOM.format(start='1970-01-02 15:00')}{count}{AIR}")
    required = Check("at_least", "air_read_before_start", ("read_before_start_min",))
    assert only(required, survey=survey)[0] == window
    # That the lowest is at most so much says nothing of each: as it came out for the planned start, it stays.
    assert only(Check("at_most", "air_read_before_start", ("walk_to_start_max",)), survey=survey)[0] == ALWAYS


@pytest.mark.parametrize(
    ("applies", "outcome", "window"),
    [
        (None, Outcome.PASS, Window(WALKED, NEVER, by_clock=True)),
        (LEVEL, Outcome.PASS, Window(WALKED, NEVER, by_clock=True)),
        (YOUNG, Outcome.PASS, Window(WALKED, NEVER, by_clock=True)),
        (PLUMB, Outcome.DOES_NOT_APPLY, ALWAYS),
        (CLEAR, Outcome.NOT_VERIFIED, Window(WALKED, NEVER, by_clock=False)),
    ],
    ids=["always", "it does", "by a limit", "it does not", "not known"],
)
def test_waiting_never_cures_not_knowing_whether_a_rule_applies(
    applies: Condition | None, outcome: Outcome, window: Window
) -> None:
    """The clock of such a rule runs on, and more than time is wanting; it never clears."""
    assert only(BEFORE, applies) == (window, outcome)
    rules = rules_of(only=(applies, BEFORE))
    (finding,) = judge(rules, room())
    assert clears_at(rules, room(), finding) == (window.opens if window.by_clock else NEVER)


@pytest.mark.parametrize(
    ("window", "start", "clears"),
    [
        (Window(H, 60 * H, by_clock=True), "1970-01-02 15:00", H),
        (Window(H, 39 * H, by_clock=True), "1970-01-02 15:00", H),  # 15:00 is hour 39: the last start allowed
        (Window(H, 39 * H - 1, by_clock=True), "1970-01-02 15:00", NEVER),  # it closed a second sooner
        (Window(H, 40 * H, by_clock=True), "1970-01-02", NEVER),  # that day has 48 hours behind it when it is over
        (Window(H, 48 * H, by_clock=True), "1970-01-02", H),
        (Window(H, H, by_clock=True), "unknown", H),
        (Window(H + 1, H, by_clock=True), "unknown", NEVER),
        (Window(H, NEVER, by_clock=False), "unknown", NEVER),
    ],
)
def test_a_window_clears_when_it_opens_unless_it_has_closed_by_the_planned_start(
    window: Window, start: str, clears: Bound
) -> None:
    """A start that may be too late, a window without a moment in it, or more than time wanting: it never clears."""
    assert clears_within(window, room(start)) == clears


def earliest(**conditions: tuple[Condition | None, Condition]) -> tuple[EarliestStart, tuple[Finding, ...]]:
    """The earliest start by these rules alone, and their findings for the planned start."""
    rules = rules_of(**conditions)
    findings = judge(rules, room())
    return earliest_start(rules, room(), findings), findings


def test_where_no_clock_runs_there_is_no_earliest_start() -> None:
    """A room that is right has none, and nothing lapses; one that is not right is cured by no waiting."""
    assert earliest(level=(None, LEVEL))[0] == EarliestStart(None, None, None, by_waiting=True, open_then=())
    assert earliest(plumb=(None, PLUMB))[0] == EarliestStart(None, None, None, by_waiting=False, open_then=())
    assert earliest()[0] == EarliestStart(None, None, None, by_waiting=True, open_then=())


def test_what_lapses_is_said_where_nothing_has_to_be_waited_for() -> None:
    """The walk is a day old at noon of the next day; the line that is struck lapses never."""
    found, (_, young) = earliest(level=(None, LEVEL), young=(None, YOUNG))
    assert found == EarliestStart(None, WALKED + 24 * H, young, by_waiting=True, open_then=())


def test_what_would_hold_at_the_earliest_start_is_judged_for_that_start() -> None:
    """A rule that applies within a day of the walk: for a start days later it is apart, at the earliest it is open."""
    rules = rules_of(before=(None, BEFORE), plumb=(YOUNG, PLUMB), level=(None, LEVEL))
    late = room("1970-01-05 15:00")
    findings = judge(rules, late)
    assert [f.outcome for f in findings] == [Outcome.PASS, Outcome.DOES_NOT_APPLY, Outcome.PASS]
    found = earliest_start(rules, late, findings)
    assert (found.at, found.until, found.lapses, found.by_waiting) == (WALKED, None, None, True)
    assert [(f.rule.name, f.outcome) for f in found.open_then] == [("plumb", Outcome.HOLD)]
    assert found.open_then[0].facts["walk_to_start"].value == Interval("duration", Fraction(0), Fraction(0), "h")


def test_what_holds_for_a_start_too_late_does_not_hold_at_the_earliest() -> None:
    """Days later the walk is stale, at the earliest start it is fresh; the window closes a day after the walk."""
    rules = rules_of(before=(None, BEFORE), young=(None, YOUNG))
    late = room("1970-01-05 15:00")
    findings = judge(rules, late)
    assert [f.outcome for f in findings] == [Outcome.PASS, Outcome.HOLD]
    assert earliest_start(rules, late, findings) == EarliestStart(
        WALKED, WALKED + 24 * H, findings[1], by_waiting=False, open_then=()
    )


def test_a_caution_has_no_say_in_the_earliest_start() -> None:
    """Only what can hold the work is waited for."""
    rules = rules_of(before=(None, BEFORE))
    caution = replace(rules, rules={"before": replace(rules.rules["before"], grade="caution")})
    found = earliest_start(caution, room(), judge(caution, room()))
    assert found == EarliestStart(None, None, None, by_waiting=True, open_then=())


@pytest.mark.parametrize(
    ("side", "to_start", "other", "window"),
    [
        ("min", True, (100, 200), (200 + 10, NEVER)),  # at least 10 s from a moment between 100 and 200 to the start
        ("max", True, (100, 200), (AT_ONCE, 100 + 10)),  # at most 10 s from it to the start
        ("min", False, (100, 200), (AT_ONCE, 100 - 10)),  # at least 10 s from the start to it
        ("max", False, (100, 200), (200 - 10, NEVER)),  # at most 10 s from the start to it
        ("max", True, (NO_LOW, 200), None),  # where the end that counts is not known, no clock runs
        ("min", True, (100, NO_HIGH), None),
        ("min", False, (NO_LOW, 200), None),
        ("max", False, (100, NO_HIGH), None),
    ],
)
def test_each_side_of_a_limit_opens_or_closes_the_window(
    side: str, to_start: bool, other: tuple[float, float], window: tuple[float, float] | None
) -> None:
    """Worked by hand: the whole of the other moment has to satisfy the limit, so its worse end counts."""
    limit = Limit("limit", "duration", Fraction(10), Fraction(1), "s", "10 s", "common practice")
    found = _elapsed_window(side, Interval("moment", *other), limit, to_start=to_start)
    assert found == (Window(*window, by_clock=True) if window else NOT_BY_CLOCK)


# -- the band held by the log: 24 h before the start, of which 1 h in all is forgiven ---------------------------------

HELD = Check("at_least", "band_held", ("band_held_min",))


def logged(inside: Spans, *, read_at: Bound) -> Survey:
    """The room, with a logger that stood there from 0 until it was read, and saw the air in its band then."""
    survey = room()
    expression = rigid_sheet().facts["band_held"].expression
    band = Facts(rigid_sheet(), survey, survey.space).logged_by(expression)
    assert isinstance(band, Band)
    absent: Spans = ((NO_LOW, Fraction(0)), (read_at, NO_HIGH))
    evidence = Evidence("temperature", inside, (), EVER, EVER, absent, ())
    return replace(survey, climate=Climate(bands={band: evidence}))


def hours(*spans: tuple[float, float]) -> Spans:
    """Spans of hours since 1970, exactly."""
    return tuple((Fraction(str(begins)) * H, Fraction(str(ends)) * H) for begins, ends in spans)


@pytest.mark.parametrize(
    ("inside", "read_at", "opens", "closes"),
    [
        (hours((0, 30)), 30, 24, 31),  # taken away after its last row: one hour more is forgiven
        (hours((0, 30)), 40, 24, 30),  # it stood there ten hours more and shows nothing: none is
        (hours((0, 24)), 40, 24, 24),  # that one moment
        (hours((0, 25), (25.5, 50)), 50, 24, 51),  # until 50.5 h half an hour is left; from 49.5 h the break is past
        (hours((0, 25), (26, 50)), 50, 24, 51),  # the hour used up: good to the last row, and from 50 h it is past
        (hours((0, 25), (26, 50)), 60, 24, 50),  # a break that was over is forgiven, whatever came behind the last row
        (hours((0, 25), (25.5, 50)), 60, 24, 50),
        (hours((0, 25), (27, 60)), 60, 51, 61),  # two hours are a break: the count begins anew
        (hours((0, 30), (30.5, 40)), 40, 24, 40.5),
    ],
)
def test_a_log_allows_starts_from_a_day_after_its_last_break_until_it_ended_too_long_ago(
    inside: Spans, read_at: int, opens: float, closes: float
) -> None:
    """In hours, each worked by hand: a day in the band, and an hour in all out of it or not seen.

    Judged for either end of it the rule passes, and for a second more it does not.
    """
    ((first, last),) = hours((opens, closes))
    survey = logged(inside, read_at=read_at * H)
    assert only(HELD, survey=survey)[0] == Window(first, last, by_clock=True)
    starts = [survey.starting(Interval("moment", at, at)) for at in (first - 1, first, last, last + 1)]
    passes = [only(HELD, survey=start)[1] is Outcome.PASS for start in starts]
    assert passes == [False, True, True, False]


def test_a_log_too_short_never_clears_by_waiting() -> None:
    """Ten hours in the band: the count began at 0, so not before 24 h, and only if the log is read again."""
    assert only(HELD, survey=logged(hours((0, 10)), read_at=10 * H))[0] == Window(24 * H, NEVER, by_clock=False)


def test_a_log_never_clears_by_waiting_where_nobody_says_how_much_is_forgiven() -> None:
    """What is forgiven may be an answer as well as a limit; not given, the day in the band cannot be known."""
    survey = logged(hours((0, 30)), read_at=30 * H)
    rules = rules_of(only=(None, HELD))
    held = rules.facts["band_held"]
    asked = rules.questions.questions[SPACE, START]
    forgiving = Expression("answer", Kinded("duration"), question=replace(asked, path="no.such.answer"))
    expression = replace(held.expression, operands=(*held.expression.operands[:3], forgiving))
    changed = replace(rules, facts={**rules.facts, "band_held": replace(held, expression=expression)})
    (finding,) = judge(changed, survey)
    assert finding.outcome is Outcome.NOT_VERIFIED
    assert window_of(changed, finding) == Window(24 * H, NEVER, by_clock=False)


def test_no_log_says_nothing_of_any_start() -> None:
    """Never seen in its band: no moment is known before which it cannot be."""
    assert only(HELD, survey=logged((), read_at=10 * H))[0] == NOT_BY_CLOCK
    assert only(HELD, survey=room())[0] == NOT_BY_CLOCK
