"""Limits of two records side by side: which differ, which way each went, and the laxer ones first; records by hand."""

from __future__ import annotations

from typing import Any

import pytest

from wallwalk.limit_changes import limit_changes

NOUGHT: dict[str, Any] = {"history": [], "used_by": [], "in_measures": False, "words": []}


def limit(name: str, written: str, kind: str = "duration", **parts: Any) -> dict[str, Any]:  # noqa: ANN401
    """A limit as a record keeps it."""
    base = {"name": name, "title": f"Title of {name}", "kind": kind, "written": written, "basis": "from memory"}
    return {**NOUGHT, **base, **parts}


def worded(name: str, *words: str, **parts: Any) -> dict[str, Any]:  # noqa: ANN401
    """A limit of words as a record keeps it."""
    return limit(name, ", ".join(words), "words", words=list(words), **parts)


def record(*limits: dict[str, Any], **compared: tuple[str, ...]) -> dict[str, Any]:
    """A record with these limits; `at_least=("a",)` compares a fact with limit a, `applies_at_least` decides by it."""
    checks = [
        {
            "comparison": word.removeprefix("applies_"),
            "fact": "some_fact",
            "limits": list(names),
            "decides_applying": word.startswith("applies_"),
        }
        for word, names in compared.items()
    ]
    return {"language": "en", "limits": list(limits), "findings": [{"compared": [c]} for c in checks]}


def ways(then: dict[str, Any], now: dict[str, Any]) -> list[tuple[str, str]]:
    """The limits that differ, in the order told, each with its way."""
    return [(change["name"], change["way"]) for change in limit_changes(then, now)]


@pytest.mark.parametrize(
    ("compared", "lower", "higher"),
    [
        ({"at_least": ("a",)}, "looser", "tighter"),
        ({"at_most": ("a",)}, "tighter", "looser"),
        ({"applies_at_least": ("a",)}, "tighter", "looser"),  # the lower it is, the more the rule applies to
        ({"applies_at_most": ("a",)}, "looser", "tighter"),
        ({"at_least": ("a",), "at_most": ("a",)}, "either", "either"),
        ({"at_least": ("other",)}, "either", "either"),  # no comparison was made with it
        ({"is_of_tomorrow": ("a",)}, "either", "either"),  # a comparison that this program does not know
        ({"between": ("a", "b")}, "looser", "tighter"),
        ({"between": ("b", "a")}, "tighter", "looser"),
    ],
)
def test_the_way_is_told_from_the_comparisons_made(
    compared: dict[str, tuple[str, ...]], lower: str, higher: str
) -> None:
    """12 h in place of 24 h, and 36 h, by each place that a limit has in a comparison."""
    then = record(limit("a", "24 h"), **compared)
    for written, way in (("12 h", lower), ("36 h", higher)):
        assert ways(then, record(limit("a", written), **compared)) == [("a", way)]


@pytest.mark.parametrize("side", [0, 1])
def test_a_comparison_that_either_record_made_counts(side: int) -> None:
    """A rule that was dropped, or added, is in one of the two only; what it asked is told from there."""
    records = [record(limit("a", "24 h")), record(limit("a", "12 h"))]
    records[side] = {**records[side], "findings": record(at_least=("a",))["findings"]}
    assert ways(records[0], records[1]) == [("a", "looser")]


@pytest.mark.parametrize("side", [0, 1])
def test_a_limit_in_a_measure_may_be_looser(side: int) -> None:
    """Whichever record says so: what the fact then comes to, nobody can tell, though the comparison is tighter."""
    limits = [limit("a", "24 h"), limit("a", "36 h")]
    limits[side] = {**limits[side], "in_measures": True}
    assert ways(record(limits[0], at_least=("a",)), record(limits[1], at_least=("a",))) == [("a", "either")]
    assert ways(record(limits[0]), record(limits[1])) == [("a", "either")]
    limits[1] = {**limits[1], "written": "24 h", "basis": "common practice"}
    assert ways(record(limits[0]), record(limits[1])) == [("a", "same")]


def test_words_go_by_what_is_in_the_list() -> None:
    """One more may be; one less may be; two lists of which neither holds the other; another order is the same."""
    then = record(worded("a", "brick", "plaster"), is_one_of=("a",))
    for words, told in (
        (("brick", "plaster", "tile"), [("a", "looser")]),
        (("brick",), [("a", "tighter")]),
        (("brick", "tile"), [("a", "either")]),
        (("plaster", "brick"), []),
    ):
        assert ways(then, record(worded("a", *words), is_one_of=("a",))) == told


@pytest.mark.parametrize("written", ["12 %WME", "11 %WME", "13 %WME"])
def test_a_number_on_another_scale_may_be_looser(written: str) -> None:
    """12 %MC and 12 %WME are two limits, though both are written with a 12; neither is more than the other."""
    then = record(limit("a", "12 %MC", "moisture %MC"), at_most=("a",))
    assert ways(then, record(limit("a", written, "moisture %WME"), at_most=("a",))) == [("a", "either")]


def test_a_list_of_words_that_became_a_number_may_be_looser() -> None:
    """Neither is more than the other."""
    assert ways(record(worded("a", "12 h"), at_least=("a",)), record(limit("a", "12 h"), at_least=("a",))) == [
        ("a", "either")
    ]


@pytest.mark.parametrize("odd", [limit("a", "a while"), limit("a", "12 h", "weather"), limit("a", "12 ft")])
def test_a_value_that_cannot_be_read_may_be_looser(odd: dict[str, Any]) -> None:
    """Words for a quantity, a kind that is none, a unit of another kind; on either side."""
    known = limit("a", "24 h")
    for then, now in ((odd, known), (known, odd)):
        assert ways(record(then, at_least=("a",)), record(now, at_least=("a",))) == [("a", "either")]
    assert ways(record(odd, at_least=("a",)), record(odd, at_least=("a",))) == []


def test_the_same_amount_in_another_unit_is_no_change() -> None:
    """24 h is 1440 min; with another basis it is told, as the same."""
    then = record(limit("a", "24 h"), at_least=("a",))
    assert ways(then, record(limit("a", "1440 min"), at_least=("a",))) == []
    assert ways(then, record(limit("a", "1440 min", basis="common practice"), at_least=("a",))) == [("a", "same")]


def test_a_basis_is_set_beside_one_of_the_same_language_only() -> None:
    """Records in two languages name one basis by two texts; a value that differs is told all the same."""
    then = record(limit("a", "24 h"), at_least=("a",))
    for written, told in (("24 h", []), ("12 h", [("a", "looser")])):
        now = record(limit("a", written, basis="de memoria"), at_least=("a",))
        assert ways(then, {**now, "language": "es"}) == told


def test_a_limit_of_one_record_alone_is_no_change() -> None:
    """What the other never used has no value there."""
    both = limit("a", "24 h")
    assert ways(record(both, limit("b", "1 h")), record(both, limit("c", "2 h"))) == []


def test_what_lets_more_pass_is_told_first() -> None:
    """Looser, may be looser, tighter, the same value; each in the order of the later record."""
    names = ("same", "tighter", "either", "looser", "looser_too")
    values = ("24 h", "36 h", "12 h", "12 h", "1 h")
    then = record(*(limit(name, "24 h") for name in names))
    now = record(
        *(limit(n, v, basis="common practice") for n, v in zip(names, values, strict=True)),
        at_least=("same",),
        applies_at_most=("looser",),
        applies_between=("unused", "looser_too"),
    )
    now["findings"] += record(at_least=("tighter",))["findings"]
    assert ways(then, now) == [
        ("looser", "looser"),
        ("looser_too", "looser"),
        ("either", "either"),
        ("tighter", "tighter"),
        ("same", "same"),
    ]


def test_a_change_is_told_whole() -> None:
    """Both values with their bases, what the later record says of it that the earlier did not, and every user once."""
    then = limit("a", "24 h", history=["48 h, until One"], used_by=["first", "second"])
    now = limit(
        "a",
        "12 h",
        title="Later title",
        basis="common practice",
        history=["48 h, until One", "24 h, until Two"],
        used_by=["second", "third"],
    )
    assert limit_changes(record(then, at_least=("a",)), record(now, at_least=("a",))) == [
        {
            "name": "a",
            "title": "Later title",
            "way": "looser",
            "was": {"written": "24 h", "basis": "from memory"},
            "now": {"written": "12 h", "basis": "common practice"},
            "because": ["24 h, until Two"],
            "used_by": ["first", "second", "third"],
        }
    ]
