"""How fast the workshop answers: its start, the weight of pages, new numbers."""

from __future__ import annotations

import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter
from urllib.parse import urlsplit

from benchmarks.figures import EXAMPLE, ROOT, Line, median_of, process_seconds

sys.path.insert(0, str(ROOT / "tests"))

CHANGES = 30


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """`sockwright serve` on a database in `folder`; gives the address it tells."""
    command = [sys.executable, "-m", "sockwright", "serve", "--port", "0", "--no-open"]
    database = f"sqlite:///{folder / 'workshop.db'}"
    process = subprocess.Popen(
        [*command, "--database", database], stdout=subprocess.PIPE, text=True, cwd=folder
    )
    assert process.stdout is not None
    try:
        yield next(
            line.strip() for line in process.stdout if line.strip().startswith("http://127.0.0.1:")
        )
    finally:
        process.send_signal(signal.SIGTERM)
        process.communicate()


def answer_to(connection: HTTPConnection, path: str) -> bytes:
    """What a page asks for when something is changed on it."""
    connection.request("GET", path, headers={"HX-Request": "true"})
    response = connection.getresponse()
    body = response.read()
    assert response.status == 200, (path, response.status)
    return body


def start_lines() -> Iterator[Line]:
    """From the command to the first answer, with a new workshop and with one that is there."""
    alone = process_seconds("-c", "import fastapi", times=5)
    with TemporaryDirectory() as home:
        kept = Path(home)
        first_answer(kept)
        for what, seconds in (
            ("a new workshop, from serve to its first page", median(map(new_workshop, range(5)))),
            ("the same, where it is kept already", median(first_answer(kept) for _ in range(5))),
        ):
            yield Line(
                what,
                f"{seconds * 1e3:.0f} ms",
                f"import fastapi, {alone * 1e3:.0f} ms",
                f"{seconds / alone:.1f}",
                "<= 2000 ms",
            )


def new_workshop(_: int) -> float:
    """Seconds until a workshop that is made anew answers."""
    with TemporaryDirectory() as folder:
        return first_answer(Path(folder))


def first_answer(folder: Path) -> float:
    """Seconds from the command to the first page."""
    start = perf_counter()
    with served(folder) as address:
        connection = HTTPConnection(urlsplit(address).netloc)
        answer_to(connection, "/")
        connection.close()
        return perf_counter() - start


def weight_lines() -> Iterator[Line]:
    """What a first visit to each page takes over the wire, without its type."""
    from browser.pages import PAGES, full_site
    from web.weights import weight

    with TemporaryDirectory() as folder, full_site(Path(folder)) as site:
        weights = {
            one.name: weight(site.origin(one), site.path(one)) for one in PAGES if not one.pressed
        }
    least = min(weights.values())
    for name, bytes_ in sorted(weights.items(), key=lambda one: -one[1])[:5]:
        yield Line(
            f"weight of the page {name}",
            f"{bytes_ / 1e3:.0f} kB",
            f"the lightest page, {least / 1e3:.0f} kB",
            f"{bytes_ / least:.1f}",
            "< 300 kB",
        )


def change_lines() -> Iterator[Line]:
    """From a change on the planning page to the new numbers on the screen, in a browser."""
    from browser.timing import seconds_of_a_choice, seconds_of_a_slider
    from sockwright.order.file import load_order
    from sockwright.plan.make import make_plan

    order = load_order(EXAMPLE)
    plan = median_of(lambda: make_plan(order), 20)
    for what, seconds_of in (
        ("a slider's move to new numbers", seconds_of_a_slider),
        ("another cylinder chosen to new numbers", seconds_of_a_choice),
    ):
        every = sorted(seconds_of(CHANGES))
        yield Line(
            what,
            f"{median(every) * 1e3:.0f} ms, p95 {every[len(every) * 95 // 100] * 1e3:.0f} ms",
            f"make_plan, {plan * 1e3:.1f} ms",
            f"{median(every) / plan:.0f}",
            "< 100 ms",
        )


def bench_web() -> Iterator[Line]:
    """All lines about the workshop."""
    yield from start_lines()
    yield from change_lines()
    yield from weight_lines()
