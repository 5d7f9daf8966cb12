"""Logging in to a workshop that others can reach: nobody comes in without the pass-phrase.

Who has entered carries a random number in a cookie; the numbers live as long as the program.
"""

from __future__ import annotations

import asyncio
import secrets
import time
import unicodedata
from asyncio import Event
from collections import Counter, deque
from collections.abc import Awaitable, Callable
from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256
from hmac import compare_digest
from math import ceil
from pathlib import Path
from threading import Lock
from typing import Final

from sockwright.errors import SockwrightError
from sockwright.web.connections import device_of

CONSONANTS: Final = "bdfghjklnprstv"
"""Letters in the same place on German and English keyboards, all heard and read apart."""

VOWELS: Final = "aeiou"
GROUPS: Final = 4
SYLLABLES: Final = 2
"""In a group."""

FEWEST_SIGNS: Final = 12
"""Letters and signs of a given one, without what does not count."""

MOST_SIGNS: Final = 200


class BadPassPhrase(SockwrightError):
    """A pass-phrase that cannot be used."""


def make_pass_phrase() -> str:
    """A new one, such as "baru-tike-fosu-lado", from the system's source of chance."""
    return "-".join("".join(_syllable() for _ in range(SYLLABLES)) for _ in range(GROUPS))


def read_pass_phrase(file: Path) -> str:
    """The one line of a file; BadPassPhrase where it will not do."""
    try:
        lines = file.read_text(encoding="utf-8-sig").strip().splitlines()
    except UnicodeDecodeError:
        raise BadPassPhrase(f"{file}: is no text in UTF-8") from None
    except OSError as error:
        raise BadPassPhrase(f"{file}: cannot be read ({error.strerror})") from None
    if len(lines) != 1:
        raise BadPassPhrase(f"{file}: write the passphrase on one line, and nothing else")
    signs = len(_what_counts(lines[0]))
    if signs < FEWEST_SIGNS or len(lines[0]) > MOST_SIGNS:
        raise BadPassPhrase(
            f"{file}: the passphrase has {signs} letters and signs (spaces, hyphens and capitals "
            f"do not count); it needs {FEWEST_SIGNS} at least and may be {MOST_SIGNS} long"
        )
    return lines[0].strip()


def is_the_same(one: str, other: str) -> bool:
    """Whether both are the same to us, found out in a time that tells nothing."""
    return compare_digest(_what_counts(one).encode(), _what_counts(other).encode())


def _syllable() -> str:
    return secrets.choice(CONSONANTS) + secrets.choice(VOWELS)


def _what_counts(phrase: str) -> str:
    """Without capitals, blanks and hyphens, which tablets put in by themselves."""
    plain = unicodedata.normalize("NFKC", phrase).casefold()
    return "".join(
        sign for sign in plain if not (sign.isspace() or unicodedata.category(sign) == "Pd")
    )


WINDOW_S: Final = 60.0
"""The time in which wrong tries are counted, s."""

EACH: Final = 5
"""Wrong tries from one address in that time."""

FREE: Final = 10
"""Wrong tries from all addresses in that time that slow nobody."""

STEP_S: Final = 0.25
"""How much longer a try takes for each wrong one beyond, s."""

LONGEST_S: Final = 5.0
"""The longest that a try takes, s."""

PLACES: Final = 20
"""Tries that wait at once: with LONGEST_S, four a second are looked at, whoever tries."""

REMEMBERED_S: Final = 600.0
"""How long a wrong try puts its address behind others, s."""


class Place:
    """One try, which is to wait `delay_s` seconds; `lost` is set if another one takes its place."""

    def __init__(self, device: str, delay_s: float) -> None:
        self.device = device
        self.delay_s = delay_s
        self.lost = Event()


class Throttle:
    """Counts wrong tries by `clock`, which tells seconds and only goes on. For one event loop."""

    def __init__(self, clock: Callable[[], float]) -> None:
        self._clock = clock
        self._wrong: deque[tuple[float, str]] = deque()
        self._places: dict[str, Place] = {}

    def come(self, address: str) -> Place | int:
        """A place to wait in, to be left again; else the whole seconds to wait before a next try.

        A device has one place: its newest try counts.
        """
        now, device = self._now(), device_of(address)
        lately = [(at, one) for at, one in self._wrong if at > now - WINDOW_S]
        own = [at for at, one in lately if one == device]
        if len(own) >= EACH:
            return max(1, ceil(own[-EACH] + WINDOW_S - now))
        place = Place(device, min(LONGEST_S, STEP_S * max(0, len(lately) - FREE)))
        self._drop(device)
        if place.delay_s and not self._has_room_for(device):
            return ceil(place.delay_s)
        self._places[device] = place
        return place

    def leave(self, place: Place) -> None:
        """The try has been looked at, or lost its place."""
        if self._places.get(place.device) is place:
            del self._places[place.device]

    def count(self, place: Place) -> None:
        """The try was wrong."""
        self._wrong.append((self._now(), place.device))

    def forget(self, place: Place) -> None:
        """The wrong tries of a device that has found the right words no longer count."""
        self._wrong = deque(one for one in self._wrong if one[1] != place.device)

    def _has_room_for(self, device: str) -> bool:
        """Whether there is a place, if need be that of a device that guessed wrongly more often."""
        if len(self._places) < PLACES:
            return True
        wrong = Counter(one for _, one in self._wrong)
        worst = max(self._places, key=lambda one: wrong[one])
        if wrong[worst] <= wrong[device]:
            return False
        self._drop(worst)
        return True

    def _drop(self, device: str) -> None:
        place = self._places.pop(device, None)
        if place is not None:
            place.lost.set()

    def _now(self) -> float:
        now = self._clock()
        while self._wrong and self._wrong[0][0] <= now - REMEMBERED_S:
            self._wrong.popleft()
        return now


COOKIE: Final = "sockwright_entry"

IDLE_S: Final = 14 * 24 * 3600.0
"""An entry that nobody used for so long has ended, s."""

MOST_ENTRIES: Final = 500
"""Entries known at once; the one not used for the longest goes first."""


@dataclass(frozen=True)
class LoggedIn:
    """The words were right; the browser is to keep `token`."""

    token: str


@dataclass(frozen=True)
class WrongPassPhrase:
    """The words were wrong."""


@dataclass(frozen=True)
class TooManyTries:
    """Too many tries: nothing was looked at; more may be tried in so many seconds."""

    seconds: int


async def waited(place: Place) -> None:
    """Wait as long as a try has to, or until it has lost its place."""
    with suppress(TimeoutError):
        await asyncio.wait_for(place.lost.wait(), place.delay_s)


class LoginSessions:
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

    async def enter(
        self, pass_phrase: str, address: str
    ) -> LoggedIn | WrongPassPhrase | TooManyTries:
        """Try to come in with these words from an address. Takes as long as the throttle says."""
        place = self._throttle.come(address)
        if isinstance(place, int):
            return TooManyTries(place)
        try:
            if place.delay_s:
                await self._wait(place)
        finally:
            self._throttle.leave(place)
        if place.lost.is_set():
            return TooManyTries(ceil(place.delay_s))
        if not is_the_same(pass_phrase, self._pass_phrase):
            self._throttle.count(place)
            return WrongPassPhrase()
        self._throttle.forget(place)
        return self._entered()

    def _entered(self) -> LoggedIn:
        token = secrets.token_urlsafe(32)
        with self._turn:
            if len(self._last_used) >= MOST_ENTRIES:
                del self._last_used[next(iter(self._last_used))]
            self._last_used[_known_as(token)] = self._clock()
        return LoggedIn(token)

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
