"""`sockwright check-workshop` and `restore-workshop`: is what is kept sound, and the way back."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sockwright.cli.console import workshop_file
from sockwright.errors import SockwrightError

if TYPE_CHECKING:
    from sockwright.workshop.checking import Checked

EXIT_DAMAGED = 1

DatabaseUrl = Annotated[
    str | None,
    typer.Option("--database", metavar="URL", help="Where it is saved; by default your own file."),
]


def check_workshop(database: DatabaseUrl = None) -> None:
    """Read all that is kept to the last value, and say what of it is damaged. Writes nothing.

    Exits 1 if something is. Example: sockwright check-workshop
    """
    from sockwright.store.database import open_database, schema_at, sqlite_url
    from sockwright.store.migrating import OURS

    file = _file(database)
    if file is not None:
        _check_pages(file, database)
    url = database or sqlite_url(workshop_file())
    if (schema := schema_at(url)) != OURS.newest:
        typer.echo(f"Its schema is {schema or 'none yet'}; entries can be read once it is opened.")
        return
    from contextlib import closing
    from datetime import UTC, datetime

    from sockwright.workshop.workshop import Workshop

    with closing(open_database(url)) as opened:
        found = Workshop(opened, lambda: datetime.now(UTC)).check()
    for line in checked_lines(found):
        typer.echo(line)
    if not found.sound:
        raise typer.Exit(EXIT_DAMAGED)


def checked_lines(found: Checked) -> Iterator[str]:
    """What is there, and each damaged thing with what is wrong."""
    yield (
        f"Read {found.things} entries, {found.earlier} earlier versions and {found.entries} log "
        "entries."
    )
    for damage in found.damages:
        yield f"damaged: {damage.kind} {damage.called} ({damage.id or 'its id cannot be read'})"
        yield from (f"    {one.path}: {one.wrong!s}; {one.right!s}" for one in damage.wrong)
    yield from (f"damaged: an earlier version: {one}" for one in found.versions)
    yield from (f"damaged: a log entry: {one}" for one in found.damaged_entries)
    if found.sound:
        yield "Everything is sound."
    else:
        yield "A damaged entry's page lets you restore an earlier version, if one can be read. To"
        yield "restore a copy of the whole workshop: sockwright restore-workshop"


def restore_workshop(
    copy: Annotated[
        str | None,
        typer.Argument(
            metavar="COPY", help="A day such as 2026-11-30, or a file; by default all are listed."
        ),
    ] = None,
    database: DatabaseUrl = None,
) -> None:
    """Put a copy of an earlier day in the place of the workshop, which is put aside, not deleted.

    Close the workshop first. Example: sockwright restore-workshop 2026-11-30
    """
    from sockwright.store.copies import copies_folder, copies_of, copy_fault, put_back

    file = _file(database)
    if file is None:
        raise SockwrightError(
            "copies are kept of SQLite files only; restore a PostgreSQL database from its pg_dump"
        )
    if copy is None:
        copies = copies_of(file)
        typer.echo(f"Copies of {file}:" if copies else f"There is no copy in {copies_folder(file)}")
        for one in copies:
            fault = copy_fault(one)
            typer.echo(f"    {one.stem}{f'  damaged: {fault}' if fault else ''}")
        if copies:
            typer.echo("Restore one with: sockwright restore-workshop DAY")
        return
    chosen = copies_folder(file) / f"{copy}.db"
    if not chosen.exists():
        chosen = Path(copy)
    if not chosen.is_file():
        raise SockwrightError(
            f"there is no copy {copy}; without a name, sockwright restore-workshop lists them"
        )
    aside = put_back(file, chosen, date.today().isoformat())
    typer.echo(f"The workshop is restored from {chosen}.")
    if aside is not None:
        typer.echo(f"The file before that is now {aside}")


def _file(database: str | None) -> Path | None:
    """The file of the workshop; None where it is kept in another kind of database."""
    if database is None:
        return workshop_file()
    from sockwright.store.database import sqlite_file

    return sqlite_file(database)


def _check_pages(file: Path, database: str | None) -> None:
    """Examine the pages of the file, all indexes too; exits 1 where one is torn."""
    import sqlite3
    from contextlib import closing

    from sockwright.store.files import full_fault

    if not file.is_file():
        raise SockwrightError(f"{file}: there is no such workshop")
    with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=rw", uri=True)) as connection:
        fault = full_fault(connection)
    if fault:
        typer.echo(f"{file} is damaged: {fault}")
        named = "" if database is None else f" --database {database}"
        typer.echo(f"Restore a copy: sockwright restore-workshop{named}")
        raise typer.Exit(EXIT_DAMAGED)
    typer.echo(f"The pages of {file} are whole.")
