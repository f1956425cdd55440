"""Firefox for tests, driven by WebDriver BiDi (W3C) over its own socket: another engine than the one of most phones."""

from __future__ import annotations

import json
import re
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from websockets.sync.client import ClientConnection, connect

FIREFOX = "/usr/bin/firefox-esr"
_LISTENS = re.compile(r"BiDi listening on (ws://\S+)")


class Tab:
    """One page of a running Firefox."""

    def __init__(self, socket: ClientConnection) -> None:
        self._socket = socket
        self._number = 0
        self._ask("session.new", capabilities={})
        self._context = self._ask("browsingContext.getTree")["contexts"][0]["context"]

    def _ask(self, method: str, **parameters: Any) -> Any:  # noqa: ANN401 - whatever the browser answers
        self._number += 1
        self._socket.send(json.dumps({"id": self._number, "method": method, "params": parameters}))
        while True:
            answer = json.loads(self._socket.recv(timeout=120))
            if answer.get("id") == self._number:
                assert answer["type"] == "success", answer
                return answer["result"]

    def goto(self, url: str) -> None:
        """Open a page and wait until it is there."""
        self._ask("browsingContext.navigate", context=self._context, url=url, wait="complete")

    def call(self, function: str, text: str = "") -> str:
        """What a function of the page, given a text, gives as text. Raises `AssertionError` with what it threw."""
        told = self._ask(
            "script.callFunction",
            functionDeclaration=function,
            target={"context": self._context},
            arguments=[{"type": "string", "value": text}],
            awaitPromise=True,
        )
        assert told["type"] == "success", told
        return str(told["result"]["value"])


@contextmanager
def firefox() -> Iterator[Tab]:
    """The machine's Firefox without a screen, for as long as the block runs."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        command = [FIREFOX, "--headless", "--no-remote", "--profile", profile, "--remote-debugging-port", "0"]
        (Path(profile) / "user.js").write_text(
            'user_pref("network.proxy.type", 0);\nuser_pref("network.online", false);\n'
        )
        with subprocess.Popen(command, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True) as running:
            try:
                with connect(f"{_address(running)}/session", max_size=None, open_timeout=60) as socket:
                    yield Tab(socket)
            finally:
                running.kill()


def _address(running: subprocess.Popen[str]) -> str:
    """Where it listens, which it says when it is ready."""
    assert running.stderr is not None
    for line in running.stderr:
        if found := _LISTENS.search(line):
            return found[1]
    raise AssertionError("Firefox ended before it listened")
