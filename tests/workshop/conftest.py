"""The databases that the workshop is tested on, and a workshop on each."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from databases import KINDS, copied, empty_workshop, filled, new_workshop_url
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop import Choice, Workshop
from workshops import chosen, database_of, furnished, with_a_pair, with_the_example, workshop

FILLS = {"pair": with_a_pair, "choice": furnished, "station": with_the_example}
"""What makes the workshop that a fixture of this name is taken from."""


@pytest.fixture(params=KINDS)
def url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The URL of a workshop, once of each kind of database: empty, or with what the test takes: a
    planned pair, the choice for one, the example station."""
    taken = (fill for name, fill in FILLS.items() if name in request.fixturenames)
    return copied(filled(request.param, next(taken, empty_workshop)), tmp_path)


@pytest.fixture
def urls(tmp_path: Path) -> Callable[[str], str]:
    """Makes URLs of empty workshops on a kind of database."""
    return lambda kind: new_workshop_url(kind, tmp_path)


@pytest.fixture
def one(url: str) -> Iterator[Workshop]:
    """The workshop at `url`."""
    opened = workshop(url)
    yield opened
    database_of(opened).close()


@pytest.fixture
def choice(one: Workshop) -> Choice:
    """The choice of all that a pair needs."""
    return chosen(one)


@pytest.fixture
def station(one: Workshop) -> Workshop:
    """The workshop with the example station in it."""
    return one


@pytest.fixture
def pair(one: Workshop) -> Thing:
    """The planned pair."""
    (pair,) = one.things(ItemKind.SOCK)
    return pair
