"""Opening a database: what can be one, and a plain word about what cannot."""

from __future__ import annotations

import os
import sqlite3
import stat
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import text

from sockwright.store.database import open_database, sqlite_url
from sockwright.store.items import CannotOpen


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


@pytest.fixture(params=[0o022, 0o000, 0o077], ids=oct)
def umask(request: pytest.FixtureRequest) -> Iterator[int]:
    """What a computer takes away of the rights to new files."""
    before = os.umask(request.param)
    yield request.param
    os.umask(before)


def test_a_new_file_is_its_owners_alone(tmp_path: Path, umask: int) -> None:
    path = tmp_path / "100 % wool.db"
    database = open_database(sqlite_url(path))
    with database.writing() as session:
        session.execute(text("UPDATE yarn SET version = version"))
        # What SQLite writes beside it holds the same.
        files = sorted(tmp_path.iterdir())
        assert path in files
        assert len(files) == 3
        assert {mode(one) for one in files} == {0o600}
    database.close()


def test_a_file_that_is_there_keeps_its_rights(tmp_path: Path) -> None:
    path = tmp_path / "workshop.db"
    open_database(sqlite_url(path)).close()
    path.chmod(0o640)
    open_database(sqlite_url(path)).close()
    assert mode(path) == 0o640


def test_a_slip_in_an_address_makes_no_folders(tmp_path: Path) -> None:
    path = tmp_path / "statoin" / "deep" / "workshop.db"
    with pytest.raises(CannotOpen, match=r"there is no folder .*deep.*make the folder first"):
        open_database(sqlite_url(path))
    assert list(tmp_path.iterdir()) == []


def test_sqlite_is_set_to_lose_nothing(tmp_path: Path) -> None:
    database = open_database(sqlite_url(tmp_path / "workshop.db"))
    with database.engine.connect() as connection:

        def pragma(name: str) -> object:
            return connection.execute(text(f"PRAGMA {name}")).scalar()

        assert pragma("journal_mode") == "wal"
        assert pragma("synchronous") == 2
        assert pragma("foreign_keys") == 1
        assert int(str(pragma("busy_timeout"))) >= 5000
    database.close()


def test_a_database_of_something_else_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "weather.db"
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE snow (depth)")
    connection.close()
    before = path.read_bytes()
    with pytest.raises(CannotOpen, match="not a workshop: it holds snow"):
        open_database(sqlite_url(path))
    assert path.read_bytes() == before


def test_a_file_that_is_no_database_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "letter.txt"
    path.write_text("Dear aunt, the machine arrived safely.\n" * 40)
    before = path.read_bytes()
    with pytest.raises(CannotOpen, match="not a database"):
        open_database(sqlite_url(path))
    assert path.read_bytes() == before


@pytest.mark.parametrize("url", ["sqlite://", "sqlite:///:memory:"])
def test_memory_is_refused(url: str) -> None:
    with pytest.raises(CannotOpen, match="saves nothing"):
        open_database(url)


@pytest.mark.parametrize("url", ["", "workshop.db", "postgresql"])
def test_what_is_no_url_is_refused(url: str) -> None:
    with pytest.raises(CannotOpen, match="not a URL"):
        open_database(url)


def test_an_unknown_kind_of_database_is_refused() -> None:
    with pytest.raises(CannotOpen, match="'woolbase' is not a known kind of database"):
        open_database("woolbase://host/name")


def test_a_folder_that_is_a_file_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    for below in ("workshop.db", "below/workshop.db"):
        with pytest.raises(CannotOpen, match="there is no folder"):
            open_database(sqlite_url(tmp_path / "file" / below))


def test_a_lacking_driver_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "psycopg", None)
    with pytest.raises(CannotOpen, match="needs the Python package 'psycopg'"):
        open_database("postgresql://dispatcher@/station")


def test_a_server_that_is_not_there_is_told_without_the_password(tmp_path: Path) -> None:
    pytest.importorskip("psycopg")
    url = f"postgresql://dispatcher:s3cret@/station?host={tmp_path}"
    with pytest.raises(CannotOpen, match="cannot be opened") as refusal:
        open_database(url)
    assert "s3cret" not in str(refusal.value)
