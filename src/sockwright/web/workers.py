"""Who does the work behind a page: a job is handed over, and its answer awaited.

A job is a frozen value that can be sent to another process; what it needs besides are `Tools`,
which each process has of its own. Quick jobs are done by several processes, heavy ones by one that
stands back; the server itself only reads, writes and passes jobs on. A process is started when the
first job comes that it is for; until the quick ones are ready, the server does their work itself.
"""

from __future__ import annotations

import logging
from asyncio import CancelledError, Future, get_running_loop
from collections import OrderedDict, deque
from collections.abc import AsyncIterator, Hashable
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from typing import Any, Final, Protocol

from jinja2 import Environment
from starlette.concurrency import run_in_threadpool

from sockwright.i18n.messages import Message, _
from sockwright.once import Memory
from sockwright.store.items import Busy
from sockwright.web.worker import Worker, WorkerDied, packed
from sockwright.workshop.planning import Plans
from sockwright.workshop.printing import Press

DRAWN_AT_HAND: Final = 16
"""Plans whose drawings are kept at hand: each takes some 0.1 MB."""

QUICK_S: Final = 30.0
HEAVY_S: Final = 180.0
"""The longest that a job of each kind may take, s: far longer than any does. Its process is ended
then."""

HEAVY_NICE: Final = 10
"""How far heavy jobs stand back behind all others, as Unix counts it."""

WAITING: Final = {False: 64, True: 8}
"""Jobs of one client that may wait, quick ones and heavy ones."""

MOST_FAILED: Final = 4
"""Processes of a kind that may end before they take any job; then no more are started."""

REMEMBERED: Final = 512
"""Keys of which is known who was asked about them last."""

FULL: Final = _("much was asked for from your device at once; try again in a moment")
TOO_MUCH: Final = _("this took more time or memory than there is; ask for something smaller")

_log = logging.getLogger("sockwright.web")


@dataclass(frozen=True)
class Tools:
    """What jobs are done with: plans at hand, templates, the press, drawings at hand."""

    plans: Plans
    templates: Environment
    press: Press
    drawn: Memory[dict[str, Any]] = field(default_factory=lambda: Memory(DRAWN_AT_HAND))


class Job(Protocol):
    """Work whose answer depends on nothing but itself.

    Jobs of one `key` are quick after one another in one place. Where `heavy`, a job may take many
    seconds.
    """

    @property
    def key(self) -> Hashable:
        """What it is about."""

    def done(self, tools: Tools) -> Any:
        """Do it; raises SockwrightError as a page would."""


def is_heavy(job: Job) -> bool:
    """Whether a job may take many seconds."""
    return getattr(job, "heavy", False)


class Workers(Protocol):
    """Those that do jobs."""

    async def done(self, job: Job, client: str) -> Any:
        """The answer to a job that `client` waits for; raises what the job does, and Busy."""

    def close(self) -> None:
        """Let go of all that works."""


class InProcess:
    """Does jobs in this process, in threads of its own."""

    def __init__(self, tools: Tools) -> None:
        self._tools = tools

    async def done(self, job: Job, client: str) -> Any:
        """As of `Workers`."""
        return await run_in_threadpool(job.done, self._tools)

    def close(self) -> None:
        """As of `Workers`."""


class Turns:
    """So many turns `at_once`. Who finds none free waits; those who wait are served client by
    client, one turn each, and one client's own in the order of their coming.

    Belongs to one event loop. A client that has `most` waiting is refused with `full`.
    """

    def __init__(self, at_once: int, most: int, full: Message) -> None:
        self._free = at_once
        self._most = most
        self._full = full
        self._waiting: OrderedDict[str, deque[Future[None]]] = OrderedDict()

    @asynccontextmanager
    async def turn(self, client: str) -> AsyncIterator[None]:
        """One turn; Busy where this client has too many waiting."""
        await self._take(client)
        try:
            yield
        finally:
            self._give()

    async def _take(self, client: str) -> None:
        if self._free:
            self._free -= 1
            return
        own = self._waiting.setdefault(client, deque())
        if len(own) >= self._most:
            raise Busy(self._full)
        place: Future[None] = get_running_loop().create_future()
        own.append(place)
        try:
            await place
        except CancelledError:
            if not place.cancelled():  # it was given a turn in that very moment
                self._give()
            raise

    def _give(self) -> None:
        while self._waiting:
            client, own = self._waiting.popitem(last=False)
            place = own.popleft()
            if own:
                self._waiting[client] = own
            if not place.done():
                place.set_result(None)
                return
        self._free += 1


class WorkerQueue:
    """Processes for one kind of job, with turns for those who ask. A dead one is replaced."""

    def __init__(self, count: int, nice: int, longest_s: float, most: int) -> None:
        self._count, self._nice, self._longest_s = count, nice, longest_s
        self._workers: list[Worker] = []
        self._begun = False
        self._last: OrderedDict[Hashable, Worker] = OrderedDict()
        self._failed = 0
        # A quick job more is on its way to each, so that none stands idle between two.
        self.turns = Turns(count if nice else 2 * count, most, FULL)

    @property
    def workers(self) -> list[Worker]:
        """The processes, all of them alive as far as is known; none where none can be started."""
        self._failed += sum(one.dead and not one.ready for one in self._workers)
        self._workers = [one for one in self._workers if not one.dead]
        while len(self._workers) < self._count and self._failed < MOST_FAILED:
            try:
                self._workers.append(Worker(self._nice, self._longest_s))
            except OSError as error:
                self._failed += 1
                _log.warning("no process could be started: %s", error)
        return self._workers

    def begun(self) -> bool:
        """Whether one of them took jobs once; a job that ends them all is not to end the server."""
        self._begun = self._begun or any(one.ready for one in self.workers)
        return self._begun

    async def done(self, key: Hashable, job: bytes) -> Any:
        """Have one of them do a packed job: who was asked about the same before, else who has
        least to do. One that dies over it is replaced, and the job asked for once more."""
        for __ in range(2):
            worker = self._for(key)
            try:
                if worker is not None and await worker.begun():
                    return await worker.done(job)
            except WorkerDied:
                continue
        raise Busy(TOO_MUCH)

    def close(self) -> None:
        """Let go of all of them."""
        for one in self._workers:
            one.close()

    def _for(self, key: Hashable) -> Worker | None:
        workers = self.workers
        worker = self._last.pop(key, None)
        if not workers:
            return None
        if worker is None or worker.dead:
            worker = min(workers, key=lambda one: (not one.ready, one.load))
        self._last[key] = worker
        if len(self._last) > REMEMBERED:
            self._last.popitem(last=False)
        return worker


class WorkerPool:
    """As of `Workers`: `count` processes for quick jobs, one for heavy ones; `own` does the quick
    ones until one of the others is ready."""

    def __init__(self, count: int, own: Workers) -> None:
        self._own = own
        self._quick = WorkerQueue(count, 0, QUICK_S, WAITING[False])
        self._heavy = WorkerQueue(1, HEAVY_NICE, HEAVY_S, WAITING[True])

    async def done(self, job: Job, client: str) -> Any:
        """As of `Workers`."""
        lane = self._heavy if is_heavy(job) else self._quick
        async with lane.turns.turn(client):
            if lane is self._quick and not lane.begun():
                return await self._own.done(job, client)
            return await lane.done(job.key, packed(job))

    async def begun(self) -> None:
        """Wait until all processes for quick jobs take them."""
        for one in self._quick.workers:
            await one.begun()

    def close(self) -> None:
        """As of `Workers`."""
        self._quick.close()
        self._heavy.close()
