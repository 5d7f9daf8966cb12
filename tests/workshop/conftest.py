"""The databases that the workshop is tested on, and a workshop on each."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from databases import KINDS, new_workshop_url
from sockwright.store.things import Thing
from sockwright.workshop import Workshop
from workshops import database_of, furnish, kept, workshop


@pytest.fixture(params=KINDS)
def url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The URL of an empty workshop, once of each kind of database."""
    return new_workshop_url(request.param, tmp_path)


@pytest.fixture
def urls(tmp_path: Path) -> Callable[[str], str]:
    """Makes URLs of empty workshops on a kind of database."""
    return lambda kind: new_workshop_url(kind, tmp_path)


@pytest.fixture
def one(url: str) -> Iterator[Workshop]:
    """An empty workshop, once on each kind of database."""
    opened = workshop(url)
    yield opened
    database_of(opened).close()


@pytest.fixture
def pair(one: Workshop) -> Thing:
    """A planned pair."""
    return kept(one.plan_sock(furnish(one)))
