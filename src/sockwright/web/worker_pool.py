"""Jobs done by other processes: quick ones by several, heavy ones by one that stands back.

The server itself only reads, writes and passes jobs on. A process is started when the first job
comes that it is for; until the quick ones are ready, the server does their work itself.
"""

from __future__ import annotations

import logging
from collections import OrderedDict
from collections.abc import Hashable
from typing import Any, Final

from sockwright.store.refusals import Busy
from sockwright.web.turns import Turns
from sockwright.web.worker import Died, Worker
from sockwright.web.worker_process import packed
from sockwright.web.workers import Job, Workers, is_heavy
from sockwright.words.said import said

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

FULL: Final = said("much was asked for from your device at once; try again in a moment")
TOO_MUCH: Final = said("this took more time or memory than there is; ask for something smaller")

_log = logging.getLogger("sockwright.web")


class Lane:
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
        for _ in range(2):
            worker = self._for(key)
            try:
                if worker is not None and await worker.begun():
                    return await worker.done(job)
            except Died:
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
        self._quick = Lane(count, 0, QUICK_S, WAITING[False])
        self._heavy = Lane(1, HEAVY_NICE, HEAVY_S, WAITING[True])

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
