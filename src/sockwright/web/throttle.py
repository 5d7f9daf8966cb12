"""How often a pass-phrase may be tried: few times from one address, slowly from all together.

An address that guesses wrongly has to wait. Many addresses that guess cannot make others wait for
long: from a certain number of wrong tries on every try takes some seconds before it is looked at,
and only so many are looked at at once, first those of addresses that have guessed wrongly least.
"""

from __future__ import annotations

from asyncio import Event
from collections import Counter, deque
from collections.abc import Callable
from math import ceil
from typing import Final

from sockwright.web.connections import device_of

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
