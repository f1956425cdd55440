"""What the pictures show, in words: for who cannot see them, and as the caption below them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

from wallwalk.moments import show_moment, show_moments
from wallwalk.units import show_number, with_unit
from wallwalk.words import Words, fixed

Span = Sequence[int]
"""Two moments, in seconds since 1970-01-01T00:00Z."""

_MOST_DIGITS = 6
_LEAST, _MOST = fixed("min {edge}"), fixed("max {edge}")
_OUT = (
    fixed("Seen out of the band once: {longest}."),
    fixed("Seen out of the band {count} times, {total} in all; longest {longest}."),
)
_NOT_SEEN = (
    fixed("One stretch not seen: {longest}."),
    fixed("{count} stretches not seen, {total} in all; longest {longest}."),
)
_KEPT = (fixed("missed"), fixed("not known"), fixed("in time"))


def show_length(seconds: int) -> str:
    """How long a time is, exactly: `3 h 20 min`; days from three of them on."""
    parts = []
    for unit, size in (("d", 86400), ("h", 3600), ("min", 60), ("s", 1)):
        if unit == "d" and seconds < 3 * size:
            continue
        count, seconds = divmod(seconds, size)
        if count:
            parts.append(f"{count} {unit}")
    return " ".join(parts) or "0 min"


def show_level(value: float, picture: Mapping[str, Any], words: Words) -> str:
    """A reading with its unit, to as many digits as keep it on its own side of the band's edges."""
    exact = Fraction(str(round(value, _MOST_DIGITS)))
    edges = [Fraction(str(round(edge, _MOST_DIGITS))) for edge, _ in band_edges(picture, words)]
    digits = 1
    while digits < _MOST_DIGITS and any(
        (exact < edge, exact == edge) != (round(exact, digits) < edge, round(exact, digits) == edge) for edge in edges
    ):
        digits += 1
    return with_unit(words.show_numeral(show_number(exact, digits)), picture["unit"])


def show_quantities(pictures: Iterable[Mapping[str, Any]], words: Words) -> str:
    """`Temperature and humidity`."""
    named = dict.fromkeys(words.tell(picture["quantity"]) for picture in pictures)
    return words.say(" and ").join(named).capitalize()


def band_edges(picture: Mapping[str, Any], words: Words) -> list[tuple[float, str]]:
    """The edges of the allowed band from low to high, each with how it is labelled; none where no band is known."""
    band = picture["band"] or {"low": None, "high": None}
    labelled = ((band["low"], "low_written", _LEAST), (band["high"], "high_written", _MOST))
    return [(value, words.tell(text, edge=band[written])) for value, written, text in labelled if value is not None]


def show_stretch(span: Span, zone: ZoneInfo | None, words: Words) -> str:
    """From when to when, and how long that is."""
    first, last = (show_moment(at, zone, words) for at in span)
    if first == last:
        return words.say("{when}, one reading", when=first)
    day, time = last.split()[:4], last.split()[4:]
    until = " ".join(time if first.split()[:4] == day else day + time)
    return words.say("{first} to {last} ({time})", first=first, last=until, time=show_length(span[1] - span[0]))


def say_climate(picture: Mapping[str, Any], zone: ZoneInfo | None, words: Words) -> str:
    """One panel in a few sentences."""
    return " ".join(_climate(picture, zone, words))


def _climate(picture: Mapping[str, Any], zone: ZoneInfo | None, words: Words) -> Iterator[str]:
    points, what = picture["points"], words.tell(picture["quantity"]).capitalize()
    if not points:
        yield words.say("{what}: no readings.", what=what)
    else:
        low, high = (show_level(v, picture, words) for v in (min(p[1] for p in points), max(p[2] for p in points)))
        span = show_stretch((points[0][0], points[-1][0]), zone, words)
        yield words.say("{what}, {span}: lowest {low}, highest {high}.", what=what, span=span, low=low, high=high)
    edges = ", ".join(label for _, label in band_edges(picture, words))
    yield words.say("Allowed: {edges}.", edges=edges) if edges else words.say("No allowed band is known.")
    if edges and points:
        yield _stretches(picture["out"], *_OUT, zone, words) or words.say("Never seen out of the band.")
    if picture["holes"]:
        yield _stretches(picture["holes"], *_NOT_SEEN, zone, words)


def _stretches(spans: Sequence[Span], one: str, many: str, zone: ZoneInfo | None, words: Words) -> str:
    if not spans:
        return ""
    longest = show_stretch(max(spans, key=lambda span: span[1] - span[0]), zone, words)
    if len(spans) == 1:
        return words.tell(one, longest=longest)
    total = show_length(sum(span[1] - span[0] for span in spans))
    return words.tell(many, count=len(spans), total=total, longest=longest)


def say_marks(head: str, marks: Iterable[Mapping[str, Any]]) -> str:
    """The marked moments, soonest first; nothing where there are none."""
    shown = "; ".join(f"{m['what']}, {m['shown']}" for m in sorted(marks, key=lambda m: int(m["at"])))
    return f"{head}: {shown}." if shown else ""


def show_short(seconds: int, zone: ZoneInfo | None, words: Words) -> str:
    """A moment without its year: `Sun 8 Mar 06:00`."""
    parts = show_moment(seconds, zone, words).split()
    return " ".join((*parts[:3], *parts[4:]))


def show_through(clock: Mapping[str, Any], zone: ZoneInfo | None, words: Words) -> str:
    """When a clock is through, for beside its row; the latest that can be, where that is not known to the minute."""
    first, last = clock["through"]
    short = show_short(last, zone, words)
    return words.say("through {when}", when=short) if first == last else words.say("through by {when}", when=short)


def say_clock(clock: Mapping[str, Any], zone: ZoneInfo | None, words: Words) -> str:
    """One row in a sentence."""
    head = words.say(
        "{where}: {what}, needs {needs}", where=show_subject(clock, words), what=clock["what"], needs=clock["needs"]
    )
    kept = words.tell(clock["kept"])
    if clock["began"] is None or clock["through"] is None:
        return f"{head}: {kept}."
    began, through = (show_moments(clock[end][0], clock[end][1], zone, words) for end in ("began", "through"))
    ran = words.say("began {began}, through {through}", began=began, through=through)
    return f"{head}: {ran}: {kept}."


def show_subject(clock: Mapping[str, Any], words: Words) -> str:
    """Where a clock runs."""
    return words.say("The space") if clock["subject"] == "space" else str(clock["subject"])


def count_clocks(clocks: Sequence[Mapping[str, Any]], words: Words) -> str:
    """How many clocks are through in time, and how many are not."""
    counts = [(sum(c["kept"] == kept for c in clocks), kept) for kept in _KEPT]
    return ", ".join(f"{count} {words.tell(kept)}" for count, kept in counts if count)
