"""Stored values spoiled one at a time, below the program: as a disk or another hand would."""

from __future__ import annotations

import random
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

INVALID_UTF8 = "CAST(x'fffe776f6f6c' AS TEXT)"

JUNK: tuple[object, ...] = (
    None,
    "",
    "moss",
    "{",
    "[]",
    "{}",
    "null",
    '"a text"',
    '{"foot": 3, "name": [], "wearer": [1], "cylinders": {"needles": {}}, "text": null}',
    '{"name": "\\ud800", "text": "\\u0000", "fineness": 1e999}',
    '{"wearer": {"name": "x"}, "foot": {"length": {"cm": 1}}, "cuff": [], "fibres": ["wool"]}',
    "[" * 3_000,
    b"\xff\xfe\x00wool",
    "wo\0ol",
    "2026-11-30",
    "9999-99-99T99:99:99.999999Z",
    "0b7e6a52-3a0c-4a57-8f55-0c1c1d7f1a01",
    -1,
    0,
    7,
    2**62,
    1e300,
    3.5,
    "[foot\nlength = ",
    "x" * 20_000,
    INVALID_UTF8,
)
"""What may stand where something else should: other types, other texts, nothing at all."""


@dataclass(frozen=True)
class Spoiled:
    """One value that is another now."""

    table: str
    column: str
    rowid: int
    junk: object

    def __str__(self) -> str:
        return f"{self.table}.{self.column} of row {self.rowid} = {str(self.junk)[:60]!r}"


def places(file: Path) -> Iterator[tuple[str, str, int]]:
    """Every value there is: its table, its column, its row."""
    connection = sqlite3.connect(file)
    tables = connection.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name <> 'sockwright_schema'"
    ).fetchall()
    for (table,) in sorted(tables):
        columns = [row[1] for row in connection.execute(f"PRAGMA table_info({table})")]
        rows = [row[0] for row in connection.execute(f"SELECT rowid FROM {table}")]
        yield from ((table, column, row) for column in columns for row in rows)
    connection.close()


def spoil(
    file: Path, chance: random.Random, place: tuple[str, str, int], junks: tuple[object, ...] = JUNK
) -> Spoiled:
    """Put junk in a place, whatever the database's own rules say."""
    table, column, rowid = place
    junk = chance.choice(junks)
    connection = sqlite3.connect(file, isolation_level=None)
    for rule in ("ignore_check_constraints = ON", "writable_schema = ON", "foreign_keys = OFF"):
        connection.execute(f"PRAGMA {rule}")
    as_sql, values = (junk, ()) if junk is INVALID_UTF8 else ("?", (junk,))
    statement = f'UPDATE {table} SET "{column}" = {as_sql} WHERE rowid = {rowid}'
    if junk is None:
        _lift_not_null(connection, table)
    try:
        connection.execute(statement, values)
    except sqlite3.IntegrityError:  # an id that is another's already
        junk = f"another-{rowid}"
        connection.execute(f'UPDATE {table} SET "{column}" = ? WHERE rowid = {rowid}', (junk,))
    connection.close()
    return Spoiled(table, column, rowid, junk)


def _lift_not_null(connection: sqlite3.Connection, table: str) -> None:
    """Have SQLite forget that values of a table may not be missing."""
    (version,) = connection.execute("PRAGMA schema_version").fetchone()
    (sql,) = connection.execute("SELECT sql FROM sqlite_master WHERE name = ?", (table,)).fetchone()
    loose = sql.replace(" NOT NULL", "")
    connection.execute("UPDATE sqlite_master SET sql = ? WHERE name = ?", (loose, table))
    connection.execute(f"PRAGMA schema_version = {version + 1}")
