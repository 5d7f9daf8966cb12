"""A process that does jobs one after the other, and the server's end of it.

The two talk over a pair of sockets. The process first says that it is ready; then each job that
comes is answered with whether it was done, and its answer or what it raised. It ends when the other
end is closed, in whatever way: it never outlives the server. The server starts it, asks it, finds
it dead, and lets go of it.
"""

from __future__ import annotations

import gc
import os
import pickle
import signal
import socket
import struct
import subprocess
import sys
from asyncio import Event, Future, Queue, create_task, get_running_loop, wait_for
from contextlib import suppress
from typing import Any, Final

HEAD: Final = struct.Struct("!Q")
"""What stands before each message: how many bytes it has."""

READY: Final = "ready"

COLLECT_AFTER: Final = 20_000
"""New objects before unreachable ones are looked for: a plan makes many that all stay reachable,
and Python's own 700 cost a tenth of its time."""

PROCESS: Final = "from sockwright.web.worker import main; main({line}, {nice})"

ENDS_WITHIN_S: Final = 1.0
"""How long a process that was let go of may take to end by itself, s."""


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
    import sockwright.plan.make
    import sockwright.web.plan.pages
    import sockwright.web.printing  # noqa: F401
    from sockwright.web.context import make_tools

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


class WorkerDied(Exception):
    """The process was gone, or was ended for taking too long, before it had answered."""


class Worker:
    """One process, asked from the event loop that it was started in.

    A job that takes longer than `longest_s` ends the process, and so does whatever kills it: then
    it is `dead`, and all that wait for it are told.
    """

    def __init__(self, nice: int, longest_s: float) -> None:
        self._longest_s = longest_s
        self._line, theirs = socket.socketpair()
        self._line.setblocking(False)
        with theirs:
            self._process = subprocess.Popen(
                [sys.executable, "-c", PROCESS.format(line=theirs.fileno(), nice=nice)],
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                pass_fds=(theirs.fileno(),),
                process_group=0,  # Ctrl-C in a terminal is for the server alone
            )
        self.load = 0
        """Jobs that wait for it, the one in work included."""
        self.ready = False
        self.dead = False
        self._known = Event()
        self._jobs: Queue[tuple[bytes, Future[Any]]] = Queue()
        self._works = create_task(self._work())

    @property
    def pid(self) -> int:
        """The process's number."""
        return self._process.pid

    async def begun(self) -> bool:
        """Wait until it takes jobs, or never will: whether it does."""
        await self._known.wait()
        return not self.dead

    async def done(self, job: bytes) -> Any:
        """The answer to a packed job; raises what the job does, NotDone for what was not foreseen,
        and Died."""
        if self.dead:
            raise WorkerDied
        answer: Future[Any] = get_running_loop().create_future()
        self._jobs.put_nowait((job, answer))
        self.load += 1
        try:
            return _opened(await answer)
        finally:
            self.load -= 1

    def close(self) -> None:
        """Let go of the process and see it end; the event loop may be gone already."""
        self.dead = True
        idle = self.ready and not self.load
        self._line.close()
        if idle:  # it has seen that nobody is there any more
            with suppress(subprocess.TimeoutExpired):
                self._process.wait(ENDS_WITHIN_S)
        self._process.kill()
        self._process.wait()

    async def _work(self) -> None:
        answer: Future[Any] | None = None
        try:
            await self._read()
            self.ready = True
            self._known.set()
            while True:
                job, answer = await self._jobs.get()
                await get_running_loop().sock_sendall(self._line, job)
                found = await wait_for(self._read(), self._longest_s)
                if not answer.done():
                    answer.set_result(found)
        except (EOFError, OSError, TimeoutError):
            waiting = [] if answer is None else [answer]
            while not self._jobs.empty():
                waiting.append(self._jobs.get_nowait()[1])
            self._bury(waiting)

    def _bury(self, waiting: list[Future[Any]]) -> None:
        self.dead = True
        self._known.set()
        self._line.close()
        self._process.kill()
        self._process.wait()
        for one in waiting:
            if not one.done():
                one.set_exception(WorkerDied())

    async def _read(self) -> bytes:
        (size,) = HEAD.unpack(await self._exactly(HEAD.size))
        return await self._exactly(size)

    async def _exactly(self, size: int) -> bytes:
        found, loop = bytearray(), get_running_loop()
        while len(found) < size:
            part = await loop.sock_recv(self._line, min(size - len(found), 1 << 20))
            if not part:
                raise EOFError
            found += part
        return bytes(found)


def _opened(answer: bytes) -> Any:
    """What a process answered: given back, or raised."""
    done, found = pickle.loads(answer)
    if not done:
        assert isinstance(found, Exception)
        raise found
    return found
