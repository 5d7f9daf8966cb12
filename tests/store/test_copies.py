"""A copy a day, the last seven: whole or not there, and never a damaged one over a good one."""

from __future__ import annotations

import resource
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from stat import S_IMODE

import pytest

from sockwright.store import kept
from sockwright.store.copies import KEPT, copies_folder, copies_of, copy_fault, keep_copy, put_back
from sockwright.store.database import open_database, sqlite_url
from sockwright.store.items import CannotCopy, CannotOpen, FileDamaged, ItemKind
from store.conftest import add
from tearing import tear_page


def yarns(path: Path) -> int:
    """How many yarns a file holds, read without the program."""
    connection = sqlite3.connect(path)
    (count,) = connection.execute("SELECT count(*) FROM yarn").fetchone()
    connection.close()
    return int(count)


@contextmanager
def disk_of(most_bytes: int) -> Iterator[None]:
    """No file can grow beyond so many bytes: as if the disk were full."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def test_a_copy_holds_what_was_confirmed_and_is_its_owners_alone(file: Path) -> None:
    database = open_database(sqlite_url(file))
    add(database, 100)  # in the write-ahead log still
    copy = keep_copy(file, "2026-11-30")
    database.close()
    assert copy is not None
    assert copy.name == "2026-11-30.db"
    assert yarns(copy) == 61
    assert S_IMODE(copy.stat().st_mode) == 0o600
    assert S_IMODE(copy.parent.stat().st_mode) == 0o700
    assert list(copy.parent.iterdir()) == [copy]


def test_a_day_has_one_copy_as_it_was_first(file: Path) -> None:
    assert keep_copy(file, "2026-11-30") is not None
    database = open_database(sqlite_url(file))
    add(database, 100)
    database.close()
    assert keep_copy(file, "2026-11-30") is None
    assert [yarns(copy) for copy in copies_of(file)] == [60]


def test_the_last_seven_are_kept(file: Path) -> None:
    for day in range(1, 11):
        keep_copy(file, f"2026-11-{day:02}")
    (copies_folder(file) / "hers.db").write_text("not ours")
    assert [copy.stem for copy in copies_of(file)] == [
        f"2026-11-{day:02}" for day in range(10, 10 - KEPT, -1)
    ]
    assert (copies_folder(file) / "hers.db").exists()


def test_a_torn_file_is_not_copied_over_good_ones(file: Path) -> None:
    for day in range(1, KEPT + 1):
        keep_copy(file, f"2026-11-{day:02}")
    before = {copy: copy.read_bytes() for copy in copies_of(file)}
    tear_page(file, 5)
    with pytest.raises(FileDamaged):
        keep_copy(file, "2026-11-30")
    assert {copy: copy.read_bytes() for copy in copies_of(file)} == before
    assert set(copies_folder(file).iterdir()) == set(before)


def test_while_a_value_does_not_read_no_good_copy_goes(file: Path) -> None:
    for day in range(1, KEPT + 1):
        keep_copy(file, f"2026-11-{day:02}")
    connection = sqlite3.connect(file)
    connection.execute("UPDATE yarn SET document = '{' WHERE rowid = 1")
    connection.commit()
    connection.close()
    keep_copy(file, "2026-11-08")
    keep_copy(file, "2026-11-09")
    assert [copy.stem for copy in copies_of(file)][-1] == "2026-11-01"
    assert len(copies_of(file)) == KEPT + 2


def test_a_full_disk_leaves_nothing_half_written(file: Path) -> None:
    keep_copy(file, "2026-11-29")
    before = {copy: copy.read_bytes() for copy in copies_folder(file).iterdir()}
    with disk_of(file.stat().st_size // 2), pytest.raises(CannotCopy, match="no copy"):
        keep_copy(file, "2026-11-30")
    assert {copy: copy.read_bytes() for copy in copies_folder(file).iterdir()} == before
    assert keep_copy(file, "2026-11-30") is not None


def test_what_a_kill_left_of_a_copy_goes_with_the_next(file: Path) -> None:
    copies_folder(file).mkdir()
    left = copies_folder(file) / "2026-11-29.db.999999999.part"
    left.write_text("half")
    copy = keep_copy(file, "2026-11-30")
    assert list(copies_folder(file).iterdir()) == [copy]


def test_a_copy_comes_back_and_what_was_there_is_put_aside(file: Path) -> None:
    copy = keep_copy(file, "2026-11-30")
    assert copy is not None
    tear_page(file, 5)
    torn = file.read_bytes()
    with pytest.raises(CannotOpen, match="restore-workshop"):
        open_database(sqlite_url(file))
    aside = put_back(file, copy, "2026-12-01")
    assert aside is not None
    assert aside.read_bytes() == torn
    assert S_IMODE(file.stat().st_mode) == 0o600
    database = open_database(sqlite_url(file))
    with database.reading() as session:
        assert len(kept.listed(session, ItemKind.YARN)) == 60
    database.close()
    assert copy.exists()


def test_what_was_put_aside_is_never_written_over(file: Path) -> None:
    copy = keep_copy(file, "2026-11-30")
    assert copy is not None
    asides = {put_back(file, copy, "2026-12-01") for _ in range(3)}
    assert len(asides) == 3
    assert all(aside is not None and yarns(aside) == 60 for aside in asides)


def test_the_log_of_what_is_put_aside_does_not_reach_the_copy(file: Path) -> None:
    copy = keep_copy(file, "2026-11-30")
    assert copy is not None
    database = open_database(sqlite_url(file))
    add(database, 100)
    written_ahead = Path(f"{file}-wal").read_bytes()
    database.close()
    Path(f"{file}-wal").write_bytes(written_ahead)  # as a kill leaves it
    aside = put_back(file, copy, "2026-12-01")
    assert not Path(f"{file}-wal").exists()
    assert yarns(file) == 60
    assert Path(f"{aside}-wal").read_bytes() == written_ahead


def test_a_damaged_copy_is_not_put_back(file: Path) -> None:
    copy = keep_copy(file, "2026-11-30")
    assert copy is not None
    tear_page(copy, 5)
    before = file.read_bytes()
    with pytest.raises(CannotCopy, match="is a damaged copy"):
        put_back(file, copy, "2026-12-01")
    assert file.read_bytes() == before
    assert copy_fault(copy)


def test_a_database_of_something_else_is_not_put_back(file: Path, tmp_path: Path) -> None:
    other = tmp_path / "weather.db"
    connection = sqlite3.connect(other)
    connection.execute("CREATE TABLE snow (depth)")
    connection.close()
    with pytest.raises(CannotCopy, match="not a workshop"):
        put_back(file, other, "2026-12-01")
    assert yarns(file) == 60
