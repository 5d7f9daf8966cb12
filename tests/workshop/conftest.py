"""The databases that the workshop is tested on, and a workshop on each."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from databases import KINDS, copied, empty_workshop, filled, new_workshop_url
from sockwright.store.things import Kind, Thing
from sockwright.workshop import Workshop
from workshops import database_of, with_a_pair, workshop


@pytest.fixture(params=KINDS)
def url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The URL of a workshop, once of each kind of database: empty, or with a planned pair for who
    takes one."""
    fill = with_a_pair if "pair" in request.fixturenames else empty_workshop
    return copied(filled(request.param, fill), tmp_path)


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
def pair(one: Workshop) -> Thing:
    """The planned pair."""
    (pair,) = one.things(Kind.SOCK)
    return pair
