"""Two tabs at once: no write is lost, and the second to write over a thing is told of the first."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from sqlalchemy import text

from sockwright.store import database as opening
from sockwright.store.items import Busy, ItemKind, Stale, Thing
from workshops import PERSON, YARN, database_of, kept, workshop


def test_writes_of_several_threads_are_all_kept(url: str) -> None:
    one = workshop(url)
    start = Barrier(4)

    def write(tab: int) -> list[Thing]:
        start.wait()
        return [kept(one.keep(ItemKind.YARN, {**YARN, "name": f"{tab}/{i}"})) for i in range(10)]

    with ThreadPoolExecutor(4) as tabs:
        written = [thing for things in tabs.map(write, range(4)) for thing in things]
    assert {thing.id for thing in one.things(ItemKind.YARN)} == {thing.id for thing in written}
    assert len(written) == 40
    database_of(one).close()


def test_of_two_changes_at_once_one_is_made_and_the_other_told(url: str) -> None:
    one = workshop(url)
    person = kept(one.keep(ItemKind.PERSON, PERSON))
    start = Barrier(2)

    def change(length: str) -> Thing | Stale:
        document = {**PERSON, "foot": {**PERSON["foot"], "length": length}}
        start.wait()
        try:
            return kept(one.change(ItemKind.PERSON, person.id, 1, document))
        except Stale as refusal:
            return refusal

    with ThreadPoolExecutor(2) as tabs:
        answers = list(tabs.map(change, ["24.7 cm", "24.9 cm"]))
    made = next(answer for answer in answers if isinstance(answer, Thing))
    told = next(answer for answer in answers if isinstance(answer, Stale))
    length = made.document["foot"]["length"]
    assert [(each.path, each.was, each.now) for each in told.changes] == [
        ("foot.length", "24.5 cm", length)
    ]
    assert one.thing(ItemKind.PERSON, person.id) == made
    database_of(one).close()


@pytest.mark.parametrize("opened_once", [True, False], ids=["one process", "another one"])
def test_a_write_that_waits_too_long_is_told(
    url: str, opened_once: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "BUSY_MS", 50)
    one = workshop(url)
    holder = database_of(one) if opened_once else opening.open_database(url)
    with holder.writing(), pytest.raises(Busy, match="try again"):
        one.keep(ItemKind.YARN, YARN)
    assert one.things(ItemKind.YARN) == ()
    kept(one.keep(ItemKind.YARN, YARN))
    holder.close()
    database_of(one).close()


def test_a_reader_does_not_wait_for_a_writer(url: str) -> None:
    one = workshop(url)
    kept(one.keep(ItemKind.YARN, YARN))
    with database_of(one).writing() as session:
        session.execute(text("UPDATE yarn SET version = version"))
        assert len(one.things(ItemKind.YARN)) == 1
    database_of(one).close()
