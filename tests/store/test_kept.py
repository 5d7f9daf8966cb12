"""Kept things: written at the version that was seen, with what they were kept beside them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone

import pytest

from sockwright.store import kept
from sockwright.store.database import Database, open_database
from sockwright.store.items import ItemKind, NotKept, Stale, State, StoreError, Thing
from sockwright.store.models import moment_from, moment_text

ID = "0b7e6a52-3a0c-4a57-8f55-0c1c1d7f1a01"
OTHER = "0b7e6a52-3a0c-4a57-8f55-0c1c1d7f1a02"
DAY = datetime(2025, 11, 3, 7, 15, 0, 123456, tzinfo=UTC)


@pytest.fixture
def database(url: str) -> Iterator[Database]:
    opened = open_database(url)
    yield opened
    opened.close()


def yarn(id: str = ID, name: str = "grey", **document: object) -> Thing:
    state = State(name, {"name": name, **document}, {"used_up": False}, DAY)
    return Thing(ItemKind.YARN, id, 1, DAY, state)


def added(database: Database, thing: Thing) -> Thing:
    with database.writing() as session:
        return kept.add(session, thing)


def changed(database: Database, seen: int, minutes: int, **document: object) -> Thing:
    state = State("grey", document, {"used_up": False}, DAY + timedelta(minutes=minutes))
    with database.writing() as session:
        return kept.change(session, ItemKind.YARN, ID, seen, state)


def test_a_thing_comes_back_as_it_was_kept(database: Database) -> None:
    thing = yarn(fibres={"wool": "75 %", "nylon": "25 %"}, note="grün — ½")
    added(database, thing)
    with database.reading() as session:
        found = kept.get(session, ItemKind.YARN, ID)
    assert found == thing
    assert list(found.document["fibres"]) == ["wool", "nylon"]


def test_an_id_is_given_once(database: Database) -> None:
    added(database, yarn())
    with pytest.raises(StoreError, match="there is already a"):
        added(database, yarn())


def test_a_reference_to_nothing_is_refused_by_the_database_too(database: Database) -> None:
    fields = {"yarn_id": OTHER, "machine_id": OTHER}
    swatch = Thing(ItemKind.SWATCH, ID, 1, DAY, State("grey", {}, fields, DAY))
    with pytest.raises(StoreError, match="nothing was saved"):
        added(database, swatch)


def test_each_write_counts_and_keeps_what_was(database: Database) -> None:
    added(database, yarn(on_hand="100 g"))
    changed(database, 1, 5, on_hand="60 g")
    now = changed(database, 2, 9, on_hand="20 g")
    assert now.version == 3
    with database.reading() as session:
        was = kept.earlier(session, ID)
    assert {version: state.document["on_hand"] for version, state in was.items()} == {
        1: "100 g",
        2: "60 g",
    }
    assert was[1].changed == DAY


def test_a_stale_write_is_refused_with_what_changed_in_between(database: Database) -> None:
    added(database, yarn(on_hand="100 g", colour="grey"))
    changed(database, 1, 5, name="grey", on_hand="60 g", colour="grey")
    with pytest.raises(Stale) as refusal:
        changed(database, 1, 6, on_hand="90 g")
    differences = {change.path: (change.was, change.now) for change in refusal.value.changes}
    assert differences == {"on_hand": ("100 g", "60 g")}
    assert refusal.value.now.document["on_hand"] == "60 g"
    assert "on_hand from 100 g to 60 g" in str(refusal.value)
    with database.reading() as session:
        assert kept.get(session, ItemKind.YARN, ID).document["on_hand"] == "60 g"


def test_a_version_that_never_was_is_stale(database: Database) -> None:
    added(database, yarn())
    with pytest.raises(Stale) as refusal:
        changed(database, 7, 1)
    assert refusal.value.changes == ()


def test_what_is_not_there_is_told(database: Database) -> None:
    with database.reading() as session, pytest.raises(NotKept):
        kept.get(session, ItemKind.YARN, ID)


def test_deleting_hides_and_restoring_shows(database: Database) -> None:
    added(database, yarn())
    added(database, yarn(OTHER, "berry"))
    with database.writing() as session:
        kept.delete(session, ItemKind.YARN, ID, 1, DAY)
    with database.reading() as session:
        assert [thing.name for thing in kept.listed(session, ItemKind.YARN)] == ["berry"]
        assert [thing.name for thing in kept.listed(session, ItemKind.YARN, True)] == ["grey"]
        assert [thing.name for thing in kept.listed(session, ItemKind.YARN, None)] == [
            "berry",
            "grey",
        ]
    with database.writing() as session:
        kept.restore(session, ItemKind.YARN, ID, 2, DAY)
    with database.reading() as session:
        assert kept.get(session, ItemKind.YARN, ID).deleted is None


def test_a_reader_sees_one_moment(database: Database) -> None:
    added(database, yarn(on_hand="100 g"))
    with database.reading() as session:
        assert len(kept.listed(session, ItemKind.YARN)) == 1
        added(database, yarn(OTHER))
        assert len(kept.listed(session, ItemKind.YARN)) == 1
    with database.reading() as session:
        assert len(kept.listed(session, ItemKind.YARN)) == 2


def test_moments_are_kept_to_the_microsecond_in_any_zone() -> None:
    local = datetime(2025, 11, 3, 8, 15, 0, 7, tzinfo=timezone(timedelta(hours=1)))
    assert moment_text(local) == "2025-11-03T07:15:00.000007Z"
    assert moment_from(moment_text(local)) == local
    assert moment_text(datetime(987, 1, 1, tzinfo=UTC)) < moment_text(DAY)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "2025-11-03",
        "2025-11-03T07:15:00Z",
        "2025-11-03T07:15:00.0Z",
        "2025-11-03T07:15:00.000000",
        "2025-11-03T07:15:00.000000+00:00",
        "2025-11-03 07:15:00.000000Z",
        "2025-13-03T07:15:00.000000Z",
    ],
)
def test_other_texts_are_no_moments(text: str) -> None:
    with pytest.raises(ValueError, match="not written as moments are"):
        moment_from(text)


def test_a_moment_needs_its_zone() -> None:
    with pytest.raises(ValueError, match="time zone"):
        moment_text(datetime(2025, 11, 3))
