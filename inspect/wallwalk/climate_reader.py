"""Reads the climate logs that a survey names, once each, for what a rule set asks of them."""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import product as pairs
from pathlib import Path

from wallwalk.answers import NO_ENTRIES, NOT_ANSWERED, Answers, Entries, Missing
from wallwalk.climate import Band, Climate, ClimateLog, Instant, RowNote, Trace
from wallwalk.errors import Fault, InputError, quote
from wallwalk.evidence import LogRuns, combine
from wallwalk.facts import LOGS, Facts
from wallwalk.log_cells import NOTHING, Cells, Gathered, gather
from wallwalk.log_clock import AnswerWantedError, RowClock
from wallwalk.log_entry import LogEntry
from wallwalk.log_measures import LOGGED
from wallwalk.log_rows import (
    LogFaultError,
    Notes,
    OutOfOrderError,
    Row,
    columns_of,
    open_log,
    rows_as_written,
    rows_sorted,
)
from wallwalk.log_runs import AtInstant, BandRuns, Read, Stay, Tracing
from wallwalk.log_table import Columns
from wallwalk.questions import SPACE
from wallwalk.resources import find_named
from wallwalk.rules import GUARDED, UNKNOWN, RuleSet
from wallwalk.spans import EVER, union
from wallwalk.survey import Survey
from wallwalk.values import Bound, Interval
from wallwalk.words import words_in


@dataclass(frozen=True, slots=True)
class _Read:
    """One log once read."""

    log: ClimateLog
    bands: Mapping[Band, LogRuns]
    instants: Mapping[Instant, Interval | None]
    missing: Mapping[str, tuple[Missing, ...]]


def read_climate(survey: Survey, rule_set: RuleSet, folder: Path) -> Survey:
    """The survey with what its logs say, read from files in `folder`, its own. Raises `InputError`."""
    listed = survey.space.rolls.get(LOGS, NO_ENTRIES)
    bands, instants = asked_of_logs(survey, rule_set)
    reader = _Reader(survey, rule_set, folder, bands, instants)
    read = [reader.log(f"{LOGS}[{i}]", answers) for i, answers in enumerate(listed.entries)]
    if reader.faults:
        raise InputError(reader.faults)
    return dataclasses.replace(survey, climate=_together(read, listed, bands, instants))


def asked_of_logs(survey: Survey, rule_set: RuleSet) -> tuple[tuple[Band, ...], tuple[Instant, ...]]:
    """Every band and every moment that the facts of `rule_set` ask of the logs of `survey`."""
    asked: dict[Band | Instant, None] = {}
    decisions = {rule_set.decision, GUARDED}  # a simple decision still says what a guarded one would have said
    for fact in rule_set.facts.values():
        logged = [part for part in fact.expression.parts() if part.is_logged]
        for subject, decision in pairs(survey.subjects(fact.about), sorted(decisions)) if logged else ():
            facts = Facts(dataclasses.replace(rule_set, decision=decision), survey, subject)
            asked.update({a: None for part in logged if (a := facts.logged_by(part)) is not None})
    bands = tuple(a for a in asked if isinstance(a, Band))
    return bands, tuple(a for a in asked if isinstance(a, Instant))


def _together(read: Iterable[_Read], listed: Entries, bands: Iterable[Band], instants: Iterable[Instant]) -> Climate:
    """All logs as one: the air at a moment is somewhere in what any of them shows, and they are all there are."""
    several = tuple(read)
    missing: dict[str, dict[Missing, None]] = {kind: {} for kind in LOGGED}
    for one in several:
        for kind, lacking in one.missing.items():
            missing[kind].update(dict.fromkeys(lacking))
    at: dict[Instant, Interval] = {}
    for instant in instants:
        shown = [one.instants.get(instant) for one in several]
        known = [one for one in shown if one is not None]
        if listed.complete and known and len(known) == len(shown):
            at[instant] = Interval(instant.kind, min(k.low for k in known), max(k.high for k in known))
    return Climate(
        logs=tuple(one.log for one in several),
        bands={b: combine(b.kind, [one.bands[b] for one in several], complete=listed.complete) for b in bands},
        instants=at,
        missing={kind: tuple(lacking) for kind, lacking in missing.items()},
    )


class _Reader:
    """Reads the logs of one survey, collecting faults."""

    def __init__(
        self, survey: Survey, rule_set: RuleSet, folder: Path, bands: Iterable[Band], instants: Iterable[Instant]
    ) -> None:
        self.survey = survey
        self.rule_set = rule_set
        self.words = words_in(rule_set.language)
        self.folder = folder
        self.bands = tuple(bands)
        self.instants = tuple(instants)
        self.faults: list[Fault] = []
        self.seen: dict[Path, str] = {}

    def log(self, place: str, answers: Answers) -> _Read:
        """One log; with nothing in it where the survey lacks what it takes to read it, or it has a fault."""
        path = self._path(place, answers)
        if path is None:
            return self._nothing(LogEntry(place, answers, self.folder), {"file": NOT_ANSWERED})
        entry = LogEntry(place, answers, path)
        wanting = {key: NOT_ANSWERED for key in ("every", "began", "ended") if key not in answers}
        if wanting:
            return self._nothing(entry, wanting)
        try:
            return self._read(entry)
        except AnswerWantedError as wanted:
            return self._nothing(entry, {wanted.wants: self.words.tell(wanted.lacking, **wanted.parts)})
        except LogFaultError as fault:
            file = entry.text("file") or ""
            if fault.line:
                self.faults.append(Fault(file, fault.line, "", fault.found, fault.instead))
            else:
                found = f"is {quote(entry.text(fault.key))}, which {fault.found}"
                self._fault(entry, fault.key, found, fault.instead)
        return self._nothing(entry, {})

    def _path(self, place: str, answers: Answers) -> Path | None:
        """The log's file, in the survey's own folder or below it, or None where it is not answered or is a fault."""
        named = answers.get("file")
        if named is None:
            return None
        entry = LogEntry(place, answers, self.folder)
        written = named.value.written
        path = find_named(self.folder, written)
        if path is None:
            advice = "put the file beside the survey, and write its name"
            self._fault(entry, "file", f"is {quote(written)}, which is not in the folder of the survey", advice)
            return None
        if path in self.seen:
            self._fault(entry, "file", f"is {quote(written)}, as {self.seen[path]}.file is", "name each file once")
            return None
        self.seen[path] = place
        return path

    def _fault(self, entry: LogEntry, key: str, found: str, instead: str) -> None:
        line = entry.answers[key].line if key in entry.answers else 0
        self.faults.append(Fault(self.survey.file, line, f"{entry.place}.{key}", found, instead))

    def _missing(self, entry: LogEntry, key: str, lacking: str) -> Missing:
        asked = self.rule_set.questions.find(SPACE, f"{LOGS}.{key}")
        return Missing(f"{entry.place}.{key}", asked.title if asked else key, lacking)

    def _nothing(self, entry: LogEntry, wanting: Mapping[str, str]) -> _Read:
        """A log that shows nothing, and why."""
        missing = tuple(self._missing(entry, key, lacking) for key, lacking in wanting.items())
        log = self._described(entry, "", Notes(), NOTHING, {}, {}, None)
        empty = LogRuns((), EVER, ())
        return _Read(log, dict.fromkeys(self.bands, empty), {}, dict.fromkeys(LOGGED, missing))

    def _read(self, entry: LogEntry) -> _Read:
        stay, before = entry.stay(), _digest(entry.path)
        columns = columns_of(entry.path, entry.form())
        clock = RowClock(entry.clock(self.survey.zone, columns), entry.text("date_order"))
        try:
            read = self._pass(entry, stay, columns, lambda notes: rows_as_written(entry.path, columns, clock, notes))
        except OutOfOrderError:
            read = self._pass(entry, stay, columns, lambda notes: rows_sorted(entry.path, columns, clock, notes))
        if read.log.sha256 != before:  # the record would name bytes that nobody read
            raise LogFaultError(0, "changed while it was read", "let the logger finish its file, and check again")
        return read

    def _pass(self, entry: LogEntry, stay: Stay, columns: Columns, rows: Callable[[Notes], Iterator[Row]]) -> _Read:
        """Takes every row once past every gatherer."""
        notes = Notes()
        units = {kind: entry.unit(kind, columns) for kind in LOGGED}
        cells = {
            kind: Cells(
                kind, unit, entry.interval(f"instrument.uncertainty.{kind}"), comma=entry.text("decimal_comma") == "yes"
            )
            for kind, unit in units.items()
        }
        missing = {kind: tuple(self._wanting(entry, kind, columns, cells[kind])) for kind in LOGGED}
        reads = {(kind, guarded): self._reads(entry, cells[kind], guarded=guarded) for kind, guarded in _EITHER}
        bands = {b: BandRuns(b, reads[b.kind, b.guarded], stay) for b in self.bands}
        instants = {i: AtInstant(i, reads[i.kind, i.guarded], stay) for i in self.instants}
        traces = {
            k: Tracing(k, unit.spellings[0], cells[k].read, stay) for k, unit in units.items() if unit is not None
        }
        takers = {
            kind: [
                *(gatherer.add for band, gatherer in bands.items() if band.kind == kind),
                *(gatherer.add for instant, gatherer in instants.items() if instant.kind == kind),
                *(tracing.add for traced, tracing in traces.items() if traced == kind),
            ]
            for kind in LOGGED
        }
        until = self._usable_until(entry, stay)
        gathered = gather(stay, until, rows(notes), notes, tuple(cells.values()), takers)
        runs = {band: gatherer.finish() for band, gatherer in bands.items()}
        drawn = {kind: trace for kind, tracing in traces.items() if (trace := tracing.finish()) is not None}
        log = self._described(entry, _digest(entry.path), notes, gathered, drawn, self._drawn(runs), columns)
        return _Read(log, runs, {i: gatherer.finish() for i, gatherer in instants.items()}, missing)

    def _drawn(self, runs: Mapping[Band, LogRuns]) -> dict[str, LogRuns]:
        """The runs that are drawn: of each quantity, those against the first band it is held against."""
        guarded = self.rule_set.decision == GUARDED
        drawn: dict[str, LogRuns] = {}
        for band, found in runs.items():
            if band.guarded == guarded:
                drawn.setdefault(band.kind, found)
        return drawn

    def _wanting(self, entry: LogEntry, kind: str, columns: Columns, cells: Cells) -> Iterator[Missing]:
        """What keeps one quantity of a log from being evidence."""
        if kind in columns.wanting:
            wanted = columns.wanting[kind]
            yield self._missing(entry, wanted.wants, self.words.tell(wanted.lacking, **wanted.parts))
        elif cells.unit is None:
            lacking = self.words.say("the header does not say whether it is °C or °F")
            yield self._missing(entry, "temperature_unit", lacking)
        through = self._missing_instrument(entry)
        if through is not None:
            yield through
            return
        if self.rule_set.decision == GUARDED and cells.spread is None:
            yield self._missing(entry, f"instrument.uncertainty.{kind}", NOT_ANSWERED)
        if self.rule_set.uncalibrated == UNKNOWN and entry.interval("instrument.calibration_due") is None:
            yield self._missing(entry, "instrument.calibration_due", NOT_ANSWERED)

    def _missing_instrument(self, entry: LogEntry) -> Missing | None:
        if "instrument.name" in entry.answers:
            return None
        named = entry.text("instrument")
        if named is None:
            return self._missing(entry, "instrument", NOT_ANSWERED)
        listed = self.words.say("instruments")
        said = self.words.say("{name} is not in the list of {list}", name=quote(named), list=listed)
        return self._missing(entry, "instrument", said)

    def _reads(self, entry: LogEntry, cells: Cells, *, guarded: bool) -> Read:
        """How a cell is read: as well as its instrument knows it; not at all, where that is not known."""
        uncalibrated = entry.interval("instrument.calibration_due") is None
        if uncalibrated and self.rule_set.uncalibrated == UNKNOWN:
            return lambda _cell: None
        return cells.read_guarded if guarded else cells.read

    def _usable_until(self, entry: LogEntry, stay: Stay) -> Bound:
        """The last moment whose rows count: the log's own end, or that of its calibration."""
        due = entry.interval("instrument.calibration_due")
        if due is None or self.rule_set.uncalibrated != UNKNOWN:
            return stay.ended.low
        return min(stay.ended.low, due.low)

    def _described(
        self,
        entry: LogEntry,
        sha256: str,
        notes: Notes,
        gathered: Gathered,
        drawn: Mapping[str, Trace],
        runs: Mapping[str, LogRuns],
        columns: Columns | None,
    ) -> ClimateLog:
        return ClimateLog(
            place=entry.place,
            file=entry.text("file") or "",
            sha256=sha256,
            stood=entry.text("place") or "",
            instrument=entry.text("instrument") or "",
            every=entry.text("every") or "",
            rows=gathered.rows,
            first=gathered.first,
            last=gathered.last,
            notes=tuple(RowNote(what, tuple(lines), notes.counts[what]) for what, lines in notes.lines.items()),
            traces=drawn,
            unseen=union(*(r.unseen for r in runs.values())),
            outside={kind: combine(kind, [r], complete=True).outside for kind, r in runs.items()},
            columns={} if columns is None else columns.names,
        )


_EITHER = tuple((kind, guarded) for kind in LOGGED for guarded in (True, False))


def _digest(path: Path) -> str:
    """The SHA-256 of a log's bytes. Raises `LogFaultError`."""
    with open_log(path) as file:
        return hashlib.file_digest(file.buffer, "sha256").hexdigest()  # type: ignore[arg-type]
