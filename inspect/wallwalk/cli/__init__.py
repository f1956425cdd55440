"""The command line: each command parses, calls, prints and exits. Exit codes: 0 pass, 1 hold, 2 input or usage."""

from wallwalk.cli.authoring import AUTHORING
from wallwalk.cli.commands import main, rules

for command in AUTHORING:
    rules.add_command(command)

__all__ = ["main"]
