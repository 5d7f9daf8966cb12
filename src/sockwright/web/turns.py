"""Turns that clients take round about, so that none who asks for much keeps the others waiting."""

from __future__ import annotations

from asyncio import CancelledError, Future, get_running_loop
from collections import OrderedDict, deque
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from sockwright.store.refusals import Busy
from sockwright.words.said import Said


class Turns:
    """So many turns `at_once`. Who finds none free waits; those who wait are served client by
    client, one turn each, and one client's own in the order of their coming.

    Belongs to one event loop. A client that has `most` waiting is refused with `full`.
    """

    def __init__(self, at_once: int, most: int, full: Said) -> None:
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
