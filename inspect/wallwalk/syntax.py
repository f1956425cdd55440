"""What the YAML parser cannot read, said in the words of someone who fills in a file, on the line to mend."""

from __future__ import annotations

from dataclasses import dataclass

import yaml

from wallwalk.errors import Fault, quote


@dataclass(frozen=True, slots=True)
class _Plain:
    """One complaint of the parser in plain words. `at_start`: the line to mend is where the entry began."""

    complaints: tuple[str, ...]
    found: str
    instead: str
    at_start: bool = False


# libyaml's wording, then that of PyYAML's own parser, which stands in where libyaml is not built.
_PLAIN = (
    _Plain(("found another document",), "starts a second document (---)", "put it in a file of its own"),
    _Plain(
        ("mapping values are not allowed",),
        "has a colon where none can stand",
        "line the entry up with its neighbours, or quote the text that holds a colon",
    ),
    _Plain(
        ("could not find expected ':'",),
        "has no colon",
        "write a name, a colon and a space, and what it is",
        at_start=True,
    ),
    _Plain(
        ("expected ',' or ']'",),
        "opens a list with [ and does not close it",
        "write ] where the list ends, and a comma between entries",
        at_start=True,
    ),
    _Plain(
        ("expected ',' or '}'",),
        "opens a group with { and does not close it",
        "write } where the group ends, and a comma between entries",
        at_start=True,
    ),
    _Plain(
        ("end of stream", "found unexpected document separator", "found unexpected document indicator"),
        "opens a quote and does not close it",
        "write the same quote sign where the text ends",
        at_start=True,
    ),
    _Plain(
        ("did not find expected key", "expected '-' indicator", "expected <block end>"),
        "lines up with nothing above",
        "indent it as far as the entries it belongs with",
    ),
    _Plain(
        ("found undefined alias",),
        "has an alias (*) that names nothing",
        "write the entry out, or quote a text that starts with *",
    ),
    _Plain(
        ("comment or line break", "comment or a line break"),
        "has a text that starts with > or |",
        "write it in quotes",
    ),
    _Plain(
        ("expected alphabetic or numeric character",),
        "has a text that starts with * or &",
        "write it in quotes",
    ),
    _Plain(
        ("sequence entries are not allowed",),
        "starts a list beside its name",
        "write the list below the name, or a text that starts with a dash in quotes",
    ),
    _Plain(
        ("maximum nesting depth",),
        "is nested too deep to read",
        "write it with fewer levels",
    ),
    _Plain(
        ("found unknown escape character",),
        "has a backslash inside double quotes",
        "write that text in single quotes",
    ),
)


def syntax_fault(error: yaml.YAMLError, file: str, text: str) -> Fault:
    """The fault that `error`, raised by the parser on `text`, tells of."""
    problem = getattr(error, "problem", None) or str(error).splitlines()[0]
    line, column = _place(getattr(error, "problem_mark", None))
    written = text.splitlines()[line - 1] if 0 < line <= len(text.splitlines()) else ""
    if "cannot start any token" in problem or "tab character" in problem:
        if "\t" in written[: column + 1]:
            return Fault(file, line, "", "is indented with a tab", "indent with spaces")
        first = written[column : column + 1]
        return Fault(file, line, "", f"has a text that starts with {first}", "write it in quotes")
    if any(word in problem for word in ("expected key", "<block end>")) and written[:column].strip():
        return Fault(file, line, "", "has text after a closing quote or bracket", "quote the whole text, or none of it")
    for plain in _PLAIN:
        if any(complaint in problem for complaint in plain.complaints):
            start, _ = _place(getattr(error, "context_mark", None)) if plain.at_start else (line, 0)
            return Fault(file, start or line, "", plain.found, plain.instead)
    advice = "check the indentation, the colons and the quotes on this line and the one above"
    return Fault(file, line, "", f"is not readable as YAML ({quote(problem)[1:-1]})", advice)


def _place(mark: object) -> tuple[int, int]:
    line, column = getattr(mark, "line", None), getattr(mark, "column", None)
    return (line + 1, column) if isinstance(line, int) and isinstance(column, int) else (0, 0)
