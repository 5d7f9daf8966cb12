"""The connections that are open: how many there may be, which go first, which were too slow.

Whoever connects and says nothing, or says it a byte a second, costs a place. Places are never
refused for that; the place of somebody silent is given to who comes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import Enum
from ipaddress import IPv6Address, ip_address
from typing import Final


@dataclass(frozen=True)
class Limits:
    """The bounds of one server; docs/serving.md lists them for those who run one."""

    connections: int = 500
    """Open at once; for one more, the one that has been silent for the longest is closed."""

    of_one_device: int = 64
    """Open at once from one address: browsers open six each, and a few may share an address."""

    requests: int = 250
    """Being answered at once; one more is told to come again."""

    header_bytes: int = 65_536
    """Of a request's line and headers together."""

    handshake_s: float = 10.0
    """For a TLS handshake, s."""

    header_s: float = 15.0
    """From a connection's opening, or a further request's first byte, to its last header, s."""

    idle_s: float = 15.0
    """How long a connection waits for its next request, s."""

    pace_s: float = 20.0
    """The time in which a body that comes, or an answer that is taken, has to get on, s."""

    pace_bytes: int = 20_000
    """How far it has to get on in that time: 1 kB/s, slower than the slowest telephone."""

    fresh_s: float = 2.0
    """A connection silent for no longer than this may well be about to speak, s."""

    look_s: float = 1.0
    """How often it is looked who has been too slow, s."""


USUAL = Limits()
"""Those of `sockwright serve`."""


def device_of(address: str) -> str:
    """The address a device is counted by: one device has a whole IPv6 network to itself."""
    try:
        known = ip_address(address.partition("%")[0])
    except ValueError:
        return address
    if isinstance(known, IPv6Address):
        mapped = known.ipv4_mapped
        return str(mapped) if mapped else f"{IPv6Address(int(known) >> 64 << 64)}/64"
    return str(known)


class Stage(Enum):
    """What a connection waits for."""

    OPENING = "its transport"
    SHAKING = "the TLS handshake"
    HEADER = "a request's line and headers"
    BODY = "the body of a request"
    WORKING = "our answer"
    REST = "the rest of a body that was answered already"
    IDLE = "a further request"
    ENDING = "the end"


_SILENT: Final = (Stage.SHAKING, Stage.HEADER)


class Connection:
    """One connection, as far as its server's patience goes.

    `end` closes it at once; `left` says how many bytes of answers have not been taken; `held`
    whether we ourselves do not read on. Its server sets them, and counts `came`, the bytes
    received.
    """

    def __init__(self, device: str, now: float) -> None:
        self.device = device
        self.stage = Stage.OPENING
        self.since = now
        self.answered = False
        self.came = 0
        self.end: Callable[[], None] = _nothing
        self.left: Callable[[], int] = _none
        self.held: Callable[[], bool] = _never
        self._body: _Pace | None = None
        self._answer: _Pace | None = None

    def enter(self, stage: Stage, now: float) -> None:
        """Wait for something else from now on."""
        if stage is not self.stage:
            self.stage, self.since, self._body = stage, now, None

    def got_on(self) -> None:
        """A part of an answer was taken: its pace is measured anew."""
        self._answer = None

    def is_too_slow(self, limits: Limits, now: float) -> bool:
        """Whether its time is over. To be asked every `limits.look_s` seconds or so."""
        left = self.left()
        self._answer = _going_on(self._answer, now, -left) if left else None
        if self._answer is not None:
            if self.stage is Stage.IDLE:
                self.since = now  # it is idle from the end of the answer on
            return self._answer.is_too_slow(limits, now, -left)
        if self.stage is Stage.BODY:
            self._body = None if self.held() else _going_on(self._body, now, self.came)
            return self._body is not None and self._body.is_too_slow(limits, now, self.came)
        most = {Stage.SHAKING: limits.handshake_s, Stage.HEADER: limits.header_s}
        if self.stage not in (*most, Stage.REST, Stage.IDLE, Stage.ENDING):
            return False
        return now - self.since >= most.get(self.stage, limits.idle_s)

    def sheds(self, limits: Limits, now: float) -> _Order | None:
        """How little it is missed if closed for another; None while it is answered.

        First those that never asked anything, the fresh ones last of them; then those nothing is
        owed to; then those that are slow to send or to take something.
        """
        if self.stage in (Stage.OPENING, Stage.WORKING) and not self.left():
            return None
        if self.left() or self.stage is Stage.BODY:
            rank = 2
        else:
            rank = 1 if self.answered or self.stage not in _SILENT else 0
        return rank, now - self.since < limits.fresh_s, self.since


_Order = tuple[int, bool, float]
"""A rank, whether it is fresh, and since when it waits; the least goes first."""


class _Pace:
    """How far something was at a moment."""

    def __init__(self, at: float, done: int) -> None:
        self.at, self.done = at, done

    def is_too_slow(self, limits: Limits, now: float, done: int) -> bool:
        """Whether it has not got on far enough since; then it is measured from now on."""
        if now - self.at < limits.pace_s:
            return False
        far = done - self.done
        self.at, self.done = now, done
        return far < limits.pace_bytes


def _going_on(pace: _Pace | None, now: float, done: int) -> _Pace:
    return pace or _Pace(now, done)


class Connections:
    """All that are open, within `limits`. `clock` tells seconds and only goes on.

    Whom `uncounted` knows by address, a proxy, may have as many as there are.
    """

    def __init__(
        self,
        limits: Limits,
        clock: Callable[[], float],
        uncounted: Callable[[str], bool] = lambda address: False,
    ) -> None:
        self.limits = limits
        self.clock = clock
        self._uncounted = uncounted
        self._open: dict[Connection, None] = {}  # in the order in which they came
        self._of: Counter[str] = Counter()

    def __len__(self) -> int:
        return len(self._open)

    def come(self, address: str) -> Connection | None:
        """A place for a connection from this address, another one closed for it if need be; None
        if there is nothing to close."""
        device, limits = device_of(address), self.limits
        if self._of[device] >= limits.of_one_device and not self._uncounted(address):
            own = (one for one in self._open if one.device == device)
            if not self._shed(own):
                return None
        if len(self._open) >= limits.connections and not self.shed():
            return None
        connection = Connection(device, self.clock())
        self._open[connection] = None
        self._of[device] += 1
        return connection

    def gone(self, connection: Connection) -> None:
        """It is closed; to be told as often as one likes."""
        if connection in self._open:
            del self._open[connection]
            self._of[connection.device] -= 1
            if not self._of[connection.device]:
                del self._of[connection.device]

    def shed(self) -> bool:
        """Close the one that is missed least; False if all are being answered."""
        return self._shed(self._open)

    def _shed(self, among: Iterable[Connection]) -> bool:
        now = self.clock()
        found = [(one, order) for one in among if (order := one.sheds(self.limits, now))]
        if not found:
            return False
        crowd = Counter((rank, one.device) for one, (rank, *_) in found)

        def least_missed(it: tuple[Connection, _Order]) -> tuple[int, bool, int, float]:
            # Of those silent for long, whoever has the most loses one. What is fresh goes by age
            # alone, else a browser that opens two at once would lose to a crowd with one each.
            one, (rank, fresh, since) = it
            return rank, fresh, 0 if fresh else -crowd[rank, one.device], since

        self._end(min(found, key=least_missed)[0])
        return True

    def sweep(self) -> int:
        """Close all that were too slow; how many they were."""
        now = self.clock()
        slow = [one for one in self._open if one.is_too_slow(self.limits, now)]
        for one in slow:
            self._end(one)
        return len(slow)

    def working(self) -> int:
        """How many requests came whole and are not answered yet."""
        return sum(one.stage is Stage.WORKING and not one.left() for one in self._open)

    def _end(self, connection: Connection) -> None:
        self.gone(connection)
        connection.end()


def _nothing() -> None:
    pass


def _none() -> int:
    return 0


def _never() -> bool:
    return False
