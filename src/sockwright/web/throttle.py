"""How often a pass-phrase may be tried: so often a minute from one address, and from all."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from ipaddress import IPv6Address, ip_address
from math import ceil
from threading import Lock
from typing import Final

WINDOW_S: Final = 60.0
"""The time in which tries are counted, s."""

EACH: Final = 5
"""Tries from one address in that time."""

ALL: Final = 30
"""Tries from all addresses in that time: many devices together guess no faster."""


class Throttle:
    """Counts tries by `clock`, which tells seconds and only goes on. Safe for several threads."""

    def __init__(self, clock: Callable[[], float]) -> None:
        self._clock = clock
        self._tries: deque[tuple[float, str]] = deque()  # never more than ALL
        self._turn = Lock()

    def take(self, address: str) -> int:
        """Count a try and give 0; where there were too many, only the whole seconds to wait."""
        with self._turn:
            now = self._clock()
            while self._tries and self._tries[0][0] <= now - WINDOW_S:
                self._tries.popleft()
            device = _device(address)
            own = [moment for moment, one in self._tries if one == device]
            waits = [self._tries[0][0]] if len(self._tries) >= ALL else []
            waits += own[:1] if len(own) >= EACH else []
            if waits:
                return max(1, ceil(max(waits) + WINDOW_S - now))
            self._tries.append((now, device))
            return 0

    def forget(self, address: str) -> None:
        """The tries of an address that has found the right words no longer count."""
        with self._turn:
            device = _device(address)
            self._tries = deque(one for one in self._tries if one[1] != device)


def _device(address: str) -> str:
    """The address tries are counted by: one device has a whole IPv6 network to itself."""
    try:
        known = ip_address(address.partition("%")[0])
    except ValueError:
        return address
    if isinstance(known, IPv6Address):
        mapped = known.ipv4_mapped
        return str(mapped) if mapped else f"{IPv6Address(int(known) >> 64 << 64)}/64"
    return str(known)
