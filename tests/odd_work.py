"""Work for processes of its own that a word can kill, end or hold up."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable


def make_odd_worker() -> Callable[[str], str]:
    """Makes the work, in its process."""
    return _work


def _work(word: str) -> str:
    if word == "kill":
        os.kill(os.getpid(), signal.SIGKILL)
    if word == "leave":
        os._exit(7)
    if word == "sleep":
        time.sleep(60)
    return f"{word} by {os.getpid()}"


def lost(word: str, why: str) -> str:
    """What is said of a word that cost its process."""
    return f"{word} {why}"
