"""Killed while browsers write: what a page confirmed is there when the workshop opens again."""

from __future__ import annotations

import json
import random
import signal
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager

import httpx2 as httpx
import pytest
from sqlalchemy import create_engine, text
from sqlalchemy.pool import NullPool

from databases import KINDS, assert_sound, urls  # noqa: F401 - a fixture
from served import PATIENCE_S, Starter, address_in, browser
from sockwright.store.database import Database

BROWSERS = 3
CONFIRMED_BEFORE = (0, 1, 4, 12)
"""Writes to wait for before a kill; it falls when the browsers together were told of so many."""

FEW, MANY = CONFIRMED_BEFORE[1::2], CONFIRMED_BEFORE * 15
"""The writes before each kill, in the usual run and in the long one."""

LONGEST_WRITE_S = 0.02
"""About what a write takes: the kill falls anywhere within one."""


class Tally:
    """Counts what was confirmed to several browsers."""

    def __init__(self) -> None:
        self._confirmed = 0
        self._more = threading.Condition()

    def add(self) -> None:
        """One more write was confirmed."""
        with self._more:
            self._confirmed += 1
            self._more.notify()

    def wait_for(self, number: int) -> None:
        """Wait until so many writes were confirmed."""
        with self._more:
            assert self._more.wait_for(lambda: self._confirmed >= number, PATIENCE_S)


class Writer(threading.Thread):
    """A browser that keeps yarns, and a note about each, until nobody answers any more.

    `tried` are the names and texts it sent, `confirmed` the addresses it was sent on to by what
    it had sent.
    """

    def __init__(self, address: str, name: str, tally: Tally) -> None:
        super().__init__()
        self._tally = tally
        self.tried: set[str] = set()
        self.confirmed: dict[str, str] = {}
        self.fault: Exception | None = None
        self._client = browser(address)
        self._name = name

    def run(self) -> None:
        """Write until the server is gone."""
        try:
            for number in range(100_000):
                name = f"{self._name} {number}"
                fields = {"name": name, "fineness": "100 g / 360 m", "on_hand": f"{number + 1} g"}
                yarn = self._keep("/yarns/new", name, fields)
                about = yarn.removeprefix("/yarns/")
                note = f"about {name}"
                self._keep("/notes/new", note, {"text": note, "about": f"yarn/{about}"})
        except httpx.TransportError:
            pass
        except Exception as fault:
            self.fault = fault
        finally:
            self._client.close()

    def _keep(self, path: str, what: str, fields: dict[str, str]) -> str:
        self.tried.add(what)
        answer = self._client.post(path, data=fields)
        assert answer.status_code == 303, answer.text
        self.confirmed[what] = answer.headers["location"]
        self._tally.add()
        return self.confirmed[what]


@contextmanager
def writing(address: str, turn: int) -> Iterator[tuple[list[Writer], Tally]]:
    """Browsers that write at once, until the server is gone."""
    tally = Tally()
    writers = [Writer(address, f"wool {turn}.{number}", tally) for number in range(BROWSERS)]
    for writer in writers:
        writer.start()
    yield writers, tally
    for writer in writers:
        writer.join()
        assert writer.fault is None, writer.fault


def what_is_there(url: str) -> dict[str, str]:
    """The addresses of all yarns and notes by name and text, once SQLite finds nothing wrong.

    Read by a connection of our own, without the program's words for it.
    """
    engine = create_engine(url.replace("postgresql:", "postgresql+psycopg:"), poolclass=NullPool)
    with closing(Database(engine)) as database:
        assert_sound(database)
        with engine.connect() as connection:
            yarns = connection.execute(text("SELECT name, '/yarns/' || id FROM yarn")).all()
            notes = connection.execute(text("SELECT document, '/notes/' || id FROM note")).all()
    texts = [json.loads(one) if isinstance(one, str) else one for one, _ in notes]
    return {
        **dict(tuple(row) for row in yarns),
        **{one["text"]: page for one, (_, page) in zip(texts, notes, strict=True)},
    }


def assert_shown(address: str, page: str, what: str) -> None:
    """The page of a thing tells of it."""
    with browser(address) as client:
        answer = client.get(page)
        assert answer.status_code == 200
        assert what in answer.text


def kill_servers(kind: str, url: str, starter: Starter, before_each: Sequence[int]) -> None:
    """Kill the server again and again; what browsers were told is kept is there each time."""
    start: Callable[[], str] = lambda: address_in(  # noqa: E731
        starter.begin("serve", "--port", 0, "--no-open", "--database", url)
    )
    address = start()
    tried: set[str] = set()
    confirmed: dict[str, str] = {}
    before = what_is_there(url)
    waits, kills = [*before_each], len(before_each)
    chance = random.Random(kills)
    chance.shuffle(waits)
    for turn, wait in enumerate(waits):
        with writing(address, turn) as (writers, tally):
            tally.wait_for(wait)
            time.sleep(chance.uniform(0.0, LONGEST_WRITE_S))
            status, _ = starter.end(signal.SIGKILL)
            assert status == -signal.SIGKILL
        for writer in writers:
            tried |= writer.tried
            confirmed |= writer.confirmed
        address = start()
        there = what_is_there(url)
        lost = confirmed.items() - there.items()
        assert not lost, f"kill {turn + 1}: {len(lost)} of {len(confirmed)} lost"
        assert before.keys() <= there.keys() <= before.keys() | tried
        if confirmed:
            what, page = chance.choice(list(confirmed.items()))
            assert_shown(address, page, what)
    assert starter.end()[0] == 0
    print(  # noqa: T201 - the counts are what was asked for
        f"\n{kind}: {kills} kills of a server: {len(confirmed)} writes confirmed, 0 lost"
    )
    assert len(confirmed) >= sum(waits) > kills


@pytest.mark.parametrize("kind", KINDS)
def test_a_kill_loses_nothing_a_page_confirmed(
    kind: str,
    starter: Starter,
    urls: Callable[[str], str],  # noqa: F811
) -> None:
    kill_servers(kind, urls(kind), starter, FEW)


@pytest.mark.long
@pytest.mark.parametrize("kind", KINDS)
def test_many_kills_lose_nothing_a_page_confirmed(
    kind: str,
    starter: Starter,
    urls: Callable[[str], str],  # noqa: F811
) -> None:
    kill_servers(kind, urls(kind), starter, MANY)
