"""An empty workshop, the example station, and a client; tests may put their own in place."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from served import Starter
from sockwright.store.items import Thing
from sockwright.workshop.workshop import Workshop
from web import sites
from workshops import furnish, kept


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workshop]:
    """An empty workshop."""
    with sites.workshop(tmp_path) as opened:
        yield opened


@pytest.fixture
def station(tmp_path: Path) -> Iterator[Workshop]:
    """The example station."""
    with sites.workshop(tmp_path, example=True) as opened:
        yield opened


@pytest.fixture
def client(shop: Workshop) -> sites.Client:
    """A client of `shop`."""
    return sites.client(shop)


@pytest.fixture
def planned(tmp_path: Path) -> Iterator[tuple[Workshop, Thing]]:
    """A workshop with a pair that is planned, and the pair."""
    with sites.filled(tmp_path, plan_pair) as given:
        yield given


def plan_pair(shop: Workshop) -> Thing:
    """Plan a pair in an empty workshop."""
    return kept(shop.plan_sock(furnish(shop)))


@pytest.fixture(scope="session")
def starter() -> Iterator[Starter]:
    """A process that starts the command quickly, for all tests."""
    one = Starter()
    yield one
    one.close()
