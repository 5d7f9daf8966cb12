"""The databases that the workshop is tested on, and a workshop on each."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from databases import url, urls
from sockwright.store.things import Thing
from sockwright.workshop import Workshop
from workshops import database_of, furnish, kept, workshop

__all__ = ["one", "pair", "url", "urls"]


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
