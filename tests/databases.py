"""Databases to test on: SQLite files, and a PostgreSQL server started for the tests alone."""

from __future__ import annotations

import atexit
import itertools
import os
import pwd
import shutil
import subprocess
import tempfile
import time
from collections.abc import Callable
from functools import cache
from glob import glob
from pathlib import Path

import pytest
from sqlalchemy import MetaData, select, text

from absent import absent
from sockwright.store.database import Database, sqlite_url

KINDS = ("sqlite", "postgresql")
STARTS_WITHIN_S = 60
_numbers = itertools.count(1)


def program(name: str) -> str | None:
    """A program of PostgreSQL's server, on the path or where Debian and Homebrew put it."""
    places = ["/usr/lib/postgresql/*/bin", "/opt/homebrew/opt/postgresql*/bin", "/usr/local/bin"]
    found = [path for place in places for path in sorted(glob(f"{place}/{name}"), reverse=True)]
    return shutil.which(name) or next(iter(found), None)


def plain_user() -> dict[str, object]:
    """Arguments that start a process as somebody other than root, whom the server refuses."""
    if os.geteuid() != 0:
        return {}
    names = {user.pw_name: user for user in pwd.getpwall()}
    user = names.get("postgres") or names.get("nobody")
    if user is None:
        absent("PostgreSQL's server refuses root, and there is no user postgres or nobody.")
    return {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": []}


@cache
def server_folder() -> Path | None:
    """The folder of a running server's data and socket; None where there is no server to run."""
    initdb, postgres = program("initdb"), program("postgres")
    if initdb is None or postgres is None:
        return None
    folder = Path(tempfile.mkdtemp(prefix="sw-pg-", dir="/tmp"))
    as_user = plain_user()
    if as_user:
        os.chown(folder, as_user["user"], as_user["group"])  # type: ignore[arg-type]
    make = [initdb, "-D", str(folder / "data"), "-U", "sockwright", "-A", "trust", "-E", "UTF8"]
    subprocess.run(
        [*make, "--no-locale", "--no-sync"],
        check=True,
        capture_output=True,
        cwd=folder,
        **as_user,  # type: ignore[call-overload]
    )
    server = subprocess.Popen(
        [postgres, "-D", str(folder / "data"), "-F", "-k", str(folder), "-h", ""],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        cwd=folder,
        **as_user,  # type: ignore[call-overload]
    )
    atexit.register(_stop, server, folder)
    _wait(folder)
    return folder


def new_url(kind: str, folder: Path) -> str:
    """The URL of an empty database of this kind, with its file in `folder` if it has one."""
    if kind == "sqlite":
        return sqlite_url(folder / f"workshop-{next(_numbers)}.db")
    server = server_folder()
    if server is None:
        absent(
            "PostgreSQL's server programs (initdb, postgres) are missing. Install them (on Debian "
            "and Ubuntu: apt-get install postgresql); the tests start a server of their own."
        )
    name = f"workshop_{os.getpid()}_{next(_numbers)}"
    _admin(server, f"CREATE DATABASE {name}")
    return f"postgresql://sockwright@/{name}?host={server}"


@pytest.fixture(params=KINDS)
def url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The URL of an empty database, once of each kind."""
    return new_url(request.param, tmp_path)


@pytest.fixture
def urls(tmp_path: Path) -> Callable[[str], str]:
    """Makes URLs of empty databases of a kind."""
    return lambda kind: new_url(kind, tmp_path)


def contents(database: Database) -> dict[str, list[str]]:
    """Every row of every table, read without the program's own models."""
    tables = MetaData()
    tables.reflect(database.engine)
    with database.engine.connect() as connection:
        return {
            name: sorted(repr(tuple(row)) for row in connection.execute(select(table)))
            for name, table in sorted(tables.tables.items())
        }


def assert_sound(database: Database) -> None:
    """SQLite's own checks find nothing wrong."""
    if database.engine.dialect.name != "sqlite":
        return
    with database.engine.connect() as connection:
        assert connection.execute(text("PRAGMA integrity_check")).scalars().all() == ["ok"]
        assert connection.execute(text("PRAGMA foreign_key_check")).all() == []


def _admin(folder: Path, statement: str) -> None:
    import psycopg

    with psycopg.connect(
        host=str(folder), user="sockwright", dbname="postgres", autocommit=True
    ) as connection:
        connection.execute(statement.encode())


def _wait(folder: Path) -> None:
    import psycopg

    until = time.monotonic() + STARTS_WITHIN_S
    while True:
        try:
            return _admin(folder, "SELECT 1")
        except psycopg.OperationalError:
            if time.monotonic() > until:
                raise
            time.sleep(0.1)


def _stop(server: subprocess.Popen[bytes], folder: Path) -> None:
    # SIGQUIT ends it at once; its data go with the folder.
    server.send_signal(3)
    server.wait(timeout=STARTS_WITHIN_S)
    shutil.rmtree(folder, ignore_errors=True)
