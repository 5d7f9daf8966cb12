"""Every write is one transaction: a fault at any statement of it leaves nothing half written."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import chain, count
from pathlib import Path

import pytest
from sqlalchemy import event

from amounts import LONG
from databases import KINDS, assert_sound, contents, copied, filled
from sockwright.store.database import Database
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop import Choice, Workshop
from sockwright.workshop.pairs import choice_of
from station_writer import order
from workshops import PERSON, YARN, database_of, note, with_the_example, workshop


class Fault(Exception):
    """What the tests let go wrong."""


class Prepared:
    """A workshop with a planned pair and a note on it, for the deeds that are tried."""

    def __init__(self, one: Workshop, pair: Thing) -> None:
        self.one = one
        self.sock = pair
        self.choice = choice_of(pair)
        self.person = one.thing(ItemKind.PERSON, self.choice.person)
        self.note = note(one, pair, "On the machine.")


DEEDS: dict[str, Callable[[Prepared], object]] = {
    "keep": lambda p: p.one.keep(ItemKind.YARN, YARN),
    "change": lambda p: p.one.change(ItemKind.PERSON, p.person.id, 1, {**PERSON, "foot": {}}),
    "delete": lambda p: p.one.delete(ItemKind.NOTE, p.note.id, 1),
    "plan": lambda p: p.one.plan_sock(p.choice),
    "replan": lambda p: p.one.replan_sock(
        p.sock.id, 1, Choice(**{**vars(p.choice), "needles": 54})
    ),
    "log": lambda p: p.one.log_sock(p.sock.id, 1, {"time": "2025-11-03"}),
    "finish": lambda p: p.one.finish_sock(p.sock.id, 1, {"main": "80 g"}),
    "import an order": lambda p: p.one.import_order(order("station doctor")),
    "add the example": lambda p: p.one.add_example(),
}


@contextmanager
def fault_at(database: Database, statement: int) -> Iterator[list[int]]:
    """Lets the statement of this number fail, counted from 1; the list counts them."""
    reached = [0]

    def reach(*_: object) -> None:
        reached[0] += 1
        if reached[0] == statement:
            raise Fault

    event.listen(database.engine, "before_cursor_execute", reach)
    try:
        yield reached
    finally:
        event.remove(database.engine, "before_cursor_execute", reach)


@contextmanager
def fault_at_commit(database: Database) -> Iterator[None]:
    """Lets the commit fail before the database hears of it."""

    def fail(_: object) -> None:
        raise Fault

    event.listen(database.engine, "commit", fail)
    try:
        yield
    finally:
        event.remove(database.engine, "commit", fail)


def statements() -> Iterator[int]:
    """The statements that are let fail: each of the first dozen, then each seventh; all of them in
    `make test-long`."""
    return count(1) if LONG else chain(range(1, 13), count(13, 7))


def assert_all_or_nothing(database: Database, deed: Callable[[], object]) -> int:
    """Let the statements of a deed fail in turn; the number of its statements."""
    before = contents(database)
    with fault_at_commit(database), pytest.raises(Fault):
        deed()
    assert contents(database) == before
    for statement in statements():
        with fault_at(database, statement) as reached:
            try:
                deed()
            except Fault:
                pass
            else:
                assert reached[0] < statement
                break
        assert contents(database) == before, f"half written at statement {statement}"
    assert contents(database) != before
    assert_sound(database)
    return reached[0]


@pytest.mark.parametrize("name", DEEDS)
def test_a_deed_is_done_or_not_done(name: str, one: Workshop, pair: Thing) -> None:
    prepared = Prepared(one, pair)
    assert assert_all_or_nothing(database_of(one), lambda: DEEDS[name](prepared)) >= 2


@pytest.mark.parametrize("kind", KINDS)
def test_removing_the_example_is_done_or_not_done(kind: str, tmp_path: Path) -> None:
    one = workshop(copied(filled(kind, with_the_example), tmp_path))
    assert_all_or_nothing(database_of(one), one.remove_example)
    assert sum(len(rows) for rows in contents(database_of(one)).values()) == 1
    database_of(one).close()


def test_taking_in_a_whole_workshop_is_done_or_not_done(
    one: Workshop, pair: Thing, tmp_path: Path
) -> None:
    station = workshop(copied(filled("sqlite", with_the_example), tmp_path))
    note(one, pair, "On the machine.")
    data, example = one.export_all(), station.export_all()
    assert_all_or_nothing(database_of(one), lambda: one.import_all(example))
    assert_all_or_nothing(database_of(station), lambda: station.import_all(data))
    database_of(station).close()
