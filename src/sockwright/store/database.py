"""A workshop's database: opened, brought up to date, read in one view, written in one piece."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import partial
from pathlib import Path
from threading import Lock
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError, OperationalError
from sqlalchemy.orm import Session

from sockwright.i18n import _
from sockwright.store.damage import Reads, anything, loads, text_from
from sockwright.store.files import (
    GARBLED,
    check_file,
    fault_at_opening,
    is_damage,
    make_private_file,
)
from sockwright.store.items import Busy, CannotOpen, FileDamaged, StoreError
from sockwright.store.migrating import OURS, Schemas, bring_up_to_date, schema_of

BUSY_MS = 10_000
"""How long a write waits for another one, ms: far longer than any write takes."""

WRITE_LOCK = 0x50C5
"""The number of the lock that lets one writer at a time into a PostgreSQL database."""

_WRITES = "sockwright_writes"
_TOO_LONG = _("another write took too long; nothing was saved: try again")
_LOCK_NOT_AVAILABLE = "55P03"
_BUSY_WORDS = ("database is locked", "database table is locked")


class Database:
    """An open database. Safe for several threads; call `close` at the end.

    `new` tells that it was empty until it was opened. `reads` is how documents are read, for
    whoever knows what they mean: things that do not read are then told apart from the others.
    """

    def __init__(self, engine: Engine, new: bool = False) -> None:
        self._engine = engine
        self.new = new
        self.reads: Reads = anything
        self._turn = Lock()

    @property
    def engine(self) -> Engine:
        """The engine below, for tools and tests."""
        return self._engine

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session that sees one moment of the database, and writes nothing."""
        options: dict[str, Any] = {}
        if self._engine.dialect.name == "postgresql":
            options["isolation_level"] = "REPEATABLE READ"
        with (
            in_plain_words(),
            self._engine.connect().execution_options(**options) as connection,
            Session(connection, info={"reads": self.reads}) as session,
        ):
            yield session
            session.rollback()

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """A session whose writes are all kept when the block ends well, else none of them.

        One writer at a time: others wait, and get Busy after BUSY_MS.
        """
        with (
            self._taking_turns(),
            in_plain_words(),
            self._engine.connect().execution_options(**{_WRITES: True}) as connection,
            connection.begin(),
            Session(connection, info={"reads": self.reads}) as session,
        ):
            _lock(connection)
            yield session
            session.flush()

    def close(self) -> None:
        """Let go of all connections."""
        self._engine.dispose()

    @contextmanager
    def _taking_turns(self) -> Iterator[None]:
        """One thread at a time. The database's own lock is for other processes: a thread waiting
        for that one would hold a connection, and SQLite wakes nobody, so that it might come last
        again and again."""
        if not self._turn.acquire(timeout=BUSY_MS / 1000):
            raise Busy(_TOO_LONG)
        try:
            yield
        finally:
            self._turn.release()


def sqlite_url(path: Path) -> str:
    """The URL of the SQLite file at `path`."""
    return URL.create("sqlite", database=str(path)).render_as_string(hide_password=False)


def open_database(url: str, schemas: Schemas = OURS) -> Database:
    """The database at an SQLAlchemy URL, made or migrated to the newest of `schemas`.

    An SQLite file is made where there is none, for its owner alone, but not its folder. Raises
    CannotOpen where that cannot be done; the database is then as it was.
    """
    address = _address(url)
    _make_file(address)
    try:
        engine = _engine(address)
    except ModuleNotFoundError as error:
        raise CannotOpen(
            _(
                "{address} needs the Python package {package!r}; install it first",
                address=_shown(address),
                package=error.name,
            )
        ) from error
    try:
        with in_plain_words(), engine.connect() as connection:
            check_file(connection, fault_at_opening)
            options = {_WRITES: True}
            new = bring_up_to_date(connection.execution_options(**options), schemas, _lock)
            _keep_ahead(connection)
    except CannotOpen:
        engine.dispose()
        raise
    except FileDamaged as error:
        engine.dispose()
        raise CannotOpen(_damaged_words(address, error)) from error
    except StoreError as error:
        engine.dispose()
        raise CannotOpen(
            _("{address} cannot be opened: {error}", address=_shown(address), error=error.message)
        ) from error
    return Database(engine, new)


@contextmanager
def in_plain_words() -> Iterator[None]:
    """Tells of the database's own errors in our words: Busy, or StoreError with what it said."""
    try:
        yield
    except UnicodeDecodeError as error:
        raise FileDamaged(GARBLED) from error
    except sqlite3.DatabaseError as error:
        if not is_damage(error):
            raise
        raise FileDamaged(str(error)) from error
    except DBAPIError as error:
        words = " ".join(str(error.orig).split())
        if is_damage(error.orig):
            raise FileDamaged(words) from error
        busy = isinstance(error, OperationalError) and any(word in words for word in _BUSY_WORDS)
        if busy or getattr(error.orig, "sqlstate", None) == _LOCK_NOT_AVAILABLE:
            raise Busy(_TOO_LONG) from error
        raise StoreError(
            _("the database refused ({reason}); nothing was saved", reason=words)
        ) from error


def _damaged_words(address: URL, error: FileDamaged) -> str:
    """That it cannot be opened, and the command that helps."""
    if not _is_sqlite(address):
        return _("{address} cannot be opened: {error}", address=_shown(address), error=error)
    return _(
        "{address} cannot be opened: {error}\nIt may not be a database at all. To see the "
        "copies: sockwright restore-workshop --database {address}",
        address=_shown(address),
        error=error.message,
    )


def schema_at(url: str, schemas: Schemas = OURS) -> str | None:
    """The schema of a database as it is, nothing being written; None for an empty one.

    Raises CannotOpen and FileDamaged.
    """
    engine = _engine(_address(url))
    try:
        with in_plain_words(), engine.connect() as connection, connection.begin():
            return schema_of(connection, schemas)
    finally:
        engine.dispose()


def sqlite_file(url: str) -> Path | None:
    """The file of an SQLite URL; None for other databases. Raises CannotOpen for what is no URL."""
    address = _address(url)
    return Path(str(address.database)) if _is_sqlite(address) else None


def _address(url: str) -> URL:
    try:
        address = make_url(url)
        if address.drivername in ("postgresql", "postgres"):
            address = address.set(drivername="postgresql+psycopg")
        address.get_dialect()
    except NoSuchModuleError as error:
        raise CannotOpen(
            _(
                "{kind!r} is not a known kind of database; use sqlite or postgresql",
                kind=url.partition(":")[0],
            )
        ) from error
    except ArgumentError as error:
        raise CannotOpen(
            _(
                'the address of the database is not a URL; write it as "sqlite:///workshop.db" or '
                '"postgresql://user@host/name"'
            )
        ) from error
    except ModuleNotFoundError:
        pass  # told of where the driver is needed
    if _is_sqlite(address) and address.database in (None, "", ":memory:"):
        raise CannotOpen(
            _("a database in memory saves nothing; use a file, such as sqlite:///workshop.db")
        )
    return address


def _make_file(address: URL) -> None:
    """Make the file of an SQLite database for its owner alone, where there is none."""
    database = str(address.database)
    if not _is_sqlite(address) or database.startswith("file:"):
        return
    path = Path(database)
    if not path.parent.is_dir():
        raise CannotOpen(
            _(
                "there is no folder {folder}: check the address of the database, or make the "
                "folder first",
                folder=path.parent,
            )
        )
    # What hinders us here, SQLite says better.
    with suppress(OSError):
        make_private_file(path)


def _engine(address: URL) -> Engine:
    engine = create_engine(
        address,
        json_serializer=partial(json.dumps, ensure_ascii=False, allow_nan=False),
        json_deserializer=loads,
        pool_pre_ping=not _is_sqlite(address),
    )
    if _is_sqlite(address):
        event.listen(engine, "connect", _prepare_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    return engine


def _prepare_sqlite(dbapi_connection: Any, record: Any) -> None:
    # The driver shall not begin transactions by its own rules: `_begin_sqlite` does.
    dbapi_connection.isolation_level = None
    # One text that is none must not keep all others from being read.
    dbapi_connection.text_factory = text_from
    for pragma in (
        f"busy_timeout = {BUSY_MS}",
        "synchronous = FULL",
        "foreign_keys = ON",
    ):
        dbapi_connection.execute(f"PRAGMA {pragma}")


def _keep_ahead(connection: Connection) -> None:
    """Have an SQLite file write ahead, which it remembers; only once it is known to be ours."""
    if connection.dialect.name == "sqlite":
        dbapi = connection.connection.dbapi_connection
        assert dbapi is not None
        dbapi.execute("PRAGMA journal_mode = WAL")


def _begin_sqlite(connection: Connection) -> None:
    # A writer takes the lock at once: one that began by reading could not wait for it later.
    writes = connection.get_execution_options().get(_WRITES)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _lock(connection: Connection) -> None:
    """Let one writer at a time in; on SQLite its BEGIN has done so already."""
    if connection.dialect.name == "postgresql":
        connection.exec_driver_sql(f"SET LOCAL lock_timeout = {BUSY_MS}")
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({WRITE_LOCK})")


def _is_sqlite(address: URL) -> bool:
    return address.get_backend_name() == "sqlite"


def _shown(address: URL) -> str:
    return address.render_as_string(hide_password=True)
