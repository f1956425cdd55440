"""The work-back plan, drawn: terminal, page, PDF and calendar, each from the plan alone."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from wallwalk.record import Record
from wallwalk.report.terminal import heading, wrap

_MARKS = {"in time": "in time", "missed": "MISSED", "not known": "?"}


@dataclass(frozen=True, slots=True)
class Due:
    """One line of a plan: a step of one or more walls that has to happen by, or not before, the same moment."""

    when: str
    what: str
    where: str
    was: str
    mark: str
    title: str
    rule: str


def dues(plan: Record) -> tuple[Due, ...]:
    """The lines of a plan, in its order; walls of which the same is said are together."""
    alike: dict[tuple[str, ...], list[str]] = {}
    for step in plan["steps"]:
        was = f"{'by the log' if step['from_log'] else 'written down'}: {step['was']}"
        said = (_when(step), step["what"], was, _MARKS[step["kept"]], step["title"], step["rule"])
        alike.setdefault(said, []).append("" if step["about"] == "space" else step["subject"])
    return tuple(
        Due(when, what, ", ".join(filter(None, where)), was, mark, title, rule)
        for (when, what, was, mark, title, rule), where in alike.items()
    )


def render_plan(plan: Record) -> str:
    """The plan for a terminal of 80 columns, ending in a newline."""
    return "\n".join(line.rstrip() for line in _lines(plan)) + "\n"


def render_plan_html(plan: Record, *, page_size: str = "Letter") -> str:
    """The plan as a page of its own."""
    from wallwalk.report.html import draw_page, pictures

    head = plan["heading"]
    edge = (head["project"] or "Project not stated", head["space"] or "Space not stated", "PLAN")
    ends = {end: plan["start"][end]["at"] for end in ("from", "to")}
    words = {"plan": plan, "dues": dues(plan), "summary": _summary(plan), "start": _start(plan), **pictures(plan, ends)}
    return draw_page("plan.html", edge, page_size, words)


def render_plan_pdf(plan: Record, *, page_size: str = "Letter") -> bytes:
    """The plan as a PDF. Raises `MissingPartError` where the machine lacks the libraries that draw it."""
    from wallwalk.report.pdf import draw_pdf

    return draw_pdf(render_plan_html(plan, page_size=page_size))


def render_calendar(plan: Record) -> bytes:
    """The plan as an iCalendar object (RFC 5545): the start, and one event for each moment that is still to be kept."""
    from icalendar import Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", "-//wallwalk//work-back plan//EN")
    calendar.add("version", "2.0")
    for summary, about, moment in _events(plan):
        event = Event()
        event.add("uid", _uid(plan["survey"]["sha256"], summary, moment["at"]))
        event.add("dtstamp", _utc(plan["start"]["from"]))
        event.add("dtstart", _utc(moment))
        event.add("summary", summary)
        event.add("description", about)
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def _uid(*parts: str) -> str:
    """A name for an event that is the same for the same survey, on any machine and any day."""
    return f"{hashlib.sha256(chr(0).join(parts).encode()).hexdigest()[:32]}@wallwalk"


def _utc(moment: Record) -> datetime:
    return datetime.fromisoformat(moment["at"]).astimezone(UTC)


def _events(plan: Record) -> Iterator[tuple[str, str, Any]]:
    space = plan["heading"]["space"] or "space not named"
    yield f"{space}: first sheet", "Planned start. Check again before it.", plan["start"]["from"]
    for step in plan["steps"]:
        where = space if step["about"] == "space" else f"{space}, {step['subject']}"
        if step["no_later"] is not None:
            yield f"Last moment: {step['what']} ({where})", f"{step['title']}. {step['kept']}.", step["no_later"]
        if step["no_earlier"] is not None:
            yield f"Not before: {step['what']} ({where})", f"{step['title']}. {step['kept']}.", step["no_earlier"]


def _when(step: Any) -> str:  # noqa: ANN401 - a part of the plan
    earliest, latest = step["no_earlier"], step["no_later"]
    if earliest and latest:
        return f"from {earliest['shown']} to {latest['shown']}"
    return f"by {latest['shown']}" if latest else f"not before {earliest['shown']}"


def _start(plan: Record) -> str:
    start = plan["start"]
    same = start["from"] == start["to"]
    return str(start["from"]["shown"]) if same else f"{start['from']['shown']} to {start['to']['shown']}"


def _summary(plan: Record) -> str:
    missed = [s for s in plan["steps"] if s["kept"] == "missed"]
    unknown = [s for s in plan["steps"] if s["kept"] == "not known"]
    if missed:
        later = f" The clocks allow a start from {plan['earliest']['shown']}." if plan["earliest"] else ""
        return f"{_count(missed)} already missed.{later}"
    return f"{_count(unknown)} not known." if unknown else "Every step is in time."


def _count(steps: Iterable[Any]) -> str:
    number = len(list(steps))
    return f"{number} step is" if number == 1 else f"{number} steps are"


def _lines(plan: Record) -> Iterator[str]:
    head = plan["heading"]
    yield from wrap(f"PLAN | {head['space'] or 'space not named'} | {head['project'] or 'project not named'}", 0, 7)
    yield from wrap(f"For a start on {_start(plan)}. {_summary(plan)}", 7)
    if plan["rule_set"]["overlays"]:
        yield from wrap(f"Laid over the rule set: {', '.join(plan['rule_set']['overlays'])}.", 7)
    yield from heading("Counted back from the start")
    for due in dues(plan):
        yield from wrap(f"{due.when}: {due.what}{f' ({due.where})' if due.where else ''}", 0, 4)
        yield from wrap(f"{due.mark}; {due.was} [{due.rule}]", 4)
