"""What can be typed instead of an answer, in English and in the language of the interview."""

from __future__ import annotations

from collections.abc import Mapping

from wallwalk.words import Words

HELP, BACK, SHOW, NEXT, DONE, COPY, UNKNOWN = "help", "back", "show", "next", "done", "copy", "unknown"
_SIGNS = {"?": HELP, "<": BACK, "-": UNKNOWN}


def _called(words: Words) -> Mapping[str, str]:
    return {
        HELP: words.say_as("command", "help"),
        BACK: words.say_as("command", "back"),
        SHOW: words.say_as("command", "show"),
        NEXT: words.say_as("command", "next"),
        DONE: words.say_as("command", "done"),
        COPY: words.say_as("command", "copy"),
        UNKNOWN: words.say_as("command", "unknown"),
    }


def read_command(typed: str, words: Words) -> str:
    """The command that `typed` is, or nothing."""
    told = typed.lower()
    if told in _SIGNS:
        return _SIGNS[told]
    return next((name for name, called in _called(words).items() if told in {name, called.lower()}), "")


def read_copy(typed: str, words: Words) -> str | None:
    """What is to be copied, as typed behind the word `copy`; None where that is not the word."""
    first, _, rest = typed.partition(" ")
    return rest.strip() if read_command(first, words) == COPY else None


def show_commands(words: Words) -> str:
    """One short paragraph that says them all."""
    return words.say(
        "Enter alone answers nothing: it leaves a question open, which is not known. ? says why a question is asked. "
        "< goes back. {next} leaves the rest of a theme open. {show} lists what holds. {done} stops. The name of a "
        "list, such as {walls}, goes to that list. - takes an answer out. Every answer is saved at once.",
        next=words.say_as("command", "next"),
        show=words.say_as("command", "show"),
        done=words.say_as("command", "done"),
        walls=words.say_as("command", "walls"),
    )
