"""Lists and pages read while somebody else writes: whatever a thing refers to is there with it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from threading import Event, Thread
from typing import Any

import pytest

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


@pytest.mark.parametrize("path", [*LISTS, *(f"/data{path}" for path in LISTS)])
def test_what_comes_or_goes_between_two_looks_breaks_no_list(
    shop: Workshop, path: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another one's write falls between any two reads of a page."""
    visitor = client(shop)
    looks, there, writing = 0, True, False
    listed = store.listed

    def meanwhile(*given: Any) -> Any:
        nonlocal looks, there, writing
        found = listed(*given)
        if not writing:
            writing, looks = True, looks + 1
            writer = Thread(target=shop.remove_example if there else shop.add_example)
            writer.start()
            writer.join(20)
            there, writing = not there, False
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
        writer.join(20)
    assert statuses == {200}
