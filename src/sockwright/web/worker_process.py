"""A process that does jobs one after the other, at one end of a pair of sockets.

It first says that it is ready; then each job that comes is
answered with whether it was done, and its answer or what it raised. It ends when the other end is
closed, in whatever way: it never outlives the server.
"""

from __future__ import annotations

import gc
import os
import pickle
import signal
import socket
import struct
from contextlib import suppress
from typing import Any, Final

HEAD: Final = struct.Struct("!Q")
"""What stands before each message: how many bytes it has."""

READY: Final = "ready"

COLLECT_AFTER: Final = 20_000
"""New objects before unreachable ones are looked for: a plan makes many that all stay reachable,
and Python's own 700 cost a tenth of its time."""


class NotDone(Exception):
    """A job that failed in a way that nobody foresaw; its text is the traceback."""


def packed(message: object) -> bytes:
    """A message as it is sent."""
    body = pickle.dumps(message, pickle.HIGHEST_PROTOCOL)
    return HEAD.pack(len(body)) + body


def collect_seldom() -> None:
    """Let the collector of unreachable objects pass over what is loaded, and come less often."""
    gc.freeze()
    gc.set_threshold(COLLECT_AFTER)


def main(end: int, nice: int) -> None:
    """Do jobs that come through the socket of this number until nobody is at its other end; `nice`
    is how far this process stands back, as Unix counts it."""
    # Ctrl-C is meant for the server, which lets go of us when it is done.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if nice and hasattr(os, "nice"):
        os.nice(nice)
    with socket.socket(fileno=end) as line, suppress(EOFError, OSError):
        tools = _tools()
        collect_seldom()
        line.sendall(packed(READY))
        while True:
            line.sendall(_answer(_read(line), tools))


def _answer(job: bytes, tools: Any) -> bytes:
    from sockwright.errors import SockwrightError

    try:
        return packed((True, pickle.loads(job).done(tools)))
    except SockwrightError as refusal:
        return packed((False, refusal))
    except Exception:
        from traceback import format_exc

        return packed((False, NotDone(format_exc())))


def _tools() -> Any:
    """Tools of our own, with all loaded that jobs need."""
    import sockwright.plan
    import sockwright.web.plan_jobs
    import sockwright.web.printing  # noqa: F401
    from sockwright.web.parts import make_tools

    return make_tools()


def _read(line: socket.socket) -> bytes:
    (size,) = HEAD.unpack(_exactly(line, HEAD.size))
    return _exactly(line, size)


def _exactly(line: socket.socket, size: int) -> bytes:
    found = bytearray()
    while len(found) < size:
        part = line.recv(min(size - len(found), 1 << 20))
        if not part:
            raise EOFError
        found += part
    return bytes(found)
