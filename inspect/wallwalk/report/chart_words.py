"""What the pictures show, in words: for who cannot see them, and as the caption below them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

from wallwalk.moments import show_moment
from wallwalk.units import show_number, with_unit

Span = Sequence[int]
"""Two moments, in seconds since 1970-01-01T00:00Z."""

_MOST_DIGITS = 6


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


def show_level(value: float, picture: Mapping[str, Any]) -> str:
    """A reading with its unit, to as many digits as keep it on its own side of the band's edges."""
    exact = Fraction(str(round(value, _MOST_DIGITS)))
    edges = [Fraction(str(round(edge, _MOST_DIGITS))) for edge, _ in band_edges(picture)]
    digits = 1
    while digits < _MOST_DIGITS and any(
        (exact < edge, exact == edge) != (round(exact, digits) < edge, round(exact, digits) == edge) for edge in edges
    ):
        digits += 1
    return with_unit(show_number(exact, digits), picture["unit"])


def show_quantities(pictures: Iterable[Mapping[str, Any]]) -> str:
    """`Temperature and humidity`."""
    return " and ".join(dict.fromkeys(str(picture["quantity"]) for picture in pictures)).capitalize()


def band_edges(picture: Mapping[str, Any]) -> list[tuple[float, str]]:
    """The edges of the allowed band from low to high, each with how it is labelled; none where no band is known."""
    band = picture["band"] or {"low": None, "high": None}
    labelled = ((band["low"], "low_written", "min"), (band["high"], "high_written", "max"))
    return [(value, f"{word} {band[written]}") for value, written, word in labelled if value is not None]


def show_stretch(span: Span, zone: ZoneInfo | None) -> str:
    """From when to when, and how long that is."""
    first, last = (show_moment(at, zone) for at in span)
    if first == last:
        return f"{first}, one reading"
    day, time = last.split()[:4], last.split()[4:]
    until = " ".join(time if first.split()[:4] == day else day + time)
    return f"{first} to {until} ({show_length(span[1] - span[0])})"


def say_climate(picture: Mapping[str, Any], zone: ZoneInfo | None) -> str:
    """One panel in a few sentences."""
    return " ".join(_climate(picture, zone))


def _climate(picture: Mapping[str, Any], zone: ZoneInfo | None) -> Iterator[str]:
    points, what = picture["points"], picture["quantity"].capitalize()
    if not points:
        yield f"{what}: no readings."
    else:
        low, high = (show_level(v, picture) for v in (min(p[1] for p in points), max(p[2] for p in points)))
        yield f"{what}, {show_stretch((points[0][0], points[-1][0]), zone)}: lowest {low}, highest {high}."
    edges = band_edges(picture)
    yield f"Allowed: {', '.join(label for _, label in edges)}." if edges else "No allowed band is known."
    if edges and points:
        never = "Never seen out of the band."
        yield _stretches(picture["out"], "Seen out of the band once", "Seen out of the band {} times", zone) or never
    if picture["holes"]:
        yield _stretches(picture["holes"], "One stretch not seen", "{} stretches not seen", zone)


def _stretches(spans: Sequence[Span], one: str, many: str, zone: ZoneInfo | None) -> str:
    if not spans:
        return ""
    longest = show_stretch(max(spans, key=lambda span: span[1] - span[0]), zone)
    if len(spans) == 1:
        return f"{one}: {longest}."
    total = show_length(sum(span[1] - span[0] for span in spans))
    return f"{many.format(len(spans))}, {total} in all; longest {longest}."


def say_marks(head: str, marks: Iterable[Mapping[str, Any]]) -> str:
    """The marked moments, soonest first; nothing where there are none."""
    shown = "; ".join(f"{m['what']}, {m['shown']}" for m in sorted(marks, key=lambda m: int(m["at"])))
    return f"{head}: {shown}." if shown else ""


def show_short(seconds: int, zone: ZoneInfo | None) -> str:
    """A moment without its year: `Sun 8 Mar 06:00`."""
    parts = show_moment(seconds, zone).split()
    return " ".join((*parts[:3], *parts[4:]))


def show_through(clock: Mapping[str, Any], zone: ZoneInfo | None) -> str:
    """When a clock is through, for beside its row; the latest that can be, where that is not known to the minute."""
    first, last = clock["through"]
    return f"through {'by ' if first != last else ''}{show_short(last, zone)}"


def say_clock(clock: Mapping[str, Any], zone: ZoneInfo | None) -> str:
    """One row in a sentence."""
    head = f"{show_subject(clock)}: {clock['what']}, needs {clock['needs']}"
    if clock["began"] is None or clock["through"] is None:
        return f"{head}: {clock['kept']}."
    began, through = (
        " to ".join(dict.fromkeys(show_moment(at, zone) for at in clock[end])) for end in ("began", "through")
    )
    return f"{head}: began {began}, through {through}: {clock['kept']}."


def show_subject(clock: Mapping[str, Any]) -> str:
    """Where a clock runs."""
    return "The space" if clock["subject"] == "space" else str(clock["subject"])


def count_clocks(clocks: Sequence[Mapping[str, Any]]) -> str:
    """How many clocks are through in time, and how many are not."""
    counts = [(sum(c["kept"] == kept for c in clocks), kept) for kept in ("missed", "not known", "in time")]
    return ", ".join(f"{count} {kept}" for count, kept in counts if count)
