"""The work-back plan, drawn: terminal, page, PDF and calendar, each from the plan alone."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from wallwalk.errors import on_one_line
from wallwalk.record import Record
from wallwalk.report.overrides import in_one_line, override_lines
from wallwalk.report.terminal import heading, wrap
from wallwalk.words import Words, fixed, words_in

_PLAN = fixed("PLAN")
_MARKS = {"in time": fixed("in time"), "missed": fixed("MISSED")}


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
    words = words_in(plan["language"])
    for step in plan["steps"]:
        was = words.say("written down: {when}", when=step["was"])
        if step["from_log"]:
            was = words.say("by the log: {when}", when=step["was"])
        mark = words.tell(_MARKS[step["kept"]]) if step["kept"] in _MARKS else "?"
        said = (_when(step, words), step["what"], was, mark, step["title"], step["rule"])
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

    head, words = plan["heading"], words_in(plan["language"])
    edge = (
        head["project"] or words.say("Project not stated"),
        head["space"] or words.say("Space not stated"),
        words.tell(_PLAN),
    )
    ends = {end: plan["start"][end]["at"] for end in ("from", "to")}
    changes = override_lines(plan["rule_set"], words)
    shown = {
        "plan": plan,
        "dues": dues(plan),
        "overrides": changes,
        "summary": _summary(plan, words),
        "start": _start(plan, words),
    }
    return draw_page("plan.html", edge, page_size, {**shown, **pictures(plan, ends)}, words)


def render_plan_pdf(plan: Record, *, page_size: str = "Letter") -> bytes:
    """The plan as a PDF. Raises `MissingPartError` where the machine lacks the libraries that draw it."""
    from wallwalk.report.pdf import draw_pdf

    return draw_pdf(render_plan_html(plan, page_size=page_size))


def render_calendar(plan: Record) -> bytes:
    """The plan as an iCalendar object (RFC 5545): the start, and one event for each moment that is still to be kept."""
    from icalendar import Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", f"-//wallwalk//work-back plan//{plan['language'].upper()}")
    calendar.add("version", "2.0")
    for summary, about, moment in _events(plan):
        event = Event()
        event.add("uid", _uid(plan["survey"]["sha256"], summary, moment["at"]))
        event.add("dtstamp", _utc(plan["start"]["from"]))
        event.add("dtstart", _utc(moment))
        event.add("summary", on_one_line(summary))
        event.add("description", on_one_line(about))
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def _uid(*parts: str) -> str:
    """A name for an event that is the same for the same survey, on any machine and any day."""
    return f"{hashlib.sha256(chr(0).join(parts).encode()).hexdigest()[:32]}@wallwalk"


def _utc(moment: Record) -> datetime:
    return datetime.fromisoformat(moment["at"]).astimezone(UTC)


def _events(plan: Record) -> Iterator[tuple[str, str, Any]]:
    words = words_in(plan["language"])
    space = plan["heading"]["space"] or words.say("space not named")
    first, about = words.say("{space}: start of work", space=space), words.say("Planned start. Check again before it.")
    yield first, about, plan["start"]["from"]
    for step in plan["steps"]:
        where = space if step["about"] == "space" else f"{space}, {step['subject']}"
        about = f"{step['title']}. {words.tell(step['kept'])}."
        if step["no_later"] is not None:
            last = words.say("Last moment: {what} ({where})", what=step["what"], where=where)
            yield last, about, step["no_later"]
        if step["no_earlier"] is not None:
            soonest = words.say("Not before: {what} ({where})", what=step["what"], where=where)
            yield soonest, about, step["no_earlier"]


def _when(step: Any, words: Words) -> str:  # noqa: ANN401 - a part of the plan
    earliest, latest = step["no_earlier"], step["no_later"]
    if earliest and latest:
        return words.say("from {first} to {last}", first=earliest["shown"], last=latest["shown"])
    if latest:
        return words.say("by {when}", when=latest["shown"])
    return words.say("not before {when}", when=earliest["shown"])


def _start(plan: Record, words: Words) -> str:
    first, last = plan["start"]["from"], plan["start"]["to"]
    if first == last:
        return str(first["shown"])
    return words.say("{low} to {high}", low=first["shown"], high=last["shown"])


def _summary(plan: Record, words: Words) -> str:
    missed = [s for s in plan["steps"] if s["kept"] == "missed"]
    unknown = [s for s in plan["steps"] if s["kept"] == "not known"]
    if missed:
        said = words.say_many("{count} step is already missed.", "{count} steps are already missed.", len(missed))
        if plan["earliest"]:
            said += " " + words.say("The clocks allow a start from {when}.", when=plan["earliest"]["shown"])
        return said
    if unknown:
        return words.say_many("{count} step is not known.", "{count} steps are not known.", len(unknown))
    return words.say("Every step is in time.")


def _lines(plan: Record) -> Iterator[str]:
    head, words = plan["heading"], words_in(plan["language"])
    space = head["space"] or words.say("space not named")
    project = head["project"] or words.say("project not named")
    yield from wrap(f"{words.tell(_PLAN)} | {space} | {project}", 0, 7)
    yield from wrap(words.say("For a start on {when}.", when=_start(plan, words)) + " " + _summary(plan, words), 7)
    if plan["rule_set"]["overlays"]:
        laid = ", ".join(overlay["title"] for overlay in plan["rule_set"]["overlays"])
        yield from wrap(words.say("Laid over the rule set: {overlays}.", overlays=laid), 7)
    if plan["rule_set"]["overrides"]:
        yield from heading(words.say("Changed by overlays"))
    for one in override_lines(plan["rule_set"], words):
        yield from wrap(in_one_line(one, words), 0, 4)
    yield from heading(words.say("Counted back from the start"))
    for due in dues(plan):
        yield from wrap(f"{due.when}: {due.what}{f' ({due.where})' if due.where else ''}", 0, 4)
        yield from wrap(f"{due.mark}; {due.was} [{due.rule}]", 4)
