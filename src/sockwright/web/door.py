"""The door of a workshop that others can reach: nobody comes in without the pass-phrase.

Who has entered carries a random number in a cookie; the numbers live as long as the program.
"""

from __future__ import annotations

import asyncio
import secrets
import time
from collections.abc import Awaitable, Callable
from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256
from math import ceil
from threading import Lock
from typing import Final

from sockwright.web.pass_phrase import is_the_same
from sockwright.web.throttle import Place, Throttle

COOKIE: Final = "sockwright_entry"

IDLE_S: Final = 14 * 24 * 3600.0
"""An entry that nobody used for so long has ended, s."""

MOST_ENTRIES: Final = 500
"""Entries known at once; the one not used for the longest goes first."""


@dataclass(frozen=True)
class Entered:
    """The words were right; the browser is to keep `token`."""

    token: str


@dataclass(frozen=True)
class Wrong:
    """The words were wrong."""


@dataclass(frozen=True)
class Wait:
    """Too many tries: nothing was looked at; more may be tried in so many seconds."""

    seconds: int


async def waited(place: Place) -> None:
    """Wait as long as a try has to, or until it has lost its place."""
    with suppress(TimeoutError):
        await asyncio.wait_for(place.lost.wait(), place.delay_s)


class Door:
    """Asks for `pass_phrase`. `clock` tells seconds and only goes on.

    `enter` is for one event loop, all else for any thread.
    """

    def __init__(
        self,
        pass_phrase: str,
        clock: Callable[[], float] = time.monotonic,
        wait: Callable[[Place], Awaitable[None]] = waited,
    ) -> None:
        self._pass_phrase = pass_phrase
        self._clock = clock
        self._wait = wait
        self._throttle = Throttle(clock)
        self._last_used: dict[bytes, float] = {}  # the one not used for the longest first
        self._turn = Lock()

    async def enter(self, pass_phrase: str, address: str) -> Entered | Wrong | Wait:
        """Try to come in with these words from an address. Takes as long as the throttle says."""
        place = self._throttle.come(address)
        if isinstance(place, int):
            return Wait(place)
        try:
            if place.delay_s:
                await self._wait(place)
        finally:
            self._throttle.leave(place)
        if place.lost.is_set():
            return Wait(ceil(place.delay_s))
        if not is_the_same(pass_phrase, self._pass_phrase):
            self._throttle.count(place)
            return Wrong()
        self._throttle.forget(place)
        return self._entered()

    def _entered(self) -> Entered:
        token = secrets.token_urlsafe(32)
        with self._turn:
            if len(self._last_used) >= MOST_ENTRIES:
                del self._last_used[next(iter(self._last_used))]
            self._last_used[_known_as(token)] = self._clock()
        return Entered(token)

    def knows(self, token: str | None) -> bool:
        """Whether this token was given out and has not ended."""
        if not token:
            return False
        known = _known_as(token)
        with self._turn:
            now = self._clock()
            last = self._last_used.pop(known, None)
            if last is None or last <= now - IDLE_S:
                return False
            self._last_used[known] = now
            return True

    def leave(self, token: str | None) -> None:
        """End an entry."""
        with self._turn:
            self._last_used.pop(_known_as(token or ""), None)


def _known_as(token: str) -> bytes:
    # Looked up by its hash, so that the time it takes says nothing about the tokens there are.
    return sha256(token.encode(errors="replace")).digest()
