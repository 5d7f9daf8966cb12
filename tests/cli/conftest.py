"""The command line, run in the tests' own process."""

from __future__ import annotations

import sys
from collections.abc import Callable

import pytest

from sockwright.cli.app import main

Command = Callable[..., tuple[int, str, str]]
"""Runs the command with its arguments: (exit status, stdout, stderr)."""


@pytest.fixture
def command(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Command:
    """Run the command in this process: (exit status, stdout, stderr)."""

    def run(*arguments: object) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["sockwright", *map(str, arguments)])
        with pytest.raises(SystemExit) as stop:
            main()
        out, err = capsys.readouterr()
        return int(stop.value.code or 0), out, err

    return run
