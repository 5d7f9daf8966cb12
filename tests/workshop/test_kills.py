"""Killed at any moment: what was confirmed is there, and nothing is there by half."""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from itertools import islice
from pathlib import Path

import pytest

from databases import KINDS, Server, assert_sound
from sockwright.store import kept
from sockwright.store.database import Database
from sockwright.store.items import ItemKind
from sockwright.workshop.pairs import choice_of
from workshops import database_of, workshop

TESTS = Path(__file__).parents[1]
FEW, MANY = 6, 60
"""Kills in the usual run, and in the long one."""

MOST_BEFORE = 3
"""Writes to wait for before the kill, at the most."""

LONGEST_WRITE_S = 0.02
"""About what a write takes: the kill falls anywhere within one."""

WRITES_BEFORE_SERVER = 8
"""Writes to wait for before the database's own server is killed."""

PARTS = (ItemKind.PERSON, ItemKind.MACHINE, ItemKind.YARN, ItemKind.DESIGN)


class Bench:
    """The test's side of station_writer.py: one writer at a time, in a process of its own."""

    def __init__(self) -> None:
        source = str(TESTS.parent / "src")
        self._standing = subprocess.Popen(
            [sys.executable, str(TESTS / "station_writer.py")],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env={**os.environ, "PYTHONPATH": source, "OPENBLAS_NUM_THREADS": "1"},
            text=True,
        )

    def start(self, url: str, name: str, most: int) -> None:
        """Start a writer and wait until it is ready to write."""
        assert self._standing.stdin is not None
        print(json.dumps([url, name, most]), file=self._standing.stdin, flush=True)
        ready, self._writer = self.said(1)[0].split()
        assert ready == "ready"

    def said(self, most: int | None = None) -> list[str]:
        """Its next lines; all that are left unless told."""
        assert self._standing.stdout is not None
        lines = []
        for line in islice(self._standing.stdout, most):
            lines.append(line.strip())
            if line.startswith("ended"):
                break
        return lines

    def kill(self) -> list[str]:
        """Kill the writer; the lines it said and nobody read yet."""
        os.kill(int(self._writer), signal.SIGKILL)
        *lines, ended = self.said()
        assert ended == f"ended {-signal.SIGKILL}"
        return lines

    def close(self) -> None:
        """Let the standing process end."""
        self._standing.communicate()


@pytest.fixture(scope="module")
def benches() -> Iterator[tuple[Bench, Bench]]:
    """Two benches, whose writers can write at once."""
    both = Bench(), Bench()
    yield both
    for bench in both:
        bench.close()


def assert_nothing_half(database: Database) -> set[str]:
    """Every pair has all its own parts, every part its pair; the ids of the pairs.

    Seen at one moment: PostgreSQL still carries out what a killed writer had sent it.
    """
    with database.reading() as session:
        pairs = kept.listed(session, ItemKind.SOCK)
        parts = {
            kind: {thing.id: thing.name for thing in kept.listed(session, kind)} for kind in PARTS
        }
    assert {len(names) for names in parts.values()} == {len(pairs)}
    for pair in pairs:
        choice = choice_of(pair)
        names = {parts[ItemKind.PERSON][choice.person], parts[ItemKind.YARN][choice.yarns["main"]]}
        assert names == {pair.name.removeprefix("Socks for ")}
    return {pair.id for pair in pairs}


def kill_writers(kind: str, url: str, bench: Bench, kills: int) -> None:
    """Kill a writer again and again; what it was told is kept is there each time, all of it."""
    database = database_of(workshop(url))
    moments = random.Random(kills)
    confirmed: set[str] = set()
    least = 0
    for turn in range(kills):
        bench.start(url, f"watch {turn}", most=10_000)
        wait = moments.randint(0, MOST_BEFORE)
        least += wait
        confirmed |= set(bench.said(wait))
        time.sleep(moments.uniform(0.0, LONGEST_WRITE_S))
        confirmed |= set(bench.kill())
        assert_sound(database)
        lost = confirmed - assert_nothing_half(database)
        assert not lost, f"kill {turn + 1}: {len(lost)} of {len(confirmed)} lost"
    database.close()
    print(  # noqa: T201 - the counts are what was asked for
        f"\n{kind}: {kills} kills of a writer: {len(confirmed)} pairs confirmed, 0 lost"
    )
    assert len(confirmed) >= least > kills / 2, "too few writes for the kills to say anything"


@pytest.mark.parametrize("kind", KINDS)
def test_a_kill_loses_nothing_confirmed(
    kind: str, urls: Callable[[str], str], benches: tuple[Bench, Bench]
) -> None:
    kill_writers(kind, urls(kind), benches[0], FEW)


@pytest.mark.long
@pytest.mark.parametrize("kind", KINDS)
def test_many_kills_lose_nothing_confirmed(
    kind: str, urls: Callable[[str], str], benches: tuple[Bench, Bench]
) -> None:
    kill_writers(kind, urls(kind), benches[0], MANY)


def test_a_killed_database_server_has_all_it_confirmed(benches: tuple[Bench, Bench]) -> None:
    server = Server()
    server.start()
    url, bench = server.new_url(), benches[0]
    bench.start(url, "night watch", most=10_000)
    confirmed = set(bench.said(WRITES_BEFORE_SERVER))
    server.kill()
    *lines, ended = bench.said()
    assert ended == "ended 1"  # nobody keeps its next pair
    server.start()
    database = database_of(workshop(url))
    assert confirmed | set(lines) <= assert_nothing_half(database)
    assert len(confirmed) == WRITES_BEFORE_SERVER
    database.close()
    server.close()


def test_processes_that_write_at_once_lose_nothing(url: str, benches: tuple[Bench, Bench]) -> None:
    for name, bench in zip(("bench", "drying room"), benches, strict=True):
        bench.start(url, name, most=12)
    confirmed = []
    for bench in benches:
        *lines, ended = bench.said()
        assert ended == "ended 0"
        confirmed += lines
    database = database_of(workshop(url))
    assert assert_nothing_half(database) == set(confirmed)
    assert len(confirmed) == 24
    assert_sound(database)
    database.close()
