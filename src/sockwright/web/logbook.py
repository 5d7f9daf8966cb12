"""Where a server writes what went wrong: all of it in a file, a line of each fault on the terminal.

What comes through the network is never written as it came: no line may look like another one, or
steer a terminal.
"""

from __future__ import annotations

import logging
import sys
import threading
import time
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import TextIOWrapper
from logging.handlers import RotatingFileHandler
from pathlib import Path
from typing import Any, Final, TextIO

from sockwright.store.files import make_private_file, make_private_folder
from sockwright.web.errors import new_reference

MOST_FILE_BYTES: Final = 1_000_000
"""Of the file; then it is put aside as NAME.1."""

MOST_FILES: Final = 3
"""Files put aside at once."""

WINDOW_S: Final = 60.0
MOST_FAULTS: Final = 30
"""Faults written in that time; of those beyond, nothing but their number."""

MOST_TOLD: Final = 5
"""Lines on the terminal in that time."""

MOST_NOTES: Final = 30
"""Lines in that time about what clients do: bad requests, hang-ups."""

LONGEST_LINE: Final = 300

_OURS: Final = "sockwright.web"

Clock = Callable[[], float]


def in_a_line(text: str) -> str:
    """A text that cannot be taken for anything but a part of one line."""
    cut = text[: LONGEST_LINE + 1]
    told = cut if cut.isprintable() else "".join(map(_printable, cut))
    return told if len(told) <= LONGEST_LINE else f"{told[: LONGEST_LINE - 1]}…"


def _printable(sign: str) -> str:
    return sign if sign.isprintable() else sign.encode("unicode_escape").decode("ascii")


class _Bound:
    """So many in WINDOW_S; the first after that is told how many were left out."""

    def __init__(self, most: int, clock: Clock) -> None:
        self._most, self._clock = most, clock
        self._began, self._count = clock(), 0

    def take(self) -> str | None:
        """None for one too many; else what to add to the line."""
        now, left_out = self._clock(), 0
        if now - self._began >= WINDOW_S:
            left_out = max(0, self._count - self._most)
            self._began, self._count = now, 0
        self._count += 1
        if self._count > self._most:
            return None
        return f" (and {left_out} before that are not told)" if left_out else ""


class TerminalHandler(logging.Handler):
    """A line of each fault, with its reference and where the rest of it stands."""

    def __init__(self, stream: TextIO, place: Path | None, clock: Clock = time.monotonic) -> None:
        super().__init__(logging.ERROR)
        self._stream, self._place = stream, place
        self._bound = _Bound(MOST_TOLD, clock)

    def emit(self, record: logging.LogRecord) -> None:
        """Tell of a fault; of anything else nothing."""
        more = self._bound.take() if _is_fault(record) else None
        if more is None:
            return
        at = time.strftime("%H:%M:%S", time.localtime(record.created))
        rest = "" if self._place is None else f"; more in {self._place}"
        what = in_a_line(record.getMessage())
        try:
            self._stream.write(f"{at} fault {_reference(record)}: {what}{rest}{more}\n")
            self._stream.flush()
        except (OSError, ValueError):
            pass  # nobody reads it any more


class LogFile(RotatingFileHandler):
    """All of it, for the owner alone, made when there is something to write.

    Where it cannot be written, the terminal has to do.
    """

    def __init__(self, file: Path, clock: Clock = time.monotonic) -> None:
        self._faults, self._notes = _Bound(MOST_FAULTS, clock), _Bound(MOST_NOTES, clock)
        super().__init__(
            file,
            maxBytes=MOST_FILE_BYTES,
            backupCount=MOST_FILES,
            encoding="utf-8",
            delay=True,
            errors="backslashreplace",
        )

    def emit(self, record: logging.LogRecord) -> None:
        """Write it, if there was not too much already."""
        more = (self._faults if _is_fault(record) else self._notes).take()
        if more is not None:
            record.__dict__["more"] = more
            super().emit(record)

    def format(self, record: logging.LogRecord) -> str:
        """Its line, and the traceback of a fault."""
        at = time.strftime("%Y-%m-%d %H:%M:%S", time.localtime(record.created))
        fault = f" {_reference(record)}" if _is_fault(record) else ""
        line = in_a_line(record.getMessage())
        first = f"{at} {record.levelname}{fault} {line}{record.__dict__['more']}"
        return "\n".join((first, *_traceback(record)))

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802
        """Let it be: a full disk is no reason to fill a terminal."""

    def _open(self) -> TextIOWrapper:
        file = Path(self.baseFilename)
        make_private_folder(file.parent)
        make_private_file(file)
        return super()._open()


def _is_fault(record: logging.LogRecord) -> bool:
    """Whether it tells of an error; that something was cancelled at the end is none."""
    return record.exc_info is not None and isinstance(record.exc_info[1], Exception)


def _reference(record: logging.LogRecord) -> str:
    return str(record.__dict__.setdefault("reference", new_reference()))


def _traceback(record: logging.LogRecord) -> Iterator[str]:
    if record.exc_info and _is_fault(record):
        for part in traceback.format_exception(record.exc_info[1]):
            yield from (in_a_line(line) for line in part.splitlines())


@contextmanager
def logged(file: Path | None, stream: TextIO | None = None) -> Iterator[None]:
    """While it lasts, whatever goes wrong in the server is written to `file`, and in short to
    `stream`, which is stderr if none is named."""
    handlers: list[logging.Handler] = [TerminalHandler(stream or sys.stderr, file)]
    handlers += [] if file is None else [LogFile(file)]
    # At the root: what no handler takes is printed as it is, whichever library says it.
    root, ours = logging.getLogger(), logging.getLogger(_OURS)
    before = ours.level, sys.unraisablehook, threading.excepthook
    ours.setLevel(logging.INFO)
    sys.unraisablehook = threading.excepthook = _uncaught
    for handler in handlers:
        root.addHandler(handler)
    try:
        yield
    finally:
        level, sys.unraisablehook, threading.excepthook = before
        ours.setLevel(level)
        for handler in handlers:
            root.removeHandler(handler)
            handler.close()


def _uncaught(hook: Any) -> None:
    """What nobody could catch any more: in a destructor, or at the end of a thread."""
    caught = (hook.exc_type, hook.exc_value, hook.exc_traceback)
    logging.getLogger(_OURS).error("in passing", exc_info=caught)
