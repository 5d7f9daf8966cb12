"""Lists and pages read while somebody else writes: whatever a thing refers to is there with it."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from threading import Event, Thread
from typing import Any

import pytest

from served import PATIENCE_S
from sockwright.store import kept as store
from sockwright.workshop.workshop import Workshop
from web.sites import client, workshop

LISTS = ("/", "/socks", "/swatches", "/notes", "/exchange", "/plan", "/deleted", "/gauge")

ROUNDS = 3


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workshop]:
    """A workshop that others write into: the example comes and goes."""
    with workshop(tmp_path, example=True) as one:
        yield one


class Other:
    """Somebody else's program, that takes all that is kept out of the file and puts it back."""

    def __init__(self, file: Path) -> None:
        whole = shutil.copy(file, file.with_name("whole.db"))
        self._there = True
        # A page is read in threads, one after the other.
        self._line = sqlite3.connect(file, PATIENCE_S, check_same_thread=False)
        self._line.execute("ATTACH ? AS whole", (str(whole),))
        names = self._line.execute("SELECT name FROM whole.sqlite_master WHERE type = 'table'")
        self._tables = [name for (name,) in names if not name.startswith(("sqlite_", "alembic_"))]

    def write(self) -> None:
        """Take everything out, or put everything back, in one transaction."""
        self._there = not self._there
        with self._line:
            for table in self._tables:
                self._line.execute(
                    f"INSERT INTO main.{table} SELECT * FROM whole.{table}"
                    if self._there
                    else f"DELETE FROM main.{table}"
                )

    def close(self) -> None:
        """Let go of the file."""
        self._line.close()


@pytest.fixture
def other(shop: Workshop, tmp_path: Path) -> Iterator[Other]:
    """Another program over the file of `shop`."""
    with closing(Other(tmp_path / "workshop.db")) as one:
        yield one


@pytest.mark.parametrize("path", [*LISTS, *(f"/data{path}" for path in LISTS)])
def test_what_comes_or_goes_between_two_looks_breaks_no_list(
    shop: Workshop, other: Other, path: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another one's write falls between any two reads of a page."""
    visitor = client(shop)
    looks = 0
    listed = store.listed

    def meanwhile(*given: Any, **named: Any) -> Any:
        nonlocal looks
        found = listed(*given, **named)
        looks += 1
        other.write()
        return found

    monkeypatch.setattr(store, "listed", meanwhile)
    for _ in range(2):
        assert visitor.get(path).status_code == 200
    assert looks or path.startswith("/data/plan")


def test_lists_are_whole_while_a_writer_is_busy(shop: Workshop) -> None:
    visitor, done = client(shop), Event()

    def write() -> None:
        while not done.is_set():
            shop.remove_example()
            shop.add_example()

    writer = Thread(target=write)
    writer.start()
    try:
        statuses = {visitor.get(path).status_code for _ in range(ROUNDS) for path in LISTS}
    finally:
        done.set()
        writer.join(PATIENCE_S)
    assert statuses == {200}
