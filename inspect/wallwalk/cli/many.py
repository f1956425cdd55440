"""Checks many surveys in one call: a line for each in the order given, a line for all, and the records in one file."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import ExitStack
from functools import partial
from pathlib import Path

import click

from wallwalk.batch import Checker, Row, Wanted
from wallwalk.checking import load_rule_set
from wallwalk.cli.outputs import RECORDS, refuse_reads
from wallwalk.cli.stopping import MOST_FAULTS
from wallwalk.cli.telling import tell, tell_line
from wallwalk.cli.workers import in_workers
from wallwalk.errors import on_one_line
from wallwalk.filing import canonical
from wallwalk.report.line import render_line
from wallwalk.survey_files import FoundFile, survey_files
from wallwalk.values import Verdict
from wallwalk.words import Words, words_in
from wallwalk.writing import writing_whole

_NONE_FOUND = "no survey was found; give files, or folders that hold some"


def check_many(
    surveys: tuple[Path, ...], outputs: tuple[Path, ...], wanted: Wanted, jobs: int, *, overwrite: bool
) -> int:
    """Check all of `surveys`, print a line for each, and give the exit code: that of the worst of them."""
    target = _records_target(outputs)
    refuse_reads(outputs, (*surveys, *wanted.overlays))
    if wanted.rules_name is not None:
        load_rule_set(wanted.rules_name, wanted.overlays, wanted.language)  # one fault, and not one for each survey
    words, tally = words_in(wanted.language), _Tally()
    with ExitStack() as open_:
        write = open_.enter_context(writing_whole(target, overwrite=overwrite)) if target else None
        for row in _with_progress(_rows(surveys, wanted, jobs), surveys):
            _say(row, words)
            tally.add(row)
            if write is not None and not row.passed_over:
                write((row.record or _not_checked(row)) + b"\n")
        if tally.surveys == 0:
            tell(_NONE_FOUND, err=True)
    tell(tally.line(words))
    if target:
        tell_line(f"Wrote {target}")
    return tally.exit_code


def _not_checked(row: Row) -> bytes:
    """The line of a survey that has no record, so that who reads the records alone misses none."""
    return canonical({"file": _as_text(row.file), "faults": [*map(_as_text, row.faults)]})


def _as_text(said: str) -> str:
    """What is said, with a byte of a file's name that is no UTF-8 by its number."""
    return said.encode("utf-8", "backslashreplace").decode("utf-8")


def _records_target(outputs: tuple[Path, ...]) -> Path | None:
    for path in outputs:
        if path.suffix.lower() != RECORDS:
            found, advice = "is a report of one survey", f"give the records in a file that ends in {RECORDS}"
            raise click.UsageError(f'"{on_one_line(path)}" {found}; of several, {advice}')
    if len(outputs) > 1:
        raise click.UsageError(f"the records of all go into one file; give one that ends in {RECORDS}")
    return outputs[0] if outputs else None


def _rows(surveys: tuple[Path, ...], wanted: Wanted, jobs: int) -> Iterator[Row]:
    found = survey_files(surveys)
    return map(Checker(wanted), found) if jobs == 1 else in_workers(found, partial(Checker, wanted), _lost, jobs)


def _lost(found: FoundFile, why: str) -> Row:
    return Row(file := on_one_line(found.path), faults=(f"{file}: {why}; check it alone",))


def _with_progress(rows: Iterator[Row], surveys: tuple[Path, ...]) -> Iterator[Row]:
    """The rows, with a bar on standard error where that is a terminal; it makes way for each row's line."""
    if not sys.stderr.isatty():
        yield from rows
        return
    with click.progressbar(rows, length=sum(1 for _ in survey_files(surveys)), file=sys.stderr) as bar:
        for row in bar:
            click.echo("\r\x1b[K", err=True, nl=False)
            yield row


def _say(row: Row, words: Words) -> None:
    if row.summary is not None:
        tell_line(render_line(row.file, row.summary, words))
    elif row.passed_over:
        tell_line(" | ".join((words.say("passed over"), row.file, row.passed_over)))
    else:
        tell_line(" | ".join((words.say("NOT CHECKED"), row.file)))
        faults = "\n".join(row.faults[:MOST_FAULTS])
        tell(faults, err=True)
        if len(row.faults) > MOST_FAULTS:
            tell(f"and {len(row.faults) - MOST_FAULTS:,} more of the kind; put these right first", err=True)


class _Tally:
    """How many of each there were."""

    def __init__(self) -> None:
        self.passes = self.holds = self.not_checked = self.passed_over = 0

    @property
    def surveys(self) -> int:
        return self.passes + self.holds + self.not_checked

    def add(self, row: Row) -> None:
        if row.summary is not None:
            self.passes += row.summary.verdict is Verdict.PASS
            self.holds += row.summary.verdict is not Verdict.PASS
        elif row.passed_over:
            self.passed_over += 1
        else:
            self.not_checked += 1

    def line(self, words: Words) -> str:
        return words.say(
            "Surveys: {surveys}. Pass: {passes}. Hold: {holds}. Not checked: {failed}. Files passed over: {over}.",
            surveys=words.show_count(self.surveys),
            passes=words.show_count(self.passes),
            holds=words.show_count(self.holds),
            failed=words.show_count(self.not_checked),
            over=words.show_count(self.passed_over),
        )

    @property
    def exit_code(self) -> int:
        """That of the worst: 2 where one could not be checked, or there was none; else 1 where one holds."""
        if self.not_checked or not self.surveys:
            return 2
        return 1 if self.holds else 0
