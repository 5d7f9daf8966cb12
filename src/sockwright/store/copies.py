"""The copies of an SQLite database: one a day, the last seven, and the way back to one.

A copy is written under another name, examined, and only then put in its place, so that there is
never half of one; older ones go only when a new one is there that is sound to its last value.
"""

from __future__ import annotations

import os
import re
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from sqlalchemy import JSON, Boolean, Integer

from sockwright.i18n import _
from sockwright.store.files import (
    BESIDE,
    free_name,
    is_damage,
    make_private_file,
    make_private_folder,
    quick_fault,
)
from sockwright.store.items import CannotCopy, FileDamaged
from sockwright.store.migrating import VERSION_TABLE
from sockwright.store.models import Base

KEPT = 7
"""Copies kept, each of another day."""

_NAMES = re.compile(r"\d{4}-\d\d-\d\d\.db")


def copies_folder(file: Path) -> Path:
    """Where the copies of a database's file lie: in a folder beside it."""
    return file.with_name(f"{file.name}.copies")


def copies_of(file: Path) -> tuple[Path, ...]:
    """The copies there are, the newest first."""
    found = (one for one in copies_folder(file).glob("*.db") if _NAMES.fullmatch(one.name))
    return tuple(sorted(found, reverse=True))


def keep_copy(file: Path, day: str) -> Path | None:
    """Copy the database as it is, as that of a day such as "2026-11-30"; None if it has one.

    Readers and writers go on meanwhile. Raises CannotCopy where it cannot be written, FileDamaged
    where there is nothing sound to copy; the copies that are there stay as they are.
    """
    copy = copies_folder(file) / f"{day}.db"
    if copy.exists():
        return None
    part = copy.with_name(f"{copy.name}.{os.getpid()}.part")
    try:
        make_private_folder(copy.parent)
        _drop_parts(copy.parent)
        all_sound = _copy(file, part)
        os.replace(part, copy)
        _to_disk(copy.parent)
    except (OSError, sqlite3.Error) as error:
        raise CannotCopy(
            _(
                "no copy of the workshop could be made in {folder}: {error}",
                folder=copy.parent,
                error=str(error),
            )
        ) from error
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)
    if all_sound:
        for old in copies_of(file)[KEPT:]:
            with suppress(OSError):
                old.unlink()
    return copy


def copy_fault(copy: Path) -> str:
    """Why a file is no sound copy of a workshop, "" if it is one."""
    address = f"{copy.absolute().as_uri()}?mode=ro"
    try:
        with closing(sqlite3.connect(address, uri=True)) as connection:
            if fault := quick_fault(connection):
                return fault
            query = "SELECT count(*) FROM sqlite_master WHERE name = ?"
            (ours,) = connection.execute(query, (VERSION_TABLE,)).fetchone()
            return "" if ours else _("it is not a workshop")
    except sqlite3.Error as error:
        return str(error)


def put_back(file: Path, copy: Path, day: str) -> Path | None:
    """Put a copy in the place of the database, which is put aside; tells under which name.

    Nothing is deleted, and the copy stays. Raises CannotCopy where the copy is not sound, where
    somebody has the database open, or where it cannot be written.
    """
    if fault := copy_fault(copy):
        raise CannotCopy(_("{copy} is a damaged copy: {fault}", copy=copy, fault=fault))
    part = file.with_name(f"{file.name}.{os.getpid()}.part")
    try:
        with _alone(file):
            make_private_file(part)
            shutil.copyfile(copy, part)
            with part.open("rb") as written:
                os.fsync(written.fileno())
            aside = _put_aside(file, day)
            os.replace(part, file)
            _to_disk(file.parent)
            return aside
    except OSError as error:
        raise CannotCopy(
            _("{copy} could not be restored: {error}", copy=copy, error=str(error))
        ) from error
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)


def _copy(file: Path, part: Path) -> bool:
    """Write and examine a copy; tells whether every value in it is of its kind."""
    make_private_file(part)
    with closing(sqlite3.connect(file)) as source, closing(sqlite3.connect(part)) as target:
        try:
            source.backup(target)
        except sqlite3.DatabaseError as error:
            if is_damage(error):
                raise FileDamaged(str(error)) from error
            raise
        # In one file, without what a writer keeps beside it.
        target.execute("PRAGMA journal_mode = DELETE")
        if fault := quick_fault(target):
            raise FileDamaged(fault)
        return _values_are_sound(target)


def _values_are_sound(connection: sqlite3.Connection) -> bool:
    """Whether all that is stored is of its column's kind, and refers to what is there."""
    for table in Base.metadata.sorted_tables:
        odd = " OR ".join(
            f'("{column.name}" IS NOT NULL AND {_odd(column.name, column.type)})'
            for column in table.columns
        )
        if connection.execute(f'SELECT 1 FROM "{table.name}" WHERE {odd} LIMIT 1').fetchone():
            return False
    return connection.execute("PRAGMA foreign_key_check").fetchone() is None


def _odd(name: str, kind: object) -> str:
    """The condition under which a value is not of its column's kind."""
    if isinstance(kind, JSON):
        return f'NOT json_valid("{name}")'
    wanted = "integer" if isinstance(kind, Integer | Boolean) else "text"
    return f"typeof(\"{name}\") <> '{wanted}'"


def _drop_parts(folder: Path) -> None:
    """Take away what a program that was killed while it copied left behind."""
    for left in folder.glob("*.part*"):
        number = re.search(r"\.(\d+)\.part", left.name)
        if number is None or not _runs(int(number[1])):
            left.unlink()


def _runs(process: int) -> bool:
    """Whether a process of that number runs: another one may be copying just now."""
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return process != os.getpid()


@contextmanager
def _alone(file: Path) -> Iterator[None]:
    """Keep others out of the file, as SQLite does; CannotCopy where somebody has it open.

    Not by SQLite itself, which opens no file whose first page is torn.
    """
    if not file.exists():
        yield
        return
    import fcntl

    first, many = 0x4000_0002, 510  # SQLite's bytes that whoever has it open holds a lock on
    with file.open("r+b") as held:
        try:
            fcntl.lockf(held, fcntl.LOCK_EX | fcntl.LOCK_NB, many, first)
        except OSError as error:
            raise CannotCopy(
                _("{file} is open in another program; stop the workshop first", file=file)
            ) from error
        yield


def _put_aside(file: Path, day: str) -> Path | None:
    """Give the file, and what SQLite wrote beside it, a name that is free; None if it is gone."""
    aside = free_name(file.with_name(f"{file.name}.aside-{day}"))
    for end in BESIDE:
        # They belong to this file alone, and would spoil another one.
        with suppress(FileNotFoundError):
            os.replace(f"{file}{end}", f"{aside}{end}")
    try:
        os.replace(file, aside)
    except FileNotFoundError:
        return None
    return aside


def _to_disk(folder: Path) -> None:
    """Have the names in a folder on the disk, too."""
    held = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(held)
    finally:
        os.close(held)
