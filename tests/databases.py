"""Databases to test on: SQLite files, and a PostgreSQL server started for the tests alone."""

from __future__ import annotations

import atexit
import itertools
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Callable
from functools import cache
from glob import glob
from pathlib import Path

import psycopg
import pytest
from sqlalchemy import inspect, make_url, text

from absent import absent
from sockwright.store.database import Database, open_database, sqlite_file, sqlite_url

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


class Server:
    """A PostgreSQL server for the tests alone; its data and socket are in `folder`.

    `options` are what it is started with. `start` it; it is gone at the end of the tests.
    """

    def __init__(self, *options: str) -> None:
        initdb, self._postgres = program("initdb"), program("postgres")
        if initdb is None or self._postgres is None:
            absent(
                "PostgreSQL's server programs (initdb, postgres) are missing. Install them (on "
                "Debian and Ubuntu: apt-get install postgresql); the tests start servers of their "
                "own."
            )
        self.folder = Path(tempfile.mkdtemp(prefix="sw-pg-", dir="/tmp"))
        self._options = options
        self._user = plain_user()
        self._running: subprocess.Popen[bytes] | None = None
        atexit.register(self.close)
        if self._user:
            os.chown(self.folder, self._user["user"], self._user["group"])  # type: ignore[arg-type]
        make = [initdb, "-D", str(self.folder / "data"), "-U", "sockwright", "-A", "trust"]
        subprocess.run(
            [*make, "-E", "UTF8", "--no-locale", "--no-sync"],
            check=True,
            capture_output=True,
            cwd=self.folder,
            **self._user,  # type: ignore[call-overload]
        )

    def start(self) -> None:
        """Run it until it answers. After a kill it refuses as long as its last helpers live."""
        until = time.monotonic() + STARTS_WITHIN_S
        while True:
            if self._running is None or self._running.poll() is not None:
                self._running = self._run()
            try:
                return self._do("SELECT 1")
            except psycopg.OperationalError:
                if time.monotonic() > until:
                    raise
                time.sleep(0.1)

    def kill(self) -> None:
        """End it as a power cut does: its first process has no time to do anything."""
        assert self._running is not None
        self._running.kill()
        self._running.wait()

    def new_url(self, like: str = "template1") -> str:
        """The URL of a new database, empty or `like` another that nobody has open."""
        name = f"workshop_{os.getpid()}_{next(_numbers)}"
        self._do(f"CREATE DATABASE {name} TEMPLATE {like}")
        return f"postgresql://sockwright@/{name}?host={self.folder}"

    def close(self) -> None:
        """Stop it, and take its data away."""
        atexit.unregister(self.close)
        if self._running is not None:
            # SIGQUIT ends it at once; its data go with the folder.
            self._running.send_signal(signal.SIGQUIT)
            self._running.wait(timeout=STARTS_WITHIN_S)
        shutil.rmtree(self.folder, ignore_errors=True)

    def _run(self) -> subprocess.Popen[bytes]:
        place = ["-D", str(self.folder / "data"), "-k", str(self.folder), "-h", ""]
        return subprocess.Popen(
            [str(self._postgres), *place, *self._options],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            cwd=self.folder,
            **self._user,  # type: ignore[call-overload]
        )

    def _do(self, statement: str) -> None:
        with psycopg.connect(
            host=str(self.folder), user="sockwright", dbname="postgres", autocommit=True
        ) as connection:
            connection.execute(statement.encode())


@cache
def the_server() -> Server:
    """The server of all tests but those that kill it: it need not wait for the disk."""
    server = Server("-F")
    server.start()
    return server


def new_url(kind: str, folder: Path) -> str:
    """The URL of an empty database of this kind, with its file in `folder` if it has one."""
    if kind == "sqlite":
        return sqlite_url(folder / f"workshop-{next(_numbers)}.db")
    return the_server().new_url()


def new_workshop_url(kind: str, folder: Path) -> str:
    """The URL of a database of this kind that holds an empty workshop."""
    return copied(filled(kind, empty_workshop), folder)


def empty_workshop(url: str) -> None:
    """Make an empty workshop."""
    open_database(url).close()


@cache
def filled(kind: str, fill: Callable[[str], None]) -> str:
    """The URL of a database of this kind, filled once: to be copied, not opened."""
    folder = Path(tempfile.mkdtemp(prefix="sw-filled-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    url = new_url(kind, folder)
    fill(url)
    return url


def copied(url: str, folder: Path) -> str:
    """The URL of a copy of a database that nobody has open, its file (if any) in `folder`."""
    file = sqlite_file(url)
    if file is None:
        return the_server().new_url(str(make_url(url).database))
    copy = folder / f"workshop-{next(_numbers)}.db"
    shutil.copyfile(file, copy)
    return sqlite_url(copy)


ON_ANY_KIND = pytest.mark.parametrize("url", ["sqlite"], indirect=True)
"""For what does not hang on the kind of database: it is tried on one."""


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
    with database.engine.connect() as connection:
        names = sorted(inspect(connection).get_table_names())
        held = {name: connection.execute(text(f'SELECT * FROM "{name}"')) for name in names}
        return {name: sorted(repr(tuple(row)) for row in rows) for name, rows in held.items()}


def assert_sound(database: Database) -> None:
    """SQLite's own checks find nothing wrong."""
    if database.engine.dialect.name != "sqlite":
        return
    with database.engine.connect() as connection:
        assert connection.execute(text("PRAGMA integrity_check")).scalars().all() == ["ok"]
        assert connection.execute(text("PRAGMA foreign_key_check")).all() == []
