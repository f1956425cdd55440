"""Which way a limit went between two records, told from the comparisons made with it; records by hand."""

from __future__ import annotations

from typing import Any

import pytest

from wallwalk.limit_changes import limit_changes

NEED = ("at_least", ("gap",), False)


def limit(written: str, **other: Any) -> dict[str, Any]:  # noqa: ANN401 - plain data
    """A limit as a record tells of it."""
    usual = {"name": "gap", "title": "Gap", "kind": "length", "words": [], "basis": "common practice"}
    return {**usual, "written": written, "history": [], "in_measures": False, "used_by": ["gap-left"], **other}


def words(*chosen: str, **other: Any) -> dict[str, Any]:  # noqa: ANN401 - plain data
    """A limit that is a list of words."""
    return limit(", ".join(chosen), kind="words", words=list(chosen), **other)


def record(*limits: dict[str, Any], made: tuple[Any, ...] = (NEED,), language: str = "en") -> dict[str, Any]:
    """A record with these limits, and findings that compare so: the word, its limits, whether it decides applying."""
    findings = [
        {"compared": [{"comparison": word, "fact": "width", "limits": list(names), "decides_applying": applying}]}
        for word, names, applying in made
    ]
    return {"limits": list(limits), "findings": findings, "language": language}


def ways(was: dict[str, Any], now: dict[str, Any], *made: Any) -> list[str]:  # noqa: ANN401 - plain data
    """Which way one limit went, by the comparisons that both records made; none where it is no change."""
    return [one["way"] for one in limit_changes(record(was, made=made), record(now, made=made))]


@pytest.mark.parametrize(
    ("was", "now", "made", "way"),
    [
        ("24 h", "12 h", ("at_least", ("gap",), False), "looser"),
        ("12 h", "24 h", ("at_least", ("gap",), False), "tighter"),
        ("24 h", "12 h", ("at_most", ("gap",), False), "tighter"),
        ("12 h", "24 h", ("at_most", ("gap",), False), "looser"),
        ("24 h", "12 h", ("between", ("gap", "other"), False), "looser"),
        ("24 h", "12 h", ("between", ("other", "gap"), False), "tighter"),
        # Where it decides whether a rule applies, a rule that applies to less is looser.
        ("24 h", "12 h", ("at_least", ("gap",), True), "tighter"),
        ("12 h", "24 h", ("at_least", ("gap",), True), "looser"),
    ],
)
def test_a_limit_goes_the_way_that_lets_more_or_less_pass(was: str, now: str, made: Any, way: str) -> None:  # noqa: ANN401
    """By the side on which it stands, and whether it is asked or decides what is asked."""
    assert ways(limit(was, kind="duration"), limit(now, kind="duration"), made) == [way]


@pytest.mark.parametrize(
    ("was", "now", "word", "way"),
    [
        (("a", "b"), ("a", "b", "c"), "is_one_of", ["looser"]),
        (("a", "b", "c"), ("a", "b"), "is_one_of", ["tighter"]),
        (("a", "b"), ("a", "b", "c"), "is_none_of", ["tighter"]),
        (("a", "b", "c"), ("a", "b"), "is_none_of", ["looser"]),
        (("a", "b"), ("a", "c"), "is_one_of", ["either"]),
        (("a", "b"), ("b", "a"), "is_one_of", []),
    ],
)
def test_a_list_of_words_goes_by_the_words_it_holds(
    was: tuple[str, ...], now: tuple[str, ...], word: str, way: list[str]
) -> None:
    """More to choose from lets more pass; more to keep from lets less; in another order it is the same list."""
    assert ways(words(*was), words(*now), (word, ("gap",), False)) == way


def test_the_same_amount_in_another_unit_is_no_change() -> None:
    """1/16 in is 1.5875 mm, and 5/8 in is not 16 mm."""
    assert ways(limit("1/16 in"), limit("1.5875 mm"), NEED) == []
    assert ways(limit("5/8 in"), limit("16 mm"), NEED) == ["tighter"]
    assert ways(limit("16 mm"), limit("5/8 in"), NEED) == ["looser"]


def test_another_basis_is_a_change_that_goes_no_way() -> None:
    """Where both records are in one language; a basis in another language cannot be set beside it."""
    was, now = limit("1/16 in"), limit("1/16 in", basis="published: a leaflet")
    assert ways(was, now, NEED) == ["same"]
    assert limit_changes(record(was), record(now, language="es")) == []
    assert [c["way"] for c in limit_changes(record(was), record(limit("1/8 in"), language="es"))] == ["tighter"]


def test_where_the_records_do_not_tell_it_may_be_looser() -> None:
    """In no comparison, in two ways, part of a measure, an unknown comparison, or a value that cannot be read."""
    was, now = limit("24 h", kind="duration"), limit("36 h", kind="duration")
    assert ways(was, now) == ["either"]
    assert ways(was, now, NEED, ("at_most", ("gap",), False)) == ["either"]
    assert ways(was, now, NEED, NEED) == ["tighter"]
    assert ways({**was, "in_measures": True}, now, NEED) == ["either"]
    assert ways(was, {**now, "in_measures": True}, NEED) == ["either"]
    assert ways(was, now, ("roughly", ("gap",), False)) == ["either"]
    assert ways(was, now, ("at_least", ("other",), False)) == ["either"]
    assert ways(limit("much"), limit("more"), NEED) == ["either"]
    assert ways(limit("much"), limit("1/8 in"), NEED) == ["either"]
    assert ways(limit("1/8 in"), limit("more"), NEED) == ["either"]
    assert ways(limit("much"), limit("much"), NEED) == []
    assert ways(limit("1", kind="no such kind"), limit("2", kind="no such kind"), NEED) == ["either"]


def test_the_comparisons_of_both_records_count() -> None:
    """A rule that is in one of them only still tells which way its limit went."""
    was, now = limit("1/8 in"), limit("1/16 in")
    for first, second in (((NEED,), ()), ((), (NEED,))):
        (change,) = limit_changes(record(was, made=first), record(now, made=second))
        assert change["way"] == "looser"
    (change,) = limit_changes(record(was), record(now, made=(("at_most", ("gap",), False),)))
    assert change["way"] == "either"


def test_all_of_a_change_is_told() -> None:
    """Both values and bases, what was laid over since, and the rules of both records once each."""
    was = limit("1/8 in", history=["An older leaflet."], used_by=["gap-left", "gap-seen"], title="Gap then")
    now = limit(
        "1/16 in",
        basis="published: a leaflet",
        history=["An older leaflet.", "A newer leaflet."],
        used_by=["gap-seen", "gap-kept"],
    )
    assert limit_changes(record(was), record(now)) == [
        {
            "name": "gap",
            "title": "Gap",
            "way": "looser",
            "was": {"written": "1/8 in", "basis": "common practice"},
            "now": {"written": "1/16 in", "basis": "published: a leaflet"},
            "because": ["A newer leaflet."],
            "used_by": ["gap-left", "gap-seen", "gap-kept"],
        }
    ]


def test_what_lets_more_pass_comes_first_and_what_one_record_lacks_is_no_change() -> None:
    """Looser, then what may be, then tighter, then what goes no way."""
    sides = [("same", "1 in"), ("tighter", "2 in"), ("either", "2 in"), ("looser", "1/2 in")]
    made = tuple(("at_least", (name,), False) for name in ("same", "tighter", "looser"))
    before = record(*(limit("1 in", name=name) for name, _ in sides), limit("1 in", name="gone"), made=made)
    after = record(*(limit(w, name=n, basis=n) for n, w in sides), limit("1 in", name="new"), made=made)
    assert [one["name"] for one in limit_changes(before, after)] == ["looser", "either", "tighter", "same"]
