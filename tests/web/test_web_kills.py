"""Killed while browsers write: what a page confirmed is there when the workshop opens again."""

from __future__ import annotations

import random
import signal
import sqlite3
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import httpx2 as httpx
import pytest

from served import PROOF, Starter, address_in, browser
from sockwright.store.database import sqlite_url
from sockwright.web.tokens import FIELD

KILLS = 12
BROWSERS = 3
LONGEST_S = 0.35
"""Of writing, before the kill: some have written nothing yet by then, others much."""


class Writer(threading.Thread):
    """A browser that keeps yarns, and a note about each, until nobody answers any more.

    `tried` are the names and texts it sent, `confirmed` the addresses it was sent on to by what
    it had sent.
    """

    def __init__(self, address: str, name: str) -> None:
        super().__init__()
        self.tried: set[str] = set()
        self.confirmed: dict[str, str] = {}
        self.fault: Exception | None = None
        self._client = browser(address)
        self._name = name
        self._proof = ""

    def open(self) -> None:
        """Get the proof that forms carry."""
        found = PROOF.search(self._client.get("/settings").text)
        assert found is not None
        self._proof = found[1]

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
        answer = self._client.post(path, data={FIELD: self._proof, **fields})
        assert answer.status_code == 303, answer.text
        self.confirmed[what] = answer.headers["location"]
        return self.confirmed[what]


@pytest.fixture
def starter() -> Iterator[Starter]:
    """A process that starts the command quickly."""
    one = Starter()
    yield one
    one.close()


@contextmanager
def writing(address: str, turn: int) -> Iterator[list[Writer]]:
    """Browsers that write at once, until the server is gone."""
    writers = [Writer(address, f"wool {turn}.{number}") for number in range(BROWSERS)]
    for writer in writers:
        writer.open()
    for writer in writers:
        writer.start()
    yield writers
    for writer in writers:
        writer.join()
        assert writer.fault is None, writer.fault


def what_is_there(file: Path) -> dict[str, str]:
    """The addresses of all yarns and notes by name and text, once SQLite finds nothing wrong.

    Read by a connection of our own, without the program's words for it.
    """
    with closing(sqlite3.connect(file)) as database:
        assert database.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert database.execute("PRAGMA foreign_key_check").fetchall() == []
        yarns = database.execute("SELECT name, '/yarns/' || id FROM yarn").fetchall()
        notes = database.execute(
            "SELECT json_extract(document, '$.text'), '/notes/' || id FROM note"
        ).fetchall()
        return dict(yarns + notes)


def assert_shown(address: str, page: str, what: str) -> None:
    """The page of a thing tells of it."""
    with browser(address) as client:
        answer = client.get(page)
        assert answer.status_code == 200
        assert what in answer.text


def test_a_kill_loses_nothing_a_page_confirmed(starter: Starter, tmp_path: Path) -> None:
    file = tmp_path / "workshop.db"
    start: Callable[[], str] = lambda: address_in(  # noqa: E731
        starter.begin("serve", "--port", 0, "--no-open", "--database", sqlite_url(file))
    )
    address = start()
    tried: set[str] = set()
    confirmed: dict[str, str] = {}
    before = what_is_there(file)
    moments = random.Random(KILLS)
    for turn in range(KILLS):
        with writing(address, turn) as writers:
            time.sleep(moments.uniform(0.0, LONGEST_S))
            status, _ = starter.end(signal.SIGKILL)
            assert status == -signal.SIGKILL
        for writer in writers:
            tried |= writer.tried
            confirmed |= writer.confirmed
        address = start()
        there = what_is_there(file)
        assert confirmed.items() <= there.items()
        assert before.keys() <= there.keys() <= before.keys() | tried
        if confirmed:
            what, page = moments.choice(list(confirmed.items()))
            assert_shown(address, page, what)
    assert starter.end()[0] == 0
    assert len(confirmed) > 2 * KILLS, "too few writes for the kills to say anything"
