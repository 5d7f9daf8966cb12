"""A class that plans at once: how many plans a second, beside a heavy client, and what they keep.

Every plan that is asked for is one that nobody asked for before: nothing is at hand for it.
"""

from __future__ import annotations

import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from dataclasses import dataclass
from http.client import HTTPConnection
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter
from urllib.parse import urlsplit

from benchmarks.bench_web import answer_to, served
from benchmarks.figures import ROOT, Line

sys.path.insert(0, str(ROOT / "tests"))

CLIENTS = {1: 60, 8: 250, 32: 800}
"""How many at once, and the milliseconds that 95 of 100 answers are to take at most."""

RATE = 60
"""Plans a second that are wanted of two processors."""

REQUESTS = 384
"""Of each kind with each number of clients: a multiple of them all."""

MANY = 3_000
"""Plans over which the memory is watched; what comes before is warming up."""


@dataclass(frozen=True)
class Load:
    """What a number of clients was answered: answers a second, the 95th percentile in seconds."""

    rate: float
    p95: float


@contextmanager
def class_room() -> Iterator[tuple[str, Callable[[], str], str]]:
    """A served workshop: its address, what gives the address of a plan that is new each time, and
    the address of all sheets of a sock of 200 needles."""
    from browser.pages import station_query

    with TemporaryDirectory() as folder:
        heavy = heavy_query(Path(folder) / "workshop.db")
        heights = count(180_000)

        def fresh() -> str:
            millimetres = next(heights) % 300_000 / 1_000
            return f"/plan/result?{station_query()}&leg.height={millimetres:.3f}+mm"

        with served(Path(folder)) as address:
            yield address, fresh, f"/plan/sheets/all.zip?{heavy}"


def heavy_query(file: Path) -> str:
    """Keep what a sock of 200 needles is made of, in a new workshop; its choice as a query."""
    from browser.pages import station_choice
    from sockwright.store.items import ItemKind, Thing
    from sockwright.web.plan.choices import query_of
    from sockwright.workshop.answers import Choice
    from web.sites import opened

    with opened(file) as shop:
        shop.add_example()
        choice = station_choice()
        machine = shop.thing(ItemKind.MACHINE, choice.machine).document
        cylinders = [{**machine["cylinders"][0], "needles": 200}]
        fine = shop.keep(
            ItemKind.MACHINE, {**machine, "name": "the fine machine", "cylinders": cylinders}
        )
        thread = {"name": "thread", "fineness": "100 g / 4000 m", "on_hand": "500 g"}
        yarn = shop.keep(ItemKind.YARN, thread)
        assert isinstance(fine, Thing)
        assert isinstance(yarn, Thing)
        return query_of(Choice(choice.person, fine.id, {"main": yarn.id}, needles=200))


def load(address: str, path: Callable[[], str], clients: int, requests: int = REQUESTS) -> Load:
    """So many clients that ask one after the other, each over a connection of its own."""
    host = urlsplit(address).netloc

    def client(_: int) -> list[float]:
        seconds = []
        with closing(HTTPConnection(host)) as connection:
            answer_to(connection, path())
            for _ in range(requests // clients):
                start = perf_counter()
                answer_to(connection, path())
                seconds.append(perf_counter() - start)
        return seconds

    start = perf_counter()
    with ThreadPoolExecutor(clients) as threads:
        every = sorted(second for one in threads.map(client, range(clients)) for second in one)
    return Load((len(every) + clients) / (perf_counter() - start), every[len(every) * 95 // 100])


@contextmanager
def asking_all_the_while(address: str, path: str) -> Iterator[None]:
    """A client that asks for the same again as soon as it is answered."""
    end = threading.Event()

    def ask() -> None:
        with closing(HTTPConnection(urlsplit(address).netloc)) as connection:
            while not end.is_set():
                answer_to(connection, path)

    asking = threading.Thread(target=ask)
    asking.start()
    try:
        yield
    finally:
        end.set()
        asking.join()


def load_lines() -> Iterator[Line]:
    """New plans asked for by several at once, against a page that plans nothing; and beside one who
    prints all sheets of 200 needles all the while, against without."""
    with class_room() as (address, fresh, sheets):
        load(address, fresh, 8)
        for clients, within in CLIENTS.items():
            bare, new = load(address, lambda: "/settings", clients), load(address, fresh, clients)
            yield Line(
                f"new plans for {clients} at once",
                f"{new.rate:.0f} / s, p95 {new.p95 * 1e3:.0f} ms",
                f"/settings, {bare.rate:.0f} / s",
                f"{new.rate / bare.rate:.2f}",
                f"p95 <= {within} ms" + (f", >= {RATE} / s" if clients > 1 else ""),
            )
        alone = load(address, fresh, 8)
        with asking_all_the_while(address, sheets):
            beside = load(address, fresh, 8)
        yield Line(
            "p95 of new plans for 8, beside a heavy client",
            f"{beside.p95 * 1e3:.0f} ms",
            f"without, {alone.p95 * 1e3:.0f} ms",
            f"{beside.p95 / alone.p95:.1f}",
            "<= 2",
        )


def memory_lines(many: int = MANY) -> Iterator[Line]:
    """What server and processes keep after many plans, against after the first tenth of them."""
    with class_room() as (address, fresh, _):
        load(address, fresh, 8, many // 10)
        first = resident_mb()
        load(address, fresh, 8, many)
        last = resident_mb()
    yield Line(
        f"memory of all processes after {many} new plans",
        f"{last:.0f} MB",
        f"after {many // 10}, {first:.0f} MB",
        f"{last / first:.2f}",
        "<= 1.05",
    )


def resident_mb() -> float:
    """Resident memory of all that was started by us, and by those, MB; ps itself left out."""
    from os import getpid

    listed = subprocess.run(
        ["ps", "-A", "-o", "pid=,ppid=,rss=,comm="], capture_output=True, text=True, check=True
    )
    rows = [line.split(None, 3) for line in listed.stdout.splitlines()]
    family, total = {str(getpid())}, 0
    for pid, parent, rss, command in sorted(rows, key=lambda row: int(row[0])):
        if parent in family and not command.startswith("ps"):
            family.add(pid)
            total += int(rss)
    return total / 1e3


def bench_load() -> Iterator[Line]:
    """All lines about many at once."""
    yield from load_lines()
    yield from memory_lines()
