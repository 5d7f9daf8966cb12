"""A torn file is known at opening, before a migration, and at any moment after."""

from __future__ import annotations

import random
import re
import sqlite3
from pathlib import Path

import pytest

from sockwright.store import kept
from sockwright.store.database import open_database, sqlite_url
from sockwright.store.files import full_fault, quick_fault
from sockwright.store.items import CannotOpen, FileDamaged, ItemKind
from store.conftest import add
from tearing import tear, tear_page


def faults(file: Path) -> tuple[str, str]:
    """What the quick look finds, and the full one."""
    connection = sqlite3.connect(file)
    found = quick_fault(connection), full_fault(connection)
    connection.close()
    return found


def full_fault_of(file: Path) -> str:
    return faults(file)[1]


def test_a_whole_file_has_no_fault(file: Path) -> None:
    assert faults(file) == ("", "")


def test_a_value_against_the_rules_is_no_fault_of_the_file(file: Path) -> None:
    connection = sqlite3.connect(file)
    connection.execute("PRAGMA ignore_check_constraints = ON")
    connection.execute("UPDATE yarn SET version = 0, used_up = 'perhaps' WHERE rowid = 1")
    connection.execute("UPDATE yarn SET version = 'first' WHERE rowid = 2")
    connection.commit()
    connection.execute("PRAGMA ignore_check_constraints = OFF")
    assert connection.execute("PRAGMA integrity_check").fetchall() != [("ok",)]
    connection.close()
    assert faults(file) == ("", "")
    open_database(sqlite_url(file)).close()


def test_a_letter_that_is_another_now_keeps_nothing_from_being_read(file: Path) -> None:
    content, name = file.read_bytes(), b"yarn 7 of"
    there = [found.start() for found in re.finditer(re.escape(name), content)]
    assert len(there) == 3, "in its column, in its document, in the index of the list"
    for at in there:
        file.write_bytes(content[:at] + b"warn" + content[at + 4 :])
        database = open_database(sqlite_url(file))
        with database.reading() as session:
            assert len(kept.listed(session, ItemKind.YARN)) == 60
        database.close()
        assert full_fault_of(file) == ""


@pytest.mark.parametrize("seed", range(6))
def test_a_torn_file_is_never_read_as_if_it_were_whole(file: Path, seed: int) -> None:
    before = file.read_bytes()
    tear(file, random.Random(seed))
    torn = file.read_bytes()
    assert torn != before
    told = faults(file)[1]
    if told and not told.startswith(("row", "wrong #")):
        with pytest.raises(CannotOpen, match="restore-workshop"):
            open_database(sqlite_url(file))
        return
    database = open_database(sqlite_url(file))
    # What is torn lies where nothing is: all that is kept reads.
    with database.reading() as session:
        found = len(kept.listed(session, ItemKind.YARN)) + len(kept.damages(session))
    database.close()
    assert found == 60


def test_pages_that_tear_while_it_is_open_are_told(file: Path) -> None:
    database = open_database(sqlite_url(file))
    database.engine.dispose()
    for number in range(2, 12):
        tear_page(file, number)
    with pytest.raises(FileDamaged), database.reading() as session:
        kept.listed(session, ItemKind.YARN)
    with pytest.raises(FileDamaged):
        add(database, 100)
    database.close()
