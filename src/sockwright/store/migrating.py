"""Bringing a database to the newest schema: one step after the other, all of them or none."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, String, column, inspect, select, table

from sockwright.i18n import _
from sockwright.store.files import check_file, free_name, full_fault, make_private_file
from sockwright.store.items import CannotOpen
from sockwright.store.models import Base

VERSION_TABLE = "sockwright_schema"
"""Where a database says which schema it has."""


@dataclass(frozen=True)
class Schemas:
    """The folder of migrations, and the schemas they lead to, the newest last."""

    folder: Path
    versions: tuple[str, ...]

    @property
    def newest(self) -> str:
        """The schema the tables of this program have."""
        return self.versions[-1]


_FOLDER = Path(__file__).parent / "migrations"
OURS = Schemas(_FOLDER, tuple(sorted(one.stem[1:5] for one in _FOLDER.glob("versions/v*.py"))))

Lock = Callable[[Connection], None]
"""Keeps other writers out until the transaction ends."""


def bring_up_to_date(connection: Connection, schemas: Schemas, lock: Lock) -> bool:
    """Migrate to the newest schema in one transaction, after a copy of an SQLite file.

    Tells whether the database was empty until now. Raises CannotOpen for a schema that is newer
    than this program or is not its own.
    """
    with connection.begin():
        found = schema_of(connection, schemas)
    if found == schemas.newest:
        return False
    _foreign_keys(connection, "OFF")
    try:
        with connection.begin():
            lock(connection)
            # Somebody may have migrated while we waited.
            found = schema_of(connection, schemas)
            if found is not None and found != schemas.newest:
                check_file(connection, full_fault)
                _back_up(connection, found)
            _upgrade(connection, schemas.folder)
            _check_references(connection)
    finally:
        _foreign_keys(connection, "ON")
    return found is None


def schema_of(connection: Connection, schemas: Schemas) -> str | None:
    """The schema a database has, None for an empty one; CannotOpen for one of another's."""
    tables = set(inspect(connection).get_table_names())
    if VERSION_TABLE not in tables:
        _refuse_foreign(connection, tables)
        return None
    version = select(column("version_num", String)).select_from(table(VERSION_TABLE))
    found = connection.execute(version).scalar()
    if found is not None and found not in schemas.versions:
        raise CannotOpen(
            _(
                "this workshop was last written by a newer Sockwright (its schema is {found}, the "
                "newest known here is {newest}); open it with that one, or install it here",
                found=found,
                newest=schemas.newest,
            )
        )
    return found


def _refuse_foreign(connection: Connection, tables: set[str]) -> None:
    # A PostgreSQL database may be shared, as long as no name is taken.
    taken = tables if connection.dialect.name == "sqlite" else tables & set(Base.metadata.tables)
    if taken:
        raise CannotOpen(
            _(
                "this database is not a workshop: it holds {taken}; use a new one",
                taken=sorted(taken)[:3],
            )
        )


def _upgrade(connection: Connection, folder: Path) -> None:
    # Loaded only here: a database that is up to date opens without it.
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(folder).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, "head")


def _foreign_keys(connection: Connection, switch: str) -> None:
    """SQLite changes a table by building it anew, which its foreign keys would not allow."""
    if connection.dialect.name == "sqlite":
        # Not through SQLAlchemy, which would begin a transaction, and in one this does nothing.
        driver = connection.connection.driver_connection
        assert driver is not None
        driver.execute(f"PRAGMA foreign_keys = {switch}")


def _check_references(connection: Connection) -> None:
    if connection.dialect.name == "sqlite":
        broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
        if broken:
            raise CannotOpen(
                _(
                    "the update would break {count} references; nothing was changed",
                    count=len(broken),
                )
            )


def _back_up(connection: Connection, found: str) -> None:
    """Copy the SQLite file beside itself; readers go on while we hold the writers' lock."""
    if connection.dialect.name != "sqlite":
        return
    path = Path(str(connection.engine.url.database))
    copy = free_name(path.with_name(f"{path.name}.schema-{found}"))
    make_private_file(copy)
    source, target = sqlite3.connect(path), sqlite3.connect(copy)
    try:
        source.backup(target)
    finally:
        target.close()
        source.close()
