"""Jobs that other processes are tested with; a module that these find by its name."""

from __future__ import annotations

import os
import signal
from collections.abc import Hashable
from dataclasses import dataclass
from pathlib import Path

from sockwright.errors import SockwrightError
from sockwright.i18n.messages import _
from sockwright.web.workers import Tools


@dataclass(frozen=True)
class Dies:
    """A job that ends the process it is done in, the first time or each time."""

    mark: Path
    always: bool = False
    key: Hashable = "dies"

    def done(self, tools: Tools) -> str:
        """What it says when it lives."""
        if self.always or not self.mark.exists():
            self.mark.write_text(str(os.getpid()))
            os.kill(os.getpid(), signal.SIGKILL)
        return "lived"


@dataclass(frozen=True)
class Fails:
    """A job that fails: in a way that is foreseen, or not."""

    foreseen: bool
    key: Hashable = "fails"

    def done(self, tools: Tools) -> None:
        """Raise."""
        if self.foreseen:
            raise SockwrightError(_("{what} is wrong", what="this"))
        raise ZeroDivisionError("by nothing")


@dataclass(frozen=True)
class Names:
    """A job that tells which process does it."""

    key: Hashable
    heavy: bool = False

    def done(self, tools: Tools) -> tuple[int, int]:
        """The process's number, and how far it stands back."""
        return os.getpid(), os.nice(0)
