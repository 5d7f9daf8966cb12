"""Four pages, three devices each, and a server killed while they count: every count is there.

The devices do as the page's script does: they send what is not confirmed yet, again and again, in
any order, some of it twice, and take what the others have.
"""

from __future__ import annotations

import random
import signal
import socket
import threading
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

import httpx2 as httpx
import pytest

from browser.pages import station_choice
from databases import KINDS, assert_sound, urls  # noqa: F401 - a fixture
from served import PATIENCE_S, Starter, browser
from sockwright.bench.log import WHICH, Action, Entry, state_of
from workshops import database_of, kept, workshop

PAIRS, DEVICES = 2, 3
FEW_KILLS = 2
LONG_S = 60.0
CONFIRMED_BEFORE = (5, 40)
"""A kill falls when all devices together were told of so many entries more."""

LONGEST_PAUSE_S = 0.05
COUNT_STEPS = 1000
"""Of a sock, more than are counted: the state that a log comes to is told for it."""


@dataclass
class Tally:
    """What all devices were told is kept, and who waits for more of it."""

    ids: set[str] = field(default_factory=set)
    more: threading.Condition = field(default_factory=threading.Condition)
    over: bool = False

    def add(self, ids: set[str]) -> None:
        """These entries are confirmed."""
        with self.more:
            self.ids |= ids
            self.more.notify_all()

    def wait_for(self, number: int) -> None:
        """Wait until so many more are."""
        with self.more:
            goal = len(self.ids) + number
            assert self.more.wait_for(lambda: len(self.ids) >= goal, PATIENCE_S)


class Device(threading.Thread):
    """A page at the machine on one device. `known` are all entries it has, by id."""

    def __init__(self, origin: str, log: str, seed: int, tally: Tally) -> None:
        super().__init__()
        self._client, self._log, self._tally = browser(origin), log, tally
        self._chance = random.Random(seed)
        self._name = self._id()
        self.known: dict[str, dict[str, Any]] = {}
        self.made: list[str] = []
        self.unsent: set[str] = set()
        self.refused: list[str] = []

    def run(self) -> None:
        """Count and send until told to stop, then send until nothing waits."""
        with self._client:
            while not self._tally.over:
                for _ in range(self._chance.randint(0, 2)):
                    self._count()
                self._exchange()
                time.sleep(self._chance.uniform(0.0, LONGEST_PAUSE_S))
            while self.unsent and not self.refused:
                self._exchange()

    def take_the_rest(self) -> None:
        """Ask once more, when all others have sent what they had."""
        with browser(str(self._client.base_url)) as self._client:
            while not self.refused and not self._exchange():
                pass

    def _count(self) -> None:
        """One more thing done, most often a count."""
        deed = self._chance.choice(
            [Action.COUNT, Action.COUNT, Action.COUNT, Action.UNDO, Action.NOTE]
        )
        if deed is Action.UNDO and not self.made:
            return
        entry = {
            "id": self._id(),
            "clock": 1 + max((one["clock"] for one in self.known.values()), default=0),
            "device": self._name,
            "time": "2026-11-30T07:15:00.000Z",
            "deed": str(deed),
            "by": self._chance.randint(1, 3) if deed is Action.COUNT else 0,
            "of": self._chance.choice(self.made) if deed is Action.UNDO else "",
            "at": 0,
            "text": "a splice" if deed is Action.NOTE else "",
        }
        self.known[entry["id"]] = entry
        self.made.append(entry["id"])
        self.unsent.add(entry["id"])

    def _exchange(self) -> bool:
        """Send what waits, some of it twice, and take what is there; tells if it was answered."""
        sent = [*self.unsent, *self._chance.sample(self.made, min(2, len(self.made)))]
        self._chance.shuffle(sent)
        body = {"entries": [self.known[id] for id in sent[: self._chance.randint(1, 40)]]}
        try:
            answer = self._client.post(self._log, json=body)
        except httpx.TransportError:
            return False  # killed: it is tried again
        if answer.status_code != 200:
            self.refused.append(answer.text)
            return False
        there = {one["id"]: one for one in answer.json()["entries"]}
        self._tally.add(self.unsent & there.keys())
        self.unsent -= there.keys()
        self.known = {**there, **self.known}
        return True

    def _id(self) -> str:
        return str(UUID(int=self._chance.getrandbits(128), version=4))


def state(entries: dict[str, dict[str, Any]]) -> object:
    """What a device shows that has these entries."""
    return state_of(
        [Entry(**{**one, "deed": Action(one["deed"])}) for one in entries.values()], COUNT_STEPS
    )


def free_port() -> int:
    """A port nobody listens on: a page asks for its workshop where it was."""
    with closing(socket.socket()) as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def count_while_killed(
    kind: str, url: str, starter: Starter, go_on: Callable[[int], bool], seed: int
) -> None:
    """Let the devices count while the server is killed again and again, `go_on` after each."""
    station = workshop(url)
    station.add_example()
    pairs = [kept(station.plan_sock(station_choice())).id for _ in range(PAIRS)]
    port, chance, tally = free_port(), random.Random(seed), Tally()
    serve = ("serve", "--port", port, "--no-open", "--database", url)
    starter.begin(*serve)
    pages = [(id, which) for id in pairs for which in WHICH]
    devices = {
        page: [
            Device(
                f"http://127.0.0.1:{port}",
                f"/data/socks/{page[0]}/bench/{page[1]}/log",
                chance.getrandbits(64),
                tally,
            )
            for _ in range(DEVICES)
        ]
        for page in pages
    }
    every = [one for several in devices.values() for one in several]
    for one in every:
        one.start()
    kills = 0
    try:
        while go_on(kills):
            tally.wait_for(chance.choice(CONFIRMED_BEFORE))
            time.sleep(chance.uniform(0.0, 0.02))
            assert starter.end(signal.SIGKILL)[0] == -signal.SIGKILL
            kills += 1
            starter.begin(*serve)
    finally:
        tally.over = True
        for one in every:
            one.join()
    for one in every:
        one.take_the_rest()
    assert starter.end()[0] == 0
    assert [one.refused for one in every if one.refused] == []

    database = database_of(station)
    assert_sound(database)
    lost = set(tally.ids)
    for id, which in pages:
        log = {one.id for one in station.bench_log(id, which)}
        lost -= log
        assert log == {id for one in devices[id, which] for id in one.made}
        states = [state(one.known) for one in devices[id, which]]
        assert [one.known.keys() for one in devices[id, which]] == [log] * DEVICES
        assert states == [states[0]] * DEVICES
    database.close()
    print(  # noqa: T201 - the counts are what was asked for
        f"\n{kind}: {kills} kills, {len(pages)} pages, {len(every)} devices: "
        f"{len(tally.ids)} entries confirmed, {len(lost)} lost"
    )
    assert lost == set()
    assert len(tally.ids) >= kills * min(CONFIRMED_BEFORE)


def test_devices_that_count_lose_nothing_by_a_kill(
    starter: Starter,
    urls: Callable[[str], str],  # noqa: F811
) -> None:
    count_while_killed("sqlite", urls("sqlite"), starter, lambda kills: kills < FEW_KILLS, 7)


@pytest.mark.long
@pytest.mark.parametrize("kind", KINDS)
def test_a_minute_of_counting_loses_nothing_by_kills(
    kind: str,
    starter: Starter,
    urls: Callable[[str], str],  # noqa: F811
) -> None:
    until = time.monotonic() + LONG_S
    count_while_killed(kind, urls(kind), starter, lambda _: time.monotonic() < until, 60)
