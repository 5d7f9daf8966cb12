"""`sockwright serve` as it is run: started, asked over HTTP, stopped or killed."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx2 as httpx

TESTS = Path(__file__).parent
ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+")
LAST_LINE = "Ctrl-C closes it."
PATIENCE_S = 120
"""How long a test waits for what must come, however busy the computer is, s."""


class Starter:
    """The test's side of serve_starter.py: one command at a time, quickly started."""

    def __init__(self) -> None:
        source = str(TESTS.parent / "src")
        self._standing = subprocess.Popen(
            [sys.executable, str(TESTS / "serve_starter.py")],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env={**os.environ, "PYTHONPATH": source, "OPENBLAS_NUM_THREADS": "1"},
            text=True,
        )
        self.pid = 0

    def begin(self, *arguments: object, **environment: str) -> list[str]:
        """Start a command; what it prints until it serves, or until its end."""
        assert self._standing.stdin is not None
        if self.pid:  # what a failed test left behind
            self.end(signal.SIGKILL)
        given = [[str(one) for one in arguments], environment]
        print(json.dumps(given), file=self._standing.stdin, flush=True)
        self.pid = int(self._line().removeprefix("started "))
        return self._until(LAST_LINE)

    def end(self, how: signal.Signals = signal.SIGINT) -> tuple[int, list[str]]:
        """End it by a signal: its exit status, and what it printed meanwhile."""
        os.kill(self.pid, how)
        *lines, ended = self._until("ended ")
        return int(ended.removeprefix("ended ")), lines

    def run(self, *arguments: object, **environment: str) -> tuple[int, str]:
        """Run a command that ends by itself: its exit status, and all it printed."""
        *lines, ended = self.begin(*arguments, **environment)
        return int(ended.removeprefix("ended ")), " ".join(" ".join(lines).split())

    @contextmanager
    def serving(self, *arguments: object, **environment: str) -> Iterator[tuple[str, list[str]]]:
        """Serve on a free port: the address, and the lines of the screen."""
        lines = self.begin("serve", "--port", 0, "--no-open", *arguments, **environment)
        try:
            yield address_in(lines), lines
        finally:
            assert self.end()[0] == 0

    def close(self) -> None:
        """Let the standing process end."""
        self._standing.communicate()

    def _until(self, last: str) -> list[str]:
        lines = [self._line()]
        while not lines[-1].startswith((last, "ended ")):
            lines.append(self._line())
        if lines[-1].startswith("ended "):
            self.pid = 0
        return lines

    def _line(self) -> str:
        assert self._standing.stdout is not None
        line = self._standing.stdout.readline()
        assert line, "the standing process is gone"
        return line.rstrip("\n")


def address_in(lines: list[str]) -> str:
    """Where this computer finds the workshop, from the screen."""
    found = ADDRESS.search("\n".join(lines))
    assert found is not None, lines
    return found[0]


def browser(address: str) -> httpx.Client:
    """A browser without a screen on a page there, that asks nobody else and follows nothing."""
    own = {"origin": address}
    return httpx.Client(base_url=address, headers=own, trust_env=False, timeout=PATIENCE_S)
