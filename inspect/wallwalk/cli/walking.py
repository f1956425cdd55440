"""The interview in a terminal: lines in and out, every answer saved at once. It needs no mouse, colour or cursor."""

from __future__ import annotations

import io
import os
import shlex
import sys
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wallwalk.cli.options import lang_option, overlay_option, rules_option
from wallwalk.cli.telling import tell
from wallwalk.errors import on_one_line
from wallwalk.languages import ENGLISH

if TYPE_CHECKING:
    from wallwalk.cli.walked import Walked
    from wallwalk.words import Words

_PROMPT = "> "


@click.command(
    epilog="Exit codes: 0 the work may start; 1 it may not, or you stopped by Ctrl-C; 2 input or usage error."
)
@click.argument("survey", type=click.Path(path_type=Path))
@rules_option
@overlay_option
@lang_option
def walk(survey: Path, rules_name: str | None, overlays: tuple[Path, ...], language: str) -> None:
    """Ask the questions that matter, one by one, and write the answers to SURVEY; it goes on where it was left.

    Every answer is saved at once. A SURVEY that is there loses its comments; as it was, it is kept as SURVEY.before.
    """
    from wallwalk.cli.walked import open_walk
    from wallwalk.writing import refuse_folder

    refuse_folder(survey)  # before anything is asked, and not once the first answer is to be saved
    walked = open_walk(survey, rules_name, overlays, language, machine_zone())
    again = typed_again(survey, rules_name, overlays, language)
    sys.exit(talk(walked, again))


def typed_again(survey: Path, rules_name: str | None, overlays: tuple[Path, ...], language: str) -> str:
    """The survey and the options as they are typed again, since the file does not say what was only typed."""
    laid = [part for overlay in overlays for part in ("--overlay", str(overlay))]
    named = ["--rules", rules_name] if rules_name else []
    told = ["--lang", language] if language != ENGLISH else []
    return on_one_line(shlex.join([str(survey), *named, *laid, *told]))


def talk(walked: Walked, again: str) -> int:
    """Ask until nothing is left, or no more lines come; the exit code. `again`: what the next command takes."""
    from wallwalk.interview.talk import begin, reply
    from wallwalk.report.manual import relaxed_by_overlays

    words = walked.setting.words
    turn = begin(walked.setting, walked.data)
    state = turn.state
    if walked.file.to_keep is not None:
        lost = words.say("Comments are not kept in {file}; as it is now, it is kept as {before}.", **_files(walked))
        tell(f"{lost}\n")
    for relaxed in relaxed_by_overlays(walked.setting.rule_set):
        tell(relaxed)
    try:
        _say(turn.says)
        while not state.ended and (line := _next_line()) is not None:
            turn = reply(state, line, datetime.now().astimezone())
            if turn.state.kept is not state.kept:
                walked.save(turn.state.kept)
            state = turn.state
            _say(turn.says)
    except KeyboardInterrupt:
        tell()
        _say_where(walked, words, again, stopped=True)
        return 1
    _say_where(walked, words, again, stopped=False)
    return 0 if state.standing.passes else 1


def _files(walked: Walked) -> dict[str, str]:
    return {"file": on_one_line(walked.file.path), "before": on_one_line(walked.file.before.name)}


def _say(lines: Iterable[str]) -> None:
    text = "\n".join(line.rstrip() for line in lines)
    tell(text)


def _say_where(walked: Walked, words: Words, again: str, *, stopped: bool) -> None:
    file = on_one_line(walked.file.path)
    if not walked.file.path.exists():  # not by what was told of it: a save may have been stopped in the middle
        tell(words.say("Nothing was answered, so there is no file."))
    elif stopped:
        tell(words.say("Stopped. Every answer is in {file}; go on with: wallwalk walk {again}", file=file, again=again))
    else:
        tell(words.say("Every answer is in {file}. The report: wallwalk check {again}", file=file, again=again))


def _next_line() -> str | None:
    """The next line typed or piped in; None at the end. What is piped in is shown, so that a script reads well."""
    tell(_PROMPT, nl=False)
    sys.stdout.flush()
    if isinstance(sys.stdin, io.TextIOWrapper) and sys.stdin.errors != "replace":
        sys.stdin.reconfigure(errors="replace")
    line = sys.stdin.readline()
    typed = line.rstrip("\r\n")
    if not line or not sys.stdin.isatty():
        tell(typed)
    return typed if line else None


def machine_zone() -> str:
    """The IANA name of this machine's time zone, to be offered; empty where it has none."""
    from wallwalk.moments import find_zone

    link = Path("/etc/localtime")
    told = os.path.realpath(link).partition("zoneinfo/")[2] if link.is_symlink() else ""
    return next((name for name in (os.environ.get("TZ", "").lstrip(":"), told) if name and find_zone(name)), "")
