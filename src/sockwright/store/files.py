"""The files that are kept: for their owner alone, never written over, and looked at whether whole.

A value that is none (a name that is missing, a status there is not) spoils one thing and is told of
with that thing; a page that is torn spoils whatever is read through it, so nothing is read at all.
"""

from __future__ import annotations

import os
import re
import sqlite3
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sockwright.store.items import FileDamaged

if TYPE_CHECKING:
    from sqlalchemy import Connection

BESIDE = ("-wal", "-shm")
"""How the files end that SQLite writes beside a database and that are a part of it."""

CORRUPT, NO_DATABASE = 11, 26
"""SQLite's numbers of its errors SQLITE_CORRUPT and SQLITE_NOTADB."""

MOST_TOLD = 1_000
"""Findings asked for: those of single values may come before those of pages."""

DATA_CORRUPTED = ("XX001", "XX002")
"""PostgreSQL's codes for data and an index that are corrupted."""

GARBLED = "its own names are garbled"
"""What is told where an error of SQLite's quotes bytes that are no text."""

SMALL_BYTES = 10_000_000
"""A file up to this size is examined in full at each opening, in half a second."""

_OF_INDEXES = re.compile(r"row \d+ missing from index|wrong # of entries in index")
_OF_VALUES = re.compile(r"(?:non-)?\w+ value in \w+\.\w+|CHECK constraint failed in \w+")


def make_private_folder(folder: Path) -> None:
    """Make a folder, and those above it as usual; one that is there stays as it is. OSError."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)


def make_private_file(path: Path) -> None:
    """Make an empty file; one that is there stays as it is. OSError."""
    with suppress(FileExistsError):
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))


def free_name(path: Path) -> Path:
    """The path, or with a number where it is taken: no copy is ever written over."""
    number, free = 2, path
    while any(Path(f"{free}{end}").exists() for end in ("", *BESIDE)):
        free = path.with_name(f"{path.name}-{number}")
        number += 1
    return free


def quick_fault(connection: sqlite3.Connection) -> str:
    """What is wrong with the pages of a file, "" for nothing: some 0.25 s for 50 MB."""
    return _fault(connection, "quick_check")


def full_fault(connection: sqlite3.Connection) -> str:
    """The same, with every index held against its table: ten times as long."""
    return _fault(connection, "integrity_check")


def check_file(connection: Connection, fault: Callable[[sqlite3.Connection], str]) -> None:
    """Have the pages of an SQLite file examined; FileDamaged if one is torn."""
    if connection.dialect.name != "sqlite":
        return
    driver = connection.connection.driver_connection
    assert isinstance(driver, sqlite3.Connection)
    if found := fault(driver):
        raise FileDamaged(found)


def fault_at_opening(connection: sqlite3.Connection) -> str:
    """The fault of a file that is to be opened, "" for none.

    A small file is examined in full. An index that is not as its table is made anew: the table is
    what was written, and what is wrong in that shows in the things themselves.
    """
    try:
        (pages,) = connection.execute("PRAGMA page_count").fetchone()
        (size,) = connection.execute("PRAGMA page_size").fetchone()
    except (UnicodeDecodeError, sqlite3.DatabaseError):
        return quick_fault(connection)
    if pages * size > SMALL_BYTES:
        return quick_fault(connection)
    fault = full_fault(connection)
    if _OF_INDEXES.match(fault) and not quick_fault(connection):
        with suppress(sqlite3.IntegrityError):
            connection.execute("REINDEX")
        return full_fault(connection)
    return fault


def is_damage(error: BaseException | None) -> bool:
    """Whether an error of a database's driver says that what is stored is damaged."""
    if isinstance(error, UnicodeDecodeError):
        return True  # SQLite quotes its own names in an error, and they are none any more
    code = getattr(error, "sqlite_errorcode", None)
    if code is not None:
        return code & 0xFF in (CORRUPT, NO_DATABASE)
    return getattr(error, "sqlstate", None) in DATA_CORRUPTED


def _fault(connection: sqlite3.Connection, pragma: str) -> str:
    try:
        told = connection.execute(f"PRAGMA {pragma}({MOST_TOLD})").fetchall()
    except UnicodeDecodeError:
        return GARBLED
    except sqlite3.DatabaseError as error:
        if not is_damage(error):
            raise
        return str(error)
    found = [line for (text,) in told for line in _lines(text)]
    torn = [line for line in found if line != "ok" and not _OF_VALUES.match(line)]
    return torn[0] if torn else ""


def _lines(text: Any) -> list[str]:
    """What one finding says, without the heading of the database it is of."""
    return [line for line in str(text).splitlines() if not line.startswith("***")]
