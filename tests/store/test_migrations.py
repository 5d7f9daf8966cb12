"""Migrations: every schema that was ever stored comes to now, whole or not at all."""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path
from stat import S_IMODE
from textwrap import dedent

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine, inspect, text

from databases import assert_sound, contents
from sockwright.store import kept
from sockwright.store.database import open_database, sqlite_url
from sockwright.store.items import CannotOpen, ItemKind
from sockwright.store.kept import every_entry
from sockwright.store.migrating import OURS, VERSION_TABLE, Schemas
from sockwright.store.models import Base

STORED = Path(__file__).parent / "schemas"
STORED_NAMES = {
    ItemKind.PERSON: [
        "avalanche forecaster",
        "dog handler",
        "the cook's small son",
        "winch operator",
    ],
    ItemKind.YARN: ["berry sock yarn", "grey boot-sock wool", "spruce sock yarn"],
    ItemKind.MACHINE: ["the forecaster's aunt's machine", "the station's bench machine"],
    ItemKind.DESIGN: [
        "child's sock, seam below",
        "plain boot sock",
        "rib down the instep",
        "short sock with a rolled edge",
    ],
    ItemKind.SWATCH: ["berry", "grey, last winter", "grey, washed twice", "plain, spruce"],
    ItemKind.SOCK: ["Boot socks for the winch operator", "Socks for the cook's small son"],
    ItemKind.NOTE: [
        "Oil the cam track before every pair.",
        "Wears two pairs; ask before the third.",
    ],
}
"""What the stored databases hold, as it was written into them by hand."""


def stored(version: str, folder: Path) -> Path:
    """A database as a program of that schema left it."""
    path = folder / f"schema-{version}.db"
    connection = sqlite3.connect(path)
    connection.executescript((STORED / f"{version}.sql").read_text("utf-8"))
    connection.close()
    return path


def one_more(folder: Path, body: str) -> Schemas:
    """Our schemas and one after them, as a next program would have it."""
    shutil.copytree(OURS.folder, folder, ignore=shutil.ignore_patterns("__pycache__"))
    head = f'"""A next schema."""\nrevision = "9000"\ndown_revision = "{OURS.newest}"\n'
    head += "import sqlalchemy as sa\nfrom alembic import op\n\n\ndef upgrade():\n"
    step = folder / "versions" / "v9000_next.py"
    step.write_text(head + "".join(f"    {line}\n" for line in dedent(body).splitlines()))
    return Schemas(folder, (*OURS.versions, "9000"))


def schema(path: Path) -> dict[str, str]:
    """Every table and index as SQLite keeps its statement."""
    connection = sqlite3.connect(path)
    rows = connection.execute("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL")
    found = {name: " ".join(sql.split()) for name, sql in rows if name != VERSION_TABLE}
    connection.close()
    return found


def test_the_models_are_what_the_migrations_make(tmp_path: Path) -> None:
    migrated, modelled = tmp_path / "migrated.db", tmp_path / "modelled.db"
    open_database(sqlite_url(migrated)).close()
    engine = create_engine(sqlite_url(modelled))
    Base.metadata.create_all(engine)
    engine.dispose()
    assert schema(migrated) == schema(modelled)
    assert len(schema(migrated)) > 20


def test_alembic_finds_no_difference_either(url: str) -> None:
    database = open_database(url)
    with database.engine.connect() as connection:
        context = MigrationContext.configure(
            connection, opts={"version_table": VERSION_TABLE, "compare_type": True}
        )
        assert compare_metadata(context, Base.metadata) == []
    database.close()


def test_a_lacking_column_would_be_found(url: str) -> None:
    database = open_database(url)
    with database.writing() as session:
        session.execute(text("ALTER TABLE machine DROP COLUMN serviced"))
    with database.engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"version_table": VERSION_TABLE})
        assert [change[0] for change in compare_metadata(context, Base.metadata)] == ["add_column"]
    database.close()


def test_the_schemas_known_are_the_migrations_there_are() -> None:
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(OURS.folder))
    steps = [step.revision for step in ScriptDirectory.from_config(config).walk_revisions()]
    assert tuple(reversed(steps)) == OURS.versions


def test_every_schema_is_stored() -> None:
    assert sorted(path.stem for path in STORED.glob("*.sql")) == list(OURS.versions)


@pytest.mark.parametrize("version", OURS.versions)
def test_a_stored_database_comes_to_now(version: str, tmp_path: Path) -> None:
    path = stored(version, tmp_path)
    database = open_database(sqlite_url(path))
    with database.reading() as session:
        names = {kind: [thing.name for thing in kept.listed(session, kind)] for kind in ItemKind}
        deleted = [thing.name for thing in kept.listed(session, ItemKind.PERSON, deleted=True)]
        berry = kept.listed(session, ItemKind.YARN)[0]
        assert [was.document["on_hand"] for was in kept.earlier(session, berry.id).values()] == [
            "68 g"
        ]
    assert names == STORED_NAMES
    assert deleted == ["station doctor"]
    assert (berry.document["on_hand"], berry.version, berry.example) == ("12 g", 2, False)
    assert_sound(database)
    database.close()


def test_a_newer_schema_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = stored(OURS.newest, tmp_path)
    schemas = one_more(tmp_path / "next", 'op.add_column("yarn", sa.Column("place", sa.Text))')
    open_database(sqlite_url(path), schemas).close()
    before = path.read_bytes()
    with pytest.raises(CannotOpen, match="newer Sockwright"):
        open_database(sqlite_url(path))
    assert path.read_bytes() == before


def test_migrating_keeps_a_copy_of_what_was(tmp_path: Path) -> None:
    path = stored(OURS.newest, tmp_path)
    was = schema(path)
    schemas = one_more(tmp_path / "next", 'op.add_column("yarn", sa.Column("place", sa.Text))')
    open_database(sqlite_url(path), schemas).close()
    copy = tmp_path / f"{path.name}.schema-{OURS.newest}"
    assert schema(copy) == was
    assert S_IMODE(copy.stat().st_mode) == 0o600
    assert "place TEXT" in schema(path)["yarn"]
    database = open_database(sqlite_url(copy))
    with database.reading() as session:
        assert len(kept.listed(session, ItemKind.SWATCH)) == len(STORED_NAMES[ItemKind.SWATCH])
    database.close()


def test_no_copy_is_written_over(tmp_path: Path) -> None:
    path = stored(OURS.newest, tmp_path)
    taken = tmp_path / f"{path.name}.schema-{OURS.newest}"
    taken.write_text("something of hers")
    schemas = one_more(tmp_path / "next", 'op.add_column("yarn", sa.Column("place", sa.Text))')
    open_database(sqlite_url(path), schemas).close()
    assert taken.read_text() == "something of hers"
    assert schema(tmp_path / f"{taken.name}-2")


def test_a_migration_that_fails_midway_changes_nothing(url: str, tmp_path: Path) -> None:
    database = open_database(url)
    before, tables = contents(database), inspect(database.engine).get_columns("yarn")
    database.close()
    schemas = one_more(
        tmp_path / "next",
        """
        op.add_column("yarn", sa.Column("place", sa.Text))
        op.execute("INSERT INTO nowhere VALUES (1)")
        """,
    )
    with pytest.raises(CannotOpen, match="nothing was saved"):
        open_database(url, schemas)
    database = open_database(url)
    assert contents(database) == before
    after = inspect(database.engine).get_columns("yarn")
    assert [column["name"] for column in after] == [column["name"] for column in tables]
    database.close()


def test_a_migration_that_breaks_references_changes_nothing(tmp_path: Path) -> None:
    path = stored(OURS.newest, tmp_path)
    schemas = one_more(tmp_path / "next", 'op.execute("DELETE FROM yarn")')
    with pytest.raises(CannotOpen, match="would break"):
        open_database(sqlite_url(path), schemas)
    database = open_database(sqlite_url(path))
    with database.reading() as session:
        assert len(kept.listed(session, ItemKind.YARN)) == len(STORED_NAMES[ItemKind.YARN])
    database.close()


def test_a_table_built_anew_keeps_what_refers_to_it(tmp_path: Path) -> None:
    path = stored(OURS.newest, tmp_path)
    schemas = one_more(
        tmp_path / "next",
        """
        with op.batch_alter_table("yarn", recreate="always") as batch:
            batch.add_column(sa.Column("place", sa.Text))
        """,
    )
    database = open_database(sqlite_url(path), schemas)
    with database.reading() as session:
        assert len(kept.listed(session, ItemKind.SWATCH)) == len(STORED_NAMES[ItemKind.SWATCH])
    assert_sound(database)
    database.close()


FOUR_THAT_OPEN = """
import os, sys
import alembic.command, psycopg, sqlalchemy.dialects.postgresql, sqlalchemy.dialects.sqlite
from multiprocessing import get_context
from sockwright.store.database import open_database
fork = get_context("fork")
together = fork.Barrier(4)
def opens():
    together.wait()
    open_database(sys.argv[1]).close()
started = [fork.Process(target=opens) for _ in range(4)]
for process in started:
    process.start()
for process in started:
    process.join()
sys.exit(max(abs(process.exitcode) for process in started))
"""


def test_several_processes_may_open_a_new_database_at_once(url: str) -> None:
    """They are forked when all is loaded, and wait for each other, so that they do it at once."""
    done = subprocess.run(
        [sys.executable, "-c", FOUR_THAT_OPEN, url], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    database = open_database(url)
    assert set(Base.metadata.tables) <= set(inspect(database.engine).get_table_names())
    database.close()


def test_reflection_sees_every_table(url: str) -> None:
    """`contents`, which other tests compare, would say little if it saw no table."""
    database = open_database(url)
    assert set(contents(database)) == {*Base.metadata.tables, VERSION_TABLE}
    database.close()


def test_the_stored_log_of_a_sock_comes_to_now(tmp_path: Path) -> None:
    database = open_database(sqlite_url(stored("0002", tmp_path)))
    with database.reading() as session:
        entries = every_entry(session)
    database.close()
    assert [(one.clock, one.deed, one.by, one.at) for one in entries] == [
        (1, "count", 1, 0),
        (2, "count", 10, 0),
        (3, "undo", 0, 0),
        (4, "extra", 1, 15),
        (5, "note", 0, 0),
    ]
    assert entries[2].of == entries[0].id
    assert entries[4].text == "Weight hung a little lighter."
