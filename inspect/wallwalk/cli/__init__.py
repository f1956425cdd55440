"""The command line: each command parses, calls, prints and exits. Exit codes: 0 pass, 1 hold, 2 input or usage."""

from wallwalk.cli import authoring as authoring  # its commands join the group
from wallwalk.cli.commands import main

__all__ = ["main"]
