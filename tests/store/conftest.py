"""The databases that the store is tested on, and a file with enough in it to be torn."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from databases import url, urls
from sockwright.store import kept
from sockwright.store.database import Database, open_database, sqlite_url
from sockwright.store.items import ItemKind, State, Thing

__all__ = ["url", "urls"]

DAY = datetime(2026, 11, 30, 7, 15, tzinfo=UTC)


def add(database: Database, number: int) -> None:
    """Keep a yarn more."""
    id = f"0b7e6a52-3a0c-4a57-8f55-0c1c1d7f{number:04}"
    name = f"yarn {number} {'of the long winter ' * 6}".strip()
    state = State(name, {"name": name}, {"used_up": False}, DAY)
    with database.writing() as session:
        kept.add(session, Thing(ItemKind.YARN, id, 1, DAY, state))


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """The file of a workshop with some yarns, more than a page of them."""
    path = tmp_path / "workshop.db"
    database = open_database(sqlite_url(path))
    for number in range(60):
        add(database, number)
    database.close()
    return path
