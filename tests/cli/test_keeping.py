"""`check-workshop` and `restore-workshop`: what is kept is examined, and a copy comes back."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from databases import new_url
from served import Starter
from sockwright.store.copies import copies_folder, copies_of, keep_copy
from sockwright.store.database import open_database, sqlite_url
from sockwright.store.items import ItemKind
from sockwright.workshop.example import example_id
from sockwright.workshop.workshop import Workshop
from tearing import tear_page

Command = Callable[..., tuple[int, str, str]]
GREY = example_id(ItemKind.YARN, "grey")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """The file of a workshop with the example."""
    path = tmp_path / "workshop.db"
    furnish(sqlite_url(path))
    return path


def furnish(url: str) -> None:
    """Put the example in."""
    with closing(open_database(url)) as database:
        Workshop(database, lambda: datetime.now(UTC)).add_example()


def change(file: Path, statement: str, *values: object) -> None:
    """Change what is stored below the program."""
    connection = sqlite3.connect(file)
    connection.execute(statement, values)
    connection.commit()
    connection.close()


def test_a_sound_workshop_is_told_to_be(command: Command, file: Path) -> None:
    status, out, err = command("check-workshop", "--database", sqlite_url(file))
    assert (status, err) == (0, "")
    assert "Everything is sound." in out


@pytest.mark.parametrize(
    ("statement", "names"),
    [
        ("UPDATE yarn SET document = '{' WHERE id = ?", GREY),
        ("UPDATE swatch SET yarn_id = 'gone' WHERE yarn_id = ?", "swatch"),
        ("UPDATE sock SET order_toml = '[foot' WHERE id <> ?", "order_toml"),
    ],
)
def test_each_damaged_thing_is_named(
    command: Command, file: Path, statement: str, names: str
) -> None:
    change(file, statement, GREY)
    before = file.read_bytes()
    status, out, _ = command("check-workshop", "--database", sqlite_url(file))
    assert status == 1
    assert names in out
    assert "restore-workshop" in out
    assert file.read_bytes() == before


def test_a_torn_file_is_told_without_a_traceback(command: Command, file: Path) -> None:
    tear_page(file, 4)
    status, out, err = command("check-workshop", "--database", sqlite_url(file))
    assert (status, err) == (1, "")
    assert "is damaged" in out
    assert f"restore-workshop --database {sqlite_url(file)}" in out


def test_what_is_not_there_is_not_made(command: Command, tmp_path: Path) -> None:
    file = tmp_path / "none.db"
    status, _, err = command("check-workshop", "--database", sqlite_url(file))
    assert (status, file.exists()) == (2, False)
    assert str(file) in " ".join(err.split()).replace(" ", "")


def test_a_postgresql_workshop_is_read_too(command: Command, tmp_path: Path) -> None:
    url = new_url("postgresql", tmp_path)
    furnish(url)
    status, out, _ = command("check-workshop", "--database", url)
    assert (status, "Everything is sound." in out) == (0, True)
    status, _, err = command("restore-workshop", "--database", url)
    assert (status, "pg_dump" in err) == (2, True)


def test_copies_are_listed_and_one_comes_back(command: Command, file: Path) -> None:
    address = ("--database", sqlite_url(file))
    keep_copy(file, "2026-11-29")
    keep_copy(file, "2026-11-30")
    tear_page(copies_folder(file) / "2026-11-29.db", 4)
    change(file, "DELETE FROM note")
    status, out, _ = command("restore-workshop", *address)
    assert status == 0
    told = [line.split()[0] for line in out.splitlines() if line.startswith("    ")]
    assert told == ["2026-11-30", "2026-11-29"]
    assert out.count("damaged") == 1

    assert command("restore-workshop", "2026-11-29", *address)[0] == 2
    status, out, err = command("restore-workshop", "2026-11-30", *address)
    assert (status, err) == (0, "")
    aside = file.with_name(f"{file.name}.aside-{date.today().isoformat()}")
    assert aside.exists()
    assert command("check-workshop", *address)[0] == 0
    connection = sqlite3.connect(file)
    assert connection.execute("SELECT count(*) FROM note").fetchone()[0] > 0
    connection.close()


def test_a_copy_that_is_not_there_is_told(command: Command, file: Path) -> None:
    status, _, err = command("restore-workshop", "2001-01-01", "--database", sqlite_url(file))
    assert status == 2
    assert "2001-01-01" in err


@pytest.fixture
def starter() -> Iterator[Starter]:
    """A process that starts the command quickly."""
    one = Starter()
    yield one
    one.close()


def test_serving_keeps_a_copy_and_an_open_workshop_is_not_put_aside(
    command: Command, starter: Starter, file: Path
) -> None:
    address = ("--database", sqlite_url(file))
    with starter.serving(*address):
        (copy,) = copies_of(file)
        before = file.read_bytes()
        status, _, err = command("restore-workshop", copy.stem, *address)
        assert status == 2
        assert "open in another program" in " ".join(err.split())
        assert file.read_bytes() == before
    assert command("restore-workshop", copy.stem, *address)[0] == 0
