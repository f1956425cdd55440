"""How a command stops: one clear message on standard error and exit code 2, never a traceback."""

from __future__ import annotations

import errno
import io
import os
import shlex
import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType
from typing import Any, TextIO

import click

from wallwalk.cli.telling import tell
from wallwalk.errors import InputError, MissingPartError, on_one_line, quote

MOST_FAULTS = 100

NO_MEMORY = "stopped: there is not enough memory; end other programs, or give smaller files"
_FAULT = "stopped: met a fault of this program ({told}); send this line and your files to its makers"
NO_OUTPUT = "standard output is closed; let it go to a terminal, a file or /dev/null"

_SURVEYS = (".yaml", ".yml")
_ADVICE = {
    errno.EMFILE: "ask for fewer --jobs, or let more files be open (ulimit -n)",
    errno.ENAMETOOLONG: "give a shorter name",
}
_SURVEYS = (".yaml", ".yml")
_ROOM = "give other files, or make room"


class Group(click.Group):
    """A group whose commands end with a message, whatever goes wrong, and which knows what is meant where none is."""

    def main(self, *args: Any, **extra: Any) -> Any:  # noqa: ANN401 - click's own signature
        """Run the program. Ctrl-C, SIGTERM and a terminal that is closed all stop it in order, with exit code 2."""
        with _ends_well(), _stops_in_order():
            _open_closed_streams()
            return super().main(*args, **extra)

    def make_context(self, *args: Any, **extra: Any) -> click.Context:  # noqa: ANN401 - click's own signature
        """Read the command line; `--help` is said here."""
        with _ends_well():
            return super().make_context(*args, **extra)

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """`help` in front of a command, or alone, is what `--help` behind it is."""
        return super().parse_args(ctx, [*args[1:], "--help"] if args[:1] == ["help"] else args)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that `args` begin with; a file in its place is told what can be done with it."""
        if args[0] not in self.commands and _may_be_survey(args[0]):
            typed = f"{ctx.find_root().command_path} check {shlex.quote(args[0])}"
            ctx.fail(f"{quote(args[0])} is no command; to check it, write: {typed}")
        return super().resolve_command(ctx, args)

    def invoke(self, ctx: click.Context) -> Any:  # noqa: ANN401 - click's own signature
        """Run the command."""
        with _ends_well():
            return super().invoke(ctx)


def _may_be_survey(typed: str) -> bool:
    try:
        return Path(typed).suffix.lower() in _SURVEYS or Path(typed).exists()
    except (OSError, ValueError):  # what no file can be called
        return False


@contextmanager
def _ends_well() -> Iterator[None]:
    """What goes wrong in the block is said, and ends the program with exit code 2."""
    try:
        try:
            yield
        finally:
            sys.stdout.flush()  # here, where a full disk can still be said
    except (click.ClickException, click.exceptions.Exit, click.Abort) as error:
        raise _shown(error) from error.__cause__
    except (InputError, MissingPartError) as error:
        lines = str(error).split("\n")
        _say(*lines[:MOST_FAULTS])
        if len(lines) > MOST_FAULTS:
            _say(f"and {len(lines) - MOST_FAULTS:,} more of the kind; put these right first")
    except KeyboardInterrupt:
        _say("stopped")
    except OSError as error:
        sys.stdout = _nowhere()  # what it still holds cannot be said
        if not isinstance(error, BrokenPipeError):
            _say(told_of(error))
    except Exception as error:  # noqa: BLE001 - exit code 1 would say that the room holds
        _say(told_of(error))
    else:
        return
    sys.exit(2)


def _shown(error: Exception) -> Exception:
    """What click says by itself; what was typed is said again there, and may be the name of a file."""
    if not isinstance(error, click.UsageError):
        return error
    return click.UsageError(on_one_line(error.format_message()), error.ctx)


def told_of(error: Exception) -> str:
    """What is said of an error that nothing else has a message for."""
    if isinstance(error, OSError):
        return f"stopped: {error}; {_ADVICE.get(error.errno or 0, _ROOM)}"
    return NO_MEMORY if _lacks_memory(error) else _FAULT.format(told=_told(error))


def _lacks_memory(error: Exception) -> bool:
    """Whether memory was what failed; the system's loader says so in its own way, of a part that it cannot lay out."""
    return isinstance(error, MemoryError) or (isinstance(error, ImportError) and "failed to map segment" in str(error))


def _told(error: Exception) -> str:
    """What happened, and in which line of the program."""
    at = error.__traceback__
    while at is not None and at.tb_next is not None:
        at = at.tb_next
    place = f", {Path(at.tb_frame.f_code.co_filename).name}:{at.tb_lineno}" if at is not None else ""
    return f"{type(error).__name__}: {error}{place}"


def _say(*lines: str) -> None:
    try:
        said = "\n".join(lines)
        tell(said, err=True)
    except OSError:  # nobody is there to be told; the exit code still says it
        sys.stderr = _nowhere()


def _nowhere() -> TextIO:
    return Path(os.devnull).open("w", encoding="utf-8")  # lasts to the end of the program


@contextmanager
def _stops_in_order() -> Iterator[None]:
    """SIGTERM, and SIGHUP where it is not ignored, are taken as Ctrl-C is, so that nothing is left half done."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    named = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    before = {number: signal.signal(number, _stop) for number in named if signal.getsignal(number) == signal.SIG_DFL}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _stop(_number: int, _frame: FrameType | None) -> None:
    raise KeyboardInterrupt


def _open_closed_streams() -> None:
    """Where a standard stream is closed, nothing else may be given its number, and what is read there is at its end.

    Raises `MissingPartError` where standard output is closed: a verdict that nobody can read is none.
    """
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            os.set_inheritable(os.open(os.devnull, os.O_RDWR), True)  # the lowest number that is free: this one
    if sys.stdin is None:
        sys.stdin = Path(os.devnull).open(encoding="utf-8")  # noqa: SIM115 - lasts to the end of the program
    if sys.stderr is None:
        sys.stderr = _nowhere()
    if sys.stdout is None:
        sys.stdout = _nowhere()
        raise MissingPartError(NO_OUTPUT)


def speak_any_terminal() -> None:
    """Let letters that the terminal cannot show be written as escapes, rather than end the program."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
