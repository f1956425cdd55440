"""What a comparison says in sentences: notices, what a check came to, and in which way less is asked of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from wallwalk import comparing
from wallwalk.grounds import INSTRUMENT
from wallwalk.record import Record
from wallwalk.report.items import Around, items_of, questions_of
from wallwalk.report.logs import DECISIONS
from wallwalk.report.overrides import WAYS, relaxed_lines
from wallwalk.report.signatures import released_lines
from wallwalk.words import Words, fixed

Part = Any
"""A part of a comparison."""

_SPACES = ("project", "space", "level")

_ORDERS = {
    comparing.NOT_TOLD: fixed("The records do not say which walk came first."),
    comparing.SAME: fixed("Both are the same record."),
    comparing.ONE_WALK: fixed("Both records are of one walk."),
}

_SIGNED = {
    "then": fixed("Signed on the earlier record, and held all the same: {what}."),
    "now": fixed("Signed on the later record, and held all the same: {what}."),
}

_UNCALIBRATED = {
    "unknown": fixed("a reading of an instrument not known to be in calibration is not known"),
    "as read": fixed("a reading of an instrument not known to be in calibration counts as read"),
}

_REASONS = {
    "rule dropped": fixed("The later record no longer asks this."),
    "caution only": fixed("It is a caution now, and does not hold the work."),
    "asks otherwise": fixed("The rule asks for something else than before."),
    "taken as read": fixed("Readings are taken as read now; by its own uncertainty, the instrument cannot tell."),
    "not calibrated": fixed("Readings of instruments not known to be in calibration count now."),
}


def first_notices(comparison: Record, words: Words) -> Iterator[str]:
    """What a reader has to know before anything else: that two spaces, rule sets or orders are mixed up."""
    found = {d["what"]: d for d in comparison["differences"]}
    if any(what in found for what in _SPACES):
        heads = [comparison[side]["heading"] for side in ("then", "now")]
        was, now = (" · ".join(filter(None, (head[what] for what in _SPACES))) or "–" for head in heads)
        yield words.say("These are two spaces, and not two walks of one: {was} then, {now} now.", was=was, now=now)
    if "rule_set.name" in found:
        was, now = (comparison[side]["rule_set"]["title"] for side in ("then", "now"))
        yield words.say("They were judged by two rule sets: {was} then, {now} now.", was=was, now=now)
    if comparison["order"] == comparing.OTHER_WAY_ROUND:
        yield words.say("The records were given the wrong way round: the earlier walk named here came after the other.")


def notices(comparison: Record, words: Words) -> Iterator[str]:
    """What overlays made looser on the later walk; what else is not the same about the two: walls, rules, language."""
    for change in relaxed_lines(comparison["now"]["rule_set"], words):
        yield words.say("Changed by an overlay on the later walk. {change}", change=change)
    yield from _not_the_same(comparison, words)


def _not_the_same(comparison: Record, words: Words) -> Iterator[str]:
    found = {d["what"]: (d["was"], d["now"]) for d in comparison["differences"]}
    if comparison["order"] in _ORDERS:
        yield words.tell(_ORDERS[comparison["order"]])
    if "walls" in found:
        yield from _walls(*found["walls"], words)
    yield from _unlisted(comparison, words)
    if "in_scope" in found:
        was, now = (words.say("not known") if count is None else str(count) for count in found["in_scope"])
        yield words.say("Walls in scope: {was} then, {now} now.", was=was, now=now)
    if "rule_set.sha256" in found and "rule_set.name" not in found:
        was, now = (comparison[side]["rule_set"]["revision"] for side in ("then", "now"))
        yield words.say("The rule set itself was changed: revision {was} then, {now} now.", was=was, now=now)
    if "overlays" in found:
        was, now = ("; ".join(titles) or words.say("none") for titles in found["overlays"])
        yield words.say("Laid over the rule set then: {was}. Now: {now}.", was=was, now=now)
    for what, texts in (("decision", DECISIONS), ("uncalibrated", _UNCALIBRATED)):
        if f"rule_set.{what}" in found:
            was, now = (words.tell(texts[key]) for key in found[f"rule_set.{what}"])
            yield words.say("Decided then: {was}. Decided now: {now}.", was=was, now=now)
    yield from _signed(comparison, words)
    if "time_zone" in found:
        was, now = (zone or words.say("not stated") for zone in found["time_zone"])
        yield words.say("Times are told in two time zones: {was} then, {now} now.", was=was, now=now)
    if "language" in found:
        yield words.say("The earlier record is in another language; its sentences stand as they were filed.")


def _unlisted(comparison: Record, words: Words) -> Iterator[str]:
    """Walls that nobody wrote down: each of their checks is not verified, and told of here only."""
    then, now = (
        sum(not f["listed"] and f["outcome"] == "not verified" for f in comparison[side]["findings"])
        for side in ("then", "now")
    )
    if now:
        yield words.say("For every wall that is not written down, {count} rules are not verified.", count=now)
    elif then:
        yield words.say("Every wall is written down now; on the earlier walk, not every one was.")


def _signed(comparison: Record, words: Words) -> Iterator[str]:
    """Holds that are released by a signature on either record: a comparison goes by what was found, not by them."""
    for side, said in _SIGNED.items():
        released = released_lines(comparison[side], comparison["entries"][side])
        if told := "; ".join(f"{one.title} ({one.where}): {one.says}" for one in released):
            yield words.tell(said, what=told.rstrip("."))


def _walls(was: list[str], now: list[str], words: Words) -> Iterator[str]:
    gone, came = [w for w in was if w not in now], [w for w in now if w not in was]
    if gone:
        yield words.say("No longer written down: {walls}.", walls="; ".join(gone))
    if came:
        yield words.say("Written down now, and not then: {walls}.", walls="; ".join(came))


def summary_of(findings: Iterable[Part], words: Words) -> Iterator[tuple[str, str]]:
    """How many checks of hold grade changed in each way that matters, walls that are written down only."""
    checks = [f for f in findings if f["subject"] is not None and can_hold(f)]
    changes = [group_of(f) for f in checks if is_open_ever(f)]

    def count(*kinds: str) -> str:
        return str(sum(change in kinds for change in changes))

    if relaxed := changes.count("relaxed"):
        yield str(relaxed), words.say("no longer held, with less asked")
    yield count(comparing.CLEARED), words.say("cleared")
    if weaker := changes.count("weaker"):
        yield str(weaker), words.say("cleared on less")
    yield count(comparing.NEW, comparing.NOW_HOLDS), words.say("new")
    yield count(comparing.STILL_HOLDS), words.say("held on both walks")
    yield count(comparing.NOW_OPEN, comparing.STILL_OPEN), words.say("not verified")
    if comparing.GONE in changes or comparing.EXCUSED in changes:
        yield count(comparing.GONE, comparing.EXCUSED), words.say("no longer asked")


def group_of(finding: Part) -> str:
    """What a check is counted as: `relaxed` and `weaker` stand apart from what was cleared."""
    return "relaxed" if finding["relaxed"] else "weaker" if finding["weaker"] else str(finding["change"])


def can_hold(finding: Part) -> bool:
    """Whether the check is of hold grade in either record."""
    return any(side and side["grade"] == "hold" for side in (finding["was"], finding["now"]))


def is_open_ever(finding: Part) -> bool:
    """Whether the check held, or was not verified, on either walk."""
    return any(side and side["outcome"] in ("hold", "not verified") for side in (finding["was"], finding["now"]))


def what_it_came_to(part: Part, around: Around, finding: Part, comparison: Record) -> str:
    """What one check came to on one walk, in a sentence or two."""
    words = around.words
    if part is None:
        return _absent(finding, comparison, words)
    if part["outcome"] == "pass":
        made = [c for c in part["compared"] if not c["decides_applying"] and c["verdict"] == "pass"]
        return ". ".join((words.say("Right"), *dict.fromkeys(_against(c, words) for c in made))) + "."
    if part["outcome"] == "does not apply":
        return words.say("Does not apply. {because}.", because=part["says"])
    line = items_of([part], 1, around)[0].lines[0]
    if part["outcome"] == "hold":
        is_now = part is finding["now"]
        waits = [words.say("Waiting clears it {when}{on}.", when=line.clears, on="")] if line.waits and is_now else []
        return " ".join((part["says"], *waits))
    lacking = "; ".join(asked.what for asked in questions_of(part, line, around))
    return words.say("Not verified: {check}", check=lacking) + ("" if lacking.endswith(("?", ".")) else ".")


def _against(compared: Part, words: Words) -> str:
    measured = f"{compared['fact_title']}: {compared['measured']}"
    return words.say("{measured}; required: {required}", measured=measured, required=compared["required"])


def _absent(finding: Part, comparison: Record, words: Words) -> str:
    """Why a check is in one record only: the rule is not there, or the wall is not."""
    side = "then" if finding["was"] is None else "now"
    asked = any(f["rule"] == finding["rule"] for f in comparison[side]["findings"])
    if not asked:
        return words.say("Not asked.")
    if finding["subject"] is None:
        return words.say("Every wall is written down.")
    return words.say("The wall is not written down.")


def reason_line(reason: Part, finding: Part, comparison: Record, words: Words) -> str:
    """One way in which less is asked of a check, with both values where it is a limit."""
    if reason["why"] != "limit":
        told = words.tell(_REASONS[reason["why"]])
        because = [o for o in comparison["now"]["rule_set"]["overrides"] if _drops(o, finding)]
        return " ".join((told, *(f"{o['because']} ({o['basis']})" for o in because)))
    limit = next(one for one in comparison["limits"] if one["name"] == reason["limit"])
    return words.say(
        "{limit} was {was}, and is {now} now: {way}.",
        limit=limit["title"],
        was=limit["was"]["written"],
        now=limit["now"]["written"],
        way=words.tell(WAYS[limit["way"]]),
    )


def grounds_of(finding: Part, words: Words) -> Iterator[str]:
    """On what else a check no longer holds: fewer entries, an instrument told otherwise, or other answers."""
    for ground in finding["weaker"]:
        if ground["why"] == INSTRUMENT:
            yield words.say(
                "{fact}: the readings are the same on both walks, and what is written of the instrument is not. "
                "{was} then, {now} now.",
                **{key: ground[key] for key in ("fact", "was", "now")},
            )
        else:
            was, now = ground["counts"]
            yield words.say("{fact}: {was} entries then, {now} now.", fact=ground["fact"], was=was, now=now)
    if finding["change"] == comparing.EXCUSED:
        for one in finding["evidence"]:
            was, now = one["was"], one["now"]
            if now["decides_applying"] and was["measured"] != now["measured"]:
                told = {"fact": now["fact_title"], "was": was["measured"], "now": now["measured"]}
                yield words.say("{fact}: {was} then, {now} now.", **told)


def _drops(override: Part, finding: Part) -> bool:
    return bool(override["what"] == "rule dropped" and override["name"] == finding["rule"])
